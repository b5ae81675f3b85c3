//! Numbers in sentences that compare two of them.

/// Decimals with which two numbers print differently, at least `least` and at most 12; `least` where they are equal.
///
/// A warning that reads "+0.50, allowed +0.50" hides what it warns of.
pub fn decimals_apart(a: f64, b: f64, least: usize) -> usize {
    const MOST: usize = 12;
    let apart = |decimals: &usize| {
        let decimals = *decimals;
        format!("{a:.decimals$}") != format!("{b:.decimals$}")
    };
    (least..=MOST)
        .find(apart)
        .filter(|_| a.total_cmp(&b).is_ne())
        .unwrap_or(least)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_many_decimals_as_tell_two_numbers_apart() {
        assert_eq!(decimals_apart(0.5012, 0.5, 2), 3);
        assert_eq!(decimals_apart(0.61, 0.5, 2), 2);
        assert_eq!(decimals_apart(5.2, 4.8, 0), 1);
        assert_eq!(decimals_apart(0.5, 0.5, 2), 2);
        assert_eq!(decimals_apart(f64::NAN, 0.5, 1), 1);
        // Apart by less than is ever printed.
        assert_eq!(decimals_apart(0.5, 0.5 + 1e-15, 2), 2);
    }
}
