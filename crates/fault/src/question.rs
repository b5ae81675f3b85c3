//! One question of the interview: what to do, what each result would mean, and how its answer is read.

use quantity::{Context, Kind};
use unit::Unit;

use crate::answer::{Answer, Given};
use crate::catalogue::{Test, every, id, key, minutes};
use crate::cause::Cause;
use crate::observable::Observable;
use crate::test_words;

/// What an answer can be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Expects {
    /// A value of this kind, in its base unit from `lowest` to `highest`.
    Quantity {
        /// What is measured.
        kind: Kind,
        /// The least that is accepted.
        lowest: f64,
        /// The most that is accepted.
        highest: f64,
    },
    /// Yes or no.
    YesOrNo,
}

/// What has to be opened or taken off before the question can be answered: the way there is a safe procedure's.
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

/// The next question.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// Names it in its answer; the same for the same question of the same unit.
    pub key: String,
    /// What is done, by name, as in `next_test`.
    pub action: &'static str,
    /// The part it is done at, where it is one part's.
    pub part: Option<String>,
    /// What is asked, in one sentence.
    pub text: String,
    /// How it is done.
    pub how: String,
    /// What each result would mean; empty where the result speaks for itself.
    pub meaning: String,
    /// What to mind.
    pub caution: Option<&'static str>,
    /// What has to be opened.
    pub opens: Option<Opens>,
    /// What is accepted as its answer.
    pub expects: Expects,
    /// Minutes of work.
    pub minutes: f64,
    /// Expected information on the cause, bits.
    pub expected_information_bits: f64,
}

/// A text that does not answer a question.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum AnswerError {
    /// This unit has no such question.
    #[error("{key}: no question of this unit; accepted: {accepted}")]
    NoSuchQuestion {
        /// What was read.
        key: String,
        /// The keys that there are.
        accepted: String,
    },
    /// The answer of a yes-or-no question is neither.
    #[error("{key}: read `{read}`; accepted: yes, no, or nothing to skip")]
    NotYesOrNo {
        /// The question.
        key: String,
        /// What was read.
        read: String,
    },
    /// The quantity can't be read.
    #[error("{key}: {error}")]
    Quantity {
        /// The question.
        key: String,
        /// Why not.
        error: quantity::Error,
    },
    /// Nobody reads such a value at such a unit.
    #[error("{key}: read `{read}`; accepted: {lowest} to {highest} {unit}, or nothing to skip")]
    OutOfRange {
        /// The question.
        key: String,
        /// What was read.
        read: String,
        /// The least that is accepted.
        lowest: f64,
        /// The most that is accepted.
        highest: f64,
        /// The base unit.
        unit: &'static str,
    },
}

/// Nothing that a small unit shows is beyond these; the same as in case files.
fn expects(test: Test, unit: &Unit) -> Expects {
    let quantity = |kind, lowest, highest| Expects::Quantity {
        kind,
        lowest,
        highest,
    };
    if test_words::yes_or_no(test, unit).is_some() {
        return Expects::YesOrNo;
    }
    let of = match test {
        Test::Read(observable) | Test::Again(observable) => observable,
        Test::Chlorine => return quantity(Kind::Concentration, 0.0, 500_000.0),
        Test::Hardness => return quantity(Kind::AsCaco3, 0.0, 100_000.0),
        Test::FreePermeate => Observable::PermeateFlow,
        // What is left is a meter held into water.
        _ => Observable::PermeateConductivity,
    };
    match of {
        Observable::Temperature => quantity(Kind::Temperature, -10.0, 120.0),
        Observable::Pressure(_) => quantity(Kind::Pressure, -101.325, 20_000.0),
        Observable::PermeateFlow | Observable::ConcentrateFlow => quantity(Kind::Flow, 0.0, 1e6),
        _ => quantity(Kind::Conductivity, 0.0, 1e6),
    }
}

/// What the answer's own name is in a question.
fn asked_for(expects: Expects) -> &'static str {
    match expects {
        Expects::YesOrNo => "Yes or no?",
        Expects::Quantity { kind, .. } => match kind {
            Kind::Flow => "What is the flow (such as 28 L/h, or 500 mL in 62 s)?",
            Kind::Pressure => "What does the gauge show (such as 58 psi or 4.0 bar)?",
            Kind::Temperature => "How warm is it (such as 12 C or 54 F)?",
            Kind::Concentration => "How much is it (such as 0.1 mg/L)?",
            Kind::AsCaco3 => "How hard is it (such as 3 dH or 2 gpg)?",
            _ => "What does the meter show (such as 38 uS/cm, or 19 ppm @0.5)?",
        },
    }
}

fn opens(test: Test, unit: &Unit) -> Option<Opens> {
    match test {
        Test::Cartridge(_) => id(unit, test).map(|id| Opens::Housing(id.to_owned())),
        Test::Restrictor => Some(Opens::Restrictor),
        Test::FreePermeate => Some(Opens::PermeateLine),
        Test::Probe(_) => id(unit, test).map(|id| Opens::ElementPermeate(id.to_owned())),
        _ => None,
    }
}

