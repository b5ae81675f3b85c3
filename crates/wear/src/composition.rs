//! How far a prediction may be off where of the feed only its salt content or its conductivity is known.

use unit::{Conditions, Input, Model, Output, Parameter, Parameters, Prediction, Solute, Workspace};
use water::{Analysis, Constituent};

use crate::expectation::{Spread, setting};

/// Standard deviations to either side that hold eight of ten (normal distribution).
const EIGHT_IN_TEN: f64 = 1.281_551_6;
/// Conductivity of the carbon dioxide that a permeate may hold, uS/cm (`model.md` 1).
const CARBON_DIOXIDE_US_CM: f64 = 3.0;

/// Where eight in ten lie: low and high.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// One in ten is lower.
    pub low: f64,
    /// One in ten is higher.
    pub high: f64,
}

/// What a unit makes of a feed whose composition is not known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ranges {
    /// Permeate, L/h.
    pub permeate_flow_l_h: Range,
    /// Dissolved salt of the permeate, mg/L.
    pub permeate_tds_mg_l: Range,
    /// Conductivity of the permeate at 25 C, uS/cm; its high end holds the carbon dioxide that no salt content tells of.
    pub permeate_conductivity_us_cm: Range,
}

/// The range of a one-salt prediction over natural waters from calcium bicarbonate to sodium chloride.
///
/// The ends of the composition go through the exact derivatives of flow and salt by osmotic pressure (that is, by the
/// feed's concentration, through which alone it acts on the flow) and by salt permeability, and join the spread of the
/// elements, each side by the root of the squares:
///
/// ```text
/// salt     ln r   with r = (r_Ca r_HCO3^2)^(1/3), what a neutral permeate passes of calcium bicarbonate
/// osmotic  ln (3/M_Ca(HCO3)2)/(2/M_NaCl) at an equal salt content; 12 % at an equal conductivity (`model.md` 1)
/// ratio    ln (L/E)_Ca(HCO3)2/(L/E)_NaCl, conductivity per salt, where not both of them were read
/// ```
///
/// Sulfate waters pass still less. None where the ions are known, or where the model has no derivatives.
pub fn ranges(
    model: &Model,
    parameters: &Parameters,
    conditions: &Conditions,
    feed: &Analysis,
    prediction: &Prediction,
    spread: Spread,
    workspace: &mut Workspace,
) -> Option<Ranges> {
    if prediction.waters.is_some() {
        return None;
    }
    let setting = setting(conditions, prediction);
    let point = model.sensitivities(parameters, &setting, workspace).ok()?;
    let found = workspace.sensitivities();
    let of_osmotic = found.get(Output::PermeateFlow, Input::FeedConcentration)? * setting.feed_mg_l
        / point.permeate_flow_l_h;
    let mut of_salt = 0.0;
    for i in 0..prediction.elements.len() {
        let slope = found.get(
            Output::PermeateConcentration,
            Input::Parameter(Parameter::SaltPermeability(i)),
        )?;
        of_salt += slope / point.permeate_tds_mg_l;
    }
    let sd = water::properties::CONDUCTIVITY_OSMOTIC_PRESSURE_SD;
    let osmotic_low = if feed.conductivity_us_cm.is_some() {
        EIGHT_IN_TEN * sd
    } else {
        -calcium_bicarbonate_osmotic().ln()
    };
    let (flow, salt) = (
        EIGHT_IN_TEN * spread.permeate_flow,
        EIGHT_IN_TEN * spread.permeate_salt,
    );
    // Conductivity per salt, where the feed does not tell it: one of the permeate's two is then less sure.
    let ratio = calcium_bicarbonate_conductivity().ln();
    let (by_salt, by_conductivity) = match (feed.tds_mg_l, feed.conductivity_us_cm) {
        (Some(_), Some(_)) => (0.0, 0.0),
        (_, None) => (ratio, 0.0),
        (None, Some(_)) => (0.0, ratio),
    };
    let passage = of_salt * calcium_bicarbonate_passage().ln();
    let permeate_tds_mg_l = Range {
        low: point.permeate_tds_mg_l * (-salt.hypot(passage)).exp(),
        high: point.permeate_tds_mg_l * salt.hypot(by_conductivity).exp(),
    };
    let us_cm = prediction.permeate_conductivity_us_cm;
    Some(Ranges {
        permeate_flow_l_h: Range {
            low: point.permeate_flow_l_h * (-flow.hypot(of_osmotic * EIGHT_IN_TEN * sd)).exp(),
            high: point.permeate_flow_l_h * flow.hypot(of_osmotic * osmotic_low).exp(),
        },
        permeate_tds_mg_l,
        permeate_conductivity_us_cm: Range {
            low: us_cm * (-salt.hypot(passage + by_salt)).exp(),
            high: us_cm * salt.exp() + CARBON_DIOXIDE_US_CM,
        },
    })
}

/// Salt permeability of calcium bicarbonate alone over that of sodium chloride: each ion's by its own ratio, and a
/// potential that keeps the permeate neutral (`model.md` 2), `2 r_Ca e^-2psi = 2 r_HCO3 e^psi`.
fn calcium_bicarbonate_passage() -> f64 {
    let rows = unit::relative_permeabilities();
    let ratio = |solute: Solute| {
        let row = rows.iter().find(|row| row.solute == solute);
        row.map_or(1.0, |row| row.ratio)
    };
    (ratio(Solute::Of(Constituent::Calcium)) * ratio(Solute::Bicarbonate).powi(2)).cbrt()
}

/// Osmotic pressure of calcium bicarbonate over that of sodium chloride at an equal salt content, by the number of ions.
fn calcium_bicarbonate_osmotic() -> f64 {
    let calcium = Constituent::Calcium.molar_mass_g_mol() + 2.0 * Solute::Bicarbonate.molar_mass_g_mol();
    let chloride = Constituent::Sodium.molar_mass_g_mol() + Constituent::Chloride.molar_mass_g_mol();
    3.0 / calcium * chloride / 2.0
}

/// Conductivity of calcium bicarbonate over that of sodium chloride at an equal salt content, both without limit of dilution:
/// S cm2/eq of Ca 59.47, HCO3 44.5, Na 50.08, Cl 76.31 (`reference/check-values.md` 4).
fn calcium_bicarbonate_conductivity() -> f64 {
    let calcium = Constituent::Calcium.molar_mass_g_mol() / 2.0 + Solute::Bicarbonate.molar_mass_g_mol();
    let chloride = Constituent::Sodium.molar_mass_g_mol() + Constituent::Chloride.molar_mass_g_mol();
    (59.47 + 44.5) / calcium * chloride / (50.08 + 76.31)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_calcium_bicarbonate_beside_sodium_chloride() {
        // By hand from `model.md` 2's ratios, Ca 0.25 and HCO3 0.8: (0.25 x 0.64)^(1/3) = 0.5429. Tolerance: the digits written.
        assert!((calcium_bicarbonate_passage() - 0.5429).abs() < 1e-4);
        // 103.97/81.06 over 126.39/58.44: 0.5931.
        assert!((calcium_bicarbonate_conductivity() - 0.5931).abs() < 1e-4);
        // 3/162.11 over 2/58.44: 0.5407.
        assert!((calcium_bicarbonate_osmotic() - 0.5407).abs() < 1e-4);
    }
}
