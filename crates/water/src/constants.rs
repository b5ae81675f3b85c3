//! The chemical constants at one temperature.

use crate::database::{Activity, CLASSES, DATABASE, LogK, PHASES, ROOM, SPECIES};
use crate::properties::{self, DebyeHuckel, ZERO_CELSIUS_K};

/// Everything of the chemistry that depends on the temperature alone.
///
/// Making one costs about as much as a speciation, so keep it where many waters of one temperature are solved.
#[derive(Clone, Debug)]
pub struct Constants {
    pub(crate) temperature_c: f64,
    pub(crate) debye_huckel: DebyeHuckel,
    /// Formation constants from the masters.
    pub(crate) k: [f64; ROOM],
    pub(crate) log_k_phase: [f64; PHASES],
    /// ln gamma = -slope sqrt(I)/(1 + size sqrt(I)) + linear I, for each class.
    pub(crate) slope: [f64; CLASSES],
    pub(crate) size: [f64; CLASSES],
    pub(crate) linear: [f64; CLASSES],
    /// z^2/2 of each class.
    pub(crate) half_z2: [f64; CLASSES],
}

/// The formation constants by the terms of their temperature law.
struct Formation<'a> {
    basis: [f64; 6],
    k: &'a mut [f64; ROOM],
}

impl pulp::NullaryFnOnce for Formation<'_> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        let mut ln_k = [0.0; SPECIES];
        for (row, b) in DATABASE.ln_k.iter().zip(self.basis) {
            for (out, a) in ln_k.iter_mut().zip(row) {
                *out += a * b;
            }
        }
        exp_each(&ln_k, &mut self.k[..SPECIES]);
    }
}

/// The temperatures for which the chemistry holds, C.
pub const TEMPERATURE_RANGE_C: (f64, f64) = (0.0, 45.0);

impl Constants {
    /// The constants at `temperature_c`, which is held within [`TEMPERATURE_RANGE_C`].
    pub fn at(temperature_c: f64) -> Self {
        let db = &*DATABASE;
        // NaN becomes the lower end: an analysis with a NaN is refused before it comes here.
        let temperature_c = temperature_c
            .max(TEMPERATURE_RANGE_C.0)
            .min(TEMPERATURE_RANGE_C.1);
        let t = temperature_c + ZERO_CELSIUS_K;
        let log_t = t.log10();
        let inverse = 1.0 / t;
        let log_k = |a: &LogK| {
            a[0] + a[1] * t + a[2] * inverse + a[3] * log_t + a[4] * inverse * inverse + a[5] * t * t
        };
        let basis = [1.0, t, inverse, log_t, inverse * inverse, t * t];
        let mut k = [0.0; ROOM];
        pulp::Arch::new().dispatch(Formation { basis, k: &mut k });
        let debye_huckel = properties::debye_huckel(temperature_c);
        let mut c = Self {
            temperature_c,
            debye_huckel,
            k,
            log_k_phase: db.phases.map(|a| log_k(&a)),
            slope: [0.0; CLASSES],
            size: [1.0; CLASSES],
            linear: [0.0; CLASSES],
            half_z2: [0.0; CLASSES],
        };
        for (i, class) in db.classes.iter().enumerate() {
            let (Activity::Extended { charge_squared, .. } | Activity::Davies { charge_squared }) = *class;
            c.half_z2[i] = 0.5 * charge_squared;
            let (slope, size, linear) = match *class {
                Activity::Extended { charge_squared, a, b } => {
                    (debye_huckel.a * charge_squared, debye_huckel.b * a, b)
                }
                Activity::Davies { charge_squared } => (
                    debye_huckel.a * charge_squared,
                    1.0,
                    0.3 * debye_huckel.a * charge_squared,
                ),
            };
            c.slope[i] = slope * std::f64::consts::LN_10;
            c.size[i] = size;
            c.linear[i] = linear * std::f64::consts::LN_10;
        }
        c
    }

    /// The temperature, C.
    pub fn temperature_c(&self) -> f64 {
        self.temperature_c
    }

