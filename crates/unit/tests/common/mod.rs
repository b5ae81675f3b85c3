//! Units and cases for the tests: the practice cases of `reference/practice`, read with just the notation they use.
#![allow(dead_code, unreachable_pub, reason = "each test file uses some of it")]

pub mod random;
pub mod scipy;

use std::collections::BTreeMap;

use serde_json::Value;
use unit::{
    Arrangement, CarbonMedia, CleanDrop, Concentrate, Element, ElementSize, Instruments, Limits, Membranes,
    Need, Permeate, Rating, Restrictor, RestrictorKind, SedimentMedia, Setting, Shutoff, Stage, StageKind,
    StageLimit, State, Unit,
};

const GALLON_L: f64 = 3.785_411_784;

/// A number in its base unit, or a string with one of the units that the practice cases use.
pub fn quantity(value: &Value) -> f64 {
    if let Some(x) = value.as_f64() {
        return x;
    }
    let text = value.as_str().expect("a number or a string");
    let (number, unit) = text.split_once(' ').expect("a number and a unit");
    let x: f64 = number.parse().expect("a number");
    match unit {
        // 14.695948775 psi = 1 atm = 101.325 kPa (the contract).
        "psi" => x * 101.325 / 14.695_948_775,
        "gpm" => x * GALLON_L * 60.0,
        "gpd" => x * GALLON_L / 24.0,
        "mL/min" => x * 0.06,
        "L/min" => x * 60.0,
        "L" | "mg/L" | "m2" => x,
        "F" => (x - 32.0) / 1.8,
        other => panic!("unit {other}"),
    }
}

fn drop(stage: &Value) -> Option<CleanDrop> {
    let drop = stage.get("clean_drop")?;
    Some(CleanDrop {
        pressure_kpa: quantity(&drop["pressure"]),
        flow_l_h: quantity(&drop["flow"]),
    })
}

/// A stage with nothing but its law.
pub fn stage(id: &str, kind: StageKind, clean_drop: Option<CleanDrop>) -> Stage {
    Stage {
        id: id.to_owned(),
        kind,
        clean_drop,
        inlet_valve: false,
        limit: StageLimit::default(),
    }
}

/// A unit of these parts with an open tank.
pub fn unit(
    stages: Vec<Stage>,
    arrangement: Arrangement,
    elements: Vec<Element>,
    restrictor: Restrictor,
) -> Unit {
    Unit {
        id: "test".to_owned(),
        name: "Test".to_owned(),
        commissioned: None,
        time_zone: "UTC".to_owned(),
        inlet_valve: true,
        stages,
        membranes: Membranes {
            temperature_coefficient: None,
            arrangement,
            elements,
        },
        concentrate: Concentrate {
            restrictor,
            flush_valve: false,
        },
        permeate: Permeate {
            check_valve: true,
            shutoff: Shutoff::Float,
            tank: None,
            lift_m: 0.0,
            polish: Vec::new(),
        },
        need: Need::default(),
        use_permeate_l_d: None,
        instruments: Instruments::default(),
        limits: Limits::default(),
    }
}

/// The unit of a practice case.
pub fn parse_unit(unit_value: &Value) -> Unit {
    let stages = unit_value["stages"]
        .as_array()
        .expect("stages")
        .iter()
        .map(|s| {
            let kind = match s["kind"].as_str().expect("kind") {
                "sediment" => StageKind::Sediment {
                    media: SedimentMedia::Spun,
                },
                "carbon" => StageKind::Carbon {
                    media: CarbonMedia::Activated,
                    bed_volume_l: None,
                    capacity: None,
                    rinse_l: None,
                },
                "pump" => StageKind::Pump {
                    open_flow_l_h: quantity(&s["open_flow"]),
                    shutoff_kpa: quantity(&s["shutoff_pressure"]),
                },
                other => panic!("kind {other}"),
            };
            stage(s["id"].as_str().expect("id"), kind, drop(s))
        })
        .collect();
    let membranes = &unit_value["membranes"];
    let elements = membranes["elements"]
        .as_array()
        .expect("elements")
        .iter()
        .map(|e| {
            let r = &e["rated"];
            Element {
                id: e["id"].as_str().expect("id").to_owned(),
                size: ElementSize::from_code(e["size"].as_str().expect("size")).expect("a known size"),
                area_m2: e.get("area").map(quantity),
                rated: Rating {
                    flow_l_h: quantity(&r["flow"]),
                    rejection: quantity(&r["rejection"]),
                    pressure_kpa: quantity(&r["pressure"]),
                    temperature_c: quantity(&r["temperature"]),
                    tds_mg_l: quantity(&r["tds"]),
                    recovery: r.get("recovery").map_or(0.15, quantity),
                },
            }
        })
        .collect();
    let r = &unit_value["concentrate"]["restrictor"];
    let restrictor = Restrictor {
        flow_l_h: quantity(&r["flow"]),
        at_kpa: quantity(&r["at"]),
        kind: if r["kind"] == "orifice" {
            RestrictorKind::Orifice
        } else {
            RestrictorKind::Capillary
        },
        exponent: None,
    };
    let arrangement = if membranes["arrangement"] == "parallel" {
        Arrangement::Parallel
    } else {
        Arrangement::Series
    };
    unit(stages, arrangement, elements, restrictor)
}

