//! The demonstration is a sound ledger, and has in it what it is meant to show.

use std::collections::{BTreeMap, BTreeSet};

use demo::{SEED, UNITS, entries};
use jiff::Timestamp;
use ledger::{Entry, Kind, State};
use wear::explain::explain;
use wear::forecast::{PartForecast, forecast};
use wear::verdict::verdict;
use wear::{History, Standardisation, standardise};

fn now() -> Timestamp {
    "2026-10-20T12:00:00Z".parse().unwrap()
}

fn state(entries: Vec<Entry>) -> State {
    let mut state = State::new();
    for entry in entries {
        state.insert(entry);
    }
    state
}

struct Seen {
    id: String,
    standardisation: Standardisation,
    parts: Vec<PartForecast>,
    sentence: String,
}

fn seen(state: &State) -> Vec<Seen> {
    let mut all = Vec::new();
    for id in state.unit_ids() {
        let unit = state.unit(id).unwrap();
        let water = state.water_at(id, now());
        let history = History {
            unit: unit.unit().unwrap(),
            water,
            readings: unit.readings(),
            events: unit.events(),
        };
        let standardisation = standardise(&history);
        let parts = forecast(&history, &standardisation, now());
        let explanation = standardisation.last_sound().and_then(|(last, one)| {
            let baseline = standardisation.baseline_reading(one.life)?;
            explain(&history, &standardisation, baseline, last).ok()
        });
        let sentence = verdict(&history, &standardisation, explanation.as_ref(), &parts, now()).sentence;
        all.push(Seen {
            id: id.to_string(),
            standardisation,
            parts,
            sentence,
        });
    }
    all
}

#[test]
fn regress_the_same_seed_gives_the_same_entries() {
    let first = entries(SEED, now()).unwrap();
    assert_eq!(
        first,
        entries(SEED, "2026-10-20T23:59:00Z".parse().unwrap()).unwrap()
    );
    assert_ne!(first, entries(SEED + 1, now()).unwrap());
    // Enough to be looked through, and no more than a phone takes in at once.
    assert!((1000..4000).contains(&first.len()), "{}", first.len());
}

#[test]
fn regress_every_entry_is_understood_and_of_the_past() {
    let entries = entries(SEED, now()).unwrap();
    let ids: BTreeSet<_> = entries.iter().map(|entry| entry.id).collect();
    assert_eq!(ids.len(), entries.len());
    for entry in &entries {
        assert!(entry.happened_at < now() && entry.written_at < now(), "{entry:?}");
        assert!(entry.happened_at <= entry.written_at, "{entry:?}");
        assert_eq!(Entry::from_json(&entry.to_json()).as_ref(), Ok(entry));
    }
    let state = state(entries);
    assert_eq!(state.unit_ids().count(), UNITS);
    assert_eq!(UNITS, 14);
    for id in state.unit_ids() {
        let unit = state.unit(id).unwrap();
        let unreadable: Vec<_> = unit.unreadable().collect();
        assert!(unreadable.is_empty(), "{id}: {unreadable:?}");
        assert!(
            unit.site
                .as_deref()
                .is_some_and(|site| state.site(site).is_some()),
            "{id}"
        );
        assert!(!state.waters(id).is_empty(), "{id}");
        // Two to four years.
        let span = now()
            .duration_since(unit.readings().first().unwrap().at)
            .as_hours()
            / 24;
        assert!((690..4 * 366).contains(&span), "{id}: {span} days");
    }
}

#[test]
fn regress_it_has_in_it_what_a_ledger_has() {
    let entries = entries(SEED, now()).unwrap();
    let mut kinds: BTreeMap<Kind, usize> = BTreeMap::new();
    for entry in &entries {
        *kinds.entry(entry.payload.kind()).or_default() += 1;
    }
    for kind in [
        Kind::Customer,
        Kind::Site,
        Kind::Unit,
        Kind::UnitMoved,
        Kind::Water,
        Kind::Reading,
        Kind::Event,
        Kind::Correction,
        Kind::Import,
        Kind::SetAside,
        Kind::Note,
        Kind::Settings,
        Kind::Visit,
    ] {
        assert!(kinds.contains_key(&kind), "{kind:?}");
    }
    let people: BTreeSet<&str> = entries.iter().map(|entry| &*entry.by).collect();
    let devices: BTreeSet<&str> = entries.iter().map(|entry| &*entry.device).collect();
    assert_eq!((people.len(), devices.len()), (2, 3));
}

/// The verdicts that the first page is to show: what is simulated is found again.
#[test]
fn regress_some_units_are_well_some_due_some_overdue() {
    let state = state(entries(SEED, now()).unwrap());
    let all = seen(&state);
    let of = |id: &str| all.iter().find(|one| one.id == id).unwrap();
    let due = |id: &str, part: &str| {
        let found = of(id).parts.iter().find(|one| one.id == part);
        found.and_then(|one| one.due_in_d).unwrap().p50
    };
    let soonest = |one: &Seen| {
        let due = one.parts.iter().filter_map(|part| part.due_in_d);
        due.map(|due| due.p50).fold(f64::INFINITY, f64::min)
    };
    let count = |from: f64, to: f64| {
        all.iter()
            .filter(|one| (from..to).contains(&soonest(one)))
            .count()
    };
    let (overdue, weeks, later) = (count(0.0, 1.0), count(1.0, 60.0), count(60.0, f64::INFINITY));
    assert!(
        overdue >= 3 && weeks >= 4 && overdue + weeks + later == 14,
        "{overdue} {weeks} {later}"
    );
    // Scale, spent carbon with oxidised membranes, fouling; and sound ones.
    assert!(
        due("orchid-house", "membrane-2") < 1.0,
        "{}",
        of("orchid-house").sentence
    );
    assert!(due("weir-counter", "carbon") < 1.0 && due("weir-counter", "membrane-1") < 1.0);
    assert!(due("milk-parlour", "membrane-1") < 1.0);
    assert!(due("assay-room", "membrane-1") > 365.0 && due("bench-one", "membrane-1") > 365.0);
    let doubts = all
        .iter()
        .flat_map(|one| &one.standardisation.readings)
        .map(|one| one.doubts.len());
    assert!(doubts.sum::<usize>() >= 3);
}
