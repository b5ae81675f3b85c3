//! How far a prediction for a unit may be off before any reading of it was taken.

use unit::{
    Conditions, Input, Model, OsmoticLaw, Output, Parameter, Parameters, Prediction, Setting, Workspace,
};

use crate::baseline::NEW_ELEMENT_SD;
use crate::standardise::TEMPERATURE_COEFFICIENT_SD;

/// Standard deviation of the logarithm of the mass transfer coefficient (`model.md` 2).
pub const MASS_TRANSFER_SD: f64 = 0.25;

/// Standard deviations of logarithms.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spread {
    /// Of the permeate flow.
    pub permeate_flow: f64,
    /// Of the permeate's dissolved salt, and so of the salt passage.
    pub permeate_salt: f64,
}

/// The spread of a prediction that follows from what is not known of the elements: new ones differ from their ratings by
/// [`NEW_ELEMENT_SD`], each on its own; the temperature coefficient, the mass transfer and how each ion passes are the same
/// for all of them. An element whose factor `conditions.state` states is taken to be known.
///
/// The exact derivatives of the one-salt model serve for ions too: they are the same but for the ratios of the ions.
/// Where the model has no derivatives the spread is 0.
pub fn spread(
    model: &Model,
    parameters: &Parameters,
    conditions: &Conditions,
    ids: &[&str],
    prediction: &Prediction,
    workspace: &mut Workspace,
) -> Spread {
    let setting = setting(conditions, prediction);
    let Ok(point) = model.sensitivities(parameters, &setting, workspace) else {
        return Spread::default();
    };
    let found = workspace.sensitivities();
    let sd = |output: Output, value: f64| {
        let share = |parameter: Parameter, sd: f64| {
            let slope = found.get(output, Input::Parameter(parameter)).unwrap_or(0.0);
            (slope / value * sd).powi(2)
        };
        let mut variance = share(Parameter::TemperatureCoefficient, TEMPERATURE_COEFFICIENT_SD)
            + share(Parameter::MassTransfer, MASS_TRANSFER_SD);
        for (i, id) in ids.iter().enumerate() {
            if !conditions.state.permeability.contains_key(*id) {
                variance += share(Parameter::WaterPermeability(i), NEW_ELEMENT_SD.0);
            }
            if !conditions.state.salt_permeability.contains_key(*id) {
                variance += share(Parameter::SaltPermeability(i), NEW_ELEMENT_SD.1);
            }
        }
        variance
    };
    let flow = sd(Output::PermeateFlow, point.permeate_flow_l_h);
    let salt = sd(Output::PermeateConcentration, point.permeate_tds_mg_l) + ions(prediction);
    let whole = |variance: f64| {
        if variance.is_finite() {
            variance.sqrt()
        } else {
            0.0
        }
    };
    Spread {
        permeate_flow: whole(flow),
        permeate_salt: whole(salt),
    }
}

/// The feed as one salt, as near as that comes to its ions.
pub fn setting(conditions: &Conditions, prediction: &Prediction) -> Setting {
    let feed_mg_l = prediction.point.permeate_tds_mg_l / prediction.point.salt_passage;
    let osmotic = prediction
        .waters
        .as_ref()
        .map_or(OsmoticLaw::SodiumChloride, |waters| {
            let per_mg_l = waters.feed.osmotic_pressure_kpa() / feed_mg_l;
            OsmoticLaw::Proportional(per_mg_l * 298.15 / (conditions.temperature_c + 273.15))
        });
    Setting {
        temperature_c: conditions.temperature_c,
        inlet_pressure_kpa: conditions.inlet_pressure_kpa,
        permeate_pressure_kpa: conditions.permeate_pressure_kpa,
        feed_mg_l,
        osmotic,
    }
}

/// Variance of the salt's logarithm by the ions' own ratios to sodium chloride: each by its share of the permeate's salt.
fn ions(prediction: &Prediction) -> f64 {
    if prediction.waters.is_none() {
        return 0.0;
    }
    let rows = unit::relative_permeabilities();
    let solids = || {
        prediction.solutes.iter().filter_map(|solute| {
            let row = rows.iter().find(|row| row.solute == solute.solute)?;
            row.ratio.is_finite().then_some((solute.permeate_mg_l, row.sd_ln))
        })
    };
    let total: f64 = solids().map(|(mg_l, _)| mg_l).sum();
    if !(total > 0.0) {
        return 0.0;
    }
    solids().map(|(mg_l, sd)| (mg_l / total * sd).powi(2)).sum()
}
