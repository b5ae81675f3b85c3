//! The unit that was typed: its document made of the form, of what stood there before and of what is typical, and checked.

use quantity::{Context, Kind, parse};
use serde_json::{Map, Value};
use unit::{Model, PredictError, Segments, Unit};

use super::document::{field, get, set, tables, typed};
use super::parts::{
    ARRANGEMENT, CHECK_VALVE, DRAIN, FLUSH_VALVE, INLET_VALVE, LABEL, MOST_ELEMENTS, MOST_STAGES, NEED, PUMP,
    RESTRICTOR, SHUTOFF, SIZE, STAGES, Spot, StageWord, TANK, TANK_KIND, TANK_VALVE, slot,
};
use super::typical::{Assumed, Typical};
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::Faults;
use crate::show::model_error;

/// A unit as typed.
pub(super) struct Built {
    /// The `unit` table of a case file.
    pub(super) document: Map<String, Value>,
    /// What was filled in.
    pub(super) assumed: Vec<Assumed>,
    /// The unit, where nothing is wrong with it.
    pub(super) unit: Option<Unit>,
}

/// Whether all elements have one label: only then one form can hold it.
pub(super) fn one_label(document: &Map<String, Value>) -> bool {
    let mut labels = tables(document, "membranes.elements");
    for label in &mut labels {
        label.remove("id");
    }
    labels.windows(2).all(|pair| matches!(pair, [a, b] if a == b))
}

/// The word of the form for a stage of a document.
pub(super) fn word_of(table: &Map<String, Value>) -> Option<&'static StageWord> {
    let text = |name: &str| table.get(name).and_then(Value::as_str);
    let kind = text("kind")?;
    let of_kind = || STAGES.iter().filter(|stage| stage.kind == kind);
    of_kind()
        .find(|stage| stage.media == text("media"))
        .or_else(|| of_kind().next())
}

/// What the form shows of a unit.
pub(super) fn filled(ask: &Ask<'_>, document: &Map<String, Value>) -> Fields {
    let mut fields = Fields::default();
    for (path, kind, _) in [LABEL, PUMP, DRAIN, TANK, NEED].into_iter().flatten() {
        let holder = first_with(document, path);
        if let Some(value) = get(&holder, path) {
            fields.set(path, super::document::shown(ask, *kind, value));
        }
    }
    for path in [
        SIZE.path,
        ARRANGEMENT.path,
        RESTRICTOR.path,
        TANK_KIND.path,
        SHUTOFF.path,
        "name",
        "commissioned",
        "time_zone",
    ] {
        let text = match get(document, path) {
            Some(Value::String(text)) => text.clone(),
            Some(Value::Number(number)) => number.to_string(),
            _ => String::new(),
        };
        fields.set(path, text);
    }
    for ((path, _), unless_said) in [
        (INLET_VALVE, true),
        (FLUSH_VALVE, false),
        (CHECK_VALVE, false),
        (
            TANK_VALVE,
            get(document, TANK_KIND.path).and_then(Value::as_str) == Some("pressurised"),
        ),
    ] {
        let said = get(document, path).and_then(Value::as_bool);
        if said.unwrap_or(unless_said) {
            fields.set(path, "yes");
        }
    }
    for (place, table) in tables(document, "stages").iter().take(MOST_STAGES).enumerate() {
        fields.set(&slot(place), word_of(table).map_or("", |stage| stage.word));
    }
    fields.set("count", tables(document, "membranes.elements").len().to_string());
    fields
}

/// For a field of a stage: the document with only the stages that have it.
fn first_with(document: &Map<String, Value>, path: &str) -> Map<String, Value> {
    let mut holder = document.clone();
    if let Some(name) = path.strip_prefix("stages.")
        && let Some(Value::Array(stages)) = holder.get_mut("stages")
    {
        stages.retain(|stage| stage.get(name).is_some());
    }
    holder
}

