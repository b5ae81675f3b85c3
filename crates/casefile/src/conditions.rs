//! The `conditions` table of a document.

use std::collections::BTreeMap;

use quantity::Kind;
use unit::{Conditions, StageKind, State, Unit};

use crate::{Range, Table};

/// What the feed of a unit may be, C.
const TEMPERATURE: Range = Range::closed(0.0, 60.0);
/// From no pressure to far beyond what small units bear, kPa.
const INLET: Range = Range::closed(0.0, 20_000.0);
/// A permeate line may stand a little under the air's pressure, kPa.
const PERMEATE: Range = Range::closed(-100.0, 20_000.0);
/// A factor against new.
const FACTOR: Range = Range::closed(1e-6, 1e6);

/// The table as it stands: what it does not say may be said elsewhere.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ConditionsTable {
    /// Feed temperature, C.
    pub temperature_c: Option<f64>,
    /// Pressure before the first stage, kPa.
    pub inlet_pressure_kpa: Option<f64>,
    /// Pressure of the permeate at the tank, kPa.
    pub permeate_pressure_kpa: Option<f64>,
    /// What wear has done so far.
    pub state: State,
}

impl ConditionsTable {
    /// All that a prediction needs; none where the temperature or the inlet pressure is not said.
    pub fn complete(&self) -> Option<Conditions> {
        Some(Conditions {
            temperature_c: self.temperature_c?,
            inlet_pressure_kpa: self.inlet_pressure_kpa?,
            permeate_pressure_kpa: self.permeate_pressure_kpa.unwrap_or(0.0),
            state: self.state.clone(),
        })
    }
}

/// Reads a `conditions` table. `state` may name parts of this unit only; without a unit its names are not looked at.
pub fn conditions(table: Table<'_>, unit: Option<&Unit>) -> ConditionsTable {
    let read = ConditionsTable {
        temperature_c: table.quantity("temperature", Kind::Temperature, TEMPERATURE),
        inlet_pressure_kpa: table.quantity("inlet_pressure", Kind::Pressure, INLET),
        permeate_pressure_kpa: table.quantity("permeate_pressure", Kind::Pressure, PERMEATE),
        state: table
            .table("state")
            .map_or_else(State::default, |worn| state(worn, unit)),
    };
    table.finish();
    read
}

/// What may be said in place of the table: the same quantity in the same range, as text.
///
/// # Errors
/// What was read and what is accepted.
pub fn condition(name: ConditionName, text: &str) -> Result<f64, (String, String)> {
    let (kind, range) = match name {
        ConditionName::Temperature => (Kind::Temperature, TEMPERATURE),
        ConditionName::InletPressure => (Kind::Pressure, INLET),
        ConditionName::PermeatePressure => (Kind::Pressure, PERMEATE),
    };
    let value = serde_json::Value::String(text.to_owned());
    crate::table::quantity_of(&value, kind, range, &quantity::Context::default())
        .map_err(|(read, accepted)| (read.to_string(), accepted.to_string()))
}

/// One of the conditions that can be said in place of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ConditionName {
    /// Feed temperature, C.
    Temperature,
    /// Pressure before the first stage, kPa.
    InletPressure,
    /// Pressure of the permeate at the tank, kPa.
    PermeatePressure,
}

fn state(table: Table<'_>, unit: Option<&Unit>) -> State {
    let elements: Vec<&str> = unit.map_or_else(Vec::new, |unit| {
        unit.membranes.elements.iter().map(|e| e.id.as_str()).collect()
    });
    // A pump and a regulator have no drop that grows.
    let mut with_drop = elements.clone();
    with_drop.extend(
        unit.into_iter()
            .flat_map(|unit| &unit.stages)
            .filter_map(|stage| {
                let adds = matches!(stage.kind, StageKind::Pump { .. } | StageKind::Regulator { .. });
                (!adds).then_some(stage.id.as_str())
            }),
    );
    let factors = |name: &'static str, known: &[&str]| -> BTreeMap<String, f64> {
        let Some(parts) = table.table(name) else {
            return BTreeMap::new();
        };
        let read = parts.quantities_by_name(Kind::Number, FACTOR);
        if unit.is_some() {
            for (part, _) in &read {
                if !known.contains(&part.as_str()) {
                    let accepted = format!("the id of one of this unit's parts: {}", known.join(", "));
                    parts
                        .faults()
                        .add(&parts.path(part), format!("{part:?}"), accepted);
                }
            }
        }
        read.into_iter().collect()
    };
    let state = State {
        permeability: factors("permeability", &elements),
        salt_permeability: factors("salt_permeability", &elements),
        drop: factors("drop", &with_drop),
        restrictor: table.quantity("restrictor", Kind::Number, FACTOR),
    };
    table.finish();
    state
}
