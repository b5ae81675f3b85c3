//! How a unit wears from one day to the next, and what is done at a visit. Simulated.

use std::f64::consts::TAU;

use serde_json::{Value, json};
use unit::{CapacityOf, Model, SedimentMedia, Setting, StageKind, TankKind, Unit, Workspace};

use super::dice::Dice;
use super::life::{HORIZON, Life, Worn, unit_on};
use super::plan::Feed;

/// Days between the times at which the unit is solved for how much feed a litre of permeate takes.
const SOLVED: usize = 14;

/// How one unit wears, drawn once.
pub struct Rates {
    /// Rate of loading by a litre of feed, and Hermia's exponent of its law.
    sediment: f64,
    law: f64,
    /// The filter's limit over its clean drop.
    limit: f64,
    /// Rise of the membranes' resistance and of B in a year of usual use, and of the channel's drop with the first.
    fouling: f64,
    ageing: f64,
    channel: f64,
    compaction: f64,
    /// Power of time by which membranes wear.
    bend: f64,
    /// What oxidant does to B against 1/1000 for each mg/L h, and the carbon's removal in 1/min (`model.md` 5).
    oxidant: f64,
    removal: f64,
    /// Wander of restrictor and pump in a year.
    wander: [f64; 2],
    /// Usual litres a day, their yearly swing with its turn, their growth in a year.
    usual_l_d: f64,
    swing: f64,
    turn: f64,
    growth: f64,
}

impl Rates {
    /// For a stated use, the recovery when new, and the filter's limit over its clean drop.
    pub fn draw(dice: &mut Dice, stated_l_d: f64, recovery: f64, limit: f64) -> Self {
        let usual_l_d = stated_l_d * dice.normal(0.2).exp();
        let law = dice.of(&[0.0, 1.0, 1.5, 2.0]);
        // The volume to the limit, told in the law's own unit.
        let mut volume = 0.0;
        while load(1.0, volume, law) < limit {
            volume += 0.002;
        }
        let years = dice.log_within(0.1, 3.0);
        Self {
            sediment: volume / (years * 365.25 * usual_l_d / recovery),
            law,
            limit,
            fouling: dice.log_within(0.01, 0.25),
            ageing: dice.log_within(0.02, 0.35),
            channel: dice.log_within(0.2, 2.5),
            compaction: dice.within(0.0, 0.012),
            bend: dice.of(&[0.8, 1.0, 1.0, 1.25]),
            oxidant: dice.normal(0.7).exp(),
            removal: 14.0 * dice.normal(0.7).exp(),
            wander: [0, 1].map(|_| if dice.chance(0.25) { dice.normal(0.05) } else { 0.0 }),
            usual_l_d,
            swing: dice.within(0.0, 0.35),
            turn: dice.within(0.0, TAU),
            growth: dice.normal(0.06),
        }
    }
}

impl Rates {
    /// For whoever looks into a case.
    pub fn told(&self) -> Value {
        json!({
            "law": self.law, "limit": self.limit, "fouling": self.fouling, "ageing": self.ageing, "channel": self.channel,
            "compaction": self.compaction, "bend": self.bend, "oxidant": self.oxidant, "removal": self.removal,
            "wander": self.wander, "usual_l_d": self.usual_l_d, "swing": self.swing, "growth": self.growth,
        })
    }
}

/// `dr/dV = k r^n` from `r`, after so much of `k V`.
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

/// What the days hand on to each other.
pub struct Run<'a> {
    unit: &'a Unit,
    model: &'a Model,
    feed: &'a Feed,
    rates: &'a Rates,
    capacity: (f64, CapacityOf),
    bed_l: f64,
    worn: Worn,
    /// This cartridge's rate against the usual, and how often it was washed.
    cartridge_rate: f64,
    washed: u32,
    /// Of these membranes: fouling, years of usual use, exposure in mg/L h, day of the last cleaning.
    fouled: f64,
    years: f64,
    exposure: f64,
    cleaned: usize,
    /// ln of use against the usual, and of the dirt against its share: both wander.
    use_now: f64,
    dirt_now: f64,
    /// The day on which the feed changes, and the dirt after it against before.
    feed_change: usize,
    dirtier: f64,
    /// Shares of their limits at which filter, carbon and membranes will be seen to next.
    next: [f64; 3],
    feed_per_permeate: f64,
    feed_l_h: f64,
    workspace: Workspace,
}

