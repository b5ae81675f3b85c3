//! Waters per second, side by side with IPHREEQC in one run. Prints JSON lines.
//!
//! `cargo bench -p water`, with `SALTMARK_PYTHON` set for the reference; `-- --callgrind N` runs
//! loop N once and nothing else, for `valgrind --tool=callgrind`.
#![allow(
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a benchmark measures time and prints"
)]
#[path = "../tests/common/mod.rs"]
mod common;

use serde_json::json;
use std::hint::black_box;
use std::time::Instant;
use water::{Analysis, Carbonate, Constants, Constituent, Mineral, Speciation, Treatment, Water, report};

const WATERS: usize = 2000;

fn saturation(s: &Speciation) -> f64 {
    Mineral::ALL.iter().filter_map(|m| s.saturation_index(*m)).sum()
}

/// What PHREEQC does for one water: constants at its temperature, species, saturation indices.
fn species(w: &common::Invented) -> f64 {
    match Constants::at(w.temperature_c).speciate(&w.composition, Carbonate::Ph(w.ph), None) {
        Ok(s) => saturation(&s) + s.ph() + s.ionic_strength_mol_kg(),
        Err(_) => f64::NAN,
    }
}

/// The same and the specific conductance at 25 C, which is a second speciation.
fn with_conductance(w: &common::Invented) -> f64 {
    match Constants::at(w.temperature_c).speciate(&w.composition, Carbonate::Ph(w.ph), None) {
        Ok(s) => saturation(&s) + s.conductivity_us_cm().unwrap_or(f64::NAN),
        Err(_) => f64::NAN,
    }
}

/// Ten neighbours of one temperature, each from the one before: what the element model does.
fn neighbours(w: &common::Invented) -> f64 {
    let k = Constants::at(w.temperature_c);
    let Ok(mut last) = k.speciate(&w.composition, Carbonate::Ph(w.ph), None) else {
        return f64::NAN;
    };
    let carbon = last.carbon_mol_kg();
    let mut sum = 0.0;
    for i in 1..=10 {
        let f = 1.0 + 0.03 * f64::from(i);
        if let Ok(s) = k.speciate(
            &w.composition.scaled(f),
            Carbonate::TotalCarbon(carbon * f),
            Some(&last),
        ) {
            sum += s.ph();
            last = s;
        }
    }
    sum
}

/// The whole answer of one water with a concentrate: what `saltmark water` computes.
fn whole_answer(w: &common::Invented) -> f64 {
    let c = &w.composition;
    let read = |i: Constituent| (c[i] > 0.0).then(|| c.mg_l(i));
    let analysis = Analysis {
        temperature_c: Some(w.temperature_c),
        ph: Some(w.ph),
        calcium_mg_l: read(Constituent::Calcium),
        magnesium_mg_l: read(Constituent::Magnesium),
        sodium_mg_l: read(Constituent::Sodium),
        potassium_mg_l: read(Constituent::Potassium),
        strontium_mg_l: read(Constituent::Strontium),
        barium_mg_l: read(Constituent::Barium),
        alkalinity_mg_l_caco3: Some(c.alkalinity_mg_l_caco3()),
        chloride_mg_l: Some(c.mg_l(Constituent::Chloride)),
        sulfate_mg_l: read(Constituent::Sulfate),
        fluoride_mg_l: read(Constituent::Fluoride),
        silica_mg_l: read(Constituent::Silica),
        ..Analysis::default()
    };
    let report = Water::complete(&analysis)
        .ok()
        .and_then(|water| report(&water, Some(0.5), 0.0, &Treatment::default()).ok());
    report.map_or(f64::NAN, |r| r.water.conductivity_us_cm)
}

/// Best of 25 passes, microseconds per call.
fn microseconds(waters: &[common::Invented], f: fn(&common::Invented) -> f64) -> f64 {
    let mut best = f64::INFINITY;
    for _ in 0..25 {
        let begin = Instant::now();
        for w in waters {
            black_box(f(black_box(w)));
        }
        best = best.min(begin.elapsed().as_secs_f64());
    }
    best * 1e6 / waters.len() as f64
}

fn line(name: &str, value: f64, unit: &str, reference: Option<(&str, f64)>) {
    let (reference, reference_value) = reference.unzip();
    let ratio = reference_value.map(|r| r / value);
    println!(
        "{}",
        json!({"name": name, "value": value, "unit": unit, "reference": reference, "reference_value": reference_value, "ratio": ratio})
    );
}

/// Where no reference is at hand, the waters that PHREEQC refuses stay in.
fn main() {
    let mut waters = common::invented(7, WATERS, 0.6);
    // One pass of one loop, for an instruction count: the loop's number follows the word.
    let mut arguments = std::env::args().skip_while(|a| a != "--callgrind").skip(1);
    if let Some(which) = arguments.next() {
        let f =
            [species, with_conductance, neighbours, whole_answer][which.parse::<usize>().unwrap_or(0).min(3)];
        let sum: f64 = waters.iter().map(f).sum();
        println!("{WATERS} waters, sum {sum}");
        return;
    }
    let mut reference = None;
    if std::env::var("SALTMARK_PYTHON").is_ok() {
        let answer = common::python("phreeqc_bench.py", &common::as_input(&waters));
        assert_eq!(answer["faults"], 0, "PHREEQC stopped before the end of the batch");
        let solved: Vec<usize> = serde_json::from_value(answer["solved"].clone()).expect("indices");
        let mut i = 0;
        waters.retain(|_| {
            i += 1;
            solved.contains(&(i - 1))
        });
        reference = answer["seconds"].as_f64().map(|s| {
            (
                "IPHREEQC 3.8.6, one instance, batch input",
                s * 1e6 / waters.len() as f64,
            )
        });
    }
    line(
        "speciation with saturation indices",
        microseconds(&waters, species),
        "us/water",
        reference,
    );
    line(
        "speciation with conductance at 25 C",
        microseconds(&waters, with_conductance),
        "us/water",
        reference,
    );
    line(
        "neighbouring states of one temperature",
        microseconds(&waters, neighbours) / 11.0,
        "us/water",
        reference,
    );
    line(
        "whole answer with limits and concentrate",
        microseconds(&waters[..200], whole_answer),
        "us/water",
        None,
    );
}
