//! The twelve waters of `reference/water-cases.json` against PHREEQC 3.8.6's answers, with the tolerances of the model.
//!
//! What is left of the differences is the litre: PHREEQC takes the solutes' mass from it, Saltmark counts 1 kg of water.

use serde_json::Value;
use water::{Analysis, Composition, Constituent, Mineral, Speciation, Treatment, Water, concentrate, report};

fn cases() -> Vec<Value> {
    let all: Value = serde_json::from_str(include_str!("../../../reference/water-cases.json")).expect("JSON");
    all["cases"].as_array().expect("cases").clone()
}

/// The analysis of a case, whose fields are plain numbers in their base units.
fn analysis(water: &Value) -> Analysis {
    let f = |name: &str| water[name].as_f64();
    Analysis {
        name: water["name"].as_str().unwrap_or_default().to_owned(),
        temperature_c: f("temperature"),
        ph: f("ph"),
        calcium_mg_l: f("calcium"),
        magnesium_mg_l: f("magnesium"),
        sodium_mg_l: f("sodium"),
        potassium_mg_l: f("potassium"),
        strontium_mg_l: f("strontium"),
        barium_mg_l: f("barium"),
        iron_mg_l: f("iron"),
        manganese_mg_l: f("manganese"),
        ammonium_mg_l: f("ammonium"),
        alkalinity_mg_l_caco3: f("alkalinity"),
        chloride_mg_l: f("chloride"),
        sulfate_mg_l: f("sulfate"),
        nitrate_mg_l: f("nitrate"),
        fluoride_mg_l: f("fluoride"),
        silica_mg_l: f("silica"),
        boron_mg_l: f("boron"),
        phosphate_mg_l: f("phosphate"),
        ..Analysis::default()
    }
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("not a number: {value}"))
}

fn same_saturation(id: &Value, water: &Speciation, expected: &Value, tolerance: f64) {
    for m in Mineral::ALL {
        let here = water.saturation_index(m);
        match expected[m.name()].as_f64() {
            Some(e) => assert!(
                here.is_some_and(|h| (h - e).abs() < tolerance),
                "{id} {m:?}: {here:?} against {e}"
            ),
            None => assert!(here.is_none(), "{id} {m:?}: {here:?} against null"),
        }
    }
}

#[test]
fn val_raw_waters() {
    for case in cases() {
        let (id, raw) = (&case["id"], &case["answer"]["raw"]);
        let water = Water::complete(&analysis(&case["water"])).expect("a possible water");
        assert!(
            water.assumed().is_empty() && water.warnings().is_empty(),
            "{id}: {:?}",
            water.warnings()
        );
        let a = report(&water, None, 0.0, &Treatment::default())
            .expect("an answer")
            .water;
        // Model, section 1: saturation 0.02, CO2 and conductance 3 %, CCPP 3 % or 1 mg/L.
        same_saturation(id, water.speciation(), &raw["saturation"], 0.02);
        assert!(
            (a.co2_mg_l.expect("CO2") / number(&raw["co2_mg_l"]) - 1.0).abs() < 0.03,
            "{id} CO2"
        );
        assert!(
            (a.conductivity_us_cm / number(&raw["conductivity_us_cm"]) - 1.0).abs() < 0.03,
            "{id} conductance"
        );
        let (ccpp, expected) = (
            a.ccpp_mg_l_caco3.expect("calcium"),
            number(&raw["ccpp_mg_l_caco3"]),
        );
        assert!(
            (ccpp - expected).abs() < (0.03 * expected.abs()).max(1.0),
            "{id} CCPP: {ccpp} against {expected}"
        );
        // Ionic strength and osmotic pressure have no tolerance in the issue; a litre's 0.2 % is what differs.
        let i = a.ionic_strength_mol_kg / number(&raw["ionic_strength_mol_kg"]) - 1.0;
        assert!(i.abs() < 0.003, "{id} ionic strength {i}");
        // Arithmetic on the same equivalents, but for the last digits of the atomic masses.
        let balance = a.charge_balance_percent - number(&raw["charge_balance_percent"]);
        assert!(balance.abs() < 1e-3, "{id} balance {balance}");
        let alkalinity = a.alkalinity_mg_l_caco3 - number(&raw["alkalinity_mg_l_caco3"]);
        assert!(alkalinity.abs() < 1e-9, "{id} alkalinity {alkalinity}");
    }
}

