//! `diagnose`: what is wrong, and what to test next.

use casefile::{Document, Faults, Invalid, Table};
use fault::{Diagnosis, diagnose};
use reading::Reading;
use serde_json::{Value, json};

use crate::case::Case;
use crate::failure::Failure;
use crate::output::Answer;
use crate::present::Columns;

pub(crate) fn answer(document: &Document) -> Result<Answer, Failure> {
    let case = Case::read(document)?;
    let (reading, baseline) = in_question(document, &case)?;
    let diagnosis = diagnose(&fault::Case {
        unit: &case.unit,
        water: case.water.as_ref(),
        reading: &reading,
        baseline: baseline.as_ref(),
        readings: &case.readings,
        events: &case.events,
    })
    .map_err(|error| {
        let why = std::error::Error::source(&error).map_or_else(String::new, |source| format!(": {source}"));
        Failure::Impossible(format!("{error}{why}"))
    })?;
    Ok(Answer {
        json: json_of(&diagnosis),
        text: text(&diagnosis),
        warnings: case.warnings,
    })
}

/// The reading in question and the baseline, where one is given.
fn in_question(document: &Document, case: &Case) -> Result<(Reading, Option<Reading>), Invalid> {
    let faults = Faults::new();
    let top = Table::new(&document.tree, "", &faults);
    let reading = top
        .required_table("reading", "a table with the reading that is in question")
        .and_then(|table| casefile::reading(table, &case.unit));
    let baseline = top
        .table("baseline")
        .map(|table| casefile::reading(table, &case.unit));
    let found = reading.map(|reading| (reading, baseline.flatten()));
    faults.settle(&document.file, found)
}

/// A diagnosis as data.
fn json_of(diagnosis: &Diagnosis) -> Value {
    let causes: Vec<Value> = diagnosis
        .causes
        .iter()
        .map(|one| {
            json!({
                "cause": one.cause.name(),
                "part": one.part,
                "probability": one.probability,
                "sentence": one.sentence,
            })
        })
        .collect();
    let pairs: Vec<Value> = diagnosis
        .pairs
        .iter()
        .map(|pair| {
            json!({
                "causes": pair.causes.map(fault::Cause::name),
                "probability": pair.probability,
            })
        })
        .collect();
    let next = diagnosis.next_test.as_ref().map(|test| {
        json!({
            "action": test.action,
            "field": test.field,
            "expected_information_bits": test.expected_information_bits,
            "sentence": test.sentence,
        })
    });
    json!({
        "explained_by_conditions": diagnosis.explained_by_conditions,
        "causes": causes,
        "pairs": pairs,
        "next_test": next,
        "warnings": diagnosis.warnings,
    })
}

/// Causes less probable than this are not worth a line.
const WORTH_A_LINE: f64 = 0.005;

fn text(diagnosis: &Diagnosis) -> String {
    let mut columns = Columns::new(&["chance", "cause", "part"]);
    for one in diagnosis
        .causes
        .iter()
        .filter(|one| one.probability >= WORTH_A_LINE)
    {
        columns.row(vec![
            format!("{:.0} %", 100.0 * one.probability),
            one.cause.name().replace('_', " "),
            one.part.as_deref().unwrap_or_default().replace('_', " "),
        ]);
    }
    let mut text = format!("{}\n\n{}", diagnosis.summary(), columns.text());
    for pair in &diagnosis.pairs {
        let [a, b] = pair.causes.map(|cause| cause.name().replace('_', " "));
        text.push_str(&format!(
            "\nTwo at once may explain it better: {a} with {b} ({:.0} %).\n",
            100.0 * pair.probability
        ));
    }
    if let Some(test) = &diagnosis.next_test {
        text.push_str(&format!(
            "\nTest next ({:.2} bits expected): {}\n",
            test.expected_information_bits, test.sentence
        ));
    }
    for warning in &diagnosis.warnings {
        text.push_str(&format!("\nNote: {warning}\n"));
    }
    text
}
