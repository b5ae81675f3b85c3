//! The membranes as a group: standardised flow, salt passage and drop against their limits.

use super::crossing::{FUTURES, normal};
use super::posterior::{DRIFT, USE};
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
        let state = now(future);
        let shown = |years: f64, d: f64| {
            let mut worn = state.worn;
            for (i, worn) in worn.iter_mut().enumerate() {
                // The further off, the more the rate has wandered by then.
                let sd = scene.prior.bend_sd * (0.1 + years.min(5.0) / 1.5).sqrt();
                *worn += state.rate[i] * years * (sd * normal(future, DRIFT + i)).exp();
            }
            let age = 1.0 + posterior.membrane_age_d;
            worn[0] += state.compaction * ((age + d) / age).ln();
            state.shown(which, worn)
        };
        if shown(0.0, 0.0) >= bound {
            return 0.0;
        }
        let litres = |years: f64| years * posterior.clock.usual_l_d * 365.25;
        let day = |years: f64| posterior.clock.days_to(litres(years), normal(future, USE));
        // Wear only grows: halving finds when.
        let (mut low, mut high) = (0.0, 10.5);
        if shown(high, HORIZON_D) < bound {
            return HORIZON_D;
        }
        for _ in 0..14 {
            let middle = f64::midpoint(low, high);
            if shown(middle, middle * 365.25) < bound {
                low = middle;
            } else {
                high = middle;
            }
        }
        day(f64::midpoint(low, high)).min(HORIZON_D)
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
