//! Wrong documents: every fault listed, with its path, what was read and what is accepted; never a panic.

use casefile::{Document, Faults, Invalid, Table};
use proptest::prelude::*;

const GOOD: &str = r#"
[unit]
id = "north"
[[unit.stages]]
id = "sediment"
kind = "sediment"
clean_drop = {pressure = "1 psi", flow = "1 gpm"}
[unit.membranes]
[[unit.membranes.elements]]
id = "membrane-1"
size = "2012"
rated = {flow = "180 gpd", rejection = 0.97, pressure = "65 psi", temperature = "77 F", tds = "500 mg/L"}
[unit.concentrate]
restrictor = {flow = "900 mL/min", at = "60 psi"}
[[readings]]
at = "2025-01-14T09:20:00Z"
permeate_flow = "500 mL in 45 s"
"#;

fn read(text: &str) -> Result<(unit::Unit, Vec<reading::Reading>), Invalid> {
    let document = Document::read("case.toml", text.as_bytes())?;
    let faults = Faults::new();
    let top = Table::new(&document.tree, "", &faults);
    let unit = top
        .required_table("unit", "a table")
        .and_then(casefile::unit_plan);
    let readings = unit
        .as_ref()
        .and_then(|unit| casefile::readings(&top, "readings", unit));
    faults.settle("case.toml", unit.zip(readings))
}

fn faults(text: &str) -> Vec<(String, String)> {
    match read(text) {
        Ok(_) => Vec::new(),
        Err(invalid) => invalid
            .faults
            .into_iter()
            .map(|fault| (fault.path, fault.read.to_string()))
            .collect(),
    }
}

#[test]
fn a_good_document_is_read_in_base_units() {
    let (unit, readings) = read(GOOD).expect("no fault");
    // NIST SP 811: 1 US gallon = 3.785411784 L, 1 psi = 6.894757 kPa.
    let rated = unit.membranes.elements[0].rated;
    assert!((rated.flow_l_h - 180.0 * 3.785_411_784 / 24.0).abs() < 1e-9);
    assert!((rated.pressure_kpa - 65.0 * 6.894_757_293).abs() < 1e-5);
    assert!((rated.temperature_c - 25.0).abs() < 1e-9);
    let flow = readings[0].get(reading::Field::PermeateFlow).expect("read");
    assert!((flow - 40.0).abs() < 1e-9);
}

#[test]
fn every_fault_is_listed_with_its_path() {
    let text = GOOD
        .replace("\"1 psi\"", "\"1 stone\"")
        .replace("size = \"2012\"", "size = \"9999\"")
        .replace("rejection = 0.97", "rejection = 1.2")
        .replace("at = \"60 psi\"", "at = -3")
        .replace("kind = \"sediment\"", "kind = \"sand\"")
        .replace("id = \"north\"", "id = 7");
    let found = faults(&text);
    for path in [
        "unit.id",
        "unit.stages[0].kind",
        "unit.stages[0].clean_drop.pressure",
        "unit.membranes.elements[0].size",
        "unit.membranes.elements[0].rated.rejection",
        "unit.concentrate.restrictor.at",
    ] {
        assert!(
            found.iter().any(|(p, _)| p == path),
            "{path} is not among {found:?}"
        );
    }
}

#[test]
fn a_value_that_can_mean_two_things_names_both() {
    let text = GOOD.replace("\"500 mL in 45 s\"", "\"1,234\"");
    let invalid = read(&text).expect_err("ambiguous");
    assert_eq!(invalid.faults[0].path, "readings[0].permeate_flow");
    assert!(
        invalid.faults[0].read.to_string().contains("1.234")
            && invalid.faults[0].read.to_string().contains("1234"),
        "{invalid:?}"
    );
}

#[test]
fn a_bare_ppm_outside_a_log_names_the_two_usual_factors() {
    let text = GOOD.replace("permeate_flow = \"500 mL in 45 s\"", "feed_tds = \"350 ppm\"");
    let invalid = read(&text).expect_err("no factor");
    assert!(
        invalid.faults[0].read.to_string().contains("0.5")
            && invalid.faults[0].read.to_string().contains("0.7"),
        "{invalid:?}"
    );
}

#[test]
fn a_stated_meter_factor_turns_ppm_into_conductivity() {
    let text = GOOD.replace(
        "permeate_flow = \"500 mL in 45 s\"",
        "feed_tds = \"350 ppm @0.5\"",
    );
    let (_, readings) = read(&text).expect("no fault");
    assert_eq!(readings[0].get(reading::Field::FeedConductivity), Some(700.0));
    assert_eq!(readings[0].get(reading::Field::FeedTds), None);
}

#[test]
fn part_ids_are_unique_and_known() {
    let twice = GOOD.replace("id = \"membrane-1\"", "id = \"sediment\"");
    assert_eq!(faults(&twice).len(), 1);
    let unknown = format!("{GOOD}pressure_after = {{ carbon = 300 }}\n");
    assert_eq!(faults(&unknown)[0].0, "readings[0].pressure_after");
}

#[test]
fn empty_binary_and_broken_documents_are_one_clear_fault() {
    for bytes in [
        &b""[..],
        b"  \n",
        b"\xff\xfe\x00garbage",
        b"{\"unit\": ",
        b"[unit\nid=1",
        b"[1, 2]",
        b"3",
    ] {
        let invalid = Document::read("input", bytes).expect_err("no document");
        assert_eq!(invalid.faults.len(), 1, "{bytes:?}");
        assert!(!invalid.faults[0].accepted.to_string().is_empty());
    }
}

#[test]
fn not_a_number_and_infinity_are_refused_by_name() {
    for value in ["nan", "inf", "-inf", "1e999"] {
        let text = GOOD.replace("rejection = 0.97", &format!("rejection = {value}"));
        let found = faults(&text);
        assert!(
            found
                .iter()
                .any(|(path, _)| path.contains("rejection") || path.is_empty()),
            "{value}: {found:?}"
        );
    }
}

proptest! {
    #[test]
    fn prop_any_bytes_are_a_document_or_a_fault(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        if let Err(invalid) = Document::read("input", &bytes) {
            prop_assert!(!invalid.faults.is_empty());
        }
    }

    // A good document with one line replaced by anything is read or refused with at least one named fault.
    #[test]
    fn prop_a_damaged_document_never_panics(line in 0usize..20, text in "\\PC{0,40}") {
        let mut lines: Vec<&str> = GOOD.lines().collect();
        let at = line % lines.len();
        lines[at] = &text;
        if let Err(invalid) = read(&lines.join("\n")) {
            prop_assert!(invalid.faults.iter().all(|fault| !fault.accepted.to_string().is_empty()));
        }
    }
}
