//! `jobcard`: the ordered safe procedure for changing the named parts.

use casefile::{Document, Fault, Faults, Invalid, Table};
use serde_json::{Value, json};
use service::{CardError, JobCard, Site, Work, job_card, render_text};
use unit::Unit;

use crate::failure::Failure;
use crate::output::Answer;

pub(crate) fn answer(document: &Document) -> Result<Answer, Failure> {
    let (unit, work, warnings) = read(document)?;
    let site = Site::default();
    let card = job_card(&unit, &work, &site).map_err(|error| refused(document, error))?;
    Ok(Answer {
        json: json(&card),
        text: render_text(&card),
        warnings,
    })
}

fn read(document: &Document) -> Result<(Unit, Vec<Work>, Vec<String>), Failure> {
    let faults = Faults::new();
    let top = Table::new(&document.tree, "", &faults);
    let unit = top
        .required_table("unit", "a table that describes the unit")
        .and_then(casefile::unit_plan);
    let work = casefile::work(&top, "work");
    let warnings = faults.warnings();
    let (unit, work) = faults.settle(&document.file, unit.zip(work))?;
    Ok((unit, work, warnings))
}

fn refused(document: &Document, error: CardError) -> Failure {
    match error {
        CardError::Input(found) => {
            let faults = found
                .into_iter()
                .map(|fault| Fault {
                    path: fault.path,
                    read: fault.read,
                    accepted: fault.accepted,
                })
                .collect();
            Failure::Input(Invalid {
                file: document.file.clone(),
                faults,
            })
        }
        other => Failure::Impossible(format!("{}: {other}", document.file)),
    }
}

fn work_json(work: &Work) -> Value {
    match work {
        Work::Change { part } => json!(part),
        other => match other.part() {
            Some(part) => json!({"do": other.name(), "part": part}),
            None => json!({"do": other.name()}),
        },
    }
}

fn json(card: &JobCard) -> Value {
    let steps: Vec<Value> = card
        .steps
        .iter()
        .map(|step| {
            json!({
                "n": step.n,
                "phase": step.phase.name(),
                "action": step.action.name(),
                "target": step.target,
                "text": step.text,
                "why": step.why,
                "minutes": step.minutes,
                "caution": step.caution,
                "check": step.check,
            })
        })
        .collect();
    let parts: Vec<Value> = card
        .parts
        .iter()
        .map(|part| json!({"id": part.id, "what": part.what, "count": part.count}))
        .collect();
    let readings: Vec<Value> = card
        .readings_to_take
        .iter()
        .map(|reading| {
            json!({
                "field": reading.field,
                "expected": reading.expected,
                "low": reading.low,
                "high": reading.high,
            })
        })
        .collect();
    json!({
        "unit": card.unit,
        "work": card.work.iter().map(work_json).collect::<Vec<_>>(),
        "cautions": card.cautions,
        "tools": card.tools,
        "parts": parts,
        "steps": steps,
        "pressurised_after": card.pressurised_after,
        "readings_to_take": readings,
    })
}
