//! What the readings leave possible: equally likely states of all parts now.

use std::sync::{Arc, Mutex, PoisonError};

use super::clock::Clock;
use super::course::{FilterNow, NoSlopes, SIGN};
use super::crossing::{FUTURES, inverse_normal};
use super::fitted::Fitted;
use super::hypotheses::Hypothesis;
use super::need::Demand;

/// Futures come in pairs on either side of the most probable one.
const PAIRS: usize = FUTURES / 2;

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
    /// Pressure before the first stage where no reading tells it, kPa.
    pub(super) usual_inlet_kpa: f64,
    /// Dissolved salt of a permeate for what the meter shows, mg/L per uS/cm.
    pub(super) salt_ratio: f64,
}

impl Posterior {
    /// Of a fitted history, so many days after the time that its days are counted from, with the use of water as it
    /// is known now.
    pub(super) fn of(fitted: &Fitted, now_d: f64, clock: Clock) -> Self {
        let unknowns = &fitted.unknowns;
        let timeline = &fitted.timeline;
        let courses = fitted.courses();
        let life = timeline.membranes.len().saturating_sub(1);
        // The laws are weighed on some of many readings; the membranes know more by all of them.
        let of_membranes = match &fitted.whole {
            Some(whole) => std::slice::from_ref(whole),
            None => &fitted.laws[..],
        };
        let drawn = unknowns.mean.len() - unknowns.first_live;
        let table = normals(drawn);
        let normals = table.get(..drawn * PAIRS).unwrap_or_default();
        let moment = courses.moment(life, now_d);
        let membranes = draw(of_membranes, &[], unknowns.first_of_membranes, normals, |x| {
            MembraneNow {
                worn: std::array::from_fn(|which| {
                    let now = courses.membrane_at(x, life, &moment, which, &mut NoSlopes);
                    let new = unknowns
                        .membranes
                        .get(life)
                        .map_or(0.0, |own| x[own.level[which]]);
                    SIGN[which] * (now - new)
                }),
                rate: std::array::from_fn(|which| courses.membrane_rate(x, life, which).max(1e-6)),
                compaction: x[unknowns.compaction].max(0.0),
                polarisation: fitted.polarisation * (-x[unknowns.film]).exp(),
                osmotic_share: fitted.osmotic_share,
            }
        });
        let mut filters_now: Vec<Vec<FilterNow>> = timeline
            .filters
            .iter()
            .map(|_| Vec::with_capacity(FUTURES))
            .collect();
        let exponents: Vec<usize> = unknowns.filters.iter().map(|own| own.exponent).collect();
        if !filters_now.is_empty() {
            draw(&fitted.laws, &exponents, unknowns.first_live, normals, |x| {
                for (index, all) in filters_now.iter_mut().enumerate() {
                    all.extend(courses.filter_now(x, index, now_d));
                }
            });
        }
        let mean_worn = fitted.mean_state(now_d).1;
        let filters = timeline
            .filters
            .iter()
            .zip(filters_now)
            .map(|(filter, futures)| FilterPosterior {
                stage: filter.stage,
                clean_kpa_h_l: fitted.clean_kpa_h_l[filter.stage],
                futures,
                was_read: fitted.readings_since(filter.lives.last().map_or(0.0, |life| life.start_d)) >= 3,
            })
            .collect();
        let membrane_start = timeline.membranes.last().map_or(0.0, |life| life.start_d);
        Self {
            reference_feed_l_h: fitted.reference_feed_l_h,
            feed_per_permeate: fitted.feed_per_permeate.0,
            feed_sd: fitted.feed_per_permeate.1,
            membranes,
            membrane_age_d: now_d - membrane_start,
            membranes_were_read: fitted.readings_since(membrane_start) >= 3,
            drop_is_seen: fitted.drop_is_seen,
            filters,
            demand: fitted.demand.as_ref().map(|demand| demand.later(now_d)),
            mean_worn,
            usual_inlet_kpa: fitted.usual_inlet_kpa(),
            salt_ratio: fitted.salt_ratio(),
            clock,
        }
    }

    /// Days until so many years of usual use have passed.
    pub(super) fn days_to(&self, years: f64, z: f64) -> f64 {
        self.clock.days_to(years * self.clock.year_l, z)
    }
}

/// Standard normal values, a row for each of at least so many unknowns and in it one for each pair of futures.
///
/// They are the same every time and cost more to draw than all that is done with them, so the longest table that was
/// asked for is kept; a row has the same values however many there are.
fn normals(unknowns: usize) -> Arc<[f64]> {
    static KEPT: Mutex<Option<Arc<[f64]>>> = Mutex::new(None);
    // What a panic elsewhere left there is whole: it is only ever replaced.
    let mut kept = KEPT.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(rows) = kept.as_ref()
        && rows.len() >= unknowns * PAIRS
    {
        return Arc::clone(rows);
    }
    let mut state: u64 = 0x5A17_3A4C;
    let mut uniform = || {
        // SplitMix64 (Steele, Lea & Flood 2014; from memory) with a fixed seed: the same futures every time.
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    };
    let rows: Arc<[f64]> = (0..unknowns * PAIRS).map(|_| inverse_normal(uniform())).collect();
    *kept = Some(Arc::clone(&rows));
    rows
}

/// Draws from the fitted unknowns, as many of each law as it is probable, in pairs on either side of the most
/// probable ones. Only the unknowns from `first` on are drawn, of which `normals` has the rows at its end; nothing
/// that comes hangs on the others.
///
/// Hermia's exponent is that of the law itself, where there is one: `exponents` are its places.
fn draw<T>(
    laws: &[Hypothesis],
    exponents: &[usize],
    first: usize,
    normals: &[f64],
    mut each: impl FnMut(&[f64]) -> T,
) -> Vec<T> {
    let mut all = Vec::with_capacity(FUTURES);
    let mut upto = 0.0;
    for (i, law) in laws.iter().enumerate() {
        upto += law.chance;
        let from = all.len() / 2;
        let until = if i + 1 == laws.len() {
            PAIRS
        } else {
            ((upto * PAIRS as f64) as usize).clamp(from, PAIRS)
        };
        let pairs = until - from;
        if pairs == 0 {
            continue;
        }
        let live = law.x.len() - first;
        let rows = normals.chunks_exact(PAIRS).rev().take(live).rev();
        let mut steps = Vec::with_capacity(live * pairs);
        rows.for_each(|row| steps.extend_from_slice(&row[from..until]));
        law.precision.back(first, &mut steps, pairs);
        let mut x = law.x.clone();
        for pair in 0..pairs {
            for sign in [1.0, -1.0] {
                let own = x[first..].iter_mut().zip(&law.x[first..]);
                for ((x, middle), step) in own.zip(steps[pair..].iter().step_by(pairs)) {
                    *x = middle + sign * step;
                }
                for (index, known) in exponents.iter().zip(law.exponent.iter().cycle()) {
                    x[*index] = *known;
                }
                all.push(each(&x));
            }
        }
    }
    all
}
