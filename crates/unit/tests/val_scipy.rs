//! The same equations as an initial-value problem in SciPy (`scipy_unit.py`, DOP853 at 1e-10), on random units: simulated.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "tests stop at the first thing that is wrong"
)]

mod common;

use common::random::{Draw, tame};
use common::scipy::{ask, case};
use serde_json::Value;
use unit::{Arrangement, Model, OperatingPoint, PredictError, Segments, Setting, State, Unit, Workspace};

fn units(count: usize, seed: u64) -> Vec<(Unit, Setting, State)> {
    let mut draw = Draw(seed);
    let mut workspace = Workspace::new();
    let mut found = Vec::new();
    while found.len() < count {
        let (unit, setting, state) = tame(&mut draw);
        // SciPy's root finding wants a unit that makes water; our errors have tests of their own.
        let solved = Model::new(&unit, Segments::default())
            .and_then(|model| model.solve(&model.in_state(&state)?, &setting, &mut workspace));
        match solved {
            Ok(_) => found.push((unit, setting, state)),
            Err(
                PredictError::NoPermeate { .. } | PredictError::NoFlow { .. } | PredictError::Rating { .. },
            ) => {}
            Err(other) => panic!("{other}"),
        }
    }
    found
}

/// Largest relative departure in flows, pressures and concentrations.
fn departure(point: &OperatingPoint, answer: &Value) -> (f64, String) {
    [
        ("permeate_flow", point.permeate_flow_l_h / 3.6e6),
        ("concentrate_flow", point.concentrate_flow_l_h / 3.6e6),
        ("membrane_pressure", point.membrane_pressure_kpa * 1e3),
        ("concentrate_pressure", point.concentrate_pressure_kpa * 1e3),
        ("permeate", point.permeate_tds_mg_l / 1e3),
        ("concentrate", point.concentrate_tds_mg_l / 1e3),
        ("salt_passage", point.salt_passage),
    ]
    .into_iter()
    .map(|(name, here)| {
        let there = answer[name].as_f64().unwrap();
        (
            (here / there - 1.0).abs(),
            format!("{name}: {here} against {there}"),
        )
    })
    .max_by(|a, b| a.0.total_cmp(&b.0))
    .unwrap()
}

fn solve(unit: &Unit, setting: &Setting, state: &State, segments: Segments) -> (OperatingPoint, Workspace) {
    let model = Model::new(unit, segments).unwrap();
    let mut workspace = Workspace::new();
    let parameters = model.in_state(state).unwrap();
    (
        model.solve(&parameters, setting, &mut workspace).unwrap(),
        workspace,
    )
}

#[test]
fn val_scipy_whole_units_rating_included() {
    let units = units(40, 7);
    let cases: Vec<Value> = units
        .iter()
        .map(|(u, s, state)| {
            let (_, workspace) = solve(u, s, state, Segments::FAST);
            let flows = workspace.elements().iter().map(|e| e.feed_flow_l_h);
            let parallel = u.membranes.arrangement == Arrangement::Parallel;
            let hint: Vec<f64> = if parallel {
                flows.collect()
            } else {
                flows.take(1).collect()
            };
            case(u, s, state, None, &hint)
        })
        .collect();
    let mut worst = [0.0_f64; 3];
    for ((unit, setting, state), answer) in units.iter().zip(ask(&cases)) {
        let mut at = |i: usize, segments: Segments| {
            let (point, workspace) = solve(unit, setting, state, segments);
            let (off, what) = departure(&point, &answer);
            worst[i] = worst[i].max(off);
            (off, what, point.recovery, workspace)
        };
        let (off, what, recovery, workspace) = at(0, Segments::default());
        // Measured 2e-4; `Segments::default` claims 1e-3.
        assert!(
            off < 5e-4,
            "default: {off:.1e} {what} at a recovery of {recovery:.2}"
        );
        for (element, there) in workspace
            .elements()
            .iter()
            .zip(answer["polarisation"].as_array().unwrap())
        {
            // A weighted mean over the segments' middles, one order coarser than the flows.
            assert!((element.polarisation / there.as_f64().unwrap() - 1.0).abs() < 2e-3);
        }
        let (off, what, recovery, _) = at(1, Segments(100));
        // Measured 1.3e-6. Second order: 8 to 100 segments is a factor of 150; SciPy's own error is some 1e-8.
        assert!(
            off < 5e-6,
            "100 segments: {off:.1e} {what} at a recovery of {recovery:.2}"
        );
        let (off, what, recovery, _) = at(2, Segments::FAST);
        // Measured 1.4e-3; `Segments::FAST` claims 2.5e-3.
        assert!(
            off < 2.5e-3,
            "fast: {off:.1e} {what} at a recovery of {recovery:.2}"
        );
    }
    println!("largest departures: default, 100 segments, fast: {worst:?}");
}
