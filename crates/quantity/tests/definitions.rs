//! Conversion factors against NIST Special Publication 811 (2008), Appendix B.8 and B.9 (seven
//! significant digits as printed there; written down from memory, the same values stand in
//! `scipy.constants`), and against exact definitions.

use quantity::{Context, Ion, Kind, parse};

/// The printed factors have seven significant digits: half a unit in the last of them, relative.
const SEVEN_DIGITS: f64 = 5e-7;
/// Exact definitions: only the rounding of one multiplication and one division.
const EXACT: f64 = 4.0 * f64::EPSILON;

fn value(kind: Kind, text: &str) -> f64 {
    parse(kind, text, &Context::default())
        .unwrap_or_else(|error| panic!("{text}: {error}"))
        .value
}

#[track_caller]
fn check(kind: Kind, text: &str, expected: f64, relative: f64) {
    let got = value(kind, text);
    assert!(
        (got - expected).abs() <= relative * expected.abs(),
        "{text}: {got} instead of {expected}"
    );
}

#[test]
fn val_pressure_nist_sp_811() {
    // Factors to Pa: psi 6.894757 E+03, kgf/cm2 9.80665 E+04, ft of water conventional 2.989067 E+03,
    // standard atmosphere 1.01325 E+05, bar 1.0 E+05, mmHg conventional 1.333224 E+02, inHg conventional
    // 3.386389 E+03, in of water conventional 2.490889 E+02, cm of water conventional 9.80665 E+01.
    check(Kind::Pressure, "1 psi", 6.894_757, SEVEN_DIGITS);
    check(Kind::Pressure, "1 kg/cm2", 98.0665, EXACT);
    check(Kind::Pressure, "1 ft of water", 2.989_067, SEVEN_DIGITS);
    check(Kind::Pressure, "1 atm", 101.325, EXACT);
    check(Kind::Pressure, "1 bar", 100.0, EXACT);
    check(Kind::Pressure, "1 mmHg", 0.133_322_4, SEVEN_DIGITS);
    check(Kind::Pressure, "1 inHg", 3.386_389, SEVEN_DIGITS);
    check(Kind::Pressure, "1 inH2O", 0.249_088_9, SEVEN_DIGITS);
    check(Kind::Pressure, "1 cmH2O", 0.098_066_5, EXACT);
    check(Kind::Pressure, "1 m of water", 9.806_65, EXACT);
    // contract.md 2: 14.695948775 psi = 1 atm (eleven digits).
    check(Kind::Pressure, "14.695948775 psi", 101.325, 5e-11);
}

#[test]
fn val_volume_and_flow_nist_sp_811() {
    // Factors to m3: gallon (US) 3.785412 E-03, gallon (UK) 4.54609 E-03, cubic foot 2.831685 E-02, quart (US)
    // 9.463529 E-04, fluid ounce (US) 2.957353 E-05, cubic inch 1.638706 E-05.
    check(Kind::Volume, "1 gal", 3.785_412, SEVEN_DIGITS);
    check(Kind::Volume, "1 imp gal", 4.546_09, EXACT);
    check(Kind::Volume, "1 ft3", 28.316_85, SEVEN_DIGITS);
    check(Kind::Volume, "1 qt", 0.946_352_9, SEVEN_DIGITS);
    check(Kind::Volume, "1 fl oz", 0.029_573_53, SEVEN_DIGITS);
    check(Kind::Volume, "1 in3", 0.016_387_06, SEVEN_DIGITS);
    // Factors to m3/s: gallon (US) per day 4.381264 E-08, per minute 6.309020 E-05; cubic foot per minute
    // 4.719474 E-04. 1 m3/s is 3.6 E+06 L/h.
    check(Kind::Flow, "1 gpd", 4.381_264e-8 * 3.6e6, SEVEN_DIGITS);
    check(Kind::Flow, "1 gpm", 6.309_020e-5 * 3.6e6, SEVEN_DIGITS);
    check(Kind::Flow, "1 cfm", 4.719_474e-4 * 3.6e6, SEVEN_DIGITS);
    check(Kind::Flow, "1 L/min", 60.0, EXACT);
    check(Kind::Flow, "900 mL/min", 54.0, EXACT);
    check(Kind::Flow, "1 m3/d", 1000.0 / 24.0, EXACT);
    check(Kind::Flow, "500 mL in 71 s", 0.5 * 3600.0 / 71.0, EXACT);
    check(Kind::Flow, "1 gal in 3:20", 3.785_411_784 * 3600.0 / 200.0, EXACT);
}

#[test]
fn val_temperature_nist_sp_811() {
    // B.9: t/C = (t/F - 32)/1.8; T/K = t/C + 273.15.
    check(Kind::Temperature, "77 F", 25.0, EXACT);
    check(Kind::Temperature, "212 F", 100.0, EXACT);
    check(Kind::Temperature, "-40 F", -40.0, EXACT);
    check(Kind::Temperature, "298.15 K", 25.0, 1e-15);
    check(Kind::TemperatureDifference, "0.9 F", 0.5, EXACT);
}

#[test]
fn val_length_and_area_nist_sp_811() {
    // Exact in SP 811: inch 2.54 E-02 m, foot 3.048 E-01 m, square foot 9.290304 E-02 m2, square inch 6.4516 E-04.
    check(Kind::Length, "1 in", 0.0254, EXACT);
    check(Kind::Length, "1 ft", 0.3048, EXACT);
    check(Kind::Area, "1 ft2", 0.092_903_04, EXACT);
    check(Kind::Area, "1 in2", 6.4516e-4, EXACT);
}

