//! What entries add up to: units with their readings and events, corrections, what could not be used.

use crate::common::{event_of, history, id, reading_of, time, unit_document};
use ledger::payload::*;
use ledger::state::read_unit;
use ledger::{Entry, EventId, Inserted, Payload, State, Subject};
use proptest::prelude::*;
use reading::{EventKind, Field};
use serde_json::json;

fn entry(n: u8, hours: i64, payload: &Payload) -> Entry {
    Entry::new(id(n), time(hours), time(hours), "ada", "desk", payload)
}

fn written(entry: Entry, hours: i64) -> Entry {
    Entry {
        written_at: time(hours),
        ..entry
    }
}

fn corrects(n: u8, replacement: Option<Payload>) -> Payload {
    let replacement = replacement.map(|payload| Replacement {
        happened_at: None,
        payload: payload.encode(),
    });
    Payload::Correction(Correction {
        corrects: id(n),
        replacement,
        reason: String::new(),
    })
}

fn installed(unit: &str, elements: usize) -> Payload {
    let document = unit_document(unit, elements);
    Payload::Unit(UnitDescribed {
        unit: unit.to_owned(),
        site: None,
        installed: true,
        document,
    })
}

fn flows(state: &State, unit: &str) -> Vec<f64> {
    let history = state.unit(unit).expect("the unit has entries");
    history
        .readings()
        .iter()
        .filter_map(|reading| reading.get(Field::PermeateFlow))
        .collect()
}

fn state(entries: impl IntoIterator<Item = Entry>) -> State {
    let mut state = State::new();
    state.extend(entries);
    state
}

#[test]
fn regress_a_unit_is_ready_for_the_evaluation() {
    let state = state([
        entry(2, 2, &reading_of("a", 2.0)),
        entry(1, 1, &reading_of("a", 1.0)),
        entry(3, 3, &event_of("a", "sediment")),
        entry(0, 0, &installed("a", 2)),
    ]);
    let history = state.unit("a").unwrap();
    assert_eq!(history.unit(), read_unit(&unit_document("a", 2)).ok().as_ref());
    assert_eq!(flows(&state, "a"), [1.0, 2.0]);
    assert_eq!(history.readings_until(time(1)).len(), 1);
    assert_eq!(history.reading_origins()[0].entry, id(1));
    assert_eq!(history.readings()[0].by, "ada");
    let event = &history.events()[0];
    assert_eq!(
        (event.at, event.kind, event.part.as_deref()),
        (time(3), EventKind::Changed, Some("sediment"))
    );
    assert_eq!(history.unreadable().count(), 0);
}

#[test]
fn regress_events_are_read_by_the_unit_as_built_then() {
    // The log is older than the description; the second membrane came later and went again.
    let described = |elements| {
        let document = unit_document("a", elements);
        Payload::Unit(UnitDescribed {
            unit: "a".to_owned(),
            site: None,
            installed: false,
            document,
        })
    };
    let state = state([
        entry(0, 0, &event_of("a", "sediment")),
        entry(1, 1, &installed("a", 1)),
        entry(2, 2, &event_of("a", "membrane-2")),
        entry(3, 3, &described(2)),
        entry(4, 4, &event_of("a", "membrane-2")),
        entry(5, 5, &described(1)),
    ]);
    let history = state.unit("a").unwrap();
    let times: Vec<_> = history.events().iter().map(|event| event.at).collect();
    assert_eq!(times, [time(0), time(4)]);
    let unused: Vec<_> = history.unreadable().collect();
    assert_eq!(unused.len(), 1);
    assert_eq!(unused[0].origin.entry, id(2));
    assert!(
        unused[0].faults[0].contains("event.part: read \"membrane-2\""),
        "{:?}",
        unused[0].faults
    );
    assert_eq!(history.unit_at(time(4)).unwrap().membranes.elements.len(), 2);
}

#[test]
fn regress_the_last_correction_stands() {
    let mut state = state([entry(1, 1, &reading_of("a", 1.0))]);
    state.insert(written(entry(2, 1, &corrects(1, Some(reading_of("a", 2.0)))), 5));
    state.insert(written(entry(3, 1, &corrects(1, Some(reading_of("a", 3.0)))), 4));
    assert_eq!(flows(&state, "a"), [2.0]);
    assert!(state.unit("a").unwrap().reading_origins()[0].corrected);
    assert_eq!(
        state
            .corrections_of(id(1))
            .iter()
            .map(|entry| entry.id)
            .collect::<Vec<_>>(),
        [id(3), id(2)]
    );
}

