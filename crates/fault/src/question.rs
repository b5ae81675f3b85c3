//! One question of the interview, and how its answer is read.

use quantity::{Context, Kind};
use unit::Unit;

use crate::answer::{Answer, Given};
use crate::catalogue::{Test, every, key};
use crate::cause::Cause;
use crate::observable::Observable;
use crate::test_to_make::{TestToMake, measures};

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

/// A question.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// Names it in its answer; the same for the same question of the same unit.
    pub key: String,
    /// What is done, at which part, and what its results would mean.
    pub test: TestToMake,
    /// What is accepted as its answer.
    pub expects: Expects,
    /// Expected information on the cause, bits; 0 where it was not worked out.
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
fn expects(test: Test) -> Expects {
    let Some(kind) = measures(test) else {
        return Expects::YesOrNo;
    };
    let (lowest, highest) = match kind {
        Kind::Temperature => (-10.0, 120.0),
        Kind::Pressure => (-101.325, 20_000.0),
        Kind::Concentration => (0.0, 500_000.0),
        Kind::AsCaco3 => (0.0, 100_000.0),
        _ => (0.0, 1e6),
    };
    Expects::Quantity {
        kind,
        lowest,
        highest,
    }
}

impl Question {
    /// The question of a test.
    pub(crate) fn of(test: Test, unit: &Unit, bits: f64, expected: &[(Cause, f64)]) -> Self {
        Self {
            key: key(test, Some(unit)),
            test: TestToMake::new(test, unit, expected),
            expects: expects(test),
            expected_information_bits: bits,
        }
    }

    /// The question of a key, whatever it would tell.
    ///
    /// # Errors
    ///
    /// [`AnswerError::NoSuchQuestion`].
    pub fn by_key(unit: &Unit, key: &str) -> Result<Self, AnswerError> {
        Ok(Self::of(test_of(unit, key)?, unit, 0.0, &[]))
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
        .find(|test| key(*test, Some(unit)) == wanted)
        .ok_or_else(|| {
            let keys: Vec<String> = tests.iter().map(|test| key(*test, Some(unit))).collect();
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
    match expects(test) {
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
            within(test, &answer, written)?;
            Ok(answer)
        }
    }
}

/// Whether the value of an answer is one that is accepted.
pub(crate) fn within(test: Test, answer: &Answer, written: &str) -> Result<(), AnswerError> {
    match (expects(test), answer.given) {
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
