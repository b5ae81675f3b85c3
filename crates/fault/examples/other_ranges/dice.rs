//! Random numbers that a seed decides.

use std::f64::consts::TAU;

/// Random numbers from a seed (xorshift64*, Vigna 2016).
pub struct Dice(pub u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11
    }

    /// From 0 up to 1.
    pub fn unit(&mut self) -> f64 {
        self.next() as f64 / (1_u64 << 53) as f64
    }

    /// One of so many, from 0.
    pub fn below(&mut self, count: usize) -> usize {
        (0..count)
            .rev()
            .find(|i| self.unit() * (*i as f64 + 1.0) < 1.0)
            .unwrap_or(0)
    }

    pub fn within(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Even in the logarithm.
    pub fn log_within(&mut self, low: f64, high: f64) -> f64 {
        self.within(low.ln(), high.ln()).exp()
    }

    pub fn normal(&mut self, sd: f64) -> f64 {
        let (a, b) = (self.unit().max(1e-300), self.unit());
        sd * (-2.0 * a.ln()).sqrt() * (TAU * b).cos()
    }

    pub fn chance(&mut self, p: f64) -> bool {
        self.unit() < p
    }

    pub fn of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len())]
    }
}
