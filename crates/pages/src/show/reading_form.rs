//! The fields of a reading in the order in which one walks round the unit, and the reading that was typed into them.

use casefile::{Faults as DocumentFaults, Table};
use jiff::Timestamp;
use ledger::payload::ReadingTaken;
use maud::{Markup, html};
use quantity::Kind;
use reading::{Field, Observed, Reading};
use serde_json::{Map, Value};
use unit::{StageKind, TankKind, Unit};

use super::words;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::{self, Entry, Faults};
use crate::frame::measure::kind_of;
use crate::frame::quantities;

/// Something that can be read.
pub(crate) struct Spot {
    /// Its name in the form and in `as_written`: a field, or a list of parts and a part.
    pub(crate) name: String,
    pub(crate) label: String,
    pub(crate) kind: Kind,
    get: Get,
    /// Whether it is asked for only where one asks for more.
    pub(crate) more: bool,
    /// What it should be today, in words; empty where nothing says so.
    pub(crate) should: String,
}

#[derive(Clone, Debug)]
enum Get {
    Field(Field),
    PressureAfter(String),
    ChlorineAfter(String),
    ConductivityAfter(String),
    ElementPermeate(String),
}

impl Spot {
    /// Its value in a reading, in the base unit.
    pub(crate) fn value(&self, reading: &Reading) -> Option<f64> {
        match &self.get {
            Get::Field(field) => reading.get(*field),
            Get::PressureAfter(part) => reading.pressure_after_kpa.get(part).copied(),
            Get::ChlorineAfter(part) => reading.chlorine_after_mg_l.get(part).copied(),
            Get::ConductivityAfter(part) => reading.conductivity_after_us_cm.get(part).copied(),
            Get::ElementPermeate(part) => reading.element_permeate_us_cm.get(part).copied(),
        }
    }
}

/// All that can be read at a unit: the feed, then stage by stage, the membranes, the drain, the permeate.
pub(crate) fn spots(ask: &Ask<'_>, unit: &Unit) -> Vec<Spot> {
    let mut spots = Vec::new();
    let field = |field: Field, more: bool| Spot {
        name: field.name().to_owned(),
        label: words::field(ask, field),
        kind: kind_of(field),
        get: Get::Field(field),
        more,
        should: String::new(),
    };
    let after = |list: &str, key: &str, id: &str, kind: Kind, get: Get, more: bool| Spot {
        name: format!("{list}.{id}"),
        label: ask.say.with(key, &[("part", words::part(ask, unit, id).into())]),
        kind,
        get,
        more,
        should: String::new(),
    };
    let mut carbons = unit
        .stages
        .iter()
        .filter(|stage| matches!(stage.kind, StageKind::Carbon { .. }));
    let last_carbon = carbons.next_back().map(|stage| stage.id.as_str());
    spots.push(field(Field::FeedTemperature, false));
    spots.push(field(Field::FeedConductivity, false));
    spots.push(field(Field::InletPressure, false));
    spots.push(field(Field::FeedTds, true));
    spots.push(field(Field::FeedFreeChlorine, true));
    spots.push(field(Field::FeedTotalChlorine, true));
    for stage in &unit.stages {
        let id = stage.id.as_str();
        if matches!(stage.kind, StageKind::Pump { .. } | StageKind::Antiscalant) {
            continue;
        }
        let pressure = Get::PressureAfter(id.to_owned());
        // Where its drop says when it is worn, it is worth a look at the gauge on every visit.
        let more = stage.limit.pressure_drop_kpa.is_none();
        spots.push(after(
            "pressure_after",
            "spot-pressure-after",
            id,
            Kind::Pressure,
            pressure,
            more,
        ));
        match stage.kind {
            StageKind::Carbon { .. } if last_carbon == Some(id) => {
                spots.push(field(Field::FreeChlorineOut, false));
                spots.push(field(Field::TotalChlorineOut, true));
            }
            StageKind::Carbon { .. } => {
                let chlorine = Get::ChlorineAfter(id.to_owned());
                spots.push(after(
                    "chlorine_after",
                    "spot-chlorine-after",
                    id,
                    Kind::Concentration,
                    chlorine,
                    true,
                ));
            }
            StageKind::Softener { .. } => spots.push(field(Field::HardnessOut, false)),
            _ => {}
        }
    }
    spots.push(field(Field::MembranePressure, false));
    spots.push(field(Field::ConcentratePressure, false));
    spots.push(field(Field::ConcentrateFlow, false));
    spots.push(field(Field::PermeateFlow, false));
    let pressurised =
        matches!(unit.permeate.tank, Some(tank) if matches!(tank.kind, TankKind::Pressurised { .. }));
    spots.push(field(Field::PermeatePressure, !pressurised));
    spots.push(field(Field::PermeateConductivity, false));
    spots.push(field(Field::PermeateTds, true));
    if unit.membranes.elements.len() > 1 {
        for element in &unit.membranes.elements {
            let get = Get::ElementPermeate(element.id.clone());
            let list = "element_permeate_conductivity";
            spots.push(after(
                list,
                "spot-element",
                &element.id,
                Kind::Conductivity,
                get,
                true,
            ));
        }
    }
    for polish in &unit.permeate.polish {
        let get = Get::ConductivityAfter(polish.id.clone());
        spots.push(after(
            "conductivity_after",
            "spot-conductivity-after",
            &polish.id,
            Kind::Conductivity,
            get,
            false,
        ));
    }
    spots.push(field(Field::PermeateTotal, true));
    spots.push(field(Field::FeedTotal, true));
    spots.push(field(Field::RunningHours, true));
    spots.push(field(Field::RunningFor, false));
    spots
}

