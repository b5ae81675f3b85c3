//! The interview: from a case and the answers so far to the next question, one thing at a time.
//!
//! A pure function: the whole state is the list of answers, whose text ([`Answer`]) can stand in a page's address. The question
//! is the one with the most expected information per minute of work among all that were not asked; it ends when one cause is
//! beyond doubt or nothing more would help.

use reading::{Field, Observed, Reading};
use unit::Unit;

use crate::Case;
use crate::catalogue::{Test, every, key, minutes};
use crate::circumstances::Known;
use crate::diagnose::{DiagnoseError, Diagnosis, examine};
use crate::evidence::{Finding, Shown};
use crate::observable::Observable;
use crate::state::Place;
use crate::test_words;

pub use crate::answer::{Answer, AnswerTextError, Given};
pub use crate::question::{AnswerError, Expects, Question, parse_answer};
pub use crate::test_to_make::{Caution, Opens, TestToMake};

use crate::question::{test_of, within};

/// A cause of this probability is beyond doubt.
pub const BEYOND_DOUBT: f64 = 0.95;
/// Two causes at once of this probability leave a single one in doubt, however far it is ahead of the other single ones.
const PAIR_IN_DOUBT: f64 = 0.5;

/// The keys of all questions that may be put at this unit, whatever has been read, with the minutes of work of each.
pub fn questions(unit: &Unit) -> Vec<(String, f64)> {
    every(unit)
        .into_iter()
        .map(|test| (key(test, Some(unit)), minutes(test)))
        .collect()
}

/// Why the interview is over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// One cause is beyond doubt.
    BeyondDoubt,
    /// Nothing more that can be done here would tell it any better.
    NothingMoreHelps,
}

/// How an interview stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// What is wrong, by all that is known so far.
    pub diagnosis: Diagnosis,
    /// The reading with the answers in it that are fields of a reading: what is worth keeping in the records.
    pub reading: Reading,
    /// What to do next.
    pub step: Step,
    /// Tests that would have told more than the next one, and can't be made safely at this unit.
    pub left_out: Vec<Opens>,
}

/// What comes next.
#[derive(Clone, Debug, PartialEq)]
pub enum Step {
    /// A question.
    Ask(Box<Question>),
    /// The end.
    End(End),
}

/// Why an interview can't go on.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum InterviewError {
    /// There is no diagnosis of this unit.
    #[error("there is no diagnosis")]
    Diagnose(#[from] DiagnoseError),
    /// An answer does not fit its question.
    #[error("answer {} does not fit", .index + 1)]
    Answer {
        /// Which of the answers, counted from 0.
        index: usize,
        /// What is wrong with it.
        #[source]
        error: Box<AnswerError>,
    },
}

/// Where an interview stands after these answers, in the order in which they were given. A later answer to the same question
/// takes the place of an earlier one.
///
/// # Errors
///
/// [`InterviewError`]: an answer that belongs to no question of this unit or does not fit it, or a unit without physics.
pub fn interview(case: &Case<'_>, known: &Known, answers: &[Answer]) -> Result<Standing, InterviewError> {
    interview_where(case, known, answers, |_| true)
}

/// The same where not everything may be opened: `may` says of what has to be opened for a test whether there is a safe way to
/// it. It is asked of the tests in the order of what they tell, until one may be made.
///
/// # Errors
///
/// As [`interview`].
pub fn interview_where(
    case: &Case<'_>,
    known: &Known,
    answers: &[Answer],
    may: impl Fn(&Opens) -> bool,
) -> Result<Standing, InterviewError> {
    let unit = case.unit;
    let Taken {
        reading,
        given,
        findings,
    } = taken(case, answers)?;
    let now = Case {
        reading: &reading,
        ..*case
    };
    let was_asked = |test: Test| given.iter().any(|one| one.0 == test);
    let (diagnosis, promises) = examine(&now, known, &findings, |test| !was_asked(test))?;
    let doubted = diagnosis
        .pairs
        .iter()
        .any(|pair| pair.probability > PAIR_IN_DOUBT);
    let certain = diagnosis
        .causes
        .first()
        .is_some_and(|first| first.probability >= BEYOND_DOUBT);
    let mut left_out = Vec::new();
    let mut step = Step::End(End::NothingMoreHelps);
    if certain && !doubted {
        step = Step::End(End::BeyondDoubt);
    } else {
        for best in &promises {
            let question = Question::of(best.test, unit, best.bits, &best.expected);
            match question.test.opens().filter(|opens| !may(opens)) {
                Some(barred) => left_out.push(barred),
                None => {
                    step = Step::Ask(Box::new(question));
                    break;
                }
            }
        }
    }
    Ok(Standing {
        diagnosis,
        reading,
        step,
        left_out,
    })
}

