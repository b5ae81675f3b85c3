//! What the readings leave possible: equally likely states of all parts now.

use jiff::Timestamp;
use unit::{Element, Unit};

use super::clock::Clock;
use super::course::{Courses, FilterNow, SIGN, Slopes};
use super::crossing::{FUTURES, inverse_normal};
use super::evidence::{Evidence, evidence, mended};
use super::exposure::Exposure;
use super::fit::{ENOUGH, fit};
use super::hypotheses::{Hypothesis, by_law};
use super::need::Demand;
use super::plant::{
    CHANNEL, CONCENTRATE_FLOW, DIRECTIONS, PERMEATE_FLOW, Plant, Rated, SALT, STAGE, WATER, stage_laws,
};
use super::prior::Prior;
use super::sediment::reference_feed_l_h;
use super::timeline::Timeline;
use super::unknowns::Unknowns;
use crate::lives::days;
use crate::robust::median;
use crate::standardise::{History, Standardisation};
use reading::Field;

/// Streams of the futures' own chances: use of water, drift of rates.
pub(super) const USE: usize = 0;
pub(super) const DRIFT: usize = 4;

/// The membranes in one future.
#[derive(Clone, Copy, Debug)]
pub(super) struct MembraneNow {
    /// How far water, salt and channel have gone towards their limits since a week old, in logarithms.
    pub(super) worn: [f64; 3],
    /// What is added in a year of usual use, as a share of new.
    pub(super) rate: [f64; 3],
    /// Fall of ln A for each unit of ln(days + 1).
    pub(super) compaction: f64,
    /// ln of polarisation at the usual conditions.
    pub(super) polarisation: f64,
    /// Osmotic pressure at the wall over the net driving pressure.
    pub(super) osmotic_share: f64,
}

impl MembraneNow {
    /// How far one of them will have gone after so many more years of usual use, in logarithms.
    pub(super) fn worn_after(&self, which: usize, years: f64) -> f64 {
        (self.worn[which].exp() + self.rate[which] * years).ln()
    }

    /// What ASTM D4516 shows of it, against the limits: less flux polarises less, which hides a little of the lost
    /// flow and some of the risen salt passage.
    pub(super) fn shown(&self, which: usize, worn: [f64; 3]) -> f64 {
        let flow = worn[0] / (1.0 + self.osmotic_share * self.polarisation);
        match which {
            0 => flow,
            1 => worn[1] - self.polarisation * (1.0 - (-flow).exp()),
            _ => worn[2],
        }
    }
}

/// A filter in all futures.
pub(super) struct FilterPosterior {
    pub(super) stage: usize,
    /// Its label's clean resistance, kPa h/L at 25 C.
    pub(super) clean_kpa_h_l: f64,
    pub(super) futures: Vec<FilterNow>,
    pub(super) was_read: bool,
}

/// All parts now.
pub(super) struct Posterior {
    pub(super) clock: Clock,
    pub(super) reference_feed_l_h: f64,
    /// Litres of feed for each litre of permeate, and its relative standard deviation.
    pub(super) feed_per_permeate: f64,
    pub(super) feed_sd: f64,
    pub(super) membranes: Vec<MembraneNow>,
    pub(super) membrane_age_d: f64,
    pub(super) membranes_were_read: bool,
    pub(super) drop_is_seen: bool,
    pub(super) filters: Vec<FilterPosterior>,
    /// What is asked of the unit, where anything is.
    pub(super) demand: Option<Demand>,
    /// How far the most probable membranes have gone, in logarithms.
    pub(super) mean_worn: [f64; 3],
}