#[test]
fn regress_a_correction_of_a_correction_stands_whatever_the_clocks_say() {
    let mut state = state([entry(1, 1, &reading_of("a", 1.0))]);
    // A clock that is a year ahead, then one that is right.
    state.insert(written(
        entry(2, 1, &corrects(1, Some(reading_of("a", 2.0)))),
        9_000,
    ));
    state.insert(written(entry(3, 1, &corrects(2, Some(reading_of("a", 3.0)))), 5));
    assert_eq!(flows(&state, "a"), [3.0]);
}

#[test]
fn regress_what_was_taken_back_can_be_put_back() {
    let mut state = state([
        entry(1, 1, &reading_of("a", 1.0)),
        entry(4, 2, &reading_of("a", 4.0)),
    ]);
    state.insert(written(entry(2, 1, &corrects(1, None)), 3));
    assert_eq!(flows(&state, "a"), [4.0]);
    assert_eq!(state.payload(id(1)), Ok(None));
    assert!(state.entry(id(1)).is_some(), "the entry itself stays");
    state.insert(written(entry(3, 1, &corrects(2, Some(reading_of("a", 1.0)))), 4));
    assert_eq!(flows(&state, "a"), [1.0, 4.0]);
}

#[test]
fn regress_a_reading_can_be_moved_in_time_and_to_another_unit() {
    let mut state = state([
        entry(1, 1, &reading_of("a", 1.0)),
        entry(2, 2, &reading_of("a", 2.0)),
    ]);
    let moved = Replacement {
        happened_at: Some(time(9)),
        payload: reading_of("a", 1.0).encode(),
    };
    let correction = Correction {
        corrects: id(1),
        replacement: Some(moved),
        reason: String::new(),
    };
    state.insert(entry(3, 3, &Payload::Correction(correction)));
    assert_eq!(flows(&state, "a"), [2.0, 1.0]);
    state.insert(entry(4, 4, &corrects(2, Some(reading_of("b", 2.0)))));
    assert_eq!((flows(&state, "a"), flows(&state, "b")), (vec![1.0], vec![2.0]));
}

#[test]
fn regress_a_correction_waits_for_what_it_corrects() {
    let mut state = state([entry(2, 1, &corrects(1, None))]);
    assert_eq!(state.waiting_corrections().count(), 1);
    state.insert(entry(1, 1, &reading_of("a", 1.0)));
    assert_eq!(state.waiting_corrections().count(), 0);
    assert!(state.unit("a").is_none(), "its only entry was taken back");
}

#[test]
fn regress_corrections_in_a_ring_change_nothing() {
    let state = state([entry(1, 1, &corrects(2, None)), entry(2, 1, &corrects(1, None))]);
    assert_eq!(state.waiting_corrections().count(), 2);
    assert!(state.effective(id(1)).is_none());
}

#[test]
fn regress_of_two_entries_with_one_id_the_first_written_stands() {
    let (first, second) = (
        entry(1, 1, &reading_of("a", 1.0)),
        written(entry(1, 1, &reading_of("a", 1.0)), 8),
    );
    let mut state = State::new();
    assert_eq!(state.insert(second.clone()), Inserted::New);
    assert_eq!(state.insert(first.clone()), Inserted::Replaced);
    assert_eq!(state.insert(first.clone()), Inserted::Known);
    assert_eq!(state.insert(second), Inserted::Superseded);
    assert_eq!(state.entries().collect::<Vec<_>>(), [&first]);
    assert_eq!(flows(&state, "a"), [1.0]);
}

#[test]
fn regress_the_water_is_the_units_own_or_its_sites() {
    let water = |of, us_cm: u32| {
        let document = [("conductivity".to_owned(), json!(us_cm))].into_iter().collect();
        Payload::Water(WaterAnalysed { of, document })
    };
    let to = |site: &str| {
        Payload::UnitMoved(UnitMoved {
            unit: "a".to_owned(),
            site: Some(site.to_owned()),
            note: String::new(),
        })
    };
    let mut state = state([
        entry(0, 0, &installed("a", 1)),
        entry(1, 1, &water(Subject::unit("a"), 100)),
        entry(2, 2, &water(Subject::site("s"), 200)),
        entry(3, 3, &water(Subject::site("t"), 300)),
        entry(4, 4, &to("s")),
    ]);
    let at = |state: &State, hours| {
        state
            .water_at("a", time(hours))
            .and_then(|water| water.conductivity_us_cm)
    };
    assert_eq!(
        (at(&state, 0), at(&state, 1), at(&state, 9)),
        (Some(100.0), Some(100.0), Some(200.0))
    );
    state.insert(entry(5, 5, &to("t")));
    assert_eq!(at(&state, 9), Some(300.0));
    assert_eq!(at(&State::new(), 9), None);
}