/// What answers come to: the reading with those in it that are its fields, and what the others found.
pub(crate) struct Taken {
    pub(crate) reading: Reading,
    pub(crate) given: Vec<(Test, Given)>,
    pub(crate) findings: Vec<Finding>,
}

/// Takes answers in; an error as of [`interview`].
pub(crate) fn taken(case: &Case<'_>, answers: &[Answer]) -> Result<Taken, InterviewError> {
    let unit = case.unit;
    let mut reading = case.reading.clone();
    let mut given: Vec<(Test, Given)> = Vec::with_capacity(answers.len());
    for (index, answer) in answers.iter().enumerate() {
        let fits = |error| InterviewError::Answer {
            index,
            error: Box::new(error),
        };
        let test = test_of(unit, &answer.key).map_err(fits)?;
        let written = match answer.given {
            Given::Value(value) => value.to_string(),
            Given::Yes => "yes".to_owned(),
            Given::No => "no".to_owned(),
            Given::Skipped => String::new(),
        };
        within(test, answer, &written).map_err(fits)?;
        match given.iter_mut().find(|one| one.0 == test) {
            Some(earlier) => earlier.1 = answer.given,
            None => given.push((test, answer.given)),
        }
    }
    let findings: Vec<Finding> = given
        .iter()
        .filter_map(|(test, given)| take(*test, *given, unit, &mut reading))
        .collect();
    Ok(Taken {
        reading,
        given,
        findings,
    })
}

/// Puts an answer into the reading, or gives it as a finding where no field of a reading holds it.
fn take(test: Test, given: Given, unit: &Unit, reading: &mut Reading) -> Option<Finding> {
    match given {
        Given::Skipped => None,
        Given::Yes | Given::No => {
            let (_, yes_finds) = test_words::yes_or_no(test, "")?;
            let found = (given == Given::Yes) == yes_finds;
            if let Test::Ask(observed) = test {
                return see(observed, found, reading);
            }
            Some(Finding {
                test,
                shown: Shown::Found(found),
            })
        }
        Given::Value(value) => enter(test, value, unit, reading),
    }
}

/// What was seen stands in the reading; what was not seen has no place there.
fn see(observed: Observed, found: bool, reading: &mut Reading) -> Option<Finding> {
    if found {
        if !reading.observed.contains(&observed) {
            reading.observed.push(observed);
        }
        return None;
    }
    reading.observed.retain(|one| *one != observed);
    Some(Finding {
        test: Test::Ask(observed),
        shown: Shown::Found(false),
    })
}

fn enter(test: Test, value: f64, unit: &Unit, reading: &mut Reading) -> Option<Finding> {
    let stage = |i: usize| unit.stages.get(i).map(|stage| stage.id.clone());
    let element = |i: usize| unit.membranes.elements.get(i).map(|one| one.id.clone());
    match test {
        Test::Read(Observable::Pressure(Place::After(i))) => {
            reading.pressure_after_kpa.insert(stage(i)?, value);
        }
        Test::Read(Observable::ElementPermeate(i)) | Test::Probe(i) => {
            reading.element_permeate_us_cm.insert(element(i)?, value);
        }
        Test::Read(observable) => reading.set(Field::from_name(observable.field())?, Some(value)),
        Test::Chlorine => reading.set(Field::FreeChlorineOut, Some(value)),
        Test::Hardness => reading.set(Field::HardnessOut, Some(value)),
        Test::Resin(i) => {
            let id = unit.permeate.polish.get(i)?.id.clone();
            reading.conductivity_after_us_cm.insert(id, value);
        }
        _ => {
            return Some(Finding {
                test,
                shown: Shown::Value(value),
            });
        }
    }
    None
}
