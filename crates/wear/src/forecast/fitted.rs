//! A unit's history, fitted: what the next reading is added to.

use jiff::Timestamp;
use reading::{Field, Reading};
use unit::{Element, Unit};

use super::clock::Clock;
use super::course::{Courses, SIGN, Slopes};
use super::evidence::{Evidence, Usual, mended, of_all};
use super::exposure::Exposure;
use super::fit::{ENOUGH, Fit, Scatter, update};
use super::hypotheses::{Hypothesis, by_law, to_chances};
use super::laws::Laws;
use super::local::{Directions, White};
use super::need::Demand;
use super::plant::{
    CHANNEL, CONCENTRATE_FLOW, DIRECTIONS, PERMEATE_FLOW, Plant, Rated, SALT, STAGE, WATER, stage_laws,
};
use super::prior::Prior;
use super::restart::fit_anew_if_far;
use super::sediment::reference_feed_l_h;
use super::severity::shifts;
use super::timeline::Timeline;
use super::unknowns::Unknowns;
use crate::lives::days;
use crate::robust::median;
use crate::standardise::{History, Standardisation};

/// The whole estimate. Days are counted from the time of the fit.
#[derive(Clone)]
pub(super) struct Fitted {
    pub(super) clock: Clock,
    pub(super) timeline: Timeline,
    pub(super) unknowns: Unknowns,
    exposure: Exposure,
    plant: Plant,
    rated: Vec<Rated>,
    usual: Usual,
    fit: Fit,
    pub(super) laws: Vec<Hypothesis>,
    /// The fit to all readings, where the laws were weighed on some of many.
    pub(super) whole: Option<Hypothesis>,
    pub(super) reference_feed_l_h: f64,
    pub(super) clean_kpa_h_l: Vec<f64>,
    pub(super) feed_per_permeate: (f64, f64),
    pub(super) polarisation: f64,
    pub(super) osmotic_share: f64,
    pub(super) drop_is_seen: bool,
    pub(super) demand: Option<Demand>,
    /// Days of all readings that were used.
    days: Vec<f64>,
    permeate_l_h: Option<f64>,
}

impl Fitted {
    pub(super) fn of(
        history: &History<'_>,
        standardisation: &Standardisation,
        as_of: Timestamp,
        start: Option<Timestamp>,
        prior: &Prior,
    ) -> Self {
        let unit = history.unit;
        let readings = mended(history, standardisation, as_of);
        let mut flows: Vec<f64> = readings
            .iter()
            .filter_map(|r| r.get(Field::PermeateFlow))
            .collect();
        let permeate_l_h = median(&mut flows);
        let clock = Clock::of(history, as_of, permeate_l_h);
        let timeline = Timeline::of(history, start, as_of, &clock);
        let starts: Vec<f64> = timeline.membranes.iter().map(|life| life.start_d).collect();
        let usual = Usual::of(unit, standardisation, &readings);
        let mut evidence = of_all(&usual, unit, &standardisation.salt, &readings, as_of, &starts);
        let reference = usual.reference_l_h(reference_feed_l_h(standardisation));
        let clean: Vec<f64> = (0..unit.stages.len())
            .map(|stage| clean_kpa_h_l(unit, stage, reference))
            .collect();
        let mut slots = vec![None; unit.stages.len()];
        for (slot, stage) in timeline.slots.iter().enumerate() {
            slots[*stage] = Some(slot);
        }
        let plant = Plant::of(
            unit,
            &standardisation.salt,
            stage_laws(unit, |stage| clean[stage], &slots),
        );
        let rated = ratings(history, &plant, &timeline, as_of);
        let ln_limits: Vec<f64> = timeline
            .filters
            .iter()
            .map(|filter| {
                let limit = unit.stages[filter.stage].limit.pressure_drop_kpa;
                limit.map_or(1.5, |limit| {
                    (limit / (clean[filter.stage] * reference)).max(1.2).ln()
                })
            })
            .collect();
        let shifts = shifts(history, as_of, prior);
        let exposure = Exposure::of(
            history,
            as_of,
            &starts,
            &clock,
            permeate_l_h.unwrap_or(0.0),
            feed_per_permeate(&evidence, unit).0,
        );
        let attacked = exposure.is_any();
        let mut unknowns = Unknowns::of(unit, &timeline, prior, &ln_limits, &shifts, attacked);
        let courses = Courses {
            unknowns: &unknowns,
            timeline: &timeline,
            clock: &clock,
            exposure: &exposure,
        };
        let mut found = fit_anew_if_far(&plant, &rated, &courses, &mut evidence);
        unknowns.sd = std::mem::take(&mut found.sd);
        let courses = Courses {
            unknowns: &unknowns,
            timeline: &timeline,
            clock: &clock,
            exposure: &exposure,
        };
        let laws = by_law(&plant, &rated, &courses, &evidence, &found, prior);
        let (polarisation, osmotic_share) = plant.usual_polarisation(&evidence);
        let whole = (evidence.len() > ENOUGH).then(|| Hypothesis {
            ln_chance: 0.0,
            chance: 1.0,
            exponent: None,
            x: found.x.clone(),
            precision: found.precision.clone(),
        });
        let mut all = Self {
            feed_per_permeate: feed_per_permeate(&evidence, unit),
            days: evidence.iter().map(|one| one.day).collect(),
            clock,
            timeline,
            unknowns,
            exposure,
            plant,
            rated,
            usual,
            fit: found,
            laws,
            whole,
            reference_feed_l_h: reference,
            clean_kpa_h_l: clean,
            polarisation,
            osmotic_share,
            drop_is_seen: standardisation
                .readings
                .iter()
                .any(|one| one.relative_pressure_drop.is_some()),
            demand: None,
            permeate_l_h,
        };
        let (state, _) = all.mean_state(0.0);
        let life = all.timeline.membranes.len().saturating_sub(1);
        let now = all.rated.get(life).copied().unwrap_or_default();
        all.demand = Demand::of(history, as_of, &all.plant, now, &state, &evidence);
        all
    }

