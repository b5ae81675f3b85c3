//! Asks SciPy for the solution of the same equations (`scipy_unit.py`).

use std::io::Write;
use std::process::{Command, Stdio};

use serde_json::{Value, json};
use unit::{Arrangement, Model, RestrictorKind, Setting, StageKind, State, Unit};

/// Answers of `scipy_unit.py` to these cases. Fails where no Python is named.
pub fn ask(cases: &[Value]) -> Vec<Value> {
    let python = std::env::var("SALTMARK_PYTHON").expect(
        "SALTMARK_PYTHON is not set: name a Python that has numpy, scipy and iapws (cargo xtask test does)",
    );
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/scipy_unit.py");
    let mut child = Command::new(&python)
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap_or_else(|e| panic!("SALTMARK_PYTHON = {python} does not start: {e}"));
    let text: String = cases.iter().map(|case| format!("{case}\n")).collect();
    let mut input = child.stdin.take().expect("its standard input");
    let writer = std::thread::spawn(move || input.write_all(text.as_bytes()));
    let output = child.wait_with_output().expect("its answers");
    writer
        .join()
        .expect("the writing thread")
        .expect("all cases written");
    assert!(output.status.success(), "scipy_unit.py failed");
    let answers: Vec<Value> = String::from_utf8(output.stdout)
        .expect("UTF-8")
        .lines()
        .map(|line| serde_json::from_str(line).expect("JSON"))
        .collect();
    assert_eq!(answers.len(), cases.len(), "one answer per case");
    answers
}

/// A case of `scipy_unit.py` (SI units). With a model, its A and B are given; without, SciPy identifies its own.
/// `hint`: feed flows near which SciPy may begin to look, L/h.
pub fn case(unit: &Unit, setting: &Setting, state: &State, model: Option<&Model>, hint: &[f64]) -> Value {
    let factor =
        |map: &std::collections::BTreeMap<String, f64>, id: &str| map.get(id).copied().unwrap_or(1.0);
    let elements: Vec<Value> = unit
        .membranes
        .elements
        .iter()
        .enumerate()
        .map(|(i, e)| {
            let mut v = json!({
                "area": e.area_m2(), "length": e.size.active_length_m(),
                "a_factor": factor(&state.permeability, &e.id), "b_factor": factor(&state.salt_permeability, &e.id),
                "drop_factor": factor(&state.drop, &e.id),
                "rating": {"flow": e.rated.flow_l_h / 3.6e6, "rejection": e.rated.rejection,
                    "pressure": e.rated.pressure_kpa * 1e3, "temperature": e.rated.temperature_c,
                    "tds": e.rated.tds_mg_l / 1e3, "recovery": e.rated.recovery},
            });
            if let Some((a, b)) = model.and_then(|m| m.permeability_25(i)) {
                v["a25"] = json!(a);
                v["b25"] = json!(b);
            }
            v
        })
        .collect();
    let stages: Vec<Value> = unit
        .stages
        .iter()
        .map(|s| match s.kind {
            StageKind::Pump {
                open_flow_l_h,
                shutoff_kpa,
            } => {
                json!({"kind": "pump", "open_flow": open_flow_l_h / 3.6e6, "shutoff": shutoff_kpa * 1e3})
            }
            StageKind::Regulator { set_kpa } => json!({"kind": "regulator", "set": set_kpa * 1e3}),
            _ => match s.clean_drop {
                Some(d) => json!({"kind": "drop", "drop": d.pressure_kpa * 1e3, "flow": d.flow_l_h / 3.6e6,
                    "factor": factor(&state.drop, &s.id)}),
                None => json!({"kind": "open"}),
            },
        })
        .collect();
    let r = &unit.concentrate.restrictor;
    let own = if r.kind == RestrictorKind::Orifice {
        0.5
    } else {
        4.0 / 7.0
    };
    let mut case = json!({
        "kind": "unit", "elements": elements, "stages": stages,
        "arrangement": if unit.membranes.arrangement == Arrangement::Parallel { "parallel" } else { "series" },
        "restrictor": {"flow": r.flow_l_h / 3.6e6, "at": r.at_kpa * 1e3, "exponent": r.exponent.unwrap_or(own),
            "factor": state.restrictor.unwrap_or(1.0)},
        "coefficient": unit.temperature_coefficient(), "feed": setting.feed_mg_l / 1e3,
        "temperature": setting.temperature_c, "inlet_pressure": setting.inlet_pressure_kpa * 1e3,
        "permeate_pressure": setting.permeate_pressure_kpa * 1e3,
    });
    if !hint.is_empty() {
        case["hint"] = hint.iter().map(|q| q / 3.6e6).collect();
    }
    case
}
