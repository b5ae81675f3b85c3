//! The equations of ASTM D4516 against worked figures and against the same equations in NumPy.

use std::process::Command;

use proptest::prelude::*;
use wear::columns::{Columns, Errors, StandardisedColumns, standardise_columns};
use wear::d4516::{Complete, Reference, standardise_one};

/// Reference set of `reference/check-values.md` 1.07: 10.0 bar, drop 0.5, back pressure 0.2, 500 mg/L,
/// recovery 0.50, 25 C, permeate 10 mg/L, 8.0 L/min.
fn standard() -> Complete {
    Complete {
        permeate_l_h: 480.0,
        concentrate_l_h: 480.0,
        temperature_c: 25.0,
        membrane_kpa: 1000.0,
        drop_kpa: 50.0,
        back_kpa: 20.0,
        feed_mg_l: 500.0,
        permeate_mg_l: 10.0,
        ..Complete::default()
    }
}

/// Actual set of 1.08: 10.6 bar, drop 0.7, back pressure 0.3, 620 mg/L, recovery 0.45, 14 C, 14 mg/L,
/// 5.6 L/min.
fn actual() -> Complete {
    Complete {
        permeate_l_h: 336.0,
        concentrate_l_h: 336.0 * 0.55 / 0.45,
        temperature_c: 14.0,
        membrane_kpa: 1060.0,
        drop_kpa: 70.0,
        back_kpa: 30.0,
        feed_mg_l: 620.0,
        permeate_mg_l: 14.0,
        ..Complete::default()
    }
}

fn reference() -> Reference {
    Reference {
        ln_temperature_coefficient: 1.03f64.ln(),
        osmotic_slope: 0.2654,
        osmotic_curve: 1.0,
        channel_m2: 1e-3,
        hydraulic_diameter_m: 8.65e-4,
        driving_kpa: 900.9052,
        permeate_l_h: 480.0,
        feed_mg_l: 500.0,
        feed_side_mg_l: 693.147,
        channel_l_h: 720.0,
    }
}

fn close(a: f64, b: f64, relative: f64) {
    assert!(
        (a / b - 1.0).abs() <= relative,
        "{a} is not within {relative} of {b}"
    );
}

// Source: reference/check-values.md 1.07 and 1.08, from the formulas of ASTM D4516; the digits shown there are
// the tolerance.
#[test]
fn val_driving_pressure_of_the_worked_sets() {
    let one = standardise_one(&standard(), &reference());
    close(one.feed_side_mg_l, 693.147, 1e-6);
    close(one.driving_kpa, 900.9052, 1e-6);
    let one = standardise_one(&actual(), &reference());
    close(one.feed_side_mg_l, 823.687, 1e-6);
    close(one.driving_kpa, 933.2424, 1e-6);
}

// Source: reference/check-values.md 1.09 (temperature correction 1.03^(T - 25)) and 1.12.
#[test]
fn val_standardised_flow_and_salt_passage() {
    let one = standardise_one(&actual(), &reference());
    close(one.permeate_l_h / 60.0, 7.483_110, 1e-6);
    close(one.salt_passage, 0.022_831_2, 3e-6);
}

// Source: reference/check-values.md 1.17: the reference standardised to itself is itself.
#[test]
fn val_the_reference_is_its_own_standard() {
    let own = standardise_one(&standard(), &reference());
    let reference = Reference {
        driving_kpa: own.driving_kpa,
        feed_side_mg_l: own.feed_side_mg_l,
        ..reference()
    };
    let one = standardise_one(&standard(), &reference);
    close(one.permeate_l_h, 480.0, 1e-12);
    close(one.salt_passage, 10.0 / 500.0, 1e-12);
}