    pub(super) fn courses(&self) -> Courses<'_> {
        Courses {
            unknowns: &self.unknowns,
            timeline: &self.timeline,
            clock: &self.clock,
            exposure: &self.exposure,
        }
    }

    /// The most probable unit on a day, with clean filters (they are renewed in time), and how far its membranes have
    /// gone, in logarithms.
    pub(super) fn mean_state(&self, now_d: f64) -> ([f64; DIRECTIONS], [f64; 3]) {
        let (unknowns, x) = (&self.unknowns, &self.fit.x);
        let courses = self.courses();
        let life = self.timeline.membranes.len().saturating_sub(1);
        let mut state = [0.0; DIRECTIONS];
        for (direction, index) in unknowns.of_plant() {
            state[direction] = x[index];
            let steps = unknowns.drift_of(direction);
            for (step, done) in steps.zip(self.timeline.drift.done(now_d.min(-1e-6))) {
                state[direction] += done * x[step];
            }
        }
        let mut worn = [0.0; 3];
        let mut slopes = Slopes::new();
        for (which, direction) in [WATER, SALT, CHANNEL].into_iter().enumerate() {
            slopes.clear();
            state[direction] = courses.membrane(x, life, now_d, which, &mut slopes);
            let new = unknowns
                .membranes
                .get(life)
                .map_or(0.0, |own| x[own.level[which]]);
            worn[which] = SIGN[which] * (state[direction] - new);
        }
        for (slot, clean) in unknowns.clean.iter().enumerate() {
            state[STAGE + slot] = x[*clean];
        }
        (state, worn)
    }

    /// Pressure before the first stage where no reading tells it, kPa.
    pub(super) fn usual_inlet_kpa(&self) -> f64 {
        self.usual.inlet()
    }

    /// Dissolved salt for what the meter shows, mg/L per uS/cm.
    pub(super) fn salt_ratio(&self) -> f64 {
        self.plant.ratio
    }

    /// How many readings came after a day.
    pub(super) fn readings_since(&self, start_d: f64) -> usize {
        self.days.iter().filter(|day| **day > start_d).count()
    }

    /// The use of water as it is known at a later time, told in the years of this fit.
    pub(super) fn clock_at(&self, history: &History<'_>, as_of: Timestamp) -> Clock {
        let mut clock = Clock::of(history, as_of, self.permeate_l_h);
        clock.year_l = self.clock.year_l;
        clock
    }

    /// Adds a reading that was taken after all others, so many days after the time of the fit: one step of Gauss and
    /// Newton on what was known before. None where it would move an unknown far: then all readings are to be looked
    /// at again.
    pub(super) fn add(
        &mut self,
        unit: &Unit,
        standardisation: &Standardisation,
        reading: &Reading,
        day: f64,
    ) -> Option<()> {
        self.clock.go_on(day, reading.get(Field::PermeateTotal))?;
        if !Usual::says_something(reading) {
            return Some(());
        }
        let starts: Vec<f64> = self.timeline.membranes.iter().map(|life| life.start_d).collect();
        let mut one = self
            .usual
            .make(unit, &standardisation.salt, reading, day, &starts);
        let mut laws = Laws::default();
        let mut directions = Directions::default();
        directions.set(&self.courses(), &self.fit.x, &one);
        // Its true values first, by what was known before.
        for _ in 0..3 {
            let white = self.white(&directions, &one, &mut laws)?;
            update(
                &white,
                &directions,
                &mut one,
                &self.fit.scale,
                true,
                &mut Scatter::default(),
            );
        }
        let white = self.white(&directions, &one, &mut laws)?;
        let (_, _, moved) = white.add_to(&directions, &mut self.fit.x, &mut self.fit.precision);
        self.near(&moved)?;
        if let Some(whole) = &mut self.whole {
            whole.x.clone_from(&self.fit.x);
            whole.precision.clone_from(&self.fit.precision);
        }
        let mut hypotheses = std::mem::take(&mut self.laws);
        for law in &mut hypotheses {
            // What is as good as impossible stays so.
            if law.chance < 1e-4 {
                continue;
            }
            let unknowns = law.exponent.map(|exponent| self.unknowns.with_law(exponent));
            let courses = Courses {
                unknowns: unknowns.as_ref().unwrap_or(&self.unknowns),
                ..self.courses()
            };
            directions.set(&courses, &law.x, &one);
            let white = self.white(&directions, &one, &mut laws)?;
            let (cost, ln_determinant, moved) = white.add_to(&directions, &mut law.x, &mut law.precision);
            self.near(&moved)?;
            law.ln_chance -= 0.5 * (cost + ln_determinant);
        }
        to_chances(&mut hypotheses);
        self.laws = hypotheses;
        self.days.push(day);
        Some(())
    }

    fn white(&self, directions: &Directions, one: &Evidence, laws: &mut Laws) -> Option<White> {
        let mut white = White::default();
        let scale = &self.fit.scale;
        white
            .set(&self.plant, &self.rated, directions, one, scale, true, laws)
            .then_some(white)
    }

    /// None where a step is too long for the laws to be straight along it.
    fn near(&self, moved: &[f64]) -> Option<()> {
        const FAR: f64 = 0.5;
        let each = moved.iter().zip(&self.unknowns.sd);
        each.into_iter()
            .all(|(step, sd)| step.abs() < FAR * sd)
            .then_some(())
    }
}

