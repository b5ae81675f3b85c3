//! The frozen format: every kind of payload, the envelope, and what devices say to each other.
//!
//! Ledgers and phones in the field hold these lines. A change here is a break: add a version instead.

use std::collections::BTreeMap;

use jiff::Timestamp;
use ledger::payload::*;
use ledger::sync::{Answer, Offer};
use ledger::{ContentHash, Encoded, Entry, Error, EventId, Kind, Payload, Subject};
use reading::{Event, EventKind, Field, Observed, Reading};
use serde_json::{Map, Value, json};

fn object(value: Value) -> Map<String, Value> {
    match value {
        Value::Object(map) => map,
        other => panic!("{other} is no object"),
    }
}

fn id(n: u8) -> EventId {
    EventId::new("2025-01-14T09:20:00Z".parse().unwrap(), [n; 10])
}

fn reading() -> Reading {
    let mut reading = Reading::new(Timestamp::UNIX_EPOCH)
        .with(Field::FeedTemperature, 8.5)
        .with(Field::InletPressure, 393.001_165_7)
        .with(Field::PermeateFlow, 40.0)
        .with(Field::FreeChlorineOut, 0.0);
    reading.pressure_after_kpa.insert("sediment".to_owned(), 386.1);
    reading
        .element_permeate_us_cm
        .insert("membrane-1".to_owned(), 31.0);
    reading.observed = vec![Observed::Leak, Observed::AfterWork];
    reading.meter_factor_sd = 0.12;
    reading.note.push_str("bucket \"A\"");
    reading
}

fn all() -> Vec<Payload> {
    let unit = "north-house".to_owned();
    let from = Some(Source {
        import: id(7),
        line: 12,
    });
    let mut changed = Event::new(Timestamp::UNIX_EPOCH, EventKind::Changed, Some("sediment"));
    changed.note.push_str("torn");
    vec![
        Payload::Customer(CustomerDescribed {
            customer: "weir-growers".to_owned(),
            name: "Weir growers".to_owned(),
            phone: "555 0100".to_owned(),
            ..CustomerDescribed::default()
        }),
        Payload::Site(SiteDescribed {
            site: "glasshouses".to_owned(),
            customer: Some("weir-growers".to_owned()),
            name: "Glasshouses".to_owned(),
            place: "second gate".to_owned(),
            access: "key under the pot".to_owned(),
        }),
        Payload::Unit(UnitDescribed {
            unit: unit.clone(),
            site: Some("glasshouses".to_owned()),
            installed: true,
            document: object(json!({"id": "north-house", "membranes": {"elements": []}})),
        }),
        Payload::UnitMoved(UnitMoved {
            unit: unit.clone(),
            site: None,
            note: "in store".to_owned(),
        }),
        Payload::UnitRetired(UnitRetired {
            unit: unit.clone(),
            note: String::new(),
        }),
        Payload::Water(WaterAnalysed {
            of: Subject::site("glasshouses"),
            document: object(json!({"conductivity": 750, "hardness": "17 gpg"})),
        }),
        Payload::Reading(Box::new(ReadingTaken {
            unit: unit.clone(),
            reading: reading(),
            as_written: BTreeMap::from([("permeate_flow".to_owned(), "500 mL in 45 s".to_owned())]),
            from,
        })),
        Payload::Event(PartEvent {
            unit: unit.clone(),
            document: event_document(&changed),
            from: None,
        }),
        Payload::Correction(Correction {
            corrects: id(1),
            replacement: Some(Replacement {
                happened_at: Some("2025-01-13T09:20:00.000001Z".parse().unwrap()),
                payload: Payload::UnitRetired(UnitRetired {
                    unit: unit.clone(),
                    note: String::new(),
                })
                .encode(),
            }),
            reason: "wrong day".to_owned(),
        }),
        Payload::Correction(Correction {
            corrects: id(1),
            replacement: None,
            reason: String::new(),
        }),
        Payload::Attachment(AttachmentAdded {
            of: Subject::unit("north-house"),
            entry: Some(id(1)),
            hash: ContentHash::of(b"abc"),
            media_type: "image/jpeg".to_owned(),
            name: "gauge.jpg".to_owned(),
            size: 3,
        }),
        Payload::Import(ImportBatch {
            unit: unit.clone(),
            file_hash: ContentHash::of(b"abc"),
            file_name: "log.csv".to_owned(),
            size: 3,
            habit: json!({"decimal": "comma"}),
            rows: RowCounts {
                readings: 2,
                events: 1,
                set_aside: 1,
            },
        }),
        Payload::SetAside(RowSetAside {
            unit: unit.clone(),
            cells: vec![String::new(), "away two weeks".to_owned()],
            reason: "no date".to_owned(),
            from,
        }),
        Payload::Note(NoteWritten {
            of: Subject::customer("weir-growers"),
            text: "rings back".to_owned(),
        }),
        Payload::Settings(SettingsChosen {
            person: "ada".to_owned(),
            set: BTreeMap::from([
                ("language".to_owned(), json!("en")),
                ("units".to_owned(), Value::Null),
            ]),
        }),
        Payload::Visit(VisitDone {
            of: Subject::site("glasshouses"),
            units: vec![unit.clone()],
            minutes: Some(45.0),
            note: "Sediment filter changed.".to_owned(),
        }),
        Payload::Work(WorkMarked {
            unit: unit.clone(),
            work: None,
            mark: WorkMark::Begun {
                items: vec![json!("carbon"), json!({"do": "wash", "part": "sediment"})],
                card: "0123456789abcdef".to_owned(),
            },
        }),
        Payload::Work(WorkMarked {
            unit: unit.clone(),
            work: Some(id(3)),
            mark: WorkMark::Waiting { step: 11 },
        }),
        Payload::Work(WorkMarked {
            unit: unit.clone(),
            work: Some(id(3)),
            mark: WorkMark::Done {
                step: 4,
                note: "slimy".to_owned(),
            },
        }),
        Payload::Work(WorkMarked {
            unit: unit.clone(),
            work: Some(id(3)),
            mark: WorkMark::Undone { step: 4 },
        }),
        Payload::Work(WorkMarked {
            unit,
            work: Some(id(3)),
            mark: WorkMark::Ended { finished: true },
        }),
    ]
}

