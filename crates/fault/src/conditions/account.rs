//! How it was computed what the conditions explain.

use account::{Account, Equation, Measure, Origin, symbol};
use reading::Field;

use super::{Condition, explained};
use crate::calibrate::baselines;
use crate::diagnose::Workings;
use crate::state::Unknown;
use crate::weigh::with_conditions;

/// What was made.
const MADE: Equation = Equation {
    name: "made",
    formula: "R = Q / (k * Q_b)",
    symbols: &[
        symbol("R", "made", Measure::Share),
        symbol("Q", "flow-now", Measure::Flow),
        symbol("Q_b", "flow-baseline", Measure::Flow),
        symbol("k", "renewed", Measure::Number),
    ],
    source: "two readings of the permeate flow",
};

/// What conditions alone would have made.
const CONDITIONS: Equation = Equation {
    name: "conditions",
    formula: "r = Q_2 / Q_1",
    symbols: &[
        symbol("r", "by-conditions", Measure::Share),
        symbol("Q_1", "model-then", Measure::Flow),
        symbol("Q_2", "model-now", Measure::Flow),
        symbol("T_1", "temperature-then", Measure::Temperature),
        symbol("T_2", "temperature-now", Measure::Temperature),
        symbol("p_1", "supply-then", Measure::Pressure),
        symbol("p_2", "supply-now", Measure::Pressure),
        symbol("c_1", "feed-then", Measure::Concentration),
        symbol("c_2", "feed-now", Measure::Concentration),
    ],
    source: "the model of this unit (docs/model.md): elements by solution and diffusion, pressure drops and restrictor by their \
             labels",
};

/// All equations of this module.
pub(crate) const EQUATIONS: [&Equation; 2] = [&MADE, &CONDITIONS];

/// How it was computed what the unit makes against its baseline.
pub(crate) fn of_made(of: &mut Workings<'_, '_>) -> Option<Vec<Account>> {
    let (_, ratio) = explained(of.case, of.predictor, of.calibrated, of.read);
    let now = of.case.reading.get(Field::PermeateFlow)?;
    let then = baselines(of.case).last()?.get(Field::PermeateFlow)?;
    let (ratio, error) = (ratio?, of.case.unit.instruments.bucket_error);
    let account = Account::of(&MADE, ratio)
        .give(ratio * error * std::f64::consts::SQRT_2)
        .with_sd("Q", now, now * error, Origin::Read)
        .with_sd("Q_b", then, then * error, Origin::Baseline)
        .with("k", of.calibrated.renewed, Origin::Solved);
    Some(vec![account])
}

/// How it was computed what one condition makes on its own.
pub(crate) fn of_condition(of: &mut Workings<'_, '_>, condition: Condition) -> Option<Vec<Account>> {
    let _read = of.read.index(condition.observable())?;
    account(of, &[condition])
}

/// How it was computed what all conditions make together.
pub(crate) fn of_conditions(of: &mut Workings<'_, '_>) -> Option<Vec<Account>> {
    account(of, &Condition::ALL)
}

fn account(of: &mut Workings<'_, '_>, conditions: &[Condition]) -> Option<Vec<Account>> {
    if baselines(of.case).is_empty() {
        return None;
    }
    let then = &of.calibrated.then.mean;
    let today = with_conditions(of.predictor, &of.calibrated.now, of.read, None);
    let instruments = &of.case.unit.instruments;
    let mut state = then.clone();
    let mut moved = Vec::new();
    for condition in conditions {
        let Some(i) = of.predictor.layout.index(condition.unknown()) else {
            continue;
        };
        state[i] = *today.get(i)?;
        let inlet = today.get(i)?;
        let (signs, sd) = match condition.unknown() {
            Unknown::InletPressure => (["p_1", "p_2"], instruments.gauge_error_kpa.min(0.5 * inlet.abs())),
            Unknown::Feed => (["c_1", "c_2"], instruments.feed_meter.relative_error),
            _ => (["T_1", "T_2"], instruments.thermometer_error_c),
        };
        moved.push((i, signs, sd));
    }
    let before = of.predictor.permeate_flow(then)?;
    let after = of.predictor.permeate_flow(&state)?;
    if before <= 0.0 {
        return None;
    }
    let mut account = Account::of(&CONDITIONS, after / before);
    let mut variance = 0.0;
    for (i, [first, second], sd) in moved {
        // The feed stands as a logarithm.
        let plain = |value: f64| if first == "c_1" { value.exp() } else { value };
        let of_plain = |value: f64| if first == "c_1" { value * sd } else { sd };
        let (from, to) = (plain(*then.get(i)?), plain(state[i]));
        account = account
            .with(first, from, Origin::Baseline)
            .with_sd(second, to, of_plain(to), Origin::Read);
        let mut off = state.clone();
        off[i] += sd;
        // What the instrument's error would change of it.
        let off = of
            .predictor
            .permeate_flow(&off)
            .map_or(0.0, |flow| (flow - after) / before);
        variance += off * off;
    }
    let account = account
        .with("Q_1", before, Origin::Solved)
        .with("Q_2", after, Origin::Solved)
        .give(variance.sqrt());
    Some(vec![account])
}
