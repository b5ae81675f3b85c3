//! Bringing a water to equilibrium with a mineral, closed to the air.

use crate::constants::Constants;
use crate::constituent::{CALCIUM_CARBONATE_G_MOL, Composition, Constituent};
use crate::error::Error;
use crate::mineral::Mineral;
use crate::problem::Carbonate;
use crate::roots;
use crate::speciation::Speciation;

/// A water brought to equilibrium with a mineral.
#[derive(Clone, Debug)]
pub struct Equilibrated {
    /// The mineral.
    pub mineral: Mineral,
    /// What left the water as mineral, mol/kg; negative where mineral dissolved.
    pub precipitated_mol_kg: f64,
    /// The water then.
    pub water: Speciation,
}

/// What of a water goes into one mole of a mineral.
fn taken(composition: &Composition, carbon: f64, mineral: Mineral, x: f64) -> (Composition, f64) {
    let mut c = *composition;
    let mut carbon = carbon;
    match mineral {
        Mineral::Calcite | Mineral::Aragonite => {
            c[Constituent::Calcium] -= x;
            c.alkalinity_eq_kg -= 2.0 * x;
            carbon -= x;
        }
        Mineral::Gypsum => {
            c[Constituent::Calcium] -= x;
            c[Constituent::Sulfate] -= x;
        }
        Mineral::Barite => {
            c[Constituent::Barium] -= x;
            c[Constituent::Sulfate] -= x;
        }
        Mineral::Celestite => {
            c[Constituent::Strontium] -= x;
            c[Constituent::Sulfate] -= x;
        }
        Mineral::Fluorite => {
            c[Constituent::Calcium] -= x;
            c[Constituent::Fluoride] -= 2.0 * x;
        }
        Mineral::AmorphousSilica => c[Constituent::Silica] -= x,
    }
    (c, carbon)
}

/// The most that can leave.
fn most(composition: &Composition, carbon: f64, mineral: Mineral) -> f64 {
    let c = |c: Constituent| composition[c];
    match mineral {
        Mineral::Calcite | Mineral::Aragonite => c(Constituent::Calcium).min(carbon),
        Mineral::Gypsum => c(Constituent::Calcium).min(c(Constituent::Sulfate)),
        Mineral::Barite => c(Constituent::Barium).min(c(Constituent::Sulfate)),
        Mineral::Celestite => c(Constituent::Strontium).min(c(Constituent::Sulfate)),
        Mineral::Fluorite => c(Constituent::Calcium).min(0.5 * c(Constituent::Fluoride)),
        Mineral::AmorphousSilica => c(Constituent::Silica),
    }
}

/// Brings a water to a saturation index of 0 for a mineral, at its own temperature, nothing but the mineral entering or
/// leaving. None where an ion of the mineral is missing.
///
/// # Errors
///
/// As [`crate::speciate`].
pub fn equilibrate(water: &Speciation, mineral: Mineral) -> Result<Option<Equilibrated>, Error> {
    equilibrate_at(&Constants::at(water.temperature_c()), water, mineral)
}

pub(crate) fn equilibrate_at(
    constants: &Constants,
    water: &Speciation,
    mineral: Mineral,
) -> Result<Option<Equilibrated>, Error> {
    /// An index this near to 0 is 0.
    const NEAR: f64 = 1e-9;
    let Some(index) = water.saturation_index(mineral) else {
        return Ok(None);
    };
    let carbon = water.carbon_mol_kg();
    let mut last = water.clone();
    let mut at = |x: f64| -> Result<f64, Error> {
        let (composition, carbon) = taken(water.composition(), carbon, mineral, x);
        last = constants.speciate(&composition, Carbonate::TotalCarbon(carbon.max(0.0)), Some(&last))?;
        // Of the last of an ion nothing is left to measure an index by.
        let index = last.saturation_index(mineral).unwrap_or(-30.0);
        Ok(if index.abs() < NEAR { 0.0 } else { index })
    };
    let most = most(water.composition(), carbon, mineral);
    let x = if index.abs() < NEAR {
        0.0
    } else if index > 0.0 {
        roots::bracketed(0.0, most * (1.0 - 1e-9), 1e-12 * most, &mut at)?
    } else {
        // Dissolving: a few times what is there, until it is too much.
        let mut low = -(0.1 * most).max(1e-5);
        while at(low)? < 0.0 {
            low *= 3.0;
        }
        roots::bracketed(low, 0.0, 1e-12 * low.abs(), &mut at)?
    };
    at(x)?;
    Ok(Some(Equilibrated {
        mineral,
        precipitated_mol_kg: x,
        water: last,
    }))
}

/// Calcium carbonate precipitation potential, mg/L as `CaCO3`: what would precipitate (positive) or dissolve (negative)
/// until calcite is just saturated. None without calcium or carbonate.
///
/// By equilibration, as Standard Methods 2330 C, not by a chart.
///
/// # Errors
///
/// As [`crate::speciate`].
pub fn ccpp_mg_l_caco3(water: &Speciation) -> Result<Option<f64>, Error> {
    Ok(equilibrate(water, Mineral::Calcite)?.map(|e| e.precipitated_mol_kg * CALCIUM_CARBONATE_G_MOL * 1e3))
}
