//! What the readings should be today, with the new parts.

use account::Account;
use evaluation::Evaluation;
use reading::{Field, Reading};
use service::{Expected, Work};
use unit::{Conditions, Segments, Spot, Unit, Workspace, predict};
use water::{Analysis, Water};
use wear::History;

use crate::expected;
use crate::frame::ask::Ask;
use crate::memo::{end_of_day, history};

/// The conditions of the day: they are not proved, they say what may be expected.
pub(super) const CONDITIONS: [Field; 3] = [
    Field::FeedTemperature,
    Field::InletPressure,
    Field::FeedConductivity,
];

/// What each reading should be after the work: in the conditions of `today` where they were read, else in those of the last
/// reading that has them. None where nothing is known of water or conditions, or where they have no steady state.
pub(super) fn expected(
    ask: &Ask<'_>,
    unit: &Unit,
    works: &[Work],
    today: Option<&Reading>,
) -> Option<Vec<Expected>> {
    let (water, conditions) = conditions(ask, unit, today)?;
    service::expected(unit, works, &water, &conditions).ok()
}

/// The feed and the conditions in which the unit is expected to prove itself.
pub(super) fn conditions(ask: &Ask<'_>, unit: &Unit, today: Option<&Reading>) -> Option<(Water, Conditions)> {
    let as_of = end_of_day(ask.now());
    let whole = ask.memo.whole(ask.state, &unit.id, ask.now())?;
    let history = history(ask.state, &unit.id, as_of)?;
    let read = |field: Field| {
        let own = today.and_then(|reading| reading.get(field));
        own.or_else(|| {
            history
                .readings
                .iter()
                .rev()
                .find_map(|reading| reading.get(field))
        })
    };
    let temperature_c = read(Field::FeedTemperature)?;
    let conditions = Conditions {
        temperature_c,
        inlet_pressure_kpa: read(Field::InletPressure)?,
        permeate_pressure_kpa: today
            .and_then(|reading| reading.get(Field::PermeatePressure))
            .unwrap_or(0.0),
        state: worn(&history, &whole.evaluation),
    };
    let water = water(&history, today, temperature_c)?;
    Some((water, conditions))
}

/// How what is expected at a place was computed.
pub(super) fn accounts(ask: &Ask<'_>, unit: &Unit, works: &[Work], spot: Spot<'_>) -> Option<Vec<Account>> {
    let (water, before) = conditions(ask, unit, None)?;
    let conditions = Conditions {
        state: service::after_work(unit, works, &before.state),
        ..before
    };
    let mut workspace = Workspace::default();
    let prediction = predict(unit, &water, &conditions, Segments::default(), &mut workspace).ok()?;
    unit::of_prediction(unit, &conditions, &prediction, spot)
}

/// The place that a reading is of, as an account's address names it; none where no model tells it.
pub(super) fn place(field: &str) -> Option<String> {
    if let Some(part) = field.strip_prefix("pressure_after.") {
        return Some(format!("after.{part}"));
    }
    let told = [
        Field::MembranePressure,
        Field::PermeateFlow,
        Field::ConcentrateFlow,
        Field::PermeateConductivity,
    ];
    let known = told.iter().any(|told| told.name() == field);
    known.then(|| field.replace('_', "-"))
}

fn worn(history: &History<'_>, evaluation: &Evaluation) -> unit::State {
    expected::standing_state(history, evaluation)
}

/// The feed of the day: as analysed, thicker or thinner by what was read today; without an analysis by its conductivity.
fn water(history: &History<'_>, today: Option<&Reading>, temperature_c: f64) -> Option<Water> {
    let last = || {
        let read = |reading: &Reading| reading.get(Field::FeedConductivity);
        history.readings.iter().rev().find_map(read)
    };
    let us_cm = today
        .and_then(|reading| reading.get(Field::FeedConductivity))
        .filter(|us_cm| *us_cm > 0.0);
    let mut analysis = match history.water {
        Some(analysis) => match us_cm {
            Some(us_cm) => service::feed_of_the_day(analysis, us_cm),
            None => analysis.clone(),
        },
        None => Analysis {
            conductivity_us_cm: Some(us_cm.or_else(last)?),
            ..Analysis::default()
        },
    };
    analysis.temperature_c = Some(temperature_c);
    Water::complete(&analysis).ok()
}