fn factors(value: Option<&Value>) -> BTreeMap<String, f64> {
    value
        .and_then(Value::as_object)
        .map(|map| map.iter().map(|(id, x)| (id.clone(), quantity(x))).collect())
        .unwrap_or_default()
}

/// The conditions and the state of a practice case.
pub fn parse_conditions(input: &Value) -> (Setting, State) {
    let c = &input["conditions"];
    let mut setting = Setting::new(
        quantity(&c["temperature"]),
        quantity(&c["inlet_pressure"]),
        quantity(&input["water"]["tds"]),
    );
    setting.permeate_pressure_kpa = c.get("permeate_pressure").map_or(0.0, quantity);
    let state = c.get("state");
    let of = |name: &str| factors(state.and_then(|s| s.get(name)));
    let state = State {
        permeability: of("permeability"),
        salt_permeability: of("salt_permeability"),
        drop: of("drop"),
        restrictor: state.and_then(|s| s.get("restrictor")).map(quantity),
    };
    (setting, state)
}

/// The practice cases for `predict`: input and expected answer.
pub fn practice() -> Vec<(String, Value, Value)> {
    let text = include_str!("../../../../reference/practice/predict.json");
    let cases: Value = serde_json::from_str(text).expect("the practice cases are JSON");
    cases
        .as_array()
        .expect("an array")
        .iter()
        .map(|case| {
            (
                case["id"].as_str().expect("id").to_owned(),
                case["input"].clone(),
                case["expected"].clone(),
            )
        })
        .collect()
}

/// Two 2012 elements in series, rated 100 gpd, 97 % (65 psi, 25 C, 250 mg/L), with a 900 mL/min capillary at 60 psi: the
/// unit of `model.md` 2.
pub fn two_small_in_series() -> Unit {
    let rated = Rating {
        flow_l_h: 100.0 * 3.785_411_784 / 24.0,
        rejection: 0.97,
        pressure_kpa: 65.0 * 6.894_757,
        temperature_c: 25.0,
        tds_mg_l: 250.0,
        recovery: 0.15,
    };
    let element = |id: &str| Element {
        id: id.to_owned(),
        size: ElementSize::S2012,
        area_m2: None,
        rated,
    };
    unit(
        Vec::new(),
        Arrangement::Series,
        vec![element("membrane-1"), element("membrane-2")],
        Restrictor {
            flow_l_h: 54.0,
            at_kpa: 60.0 * 6.894_757,
            kind: RestrictorKind::Capillary,
            exponent: None,
        },
    )
}

/// The bore of the contract's example (`contract.md` 3).
pub fn hard_water() -> water::Analysis {
    water::Analysis {
        temperature_c: Some(13.0),
        ph: Some(7.5),
        calcium_mg_l: Some(88.0),
        magnesium_mg_l: Some(19.0),
        sodium_mg_l: Some(36.0),
        potassium_mg_l: Some(3.0),
        strontium_mg_l: Some(0.6),
        barium_mg_l: Some(0.05),
        iron_mg_l: Some(0.02),
        manganese_mg_l: Some(0.01),
        ammonium_mg_l: Some(0.1),
        alkalinity_mg_l_caco3: Some(225.0),
        chloride_mg_l: Some(47.0),
        sulfate_mg_l: Some(62.0),
        nitrate_mg_l: Some(14.0),
        fluoride_mg_l: Some(0.3),
        silica_mg_l: Some(12.0),
        boron_mg_l: Some(0.05),
        phosphate_mg_l: Some(0.02),
        ..water::Analysis::default()
    }
}