/// The label of a field of the form, for the list of what is wrong.
pub(crate) fn label(ask: &Ask<'_>, spots: &[Spot], name: &str) -> String {
    match spots.iter().find(|spot| spot.name == name) {
        Some(spot) => spot.label.clone(),
        None if name == "note" => ask.say.say("note"),
        None if name == "reason" => ask.say.say("reason"),
        None => ask.say.say("when"),
    }
}

/// The last value of a spot in these readings, newest last, with its day; none where it was not read lately.
pub(crate) fn last_value(
    ask: &Ask<'_>,
    spot: &Spot,
    readings: &[Reading],
    zone: &jiff::tz::TimeZone,
) -> Option<String> {
    let (at, value) = readings
        .iter()
        .rev()
        .take(20)
        .find_map(|reading| Some((reading.at, spot.value(reading)?)))?;
    let value = ask.measures.show(spot.kind, value);
    let day = ask.day(at, zone);
    Some(
        ask.say
            .with("last-value", &[("value", value.into()), ("day", day.into())]),
    )
}

/// The fields. `last` are readings before this one, newest last.
pub(crate) fn show(
    ask: &Ask<'_>,
    spots: &[Spot],
    last: &[Reading],
    zone: &jiff::tz::TimeZone,
    typed: &Fields,
    faults: &Faults,
) -> Markup {
    let say = ask.say;
    let one = |spot: &Spot| {
        let fill = (spot.kind == Kind::Flow).then(|| say.say("fill-hint"));
        let should = (!spot.should.is_empty()).then(|| spot.should.clone());
        let lines: Vec<String> = [should, fill, last_value(ask, spot, last, zone)]
            .into_iter()
            .flatten()
            .collect();
        let hint = lines.join("\n");
        let entry = if spot.kind == Kind::Flow {
            Entry::Fill
        } else {
            Entry::Value
        };
        let field = form::Field {
            name: &spot.name,
            label: spot.label.clone(),
            hint,
            unit: ask.measures.sign(spot.kind),
            entry,
            required: false,
        };
        field.show(ask, typed, faults)
    };
    let time = form::Field {
        name: "at",
        label: say.say("when"),
        hint: say.with("zone-hint", &[("zone", zone.iana_name().unwrap_or("UTC").into())]),
        unit: "",
        entry: Entry::Time,
        required: true,
    };
    let more_open = spots
        .iter()
        .any(|spot| spot.more && (!typed.get(&spot.name).is_empty() || faults.of(&spot.name).is_some()))
        || typed.all("observed").next().is_some();
    html! {
        (time.show(ask, typed, faults))
        div.desk-two { @for spot in spots.iter().filter(|spot| !spot.more) { (one(spot)) } }
        details open[more_open] {
            summary { (say.say("more-to-read")) }
            div.desk-two { @for spot in spots.iter().filter(|spot| spot.more) { (one(spot)) } }
            fieldset {
                legend { (say.say("observed-title")) }
                @for observed in Observed::ALL {
                    p {
                        label {
                            input type="checkbox" name="observed" value=(observed.name()) checked[typed.all("observed").any(|name| name == observed.name())];
                            " " (say.say(&format!("observed-{}", observed.name().replace('_', "-"))))
                        }
                    }
                }
            }
        }
        (form::Field { name: "note", label: say.say("note"), hint: String::new(), unit: "", entry: Entry::Text, required: false }.show(ask, typed, faults))
    }
}

/// What a form of a reading shows of one.
pub(crate) fn filled(
    ask: &Ask<'_>,
    spots: &[Spot],
    taken: &ReadingTaken,
    at: Timestamp,
    zone: &jiff::tz::TimeZone,
) -> Fields {
    let mut typed = Fields::default();
    for spot in spots {
        if let Some(value) = spot.value(&taken.reading) {
            let as_written = taken
                .as_written
                .get(&spot.name)
                .filter(|text| says(spot, text, value));
            let text = as_written
                .cloned()
                .unwrap_or_else(|| ask.measures.typed(spot.kind, value));
            typed.set(&spot.name, text);
        }
    }
    typed.set("at", local(at, zone));
    typed.set("note", taken.reading.note.clone());
    let mut names = taken.reading.observed.iter().map(|observed| observed.name());
    // One by one, as a form sends them.
    if let Some(first) = names.next() {
        typed.set("observed", first);
        for name in names {
            typed.push("observed", name);
        }
    }
    typed
}

