//! What can be done to a water before the membranes: mixing, softening, acid, stripping CO2.
//!
//! Each conserves what it does not say it changes: the constituents, the alkalinity and the carbon.

use crate::constants::Constants;
use crate::constituent::{ALKALINITY_MG_PER_MEQ, Constituent};
use crate::error::Error;
use crate::problem::Carbonate;
use crate::roots;
use crate::speciation::Speciation;

/// `share` of one water (0 to 1, by mass) and the rest of another. The temperature is the mean by mass.
///
/// # Errors
///
/// `share` outside 0 to 1; as [`crate::speciate`].
pub fn mix(one: &Speciation, other: &Speciation, share: f64) -> Result<Speciation, Error> {
    check("share", share, 1.0, "as a fraction")?;
    let between = |a: f64, b: f64| share * a + (1.0 - share) * b;
    let composition = one.composition().mixed(other.composition(), share);
    let carbon = between(one.carbon_mol_kg(), other.carbon_mol_kg());
    Constants::at(between(one.temperature_c(), other.temperature_c())).speciate(
        &composition,
        Carbonate::TotalCarbon(carbon),
        Some(one),
    )
}

/// A cation exchanger in the sodium form: hardness, strontium, barium, iron and manganese exchanged for sodium, all by the
/// same fraction, until the calcium and magnesium hardness is `hardness_out` mg/L as `CaCO3`.
///
/// A water that is softer than that already is unchanged. The alkalinity, the carbon and the pH stay.
///
/// # Errors
///
/// `hardness_out` negative or not a number; as [`crate::speciate`].
pub fn soften(water: &Speciation, hardness_out_mg_l_caco3: f64) -> Result<Speciation, Error> {
    check("hardness_out", hardness_out_mg_l_caco3, 1e6, "mg/L as CaCO3")?;
    let mut composition = *water.composition();
    let hardness = composition.hardness_mg_l_caco3();
    let kept = if hardness > 0.0 {
        (hardness_out_mg_l_caco3 / hardness).min(1.0)
    } else {
        1.0
    };
    for c in [
        Constituent::Calcium,
        Constituent::Magnesium,
        Constituent::Strontium,
        Constituent::Barium,
        Constituent::Iron,
        Constituent::Manganese,
    ] {
        composition[Constituent::Sodium] += 2.0 * (1.0 - kept) * composition[c];
        composition[c] *= kept;
    }
    Constants::at(water.temperature_c()).speciate(
        &composition,
        Carbonate::TotalCarbon(water.carbon_mol_kg()),
        Some(water),
    )
}

/// A mineral acid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Acid {
    /// Hydrochloric acid: leaves chloride.
    Hydrochloric,
    /// Sulfuric acid: leaves sulfate.
    Sulfuric,
}

/// Adds an acid, equivalents per kg of water: the alkalinity falls by as much, the carbon stays.
///
/// Acid burns, and sulfuric acid boils when water is poured into it: the dose is for one who is trained to handle it.
///
/// # Errors
///
/// `acid` negative or not a number; as [`crate::speciate`].
pub fn add_acid(water: &Speciation, acid: Acid, dose_eq_kg: f64) -> Result<Speciation, Error> {
    check("acid", dose_eq_kg, 1.0, "eq/kg")?;
    let mut composition = *water.composition();
    composition.alkalinity_eq_kg -= dose_eq_kg;
    match acid {
        Acid::Hydrochloric => composition[Constituent::Chloride] += dose_eq_kg,
        Acid::Sulfuric => composition[Constituent::Sulfate] += 0.5 * dose_eq_kg,
    }
    Constants::at(water.temperature_c()).speciate(
        &composition,
        Carbonate::TotalCarbon(water.carbon_mol_kg()),
        Some(water),
    )
}

/// Adds as much acid as brings the pH to `ph`. The dose, eq/kg, and the water.
///
/// A water whose pH is below that already is unchanged.
///
/// # Errors
///
/// `ph` outside 3 to 10; as [`crate::speciate`].
pub fn acidify_to(water: &Speciation, acid: Acid, ph: f64) -> Result<(f64, Speciation), Error> {
    if !(3.0..=10.0).contains(&ph) {
        return Err(Error::OutOfRange {
            field: "ph",
            read: ph,
            least: 3.0,
            most: 10.0,
            unit: "pH",
        });
    }
    if water.ph() <= ph {
        return Ok((0.0, water.clone()));
    }
    let mut high = water.composition().alkalinity_eq_kg.max(1e-6);
    while add_acid(water, acid, high)?.ph() > ph {
        high *= 2.0;
    }
    let dose = roots::bracketed(0.0, high, 1e-12, |dose| {
        add_acid(water, acid, dose).map(|w| w.ph() - ph)
    })?;
    Ok((dose, add_acid(water, acid, dose)?))
}

/// Strips (or takes up) CO2 until `co2_mg_l` of it is left: the alkalinity stays, the pH moves.
///
/// # Errors
///
/// `co2` negative or not a number; as [`crate::speciate`].
pub fn strip_co2(water: &Speciation, co2_mg_l: f64) -> Result<Speciation, Error> {
    check("co2", co2_mg_l, 10_000.0, "mg/L")?;
    let constants = Constants::at(water.temperature_c());
    let present = water.co2_mg_l();
    if present <= 0.0 {
        return Ok(water.clone());
    }
    // The activity is all but proportional to the concentration; the ionic strength moves it a little.
    let mut activity = water.co2_activity() * co2_mg_l / present;
    let mut stripped =
        constants.speciate(water.composition(), Carbonate::Co2Activity(activity), Some(water))?;
    for _ in 0..3 {
        let now = stripped.co2_mg_l();
        if now <= 0.0 {
            break;
        }
        activity *= co2_mg_l / now;
        stripped = constants.speciate(
            water.composition(),
            Carbonate::Co2Activity(activity),
            Some(&stripped),
        )?;
    }
    Ok(stripped)
}

fn check(field: &'static str, read: f64, most: f64, unit: &'static str) -> Result<(), Error> {
    if !read.is_finite() {
        return Err(Error::NotANumber { field, read });
    }
    if !(0.0..=most).contains(&read) {
        return Err(Error::OutOfRange {
            field,
            read,
            least: 0.0,
            most,
            unit,
        });
    }
    Ok(())
}

/// Milligrams of `CaCO3` per litre that an acid dose takes from the alkalinity.
pub fn acid_mg_l_caco3(dose_eq_kg: f64) -> f64 {
    dose_eq_kg * ALKALINITY_MG_PER_MEQ * 1e3
}
