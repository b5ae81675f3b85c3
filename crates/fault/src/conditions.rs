//! What today's conditions explain by themselves.

mod account;

use reading::Field;

use crate::Case;
use crate::calibrate::{Calibrated, baselines};
use crate::observable::{Observable, Readings};
use crate::predict::Predictor;
use crate::state::{Place, Unknown};
use crate::weigh::with_conditions;

pub(crate) use account::{EQUATIONS, of_condition, of_conditions, of_made};

/// A condition that no part of the unit answers for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Condition {
    /// The feed's temperature.
    Temperature,
    /// The supply pressure.
    InletPressure,
    /// The feed's salt.
    Feed,
}

impl Condition {
    /// All.
    pub const ALL: [Self; 3] = [Self::Temperature, Self::InletPressure, Self::Feed];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Temperature => "temperature",
            Self::InletPressure => "inlet_pressure",
            Self::Feed => "feed",
        }
    }

    /// What it is where it makes less, or more, water than at the baseline; in English.
    pub fn words(self, less: bool) -> &'static str {
        match (self, less) {
            (Self::Temperature, true) => "colder water",
            (Self::Temperature, false) => "warmer water",
            (Self::InletPressure, true) => "lower supply pressure",
            (Self::InletPressure, false) => "higher supply pressure",
            (Self::Feed, true) => "saltier feed",
            (Self::Feed, false) => "less salty feed",
        }
    }

    fn unknown(self) -> Unknown {
        match self {
            Self::Temperature => Unknown::Temperature,
            Self::InletPressure => Unknown::InletPressure,
            Self::Feed => Unknown::Feed,
        }
    }

    fn observable(self) -> Observable {
        match self {
            Self::Temperature => Observable::Temperature,
            Self::InletPressure => Observable::Pressure(Place::Inlet),
            Self::Feed => Observable::FeedConductivity,
        }
    }
}

/// What one condition on its own makes of the permeate flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// The condition.
    pub condition: Condition,
    /// The permeate flow with it as it is today, against the baseline's; positive.
    pub ratio: f64,
}

/// What the conditions alone make of the flow, and what was made, both against the baseline.
pub(crate) fn explained(
    case: &Case<'_>,
    predictor: &mut Predictor<'_>,
    calibrated: &Calibrated,
    read: &Readings,
) -> (Option<f64>, Option<f64>) {
    let baselines = baselines(case);
    // The state learned holds the conditions of the last of them.
    let Some(last) = baselines.last() else {
        return (None, None);
    };
    let ratio = case
        .reading
        .get(Field::PermeateFlow)
        .zip(last.get(Field::PermeateFlow))
        .filter(|(_, then)| *then > 0.0)
        .map(|(now, then)| now / (then * calibrated.renewed));
    let today = with_conditions(predictor, &calibrated.now, read, None);
    let mut state = calibrated.then.mean.clone();
    for unknown in [Unknown::Temperature, Unknown::InletPressure, Unknown::Feed] {
        if let Some(i) = predictor.layout.index(unknown) {
            state[i] = today[i];
        }
    }
    let known = case.reading.get(Field::FeedTemperature).is_some();
    let explained = predictor
        .permeate_flow(&state)
        .zip(predictor.permeate_flow(&calibrated.then.mean))
        .map(|(now, then)| now / then)
        .filter(|_| known);
    (explained, ratio)
}

/// What each condition that was read makes of the flow on its own, the greatest change first; nothing without a baseline.
pub(crate) fn changes(
    case: &Case<'_>,
    predictor: &mut Predictor<'_>,
    calibrated: &Calibrated,
    read: &Readings,
) -> Vec<Change> {
    if baselines(case).is_empty() {
        return Vec::new();
    }
    let Some(then) = predictor
        .permeate_flow(&calibrated.then.mean)
        .filter(|flow| *flow > 0.0)
    else {
        return Vec::new();
    };
    let today = with_conditions(predictor, &calibrated.now, read, None);
    let mut found: Vec<Change> = Vec::new();
    for condition in Condition::ALL {
        let Some(i) = predictor
            .layout
            .index(condition.unknown())
            .filter(|_| read.index(condition.observable()).is_some())
        else {
            continue;
        };
        let mut state = calibrated.then.mean.clone();
        state[i] = today[i];
        let ratio = predictor.permeate_flow(&state).map(|flow| flow / then);
        if let Some(ratio) = ratio.filter(|ratio| *ratio > 0.0) {
            found.push(Change { condition, ratio });
        }
    }
    found.sort_by(|a, b| b.ratio.ln().abs().total_cmp(&a.ratio.ln().abs()));
    found
}
