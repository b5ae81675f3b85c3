//! The same equations as an initial-value problem in SciPy (`scipy_unit.py`, DOP853 at 1e-10), on random units: simulated.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "tests stop at the first thing that is wrong"
)]

mod common;

use common::random::{Draw, tame};
use common::scipy::{ask, case};
use serde_json::{Value, json};
use unit::{
    Arrangement, IonicFeed, Model, OperatingPoint, PredictError, Segments, Setting, State, Unit, Workspace,
    relative_permeabilities,
};
use water::Water;

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
    for ((unit, setting, state), answer) in units.iter().zip(ask(&cases)) {
        let at = |segments: Segments| {
            let (point, workspace) = solve(unit, setting, state, segments);
            let (off, what) = departure(&point, &answer);
            (off, what, point.recovery, workspace)
        };
        let (off, what, recovery, workspace) = at(Segments::default());
        // The claim of `Segments::default`.
        assert!(
            off < 1e-3,
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
        let (off, what, recovery, _) = at(Segments(100));
        // Second order: 8 to 100 segments is a factor of 150; SciPy's own error is some 1e-8.
        assert!(
            off < 1e-5,
            "100 segments: {off:.1e} {what} at a recovery of {recovery:.2}"
        );
        let (off, what, recovery, _) = at(Segments::FAST);
        // The claim of `Segments::FAST`.
        assert!(
            off < 5e-3,
            "fast: {off:.1e} {what} at a recovery of {recovery:.2}"
        );
    }
}

#[test]
fn val_scipy_ions_of_a_hard_water() {
    // One element at the feed flow and pressure that our unit finds; osmotic pressure for SciPy by the water crate at every
    // concentration, so that our curve through three of them is checked too.
    let mut unit = common::two_small_in_series();
    unit.membranes.elements.truncate(1);
    let water = Water::complete(&common::hard_water()).unwrap();
    let (mut cases, mut points) = (Vec::new(), Vec::new());
    for (temperature, inlet, restrictor) in [(8.0, 380.0, 54.0), (22.0, 500.0, 12.0)] {
        unit.concentrate.restrictor.flow_l_h = restrictor;
        let feed = IonicFeed::new(water.speciation(), temperature).unwrap();
        let model = Model::new(&unit, Segments::default()).unwrap();
        let setting = Model::ionic_setting(&feed, inlet, 0.0);
        let point = model
            .ionic_point(&model.parameters(), &setting, &feed, &mut Workspace::new())
            .unwrap();
        let (a, b) = model.permeability_25(0).unwrap();
        let tcf = 1.03_f64.powf(temperature - 25.0);
        let table = relative_permeabilities();
        let solutes: Vec<Value> = point
            .solutes
            .iter()
            .map(|s| {
                let ratio = table.iter().find(|row| row.solute == s.solute).unwrap().ratio;
                json!({"charge": s.charge, "ratio": ratio.is_finite().then_some(ratio),
                    "feed": s.feed_mg_l / s.solute.molar_mass_g_mol() / 1e3})
            })
            .collect();
        let solids = |s: &&unit::SoluteConcentration| {
            !matches!(s.solute, unit::Solute::CarbonDioxide | unit::Solute::Ammonia)
        };
        let sum: f64 = point
            .solutes
            .iter()
            .filter(solids)
            .map(|s| s.feed_mg_l / s.solute.molar_mass_g_mol() / 1e3)
            .sum();
        let at = feed.speciation();
        let (mut sums, mut pressures) = (vec![0.0], vec![0.0]);
        for i in 1..=60 {
            let factor = 8.0 * (f64::from(i) / 60.0).powi(2);
            let dense = water::speciate(
                &at.composition().scaled(factor),
                water::Carbonate::TotalCarbon(at.carbon_mol_kg() * factor),
                temperature,
            )
            .unwrap();
            sums.push(sum * factor);
            pressures.push(dense.osmotic_pressure_kpa() * 1e3);
        }
        cases.push(
            json!({"kind": "ions", "area": 0.74, "length": 0.25, "a": a * tcf, "b": b * tcf,
            "temperature": temperature, "flow": point.point.feed_flow_l_h / 3.6e6,
            "pressure": point.point.membrane_pressure_kpa * 1e3, "permeate_pressure": 0.0,
            "solutes": solutes, "osmotic": [sums, pressures]}),
        );
        points.push(point);
    }
    for (point, answer) in points.iter().zip(ask(&cases)) {
        let near = |here: f64, there: f64, tolerance: f64, what: &str| {
            assert!(
                (here / there - 1.0).abs() < tolerance,
                "{what}: {here} against {there}"
            );
        };
        let p = &point.point;
        // 1e-3: eight segments and the curve; the issue asks for 5e-3.
        near(
            p.permeate_flow_l_h / 3.6e6,
            answer["permeate_flow"].as_f64().unwrap(),
            1e-3,
            "permeate flow",
        );
        near(
            p.concentrate_pressure_kpa * 1e3,
            answer["concentrate_pressure"].as_f64().unwrap(),
            1e-5,
            "pressure",
        );
        for (i, s) in point.solutes.iter().enumerate() {
            let mg = s.solute.molar_mass_g_mol() * 1e3;
            let name = s.solute.name();
            near(
                s.permeate_mg_l / mg,
                answer["permeate"][i].as_f64().unwrap(),
                2e-3,
                name,
            );
            near(
                s.concentrate_mg_l / mg,
                answer["concentrate"][i].as_f64().unwrap(),
                1e-3,
                name,
            );
            // The wall is taken half a segment before the end.
            near(s.wall_mg_l / mg, answer["wall"][i].as_f64().unwrap(), 2e-2, name);
        }
    }
}
