//! `diagnose`: what is wrong, and what to test next.

use casefile::Document;
use fault::{DiagnoseError, Diagnosis, Known, Ranked, diagnose_knowing};
use jiff::Timestamp;
use reading::Reading;
use serde_json::{Value, json};
use wear::forecast::forecast;
use wear::standardise;

use crate::case::Case;
use crate::failure::Failure;
use crate::output::Answer;
use crate::present::Columns;

pub(crate) fn answer(document: &Document) -> Result<Answer, Failure> {
    let (case, (reading, baseline)) = Case::read_with(document, |top, unit| {
        let baseline = top.table("baseline");
        let reading = top.required_table("reading", "a table with the reading that is in question");
        let unit = unit?;
        let baseline = baseline.map(|table| casefile::reading(table, unit));
        let reading = reading.and_then(|table| casefile::reading(table, unit));
        reading.map(|reading| (reading, baseline.flatten()))
    })?;
    let known = known(&case, reading.at);
    let diagnosis = diagnose_knowing(&case_of(&case, &reading, baseline.as_ref()), &known)
        .map_err(|error| impossible(&error))?;
    Ok(Answer {
        json: json_of(&diagnosis),
        text: text(&diagnosis),
        warnings: case.warnings,
    })
}

/// What the fault crate looks at.
pub(super) fn case_of<'a>(
    case: &'a Case,
    reading: &'a Reading,
    baseline: Option<&'a Reading>,
) -> fault::Case<'a> {
    fault::Case {
        unit: &case.unit,
        water: case.water.as_ref(),
        reading,
        baseline,
        readings: &case.readings,
        events: &case.events,
    }
}

/// What the forecast says of each part's life at the time of the reading; nothing where there are no readings before it.
pub(super) fn known(case: &Case, at: Timestamp) -> Known {
    if case.readings.is_empty() {
        return Known::default();
    }
    let history = case.history();
    let parts = forecast(&history, &standardise(&history), at);
    Known {
        used_fraction: parts
            .into_iter()
            .filter_map(|part| Some((part.id, part.used_fraction?.p50)))
            .collect(),
    }
}

/// A unit that no physics can compute.
pub(super) fn impossible(error: &DiagnoseError) -> Failure {
    let why = std::error::Error::source(error).map_or_else(String::new, |source| format!(": {source}"));
    Failure::Impossible(format!("{error}{why}"))
}

/// A diagnosis as data.
pub(super) fn json_of(diagnosis: &Diagnosis) -> Value {
    let causes: Vec<Value> = diagnosis
        .causes
        .iter()
        .map(|one| {
            let advice = one.advice();
            json!({
                "cause": one.cause.name(),
                "part": one.part,
                "probability": one.probability,
                "sentence": one.sentence(),
                "action": advice.action,
                "urgency": advice.urgency.name(),
                "if_left": advice.if_left,
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
            "action": test.test.action(),
            "field": test.test.field(),
            "expected_information_bits": test.expected_information_bits,
            "sentence": test.test.sentence(),
        })
    });
    json!({
        "explained_by_conditions": diagnosis.explained_by_conditions,
        "causes": causes,
        "pairs": pairs,
        "next_test": next,
        "warnings": diagnosis.warnings.iter().map(ToString::to_string).collect::<Vec<_>>(),
    })
}

/// A cause less probable than this is not acted on without one more test (common practice, no source).
const LIKELY: f64 = 0.6;
/// Causes less probable than this are not worth a line.
const WORTH_A_LINE: f64 = 0.005;

fn text(diagnosis: &Diagnosis) -> String {
    let mut text = verdict(diagnosis);
    if let Some(test) = &diagnosis.next_test {
        text.push_str(&format!(
            "\nTest next ({:.2} bits expected): {}\n",
            test.expected_information_bits,
            test.test.sentence()
        ));
    }
    for warning in &diagnosis.warnings {
        text.push_str(&format!("\nNote: {warning}\n"));
    }
    text
}

/// What is wrong, ranked, and what to do about the first.
pub(super) fn verdict(diagnosis: &Diagnosis) -> String {
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
    if let Some(first) = diagnosis.causes.first() {
        text.push_str(&what_to_do(first));
    }
    text
}

fn what_to_do(first: &Ranked) -> String {
    let advice = first.advice();
    let part = first.part.as_deref().unwrap_or("no one part");
    // Parts are not changed by guess.
    let unsure = if first.probability < LIKELY {
        "\nNone is likely enough to act on yet. For the first of them:\n"
    } else {
        ""
    };
    format!(
        "{unsure}\nWhat to do:    {}.\nPart:          {}\nUrgency:       {}\nIf it is left: {}.\n",
        advice.action,
        part.replace('_', " "),
        advice.urgency.words(),
        advice.if_left
    )
}
