//! What somebody reads at a unit, with instruments' errors, gaps and slips of the pen. Simulated.

use serde_json::{Map, Value, json};
use unit::{Model, Setting, TankKind, Unit, Workspace};

use super::dice::Dice;
use super::life::{Life, at, unit_on};
use super::plan::Feed;

/// All readings; of `count` of them, days between the visits too. None where no water would flow.
pub fn readings(
    dice: &mut Dice,
    unit: &Unit,
    model: &Model,
    life: &Life,
    feed: &Feed,
    count: u64,
) -> Option<Vec<Value>> {
    let last = life.visits.last().copied()?;
    let mut when = life.visits.clone();
    while (when.len() as u64) < count {
        when.push(1 + dice.below(last));
    }
    when.sort_unstable();
    let mut workspace = Workspace::new();
    // Half of an instrument's variance is alike in every reading.
    let half = 0.5_f64.sqrt();
    let gauge_kpa = dice.of(&[3.0, 5.0, 7.0, 7.0, 14.0]);
    let offsets = [0; 3].map(|_| dice.normal(gauge_kpa * half));
    let meters = [0; 2].map(|_| dice.normal(0.02 * half));
    let has = [
        dice.chance(0.95),
        dice.chance(0.85),
        dice.chance(0.8),
        dice.chance(0.75),
    ];
    let carbon_dioxide = dice.within(0.0, 2.5);
    let mut inlet = 0.0;
    let mut all = Vec::new();
    for day in when {
        let worn = &life.days[day];
        let own = unit_on(&life.own, unit, worn, true);
        let t = (feed.temperature(day as f64) + dice.normal(0.8)).max(0.5);
        inlet = 0.6 * inlet + dice.normal(0.04);
        let mg_l = feed.mg_l * worn.feed * dice.normal(0.05).exp();
        let mut setting = Setting::new(t, feed.inlet_kpa * f64::exp(inlet), mg_l);
        if let Some(TankKind::Pressurised { precharge_kpa }) = unit.permeate.tank.map(|tank| tank.kind) {
            setting.permeate_pressure_kpa = precharge_kpa * dice.within(1.0, 2.0);
        }
        let point = model.solve(&own, &setting, &mut workspace).ok()?;
        if point.permeate_flow_l_h < 0.1 {
            return None;
        }
        let mut one = Map::new();
        let mut put = |field: &str, value: f64, digits: f64| {
            one.insert(field.to_owned(), json!((value / digits).round() * digits));
        };
        put("feed_temperature", t + dice.normal(0.4), 0.1);
        for (i, (field, kpa)) in [
            ("inlet_pressure", setting.inlet_pressure_kpa),
            ("membrane_pressure", point.membrane_pressure_kpa),
            ("concentrate_pressure", point.concentrate_pressure_kpa),
        ]
        .into_iter()
        .enumerate()
        {
            if has[i] && dice.chance(0.95) {
                put(
                    field,
                    (kpa + offsets[i] + dice.normal(gauge_kpa * half)).max(1.0),
                    1.0,
                );
            }
        }
        if dice.chance(0.95) {
            put(
                "permeate_flow",
                point.permeate_flow_l_h * dice.normal(0.02).exp(),
                0.01,
            );
        }
        if dice.chance(0.9) {
            put(
                "concentrate_flow",
                point.concentrate_flow_l_h * dice.normal(0.02).exp(),
                0.1,
            );
        }
        if dice.chance(0.95) {
            let meter = |us: f64, own: f64, dice: &mut Dice| {
                us * (own + dice.normal(0.02 * half)).exp() + dice.normal(0.3)
            };
            put(
                "feed_conductivity",
                meter(mg_l / feed.ratio, meters[0], dice),
                1.0,
            );
            let us = point.permeate_tds_mg_l / feed.ratio + carbon_dioxide;
            put("permeate_conductivity", meter(us, meters[1], dice).max(0.1), 0.1);
        }
        if has[3] {
            put("permeate_total", worn.litres, 1.0);
        }
        one.insert("running_for".to_owned(), json!("25 min"));
        if dice.chance(0.03) {
            slip(dice, &mut one);
        }
        one.insert(
            "at".to_owned(),
            json!(at(day as f64 + dice.within(0.0, 0.1)).to_string()),
        );
        all.push(Value::Object(one));
    }
    Some(all)
}

/// A slip of the pen in one field.
fn slip(dice: &mut Dice, one: &mut Map<String, Value>) {
    let fields = [
        "permeate_flow",
        "concentrate_flow",
        "membrane_pressure",
        "feed_conductivity",
        "permeate_conductivity",
    ];
    let field = dice.of(&fields);
    if let Some(value) = one.get(field).and_then(Value::as_f64) {
        let factor = if field.ends_with("flow") {
            dice.of(&[0.1, 10.0, 0.264])
        } else {
            dice.of(&[0.1, 10.0, 0.5])
        };
        one.insert(field.to_owned(), json!(value * factor));
    }
}
