//! Which of Hermia's laws the filters follow: each is fitted, and weighed by its evidence.
//!
//! The readings are linearised once, where the fit with an unsettled exponent stands. From then on a reading is a
//! quadratic in a few directions; under each law only the stages that load up move in another way, so that
//! a round costs no law of the plant again.

use super::course::Courses;
use super::evidence::Evidence;
use super::fit::{ENOUGH, Fit};
use super::hermia;
use super::laws::Laws;
use super::linear::Cholesky;
use super::local::{Directions, Local, Summed, White};
use super::normal::{All, Normal};
use super::plant::{Plant, READ, Rated, STAGE, STAGES};
use super::prior::Prior;
use super::timeline::Timeline;

/// Rounds of Gauss and Newton for each law.
const ROUNDS: usize = 8;
/// The longest step, in the prior's deviations, after which no more are taken.
const CLOSE: f64 = 0.05;
/// How far behind the best a law has no chance of a single future, in ln, with as much again for what further rounds
/// could still find.
const HOPELESS: f64 = 20.0;
/// Readings, of many, that tell Hermia's laws apart.
const TELLING: usize = 60;
/// Resistance, over the clean filter's, at which filters usually go.
const USUAL_END: f64 = 4.0;

/// A law with its probability and the unknowns under it.
#[derive(Clone, Debug)]
pub(super) struct Hypothesis {
    /// ln of its probability, but for what all share.
    pub(super) ln_chance: f64,
    pub(super) chance: f64,
    /// Hermia's exponent; none where nothing loads up.
    pub(super) exponent: Option<f64>,
    pub(super) x: Vec<f64>,
    pub(super) precision: Cholesky,
}

/// What one reading says of a stage that loads up.
#[derive(Clone, Debug)]
pub(super) struct Stage {
    pub(super) slot: usize,
    /// Value of its direction where the reading was linearised.
    pub(super) value: f64,
    /// Pull on it there.
    pub(super) right: f64,
    /// Information that it shares with each of the reading's loading stages.
    pub(super) with: [f64; STAGES],
    /// Information that it shares with the other unknowns, in the order of their list.
    pub(super) across: Vec<f64>,
}

/// A reading linearised.
pub(super) struct Told<'a> {
    pub(super) one: &'a Evidence,
    pub(super) stages: Vec<Stage>,
    /// Which of the lists of other unknowns (ascending) it hangs on: readings of one stretch of time share one.
    pub(super) others: usize,
}

/// All readings' information on the unknowns that no law of loading moves.
pub(super) struct Plain {
    pub(super) matrix: Vec<f64>,
    pub(super) right: Vec<f64>,
    pub(super) cost: f64,
}

/// Of many readings those since each filter was last new, and others evenly, that are enough to tell the laws apart.
fn some_of<'a>(evidence: &'a [Evidence], timeline: &Timeline) -> Vec<&'a Evidence> {
    if evidence.len() <= ENOUGH {
        return evidence.iter().collect();
    }
    let newest = timeline
        .filters
        .iter()
        .filter_map(|filter| filter.lives.last())
        .map(|life| life.start_d);
    let since = newest.fold(0.0, f64::min);
    let recent = evidence.iter().filter(|one| one.day >= since).count();
    let (old, new) = (
        2 * (evidence.len() - recent) / TELLING + 1,
        2 * recent / TELLING + 1,
    );
    let each = evidence.iter().enumerate();
    each.filter(|(i, one)| i % if one.day >= since { new } else { old } == 0)
        .map(|(_, one)| one)
        .collect()
}

