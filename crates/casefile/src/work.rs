//! The `work` of a job card.

use serde_json::Value;
use service::Work;

use crate::Table;
use crate::document::shown;

const DO: &str = "a part's id, or a table with `do` (change, wash or inspect, with `part`; or sanitise, descale, clean, \
                  commission, lay_up)";

/// Reads a list of work. Whether the unit has the parts is for the planner to say.
pub fn work(table: &Table<'_>, name: &'static str) -> Option<Vec<Work>> {
    let Some(value) = table.value(name) else {
        table.faults().add(
            &table.path(name),
            crate::Read::Nothing,
            format!("a list of work: {DO}"),
        );
        return None;
    };
    let Some(items) = value.as_array() else {
        table
            .faults()
            .add(&table.path(name), shown(value), format!("a list of work: {DO}"));
        return None;
    };
    let read: Vec<Option<Work>> = items
        .iter()
        .enumerate()
        .map(|(index, item)| {
            let work = item_of_work(item);
            if work.is_none() {
                table
                    .faults()
                    .add(&format!("{}[{index}]", table.path(name)), shown(item), DO);
            }
            work
        })
        .collect();
    read.into_iter().collect()
}

fn item_of_work(item: &Value) -> Option<Work> {
    match item {
        Value::String(part) => Some(Work::Change { part: part.clone() }),
        Value::Object(fields) => {
            let text = |name: &str| {
                fields
                    .get(name)
                    .filter(|value| !value.is_null())
                    .map(Value::as_str)
            };
            // A `part` that is no text is a fault, not a missing part.
            let part = match text("part") {
                Some(None) => return None,
                Some(part) => part,
                None => None,
            };
            Work::from_name(text("do")??, part)
        }
        _ => None,
    }
}
