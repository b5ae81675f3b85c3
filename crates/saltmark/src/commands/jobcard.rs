//! `jobcard`: the ordered safe procedure for changing the named parts.

use casefile::{ConditionsTable, Document, Fault, Faults, Invalid, Table};
use report::{About, ReportError};
use serde_json::{Value, json};
use service::{
    CardError, CustomerCard, CustomerRefusal, Expected, JobCard, Site, Work, customer_card, job_card,
    render_text,
};
use unit::Unit;
use water::{Analysis, Water};

use crate::args::Jobcard;
use crate::failure::Failure;
use crate::output::Answer;
use crate::output_file;

pub(crate) fn answer(document: &Document, args: &Jobcard) -> Result<Answer, Failure> {
    let asked = Asked::read(document)?;
    let mut warnings = asked.warnings;
    let mut site = Site {
        inlet_pressure_kpa: asked.conditions.inlet_pressure_kpa,
        ..Site::default()
    };
    // The work is looked at first: what is expected after it has a meaning only where it can be done.
    if args.customer {
        return plain(document, &asked.unit, &asked.work, &site, args, warnings);
    }
    let card = job_card(&asked.unit, &asked.work, &site).map_err(|error| refused(document, error))?;
    let card = match expectations(document, &asked.unit, &asked.work, asked.water, asked.conditions)? {
        Ok(Some(found)) => {
            site.expected = found;
            card.expecting(&site.expected)
        }
        Ok(None) => card,
        Err(why) => {
            warnings.push(format!("the card has no expected values: {why}"));
            card
        }
    };
    if let Some(file) = &args.pdf {
        // The answer stands in English; the paper is for whoever works by it.
        let printed = job_card(&asked.unit, &asked.work, &in_language(&site, args))
            .map_err(|error| refused(document, error))?
            .expecting(&site.expected);
        let about = about(args, &asked.unit);
        let printed = report::job_card(&printed, &about).map_err(|error| failed(error, "--address"))?;
        output_file::write(file, &printed)?;
    }
    Ok(Answer {
        json: json(&card),
        text: render_text(&card),
        warnings,
    })
}

/// The place, for a card in the language of the paper.
fn in_language(site: &Site, args: &Jobcard) -> Site {
    Site {
        language: args.on.language.into(),
        ..site.clone()
    }
}

/// What stands on a printed card beside its own text.
fn about<'a>(args: &'a Jobcard, unit: &'a Unit) -> About<'a> {
    About {
        paper: args.on.paper.into(),
        language: args.on.language.into(),
        name: (!unit.name.is_empty()).then_some(unit.name.as_str()),
        site: args.site.as_deref(),
        date: args.date.as_deref(),
        address: args.address.as_deref(),
    }
}

/// A document that could not be printed; `option` is where its address was typed.
pub(super) fn failed(error: ReportError, option: &str) -> Failure {
    match error {
        ReportError::Address { length, most } => Failure::field(
            "the command line",
            option,
            format!("an address of {length} characters"),
            format!("at most {most}: the QR code of a longer one is read by no phone"),
        ),
        other => Failure::Impossible(other.to_string()),
    }
}

/// The plain card for a customer who changes cartridges alone.
fn plain(
    document: &Document,
    unit: &Unit,
    work: &[Work],
    site: &Site,
    args: &Jobcard,
    warnings: Vec<String>,
) -> Result<Answer, Failure> {
    let made = |site: &Site| {
        customer_card(unit, work, site).map_err(|error| match error {
            CustomerRefusal::Card(error) => refused(document, error),
            CustomerRefusal::NotForCustomers(_) => Failure::Impossible(format!("{}: {error}", document.file)),
        })
    };
    let card = made(site)?;
    if let Some(file) = &args.pdf {
        let printed = made(&in_language(site, args))?;
        let about = about(args, unit);
        let printed = report::customer_card(&printed, &about).map_err(|error| failed(error, "--address"))?;
        output_file::write(file, &printed)?;
    }
    let steps = card.steps.iter().map(
        |step| json!({"n": step.n, "caution": step.caution, "text": step.text, "minutes": step.minutes}),
    );
    let parts = card
        .parts
        .iter()
        .map(|part| json!({"id": part.id, "what": part.what, "count": part.count}));
    Ok(Answer {
        json: json!({
            "unit": card.unit,
            "work": work.iter().map(work_json).collect::<Vec<_>>(),
            "cautions": card.cautions,
            "parts": parts.collect::<Vec<_>>(),
            "steps": steps.collect::<Vec<_>>(),
            "call": card.call,
        }),
        text: plain_text(&card),
        warnings,
    })
}

