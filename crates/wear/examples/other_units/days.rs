//! A unit's life, day by day: what is drawn, what wears, what is changed, and what comes after if it is left alone. Simulated.

use std::f64::consts::TAU;

use jiff::Timestamp;
use serde_json::{Value, json};
use unit::{CapacityOf, Model, Parameter, Parameters, Setting, StageKind, TankKind, Unit, Workspace};

use crate::dice::Dice;
use crate::plan::Feed;

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
    /// Sediment filter: resistance over the clean cartridge's.
    pub loaded: f64,
    /// ln of this cartridge's clean resistance against the label's.
    pub cartridge: f64,
    /// Litres of what its capacity is stated of, and days, since the carbon was new.
    pub carbon_l: f64,
    pub carbon_d: f64,
    /// Days since the cartridge was new (washing does not renew it).
    pub sediment_d: f64,
    /// ln A, ln B and ln drop of the membranes against new ones of their kind.
    pub membranes: [f64; 3],
    /// How these elements differ from their rating, ln A and ln B.
    pub elements: [f64; 2],
    pub membranes_d: f64,
    /// ln of the restrictor's flow and of the pump's pressure against what they were.
    pub wander: [f64; 2],
    /// Feed's salt against what it was.
    pub feed: f64,
}

pub struct Life {
    pub now: f64,
    /// Days on which somebody comes.
    pub visits: Vec<f64>,
    /// Each day, up to now with what was done, later left alone.
    pub days: Vec<Worn>,
    /// A week after the newest membranes went in.
    pub week_old: Worn,
    /// What this unit is against its plan.
    pub own: Parameters,
    pub reference_feed_l_h: f64,
    done: Vec<(f64, &'static str, String)>,
    /// What was drawn, for whoever looks into a case.
    pub world: Value,
}

/// How one unit wears.
struct Rates {
    /// Rate of loading in a litre of feed, its law, how it differs between cartridges.
    sediment: f64,
    law: f64,
    uneven: f64,
    /// Rise of the membranes' resistance and of ln B in a year of usual use; what the channel's drop rises with that.
    fouling: f64,
    ageing: f64,
    channel: f64,
    compaction: f64,
    /// Powers of time: straight, or bent.
    bend: f64,
    /// What oxidant does to B for each 1000 mg/L h (`model.md` 5).
    oxidant: f64,
    wander: [f64; 2],
    /// Litres that a year of usual use makes.
    year_l: f64,
}

/// `dr/dV = k r^n` from `r`, a little volume later.
fn load(r: f64, kv: f64, n: f64) -> f64 {
    let power = 1.0 - n;
    if power.abs() < 1e-9 {
        return r * kv.exp();
    }
    let inside = r.powf(power) + power * kv;
    if inside <= 1e-6 {
        1e3
    } else {
        inside.powf(1.0 / power).min(1e3)
    }
}

impl Life {
    pub fn draw(dice: &mut Dice, unit: &Unit, model: &Model, feed: &Feed) -> Option<Self> {
        let mut own = model.parameters();
        let mut move_by = |parameter: Parameter, by: f64| {
            let before = own.get(parameter).unwrap_or(0.0);
            let _has = own.set(parameter, before + by);
        };
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
        let new = model
            .solve(
                &own,
                &Setting::new(feed.mean_c, feed.inlet_kpa, feed.mg_l),
                &mut Workspace::new(),
            )
            .ok()?;
        if new.permeate_flow_l_h < 0.5 || !(0.05..0.75).contains(&new.recovery) {
            return None;
        }
        let usual_l_d = unit.use_permeate_l_d? * dice.normal(0.2).exp();
        let clean = unit.stages[0].clean_drop?;
        let clean_kpa = clean.pressure_kpa / clean.flow_l_h * new.feed_flow_l_h;
        let limit = unit.stages[0].limit.pressure_drop_kpa? / clean_kpa;
        if limit < 1.5 {
            return None;
        }
        let law = dice.of(&[0.0, 1.0, 1.5, 2.0]);
        let years = dice.log_within(0.1, 3.0);
        let year_l = 365.25 * usual_l_d;
        let mut whole = 0.0;
        while load(1.0, whole, law) < limit {
            whole += 0.002;
        }
        let rates = Rates {
            sediment: whole / (years * year_l / new.recovery),
            law,
            uneven: 0.25,
            fouling: dice.log_within(0.01, 0.25),
            ageing: dice.log_within(0.02, 0.35),
            channel: dice.log_within(0.2, 2.5),
            compaction: dice.within(0.0, 0.012),
            bend: dice.of(&[0.8, 1.0, 1.0, 1.25]),
            oxidant: dice.normal(0.7).exp(),
            wander: [0, 1].map(|_| if dice.chance(0.25) { dice.normal(0.05) } else { 0.0 }),
            year_l,
        };
        let mut life = Self {
            now: 0.0,
            visits: Vec::new(),
            days: Vec::new(),
            week_old: Worn::default(),
            own,
            reference_feed_l_h: new.feed_flow_l_h,
            done: Vec::new(),
            world: json!({"law": law, "filter_years": years, "limit_over_clean": limit, "fouling": rates.fouling,
                          "ageing": rates.ageing, "wander": rates.wander, "bend": rates.bend}),
        };
        life.span(dice);
        life.live(dice, unit, model, feed, &rates, limit);
        Some(life)
    }

