//! A unit as it truly is from day to day: what has worn, and what it makes.

use jiff::civil::Date;
use ledger::payload::water_document;
use reading::EventKind;
use serde_json::{Map, Value};
use unit::{
    CarbonMedia, Conditions, Model, Parameter, Parameters, PolishKind, Prediction, Segments, Setting,
    StageKind, State, Unit, Workspace,
};
use water::{Analysis, Water};

use crate::Error;
use crate::chance::Chance;
use crate::element::Wear;
use crate::scenario::{Fault, Scenario, Trouble, Work};
use crate::season;
use crate::valley::analysis;

/// Free chlorine through carbon, per minute of contact (`model.md` 5: from memory).
const FREE_CHLORINE_PER_MIN: f64 = 14.0;
/// Chloramine through catalytic and through plain carbon, per minute (from memory).
const CHLORAMINE_PER_MIN: (f64, f64) = (2.0, 0.5);
/// Chloramine's weight in the exposure (from memory).
const CHLORAMINE_WEIGHT: f64 = 0.01;
const YEAR_D: f64 = 365.25;

/// A stage's wear.
#[derive(Clone, Debug, Default)]
struct Worn {
    /// Share of its life that is used up.
    used: f64,
    /// Its life at mean use, litres of feed.
    life_l: f64,
}

/// A unit that wears.
pub(crate) struct Plant<'a> {
    story: &'a Scenario,
    pub(crate) unit: Unit,
    water: Analysis,
    document: Map<String, Value>,
    bore: bool,
    model: Model,
    /// A coarser one for the days without a reading.
    rough: Model,
    workspace: Workspace,
    stages: Vec<Worn>,
    elements: Vec<Wear>,
    /// Share of each polishing resin that is used up.
    resins: Vec<f64>,
    /// Cations and acids in a litre of permeate, eq.
    load_eq_l: f64,
    /// Bends of the restrictor by work on it.
    adjusted: f64,
    stopped: bool,
    pub(crate) made_l: f64,
    pub(crate) hours: f64,
    /// Feed while it runs, as new.
    feed_l_h: f64,
}

/// What stands at the unit at one time.
pub(crate) struct Moment {
    pub(crate) temperature_c: f64,
    pub(crate) inlet_kpa: f64,
    pub(crate) feed_us_cm: f64,
    pub(crate) oxidant_mg_l: f64,
    pub(crate) oxidant_out_mg_l: f64,
    pub(crate) prediction: Prediction,
    /// Conductivity of each element's permeate, by id.
    pub(crate) elements_us_cm: Vec<(String, f64)>,
    /// Conductivity behind each resin, by id.
    pub(crate) polished_us_cm: Vec<(String, f64)>,
    pub(crate) hardness_out: Option<f64>,
}

impl<'a> Plant<'a> {
    pub(crate) fn new(
        story: &'a Scenario,
        unit: Unit,
        document: &Map<String, Value>,
        chance: &mut Chance,
    ) -> Result<Self, Error> {
        let water = analysis(document)?;
        let model = Model::new(&unit, Segments::default())?;
        let rough = Model::new(&unit, Segments::FAST)?;
        let elements = unit
            .membranes
            .elements
            .iter()
            .map(|_| Wear::new(chance))
            .collect();
        let mut plant = Self {
            story,
            bore: water.free_chlorine_mg_l == Some(0.0),
            document: water_document(&water),
            water,
            model,
            rough,
            workspace: Workspace::new(),
            stages: vec![Worn::default(); unit.stages.len()],
            elements,
            resins: vec![0.0; unit.permeate.polish.len()],
            load_eq_l: 0.0,
            adjusted: 0.0,
            stopped: false,
            made_l: 0.0,
            hours: 0.0,
            feed_l_h: 0.0,
            unit,
        };
        plant.set_lives()?;
        Ok(plant)
    }

