//! `saltmark predict`, on simulated practice units and on the invented Fern house.

use serde_json::{Value, json};

use crate::run::{answer, refusal, repository, saltmark};

fn path(name: &str) -> String {
    repository(name).display().to_string()
}

fn house() -> String {
    path("examples/quillmere-fern-house.toml")
}

fn main_water() -> String {
    path("examples/quillmere-fern-house-water.toml")
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or(f64::NAN)
}

fn practice() -> Vec<Value> {
    let text = std::fs::read_to_string(repository("reference/practice/predict.json")).expect("the cases");
    serde_json::from_str(&text).expect("JSON")
}

/// Standard output of a run that has to end with exit 0.
fn said(arguments: &[&str]) -> String {
    let output = saltmark(arguments, b"");
    let errors = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(0), "{errors}");
    String::from_utf8(output.stdout).expect("UTF-8")
}

/// The Fern house on its water, with more options.
fn at_the_house(more: &[&str]) -> Vec<String> {
    let (house, water) = (house(), main_water());
    let mut arguments = vec!["predict", &house, "--water", &water];
    arguments.extend(more);
    arguments.into_iter().map(str::to_owned).collect()
}

fn strs(arguments: &[String]) -> Vec<&str> {
    arguments.iter().map(String::as_str).collect()
}

#[test]
fn val_practice_units_by_adaptive_integration() {
    // `reference/practice/predict.json`: simulated units, solved elsewhere by an adaptive integration of the same equations.
    let cases = practice();
    let lines: Vec<String> = cases.iter().map(|case| case["input"].to_string()).collect();
    let output = saltmark(&["predict", "--lines"], lines.join("\n").as_bytes());
    assert_eq!(output.status.code(), Some(0));
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    assert_eq!(text.lines().count(), cases.len());
    for (case, line) in cases.iter().zip(text.lines()) {
        let found: Value = serde_json::from_str(line).expect("JSON");
        for (field, expected) in case["expected"].as_object().expect("fields") {
            let off = number(&found[field]) / number(expected) - 1.0;
            // Asked are 3 % of flows and 6 % of salt passage; the segments cost less than 0.1 % (`unit::Segments`).
            assert!(off.abs() < 1e-3, "{} {field}: off by {off}", case["id"]);
        }
    }
}

#[test]
fn val_permeate_of_ions_is_neutral() {
    // Charges and molar masses by IUPAC 2013: what passed carries no charge (`model.md` 2).
    let arguments = at_the_house(&["--temperature", "6C", "--inlet-pressure", "50 psi", "--json"]);
    let found = answer(&strs(&arguments), b"");
    let ions = [
        ("calcium", 40.078, 2.0),
        ("magnesium", 24.305, 2.0),
        ("sodium", 22.990, 1.0),
        ("potassium", 39.098, 1.0),
        ("chloride", 35.45, -1.0),
        ("sulfate", 96.06, -2.0),
        ("nitrate", 62.004, -1.0),
        ("fluoride", 18.998, -1.0),
        ("bicarbonate", 61.017, -1.0),
        ("carbonate", 60.009, -2.0),
    ];
    let equivalents = |(name, mass, charge): &(&str, f64, f64)| {
        number(&found["ions"][name]["permeate_mg_l"]) * charge / mass
    };
    let sum: f64 = ions.iter().map(equivalents).sum();
    let all: f64 = ions.iter().map(|ion| equivalents(ion).abs()).sum();
    // 1e-3 of the charges: the molar masses above and those of phreeqc.dat differ in the fifth digit.
    assert!(sum.abs() < 1e-3 * all, "{sum} of {all} meq/L");
    assert!(all > 0.0);
    for mineral in ["calcite", "gypsum", "fluorite", "amorphous_silica"] {
        assert!(found["saturation_at_wall"][mineral].is_number(), "{mineral}");
    }
    // No barium was measured.
    assert!(found["saturation_at_wall"]["barite"].is_null());
    let ph = number(&found["permeate_ph"]);
    // CO2 passes and alkalinity does not: a permeate is more acid than its feed of pH 7.5.
    assert!(ph > 5.0 && ph < 7.0, "{ph}");
}

