//! Whole units and elements in limits that a book or the model states.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "tests stop at the first thing that is wrong"
)]

mod common;

use common::{stage, two_small_in_series};
use unit::{
    Arrangement, CleanDrop, Conditions, Element, ElementSize, Model, OperatingPoint, Parameter, PredictError,
    Rating, Restrictor, RestrictorKind, SedimentMedia, Segments, Setting, StageKind, State, Workspace,
    log_mean, predict,
};
use water::properties::nacl_osmotic_pressure_kpa;
use water::{Analysis, Water};

/// A reading standardised by ASTM D4516 (`model.md` 4) to the conditions of another: flow, salt passage.
fn standardised(
    (point, setting): (&OperatingPoint, &Setting),
    (reference, reference_setting): (&OperatingPoint, &Setting),
) -> (f64, f64) {
    let terms = |p: &OperatingPoint, s: &Setting, t: f64| {
        let bulk = s.feed_mg_l * log_mean(p.recovery);
        let net = p.membrane_pressure_kpa
            - 0.5 * (p.membrane_pressure_kpa - p.concentrate_pressure_kpa)
            - p.permeate_pressure_kpa
            - nacl_osmotic_pressure_kpa(bulk, t)
            + nacl_osmotic_pressure_kpa(p.permeate_tds_mg_l, t);
        (bulk, net)
    };
    let tcf = |t: f64| 1.03_f64.powf(t - 25.0);
    let t = setting.temperature_c;
    let (bulk, net) = terms(point, setting, t);
    let (bulk_s, net_s) = terms(reference, reference_setting, reference_setting.temperature_c);
    let flow = point.permeate_flow_l_h * net_s / (net * tcf(t));
    let flow_s = reference.permeate_flow_l_h / tcf(reference_setting.temperature_c);
    let passage = point.salt_passage
        * (point.permeate_flow_l_h / flow_s)
        * (1.0 / tcf(t))
        * (bulk_s / bulk)
        * (setting.feed_mg_l / reference_setting.feed_mg_l);
    (flow, passage)
}

#[test]
fn val_unchanged_unit_standardises_to_itself() {
    // `model.md` 2: between 5 and 25 C within 0.7 % in flow and 3 % in salt passage of what it does at 10 C.
    let unit = two_small_in_series();
    let model = Model::new(&unit, Segments::default()).unwrap();
    let mut workspace = Workspace::new();
    let mut at = |t: f64| {
        let setting = Setting::new(t, 400.0, 300.0);
        (
            model
                .solve(&model.parameters(), &setting, &mut workspace)
                .unwrap(),
            setting,
        )
    };
    let (reference, reference_setting) = at(10.0);
    let (flow_s, passage_s) =
        standardised((&reference, &reference_setting), (&reference, &reference_setting));
    for t in [5.0, 7.5, 12.0, 15.0, 20.0, 25.0] {
        let (point, setting) = at(t);
        let (flow, passage) = standardised((&point, &setting), (&reference, &reference_setting));
        assert!(
            (flow / flow_s - 1.0).abs() < 0.007,
            "{t} C: flow {:.4}",
            flow / flow_s
        );
        assert!(
            (passage / passage_s - 1.0).abs() < 0.03,
            "{t} C: salt passage {:.4}",
            passage / passage_s
        );
        // The model's own net driving pressure is D4516's.
        let by_hand = point.membrane_pressure_kpa
            - 0.5 * (point.membrane_pressure_kpa - point.concentrate_pressure_kpa)
            - nacl_osmotic_pressure_kpa(300.0 * log_mean(point.recovery), t)
            + nacl_osmotic_pressure_kpa(point.permeate_tds_mg_l, t);
        assert!((point.net_driving_pressure_kpa - by_hand).abs() < 1e-9 * by_hand);
    }
}

