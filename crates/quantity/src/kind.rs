//! The quantities the trade measures.

/// A quantity; each has one base unit, in which a bare number is read and every answer is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Volume in a time; L/h. Takes timed fills: `500 mL in 71 s`.
    Flow,
    /// L.
    Volume,
    /// Gauge pressure or a pressure drop; kPa.
    Pressure,
    /// C.
    Temperature,
    /// A span of temperature or the error of a thermometer; C.
    TemperatureDifference,
    /// Dissolved salt; mg/L. A `ppm` of it is a meter's display and is read as conductivity
    /// ([`crate::Parsed::conductivity`]).
    Salt,
    /// Mass of one constituent in a litre; mg/L.
    Concentration,
    /// Hardness or alkalinity; mg/L as `CaCO3`.
    AsCaco3,
    /// Conductivity at 25 C; uS/cm.
    Conductivity,
    /// m2.
    Area,
    /// m.
    Length,
    /// A duration whose base is the day: ages, limits.
    Duration,
    /// A duration whose base is the minute: `running_for`, `minutes`.
    Minutes,
    /// A duration whose base is the hour: `running_hours`.
    Hours,
    /// Recovery, rejection, salt passage; 1.
    Fraction,
    /// NTU.
    Turbidity,
    /// Silt density index; %/min.
    SiltDensity,
    /// Capacity of an exchanger; eq.
    ExchangeCapacity,
    /// Capacity of a litre of exchanger; eq/L.
    CapacityPerVolume,
    /// A number without unit: pH, an exponent.
    Number,
}

impl Kind {
    /// All kinds.
    pub const ALL: [Self; 20] = [
        Self::Flow,
        Self::Volume,
        Self::Pressure,
        Self::Temperature,
        Self::TemperatureDifference,
        Self::Salt,
        Self::Concentration,
        Self::AsCaco3,
        Self::Conductivity,
        Self::Area,
        Self::Length,
        Self::Duration,
        Self::Minutes,
        Self::Hours,
        Self::Fraction,
        Self::Turbidity,
        Self::SiltDensity,
        Self::ExchangeCapacity,
        Self::CapacityPerVolume,
        Self::Number,
    ];

    /// Symbol of the base unit; empty for a plain number.
    pub fn base_unit(self) -> &'static str {
        match self {
            Self::Flow => "L/h",
            Self::Volume => "L",
            Self::Pressure => "kPa",
            Self::Temperature | Self::TemperatureDifference => "C",
            Self::Salt | Self::Concentration => "mg/L",
            Self::AsCaco3 => "mg/L as CaCO3",
            Self::Conductivity => "uS/cm",
            Self::Area => "m2",
            Self::Length => "m",
            Self::Duration => "d",
            Self::Minutes => "min",
            Self::Hours => "h",
            Self::Turbidity => "NTU",
            Self::SiltDensity => "%/min",
            Self::ExchangeCapacity => "eq",
            Self::CapacityPerVolume => "eq/L",
            Self::Fraction | Self::Number => "",
        }
    }

    /// What it is called in a sentence, with its article.
    pub fn name(self) -> &'static str {
        match self {
            Self::Flow => "a flow",
            Self::Volume => "a volume",
            Self::Pressure => "a pressure",
            Self::Temperature => "a temperature",
            Self::TemperatureDifference => "a temperature difference",
            Self::Salt => "a salt content",
            Self::Concentration => "a concentration",
            Self::AsCaco3 => "a hardness or alkalinity",
            Self::Conductivity => "a conductivity",
            Self::Area => "an area",
            Self::Length => "a length",
            Self::Duration | Self::Minutes | Self::Hours => "a duration",
            Self::Fraction => "a fraction",
            Self::Turbidity => "a turbidity",
            Self::SiltDensity => "a silt density index",
            Self::ExchangeCapacity => "an exchange capacity",
            Self::CapacityPerVolume => "an exchange capacity per litre",
            Self::Number => "a number without unit",
        }
    }

    /// What is accepted, in a few examples, for error messages.
    pub fn accepted(self) -> &'static str {
        match self {
            Self::Flow => {
                "L/h, L/min, mL/min, L/d, m3/h, m3/d, gpm, gph, gpd, or a timed fill such as 500 mL in 71 s"
            }
            Self::Volume => "L, mL, m3, gal (US), imp gal, ft3",
            Self::Pressure => "kPa, bar, mbar, MPa, psi, kg/cm2, atm, m or ft of water (gauge)",
            Self::Temperature => "C, F, K",
            Self::TemperatureDifference => "C, F, K (a difference)",
            Self::Salt => "mg/L, g/L, or a meter's display with its factor, such as 350 ppm @0.5",
            Self::Concentration => "mg/L, ug/L, g/L, ppm, ppb, mmol/L, meq/L",
            Self::AsCaco3 => "mg/L as CaCO3, ppm, gpg, dH, fH, Clark, mmol/L, meq/L",
            Self::Conductivity => "uS/cm, mS/cm, S/m, MOhm cm, or 350 ppm @0.5",
            Self::Area => "m2, cm2, ft2, in2",
            Self::Length => "m, cm, mm, in, ft",
            Self::Duration => "d, h, min, s, weeks, months, years",
            Self::Minutes => "min, s, h, d",
            Self::Hours => "h, min, d",
            Self::Fraction => "a fraction such as 0.25, or %",
            Self::Turbidity => "NTU, FNU",
            Self::SiltDensity => "%/min",
            Self::ExchangeCapacity => "eq, meq, grains or g as CaCO3",
            Self::CapacityPerVolume => "eq/L, meq/mL, kgr/ft3",
            Self::Number => "a plain number",
        }
    }
}