#[test]
fn regress_what_cannot_be_used_is_kept_with_its_faults() {
    let mut document = unit_document("a", 1);
    document.insert("id".to_owned(), json!("other"));
    let misnamed = UnitDescribed {
        unit: "a".to_owned(),
        site: None,
        installed: true,
        document,
    };
    let state = state([
        entry(0, 0, &Payload::Unit(misnamed)),
        entry(1, 1, &installed("a", 0)),
        entry(2, 2, &event_of("a", "sediment")),
        entry(
            3,
            3,
            &Payload::Note(NoteWritten {
                of: Subject::unit("a"),
                text: "n".to_owned(),
            }),
        ),
    ]);
    let history = state.unit("a").unwrap();
    assert_eq!(history.unit(), None);
    let faults: Vec<_> = history
        .unreadable()
        .flat_map(|unreadable| unreadable.faults)
        .collect();
    assert_eq!(faults.len(), 3, "{faults:?}");
    assert_eq!(faults[0], "unit.id: read \"other\"; accepted: \"a\"");
    assert!(faults[1].contains("one to eight elements"), "{faults:?}");
    assert_eq!(history.papers.notes[0].what, "n");
}

#[test]
fn regress_the_same_id_given_twice_is_seen() {
    let state = state([entry(1, 1, &installed("a", 1)), entry(2, 2, &installed("a", 2))]);
    assert_eq!(state.unit("a").unwrap().installations().count(), 2);
}

#[test]
fn regress_settings_of_two_devices_both_stay() {
    let chosen = |name: &str, value| {
        let set = [(name.to_owned(), value)].into_iter().collect();
        Payload::Settings(SettingsChosen {
            person: "ada".to_owned(),
            set,
        })
    };
    let state = state([
        entry(1, 1, &chosen("units", json!("us"))),
        entry(2, 2, &chosen("language", json!("de"))),
        entry(3, 3, &chosen("units", json!("metric"))),
    ]);
    let settings = &state.person("ada").unwrap().settings;
    assert_eq!(
        (&settings["units"].what, &settings["language"].what),
        (&json!("metric"), &json!("de"))
    );
}

#[test]
fn regress_a_retired_unit_comes_back_when_installed_again() {
    let retired = Payload::UnitRetired(UnitRetired {
        unit: "a".to_owned(),
        note: String::new(),
    });
    let mut state = state([entry(1, 1, &installed("a", 1)), entry(2, 2, &retired)]);
    assert_eq!(
        state.unit("a").unwrap().retired.as_ref().map(|kept| kept.at),
        Some(time(2))
    );
    state.insert(entry(3, 3, &installed("a", 2)));
    assert!(state.unit("a").unwrap().retired.is_none());
}

