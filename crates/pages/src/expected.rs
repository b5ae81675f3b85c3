//! What the model says stands at each point of a unit, as worn as its readings say, in the last reading's conditions.

use evaluation::Evaluation;
use jiff::Timestamp;
use reading::{Field, Reading};
use unit::{Conditions, Prediction, Segments, State, Workspace, predict};
use water::{Analysis, Water};
use wear::History;
use wear::verdict::standing;

/// What stands at each point.
#[derive(Debug)]
pub(crate) struct Expected {
    /// The reading whose conditions were taken.
    pub(crate) reading_at: Timestamp,
    /// Feed temperature, C.
    pub(crate) temperature_c: f64,
    /// Pressure before the first stage, kPa.
    pub(crate) inlet_kpa: f64,
    /// The conditions that the model was given, and how worn it was told the unit is.
    pub(crate) conditions: Conditions,
    /// What the model says.
    pub(crate) prediction: Prediction,
}

/// The last reading that has what a prediction needs, with what the model makes of it. None where there is none, or where
/// its conditions have no steady state.
pub(crate) fn of(history: &History<'_>, evaluation: &Evaluation) -> Option<Expected> {
    let usable = |reading: &&Reading| {
        reading.get(Field::FeedTemperature).is_some() && reading.get(Field::InletPressure).is_some()
    };
    let reading = history.readings.iter().rev().find(usable)?;
    let (temperature_c, inlet_kpa) = (
        reading.get(Field::FeedTemperature)?,
        reading.get(Field::InletPressure)?,
    );
    let own;
    let analysis = match history.water {
        Some(analysis) => analysis,
        None => {
            own = Analysis {
                conductivity_us_cm: Some(reading.get(Field::FeedConductivity)?),
                ..Analysis::default()
            };
            &own
        }
    };
    let water = Water::complete(analysis).ok()?;
    let state = standing_state(history, evaluation);
    let conditions = Conditions {
        temperature_c,
        inlet_pressure_kpa: inlet_kpa,
        permeate_pressure_kpa: reading.get(Field::PermeatePressure).unwrap_or(0.0),
        state,
    };
    let mut workspace = Workspace::default();
    let prediction = predict(
        history.unit,
        &water,
        &conditions,
        Segments::default(),
        &mut workspace,
    )
    .ok()?;
    Some(Expected {
        reading_at: reading.at,
        temperature_c,
        inlet_kpa,
        conditions,
        prediction,
    })
}

/// The membranes as worn as the readings say.
pub(crate) fn standing_state(history: &History<'_>, evaluation: &Evaluation) -> State {
    let standing = standing(&evaluation.standardisation);
    let mut state = State::default();
    for element in &history.unit.membranes.elements {
        if let Some(water) = standing.water {
            state.permeability.insert(element.id.clone(), water.value);
        }
        if let Some(salt) = standing.salt {
            state.salt_permeability.insert(element.id.clone(), salt.value);
        }
    }
    state
}
