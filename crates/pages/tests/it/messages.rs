//! The message files: complete in every language, nothing unused, no words in templates.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use wear::forecast::Limit;

fn crate_file(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// Keys with their texts.
pub(crate) fn messages(language: &str) -> BTreeMap<String, String> {
    let file = fs::read_to_string(crate_file(&format!("messages/{language}.ftl"))).unwrap();
    let mut found: BTreeMap<String, String> = BTreeMap::new();
    let mut last = String::new();
    for line in file.lines() {
        match line.split_once(" =") {
            Some((key, text)) if !line.starts_with([' ', '#']) => {
                assert!(
                    found.insert(key.to_owned(), text.to_owned()).is_none(),
                    "{key} stands twice in {language}"
                );
                key.clone_into(&mut last);
            }
            _ if line.starts_with(' ') => found.get_mut(&last).unwrap().push_str(line),
            _ => assert!(line.is_empty() || line.starts_with('#'), "{language}: {line}"),
        }
    }
    found
}

fn sources(folder: &Path, found: &mut Vec<(PathBuf, String)>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else {
            let text = fs::read_to_string(&path).unwrap();
            found.push((path, text));
        }
    }
}

fn all_sources() -> Vec<(PathBuf, String)> {
    let mut found = Vec::new();
    sources(&crate_file("src"), &mut found);
    found
}

/// The values put into a text: `$name`.
fn values(text: &str) -> BTreeSet<&str> {
    let names = text.split('$').skip(1);
    names
        .map(|rest| rest.split(|c: char| !c.is_ascii_alphanumeric()).next().unwrap())
        .collect()
}

#[test]
fn regress_every_language_has_every_key_with_the_same_values() {
    let (english, german) = (messages("en"), messages("de"));
    let keys = |messages: &BTreeMap<String, String>| messages.keys().cloned().collect::<BTreeSet<_>>();
    assert_eq!(keys(&english), keys(&german));
    for (key, text) in &english {
        if key == "the-part" {
            // A language with an article puts the name after it in small letters.
            continue;
        }
        // How many there are may change the words of one language and not of another.
        let without_count = |text| {
            values(text)
                .into_iter()
                .filter(|name| *name != "n")
                .collect::<BTreeSet<_>>()
        };
        assert_eq!(without_count(text), without_count(&german[key]), "{key}");
        assert!(!german[key].trim().is_empty() && !text.trim().is_empty(), "{key}");
    }
}

/// The places of a picture's text at which something goes in.
fn places(text: &str) -> BTreeSet<char> {
    text.split('%')
        .skip(1)
        .filter_map(|rest| rest.chars().next())
        .collect()
}

#[test]
fn regress_pictures_say_the_same_in_every_language() {
    let (english, german) = (messages("en"), messages("de"));
    for word in chart::Word::ALL {
        let key = format!("chart-{}", word.name());
        assert_eq!(english[&key].trim(), word.english(), "{key}");
        assert_eq!(places(word.english()), places(&german[&key]), "{key}");
    }
    assert_eq!(german["chart-months"].split_whitespace().count(), 12);
}

