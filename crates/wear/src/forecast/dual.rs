//! Numbers that carry their derivatives (forward differentiation), for the evidence equations.

use std::ops::{Add, Div, Mul, Neg, Sub};

/// A value and its derivatives in `N` directions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Dual<const N: usize> {
    pub(super) value: f64,
    pub(super) slope: [f64; N],
}

impl<const N: usize> Dual<N> {
    /// No derivative at all.
    pub(super) fn constant(value: f64) -> Self {
        Self {
            value,
            slope: [0.0; N],
        }
    }

    /// The variable of one direction.
    pub(super) fn variable(value: f64, direction: usize) -> Self {
        let mut dual = Self::constant(value);
        if let Some(slope) = dual.slope.get_mut(direction) {
            *slope = 1.0;
        }
        dual
    }

    /// f(self) by its value and derivative there.
    fn chain(self, value: f64, by_self: f64) -> Self {
        Self {
            value,
            slope: self.slope.map(|slope| by_self * slope),
        }
    }

    pub(super) fn exp(self) -> Self {
        let value = self.value.exp();
        self.chain(value, value)
    }

    /// Natural logarithm; values are kept off zero, where an equation has no solution anyway.
    pub(super) fn ln(self) -> Self {
        let value = self.value.max(1e-9);
        self.chain(value.ln(), 1.0 / value)
    }

    pub(super) fn powf(self, exponent: f64) -> Self {
        let value = self.value.max(1e-9).powf(exponent);
        self.chain(value, exponent * value / self.value.max(1e-9))
    }

    /// A function given by its value and derivative at `self.value`.
    pub(super) fn apply(self, (value, by_self): (f64, f64)) -> Self {
        self.chain(value, by_self)
    }
}

impl<const N: usize> Add for Dual<N> {
    type Output = Self;
    fn add(mut self, other: Self) -> Self {
        self.value += other.value;
        for (a, b) in self.slope.iter_mut().zip(other.slope) {
            *a += b;
        }
        self
    }
}

impl<const N: usize> Sub for Dual<N> {
    type Output = Self;
    fn sub(mut self, other: Self) -> Self {
        self.value -= other.value;
        for (a, b) in self.slope.iter_mut().zip(other.slope) {
            *a -= b;
        }
        self
    }
}

impl<const N: usize> Mul for Dual<N> {
    type Output = Self;
    fn mul(mut self, other: Self) -> Self {
        for (a, b) in self.slope.iter_mut().zip(other.slope) {
            *a = *a * other.value + self.value * b;
        }
        self.value *= other.value;
        self
    }
}

impl<const N: usize> Div for Dual<N> {
    type Output = Self;
    fn div(mut self, other: Self) -> Self {
        let inverse = 1.0 / other.value;
        self.value *= inverse;
        for (a, b) in self.slope.iter_mut().zip(other.slope) {
            *a = (*a - self.value * b) * inverse;
        }
        self
    }
}

impl<const N: usize> Neg for Dual<N> {
    type Output = Self;
    fn neg(self) -> Self {
        self.chain(-self.value, -1.0)
    }
}

impl<const N: usize> Add<f64> for Dual<N> {
    type Output = Self;
    fn add(mut self, other: f64) -> Self {
        self.value += other;
        self
    }
}

impl<const N: usize> Mul<f64> for Dual<N> {
    type Output = Self;
    fn mul(self, other: f64) -> Self {
        self.chain(self.value * other, other)
    }
}
