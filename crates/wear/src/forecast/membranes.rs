//! The membranes as a group: standardised flow, salt passage and drop against their limits.

use super::crossing::Approach;
use super::{Basis, Candidate, Limit, Quantiles, Scene, Spread};
use crate::lives::{cleaned_between, days};
use crate::robust::{spread, theil_sen};
use crate::standardise::{Estimate, StandardisedReading};

/// What a membrane's ln flow and ln salt passage do in a year, before anything was read; mean and standard
/// deviation (common practice, no source: two to five years of life).
const FLOW_A_YEAR: (f64, f64) = (-0.07, 0.12);
const PASSAGE_A_YEAR: (f64, f64) = (0.12, 0.25);
const DROP_A_YEAR: (f64, f64) = (0.10, 0.30);

/// One of the membranes' three quantities.
struct Course {
    limit: Limit,
    /// ln of the limit over the baseline.
    bound: f64,
    a_year: (f64, f64),
    stream: u32,
}

pub(super) fn candidates(scene: &Scene<'_>) -> Vec<Candidate> {
    let limits = &scene.unit().limits;
    let flow = |one: &StandardisedReading| one.relative_permeate_flow.filter(|_| one.flow_is_sound());
    let salt = |one: &StandardisedReading| one.relative_salt_passage.filter(|_| one.salt_is_sound());
    let drop = |one: &StandardisedReading| one.relative_pressure_drop.filter(|_| one.flow_is_sound());
    let courses = [
        Course {
            limit: Limit::PermeateFlowDrop,
            bound: (1.0 - limits.permeate_flow_drop).ln(),
            a_year: FLOW_A_YEAR,
            stream: 1,
        },
        Course {
            limit: Limit::SaltPassageRise,
            bound: limits.salt_passage_rise.ln_1p(),
            a_year: PASSAGE_A_YEAR,
            stream: 2,
        },
        Course {
            limit: Limit::PressureDropRise,
            bound: limits.pressure_drop_rise.ln_1p(),
            a_year: DROP_A_YEAR,
            stream: 3,
        },
    ];
    let mut candidates = vec![course(scene, &courses[0], flow), course(scene, &courses[1], salt)];
    // Where the gauges can't see the drop along the elements its limit is not used.
    if scene
        .standardisation
        .readings
        .iter()
        .any(|one| one.relative_pressure_drop.is_some())
    {
        candidates.push(course(scene, &courses[2], drop));
    }
    candidates
}

fn course(
    scene: &Scene<'_>,
    course: &Course,
    value: impl Fn(&StandardisedReading) -> Option<Estimate>,
) -> Candidate {
    let life = scene
        .standardisation
        .lives
        .iter()
        .rposition(|life| life.start <= scene.as_of)
        .unwrap_or(0);
    let start = scene
        .standardisation
        .lives
        .get(life)
        .map_or(scene.as_of, |life| life.start);
    let ids: Vec<&str> = scene
        .unit()
        .membranes
        .elements
        .iter()
        .map(|element| element.id.as_str())
        .collect();
    let cleaned = |at| {
        ids.iter()
            .any(|id| cleaned_between(id, at, scene.as_of, scene.history.events))
    };
    let of_life = |one: &&StandardisedReading| one.life == life && one.at <= scene.as_of;
    // Readings from before the last cleaning say nothing of where the membranes stand now.
    let points: Vec<(f64, f64, f64)> = scene
        .standardisation
        .readings
        .iter()
        .filter(of_life)
        .filter(|one| !cleaned(one.at))
        .filter_map(|one| {
            let estimate = value(one).filter(|estimate| estimate.value > 0.0)?;
            Some((
                days(scene.as_of, one.at),
                estimate.value.ln(),
                estimate.sd / estimate.value,
            ))
        })
        .collect();
    let (prior, prior_sd) = (course.a_year.0 / 365.25, course.a_year.1 / 365.25);
    let age = days(start, scene.as_of).max(0.0);
    let xy: Vec<(f64, f64)> = points.iter().map(|(x, y, _)| (*x, *y)).collect();
    let line = if points.len() >= 4 { theil_sen(&xy) } else { None };
    let (level, level_sd, slope, slope_sd, basis) = match line {
        Some(line) => {
            let residuals: Vec<f64> = xy.iter().map(|(x, y)| y - line.at(*x)).collect();
            let sd = spread(&residuals, 0.0).unwrap_or(0.05).max(0.01);
            let n = xy.len() as f64;
            let mean = xy.iter().map(|(x, _)| x).sum::<f64>() / n;
            let sxx = xy.iter().map(|(x, _)| (x - mean).powi(2)).sum::<f64>().max(1.0);
            // A robust slope is a little less sharp than least squares; and rates drift.
            let read_sd = 1.1 * sd / sxx.sqrt();
            let (wr, wp) = (1.0 / (read_sd * read_sd), 1.0 / (prior_sd * prior_sd));
            let slope = (line.slope * wr + prior * wp) / (wr + wp);
            let drift = 0.35 * slope.abs().max(0.3 * prior.abs());
            let level_sd = (sd / n.sqrt()).hypot(read_sd * mean.abs());
            (
                line.at(0.0),
                level_sd,
                slope,
                (1.0 / (wr + wp)).sqrt().hypot(drift),
                Basis::Readings,
            )
        }
        None => {
            // Too few readings for a line: the last of them for the level, the calendar for the rate.
            let last = points.last();
            let level = last.map_or(prior * age, |(x, y, _)| y - prior * x);
            let sd = last.map_or(prior_sd * age, |(x, _, sd)| sd.hypot(prior_sd * x));
            (level, sd.max(0.02), prior, prior_sd, Basis::Age)
        }
    };
    let sign = course.bound.signum();
    let approach = Approach {
        distance: (course.bound - level) * sign,
        distance_sd: level_sd,
        rate: slope * sign,
        rate_sd: slope_sd,
    };
    let used = |z: f64| (level * sign + z * level_sd) / course.bound.abs();
    Candidate {
        limit: course.limit,
        basis,
        due: Spread::of(&approach, course.stream),
        used: Quantiles {
            p10: used(-1.2816).max(0.0),
            p50: used(0.0).max(0.0),
            p90: used(1.2816).max(0.0),
        },
    }
}