#[test]
fn val_hardness() {
    // SP 811: grain 6.479891 E-05 kg, grain per gallon (US) 1.711806 E-02 kg/m3.
    check(Kind::AsCaco3, "1 gpg", 17.118_06, SEVEN_DIGITS);
    // contract.md 2, five digits.
    check(Kind::AsCaco3, "1 gpg", 17.118, 5e-6);
    // Degrees: DIN 38409-6 (1986) for dH, 1 mmol/L alkaline earths = 5.600 dH (5.6077 by today's masses: the
    // norm rounds); NF T 90-003 for fH, 10 mg/L; one grain in an imperial gallon, 14.25 mg/L (from memory).
    check(Kind::AsCaco3, "5.6 dH", 100.086, 2e-3);
    check(Kind::AsCaco3, "1 fH", 10.0, EXACT);
    check(Kind::AsCaco3, "1 Clark", 14.254, 5e-5);
    let hardness = Context {
        ion: Some(Ion::HARDNESS),
        ..Context::default()
    };
    let alkalinity = Context {
        ion: Some(Ion::ALKALINITY),
        ..Context::default()
    };
    // One mole of Ca is one of CaCO3 (100.09 g/mol); one of bicarbonate is half of one.
    for (context, expected) in [(hardness, 200.17), (alkalinity, 100.09)] {
        let got = parse(Kind::AsCaco3, "2 mmol/L", &context).map(|parsed| parsed.value);
        // Expected values are written with five digits.
        assert!(
            got.as_ref().is_ok_and(|got| (got - expected).abs() < 0.005),
            "{got:?}"
        );
    }
    check(Kind::AsCaco3, "2 meq/L", 100.09, 5e-5);
    // 61.017 mg of HCO3 are one milliequivalent, 50.04 mg of CaCO3 (Standard Methods 2320 B).
    check(Kind::AsCaco3, "61.017 mg/L as HCO3", 50.04, 1e-4);
}

#[test]
fn val_conductivity_and_its_inverse() {
    check(Kind::Conductivity, "0.42 mS/cm", 420.0, EXACT);
    check(Kind::Conductivity, "1 dS/m", 1000.0, EXACT);
    check(Kind::Conductivity, "100 mS/m", 1000.0, EXACT);
    // Ultrapure water, 18.2 MOhm cm, is 0.055 uS/cm (ASTM D1193: two digits).
    check(Kind::Conductivity, "18.2 MOhm cm", 0.055, 0.01);
    check(Kind::Conductivity, "350 ppm @0.5", 700.0, EXACT);
    check(Kind::Conductivity, "350 ppm @0.7", 500.0, EXACT);
}

#[test]
fn val_constituents() {
    let nitrate = Ion {
        formula: "NO3",
        molar_mass_g_mol: 62.004,
        charge: 1,
        element: Some(("N", 14.007)),
    };
    let calcium = Ion {
        formula: "Ca",
        molar_mass_g_mol: 40.078,
        charge: 2,
        element: None,
    };
    let read = |ion, text| {
        parse(
            Kind::Concentration,
            text,
            &Context {
                ion: Some(ion),
                ..Context::default()
            },
        )
        .map(|p| p.value)
    };
    // The WHO guideline for nitrate is stated both ways: 50 mg/L as NO3 is 11.3 mg/L as N (WHO, Guidelines for
    // drinking-water quality, 4th ed., rounded to 11).
    let got = read(nitrate, "11.3 mg/L as N");
    assert!(
        got.as_ref().is_ok_and(|got| (got - 50.0).abs() < 0.1),
        "three digits in the source: {got:?}"
    );
    assert_eq!(read(nitrate, "1 mmol/L"), Ok(62.004));
    assert_eq!(read(calcium, "2 meq/L"), Ok(40.078));
    // Standard Methods 2340 B: 1 mg/L of Ca is 2.497 mg/L as CaCO3 (four digits).
    let got = read(calcium, "2.497 mg/L as CaCO3");
    assert!(got.as_ref().is_ok_and(|got| (got - 1.0).abs() < 2e-4), "{got:?}");
    assert_eq!(read(nitrate, "3 ppb"), Ok(0.003));
}

#[test]
fn val_exchange_capacity() {
    // 1 kgr/ft3 = 0.0458 eq/L (from memory: 1 eq/L = 21.8 kgr/ft3 in resin makers' tables, three digits).
    check(Kind::CapacityPerVolume, "21.8 kgr/ft3", 1.0, 4e-3);
    check(Kind::ExchangeCapacity, "50.043 g as CaCO3", 1.0, 1e-5);
    // 64.79891 mg of CaCO3 over 50.043 mg/meq.
    check(
        Kind::ExchangeCapacity,
        "30000 grains",
        30.0 * 64.798_91 / 50.043,
        EXACT,
    );
}

#[test]
fn val_durations() {
    check(Kind::Duration, "365 d", 365.0, EXACT);
    check(Kind::Duration, "36 h", 1.5, EXACT);
    check(Kind::Duration, "2 weeks", 14.0, EXACT);
    // The Julian year of 365.25 d, and its twelfth.
    check(Kind::Duration, "1 year", 365.25, EXACT);
    check(Kind::Duration, "12 months", 365.25, EXACT);
    check(Kind::Minutes, "1 h 20 min", 80.0, EXACT);
    check(Kind::Hours, "90 min", 1.5, EXACT);
}
