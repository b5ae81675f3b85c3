//! Exact derivatives against central differences of the solution itself.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "tests stop at the first thing that is wrong"
)]

mod common;

use common::{parse_conditions, parse_unit, practice, stage};
use unit::{
    Input, Model, OperatingPoint, Output, Parameter, Parameters, Segments, Setting, StageKind, Unit,
    Workspace,
};

const OUTPUTS: [Output; 7] = [
    Output::FeedFlow,
    Output::PermeateFlow,
    Output::ConcentrateFlow,
    Output::MembranePressure,
    Output::ConcentratePressure,
    Output::PermeateConcentration,
    Output::SaltPassage,
];

fn of_point(point: &OperatingPoint, workspace: &Workspace) -> Vec<f64> {
    let mut values = vec![
        point.feed_flow_l_h,
        point.permeate_flow_l_h,
        point.concentrate_flow_l_h,
        point.membrane_pressure_kpa,
        point.concentrate_pressure_kpa,
        point.permeate_tds_mg_l,
        point.salt_passage,
    ];
    values.extend(workspace.stage_pressures_kpa());
    for element in workspace.elements() {
        values.extend([element.permeate_flow_l_h, element.permeate_tds_mg_l]);
    }
    values
}

fn inputs(model: &Model) -> Vec<Input> {
    let mut all = vec![
        Input::InletPressure,
        Input::Temperature,
        Input::FeedConcentration,
        Input::PermeatePressure,
    ];
    let mut parameters = vec![
        Parameter::TemperatureCoefficient,
        Parameter::MassTransfer,
        Parameter::Restrictor,
        Parameter::RestrictorExponent,
        Parameter::RestrictorViscosityExponent,
    ];
    for i in 0..model.elements() {
        parameters.extend([
            Parameter::WaterPermeability(i),
            Parameter::SaltPermeability(i),
            Parameter::ElementDrop(i),
            Parameter::ElementBypass(i),
            Parameter::ElementLeak(i),
        ]);
    }
    for i in 0..8 {
        parameters.extend([
            Parameter::StageDrop(i),
            Parameter::PumpPressure(i),
            Parameter::PumpFlow(i),
            Parameter::RegulatorPressure(i),
        ]);
    }
    let known = model.parameters();
    all.extend(
        parameters
            .into_iter()
            .filter(|p| known.get(*p).is_some())
            .map(Input::Parameter),
    );
    all
}

fn moved(parameters: &Parameters, setting: &Setting, input: Input, by: f64) -> (Parameters, Setting) {
    let (mut p, mut s) = (parameters.clone(), *setting);
    match input {
        Input::InletPressure => s.inlet_pressure_kpa += by,
        Input::Temperature => s.temperature_c += by,
        Input::FeedConcentration => s.feed_mg_l += by,
        Input::PermeatePressure => s.permeate_pressure_kpa += by,
        Input::Parameter(parameter) => {
            let value = p.get(parameter).unwrap();
            assert!(p.set(parameter, value + by));
        }
    }
    (p, s)
}