/// Fits under each of Hermia's laws, with their probabilities. Where nothing loads up the fit is the only one.
pub(super) fn by_law(
    plant: &Plant,
    rated: &[Rated],
    courses: &Courses<'_>,
    evidence: &[Evidence],
    near: &Fit,
    given: &Prior,
) -> Vec<Hypothesis> {
    let only = || {
        vec![Hypothesis {
            ln_chance: 0.0,
            chance: 1.0,
            exponent: None,
            x: near.x.clone(),
            precision: near.precision.clone(),
        }]
    };
    if courses.timeline.filters.is_empty() {
        return only();
    }
    let n = near.x.len();
    let mut plain = Plain {
        matrix: vec![0.0; n * n],
        right: vec![0.0; n],
        cost: 0.0,
    };
    let (mut told, mut lists) = (Vec::new(), Vec::<Vec<usize>>::new());
    // Unknowns of the last reading's other directions, and where each stands in its list.
    let (mut last, mut places) = (Vec::new(), Vec::new());
    let mut summed = Summed::default();
    let (mut laws, mut directions) = (Laws::default(), Directions::default());
    let (mut white, mut local) = (White::default(), Local::default());
    let slots: Vec<usize> = courses
        .timeline
        .filters
        .iter()
        .map(|filter| filter.slot)
        .collect();
    for one in some_of(evidence, courses.timeline) {
        directions.set(courses, &near.x, one);
        if !white.set(plant, rated, &directions, one, &near.scale, false, &mut laws) {
            continue;
        }
        white.local(&mut local);
        let others = &directions.entries[..directions.loading];
        summed.add(&local, others, &mut plain.matrix, &mut plain.right);
        plain.cost += local.cost;
        let unknowns = others.iter().map(|entry| entry.unknown);
        if !unknowns.clone().eq(last.iter().copied()) {
            last.clear();
            last.extend(unknowns);
            let mut list = last.clone();
            list.sort_unstable();
            list.dedup();
            places.clear();
            places.extend(
                last.iter()
                    .map(|unknown| list.partition_point(|one| one < unknown)),
            );
            lists.push(list);
        }
        let count = lists.last().map_or(0, Vec::len);
        let stages = slots.iter().map(|slot| {
            let own = STAGE - READ + slot;
            let mut with = [0.0; STAGES];
            for (with, other) in with.iter_mut().zip(&slots) {
                *with = local.matrix[own][STAGE - READ + other];
            }
            let mut across = vec![0.0; count];
            for (entry, place) in others.iter().zip(&places) {
                across[*place] += entry.slope * local.matrix[own][entry.local];
            }
            Stage {
                slot: *slot,
                value: directions.value[own],
                right: local.right[own],
                with,
                across,
            }
        });
        told.push(Told {
            one,
            stages: stages.collect(),
            others: lists.len().saturating_sub(1),
        });
    }
    summed.flush(&mut plain.matrix, &mut plain.right);
    // The nearest to the exponent that was fitted first: what falls far behind it need not be fitted to the end.
    let fitted = courses
        .unknowns
        .filters
        .first()
        .map_or(1.0, |filter| near.x[filter.exponent]);
    let mut each: Vec<(f64, f64)> = given
        .hermia
        .iter()
        .copied()
        .filter(|(_, chance)| *chance > 0.0)
        .collect();
    each.sort_by(|a, b| (a.0 - fitted).abs().total_cmp(&(b.0 - fitted).abs()));
    let mut best = f64::NEG_INFINITY;
    let mut found: Vec<Hypothesis> = Vec::new();
    for (exponent, chance) in each {
        let least = best - HOPELESS - chance.ln();
        let law = one_law(courses, &plain, (&told, &lists), near, exponent, least);
        let Some((ln_evidence, x, precision)) = law else {
            continue;
        };
        let ln_chance = chance.ln() + ln_evidence;
        if !(ln_chance.is_finite() && x.iter().all(|x| x.is_finite())) {
            continue;
        }
        best = best.max(ln_chance);
        found.push(Hypothesis {
            ln_chance,
            chance: 0.0,
            exponent: Some(exponent),
            x,
            precision,
        });
    }
    // Readings so absurd that no law has a solution.
    if found.is_empty() {
        return only();
    }
    to_chances(&mut found);
    found
}

/// Probabilities from their logarithms.
pub(super) fn to_chances(laws: &mut [Hypothesis]) {
    let best = laws
        .iter()
        .map(|law| law.ln_chance)
        .fold(f64::NEG_INFINITY, f64::max);
    let mut sum = 0.0;
    for law in laws.iter_mut() {
        law.chance = (law.ln_chance - best).exp();
        sum += law.chance;
    }
    for law in laws {
        law.chance /= sum;
    }
}

/// ln evidence but for what all laws share (none where it stays below `least`), the most probable unknowns and the factor of their inverse covariance.
fn one_law(
    courses: &Courses<'_>,
    plain: &Plain,
    (told, lists): (&[Told<'_>], &[Vec<usize>]),
    near: &Fit,
    exponent: f64,
    least: f64,
) -> Option<(f64, Vec<f64>, Cholesky)> {
    let unknowns = courses.unknowns.with_law(exponent);
    let courses = Courses {
        unknowns: &unknowns,
        ..*courses
    };
    let n = unknowns.mean.len();
    let mut x = near.x.clone();
    // A law that grows faster starts slower: the same water takes a new filter to its usual end.
    for filter in &unknowns.filters {
        let before = hermia::capacity(1.0, USUAL_END, near.x[filter.exponent].clamp(0.0, 2.0));
        x[filter.rate] += (hermia::capacity(1.0, USUAL_END, exponent) / before).ln();
        x[filter.exponent] = exponent;
    }
    let mut now = Directions::default();
    let mut round = 0;
    loop {
        let mut normal = Normal::of(&unknowns, plain, &x, &near.x);
        pulp::Arch::new().dispatch(All {
            normal: &mut normal,
            courses: &courses,
            x: &x,
            told,
            lists,
            now: &mut now,
        });
        let precision = Cholesky::of(normal.matrix, n)?;
        let mut step = precision.solve(&normal.right);
        for filter in &unknowns.filters {
            // The law is what is asked about.
            step[filter.exponent] = 0.0;
        }
        let far = step.iter().zip(&unknowns.sd).map(|(step, sd)| (step / sd).abs());
        let ln_evidence = -0.5 * (normal.cost + precision.ln_determinant());
        if far.fold(0.0, f64::max) < CLOSE || round == ROUNDS {
            return Some((ln_evidence, x, precision));
        }
        if round >= 3 && ln_evidence < least {
            return None;
        }
        for i in 0..n {
            let most = 2.0 * unknowns.sd[i].max(0.5 * (unknowns.mean[i] - x[i]).abs());
            x[i] += step[i].clamp(-most, most);
        }
        round += 1;
    }
}
