//! `saltmark diagnose`: text, data, lines, refusals, and the interview with its answers on standard input.

use std::io::Write;

use serde_json::{Value, json};

use crate::run::{answer, refusal, repository, saltmark};

/// A simulated case with its truth: the first one of this cause, with all instruments or with few.
fn case(cause: &str, subset: &str) -> Value {
    let text = std::fs::read_to_string(repository("reference/practice/diagnose.jsonl"))
        .expect("the simulated cases");
    text.lines()
        .map(|line| serde_json::from_str::<Value>(line).expect("JSON"))
        .find(|case| case["truth"]["cause"] == cause && case["truth"]["subset"] == subset)
        .expect("a case of this cause")["input"]
        .clone()
}

/// The case in a file, for commands that need standard input for something else.
fn in_a_file(case: &Value) -> tempfile::NamedTempFile {
    let mut file = tempfile::Builder::new()
        .suffix(".json")
        .tempfile()
        .expect("a file");
    file.write_all(case.to_string().as_bytes())
        .expect("it is written");
    file
}

fn ask(case: &Value, options: &[&str], said: &str) -> std::process::Output {
    let file = in_a_file(case);
    let path = file.path().to_string_lossy().into_owned();
    let mut arguments = vec!["diagnose", "--ask", path.as_str()];
    arguments.extend(options);
    saltmark(&arguments, said.as_bytes())
}

#[test]
fn the_answer_names_what_the_contract_names() {
    let found = answer(
        &["diagnose", "-", "--json"],
        case("restrictor_blocked", "full").to_string().as_bytes(),
    );
    for field in [
        "explained_by_conditions",
        "causes",
        "pairs",
        "next_test",
        "warnings",
    ] {
        assert!(found.get(field).is_some(), "{field}");
    }
    let causes = found["causes"].as_array().expect("a list");
    // Contract 6 lists twenty-four causes, one entry each, in falling order, summing to 1.
    assert_eq!(causes.len(), 24);
    let probabilities: Vec<f64> = causes
        .iter()
        .map(|one| one["probability"].as_f64().expect("a number"))
        .collect();
    assert!(probabilities.windows(2).all(|two| two[0] >= two[1]));
    // 1e-9: two dozen additions.
    assert!((probabilities.iter().sum::<f64>() - 1.0).abs() < 1e-9);
    assert_eq!(causes[0]["cause"], "restrictor_blocked");
    for one in causes {
        for field in [
            "cause",
            "part",
            "probability",
            "sentence",
            "action",
            "urgency",
            "if_left",
        ] {
            assert!(one.get(field).is_some(), "{field} is missing from {one}");
        }
        assert!(["none", "next_visit", "soon", "now"].contains(&one["urgency"].as_str().expect("text")));
    }
    let next = &found["next_test"];
    if !next.is_null() {
        for field in ["action", "field", "expected_information_bits", "sentence"] {
            assert!(next.get(field).is_some(), "{field}");
        }
    }
}

#[test]
fn the_part_of_a_spent_carbon_is_named() {
    let found = answer(
        &["diagnose", "-", "--json"],
        case("carbon_spent", "full").to_string().as_bytes(),
    );
    assert_eq!(found["causes"][0]["cause"], "carbon_spent");
    assert_eq!(found["causes"][0]["part"], "carbon");
    assert_eq!(found["causes"][0]["urgency"], "now");
}

#[test]
fn a_person_reads_what_to_do_before_what_to_test() {
    let output = saltmark(
        &["diagnose", "-"],
        case("inlet_pressure_low", "full").to_string().as_bytes(),
    );
    assert_eq!(output.status.code(), Some(0));
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    assert!(
        text.lines().next().expect("a line").contains("It makes"),
        "what conditions explain is said first: {text}"
    );
    let place = |what: &str| {
        text.find(what)
            .unwrap_or_else(|| panic!("{what} is missing from {text}"))
    };
    let order = [
        "Most likely",
        "chance",
        "What to do:",
        "Part:",
        "Urgency:",
        "If it is left:",
    ];
    assert!(
        order.windows(2).all(|two| place(two[0]) < place(two[1])),
        "{text}"
    );
}

