//! Readings and events of a document.

use jiff::Timestamp;
use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;
use quantity::{Context, Kind};
use reading::{Dimension, Event, EventKind, Field, Observed, Reading};
use serde_json::Value;
use unit::Unit;

use crate::document::shown;
use crate::table::quantity_of;
use crate::{Range, Table, unit_plan, water_analysis};

/// A zone for times that are written without one.
pub type Time = TimeZone;

/// The zone in which a unit's times without a zone are read; UTC where its name is unknown.
pub fn time_zone(unit: &Unit) -> TimeZone {
    jiff::tz::db().get(&unit.time_zone).unwrap_or(TimeZone::UTC)
}

/// Reads a time: RFC 3339, or a date or date and time without a zone, read in `zone`.
pub fn time(text: &str, zone: &TimeZone) -> Option<Timestamp> {
    let text = text.trim();
    if let Ok(at) = text.parse::<Timestamp>() {
        return Some(at);
    }
    let local = match text.parse::<DateTime>() {
        Ok(local) => local,
        Err(_) => text.parse::<Date>().ok()?.at(0, 0, 0, 0),
    };
    zone.to_ambiguous_timestamp(local).compatible().ok()
}

/// Reads a list of readings, in order of time.
pub fn readings(table: &Table<'_>, name: &'static str, unit: &Unit) -> Option<Vec<Reading>> {
    let read: Vec<_> = table
        .tables(name)
        .into_iter()
        .map(|table| reading(table, unit))
        .collect();
    let mut readings: Vec<Reading> = read.into_iter().collect::<Option<_>>()?;
    readings.sort_by_key(|reading| reading.at);
    Some(readings)
}

/// Reads a list of events, in order of time.
pub fn events(table: &Table<'_>, name: &'static str, unit: &Unit) -> Option<Vec<Event>> {
    let read: Vec<_> = table
        .tables(name)
        .into_iter()
        .map(|table| event(table, unit))
        .collect();
    let mut events: Vec<Event> = read.into_iter().collect::<Option<_>>()?;
    events.sort_by_key(|event| event.at);
    Some(events)
}

fn at(table: &Table<'_>, unit: &Unit) -> Option<Timestamp> {
    let text = table.required_text("at")?;
    let at = time(text, &time_zone(unit));
    if at.is_none() {
        table.faults().add(
            &table.path("at"),
            format!("{text:?}"),
            "a time such as 2025-01-14T09:20:00Z",
        );
    }
    at
}

fn kind_and_range(dimension: Dimension) -> (Kind, Range) {
    match dimension {
        Dimension::Flow => (Kind::Flow, Range::closed(0.0, 1e6)),
        Dimension::Volume => (Kind::Volume, Range::closed(0.0, 1e12)),
        Dimension::Pressure => (Kind::Pressure, Range::closed(-101.325, 20_000.0)),
        Dimension::Temperature => (Kind::Temperature, Range::closed(-10.0, 120.0)),
        Dimension::Concentration => (Kind::Concentration, Range::closed(0.0, 500_000.0)),
        Dimension::AsCaco3 => (Kind::AsCaco3, Range::closed(0.0, 100_000.0)),
        Dimension::Conductivity => (Kind::Conductivity, Range::closed(0.0, 1e6)),
        Dimension::RunningHours => (Kind::Hours, Range::closed(0.0, 1e6)),
        Dimension::RunningMinutes => (Kind::Minutes, Range::closed(0.0, 1e7)),
    }
}

/// Reads one reading.
pub fn reading(table: Table<'_>, unit: &Unit) -> Option<Reading> {
    let at = at(&table, unit);
    let mut reading = Reading::new(at.unwrap_or(Timestamp::UNIX_EPOCH));
    for &field in Field::ALL {
        match field {
            Field::FeedTds => salt(&table, &mut reading, field, Field::FeedConductivity, unit),
            Field::PermeateTds => salt(&table, &mut reading, field, Field::PermeateConductivity, unit),
            _ => {
                let (kind, range) = kind_and_range(field.dimension());
                if let Some(value) = table.quantity(field.name(), kind, range) {
                    reading.set(field, Some(value));
                }
            }
        }
    }
    let by_part = |name: &'static str, dimension| {
        let (kind, range) = kind_and_range(dimension);
        let Some(parts) = table.table(name) else {
            return Vec::new();
        };
        parts.quantities_by_name(kind, range)
    };
    reading.pressure_after_kpa = by_part("pressure_after", Dimension::Pressure)
        .into_iter()
        .collect();
    reading.chlorine_after_mg_l = by_part("chlorine_after", Dimension::Concentration)
        .into_iter()
        .collect();
    reading.conductivity_after_us_cm = by_part("conductivity_after", Dimension::Conductivity)
        .into_iter()
        .collect();
    reading.element_permeate_us_cm = by_part("element_permeate_conductivity", Dimension::Conductivity)
        .into_iter()
        .collect();
    let known: Vec<&str> = unit.part_ids().collect();
    let named = [
        ("pressure_after", reading.pressure_after_kpa.keys()),
        ("chlorine_after", reading.chlorine_after_mg_l.keys()),
        ("conductivity_after", reading.conductivity_after_us_cm.keys()),
        (
            "element_permeate_conductivity",
            reading.element_permeate_us_cm.keys(),
        ),
    ];
    for (name, parts) in named {
        for part in parts.filter(|part| !known.contains(&part.as_str())) {
            table
                .faults()
                .add(&table.path(name), format!("part {part:?}"), known.join(", "));
        }
    }
    reading.observed = observed(&table);
    table.text("by").unwrap_or_default().clone_into(&mut reading.by);
    table
        .text("note")
        .unwrap_or_default()
        .clone_into(&mut reading.note);
    table.finish();
    at.map(|_| reading)
}