/// Reads the form. `before` is what stood there: what the form does not ask for is kept.
pub(super) fn read(
    ask: &Ask<'_>,
    id: &str,
    before: Option<&Map<String, Value>>,
    faults: &mut Faults,
) -> Built {
    let mut document = before.cloned().unwrap_or_default();
    let mut typical = Typical {
        ask,
        assumed: Vec::new(),
    };
    document.insert("id".to_owned(), id.into());
    for path in ["name", "commissioned", "time_zone"] {
        let text = ask.sent.get(path);
        set(&mut document, path, (!text.is_empty()).then(|| text.into()));
    }
    let put = |document: &mut Map<String, Value>, spots: &[Spot]| {
        for (path, kind, _) in spots {
            let text = ask.sent.get(path);
            set(
                document,
                path,
                (!text.is_empty()).then(|| typed(ask, *kind, text)),
            );
        }
    };
    if one_label(&document) {
        elements(ask, &mut document, faults);
        put(&mut document, LABEL);
    }
    stages(ask, &mut document, &mut typical);
    put(&mut document, DRAIN);
    put(&mut document, TANK);
    put(&mut document, NEED);
    for path in [ARRANGEMENT.path, RESTRICTOR.path, TANK_KIND.path, SHUTOFF.path] {
        let text = ask.sent.get(path);
        set(&mut document, path, (!text.is_empty()).then(|| text.into()));
    }
    for (path, _) in [INLET_VALVE, FLUSH_VALVE, CHECK_VALVE, TANK_VALVE] {
        set(&mut document, path, Some((ask.sent.get(path) == "yes").into()));
    }
    if ask.sent.get(TANK_KIND.path).is_empty() {
        // No tank at all; numbers without one would be a tank of no kind.
        let numbers = TANK
            .iter()
            .filter(|(path, ..)| path.starts_with("permeate.tank."));
        if numbers.clone().any(|(path, ..)| !ask.sent.get(path).is_empty()) {
            faults.add(TANK_KIND.path, ask.say.say("plan-wrong-tank"));
        }
        set(&mut document, "permeate.tank", None);
    }
    let rated = parse(
        Kind::Flow,
        get(&document, "membranes.elements.rated.flow")
            .and_then(Value::as_str)
            .unwrap_or_default(),
        &Context::default(),
    );
    typical.rest(&mut document, rated.ok().map(|rated| rated.value));
    let assumed = typical.assumed;
    let unit = checked(ask, &document, faults);
    Built {
        document,
        assumed,
        unit,
    }
}

/// As many elements as were counted, those that were there first.
fn elements(ask: &Ask<'_>, document: &mut Map<String, Value>, faults: &mut Faults) {
    let count = ask.sent.get("count").parse::<usize>().unwrap_or(0);
    if !(1..=MOST_ELEMENTS).contains(&count) {
        faults.add("count", ask.say.say("wrong-choice"));
    }
    let count = count.clamp(1, MOST_ELEMENTS);
    let mut list = tables(document, "membranes.elements");
    list.truncate(count);
    let like = list.first().cloned().unwrap_or_default();
    while list.len() < count {
        let mut element = like.clone();
        let id = free_id(document, "membrane", list.len() + 1, &list);
        element.insert("id".to_owned(), id.into());
        list.push(element);
    }
    let list = list.into_iter().map(Value::Object).collect();
    set(document, "membranes.elements", Some(Value::Array(list)));
    let size = ask.sent.get(SIZE.path);
    set(document, SIZE.path, (!size.is_empty()).then(|| size.into()));
}

/// An id that no part of the unit has.
fn free_id(document: &Map<String, Value>, name: &str, from: usize, more: &[Map<String, Value>]) -> String {
    let lists = ["stages", "membranes.elements", "permeate.polish"];
    let mut parts: Vec<Map<String, Value>> = lists.iter().flat_map(|list| tables(document, list)).collect();
    parts.extend_from_slice(more);
    let taken = |id: &str| {
        parts
            .iter()
            .any(|part| part.get("id").and_then(Value::as_str) == Some(id))
    };
    let first = if name == "membrane" { "membrane-1" } else { name };
    if from <= 1 && !taken(first) {
        return first.to_owned();
    }
    let mut number = from.max(2);
    while taken(&format!("{name}-{number}")) {
        number += 1;
    }
    format!("{name}-{number}")
}