#[test]
fn lines_are_answered_in_order_and_faults_stand_in_theirs() {
    let causes = ["feed_changed", "core_seal_leak", "pump_weak"];
    let mut input = String::new();
    for cause in causes {
        input.push_str(&case(cause, "full").to_string());
        input.push('\n');
    }
    input.push_str("{\"unit\": 7}\n");
    let output = saltmark(&["diagnose", "--lines", "--jobs", "2"], input.as_bytes());
    assert_eq!(output.status.code(), Some(0));
    let lines: Vec<Value> = String::from_utf8(output.stdout)
        .expect("UTF-8")
        .lines()
        .map(|line| serde_json::from_str(line).expect("JSON"))
        .collect();
    assert_eq!(lines.len(), 4);
    for (line, cause) in lines.iter().zip(causes) {
        let alone = answer(
            &["diagnose", "-", "--json"],
            case(cause, "full").to_string().as_bytes(),
        );
        assert_eq!(*line, alone, "{cause}");
    }
    let error = lines[3]["error"].as_str().expect("an error");
    assert!(error.contains("unit") && error.contains("reading"), "{error}");
}

#[test]
fn every_fault_is_listed_at_once() {
    // A unit with a fault and no reading at all.
    let mut wrong = case("sound", "full");
    wrong["unit"]["membranes"]["elements"][0]["rated"]["flow"] = json!("a lot");
    wrong.as_object_mut().expect("a table").remove("reading");
    let said = refusal(&["diagnose", "-", "--json"], wrong.to_string().as_bytes());
    assert!(said.contains("unit.membranes.elements[0].rated.flow"), "{said}");
    assert!(said.contains("reading: read nothing"), "{said}");
    assert!(said.contains("2 faults"), "{said}");
    // A unit with a fault, and faults in reading, baseline and events, all of which name parts of that unit.
    let mut wrong = case("sound", "full");
    wrong["unit"]["concentrate"]["restrictor"]["flow"] = json!("12 psi");
    wrong["reading"]["permeate_flow"] = json!("plenty");
    wrong["reading"]["pressure_after"] = json!({"sediment": 300, "attic": 300});
    wrong["baseline"]["at"] = json!("long ago");
    wrong["events"] = json!([{"at": "2022-01-01", "kind": "mended"}]);
    let said = refusal(&["diagnose", "-"], wrong.to_string().as_bytes());
    for path in [
        "unit.concentrate.restrictor.flow",
        "reading.permeate_flow",
        "reading.pressure_after: read part \"attic\"",
        "baseline.at",
        "events[0].kind",
    ] {
        assert!(said.contains(path), "{path}: {said}");
    }
    assert!(!said.contains("part \"sediment\""), "{said}");
    assert!(said.contains("5 faults"), "{said}");
    // No unit at all.
    let said = refusal(&["diagnose", "-"], b"{}");
    assert!(
        said.contains("unit: read nothing") && said.contains("reading: read nothing"),
        "{said}"
    );
}

