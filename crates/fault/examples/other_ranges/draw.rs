//! Units, conditions and faults drawn at random, from wider ranges than `reference/practice`. Simulated.

use fault::Cause;
use jiff::{SignedDuration, Timestamp};
use reading::{Field, Reading};
use unit::{
    Model, OsmoticLaw, Parameter, Parameters, Segments, Setting, StageKind, TankKind, Unit, Workspace,
};
use water::Analysis;

use crate::dice::Dice;

/// One simulated case with its truth.
pub struct Drawn {
    pub unit: Unit,
    pub water: Option<Analysis>,
    pub baseline: Option<Reading>,
    pub reading: Reading,
    pub cause: Cause,
    /// How it was drawn: 0 just beyond the noise, 1 gross.
    pub severity: f64,
    pub full: bool,
    /// How far the instruments' true errors exceed the stated ones.
    pub wild: f64,
}

/// What is the same in every reading of a unit.
struct Truth {
    parameters: Parameters,
    gauges: [f64; 4],
    feed_meter: f64,
    permeate_meter: f64,
    bucket: f64,
    carbon_dioxide: f64,
}

fn move_by(parameters: &mut Parameters, parameter: Parameter, by: f64) {
    let now = parameters.get(parameter).unwrap_or(0.0);
    let _has = parameters.set(parameter, now + by);
}

/// Every cause of the model's world that this unit can have, drawn by how often it is met.
fn cause(dice: &mut Dice, unit: &Unit) -> Cause {
    let has = |is: fn(&StageKind) -> bool| unit.stages.iter().any(|stage| is(&stage.kind));
    let sediment = has(|kind| matches!(kind, StageKind::Sediment { .. }));
    let carbon = has(|kind| matches!(kind, StageKind::Carbon { .. }));
    let pump = has(|kind| matches!(kind, StageKind::Pump { .. }));
    let weight = |cause: Cause| match cause {
        Cause::Sound => 1.5,
        Cause::SedimentBlocked => f64::from(u8::from(sediment)) * 1.1,
        Cause::CarbonBlocked => f64::from(u8::from(carbon)) * 0.65,
        Cause::CarbonSpent => f64::from(u8::from(carbon)) * 1.1,
        Cause::PumpWeak => f64::from(u8::from(pump)),
        Cause::NoFeed
        | Cause::ShutoffLeaking
        | Cause::TankPrechargeLost
        | Cause::SoftenerExhausted
        | Cause::ResinExhausted
        | Cause::JustStarted
        | Cause::SealAfterWork
        | Cause::DemandUp => 0.0,
        _ => 1.0,
    };
    let whole: f64 = Cause::ALL.iter().map(|one| weight(*one)).sum();
    let mut left = dice.within(0.0, whole);
    for one in Cause::ALL {
        left -= weight(*one);
        if left < 0.0 {
            return *one;
        }
    }
    Cause::Sound
}

