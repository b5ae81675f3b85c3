//! From a level and a rate, each with its uncertainty, to the time at which a limit is crossed.

use crate::forecast::{HORIZON_D, Quantiles};

/// Number of equally likely futures that a spread is made of.
const FUTURES: usize = 256;

/// Days until something happens, as equally likely futures; future `i` of two spreads is the same future.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread(Vec<f64>);

/// A quantity that goes towards its limit in a straight line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Approach {
    /// Distance to the limit now; negative when over it.
    pub distance: f64,
    /// Its standard deviation.
    pub distance_sd: f64,
    /// Distance lost per day.
    pub rate: f64,
    /// Its standard deviation.
    pub rate_sd: f64,
}

impl Spread {
    /// Known to the day.
    pub fn certain(d: f64) -> Self {
        Self(vec![d; FUTURES])
    }

    /// When the distance is used up. A rate that leads away from the limit never gets there.
    pub(super) fn of(approach: &Approach, stream: u32) -> Self {
        let futures = (0..FUTURES).map(|future| {
            let (a, b) = normal_pair(future, stream);
            let distance = approach.distance + approach.distance_sd * a;
            let rate = approach.rate + approach.rate_sd * b;
            if distance <= 0.0 {
                0.0
            } else if rate <= 0.0 {
                HORIZON_D
            } else {
                (distance / rate).min(HORIZON_D)
            }
        });
        Self(futures.collect())
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

    fn sorted(&self) -> Vec<f64> {
        let mut sorted = self.0.clone();
        sorted.sort_unstable_by(f64::total_cmp);
        sorted
    }

    /// Half of the futures are sooner.
    pub fn median(&self) -> f64 {
        self.quantiles().p50
    }

    /// One, five and nine tenths of the futures are sooner.
    pub fn quantiles(&self) -> Quantiles {
        let sorted = self.sorted();
        let at = |tenths: usize| sorted.get(FUTURES * tenths / 10).copied().unwrap_or(HORIZON_D);
        Quantiles {
            p10: at(1),
            p50: at(5),
            p90: at(9),
        }
    }

    /// Share of futures in which it happens within so many days.
    pub fn chance_within(&self, d: f64) -> f64 {
        self.0.iter().filter(|day| **day <= d).count() as f64 / FUTURES as f64
    }
}

/// Two independent standard normal values of one future: a low-discrepancy pair through the normal's
/// inverse. The stream keeps different quantities of one future apart.
fn normal_pair(future: usize, stream: u32) -> (f64, f64) {
    // Additive recurrences with the plastic number (Roberts 2018; from memory): evenly spread in the square.
    const G: f64 = 1.324_717_957_244_746;
    let n = (future + 1) as f64;
    let shift = f64::from(stream) * 0.618_033_988_749_895;
    let u = (0.5 + shift + n / G).fract();
    let v = (0.5 + 2.0 * shift + n / (G * G)).fract();
    (inverse_normal(u), inverse_normal(v))
}

/// Inverse of the standard normal distribution (Acklam's rational approximation, relative error 1.2e-9;
/// from memory). `p` is kept off 0 and 1.
fn inverse_normal(p: f64) -> f64 {
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