#[test]
fn every_field_of_the_contract_is_there() {
    let case = &practice()[0]["input"];
    let found = answer(&["predict", "--json"], case.to_string().as_bytes());
    for field in [
        "permeate_flow_l_h",
        "concentrate_flow_l_h",
        "feed_flow_l_h",
        "recovery",
        "membrane_pressure_kpa",
        "concentrate_pressure_kpa",
        "permeate_tds_mg_l",
        "permeate_conductivity_us_cm",
        "concentrate_tds_mg_l",
        "salt_passage",
        "net_driving_pressure_kpa",
    ] {
        assert!(found[field].is_number(), "{field}");
    }
    // One salt has no carbonate, so no pH.
    assert!(found.get("permeate_ph").is_some_and(Value::is_null));
    let element = &found["elements"][0];
    assert_eq!(element["id"], "membrane-1");
    for field in [
        "permeate_flow_l_h",
        "feed_flow_l_h",
        "flux_l_m2_h",
        "polarisation",
        "permeate_tds_mg_l",
    ] {
        assert!(element[field].is_number(), "{field}");
    }
    assert!(found["ions"]["sodium"]["permeate_mg_l"].is_number());
    assert!(
        found["saturation_at_wall"]
            .get("calcite")
            .is_some_and(Value::is_null)
    );
    assert!(found["warnings"].is_array());
    let sum: f64 = found["elements"]
        .as_array()
        .expect("elements")
        .iter()
        .map(|element| number(&element["permeate_flow_l_h"]))
        .sum();
    // The permeates add up, to rounding.
    assert!((sum / number(&found["permeate_flow_l_h"]) - 1.0).abs() < 1e-12);
}

#[test]
fn the_persons_view_is_a_sentence_and_the_unit_in_flow_order() {
    let arguments = at_the_house(&["--temperature", "6C", "--inlet-pressure", "50 psi"]);
    let text = said(&strs(&arguments));
    assert!(text.starts_with("At 6 C and 345 kPa Fern house makes "), "{text}");
    for words in [
        "if it ran all day",
        "enough for the 400 L a day needed",
        "within the 30 mg/L allowed",
    ] {
        let joined = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(joined.contains(words), "{words}: {text}");
    }
    let places = [
        "inlet",
        "[ sediment ]",
        "[ carbon ]",
        "( booster )",
        "[ membrane-1 ]",
        "[ membrane-2 ]",
        "> restrictor <",
        "drain",
        "open tank",
    ];
    let drawing = &text[text.find("mg/L\n").expect("headings")..];
    let mut from = 0;
    for place in places {
        let at = drawing[from..]
            .find(place)
            .unwrap_or_else(|| panic!("{place} after {from}: {drawing}"));
        from += at;
    }
    for line in text.lines() {
        // Legible at a hundred columns.
        assert!(line.chars().count() <= 100, "{line}");
    }
    let mut json = arguments.clone();
    json.push("--json".to_owned());
    let found = answer(&strs(&json), b"");
    let drain = drawing
        .lines()
        .find(|line| line.contains("drain"))
        .expect("a drain");
    let shown = format!("{:.1}", number(&found["concentrate_flow_l_h"]));
    assert!(drain.contains(&shown), "{shown}: {drain}");
}