#[test]
fn regress_the_payloads_keep_their_form() {
    let lines: Vec<String> = all()
        .iter()
        .map(|payload| payload.encode().json().to_owned())
        .collect();
    insta::assert_snapshot!(lines.join("\n"));
}

#[test]
fn regress_the_envelope_keeps_its_form() {
    let entry = Entry::new(
        id(1),
        "2025-01-14T09:20:00.123456789Z".parse().unwrap(),
        "2025-01-14T10:00:00+01:00".parse().unwrap(),
        "ada",
        "desk",
        &Payload::UnitRetired(UnitRetired {
            unit: "north-house".to_owned(),
            note: String::new(),
        }),
    );
    insta::assert_snapshot!(entry.to_json());
    let offer = Offer {
        log: Some(id(3)),
        cursor: 7,
        entries: vec![entry.clone()],
    };
    insta::assert_snapshot!(offer.to_json());
    let answer = Answer {
        log: id(3),
        entries: vec![entry],
        received: vec![id(2)],
        cursor: 9,
    };
    insta::assert_snapshot!(answer.to_json());
    assert_eq!(Offer::from_json(&offer.to_json()), Ok(offer));
    assert_eq!(Answer::from_json(&answer.to_json()), Ok(answer));
}

#[test]
fn regress_every_kind_is_pinned_and_comes_back() {
    let payloads = all();
    for kind in Kind::ALL {
        assert!(
            payloads.iter().any(|payload| payload.kind() == *kind),
            "{kind:?} is not pinned"
        );
    }
    for payload in payloads {
        let encoded = payload.encode();
        assert_eq!(encoded.subject().cloned(), payload.subject());
        // What is filed by its text alone is filed as it was when written.
        assert_eq!(Encoded::from_json(encoded.json()).as_ref(), Ok(&encoded));
        assert_eq!(encoded.decode().as_ref(), Ok(&payload));
    }
}

#[test]
fn regress_what_a_newer_program_wrote_is_kept() {
    for json in [
        r#"{"v":2,"kind":"reading","flow":[1, 2]}"#,
        r#"{"v":1,"kind":"weather","rain":true}"#,
    ] {
        let encoded = Encoded::from_json(json).unwrap();
        assert_eq!((encoded.kind(), encoded.json()), (Kind::Unknown, json));
        assert!(matches!(
            encoded.decode(),
            Err(Error::NotUnderstood { ours: 1, .. })
        ));
        let line = format!(
            r#"{{"id":"{}","happened_at":"2025-01-14T09:20:00Z","written_at":"2025-01-14T09:20:00Z","by":"","device":"","payload":{json}}}"#,
            id(1)
        );
        assert_eq!(Entry::from_json(&line).unwrap().to_json(), line);
    }
}

#[test]
fn regress_a_new_field_does_not_disturb() {
    let json = r#"{"v":1,"kind":"reading","unit":"u","reading":{"permeate_flow":40,"radiation":3,"note":"n"},"mood":1}"#;
    let Ok(Payload::Reading(taken)) = Encoded::from_json(json).unwrap().decode() else {
        panic!("a reading")
    };
    assert_eq!(taken.reading.get(Field::PermeateFlow), Some(40.0));
    assert_eq!(taken.reading.note, "n");
}

#[test]
fn regress_what_is_no_entry_is_refused() {
    for json in [
        "",
        "1",
        "{}",
        r#"{"v":1}"#,
        r#"{"v":1,"kind":"reading"}"#,
        r#"{"v":1,"kind":"note","of":{"moon":"x"}}"#,
    ] {
        assert!(
            matches!(Encoded::from_json(json), Err(Error::Malformed { .. })),
            "{json}"
        );
    }
    let wrong = Encoded::from_json(r#"{"v":1,"kind":"reading","unit":"u","reading":{"permeate_flow":"40"}}"#)
        .unwrap();
    assert!(matches!(
        wrong.decode(),
        Err(Error::Malformed { what: "reading", .. })
    ));
}
