//! What must hold for every unit: what goes in comes out, nothing panics, and every unit is solved or told why not.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "tests stop at the first thing that is wrong"
)]

mod common;

use common::random::{Draw, tame, wild};
use proptest::prelude::*;
use unit::{Arrangement, Model, Parameter, PredictError, Segments, Workspace};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn prop_water_and_salt_are_conserved(seed: u64, leak in 0.0..0.2_f64, bypass in 0.0..0.5_f64) {
        let (unit, setting, state) = tame(&mut Draw(seed));
        let Ok(model) = Model::new(&unit, Segments::default()) else { return Ok(()) };
        let mut parameters = model.in_state(&state).unwrap();
        prop_assert!(parameters.set(Parameter::ElementLeak(0), leak));
        prop_assert!(parameters.set(Parameter::ElementBypass(0), bypass));
        let mut workspace = Workspace::new();
        let point = match model.solve(&parameters, &setting, &mut workspace) {
            Ok(point) => point,
            Err(PredictError::NoPermeate { .. }) => return Ok(()),
            Err(other) => return Err(TestCaseError::fail(other.to_string())),
        };
        // 1e-9: the model's own claim (model 2).
        let water = point.permeate_flow_l_h + point.concentrate_flow_l_h;
        prop_assert!((water / point.feed_flow_l_h - 1.0).abs() < 1e-9);
        let salt = point.permeate_flow_l_h * point.permeate_tds_mg_l
            + point.concentrate_flow_l_h * point.concentrate_tds_mg_l;
        prop_assert!((salt / (point.feed_flow_l_h * setting.feed_mg_l) - 1.0).abs() < 1e-9);
        // The restrictor takes what comes: Q = Q_r (P/P_r)^n (mu25/mu)^m. 1e-7: the solution's 1e-10 and the
        // steepness of the element's drop in a parallel row.
        let n = parameters.get(Parameter::RestrictorExponent).unwrap();
        let m = parameters.get(Parameter::RestrictorViscosityExponent).unwrap();
        let mu = water::properties::viscosity_pa_s;
        let r = &unit.concentrate.restrictor;
        let q = r.flow_l_h * state.restrictor.unwrap_or(1.0) * (point.concentrate_pressure_kpa / r.at_kpa).powf(n)
            * (mu(25.0) / mu(setting.temperature_c)).powf(m);
        prop_assert!((q / point.concentrate_flow_l_h - 1.0).abs() < 1e-7, "{q} {}", point.concentrate_flow_l_h);
        // In a parallel row all see one feed and one concentrate pressure.
        if unit.membranes.arrangement == Arrangement::Parallel {
            for e in workspace.elements() {
                prop_assert!((e.feed_pressure_kpa - point.membrane_pressure_kpa).abs() < 1e-9 * e.feed_pressure_kpa);
                prop_assert!((e.concentrate_pressure_kpa - point.concentrate_pressure_kpa).abs() < 1e-8 * e.feed_pressure_kpa);
            }
        }
        // A leak may take all the water that the membrane would; then nothing is held back.
        prop_assert!(point.salt_passage > 0.0 && point.salt_passage < 1.0 + 1e-12);
        prop_assert!(point.recovery > 0.0 && point.recovery < 1.0);
    }

    #[test]
    fn prop_rating_is_met_by_its_own_element(seed: u64) {
        // The identified A and B put back: the element at its rating's conditions, driven by a restrictor that takes what
        // the rating leaves.
        let (mut unit, _, _) = tame(&mut Draw(seed));
        unit.stages.clear();
        unit.membranes.elements.truncate(1);
        unit.membranes.temperature_coefficient = None;
        let rated = unit.membranes.elements[0].rated;
        unit.concentrate.restrictor.flow_l_h = rated.flow_l_h * (1.0 / rated.recovery - 1.0);
        unit.concentrate.restrictor.exponent = None;
        let Ok(model) = Model::new(&unit, Segments::default()) else { return Ok(()) };
        let setting = unit::Setting::new(rated.temperature_c, rated.pressure_kpa, rated.tds_mg_l);
        let mut workspace = Workspace::new();
        // The restrictor's reference pressure is the rating's less the drop, found by three substitutions.
        for _ in 0..12 {
            let point = model_at(&unit).solve(&model.parameters(), &setting, &mut workspace).unwrap();
            unit.concentrate.restrictor.at_kpa = point.concentrate_pressure_kpa;
        }
        let point = model_at(&unit).solve(&model.parameters(), &setting, &mut workspace).unwrap();
        // 1e-6: what the substitution leaves.
        prop_assert!((point.permeate_flow_l_h / rated.flow_l_h - 1.0).abs() < 1e-6);
        prop_assert!((point.salt_passage / (1.0 - rated.rejection) - 1.0).abs() < 1e-6);
    }

    #[test]
    fn prop_nothing_panics_and_every_answer_is_finite(seed: u64) {
        let (unit, setting, state) = wild(&mut Draw(seed));
        let model = match Model::new(&unit, Segments::FAST) {
            Ok(model) => model,
            Err(PredictError::Unsolved { what }) => return Err(TestCaseError::fail(what)),
            Err(other) => {
                prop_assert!(!other.to_string().contains("NaN kPa"), "{other}");
                return Ok(());
            }
        };
        let Ok(parameters) = model.in_state(&state) else { return Ok(()) };
        let mut workspace = Workspace::new();
        match model.sensitivities(&parameters, &setting, &mut workspace) {
            Ok(point) => {
                prop_assert!(point.permeate_flow_l_h > 0.0 && point.concentrate_flow_l_h > 0.0);
                let water = point.permeate_flow_l_h + point.concentrate_flow_l_h;
                prop_assert!((water / point.feed_flow_l_h - 1.0).abs() < 1e-9);
            }
            // "Unsolved" is a fault of the program: there is none that a unit can provoke.
            Err(PredictError::Unsolved { what }) => return Err(TestCaseError::fail(format!("{what}: {unit:?} {setting:?} {state:?}"))),
            Err(other) => prop_assert!(!other.to_string().is_empty()),
        }
    }
}

fn model_at(unit: &unit::Unit) -> Model {
    Model::new(unit, Segments::default()).unwrap()
}
