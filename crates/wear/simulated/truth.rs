//! What truly becomes of a unit's parts: the first day on which each meets a limit, left alone. Simulated.

use reading::{Field, Reading};
use serde_json::{Value, json};
use unit::{Model, Setting, StageKind, Unit, Workspace};
use wear::{History, standardise};

use super::life::{HORIZON, Life, Worn, at, unit_on};
use super::plan::Feed;

/// Flow, salt passage and drop on a day against a week-old membrane, as ASTM D4516 shows them without any error.
fn relative(unit: &Unit, model: &Model, life: &Life, feed: &Feed, worn: &Worn) -> Option<[f64; 3]> {
    let mut workspace = Workspace::new();
    let setting = Setting::new(feed.mean_c, feed.inlet_kpa, feed.mg_l);
    let mut read = |day: f64, worn: &Worn| {
        let point = model
            .solve(&unit_on(&life.own, unit, worn, false), &setting, &mut workspace)
            .ok()?;
        let us = 1.0 / feed.ratio;
        Some(
            Reading::new(at(day))
                .with(Field::FeedTemperature, feed.mean_c)
                .with(Field::InletPressure, feed.inlet_kpa)
                .with(Field::MembranePressure, point.membrane_pressure_kpa)
                .with(Field::ConcentratePressure, point.concentrate_pressure_kpa)
                .with(Field::PermeatePressure, 0.0)
                .with(Field::PermeateFlow, point.permeate_flow_l_h)
                .with(Field::ConcentrateFlow, point.concentrate_flow_l_h)
                .with(Field::FeedConductivity, feed.mg_l * us)
                .with(Field::PermeateConductivity, point.permeate_tds_mg_l * us)
                .with(Field::RunningFor, 30.0),
        )
    };
    let readings = [read(7.0, &life.week_old)?, read(100.0, worn)?];
    let history = History {
        unit,
        water: None,
        readings: &readings,
        events: &[],
    };
    let told = standardise(&history);
    // Against the first of them itself: a baseline is made of what is known besides.
    let [then, now] = [0, 1].map(|i| {
        told.readings
            .get(i)
            .and_then(|reading| reading.standardised.as_ref())
    });
    let (then, now) = (then?, now?);
    Some([
        now.permeate_l_h / then.permeate_l_h,
        now.salt_passage / then.salt_passage,
        (worn.membranes[2] - life.week_old.membranes[2]).exp(),
    ])
}

/// `truth` of the case.
pub fn parts(unit: &Unit, model: &Model, life: &Life, feed: &Feed) -> Option<Value> {
    let days = &life.days[life.now..];
    if days.first()?.membranes_d < 8 {
        return None;
    }
    let first = |is: &dyn Fn(&Worn) -> bool| days.iter().position(is);
    // Sediment.
    let stage = &unit.stages[0];
    let clean = stage.clean_drop?;
    let clean_kpa = clean.pressure_kpa / clean.flow_l_h * life.reference_feed_l_h;
    let limit = stage.limit.pressure_drop_kpa?;
    let by_drop = first(&|worn| clean_kpa * worn.cartridge.exp() * worn.loaded >= limit);
    let by_age = stage
        .limit
        .age_d
        .and_then(|age| first(&|worn| f64::from(worn.sediment_d) >= age));
    let mut parts = vec![part(
        "sediment",
        std::slice::from_ref(&stage.id),
        &[("pressure_drop", by_drop), ("age", by_age)],
        life.now,
    )];
    // Carbon.
    let StageKind::Carbon { capacity, .. } = &unit.stages[1].kind else {
        return None;
    };
    let capacity = capacity.as_ref()?;
    let by_volume = first(&|worn| worn.carbon_l >= capacity.volume_l);
    let by_age = first(&|worn| worn.carbon_d >= 365);
    parts.push(part(
        "carbon",
        std::slice::from_ref(&unit.stages[1].id),
        &[("volume", by_volume), ("age", by_age)],
        life.now,
    ));
    // Membranes: wear only goes on, so that halving finds the day.
    let limits = [
        ("permeate_flow_drop", 1.0 - unit.limits.permeate_flow_drop),
        ("salt_passage_rise", 1.0 + unit.limits.salt_passage_rise),
        ("pressure_drop_rise", 1.0 + unit.limits.pressure_drop_rise),
    ];
    let met = |day: usize, which: usize| {
        let shown = relative(unit, model, life, feed, &days[day])?;
        Some(if which == 0 {
            shown[0] <= limits[0].1
        } else {
            shown[which] >= limits[which].1
        })
    };
    let mut crossings = Vec::new();
    for (which, (name, _)) in limits.iter().enumerate() {
        let (mut low, mut high) = (0, days.len() - 1);
        let crossing = if met(0, which)? {
            Some(0)
        } else if met(high, which)? {
            while high - low > 1 {
                let middle = usize::midpoint(low, high);
                if met(middle, which)? {
                    high = middle;
                } else {
                    low = middle;
                }
            }
            Some(high)
        } else {
            None
        };
        crossings.push((*name, crossing));
    }
    let ids: Vec<String> = unit
        .membranes
        .elements
        .iter()
        .map(|element| element.id.clone())
        .collect();
    parts.push(part("membrane", &ids, &crossings, life.now));
    let now = relative(unit, model, life, feed, &days[0])?;
    let drop_kpa = clean_kpa * days[0].cartridge.exp() * days[0].loaded;
    Some(json!({"parts": parts, "relative_now": now, "drop_now_kpa": drop_kpa}))
}

/// One kind of part, by the first of its limits.
fn part(kind: &str, ids: &[String], limits: &[(&str, Option<usize>)], now: usize) -> Value {
    let met = limits.iter().filter_map(|(name, day)| Some((*name, (*day)?)));
    let (name, day) = met
        .min_by_key(|(_, day)| *day)
        .map_or((limits[0].0, None), |(name, day)| (name, Some(day)));
    let overdue = day == Some(0);
    let day = day.filter(|day| *day > 0 && *day < HORIZON - 1);
    json!({
        "kind": kind, "ids": ids, "limit": name, "due_at": day.map(|day| at((now + day) as f64).to_string()), "days": day,
        "overdue": overdue, "beyond_ten_years": day.is_none() && !overdue,
    })
}