/// The stages in the order of the form: one that was there keeps its id and all that is known of it.
fn stages(ask: &Ask<'_>, document: &mut Map<String, Value>, typical: &mut Typical<'_, '_>) {
    let mut before = tables(document, "stages");
    // What the form has no room for stays behind.
    let mut rest = before.split_off(before.len().min(MOST_STAGES));
    let mut list: Vec<Map<String, Value>> = Vec::new();
    for place in 0..MOST_STAGES {
        let word = ask.sent.get(&slot(place));
        let Some(stage) = STAGES.iter().find(|stage| stage.word == word) else {
            continue;
        };
        let is_same = |table: &Map<String, Value>| word_of(table).is_some_and(|known| known.word == word);
        let table = match before.iter().position(is_same) {
            Some(found) => before.remove(found),
            None => fresh(ask, document, stage, &list, typical),
        };
        list.push(table);
    }
    list.append(&mut rest);
    for (path, kind, _) in PUMP {
        let name = path.strip_prefix("stages.").unwrap_or(path);
        let of_kind = if name == "set_pressure" {
            "regulator"
        } else {
            "pump"
        };
        let text = ask.sent.get(path);
        let mut of_kind = list
            .iter_mut()
            .filter(|table| table.get("kind").and_then(Value::as_str) == Some(of_kind));
        // One form holds the numbers of one pump; those of a second stay as they are.
        if let Some(table) = of_kind.next() {
            set(table, name, (!text.is_empty()).then(|| typed(ask, *kind, text)));
        }
    }
    let list: Vec<Value> = list.into_iter().map(Value::Object).collect();
    set(
        document,
        "stages",
        (!list.is_empty()).then_some(Value::Array(list)),
    );
}

fn fresh(
    ask: &Ask<'_>,
    document: &Map<String, Value>,
    stage: &StageWord,
    list: &[Map<String, Value>],
    typical: &mut Typical<'_, '_>,
) -> Map<String, Value> {
    let name = match stage.kind {
        "pump" => "booster",
        kind => kind,
    };
    let mut table = Map::new();
    table.insert("id".to_owned(), free_id(document, name, 1, list).into());
    table.insert("kind".to_owned(), stage.kind.into());
    if let Some(media) = stage.media {
        table.insert("media".to_owned(), media.into());
    }
    typical.stage(&mut table, stage.kind, &ask.say.say(stage.key));
    table
}

/// The unit of a document, with what is wrong with it beside its fields; a label that no membrane can meet among it.
pub(super) fn checked(ask: &Ask<'_>, document: &Map<String, Value>, faults: &mut Faults) -> Option<Unit> {
    let unit = match ledger::state::read_unit(document) {
        Ok(unit) => unit,
        Err(invalid) => {
            faults.document(ask, &invalid.faults, |path| match field(path).as_str() {
                "membranes.elements" | "membranes.elements.id" => "count".to_owned(),
                "stages" | "stages.id" | "stages.kind" => slot(0),
                other => other.to_owned(),
            });
            return None;
        }
    };
    match Model::new(&unit, Segments::default()) {
        Ok(_) => Some(unit),
        Err(error) => {
            let (at, words) = impossible(ask, &error);
            faults.add(&at, words);
            None
        }
    }
}

/// Why no membrane can be as the label says.
fn impossible(ask: &Ask<'_>, error: &PredictError) -> (String, String) {
    match error {
        PredictError::Input {
            field: path,
            read,
            accepted,
        } => {
            let (read, accepted) = (
                ask.say.number(&read.to_string()),
                model_error::accepted(ask, *accepted),
            );
            let words = ask
                .say
                .with("wrong", &[("read", read.into()), ("accepted", accepted.into())]);
            (field(path), words)
        }
        other => {
            let at = "membranes.elements.rated.flow".to_owned();
            (at, model_error::words(ask, None, other))
        }
    }
}
