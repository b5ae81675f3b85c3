//! Days until a limit is crossed, as equally likely futures.

use std::sync::OnceLock;

use crate::forecast::{HORIZON_D, Quantiles};

/// Number of equally likely futures that a spread is made of.
pub(super) const FUTURES: usize = 512;

/// Days until something happens, as equally likely futures; future `i` of two spreads is the same future.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread(Vec<f64>);

impl Spread {
    /// Known to the day.
    pub fn certain(d: f64) -> Self {
        Self(vec![d; FUTURES])
    }

    /// From the days of each future.
    pub(super) fn each(day: impl FnMut(usize) -> f64) -> Self {
        Self((0..FUTURES).map(day).collect())
    }

    /// The first of several to happen, future by future. None of none.
    pub fn first_of<'a>(mut spreads: impl Iterator<Item = &'a Self>) -> Option<Self> {
        let mut first = spreads.next()?.clone();
        for other in spreads {
            for (a, b) in first.0.iter_mut().zip(&other.0) {
                *a = a.min(*b);
            }
        }
        Some(first)
    }

    /// Of several, the one that is first in most futures; where in most of them something is over its limit already, the one
    /// that is so in most. Of two alike the earlier one; none of none. Futures in which nothing comes in time say nothing.
    pub(super) fn mostly_first<'a>(spreads: impl Iterator<Item = &'a Self>) -> Option<usize> {
        let spreads: Vec<&Self> = spreads.collect();
        let first = Self::first_of(spreads.iter().copied())?;
        let now = first.0.iter().filter(|day| **day <= 0.0).count() > FUTURES / 2;
        let least = |day: f64| if now { 0.0 } else { day };
        let firsts: Vec<usize> = spreads
            .iter()
            .map(|spread| {
                let each = spread.0.iter().zip(&first.0);
                each.filter(|(own, first)| **own < HORIZON_D && **own <= least(**first))
                    .count()
            })
            .collect();
        let most = firsts.iter().copied().max()?;
        let each = spreads.iter().zip(&firsts).enumerate();
        each.filter(|(_, (_, count))| **count == most)
            .min_by(|(_, (a, _)), (_, (b, _))| a.median().total_cmp(&b.median()))
            .map(|(i, _)| i)
    }

    /// Half of the futures are sooner.
    pub fn median(&self) -> f64 {
        let mut days = self.0.clone();
        *days.select_nth_unstable_by(FUTURES / 2, f64::total_cmp).1
    }

    /// One, five and nine tenths of the futures are sooner.
    pub fn quantiles(&self) -> Quantiles {
        Quantiles::of(self.0.iter().copied())
    }

    /// Share of futures in which it happens within so many days.
    pub fn chance_within(&self, d: f64) -> f64 {
        self.0.iter().filter(|day| **day <= d).count() as f64 / FUTURES as f64
    }
}

/// A standard normal value of one future: a low-discrepancy sequence through the normal's inverse. The stream
/// keeps different quantities of one future apart.
pub(super) fn normal(future: usize, stream: usize) -> f64 {
    // The same every time, and asked for by every part: each stream is worked out once.
    static KEPT: [OnceLock<Box<[f64]>>; STREAMS] = [const { OnceLock::new() }; STREAMS];
    let kept = KEPT.get(stream % STREAMS).map(|stream_of| {
        stream_of.get_or_init(|| (0..FUTURES).map(|future| drawn(future, stream)).collect())
    });
    let known = kept.and_then(|values| values.get(future).copied());
    known.unwrap_or_else(|| drawn(future, stream))
}

/// Streams that are told apart.
const STREAMS: usize = 16;

fn drawn(future: usize, stream: usize) -> f64 {
    // Steps of an additive recurrence by square roots of primes (Richtmyer 1951; from memory).
    const ROOTS: [f64; STREAMS] = [
        0.414_213_562_373_095,
        0.732_050_807_568_877,
        0.236_067_977_499_790,
        0.645_751_311_064_591,
        0.316_624_790_355_400,
        0.605_551_275_463_989,
        0.123_105_625_617_661,
        0.358_898_943_540_674,
        0.795_831_523_312_719,
        0.385_164_807_134_504,
        0.567_764_362_830_022,
        0.082_762_530_298_219,
        0.403_124_237_432_849,
        0.557_438_524_302_000,
        0.855_654_600_401_044,
        0.280_109_889_280_518,
    ];
    let step = ROOTS.get(stream % ROOTS.len()).copied().unwrap_or(0.5);
    inverse_normal((0.5 + (future + 1) as f64 * step).fract())
}

/// Inverse of the standard normal distribution (Acklam's rational approximation, relative error 1.2e-9;
/// from memory). `p` is kept off 0 and 1.
pub(super) fn inverse_normal(p: f64) -> f64 {
    const A: [f64; 6] = [
        -3.969_683_028_665_376e1,
        2.209_460_984_245_205e2,
        -2.759_285_104_469_687e2,
        1.383_577_518_672_69e2,
        -3.066_479_806_614_716e1,
        2.506_628_277_459_239,
    ];
    const B: [f64; 5] = [
        -5.447_609_879_822_406e1,
        1.615_858_368_580_409e2,
        -1.556_989_798_598_866e2,
        6.680_131_188_771_972e1,
        -1.328_068_155_288_572e1,
    ];
    const C: [f64; 6] = [
        -7.784_894_002_430_293e-3,
        -3.223_964_580_411_365e-1,
        -2.400_758_277_161_838,
        -2.549_732_539_343_734,
        4.374_664_141_464_968,
        2.938_163_982_698_783,
    ];
    const D: [f64; 4] = [
        7.784_695_709_041_462e-3,
        3.224_671_290_700_398e-1,
        2.445_134_137_142_996,
        3.754_408_661_907_416,
    ];
    let horner = |coefficients: &[f64], x: f64| coefficients.iter().fold(0.0, |sum, c| sum * x + c);
    let p = p.clamp(1e-9, 1.0 - 1e-9);
    let tail = |p: f64| {
        let q = (-2.0 * p.ln()).sqrt();
        horner(&C, q) / (horner(&D, q) * q + 1.0)
    };
    if p < 0.024_25 {
        tail(p)
    } else if p > 1.0 - 0.024_25 {
        -tail(1.0 - p)
    } else {
        let q = p - 0.5;
        let r = q * q;
        horner(&A, r) * q / (horner(&B, r) * r + 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn regress_the_limit_that_is_named_is_first_in_most_futures() {
        // In three futures of four the first comes in ten days, in one never; the second always in a hundred.
        let often = Spread::each(|future| if future % 4 == 0 { HORIZON_D } else { 10.0 });
        let late = Spread::certain(100.0);
        assert_eq!(Spread::mostly_first([&late, &often].into_iter()), Some(1));
        // In one future of four.
        let seldom = Spread::each(|future| if future % 4 == 0 { 10.0 } else { HORIZON_D });
        assert_eq!(Spread::mostly_first([&late, &seldom].into_iter()), Some(0));
        // Nothing comes in time: the first of those alike.
        let never = Spread::certain(HORIZON_D);
        assert_eq!(Spread::mostly_first([&never, &never].into_iter()), Some(0));
        assert_eq!(Spread::mostly_first(std::iter::empty()), None);
        // Over its limit in most futures, against one that would be next in all the others.
        let over = Spread::each(|future| if future % 8 < 5 { 0.0 } else { 500.0 });
        let next = Spread::each(|future| if future % 2 == 0 { 0.0 } else { 50.0 });
        assert_eq!(Spread::mostly_first([&next, &over].into_iter()), Some(1));
    }
}