#[test]
fn the_interview_asks_one_thing_at_a_time() {
    let mut case = case("sound", "full");
    case.as_object_mut().expect("a table").remove("reading");
    case["as_of"] = json!("2024-05-01T09:00:00Z");
    // Nothing is measured: the customer is asked first, and every question may be passed over.
    let output = ask(&case, &[], &"\n".repeat(200));
    assert_eq!(
        output.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    assert!(text.starts_with("1. Ask"), "{text}");
    let questions = text
        .lines()
        .filter(|line| line.ends_with("Enter skips it."))
        .count();
    let prompts = text.matches("> ").count();
    assert!(questions > 5 && questions <= prompts, "{questions} {prompts}");
    assert!(
        text.contains("Nothing more that can be done here would tell it any better."),
        "{text}"
    );
    for what in ["What to do:", "Part:", "Urgency:", "If it is left:", "chance"] {
        assert!(text.contains(what), "{what}");
    }
}

#[test]
fn a_bad_answer_is_named_once_and_asked_again() {
    let mut case = case("sound", "full");
    case["reading"] = json!({"at": "2024-05-01T09:00:00Z", "running_for": "30 min", "feed_temperature": 12,
        "inlet_pressure": "300 kPa"});
    let read = |said: &str| {
        let output = ask(&case, &[], said);
        assert_eq!(output.status.code(), Some(0));
        String::from_utf8(output.stdout).expect("UTF-8")
    };
    let text = read("soon\n");
    let bad: Vec<&str> = text.lines().filter(|line| line.contains("soon")).collect();
    assert_eq!(bad.len(), 1, "{text}");
    assert!(bad[0].contains("accepted"), "{text}");
    // The same question stands after it, and the input's end is the end.
    assert_eq!(text.matches("Enter skips it.").count(), 1, "{text}");
    assert!(
        text.contains("The answers end here.") && text.contains("What to do:"),
        "{text}"
    );
    assert!(!read("\n").contains("accepted are"));
}

#[test]
fn answers_count_and_are_kept() {
    // A unit that the customer says runs to drain when the tank is full, and of which all else is denied.
    let mut unread = case("sound", "full");
    unread.as_object_mut().expect("a table").remove("reading");
    let output = ask(&unread, &["--json"], "yes\n");
    assert_eq!(output.status.code(), Some(0));
    let found: Value = serde_json::from_slice(&output.stdout).expect("exactly one JSON document");
    let answers = found["answers"].as_array().expect("a list");
    assert_eq!(answers.len(), 1, "{answers:?}");
    assert!(answers[0].as_str().expect("text").starts_with("observed."));
    assert!(answers[0].as_str().expect("text").ends_with("=yes"));
    // The questions went to standard error.
    assert!(String::from_utf8_lossy(&output.stderr).contains("1. Ask"));
}

#[test]
fn what_has_to_be_opened_comes_with_the_safe_way() {
    let mut case = case("sediment_blocked", "full");
    case["reading"] = json!({"at": "2022-11-16T09:00:00Z", "running_for": "30 min"});
    let text = String::from_utf8(ask(&case, &[], &"\n".repeat(200)).stdout).expect("UTF-8");
    let open = text
        .find("Open the housing of")
        .or_else(|| text.find("Take the restrictor out"));
    let open = open.unwrap_or_else(|| panic!("nothing is opened: {text}"));
    let way = &text[open..];
    let closed = way.find("Close the inlet valve").expect("the inlet is closed");
    let answered = way.find("Enter skips it.").expect("the question");
    assert!(closed < answered, "{way}");
    // Without an inlet valve there is no safe way, and it is not asked for.
    case["unit"]["inlet"] = json!({"valve": false});
    let text = String::from_utf8(ask(&case, &[], &"\n".repeat(200)).stdout).expect("UTF-8");
    assert!(text.contains("There is no safe way to it at this unit"), "{text}");
    assert!(!text.contains("The safe way to it"), "{text}");
}

#[test]
fn an_interview_needs_a_file() {
    for arguments in [&["diagnose", "--ask"][..], &["diagnose", "--ask", "-"][..]] {
        let said = refusal(arguments, b"{}");
        assert!(
            said.contains("FILE") && said.contains("standard input has the answers"),
            "{said}"
        );
    }
}

#[test]
fn age_and_forecast_count_where_there_is_a_record() {
    // The carbon was changed five years ago by the record: it is likelier to be spent than where nobody knows.
    let mut old = case("membrane_fouled", "sparse");
    let spent = |case: &Value| {
        let found = answer(&["diagnose", "-", "--json"], case.to_string().as_bytes());
        let causes = found["causes"].as_array().expect("a list").clone();
        let one = causes
            .iter()
            .find(|one| one["cause"] == "carbon_spent")
            .expect("listed");
        one["probability"].as_f64().expect("a number")
    };
    let before = spent(&old);
    old["events"] = json!([{"at": "2017-11-16", "kind": "changed", "part": "carbon"}]);
    assert!(spent(&old) > before);
}