    /// Litres that a cartridge lasts follow from the days that it is meant to last at mean use.
    fn set_lives(&mut self) -> Result<(), Error> {
        let setting = Setting::new(11.0, self.story.inlet_kpa, self.water_tds()?);
        let point = self
            .rough
            .solve(&self.rough.parameters(), &setting, &mut self.workspace)?;
        self.feed_l_h = point.feed_flow_l_h;
        let feed_l_d = self.use_l_d() / point.recovery;
        for (stage, worn) in self.unit.stages.iter().zip(&mut self.stages) {
            let days = match stage.kind {
                StageKind::Carbon { .. } => self.story.rates.carbon_d,
                _ => self.story.rates.sediment_d,
            };
            worn.life_l = days * feed_l_d;
        }
        Ok(())
    }

    fn use_l_d(&self) -> f64 {
        self.unit.use_permeate_l_d.unwrap_or(100.0)
    }

    fn water_tds(&self) -> Result<f64, Error> {
        Ok(self.feed(1.0)?.tds_mg_l())
    }

    /// The feed with all that is dissolved in it this many times as concentrated.
    fn feed(&self, times: f64) -> Result<Water, Error> {
        const NOT_DISSOLVED: [&str; 8] = [
            "name",
            "temperature",
            "ph",
            "turbidity",
            "sdi",
            "toc",
            "free_chlorine",
            "chloramine",
        ];
        let mut document = self.document.clone();
        for (name, value) in &mut document {
            if let Some(number) = value.as_f64().filter(|_| !NOT_DISSOLVED.contains(&name.as_str())) {
                *value = (number * times).into();
            }
        }
        Water::complete(&analysis(&document)?).map_err(|faults| Error::Water {
            site: self.story.site.to_owned(),
            faults,
        })
    }

    fn faults(&self, day: i64) -> impl Iterator<Item = &'a Fault> + use<'a> {
        self.story
            .faults
            .iter()
            .filter(move |fault| fault.from_d >= day && day >= fault.until_d)
    }

    fn inlet_kpa(&self, day: i64, date: Date) -> f64 {
        let low: f64 = self
            .faults(day)
            .map(|fault| match fault.trouble {
                Trouble::SupplyLow(share) => 1.0 - share,
                _ => 1.0,
            })
            .product();
        self.story.inlet_kpa * season::supply(date) * low
    }

    fn parameters(&self, model: &Model, day: i64) -> Parameters {
        let mut parameters = model.parameters();
        let mut set = |parameter, value| {
            // A part that the unit has not is none that could be worn.
            let _has = parameters.set(parameter, value);
        };
        for (i, wear) in self.elements.iter().enumerate() {
            set(Parameter::WaterPermeability(i), wear.ln_water());
            set(Parameter::SaltPermeability(i), wear.ln_salt());
        }
        for (i, (stage, worn)) in self.unit.stages.iter().zip(&self.stages).enumerate() {
            set(Parameter::StageDrop(i), self.ln_load(stage, worn));
        }
        let mut restrictor = self.adjusted;
        for fault in self.faults(day) {
            let years = (fault.from_d - day) as f64 / YEAR_D;
            match fault.trouble {
                Trouble::RestrictorWorn(rate) => restrictor += rate * years,
                Trouble::RestrictorBlocked(rate) => restrictor -= rate * years,
                Trouble::CoreSeal(i, leak) => set(Parameter::ElementLeak(i), leak),
                Trouble::PumpWeak(share) => {
                    for i in 0..self.unit.stages.len() {
                        set(Parameter::PumpPressure(i), (1.0 - share).ln());
                    }
                }
                Trouble::Scale(..) | Trouble::SupplyLow(_) => {}
            }
        }
        set(Parameter::Restrictor, restrictor);
        parameters
    }

    /// Load of a cartridge by intermediate blocking (Hermia): the resistance grows as the exponential of the water
    /// filtered, and reaches the limit of pressure drop at the end of its life.
    fn ln_load(&self, stage: &unit::Stage, worn: &Worn) -> f64 {
        let (Some(clean), StageKind::Sediment { .. }) = (stage.clean_drop, &stage.kind) else {
            return 0.0;
        };
        let limit = stage.limit.pressure_drop_kpa.unwrap_or(70.0);
        let now = clean.pressure_kpa * self.feed_l_h / clean.flow_l_h;
        // Past its limit a cartridge is left in at most until channels open in it.
        (limit / now).ln().max(0.5) * worn.used.min(1.15)
    }

