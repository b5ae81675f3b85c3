//! What can be wrong with a water.

/// Why a water could not be computed. Every variant names the field of the case file that is at fault.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// Not a finite number.
    #[error("{field}: {read} is not a number that can be used")]
    NotANumber {
        /// The field.
        field: &'static str,
        /// What was read.
        read: f64,
    },
    /// Below zero, or beyond what any water can be.
    #[error("{field}: {read} {unit} is outside {least} to {most} {unit}")]
    OutOfRange {
        /// The field.
        field: &'static str,
        /// What was read.
        read: f64,
        /// The least that is accepted.
        least: f64,
        /// The most that is accepted.
        most: f64,
        /// The unit of the three.
        unit: &'static str,
    },
    /// The pH asks for more alkalinity than there is.
    #[error(
        "alkalinity: {read:.4} mg/L as CaCO3 is too little for pH {ph}, which needs at least {least:.4}; check ph and alkalinity"
    )]
    AlkalinityTooLow {
        /// The pH.
        ph: f64,
        /// The alkalinity read, mg/L as `CaCO3`.
        read: f64,
        /// What hydroxide and the other bases make at that pH without any carbonate.
        least: f64,
    },
    /// The pH asks for more carbon dioxide than a water holds.
    #[error(
        "ph: {ph} with alkalinity {alkalinity:.4} mg/L as CaCO3 would need {co2_mg_l:.0} mg/L of CO2, more than water holds; check ph and alkalinity"
    )]
    TooMuchCarbonDioxide {
        /// The pH.
        ph: f64,
        /// The alkalinity, mg/L as `CaCO3`.
        alkalinity: f64,
        /// The carbon dioxide that it would need, mg/L.
        co2_mg_l: f64,
    },
    /// The dissolved ions are beyond the activity model.
    #[error(
        "{field}: the water would hold {read:.2} mol/kg of dissolved matter; the chemistry holds to {most} mol/kg"
    )]
    TooSalty {
        /// The field that makes it so: the largest constituent, or `recovery`.
        field: &'static str,
        /// Molality of all constituents together.
        read: f64,
        /// The most that is accepted.
        most: f64,
    },
    /// No ion, no conductivity and no TDS.
    #[error("water: give at least one of conductivity, tds, hardness, alkalinity or an ion")]
    NothingGiven,
    /// A permeate reads less than the carbon dioxide alone makes.
    #[error(
        "permeate_conductivity: {read} uS/cm is less than the feed's carbon dioxide alone makes, {floor:.2} uS/cm"
    )]
    BelowCarbonDioxide {
        /// The conductivity read, uS/cm at 25 C.
        read: f64,
        /// What the carbon dioxide makes, uS/cm at 25 C.
        floor: f64,
    },
    /// No state was found; the field is the one whose balance could not be closed.
    #[error("{field}: no equilibrium could be found with this value")]
    NoEquilibrium {
        /// The field.
        field: &'static str,
    },
}

impl Error {
    /// The field of the case file that is at fault.
    pub fn field(&self) -> &'static str {
        match self {
            Self::NotANumber { field, .. }
            | Self::OutOfRange { field, .. }
            | Self::TooSalty { field, .. }
            | Self::NoEquilibrium { field } => field,
            Self::AlkalinityTooLow { .. } => "alkalinity",
            Self::TooMuchCarbonDioxide { .. } => "ph",
            Self::NothingGiven => "water",
            Self::BelowCarbonDioxide { .. } => "permeate_conductivity",
        }
    }
}
