//! Standstill, tank and a day's cycle against closed solutions and balances.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "tests stop at the first thing that is wrong"
)]

mod common;

use common::{stage, two_small_in_series};
use unit::{
    CycleOptions, Day, Demand, Model, PredictError, Segments, Setting, Shutoff, StageKind, Standstill, Tank,
    TankKind, Unit, Workspace, day,
};

fn with_tank(kind: TankKind, litres: f64, shutoff: Shutoff) -> Unit {
    let mut unit = two_small_in_series();
    unit.permeate.tank = Some(Tank {
        kind,
        volume_l: Some(litres),
        valve: false,
    });
    unit.permeate.shutoff = shutoff;
    unit
}

fn run(unit: &Unit, setting: &Setting, demand: &Demand, options: &CycleOptions) -> Day {
    let model = Model::new(unit, Segments::default()).unwrap();
    let mut workspace = Workspace::new();
    day(
        unit,
        &model,
        &model.parameters(),
        setting,
        demand,
        options,
        &mut workspace,
    )
    .unwrap()
}

fn setting() -> Setting {
    Setting::new(12.0, 400.0, 300.0)
}

#[test]
fn val_standstill_by_its_own_equation() {
    let unit = two_small_in_series();
    let model = Model::new(&unit, Segments::default()).unwrap();
    let mut workspace = Workspace::new();
    let s = Standstill::of(&model, &model.parameters(), &setting(), &mut workspace).unwrap();
    // v = 0.25 L/m2 of 1.48 m2, and B at 12 C from 25 C by 1.03 per degree (model 2).
    assert!((s.held_l - 0.25 * 1.48).abs() < 1e-12);
    let (_, b) = model.permeability_25(0).unwrap();
    let rate = b * 1.03_f64.powf(12.0 - 25.0) / 0.25e-3 * 3600.0;
    assert!((s.diffusion_1_h / rate - 1.0).abs() < 1e-9);
    // dC/dt = B (C_f - C)/v by small Euler steps; 1e-4: their first order.
    let mut c = s.permeate_mg_l;
    let n = 200_000;
    for _ in 0..n {
        c += rate * (s.feed_mg_l - c) * 3.0 / f64::from(n);
    }
    assert!((s.after_standing(s.permeate_mg_l, 3.0) / c - 1.0).abs() < 1e-4);
    // "Hours to be as salty as the feed": within a night nearly all of the difference is gone.
    assert!(s.after_standing(s.permeate_mg_l, 12.0) > 0.9 * s.feed_mg_l);
    // Salt is conserved in what is pushed out: the first litres carry what was held above the steady permeate.
    let start = s.after_standing(s.permeate_mg_l, 3.0);
    let excess = 20.0 * (s.mean_of_litres(start, 20.0) - s.permeate_mg_l);
    // exp(-20 L/0.37 L) is left behind.
    assert!((excess / (s.held_l * (start - s.permeate_mg_l)) - 1.0).abs() < 1e-9);
    // A reading in the first minute after a night is many times the steady one; after the time to settle it is not.
    assert!(s.reading(10.0, 1.0) > 3.0 * s.permeate_mg_l);
    let settled = s.minutes_to_settle(10.0, 0.02);
    assert!((s.reading(10.0, settled) / s.permeate_mg_l - 1.02).abs() < 1e-9);
    assert!(settled > 3.0 && settled < 30.0, "{settled} minutes");
}

#[test]
fn prop_water_of_a_day_is_conserved() {
    for (kind, shutoff, litres) in [
        (TankKind::Open, Shutoff::Float, 200.0),
        (TankKind::Open, Shutoff::None, 50.0),
        (
            TankKind::Pressurised { precharge_kpa: 50.0 },
            Shutoff::Pressure,
            40.0,
        ),
    ] {
        for asked in [20.0, 150.0, 400.0, 900.0] {
            let unit = with_tank(kind, litres, shutoff);
            let d = run(
                &unit,
                &setting(),
                &Demand::between(asked, 8, 18),
                &CycleOptions::default(),
            );
            // Rounding over 1440 minutes.
            let balance = d.made_l - d.delivered_l - d.overflow_l - d.tank_change_l;
            assert!(
                balance.abs() < 1e-9 * (litres + d.made_l),
                "{kind:?} {asked}: {d:?}"
            );
            assert!((d.delivered_l + d.short_l - asked).abs() < 1e-6);
            assert!((d.feed_l - d.made_l - d.drain_l).abs() < 1e-9 * d.feed_l);
            assert!(d.made_l <= d.capacity_l * (1.0 + 1e-9));
            if shutoff == Shutoff::None {
                assert!((d.made_l / d.capacity_l - 1.0).abs() < 1e-9, "it never stops");
            }
        }
    }
}

