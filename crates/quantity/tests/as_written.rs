//! What people write: spellings, characters, separators, and what is refused.

use quantity::{Context, Decimal, Error, Form, Kind, find_unit, parse, parse_in};

#[track_caller]
fn reads(kind: Kind, text: &str, expected: f64) {
    let got = parse(kind, text, &Context::default())
        .unwrap_or_else(|error| panic!("{text}: {error}"))
        .value;
    // One rounding either way: the same number may be reached by another order of operations.
    assert!(
        (got - expected).abs() <= 1e-14 * expected.abs(),
        "{text}: {got} instead of {expected}"
    );
}

#[track_caller]
fn refuses(kind: Kind, text: &str, words: &[&str]) -> Error {
    let error = parse(kind, text, &Context::default()).expect_err(text);
    let message = error.to_string();
    for word in words {
        assert!(
            message.contains(word),
            "{text}: `{message}` does not say `{word}`"
        );
    }
    error
}

#[test]
fn bare_numbers_are_in_the_base_unit() {
    reads(Kind::Pressure, "400", 400.0);
    reads(Kind::Flow, " 54.5 ", 54.5);
    reads(Kind::Temperature, "-3", -3.0);
    reads(Kind::Salt, "430", 430.0);
    reads(Kind::Number, "7.5", 7.5);
    reads(Kind::Duration, "1e3", 1000.0);
}

#[test]
fn examples_of_the_contract() {
    reads(Kind::Pressure, "4.0 bar", 400.0);
    reads(Kind::Flow, "2.1 gpm", 2.1 * 3.785_411_784 * 60.0);
    reads(Kind::AsCaco3, "210 mg/L as CaCO3", 210.0);
    reads(Kind::AsCaco3, "12 dH", 12.0 * 1000.86 / 56.077);
    reads(Kind::Conductivity, "0.42 mS/cm", 420.0);
    let meter = parse(Kind::Salt, "350 ppm @0.5", &Context::default()).expect("a meter reading");
    assert!(meter.conductivity);
    assert_eq!((meter.value, meter.kind()), (700.0, Kind::Conductivity));
    let fill = parse(Kind::Flow, "500 mL in 62 s", &Context::default()).expect("a timed fill");
    assert_eq!(
        fill.form,
        Form::TimedFill {
            volume_l: 0.5,
            seconds: 62.0
        }
    );
    reads(Kind::Conductivity, "38 uS/cm", 38.0);
    reads(Kind::Conductivity, "750 uS/cm at 25 C", 750.0);
    reads(Kind::Minutes, "20 min", 20.0);
    reads(Kind::CapacityPerVolume, "0.5 eq/L", 0.5);
    reads(Kind::Duration, "365 d", 365.0);
}

#[test]
fn signs_of_many_keyboards() {
    reads(Kind::Conductivity, "420 \u{b5}S/cm", 420.0);
    reads(Kind::Conductivity, "420 \u{3bc}S\u{b7}cm\u{207b}\u{b9}", 420.0);
    reads(Kind::Temperature, "\u{2212}5 \u{b0}C", -5.0);
    reads(Kind::Temperature, "77\u{ba}F", 25.0);
    reads(Kind::Volume, "48\u{202f}210 L", 48210.0);
    reads(Kind::Volume, "48\u{2009}210,5 L", 48210.5);
    reads(Kind::Volume, "48\u{a0}210 L", 48210.0);
    reads(Kind::Volume, "48'210 L", 48210.0);
    reads(Kind::Flow, "1.5 m\u{b3}/h", 1500.0);
    reads(Kind::Pressure, "4 kg/cm\u{b2}", 392.266);
    reads(Kind::Conductivity, "10 M\u{3a9}\u{b7}cm", 0.1);
    reads(Kind::Conductivity, "10 M\u{2126} cm", 0.1);
    reads(Kind::AsCaco3, "10 \u{b0}fH", 100.0);
    reads(Kind::Flow, "12 L h\u{207b}\u{b9}", 12.0);
}

#[test]
fn spellings() {
    for text in ["60 psi", "60PSI", "60 psig", "60 lb/in2", "60 lbs", "60 p.s.i."] {
        reads(Kind::Pressure, text, 60.0 * 6.894_757_293_168_361);
    }
    for text in [
        "2 l/min",
        "2 LPM",
        "2 L per minute",
        "2 lit/min",
        "2 l/mn",
        "2 ltr/min",
        "2000 cc/min",
    ] {
        reads(Kind::Flow, text, 120.0);
    }
    for text in [
        "240 L/day",
        "240 LPD",
        "240 l/Tag",
        "240 L/24 h",
        "240 l/d\u{ed}a",
    ] {
        reads(Kind::Flow, text, 10.0);
    }
    for text in [
        "90 l/Std.",
        "90 L/hr",
        "90 LPH",
        "90 l / h",
        "90 liters per hour",
        "90 l/hora",
    ] {
        reads(Kind::Flow, text, 90.0);
    }
    for text in [
        "500 ml in 50 s",
        "0.5 L in 50 sec",
        "500 mL in 0:50",
        "500 ml / 50 s",
        "500 ml en 50 seg",
        "500mL in 50\"",
    ] {
        reads(Kind::Flow, text, 36.0);
    }
    for text in [
        "2 L in 1 min 40 s",
        "2 L in 1:40",
        "2 L in 1m40s",
        "2 L in 100 s",
        "2 L in 1'40\"",
    ] {
        reads(Kind::Flow, text, 72.0);
    }
    for text in ["30 mWS", "30 m of water", "30 mca", "30 mH2O", "30 m.c.a."] {
        reads(Kind::Pressure, text, 294.1995);
    }
    assert_eq!(
        find_unit(Kind::Conductivity, "[\u{b5}S/cm]").map(|u| u.symbol),
        Some("uS/cm")
    );
    assert_eq!(
        find_unit(Kind::Flow, "(ml/min)").map(|u| u.symbol),
        Some("mL/min")
    );
    assert_eq!(find_unit(Kind::Pressure, "uS"), None);
}

