//! The membranes in all futures at once, as ASTM D4516 shows them: flow, salt passage or drop against its limit.
//!
//! One value for each future in a column, and the futures side by side in the vectors of the processor.
#![expect(
    clippy::inline_always,
    reason = "all of the loop has to be compiled for the vectors that were found"
)]

use super::Scene;
use super::crossing::{FUTURES, normal};
use super::posterior::DRIFT;
use crate::vector_math::{exp, ln};

/// Years of usual use beyond which no date is given anyway.
const LATEST_YEARS: f64 = 10.5;
/// Years to which a crossing is found: a fifth of a day.
const NEAR_YEARS: f64 = 5e-4;
/// Rounds in which it is looked for; the futures that were found wait for the others.
const ROUNDS: usize = 10;

/// One value for each future.
type Column = [f64; FUTURES];

/// Flow, salt passage or drop in all futures.
pub(super) struct Shown {
    which: usize,
    columns: Box<Columns>,
    age_d: f64,
}

/// What each future has of flow and of the quantity itself.
struct Columns {
    /// exp of how far they have gone now, in logarithms: the resistance, or what stands for it.
    base: [Column; 2],
    rate: [Column; 2],
    /// How the rates wander.
    wander: [Column; 2],
    compaction: Column,
    polarisation: Column,
    osmotic_share: Column,
}

impl Shown {
    pub(super) fn of(scene: &Scene<'_>, which: usize) -> Self {
        let zero = [0.0; FUTURES];
        let mut columns = Box::new(Columns {
            base: [[1.0; FUTURES]; 2],
            rate: [zero; 2],
            wander: [zero; 2],
            compaction: zero,
            polarisation: zero,
            osmotic_share: zero,
        });
        for (future, state) in scene.posterior.membranes.iter().take(FUTURES).enumerate() {
            for (i, of) in [0, which].into_iter().enumerate() {
                columns.base[i][future] = exp(state.worn[of]);
                columns.rate[i][future] = state.rate[of];
                columns.wander[i][future] = scene.prior.bend_sd * normal(future, DRIFT + of);
            }
            columns.compaction[future] = state.compaction;
            columns.polarisation[future] = state.polarisation;
            columns.osmotic_share[future] = state.osmotic_share;
        }
        Self {
            which,
            columns,
            age_d: 1.0 + scene.posterior.membrane_age_d,
        }
    }

    /// How far it has gone in one future, in logarithms, after so many years of usual use and days.
    pub(super) fn at(&self, future: usize, years: f64, d: f64) -> f64 {
        let future = future.min(FUTURES - 1);
        match self.which {
            0 => self.columns.at::<0>(future, years, d / self.age_d),
            1 => self.columns.at::<1>(future, years, d / self.age_d),
            _ => self.columns.at::<2>(future, years, d / self.age_d),
        }
    }

    /// Years of usual use until it reaches the bound in each future: 0 where it has, infinite where it does not in time.
    pub(super) fn years_to(&self, bound: f64) -> Column {
        pulp::Arch::new().dispatch(YearsTo { shown: self, bound })
    }
}

impl Columns {
    /// `ages` are the days, over the age now.
    #[inline(always)]
    fn at<const WHICH: usize>(&self, f: usize, years: f64, ages: f64) -> f64 {
        // The further off, the more the rate has wandered by then.
        let near = if years < 5.0 { years } else { 5.0 };
        let far = (0.1 + near / 1.5).sqrt();
        if WHICH == 2 {
            return self.worn(1, f, years, far);
        }
        // Lost flow hides some of the risen salt passage.
        let flow = self.worn(0, f, years, far) + self.compaction[f] * ln(1.0 + ages);
        let salt = if WHICH == 1 {
            self.worn(1, f, years, far)
        } else {
            0.0
        };
        self.shown::<WHICH>(f, flow, salt)
    }

