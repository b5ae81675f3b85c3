//! `saltmark jobcard`: what the contract names, and its refusals. That every card is safe is proved in the
//! `service` crate, by a checker that shares no code with the planner.

use serde_json::{Value, json};

use crate::run::{answer, refusal, saltmark};

fn unit() -> Value {
    json!({
        "id": "north",
        "stages": [
            {"id": "sediment", "kind": "sediment", "media": "pleated"},
            {"id": "carbon", "kind": "carbon", "rinse": "40 L"},
            {"id": "booster", "kind": "pump", "open_flow": "4 L/min", "shutoff_pressure": "55 psi"}
        ],
        "membranes": {"elements": [{"id": "membrane-1", "size": "2012",
            "rated": {"flow": 28, "rejection": 0.97, "pressure": 448, "temperature": 25, "tds": 500}}]},
        "concentrate": {"restrictor": {"flow": 54, "at": 414}, "flush_valve": true},
        "permeate": {"check_valve": true, "shutoff": "float", "tank": {"kind": "open", "volume": 400}}
    })
}

fn card(work: &Value) -> Value {
    let document = json!({"unit": unit(), "work": work}).to_string();
    answer(&["jobcard", "-", "--json"], document.as_bytes())
}

/// Number of the first step with this action and target.
fn step(card: &Value, action: &str, target: &str) -> Option<usize> {
    let steps = card["steps"].as_array().expect("a list");
    steps
        .iter()
        .position(|step| step["action"] == action && (target.is_empty() || step["target"] == target))
}

#[test]
fn a_card_says_what_the_contract_names() {
    let card = card(&json!(["carbon", {"do": "wash", "part": "sediment"}]));
    for field in [
        "unit",
        "work",
        "cautions",
        "tools",
        "parts",
        "steps",
        "pressurised_after",
        "readings_to_take",
    ] {
        assert!(!card[field].is_null(), "{field}");
    }
    let steps = card["steps"].as_array().expect("a list");
    assert_eq!(
        steps.len(),
        card["pressurised_after"].as_array().expect("a list").len()
    );
    assert!(!card["cautions"].as_array().expect("a list").is_empty());
    for field in [
        "n", "phase", "action", "target", "text", "why", "minutes", "caution", "check",
    ] {
        assert!(steps[0].get(field).is_some(), "{field}");
    }
    assert_eq!(steps.last().expect("steps")["action"], "record");
    let opened = step(&card, "open_housing", "carbon").expect("the housing is opened");
    assert!(step(&card, "unplug", "booster").expect("the pump is unplugged") < opened);
    assert!(step(&card, "close", "inlet_valve").expect("the inlet is closed") < opened);
    assert!(step(&card, "rinse_to_drain", "carbon").expect("carbon is rinsed") > opened);
    let pressurised = card["pressurised_after"][opened].to_string();
    assert!(!pressurised.contains("sediment>carbon"), "{pressurised}");
}

#[test]
fn work_that_cannot_be_meant_is_refused_where_it_stands() {
    for (work, path) in [
        (json!([]), "work"),
        (json!(["nothing"]), "work[0]"),
        (json!(["carbon", "booster"]), "work[1]"),
        (json!(["carbon", "carbon"]), "work[1]"),
        (json!([{"do": "polish", "part": "carbon"}]), "work[0]"),
        (json!(["carbon", 7]), "work[1]"),
    ] {
        let document = json!({"unit": unit(), "work": work}).to_string();
        let said = refusal(&["jobcard", "-", "--json"], document.as_bytes());
        assert!(said.contains(path), "{work}: {said}");
    }
}

#[test]
fn what_the_plumbing_lacks_is_named() {
    let mut unit = unit();
    unit["inlet"] = json!({"valve": false});
    let document = json!({"unit": unit, "work": ["sediment"]}).to_string();
    let output = saltmark(&["jobcard", "-", "--json"], document.as_bytes());
    assert_eq!(output.status.code(), Some(1));
    assert!(output.stdout.is_empty());
    assert!(String::from_utf8_lossy(&output.stderr).contains("inlet valve"));
    let output = saltmark(&["jobcard", "--lines"], document.as_bytes());
    assert_eq!(output.status.code(), Some(0));
    let line: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert!(line["error"].as_str().expect("an error").contains("inlet valve"));
}

fn with_water(conditions: &Value) -> Value {
    let document = json!({
        "unit": unit(),
        "work": ["sediment", "carbon", "membrane-1"],
        "water": {"temperature": 12, "ph": 7.4, "calcium": 80, "magnesium": 15, "sodium": 30,
            "alkalinity": 200, "chloride": 45, "sulfate": 50},
        "conditions": conditions,
    });
    answer(&["jobcard", "-", "--json"], document.to_string().as_bytes())
}

#[test]
fn val_what_is_expected_is_what_predict_says_of_the_unit_with_new_parts() {
    // The reference is `predict` in the state of new parts; the card is asked for in a worn one.
    let worn = json!({"temperature": 12, "inlet_pressure": 350,
        "state": {"permeability": {"membrane-1": 0.7}, "salt_permeability": {"membrane-1": 2}, "drop": {"sediment": 9}}});
    let card = with_water(&worn);
    let document = json!({"unit": unit(), "water": {"temperature": 12, "ph": 7.4, "calcium": 80, "magnesium": 15,
        "sodium": 30, "alkalinity": 200, "chloride": 45, "sulfate": 50},
        "conditions": {"temperature": 12, "inlet_pressure": 350}});
    let predicted = answer(&["predict", "-", "--json"], document.to_string().as_bytes());
    for (field, key) in [
        ("permeate_flow", "permeate_flow_l_h"),
        ("concentrate_flow", "concentrate_flow_l_h"),
        ("membrane_pressure", "membrane_pressure_kpa"),
        ("permeate_conductivity", "permeate_conductivity_us_cm"),
    ] {
        let readings = card["readings_to_take"].as_array().expect("a list");
        let reading = readings
            .iter()
            .find(|reading| reading["field"] == field)
            .expect("asked for");
        let number = |name: &str| reading[name].as_f64().expect("a number");
        let reference = predicted[key].as_f64().expect("a number");
        // The same computation: only the last digits of a decimal text may differ.
        assert!(
            (number("expected") - reference).abs() < 1e-9 * reference,
            "{field}"
        );
        assert!(number("low") < reference && reference < number("high"), "{field}");
    }
}

#[test]
fn a_card_is_given_although_nothing_can_be_expected() {
    // 1 kPa drives no water through this membrane.
    let card = with_water(&json!({"temperature": 12, "inlet_pressure": 0}));
    assert!(!card["steps"].as_array().expect("a list").is_empty());
}

#[test]
fn a_wrong_water_is_refused_and_no_card_given() {
    let document = json!({"unit": unit(), "work": ["carbon"], "water": {"ph": 31},
        "conditions": {"temperature": 12, "inlet_pressure": 350}});
    let refused = refusal(&["jobcard", "-", "--json"], document.to_string().as_bytes());
    assert!(refused.contains("water.ph"), "{refused}");
}

#[test]
fn a_supply_above_550_kpa_is_said_before_the_first_step() {
    let document = json!({"unit": unit(), "work": ["carbon"], "conditions": {"inlet_pressure": "90 psi"}});
    let card = answer(&["jobcard", "-", "--json"], document.to_string().as_bytes());
    assert!(card["cautions"].to_string().contains("550 kPa"));
    assert!(card["readings_to_take"][0]["expected"].is_null());
}
