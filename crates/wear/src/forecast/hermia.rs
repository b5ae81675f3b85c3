//! How a filter's resistance grows with the water it has filtered: Hermia's laws.
//!
//! At constant pressure `d2t/dV2 = k (dt/dV)^n` (Hermia, Trans. Inst. Chem. Eng. 60 (1982) 183). With the
//! resistance `r = (dt/dV)/(dt/dV)_0` and `x = k V` in units of the clean filter this is `dr/dx = r^n`:
//! cake n = 0, intermediate blocking n = 1, standard blocking n = 3/2, complete blocking n = 2.

/// Resistance at which [`smooth_resistance`] goes on in a straight line.
const BEND: f64 = 30.0;
/// Resistance beyond which a filter passes nothing worth the name.
const BLOCKED: f64 = 1e4;

/// Resistance after `x`, from a resistance of `start`; both over that of a clean filter.
///
/// `r^(1-n) = start^(1-n) + (1-n) x`. Never beyond 10 000: the laws with n over 1 reach infinity at a finite volume.
pub fn resistance(start: f64, x: f64, exponent: f64) -> f64 {
    let m = 1.0 - exponent;
    if m.abs() < 1e-6 {
        return (start * x.min(20.0).exp()).min(BLOCKED);
    }
    let inner = power(start, m) + m * x;
    if inner <= 0.0 {
        return BLOCKED;
    }
    power(inner, 1.0 / m).min(BLOCKED)
}

/// `x^p`, without the general power where Hermia's own exponents need none.
#[expect(
    clippy::float_cmp,
    reason = "Hermia's exponents are these numbers themselves; any other takes the general way, and a clean filter needs none"
)]
fn power(x: f64, p: f64) -> f64 {
    if x == 1.0 {
        1.0
    } else if p == 1.0 {
        x
    } else if p == 0.0 {
        1.0
    } else if p == -1.0 {
        1.0 / x
    } else if p == 2.0 {
        x * x
    } else if p == -2.0 {
        1.0 / (x * x)
    } else if p == -0.5 {
        1.0 / x.sqrt()
    } else if p == 1.5 {
        x * x.sqrt()
    } else {
        x.powf(p)
    }
}

/// [`resistance`] for estimating: beyond thirty times the clean filter's resistance the laws with n over 1 go on in a
/// straight line, so that a guess beyond the volume at which they reach infinity still knows the way back.
pub(super) fn smooth_resistance(start: f64, x: f64, exponent: f64) -> f64 {
    let m = 1.0 - exponent;
    if m >= -1e-6 {
        return resistance(start, x, exponent);
    }
    let start = start.min(BEND);
    let (inner, bend) = (power(start, m) + m * x, power(BEND, m));
    if inner >= bend {
        return power(inner, 1.0 / m);
    }
    BEND + power(BEND, exponent) / m * (inner - bend)
}

/// Derivatives of [`smooth_resistance`] by its start and by `x`, from the start and what came of it.
pub(super) fn smooth_slopes(start: f64, end: f64, exponent: f64) -> (f64, f64) {
    let cap = if exponent > 1.0 { BEND } else { BLOCKED };
    if start > cap {
        return (0.0, power(cap, exponent));
    }
    let by_x = power(end.min(cap), exponent);
    (by_x / power(start, exponent), by_x)
}

/// The `x` that takes a filter from resistance `start` to `end`; 0 where it is there already.
pub fn capacity(start: f64, end: f64, exponent: f64) -> f64 {
    if end <= start {
        return 0.0;
    }
    let m = 1.0 - exponent;
    if m.abs() < 1e-6 {
        return (end / start).ln();
    }
    (power(end, m) - power(start, m)) / m
}