/// A case; none where the unit drawn makes no water.
pub fn draw(dice: &mut Dice, full: bool, wild: f64, severities: (f64, f64)) -> Option<Drawn> {
    let feed_mg_l = dice.log_within(100.0, 5000.0);
    let unit = crate::plan::unit(dice, feed_mg_l);
    let model = Model::new(&unit, Segments(24)).ok()?;
    let mut workspace = Workspace::new();
    let n = unit.membranes.elements.len();
    let ratio = dice.within(0.46, 0.56);
    let cause = cause(dice, &unit);
    let x = dice.within(severities.0, severities.1);
    // This unit against its ratings (`model.md` 2; the other spreads are common practice, no source).
    let mut p = model.parameters();
    move_by(&mut p, Parameter::TemperatureCoefficient, dice.normal(0.003));
    move_by(&mut p, Parameter::MassTransfer, dice.normal(0.25));
    move_by(&mut p, Parameter::Restrictor, dice.normal(0.07));
    let (a, b) = (dice.normal(0.09), dice.normal(0.27));
    for i in 0..n {
        move_by(&mut p, Parameter::WaterPermeability(i), a + dice.normal(0.04));
        move_by(&mut p, Parameter::SaltPermeability(i), b + dice.normal(0.13));
        move_by(&mut p, Parameter::ElementDrop(i), dice.normal(0.15));
    }
    for i in 0..unit.stages.len() {
        move_by(&mut p, Parameter::StageDrop(i), dice.normal(0.15));
        move_by(&mut p, Parameter::PumpPressure(i), dice.normal(0.04));
        move_by(&mut p, Parameter::PumpFlow(i), dice.normal(0.04));
    }
    // Half of an instrument's variance is alike in every reading.
    let half = wild * 0.5_f64.sqrt();
    let mut truth = Truth {
        parameters: p,
        gauges: [0; 4].map(|_| dice.normal(7.0 * half)),
        feed_meter: dice.normal(0.02 * half),
        permeate_meter: dice.normal(0.02 * half),
        bucket: dice.normal(0.025 * half),
        carbon_dioxide: dice.within(0.0, 3.0),
    };
    let inlet = dice.within(180.0, 520.0) + if unit.stages.len() < 3 { 80.0 } else { 0.0 };
    let warm = dice.within(3.0, 35.0);
    let setting = |temperature: f64, inlet: f64, feed: f64| Setting {
        temperature_c: temperature,
        inlet_pressure_kpa: inlet,
        permeate_pressure_kpa: 0.0,
        feed_mg_l: feed,
        osmotic: OsmoticLaw::SodiumChloride,
    };
    let mut then = setting(warm, inlet, feed_mg_l * dice.normal(0.04).exp());
    let pressurised = unit.permeate.tank.is_some_and(|tank| tank.kind != TankKind::Open);
    // A pressurised tank stands anywhere between empty and the shut-off.
    let filled = |dice: &mut Dice| {
        if pressurised {
            dice.within(50.0, 0.45 * inlet)
        } else {
            0.0
        }
    };
    then.permeate_pressure_kpa = filled(dice);
    let sound = model.solve(&truth.parameters, &then, &mut workspace).ok()?;
    if sound.permeate_flow_l_h < 0.3 || sound.recovery > 0.8 {
        return None;
    }
    let hours = 24 * (60 + i64::try_from(dice.below(840)).ok()?);
    let days = hours as f64 / 24.0;
    let at: Timestamp = "2024-03-01T09:00:00Z".parse().ok()?;
    let mut baseline = Reading::new(at);
    show(
        dice,
        &model,
        &truth,
        &then,
        &mut workspace,
        (full, wild, ratio),
        &mut baseline,
    )?;
    baseline.set(
        Field::FreeChlorineOut,
        Some(dice.normal(0.02).abs()).filter(|_| has_carbon(&unit)),
    );
    // Ordinary wear.
    let years = (days / 365.25).sqrt();
    let (a, b) = (-0.03 + dice.normal(0.03), 0.03 + dice.normal(0.05));
    for i in 0..n {
        move_by(
            &mut truth.parameters,
            Parameter::WaterPermeability(i),
            years * (a + dice.normal(0.01)),
        );
        move_by(
            &mut truth.parameters,
            Parameter::SaltPermeability(i),
            years * (b + dice.normal(0.02)),
        );
    }
    for i in 0..unit.stages.len() {
        move_by(
            &mut truth.parameters,
            Parameter::StageDrop(i),
            years.min(1.0) * dice.within(0.0, 0.4),
        );
    }
    let mut now = setting(
        (warm + dice.normal(5.0)).clamp(3.0, 36.0),
        inlet * dice.normal(0.06).exp(),
        feed_mg_l * dice.normal(0.04).exp(),
    );
    now.permeate_pressure_kpa = filled(dice);
    let wrong = crate::faults::apply(
        dice,
        cause,
        x,
        &unit,
        &mut truth.parameters,
        &mut now,
        sound.feed_flow_l_h,
    );
    if cause == Cause::PermeateBackPressure {
        now.permeate_pressure_kpa += (0.10 * 4.0_f64.powf(x)) * sound.membrane_pressure_kpa;
    }
    let mut reading = Reading::new(at.saturating_add(SignedDuration::from_hours(hours)).ok()?);
    show(
        dice,
        &model,
        &truth,
        &now,
        &mut workspace,
        (full, wild, ratio),
        &mut reading,
    )?;
    if has_carbon(&unit) && dice.chance(0.9) {
        let passed = if cause == Cause::CarbonSpent {
            0.12 + 0.6 * x
        } else {
            0.0
        };
        let read = (passed * dice.normal(0.08).exp() + dice.normal(0.02)).abs();
        reading.set(Field::FreeChlorineOut, Some(read));
    } else if cause == Cause::CarbonSpent {
        return None;
    }
    if cause == Cause::MeterFault {
        let factor = if dice.chance(0.5) { wrong } else { 1.0 / wrong };
        let read: Vec<Field> = METERS
            .iter()
            .copied()
            .filter(|one| {
                reading
                    .get(*one)
                    .is_some_and(|v| v > 30.0 || *one != Field::InletPressure)
            })
            .collect();
        let field = dice.of(&read);
        let value = reading.get(field)? * factor;
        reading.set(field, Some(value));
    }
    let water = Analysis {
        tds_mg_l: Some(feed_mg_l),
        conductivity_us_cm: Some(feed_mg_l / ratio),
        free_chlorine_mg_l: Some(dice.of(&[0.0, 0.8, 1.2])),
        ..Analysis::default()
    };
    // Now and then nobody noted a cartridge's clean drop.
    let mut unit = unit;
    for stage in &mut unit.stages {
        stage.clean_drop = stage.clean_drop.filter(|_| dice.chance(0.9));
    }
    Some(Drawn {
        water: Some(water),
        baseline: Some(baseline).filter(|_| dice.chance(0.85)),
        reading,
        cause,
        severity: x,
        full,
        wild,
        unit,
    })
}

