//! The tables of a ledger.

use std::collections::BTreeSet;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use ledger::payload::{event_document, water_document};
use ledger::{Origin, State, UnitHistory};
use reading::{Dimension, Field, Reading};
use serde_json::{Map, Value};

use crate::sheet::{Cell, Sheet};

/// A table that can be exported.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Table {
    /// Units as built today.
    Units,
    /// Readings.
    Readings,
    /// What was done.
    Events,
    /// Analyses of the units' feeds.
    Waters,
    /// Rows of reading logs that could not be read.
    SetAside,
    /// Every entry of the log about the units, as it was written, and the corrections of these.
    Log,
}

impl Table {
    /// All.
    pub const ALL: [Self; 6] = [
        Self::Units,
        Self::Readings,
        Self::Events,
        Self::Waters,
        Self::SetAside,
        Self::Log,
    ];

    /// Its name: of the sheet, and for options.
    pub fn name(self) -> &'static str {
        match self {
            Self::Units => "units",
            Self::Readings => "readings",
            Self::Events => "events",
            Self::Waters => "waters",
            Self::SetAside => "set_aside",
            Self::Log => "log",
        }
    }

    /// The table of this name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|table| table.name() == name)
    }

    pub(crate) fn of(self, state: &State, units: &[&str]) -> Sheet {
        let histories: Vec<Listed<'_>> = units
            .iter()
            .filter_map(|id| {
                state.unit(id).map(|history| Listed {
                    id,
                    zone: zone(history),
                    history,
                })
            })
            .collect();
        let (headings, rows) = match self {
            Self::Units => units_table(state, &histories),
            Self::Readings => readings(&histories),
            Self::Events => events(&histories),
            Self::Waters => waters(state, &histories),
            Self::SetAside => set_aside(&histories),
            Self::Log => log(state, units),
        };
        Sheet {
            name: self.name(),
            headings,
            rows,
        }
    }
}

struct Listed<'a> {
    id: &'a str,
    zone: TimeZone,
    history: &'a UnitHistory,
}

type Rows = (Vec<String>, Vec<Vec<Cell>>);

fn zone(history: &UnitHistory) -> TimeZone {
    history.unit().map_or(TimeZone::UTC, casefile::time_zone)
}

fn headings(names: &[&str]) -> Vec<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

impl Listed<'_> {
    /// The cells with which every row begins: unit, time, and the time on the wall.
    fn begin(&self, at: Timestamp) -> Vec<Cell> {
        let local = self.zone.to_datetime(at);
        vec![Cell::Text(self.id.to_owned()), Cell::At(at), Cell::Local(local)]
    }
}

/// The cells with which a row ends: whether it was corrected, and its entry.
fn end(row: &mut Vec<Cell>, origin: Option<&Origin>) {
    let corrected = origin.is_some_and(|origin| origin.corrected);
    row.push(Cell::words(if corrected { "corrected" } else { "" }));
    row.push(Cell::words(
        &origin.map(|origin| origin.entry.to_string()).unwrap_or_default(),
    ));
}

/// A document in one cell.
fn document(document: &Map<String, Value>) -> Cell {
    Cell::words(&serde_json::to_string(document).unwrap_or_default())
}

fn units_table(state: &State, units: &[Listed<'_>]) -> Rows {
    let names = [
        "unit",
        "name",
        "site",
        "customer",
        "commissioned",
        "retired_at",
        "readings",
        "events",
        "document",
    ];
    let row = |unit: &Listed<'_>| {
        let history = unit.history;
        let site = history.site.as_deref();
        let described = site
            .and_then(|site| state.site(site))
            .and_then(|site| site.described.as_ref());
        let customer = described.and_then(|site| site.what.customer.as_deref());
        let built = history.unit();
        let commissioned = built
            .and_then(|unit| unit.commissioned)
            .map(|date| date.to_string());
        vec![
            Cell::words(unit.id),
            Cell::words(built.map_or("", |unit| &unit.name)),
            Cell::words(site.unwrap_or_default()),
            Cell::words(customer.unwrap_or_default()),
            Cell::words(&commissioned.unwrap_or_default()),
            history
                .retired
                .as_ref()
                .map_or(Cell::Empty, |retired| Cell::At(retired.at)),
            Cell::Number(history.readings().len() as f64),
            Cell::Number(history.events().len() as f64),
            history
                .descriptions
                .last()
                .map_or(Cell::Empty, |described| document(&described.what.document)),
        ]
    };
    (headings(&names), units.iter().map(row).collect())
}

