//! What was read at a unit and what was done to it: readings, events, and the catalogue of fields.
//!
//! Architecture invariant: plain records. Nothing here computes, and nothing here knows a file format.
#![deny(clippy::disallowed_methods)]

mod event;
mod field;

use std::collections::BTreeMap;

use jiff::Timestamp;

pub use event::{Event, EventKind};
pub use field::{Dimension, Field};

/// One visit's readings. Only the time is certain to be there.
///
/// Values are in the base unit of their field ([`Field::dimension`]): L/h, kPa (gauge), C, uS/cm at
/// 25 C, mg/L, L, h, min.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// When it was taken.
    pub at: Timestamp,
    /// One value per field; 0 where it was not read. Kept small: a log may have a million readings.
    values: [f64; Field::COUNT],
    /// Which of them were read, a bit for each field.
    is_read: u32,
    /// Pressure after a stage, kPa, by stage id.
    pub pressure_after_kpa: BTreeMap<String, f64>,
    /// Free chlorine after a stage, mg/L, by stage id.
    pub chlorine_after_mg_l: BTreeMap<String, f64>,
    /// Conductivity after a polishing item, uS/cm, by its id.
    pub conductivity_after_us_cm: BTreeMap<String, f64>,
    /// Conductivity of one element's permeate, uS/cm, by element id.
    pub element_permeate_us_cm: BTreeMap<String, f64>,
    /// What was seen or complained of.
    pub observed: Vec<Observed>,
    /// Relative spread of a conductivity that was read on a meter of unstated factor, one standard
    /// deviation, shared by all readings of that column; 0 where the factor is known.
    pub meter_factor_sd: f64,
    /// Who took it.
    pub by: String,
    /// Remark, as written.
    pub note: String,
    /// Line of the log it came from, counted from 1.
    pub line: Option<u32>,
}

/// A bit for each field.
const _: () = assert!(Field::COUNT <= u32::BITS as usize);

impl Reading {
    /// A reading at this time with nothing in it yet.
    pub fn new(at: Timestamp) -> Self {
        Self {
            at,
            values: [0.0; Field::COUNT],
            is_read: 0,
            pressure_after_kpa: BTreeMap::new(),
            chlorine_after_mg_l: BTreeMap::new(),
            conductivity_after_us_cm: BTreeMap::new(),
            element_permeate_us_cm: BTreeMap::new(),
            observed: Vec::new(),
            meter_factor_sd: 0.0,
            by: String::new(),
            note: String::new(),
            line: None,
        }
    }

    /// The value of a field, in its base unit, if it was read.
    pub fn get(&self, field: Field) -> Option<f64> {
        let at = field as usize;
        (self.is_read & (1 << at) != 0).then(|| self.values[at])
    }

    /// Puts a value, or takes it out.
    pub fn set(&mut self, field: Field, value: Option<f64>) {
        let at = field as usize;
        self.values[at] = value.unwrap_or(0.0);
        if value.is_some() {
            self.is_read |= 1 << at;
        } else {
            self.is_read &= !(1 << at);
        }
    }

    /// The same reading with this value in it.
    #[must_use]
    pub fn with(mut self, field: Field, value: f64) -> Self {
        self.set(field, Some(value));
        self
    }

    /// Whether nothing at all was read.
    pub fn is_empty(&self) -> bool {
        self.is_read == 0
            && self.pressure_after_kpa.is_empty()
            && self.chlorine_after_mg_l.is_empty()
            && self.conductivity_after_us_cm.is_empty()
            && self.element_permeate_us_cm.is_empty()
            && self.observed.is_empty()
    }
}

/// What a customer or technician can see without an instrument.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Observed {
    /// Water runs to drain although the tank is full.
    RunsToDrainWhenFull,
    /// No water at all.
    NoWater,
    /// The pump makes no sound.
    PumpSilent,
    /// The pump starts and stops every few moments.
    PumpShortCycles,
    /// Water where none should be.
    Leak,
    /// The tank never fills.
    TankNeverFull,
    /// A full tank gives little.
    TankDeliversLittle,
    /// More is drawn than before.
    UsesMore,
    /// Taste or smell.
    TasteOrSmell,
    /// Brown water.
    BrownWater,
    /// Taken just after a start.
    JustStarted,
    /// Since the last work on the unit.
    AfterWork,
}

impl Observed {
    /// All, in the contract's order.
    pub const ALL: [Self; 12] = [
        Self::RunsToDrainWhenFull,
        Self::NoWater,
        Self::PumpSilent,
        Self::PumpShortCycles,
        Self::Leak,
        Self::TankNeverFull,
        Self::TankDeliversLittle,
        Self::UsesMore,
        Self::TasteOrSmell,
        Self::BrownWater,
        Self::JustStarted,
        Self::AfterWork,
    ];

    /// Its name in case files and answers.
    pub fn name(self) -> &'static str {
        match self {
            Self::RunsToDrainWhenFull => "runs_to_drain_when_full",
            Self::NoWater => "no_water",
            Self::PumpSilent => "pump_silent",
            Self::PumpShortCycles => "pump_short_cycles",
            Self::Leak => "leak",
            Self::TankNeverFull => "tank_never_full",
            Self::TankDeliversLittle => "tank_delivers_little",
            Self::UsesMore => "uses_more",
            Self::TasteOrSmell => "taste_or_smell",
            Self::BrownWater => "brown_water",
            Self::JustStarted => "just_started",
            Self::AfterWork => "after_work",
        }
    }

    /// The observation of this name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|observed| observed.name() == name)
    }
}
