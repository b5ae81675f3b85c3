//! The laws of the fold, over random histories: order, repetition and grouping do not matter, and the state
//! kept up to date entry by entry is the state folded from nothing.

use crate::common::{self, entry, history};
use ledger::sync::{Summary, settle, to_send};
use ledger::{Entry, EventId, State};
use proptest::prelude::*;
use proptest::test_runner::Config;
use std::collections::BTreeMap;

fn state(entries: &[Entry]) -> State {
    let mut state = State::new();
    state.extend(entries.iter().cloned());
    state
}

fn merged(a: &State, b: &State) -> State {
    let mut merged = a.clone();
    merged.extend(b.entries().cloned());
    merged
}

fn digests(state: &State) -> BTreeMap<EventId, ledger::ContentHash> {
    state.entries().map(|entry| (entry.id, entry.digest())).collect()
}

proptest! {
    #![proptest_config(Config { cases: 256, ..Config::default() })]

    #[test]
    fn prop_the_order_of_arrival_does_not_matter(
        (first, second) in history().prop_flat_map(|entries| (Just(entries.clone()), Just(entries).prop_shuffle())),
    ) {
        prop_assert_eq!(state(&first), state(&second));
    }

    #[test]
    fn prop_kept_up_to_date_is_folded_from_nothing(
        (entries, asked) in history().prop_flat_map(|entries| {
            let n = entries.len();
            (Just(entries), proptest::collection::vec(any::<bool>(), n))
        }),
    ) {
        let mut kept = State::new();
        for (entry, ask) in entries.iter().zip(&asked) {
            kept.insert(entry.clone());
            // Histories that were asked for are carried on; the others are folded when they are.
            if *ask {
                kept.fold();
            }
        }
        let from_nothing = state(&kept.entries().cloned().collect::<Vec<_>>());
        prop_assert_eq!(kept, from_nothing);
    }

    #[test]
    fn prop_merging_is_commutative(a in history(), b in history()) {
        let (a, b) = (state(&a), state(&b));
        prop_assert_eq!(merged(&a, &b), merged(&b, &a));
    }

    #[test]
    fn prop_merging_is_associative(a in history(), b in history(), c in history()) {
        let (a, b, c) = (state(&a), state(&b), state(&c));
        prop_assert_eq!(merged(&merged(&a, &b), &c), merged(&a, &merged(&b, &c)));
    }

    #[test]
    fn prop_merging_is_idempotent(a in history(), b in history()) {
        let (a, b) = (state(&a), state(&b));
        let once = merged(&a, &b);
        prop_assert_eq!(&merged(&a, &a), &a);
        prop_assert_eq!(&merged(&once, &b), &once);
    }

    #[test]
    fn prop_every_entry_stays_readable(entries in history()) {
        let state = state(&entries);
        for entry in &entries {
            let kept = state.entry(entry.id);
            prop_assert!(kept.is_some_and(|kept| kept.precedence(entry).is_le()));
        }
    }

    #[test]
    fn prop_an_entry_survives_its_line(entry in entry()) {
        prop_assert_eq!(Entry::from_json(&entry.to_json()), Ok(entry));
    }

    #[test]
    fn prop_two_ledgers_agree_after_one_exchange(a in history(), b in history()) {
        let (mut a, mut b) = (state(&a), state(&b));
        let differing = Summary::of(a.entries()).differing(&Summary::of(b.entries()));
        let within = |state: &State| -> BTreeMap<_, _> {
            let all = digests(state).into_iter();
            all.filter(|(id, _)| differing.contains(&ledger::sync::stretch(*id))).collect()
        };
        let (of_a, of_b) = (within(&a), within(&b));
        let pick = |state: &State, ids: Vec<EventId>| -> Vec<Entry> {
            ids.into_iter().filter_map(|id| state.entry(id).cloned()).collect()
        };
        let (to_b, to_a) = (pick(&a, to_send(&of_a, &of_b)), pick(&b, to_send(&of_b, &of_a)));
        a.extend(to_a);
        b.extend(to_b);
        prop_assert_eq!(Summary::of(a.entries()), Summary::of(b.entries()));
        prop_assert_eq!(a, b);
    }

    #[test]
    fn prop_no_entry_of_an_outbox_is_lost(
        hub in history(),
        outbox in history(),
        lost in proptest::collection::vec(any::<bool>(), 0..6),
    ) {
        // A hub whose log is a list; a device that offers its outbox until an answer arrives.
        let mut log: Vec<Entry> = state(&hub).entries().cloned().collect();
        let device = state(&outbox);
        let mut waiting: Vec<EventId> = device.entries().map(|entry| entry.id).collect();
        let mut device = device;
        let (hub_id, mut known_log, mut cursor) = (common::id(99), None, 0);
        for reply_lost in lost.into_iter().chain([false]) {
            let entries = waiting.iter().filter_map(|id| device.entry(*id).cloned()).collect();
            let offer = ledger::sync::Offer { log: known_log, cursor, entries };
            let mut kept = state(&log);
            for entry in &offer.entries {
                let before = kept.entry(entry.id).cloned();
                kept.insert(entry.clone());
                let after = kept.entry(entry.id).cloned();
                if before != after {
                    log.retain(|kept| kept.id != entry.id);
                    log.extend(after);
                }
            }
            let answer = ledger::sync::answer(hub_id, &offer, log.clone(), log.len() as u64);
            if reply_lost {
                continue;
            }
            let settled = settle(&waiting, known_log, cursor, answer);
            device.extend(settled.add);
            waiting.retain(|id| !settled.forget.contains(id));
            (known_log, cursor) = (settled.log, settled.cursor);
        }
        prop_assert!(waiting.is_empty());
        prop_assert_eq!(device, state(&log));
    }

    #[test]
    fn prop_no_line_makes_it_panic(entry in entry(), at in any::<prop::sample::Index>(), end in any::<prop::sample::Index>(), put in ".{0,12}") {
        let mut line = entry.to_json();
        let (a, b) = (at.index(line.len()), end.index(line.len()));
        if line.is_char_boundary(a.min(b)) && line.is_char_boundary(a.max(b)) {
            line.replace_range(a.min(b)..a.max(b), &put);
        }
        if let Ok(read) = Entry::from_json(&line) {
            // What is read is kept, and says what it said when it is written again.
            prop_assert_eq!(Entry::from_json(&read.to_json()), Ok(read.clone()));
            let mut state = State::new();
            state.insert(read);
            state.fold();
        }
    }
}