    #[inline(always)]
    fn worn(&self, i: usize, f: usize, years: f64, far: f64) -> f64 {
        ln(self.base[i][f] + self.rate[i][f] * years * exp(far * self.wander[i][f]))
    }

    /// With less flux the wall is less salty, which hides a little of the lost flow and some of the risen salt passage.
    #[inline(always)]
    fn shown<const WHICH: usize>(&self, f: usize, flow: f64, salt: f64) -> f64 {
        let (polarisation, share) = (self.polarisation[f], self.osmotic_share[f]);
        let flow = flow / (1.0 + share * polarisation);
        if WHICH == 0 {
            flow
        } else {
            salt - polarisation * (1.0 - exp(-flow))
        }
    }

    /// Wear only grows, and nearly straight: the first guess is where it would go straight, then secants, kept between
    /// what is known to be too early and too late.
    #[inline(always)]
    fn years_to<const WHICH: usize>(&self, bound: f64, age_d: f64) -> Column {
        let year = 365.25 / age_d;
        let (mut low, mut high) = ([0.0; FUTURES], [LATEST_YEARS; FUTURES]);
        let (mut before, mut before_gap) = ([0.0; FUTURES], [0.0; FUTURES]);
        let mut years = [0.0; FUTURES];
        // 1 while it is looked for.
        let mut open = [0.0; FUTURES];
        let mut gaps = [0.0; FUTURES];
        let end = exp(bound);
        for f in 0..FUTURES {
            let start = self.at::<WHICH>(f, 0.0, 0.0) - bound;
            let straight = (end - self.base[1][f]) / self.rate[1][f];
            let straight = if straight > 1e-6 { straight } else { 1e-6 };
            let straight = if straight < LATEST_YEARS {
                straight
            } else {
                LATEST_YEARS
            };
            before_gap[f] = start;
            years[f] = if start >= 0.0 { 0.0 } else { straight };
            open[f] = if start >= 0.0 { 0.0 } else { 1.0 };
        }
        for _ in 0..ROUNDS {
            for f in 0..FUTURES {
                gaps[f] = self.at::<WHICH>(f, years[f], years[f] * year) - bound;
            }
            for f in 0..FUTURES {
                let (asked, gap) = (years[f], gaps[f]);
                let early = gap < 0.0;
                let never = early && (asked >= LATEST_YEARS);
                low[f] = if early { asked } else { low[f] };
                high[f] = if early { high[f] } else { asked };
                let secant = asked - gap * (asked - before[f]) / (gap - before_gap[f]);
                // Beyond what is known to be too late only before anything was: then the end itself is asked next.
                let beyond = (high[f] >= LATEST_YEARS) && (secant >= high[f]);
                let middle = 0.5 * (low[f] + high[f]);
                let outside = if beyond { LATEST_YEARS } else { middle };
                let next = if (secant > low[f]) && (secant < high[f]) {
                    secant
                } else {
                    outside
                };
                let next = if never { f64::INFINITY } else { next };
                let is_open = open[f] > 0.0;
                before[f] = asked;
                before_gap[f] = gap;
                years[f] = if is_open { next } else { asked };
                let found = never || ((next - asked).abs() < NEAR_YEARS);
                open[f] = if found { 0.0 } else { open[f] };
            }
            if open.iter().all(|open| *open <= 0.0) {
                break;
            }
        }
        years
    }
}

/// What [`Shown::years_to`] is called with.
struct YearsTo<'a> {
    shown: &'a Shown,
    bound: f64,
}

impl pulp::NullaryFnOnce for YearsTo<'_> {
    type Output = Column;

    #[inline(always)]
    fn call(self) -> Column {
        let (columns, age_d) = (&*self.shown.columns, self.shown.age_d);
        match self.shown.which {
            0 => columns.years_to::<0>(self.bound, age_d),
            1 => columns.years_to::<1>(self.bound, age_d),
            _ => columns.years_to::<2>(self.bound, age_d),
        }
    }
}
