//! `labels`: for a unit and its housings, as PDF sheets.

use std::collections::BTreeMap;

use casefile::{Faults, Table};
use evaluation::Evaluation;
use jiff::Timestamp;
use jiff::civil::Date;
use report::{HousingLabel, LabelSheet, Paper, ReportError, UnitLabel};
use serde_json::json;
use service::{CardError, HousingNote, Site, housing_notes};
use unit::Unit;
use wear::History;

use super::{jobcard, ledger as ledgers};
use crate::args::Labels;
use crate::case::time_option;
use crate::failure::Failure;
use crate::output::{Answer, print};
use crate::{input, output_file};

/// What is known of a unit beside its plan.
struct Known {
    unit: Unit,
    site: Option<String>,
    /// Day when a part went in, and the first on which it may be due (p10 of its forecast); by part.
    days: BTreeMap<String, (Option<String>, Option<String>)>,
}

pub(crate) fn run(args: &Labels) -> Result<(), Failure> {
    let sheet = sheet(args)?;
    let known = match (&args.unit_id, &args.unit) {
        (Some(id), _) => of_ledger(args, id)?,
        (None, file) => of_file(file.as_deref())?,
    };
    let unit = &known.unit;
    let asked: Vec<&str> = args.part.iter().map(String::as_str).collect();
    if let Some(unknown) = asked.iter().find(|part| !unit.part_ids().any(|id| id == **part)) {
        let ids: Vec<&str> = unit.part_ids().collect();
        return Err(command_line(
            "--part",
            unknown,
            &format!("one of the unit's parts: {}", ids.join(", ")),
        ));
    }
    let language = args.on.language.into();
    let site = Site {
        language,
        ..Site::default()
    };
    let notes = housing_notes(unit, &asked, &site).map_err(|error: CardError| {
        Failure::Impossible(format!("the labels of {} could not be made: {error}", unit.id))
    })?;
    let name = if unit.name.is_empty() {
        &unit.id
    } else {
        &unit.name
    };
    let address = format!("{}/units/{}", args.base.trim_end_matches('/'), unit.id);
    let labels = report::Labels {
        language,
        sheet,
        skip: args.skip,
        edges: args.edges,
        unit: asked.is_empty().then(|| UnitLabel {
            name: name.clone(),
            id: unit.id.clone(),
            site: known.site.clone(),
            contact: args.contact.clone(),
            address: address.clone(),
        }),
        housings: notes
            .into_iter()
            .map(|note| housing(name, note, &known))
            .collect(),
    };
    let bytes = report::labels(&labels).map_err(|error| failed(error, &labels))?;
    output_file::write(&args.pdf, bytes)?;
    let parts: Vec<&str> = labels.housings.iter().map(|label| label.part.as_str()).collect();
    let answer = Answer {
        json: json!({
            "unit": unit.id,
            "file": args.pdf.display().to_string(),
            "paper": sheet.paper.name(),
            "size": sheet.name,
            "address": address,
            "parts": parts,
        }),
        text: format!(
            "Labels of {name} on {}, {} mm, in {}: {}{}.\n",
            sheet.paper.name(),
            sheet.name,
            args.pdf.display(),
            if asked.is_empty() { "the unit, " } else { "" },
            parts.join(", ")
        ),
        warnings: Vec::new(),
    };
    print(&answer, args.json)
}

/// Why there are no labels, and what would do.
fn failed(error: ReportError, labels: &report::Labels) -> Failure {
    match error {
        ReportError::NoRoom { what, label } => {
            let fits = |sheet: &LabelSheet| {
                report::labels(&report::Labels {
                    sheet: *sheet,
                    skip: 0,
                    ..labels.clone()
                })
                .is_ok()
            };
            let roomy: Vec<String> = LabelSheet::ALL
                .iter()
                .filter(|sheet| fits(sheet))
                .map(|sheet| format!("{} on {}", sheet.name, sheet.paper.name()))
                .collect();
            let accepted = if roomy.is_empty() {
                "no size has room for all of it: a shorter --contact or --base, or the labels one by one with --part".to_owned()
            } else {
                format!(
                    "a size with room for all that must stand there: {}",
                    roomy.join(", ")
                )
            };
            command_line("--size", label, &format!("for the label of {what} {accepted}"))
        }
        ReportError::Skip { skip, label, count } => command_line(
            "--skip",
            &skip.to_string(),
            &format!(
                "0 to {}: a sheet of {label} has {count} labels",
                count.saturating_sub(1)
            ),
        ),
        other => jobcard::failed(other, "--base"),
    }
}

fn command_line(option: &str, read: &str, accepted: &str) -> Failure {
    Failure::field("the command line", option, format!("{read:?}"), accepted)
}

fn sheet(args: &Labels) -> Result<LabelSheet, Failure> {
    let paper = Paper::from(args.on.paper);
    let names: Vec<&str> = LabelSheet::on(paper).map(|sheet| sheet.name).collect();
    let name = args
        .size
        .as_deref()
        .or(names.first().copied())
        .unwrap_or_default();
    LabelSheet::from_name(paper, name).ok_or_else(|| {
        command_line(
            "--size",
            name,
            &format!("on {}: {}", paper.name(), names.join(", ")),
        )
    })
}

fn housing(unit: &str, note: HousingNote, known: &Known) -> HousingLabel {
    let (since, due) = known.days.get(&note.part).cloned().unwrap_or_default();
    HousingLabel {
        unit: unit.to_owned(),
        part: note.part,
        what: note.what,
        before: note.before,
        after: note.after,
        since,
        due,
    }
}

fn of_file(file: Option<&std::path::Path>) -> Result<Known, Failure> {
    let document = input::document(file)?;
    let faults = Faults::new();
    let top = Table::new(&document.tree, "", &faults);
    let unit = top
        .required_table("unit", "a table that describes the unit")
        .and_then(casefile::unit_plan);
    Ok(Known {
        unit: faults.settle(&document.file, unit)?,
        site: None,
        days: BTreeMap::new(),
    })
}

fn of_ledger(args: &Labels, id: &str) -> Result<Known, Failure> {
    let store = ledgers::open(&args.place)?;
    let state = ledgers::state(&store)?;
    let file = store.path().display().to_string();
    ledgers::known_unit(&state, &file, id)?;
    let history = state.unit(id);
    let Some((history, unit)) = history.and_then(|history| Some((history, history.unit()?))) else {
        return Err(Failure::field(
            &file,
            "--unit-id",
            format!("{id:?}"),
            "a unit of the ledger",
        ));
    };
    let as_of = match &args.as_of {
        Some(text) => time_option(text, "--as-of", unit)?,
        None => Timestamp::now(),
    };
    let zone = casefile::time_zone(unit);
    let events = history.events_until(as_of);
    let evaluation = Evaluation::of(
        &History {
            unit,
            water: state.water_at(id, as_of),
            readings: history.readings_until(as_of),
            events,
        },
        as_of,
        &ledgers::other_units(&state, id, as_of),
    );
    let mut days = BTreeMap::new();
    for part in unit.part_ids() {
        let found = evaluation::days::of_part(unit, part, events, &evaluation.parts, as_of, &zone);
        let said = |day: Option<Date>| day.map(|day| day.to_string());
        days.insert(part.to_owned(), (said(found.since), said(found.due)));
    }
    let site = history.site.as_deref().map(|id| {
        let described = state.site(id).and_then(|site| site.described.as_ref());
        described.map_or_else(|| id.to_owned(), |site| site.what.name.clone())
    });
    Ok(Known {
        unit: unit.clone(),
        site,
        days,
    })
}