impl<'a> Run<'a> {
    pub fn new(
        dice: &mut Dice,
        unit: &'a Unit,
        model: &'a Model,
        feed: &'a Feed,
        rates: &'a Rates,
        life: &Life,
    ) -> Option<Self> {
        let StageKind::Carbon {
            capacity: Some(capacity),
            bed_volume_l: Some(bed_l),
            ..
        } = &unit.stages[1].kind
        else {
            return None;
        };
        let mut run = Self {
            unit,
            model,
            feed,
            rates,
            capacity: (capacity.volume_l, capacity.of),
            bed_l: *bed_l,
            worn: Worn {
                feed: 1.0,
                ..Worn::default()
            },
            cartridge_rate: 1.0,
            washed: 0,
            fouled: 0.0,
            years: 0.0,
            exposure: 0.0,
            cleaned: 0,
            use_now: 0.0,
            dirt_now: 0.0,
            feed_change: usize::MAX,
            dirtier: 1.0,
            next: [0.0; 3],
            feed_per_permeate: 1.0,
            feed_l_h: life.reference_feed_l_h,
            workspace: Workspace::new(),
        };
        if dice.chance(0.12) {
            run.feed_change = 200 + dice.below(life.now.saturating_sub(200).max(1));
        }
        run.new_cartridge(dice);
        run.new_membranes(dice);
        run.next[1] = dice.log_within(0.5, 1.3);
        Some(run)
    }

    pub fn go(mut self, dice: &mut Dice, life: &mut Life) {
        let mut visits = life.visits.clone().into_iter().peekable();
        for day in 0..life.now + HORIZON {
            life.days.push(self.worn);
            if self.worn.membranes_d == 7 {
                life.week_old = self.worn;
            }
            let is_past = day < life.now;
            if is_past && visits.next_if(|visit| *visit <= day).is_some() {
                self.visit(dice, day, &mut life.done);
            }
            if day == self.feed_change {
                self.dirtier = dice.normal(0.5).exp();
                self.worn.feed = dice.normal(0.25).exp();
                life.done.push((day, "feed_changed", String::new()));
            }
            if day % SOLVED == 0 {
                self.solve(day, life);
            }
            let made = self.draw_water(dice, day);
            self.wear(dice, made, is_past);
        }
    }

    fn new_cartridge(&mut self, dice: &mut Dice) {
        (self.worn.loaded, self.worn.sediment_d, self.washed) = (1.0, 0, 0);
        self.worn.cartridge = dice.normal(0.06);
        self.cartridge_rate = dice.normal(0.25).exp();
        self.next[0] = dice.log_within(0.3, 1.4);
    }

    fn new_membranes(&mut self, dice: &mut Dice) {
        (self.exposure, self.fouled, self.years) = (0.0, 0.0, 0.0);
        (self.worn.membranes, self.worn.membranes_d) = ([0.0; 3], 0);
        self.worn.elements = [dice.normal(0.08), dice.normal(0.25)];
        self.next[2] = dice.log_within(0.6, 1.6);
    }

