//! The catalogue of what can be read: one place for names and units.

macro_rules! fields {
    ($($(#[$doc:meta])* $variant:ident $name:literal $dimension:ident;)*) => {
        /// A scalar that can be read at a unit.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Field { $($(#[$doc])* $variant,)* }

        impl Field {
            /// All fields, in the order in which one walks round the unit.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];
            /// How many there are.
            pub const COUNT: usize = Self::ALL.len();

            /// Its name in case files and answers.
            pub fn name(self) -> &'static str {
                match self { $(Self::$variant => $name,)* }
            }

            /// What is measured, hence the base unit.
            pub fn dimension(self) -> Dimension {
                match self { $(Self::$variant => Dimension::$dimension,)* }
            }
        }
    };
}

fields! {
    /// Temperature of the feed.
    FeedTemperature "feed_temperature" Temperature;
    /// Pressure before the first stage.
    InletPressure "inlet_pressure" Pressure;
    /// Pressure at the first membrane's feed.
    MembranePressure "membrane_pressure" Pressure;
    /// Pressure of the concentrate before the restrictor.
    ConcentratePressure "concentrate_pressure" Pressure;
    /// Pressure in the permeate line at the membranes.
    PermeatePressure "permeate_pressure" Pressure;
    /// Permeate flow.
    PermeateFlow "permeate_flow" Flow;
    /// Concentrate flow.
    ConcentrateFlow "concentrate_flow" Flow;
    /// Conductivity of the feed.
    FeedConductivity "feed_conductivity" Conductivity;
    /// Conductivity of the permeate before any polishing.
    PermeateConductivity "permeate_conductivity" Conductivity;
    /// Dissolved salt of the feed.
    FeedTds "feed_tds" Concentration;
    /// Dissolved salt of the permeate before any polishing.
    PermeateTds "permeate_tds" Concentration;
    /// Permeate totaliser.
    PermeateTotal "permeate_total" Volume;
    /// Feed totaliser.
    FeedTotal "feed_total" Volume;
    /// Hour meter.
    RunningHours "running_hours" RunningHours;
    /// Free chlorine of the feed.
    FeedFreeChlorine "feed_free_chlorine" Concentration;
    /// Total chlorine of the feed.
    FeedTotalChlorine "feed_total_chlorine" Concentration;
    /// Free chlorine after the last carbon stage.
    FreeChlorineOut "free_chlorine_out" Concentration;
    /// Total chlorine after the last carbon stage.
    TotalChlorineOut "total_chlorine_out" Concentration;
    /// Hardness after the softener.
    HardnessOut "hardness_out" AsCaco3;
    /// How long the unit had been running.
    RunningFor "running_for" RunningMinutes;
}

impl Field {
    /// The field of this name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|field| field.name() == name)
    }
}

/// What a field measures; each has one base unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    /// L/h.
    Flow,
    /// L.
    Volume,
    /// kPa, gauge.
    Pressure,
    /// C.
    Temperature,
    /// mg/L.
    Concentration,
    /// mg/L as `CaCO3`.
    AsCaco3,
    /// uS/cm at 25 C.
    Conductivity,
    /// h.
    RunningHours,
    /// min.
    RunningMinutes,
}