impl Question {
    /// The question of a test.
    pub(crate) fn of(test: Test, unit: &Unit, bits: f64, expected: &[(Cause, f64)]) -> Self {
        let expects = expects(test, unit);
        Self {
            key: key(test, unit),
            action: test_words::action(test),
            part: id(unit, test).map(str::to_owned),
            text: match test_words::yes_or_no(test, unit) {
                Some((text, _)) => text,
                None => asked_for(expects).to_owned(),
            },
            how: test_words::how(test, unit),
            meaning: test_words::meaning(test, expected),
            caution: test_words::caution(test),
            opens: opens(test, unit),
            expects,
            minutes: minutes(test),
            expected_information_bits: bits,
        }
    }

    /// Reads what was written as the answer of this question, in any unit; nothing, or `skip`, passes it over.
    ///
    /// # Errors
    ///
    /// [`AnswerError`], which names the question, what was read and what is accepted.
    pub fn parse(&self, text: &str, unit: &Unit) -> Result<Answer, AnswerError> {
        parse_answer(unit, &self.key, text)
    }
}

/// The test of a key.
pub(crate) fn test_of(unit: &Unit, wanted: &str) -> Result<Test, AnswerError> {
    let tests = every(unit);
    tests
        .iter()
        .copied()
        .find(|test| key(*test, unit) == wanted)
        .ok_or_else(|| {
            let keys: Vec<String> = tests.iter().map(|test| key(*test, unit)).collect();
            AnswerError::NoSuchQuestion {
                key: shortened(wanted),
                accepted: keys.join(", "),
            }
        })
}

/// Reads what was written as the answer of the question with this key, in any unit; nothing, or `skip`, passes it over.
///
/// # Errors
///
/// [`AnswerError`], which names the question, what was read and what is accepted.
pub fn parse_answer(unit: &Unit, key: &str, text: &str) -> Result<Answer, AnswerError> {
    let test = test_of(unit, key)?;
    let written = text.trim();
    let answer = |given| Answer {
        key: key.to_owned(),
        given,
    };
    let word = written.to_lowercase();
    if word.is_empty() || word == "skip" || word == "skipped" {
        return Ok(answer(Given::Skipped));
    }
    match expects(test, unit) {
        Expects::YesOrNo => match word.as_str() {
            "y" | "yes" => Ok(answer(Given::Yes)),
            "n" | "no" => Ok(answer(Given::No)),
            _ => Err(AnswerError::NotYesOrNo {
                key: key.to_owned(),
                read: shortened(written),
            }),
        },
        Expects::Quantity { kind, .. } => {
            let value = read(kind, written, test, unit).map_err(|error| AnswerError::Quantity {
                key: key.to_owned(),
                error,
            })?;
            let answer = answer(Given::Value(value));
            within(test, unit, &answer, written)?;
            Ok(answer)
        }
    }
}

/// Whether the value of an answer is one that is accepted.
pub(crate) fn within(test: Test, unit: &Unit, answer: &Answer, written: &str) -> Result<(), AnswerError> {
    match (expects(test, unit), answer.given) {
        (_, Given::Skipped) | (Expects::YesOrNo, Given::Yes | Given::No) => Ok(()),
        (Expects::YesOrNo, Given::Value(_)) => Err(AnswerError::NotYesOrNo {
            key: answer.key.clone(),
            read: shortened(written),
        }),
        (Expects::Quantity { lowest, highest, .. }, Given::Value(value))
            if (lowest..=highest).contains(&value) =>
        {
            Ok(())
        }
        (
            Expects::Quantity {
                kind,
                lowest,
                highest,
            },
            _,
        ) => Err(AnswerError::OutOfRange {
            key: answer.key.clone(),
            read: shortened(written),
            lowest,
            highest,
            unit: kind.base_unit(),
        }),
    }
}

/// A quantity; of a conductivity also what a salt meter shows in ppm, by its factor.
fn read(kind: Kind, text: &str, test: Test, unit: &Unit) -> Result<f64, quantity::Error> {
    let first = quantity::parse(kind, text, &Context::default());
    if kind != Kind::Conductivity || first.is_ok() {
        return first.map(|parsed| parsed.value);
    }
    let instruments = &unit.instruments;
    let meter = match test {
        Test::Read(Observable::FeedConductivity) | Test::Again(Observable::FeedConductivity) => {
            instruments.feed_meter
        }
        _ => instruments.permeate_meter,
    };
    let context = Context {
        meter_factor: meter.factor,
        ..Context::default()
    };
    match quantity::parse(Kind::Salt, text, &context) {
        Ok(parsed) if parsed.conductivity => Ok(parsed.value),
        // What it says of ppm helps more than that ppm is no conductivity.
        Err(error @ (quantity::Error::AmbiguousUnit { .. } | quantity::Error::MeterFactor { .. })) => {
            Err(error)
        }
        _ => first.map(|parsed| parsed.value),
    }
}

fn shortened(text: &str) -> String {
    text.chars().take(60).collect()
}