/// Resistance of a stage when clean, kPa h/L at 25 C: as stated, else a sixth of its limit at the reference flow
/// (common practice, no source).
fn clean_kpa_h_l(unit: &Unit, stage: usize, reference_l_h: f64) -> f64 {
    let Some(stage) = unit.stages.get(stage) else {
        return 0.0;
    };
    let stated = stage
        .clean_drop
        .map(|clean| clean.pressure_kpa / clean.flow_l_h.max(1e-6));
    let assumed = stage
        .limit
        .pressure_drop_kpa
        .map(|limit| limit / 6.0 / reference_l_h.max(1e-6));
    stated
        .filter(|resistance| *resistance > 0.0)
        .or(assumed)
        .unwrap_or(0.0)
}

/// The elements' ratings in each life of the membranes, by the plant's own laws.
fn ratings(history: &History<'_>, plant: &Plant, timeline: &Timeline, as_of: Timestamp) -> Vec<Rated> {
    let mut elements: Vec<Element> = history.unit.membranes.elements.clone();
    let mut events = history.events.iter().filter(|event| event.at <= as_of).peekable();
    let mut lives = Vec::new();
    for life in &timeline.membranes {
        while let Some(event) = events.next_if(|event| days(as_of, event.at) <= life.start_d + 1.0) {
            if let (Some(element), Some(part)) = (&event.element, &event.part) {
                for own in elements.iter_mut().filter(|own| own.id == *part) {
                    own.clone_from(element);
                }
            }
        }
        lives.push(plant.rated(&elements));
    }
    lives
}

/// Litres of feed for each of permeate: the mean over the last two years' readings, as the fit smoothed them.
fn feed_per_permeate(evidence: &[Evidence], unit: &Unit) -> (f64, f64) {
    let mut ratios: Vec<f64> = evidence
        .iter()
        .filter(|one| one.day > -730.0 && one.was_read[PERMEATE_FLOW])
        .map(|one| 1.0 + (one.guess[CONCENTRATE_FLOW] - one.guess[PERMEATE_FLOW]).exp())
        .collect();
    let n = ratios.len() as f64;
    match median(&mut ratios) {
        Some(middle) => (middle, 0.05 + 0.05 / n.sqrt()),
        None => {
            let permeate: f64 = unit
                .membranes
                .elements
                .iter()
                .map(|e| 0.7 * e.rated.flow_l_h)
                .sum();
            (
                1.0 + unit.concentrate.restrictor.flow_l_h / permeate.max(1e-6),
                0.2,
            )
        }
    }
}
