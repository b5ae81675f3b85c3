//! Numbers for people: a true minus, thin spaces in thousands, powers of ten only where they are needed.

/// Decimal exponent of the leading digit; 0 for zero and for what is no number.
pub(crate) fn magnitude(value: f64) -> i32 {
    if value == 0.0 || !value.is_finite() {
        return 0;
    }
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the logarithm of a finite number lies within -324 and 309"
    )]
    let exponent = value.abs().log10().floor() as i32;
    exponent
}

/// With this many decimals.
pub(crate) fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "no number".to_owned();
    }
    let plain = format!("{:.decimals$}", value.abs());
    let (whole, rest) = plain
        .split_once('.')
        .map_or((plain.as_str(), None), |(w, r)| (w, Some(r)));
    let mut text = String::new();
    // Rounded to nothing has no sign.
    if value < 0.0 && plain.bytes().any(|b| (b'1'..=b'9').contains(&b)) {
        text.push('\u{2212}');
    }
    let digits = whole.len();
    for (i, digit) in whole.chars().enumerate() {
        // Four digits stand together, as SI writes them.
        if i > 0 && digits > 4 && (digits - i).is_multiple_of(3) {
            text.push('\u{202f}');
        }
        text.push(digit);
    }
    if let Some(rest) = rest {
        text.push('.');
        text.push_str(rest);
    }
    text
}

/// As a multiple of a power of ten.
pub(crate) fn scientific(value: f64, exponent: i32, decimals: usize) -> String {
    let mantissa = if exponent < -300 {
        value * 1e300 / 10_f64.powi(exponent + 300)
    } else {
        value / 10_f64.powi(exponent)
    };
    let mut text = fixed(mantissa, decimals);
    text.push_str("\u{b7}10");
    for c in exponent.to_string().chars() {
        text.push(match c {
            '-' => '\u{207b}',
            '1' => '\u{b9}',
            '2' => '\u{b2}',
            '3' => '\u{b3}',
            '4' => '\u{2074}',
            '5' => '\u{2075}',
            '6' => '\u{2076}',
            '7' => '\u{2077}',
            '8' => '\u{2078}',
            '9' => '\u{2079}',
            _ => '\u{2070}',
        });
    }
    text
}

/// With three significant digits.
pub(crate) fn short(value: f64) -> String {
    if !value.is_finite() || value == 0.0 {
        return fixed(value, 0);
    }
    let exponent = magnitude(value);
    if !(-4..6).contains(&exponent) {
        return scientific(value, exponent, 2);
    }
    let text = fixed(value, usize::try_from(2 - exponent).unwrap_or(0));
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::{fixed, scientific, short};

    #[test]
    fn regress_numbers_read_as_people_write_them() {
        assert_eq!(fixed(-0.001, 2), "0.00");
        assert_eq!(fixed(-1234.5, 1), "\u{2212}1234.5");
        assert_eq!(fixed(1_234_567.0, 0), "1\u{202f}234\u{202f}567");
        assert_eq!(short(81.93), "81.9");
        assert_eq!(short(100.0), "100");
        assert_eq!(short(0.05), "0.05");
        assert_eq!(short(2.5e12), "2.50\u{b7}10\u{b9}\u{b2}");
        assert_eq!(
            scientific(3e-320, -320, 0),
            "3\u{b7}10\u{207b}\u{b3}\u{b2}\u{2070}"
        );
        assert_eq!(short(f64::NAN), "no number");
    }
}
