//! `jobcard --pdf`, `jobcard --customer`, `labels`: what is written is read back by poppler's `pdftotext` (freedesktop.org),
//! which shares no code with the writer; what is refused leaves nothing behind. `cargo xtask test` installs poppler.

use std::process::Command;

use serde_json::{Value, json};

use crate::ledger::Ground;
use crate::run::{answer, refusal, repository, saltmark};

const BASE: &str = "http://127.0.0.1:7380";

/// A unit whose cartridges a customer may change: no pump, shut off by the inlet valve, emptied through an open tank.
fn unit() -> Value {
    json!({
        "id": "north", "name": "North house",
        "stages": [
            {"id": "sediment", "kind": "sediment", "media": "spun"},
            {"id": "carbon", "kind": "carbon", "rinse": "40 L"}
        ],
        "membranes": {"elements": [{"id": "membrane-1", "size": "2012",
            "rated": {"flow": 28, "rejection": 0.97, "pressure": 448, "temperature": 25, "tds": 500}}]},
        "concentrate": {"restrictor": {"flow": 54, "at": 414}, "flush_valve": true},
        "permeate": {"check_valve": true, "shutoff": "float", "tank": {"kind": "open", "volume": 400}}
    })
}

fn case(work: &Value) -> Vec<u8> {
    json!({"unit": unit(), "work": work}).to_string().into_bytes()
}

