//! What a unit is read with, and when its parts count as worn.

use ledger::state::{Described, Kept};
use ledger::{Entry, UnitHistory};
use maud::{Markup, html};
use quantity::Kind;
use serde_json::{Map, Value};
use unit::{Instruments, Limits, StageKind, Unit};
use water::Mineral;

use super::alter::{anew, how, when};
use super::document::{get, set, shown, tables, typed};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::{self, Entry as Typed, Faults, Field};
use crate::frame::layout::{self, Page};
use crate::frame::link;
use crate::memo::in_service;
use crate::show::{found, words};

type Spot = (&'static str, Kind, &'static str);

const METERS: [(&str, &str); 2] = [
    ("instruments.feed_meter", "instrument-feed-meter"),
    ("instruments.permeate_meter", "instrument-permeate-meter"),
];
const OF_A_METER: [Spot; 3] = [
    ("factor", Kind::Number, "meter-factor"),
    ("step", Kind::Number, "meter-step"),
    ("error", Kind::Fraction, "meter-error"),
];
const SCALES: [(&str, &str); 3] = [
    ("conductivity", "scale-conductivity"),
    ("NaCl", "scale-nacl"),
    ("natural_water", "scale-natural"),
];
const OTHERS: [Spot; 4] = [
    ("instruments.gauges.error", Kind::Pressure, "gauge-error"),
    (
        "instruments.gauges.full_scale",
        Kind::Pressure,
        "gauge-full-scale",
    ),
    (
        "instruments.thermometer.error",
        Kind::TemperatureDifference,
        "thermometer-error",
    ),
    ("instruments.bucket.error", Kind::Fraction, "bucket-error"),
];
const OF_MEMBRANES: [Spot; 3] = [
    ("limits.permeate_flow_drop", Kind::Fraction, "limit-set-flow"),
    ("limits.salt_passage_rise", Kind::Fraction, "limit-set-salt"),
    ("limits.pressure_drop_rise", Kind::Fraction, "limit-set-drop"),
];
const OF_A_STAGE: [Spot; 3] = [
    ("limit.pressure_drop", Kind::Pressure, "limit-pressure-drop"),
    ("limit.age", Kind::Duration, "limit-age"),
    (
        "limit.free_chlorine_out",
        Kind::Concentration,
        "limit-free-chlorine-out",
    ),
];

fn mineral(mineral: Mineral) -> String {
    format!("limits.saturation.{}", mineral.name())
}

/// The field for a path of a fault: a stage's with its place.
fn field(path: &str) -> String {
    let path = path.strip_prefix("unit.").unwrap_or(path);
    path.replace('[', ".").replace(']', "")
}

fn label(ask: &Ask<'_>, unit: &Unit, name: &str) -> String {
    let say = ask.say;
    if let Some((_, _, key)) = OTHERS
        .iter()
        .chain(&OF_MEMBRANES)
        .find(|(path, ..)| *path == name)
    {
        return say.say(key);
    }
    for (meter, key) in METERS {
        if let Some(rest) = name.strip_prefix(meter) {
            let rest = rest.trim_start_matches('.');
            let of = OF_A_METER.iter().find(|(path, ..)| *path == rest);
            let what = match (rest, of) {
                (_, Some((.., key))) => say.say(key),
                ("scale", _) => say.say("meter-scale"),
                _ => say.say("meter-checked"),
            };
            return format!("{}: {what}", say.say(key));
        }
    }
    if let Some(name) = name.strip_prefix("limits.saturation.") {
        return say.say(&format!("mineral-{}", name.replace('_', "-")));
    }
    if let Some((place, rest)) = name.strip_prefix("stages.").and_then(|rest| rest.split_once('.')) {
        let stage = place
            .parse::<usize>()
            .ok()
            .and_then(|place| unit.stages.get(place));
        let part = stage.map_or_else(String::new, |stage| words::part(ask, unit, &stage.id));
        let of = OF_A_STAGE.iter().find(|(path, ..)| *path == rest);
        return format!(
            "{part}: {}",
            of.map_or_else(String::new, |(.., key)| say.say(key))
        );
    }
    super::form::label(ask, name)
}

/// The form with what is known.
pub(crate) fn limits(ask: &Ask<'_>, held: &[String]) -> Response {
    let (known, unit) = match found::unit(ask, held) {
        Ok(found) => found,
        Err(nothing) => return nothing,
    };
    let Some(last) = known.descriptions.last() else {
        return layout::not_found(ask);
    };
    let mut fields = filled(ask, &last.what.document);
    let zone = casefile::time_zone(unit);
    fields.set("at", crate::show::reading_form::local(ask.now(), &zone));
    fields.set("how", "altered");
    page(ask, unit, &fields, &Faults::default())
}

