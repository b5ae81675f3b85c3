//! Writing quantities: exactly, for machines, and rounded, for people.

use crate::{Context, Kind, Unit, parse};

/// Writes a value so that [`parse`] of the same kind gives it back to the last bit.
///
/// It is written in `unit`, or in the base unit where none is given, where the unit needs a context, and
/// where no number in that unit gives the value back exactly (a value that was read in the unit always
/// can be). Numbers that are not finite have no text that parses.
pub fn format(kind: Kind, value: f64, unit: Option<&Unit>) -> String {
    let base = || with_unit(&plain(value), kind.base_unit());
    let Some(unit) = unit.filter(|unit| unit.kind == kind && unit.needs_no_context()) else {
        return base();
    };
    let Some(near) = unit.from_base(value, &Context::default()) else {
        return base();
    };
    let gives_back = |candidate: f64| {
        unit.to_base(candidate, &Context::default())
            .is_ok_and(|back| back.to_bits() == value.to_bits())
    };
    // The shortest number that gives the value back is what a person wrote. The division and the
    // multiplication each round once, so where none is short it is within a few steps of the quotient.
    let short = (1..=16).map(|digits| round_significant(near, digits));
    let below = std::iter::successors(Some(near), |value| Some(value.next_down())).take(4);
    let above = std::iter::successors(Some(near), |value| Some(value.next_up())).take(4);
    let best = short
        .chain(below)
        .chain(above)
        .find(|&candidate| gives_back(candidate))
        .map(plain);
    match best {
        Some(text) => {
            let text = with_unit(&text, unit.symbol);
            // The symbol itself must be read back as this unit.
            match parse(kind, &text, &Context::default()) {
                Ok(parsed) if parsed.value.to_bits() == value.to_bits() => text,
                _ => base(),
            }
        }
        None => base(),
    }
}

/// Writes a value for a person: rounded to this many significant digits (at least 1), whole parts kept,
/// in `unit` or the base unit.
pub fn format_rounded(kind: Kind, value: f64, unit: Option<&Unit>, significant: usize) -> String {
    let unit = unit.filter(|unit| unit.kind == kind);
    let shown = unit.and_then(|unit| {
        unit.from_base(value, &Context::default())
            .map(|v| (v, unit.symbol))
    });
    let (shown, symbol) = shown.unwrap_or((value, kind.base_unit()));
    with_unit(&number(shown, significant), symbol)
}

/// The value rounded to this many significant digits (at least 1).
pub fn round_significant(value: f64, significant: usize) -> f64 {
    let digits = significant.max(1) - 1;
    format!("{value:.digits$e}").parse().unwrap_or(value)
}

/// A number with this many significant digits and no trailing zeros after its point.
pub(crate) fn number(value: f64, significant: usize) -> String {
    plain(round_significant(value, significant))
}

/// The shortest text that gives the number back; in powers of ten where that is far shorter.
fn plain(value: f64) -> String {
    let magnitude = value.abs();
    if magnitude != 0.0 && !(1e-9..1e17).contains(&magnitude) {
        format!("{value:e}")
    } else {
        format!("{value}")
    }
}

fn with_unit(number: &str, symbol: &str) -> String {
    match symbol {
        "" => number.to_owned(),
        _ => format!("{number} {symbol}"),
    }
}
