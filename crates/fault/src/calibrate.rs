//! This very unit, as its readings from when all was right show it.

use jiff::Timestamp;
use reading::Reading;
use unit::{Element, Model, Parameter, Segments, Unit};
use wear::lives::{days, renewals};
use wear::salt::Salt;

use crate::Case;
use crate::diagnose::Warning;
use crate::gaussian::{Gaussian, Innovation};
use crate::observable::Readings;
use crate::predict::Predictor;
use crate::state::{Unknown, as_rated, later};
use crate::weigh::{between, with_conditions};

/// Days in a year.
const YEAR: f64 = 365.25;

/// The unit before the reading in question.
pub(crate) struct Calibrated {
    /// As it was at its baseline, with what was renewed since as rated; as rated where there is none.
    pub(crate) then: Gaussian,
    /// As it should be now, before anything of now is read.
    pub(crate) now: Gaussian,
    /// What the parts that were renewed since the baseline would have made of its permeate flow, as a ratio; 1 where none was.
    pub(crate) renewed: f64,
    /// What is odd about the baseline.
    pub(crate) warnings: Vec<Warning>,
}

/// The elements that the unit ran with at a time: its own, and what had gone in by then with another rating.
pub(crate) fn elements_at(case: &Case<'_>, at: Timestamp) -> Vec<Element> {
    let start = wear::lives::commissioned(case.unit, case.readings, case.events);
    wear::lives::membrane_lives(case.unit, start, case.events)
        .into_iter()
        .rev()
        .find(|life| life.start <= at)
        .map_or_else(
            || case.unit.membranes.elements.clone(),
            |life| wear::lives::elements_in(case.unit, &life, case.events),
        )
}

/// The readings that show the unit as it was when all was right.
pub(crate) fn baselines<'a>(case: &Case<'a>) -> Vec<&'a Reading> {
    if let Some(one) = case.baseline {
        return vec![one];
    }
    let start = wear::lives::commissioned(case.unit, case.readings, case.events);
    let Some(life) = wear::lives::membrane_lives(case.unit, start, case.events)
        .into_iter()
        .rev()
        .find(|life| life.start <= case.reading.at)
    else {
        return Vec::new();
    };
    case.readings
        .iter()
        .filter(|reading| {
            let age = days(life.start, reading.at);
            (0.0..=wear::baseline::BASELINE_DAYS).contains(&age)
                && reading.at < case.reading.at
                && reading
                    .get(reading::Field::RunningFor)
                    .is_none_or(|minutes| minutes >= wear::baseline::RUNNING_MINUTES)
        })
        .take(5)
        .collect()
}

/// Years between two times; a usual one where it is not known.
fn years(case: &Case<'_>, from: Option<jiff::Timestamp>) -> f64 {
    from.map_or(1.0, |from| days(from, case.reading.at) / YEAR)
        .clamp(0.0, 10.0)
}

/// Learns the unit from its baseline and brings it to today; `plan` is the unit as described, before any part that went in
/// with another rating.
pub(crate) fn calibrate(
    case: &Case<'_>,
    plan: &Unit,
    predictor: &mut Predictor<'_>,
    feed: (f64, f64),
) -> Calibrated {
    let (unit, layout, salt) = (case.unit, predictor.layout, predictor.salt);
    let rated = as_rated(unit, predictor.model, layout, feed);
    let mut then = rated.clone();
    let mut warnings = Vec::new();
    let baselines = baselines(case);
    let mut last = None;
    // Only a stated baseline can be older than the membranes that are in now.
    let before = baselines
        .first()
        .and_then(|first| with_elements_then(case, plan, first.at));
    let mut before = before.as_ref().map(|model| Predictor::new(model, layout, salt));
    for reading in &baselines {
        if let Some(before) = last {
            let gap = (days(before, reading.at) / YEAR).max(0.0);
            then = later(unit, layout, &then, gap);
        }
        last = Some(reading.at);
        let learned = match &mut before {
            Some(before) => learn(before, &then, reading, unit, salt),
            None => learn(predictor, &then, reading, unit, salt),
        };
        if let Some((learned, odd)) = learned {
            then = learned;
            if let Some(odd) = odd {
                warnings.push(odd);
            }
        } else {
            warnings.push(Warning::BaselineImpossible { at: reading.at });
        }
    }
    let start = last.or_else(|| wear::lives::commissioned(unit, case.readings, case.events));
    let mut now = later(unit, layout, &then, years(case, start));
    renew(case, predictor, &rated, last, &mut now);
    let made = match &mut before {
        Some(before) => before.permeate_flow(&then.mean),
        None => predictor.permeate_flow(&then.mean),
    };
    renew(case, predictor, &rated, last, &mut then);
    let renewed = predictor
        .permeate_flow(&then.mean)
        .zip(made)
        .map(|(now, then)| now / then)
        .filter(|ratio| ratio.is_finite() && *ratio > 0.0);
    Calibrated {
        then,
        now,
        renewed: renewed.unwrap_or(1.0),
        warnings,
    }
}

