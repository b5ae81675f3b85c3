//! What is asked for, and what the caller knows about the site.

use unit::{StageKind, Unit};

use crate::error::{CardError, InputFault};
use crate::texts::Language;

/// One item of work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Work {
    /// Take the part out and put a new one in.
    Change {
        /// Id of a stage, an element or a polishing item.
        part: String,
    },
    /// Take it out, wash it, put it back: meant for a pleated cartridge.
    Wash {
        /// Id of a stage, an element or a polishing item.
        part: String,
    },
    /// Take it out, look at it, put it back.
    Inspect {
        /// Id of a stage, an element or a polishing item.
        part: String,
    },
    /// Disinfect the unit with chlorine, membranes and carbon out.
    Sanitise,
    /// Dissolve scale from the membranes with citric acid.
    Descale,
    /// Clean the membranes with an alkaline solution.
    Clean,
    /// Put a new unit into service.
    Commission,
    /// Put a unit to rest for months.
    LayUp,
}

impl Work {
    /// Its `do` in case files.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Change { .. } => "change",
            Self::Wash { .. } => "wash",
            Self::Inspect { .. } => "inspect",
            Self::Sanitise => "sanitise",
            Self::Descale => "descale",
            Self::Clean => "clean",
            Self::Commission => "commission",
            Self::LayUp => "lay_up",
        }
    }

    /// The part it is done to; none where it is done to the whole unit.
    pub fn part(&self) -> Option<&str> {
        match self {
            Self::Change { part } | Self::Wash { part } | Self::Inspect { part } => Some(part),
            _ => None,
        }
    }

    /// The work of this `do`, for the part where one is needed.
    ///
    /// None for an unknown name, a missing part, or a part where none belongs.
    pub fn from_name(name: &str, part: Option<&str>) -> Option<Self> {
        let part = part.map(str::to_owned);
        Some(match (name, part) {
            ("change", Some(part)) => Self::Change { part },
            ("wash", Some(part)) => Self::Wash { part },
            ("inspect", Some(part)) => Self::Inspect { part },
            ("sanitise", None) => Self::Sanitise,
            ("descale", None) => Self::Descale,
            ("clean", None) => Self::Clean,
            ("commission", None) => Self::Commission,
            ("lay_up", None) => Self::LayUp,
            _ => return None,
        })
    }
}

/// What the caller knows about the place, beyond the unit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Site {
    /// Supply pressure where it was read, kPa (gauge), at its highest.
    pub inlet_pressure_kpa: Option<f64>,
    /// What the readings should be after the work.
    pub expected: Vec<Expected>,
    /// The language of the card's texts.
    pub language: Language,
}

/// One reading's expected value, in the base unit of its field.
#[derive(Clone, Debug, PartialEq)]
pub struct Expected {
    /// Name of the field, as in a reading.
    pub field: String,
    /// Expected value.
    pub expected: f64,
    /// Lowest value that passes.
    pub low: f64,
    /// Highest value that passes.
    pub high: f64,
}

/// Every fault of the work as asked.
pub(crate) fn validate(unit: &Unit, work: &[Work]) -> Result<(), CardError> {
    let mut faults = Vec::new();
    let parts = || {
        unit.part_ids()
            .filter(|id| {
                !unit
                    .stage(id)
                    .is_some_and(|stage| matches!(stage.kind, StageKind::Pump { .. }))
            })
            .collect::<Vec<_>>()
            .join(", ")
    };
    if work.is_empty() {
        faults.push(InputFault {
            path: "work".to_owned(),
            read: "nothing".to_owned(),
            accepted: format!(
                "at least one part of this unit ({}), or one of sanitise, descale, clean, commission, lay_up",
                parts()
            ),
        });
    }
    for (index, item) in work.iter().enumerate() {
        let path = format!("work[{index}]");
        let Some(part) = item.part() else {
            if work.len() > 1 {
                faults.push(InputFault {
                    path,
                    read: item.name().to_owned(),
                    accepted: format!("`{}` alone, in a card of its own", item.name()),
                });
            }
            continue;
        };
        let pump = unit
            .stage(part)
            .is_some_and(|stage| matches!(stage.kind, StageKind::Pump { .. }));
        if pump {
            faults.push(InputFault {
                path,
                read: format!("{part}, which is a pump"),
                accepted: format!(
                    "a part with a housing ({}); a pump is serviced by its maker's book",
                    parts()
                ),
            });
        } else if !unit.part_ids().any(|id| id == part) {
            faults.push(InputFault {
                path,
                read: if part.is_empty() {
                    "an empty id".to_owned()
                } else {
                    part.to_owned()
                },
                accepted: format!("a part of this unit: {}", parts()),
            });
        } else if work
            .iter()
            .take(index)
            .any(|earlier| earlier.part() == Some(part))
        {
            faults.push(InputFault {
                path,
                read: format!("{part} a second time"),
                accepted: "each part once".to_owned(),
            });
        }
    }
    if faults.is_empty() {
        Ok(())
    } else {
        Err(CardError::Input(faults))
    }
}
