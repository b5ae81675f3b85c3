//! `forecast`: when each part will be due.

use casefile::Document;
use jiff::Timestamp;
use serde_json::{Value, json};
use wear::forecast::{HORIZON_D, PartForecast, Quantiles, forecast};
use wear::lives::after;
use wear::standardise;

use crate::case::{Case, as_of};
use crate::failure::Failure;
use crate::output::Answer;
use crate::present::Columns;

pub(crate) fn answer(document: &Document, option: Option<&str>) -> Result<Answer, Failure> {
    let case = Case::read(document)?;
    let as_of = as_of(option, document, &case.unit)?;
    let standardisation = standardise(&case.history());
    let parts = forecast(&case.history(), &standardisation, as_of);
    let json = forecast_json(&parts, as_of);
    let mut text = summary(&parts);
    text.push_str(&format!("\n\n{}\nAs of {as_of}.\n", table(&parts, as_of)));
    Ok(Answer {
        json,
        text,
        warnings: case.warnings,
    })
}

/// A time so many days from now; none beyond ten years.
fn date(as_of: Timestamp, d: f64) -> Option<Timestamp> {
    if !(d < HORIZON_D) {
        return None;
    }
    Some(after(as_of, d.max(0.0)))
}

/// A forecast as data.
pub(crate) fn forecast_json(parts: &[PartForecast], as_of: Timestamp) -> Value {
    let quantiles = |q: &Quantiles| json!({"p10": q.p10, "p50": q.p50, "p90": q.p90});
    let parts: Vec<Value> = parts
        .iter()
        .map(|part| {
            let due = part.due_in_d.map(|q| {
                let at = |d| date(as_of, d).map(|at| at.to_string());
                json!({"p10": at(q.p10), "p50": at(q.p50), "p90": at(q.p90)})
            });
            let [within_30, within_90, within_180] = part.chance_within;
            json!({
                "id": part.id,
                "limit": part.limit.map(wear::forecast::Limit::name),
                "due_at": due.unwrap_or_else(|| json!({"p10": null, "p50": null, "p90": null})),
                "used_fraction": part.used_fraction.as_ref().map(quantiles),
                "chance_within": {"30": within_30, "90": within_90, "180": within_180},
                "basis": part.basis.name(),
                "sentence": part.sentence,
            })
        })
        .collect();
    json!({"as_of": as_of.to_string(), "parts": parts})
}

/// What comes first, in sentences.
pub(crate) fn summary(parts: &[PartForecast]) -> String {
    let mut due: Vec<&PartForecast> = parts.iter().filter(|part| part.due_in_d.is_some()).collect();
    due.sort_by(|a, b| {
        let median = |part: &PartForecast| part.due_in_d.map_or(f64::INFINITY, |q| q.p50);
        median(a).total_cmp(&median(b))
    });
    match due.first() {
        Some(first) => first.sentence.clone(),
        None => "No part has a limit to be due by.".to_owned(),
    }
}

/// The parts in columns.
pub(crate) fn table(parts: &[PartForecast], as_of: Timestamp) -> String {
    let mut columns = Columns::new(&["part", "life used", "earliest", "likely", "latest", "for", "from"]);
    let day =
        |d: f64| date(as_of, d).map_or_else(|| "later".to_owned(), |at| at.to_string()[..10].to_owned());
    for part in parts {
        let Some(q) = part.due_in_d else { continue };
        columns.row(vec![
            part.id.clone(),
            part.used_fraction
                .map_or_else(String::new, |used| format!("{:.0} %", 100.0 * used.p50)),
            day(q.p10),
            day(q.p50),
            day(q.p90),
            part.limit
                .map_or_else(String::new, |limit| limit.name().replace('_', " ")),
            part.basis.name().to_owned(),
        ]);
    }
    columns.text()
}