/// Keys that are put together from names of the trade's crates: each must be there for every name.
fn composed() -> BTreeSet<String> {
    let dashed = |name: &str| name.replace('_', "-");
    let mut keys = BTreeSet::new();
    keys.extend((1..=12).map(|month| format!("month-{month}")));
    keys.extend(
        reading::Field::ALL
            .iter()
            .map(|field| format!("field-{}", dashed(field.name()))),
    );
    keys.extend(reading::EventKind::ALL.map(|kind| format!("event-{}", dashed(kind.name()))));
    keys.extend(reading::Observed::ALL.map(|one| format!("observed-{}", dashed(one.name()))));
    keys.extend(water::Mineral::ALL.map(|mineral| format!("mineral-{}", dashed(mineral.name()))));
    for cause in wear::explain::Cause::ALL {
        keys.extend(["less", "more"].map(|way| format!("cause-{}-{way}", dashed(cause.name()))));
    }
    keys.extend(["less", "more"].map(|way| format!("cause-{way}")));
    for what in ["let-water", "let-salt"] {
        keys.extend(["less", "more", "times"].map(|way| format!("{what}-{way}")));
    }
    let limits = [
        Limit::Age,
        Limit::Volume,
        Limit::PressureDrop,
        Limit::FreeChlorineOut,
        Limit::PermeateFlowDrop,
        Limit::SaltPassageRise,
        Limit::PressureDropRise,
        Limit::Need,
    ];
    keys.extend(limits.map(|limit| format!("limit-{}", dashed(limit.name()))));
    let instruments = ["feed-meter", "permeate-meter", "gauges", "thermometer", "bucket"];
    keys.extend(instruments.map(|name| format!("instrument-{name}")));
    let full = water::Analysis {
        toc_mg_l: Some(1.0),
        free_chlorine_mg_l: Some(1.0),
        ..water::Analysis::default()
    };
    let waters = [
        "conductivity",
        "hardness",
        "alkalinity",
        "ph",
        "temperature",
        "tds",
        "calcium",
        "magnesium",
        "sodium",
        "potassium",
        "chloride",
        "sulfate",
        "nitrate",
        "silica",
        "iron",
        "manganese",
        "strontium",
        "barium",
        "fluoride",
        "ammonium",
        "boron",
        "phosphate",
        "free_chlorine",
        "chloramine",
        "turbidity",
        "sdi",
        "toc",
    ];
    keys.extend(of_trouble());
    keys.extend(
        unit::Accepted::ALL
            .iter()
            .map(|one| format!("model-accepts-{}", one.name())),
    );
    keys.extend(
        chart::Word::ALL
            .iter()
            .map(|word| format!("chart-{}", word.name())),
    );
    keys.extend(wear::verdict::Looks::ALL.map(|looks| format!("advice-looks-{}", looks.name())));
    keys.extend(intake::Taken::ALL.map(|what| format!("told-taken-{}", what.name())));
    keys.extend(intake::Why::ALL.map(|why| format!("told-dates-{}", why.name())));
    keys.extend(
        service::Phase::ALL
            .iter()
            .map(|phase| format!("phase-{}", phase.name())),
    );
    let part = || Some("carbon");
    let works = [
        ("change", part()),
        ("wash", part()),
        ("inspect", part()),
        ("sanitise", None),
        ("descale", None),
        ("clean", None),
        ("commission", None),
        ("lay_up", None),
    ];
    for (name, part) in works {
        assert!(service::Work::from_name(name, part).is_some(), "{name}");
        keys.insert(format!("work-{}", dashed(name)));
    }
    let shown = ledger::payload::water_document(&full);
    assert!(shown.keys().all(|name| waters.contains(&name.as_str())));
    keys.extend(waters.map(|name| format!("water-{}", dashed(name))));
    let foul = water::Analysis {
        free_chlorine_mg_l: Some(1e3),
        chloramine_mg_l: Some(1e3),
        turbidity_ntu: Some(1e3),
        sdi: Some(1e3),
        iron_mg_l: Some(1e3),
        manganese_mg_l: Some(1e3),
        toc_mg_l: Some(1e3),
        ..water::Analysis::default()
    };
    let threats = water::threats(&foul);
    assert_eq!(threats.len(), 7, "what threatens is in the message files, each");
    keys.extend(
        threats
            .iter()
            .map(|threat| format!("water-threat-{}", dashed(threat.field))),
    );
    let equations = [
        &water::EQUATIONS[..],
        &unit::EQUATIONS,
        &wear::d4516::EQUATIONS,
        &wear::doubts::EQUATIONS,
        &wear::explain::EQUATIONS,
        &wear::forecast::EQUATIONS,
        &wear::verdict::EQUATIONS,
        &service::EQUATIONS,
        &service::BAND_EQUATIONS,
        &fault::equations(),
    ]
    .concat();
    for equation in equations {
        keys.insert(format!("how-{}", equation.name));
        keys.insert(format!("how-{}-words", equation.name));
        keys.extend(
            equation
                .symbols
                .iter()
                .map(|symbol| format!("symbol-{}", symbol.name)),
        );
    }
    keys
}

