//! What a worn restrictor, a weak pump and gross slips of the pen do to a filter's date: on a unit simulated with the unit
//! model (`unit::Model`), read every two weeks with simulated errors of its instruments.

use casefile::{Document, Faults, Table};
use jiff::Timestamp;
use reading::{Event, EventKind, Field, Reading};
use serde_json::json;
use unit::{Model, Parameter, Segments, Setting, Unit, Workspace};
use wear::forecast::{Prior, Quantiles, forecast_with};
use wear::lives::after;
use wear::{History, standardise};

/// Readings, one every two weeks.
const READINGS: u32 = 35;
/// Growth of ln resistance of the sediment filter in a day: from 6 to its limit of 40 kPa in some 950 days.
const LOADING: f64 = 0.002;
/// Days after which the filter was changed each time.
const CHANGED: f64 = 170.0;

fn unit() -> Unit {
    let case = json!({"unit": {
        "id": "wander", "name": "Wander",
        "stages": [
            {"id": "sediment", "kind": "sediment", "media": "spun",
             "clean_drop": {"pressure": 6, "flow": 150}, "limit": {"pressure_drop": 40}},
            {"id": "pump", "kind": "pump", "open_flow": 400, "shutoff_pressure": 600},
        ],
        "membranes": {"arrangement": "series", "elements": [{"id": "membrane-1", "size": "3012",
            "rated": {"flow": 47, "rejection": 0.97, "pressure": 450, "temperature": 25, "tds": 500}}]},
        "concentrate": {"restrictor": {"flow": 100, "at": 450, "kind": "capillary"}},
        "permeate": {"check_valve": true, "shutoff": "float", "tank": {"kind": "open", "volume": "100 L"}},
        "commissioned": "2023-01-01", "use": {"permeate_per_day": "200 L"},
    }});
    let document = Document::read("case.json", case.to_string().as_bytes()).unwrap();
    let faults = Faults::new();
    let top = Table::new(&document.tree, "", &faults);
    casefile::unit_plan(top.required_table("unit", "a unit").unwrap()).unwrap()
}

fn at(day: f64) -> Timestamp {
    after("2023-01-01T09:00:00Z".parse().unwrap(), day)
}

/// Readings with errors that repeat (a bucket's 2 %, a gauge's 4 kPa), ln of the restrictor's flow and of the pump's pressure
/// given for each day.
fn readings(unit: &Unit, restrictor: impl Fn(f64) -> f64, pump: impl Fn(f64) -> f64) -> Vec<Reading> {
    let model = Model::new(unit, Segments::default()).unwrap();
    let mut workspace = Workspace::new();
    let errors = [0.3, -1.1, 0.8, -0.2, 1.4, -0.7, 0.1, -1.3, 0.9, -0.4, 0.5];
    let mut next = (0..).map(|i| errors[i % errors.len()]);
    let mut error = move || next.next().unwrap();
    (0..READINGS)
        .map(|i| {
            let day = 1.0 + 14.0 * f64::from(i);
            let mut parameters = model.parameters();
            assert!(parameters.set(Parameter::StageDrop(0), LOADING * (day % CHANGED)));
            assert!(parameters.set(Parameter::Restrictor, restrictor(day)));
            assert!(parameters.set(Parameter::PumpPressure(1), pump(day)));
            let t = 12.0 - 5.0 * (day / 365.25 * std::f64::consts::TAU).cos();
            let inlet = 250.0 + 6.0 * error();
            let point = model
                .solve(&parameters, &Setting::new(t, inlet, 300.0), &mut workspace)
                .unwrap();
            Reading::new(at(day))
                .with(Field::FeedTemperature, t)
                .with(Field::InletPressure, inlet + 4.0 * error())
                .with(
                    Field::MembranePressure,
                    point.membrane_pressure_kpa + 4.0 * error(),
                )
                .with(
                    Field::ConcentratePressure,
                    point.concentrate_pressure_kpa + 4.0 * error(),
                )
                .with(
                    Field::PermeateFlow,
                    point.permeate_flow_l_h * (1.0 + 0.02 * error()),
                )
                .with(
                    Field::ConcentrateFlow,
                    point.concentrate_flow_l_h * (1.0 + 0.02 * error()),
                )
                .with(Field::FeedConductivity, 600.0)
                .with(Field::PermeateConductivity, point.permeate_tds_mg_l * 2.0 + 0.7)
        })
        .collect()
}

/// When the filter is due, where restrictor and pump may wander as usual, or are taken as constant.
fn filter(unit: &Unit, readings: &[Reading], constant: bool) -> Quantiles {
    let last = readings.last().unwrap().at;
    let events: Vec<Event> = [CHANGED, 2.0 * CHANGED]
        .map(at)
        .into_iter()
        .filter(|at| *at < last)
        .map(|at| Event::new(at, EventKind::Changed, Some("sediment")))
        .collect();
    let history = History {
        unit,
        water: None,
        readings,
        events: &events,
    };
    let mut prior = Prior::default();
    if constant {
        prior.wander_sd = (1e-6, 1e-7);
    }
    let parts = forecast_with(&history, &standardise(&history), last, &prior);
    parts[0].due_in_d.unwrap()
}

#[test]
fn regress_a_worn_restrictor_or_pump_does_not_block_the_filter() {
    let unit = unit();
    let years = |day: f64| day / 365.25;
    let sound = filter(&unit, &readings(&unit, |_| 0.0, |_| 0.0), false);
    let worn = readings(&unit, |day| 0.15 * years(day), |_| 0.0);
    let weak = readings(&unit, |_| 0.0, |day| -0.1 * years(day));
    for wears in [worn, weak] {
        let (told, before) = (filter(&unit, &wears, false), filter(&unit, &wears, true));
        // Truly due in 790 days. A third in ln: as near as a sound unit's readings tell it.
        assert!(
            (told.p50 / sound.p50).ln().abs() < 0.33 && told.p10 < 790.0 && told.p90 > 790.0,
            "{told:?} and {sound:?}"
        );
        // Taken as constant, what they take is laid on the filter.
        assert!(before.p90 < 200.0, "{before:?}");
    }
}

#[test]
fn regress_a_slip_among_few_readings_does_not_decide() {
    // With so few nothing tells which of two gauges is at odds.
    let unit = unit();
    let sound = readings(&unit, |_| 0.0, |_| 0.0)[..3].to_vec();
    let told = filter(&unit, &sound, false);
    for (reading, field, factor) in [
        (0, Field::ConcentratePressure, 4.0),
        (2, Field::MembranePressure, 0.1),
        (0, Field::PermeateFlow, 10.0),
        (2, Field::InletPressure, 10.0),
    ] {
        let mut slipped = sound.clone();
        let read = slipped[reading].get(field);
        slipped[reading].set(field, read.map(|read| factor * read));
        let other = filter(&unit, &slipped, false);
        // Half in ln of what was told without it, which spans a factor of twenty and more.
        let far = ((other.p50 + 10.0) / (told.p50 + 10.0)).ln();
        assert!(far.abs() < 0.5, "{field:?}: {other:?} and {told:?}");
    }
}
