//! What a column can be.

use quantity::Kind;
use reading::{Dimension, Field};
use unit::Unit;

/// What a column holds.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Target {
    /// The day, or the day and the time of day.
    Date,
    /// The time of day.
    Time,
    /// A remark.
    Note,
    /// Who took the reading.
    By,
    /// A field of a reading.
    Field(Field),
    /// Pressure after the stage of this id.
    PressureAfter(String),
    /// Free chlorine after the stage of this id.
    ChlorineAfter(String),
    /// Conductivity after the polishing item of this id.
    ConductivityAfter(String),
    /// Conductivity of the permeate of the element of this id.
    ElementPermeate(String),
    /// Nothing that is read.
    Ignored,
}

const AFTER: [&str; 4] = [
    "pressure_after",
    "chlorine_after",
    "conductivity_after",
    "element_permeate_conductivity",
];

impl Target {
    /// Its name in a mapping file and in answers: `permeate_flow`, `pressure_after.sediment`, `date`.
    pub fn name(&self) -> String {
        let [pressure, chlorine, conductivity, element] = AFTER;
        match self {
            Self::Date => "date".to_owned(),
            Self::Time => "time".to_owned(),
            Self::Note => "note".to_owned(),
            Self::By => "by".to_owned(),
            Self::Ignored => "ignore".to_owned(),
            Self::Field(field) => field.name().to_owned(),
            Self::PressureAfter(id) => format!("{pressure}.{id}"),
            Self::ChlorineAfter(id) => format!("{chlorine}.{id}"),
            Self::ConductivityAfter(id) => format!("{conductivity}.{id}"),
            Self::ElementPermeate(id) => format!("{element}.{id}"),
        }
    }

    /// The target of this name, where the unit has the part that it names.
    pub fn from_name(name: &str, unit: &Unit) -> Option<Self> {
        if let Some((before, id)) = name.split_once('.') {
            let known = match before {
                "pressure_after" | "chlorine_after" => unit.stage(id).is_some(),
                "conductivity_after" => unit.permeate.polish.iter().any(|item| item.id == id),
                "element_permeate_conductivity" => unit.element(id).is_some(),
                _ => false,
            };
            let id = id.to_owned();
            return known.then_some(match before {
                "pressure_after" => Self::PressureAfter(id),
                "chlorine_after" => Self::ChlorineAfter(id),
                "conductivity_after" => Self::ConductivityAfter(id),
                _ => Self::ElementPermeate(id),
            });
        }
        Some(match name {
            "date" | "at" => Self::Date,
            "time" => Self::Time,
            "note" => Self::Note,
            "by" => Self::By,
            "ignore" => Self::Ignored,
            _ => Self::Field(Field::from_name(name)?),
        })
    }

    /// The quantity it holds; none for dates and words.
    pub fn kind(&self) -> Option<Kind> {
        match self {
            Self::Date | Self::Time | Self::Note | Self::By | Self::Ignored => None,
            Self::PressureAfter(_) => Some(Kind::Pressure),
            Self::ChlorineAfter(_) => Some(Kind::Concentration),
            Self::ConductivityAfter(_) | Self::ElementPermeate(_) => Some(Kind::Conductivity),
            Self::Field(Field::FeedTds | Field::PermeateTds) => Some(Kind::Salt),
            Self::Field(field) => Some(match field.dimension() {
                Dimension::Flow => Kind::Flow,
                Dimension::Volume => Kind::Volume,
                Dimension::Pressure => Kind::Pressure,
                Dimension::Temperature => Kind::Temperature,
                Dimension::Concentration => Kind::Concentration,
                Dimension::AsCaco3 => Kind::AsCaco3,
                Dimension::Conductivity => Kind::Conductivity,
                Dimension::RunningHours => Kind::Hours,
                Dimension::RunningMinutes => Kind::Minutes,
            }),
        }
    }

    /// Whether it is a conductivity or salt content of the permeate side, hence read with that meter.
    pub(crate) fn is_permeate_side(&self) -> bool {
        matches!(
            self,
            Self::Field(Field::PermeateConductivity | Field::PermeateTds)
                | Self::ConductivityAfter(_)
                | Self::ElementPermeate(_)
        )
    }
}