/// The model of the unit with the elements that it ran with at a time, where those were others than now.
fn with_elements_then(case: &Case<'_>, plan: &Unit, at: Timestamp) -> Option<Model> {
    let mut unit = case.unit.clone();
    unit.membranes.elements = elements_at(&Case { unit: plan, ..*case }, at);
    if unit.membranes.elements == case.unit.membranes.elements {
        return None;
    }
    Model::new(&unit, Segments::FAST).ok()
}

/// The state after one baseline reading, and what is odd about it.
fn learn(
    predictor: &mut Predictor<'_>,
    prior: &Gaussian,
    reading: &Reading,
    unit: &Unit,
    salt: &Salt,
) -> Option<(Gaussian, Option<Warning>)> {
    let read = Readings::of(reading, unit, salt);
    if read.observables.is_empty() {
        return Some((prior.clone(), None));
    }
    let mut about = with_conditions(predictor, prior, &read, None);
    let mut learned = None;
    for _ in 0..4 {
        let linear = predictor.linear(&about, &[], &read.observables)?;
        let residual = linear.residual(&read.values, &prior.mean);
        let innovation = Innovation::new(&linear, prior, &read.noise)?;
        let square = innovation.square(&residual) / read.observables.len() as f64;
        let mut state = innovation.update(prior, &residual);
        if square > 4.0 {
            // It contradicts the ratings: take it, but trust it as little as it agrees.
            let doubted = &read.noise * square;
            if let Some(wary) = Innovation::new(&linear, prior, &doubted) {
                state = wary.update(prior, &residual);
            }
        }
        about = between(&about, &state.mean);
        let odd = (square > 6.0).then_some(Warning::BaselineOdd { at: reading.at });
        learned = Some((state, odd));
    }
    learned
}

/// Parts that were changed since the baseline are as rated again.
fn renew(
    case: &Case<'_>,
    predictor: &Predictor<'_>,
    rated: &Gaussian,
    since: Option<jiff::Timestamp>,
    now: &mut Gaussian,
) {
    let Some(since) = since else { return };
    let renewed = |id: &str| {
        renewals(id, None, case.events)
            .iter()
            .any(|at| *at > since && *at <= case.reading.at)
    };
    let mut again = |unknowns: &[Unknown]| {
        for unknown in unknowns {
            if let Some(i) = predictor.layout.index(*unknown) {
                now.mean[i] = rated.mean[i];
                let variance = rated.covariance()[(i, i)];
                now.covariance_mut().row_mut(i).fill(0.0);
                now.covariance_mut().column_mut(i).fill(0.0);
                now.covariance_mut()[(i, i)] = variance;
            }
        }
    };
    for (i, element) in case.unit.membranes.elements.iter().enumerate() {
        if renewed(&element.id) {
            again(&[
                Unknown::Of(Parameter::WaterPermeability(i)),
                Unknown::Of(Parameter::SaltPermeability(i)),
                Unknown::Of(Parameter::ElementDrop(i)),
            ]);
        }
    }
    for (i, stage) in case.unit.stages.iter().enumerate() {
        if renewed(&stage.id) {
            again(&[
                Unknown::Of(Parameter::StageDrop(i)),
                Unknown::Of(Parameter::PumpPressure(i)),
                Unknown::Of(Parameter::PumpFlow(i)),
                Unknown::Of(Parameter::RegulatorPressure(i)),
            ]);
        }
    }
}