/// The words of a document, all white space as one blank.
fn read_back(file: &str) -> String {
    let output = Command::new("pdftotext").args(["-raw", file, "-"]).output();
    let output = output.expect("pdftotext (Debian: poppler-utils)");
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}");
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The names of the files of a folder.
fn files(ground: &Ground) -> Vec<String> {
    let folder = std::fs::read_dir(ground.path("")).expect("a folder");
    let mut names: Vec<String> = folder
        .map(|file| file.expect("a file").file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn a_printed_card_is_the_card_that_is_answered() {
    let ground = Ground::new();
    for (paper, size) in [
        ("a4", "595.276 x 841.89 pts (A4)"),
        ("letter", "612 x 792 pts (letter)"),
    ] {
        let file = ground.text(&format!("{paper}.pdf"));
        let card = answer(
            &[
                "jobcard",
                "-",
                "--json",
                "--pdf",
                &file,
                "--paper",
                paper,
                "--site",
                "Quillmere, cellar",
                "--date",
                "2026-11-26",
                "--address",
                "http://127.0.0.1:7380/units/north",
            ],
            &case(&json!(["sediment", "carbon"])),
        );
        let printed = read_back(&file);
        for step in card["steps"].as_array().expect("a list") {
            let text = step["text"].as_str().expect("a text");
            assert!(printed.contains(text), "{text:?} is not in {printed}");
        }
        for caution in card["cautions"].as_array().expect("a list") {
            let text = caution.as_str().expect("a text");
            assert!(printed.contains(text), "{text:?} is not in {printed}");
        }
        for given in ["North house", "Quillmere, cellar", "2026-11-26"] {
            assert!(printed.contains(given), "{given}");
        }
        let said = Command::new("pdfinfo")
            .arg(&file)
            .output()
            .expect("pdfinfo")
            .stdout;
        assert!(String::from_utf8_lossy(&said).contains(size));
    }
    assert_eq!(files(&ground), ["a4.pdf", "letter.pdf"], "no draft is left");
}

#[test]
fn a_customers_card_is_printed_in_plain_words() {
    let ground = Ground::new();
    let file = ground.text("plain.pdf");
    let card = answer(
        &["jobcard", "-", "--customer", "--json", "--pdf", &file],
        &case(&json!(["sediment", "carbon"])),
    );
    let printed = read_back(&file);
    for step in card["steps"].as_array().expect("a list") {
        let text = step["text"].as_str().expect("a text");
        assert!(printed.contains(text), "{text:?} is not in {printed}");
    }
    assert!(
        printed.contains(card["call"].as_str().expect("a text")),
        "{printed}"
    );
}

#[test]
fn a_german_paper_is_german_and_the_answer_stays_as_it_is() {
    let ground = Ground::new();
    let file = ground.text("karte.pdf");
    for (customer, said) in [
        (false, "Zulaufventil schließen."),
        (true, "bis der Griff quer zum Rohr steht"),
    ] {
        let more: &[&str] = if customer { &["--customer"] } else { &[] };
        let arguments = [
            &[
                "jobcard",
                "-",
                "--json",
                "--language",
                "de",
                "--pdf",
                file.as_str(),
            ],
            more,
        ]
        .concat();
        let card = answer(&arguments, &case(&json!(["sediment", "carbon"])));
        let printed = read_back(&file);
        assert!(printed.contains(said), "{said:?} is not in {printed}");
        for step in card["steps"].as_array().expect("a list") {
            let english = step["text"].as_str().expect("a text");
            assert!(!printed.contains(english), "{english:?} is in {printed}");
        }
    }
}

#[test]
fn work_for_a_licence_or_a_technician_is_no_customers() {
    let ground = Ground::new();
    let file = ground.text("plain.pdf");
    let mut pumped = unit();
    pumped["stages"]
        .as_array_mut()
        .expect("a list")
        .push(json!({"id": "booster", "kind": "pump", "open_flow": "4 L/min", "shutoff_pressure": "55 psi"}));
    for (unit, work, named) in [
        (pumped, json!(["carbon"]), "booster"),
        (unit(), json!(["membrane-1"]), "membrane-1"),
        (unit(), json!([{"do": "sanitise"}]), "chemicals"),
    ] {
        let document = json!({"unit": unit, "work": work}).to_string();
        let output = saltmark(
            &["jobcard", "-", "--customer", "--json", "--pdf", &file],
            document.as_bytes(),
        );
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(1), "{said}");
        assert!(output.stdout.is_empty());
        assert!(said.contains(named), "{said}");
        assert!(files(&ground).is_empty(), "{work}");
    }
}

#[test]
fn a_wrong_option_is_named_with_what_is_accepted_and_nothing_is_written() {
    let ground = Ground::new();
    let unit_file = ground.file("north.json", json!({"unit": unit()}).to_string().as_bytes());
    let pdf = ground.text("out.pdf");
    let card = |more: &[&str]| {
        let arguments = [&["jobcard", "-", "--pdf", &pdf], more].concat();
        refusal(&arguments, &case(&json!(["carbon"])))
    };
    let labels = |more: &[&str]| {
        let arguments = [
            &["labels", "--unit", &unit_file, "--base", BASE, "--pdf", &pdf],
            more,
        ]
        .concat();
        refusal(&arguments, b"")
    };
    let long = format!("{BASE}/{}", "a".repeat(300));
    let said = [
        (card(&["--paper", "a3"]), vec!["--paper", "a3", "a4", "letter"]),
        (
            card(&["--address", &long]),
            vec!["--address", "322 characters", "at most 300"],
        ),
        (
            labels(&["--paper", "legal"]),
            vec!["--paper", "legal", "a4", "letter"],
        ),
        (
            labels(&["--size", "10x10"]),
            vec!["--size", "10x10", "99x68, 99x38, 63x38"],
        ),
        // A size of the other paper.
        (
            labels(&["--paper", "letter", "--size", "99x68"]),
            vec!["--size", "99x68", "102x85, 102x51, 67x25"],
        ),
        (labels(&["--skip", "8"]), vec!["--skip", "8", "0 to 7", "99x68"]),
        (
            labels(&["--part", "nothing"]),
            vec!["--part", "nothing", "sediment, carbon, membrane-1"],
        ),
        // What must be known before this housing is opened has no room there.
        (
            labels(&["--size", "63x38"]),
            vec!["--size", "63x38", "99x68 on a4", "102x85 on letter"],
        ),
    ];
    for (said, named) in said {
        for word in named {
            assert!(said.contains(word), "{word:?} is not in {said}");
        }
        assert_eq!(said.matches("accepted: ").count().max(1), 1, "one fault: {said}");
    }
    assert_eq!(files(&ground), ["north.json"]);
}

#[test]
fn where_nothing_can_be_written_nothing_is_answered() {
    let ground = Ground::new();
    let pdf = ground.text("no/such/folder/card.pdf");
    let unit_file = ground.file("north.json", json!({"unit": unit()}).to_string().as_bytes());
    // A folder stands where the file should be: the draft beside it can be written, and has to go away again.
    std::fs::create_dir(ground.path("taken.pdf")).expect("a folder");
    let taken = ground.text("taken.pdf");
    for file in [&pdf, &taken] {
        for arguments in [
            vec!["jobcard", "-", "--json", "--pdf", file],
            vec!["jobcard", "-", "--json", "--customer", "--pdf", file],
            vec![
                "labels", "--unit", &unit_file, "--base", BASE, "--json", "--pdf", file,
            ],
        ] {
            let output = saltmark(&arguments, &case(&json!(["carbon"])));
            let said = String::from_utf8_lossy(&output.stderr);
            assert_eq!(output.status.code(), Some(1), "{said}");
            assert!(output.stdout.is_empty(), "{arguments:?}");
            assert!(
                said.contains(file.as_str()) && said.contains("could not be written"),
                "{said}"
            );
        }
    }
    assert_eq!(files(&ground), ["north.json", "taken.pdf"]);
}

#[test]
fn what_stood_there_stays_where_the_new_one_is_refused() {
    let ground = Ground::new();
    let kept = ground.file("card.pdf", b"an older card");
    refusal(&["jobcard", "-", "--pdf", &kept], &case(&json!(["nothing"])));
    assert_eq!(std::fs::read(&kept).expect("the file"), b"an older card");
}

#[test]
fn labels_say_what_the_next_hand_must_know() {
    let ground = Ground::new();
    let unit_file = ground.file("north.json", json!({"unit": unit()}).to_string().as_bytes());
    let file = ground.text("labels.pdf");
    let told = answer(
        &[
            "labels",
            "--unit",
            &unit_file,
            "--base",
            "http://127.0.0.1:7380/",
            "--contact",
            "The workshop, ext. 12",
            "--pdf",
            &file,
            "--json",
        ],
        b"",
    );
    assert_eq!(told["address"], "http://127.0.0.1:7380/units/north");
    assert_eq!(told["parts"], json!(["sediment", "carbon", "membrane-1"]));
    let printed = read_back(&file);
    for words in [
        "North house",
        "The workshop, ext. 12",
        "until clear",
        "Before you open it:",
        "In since",
    ] {
        assert!(printed.contains(words), "{words:?} is not in {printed}");
    }
}

#[test]
fn labels_of_a_unit_of_the_ledger_have_its_days() {
    let ground = Ground::new();
    let example = |name: &str| {
        let path = repository(&format!("examples/quillmere-fern-house.{name}"));
        path.to_string_lossy().into_owned()
    };
    let ledger = ground.text("yard.db");
    let (plan, log) = (example("toml"), example("csv"));
    answer(
        &[
            "import", "--ledger", &ledger, "--unit", &plan, "--log", &log, "--json",
        ],
        b"",
    );
    let file = ground.text("labels.pdf");
    let arguments = [
        "labels",
        "--ledger",
        &ledger,
        "--unit-id",
        "fern-house",
        "--base",
        BASE,
        "--as-of",
        "2026-10-20",
        "--part",
        "sediment",
        "--pdf",
        &file,
        "--json",
    ];
    let told = answer(&arguments, b"");
    assert_eq!(told["parts"], json!(["sediment"]));
    let printed = read_back(&file);
    // Simulated: the last change of the sediment filter that the log tells.
    let log = std::fs::read_to_string(log).expect("the log");
    let last = log
        .lines()
        .rev()
        .find(|line| line.contains("sediment cartridge changed"));
    let day = last.and_then(|line| line.split(',').next()).expect("a change");
    assert!(printed.contains(&format!("In since {day}")), "{printed}");
    let due = printed
        .split("Due from ")
        .nth(1)
        .and_then(|rest| rest.get(..10))
        .expect("a day");
    assert!("2026-10-20" <= due, "{due}");
    let unknown = refusal(
        &[
            "labels",
            "--ledger",
            &ledger,
            "--unit-id",
            "nowhere",
            "--base",
            BASE,
            "--pdf",
            &file,
        ],
        b"",
    );
    assert!(unknown.contains("nowhere"), "{unknown}");
}