#[test]
fn elements_side_by_side_and_polishing_are_drawn() {
    // Simulated unit pp-2: three elements in parallel, worn; here with a resin, a lift and a need it can't meet.
    let mut case = practice()[1]["input"].clone();
    case["unit"]["permeate"]["polish"] =
        json!([{"id": "resin", "kind": "mixed_bed", "resin_volume": "8 L", "capacity": "0.5 eq/L"}]);
    case["unit"]["permeate"]["lift"] = json!("2 m");
    case["unit"]["need"] = json!({"permeate_per_day": "2000 L", "permeate_tds_max": 20});
    let output = saltmark(&["predict"], case.to_string().as_bytes());
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("short of the 2000 L a day needed, and its salt is over the 20 mg/L allowed"),
        "{flat}"
    );
    for piece in [
        "├──[ membrane-1 ]",
        "├──[ membrane-2 ]",
        "└──[ membrane-3 ]",
        "[ resin ]",
        "2 m above the membranes",
    ] {
        assert!(text.contains(piece), "{piece}: {text}");
    }
    // What the resin lets through is not computed, so the tank shows no salt.
    let tank = text
        .lines()
        .find(|line| line.contains("open tank"))
        .expect("a tank");
    assert!(!tank.chars().any(|c| c == '.'), "{tank}");
    assert!(text.lines().all(|line| line.chars().count() <= 100), "{text}");
    let found = answer(&["predict", "--json"], case.to_string().as_bytes());
    // A mixed bed of 8 L at 0.5 eq/L holds 4 eq; sodium chloride is 58.44 g/mol (IUPAC 2013).
    let litres = 4.0 / (number(&found["permeate_tds_mg_l"]) / 58.44e3);
    let lasts = number(&found["resins"][0]["lasts_l"]);
    // 1e-3: the molar masses' last digits.
    assert!((lasts / litres - 1.0).abs() < 1e-3, "{lasts} {litres}");
}

#[test]
fn options_stand_before_the_file() {
    let mut case = practice()[0]["input"].clone();
    let (temperature, inlet) = (
        case["conditions"]["temperature"].clone(),
        case["conditions"]["inlet_pressure"].clone(),
    );
    let expected = answer(&["predict", "--json"], case.to_string().as_bytes());
    case["conditions"] = json!({"temperature": 21, "inlet_pressure": 300});
    let other = answer(&["predict", "--json"], case.to_string().as_bytes());
    assert!(other["permeate_flow_l_h"] != expected["permeate_flow_l_h"]);
    let (temperature, inlet) = (temperature.to_string(), inlet.to_string());
    let options = [
        "predict",
        "--json",
        "--temperature",
        &temperature,
        "--inlet-pressure",
        &inlet,
        "--permeate-pressure",
        "0",
    ];
    assert_eq!(answer(&options, case.to_string().as_bytes()), expected);
}