/// Whether a text, by itself, says this value: one without a unit, out of a column of a log, does not.
fn says(spot: &Spot, text: &str, value: f64) -> bool {
    let bare = quantity::parse_number(text, quantity::Decimal::Strict).is_some();
    let parsed = quantity::parse(spot.kind, text, &quantity::Context::default());
    !bare && parsed.is_ok_and(|parsed| (parsed.value - value).abs() <= 1e-9 * value.abs())
}

/// A time as a field of day and time holds it.
pub(crate) fn local(at: Timestamp, zone: &jiff::tz::TimeZone) -> String {
    zone.to_datetime(at).strftime("%Y-%m-%dT%H:%M").to_string()
}

/// The time that was typed; wrong where it is none or lies in the future.
pub(crate) fn time(ask: &Ask<'_>, zone: &jiff::tz::TimeZone, faults: &mut Faults) -> Timestamp {
    let text = ask.sent.get("at");
    match casefile::time(text, zone) {
        // A clock that is wrong by a day, or a zone that is, is no reason to lose a reading.
        Some(at) if wear::lives::days(ask.now(), at) > 1.5 => {
            faults.add("at", ask.say.say("wrong-future"));
            at
        }
        Some(at) => at,
        None => {
            let accepted = ask.say.say("accepted-time");
            let words = ask.say.with(
                "wrong",
                &[
                    ("read", format!("{text:?}").into()),
                    ("accepted", accepted.into()),
                ],
            );
            faults.add("at", words);
            ask.now()
        }
    }
}

/// The reading that was typed; wrong where nothing was.
pub(crate) fn read(
    ask: &Ask<'_>,
    unit: &Unit,
    spots: &[Spot],
    faults: &mut Faults,
) -> (Timestamp, ReadingTaken) {
    let (at, taken) = read_some(ask, unit, spots, faults);
    if faults.is_empty() && taken.reading.is_empty() && taken.reading.note.is_empty() {
        let first = spots.first().map_or("at", |spot| spot.name.as_str());
        faults.add(first, ask.say.say("wrong-nothing-read"));
    }
    (at, taken)
}

/// What was typed, where that may be nothing.
pub(crate) fn read_some(
    ask: &Ask<'_>,
    unit: &Unit,
    spots: &[Spot],
    faults: &mut Faults,
) -> (Timestamp, ReadingTaken) {
    let zone = casefile::time_zone(unit);
    let at = time(ask, &zone, faults);
    let mut document = Map::new();
    document.insert("at".to_owned(), Value::from(at.to_string()));
    let mut as_written = std::collections::BTreeMap::new();
    for spot in spots {
        let text = ask.sent.get(&spot.name);
        if text.is_empty() {
            continue;
        }
        let text = with_meter(unit, spot, ask.measures.with_unit(spot.kind, text));
        as_written.insert(spot.name.clone(), text.clone());
        match spot.name.split_once('.') {
            None => drop(document.insert(spot.name.clone(), text.into())),
            Some((list, part)) => {
                let parts = document.entry(list).or_insert_with(|| Value::Object(Map::new()));
                if let Some(parts) = parts.as_object_mut() {
                    parts.insert(part.to_owned(), text.into());
                }
            }
        }
    }
    let note = ask.sent.get("note");
    if note.chars().count() > 4000 {
        faults.add("note", ask.say.say("wrong-long"));
    }
    if !note.is_empty() {
        document.insert("note".to_owned(), note.into());
    }
    let observed: Vec<&str> = ask.sent.all("observed").filter(|name| !name.is_empty()).collect();
    if !observed.is_empty() {
        document.insert("observed".to_owned(), observed.into());
    }
    let found = DocumentFaults::new();
    let reading = casefile::reading(Table::new(&document, "reading", &found), unit);
    let reading = match found.settle("", reading) {
        Ok(reading) => reading,
        Err(invalid) => {
            // What is wrong with a quantity is said in the reader's words; the document's reader has English only.
            let faulty = |spot: &&Spot| {
                let path = format!("reading.{}", spot.name);
                invalid.faults.iter().any(|fault| fault.path == path)
            };
            for spot in spots.iter().filter(faulty) {
                let text = as_written.get(&spot.name).map_or("", String::as_str);
                if let Some(error) = quantity::parse(spot.kind, text, &quantity::Context::default())
                    .err()
                    .filter(|_| !text.is_empty())
                {
                    faults.add(&spot.name, quantities::wrong(ask, text, &error));
                }
            }
            faults.document(ask, &invalid.faults, |path| {
                path.strip_prefix("reading.").unwrap_or(path).to_owned()
            });
            Reading::new(at)
        }
    };
    let taken = ReadingTaken {
        unit: unit.id.clone(),
        reading,
        as_written,
        from: None,
    };
    (at, taken)
}

/// A meter's ppm with the factor that the unit's meter is known to have.
fn with_meter(unit: &Unit, spot: &Spot, text: String) -> String {
    let meter = match &spot.get {
        Get::Field(Field::FeedConductivity | Field::FeedTds) => unit.instruments.feed_meter,
        _ => unit.instruments.permeate_meter,
    };
    match meter.factor {
        Some(factor) if spot.kind == Kind::Conductivity && text.ends_with("ppm") => {
            format!("{text} @{factor}")
        }
        _ => text,
    }
}
