//! The membranes as a group: standardised flow, salt passage and drop against their limits.

use super::crossing::{FUTURES, normal};
use super::posterior::{DRIFT, MembraneNow, USE};
use super::{Basis, Candidate, HORIZON_D, Limit, Quantiles, Scene, Spread};

pub(super) fn candidates(scene: &Scene<'_>) -> Vec<Candidate> {
    let limits = &scene.unit().limits;
    // How far each may go, in logarithms.
    let courses = [
        (
            Limit::PermeateFlowDrop,
            -(1.0 - limits.permeate_flow_drop).max(0.01).ln(),
        ),
        (Limit::SaltPassageRise, limits.salt_passage_rise.ln_1p()),
        (Limit::PressureDropRise, limits.pressure_drop_rise.ln_1p()),
    ];
    let each = courses.iter().enumerate();
    // Where the gauges can't see the drop along the elements its limit is not used.
    let used = each.filter(|(which, _)| *which < 2 || scene.posterior.drop_is_seen);
    used.map(|(which, (limit, bound))| course(scene, which, *limit, *bound))
        .collect()
}

fn course(scene: &Scene<'_>, which: usize, limit: Limit, bound: f64) -> Candidate {
    let posterior = scene.posterior;
    let now = |future: usize| &posterior.membranes[future];
    let due = Spread::each(|future| {
        let state: &MembraneNow = now(future);
        let left = bound - state.worn[which];
        if left <= 0.0 {
            return 0.0;
        }
        let compacted = |d: f64| {
            if which == 0 {
                state.compaction
                    * ((1.0 + posterior.membrane_age_d + d) / (1.0 + posterior.membrane_age_d)).ln()
            } else {
                0.0
            }
        };
        let mut d = 0.0;
        for _ in 0..3 {
            let left = left - compacted(d);
            if left <= 0.0 {
                break;
            }
            let years = left / state.rate[which];
            // The further off, the more the rate has wandered by then.
            let sd = scene.prior.bend_sd * (0.1 + years.min(5.0) / 1.5).sqrt();
            let years = years * (-sd * normal(future, DRIFT + which)).exp();
            d = posterior.days_to(years, normal(future, USE));
        }
        d.min(HORIZON_D)
    });
    let used = (0..FUTURES).map(|future| (now(future).worn[which] / bound).max(0.0));
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