#[test]
fn a_sweep_is_the_single_answers_in_a_row() {
    let arguments = at_the_house(&[
        "--inlet-pressure",
        "50 psi",
        "--sweep",
        "temperature=4..28/2",
        "--json",
    ]);
    let swept = answer(&strs(&arguments), b"");
    let points = swept["points"].as_array().expect("points");
    assert_eq!(points.len(), 13);
    let mut before = 0.0;
    for (i, point) in points.iter().enumerate() {
        assert_eq!(
            number(&point["temperature_c"]).to_bits(),
            (4.0 + 2.0 * i as f64).to_bits()
        );
        let flow = number(&point["permeate_flow_l_h"]);
        // Warm water passes more easily.
        assert!(flow > before);
        before = flow;
    }
    let single = answer(
        &strs(&at_the_house(&[
            "--inlet-pressure",
            "50 psi",
            "--temperature",
            "10",
            "--json",
        ])),
        b"",
    );
    assert_eq!(points[3]["permeate_flow_l_h"], single["permeate_flow_l_h"]);
    // Without a step: thirteen points, both ends exact; in the unit that was typed.
    let arguments = at_the_house(&[
        "--temperature",
        "6",
        "--sweep",
        "inlet_pressure=30psi..80psi",
        "--json",
    ]);
    let swept = answer(&strs(&arguments), b"");
    let points = swept["points"].as_array().expect("points");
    assert_eq!(points.len(), 13);
    for (point, psi) in [(&points[0], 30.0), (&points[12], 80.0)] {
        // NIST SP 811: 1 psi is 6.894757 kPa; tolerance its last digit.
        assert!((number(&point["inlet_pressure_kpa"]) / (psi * 6.894_757) - 1.0).abs() < 1e-6);
    }
    let text = said(&strs(&at_the_house(&[
        "--temperature",
        "6",
        "--sweep",
        "inlet_pressure=30psi..80psi/10psi",
    ])));
    let rows: Vec<&str> = text.lines().filter(|line| line.contains(" psi  ")).collect();
    assert_eq!(rows.len(), 6, "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 100), "{text}");
}

#[test]
fn a_sweep_says_where_the_need_is_met_and_draws_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let unit = std::fs::read_to_string(house()).expect("the unit");
    let unit = unit.replace("permeate_per_day = \"400 L\"", "permeate_per_day = \"1000 L\"");
    let file = folder.path().join("unit.toml");
    std::fs::write(&file, unit).expect("written");
    let picture = folder.path().join("sweep.svg");
    let water = main_water();
    let (file, drawn) = (file.display().to_string(), picture.display().to_string());
    let arguments = [
        "predict",
        &file,
        "--water",
        &water,
        "--inlet-pressure",
        "50 psi",
        "--sweep",
        "temperature=4..28",
        "--plot",
        &drawn,
    ];
    let text = said(&arguments);
    let from = text
        .split_once("The need is met from ")
        .and_then(|(_, rest)| rest.split_once(" C up"))
        .and_then(|(at, _)| at.trim().parse::<f64>().ok())
        .unwrap_or_else(|| panic!("no crossing: {text}"));
    // The crossing, looked for by a prediction there: straight between points 2 C apart, it is right to 1 %.
    let there = from.to_string();
    let found = answer(
        &strs(&at_the_house(&[
            "--inlet-pressure",
            "50 psi",
            "--temperature",
            &there,
            "--json",
        ])),
        b"",
    );
    let made = 24.0 * number(&found["permeate_flow_l_h"]);
    assert!((made / 1000.0 - 1.0).abs() < 0.01, "{from} C makes {made} L");
    let svg = std::fs::read_to_string(&picture).expect("a picture");
    for words in [
        "1000 L a day needed",
        "enough, and within 30 mg/L",
        "coldest feed",
        "warmest feed",
        "Feed temperature",
    ] {
        assert!(svg.contains(words), "{words}");
    }
    assert!(!folder.path().join("sweep.svg.part").exists());
    // A picture needs a sweep.
    let refused = refusal(&["predict", &file, "--plot", &drawn], b"");
    assert!(refused.contains("--sweep"), "{refused}");
}

#[test]
fn sweeps_that_cannot_be_read_are_refused_with_what_is_accepted() {
    for (sweep, words) in [
        ("temperature", "accepted: temperature"),
        ("humidity=1..2", "can't be swept"),
        ("temperature=4", "no range"),
        ("temperature=28..4", "doesn't rise"),
        ("temperature=4..4", "doesn't rise"),
        ("temperature=4..28/0", "a step is above 0"),
        ("temperature=4..28/-1", "a step is above 0"),
        ("temperature=4..28/40", "longer than the range"),
        ("temperature=4..28/0.001", "more than 1000 points"),
        ("temperature=4..99", "0 to 60 C"),
        ("temperature=cold..28", "cold"),
        ("inlet_pressure=30..80psi", "both ends need their unit"),
        ("inlet_pressure=30psi..80", "both ends need their unit"),
        ("inlet_pressure=30psi..80psi/5", "need their unit"),
        ("inlet_pressure=1 L..2 L", "pressure"),
        ("=..", "can't be swept"),
        ("temperature=..", "accepted"),
    ] {
        let arguments = at_the_house(&["--inlet-pressure", "50 psi", "--sweep", sweep]);
        let refused = refusal(&strs(&arguments), b"");
        assert!(
            refused.contains(words) && refused.contains("--sweep"),
            "{sweep}: {refused}"
        );
    }
}

