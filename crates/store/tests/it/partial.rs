//! A part of a ledger tells what the whole does, of what it is a part of.

use std::collections::BTreeSet;

use jiff::Timestamp;
use ledger::payload::{Correction, NoteWritten, Replacement};
use ledger::{Entry, EventId, Kind, Payload, State, Subject};
use store::{Cursor, MemoryStore, Options, SqliteStore, Store, load, load_outline, load_unit, touched_since};
use tempfile::TempDir;

use crate::imports;

fn now() -> Timestamp {
    "2026-10-20T12:00:00Z".parse().unwrap()
}

fn correction(n: u8, corrects: EventId, replacement: Option<&Entry>) -> Entry {
    let payload = Payload::Correction(Correction {
        corrects,
        replacement: replacement.map(|entry| Replacement {
            happened_at: Some(entry.happened_at),
            payload: entry.payload.clone(),
        }),
        reason: "filed under the wrong unit".to_owned(),
    });
    Entry::new(
        EventId::new(now(), [n; 10]),
        now(),
        now(),
        "Ines",
        "desk",
        &payload,
    )
}

/// The simulated valley, with corrections that file readings of one unit under another, take one of them back,
/// and one that names an entry which has not arrived.
fn valley() -> Vec<Entry> {
    let mut entries = demo::entries(demo::SEED, now()).unwrap();
    let of = |unit: &str, kind: Kind| {
        let subject = Subject::unit(unit);
        let found = entries
            .iter()
            .find(|e| e.payload.subject() == Some(&subject) && e.payload.kind() == kind);
        found.unwrap().clone()
    };
    let (barn, shed) = (of("carp-barn", Kind::Reading), of("ferry-shed", Kind::Reading));
    let moved = correction(1, barn.id, Some(&shed));
    let corrections = [
        correction(2, of("hatchery", Kind::Event).id, None),
        correction(3, moved.id, Some(&of("bench-one", Kind::Reading))),
        correction(4, EventId::new(now(), [99; 10]), None),
        correction(
            5,
            of("seed-bench", Kind::SetAside).id,
            Some(&of("seed-bench", Kind::Reading)),
        ),
        correction(6, shed.id, Some(&barn)),
    ];
    entries.push(moved);
    entries.extend(corrections);
    entries
}

fn stores(entries: &[Entry]) -> (TempDir, [Box<dyn Store>; 2]) {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("ledger.db");
    let sqlite = SqliteStore::create(&path, imports::id(0, 0), Options::default()).unwrap();
    let mut stores: [Box<dyn Store>; 2] = [Box::new(sqlite), Box::new(MemoryStore::new(imports::id(0, 0)))];
    for store in &mut stores {
        store.append(&mut entries.iter().cloned()).unwrap();
    }
    (folder, stores)
}

#[test]
fn regress_a_unit_alone_is_told_as_in_the_whole() {
    let (_folder, stores) = stores(&valley());
    for store in &stores {
        let (whole, _) = load(store.as_ref()).unwrap();
        for id in whole.unit_ids() {
            let part = load_unit(store.as_ref(), id).unwrap();
            assert!(part.unit(id) == whole.unit(id), "{id}");
            assert_eq!(part.waters(id), whole.waters(id), "{id}");
            let site = whole.unit(id).unwrap().site.as_deref().unwrap();
            assert_eq!(part.site(site), whole.site(site), "{id}");
            let customer = whole.site(site).unwrap().described.as_ref().unwrap();
            let customer = customer.what.customer.as_deref().unwrap();
            assert_eq!(part.customer(customer), whole.customer(customer), "{id}");
            let subject = Subject::unit(id);
            let ids =
                |state: &State| -> Vec<EventId> { state.entries_of(&subject).map(|e| e.entry.id).collect() };
            assert_eq!(ids(&part), ids(&whole), "{id}");
        }
        let nobody = load_unit(store.as_ref(), "nowhere").unwrap();
        assert!(nobody.unit("nowhere").is_none());
    }
}

#[test]
fn regress_the_outline_is_the_whole_without_rows() {
    let (_folder, stores) = stores(&valley());
    for store in &stores {
        let (whole, end) = load(store.as_ref()).unwrap();
        let (outline, cursor) = load_outline(store.as_ref()).unwrap();
        assert_eq!(cursor, end);
        assert!(outline.unit_ids().eq(whole.unit_ids()) && outline.person_ids().eq(whole.person_ids()));
        for id in whole.unit_ids() {
            let (part, all) = (outline.unit(id).unwrap(), whole.unit(id).unwrap());
            assert_eq!(part.descriptions, all.descriptions, "{id}");
            assert_eq!((&part.site, &part.papers), (&all.site, &all.papers), "{id}");
            assert!(part.readings().len() < 10, "{id}");
        }
        for id in whole.site_ids() {
            assert_eq!(outline.site(id), whole.site(id));
        }
    }
}

#[test]
fn regress_what_came_in_touches_its_subjects_only() {
    let entries = valley();
    let (_folder, mut stores) = stores(&entries);
    for store in &mut stores {
        let (_, cursor) = touched_since(store.as_ref(), Cursor::default()).unwrap();
        assert_eq!(
            touched_since(store.as_ref(), cursor).unwrap(),
            (BTreeSet::new(), cursor)
        );
        let (before, _) = load(store.as_ref()).unwrap();
        let of = Subject::unit("assay-room");
        let text = "the lamp flickers".to_owned();
        let note = Payload::Note(NoteWritten { of, text });
        let reading = entries
            .iter()
            .find(|entry| entry.payload.kind() == Kind::Reading)
            .unwrap();
        let more = [
            Entry::new(EventId::new(now(), [40; 10]), now(), now(), "Ines", "desk", &note),
            // Takes back a correction that had filed a reading of one unit under another.
            correction(41, EventId::new(now(), [3; 10]), None),
            correction(42, reading.id, None),
        ];
        store.append(&mut more.iter().cloned()).unwrap();
        let (touched, end) = touched_since(store.as_ref(), cursor).unwrap();
        assert!(end > cursor);
        let (after, _) = load(store.as_ref()).unwrap();
        for id in after.unit_ids() {
            let same = before.unit(id) == after.unit(id);
            assert!(
                same || touched.contains(&Subject::unit(id)),
                "{id} changed untold"
            );
        }
        assert!(
            touched.contains(&Subject::unit("assay-room")) && touched.len() < 6,
            "{touched:?}"
        );
    }
}
