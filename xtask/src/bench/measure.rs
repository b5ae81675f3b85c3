//! One measured figure, and the table of all of them.

use std::fmt::Write as _;

use serde_json::{Map, Value};

use crate::process::{Failure, Result};

/// One measured figure, as a benchmark writes it:
///
/// ```json
/// {"name": "standardise 1 000 000 readings", "value": 0.11, "unit": "s",
///  "reference": "NumPy, vectorised", "reference_value": 0.9, "ratio": 8.2, "target": 6}
/// ```
///
/// `name`, `value` and `unit` are always there; what has nothing to be compared with lacks the rest.
#[derive(Debug, Default, PartialEq)]
pub(super) struct Measure {
    pub(super) name: String,
    pub(super) value: f64,
    pub(super) unit: String,
    /// What it is compared with, measured in the same run and the same unit.
    pub(super) reference: Option<String>,
    pub(super) reference_value: Option<f64>,
    /// How many times as fast as the reference.
    pub(super) ratio: Option<f64>,
    /// What is wanted: with a ratio the least ratio; of a rate (a unit that ends in `/s`) the least value; else the
    /// greatest value.
    pub(super) target: Option<f64>,
}

const KEYS: [&str; 7] = [
    "name",
    "value",
    "unit",
    "reference",
    "reference_value",
    "ratio",
    "target",
];

impl Measure {
    /// Reads one line of a benchmark's output.
    pub(super) fn from_line(line: &str) -> Result<Self> {
        let failure = |why: String| Failure::from(format!("{why}, in {line}"));
        let fields: Map<String, Value> =
            serde_json::from_str(line).map_err(|error| failure(format!("no JSON object ({error})")))?;
        if let Some(unknown) = fields.keys().find(|key| !KEYS.contains(&key.as_str())) {
            return Err(failure(format!(
                "the key {unknown:?} is not one of {}",
                KEYS.join(", ")
            )));
        }
        let text = |key: &str| match fields.get(key) {
            None | Some(Value::Null) => Ok(None),
            Some(Value::String(text)) => Ok(Some(text.clone())),
            Some(_) => Err(failure(format!("{key} is no string"))),
        };
        let number = |key: &str| match fields.get(key) {
            None | Some(Value::Null) => Ok(None),
            Some(value) => match value.as_f64() {
                Some(number) => Ok(Some(number)),
                None => Err(failure(format!("{key} is no number"))),
            },
        };
        let missing = |key: &str| failure(format!("{key} is missing"));
        Ok(Self {
            name: text("name")?.ok_or_else(|| missing("name"))?,
            value: number("value")?.ok_or_else(|| missing("value"))?,
            unit: text("unit")?.ok_or_else(|| missing("unit"))?,
            reference: text("reference")?,
            reference_value: number("reference_value")?,
            ratio: number("ratio")?,
            target: number("target")?,
        })
    }

    /// Whether the target is met, where there is one.
    pub(super) fn is_met(&self) -> Option<bool> {
        let target = self.target?;
        Some(match self.ratio {
            Some(ratio) => ratio >= target,
            None if self.is_rate() => self.value >= target,
            None => self.value <= target,
        })
    }

    fn is_rate(&self) -> bool {
        self.unit.ends_with("/s")
    }

    fn cells(&self) -> [String; 5] {
        let with_unit = |value: f64| format!("{} {}", rounded(value), self.unit);
        let reference = match (&self.reference, self.reference_value) {
            (Some(reference), Some(value)) => format!("{reference}: {}", with_unit(value)),
            (Some(reference), None) => reference.clone(),
            (None, Some(value)) => with_unit(value),
            (None, None) => String::new(),
        };
        let target = match (self.target, self.is_met()) {
            (Some(target), Some(is_met)) => {
                let bound = if self.ratio.is_some() || self.is_rate() {
                    "at least"
                } else {
                    "at most"
                };
                let unit = if self.ratio.is_some() {
                    String::new()
                } else {
                    format!(" {}", self.unit)
                };
                let verdict = if is_met { "met" } else { "MISSED" };
                format!("{bound} {}{unit}: {verdict}", rounded(target))
            }
            _ => String::new(),
        };
        let ratio = self.ratio.map(rounded).unwrap_or_default();
        [self.name.clone(), with_unit(self.value), reference, ratio, target]
    }
}