#[test]
fn every_fault_of_every_document_is_listed() {
    let folder = tempfile::tempdir().expect("a folder");
    let water = folder.path().join("bore.toml");
    std::fs::write(&water, "[water]\ncalcium = \"much\"\nph = 19\n").expect("written");
    let mut case = practice()[1]["input"].clone();
    case["unit"]["stages"][0]["kind"] = json!("sand");
    case["conditions"]["inlet_pressure"] = json!(-4);
    case["conditions"]["state"]["permeability"]["membrane-9"] = json!(0.9);
    case["conditions"]["state"]["restrictor"] = json!(0);
    let file = water.display().to_string();
    let refused = refusal(
        &[
            "predict",
            "--json",
            "--water",
            &file,
            "--temperature",
            "6X",
            "--sweep",
            "temperature=9..2",
        ],
        case.to_string().as_bytes(),
    );
    for words in [
        "the command line: --temperature",
        "the command line: --sweep",
        "standard input: unit.stages[0].kind",
        "standard input: conditions.inlet_pressure",
        "standard input: conditions.state.restrictor",
        "bore.toml: water.calcium",
        "bore.toml: water.ph",
    ] {
        assert!(refused.contains(words), "{words}: {refused}");
    }
    // With a unit that can be read, a part that it has not is named with those that it has.
    let mut case = practice()[1]["input"].clone();
    case["conditions"]["state"]["permeability"]["membrane-9"] = json!(0.9);
    case["conditions"]["state"]["drop"]["booster"] = json!(2);
    let refused = refusal(&["predict"], case.to_string().as_bytes());
    assert!(
        refused.contains("conditions.state.permeability.membrane-9") && refused.contains("membrane-3"),
        "{refused}"
    );
    assert!(refused.contains("conditions.state.drop.booster"), "{refused}");
    // What is missing is asked for.
    let refused = refusal(&["predict", &house()], b"");
    for field in ["water", "conditions.temperature", "conditions.inlet_pressure"] {
        assert!(
            refused.contains(&format!("{field}: read nothing")),
            "{field}: {refused}"
        );
    }
}

#[test]
fn a_rating_that_no_membrane_meets_is_the_inputs_fault() {
    let mut case = practice()[0]["input"].clone();
    case["unit"]["membranes"]["elements"][0]["rated"]["tds"] = json!(20000);
    let refused = refusal(&["predict", "--json"], case.to_string().as_bytes());
    assert!(refused.contains("unit.membranes.elements[0].rated"), "{refused}");
    assert!(refused.contains("osmotic pressure"), "{refused}");
}

#[test]
fn what_has_no_solution_is_exit_1_and_says_which_condition() {
    let mut case = practice()[0]["input"].clone();
    case["water"] = json!({"tds": 30000});
    case["conditions"]["inlet_pressure"] = json!(300);
    let output = saltmark(&["predict", "--json"], case.to_string().as_bytes());
    let errors = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1), "{errors}");
    assert!(output.stdout.is_empty());
    assert!(
        errors.contains("no permeate") && errors.contains("osmotic pressure"),
        "{errors}"
    );
    // Among lines it stands in its line; in a sweep the points that have one are answered.
    let lines = format!("{case}\n{}\nnonsense\n", practice()[0]["input"]);
    let output = saltmark(&["predict", "--lines", "--jobs", "2"], lines.as_bytes());
    assert_eq!(output.status.code(), Some(0));
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    let answers: Vec<Value> = text
        .lines()
        .map(|line| serde_json::from_str(line).expect("JSON"))
        .collect();
    assert!(
        answers[0]["error"]
            .as_str()
            .is_some_and(|error| error.contains("no permeate"))
    );
    assert!(answers[1]["permeate_flow_l_h"].is_number());
    assert!(answers[2]["error"].is_string());
    let swept = answer(
        &["predict", "--json", "--sweep", "inlet_pressure=300..9000"],
        case.to_string().as_bytes(),
    );
    let points = swept["points"].as_array().expect("points");
    assert!(points[0]["error"].is_string());
    assert!(points[12]["permeate_flow_l_h"].is_number());
}
