//! The document of a unit, field by field: a field of a form is called by its path in the document.

use quantity::{Decimal, Kind, parse_number};
use serde_json::{Map, Value};

use crate::frame::ask::Ask;

/// The value at a path; where the path leads through a list, that of the first in it.
pub(super) fn get<'a>(document: &'a Map<String, Value>, path: &str) -> Option<&'a Value> {
    let (first, rest) = path.split_once('.').unwrap_or((path, ""));
    let found = document.get(first)?;
    if rest.is_empty() {
        return Some(found);
    }
    match found {
        Value::Object(inner) => get(inner, rest),
        Value::Array(items) => get(items.first()?.as_object()?, rest),
        _ => None,
    }
}

/// Puts a value at a path, or takes it away; where the path leads through a list, in each of its tables. Tables that are
/// missing are made, those that become empty are taken away.
pub(super) fn set(document: &mut Map<String, Value>, path: &str, value: Option<Value>) {
    let Some((first, rest)) = path.split_once('.') else {
        match value {
            Some(value) => drop(document.insert(path.to_owned(), value)),
            None => drop(document.remove(path)),
        }
        return;
    };
    if value.is_none() && !document.contains_key(first) {
        return;
    }
    let inner = document.entry(first).or_insert_with(|| Value::Object(Map::new()));
    match inner {
        Value::Object(inner) => {
            set(inner, rest, value);
            if inner.is_empty() {
                document.remove(first);
            }
        }
        Value::Array(items) => {
            for item in items.iter_mut().filter_map(Value::as_object_mut) {
                set(item, rest, value.clone());
            }
        }
        _ => {}
    }
}

/// The tables of a list.
pub(super) fn tables(document: &Map<String, Value>, path: &str) -> Vec<Map<String, Value>> {
    let list = get(document, path).and_then(Value::as_array);
    let tables = list.into_iter().flatten();
    tables.filter_map(|table| table.as_object().cloned()).collect()
}

/// A value as its field shows it.
pub(super) fn shown(ask: &Ask<'_>, kind: Kind, value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Number(number) => match kind {
            // A share above 1 would be read back as percent.
            Kind::Fraction => match number.as_f64() {
                Some(share) if share > 1.0 => format!("{} %", 100.0 * share),
                _ => number.to_string(),
            },
            Kind::Number => number.to_string(),
            _ => number
                .as_f64()
                .map(|base| ask.measures.typed(kind, base))
                .unwrap_or_default(),
        },
        _ => String::new(),
    }
}

/// What was typed as the document takes it: a bare number with the person's own unit, a share above 1 in percent.
pub(super) fn typed(ask: &Ask<'_>, kind: Kind, text: &str) -> Value {
    let bare = parse_number(text, Decimal::Strict);
    match (kind, bare) {
        (Kind::Fraction, Some(number)) if number > 1.0 => format!("{text} %").into(),
        (Kind::Fraction | Kind::Number, _) => text.into(),
        (Kind::TemperatureDifference, Some(_)) => format!("{text} C").into(),
        _ => ask.measures.with_unit(kind, text).into(),
    }
}

/// The field of a form for a path that a fault names: without `unit.` and without the places in lists.
pub(super) fn field(path: &str) -> String {
    let path = path.strip_prefix("unit.").unwrap_or(path);
    let mut field = String::with_capacity(path.len());
    let mut inside = false;
    for c in path.chars() {
        match c {
            '[' => inside = true,
            ']' => inside = false,
            c if !inside => field.push(c),
            _ => {}
        }
    }
    field
}

#[cfg(test)]
mod tests {
    use serde_json::{Map, Value, json};

    use super::{field, get, set};

    fn object(value: &Value) -> Map<String, Value> {
        value.as_object().unwrap().clone()
    }

    #[test]
    fn regress_what_is_put_at_a_path_is_found_there_and_leaves_no_empty_table() {
        let mut document = object(&json!({"elements": [{"id": "a"}, {"id": "b"}]}));
        set(&mut document, "elements.rated.flow", Some("4 L/h".into()));
        set(&mut document, "tank.volume", Some("9 L".into()));
        assert_eq!(get(&document, "elements.rated.flow"), Some(&json!("4 L/h")));
        assert_eq!(document["elements"][1]["rated"]["flow"], "4 L/h");
        set(&mut document, "tank.volume", None);
        set(&mut document, "lamp.power", None);
        set(&mut document, "elements.rated.flow", None);
        assert_eq!(document, object(&json!({"elements": [{"id": "a"}, {"id": "b"}]})));
    }

    #[test]
    fn regress_a_fault_finds_its_field() {
        assert_eq!(
            field("unit.membranes.elements[3].rated.flow"),
            "membranes.elements.rated.flow"
        );
        assert_eq!(field("unit.name"), "name");
    }
}
