//! An answer to a question of the interview, and its text: all that has to be kept between two questions.

use std::fmt;
use std::str::FromStr;

/// What was answered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Given {
    /// A value in the base unit of what was asked for.
    Value(f64),
    /// Yes to the question as it was put.
    Yes,
    /// No to the question as it was put.
    No,
    /// The question was passed over, and is not put again.
    Skipped,
}

/// One answer, with the question it belongs to.
///
/// As text it is `KEY=VALUE`, `KEY=yes`, `KEY=no` or `KEY=skipped`, which [`FromStr`] reads back to the same value.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// [`crate::interview::Question::key`].
    pub key: String,
    /// What was answered.
    pub given: Given,
}

impl fmt::Display for Answer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}=", self.key)?;
        match self.given {
            Given::Value(value) => write!(f, "{value}"),
            Given::Yes => f.write_str("yes"),
            Given::No => f.write_str("no"),
            Given::Skipped => f.write_str("skipped"),
        }
    }
}

/// A text that is no answer.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("read `{read}`; accepted: a question's key, `=`, and a finite number, yes, no or skipped")]
pub struct AnswerTextError {
    /// What was read.
    pub read: String,
}

impl FromStr for Answer {
    type Err = AnswerTextError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wrong = || AnswerTextError {
            read: text.chars().take(80).collect(),
        };
        let (key, given) = text.split_once('=').ok_or_else(wrong)?;
        if key.is_empty() {
            return Err(wrong());
        }
        let given = match given {
            "yes" => Given::Yes,
            "no" => Given::No,
            "skipped" => Given::Skipped,
            value => Given::Value(
                value
                    .parse::<f64>()
                    .ok()
                    .filter(|value| value.is_finite())
                    .ok_or_else(wrong)?,
            ),
        };
        Ok(Self {
            key: key.to_owned(),
            given,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn prop_an_answer_survives_as_text(key in "[a-z_.0-9-]{1,30}", which in 0_u8..4, value in -1e9_f64..1e9) {
            let given = match which {
                0 => Given::Yes,
                1 => Given::No,
                2 => Given::Skipped,
                _ => Given::Value(value),
            };
            let answer = Answer { key, given };
            prop_assert_eq!(answer.to_string().parse::<Answer>(), Ok(answer));
        }

        #[test]
        fn prop_no_text_panics(text in ".{0,60}") {
            let _read = text.parse::<Answer>();
        }
    }

    #[test]
    fn regress_what_is_no_answer_is_refused() {
        for text in [
            "",
            "permeate_flow",
            "=yes",
            "permeate_flow=",
            "permeate_flow=NaN",
            "permeate_flow=inf",
            "x=maybe",
        ] {
            assert!(text.parse::<Answer>().is_err(), "{text}");
        }
    }
}