fn has_carbon(unit: &Unit) -> bool {
    unit.stages
        .iter()
        .any(|stage| matches!(stage.kind, StageKind::Carbon { .. }))
}

/// Instruments that may read wrong.
const METERS: [Field; 6] = [
    Field::InletPressure,
    Field::MembranePressure,
    Field::PermeateFlow,
    Field::ConcentrateFlow,
    Field::FeedConductivity,
    Field::PermeateConductivity,
];

/// Reads the unit; none where no water would flow.
fn show(
    dice: &mut Dice,
    model: &Model,
    truth: &Truth,
    setting: &Setting,
    workspace: &mut Workspace,
    (full, wild, ratio): (bool, f64, f64),
    reading: &mut Reading,
) -> Option<()> {
    let point = model.solve(&truth.parameters, setting, workspace).ok()?;
    let half = wild * 0.5_f64.sqrt();
    let mut gauge = |dice: &mut Dice, field: Field, i: usize, kpa: f64| {
        let read = kpa + truth.gauges[i] + dice.normal(7.0 * half);
        reading.set(field, Some(read.max(0.0).round()));
    };
    if full || dice.chance(0.9) {
        gauge(dice, Field::InletPressure, 0, setting.inlet_pressure_kpa);
    }
    if full || dice.chance(0.12) {
        gauge(dice, Field::MembranePressure, 1, point.membrane_pressure_kpa);
    }
    if full {
        gauge(
            dice,
            Field::ConcentratePressure,
            2,
            point.concentrate_pressure_kpa,
        );
        gauge(dice, Field::PermeatePressure, 3, point.permeate_pressure_kpa);
    }
    let bucket = |dice: &mut Dice, flow: f64| Some(flow * (truth.bucket + dice.normal(0.025 * half)).exp());
    reading.set(Field::PermeateFlow, bucket(dice, point.permeate_flow_l_h));
    if full || dice.chance(0.45) {
        reading.set(Field::ConcentrateFlow, bucket(dice, point.concentrate_flow_l_h));
    }
    let meter = |dice: &mut Dice, us_cm: f64, own: f64| {
        Some((us_cm * (own + dice.normal(0.02 * half)).exp() + dice.normal(wild)).max(0.1))
    };
    if full || dice.chance(0.45) {
        reading.set(
            Field::FeedConductivity,
            meter(dice, setting.feed_mg_l / ratio, truth.feed_meter),
        );
    }
    if full || dice.chance(0.95) {
        let us_cm = point.permeate_tds_mg_l / ratio + truth.carbon_dioxide;
        reading.set(
            Field::PermeateConductivity,
            meter(dice, us_cm, truth.permeate_meter),
        );
    }
    reading.set(
        Field::FeedTemperature,
        Some(setting.temperature_c + dice.normal(0.5 * wild)),
    );
    reading.set(Field::RunningFor, Some(25.0));
    Some(())
}
