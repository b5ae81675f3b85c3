//! A test as somebody is asked to make it: by names and numbers, so that each language words it for itself; and in English.

use quantity::Kind;
use reading::Observed;
use unit::Unit;

use crate::catalogue::{Test, every_kind, id, key, minutes};
use crate::cause::Cause;
use crate::observable::Observable;
use crate::state::Place;
use crate::test_words;

/// What to mind at a test.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Caution {
    /// A gauge has to be fitted.
    Gauge,
    /// The permeate line has to be taken off.
    PermeateLine,
    /// A housing or the restrictor has to be opened.
    Housing,
    /// One element's permeate may have to be taken off.
    ElementPermeate,
    /// A pump that does not run.
    Electricity,
    /// A sample with reagent in it.
    Reagent,
}

impl Caution {
    /// All.
    pub const ALL: [Self; 6] = [
        Self::Gauge,
        Self::PermeateLine,
        Self::Housing,
        Self::ElementPermeate,
        Self::Electricity,
        Self::Reagent,
    ];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Gauge => "gauge",
            Self::PermeateLine => "permeate_line",
            Self::Housing => "housing",
            Self::ElementPermeate => "element_permeate",
            Self::Electricity => "electricity",
            Self::Reagent => "reagent",
        }
    }

    /// In English.
    pub fn words(self) -> &'static str {
        test_words::caution(self)
    }
}

/// What has to be opened or taken off before a test can be made: the way there is a safe procedure's.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Opens {
    /// The housing of this stage.
    Housing(String),
    /// The restrictor.
    Restrictor,
    /// The permeate line after the membranes.
    PermeateLine,
    /// The permeate tube of one element, where it can't be sampled without taking it off.
    ElementPermeate(String),
}

/// A test, at which part, and what the likeliest causes would have it show.
#[derive(Clone, Debug, PartialEq)]
pub struct TestToMake {
    test: Test,
    /// The part it is made at, where it is one part's.
    pub part: Option<String>,
    /// What the likeliest causes would have it show, in the base unit of [`Self::measures`], likeliest first; empty where
    /// nothing is measured or it was not worked out.
    pub expected: Vec<(Cause, f64)>,
}

impl TestToMake {
    pub(crate) fn new(test: Test, unit: &Unit, expected: &[(Cause, f64)]) -> Self {
        Self {
            test,
            part: id(unit, test).map(str::to_owned),
            expected: expected.to_vec(),
        }
    }

    /// The names of all tests, by [`Self::name`], each with whether it is answered by yes or no and whether a sentence says
    /// what its result would mean.
    pub fn all_names() -> Vec<(String, bool, bool)> {
        let mut names: Vec<(String, bool, bool)> = Vec::new();
        for test in every_kind() {
            let name = key(test, None);
            let yes_or_no = test_words::yes_or_no(test, "").is_some();
            if names.iter().all(|(other, ..)| *other != name) {
                names.push((name, yes_or_no, has_meaning(test)));
            }
        }
        names
    }

    /// What is done, without the part it is done at: a name for each way in which it is worded.
    pub fn name(&self) -> String {
        key(self.test, None)
    }

