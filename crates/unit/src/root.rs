//! The root of a rising function, found for certain.

/// Finds where a rising function that is negative just above 0 becomes 0, within a relative step of `tolerance`.
///
/// `function` answers its value and its slope; a slope that is no help (zero, negative, not a number) is not used. Newton's
/// method inside a bracket: a step that leaves it, or a bracket that does not shrink, is answered by halving. The last
/// argument that `function` saw is the root that is returned, so what it left behind belongs to it. None where the function
/// never becomes positive.
pub(crate) fn rising_root(
    mut function: impl FnMut(f64) -> (f64, f64),
    guess: f64,
    tolerance: f64,
) -> Option<f64> {
    let (mut low, mut high) = (0.0_f64, f64::INFINITY);
    let mut x = if guess.is_finite() && guess > 0.0 {
        guess
    } else {
        1.0
    };
    let mut stale = 0_u32;
    for _ in 0..400 {
        let (value, slope) = function(x);
        let width = high - low;
        if value > 0.0 {
            high = x;
        } else {
            low = x;
        }
        stale = if width.is_finite() && high - low > 0.5 * width {
            stale + 1
        } else {
            0
        };
        let newton = x - value / slope;
        if value == 0.0 || (slope > 0.0 && (newton - x).abs() <= tolerance * x) {
            return Some(x);
        }
        if high.is_finite() && high - low <= 4.0 * f64::EPSILON * high {
            return Some(x);
        }
        let inside = newton > low && newton < high && newton.is_finite();
        x = if high.is_infinite() {
            if inside && newton <= 4.0 * x {
                newton
            } else {
                4.0 * x
            }
        } else if inside && stale < 4 && newton > 0.02 * x {
            newton
        } else {
            stale = 0;
            // Orders of magnitude are crossed in the geometric mean.
            if low > 0.0 {
                (low * high).sqrt()
            } else if high > 1e-30 {
                0.1 * high
            } else {
                0.5 * high
            }
        };
        if !x.is_finite() {
            return None;
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_roots_of_known_functions() {
        // Tolerance: the relative step asked for.
        let cube = rising_root(|x| (x * x * x - 27.0, 3.0 * x * x), 1e-6, 1e-12).unwrap();
        assert!((cube - 3.0).abs() < 1e-11);
        // A slope that lies: the bracket alone must do.
        let liar = rising_root(|x| (x.ln() - 2.0, f64::NAN), 1e9, 1e-12).unwrap();
        assert!((liar - 2f64.exp()).abs() < 1e-11);
        // A step function has no zero, only a change of sign.
        let step = rising_root(|x| (if x > 0.125 { 1.0 } else { -1.0 }, 0.0), 3.0, 1e-12).unwrap();
        assert!((step - 0.125).abs() < 1e-12);
        assert!(rising_root(|_| (-1.0, 0.0), 1.0, 1e-9).is_none());
    }
}