fn filled(ask: &Ask<'_>, document: &Map<String, Value>) -> Fields {
    let mut fields = Fields::default();
    let mut put = |name: &str, kind: Kind, value: Option<&Value>| {
        if let Some(value) = value {
            fields.set(name, shown(ask, kind, value));
        }
    };
    for (path, kind, _) in OTHERS.iter().chain(&OF_MEMBRANES) {
        put(path, *kind, get(document, path));
    }
    for (meter, _) in METERS {
        for (name, kind) in of_a_meter() {
            let path = format!("{meter}.{name}");
            put(&path, kind, get(document, &path));
        }
    }
    for one in Mineral::ALL {
        put(&mineral(one), Kind::Number, get(document, &mineral(one)));
    }
    for (place, stage) in tables(document, "stages").iter().enumerate() {
        for (path, kind, _) in &OF_A_STAGE {
            put(&format!("stages.{place}.{path}"), *kind, get(stage, path));
        }
    }
    fields
}

/// Everything that is asked of a meter.
fn of_a_meter() -> impl Iterator<Item = (&'static str, Kind)> {
    let words = [("scale", Kind::Number), ("checked", Kind::Number)];
    words
        .into_iter()
        .chain(OF_A_METER.iter().map(|(name, kind, _)| (*name, *kind)))
}

/// Whether a stage of this kind is worn by this.
fn fits(unit: &Unit, place: usize, path: &str) -> bool {
    let kind = unit.stages.get(place).map(|stage| &stage.kind);
    match path {
        "limit.free_chlorine_out" => matches!(kind, Some(StageKind::Carbon { .. })),
        "limit.pressure_drop" => matches!(
            kind,
            Some(StageKind::Carbon { .. } | StageKind::Sediment { .. } | StageKind::Other)
        ),
        _ => true,
    }
}

/// What holds where a field is empty.
fn usual(ask: &Ask<'_>, name: &str) -> String {
    let (instruments, limits) = (Instruments::default(), Limits::default());
    let value = match name.rsplit('.').next().unwrap_or_default() {
        "permeate_flow_drop" => ask.say.percent(limits.permeate_flow_drop),
        "salt_passage_rise" => ask.say.percent(limits.salt_passage_rise),
        "pressure_drop_rise" => ask.say.percent(limits.pressure_drop_rise),
        "error" if name.contains("gauges") => ask.measures.show(Kind::Pressure, instruments.gauge_error_kpa),
        "error" if name.contains("thermometer") => {
            let error = instruments.thermometer_error_c;
            ask.measures.show(Kind::TemperatureDifference, error)
        }
        "error" if name.contains("bucket") => {
            let error = format!("{}", 100.0 * instruments.bucket_error);
            ask.say.with("percent", &[("n", ask.say.number(&error).into())])
        }
        "error" => ask.say.percent(instruments.feed_meter.relative_error),
        _ => return String::new(),
    };
    ask.say.with("usual-where-empty", &[("value", value.into())])
}

