//! Five hundred invented waters against PHREEQC itself.
mod common;

use serde_json::{Value, json};
use water::Constituent as C;
use water::{Carbonate, Constants, Constituent, Mineral, OsmoticModel, Speciation};

/// Largest difference of a saturation index that both have.
fn saturation(water: &Speciation, answer: &Value) -> f64 {
    Mineral::ALL
        .iter()
        .filter_map(|m| Some((water.saturation_index(*m)? - answer[m.name()].as_f64()?).abs()))
        .fold(0.0, f64::max)
}

#[test]
fn val_five_hundred_waters_against_phreeqc() {
    let waters = common::invented(20_250_114, 500, 0.25);
    let input: Vec<Value> = waters
        .iter()
        .map(|w| {
            let molality: serde_json::Map<String, Value> = Constituent::ALL
                .iter()
                .map(|c| (c.field().to_owned(), json!(w.composition[*c])))
                .collect();
            json!({"temperature": w.temperature_c, "ph": w.ph, "alkalinity": w.composition.alkalinity_eq_kg,
                   "concentration_factor": w.concentration_factor, "molality": molality})
        })
        .collect();
    let answers = common::python("phreeqc_answers.py", &Value::Array(input));
    let mut worst = [0.0_f64; 8];
    let mut compared = 0;
    for (w, answer) in waters.iter().zip(answers.as_array().expect("answers")) {
        if answer.get("failed").is_some() || answer["concentrate"].is_null() || answer["at_25_c"].is_null() {
            continue;
        }
        compared += 1;
        let number = |part: &str, name: &str| answer[part][name].as_f64().expect("a number");
        let k = Constants::at(w.temperature_c);
        let raw = k
            .speciate(&w.composition, Carbonate::Ph(w.ph), None)
            .expect("a raw water");
        worst[0] = worst[0].max(saturation(&raw, &answer["raw"]));
        worst[1] = worst[1].max((raw.ionic_strength_mol_kg() / number("raw", "ionic_strength") - 1.0).abs());
        worst[2] = worst[2].max((raw.co2_mol_kg() / number("raw", "co2") - 1.0).abs());
        if raw.ionic_strength_mol_kg() < 0.1 {
            let us_cm = raw.conductivity_us_cm().expect("at 25 C");
            worst[3] = worst[3].max((us_cm / number("at_25_c", "conductivity") - 1.0).abs());
        }
        let dense = k
            .speciate(
                &w.composition.scaled(w.concentration_factor),
                Carbonate::Co2Activity(raw.co2_activity()),
                Some(&raw),
            )
            .expect("a concentrate");
        worst[4] = worst[4].max(saturation(&dense, &answer["concentrate"]));
        worst[5] = worst[5].max((dense.ph() - number("concentrate", "ph")).abs());
        let osmotic = OsmoticModel::at(w.temperature_c);
        let mut without = w.composition;
        for c in [C::Iron, C::Manganese, C::Ammonium, C::Boron, C::Phosphate] {
            without[c] = 0.0;
        }
        for (i, (factor, ph)) in [(1.0, w.ph), (w.concentration_factor, number("concentrate", "ph"))]
            .iter()
            .enumerate()
        {
            let Some(expected) = answer["osmolality"][i].as_f64() else {
                continue;
            };
            let s = k
                .speciate(&without.scaled(*factor), Carbonate::Ph(*ph), None)
                .expect("a water");
            let d = (osmotic.osmolality(&s) / expected - 1.0).abs();
            if d > worst[6 + i] {
                println!(
                    "{d:.4} I {:.4} pH {:.2} T {:.1} calcite {:?} NH4 {:.2e} B {:.1e} Fe {:.1e} alk {:.1e} Si {:.1e}",
                    s.ionic_strength_mol_kg(),
                    s.ph(),
                    s.temperature_c(),
                    s.saturation_index(Mineral::Calcite),
                    s.composition()[Constituent::Ammonium],
                    s.composition()[Constituent::Boron],
                    s.composition()[Constituent::Iron],
                    s.composition().alkalinity_eq_kg,
                    s.composition()[Constituent::Silica]
                );
            }
            worst[6 + i] = worst[6 + i].max(d);
        }
    }
    let its: u32 = waters
        .iter()
        .filter_map(|w| {
            Constants::at(w.temperature_c)
                .speciate(&w.composition, Carbonate::Ph(w.ph), None)
                .ok()
        })
        .map(|s| s.iterations())
        .sum();
    println!("iterations {}", f64::from(its) / 500.0);
    println!("{compared} {worst:?}");
    assert!(compared > 480, "PHREEQC solved only {compared}");
}
