//! A unit's life, day by day: up to now as it went, later as it goes if it is left alone. Simulated.

use jiff::Timestamp;
use serde_json::{Value, json};
use unit::{Model, Parameter, Parameters, Setting, Unit, Workspace};

use super::dice::Dice;
use super::plan::Feed;
use super::run::{Rates, Run};

/// Days after now to which everything is followed: ten years.
pub const HORIZON: usize = 3653;

pub fn at(day: f64) -> Timestamp {
    wear::lives::after("2018-03-01T08:00:00Z".parse().unwrap(), day)
}

/// What is worn on a day.
#[derive(Clone, Copy, Default)]
pub struct Worn {
    /// Litres of permeate since the first day.
    pub litres: f64,
    /// Sediment filter: resistance over the clean cartridge's; days since that was new (washing does not renew it).
    pub loaded: f64,
    pub sediment_d: u32,
    /// ln of this cartridge's clean resistance against the label's.
    pub cartridge: f64,
    /// Litres of what its capacity is stated of, and days, since the carbon was new.
    pub carbon_l: f64,
    pub carbon_d: u32,
    /// ln A, ln B and ln drop of the membranes against new ones of their kind, and days since they were.
    pub membranes: [f64; 3],
    pub membranes_d: u32,
    /// How these elements differ from their rating, ln A and ln B.
    pub elements: [f64; 2],
    /// ln of the restrictor's flow and of the pump's pressure against what they were.
    pub wander: [f64; 2],
    /// Feed's salt against what it was.
    pub feed: f64,
}

/// What happened and will.
pub struct Life {
    /// Day of the question.
    pub now: usize,
    /// Days on which somebody came.
    pub visits: Vec<usize>,
    /// Each day's state before anything is done on it.
    pub days: Vec<Worn>,
    /// A week after the newest membranes went in.
    pub week_old: Worn,
    /// What this unit is against its plan.
    pub own: Parameters,
    pub reference_feed_l_h: f64,
    /// Day, kind and part of what was done.
    pub done: Vec<(usize, &'static str, String)>,
    /// What was drawn, for whoever looks into a case.
    pub world: Value,
}

impl Life {
    /// None where a unit makes no water or its filter is too small.
    pub fn draw(dice: &mut Dice, unit: &Unit, model: &Model, feed: &Feed) -> Option<Self> {
        let own = own(dice, unit, model);
        let setting = Setting::new(feed.mean_c, feed.inlet_kpa, feed.mg_l);
        let new = model.solve(&own, &setting, &mut Workspace::new()).ok()?;
        if new.permeate_flow_l_h < 0.5 || !(0.05..0.75).contains(&new.recovery) {
            return None;
        }
        let clean = unit.stages[0].clean_drop?;
        let clean_kpa = clean.pressure_kpa / clean.flow_l_h * new.feed_flow_l_h;
        let limit = unit.stages[0].limit.pressure_drop_kpa? / clean_kpa;
        if limit < 1.5 {
            return None;
        }
        let rates = Rates::draw(dice, unit.use_permeate_l_d?, new.recovery, limit);
        let years = dice.within(1.2, 6.0);
        let mut visits = Vec::new();
        let mut day = 1;
        while (day as f64) < 365.25 * years {
            visits.push(day);
            day += whole(dice.log_within(10.0, 84.0));
        }
        let now = visits.last()? + whole(dice.within(1.0, 45.0));
        let mut life = Self {
            now,
            visits,
            days: Vec::new(),
            week_old: Worn::default(),
            own,
            reference_feed_l_h: new.feed_flow_l_h,
            done: Vec::new(),
            world: rates.told(),
        };
        Run::new(dice, unit, model, feed, &rates, &life)?.go(dice, &mut life);
        Some(life)
    }

    /// What was put in on the first day, and what was done since.
    pub fn events(&self, unit: &Unit) -> Vec<Value> {
        let stages = unit.stages.iter().map(|stage| &stage.id);
        let parts = stages.chain(unit.membranes.elements.iter().map(|element| &element.id));
        let installed =
            parts.map(|part| json!({"at": at(0.0).to_string(), "kind": "installed", "part": part}));
        let done = self.done.iter().map(|(day, kind, part)| {
            let mut event = json!({"at": at(*day as f64 + 0.2).to_string(), "kind": kind});
            if !part.is_empty() {
                event["part"] = json!(part);
            }
            event
        });
        installed.chain(done).collect()
    }
}

/// A whole number of days, one at least.
pub fn whole(days: f64) -> usize {
    let mut whole = 1;
    while (whole as f64) < days - 0.5 {
        whole += 1;
    }
    whole
}

/// What this unit is against its plan (`model.md` 2; the other spreads are common practice, no source).
fn own(dice: &mut Dice, unit: &Unit, model: &Model) -> Parameters {
    let mut own = model.parameters();
    let mut move_by = |parameter: Parameter, by: f64| moved(&mut own, parameter, by);
    move_by(Parameter::TemperatureCoefficient, dice.normal(0.003));
    move_by(Parameter::MassTransfer, dice.normal(0.25));
    move_by(Parameter::Restrictor, dice.normal(0.08));
    for i in 0..unit.membranes.elements.len() {
        move_by(Parameter::WaterPermeability(i), dice.normal(0.03));
        move_by(Parameter::SaltPermeability(i), dice.normal(0.08));
        move_by(Parameter::ElementDrop(i), dice.normal(0.15));
    }
    for i in 1..unit.stages.len() {
        move_by(Parameter::StageDrop(i), dice.normal(0.1));
        move_by(Parameter::PumpPressure(i), dice.normal(0.05));
        move_by(Parameter::PumpFlow(i), dice.normal(0.05));
    }
    own
}

/// The unit with its membranes as on a day; `all`: with its filter, restrictor and pump too.
pub fn unit_on(own: &Parameters, unit: &Unit, worn: &Worn, all: bool) -> Parameters {
    let mut now = own.clone();
    for i in 0..unit.membranes.elements.len() {
        let [water, salt] = worn.elements;
        moved(
            &mut now,
            Parameter::WaterPermeability(i),
            water + worn.membranes[0],
        );
        moved(&mut now, Parameter::SaltPermeability(i), salt + worn.membranes[1]);
        moved(&mut now, Parameter::ElementDrop(i), worn.membranes[2]);
    }
    if all {
        moved(
            &mut now,
            Parameter::StageDrop(0),
            worn.cartridge + worn.loaded.ln(),
        );
        moved(&mut now, Parameter::Restrictor, worn.wander[0]);
        moved(&mut now, Parameter::PumpPressure(2), worn.wander[1]);
    }
    now
}

fn moved(parameters: &mut Parameters, parameter: Parameter, by: f64) {
    let before = parameters.get(parameter).unwrap_or(0.0);
    let _has = parameters.set(parameter, before + by);
}