fn page(ask: &Ask<'_>, unit: &Unit, typed: &Fields, faults: &Faults) -> Response {
    let say = ask.say;
    let title = say.with("limits-title", &[("name", unit.name.as_str().into())]);
    let field = |name: &str, kind: Kind, entry: Typed| {
        let unit_of = match kind {
            Kind::Fraction | Kind::Number => "",
            _ => ask.measures.sign(kind),
        };
        let field = Field {
            name,
            label: label(ask, unit, name),
            hint: usual(ask, name),
            unit: unit_of,
            entry,
            required: false,
        };
        field.show(ask, typed, faults)
    };
    let scales = SCALES.map(|(name, key)| (name.to_owned(), say.say(key)));
    let meter = |meter: &str| -> Markup {
        let (scale, checked) = (format!("{meter}.scale"), format!("{meter}.checked"));
        html! {
            (form::select(ask, &scale, &label(ask, unit, &scale), &scales, typed, faults))
            @for (name, kind, _) in &OF_A_METER { (field(&format!("{meter}.{name}"), *kind, Typed::Value)) }
            (field(&checked, Kind::Number, Typed::Date))
        }
    };
    let minerals: Vec<String> = Mineral::ALL.into_iter().map(mineral).collect();
    let of_minerals = minerals
        .iter()
        .any(|name| !typed.get(name).is_empty() || faults.of(name).is_some());
    let body = html! {
        h1 { (title) }
        p { (say.say("limits-about")) }
        (faults.summary(ask, |name| label(ask, unit, name)))
        form method="post" action=(link::below_unit(&unit.id, "limits")) {
            (form::hidden_id(ask))
            (how(ask, typed, faults))
            (field("at", Kind::Number, Typed::Time))
            fieldset {
                legend { (say.say("limits-title-worn")) }
                @for (path, kind, _) in &OF_MEMBRANES { (field(path, *kind, Typed::Value)) }
                @for place in 0..unit.stages.len() {
                    div.desk-two {
                        @for (path, kind, _) in &OF_A_STAGE {
                            @let name = format!("stages.{place}.{path}");
                            @if fits(unit, place, path) || !typed.get(&name).is_empty() { (field(&name, *kind, Typed::Value)) }
                        }
                    }
                }
                details open[of_minerals] {
                    summary { (say.say("limits-saturation")) }
                    div.desk-two { @for name in &minerals { (field(name, Kind::Number, Typed::Value)) } }
                }
            }
            fieldset {
                legend { (say.say("limits-title-instruments")) }
                div.desk-two { @for (path, kind, _) in &OTHERS { (field(path, *kind, Typed::Value)) } }
                @for (name, _) in METERS { div.desk-two { (meter(name)) } }
                (form::checkbox("everywhere", &say.say("limits-everywhere"), "yes", typed))
            }
            (field("reason", Kind::Number, Typed::Line))
            p { button.first { (say.say("save")) } }
        }
    };
    Page {
        above: found::above(ask, unit),
        status: if faults.is_empty() { 200 } else { 422 },
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

/// Writes them down: of this unit, and its instruments of all others where that is asked for.
pub(crate) fn set_limits(ask: &Ask<'_>, held: &[String]) -> Response {
    let (known, unit) = match found::unit(ask, held) {
        Ok(found) => found,
        Err(nothing) => return nothing,
    };
    let Some(last) = known.descriptions.last() else {
        return layout::not_found(ask);
    };
    let mut faults = Faults::default();
    let mut document = last.what.document.clone();
    put_instruments(ask, &mut document);
    put_limits(ask, &mut document);
    if let Err(invalid) = ledger::state::read_unit(&document) {
        faults.document(ask, &invalid.faults, field);
    }
    let at = when(ask, unit, last.at, &mut faults);
    if !faults.is_empty() {
        return page(ask, unit, &ask.sent, &faults);
    }
    let mut entries = Vec::new();
    if document != last.what.document {
        entries.push(anew(ask, known, last, "limits", at, document));
    }
    if ask.sent.get("everywhere") == "yes" {
        let others = in_service(ask.state).filter(|id| *id != unit.id);
        entries.extend(others.filter_map(|id| elsewhere(ask, id)));
    }
    ask.keep(entries, &link::unit(&unit.id))
}

/// The same instruments at another unit, from now on.
fn elsewhere(ask: &Ask<'_>, id: &str) -> Option<Entry> {
    let known: &UnitHistory = ask.state.unit(id)?;
    let last: &Kept<Described> = known.descriptions.last()?;
    let mut document = last.what.document.clone();
    put_instruments(ask, &mut document);
    let is_new = document != last.what.document && ledger::state::read_unit(&document).is_ok();
    let described = ledger::payload::UnitDescribed {
        unit: id.to_owned(),
        site: None,
        installed: false,
        document,
    };
    let at = ask.now().max(last.at);
    is_new.then(|| ask.entry(id, at, &ledger::Payload::Unit(described)))
}

fn put(ask: &Ask<'_>, document: &mut Map<String, Value>, path: &str, name: &str, kind: Kind) {
    let text = ask.sent.get(name);
    set(document, path, (!text.is_empty()).then(|| typed(ask, kind, text)));
}

fn put_instruments(ask: &Ask<'_>, document: &mut Map<String, Value>) {
    for (path, kind, _) in &OTHERS {
        put(ask, document, path, path, *kind);
    }
    for (meter, _) in METERS {
        for (name, kind) in of_a_meter() {
            let path = format!("{meter}.{name}");
            put(ask, document, &path, &path, kind);
        }
    }
}

fn put_limits(ask: &Ask<'_>, document: &mut Map<String, Value>) {
    for (path, kind, _) in &OF_MEMBRANES {
        put(ask, document, path, path, *kind);
    }
    for one in Mineral::ALL {
        put(ask, document, &mineral(one), &mineral(one), Kind::Number);
    }
    let Some(Value::Array(stages)) = document.get_mut("stages") else {
        return;
    };
    for (place, stage) in stages.iter_mut().filter_map(Value::as_object_mut).enumerate() {
        for (path, kind, _) in &OF_A_STAGE {
            put(ask, stage, path, &format!("stages.{place}.{path}"), *kind);
        }
    }
}
