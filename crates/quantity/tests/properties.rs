//! Properties that hold for any text and any value.

use proptest::prelude::*;
use quantity::{Context, Decimal, Ion, Kind, format, format_rounded, parse, units};

fn any_kind() -> impl Strategy<Value = Kind> {
    proptest::sample::select(Kind::ALL.to_vec())
}

fn any_context() -> impl Strategy<Value = Context> {
    let decimal = proptest::sample::select(vec![Decimal::Strict, Decimal::Point, Decimal::Comma]);
    let ion = proptest::sample::select(vec![None, Some(Ion::HARDNESS), Some(Ion::ALKALINITY)]);
    let factor = proptest::option::of(-1.0..2.0_f64);
    (decimal, ion, factor).prop_map(|(decimal, ion, meter_factor)| Context {
        meter_factor,
        decimal,
        ion,
    })
}

/// Texts near to what is meant: numbers, signs, units, words.
fn nearly() -> impl Strategy<Value = String> {
    let pieces = [
        "1", "23", "456", "0", "7.5", ",", ".", " ", "-", "\u{2212}", "e", "E9", "@0.5", "@", "in", "/", ":",
        "'", "\"", "psi", "bar", "mL", "L", "min", "s", "h", "d", "uS/cm", "\u{b5}S", "ppm", "mg/L",
        "as CaCO3", "C", "F", "\u{b0}", "%", "m", "3", "\u{2009}", "<", "(", ")", "mmol/L", "gal", "per",
        "-1", "MOhm", "cm", "\0",
    ];
    proptest::collection::vec(proptest::sample::select(pieces.to_vec()), 0..8)
        .prop_map(|parts| parts.concat())
}

proptest! {
    #[test]
    fn prop_any_text_gives_a_value_or_an_error(kind in any_kind(), context in any_context(), text in ".{0,40}") {
        if let Ok(parsed) = parse(kind, &text, &context) {
            prop_assert!(parsed.value.is_finite());
        }
    }

    #[test]
    fn prop_any_bytes_give_a_value_or_an_error(kind in any_kind(), bytes in proptest::collection::vec(any::<u8>(), 0..64)) {
        let text = String::from_utf8_lossy(&bytes);
        match parse(kind, &text, &Context::default()) {
            Ok(parsed) => prop_assert!(parsed.value.is_finite()),
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }

    #[test]
    fn prop_parsing_formatting_and_parsing_again_is_the_identity(kind in any_kind(), context in any_context(), text in nearly()) {
        if let Ok(parsed) = parse(kind, &text, &context) {
            let written = parsed.format();
            let again = parse(parsed.kind(), &written, &Context::default());
            prop_assert_eq!(again.as_ref().map(|p| p.value.to_bits()), Ok(parsed.value.to_bits()), "{} -> {}", text, written);
        }
    }

    #[test]
    fn prop_any_value_survives_formatting(kind in any_kind(), index in 0..60_usize, value in any::<f64>()) {
        prop_assume!(value.is_finite() && (kind != Kind::Temperature || value >= -273.15));
        let unit = units(kind).get(index);
        let written = format(kind, value, unit);
        let again = parse(kind, &written, &Context::default());
        prop_assert_eq!(again.as_ref().map(|p| p.value.to_bits()), Ok(value.to_bits()), "{}", written);
    }

    #[test]
    fn prop_a_value_read_in_a_unit_is_written_in_it(kind in any_kind(), index in 0..60_usize, hundredths in 1..100_000_u32) {
        let Some(unit) = units(kind).get(index).filter(|unit| unit.needs_no_context()) else { return Ok(()) };
        // A kelvin near absolute zero loses its digits to the 273.15.
        prop_assume!(unit.symbol != "K" || hundredths > 100);
        let text = format!("{} {}", f64::from(hundredths) / 100.0, unit.symbol);
        let parsed = parse(kind, &text, &Context::default());
        prop_assert_eq!(parsed.map(|p| p.format()), Ok(text));
    }

    #[test]
    fn prop_rounding_keeps_its_digits(value in 1e-3..1e6_f64, digits in 1..8_usize) {
        let text = format_rounded(Kind::Number, value, None, digits);
        let back: f64 = text.parse().unwrap_or(f64::NAN);
        // Half a unit in the last digit kept, and that digit is at least 10^-(digits-1) of the value.
        let allowed = 0.5 * 10_f64.powi(1 - i32::try_from(digits).unwrap_or(0));
        prop_assert!((back / value - 1.0).abs() <= allowed * (1.0 + 1e-9), "{}", text);
    }
}
