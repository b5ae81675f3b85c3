//! Chance from a seed: the same on every machine.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// A stream of chance. Each unit has one of its own, so that a change to one unit leaves the others as they were.
#[derive(Clone, Debug)]
pub(crate) struct Chance(ChaCha8Rng);

impl Chance {
    pub(crate) fn new(seed: u64, stream: u64) -> Self {
        let mut generator = ChaCha8Rng::seed_from_u64(seed);
        generator.set_stream(stream);
        Self(generator)
    }

    /// Evenly between 0 and 1.
    pub(crate) fn share(&mut self) -> f64 {
        // The 53 bits that a float holds.
        (self.0.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Normally distributed about 0 (Box & Muller, Ann. Math. Stat. 29 (1958) 610).
    pub(crate) fn normal(&mut self, sd: f64) -> f64 {
        let radius = (-2.0 * (1.0 - self.share()).ln()).sqrt();
        sd * radius * (std::f64::consts::TAU * self.share()).cos()
    }

    /// A factor near 1 whose logarithm is normally distributed.
    pub(crate) fn factor(&mut self, sd: f64) -> f64 {
        self.normal(sd).exp()
    }

    /// A whole number of minutes from 0 to `most`.
    pub(crate) fn minutes(&mut self, most: u32) -> i64 {
        i64::from(self.0.next_u32() % most.max(1))
    }

    pub(crate) fn bytes(&mut self) -> [u8; 10] {
        let mut bytes = [0; 10];
        self.0.fill_bytes(&mut bytes);
        bytes
    }
}
