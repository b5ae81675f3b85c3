//! Which of Hermia's laws the filters follow: each is fitted, and weighed by its evidence.
//!
//! The readings are linearised once, where the fit with an unsettled exponent stands. From then on a reading is a
//! quadratic in a few directions; under each law only the stages that load up move in another way, so that
//! a round costs no law of the plant again.

use super::course::Courses;
use super::evidence::Evidence;
use super::fit::{ENOUGH, Fit, prior};
use super::hermia;
use super::laws::Laws;
use super::linear::Cholesky;
use super::local::{Directions, Summed, White};
use super::plant::{Plant, READ, Rated, STAGE, STAGES};
use super::prior::Prior;
use super::timeline::Timeline;
use super::unknowns::Unknowns;

/// Rounds of Gauss and Newton for each law.
const ROUNDS: usize = 8;
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
struct Stage {
    slot: usize,
    /// Value of its direction where the reading was linearised.
    value: f64,
    /// Pull on it there.
    right: f64,
    /// Information that it shares with each of the reading's loading stages.
    with: [f64; STAGES],
    /// Information that it shares with the other unknowns.
    across: Vec<(usize, f64)>,
}

/// A reading linearised.
struct Told<'a> {
    one: &'a Evidence,
    stages: Vec<Stage>,
}