#[test]
fn val_drop_of_a_small_element() {
    // `reference/check-values.md` 8.16: a 2012 element at 25 C, 25, 50 and 80 L/h: 215.3, 437.4, 713.1 Pa.
    for (flow, pa) in [(25.0, 215.3), (50.0, 437.4), (80.0, 713.1)] {
        let mut unit = two_small_in_series();
        unit.membranes.elements.truncate(1);
        // A restrictor that takes nearly all, so that the flow along the channel changes by a hundredth only.
        unit.concentrate.restrictor.flow_l_h = flow;
        unit.concentrate.restrictor.at_kpa = 400.0;
        let model = Model::new(&unit, Segments(40)).unwrap();
        let mut parameters = model.parameters();
        assert!(parameters.set(Parameter::WaterPermeability(0), -9.0));
        let setting = Setting::new(25.0, 400.0, 10.0);
        let point = model.solve(&parameters, &setting, &mut Workspace::new()).unwrap();
        let drop = (point.membrane_pressure_kpa - point.concentrate_pressure_kpa) * 1e3;
        // 2e-3: the flow is that of the concentrate and the restrictor sees the drop; the table has 2e-4.
        assert!((drop / pa - 1.0).abs() < 2e-3, "{flow} L/h: {drop} Pa");
    }
}

#[test]
fn val_salt_passage_falls_with_pressure_without_film_and_has_a_minimum_with_it() {
    let mut unit = two_small_in_series();
    unit.membranes.elements.truncate(1);
    // Much cross-flow, so that the bulk stays the feed.
    unit.concentrate.restrictor.flow_l_h = 2000.0;
    let model = Model::new(&unit, Segments::default()).unwrap();
    let mut workspace = Workspace::new();
    let passages = |transfer: f64, workspace: &mut Workspace| -> Vec<(f64, f64)> {
        let mut parameters = model.parameters();
        assert!(parameters.set(Parameter::MassTransfer, transfer));
        (1..80)
            .map(|i| {
                let setting = Setting::new(25.0, 60.0 * f64::from(i), 300.0);
                // The same cross-flow, hence the same k, at every pressure.
                let ratio = setting.inlet_pressure_kpa / unit.concentrate.restrictor.at_kpa;
                assert!(parameters.set(Parameter::Restrictor, -4.0 / 7.0 * ratio.ln()));
                let point = model.solve(&parameters, &setting, workspace).unwrap();
                (point.permeate_flow_l_h, point.salt_passage)
            })
            .collect()
    };
    // k without bound: ever less salt.
    let free = passages(12.0, &mut workspace);
    assert!(free.windows(2).all(|w| w[1].1 < w[0].1));
    assert!(free.last().unwrap().1 < 0.006);
    // k finite: least where J = k (closed form, `film`), then more again.
    let film = passages(-1.6, &mut workspace);
    let least = film.iter().min_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
    assert!(film.last().unwrap().1 > 1.05 * least.1);
    let flux = least.0 / 0.74 / 3.6e6;
    // k of 8.16 at 80 L/h is 2.5875e-5 m/s; ours by the 0.36 power of the cross-flow and the factor above.
    let k = 2.5875e-5 * (2000.0_f64 / 80.0).powf(0.36) * (-1.6_f64).exp();
    // 4 %: steps of 60 kPa at a flat minimum, and a cross-flow that falls by what permeates.
    assert!((flux / k - 1.0).abs() < 0.04, "J {flux} k {k}");
}

#[test]
fn val_little_flux_passes_all_salt() {
    // Zero flux gives C_p = C_f: a membrane of next to no permeability to water.
    let unit = two_small_in_series();
    let model = Model::new(&unit, Segments::default()).unwrap();
    let mut parameters = model.parameters();
    for i in 0..2 {
        assert!(parameters.set(Parameter::WaterPermeability(i), -25.0));
    }
    let point = model
        .solve(
            &parameters,
            &Setting::new(15.0, 400.0, 300.0),
            &mut Workspace::new(),
        )
        .unwrap();
    // First order in J/B, some 1e-9.
    assert!((point.salt_passage - 1.0).abs() < 1e-8, "{}", point.salt_passage);
}