/// A dissolved-salt field: a concentration, or a pocket meter's ppm that is in truth a conductivity.
fn salt(table: &Table<'_>, reading: &mut Reading, field: Field, conductivity: Field, unit: &Unit) {
    let Some(value) = table.value(field.name()) else {
        return;
    };
    let meter = if field == Field::FeedTds {
        unit.instruments.feed_meter
    } else {
        unit.instruments.permeate_meter
    };
    let context = Context {
        meter_factor: meter.factor,
        ..Context::default()
    };
    let (kind, range) = (Kind::Salt, Range::closed(0.0, 500_000.0));
    let as_conductivity = match value {
        Value::String(text) => quantity::parse(kind, text, &context).is_ok_and(|parsed| parsed.conductivity),
        _ => false,
    };
    match quantity_of(value, kind, range, &context) {
        Ok(number) if as_conductivity => {
            if reading.get(conductivity).is_none() {
                reading.set(conductivity, Some(number));
            }
        }
        Ok(number) => reading.set(field, Some(number)),
        Err((read, accepted)) => table.faults().add(&table.path(field.name()), read, accepted),
    }
}

fn observed(table: &Table<'_>) -> Vec<Observed> {
    let Some(value) = table.value("observed") else {
        return Vec::new();
    };
    let accepted = || {
        let names: Vec<_> = Observed::ALL.iter().map(|observed| observed.name()).collect();
        format!("a list of any of {}", names.join(", "))
    };
    let Some(items) = value.as_array() else {
        table
            .faults()
            .add(&table.path("observed"), shown(value), accepted());
        return Vec::new();
    };
    let mut seen = Vec::new();
    for (index, item) in items.iter().enumerate() {
        match item.as_str().and_then(Observed::from_name) {
            Some(observed) => seen.push(observed),
            None => {
                let path = format!("{}[{index}]", table.path("observed"));
                table.faults().add(&path, shown(item), accepted());
            }
        }
    }
    seen
}

/// Reads one event.
pub fn event(table: Table<'_>, unit: &Unit) -> Option<Event> {
    let at = at(&table, unit);
    let kinds = EventKind::ALL.map(|kind| (kind.name(), kind));
    let kind = table.required_choice("kind", &kinds);
    let part = table.text("part").map(str::to_owned);
    if let (Some(part), Some(kind)) = (&part, kind) {
        let instruments = ["feed_meter", "permeate_meter", "gauges", "thermometer", "bucket"];
        let known: Vec<&str> = if kind == EventKind::Calibrated {
            instruments.to_vec()
        } else {
            unit.part_ids().chain(["restrictor"]).collect()
        };
        if !known.contains(&part.as_str()) {
            table
                .faults()
                .add(&table.path("part"), format!("{part:?}"), known.join(", "));
        }
    }
    let needs_part = matches!(kind, Some(EventKind::Installed | EventKind::Changed));
    if needs_part && part.is_none() {
        table
            .faults()
            .add(&table.path("part"), crate::Read::Nothing, "the id of the part");
    }
    let element = table.table("to").and_then(|to| {
        let old = part.as_deref().and_then(|part| unit.element(part)).cloned();
        let rated = to.table("rated").and_then(unit_plan::rating);
        let area_m2 = to.quantity("area", Kind::Area, Range::above_zero(100.0));
        old.map(|mut element| {
            if let Some(rated) = rated {
                element.rated = rated;
            }
            element.area_m2 = area_m2.or(element.area_m2);
            element
        })
    });
    let water = table.table("water").and_then(water_analysis);
    let note = table.text("note").unwrap_or_default().to_owned();
    table.finish();
    Some(Event {
        at: at?,
        kind: kind?,
        part,
        note,
        element,
        water,
        line: None,
    })
}