fn check(unit: &Unit, parameters: impl Fn(&Model) -> Parameters, setting: &Setting) {
    let model = Model::new(unit, Segments::default()).unwrap();
    let parameters = parameters(&model);
    let mut workspace = Workspace::new();
    let at = |p: &Parameters, s: &Setting| {
        let mut w = Workspace::new();
        let point = model.solve(p, s, &mut w).unwrap();
        of_point(&point, &w)
    };
    model.sensitivities(&parameters, setting, &mut workspace).unwrap();
    let base = at(&parameters, setting);
    let mut outputs = OUTPUTS.to_vec();
    outputs.extend((0..unit.stages.len()).map(Output::PressureAfter));
    for i in 0..model.elements() {
        outputs.extend([
            Output::ElementPermeateFlow(i),
            Output::ElementPermeateConcentration(i),
        ]);
    }
    let mut seen = 0;
    for input in inputs(&model) {
        let h = match input {
            Input::InletPressure | Input::PermeatePressure | Input::FeedConcentration => 0.05,
            Input::Temperature => 2e-3,
            Input::Parameter(_) => 1e-4,
        };
        // Richardson's extrapolation of two central differences; a limit at 0 asks for one-sided ones.
        let central = |h: f64| -> Vec<f64> {
            let (p, s) = moved(&parameters, setting, input, h);
            let up = at(&p, &s);
            let (p, s) = moved(&parameters, setting, input, -h);
            let down = at(&p, &s);
            up.iter().zip(&down).map(|(u, d)| (u - d) / (2.0 * h)).collect()
        };
        let one_sided = |h: f64| -> Vec<f64> {
            let (p, s) = moved(&parameters, setting, input, h);
            let (p2, s2) = moved(&parameters, setting, input, 2.0 * h);
            let (p4, s4) = moved(&parameters, setting, input, 4.0 * h);
            let (a, b, c) = (at(&p, &s), at(&p2, &s2), at(&p4, &s4));
            (0..base.len())
                .map(|i| {
                    let (f1, f2, f4) = (
                        (a[i] - base[i]) / h,
                        (b[i] - base[i]) / (2.0 * h),
                        (c[i] - base[i]) / (4.0 * h),
                    );
                    // The errors of first and second order cancel.
                    let (g1, g2) = (2.0 * f1 - f2, 2.0 * f2 - f4);
                    (4.0 * g1 - g2) / 3.0
                })
                .collect()
        };
        let at_limit = matches!(
            input,
            Input::Parameter(Parameter::ElementBypass(_) | Parameter::ElementLeak(_))
        );
        let differences: Vec<f64> = if at_limit {
            one_sided(1e-3)
        } else {
            let (wide, narrow) = (central(2.0 * h), central(h));
            narrow
                .iter()
                .zip(&wide)
                .map(|(n, w)| (4.0 * n - w) / 3.0)
                .collect()
        };
        for ((output, numeric), value) in outputs.iter().zip(&differences).zip(&base) {
            let exact = workspace.sensitivities().get(*output, input).unwrap();
            // Solutions are exact to 1e-10 of their value, so a difference is to 1e-10 value/h; 2e-6 for its own
            // truncation, one-sided ones 1e-4.
            let noise = 4e-10 * value.abs() / if at_limit { 1e-4 } else { h };
            let truncation = if at_limit { 1e-4 } else { 2e-6 };
            assert!(
                (exact - numeric).abs() <= noise + truncation * numeric.abs(),
                "{}: d {output:?}/d {input:?} is {exact}, by differences {numeric}",
                unit.id
            );
            seen += 1;
        }
    }
    assert!(seen > 100);
}

#[test]
fn val_derivatives_against_differences() {
    for (_, input, _) in practice() {
        let unit = parse_unit(&input["unit"]);
        let (setting, state) = parse_conditions(&input);
        check(&unit, |model| model.in_state(&state).unwrap(), &setting);
    }
}

#[test]
fn val_derivatives_with_leak_bypass_regulator_and_lift() {
    for (_, input, _) in practice().into_iter().take(7) {
        let mut unit = parse_unit(&input["unit"]);
        unit.permeate.lift_m = 2.5;
        unit.membranes.temperature_coefficient = Some(1.027);
        unit.membranes.elements[0].rated.temperature_c = 20.0;
        let low = stage("regulator", StageKind::Regulator { set_kpa: 380.0 }, None);
        unit.stages.insert(1, low);
        let (mut setting, state) = parse_conditions(&input);
        setting.inlet_pressure_kpa += 150.0;
        let change = |model: &Model| {
            let mut p = model.in_state(&state).unwrap();
            for (parameter, value) in [
                (Parameter::ElementBypass(0), 0.15),
                (Parameter::ElementLeak(0), 0.03),
                (Parameter::MassTransfer, -0.2),
                (Parameter::RestrictorExponent, 0.55),
                (Parameter::RestrictorViscosityExponent, 0.12),
            ] {
                assert!(p.set(parameter, value));
            }
            p
        };
        check(&unit, change, &setting);
    }
}
