//! `saltmark check` on three simulated logs kept in three habits.
//!
//! What is expected is what `reference/field-logs/README.md` says a careful reader finds. Permeabilities there
//! are the model's; D4516 against the baseline's first reading gives the same within the tolerances below.

use crate::run::{answer, refusal, repository};
use serde_json::Value;

fn check(name: &str, log: &str) -> Value {
    let unit = repository(&format!("reference/field-logs/{name}.toml"));
    let log = repository(&format!("reference/field-logs/{log}"));
    answer(
        &[
            "check",
            "--unit",
            &unit.to_string_lossy(),
            "--log",
            &log.to_string_lossy(),
            "--as-of",
            "2026-01-10",
            "--json",
        ],
        b"",
    )
}

/// (line, field) of every doubt.
fn doubts(answer: &Value) -> Vec<(u64, String)> {
    let list = answer["doubts"].as_array().expect("a list");
    list.iter()
        .map(|doubt| {
            (
                doubt["line"].as_u64().expect("a line"),
                doubt["field"].as_str().expect("text").to_owned(),
            )
        })
        .collect()
}

fn factor(answer: &Value, cause: &str) -> f64 {
    let factors = answer["explain"]["factors"].as_array().expect("a list");
    let factor = factors
        .iter()
        .find(|factor| factor["cause"] == cause)
        .expect("every cause is there");
    factor["ratio"].as_f64().expect("a number")
}

fn near(value: f64, expected: f64, tolerance: f64) {
    assert!(
        (value - expected).abs() <= tolerance,
        "{value} is not {expected} +- {tolerance}"
    );
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or(f64::NAN)
}

#[test]
fn val_a_potting_shed() {
    let answer = check("a-potting-shed", "a-potting-shed.csv");
    assert_eq!(answer["rows"]["read"], 26);
    assert_eq!(answer["rows"]["events"], 2);
    assert_eq!(answer["rows"]["set_aside"][0]["line"], 14);
    // "Doubts: one bucket time with a slipped decimal (line 16), one temperature in Celsius in a Fahrenheit
    // column (line 23)".
    assert_eq!(
        doubts(&answer),
        [
            (16, "permeate_flow".to_owned()),
            (23, "feed_temperature".to_owned())
        ]
    );
    near(number(&answer["doubts"][0]["suggested"]), 26.5, 0.1);
    near(number(&answer["doubts"][1]["suggested"]), 21.0, 0.1);
    // "about 5 % less than the first, yet the membranes have lost about 19 % of their permeability".
    near(number(&answer["explain"]["total_ratio"]), 0.95, 0.005);
    near(factor(&answer, "membrane"), 0.81, 0.02);
    assert!(
        factor(&answer, "temperature") > 1.1,
        "warmer water hides most of it"
    );
    // "Standardised by D4516 alone, against the baseline's medians, salt passage reads about +20 to +30 %".
    near(
        number(&answer["standardised"]["relative_salt_passage"]),
        1.25,
        0.07,
    );
    // "how loaded it is now can't be told from gauges in whole psi, and a careful reader says so".
    let advice = answer["advice"].to_string();
    assert!(
        advice.contains("How loaded the sediment filter is can't be told"),
        "{advice}"
    );
    // "meter in ppm (its factor is 0.5, which the log does not say)".
    assert!(answer["assumed"].to_string().contains("0.5"));
}

#[test]
fn val_b_weir_cafe() {
    let answer = check("b-weir-cafe", "b-weir-cafe.csv");
    assert_eq!(answer["rows"]["read"], 22);
    assert_eq!(answer["rows"]["events"], 1);
    // "one pressure is a question mark".
    assert_eq!(answer["rows"]["cells"][0]["field"], "membrane_pressure");
    // "feed and permeate conductivity swapped (line 11), a flow ten times too high (line 18)".
    let doubts = doubts(&answer);
    assert!(
        doubts.contains(&(11, "feed_conductivity".to_owned())),
        "{doubts:?}"
    );
    assert!(
        doubts.contains(&(11, "permeate_conductivity".to_owned())),
        "{doubts:?}"
    );
    assert!(doubts.contains(&(18, "permeate_flow".to_owned())), "{doubts:?}");
    assert_eq!(doubts.len(), 3, "{doubts:?}");
    // "Permeability down about 37 %, salt passage by D4516 about +53 %".
    near(factor(&answer, "membrane"), 0.63, 0.03);
    near(
        number(&answer["standardised"]["relative_salt_passage"]),
        1.53,
        0.12,
    );
    // "both from the middle on: scale".
    let sentence = answer["sentence"].as_str().expect("text");
    assert!(sentence.contains("on"), "{sentence}");
    assert!(answer["advice"].to_string().contains("scale"));
}