#[test]
fn ambiguous_is_refused_with_both_readings() {
    let error = refuses(Kind::Pressure, "1,234 kPa", &["1.234 kPa", "1234 kPa"]);
    assert!(matches!(error, Error::AmbiguousNumber { .. }));
    refuses(Kind::Volume, "48,210", &["48.210", "48210"]);
    refuses(Kind::Salt, "350 ppm", &["0.5", "0.7", "700 uS/cm", "500 uS/cm"]);
    refuses(Kind::Conductivity, "350 ppm", &["700 uS/cm", "500 uS/cm"]);
    refuses(Kind::AsCaco3, "12 \u{b0}", &["dH", "fH"]);
    refuses(Kind::AsCaco3, "2 mmol/L", &["200.172", "100.086"]);
    refuses(Kind::Minutes, "1:20", &["1 h 20 min", "1 min 20 s"]);
    refuses(Kind::Conductivity, "1.2 EC", &["mS/cm", "uS/cm"]);
    refuses(Kind::Salt, "2 ppt", &["g/L", "ng/L"]);
    refuses(Kind::Flow, "500 mL in 71", &["s", "min"]);
    refuses(Kind::Temperature, "20 \u{b0}", &["C or F"]);
}

#[test]
fn a_comma_that_can_only_be_one_thing_is_read() {
    reads(Kind::Pressure, "5,2 bar", 520.0);
    reads(Kind::Pressure, "5,25 bar", 525.0);
    reads(Kind::Volume, "1,234,567 L", 1_234_567.0);
    reads(Kind::Volume, "1,234.5 L", 1234.5);
    reads(Kind::Number, "7,1234", 7.1234);
    reads(Kind::Salt, "350 ppm @0,5", 700.0);
}

#[test]
fn in_a_log_the_decimal_sign_is_known() {
    let read = |decimal, text| {
        parse(
            Kind::Volume,
            text,
            &Context {
                decimal,
                ..Context::default()
            },
        )
        .map(|p| p.value)
    };
    assert_eq!(read(Decimal::Comma, "1,234"), Ok(1.234));
    assert_eq!(read(Decimal::Comma, "1.234"), Ok(1234.0));
    assert_eq!(read(Decimal::Comma, "1.234,5 L"), Ok(1234.5));
    assert_eq!(read(Decimal::Comma, "5.2"), Ok(5.2));
    assert_eq!(read(Decimal::Point, "1,234"), Ok(1234.0));
    assert_eq!(read(Decimal::Point, "5,2"), Ok(5.2));
    assert_eq!(read(Decimal::Point, "1.234"), Ok(1.234));
    assert!(read(Decimal::Point, "1.234,5").is_err());
    let psi = find_unit(Kind::Pressure, "psi");
    assert_eq!(
        parse_in(Kind::Pressure, "10", psi, &Context::default()).map(|p| p.value),
        parse(Kind::Pressure, "10 psi", &Context::default()).map(|p| p.value),
    );
    // A unit in the cell goes before the column's.
    assert_eq!(
        parse_in(Kind::Pressure, "3 bar", psi, &Context::default()).map(|p| p.value),
        Ok(300.0)
    );
    let meter = Context {
        meter_factor: Some(0.5),
        ..Context::default()
    };
    let ppm = find_unit(Kind::Salt, "ppm");
    assert_eq!(
        parse_in(Kind::Salt, "287", ppm, &meter).map(|p| (p.value, p.conductivity)),
        Ok((574.0, true))
    );
}

#[test]
fn errors_say_what_was_read_and_what_is_accepted() {
    refuses(Kind::Temperature, "4 bar", &["4 bar", "a pressure", "C, F, K"]);
    refuses(Kind::Pressure, "four", &["four", "psi"]);
    refuses(Kind::Pressure, "", &["nothing", "psi"]);
    refuses(Kind::Flow, "3 florins", &["florins", "L/h"]);
    refuses(Kind::Pressure, "70 psia", &["absolute", "gauge"]);
    refuses(Kind::Concentration, "<0.1 mg/L", &["bound"]);
    refuses(Kind::Temperature, "-500 F", &["absolute zero"]);
    refuses(Kind::Conductivity, "0 MOhm cm", &["above 0"]);
    refuses(Kind::Conductivity, "750 uS/cm @20 C", &["@20 C"]);
    refuses(Kind::Salt, "350 ppm @5", &["0.3 to 1"]);
    refuses(Kind::Concentration, "2 meq/L", &["molar mass"]);
    refuses(Kind::Number, "7.5 pH", &["pH"]);
    refuses(Kind::Flow, "500 mL in 0 s", &["above 0"]);
    refuses(Kind::Volume, "1.234,5 L", &["1.234,5"]);
    refuses(Kind::Volume, "12 34 L", &["12 34 L"]);
    refuses(Kind::Pressure, "NaN", &["NaN"]);
    refuses(Kind::Pressure, "inf", &["inf"]);
    refuses(Kind::Pressure, "1e400", &["1e400"]);
}

#[test]
fn every_unit_is_found_by_its_symbol() {
    for kind in Kind::ALL {
        for unit in quantity::units(kind) {
            let found = find_unit(kind, unit.symbol).map(|unit| unit.symbol);
            assert_eq!(found, Some(unit.symbol), "{kind:?}");
        }
        let base = kind.base_unit();
        assert!(
            base.is_empty() || find_unit(kind, base).is_some_and(|u| u.symbol == base),
            "{kind:?}"
        );
    }
}
