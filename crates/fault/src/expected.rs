//! How far a reading of a sound unit may lie from what its model expects: chance of new parts, error of instruments.

use nalgebra::DVector;
use unit::{Conditions, Model, Parameter, Segments, TankKind, Unit};
use water::Analysis;
use wear::salt::Salt;

use crate::observable::Observable;
use crate::predict::Predictor;
use crate::state::{Layout, Place, Unknown, as_rated};

/// The spread of one reading about what a sound unit should show.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadingSpread {
    /// Name of the field; `pressure_after.ID` and `element_permeate_conductivity.ID` by part.
    pub field: String,
    /// One standard deviation: of the logarithm for flows and conductivities, kPa or C for the others.
    pub sd: f64,
    /// Whether `sd` is of the logarithm.
    pub logarithmic: bool,
}

/// The spread of every reading that the model predicts, for a unit whose parts are as new or in the known state of
/// `conditions.state`.
///
/// The parts' chance (as the diagnosis takes it), what is not known of the conditions (they were read with the same
/// instruments) and the instruments' own errors go through the model's exact derivatives: `J P J' + R`, its diagonal.
/// Empty where the model has no steady state there.
pub fn reading_spreads(unit: &Unit, feed: &Analysis, conditions: &Conditions) -> Vec<ReadingSpread> {
    let Ok(model) = Model::new(unit, Segments::FAST) else {
        return Vec::new();
    };
    let layout = Layout::new(unit, &model);
    let salt = Salt::of(Some(feed));
    let us_cm = salt.feed_us_cm.unwrap_or(500.0);
    let meter = wear::complete::meter_sd(&unit.instruments.feed_meter, us_cm);
    let mut state = as_rated(unit, &model, &layout, (us_cm * salt.ratio, meter));
    for (i, unknown) in layout.unknowns.iter().enumerate() {
        if let Some((center, sd)) = known(unit, conditions, *unknown) {
            if let Some(center) = center {
                state.mean[i] = center;
            }
            if let Some(sd) = sd {
                state.covariance_mut().row_mut(i).fill(0.0);
                state.covariance_mut().column_mut(i).fill(0.0);
                state.covariance_mut()[(i, i)] = sd * sd;
            }
        }
    }
    let observables = Observable::all(unit);
    let mut predictor = Predictor::new(&model, &layout, &salt);
    let Some(linear) = predictor.linear(&state.mean, &[], &observables) else {
        return Vec::new();
    };
    let carried = &linear.slope * state.covariance() * linear.slope.transpose();
    let noise = noise(unit, &observables, &linear.value);
    observables
        .iter()
        .enumerate()
        .map(|(i, observable)| ReadingSpread {
            field: name(unit, *observable),
            sd: (carried[(i, i)] + noise.get(i).copied().unwrap_or(0.0))
                .max(0.0)
                .sqrt(),
            logarithmic: observable.logarithmic(),
        })
        .collect()
}

/// What the conditions say of an unknown: its value and its standard deviation, where they say them.
fn known(unit: &Unit, conditions: &Conditions, unknown: Unknown) -> Option<(Option<f64>, Option<f64>)> {
    let instruments = &unit.instruments;
    let worn = &conditions.state;
    let element = |i: usize| Some(unit.membranes.elements.get(i)?.id.as_str());
    let stage = |i: usize| Some(unit.stages.get(i)?.id.as_str());
    // A stated factor is taken to be known.
    let factor = |value: Option<&f64>| value.map(|factor| (Some(factor.ln()), Some(0.0)));
    match unknown {
        Unknown::Temperature => Some((
            Some(conditions.temperature_c),
            Some(instruments.thermometer_error_c),
        )),
        Unknown::InletPressure => Some((
            Some(conditions.inlet_pressure_kpa),
            Some(instruments.gauge_error_kpa),
        )),
        Unknown::PermeatePressure => {
            let pressurised = unit
                .permeate
                .tank
                .is_some_and(|tank| matches!(tank.kind, TankKind::Pressurised { .. }));
            let sd = pressurised.then_some(instruments.gauge_error_kpa);
            Some((Some(conditions.permeate_pressure_kpa), sd))
        }
        Unknown::Of(Parameter::WaterPermeability(i)) => factor(worn.permeability.get(element(i)?)),
        Unknown::Of(Parameter::SaltPermeability(i)) => factor(worn.salt_permeability.get(element(i)?)),
        Unknown::Of(Parameter::ElementDrop(i)) => factor(worn.drop.get(element(i)?)),
        Unknown::Of(Parameter::StageDrop(i)) => factor(worn.drop.get(stage(i)?)),
        Unknown::Of(Parameter::Restrictor) => factor(worn.restrictor.as_ref()),
        _ => None,
    }
}

fn noise(unit: &Unit, observables: &[Observable], values: &DVector<f64>) -> Vec<f64> {
    observables
        .iter()
        .zip(values.iter())
        .map(|(observable, value)| {
            let us_cm = if observable.logarithmic() {
                value.exp()
            } else {
                1.0
            };
            observable.noise(&unit.instruments, us_cm, 0.0)
        })
        .collect()
}

fn name(unit: &Unit, observable: Observable) -> String {
    let part = match observable {
        Observable::Pressure(Place::After(i)) => unit.stages.get(i).map(|stage| stage.id.as_str()),
        Observable::ElementPermeate(i) => unit.membranes.elements.get(i).map(|element| element.id.as_str()),
        _ => None,
    };
    match part {
        Some(part) => format!("{}.{part}", observable.field()),
        None => observable.field().to_owned(),
    }
}
