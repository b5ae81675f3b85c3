//! The membranes as a group: standardised flow, salt passage and drop against their limits.

use super::crossing::{FUTURES, normal};
use super::posterior::{DRIFT, USE};
use super::{Basis, Candidate, HORIZON_D, Limit, Quantiles, Scene, Spread};

/// Years of usual use beyond which no date is given anyway.
const LATEST_YEARS: f64 = 10.5;

pub(super) fn candidates(scene: &Scene<'_>) -> Vec<Candidate> {
    let each = bounds(scene).into_iter().enumerate();
    // Where the gauges can't see the drop along the elements its limit is not used.
    let used = each.filter(|(which, _)| *which < 2 || scene.posterior.drop_is_seen);
    used.map(|(which, (limit, bound))| course(scene, which, limit, bound))
        .chain(super::need::by_need(scene))
        .collect()
}

/// How far flow, salt passage and drop may go, in logarithms.
pub(super) fn bounds(scene: &Scene<'_>) -> [(Limit, f64); 3] {
    let limits = &scene.unit().limits;
    [
        (
            Limit::PermeateFlowDrop,
            -(1.0 - limits.permeate_flow_drop).max(0.01).ln(),
        ),
        (Limit::SaltPassageRise, limits.salt_passage_rise.ln_1p()),
        (Limit::PressureDropRise, limits.pressure_drop_rise.ln_1p()),
    ]
}

/// How far what ASTM D4516 shows has gone in one future, in logarithms, after so many years of usual use and days.
pub(super) fn shown(scene: &Scene<'_>, which: usize, future: usize, years: f64, d: f64) -> f64 {
    let posterior = scene.posterior;
    let Some(state) = posterior.membranes.get(future) else {
        return 0.0;
    };
    let mut worn = state.worn;
    // Salt is shown with what the lost flow hides of it; flow and drop are alone.
    for i in [0, which] {
        // The further off, the more the rate has wandered by then.
        let sd = scene.prior.bend_sd * (0.1 + years.min(5.0) / 1.5).sqrt();
        worn[i] = state.worn_after(i, years * (sd * normal(future, DRIFT + i)).exp());
    }
    let age = 1.0 + posterior.membrane_age_d;
    worn[0] += state.compaction * ((age + d) / age).ln();
    state.shown(which, worn)
}

fn course(scene: &Scene<'_>, which: usize, limit: Limit, bound: f64) -> Candidate {
    let posterior = scene.posterior;
    let now = |future: usize| &posterior.membranes[future];
    let due = Spread::each(|future| {
        let shown = |years: f64, d: f64| shown(scene, which, future, years, d);
        if shown(0.0, 0.0) >= bound {
            return 0.0;
        }
        let litres = |years: f64| years * posterior.clock.year_l;
        let day = |years: f64| posterior.clock.days_to(litres(years), normal(future, USE));
        // Wear only grows, and nearly straight: secants kept between too early and too late find when.
        let gap = |years: f64| shown(years, years * 365.25) - bound;
        let (mut low, mut high) = (0.0, LATEST_YEARS);
        let (mut low_gap, mut high_gap) = (gap(low), gap(high));
        if high_gap < 0.0 {
            return HORIZON_D;
        }
        let mut years = high;
        for _ in 0..8 {
            let next = low - low_gap * (high - low) / (high_gap - low_gap);
            let next_gap = gap(next);
            if (next - years).abs() < 2e-4 {
                years = next;
                break;
            }
            years = next;
            // The end that stays counts half the next time (Illinois; Dowell & Jarratt 1971; from memory).
            if next_gap < 0.0 {
                (low, low_gap, high_gap) = (next, next_gap, 0.5 * high_gap);
            } else {
                (high, high_gap, low_gap) = (next, next_gap, 0.5 * low_gap);
            }
        }
        day(years).min(HORIZON_D)
    });
    let used = (0..FUTURES).map(|future| (now(future).shown(which, now(future).worn) / bound).max(0.0));
    Candidate {
        limit,
        basis: if posterior.membranes_were_read {
            Basis::Readings
        } else {
            Basis::Age
        },
        due,
        used: Quantiles::of(used),
    }
}
