//! Dissolved solids.

use crate::constituent::{BICARBONATE_G_MOL, CARBONATE_G_MOL, Constituent};
use crate::speciation::Speciation;

/// What is left of bicarbonate, by mass, when a sample is dried: half of it leaves as CO2 and water.
///
/// Source: Standard Methods 1030 E (from memory): HCO3 x 0.4917.
pub(crate) const RESIDUE_OF_BICARBONATE: f64 = 0.49;

/// Sum of what is dissolved, mg/L: constituents as entered, bicarbonate whole, carbonate, silica as `SiO2`; no gases.
pub fn tds_mg_l(water: &Speciation) -> f64 {
    let (bicarbonate, carbonate) = water.bicarbonate_carbonate_mol_kg();
    salts(water) + 1e3 * (bicarbonate * BICARBONATE_G_MOL + carbonate * CARBONATE_G_MOL)
}

/// The residue on evaporation that the water would leave, mg/L.
pub(crate) fn residue_mg_l(water: &Speciation) -> f64 {
    let (bicarbonate, carbonate) = water.bicarbonate_carbonate_mol_kg();
    salts(water)
        + 1e3 * (RESIDUE_OF_BICARBONATE * bicarbonate * BICARBONATE_G_MOL + carbonate * CARBONATE_G_MOL)
}

fn salts(water: &Speciation) -> f64 {
    Constituent::ALL
        .iter()
        .map(|c| water.composition().mg_l(*c))
        .sum()
}
