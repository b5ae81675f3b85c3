//! The columns of a log: what each was taken for, and the choice of something else.

use std::collections::BTreeMap;

use intake::{Error, Log, MappedColumn, Mapping, MappingError, Target, Told};
use maud::{Markup, html};
use reading::Field;
use unit::Unit;

use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form;
use crate::show::{told, words};

/// The most columns that can be chosen for.
const MOST: usize = 60;

/// A column as it stands in the file.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Column {
    pub(super) heading: String,
    /// What it is taken for; empty where nothing.
    pub(super) field: String,
    pub(super) unit: String,
    /// Why it is not read.
    pub(super) why_not: Option<Told>,
}

/// The columns of a log that was read.
pub(super) fn of_log(log: &Log) -> Vec<Column> {
    let read = log.columns.iter().map(|column| Column {
        heading: column.heading.clone(),
        field: column.field(),
        unit: column.unit.clone(),
        why_not: None,
    });
    let ignored = log.ignored.iter().map(|column| Column {
        heading: column.heading.clone(),
        field: "ignore".to_owned(),
        unit: String::new(),
        why_not: Some(column.reason.clone()),
    });
    let mut columns: Vec<Column> = read.chain(ignored).collect();
    columns.truncate(MOST);
    columns
}

/// The columns of a log that could not be read without a choice.
pub(super) fn of_error(error: &Error) -> Vec<Column> {
    let headings: Vec<&String> = match error {
        Error::NoHeadings { found, .. } | Error::NoDate { found, .. } => found.iter().collect(),
        Error::TwoColumns { first, second, .. } => vec![first, second],
        Error::Mapping(MappingError::Twice { first, second, .. }) => vec![first, second],
        _ => Vec::new(),
    };
    let columns = headings.into_iter().take(MOST).map(|heading| Column {
        heading: heading.clone(),
        field: String::new(),
        unit: String::new(),
        why_not: None,
    });
    columns.collect()
}

/// All that a column of this unit's log can be: names with words.
fn choices(ask: &Ask<'_>, unit: &Unit) -> Vec<(String, String)> {
    let say = ask.say;
    let mut choices: Vec<(String, String)> = [
        ("date", "import-date"),
        ("time", "import-time"),
        ("note", "note"),
        ("by", "import-by"),
        ("ignore", "import-ignore"),
    ]
    .map(|(name, key)| (name.to_owned(), say.say(key)))
    .to_vec();
    choices.extend(
        Field::ALL
            .iter()
            .map(|field| (field.name().to_owned(), words::field(ask, *field))),
    );
    let mut after = |target: Target, key: &str, id: &str| {
        let words = say.with(key, &[("part", words::part(ask, unit, id).into())]);
        choices.push((target.name(), words));
    };
    for stage in &unit.stages {
        let id = stage.id.as_str();
        after(Target::PressureAfter(id.to_owned()), "spot-pressure-after", id);
        after(Target::ChlorineAfter(id.to_owned()), "spot-chlorine-after", id);
    }
    for polish in &unit.permeate.polish {
        let id = polish.id.as_str();
        after(
            Target::ConductivityAfter(id.to_owned()),
            "spot-conductivity-after",
            id,
        );
    }
    for element in &unit.membranes.elements {
        let id = element.id.as_str();
        after(Target::ElementPermeate(id.to_owned()), "spot-element", id);
    }
    choices
}

/// What was chosen in the form, by heading; none where nothing was. What stands as it was recognised is no choice: the
/// reader knows more of such a column than a name and a unit.
pub(super) fn chosen(sent: &Fields) -> Option<Mapping> {
    let mut columns = BTreeMap::new();
    for place in 0..MOST {
        let (field, unit) = (
            sent.get(&format!("column.{place}")),
            sent.get(&format!("unit.{place}")),
        );
        let recognised = sent.get(&format!("recognised.{place}"));
        let heading = sent.get(&format!("heading.{place}"));
        if field.is_empty() || heading.is_empty() || format!("{field} {unit}").trim() == recognised {
            continue;
        }
        let column = MappedColumn {
            field: field.to_owned(),
            unit: (!unit.is_empty()).then(|| unit.to_owned()),
        };
        columns.insert(heading.to_owned(), column);
    }
    let order = match sent.get("date_order") {
        "day" => Some(intake::Order::DayFirst),
        "month" => Some(intake::Order::MonthFirst),
        "year" => Some(intake::Order::YearFirst),
        _ => None,
    };
    let mapping = Mapping {
        columns,
        date_order: order,
        header_line: sent.get("header_line").parse().ok(),
        sheet: Some(sent.get("sheet").to_owned()).filter(|sheet| !sheet.is_empty()),
        ..Mapping::default()
    };
    (mapping != Mapping::default()).then_some(mapping)
}

/// A select and a unit for each column. `recognised` are the columns as the reader takes them on its own.
pub(super) fn table(ask: &Ask<'_>, unit: &Unit, columns: &[Column], recognised: &[Column]) -> Markup {
    let say = ask.say;
    let choices = choices(ask, unit);
    let own = |column: &Column| {
        let known = recognised.iter().find(|known| known.heading == column.heading);
        known.map_or_else(String::new, |known| {
            format!("{} {}", known.field, known.unit).trim().to_owned()
        })
    };
    html! {
        div.wide tabindex="0" role="region" aria-label=(say.say("import-columns")) { table.columns {
            caption { (say.say("import-columns-about")) }
            thead { tr {
                th scope="col" { (say.say("import-heading")) }
                th scope="col" { (say.say("import-read-as")) }
                th scope="col" { (say.say("import-unit")) }
            } }
            tbody {
                @for (place, column) in columns.iter().enumerate() {
                    @let (field, in_unit) = (format!("column.{place}"), format!("unit.{place}"));
                    tr {
                        th scope="row" {
                            (column.heading)
                            @if let Some(why) = &column.why_not { p.small { (told::words(ask, Some(unit), "", why)) } }
                            input type="hidden" name=(format!("heading.{place}")) value=(column.heading);
                            input type="hidden" name=(format!("recognised.{place}")) value=(own(column));
                        }
                        td data-label=(say.say("import-read-as")) {
                            select name=(field) id=(form::field_id(&field)) aria-label={ (say.say("import-read-as")) ": " (column.heading) } {
                                option value="" selected[column.field.is_empty()] { (say.say("choose")) }
                                @for (name, words) in &choices { option value=(name) selected[*name == column.field] { (words) } }
                            }
                        }
                        td data-label=(say.say("import-unit")) {
                            input type="text" name=(in_unit) id=(form::field_id(&in_unit)) value=(column.unit) autocomplete="off" spellcheck="false"
                                aria-label={ (say.say("import-unit")) ": " (column.heading) };
                        }
                    }
                }
            }
        } }
    }
}