impl Posterior {
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
        let mut evidence = evidence(history, standardisation, &readings, as_of, &starts);
        let reference = reference_feed_l_h(standardisation).unwrap_or_else(|| label_feed_l_h(unit));
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
        let unknowns = Unknowns::of(unit, &timeline, prior, &ln_limits);
        let exposure = Exposure::of(
            history,
            as_of,
            starts.first().copied().unwrap_or(0.0),
            &clock,
            permeate_l_h.unwrap_or(0.0),
            feed_per_permeate(&evidence, unit).0,
        );
        let courses = Courses {
            unknowns: &unknowns,
            timeline: &timeline,
            clock: &clock,
            exposure: &exposure,
        };
        let fitted = fit(&plant, &rated, &courses, &mut evidence);
        let laws = by_law(&plant, &rated, &courses, &evidence, &fitted, prior);
        let life = timeline.membranes.len().saturating_sub(1);
        // The laws are weighed on some of many readings; the membranes know more by all of them.
        let by_all = [Hypothesis {
            chance: 1.0,
            x: fitted.x.clone(),
            precision: fitted.precision.clone(),
        }];
        let of_membranes = if evidence.len() > ENOUGH { &by_all[..] } else { &laws };
        let (polarisation, osmotic_share) = plant.usual_polarisation(&evidence);
        let mut slopes = Slopes::new();
        let membranes = draw(of_membranes, unknowns.first_of_membranes, |x| MembraneNow {
            worn: std::array::from_fn(|which| {
                slopes.clear();
                let now = courses.membrane(x, life, 0.0, which, &mut slopes);
                let new = unknowns
                    .membranes
                    .get(life)
                    .map_or(0.0, |own| x[own.level[which]]);
                SIGN[which] * (now - new)
            }),
            rate: std::array::from_fn(|which| courses.membrane_rate(x, life, which).max(1e-6)),
            compaction: x[unknowns.compaction].max(0.0),
            polarisation: polarisation * (-x[unknowns.film]).exp(),
            osmotic_share,
        });
        let filters_now = if timeline.filters.is_empty() {
            Vec::new()
        } else {
            draw(&laws, unknowns.first_live, |x| {
                let each = 0..timeline.filters.len();
                each.filter_map(|index| courses.filter_now(x, index)).collect::<Vec<_>>()
            })
        };
        // With clean filters: they are renewed in time.
        let mut state = [0.0; DIRECTIONS];
        for (direction, index) in unknowns.of_plant() {
            state[direction] = fitted.x[index];
        }
        let mut mean_worn = [0.0; 3];
        for (which, direction) in [WATER, SALT, CHANNEL].into_iter().enumerate() {
            slopes.clear();
            state[direction] = courses.membrane(&fitted.x, life, 0.0, which, &mut slopes);
            let new = unknowns
                .membranes
                .get(life)
                .map_or(0.0, |own| fitted.x[own.level[which]]);
            mean_worn[which] = SIGN[which] * (state[direction] - new);
        }
        for (slot, clean) in unknowns.clean.iter().enumerate() {
            state[STAGE + slot] = fitted.x[*clean];
        }
        let now = rated.get(life).copied().unwrap_or_default();
        let demand = Demand::of(history, as_of, &plant, now, &state, &evidence);
        let since = |start_d: f64| evidence.iter().filter(|one| one.day > start_d).count();
        let filters = timeline
            .filters
            .iter()
            .enumerate()
            .map(|(index, filter)| FilterPosterior {
                stage: filter.stage,
                clean_kpa_h_l: clean[filter.stage],
                futures: filters_now.iter().filter_map(|all| all.get(index).copied()).collect(),
                was_read: since(filter.lives.last().map_or(0.0, |life| life.start_d)) >= 3,
            })
            .collect();
        let membrane_start = starts.last().copied().unwrap_or(0.0);
        let (feed_per_permeate, feed_sd) = feed_per_permeate(&evidence, unit);
        Self {
            reference_feed_l_h: reference,
            feed_per_permeate,
            feed_sd,
            membranes,
            membrane_age_d: -membrane_start,
            membranes_were_read: since(membrane_start) >= 3,
            drop_is_seen: standardisation
                .readings
                .iter()
                .any(|one| one.relative_pressure_drop.is_some()),
            filters,
            demand,
            mean_worn,
            clock,
        }
    }

    /// Days until so many years of usual use have passed.
    pub(super) fn days_to(&self, years: f64, z: f64) -> f64 {
        self.clock.days_to(years * self.clock.usual_l_d * 365.25, z)
    }
}

/// Feed flow of a unit as labelled, L/h.
fn label_feed_l_h(unit: &Unit) -> f64 {
    let permeate: f64 = unit
        .membranes
        .elements
        .iter()
        .map(|e| 0.7 * e.rated.flow_l_h)
        .sum();
    permeate + unit.concentrate.restrictor.flow_l_h
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

/// Draws from the fitted unknowns, as many of each law as it is probable, in pairs on either side of the most
/// probable ones. Only the unknowns from `first` on are drawn; nothing that comes hangs on the others.
fn draw<T>(laws: &[Hypothesis], first: usize, mut each: impl FnMut(&[f64]) -> T) -> Vec<T> {
    let mut state: u64 = 0x5A17_3A4C;
    let mut uniform = || {
        // SplitMix64 (Steele, Lea & Flood 2014; from memory) with a fixed seed: the same futures every time.
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    };
    let mut all = Vec::with_capacity(FUTURES);
    let mut upto = 0.0;
    for (i, law) in laws.iter().enumerate() {
        upto += law.chance;
        let until = if i + 1 == laws.len() {
            FUTURES
        } else {
            (upto * FUTURES as f64) as usize & !1
        };
        let pairs = until.saturating_sub(all.len()) / 2;
        if pairs == 0 {
            continue;
        }
        let live = law.x.len() - first;
        let mut steps: Vec<f64> = (0..live * pairs).map(|_| inverse_normal(uniform())).collect();
        law.precision.back(first, &mut steps, pairs);
        let mut x = law.x.clone();
        for pair in 0..pairs {
            for sign in [1.0, -1.0] {
                let own = x[first..].iter_mut().zip(&law.x[first..]);
                for ((x, middle), step) in own.zip(steps[pair..].iter().step_by(pairs)) {
                    *x = middle + sign * step;
                }
                all.push(each(&x));
            }
        }
    }
    all
}