    /// One day's use and wear.
    pub(crate) fn pass(&mut self, day: i64, date: Date) -> Result<(), Error> {
        if self.stopped {
            return Ok(());
        }
        let setting = Setting::new(
            season::temperature_c(date, self.bore),
            self.inlet_kpa(day, date),
            self.water_tds()?,
        );
        let parameters = self.parameters(&self.rough, day);
        let point = self.rough.solve(&parameters, &setting, &mut self.workspace)?;
        let wanted = self.use_l_d() * season::draw(date, self.story.draw);
        let made = wanted.min(24.0 * point.permeate_flow_l_h);
        let hours = made / point.permeate_flow_l_h;
        let feed = made / point.recovery;
        let (_, out) = self.oxidant(point.feed_flow_l_h);
        self.made_l += made;
        self.hours += hours;
        for (stage, worn) in self.unit.stages.iter().zip(&mut self.stages) {
            let silt = match stage.kind {
                StageKind::Sediment { .. } => season::silt(date),
                _ => 1.0,
            };
            worn.used += feed * silt / worn.life_l.max(1.0);
        }
        let share = made / self.use_l_d() / YEAR_D;
        let chloramine = self.water.chloramine_mg_l.unwrap_or(0.0) > 0.0;
        let weight = if chloramine { CHLORAMINE_WEIGHT } else { 1.0 };
        let scale = self
            .faults(day)
            .fold((0.0, 0.0), |sum, fault| match fault.trouble {
                Trouble::Scale(water, salt) => (sum.0 + water, sum.1 + salt),
                _ => sum,
            });
        let tail = self.elements.len().saturating_sub(1);
        for (i, wear) in self.elements.iter_mut().enumerate() {
            wear.age_d += 1.0;
            wear.fouling += self.story.rates.fouling * share;
            wear.exposure += out * hours * weight;
            wear.salt_new += self.story.rates.salt / YEAR_D;
            // The tail element's wall is the most concentrated.
            let hit = if i == tail { 1.0 } else { 0.35 };
            wear.scale_water += hit * scale.0 * share;
            wear.scale_salt += hit * scale.1 * share;
        }
        for (polish, used) in self.unit.permeate.polish.iter().zip(&mut self.resins) {
            if let Some(capacity) = polish
                .resin_volume_l
                .zip(polish.capacity_eq_l)
                .map(|(v, c)| v * c)
            {
                *used += made * self.load_eq_l / capacity;
            }
        }
        Ok(())
    }

    /// Oxidant of the feed and after the last carbon, mg/L: first-order decay in the contact time, its rate falling as
    /// capacity is used.
    fn oxidant(&self, feed_l_h: f64) -> (f64, f64) {
        let chloramine = self.water.chloramine_mg_l.unwrap_or(0.0);
        let free = self.water.free_chlorine_mg_l.unwrap_or(0.0);
        let feed = free + chloramine;
        let mut out = feed;
        for (stage, worn) in self.unit.stages.iter().zip(&self.stages) {
            let StageKind::Carbon {
                media, bed_volume_l, ..
            } = stage.kind
            else {
                continue;
            };
            let rate = match (chloramine > free, media) {
                (false, _) => FREE_CHLORINE_PER_MIN,
                (true, CarbonMedia::Catalytic) => CHLORAMINE_PER_MIN.0,
                (true, CarbonMedia::Activated) => CHLORAMINE_PER_MIN.1,
            };
            let contact = 60.0 * bed_volume_l.unwrap_or(1.0) / feed_l_h.max(1.0);
            // At the end of its life the rate is just what lets 0.1 mg/L pass.
            let last = ((feed / 0.1).max(1.0).ln() / (rate * contact)).clamp(0.02, 0.9);
            let left = (1.0 - (1.0 - last) * worn.used).max(0.0);
            out *= (-rate * contact * left).exp();
        }
        (feed, out)
    }