    /// 1/gamma and d(-ln gamma)/dI of the first `n` classes at an ionic strength.
    #[inline(always)]
    pub(crate) fn activity(
        &self,
        ionic_strength: f64,
        n: usize,
        inverse: &mut [f64; CLASSES],
        slope: &mut [f64; CLASSES],
    ) {
        let n = n.min(CLASSES);
        let root = ionic_strength.sqrt();
        let half = 0.5 / root;
        let mut exponent = [0.0; CLASSES];
        for i in 0..n {
            let q = 1.0 / (1.0 + self.size[i] * root);
            exponent[i] = self.slope[i] * root * q - self.linear[i] * ionic_strength;
            slope[i] = self.slope[i] * q * q * half - self.linear[i];
        }
        exp_each(&exponent[..n], &mut inverse[..n]);
    }
}

/// The exponential of each element, to 1e-14 relative between -700 and 700.
///
/// A loop without calls, so that the compiler can do several at once: it is the most frequent operation of the solver.
#[inline(always)]
pub(crate) fn exp_each(x: &[f64], out: &mut [f64]) {
    /// 1.5 x 2^52: adding it rounds to a whole number, which then stands in the lowest bits.
    const ROUND: f64 = 6_755_399_441_055_744.0;
    const LN_2_HIGH: f64 = 6.931_471_803_691_238e-1;
    const LN_2_LOW: f64 = 1.908_214_929_270_587_7e-10;
    for (x, out) in x.iter().zip(out.iter_mut()) {
        let x = x.clamp(-700.0, 700.0);
        let shifted = x * std::f64::consts::LOG2_E + ROUND;
        let n = shifted - ROUND;
        let r = (x - n * LN_2_HIGH) - n * LN_2_LOW;
        let r2 = r * r;
        let r4 = r2 * r2;
        // Taylor's series to r^11, in pairs.
        let low = (1.0 + r) + r2 * (1.0 / 2.0 + r * (1.0 / 6.0));
        let middle = (1.0 / 24.0 + r * (1.0 / 120.0)) + r2 * (1.0 / 720.0 + r * (1.0 / 5_040.0));
        let high =
            (1.0 / 40_320.0 + r * (1.0 / 362_880.0)) + r2 * (1.0 / 3_628_800.0 + r * (1.0 / 39_916_800.0));
        let scale = f64::from_bits((shifted.to_bits() << 52).wrapping_add(1023 << 52));
        *out = (low + r4 * (middle + r4 * high)) * scale;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_exponentials_agree_with_the_standard_library() {
        let mut x = [0.0; 1400];
        for (i, x) in x.iter_mut().enumerate() {
            *x = i as f64 - 699.7;
        }
        let mut y = [0.0; 1400];
        exp_each(&x, &mut y);
        for (x, y) in x.iter().zip(y) {
            // What the series leaves out: 0.347^12/12! = 6e-15.
            assert!((y / x.exp() - 1.0).abs() < 1e-14, "{x}: {y}");
        }
    }

    #[test]
    fn val_phreeqc_solubility_products() {
        // `reference/check-values.md` 7.01 (PHREEQC 3.8.6, LK_PHASE); tolerance: the digits printed.
        for (t, expected) in [
            (
                0.01,
                [
                    -8.3899, -8.2180, -4.6281, -10.1144, -6.5321, -10.9578, -2.9361, -1.1083,
                ],
            ),
            (
                25.0,
                [
                    -8.4800, -8.3361, -4.5824, -9.8438, -6.6579, -10.5997, -2.7118, -1.4682,
                ],
            ),
            (
                45.0,
                [
                    -8.6734, -8.4893, -4.6066, -9.6773, -6.7722, -10.4060, -2.5577, -1.6696,
                ],
            ),
        ] {
            for (k, e) in Constants::at(t).log_k_phase.iter().zip(expected) {
                assert!((k - e).abs() < 1e-4, "{t} C: {k} against {e}");
            }
        }
    }
}
