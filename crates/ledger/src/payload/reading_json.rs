//! A reading as JSON: the names of the contract, every number in its base unit.
//!
//! Written and read by hand because it is the bulk of a ledger: a tree of values for each of 200 000
//! readings would take ten times the time and the memory.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt;

use jiff::Timestamp;
use reading::{Field, Observed, Reading};
use serde::de::{IgnoredAny, MapAccess, Visitor};
use serde::ser::SerializeMap;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

pub(super) fn serialize<S: Serializer>(reading: &Reading, serializer: S) -> Result<S::Ok, S::Error> {
    let mut map = serializer.serialize_map(None)?;
    for &field in Field::ALL {
        if let Some(value) = reading.get(field) {
            map.serialize_entry(field.name(), &value)?;
        }
    }
    let by_part = [
        ("pressure_after", &reading.pressure_after_kpa),
        ("chlorine_after", &reading.chlorine_after_mg_l),
        ("conductivity_after", &reading.conductivity_after_us_cm),
        ("element_permeate_conductivity", &reading.element_permeate_us_cm),
    ];
    for (name, values) in by_part.into_iter().filter(|(_, values)| !values.is_empty()) {
        map.serialize_entry(name, values)?;
    }
    if !reading.observed.is_empty() {
        let names: Vec<_> = reading.observed.iter().map(|observed| observed.name()).collect();
        map.serialize_entry("observed", &names)?;
    }
    if reading.meter_factor_sd != 0.0 {
        map.serialize_entry("meter_factor_sd", &reading.meter_factor_sd)?;
    }
    for (name, text) in [("by", &reading.by), ("note", &reading.note)] {
        if !text.is_empty() {
            map.serialize_entry(name, text)?;
        }
    }
    map.end()
}

/// The text of a reading's payload, without a source, from its parts: what
/// [`Payload::encode`](super::Payload::encode) gives for a [`ReadingTaken`](super::ReadingTaken) made of them.
pub(crate) fn reading_line(unit: &str, reading: &Reading, as_written: &BTreeMap<String, String>) -> String {
    #[derive(Serialize)]
    struct Parts<'a> {
        unit: &'a str,
        #[serde(serialize_with = "by_reference")]
        reading: &'a Reading,
        #[serde(skip_serializing_if = "BTreeMap::is_empty")]
        as_written: &'a BTreeMap<String, String>,
    }
    #[expect(clippy::trivially_copy_pass_by_ref, reason = "serde's signature")]
    fn by_reference<S: Serializer>(reading: &&Reading, serializer: S) -> Result<S::Ok, S::Error> {
        serialize(reading, serializer)
    }
    super::line(
        super::Kind::Reading,
        &Parts {
            unit,
            reading,
            as_written,
        },
    )
}

pub(super) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Reading, D::Error> {
    deserializer.deserialize_map(Fields)
}

struct Fields;

impl<'de> Visitor<'de> for Fields {
    type Value = Reading;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a reading: values by field, in base units")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Reading, A::Error> {
        let mut reading = Reading::new(Timestamp::UNIX_EPOCH);
        while let Some(Key(name)) = map.next_key::<Key<'de>>()? {
            if let Some(field) = Field::from_name(&name) {
                reading.set(field, map.next_value()?);
                continue;
            }
            match &*name {
                "pressure_after" => reading.pressure_after_kpa = by_part(&mut map)?,
                "chlorine_after" => reading.chlorine_after_mg_l = by_part(&mut map)?,
                "conductivity_after" => reading.conductivity_after_us_cm = by_part(&mut map)?,
                "element_permeate_conductivity" => reading.element_permeate_us_cm = by_part(&mut map)?,
                "observed" => {
                    // What a newer program can see stays in the entry's text.
                    let names: Vec<Key<'de>> = map.next_value()?;
                    reading.observed = names
                        .iter()
                        .filter_map(|Key(name)| Observed::from_name(name))
                        .collect();
                }
                "meter_factor_sd" => reading.meter_factor_sd = map.next_value()?,
                "by" => reading.by = map.next_value()?,
                "note" => reading.note = map.next_value()?,
                _ => {
                    map.next_value::<IgnoredAny>()?;
                }
            }
        }
        Ok(reading)
    }
}

fn by_part<'de, A: MapAccess<'de>>(map: &mut A) -> Result<BTreeMap<String, f64>, A::Error> {
    map.next_value()
}

/// A name that is borrowed from the text where it has no escapes.
#[derive(Deserialize)]
#[serde(transparent)]
struct Key<'a>(#[serde(borrow)] Cow<'a, str>);

#[cfg(test)]
mod tests {
    use super::*;
    use crate::payload::{Payload, ReadingTaken};

    #[test]
    fn regress_the_line_from_parts_is_the_payloads() {
        let reading = Reading::new(Timestamp::UNIX_EPOCH).with(Field::PermeateFlow, 0.1);
        for as_written in [
            BTreeMap::new(),
            BTreeMap::from([("permeate_flow".to_owned(), "100 mL/h".to_owned())]),
        ] {
            let line = reading_line("u", &reading, &as_written);
            let (unit, reading) = ("u".to_owned(), reading.clone());
            let whole = Payload::Reading(Box::new(ReadingTaken {
                unit,
                reading,
                as_written,
                from: None,
            }));
            assert_eq!(line, whole.encode().json());
        }
    }
}