    /// Each part is seen to sooner or later than its limit, as it comes.
    fn visit(&mut self, dice: &mut Dice, day: usize, done: &mut Vec<(usize, &'static str, String)>) {
        let limit = self.rates.limit;
        if (self.worn.loaded - 1.0) / (limit - 1.0) > self.next[0] {
            let pleated = StageKind::Sediment {
                media: SedimentMedia::Pleated,
            };
            let left = 1.0 + dice.within(0.1, 0.35) * (self.worn.loaded - 1.0);
            if self.unit.stages[0].kind == pleated && self.washed < 3 && left < 0.5 * limit {
                self.worn.loaded = left;
                self.washed += 1;
                self.next[0] = dice.log_within(0.3, 1.4);
                done.push((day, "cleaned", "sediment".to_owned()));
            } else {
                self.new_cartridge(dice);
                done.push((day, "changed", "sediment".to_owned()));
            }
        }
        let by_age = f64::from(self.worn.carbon_d) / 365.0;
        if (self.worn.carbon_l / self.capacity.0).max(by_age) > self.next[1] {
            self.next[1] = dice.log_within(0.5, 1.3);
            (self.worn.carbon_l, self.worn.carbon_d) = (0.0, 0);
            done.push((day, "changed", "carbon".to_owned()));
        }
        let limits = &self.unit.limits;
        let [water, salt, drop] = self.worn.membranes.map(f64::exp);
        let lost = [
            (1.0 - water) / limits.permeate_flow_drop,
            (salt - 1.0) / limits.salt_passage_rise,
            (drop - 1.0) / limits.pressure_drop_rise,
        ];
        let ids = self
            .unit
            .membranes
            .elements
            .iter()
            .map(|element| element.id.clone());
        if lost.into_iter().fold(0.0, f64::max) > self.next[2] {
            self.new_membranes(dice);
            done.extend(ids.map(|id| (day, "changed", id)));
        } else if lost[0].max(lost[2]) > 0.5 && day > self.cleaned + 300 && dice.chance(0.2) {
            self.cleaned = day;
            self.fouled *= 1.0 - dice.within(0.2, 0.8);
            done.extend(ids.map(|id| (day, "cleaned", id)));
        }
    }

    fn solve(&mut self, day: usize, life: &Life) {
        let t = self.feed.temperature(day as f64);
        let mut setting = Setting::new(t, self.feed.inlet_kpa, self.feed.mg_l * self.worn.feed);
        if let Some(TankKind::Pressurised { precharge_kpa }) = self.unit.permeate.tank.map(|tank| tank.kind) {
            setting.permeate_pressure_kpa = 1.5 * precharge_kpa;
        }
        let now = unit_on(&life.own, self.unit, &self.worn, true);
        if let Ok(point) = self.model.solve(&now, &setting, &mut self.workspace) {
            self.feed_l_h = point.feed_flow_l_h;
            self.feed_per_permeate = self.feed_l_h / point.permeate_flow_l_h.max(0.01);
        }
    }

    /// A day's permeate: it wanders about a yearly swing, may grow, and is less at a week's end.
    fn draw_water(&mut self, dice: &mut Dice, day: usize) -> f64 {
        self.use_now = 0.975 * self.use_now + dice.normal(0.05);
        let years = day as f64 / 365.25;
        let season = 1.0 + self.rates.swing * (TAU * years + self.rates.turn).cos();
        let week = if day % 7 < 5 { 1.16 } else { 0.6 };
        self.rates.usual_l_d * season * week * (self.use_now + self.rates.growth * years).exp()
    }

    fn wear(&mut self, dice: &mut Dice, made: f64, is_past: bool) {
        let (rates, worn) = (self.rates, &mut self.worn);
        let feed_made = made * self.feed_per_permeate;
        worn.litres += made;
        worn.carbon_l += match self.capacity.1 {
            CapacityOf::Permeate => made,
            CapacityOf::Feed => feed_made,
        };
        worn.carbon_d += 1;
        worn.sediment_d += 1;
        worn.membranes_d += 1;
        // Dirt comes unevenly; a blocked filter passes no more of it.
        self.dirt_now = 0.95 * self.dirt_now + dice.normal(0.12);
        let dirt = self.dirtier * (0.6 * self.dirt_now).exp();
        let kv = rates.sediment * self.cartridge_rate * dirt * feed_made;
        worn.loaded = load(worn.loaded, kv, rates.law).min(4.0 * rates.limit);
        let years = made / (365.25 * rates.usual_l_d);
        self.fouled += rates.fouling * self.dirtier * years;
        self.years += years;
        // What tired carbon lets through while water flows; from now on it is renewed in time.
        if is_past {
            let left = (1.0 - worn.carbon_l / self.capacity.0).max(0.0);
            let minutes = 60.0 * self.bed_l / self.feed_l_h;
            let passed = self.feed.chlorine * (-rates.removal * minutes * left).exp();
            self.exposure += passed * feed_made / self.feed_l_h;
            for (wander, rate) in worn.wander.iter_mut().zip(rates.wander) {
                *wander += rate / 365.25;
            }
        }
        let oxidised = (rates.oxidant * self.exposure / 1000.0).ln_1p();
        let fouling = self.fouled.powf(rates.bend);
        let settled = (f64::from(worn.membranes_d) + 1.0).ln();
        worn.membranes = [
            0.1 * oxidised - fouling.ln_1p() - rates.compaction * settled,
            oxidised + (rates.ageing * self.years.powf(rates.bend)).ln_1p(),
            (rates.channel * fouling).ln_1p(),
        ];
    }
}
