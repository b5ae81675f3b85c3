//! The membranes as a group: standardised flow, salt passage and drop against their limits.

use super::crossing::{FUTURES, normal};
use super::posterior::USE;
use super::shown::Shown;
use super::{Basis, Candidate, HORIZON_D, Limit, Quantiles, Scene, Spread};

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

fn course(scene: &Scene<'_>, which: usize, limit: Limit, bound: f64) -> Candidate {
    let posterior = scene.posterior;
    let shown = Shown::of(scene, which);
    let years = shown.years_to(bound);
    let due = Spread::each(|future| match years[future] {
        years if years <= 0.0 => 0.0,
        years if years.is_finite() => posterior.days_to(years, normal(future, USE)).min(HORIZON_D),
        _ => HORIZON_D,
    });
    let used = (0..FUTURES).map(|future| (shown.at(future, 0.0, 0.0) / bound).max(0.0));
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
