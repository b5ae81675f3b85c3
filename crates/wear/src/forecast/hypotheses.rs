//! Which of Hermia's laws the filters follow: each is fitted, and weighed by its evidence.
//!
//! The readings are linearised once, where the fit with an unsettled exponent stands. From then on a reading is a
//! quadratic in a few directions ([`Local`]); under each law only the stages that load up move in another way, so that
//! a round costs no law of the plant again.

use super::course::Courses;
use super::evidence::Evidence;
use super::fit::{ENOUGH, Fit, prior_equations};
use super::hermia;
use super::laws::Laws;
use super::linear::Cholesky;
use super::local::{Directions, LOCAL, Local, White};
use super::plant::{Plant, READ, Rated, STAGE};
use super::prior::Prior;
use super::timeline::Timeline;

/// Rounds of Gauss and Newton for each law.
const ROUNDS: usize = 12;
/// Readings, of many, that tell Hermia's laws apart.
const TELLING: usize = 60;
/// Resistance, over the clean filter's, at which filters usually go.
const USUAL_END: f64 = 4.0;

/// A law with its probability and the unknowns under it.
#[derive(Clone, Debug)]
pub(super) struct Hypothesis {
    pub(super) chance: f64,
    pub(super) x: Vec<f64>,
    pub(super) precision: Cholesky,
}

/// A reading linearised.
struct Told<'a> {
    one: &'a Evidence,
    local: Local,
    directions: Directions,
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
    prior: &Prior,
) -> Vec<Hypothesis> {
    if courses.timeline.filters.is_empty() {
        return vec![Hypothesis {
            chance: 1.0,
            x: near.x.clone(),
            precision: near.precision.clone(),
        }];
    }
    let mut laws = Laws::default();
    let told: Vec<Told<'_>> = some_of(evidence, courses.timeline)
        .into_iter()
        .filter_map(|one| {
            let mut directions = Directions::default();
            directions.set(courses, &near.x, one);
            let white = White::of(plant, rated, &directions, one, &near.scale, false, &mut laws)?;
            Some(Told {
                one,
                local: white.local(),
                directions,
            })
        })
        .collect();
    let each = prior.hermia.iter().filter(|(_, chance)| *chance > 0.0);
    let mut found: Vec<Hypothesis> = each
        .filter_map(|(exponent, chance)| {
            let (ln_evidence, x, precision) = one_law(courses, &told, near, *exponent)?;
            Some(Hypothesis {
                chance: chance.ln() + ln_evidence,
                x,
                precision,
            })
        })
        .collect();
    let best = found.iter().map(|law| law.chance).fold(f64::NEG_INFINITY, f64::max);
    let mut sum = 0.0;
    for law in &mut found {
        law.chance = (law.chance - best).exp();
        sum += law.chance;
    }
    for law in &mut found {
        law.chance /= sum;
    }
    found
}

/// ln evidence but for what all laws share, the most probable unknowns and the factor of their inverse covariance.
fn one_law(
    courses: &Courses<'_>,
    told: &[Told<'_>],
    near: &Fit,
    exponent: f64,
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
    let mut last = None;
    for round in 0..=ROUNDS {
        let (mut matrix, mut right, mut cost) = prior_equations(&unknowns.mean, &unknowns.sd, &x);
        for one in told {
            // All but what loads up moves as it was linearised.
            let mut by = [0.0; LOCAL];
            let then = &one.directions;
            for entry in &then.entries[..then.loading] {
                by[entry.local] += entry.slope * (x[entry.unknown] - near.x[entry.unknown]);
            }
            now.entries.clear();
            now.entries.extend_from_slice(&then.entries[..then.loading]);
            now.loading = then.loading;
            now.set_loading(&courses, &x, one.one);
            for filter in &courses.timeline.filters {
                let local = STAGE - READ + filter.slot;
                by[local] = now.value[local] - then.value[local];
            }
            let mut local = one.local.moved(&by);
            for filter in &courses.timeline.filters {
                local.loosen(STAGE - READ + filter.slot, now.uneven[filter.slot].powi(2));
            }
            cost += local.cost;
            local.add_to(&now.entries, &mut matrix, &mut right);
        }
        let precision = Cholesky::of(matrix, n)?;
        let ln_evidence = -0.5 * (cost + precision.ln_determinant());
        let step = precision.solve(&right);
        last = Some((ln_evidence, x.clone(), precision));
        let mut far: f64 = 0.0;
        for i in 0..n {
            far = far.max((step[i] / unknowns.sd[i]).abs());
        }
        if far < 0.02 || round == ROUNDS {
            break;
        }
        for i in 0..n {
            let most = 2.0 * unknowns.sd[i].max(0.5 * (unknowns.mean[i] - x[i]).abs());
            x[i] += step[i].clamp(-most, most);
        }
    }
    last
}