/// The keys of causes, tests and cautions of the page "What is wrong".
fn of_trouble() -> BTreeSet<String> {
    let dashed = |name: &str| name.replace(['_', '.'], "-");
    let mut keys = BTreeSet::new();
    for cause in fault::Cause::ALL {
        keys.extend(["is", "do", "left"].map(|about| format!("trouble-{about}-{}", dashed(cause.name()))));
    }
    for (name, yes_or_no, has_meaning) in fault::TestToMake::all_names() {
        let name = dashed(&name);
        if yes_or_no {
            keys.insert(format!("trouble-ask-{name}"));
        }
        if has_meaning {
            keys.insert(format!("trouble-means-{name}"));
        }
        if !name.starts_with("again-") && !name.starts_with("observed-") {
            keys.insert(format!("trouble-how-{name}"));
        }
    }
    keys.extend(fault::Caution::ALL.map(|one| format!("trouble-mind-{}", dashed(one.name()))));
    for condition in fault::Condition::ALL {
        keys.extend(
            ["less", "more"].map(|way| format!("trouble-condition-{}-{way}", dashed(condition.name()))),
        );
    }
    let urgencies = [
        fault::Urgency::None,
        fault::Urgency::NextVisit,
        fault::Urgency::Soon,
        fault::Urgency::Now,
    ];
    keys.extend(urgencies.map(|one| format!("trouble-urgency-{}", dashed(one.name()))));
    keys
}

#[test]
fn regress_every_key_is_used_and_every_used_key_is_there() {
    let english = messages("en");
    let composed = composed();
    let mut used = composed.clone();
    for (_, text) in all_sources() {
        let code: Vec<&str> = text
            .lines()
            .filter(|line| !line.trim_start().starts_with("//"))
            .collect();
        let text = code.join("\n");
        // Every literal that is a key counts; keys stand in literals only.
        for literal in text.split('"').skip(1).step_by(2) {
            if english.contains_key(literal) {
                used.insert(literal.to_owned());
            }
        }
        for call in ["say.say(\"", "say.with(\"", ".say.with(\n            \""] {
            for rest in text.split(call).skip(1) {
                let key = rest.split('"').next().unwrap();
                assert!(english.contains_key(key), "{key} is said and has no text");
            }
        }
    }
    for key in &composed {
        assert!(english.contains_key(key), "{key} has no text");
    }
    let unused: Vec<_> = english.keys().filter(|key| !used.contains(*key)).collect();
    assert!(unused.is_empty(), "never said: {unused:?}");
}

#[test]
fn regress_no_words_stand_in_templates() {
    // In a template a literal after a brace, a bracket or another literal is text on the page. It may hold signs, not words;
    // what stands before `=`, after `(` or inside a call is an attribute or a key.
    let mut found = Vec::new();
    for (path, text) in all_sources() {
        for (number, line) in text.lines().enumerate() {
            let trimmed = line.trim();
            if trimmed.starts_with("//") {
                continue;
            }
            let mut before = String::new();
            for (index, piece) in line.split('"').enumerate() {
                if index % 2 == 1 {
                    let text_of_page = matches!(before.trim_end().chars().last(), Some('{' | '}'))
                        && before.contains(['{'])
                        && !before.trim_end().ends_with("={")
                        && !before.contains("= {")
                        && !before.contains("match");
                    let words = piece.replace("\\u{b7}", "").replace("\\u{2013}", "");
                    if text_of_page
                        && words.chars().filter(|c| c.is_alphabetic()).count() > 1
                        && words != " Saltmark"
                    {
                        let template = line.contains("p ")
                            || line.contains("h1")
                            || line.contains("h2")
                            || line.contains("li ")
                            || line.contains("td")
                            || line.contains("th");
                        if template && !line.contains("=>") && !line.contains("if ") {
                            found.push(format!("{}:{}: {piece:?}", path.display(), number + 1));
                        }
                    }
                }
                before.push_str(piece);
            }
        }
    }
    assert!(found.is_empty(), "{found:#?}");
}