    /// When readings were taken, and now; [`crate::read`] takes more of them in between.
    fn span(&mut self, dice: &mut Dice) {
        let years = dice.within(1.2, 6.0);
        let mut day = 1.0;
        while day < 365.25 * years {
            self.visits.push(day);
            day += dice.log_within(10.0, 84.0).round();
        }
        self.now = self.visits.last().copied().unwrap_or(1.0) + dice.within(1.0, 45.0).round();
    }

    fn live(&mut self, dice: &mut Dice, unit: &Unit, model: &Model, feed: &Feed, rates: &Rates, limit: f64) {
        let StageKind::Carbon {
            capacity: Some(capacity),
            bed_volume_l,
            ..
        } = &unit.stages[1].kind
        else {
            return;
        };
        let mut workspace = Workspace::new();
        let (mut feed_per_permeate, mut feed_l_h) = (1.0, self.reference_feed_l_h);
        let pleated = matches!(
            unit.stages[0].kind,
            StageKind::Sediment {
                media: unit::SedimentMedia::Pleated
            }
        );
        let mut worn = Worn {
            loaded: 1.0,
            feed: 1.0,
            ..Worn::default()
        };
        worn.elements = [dice.normal(0.08), dice.normal(0.25)];
        worn.cartridge = dice.normal(0.06);
        let mut own_rate = dice.normal(0.25).exp();
        let (mut more, mut dirt, mut exposure, mut fouled, mut years) =
            (0.0_f64, 0.0_f64, 0.0_f64, 0.0_f64, 0.0_f64);
        let (swing, turn, growth) = (dice.within(0.0, 0.35), dice.within(0.0, TAU), dice.normal(0.06));
        let feed_change = if dice.chance(0.12) {
            dice.within(200.0, self.now)
        } else {
            f64::INFINITY
        };
        let mut dirtier = 1.0;
        // 1/min of free chlorine in empty-bed contact time (`model.md` 5).
        let removal = 14.0 * dice.normal(0.7).exp();
        let mut next = [
            dice.log_within(0.3, 1.4),
            dice.log_within(0.5, 1.3),
            dice.log_within(0.6, 1.6),
        ];
        let mut washed = 0;
        let mut visits = self.visits.clone().into_iter().peekable();
        let mut cleaned = 0.0;
        for day in 0..self.now as usize + HORIZON {
            let d = day as f64;
            self.days.push(worn);
            if worn.membranes_d == 7.0 {
                self.week_old = worn;
            }
            if d < self.now && visits.next_if(|visit| *visit <= d).is_some() {
                let full = ((worn.loaded - 1.0) / (limit - 1.0)).max(0.0);
                if full > next[0] {
                    next[0] = dice.log_within(0.3, 1.4);
                    let left = 1.0 + dice.within(0.1, 0.35) * (worn.loaded - 1.0);
                    if pleated && washed < 3 && left < 0.5 * limit {
                        washed += 1;
                        worn.loaded = left;
                        self.done.push((d, "cleaned", "sediment".to_owned()));
                    } else {
                        washed = 0;
                        (worn.loaded, worn.sediment_d) = (1.0, 0.0);
                        worn.cartridge = dice.normal(0.06);
                        own_rate = dice.normal(0.25).exp();
                        self.done.push((d, "changed", "sediment".to_owned()));
                    }
                }
                if (worn.carbon_l / capacity.volume_l).max(worn.carbon_d / 365.0) > next[1] {
                    next[1] = dice.log_within(0.5, 1.3);
                    (worn.carbon_l, worn.carbon_d) = (0.0, 0.0);
                    self.done.push((d, "changed", "carbon".to_owned()));
                }
                let lost = [
                    (1.0 - worn.membranes[0].exp()) / unit.limits.permeate_flow_drop,
                    (worn.membranes[1].exp() - 1.0) / unit.limits.salt_passage_rise,
                    (worn.membranes[2].exp() - 1.0) / unit.limits.pressure_drop_rise,
                ];
                if lost.into_iter().fold(0.0, f64::max) > next[2] {
                    next[2] = dice.log_within(0.6, 1.6);
                    (exposure, fouled, years, cleaned) = (0.0, 0.0, 0.0, 0.0);
                    worn.membranes = [0.0; 3];
                    worn.membranes_d = 0.0;
                    worn.elements = [dice.normal(0.08), dice.normal(0.25)];
                    for element in &unit.membranes.elements {
                        self.done.push((d, "changed", element.id.clone()));
                    }
                } else if lost[0].max(lost[2]) > 0.5 && d - cleaned > 300.0 && dice.chance(0.2) {
                    cleaned = d;
                    fouled *= 1.0 - dice.within(0.2, 0.8);
                    for element in &unit.membranes.elements {
                        self.done.push((d, "cleaned", element.id.clone()));
                    }
                }
            }
            if d >= feed_change && dirtier == 1.0 {
                (dirtier, worn.feed) = (dice.normal(0.5).exp(), dice.normal(0.25).exp());
                self.done.push((d, "feed_changed", String::new()));
            }
            if day % 14 == 0 {
                let t = feed.temperature(d);
                let mut setting = Setting::new(t, feed.inlet_kpa, feed.mg_l * worn.feed);
                if let Some(TankKind::Pressurised { precharge_kpa }) =
                    unit.permeate.tank.map(|tank| tank.kind)
                {
                    setting.permeate_pressure_kpa = 1.5 * precharge_kpa;
                }
                if let Ok(point) = model.solve(&self.unit_on(unit, &worn, true), &setting, &mut workspace) {
                    feed_l_h = point.feed_flow_l_h;
                    feed_per_permeate = feed_l_h / point.permeate_flow_l_h.max(0.01);
                }
            }
            // A day's water: a use that wanders about a yearly swing and may grow.
            more = 0.975 * more + dice.normal(0.05);
            dirt = 0.95 * dirt + dice.normal(0.12);
            let season = 1.0 + swing * (TAU * d / 365.25 + turn).cos();
            let made = rates.year_l / 365.25 * season * (more + growth * d / 365.25).exp();
            let weekend = if day % 7 >= 5 { 0.6 } else { 1.16 };
            let made = made * weekend;
            worn.litres += made;
            worn.carbon_l += match capacity.of {
                CapacityOf::Permeate => made,
                CapacityOf::Feed => made * feed_per_permeate,
            };
            worn.carbon_d += 1.0;
            worn.sediment_d += 1.0;
            worn.membranes_d += 1.0;
            let kv = rates.sediment
                * own_rate
                * dirtier
                * (rates.uneven * dirt / 0.4).exp()
                * made
                * feed_per_permeate;
            // A blocked filter passes no more dirt.
            worn.loaded = load(worn.loaded, kv, rates.law).min(4.0 * limit);
            fouled += rates.fouling * dirtier * made / rates.year_l;
            years += made / rates.year_l;
            // What tired carbon lets through while water flows (`model.md` 5); renewed in time from now on.
            if d < self.now {
                let hours = made * feed_per_permeate / feed_l_h;
                let left = (1.0 - worn.carbon_l / capacity.volume_l).max(0.0);
                let minutes = bed_volume_l.map_or(1.0, |bed| 60.0 * bed / feed_l_h);
                exposure += feed.chlorine * hours * (-removal * minutes * left).exp();
            }
            let oxidised = 1.0 + rates.oxidant * exposure / 1000.0;
            let fouling = fouled.powf(rates.bend);
            worn.membranes = [
                0.1 * oxidised.ln() - (1.0 + fouling).ln() - rates.compaction * (worn.membranes_d + 1.0).ln(),
                oxidised.ln() + (rates.ageing * years.powf(rates.bend)).ln_1p(),
                (1.0 + rates.channel * fouling).ln(),
            ];
            if d < self.now {
                for (wander, rate) in worn.wander.iter_mut().zip(rates.wander) {
                    *wander += rate / 365.25;
                }
            }
        }
    }