/// The unit of a field's numbers, as it ends its heading (contract, section 2).
fn suffix(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Flow => "_l_h",
        Dimension::Volume => "_l",
        Dimension::Pressure => "_kpa",
        Dimension::Temperature => "_c",
        Dimension::Concentration => "_mg_l",
        Dimension::AsCaco3 => "_mg_l_caco3",
        Dimension::Conductivity => "_us_cm",
        Dimension::RunningHours => "_h",
        Dimension::RunningMinutes => "_min",
    }
}

/// A value that a reading has for each part.
struct ByPart {
    name: &'static str,
    suffix: &'static str,
    of: fn(&Reading) -> &std::collections::BTreeMap<String, f64>,
}

const BY_PART: [ByPart; 4] = [
    ByPart {
        name: "pressure_after",
        suffix: "_kpa",
        of: |reading| &reading.pressure_after_kpa,
    },
    ByPart {
        name: "chlorine_after",
        suffix: "_mg_l",
        of: |reading| &reading.chlorine_after_mg_l,
    },
    ByPart {
        name: "conductivity_after",
        suffix: "_us_cm",
        of: |reading| &reading.conductivity_after_us_cm,
    },
    ByPart {
        name: "element_permeate_conductivity",
        suffix: "_us_cm",
        of: |reading| &reading.element_permeate_us_cm,
    },
];

