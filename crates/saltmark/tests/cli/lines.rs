//! One document per line in, one answer per line out; and the commands on single documents.

use crate::run::{answer, refusal, repository, saltmark};
use serde_json::{Value, json};

fn cases() -> Vec<Value> {
    let text = std::fs::read_to_string(repository("reference/practice/forecast.jsonl"))
        .expect("the simulated cases");
    text.lines()
        .take(12)
        .map(|line| serde_json::from_str::<Value>(line).expect("JSON")["input"].clone())
        .collect()
}

#[test]
fn every_line_has_its_answer_in_the_same_order() {
    let mut cases = cases();
    let times: Vec<Value> = cases.iter().map(|case| case["as_of"].clone()).collect();
    cases.insert(3, json!({"unit": {"id": 5}}));
    let mut input = String::new();
    for case in &cases {
        input.push_str(&case.to_string());
        input.push('\n');
    }
    input.push_str("not json\n");
    for jobs in ["1", "2"] {
        let output = saltmark(&["forecast", "--lines", "--jobs", jobs], input.as_bytes());
        assert_eq!(output.status.code(), Some(0));
        let text = String::from_utf8(output.stdout).expect("UTF-8");
        let lines: Vec<Value> = text
            .lines()
            .map(|line| serde_json::from_str(line).expect("JSON"))
            .collect();
        assert_eq!(lines.len(), cases.len() + 1);
        assert!(lines[3]["error"].as_str().expect("an error").contains("unit.id"));
        assert!(lines[lines.len() - 1]["error"].is_string());
        let answered: Vec<&Value> = lines.iter().filter(|line| line.get("error").is_none()).collect();
        assert_eq!(answered.len(), times.len());
        for (line, time) in answered.iter().zip(&times) {
            let asked = time
                .as_str()
                .expect("text")
                .trim_end_matches('Z')
                .trim_end_matches(":00");
            assert!(
                line["as_of"].as_str().expect("text").starts_with(asked),
                "{} {time}",
                line["as_of"]
            );
        }
    }
}

#[test]
fn the_answers_name_what_the_contract_names() {
    let case = cases()[0].to_string();
    let standardised = answer(&["standardise", "-", "--json"], case.as_bytes());
    let first = &standardised["readings"][0];
    for field in [
        "at",
        "permeate_flow_l_h",
        "permeate_flow_l_h_sd",
        "salt_passage",
        "salt_passage_sd",
        "pressure_drop_kpa",
        "net_driving_pressure_kpa",
        "recovery",
        "relative_permeate_flow",
        "relative_permeate_flow_sd",
        "relative_salt_passage",
        "relative_salt_passage_sd",
        "relative_pressure_drop",
        "estimated",
        "missing",
        "doubts",
    ] {
        assert!(first.get(field).is_some(), "{field} is missing from {first}");
    }
    assert!(standardised["baseline_at"].is_string());
    let explained = answer(&["explain", "-", "--json"], case.as_bytes());
    assert_eq!(explained["factors"].as_array().expect("a list").len(), 7);
    assert!(explained["sentence"].is_string());
    let forecast = answer(&["forecast", "-", "--json"], case.as_bytes());
    for part in forecast["parts"].as_array().expect("a list") {
        for field in [
            "id",
            "limit",
            "due_at",
            "used_fraction",
            "chance_within",
            "basis",
            "sentence",
        ] {
            assert!(part.get(field).is_some(), "{field} is missing from {part}");
        }
    }
}

#[test]
fn a_wrong_time_names_what_is_accepted() {
    let case = cases()[0].to_string();
    let said = refusal(
        &["forecast", "-", "--json", "--as-of", "yesterday"],
        case.as_bytes(),
    );
    assert!(said.contains("--as-of") && said.contains("yesterday"), "{said}");
    let said = refusal(&["explain", "-", "--from", "1999-01-01"], case.as_bytes());
    assert!(said.contains("from") && said.contains("readings"), "{said}");
}

#[test]
fn help_has_an_example_for_each_command() {
    for command in ["check", "standardise", "explain", "forecast"] {
        let output = saltmark(&[command, "--help"], b"");
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        assert!(
            text.contains("Example:") && text.contains(&format!("saltmark {command}")),
            "{text}"
        );
    }
}

#[test]
fn man_pages_and_completions_are_generated() {
    let folder = tempfile::tempdir().expect("a folder");
    let (man, completions) = (folder.path().join("man"), folder.path().join("completions"));
    let output = saltmark(
        &[
            "generate",
            "--man",
            &man.to_string_lossy(),
            "--completions",
            &completions.to_string_lossy(),
        ],
        b"",
    );
    assert_eq!(output.status.code(), Some(0));
    assert!(man.join("saltmark-check.1").is_file());
    assert!(std::fs::read_dir(completions).expect("the folder").count() >= 3);
}