fn plain_text(card: &CustomerCard) -> String {
    let mut text = format!("CARD FOR THE CUSTOMER - unit {}\n\n", card.unit);
    for caution in &card.cautions {
        text.push_str(&format!("! {caution}\n"));
    }
    text.push('\n');
    for part in &card.parts {
        text.push_str(&format!("[ ] {} x {} (for {})\n", part.count, part.what, part.id));
    }
    for step in &card.steps {
        text.push('\n');
        if let Some(caution) = &step.caution {
            text.push_str(&format!("! {caution}\n"));
        }
        text.push_str(&format!("{}. {}\n", step.n, step.text));
    }
    text.push_str(&format!("\n{}\n", card.call));
    text
}

/// What a document asks for.
struct Asked {
    unit: Unit,
    work: Vec<Work>,
    water: Option<Analysis>,
    conditions: ConditionsTable,
    warnings: Vec<String>,
}

impl Asked {
    fn read(document: &Document) -> Result<Self, Failure> {
        let faults = Faults::new();
        let top = Table::new(&document.tree, "", &faults);
        let unit = top
            .required_table("unit", "a table that describes the unit")
            .and_then(casefile::unit_plan);
        let work = casefile::work(&top, "work");
        let water = top.table("water").and_then(casefile::water_analysis);
        let conditions = top
            .table("conditions")
            .map(|table| casefile::conditions(table, unit.as_ref()))
            .unwrap_or_default();
        let warnings = faults.warnings();
        let (unit, work) = faults.settle(&document.file, unit.zip(work))?;
        Ok(Self {
            unit,
            work,
            water,
            conditions,
            warnings,
        })
    }
}

/// What the readings should be after the work; none where water and conditions are not given. The inner error says why there
/// is none although they are: no reason to hold a safe procedure back.
fn expectations(
    document: &Document,
    unit: &Unit,
    work: &[Work],
    water: Option<Analysis>,
    mut conditions: ConditionsTable,
) -> Result<Result<Option<Vec<Expected>>, String>, Failure> {
    let Some(mut analysis) = water else {
        return Ok(Ok(None));
    };
    let given = document
        .tree
        .get("conditions")
        .is_some_and(serde_json::Value::is_object);
    if !given {
        return Ok(Ok(None));
    }
    analysis.temperature_c = analysis.temperature_c.or(conditions.temperature_c);
    conditions.temperature_c = conditions.temperature_c.or(analysis.temperature_c);
    let water = Water::complete(&analysis).map_err(|errors| super::water::impossible(document, &errors))?;
    let Some(conditions) = conditions.complete() else {
        return Ok(Err(
            "`conditions` has no temperature or no inlet_pressure".to_owned()
        ));
    };
    match service::expected(unit, work, &water, &conditions) {
        Ok(found) => Ok(Ok(Some(found))),
        Err(error) => match super::predict::failed(&document.file, &error) {
            Failure::Impossible(why) => Ok(Err(why)),
            wrong => Err(wrong),
        },
    }
}

fn refused(document: &Document, error: CardError) -> Failure {
    match error {
        CardError::Input(found) => {
            let faults = found
                .into_iter()
                .map(|fault| Fault {
                    path: fault.path,
                    read: fault.read.into(),
                    accepted: fault.accepted.into(),
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