    /// What stands at the unit on this day.
    pub(crate) fn moment(&mut self, day: i64, date: Date, chance: &mut Chance) -> Result<Moment, Error> {
        let water = self.feed(season::salt(date) * chance.factor(0.012))?;
        let conditions = Conditions {
            temperature_c: (season::temperature_c(date, self.bore) + chance.normal(0.6)).clamp(2.0, 40.0),
            inlet_pressure_kpa: self.inlet_kpa(day, date) * chance.factor(0.02),
            permeate_pressure_kpa: 0.0,
            state: State::default(),
        };
        let parameters = self.parameters(&self.model, day);
        let prediction =
            self.model
                .predict(&self.unit, &water, &parameters, &conditions, &mut self.workspace)?;
        let per_mg_l = prediction.permeate_conductivity_us_cm / prediction.point.permeate_tds_mg_l.max(1e-6);
        let elements_us_cm = prediction
            .elements
            .iter()
            .map(|(id, element)| (id.clone(), element.permeate_tds_mg_l * per_mg_l))
            .collect();
        if let Some(resin) = prediction.resins.first() {
            self.load_eq_l = resin.cations_eq_l.max(resin.anions_eq_l);
        }
        let polished = self.unit.permeate.polish.iter().zip(&self.resins);
        let polished_us_cm = polished
            .filter(|(polish, _)| polish.kind == PolishKind::MixedBed)
            .map(|(polish, used)| {
                let through = ((used - 0.85) / 0.3).clamp(0.0, 1.0);
                let us = 0.08 + through * prediction.permeate_conductivity_us_cm;
                (polish.id.clone(), us)
            })
            .collect();
        let hardness_out = self.unit.stages.iter().find_map(|stage| match stage.kind {
            StageKind::Softener {
                hardness_out_mg_l_caco3,
                ..
            } => hardness_out_mg_l_caco3,
            _ => None,
        });
        let (oxidant_mg_l, oxidant_out_mg_l) = self.oxidant(prediction.point.feed_flow_l_h);
        Ok(Moment {
            temperature_c: conditions.temperature_c,
            inlet_kpa: conditions.inlet_pressure_kpa,
            feed_us_cm: water.conductivity_us_cm(),
            oxidant_mg_l,
            oxidant_out_mg_l,
            prediction,
            elements_us_cm,
            polished_us_cm,
            hardness_out,
        })
    }

    /// Does what a work does.
    pub(crate) fn is_stopped(&self) -> bool {
        self.stopped
    }

    pub(crate) fn work(&mut self, work: &Work, chance: &mut Chance) {
        match (work.kind, work.part) {
            (EventKind::Stopped, None) => self.stopped = true,
            (EventKind::Started, None) => self.stopped = false,
            (EventKind::Adjusted, Some("restrictor")) => self.adjusted += 0.05,
            (EventKind::Changed, Some(part)) => self.renew(part, chance),
            (EventKind::Cleaned, Some(part)) => self.clean(part),
            _ => {}
        }
    }

    fn renew(&mut self, part: &str, chance: &mut Chance) {
        for (stage, worn) in self.unit.stages.iter().zip(&mut self.stages) {
            if stage.id == part {
                worn.used = 0.0;
            }
        }
        for (element, wear) in self.unit.membranes.elements.iter().zip(&mut self.elements) {
            if element.id == part {
                *wear = Wear::new(chance);
            }
        }
        for (polish, used) in self.unit.permeate.polish.iter().zip(&mut self.resins) {
            if polish.id == part {
                *used = 0.0;
            }
        }
    }

    fn clean(&mut self, part: &str) {
        for (stage, worn) in self.unit.stages.iter().zip(&mut self.stages) {
            if stage.id == part {
                // A washed cartridge keeps some of its load (`model.md` 5: a fifth of the added resistance).
                worn.used *= 0.35;
            }
        }
        for (element, wear) in self.unit.membranes.elements.iter().zip(&mut self.elements) {
            if element.id == part {
                wear.fouling *= 0.35;
            }
        }
    }
}
