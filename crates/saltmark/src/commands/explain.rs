//! `explain`: where the litres went.

use casefile::Document;
use jiff::Timestamp;
use serde_json::{Value, json};
use wear::explain::{Explanation, explain};
use wear::lives::days;
use wear::{Standardisation, standardise};

use crate::case::{Case, time_field, time_option};
use crate::failure::Failure;
use crate::output::Answer;
use crate::present::{Columns, change, day};

use super::standardise::words;

pub(crate) fn answer(document: &Document, from: Option<&str>, to: Option<&str>) -> Result<Answer, Failure> {
    let case = Case::read(document)?;
    let history = case.history();
    let standardisation = standardise(&history);
    let chosen = |option: Option<&str>, name: &'static str| match option {
        Some(text) => time_option(text, name, &case.unit).map(Some),
        None => time_field(document, name, &case.unit),
    };
    let to = match chosen(to, "to")? {
        Some(at) => nearest(&standardisation, at, "to", document)?,
        None => last(&standardisation)?,
    };
    let from = match chosen(from, "from")? {
        Some(at) => nearest(&standardisation, at, "from", document)?,
        None => baseline(&standardisation, to)?,
    };
    let explanation = explain(&history, &standardisation, from, to)
        .map_err(|error| Failure::Impossible(error.to_string()))?;
    let json = explanation_json(&explanation, &standardisation);
    let text = text(&case, &standardisation, &explanation);
    Ok(Answer {
        json,
        text,
        warnings: case.warnings,
    })
}

fn last(standardisation: &Standardisation) -> Result<usize, Failure> {
    standardisation
        .last_sound()
        .map(|(index, _)| index)
        .ok_or_else(|| Failure::Impossible("no reading is complete enough to be explained".to_owned()))
}

fn baseline(standardisation: &Standardisation, to: usize) -> Result<usize, Failure> {
    let life = standardisation.readings.get(to).map_or(0, |one| one.life);
    standardisation.baseline_reading(life).ok_or_else(|| {
        Failure::Impossible("no reading of these membranes can stand for when they were new".to_owned())
    })
}

/// The reading at this time, within a day.
fn nearest(
    standardisation: &Standardisation,
    at: Timestamp,
    name: &str,
    document: &Document,
) -> Result<usize, Failure> {
    let off = |index: &usize| {
        standardisation
            .readings
            .get(*index)
            .map_or(f64::INFINITY, |one| days(at, one.at).abs())
    };
    let found = (0..standardisation.readings.len()).min_by(|a, b| off(a).total_cmp(&off(b)));
    match found {
        Some(index) if off(&index) <= 1.0 => Ok(index),
        _ => {
            let times: Vec<String> = standardisation
                .readings
                .iter()
                .map(|one| one.at.to_string())
                .collect();
            let accepted = match (times.first(), times.last()) {
                (Some(first), Some(last)) => format!(
                    "the time of one of the {} readings from {first} to {last}",
                    times.len()
                ),
                _ => "the time of a reading; there is none".to_owned(),
            };
            Err(Failure::field(&document.file, name, at.to_string(), accepted))
        }
    }
}

/// An explanation as data.
pub(crate) fn explanation_json(explanation: &Explanation, standardisation: &Standardisation) -> Value {
    let at = |index: usize| standardisation.readings.get(index).map(|one| one.at.to_string());
    let factors: Vec<Value> = explanation
        .factors
        .iter()
        .map(|factor| json!({"cause": factor.cause.name(), "ratio": factor.ratio, "sd": factor.sd}))
        .collect();
    json!({
        "from": at(explanation.from),
        "to": at(explanation.to),
        "total_ratio": explanation.total_ratio,
        "factors": factors,
        "sentence": explanation.sentence,
    })
}

fn text(case: &Case, standardisation: &Standardisation, explanation: &Explanation) -> String {
    let zone = casefile::time_zone(&case.unit);
    let date = |index: usize| {
        standardisation
            .readings
            .get(index)
            .map_or_else(String::new, |one| day(one.at, &zone))
    };
    format!(
        "{}\n\nFrom {} to {}:\n{}",
        explanation.sentence,
        date(explanation.from),
        date(explanation.to),
        table(explanation)
    )
}

/// The shares in columns.
pub(crate) fn table(explanation: &Explanation) -> String {
    let mut columns = Columns::new(&["cause", "on its own", "+- points"]);
    for factor in &explanation.factors {
        columns.row(vec![
            words(factor.cause.name()),
            change(factor.ratio),
            format!("{:.1}", 100.0 * factor.sd),
        ]);
    }
    columns.row(vec![
        "all together".to_owned(),
        change(explanation.total_ratio),
        String::new(),
    ]);
    columns.text()
}