#[test]
fn val_stages_pump_and_regulator() {
    // By hand: a cartridge of 10 kPa at 100 L/h and 25 C is 10 x Q/100 x mu(T)/mu(25) (model 3; mu ratio at 5 C from
    // `reference/check-values.md` 1.16), a pump adds 300 (1 - Q/400), a regulator holds 450.
    let mut unit = two_small_in_series();
    unit.stages = vec![
        stage(
            "sediment",
            StageKind::Sediment {
                media: SedimentMedia::Spun,
            },
            Some(CleanDrop {
                pressure_kpa: 10.0,
                flow_l_h: 100.0,
            }),
        ),
        stage(
            "booster",
            StageKind::Pump {
                open_flow_l_h: 400.0,
                shutoff_kpa: 300.0,
            },
            None,
        ),
        stage("regulator", StageKind::Regulator { set_kpa: 450.0 }, None),
    ];
    let model = Model::new(&unit, Segments::default()).unwrap();
    let mut workspace = Workspace::new();
    for (inlet, regulated) in [(150.0, false), (400.0, true)] {
        let setting = Setting::new(5.0, inlet, 300.0);
        let point = model
            .solve(&model.parameters(), &setting, &mut workspace)
            .unwrap();
        let q = point.feed_flow_l_h;
        let after_sediment = inlet - 10.0 * q / 100.0 * 1.70577;
        let after_pump = after_sediment + 300.0 * (1.0 - q / 400.0);
        let found = workspace.stage_pressures_kpa();
        // 3e-5 of the drop: the viscosity ratio's digits and SR6-08 against R12-08.
        assert!(
            (found[0] - after_sediment).abs() < 1e-2 && (found[1] - after_pump).abs() < 1e-2,
            "{found:?}"
        );
        let expected = if regulated { 450.0 } else { after_pump };
        assert!((found[2] - expected).abs() < 1e-2);
        assert!((point.membrane_pressure_kpa - found[2]).abs() < 1e-9);
    }
}

#[test]
fn val_lift_is_rho_g_h() {
    // 10 m of water at 25 C: 997.0476 kg/m3 (`reference/check-values.md` 3.06) x 9.80665 x 10 = 97.777 kPa.
    let mut unit = two_small_in_series();
    unit.permeate.lift_m = 10.0;
    let model = Model::new(&unit, Segments::default()).unwrap();
    let point = model
        .solve(
            &model.parameters(),
            &Setting::new(25.0, 400.0, 300.0),
            &mut Workspace::new(),
        )
        .unwrap();
    // The digits of the density.
    assert!((point.permeate_pressure_kpa - 97.777).abs() < 1e-3);
}

#[test]
fn val_impossible_conditions_are_named() {
    let unit = two_small_in_series();
    let model = Model::new(&unit, Segments::default()).unwrap();
    let mut workspace = Workspace::new();
    let mut solve = |setting: Setting| model.solve(&model.parameters(), &setting, &mut workspace);
    let no_flow = solve(Setting::new(15.0, 0.0, 300.0)).unwrap_err();
    assert!(matches!(no_flow, PredictError::NoFlow { .. }), "{no_flow}");
    // 20 000 mg/L has 1560 kPa at 15 C (check values 2.07 and 2.18): 400 kPa give nothing.
    let salty = solve(Setting::new(15.0, 400.0, 20_000.0)).unwrap_err();
    assert!(
        salty.to_string().contains("the inlet pressure does not reach"),
        "{salty}"
    );
    let back = solve(Setting {
        permeate_pressure_kpa: 390.0,
        ..Setting::new(15.0, 400.0, 300.0)
    })
    .unwrap_err();
    assert!(matches!(back, PredictError::NoPermeate { .. }), "{back}");
    let cold = solve(Setting::new(-4.0, 400.0, 300.0)).unwrap_err();
    assert!(
        cold.to_string()
            .starts_with("conditions.temperature is -4; accepted is 0 to 60 C"),
        "{cold}"
    );
    let nan = solve(Setting::new(15.0, f64::NAN, 300.0)).unwrap_err();
    assert!(
        nan.to_string().starts_with("conditions.inlet_pressure is NaN"),
        "{nan}"
    );

    let mut pumped = unit.clone();
    pumped.stages = vec![stage(
        "booster",
        StageKind::Pump {
            open_flow_l_h: 300.0,
            shutoff_kpa: 200.0,
        },
        None,
    )];
    let model = Model::new(&pumped, Segments::default()).unwrap();
    let weak = model
        .solve(
            &model.parameters(),
            &Setting::new(15.0, 100.0, 9000.0),
            &mut workspace,
        )
        .unwrap_err();
    assert!(weak.to_string().contains("the pump cannot reach the"), "{weak}");

    let mut state = State::default();
    state.permeability.insert("membrane-9".to_owned(), 0.9);
    let unknown = model.in_state(&state).unwrap_err().to_string();
    assert!(
        unknown.contains("membrane-9") && unknown.contains("membrane-1, membrane-2"),
        "{unknown}"
    );
    state = State {
        restrictor: Some(-1.0),
        ..State::default()
    };
    assert!(
        model
            .in_state(&state)
            .unwrap_err()
            .to_string()
            .contains("conditions.state.restrictor is -1")
    );
}

