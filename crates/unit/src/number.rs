//! Numbers that may carry derivatives: one set of equations serves values and exact sensitivities.

use std::ops::{Add, Div, Mul, Neg, Sub};

/// What the equations of the element and the unit are written in: plain `f64`, or [`Dual`].
pub(crate) trait Number:
    Copy
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
{
    /// A number whose derivatives are zero.
    fn constant(value: f64) -> Self;
    /// The value without its derivatives.
    fn value(self) -> f64;
    /// A function of this number: its value, and its slope at this number's value.
    fn chain(self, value: f64, slope: f64) -> Self;

    /// The root of `residual` at `root`, where the residual's derivative by the unknown is `slope`: the value is `root`
    /// itself, the derivatives follow from those of the residual there (implicit function theorem).
    fn at_root(root: f64, slope: impl FnOnce() -> f64, residual: impl FnOnce(Self) -> Self) -> Self;

    /// The exponential.
    fn exp(self) -> Self {
        let e = self.value().exp();
        self.chain(e, e)
    }

    /// The natural logarithm.
    fn ln(self) -> Self {
        self.chain(self.value().ln(), 1.0 / self.value())
    }

    /// ln(1 + x).
    fn ln_1p(self) -> Self {
        self.chain(self.value().ln_1p(), 1.0 / (1.0 + self.value()))
    }

    /// exp(x) - 1.
    fn exp_m1(self) -> Self {
        let e = self.value().exp_m1();
        self.chain(e, e + 1.0)
    }

    /// A constant power of a positive number.
    fn powf(self, exponent: f64) -> Self {
        let p = self.value().powf(exponent);
        self.chain(p, exponent * p / self.value())
    }
}

impl Number for f64 {
    #[inline]
    fn constant(value: f64) -> Self {
        value
    }
    #[inline]
    fn value(self) -> f64 {
        self
    }
    #[inline]
    fn chain(self, value: f64, _slope: f64) -> Self {
        value
    }
    #[inline]
    fn at_root(root: f64, _: impl FnOnce() -> f64, _: impl FnOnce(Self) -> Self) -> Self {
        root
    }
}

/// A value with its derivatives in N directions, by the rules of differentiation (forward mode): exact to rounding.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Dual<const N: usize> {
    pub(crate) value: f64,
    pub(crate) slope: [f64; N],
}

impl<const N: usize> Dual<N> {
    /// The quantity that direction `i` varies; a constant where there is no such direction.
    pub(crate) fn variable(value: f64, i: usize) -> Self {
        let mut slope = [0.0; N];
        if let Some(s) = slope.get_mut(i) {
            *s = 1.0;
        }
        Self { value, slope }
    }

    #[inline]
    fn zip(self, other: Self, value: f64, f: impl Fn(f64, f64) -> f64) -> Self {
        let mut slope = self.slope;
        for (a, b) in slope.iter_mut().zip(other.slope) {
            *a = f(*a, b);
        }
        Self { value, slope }
    }
}

impl<const N: usize> Number for Dual<N> {
    #[inline]
    fn constant(value: f64) -> Self {
        Self {
            value,
            slope: [0.0; N],
        }
    }
    #[inline]
    fn value(self) -> f64 {
        self.value
    }
    #[inline]
    fn chain(self, value: f64, slope: f64) -> Self {
        Self {
            value,
            slope: self.slope.map(|s| s * slope),
        }
    }
    #[inline]
    fn at_root(root: f64, slope: impl FnOnce() -> f64, residual: impl FnOnce(Self) -> Self) -> Self {
        let residual = residual(Self::constant(root));
        let slope = slope();
        Self {
            value: root,
            slope: residual.slope.map(|s| -s / slope),
        }
    }
}

impl<const N: usize> Add for Dual<N> {
    type Output = Self;
    #[inline]
    fn add(self, other: Self) -> Self {
        self.zip(other, self.value + other.value, |a, b| a + b)
    }
}

impl<const N: usize> Sub for Dual<N> {
    type Output = Self;
    #[inline]
    fn sub(self, other: Self) -> Self {
        self.zip(other, self.value - other.value, |a, b| a - b)
    }
}

impl<const N: usize> Mul for Dual<N> {
    type Output = Self;
    #[inline]
    #[expect(clippy::suspicious_arithmetic_impl, reason = "the product rule has a sum")]
    fn mul(self, other: Self) -> Self {
        self.zip(other, self.value * other.value, |a, b| {
            a * other.value + self.value * b
        })
    }
}

impl<const N: usize> Div for Dual<N> {
    type Output = Self;
    #[inline]
    fn div(self, other: Self) -> Self {
        let inverse = 1.0 / other.value;
        let value = self.value * inverse;
        self.zip(other, value, |a, b| (a - value * b) * inverse)
    }
}

impl<const N: usize> Neg for Dual<N> {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        self.chain(-self.value, -1.0)
    }
}

impl<const N: usize> Add<f64> for Dual<N> {
    type Output = Self;
    #[inline]
    fn add(self, other: f64) -> Self {
        Self {
            value: self.value + other,
            slope: self.slope,
        }
    }
}

impl<const N: usize> Sub<f64> for Dual<N> {
    type Output = Self;
    #[inline]
    fn sub(self, other: f64) -> Self {
        Self {
            value: self.value - other,
            slope: self.slope,
        }
    }
}

impl<const N: usize> Mul<f64> for Dual<N> {
    type Output = Self;
    #[inline]
    fn mul(self, other: f64) -> Self {
        self.chain(self.value * other, other)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_derivatives_of_known_functions() {
        // d/dx of x exp(-x)/(1 + ln x) and of the others by hand at x = 1.7; tolerance: rounding.
        let x = Dual::<1>::variable(1.7, 0);
        let one = Dual::constant(1.0);
        let y = x * (-x).exp() / (one + x.ln());
        let l = 1.0 + 1.7_f64.ln();
        let by_hand = (-1.7_f64).exp() * ((1.0 - 1.7) / l - 1.0 / (l * l));
        assert!((y.slope[0] - by_hand).abs() < 1e-15);
        assert!((x.powf(0.36).slope[0] - 0.36 * 1.7_f64.powf(-0.64)).abs() < 1e-15);
        assert!((x.exp_m1().slope[0] - 1.7_f64.exp()).abs() < 1e-14);
        assert!((x.ln_1p().slope[0] - 1.0 / 2.7).abs() < 1e-15);
        assert!(((x - one) * 3.0 - 2.0 + 1.0).slope[0] == 3.0);
    }
}
