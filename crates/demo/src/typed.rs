//! A reading as it is typed into a form: text with units of measure, as the person is used to.

use casefile::{Faults, Table};
use jiff::Timestamp;
use ledger::payload::ReadingTaken;
use serde_json::{Map, Value};
use unit::Unit;

use crate::Error;
use crate::measure::Measured;
use crate::scenario::{System, Take};

/// How someone types.
pub(crate) struct Typist<'a> {
    pub(crate) unit: &'a Unit,
    pub(crate) system: System,
    pub(crate) takes: &'a [Take],
}

/// Vessels that flows are timed with, mL.
const VESSELS: [f64; 8] = [100.0, 250.0, 500.0, 1000.0, 2000.0, 5000.0, 10_000.0, 20_000.0];

/// The smallest vessel that takes at least half a minute to fill.
pub(crate) fn vessel_ml(flow_l_h: f64) -> f64 {
    let half_a_minute = flow_l_h * 1000.0 / 120.0;
    VESSELS
        .into_iter()
        .find(|ml| *ml >= half_a_minute)
        .unwrap_or(20_000.0)
}

/// Seconds that a vessel takes to fill.
pub(crate) fn seconds(vessel_ml: f64, flow_l_h: f64) -> f64 {
    vessel_ml * 3.6 / flow_l_h.max(0.1)
}

/// Digits that the display of a pocket meter has.
fn shown(us_cm: f64) -> String {
    match us_cm {
        us if us < 1.0 => format!("{us:.2}"),
        us if us < 100.0 => format!("{us:.1}"),
        us => format!("{us:.0}"),
    }
}

pub(crate) fn bar(kpa: f64) -> String {
    format!("{:.1}", kpa / 100.0)
}

pub(crate) fn psi(kpa: f64) -> String {
    // contract 2: 14.695948775 psi = 101.325 kPa.
    format!("{:.0}", kpa * 14.695_948_775 / 101.325)
}

pub(crate) fn fahrenheit(c: f64) -> String {
    format!("{:.0}", c * 1.8 + 32.0)
}

impl Typist<'_> {
    fn pressure(&self, kpa: f64) -> String {
        match self.system {
            System::Us | System::UsPpm => format!("{} psi", psi(kpa)),
            System::Metric => format!("{} bar", bar(kpa)),
            System::Base => format!("{kpa:.0}"),
        }
    }

    fn temperature(&self, c: f64) -> String {
        match self.system {
            System::Us | System::UsPpm => format!("{} F", fahrenheit(c)),
            System::Metric | System::Base => format!("{c:.1}"),
        }
    }

    fn flow(&self, l_h: f64, vessel_ml: f64) -> String {
        let seconds = seconds(vessel_ml, l_h);
        match self.system {
            System::Base => format!("{l_h:.1}"),
            _ if vessel_ml < 1000.0 => format!("{vessel_ml:.0} mL in {seconds:.0} s"),
            _ => format!("{:.0} L in {seconds:.0} s", vessel_ml / 1000.0),
        }
    }

    /// What is typed, by field. `vessels` are those of a sound reading: a slip does not change the jug.
    fn document(&self, read: &Measured, vessels: (f64, f64)) -> Map<String, Value> {
        let mut typed = Map::new();
        let mut put = |name: &str, text: String| {
            // A bare number is a number.
            let value = text.parse::<f64>().map_or(Value::String(text), Value::from);
            typed.insert(name.to_owned(), value);
        };
        put("feed_temperature", self.temperature(read.temperature_c));
        put("permeate_flow", self.flow(read.permeate_l_h, vessels.0));
        let ppm = |us: f64| format!("{:.0} ppm @0.5", us * 0.5);
        let by_part = |list: &[(String, f64)], text: &dyn Fn(f64) -> String| {
            let parts = list.iter().map(|(id, value)| (id.clone(), text(*value).into()));
            Value::Object(parts.collect())
        };
        for take in self.takes {
            match take {
                Take::Inlet => put("inlet_pressure", self.pressure(read.inlet_kpa)),
                Take::Membrane => put("membrane_pressure", self.pressure(read.membrane_kpa)),
                Take::Concentrate => put("concentrate_pressure", self.pressure(read.concentrate_kpa)),
                Take::ConcentrateFlow => put("concentrate_flow", self.flow(read.concentrate_l_h, vessels.1)),
                Take::Feed if self.system == System::UsPpm => put("feed_tds", ppm(read.feed_us_cm)),
                Take::Permeate if self.system == System::UsPpm => {
                    put("permeate_tds", ppm(read.permeate_us_cm));
                }
                Take::Feed => put("feed_conductivity", shown(read.feed_us_cm)),
                Take::Permeate => put("permeate_conductivity", shown(read.permeate_us_cm)),
                Take::Total => put("permeate_total", format!("{:.0}", read.total_l)),
                Take::Hours => put("running_hours", format!("{:.0}", read.hours)),
                Take::ChlorineIn => put("feed_free_chlorine", format!("{:.2}", read.oxidant_mg_l)),
                Take::ChlorineOut => put("free_chlorine_out", format!("{:.2}", read.oxidant_out_mg_l)),
                Take::TotalChlorineOut => put("total_chlorine_out", format!("{:.2}", read.oxidant_out_mg_l)),
                Take::HardnessOut => {
                    if let Some(hardness) = read.hardness_out {
                        put("hardness_out", format!("{hardness:.0}"));
                    }
                }
                Take::Stages | Take::Elements | Take::Polish => {}
            }
        }
        for take in self.takes {
            let (name, value) = match take {
                Take::Stages => (
                    "pressure_after",
                    by_part(&read.stages_kpa, &|kpa| self.pressure(kpa)),
                ),
                Take::Elements => (
                    "element_permeate_conductivity",
                    by_part(&read.elements_us_cm, &shown),
                ),
                Take::Polish => ("conductivity_after", by_part(&read.polished_us_cm, &shown)),
                _ => continue,
            };
            typed.insert(name.to_owned(), value);
        }
        typed
    }

    /// A reading as the form makes it of what is typed.
    pub(crate) fn reading(
        &self,
        at: Timestamp,
        read: &Measured,
        vessels: (f64, f64),
        note: &str,
    ) -> Result<ReadingTaken, Error> {
        let mut document = self.document(read, vessels);
        let written = document.iter();
        let as_written = written
            .filter_map(|(name, value)| Some((name.clone(), value.as_str()?.to_owned())))
            .collect();
        document.insert("at".to_owned(), at.to_string().into());
        if !note.is_empty() {
            document.insert("note".to_owned(), note.into());
        }
        let faults = Faults::new();
        let reading = casefile::reading(Table::new(&document, "reading", &faults), self.unit);
        Ok(ReadingTaken {
            unit: self.unit.id.clone(),
            reading: faults.settle("a typed reading", reading)?,
            as_written,
            from: None,
        })
    }
}