#[test]
fn val_impossible_ratings_are_named() {
    // 10 000 mg/L has 800 kPa at 25 C (check values 2.17): at 700 kPa no membrane makes anything.
    let mut unit = two_small_in_series();
    unit.membranes.elements[1].rated.tds_mg_l = 10_000.0;
    unit.membranes.elements[1].rated.pressure_kpa = 700.0;
    let error = Model::new(&unit, Segments::default()).unwrap_err();
    let text = error.to_string();
    assert!(matches!(error, PredictError::Rating { .. }), "{text}");
    assert!(
        text.starts_with("unit.membranes.elements[1].rated: no membrane can meet this rating"),
        "{text}"
    );
    // A rejection of 1 asks for a membrane that nothing passes.
    let mut unit = two_small_in_series();
    unit.membranes.elements[0].rated.rejection = 1.0;
    let text = Model::new(&unit, Segments::default()).unwrap_err().to_string();
    assert!(
        text.starts_with("unit.membranes.elements[0].rated.rejection is 1"),
        "{text}"
    );
}

#[test]
fn val_rating_near_the_possible_is_met() {
    // Just above the osmotic limit the needed permeability is huge but there is one: Newton from afar must find it.
    let element = Element {
        id: "m".to_owned(),
        size: ElementSize::S2540,
        area_m2: None,
        rated: Rating {
            flow_l_h: 20.0,
            rejection: 0.9,
            pressure_kpa: 560.0,
            temperature_c: 25.0,
            tds_mg_l: 5000.0,
            recovery: 0.1,
        },
    };
    let restrictor = Restrictor {
        flow_l_h: 180.0,
        at_kpa: 400.0,
        kind: RestrictorKind::Orifice,
        exponent: None,
    };
    let unit = common::unit(Vec::new(), Arrangement::Series, vec![element], restrictor);
    let model = Model::new(&unit, Segments::default()).unwrap();
    let (a, b) = model.permeability_25(0).unwrap();
    assert!(a > 0.0 && b > 0.0 && a.is_finite() && b.is_finite());
}

#[test]
fn val_predict_on_an_analysis_and_on_a_salt_content() {
    let unit = two_small_in_series();
    let conditions = Conditions {
        temperature_c: 10.0,
        inlet_pressure_kpa: 400.0,
        permeate_pressure_kpa: 0.0,
        state: State::default(),
    };
    let mut workspace = Workspace::new();
    let hard = Water::complete(&common::hard_water()).unwrap();
    let full = predict(&unit, &hard, &conditions, Segments::default(), &mut workspace).unwrap();
    assert!(full.permeate_ph.is_some_and(|ph| (4.5..7.5).contains(&ph)));
    assert!(full.saturation_at_wall[0].is_some() && full.waters.is_some());
    let salt = Water::complete(&Analysis {
        tds_mg_l: Some(300.0),
        ..Analysis::default()
    })
    .unwrap();
    let one = predict(&unit, &salt, &conditions, Segments::default(), &mut workspace).unwrap();
    assert!(one.permeate_ph.is_none() && one.waters.is_none());
    let sum: f64 = one.solutes.iter().map(|s| s.permeate_mg_l).sum();
    // Sodium and chloride make the whole; molar masses have six digits.
    assert!((sum / one.point.permeate_tds_mg_l - 1.0).abs() < 1e-6);
    // Both ways of asking give one answer.
    let model = Model::new(&unit, Segments::default()).unwrap();
    let point = model
        .solve(
            &model.parameters(),
            &Setting::new(10.0, 400.0, 300.0),
            &mut workspace,
        )
        .unwrap();
    // The salt content goes through moles and back.
    assert!((point.permeate_flow_l_h / one.point.permeate_flow_l_h - 1.0).abs() < 1e-9);
}
