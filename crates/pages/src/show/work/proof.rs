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

/// How what a reading should be was computed, and the band in which it passes.
pub(super) fn accounts(ask: &Ask<'_>, unit: &Unit, works: &[Work], field: &str) -> Option<Vec<Account>> {
    let (water, before) = conditions(ask, unit, None)?;
    let bands = service::of_band(unit, works, &water, &before, field).ok()?;
    let conditions = Conditions {
        state: service::after_work(unit, works, &before.state),
        ..before
    };
    let Some(spot) = spot(field) else {
        return Some(bands);
    };
    let mut workspace = Workspace::default();
    let prediction = predict(unit, &water, &conditions, Segments::default(), &mut workspace).ok()?;
    let mut all = unit::of_prediction(unit, &conditions, &prediction, spot)?;
    // After the value itself, before what that stands on.
    let rest = all.split_off(all.len().min(1));
    all.extend(bands);
    all.extend(rest);
    Some(all)
}

/// The place that a reading is of; none where no model tells it.
fn spot(field: &str) -> Option<Spot<'_>> {
    if let Some(part) = field.strip_prefix("pressure_after.") {
        return Some(Spot::After(part));
    }
    Some(match Field::from_name(field)? {
        Field::MembranePressure => Spot::Membranes,
        Field::PermeateFlow => Spot::PermeateFlow,
        Field::ConcentrateFlow => Spot::ConcentrateFlow,
        Field::PermeateConductivity => Spot::PermeateConductivity,
        _ => return None,
    })
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