/// All readings' information on the unknowns that no law of loading moves.
struct Plain {
    matrix: Vec<f64>,
    right: Vec<f64>,
    cost: f64,
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
    let mut told = Vec::new();
    let mut summed = Summed::default();
    let (mut laws, mut directions) = (Laws::default(), Directions::default());
    let slots: Vec<usize> = courses
        .timeline
        .filters
        .iter()
        .map(|filter| filter.slot)
        .collect();
    for one in some_of(evidence, courses.timeline) {
        directions.set(courses, &near.x, one);
        let white = White::of(plant, rated, &directions, one, &near.scale, false, &mut laws);
        let Some(local) = white.map(|white| white.local()) else {
            continue;
        };
        let others = &directions.entries[..directions.loading];
        summed.add(&local, others, &mut plain.matrix, &mut plain.right);
        plain.cost += local.cost;
        let stages = slots.iter().map(|slot| {
            let own = STAGE - READ + slot;
            let mut with = [0.0; STAGES];
            for (with, other) in with.iter_mut().zip(&slots) {
                *with = local.matrix[own][STAGE - READ + other];
            }
            let across = others
                .iter()
                .map(|entry| (entry.unknown, entry.slope * local.matrix[own][entry.local]))
                .filter(|(_, by)| *by != 0.0);
            Stage {
                slot: *slot,
                value: directions.value[own],
                right: local.right[own],
                with,
                across: across.collect(),
            }
        });
        told.push(Told {
            one,
            stages: stages.collect(),
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
        let law = one_law(courses, &plain, &told, near, exponent, least);
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
    told: &[Told<'_>],
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
        for told in told {
            now.set_loading(&courses, &x, told.one);
            normal.add(&told.stages, &now);
        }
        let precision = Cholesky::of(normal.matrix, n)?;
        let step = precision.solve(&normal.right);
        let far = step.iter().zip(&unknowns.sd).map(|(step, sd)| (step / sd).abs());
        let ln_evidence = -0.5 * (normal.cost + precision.ln_determinant());
        if far.fold(0.0, f64::max) < 0.02 || round == ROUNDS {
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

/// Normal equations under one law, of whose matrix only the upper triangle is kept.
struct Normal {
    n: usize,
    matrix: Vec<f64>,
    right: Vec<f64>,
    cost: f64,
    /// How far the unknowns have moved from where the readings were linearised.
    moved: Vec<f64>,
}

impl Normal {
    /// The prior, and what moves as it was linearised.
    fn of(unknowns: &Unknowns, plain: &Plain, x: &[f64], then: &[f64]) -> Self {
        let n = x.len();
        let mut matrix = plain.matrix.clone();
        let mut right = vec![0.0; n];
        let mut cost = plain.cost + prior(unknowns, &unknowns.sd, x, &mut matrix, &mut right);
        let moved: Vec<f64> = x.iter().zip(then).map(|(x, then)| x - then).collect();
        let mut pull = vec![0.0; n];
        for i in 0..n {
            let row = &plain.matrix[i * n + i..(i + 1) * n];
            pull[i] += row[0] * moved[i];
            for (j, by) in (i + 1..n).zip(&row[1..]) {
                pull[i] += by * moved[j];
                pull[j] += by * moved[i];
            }
        }
        for i in 0..n {
            cost += moved[i] * (pull[i] - 2.0 * plain.right[i]);
            right[i] += plain.right[i] - pull[i];
        }
        Self {
            n,
            matrix,
            right,
            cost,
            moved,
        }
    }

    fn put(&mut self, i: usize, j: usize, value: f64) {
        let (low, high) = if i < j { (i, j) } else { (j, i) };
        self.matrix[low * self.n + high] += value;
    }

    /// What one reading says of its loading stages, and through them of all else.
    ///
    /// With `t` the derivatives of a stage's direction, `j` the information it shares with the other unknowns and `g`
    /// that with itself, its part is `j t' + t j' + g t t'`; the dirt's unevenness takes `w p p'` off, where
    /// `p = j + g t` (Sherman and Morrison).
    fn add(&mut self, stages: &[Stage], now: &Directions) {
        let mut left = [0.0; STAGES];
        let mut pull = [0.0; STAGES];
        let mut by = [0.0; STAGES];
        for (i, stage) in stages.iter().enumerate() {
            by[i] = now.value[STAGE - READ + stage.slot] - stage.value;
        }
        for (i, stage) in stages.iter().enumerate() {
            let across: f64 = stage
                .across
                .iter()
                .map(|(unknown, by)| by * self.moved[*unknown])
                .sum();
            let own: f64 = stage.with.iter().zip(by).map(|(with, by)| with * by).sum();
            left[i] = stage.right - across - own;
            pull[i] = left[i];
            self.cost += by[i] * (2.0 * across + own - 2.0 * stage.right);
            for (unknown, across) in &stage.across {
                self.right[*unknown] -= across * by[i];
            }
        }
        // Columns of the stages: information with each other, and how the earlier ones' unevenness enters.
        let mut columns: [[f64; STAGES]; STAGES] = [[0.0; STAGES]; STAGES];
        for (column, stage) in columns.iter_mut().zip(stages) {
            *column = stage.with;
        }
        // Share of each stage's column in the column as it stands after the earlier ones were loosened.
        let mut mixed = [[0.0; STAGES]; STAGES];
        for (i, row) in mixed.iter_mut().enumerate() {
            row[i] = 1.0;
        }
        let mut weights = [0.0; STAGES];
        for i in 0..stages.len() {
            let variance = now.uneven[stages[i].slot].powi(2);
            let whole = 1.0 + variance * columns[i][i];
            weights[i] = variance / whole;
            self.cost += whole.ln() - weights[i] * left[i] * left[i];
            for k in i + 1..stages.len() {
                let share = weights[i] * columns[k][i];
                for l in 0..STAGES {
                    columns[k][l] -= share * columns[i][l];
                    mixed[k][l] -= share * mixed[i][l];
                }
                left[k] -= share * left[i];
            }
        }
        let entries = &now.entries[now.loading..];
        let index_of = |local: usize| stages.iter().position(|stage| STAGE - READ + stage.slot == local);
        // Information between stages a and b after loosening, and what each stage's j contributes to another's t.
        let mut own = [[0.0; STAGES]; STAGES];
        let mut cross = [[0.0; STAGES]; STAGES];
        for a in 0..stages.len() {
            for b in 0..stages.len() {
                own[a][b] = stages[a].with[b];
                cross[a][b] = if a == b { 1.0 } else { 0.0 };
                for i in 0..stages.len() {
                    own[a][b] -= weights[i] * columns[i][a] * columns[i][b];
                    cross[a][b] -= weights[i] * columns[i][a] * mixed[i][b];
                }
            }
        }
        for a in 0..stages.len() {
            for i in 0..stages.len() {
                pull[a] -= weights[i] * columns[i][a] * left[i];
            }
        }
        for (e, entry) in entries.iter().enumerate() {
            let Some(a) = index_of(entry.local) else { continue };
            self.right[entry.unknown] += entry.slope * pull[a];
            for (b, stage) in stages.iter().enumerate() {
                let share = entry.slope * cross[a][b];
                if share != 0.0 {
                    for (unknown, across) in &stage.across {
                        self.put(entry.unknown, *unknown, share * across);
                    }
                }
            }
            for other in &entries[..=e] {
                let Some(b) = index_of(other.local) else { continue };
                let each = entry.slope * other.slope * own[a][b];
                let twice = entry.unknown == other.unknown && !std::ptr::eq(entry, other);
                self.put(
                    entry.unknown,
                    other.unknown,
                    if twice { 2.0 * each } else { each },
                );
            }
        }
        for i in 0..stages.len() {
            // Where the dirt's unevenness is far below what the gauges see it changes nothing of the others.
            if weights[i] * columns[i][i] < 1e-3 {
                continue;
            }
            let mut column: Vec<(usize, f64)> = Vec::with_capacity(48);
            for (stage, share) in stages.iter().zip(mixed[i]) {
                if share != 0.0 {
                    column.extend(stage.across.iter().map(|(unknown, by)| (*unknown, share * by)));
                }
            }
            for (k, (unknown, by)) in column.iter().enumerate() {
                let share = weights[i] * by;
                self.right[*unknown] -= share * left[i];
                for (other, also) in &column[..k] {
                    let each = -share * also;
                    self.put(*unknown, *other, if unknown == other { 2.0 * each } else { each });
                }
                self.put(*unknown, *unknown, -share * by);
            }
        }
    }
}
