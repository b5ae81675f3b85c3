//! A feed and a unit drawn at random. Simulated.

use std::f64::consts::TAU;

use serde_json::{Value, json};

use super::dice::Dice;

/// The water that comes in.
pub struct Feed {
    pub mg_l: f64,
    /// mg/L per uS/cm.
    pub ratio: f64,
    pub mean_c: f64,
    pub swing_c: f64,
    pub inlet_kpa: f64,
    pub turbidity: f64,
    pub sdi: f64,
    pub chlorine: f64,
}

impl Feed {
    pub fn draw(dice: &mut Dice) -> Self {
        Self {
            mg_l: dice.log_within(60.0, 1500.0),
            ratio: dice.within(0.46, 0.56),
            mean_c: dice.within(8.0, 24.0).round(),
            swing_c: dice.within(1.0, 8.0),
            inlet_kpa: dice.within(250.0, 520.0),
            turbidity: (100.0 * dice.log_within(0.1, 2.0)).round() / 100.0,
            sdi: (10.0 * dice.within(1.0, 5.0)).round() / 10.0,
            chlorine: (100.0 * dice.within(0.0, 1.5)).round() / 100.0,
        }
    }

    /// On a day of the year, without the weather.
    pub fn temperature(&self, day: f64) -> f64 {
        (self.mean_c - self.swing_c * (TAU * (day - 20.0) / 365.25).cos()).max(1.0)
    }
}

/// The sizes drawn, with the area, m2, that an element's rated flow is drawn by.
const SIZES: [(&str, f64); 6] = [
    ("1812", 0.45),
    ("2012", 0.6),
    ("3012", 1.3),
    ("2521", 1.1),
    ("2540", 2.6),
    ("4021", 3.3),
];

/// A unit as its plan says, in the form of `contract.md` 3.
pub fn draw(dice: &mut Dice, feed: &Feed, number: usize) -> Value {
    let (size, area) = dice.of(&SIZES);
    let n = dice.of(&[1, 1, 1, 2, 2, 3, 4]);
    let pump = feed.mg_l > 800.0 || dice.chance(0.55);
    let at = if feed.mg_l > 800.0 {
        689.0
    } else {
        dice.of(&[345.0, 414.0, 448.0, 689.0])
    };
    let rated = area * dice.within(18.0, 34.0);
    let permeate = rated * f64::from(n);
    let recovery = dice.within(0.15, 0.5);
    let concentrate = permeate * (1.0 - recovery) / recovery;
    let feed_l_h = permeate + concentrate;
    let round = |value: f64| (10.0 * value).round() / 10.0;
    let limit = dice.of(&[30.0, 40.0, 50.0, 60.0, 80.0]);
    let mut stages = vec![json!({
        "id": "sediment", "kind": "sediment", "media": dice.of(&["spun", "spun", "pleated"]),
        "clean_drop": {"pressure": round(dice.log_within(2.0, 14.0)), "flow": round(feed_l_h)},
        "limit": {"pressure_drop": limit},
    })];
    if dice.chance(0.25) {
        stages[0]["limit"]["age"] = json!("365 d");
    }
    let l_d = permeate * dice.within(1.5, 8.0);
    let of = dice.of(&["feed", "permeate"]);
    let share = if of == "feed" { 1.0 / recovery } else { 1.0 };
    stages.push(json!({
        "id": "carbon", "kind": "carbon", "media": dice.of(&["activated", "catalytic"]),
        "clean_drop": {"pressure": round(dice.log_within(1.0, 8.0)), "flow": round(feed_l_h)},
        "bed_volume": format!("{} L", round(feed_l_h / 60.0)),
        "capacity": {"volume": format!("{:.0} L", 1e3 * (l_d * share * dice.log_within(150.0, 700.0) / 1e3).ceil()), "of": of},
        "rinse": "40 L", "limit": {"age": "365 d"},
    }));
    if pump {
        stages.push(json!({
            "id": "booster", "kind": "pump", "open_flow": round(feed_l_h * dice.within(1.5, 3.5)),
            "shutoff_pressure": round(at * dice.within(0.7, 1.4)),
        }));
    }
    // Each element may have been rated with another test water.
    let tests: Vec<u32> = (0..n).map(|_| dice.of(&[500, 1000])).collect();
    let tank = if dice.chance(0.2) {
        json!({"kind": "pressurised", "volume": "40 L", "precharge": 50})
    } else {
        json!({"kind": "open", "volume": "400 L"})
    };
    let arrangement = dice.of(&["series", "parallel"]);
    let restrictor = dice.of(&["capillary", "orifice"]);
    let shutoff = if dice.chance(0.8) { "float" } else { "pressure" };
    let rejection = (1000.0 * dice.within(0.94, 0.99)).round() / 1000.0;
    let elements: Vec<Value> = (1..)
        .zip(tests)
        .map(|(i, tds)| {
            json!({"id": format!("membrane-{i}"), "size": size, "rated": {
                "flow": round(rated), "rejection": rejection, "pressure": at, "temperature": 25, "tds": tds}})
        })
        .collect();
    let mut plan = json!({
        "id": format!("ou-{number}"), "name": format!("Unit {number}"), "stages": stages,
        "membranes": {"arrangement": arrangement, "elements": elements},
        "concentrate": {"restrictor": {"flow": round(concentrate), "at": at, "kind": restrictor}, "flush_valve": false},
        "permeate": {"check_valve": true, "shutoff": shutoff, "tank": tank},
        "commissioned": "2018-03-01", "use": {"permeate_per_day": format!("{l_d:.0} L")},
    });
    if dice.chance(0.6) {
        plan["limits"] = json!({
            "permeate_flow_drop": dice.of(&[0.1, 0.15, 0.25]), "salt_passage_rise": dice.of(&[0.4, 0.5, 0.75]),
            "pressure_drop_rise": 0.5});
    }
    plan
}