// The friction law's own viscosity against the water crate's IAPWS SR6-08: seen through dP_std, whose factor is
// phi_s / phi. 1e-6 is what the rounded viscosity at 25 C in it allows.
#[test]
fn val_drop_follows_the_channels_friction() {
    let reference = reference();
    for t in [1.0, 5.0, 15.0, 25.0, 40.0] {
        let reading = Complete {
            temperature_c: t,
            ..standard()
        };
        let phi = |flow: f64, t: f64| {
            let u = flow / 3.6e6 / reference.channel_m2;
            0.42 * u * u
                + 189.3 * water::properties::viscosity_pa_s(t) / 998.0 / reference.hydraulic_diameter_m * u
        };
        let expected = 50.0 * phi(720.0, 25.0) / phi(720.0, t);
        close(standardise_one(&reading, &reference).drop_kpa, expected, 1e-5);
    }
}

fn readings() -> impl Strategy<Value = Complete> {
    let flows = (5.0..500.0f64, 10.0..900.0f64, 1.0..35.0f64);
    let pressures = (250.0..900.0f64, 0.0..40.0f64, 0.0..30.0f64);
    let salts = (50.0..3000.0f64, 0.005..0.4f64);
    (flows, pressures, salts).prop_map(|((q, qc, t), (p, d, b), (cf, passage))| Complete {
        permeate_l_h: q,
        concentrate_l_h: qc + q / 3.0,
        temperature_c: t,
        membrane_kpa: p + 200.0,
        drop_kpa: d,
        back_kpa: b,
        feed_mg_l: cf,
        permeate_mg_l: cf * passage,
        driving_sd_kpa: 5.0,
        drop_sd_kpa: 7.0,
        permeate_flow_sd: 0.025,
        concentrate_flow_sd: 0.025,
        feed_relative_sd: 0.02,
        permeate_relative_sd: 0.03,
        temperature_sd_c: 0.4,
        ..Complete::default()
    })
}

proptest! {
    // First-order standard deviations against the same sums with numerical slopes: 1e-4 is the error of the
    // central differences.
    #[test]
    fn prop_standard_deviations_are_those_of_the_equations(reading in readings()) {
        let reference = reference();
        let base = standardise_one(&reading, &reference);
        prop_assume!(base.driving_kpa > 50.0);
        let slope = |change: &dyn Fn(&mut Complete, f64), step: f64| {
            let (mut up, mut down) = (reading, reading);
            change(&mut up, step);
            change(&mut down, -step);
            let (up, down) = (standardise_one(&up, &reference), standardise_one(&down, &reference));
            (
                (up.permeate_l_h.ln() - down.permeate_l_h.ln()) / (2.0 * step),
                (up.salt_passage.ln() - down.salt_passage.ln()) / (2.0 * step),
            )
        };
        let h = 1e-5;
        let terms = [
            (slope(&|r, s| r.permeate_l_h *= s.exp(), h), reading.permeate_flow_sd),
            (slope(&|r, s| r.concentrate_l_h *= s.exp(), h), reading.concentrate_flow_sd),
            (slope(&|r, s| r.feed_mg_l *= s.exp(), h), reading.feed_relative_sd),
            (slope(&|r, s| r.permeate_mg_l *= s.exp(), h), reading.permeate_relative_sd),
            (slope(&|r, s| r.temperature_c += s, h), reading.temperature_sd_c),
            (slope(&|r, s| r.membrane_kpa += s, 1e-3), reading.driving_sd_kpa),
        ];
        let flow = terms.iter().map(|((f, _), sd)| (f * sd).powi(2)).sum::<f64>().sqrt();
        // The driving pressure does not enter salt passage.
        let salt = terms[..5].iter().map(|((_, s), sd)| (s * sd).powi(2)).sum::<f64>().sqrt();
        prop_assert!((base.permeate_sd / flow - 1.0).abs() < 1e-4, "{} {flow}", base.permeate_sd);
        prop_assert!((base.salt_passage_sd / salt - 1.0).abs() < 1e-4, "{} {salt}", base.salt_passage_sd);
    }

    // The loop over columns does what one reading alone does; vectors may round differently in the last digits.
    #[test]
    fn prop_columns_agree_with_single_readings(readings in prop::collection::vec(readings(), 0..200)) {
        let reference = reference();
        let errors = Errors {
            flow: 0.025, temperature_c: 0.4, gauge_kpa: 5.0, concentration: 0.02, concentration_mg_l: 0.5,
        };
        let column = |value: fn(&Complete) -> f64| readings.iter().map(value).collect::<Vec<_>>();
        let columns = Columns {
            permeate_l_h: column(|r| r.permeate_l_h),
            concentrate_l_h: column(|r| r.concentrate_l_h),
            temperature_c: column(|r| r.temperature_c),
            membrane_kpa: column(|r| r.membrane_kpa),
            drop_kpa: column(|r| r.drop_kpa),
            back_kpa: column(|r| r.back_kpa),
            feed_mg_l: column(|r| r.feed_mg_l),
            permeate_mg_l: column(|r| r.permeate_mg_l),
        };
        let mut out = StandardisedColumns::default();
        standardise_columns(&columns, &errors, &reference, &mut out);
        prop_assert_eq!(out.permeate_l_h.len(), readings.len());
        for (i, reading) in readings.iter().enumerate() {
            let reading = Complete {
                driving_sd_kpa: 5.0 * 1.5f64.sqrt(),
                drop_sd_kpa: 5.0 * 2f64.sqrt(),
                feed_relative_sd: 0.02,
                feed_sd_mg_l: 0.5,
                permeate_relative_sd: 0.02,
                permeate_sd_mg_l: 0.5,
                ..*reading
            };
            let one = standardise_one(&reading, &reference);
            for (a, b) in [
                (out.permeate_l_h[i], one.permeate_l_h),
                (out.salt_passage[i], one.salt_passage),
                (out.drop_kpa[i], one.drop_kpa),
                (out.permeate_sd[i], one.permeate_sd),
                (out.salt_passage_sd[i], one.salt_passage_sd),
                (out.drop_sd_kpa[i], one.drop_sd_kpa),
            ] {
                prop_assert!((a - b).abs() <= 1e-11 * b.abs().max(1e-12), "{a} {b}");
            }
        }
    }
}