    /// What is done, as in `next_test` of the answers; several tests share one.
    pub fn action(&self) -> &'static str {
        test_words::action(self.test)
    }

    /// The field that its result is entered in.
    pub fn field(&self) -> Option<&'static str> {
        test_words::field(self.test)
    }

    /// What the customer can say without a tool.
    pub fn observed(&self) -> Option<Observed> {
        match self.test {
            Test::Ask(observed) => Some(observed),
            _ => None,
        }
    }

    /// What is measured; none where it is answered by yes or no.
    pub fn measures(&self) -> Option<Kind> {
        measures(self.test)
    }

    /// Whether yes is the answer that finds what is looked for; none where a value is read.
    pub fn yes_finds(&self) -> Option<bool> {
        test_words::yes_or_no(self.test, "").map(|(_, yes_finds)| yes_finds)
    }

    /// Minutes of work.
    pub fn minutes(&self) -> f64 {
        minutes(self.test)
    }

    /// What has to be opened.
    pub fn opens(&self) -> Option<Opens> {
        let part = || self.part.clone();
        match self.test {
            Test::Cartridge(_) => part().map(Opens::Housing),
            Test::Restrictor => Some(Opens::Restrictor),
            Test::FreePermeate => Some(Opens::PermeateLine),
            Test::Probe(_) => part().map(Opens::ElementPermeate),
            _ => None,
        }
    }

    /// What to mind.
    pub fn caution(&self) -> Option<Caution> {
        Some(match self.test {
            Test::Read(Observable::Pressure(_)) | Test::Again(Observable::Pressure(_)) => Caution::Gauge,
            Test::FreePermeate => Caution::PermeateLine,
            Test::Restrictor | Test::Cartridge(_) => Caution::Housing,
            Test::Probe(_) => Caution::ElementPermeate,
            Test::Ask(Observed::PumpSilent | Observed::NoWater) => Caution::Electricity,
            Test::Chlorine | Test::Hardness => Caution::Reagent,
            _ => return None,
        })
    }

    /// Whether a sentence of its own says what its result would mean; else [`Self::expected`] does.
    pub fn has_meaning(&self) -> bool {
        has_meaning(self.test)
    }

    fn part_words(&self) -> &str {
        self.part.as_deref().unwrap_or("the part")
    }

    /// How it is done, in English.
    pub fn how(&self) -> String {
        test_words::how(self.test, self.part_words())
    }

    /// What is asked, in English.
    pub fn text(&self) -> String {
        match test_words::yes_or_no(self.test, self.part_words()) {
            Some((text, _)) => text,
            None => test_words::asked_for(self.measures()).to_owned(),
        }
    }

    /// What each result would mean, in English; empty where the result speaks for itself.
    pub fn meaning(&self) -> String {
        test_words::meaning(self.test, &self.expected)
    }

    /// How to do it, what each result would mean, and what to mind, in English.
    pub fn sentence(&self) -> String {
        let mut sentence = format!("{} About {:.0} min.", self.how(), self.minutes());
        let means = self.meaning();
        if !means.is_empty() {
            sentence.push(' ');
            sentence.push_str(&means);
        }
        if let Some(caution) = self.caution() {
            sentence.push(' ');
            sentence.push_str(caution.words());
        }
        sentence
    }
}

fn has_meaning(test: Test) -> bool {
    matches!(
        test,
        Test::Chlorine
            | Test::Hardness
            | Test::Resin(_)
            | Test::FlushValve
            | Test::Restrictor
            | Test::Cartridge(_)
            | Test::RunOn
            | Test::Ask(_)
    )
}

/// What a test measures; none where it is answered by yes or no.
pub(crate) fn measures(test: Test) -> Option<Kind> {
    let of = match test {
        Test::Read(observable) | Test::Again(observable) => observable,
        Test::Chlorine => return Some(Kind::Concentration),
        Test::Hardness => return Some(Kind::AsCaco3),
        Test::FreePermeate => Observable::PermeateFlow,
        Test::Probe(i) => Observable::ElementPermeate(i),
        Test::Resin(_) => Observable::PermeateConductivity,
        Test::FlushValve | Test::Restrictor | Test::Cartridge(_) | Test::RunOn | Test::Ask(_) => return None,
    };
    Some(kind(of))
}

/// What kind of quantity an observable is.
pub(crate) fn kind(observable: Observable) -> Kind {
    match observable {
        Observable::Temperature => Kind::Temperature,
        Observable::Pressure(
            Place::Inlet | Place::Membrane | Place::Concentrate | Place::Permeate | Place::After(_),
        ) => Kind::Pressure,
        Observable::PermeateFlow | Observable::ConcentrateFlow => Kind::Flow,
        Observable::FeedConductivity | Observable::PermeateConductivity | Observable::ElementPermeate(_) => {
            Kind::Conductivity
        }
    }
}