#[test]
fn val_capacity_limits_what_is_delivered() {
    let unit = with_tank(TankKind::Open, 100.0, Shutoff::Float);
    let options = CycleOptions::default();
    let little = run(&unit, &setting(), &Demand::even(50.0), &options);
    assert!(little.short_l < 1e-9);
    // More asked than 24 h of running make: all of it is delivered and the rest is short.
    let much = run(
        &unit,
        &setting(),
        &Demand::even(2.0 * little.capacity_l),
        &options,
    );
    assert!((much.delivered_l / much.capacity_l - 1.0).abs() < 1e-6);
    assert!((much.short_l / much.capacity_l - 1.0).abs() < 1e-6);
    assert!((much.running_h - 24.0).abs() < 1e-9);
    // Running without a stop it makes its steady permeate.
    assert!((much.made_tds_mg_l / much.steady_tds_mg_l - 1.0).abs() < 1e-6);
}

#[test]
fn val_a_float_that_cycles_on_a_litre_fills_the_tank_with_salt() {
    // Model 2: sound membranes, and a float that cycles on a litre or two.
    let unit = with_tank(TankKind::Open, 200.0, Shutoff::Float);
    let demand = Demand::even(60.0);
    let narrow = run(
        &unit,
        &setting(),
        &demand,
        &CycleOptions {
            float_band_l: 1.0,
            ..CycleOptions::default()
        },
    );
    let wide = run(
        &unit,
        &setting(),
        &demand,
        &CycleOptions {
            float_band_l: 60.0,
            ..CycleOptions::default()
        },
    );
    assert!(
        narrow.starts > 40 && wide.starts <= 2,
        "{} {}",
        narrow.starts,
        wide.starts
    );
    assert!(narrow.delivered_tds_mg_l > 1.5 * narrow.steady_tds_mg_l);
    // Once a day 0.37 L as salty as the feed go into 60 L: 1.8 mg/L on 10.8.
    assert!(wide.delivered_tds_mg_l < 1.25 * wide.steady_tds_mg_l);
    // By salt balance: each start pushes out what diffused in the meantime. 15 %: the diffusion goes on from a permeate side
    // that is not quite flushed by a litre, and minutes are whole.
    let model = Model::new(&unit, Segments::default()).unwrap();
    let s = Standstill::of(&model, &model.parameters(), &setting(), &mut Workspace::new()).unwrap();
    let stood = (24.0 - narrow.running_h) / f64::from(narrow.starts);
    let excess = s.held_l * (s.after_standing(s.permeate_mg_l, stood) - s.permeate_mg_l);
    let expected = s.permeate_mg_l + excess * f64::from(narrow.starts) / narrow.made_l;
    assert!(
        (narrow.made_tds_mg_l / expected - 1.0).abs() < 0.15,
        "{} {expected}",
        narrow.made_tds_mg_l
    );
}

#[test]
fn val_energy_of_a_pump() {
    // `reference/check-values.md` 12.10: 8 L/min at 8 bar, efficiency 0.5, recovery 0.5: 0.888889 kWh/m3.
    let specific =
        |pressure_pa: f64, efficiency: f64, recovery: f64| pressure_pa / efficiency / recovery / 3.6e6;
    assert!((specific(8e5, 0.5, 0.5) - 0.888_889).abs() < 1e-6);
    let mut unit = with_tank(TankKind::Open, 100.0, Shutoff::None);
    let pump = StageKind::Pump {
        open_flow_l_h: 250.0,
        shutoff_kpa: 500.0,
    };
    unit.stages = vec![stage("booster", pump, None)];
    let setting = Setting::new(15.0, 200.0, 300.0);
    let model = Model::new(&unit, Segments::default()).unwrap();
    let point = model
        .solve(&model.parameters(), &setting, &mut Workspace::new())
        .unwrap();
    let d = run(&unit, &setting, &Demand::even(10.0), &CycleOptions::default());
    let expected = specific((point.membrane_pressure_kpa - 200.0) * 1e3, 0.5, point.recovery);
    // The same formula from the unit's own pressures: rounding.
    assert!((d.energy_kwh / (d.made_l / 1e3) / expected - 1.0).abs() < 1e-9);
}

#[test]
fn val_pressurised_tank_slows_and_stops_the_unit() {
    let unit = with_tank(
        TankKind::Pressurised { precharge_kpa: 50.0 },
        40.0,
        Shutoff::Pressure,
    );
    let model = Model::new(&unit, Segments::default()).unwrap();
    let d = run(&unit, &setting(), &Demand::even(60.0), &CycleOptions::default());
    assert!(d.starts > 1 && d.running_h < 24.0, "{d:?}");
    // It makes its 60 L more slowly than it would into an open tank, by the back pressure of at least half the feed's.
    assert!(d.made_l / d.running_h < 0.6 * d.capacity_l / 24.0);
    // Above 2/3 of the feed pressure it does not run at all.
    let full = Setting {
        permeate_pressure_kpa: 280.0,
        ..setting()
    };
    let closed = model.solve(&model.parameters(), &full, &mut Workspace::new());
    assert!(matches!(closed, Err(PredictError::ShutOff { .. })), "{closed:?}");
    let mut none = unit.clone();
    none.permeate.tank = None;
    let answer = day(
        &none,
        &model,
        &model.parameters(),
        &setting(),
        &Demand::even(60.0),
        &CycleOptions::default(),
        &mut Workspace::new(),
    );
    assert!(
        answer
            .unwrap_err()
            .to_string()
            .contains("unit.permeate.tank.volume")
    );
}
