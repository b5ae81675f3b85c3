//! Durations as people write them: `71 s`, `1 min 11 s`, `1:11`, `1'11"`.

use crate::number::{interpret, split};
use crate::unit::{Scale, find_by_key};
use crate::{Decimal, Kind, Unit, text};

/// What is wrong with a duration.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum TimeError {
    Malformed,
    /// A number without its unit.
    NoUnit,
    UnknownUnit(String),
    /// `1:20`: hours and minutes, or minutes and seconds.
    AmbiguousClock(f64, f64),
}

/// How `a:b` is read.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Clock {
    /// Minutes and seconds: the time of a bucket.
    MinutesSeconds,
    /// Refused: nobody can tell.
    Refused,
}

/// The parts of a duration, each a number and its unit of `kind`; the base value is their sum.
pub(crate) fn parts(
    kind: Kind,
    cleaned: &str,
    decimal: Decimal,
    clock: Clock,
) -> Result<Vec<(f64, &'static Unit)>, TimeError> {
    let by_key = |key: &str| find_by_key(kind, key).ok_or_else(|| TimeError::UnknownUnit(key.to_owned()));
    if cleaned.contains(':') {
        let numbers = cleaned
            .trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == ' ')
            .split(':')
            .map(|part| crate::number::plain(part, Decimal::Strict).filter(|v| v.is_sign_positive()))
            .collect::<Option<Vec<f64>>>()
            .ok_or(TimeError::Malformed)?;
        return match numbers.as_slice() {
            [h, m, s] if *m < 60.0 && *s < 60.0 => {
                Ok(vec![(*h, by_key("h")?), (*m, by_key("min")?), (*s, by_key("s")?)])
            }
            [m, s] if *s < 60.0 => match clock {
                Clock::MinutesSeconds => Ok(vec![(*m, by_key("min")?), (*s, by_key("s")?)]),
                Clock::Refused => Err(TimeError::AmbiguousClock(*m, *s)),
            },
            _ => Err(TimeError::Malformed),
        };
    }
    // `1'11"` and `71"`.
    let marked = cleaned.contains(['\'', '"']).then(|| {
        cleaned
            .replace("''", " s ")
            .replace('\'', " min ")
            .replace('"', " s ")
    });
    let mut rest = marked.as_deref().unwrap_or(cleaned).trim();
    let mut found = Vec::new();
    while !rest.is_empty() {
        let (digits, after) = split(rest).ok_or(TimeError::Malformed)?;
        let value = interpret(digits, decimal).map_err(|_| TimeError::Malformed)?;
        let after = after.trim_start();
        let end = after.find(|c: char| c.is_ascii_digit()).unwrap_or(after.len());
        let (name, next) = after.split_at_checked(end).ok_or(TimeError::Malformed)?;
        let name = name.trim().trim_end_matches([',', ';']).trim();
        let name = name
            .strip_suffix(" and")
            .or_else(|| name.strip_suffix(" und"))
            .unwrap_or(name);
        if name.is_empty() {
            return Err(TimeError::NoUnit);
        }
        found.push((value, by_key(&text::unit_key(name))?));
        rest = next;
    }
    if found.is_empty() {
        Err(TimeError::Malformed)
    } else {
        Ok(found)
    }
}

/// Seconds of a part whose unit is one of [`Kind::Duration`], [`Kind::Minutes`] or [`Kind::Hours`].
pub(crate) fn seconds(value: f64, unit: &Unit) -> f64 {
    match unit.scale {
        // Their numerators are the seconds they hold.
        Scale::Ratio(numerator, _) => value * numerator,
        _ => f64::NAN,
    }
}
