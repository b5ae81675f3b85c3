//! The root of a continuous function between two points of different sign.

/// Bracketing by false position with the Illinois rule, bisecting where that stalls, until the bracket is narrower than
/// `width` (or the function is 0).
///
/// # Errors
///
/// Those of the function. Where both ends have one sign the end nearer to 0 is the answer.
pub(crate) fn bracketed<E>(
    mut low: f64,
    mut high: f64,
    width: f64,
    mut f: impl FnMut(f64) -> Result<f64, E>,
) -> Result<f64, E> {
    let (mut f_low, mut f_high) = (f(low)?, f(high)?);
    if f_low == 0.0 || (f_low > 0.0) == (f_high > 0.0) {
        return Ok(if f_low.abs() <= f_high.abs() { low } else { high });
    }
    let mut side = 0;
    for i in 0..200 {
        if (high - low).abs() <= width {
            break;
        }
        let guess = if i % 4 == 3 || !(f_low.is_finite() && f_high.is_finite()) {
            0.5 * (low + high)
        } else {
            (low * f_high - high * f_low) / (f_high - f_low)
        };
        // A point within the width of an end would move that end by nothing.
        let x = guess.clamp(low.min(high) + 0.25 * width, high.max(low) - 0.25 * width);
        let y = f(x)?;
        if y == 0.0 {
            return Ok(x);
        }
        if (y > 0.0) == (f_low > 0.0) {
            (low, f_low) = (x, y);
            if side == -1 {
                f_high *= 0.5;
            }
            side = -1;
        } else {
            (high, f_high) = (x, y);
            if side == 1 {
                f_low *= 0.5;
            }
            side = 1;
        }
    }
    Ok(if f_low.abs() < f_high.abs() { low } else { high })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_root_of_a_cubic() {
        // An identity: x^3 = 2.
        let x = bracketed(0.0, 5.0, 1e-12, |x| Ok::<_, ()>(x * x * x - 2.0));
        assert!(x.is_ok_and(|x| (x - 2.0_f64.cbrt()).abs() < 1e-12));
    }
}
