//! Events of the contract as documents, and back.

use casefile::{Faults, Invalid, Table};
use jiff::Timestamp;
use reading::Event;
use serde_json::{Map, Value, json};
use unit::Unit;

use super::water_document;

/// The contract's document of an event, without `at`; numbers in base units.
pub fn event_document(event: &Event) -> Map<String, Value> {
    let mut document = Map::new();
    document.insert("kind".to_owned(), event.kind.name().into());
    if let Some(part) = &event.part {
        document.insert("part".to_owned(), part.as_str().into());
    }
    if !event.note.is_empty() {
        document.insert("note".to_owned(), event.note.as_str().into());
    }
    if let Some(element) = &event.element {
        let rated = &element.rated;
        let mut to = Map::new();
        if let Some(area) = element.area_m2 {
            to.insert("area".to_owned(), area.into());
        }
        let label = json!({
            "flow": rated.flow_l_h, "rejection": rated.rejection, "pressure": rated.pressure_kpa,
            "temperature": rated.temperature_c, "tds": rated.tds_mg_l, "recovery": rated.recovery,
        });
        to.insert("rated".to_owned(), label);
        document.insert("to".to_owned(), Value::Object(to));
    }
    if let Some(water) = &event.water {
        document.insert("water".to_owned(), Value::Object(water_document(water)));
    }
    document
}

/// Reads the document of an event that happened at this time to a unit that was built like this.
///
/// # Errors
/// Every fault of the document.
pub fn read_event(document: &Map<String, Value>, at: Timestamp, unit: &Unit) -> Result<Event, Invalid> {
    let mut document = document.clone();
    document.insert("at".to_owned(), at.to_string().into());
    let faults = Faults::new();
    let event = casefile::event(Table::new(&document, "event", &faults), unit);
    faults.settle("the ledger", event)
}