// Source: the same equations written in NumPy (tests/d4516_numpy.py), run on 200 readings; 1e-11 is rounding.
#[test]
fn val_agrees_with_numpy() {
    let python = std::env::var("SALTMARK_PYTHON")
        .expect("SALTMARK_PYTHON names a Python with NumPy: run the tests by `cargo xtask test`");
    let mut rows = Vec::new();
    let mut ours = Vec::new();
    for i in 0..200 {
        let wave = |period: f64, low: f64, high: f64| {
            low + (high - low) * 0.5 * (1.0 + (f64::from(i) / period).sin())
        };
        let reading = Complete {
            permeate_l_h: wave(3.0, 10.0, 90.0),
            concentrate_l_h: wave(5.0, 20.0, 200.0),
            temperature_c: wave(7.0, 1.0, 30.0),
            membrane_kpa: wave(11.0, 300.0, 700.0),
            drop_kpa: wave(13.0, 0.5, 20.0),
            back_kpa: wave(17.0, 0.0, 30.0),
            feed_mg_l: wave(19.0, 80.0, 2500.0),
            permeate_mg_l: wave(23.0, 2.0, 150.0),
            ..Complete::default()
        };
        rows.push(format!(
            "[{},{},{},{},{},{},{},{}]",
            reading.permeate_l_h,
            reading.concentrate_l_h,
            reading.temperature_c,
            reading.membrane_kpa,
            reading.drop_kpa,
            reading.back_kpa,
            reading.feed_mg_l,
            reading.permeate_mg_l
        ));
        ours.push(standardise_one(&reading, &reference()));
    }
    let output = Command::new(python)
        .arg(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/d4516_numpy.py"))
        .arg(format!("[{}]", rows.join(",")))
        .output()
        .expect("Python runs");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let theirs: Vec<[f64; 3]> = serde_json::from_slice(&output.stdout).expect("a JSON list");
    assert_eq!(theirs.len(), ours.len());
    for (one, [flow, passage, driving]) in ours.iter().zip(theirs) {
        close(one.permeate_l_h, flow, 1e-11);
        close(one.salt_passage, passage, 1e-11);
        close(one.driving_kpa, driving, 1e-11);
    }
}