#[test]
fn val_c_salt_barn() {
    let answer = check("c-salt-barn", "c-salt-barn.xlsx");
    assert_eq!(answer["rows"]["read"], 24);
    // "one flow in litres per hour in the gallons-per-day column (row 14)".
    assert_eq!(doubts(&answer), [(14, "permeate_flow".to_owned())]);
    near(number(&answer["doubts"][0]["suggested"]), 49.5, 0.1);
    // "Flow about as when new (2 % less)"; "salt passage by D4516 about 3.2 times".
    near(number(&answer["explain"]["total_ratio"]), 0.98, 0.005);
    near(
        number(&answer["standardised"]["relative_salt_passage"]),
        3.2,
        0.25,
    );
    // "chlorine has been passing the carbon filter (its column says since when) and the membranes are being
    // oxidised".
    let advice = answer["advice"].to_string();
    assert!(
        advice.contains("Chlorine has been passing the carbon since"),
        "{advice}"
    );
    assert!(advice.contains("oxidised"), "{advice}");
}

#[test]
fn the_product_of_the_shares_is_the_whole() {
    for (name, log) in [
        ("a-potting-shed", "a-potting-shed.csv"),
        ("b-weir-cafe", "b-weir-cafe.csv"),
        ("c-salt-barn", "c-salt-barn.xlsx"),
    ] {
        let answer = check(name, log);
        let factors = answer["explain"]["factors"].as_array().expect("a list");
        let product: f64 = factors.iter().map(|factor| number(&factor["ratio"])).product();
        let total = number(&answer["explain"]["total_ratio"]);
        assert!((product / total - 1.0).abs() < 1e-9, "{name}: {product} {total}");
    }
}

#[test]
fn a_picture_is_written_where_it_is_asked_for() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("history.svg");
    let unit = repository("reference/field-logs/a-potting-shed.toml");
    let log = repository("reference/field-logs/a-potting-shed.csv");
    let arguments = [
        "check",
        "--unit",
        &unit.to_string_lossy(),
        "--log",
        &log.to_string_lossy(),
        "--as-of",
        "2026-01-10",
        "--plot",
        &file.to_string_lossy(),
        "--json",
    ];
    answer(&arguments, b"");
    let svg = std::fs::read_to_string(&file).expect("the picture");
    assert!(svg.starts_with("<svg") && svg.trim_end().ends_with("</svg>"));
    assert_eq!(
        std::fs::read_dir(folder.path()).expect("the folder").count(),
        1,
        "a draft was left behind"
    );
}

#[test]
fn a_log_that_is_none_is_refused_by_name() {
    let unit = repository("reference/field-logs/a-potting-shed.toml");
    let unit = unit.to_string_lossy();
    for (bytes, says) in [
        (&b""[..], "empty"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "picture"),
        (b"a,b\n1,2\n", "heading"),
    ] {
        let said = refusal(&["check", "--unit", &unit, "--log", "-", "--json"], bytes);
        assert!(said.to_lowercase().contains(says), "{said}");
        assert!(said.contains("standard input"), "{said}");
    }
}

#[test]
fn a_wrong_unit_lists_every_fault_and_writes_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("unit.toml");
    std::fs::write(&file, "[unit]\nname = 3\n[unit.membranes]\nelements = []\n").expect("written");
    let picture = folder.path().join("never.svg");
    let log = repository("reference/field-logs/a-potting-shed.csv");
    let said = refusal(
        &[
            "check",
            "--unit",
            &file.to_string_lossy(),
            "--log",
            &log.to_string_lossy(),
            "--plot",
            &picture.to_string_lossy(),
        ],
        b"",
    );
    for path in [
        "unit.id",
        "unit.name",
        "unit.membranes.elements",
        "unit.concentrate",
    ] {
        assert!(said.contains(path), "{path} is not in {said}");
    }
    assert!(!picture.exists());
}