#[test]
fn regress_the_marks_of_a_work_add_up_on_either_device_and_change_no_evaluation() {
    let marked = |work: Option<u8>, mark: WorkMark| {
        Payload::Work(WorkMarked {
            unit: "a".to_owned(),
            work: work.map(id),
            mark,
        })
    };
    let done = |step: u32, note: &str| WorkMark::Done {
        step,
        note: note.to_owned(),
    };
    let begun = WorkMark::Begun {
        items: vec![json!("sediment")],
        card: "c".to_owned(),
    };
    let before = [entry(1, 1, &installed("a", 1)), entry(2, 2, &marked(None, begun))];
    // In the cellar, without a signal.
    let cellar = [
        entry(3, 3, &marked(Some(2), done(1, ""))),
        entry(4, 4, &marked(Some(2), WorkMark::Waiting { step: 2 })),
        entry(6, 6, &marked(Some(2), done(2, "slimy"))),
    ];
    // At the desk, which knew nothing of that.
    let desk = [
        entry(5, 5, &marked(Some(2), done(1, ""))),
        entry(7, 7, &marked(Some(2), WorkMark::Undone { step: 2 })),
    ];
    let mut one = state(before.clone());
    let evaluated = one.unit("a").unwrap().fingerprint();
    one.extend(cellar.clone());
    let work = &one.unit("a").unwrap().works()[0];
    assert_eq!((work.id, work.begun_at, work.done), (id(2), time(2), 2));
    assert_eq!(work.waits[&2], time(4));
    assert_eq!(work.notes[&2], "slimy");
    assert_eq!((work.items.len(), work.card.as_str(), work.ended), (1, "c", None));
    one.extend(desk.clone());
    let mut other = state(before);
    other.extend(desk);
    other.extend(cellar);
    assert_eq!(one, other);
    let unit = one.unit("a").unwrap();
    // Step 2 is to be done again, and its time has to be waited for anew; what was seen stays.
    let work = &unit.works()[0];
    assert_eq!((work.done, work.waits.len(), work.notes.len()), (1, 0, 1));
    assert_eq!(unit.fingerprint(), evaluated);
    assert_eq!(unit.works_under_way(), unit.works());
    // Finished stays finished, whoever gives it up later, and given up is overtaken by finished.
    one.insert(entry(8, 8, &marked(Some(2), WorkMark::Ended { finished: false })));
    assert_eq!(one.unit("a").unwrap().works()[0].ended, Some((time(8), false)));
    one.insert(entry(9, 9, &marked(Some(2), WorkMark::Ended { finished: true })));
    one.insert(entry(
        10,
        10,
        &marked(Some(2), WorkMark::Ended { finished: false }),
    ));
    assert_eq!(one.unit("a").unwrap().works()[0].ended, Some((time(9), true)));
    assert!(one.unit("a").unwrap().works_under_way().is_empty());
    // A mark of a beginning that has not arrived yet shows nothing, and is not lost.
    let mut late = state([
        entry(1, 1, &installed("a", 1)),
        entry(3, 3, &marked(Some(2), done(1, ""))),
    ]);
    assert!(late.unit("a").unwrap().works().is_empty());
    late.insert(entry(
        2,
        2,
        &marked(
            None,
            WorkMark::Begun {
                items: Vec::new(),
                card: String::new(),
            },
        ),
    ));
    assert_eq!(late.unit("a").unwrap().works()[0].done, 1);
}

proptest! {
    /// A slow and plain statement of what stands, to hold the fold against.
    #[test]
    fn prop_readings_are_those_of_the_plain_rule(entries in history()) {
        let state = state(entries);
        let all: Vec<&Entry> = state.entries().collect();
        let target = |entry: &Entry| match entry.payload.decode() {
            Ok(Payload::Correction(correction)) => Some(correction.corrects),
            _ => None,
        };
        let leads_to = |entry: &Entry, root: EventId| {
            let mut named = target(entry);
            for _ in 0..all.len() {
                match named {
                    Some(next) if next == root => return true,
                    Some(next) => named = state.entry(next).and_then(target),
                    None => return false,
                }
            }
            false
        };
        let mut expected = Vec::new();
        for root in all.iter().filter(|entry| target(entry).is_none()) {
            let ends = all.iter().filter(|end| leads_to(end, root.id) && !all.iter().any(|c| target(c) == Some(end.id)));
            let (mut at, mut payload) = (root.happened_at, root.payload.decode().ok());
            if let Some(end) = ends.max_by_key(|end| (end.written_at, end.id)) {
                let Ok(Payload::Correction(correction)) = end.payload.decode() else { unreachable!() };
                at = correction.replacement.as_ref().and_then(|r| r.happened_at).unwrap_or(at);
                payload = correction.replacement.and_then(|r| r.payload.decode().ok());
            }
            if let Some(Payload::Reading(taken)) = payload {
                expected.push((taken.unit, at, root.id, taken.reading.get(Field::PermeateFlow)));
            }
        }
        expected.sort_by(|a, b| (&a.0, a.1, a.2).cmp(&(&b.0, b.1, b.2)));
        let mut found = Vec::new();
        for unit in state.unit_ids() {
            let history = state.unit(unit).unwrap();
            for (reading, origin) in history.readings().iter().zip(history.reading_origins()) {
                found.push((unit.to_owned(), reading.at, origin.entry, reading.get(Field::PermeateFlow)));
            }
        }
        prop_assert_eq!(found, expected);
    }
}