fn readings(units: &[Listed<'_>]) -> Rows {
    let all = || units.iter().flat_map(|unit| unit.history.readings());
    let mut columns = headings(&["unit", "at", "local_time"]);
    columns.extend(
        Field::ALL
            .iter()
            .map(|field| format!("{}{}", field.name(), suffix(field.dimension()))),
    );
    let parts: Vec<(&ByPart, BTreeSet<&str>)> = BY_PART
        .iter()
        .map(|by_part| {
            (
                by_part,
                all()
                    .flat_map(|reading| (by_part.of)(reading).keys())
                    .map(String::as_str)
                    .collect(),
            )
        })
        .collect();
    for (by_part, ids) in &parts {
        columns.extend(
            ids.iter()
                .map(|id| format!("{}.{id}{}", by_part.name, by_part.suffix)),
        );
    }
    columns.extend(headings(&["observed", "by", "note", "corrected", "entry"]));
    let mut rows = Vec::with_capacity(all().count());
    for unit in units {
        let origins = unit
            .history
            .reading_origins()
            .iter()
            .map(Some)
            .chain(std::iter::repeat(None));
        for (reading, origin) in unit.history.readings().iter().zip(origins) {
            let mut row = unit.begin(reading.at);
            row.extend(Field::ALL.iter().map(|&field| Cell::from(reading.get(field))));
            for (by_part, ids) in &parts {
                let values = (by_part.of)(reading);
                row.extend(ids.iter().map(|id| Cell::from(values.get(*id).copied())));
            }
            let observed: Vec<_> = reading.observed.iter().map(|observed| observed.name()).collect();
            row.extend([&observed.join(", "), &reading.by, &reading.note].map(|text| Cell::words(text)));
            end(&mut row, origin);
            rows.push(row);
        }
    }
    (columns, rows)
}

fn events(units: &[Listed<'_>]) -> Rows {
    let names = [
        "unit",
        "at",
        "local_time",
        "kind",
        "part",
        "note",
        "to",
        "water",
        "corrected",
        "entry",
    ];
    let mut rows = Vec::new();
    for unit in units {
        let origins = unit
            .history
            .event_origins()
            .iter()
            .map(Some)
            .chain(std::iter::repeat(None));
        for (event, origin) in unit.history.events().iter().zip(origins) {
            let mut row = unit.begin(event.at);
            let told = event_document(event);
            row.extend([
                Cell::words(event.kind.name()),
                Cell::words(event.part.as_deref().unwrap_or_default()),
                Cell::words(&event.note),
            ]);
            row.extend(
                ["to", "water"].map(|name| told.get(name).map_or(Cell::Empty, |v| Cell::Text(v.to_string()))),
            );
            end(&mut row, origin);
            rows.push(row);
        }
    }
    (headings(&names), rows)
}

/// The columns of an analysis: names of the contract's `water`, with the unit that ends the heading.
const WATER: [(&str, &str); 27] = [
    ("temperature", "_c"),
    ("ph", ""),
    ("calcium", "_mg_l"),
    ("magnesium", "_mg_l"),
    ("sodium", "_mg_l"),
    ("potassium", "_mg_l"),
    ("strontium", "_mg_l"),
    ("barium", "_mg_l"),
    ("iron", "_mg_l"),
    ("manganese", "_mg_l"),
    ("ammonium", "_mg_l"),
    ("alkalinity", "_mg_l_caco3"),
    ("chloride", "_mg_l"),
    ("sulfate", "_mg_l"),
    ("nitrate", "_mg_l"),
    ("fluoride", "_mg_l"),
    ("silica", "_mg_l"),
    ("boron", "_mg_l"),
    ("phosphate", "_mg_l"),
    ("conductivity", "_us_cm"),
    ("tds", "_mg_l"),
    ("hardness", "_mg_l_caco3"),
    ("free_chlorine", "_mg_l"),
    ("chloramine", "_mg_l"),
    ("turbidity", "_ntu"),
    ("sdi", ""),
    ("toc", "_mg_l"),
];

fn waters(state: &State, units: &[Listed<'_>]) -> Rows {
    let mut columns = headings(&["unit", "at", "local_time", "name"]);
    columns.extend(WATER.iter().map(|(name, suffix)| format!("{name}{suffix}")));
    columns.extend(headings(&["corrected", "entry"]));
    let mut rows = Vec::new();
    for unit in units {
        for water in state.waters(unit.id) {
            let mut row = unit.begin(water.at);
            let told = water_document(&water.what);
            row.push(Cell::words(&water.what.name));
            row.extend(
                WATER
                    .iter()
                    .map(|(name, _)| Cell::from(told.get(*name).and_then(Value::as_f64))),
            );
            end(&mut row, Some(&water.origin));
            rows.push(row);
        }
    }
    (columns, rows)
}

fn set_aside(units: &[Listed<'_>]) -> Rows {
    let names = [
        "unit",
        "at",
        "local_time",
        "line",
        "reason",
        "row",
        "corrected",
        "entry",
    ];
    let mut rows = Vec::new();
    for unit in units {
        for kept in &unit.history.set_aside {
            let mut row = unit.begin(kept.at);
            row.push(Cell::from(kept.what.from.map(|from| f64::from(from.line))));
            row.extend([&kept.what.reason, &kept.what.cells.join(" | ")].map(|text| Cell::words(text)));
            end(&mut row, Some(&kept.origin));
            rows.push(row);
        }
    }
    (headings(&names), rows)
}

fn log(state: &State, units: &[&str]) -> Rows {
    let names = [
        "entry",
        "happened_at",
        "written_at",
        "by",
        "device",
        "kind",
        "about",
        "payload",
    ];
    let rows = crate::lines::entries_of(state, units).map(|entry| {
        let about = entry
            .payload
            .subject()
            .map(ToString::to_string)
            .unwrap_or_default();
        vec![
            Cell::Text(entry.id.to_string()),
            Cell::At(entry.happened_at),
            Cell::At(entry.written_at),
            Cell::words(&entry.by),
            Cell::words(&entry.device),
            Cell::words(entry.payload.kind().name()),
            Cell::words(&about),
            Cell::words(entry.payload.json()),
        ]
    });
    (headings(&names), rows.collect())
}