#[test]
fn val_concentrates() {
    for case in cases() {
        let id = &case["id"];
        let water = Water::complete(&analysis(&case["water"])).expect("a possible water");
        for (recovery, answer) in case["answer"]["concentrates"].as_object().expect("concentrates") {
            if answer["in_scope"] != true {
                continue;
            }
            let r: f64 = recovery.parse().expect("a recovery");
            let dense = concentrate(water.speciation(), r, 0.0).expect("a concentrate");
            // Model, section 1: saturation 0.03 concentrated, pH 0.02; CO2 3 %; conductance 3 % to 0.1 mol/kg.
            same_saturation(id, &dense, &answer["saturation"], 0.03);
            assert!(
                (dense.ph() - number(&answer["ph"])).abs() < 0.02,
                "{id} at {r}: pH {}",
                dense.ph()
            );
            assert!(
                (dense.co2_mg_l() / number(&answer["co2_mg_l"]) - 1.0).abs() < 0.03,
                "{id} at {r}: CO2"
            );
            if dense.ionic_strength_mol_kg() < 0.1 {
                let us_cm = dense.conductivity_us_cm().expect("at 25 C");
                assert!(
                    (us_cm / number(&answer["conductivity_us_cm"]) - 1.0).abs() < 0.03,
                    "{id} at {r}: {us_cm}"
                );
            }
        }
    }
}

#[test]
fn val_recovery_limits() {
    for case in cases() {
        let id = &case["id"];
        let water = Water::complete(&analysis(&case["water"])).expect("a possible water");
        for limit in water.concentrates().recovery_limits().expect("limits") {
            let expected = &case["answer"]["recovery_limits"][limit.mineral.name()];
            match expected["recovery"].as_f64() {
                // Issue: recovery limits within 0.01.
                Some(e) => assert!(
                    limit.recovery.is_some_and(|r| (r - e).abs() < 0.01),
                    "{id} {:?}: {:?} against {e}",
                    limit.mineral,
                    limit.recovery
                ),
                None => assert!(
                    limit.recovery.is_none(),
                    "{id} {:?}: {:?}",
                    limit.mineral,
                    limit.recovery
                ),
            }
        }
    }
}

#[test]
fn val_river_sample() {
    // `reference/check-values.md` 5.24, PHREEQC: River Thame 2009-03-03; alkalinity 4.915 meq/L, Si 5.8 mg/L as Si.
    use Constituent as C;
    let mut c = Composition::default();
    for (i, mg_l) in [
        (C::Calcium, 140.0),
        (C::Magnesium, 6.0),
        (C::Sodium, 26.7),
        (C::Potassium, 6.5),
        (C::Chloride, 41.0),
        (C::Sulfate, 77.0),
        (C::Nitrate, 34.0),
        (C::Fluoride, 0.2),
        (C::Silica, 5.8 * 60.0843 / 28.0843),
    ] {
        c = c.with_mg_l(i, mg_l);
    }
    c.alkalinity_eq_kg = 4.915e-3;
    let s = water::speciate(&c, water::Carbonate::Ph(8.01), 7.2).expect("a water");
    // The litre's 0.07 %: 0.0006 in an index, the same in ionic strength and conductance.
    assert!((s.saturation_index(Mineral::Calcite).expect("calcite") - 0.84876).abs() < 1e-3);
    assert!((s.ionic_strength_mol_kg() / 0.012_303_9 - 1.0).abs() < 1e-3);
    assert!((water::Conductivity::at(7.2).us_cm(&s) / 543.57 - 1.0).abs() < 2e-3);
}
