//! Random histories: few units, few ids, so that entries meet, correct each other and collide.

use std::collections::BTreeMap;

use jiff::Timestamp;
use ledger::payload::*;
use ledger::{Entry, EventId, Payload, Subject};
use proptest::prelude::*;
use reading::{Event, EventKind, Field, Reading};
use serde_json::{Map, Value, json};

pub(crate) fn time(hours: i64) -> Timestamp {
    Timestamp::from_second(1_736_800_000 + 3_600 * hours).unwrap()
}

pub(crate) fn id(n: u8) -> EventId {
    EventId::new(time(i64::from(n % 5)), [n; 10])
}

pub(crate) fn unit_document(id: &str, elements: usize) -> Map<String, Value> {
    let rated = json!({"flow": "180 gpd", "rejection": 0.97, "pressure": "65 psi", "tds": 500});
    let elements: Vec<_> = (1..=elements)
        .map(|n| json!({"id": format!("membrane-{n}"), "size": "2012", "rated": rated}))
        .collect();
    let document = json!({
        "id": id,
        "stages": [{"id": "sediment", "kind": "sediment"}],
        "membranes": {"elements": elements},
        "concentrate": {"restrictor": {"flow": "900 mL/min", "at": "60 psi"}},
    });
    document.as_object().cloned().unwrap()
}

pub(crate) fn reading_of(unit: &str, flow: f64) -> Payload {
    let reading = Reading::new(Timestamp::UNIX_EPOCH).with(Field::PermeateFlow, flow);
    let unit = unit.to_owned();
    Payload::Reading(Box::new(ReadingTaken {
        unit,
        reading,
        as_written: BTreeMap::new(),
        from: None,
    }))
}

pub(crate) fn event_of(unit: &str, part: &str) -> Payload {
    let event = Event::new(Timestamp::UNIX_EPOCH, EventKind::Changed, Some(part));
    Payload::Event(PartEvent {
        unit: unit.to_owned(),
        document: event_document(&event),
        from: None,
    })
}

fn a_unit() -> impl Strategy<Value = String> {
    prop_oneof![Just("a".to_owned()), Just("b".to_owned())]
}

fn plain() -> impl Strategy<Value = Payload> {
    let site = || prop_oneof![Just("s".to_owned()), Just("t".to_owned())];
    prop_oneof![
        4 => (a_unit(), 0..5_u8).prop_map(|(unit, flow)| reading_of(&unit, f64::from(flow))),
        2 => (a_unit(), prop_oneof![Just("sediment"), Just("membrane-2"), Just("restrictor")])
            .prop_map(|(unit, part)| event_of(&unit, part)),
        2 => (a_unit(), 0..4_usize, any::<bool>(), proptest::option::of(site())).prop_map(|(unit, n, installed, site)| {
            // No elements at all: a document with a fault.
            let document = unit_document(&unit, n);
            Payload::Unit(UnitDescribed { unit, site, installed, document })
        }),
        1 => (a_unit(), proptest::option::of(site()))
            .prop_map(|(unit, site)| Payload::UnitMoved(UnitMoved { unit, site, note: String::new() })),
        1 => a_unit().prop_map(|unit| Payload::UnitRetired(UnitRetired { unit, note: String::new() })),
        1 => (any::<bool>(), 0..3_u16).prop_map(|(of_site, us_cm)| Payload::Water(WaterAnalysed {
            of: if of_site { Subject::site("s") } else { Subject::unit("a") },
            document: [("conductivity".to_owned(), json!(us_cm))].into_iter().collect(),
        })),
        1 => site().prop_map(|site| Payload::Site(SiteDescribed { site, ..Default::default() })),
        1 => (0..3_u8, 0..3_u8).prop_map(|(name, value)| Payload::Settings(SettingsChosen {
            person: "p".to_owned(),
            set: [(format!("k{name}"), if value == 0 { Value::Null } else { json!(value) })].into_iter().collect(),
        })),
        2 => (a_unit(), proptest::option::of(0..6_u8), mark())
            .prop_map(|(unit, work, mark)| Payload::Work(WorkMarked { unit, work: work.map(id), mark })),
        1 => a_unit().prop_map(|unit| Payload::Note(NoteWritten { of: Subject::customer(&unit), text: "n".to_owned() })),
    ]
}

fn mark() -> impl Strategy<Value = WorkMark> {
    prop_oneof![
        Just(WorkMark::Begun {
            items: vec![json!("sediment")],
            card: "0".to_owned()
        }),
        (0..4_u32).prop_map(|step| WorkMark::Waiting { step }),
        (0..4_u32).prop_map(|step| WorkMark::Done {
            step,
            note: String::new()
        }),
        (0..4_u32).prop_map(|step| WorkMark::Undone { step }),
        any::<bool>().prop_map(|finished| WorkMark::Ended { finished }),
    ]
}

fn payload() -> impl Strategy<Value = Payload> {
    let replacement = (plain(), proptest::option::of(0..6_i64)).prop_map(|(payload, hours)| Replacement {
        happened_at: hours.map(time),
        payload: payload.encode(),
    });
    prop_oneof![
        3 => plain(),
        2 => (0..24_u8, proptest::option::weighted(0.8, replacement)).prop_map(|(n, replacement)| {
            Payload::Correction(Correction { corrects: id(n), replacement, reason: String::new() })
        }),
    ]
}

prop_compose! {
    /// An entry. Two may have one id and differ: two devices read in one row.
    pub(crate) fn entry()(n in 0..24_u8, happened in 0..6_i64, written in 0..4_i64, by in 0..2_u8, payload in payload()) -> Entry {
        Entry::new(id(n), time(happened), time(written), format!("p{by}"), "d", &payload)
    }
}

pub(crate) fn history() -> impl Strategy<Value = Vec<Entry>> {
    proptest::collection::vec(entry(), 0..40)
}
