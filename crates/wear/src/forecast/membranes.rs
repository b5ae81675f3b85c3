//! The membranes as a group: standardised flow, salt passage and drop against their limits.

use super::crossing::{FUTURES, normal};
use super::posterior::{DRIFT, MembraneNow, USE};
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

/// The membranes in one future, as ASTM D4516 shows one of flow, salt passage and drop.
pub(super) struct Shown<'a> {
    which: usize,
    state: &'a MembraneNow,
    /// Resistance, or what stands for it, now: exp of what has worn; of flow and of the quantity itself.
    base: [f64; 2],
    /// How the rates wander in this future.
    wander: [f64; 2],
    age_d: f64,
}

impl<'a> Shown<'a> {
    /// None of a future that is none.
    pub(super) fn of(scene: &Scene<'a>, which: usize, future: usize) -> Option<Self> {
        let state = scene.posterior.membranes.get(future)?;
        let each = [0, which];
        Some(Self {
            which,
            state,
            base: each.map(|i| state.worn[i].exp()),
            wander: each.map(|i| scene.prior.bend_sd * normal(future, DRIFT + i)),
            age_d: 1.0 + scene.posterior.membrane_age_d,
        })
    }

    /// How far it has gone, in logarithms, after so many years of usual use and days.
    pub(super) fn at(&self, years: f64, d: f64) -> f64 {
        // The further off, the more the rate has wandered by then.
        let far = (0.1 + years.min(5.0) / 1.5).sqrt();
        let worn = |i: usize, of: usize| {
            (self.base[i] + self.state.rate[of] * years * (far * self.wander[i]).exp()).ln()
        };
        let mut all = self.state.worn;
        all[self.which] = worn(1, self.which);
        // Lost flow hides some of the risen salt passage.
        if self.which < 2 {
            if self.which == 1 {
                all[0] = worn(0, 0);
            }
            all[0] += self.state.compaction * (1.0 + d / self.age_d).ln();
        }
        self.state.shown(self.which, all)
    }

    /// Years of usual use to the bound, were it to go on straight: where to look first.
    fn guess(&self, bound: f64) -> f64 {
        (bound.exp() - self.base[1]) / self.state.rate[self.which]
    }
}

fn course(scene: &Scene<'_>, which: usize, limit: Limit, bound: f64) -> Candidate {
    let posterior = scene.posterior;
    let now = |future: usize| &posterior.membranes[future];
    let due = Spread::each(|future| {
        let Some(course) = Shown::of(scene, which, future) else {
            return HORIZON_D;
        };
        let shown = |years: f64, d: f64| course.at(years, d);
        let gap = |years: f64| shown(years, years * 365.25) - bound;
        let start = gap(0.0);
        if start >= 0.0 {
            return 0.0;
        }
        let litres = |years: f64| years * posterior.clock.year_l;
        let day = |years: f64| posterior.clock.days_to(litres(years), normal(future, USE));
        // Wear only grows, and nearly straight: the first guess is where it would go straight, then secants, kept
        // between what is known to be too early and too late.
        let (mut low, mut high) = (0.0, LATEST_YEARS);
        let (mut before, mut before_gap) = (0.0, start);
        let mut years = course.guess(bound).clamp(1e-6, LATEST_YEARS);
        for _ in 0..10 {
            let now = gap(years);
            if now < 0.0 {
                if years >= LATEST_YEARS {
                    return HORIZON_D;
                }
                low = years;
            } else {
                high = years;
            }
            let secant = years - now * (years - before) / (now - before_gap);
            // Beyond what is known to be too late only before anything was: then the end itself is asked next.
            let next = if secant > low && secant < high {
                secant
            } else if high >= LATEST_YEARS && secant >= high {
                LATEST_YEARS
            } else {
                f64::midpoint(low, high)
            };
            (before, before_gap) = (years, now);
            let step = (next - years).abs();
            years = next;
            if step < 5e-4 {
                break;
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
