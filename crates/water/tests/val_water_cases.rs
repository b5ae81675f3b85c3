//! The twelve waters of `reference/water-cases.json` against PHREEQC 3.8.6's answers.
use serde_json::Value;
use water::{Carbonate, Composition, Constants, Constituent, Mineral, Speciation};

fn cases() -> Vec<Value> {
    let all: Value = serde_json::from_str(include_str!("../../../reference/water-cases.json")).expect("JSON");
    all["cases"].as_array().expect("cases").clone()
}

fn composition(water: &Value) -> Composition {
    let mut c = Composition::default();
    for i in Constituent::ALL {
        c = c.with_mg_l(i, water[i.field()].as_f64().unwrap_or(0.0));
    }
    c.with_alkalinity_mg_l_caco3(water["alkalinity"].as_f64().unwrap_or(0.0))
}

fn worst_si(water: &Speciation, expected: &Value) -> f64 {
    let mut worst = 0.0_f64;
    for m in Mineral::ALL {
        let here = water.saturation_index(m);
        match expected[m.name()].as_f64() {
            Some(e) => worst = worst.max((here.expect("an index") - e).abs()),
            None => assert!(here.is_none(), "{m:?}"),
        }
    }
    worst
}

#[test]
fn val_saturation_ph_and_co2() {
    for case in cases() {
        let id = &case["id"];
        let w = &case["water"];
        let k = Constants::at(w["temperature"].as_f64().expect("t"));
        let c = composition(w);
        let raw = &case["answer"]["raw"];
        let s = k
            .speciate(&c, Carbonate::Ph(w["ph"].as_f64().expect("ph")), None)
            .expect("a solution");
        let d = worst_si(&s, &raw["saturation"]);
        let co2 = s.co2_mg_l() / raw["co2_mg_l"].as_f64().unwrap() - 1.0;
        let i = s.ionic_strength_mol_kg() / raw["ionic_strength_mol_kg"].as_f64().unwrap() - 1.0;
        println!("{id} raw: SI {d:.5} co2 {co2:.5} I {i:.5} it {}", s.iterations());
        for (r, answer) in case["answer"]["concentrates"].as_object().unwrap() {
            let f = 1.0 / (1.0 - r.parse::<f64>().unwrap());
            let n = k
                .speciate(&c.scaled(f), Carbonate::Co2Activity(s.co2_activity()), Some(&s))
                .unwrap();
            let d = worst_si(&n, &answer["saturation"]);
            println!(
                "   {r}: SI {d:.5} pH {:.5} it {} I {}",
                n.ph() - answer["ph"].as_f64().unwrap(),
                n.iterations(),
                n.ionic_strength_mol_kg()
            );
        }
        let k25 = Constants::at(25.0);
        let n = k25
            .speciate(&c, Carbonate::TotalCarbon(s.carbon_mol_kg()), None)
            .unwrap();
        println!(
            "   25 C pH {:.5} it {}",
            n.ph() - raw["ph_at_25_c"].as_f64().unwrap(),
            n.iterations()
        );
    }
}
