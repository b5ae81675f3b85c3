//! The minerals that may scale a membrane.

mod account;

pub use account::{EQUATIONS, of_allowed, of_limit, of_saturation};

use crate::constituent::Constituent;
use crate::database::{CO3, F, SO4};
use crate::speciation::Speciation;

/// A mineral whose saturation is followed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Mineral {
    /// `CaCO3`.
    Calcite,
    /// `CaCO3`, the less stable form.
    Aragonite,
    /// `CaSO4` with two of water.
    Gypsum,
    /// `BaSO4`.
    Barite,
    /// `SrSO4`.
    Celestite,
    /// `CaF2`.
    Fluorite,
    /// `SiO2`, amorphous.
    AmorphousSilica,
}

impl Mineral {
    /// All seven, in the order of the answers.
    pub const ALL: [Self; 7] = [
        Self::Calcite,
        Self::Aragonite,
        Self::Gypsum,
        Self::Barite,
        Self::Celestite,
        Self::Fluorite,
        Self::AmorphousSilica,
    ];

    /// Its name in the answers.
    pub fn name(self) -> &'static str {
        match self {
            Self::Calcite => "calcite",
            Self::Aragonite => "aragonite",
            Self::Gypsum => "gypsum",
            Self::Barite => "barite",
            Self::Celestite => "celestite",
            Self::Fluorite => "fluorite",
            Self::AmorphousSilica => "amorphous_silica",
        }
    }

    /// Its name in a sentence.
    pub fn title(self) -> &'static str {
        match self {
            Self::AmorphousSilica => "amorphous silica",
            other => other.name(),
        }
    }

    /// The mineral of a name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|m| m.name() == name)
    }

    /// log10 of the ion activity product. None where an ion is missing or none.
    pub(crate) fn log_ion_activity_product(self, water: &Speciation) -> Option<f64> {
        let ligand =
            |l: usize, c: Constituent| (water.composition()[c] > 0.0).then(|| water.log10_activity(l));
        let calcium = || water.log10_group_activity(Constituent::Calcium);
        let w = water.log10_water_activity();
        match self {
            Self::Calcite | Self::Aragonite => {
                let carbonate = (water.co2_activity() > 0.0).then(|| water.log10_activity(CO3))?;
                Some(calcium()? + carbonate)
            }
            Self::Gypsum => Some(calcium()? + ligand(SO4, Constituent::Sulfate)? + 2.0 * w),
            Self::Barite => {
                Some(water.log10_group_activity(Constituent::Barium)? + ligand(SO4, Constituent::Sulfate)?)
            }
            Self::Celestite => {
                Some(water.log10_group_activity(Constituent::Strontium)? + ligand(SO4, Constituent::Sulfate)?)
            }
            Self::Fluorite => Some(calcium()? + 2.0 * ligand(F, Constituent::Fluoride)?),
            Self::AmorphousSilica => Some(water.log10_group_activity(Constituent::Silica)? - 2.0 * w),
        }
    }
}