    pub fn on(&self, day: f64) -> Worn {
        self.days[(day as usize).min(self.days.len() - 1)]
    }

    /// The unit with its membranes as on a day; `whole`: with its filter, restrictor and pump too.
    pub fn unit_on(&self, unit: &Unit, worn: &Worn, whole: bool) -> Parameters {
        let mut now = self.own.clone();
        let mut move_by = |parameter: Parameter, by: f64| {
            let before = now.get(parameter).unwrap_or(0.0);
            let _has = now.set(parameter, before + by);
        };
        for i in 0..unit.membranes.elements.len() {
            move_by(
                Parameter::WaterPermeability(i),
                worn.elements[0] + worn.membranes[0],
            );
            move_by(
                Parameter::SaltPermeability(i),
                worn.elements[1] + worn.membranes[1],
            );
            move_by(Parameter::ElementDrop(i), worn.membranes[2]);
        }
        if whole {
            move_by(Parameter::StageDrop(0), worn.cartridge + worn.loaded.ln());
            move_by(Parameter::Restrictor, worn.wander[0]);
            move_by(Parameter::PumpPressure(2), worn.wander[1]);
        }
        now
    }

    /// What was put in on the first day, and what was done since.
    pub fn events(&self, unit: &Unit) -> Vec<Value> {
        let stages = unit.stages.iter().map(|stage| &stage.id);
        let parts = stages.chain(unit.membranes.elements.iter().map(|element| &element.id));
        let installed =
            parts.map(|part| json!({"at": at(0.0).to_string(), "kind": "installed", "part": part}));
        let done = self.done.iter().map(|(day, kind, part)| {
            let mut event = json!({"at": at(day + 0.2).to_string(), "kind": kind});
            if !part.is_empty() {
                event["part"] = json!(part);
            }
            event
        });
        installed.chain(done).collect()
    }
}