/// A number with three significant digits, or all before the point.
fn rounded(value: f64) -> String {
    let magnitude = value.abs();
    if magnitude >= 1e6 || (magnitude > 0.0 && magnitude < 1e-3) {
        return format!("{value:.2e}");
    }
    let decimals = match magnitude {
        m if m >= 100.0 || m == 0.0 => 0,
        m if m >= 10.0 => 1,
        m if m >= 1.0 => 2,
        m if m >= 0.1 => 3,
        m if m >= 0.01 => 4,
        _ => 5,
    };
    format!("{value:.decimals$}")
}

/// All figures as a Markdown table whose columns line up, so that it also reads well in a terminal.
pub(super) fn table(measures: &[Measure]) -> String {
    let head = ["measured", "value", "reference", "ratio", "target"].map(str::to_owned);
    let rows: Vec<[String; 5]> = measures.iter().map(Measure::cells).collect();
    let width = |column: usize| {
        rows.iter()
            .chain([&head])
            .map(|row| row[column].chars().count())
            .max()
            .unwrap_or_default()
    };
    let widths = [0, 1, 2, 3, 4].map(width);
    let mut text = String::new();
    let mut line = |cells: &[String; 5]| {
        for (cell, width) in cells.iter().zip(widths) {
            let _ = write!(text, "| {cell:<width$} ");
        }
        text.push_str("|\n");
    };
    line(&head);
    line(&widths.map(|width| "-".repeat(width)));
    for row in &rows {
        line(row);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::{Measure, rounded, table};

    #[test]
    fn a_line_may_lack_what_is_optional() {
        let least = Measure::from_line(r#"{"name": "a", "value": 2, "unit": "s"}"#).unwrap();
        let expected = Measure {
            name: "a".to_owned(),
            value: 2.0,
            unit: "s".to_owned(),
            ..Measure::default()
        };
        assert_eq!(least, expected);
        assert_eq!(least.is_met(), None);
    }

    #[test]
    fn a_line_that_is_wrong_says_how() {
        for (line, why) in [
            ("warming up", "no JSON object"),
            (r#"{"name": "a", "unit": "s"}"#, "value is missing"),
            (
                r#"{"name": "a", "value": "2", "unit": "s"}"#,
                "value is no number",
            ),
            (
                r#"{"name": "a", "value": 2, "unit": "s", "goal": 3}"#,
                "\"goal\" is not one of",
            ),
        ] {
            let message = Measure::from_line(line).unwrap_err().to_string();
            assert!(message.contains(why) && message.contains(line), "{message}");
        }
    }

    #[test]
    fn a_target_bounds_ratios_and_rates_below_and_times_above() {
        let measure = |unit: &str, value, ratio, target| {
            Measure {
                unit: unit.to_owned(),
                value,
                ratio,
                target: Some(target),
                ..Measure::default()
            }
            .is_met()
        };
        assert_eq!(measure("s", 0.1, Some(6.5), 6.0), Some(true));
        assert_eq!(measure("s", 0.1, Some(5.5), 6.0), Some(false));
        assert_eq!(measure("rows/s", 9e4, None, 1e5), Some(false));
        assert_eq!(measure("s", 0.4, None, 0.5), Some(true));
        assert_eq!(measure("MB", 26.0, None, 25.0), Some(false));
    }

    #[test]
    fn numbers_keep_three_digits() {
        let texts = [
            1234.6,
            12.345,
            1.2345,
            0.12345,
            0.012_345,
            0.001_234_5,
            0.0,
            2.5e7,
            1e-5,
        ]
        .map(rounded);
        assert_eq!(
            texts,
            [
                "1235", "12.3", "1.23", "0.123", "0.0123", "0.00123", "0", "2.50e7", "1.00e-5"
            ]
        );
    }

    #[test]
    fn columns_line_up() {
        let line = r#"{"name": "é", "value": 0.4, "unit": "s", "target": 0.5}"#;
        let text = table(&[Measure::from_line(line).unwrap()]);
        let widths: Vec<usize> = text.lines().map(|line| line.chars().count()).collect();
        assert_eq!(widths.len(), 3);
        assert!(widths.windows(2).all(|pair| pair[0] == pair[1]), "{text}");
        assert!(text.contains("at most 0.500 s: met"), "{text}");
    }
}
