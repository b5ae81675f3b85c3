//! The data files against the database that they were taken from: `reference/phreeqc.dat`, read anew here.

use std::collections::HashMap;

/// Options of each block of the database by its equation (or, for a phase, its name).
type Blocks = HashMap<String, HashMap<String, Vec<String>>>;

const OPTIONS: [&str; 7] = ["log_k", "delta_h", "analytic", "gamma", "dw", "vm", "viscosity"];

fn blocks(start: &str, stop: &str) -> Blocks {
    // A few bytes of its comments are not UTF-8.
    let bytes = std::fs::read(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../reference/phreeqc.dat"
    ))
    .expect("the database");
    let text = String::from_utf8_lossy(&bytes).into_owned();
    let mut out = Blocks::new();
    let mut key = String::new();
    let mut named = false;
    let lines = text
        .lines()
        .map(|l| l.split('#').next().unwrap_or_default().trim());
    for line in lines
        .skip_while(|l| *l != start)
        .skip(1)
        .take_while(|l| *l != stop)
    {
        for part in line.split(';').map(str::trim).filter(|p| !p.is_empty()) {
            let mut words = part.trim_start_matches('-').split_whitespace();
            let first = words.next().unwrap_or_default().to_lowercase();
            let option = OPTIONS.iter().find(|o| first.starts_with(**o));
            if let Some(option) = option {
                // A later line replaces an earlier one.
                let words = words.map(str::to_owned).collect();
                out.entry(key.clone())
                    .or_default()
                    .insert((*option).to_owned(), words);
            } else if part.contains(" = ") {
                if !named {
                    key = part.split_whitespace().collect::<Vec<_>>().join(" ");
                    out.entry(key.clone()).or_default();
                }
                named = false;
            } else {
                part.split_whitespace()
                    .next()
                    .unwrap_or_default()
                    .clone_into(&mut key);
                out.entry(key.clone()).or_default();
                named = true;
            }
        }
    }
    out
}

/// The rows of a data file as maps from heading to cell.
fn rows(text: &str) -> Vec<HashMap<&str, &str>> {
    let mut lines = text.lines();
    let head: Vec<&str> = lines.next().expect("a head").split('|').collect();
    lines
        .map(|l| head.iter().copied().zip(l.split('|')).collect())
        .collect()
}

/// The cells of some columns against the words of an option.
fn same(
    name: &str,
    block: &HashMap<String, Vec<String>>,
    option: &str,
    row: &HashMap<&str, &str>,
    columns: &[&str],
) {
    let words = block.get(option).cloned().unwrap_or_default();
    let there: Vec<f64> = words
        .iter()
        .map_while(|w| w.parse().ok())
        .take(columns.len())
        .collect();
    let here: Vec<f64> = columns
        .iter()
        .map(|c| row[c])
        .take_while(|c| !c.is_empty())
        .map(|c| c.parse().expect("a number"))
        .collect();
    // The same digits: no tolerance.
    assert_eq!(here, there, "{name}: {option}");
}

#[test]
fn val_species_are_those_of_phreeqc() {
    let database = blocks("SOLUTION_SPECIES", "PHASES");
    let rows = rows(include_str!("../data/species.csv"));
    assert_eq!(rows.len(), 92);
    for row in rows {
        let name = row["name"];
        // Ammonium stands in the database as nitrate's reduction; it is entered as itself here.
        let equation = if name == "NH4+" {
            "NO3- + 10 H+ + 8 e- = NH4+ + 3 H2O"
        } else {
            row["equation"]
        };
        let block = database
            .get(equation)
            .unwrap_or_else(|| panic!("{equation} is not in the database"));
        if name != "NH4+" {
            same(name, block, "log_k", &row, &["log_k"]);
            same(name, block, "delta_h", &row, &["delta_h"]);
            let unit = block
                .get("delta_h")
                .map(|w| w.get(1).map_or("kJ", String::as_str));
            assert_eq!(unit.unwrap_or_default(), row["delta_h_unit"], "{name}");
            same(
                name,
                block,
                "analytic",
                &row,
                &["a1", "a2", "a3", "a4", "a5", "a6"],
            );
        }
        same(name, block, "gamma", &row, &["gamma_a", "gamma_b"]);
        same(
            name,
            block,
            "dw",
            &row,
            &["dw", "dw_t", "dw_a", "dw_a2", "dw_visc", "dw_a3"],
        );
        let vm = [
            "vm_a1", "vm_a2", "vm_a3", "vm_a4", "vm_w", "vm_a0", "vm_i1", "vm_i2", "vm_i3", "vm_i4",
        ];
        same(name, block, "vm", &row, &vm);
        let viscosity = [
            "visc_b0", "visc_b1", "visc_b2", "visc_d1", "visc_d2", "visc_d3", "visc_tan",
        ];
        same(name, block, "viscosity", &row, &viscosity);
    }
}

#[test]
fn val_every_species_of_these_elements_is_there() {
    // Whatever the database makes of the masters alone, without electrons, must be a row.
    let here: Vec<String> = rows(include_str!("../data/species.csv"))
        .iter()
        .map(|r| r["equation"].to_owned())
        .collect();
    let mut known: Vec<String> = rows(include_str!("../data/species.csv"))
        .iter()
        .map(|r| r["name"].to_owned())
        .collect();
    known.push("H2O".to_owned());
    for equation in blocks("SOLUTION_SPECIES", "PHASES").into_keys() {
        let words: Vec<&str> = equation
            .split_whitespace()
            .filter(|w| *w != "+" && *w != "=" && w.parse::<f64>().is_err())
            .collect();
        let left = equation.split(" = ").next().unwrap_or_default();
        let of_ours = left
            .split_whitespace()
            .filter(|w| *w != "+" && w.parse::<f64>().is_err())
            .all(|w| known.iter().any(|k| k == w));
        if of_ours && !words.contains(&"e-") && equation != "H2O = H2O" {
            assert!(here.contains(&equation), "{equation} is missing");
        }
    }
}

#[test]
fn val_minerals_are_those_of_phreeqc() {
    let database = blocks("PHASES", "EXCHANGE_MASTER_SPECIES");
    for row in rows(include_str!("../data/minerals.csv")) {
        let name = row["phase"];
        let block = database
            .get(name)
            .unwrap_or_else(|| panic!("{name} is not in the database"));
        same(name, block, "log_k", &row, &["log_k"]);
        same(name, block, "delta_h", &row, &["delta_h"]);
        same(
            name,
            block,
            "analytic",
            &row,
            &["a1", "a2", "a3", "a4", "a5", "a6"],
        );
    }
}
