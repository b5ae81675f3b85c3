//! Carbon dioxide in the permeate's conductivity is no salt.

use water::Analysis;
use wear::salt::Salt;

/// Water B of `reference/check-values.md` 5.17: hard well water at 25 C with log pCO2 -1.633.
fn hard_well() -> Analysis {
    Analysis {
        temperature_c: Some(25.0),
        ph: Some(7.2),
        calcium_mg_l: Some(110.0),
        magnesium_mg_l: Some(32.0),
        sodium_mg_l: Some(25.0),
        potassium_mg_l: Some(3.0),
        alkalinity_mg_l_caco3: Some(319.86),
        sulfate_mg_l: Some(70.0),
        chloride_mg_l: Some(42.5),
        nitrate_mg_l: Some(15.0),
        ..Analysis::default()
    }
}

// Source: reference/check-values.md 5.17 (PHREEQC): a permeate with 8 mg/L HCO3 and 2 mg/L Cl, with their sodium
// about 14 mg/L in all, conducts 20.21 uS/cm with the feed's CO2, of which a few are the gas. Taking every ion to
// pass alike, as the table does, makes the answer differ by the ions' conductivities: 25 %.
#[test]
fn val_what_carbon_dioxide_adds_is_taken_out() {
    let known = Salt::of(Some(&hard_well()));
    let with_gas = known.permeate_mg_l(20.21);
    let plain = 20.21 * known.ratio;
    assert!(with_gas < plain, "{with_gas} {plain}");
    assert!((with_gas / 14.3 - 1.0).abs() < 0.25, "{with_gas}");
    assert!(
        known.assumed.iter().all(|sentence| !sentence.contains("0 to 3")),
        "{:?}",
        known.assumed
    );
}

#[test]
fn without_ph_or_alkalinity_the_offset_is_named() {
    for water in [
        None,
        Some(Analysis {
            conductivity_us_cm: Some(600.0),
            tds_mg_l: Some(300.0),
            ..Analysis::default()
        }),
        Some(Analysis {
            ph: None,
            ..hard_well()
        }),
    ] {
        let salt = Salt::of(water.as_ref());
        assert!(
            salt.assumed
                .iter()
                .any(|sentence| sentence.contains("0 to 3 uS/cm")),
            "{:?}",
            salt.assumed
        );
        assert_eq!(salt.permeate_mg_l(20.0), 20.0 * salt.ratio);
    }
}

#[test]
fn the_table_rises_and_never_falls_to_nothing() {
    let salt = Salt::of(Some(&hard_well()));
    let mut before = 0.0;
    for step in 0..2000 {
        let mg_l = salt.permeate_mg_l(f64::from(step) * 0.5);
        assert!(mg_l > 0.0 && mg_l >= before, "{step} {mg_l} {before}");
        before = mg_l;
    }
    // All of the salt passed gives the feed's own concentration, to what the last piece of the table bends: 2 %.
    let feed = salt.feed_us_cm.expect("the feed conducts");
    assert!((salt.permeate_mg_l(feed) / (feed * salt.ratio) - 1.0).abs() < 0.02);
}
