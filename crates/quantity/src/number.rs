//! Numbers as people write them.

/// Which sign separates the decimals.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Decimal {
    /// Outside logs: a point is always the decimal sign; a comma is where nothing else is possible; a
    /// comma with exactly three digits after it and nothing else is ambiguous and refused.
    #[default]
    Strict,
    /// In a log known to write decimals with a point: a comma separates thousands.
    Point,
    /// In a log known to write decimals with a comma: a point separates thousands.
    Comma,
}

/// Why digits are no number.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum NumberError {
    Malformed,
    Ambiguous { decimal: String, grouped: String },
}

/// Reads a number that stands alone; none where the text is anything else or ambiguous.
pub fn parse_number(text: &str, decimal: Decimal) -> Option<f64> {
    if let Some(value) = plain(text, decimal) {
        return Some(value);
    }
    let cleaned = crate::text::clean(text);
    let (digits, rest) = split(&cleaned)?;
    if !rest.trim().is_empty() {
        return None;
    }
    interpret(digits, decimal).ok()
}

/// The fast path: what is nearly always in a cell, digits with at most one point.
#[inline]
pub(crate) fn plain(text: &str, decimal: Decimal) -> Option<f64> {
    let text = text.trim_ascii();
    let digits = text.strip_prefix('-').unwrap_or(text);
    let mut points = 0;
    for byte in digits.bytes() {
        match byte {
            b'0'..=b'9' => {}
            b'.' => points += 1,
            _ => return None,
        }
    }
    if points > 1 || (points == 1 && decimal == Decimal::Comma) {
        return None;
    }
    text.parse().ok().filter(|value: &f64| value.is_finite())
}

/// Splits a cleaned text into its leading number and the rest; none where it begins with no number.
pub(crate) fn split(text: &str) -> Option<(&str, &str)> {
    let bytes = text.as_bytes();
    let at = |i: usize| bytes.get(i).copied().unwrap_or(0);
    let digit = |i: usize| at(i).is_ascii_digit();
    let mut i = usize::from(matches!(at(0), b'-' | b'+'));
    while at(i) == b' ' {
        i += 1;
    }
    let mut digits = 0_usize;
    let mut separated = false;
    loop {
        match at(i) {
            b'0'..=b'9' => digits += 1,
            b'.' | b',' if digit(i + 1) => separated = true,
            // `58. psi`: a full stop with nothing behind it.
            b'.' if digits > 0 && !at(i + 1).is_ascii_alphanumeric() => {
                i += 1;
                break;
            }
            // A space or apostrophe groups thousands only between a digit and exactly three digits.
            b' ' | b'\''
                if digits > 0
                    && !separated
                    && digit(i.wrapping_sub(1))
                    && digit(i + 1)
                    && digit(i + 2)
                    && digit(i + 3)
                    && !digit(i + 4) => {}
            _ => break,
        }
        i += 1;
    }
    if digits == 0 {
        return None;
    }
    if matches!(at(i), b'e' | b'E') {
        let sign = usize::from(matches!(at(i + 1), b'-' | b'+'));
        let mut j = i + 1 + sign;
        if digit(j) {
            while digit(j) {
                j += 1;
            }
            i = j;
        }
    }
    text.split_at_checked(i)
}

/// The value of a number that [`split`] found.
pub(crate) fn interpret(digits: &str, decimal: Decimal) -> Result<f64, NumberError> {
    let grouped_by_space = digits.trim_start_matches(['+', '-', ' ']).contains([' ', '\'']);
    let compact: String = digits.chars().filter(|c| !matches!(c, ' ' | '\'')).collect();
    let (mantissa, exponent) = match compact.find(['e', 'E']) {
        Some(at) => compact.split_at(at),
        None => (compact.as_str(), ""),
    };
    let (sign, body) = match mantissa.strip_prefix('-') {
        Some(body) => ("-", body),
        None => ("", mantissa.strip_prefix('+').unwrap_or(mantissa)),
    };
    let points = body.matches('.').count();
    let commas = body.matches(',').count();
    let as_decimal = || body.replace(',', ".");
    let without = |c: char| body.replace(c, "");
    let text = match (points, commas) {
        (1, 0) if decimal == Decimal::Comma && !grouped_by_space && grouped(body, '.') => without('.'),
        (0 | 1, 0) => body.to_owned(),
        (0, 1) => match decimal {
            Decimal::Comma => as_decimal(),
            _ if grouped_by_space => as_decimal(),
            Decimal::Point if grouped(body, ',') => without(','),
            Decimal::Strict if three_after_comma(body) && exponent.is_empty() => {
                return Err(NumberError::Ambiguous {
                    decimal: format!("{sign}{}", as_decimal()),
                    grouped: format!("{sign}{}", without(',')),
                });
            }
            _ => as_decimal(),
        },
        (0, _) if decimal != Decimal::Comma && grouped(body, ',') => without(','),
        (_, 0) if decimal == Decimal::Comma && grouped(body, '.') => without('.'),
        (1, _) if decimal != Decimal::Comma => match body.split_once('.') {
            Some((whole, _)) if grouped(whole, ',') => without(','),
            _ => return Err(NumberError::Malformed),
        },
        (_, 1) if decimal == Decimal::Comma => match body.split_once(',') {
            Some((whole, _)) if grouped(whole, '.') => without('.').replace(',', "."),
            _ => return Err(NumberError::Malformed),
        },
        _ => return Err(NumberError::Malformed),
    };
    match format!("{sign}{text}{exponent}").parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err(NumberError::Malformed),
    }
}

/// Whether the text is one to three digits (no lone zero), then groups of exactly three.
fn grouped(text: &str, separator: char) -> bool {
    let mut groups = text.split(separator);
    let first = groups.next().unwrap_or("");
    let mut more = false;
    (1..=3).contains(&first.len())
        && !first.starts_with('0')
        && groups.all(|group| {
            more = true;
            group.len() == 3 && group.bytes().all(|b| b.is_ascii_digit())
        })
        && more
}

fn three_after_comma(text: &str) -> bool {
    text.split_once(',').is_some_and(|(_, after)| after.len() == 3)
}
