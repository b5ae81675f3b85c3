//! What every store promises: one test for each method, run for each store.

use jiff::Timestamp;
use ledger::{Entry, EventId, State, Subject};
use store::{
    Appended, Cursor, MemoryStore, Options, Remembered, SqliteStore, Store, append_alongside, catch_up, copy,
    load,
};
use tempfile::TempDir;

use crate::imports;

/// A store to test, and a folder that lives as long.
trait Fixture {
    fn store(folder: &TempDir, identity: EventId) -> impl Store + use<Self>;
}

struct Sqlite;
struct Memory;

impl Fixture for Sqlite {
    fn store(folder: &TempDir, identity: EventId) -> impl Store + use<> {
        SqliteStore::create(&folder.path().join("ledger.db"), identity, Options::default()).unwrap()
    }
}

impl Fixture for Memory {
    fn store(_: &TempDir, identity: EventId) -> impl Store + use<> {
        MemoryStore::new(identity)
    }
}

fn fresh<F: Fixture>() -> (TempDir, impl Store + use<F>) {
    let folder = TempDir::new().unwrap();
    let store = F::store(&folder, imports::id(0, 0));
    (folder, store)
}

fn import(n: u64) -> Vec<Entry> {
    imports::entries(n).collect()
}

fn append(store: &mut dyn Store, entries: &[Entry]) -> Appended {
    store.append(&mut entries.iter().cloned()).unwrap()
}

fn all(store: &dyn Store, after: Cursor, limit: usize) -> (Vec<Entry>, Cursor) {
    let mut entries = Vec::new();
    let cursor = store
        .read(after, limit, &mut |entry| entries.push(entry))
        .unwrap();
    (entries, cursor)
}

/// The same entry, written later by someone else.
fn later(entry: &Entry) -> Entry {
    let written_at = Timestamp::from_second(entry.written_at.as_second() + 60).unwrap();
    Entry {
        written_at,
        by: "ben".into(),
        ..entry.clone()
    }
}

fn identity<F: Fixture>() {
    let (_folder, store) = fresh::<F>();
    assert_eq!(store.identity().unwrap(), imports::id(0, 0));
}

fn appends_once<F: Fixture>() {
    let (_folder, mut store) = fresh::<F>();
    let (one, two) = (import(1), import(2));
    let counts = |new, known, replaced| Appended { new, known, replaced };
    let (n, m) = (one.len() as u64, two.len() as u64);
    assert_eq!(append(&mut store, &one), counts(n, 0, 0));
    assert_eq!(append(&mut store, &one), counts(0, n, 0));
    let both: Vec<Entry> = one.iter().chain(&two).chain(&two).cloned().collect();
    assert_eq!(append(&mut store, &both), counts(m, n + m, 0));
    assert_eq!(append(&mut store, &[]), counts(0, 0, 0));
    assert_eq!(store.count().unwrap(), n + m);
}

fn reads_in_order_of_arrival<F: Fixture>() {
    let (_folder, mut store) = fresh::<F>();
    let (late, early) = (import(9), import(3));
    append(&mut store, &late);
    append(&mut store, &early);
    let expected: Vec<Entry> = late.iter().chain(&early).cloned().collect();
    let (entries, end) = all(&store, Cursor::default(), usize::MAX);
    assert_eq!(entries, expected);
    assert_eq!(all(&store, end, usize::MAX), (vec![], end));
    // In pages, without a gap.
    let (mut paged, mut cursor) = (Vec::new(), Cursor::default());
    loop {
        let (page, next) = all(&store, cursor, 7);
        assert!(page.len() <= 7);
        if next == cursor {
            break;
        }
        paged.extend(page);
        cursor = next;
    }
    assert_eq!((paged, cursor), (expected, end));
    assert_eq!(all(&store, Cursor(u64::MAX), 7).0, []);
}

fn the_first_written_stands<F: Fixture>() {
    let (_folder, mut store) = fresh::<F>();
    let first = import(4).remove(0);
    let other = import(5).remove(0);
    let counts = |new, known, replaced| Appended { new, known, replaced };
    append(&mut store, &[later(&first), other.clone()]);
    let (_, cursor) = all(&store, Cursor::default(), usize::MAX);
    assert_eq!(append(&mut store, std::slice::from_ref(&first)), counts(0, 0, 1));
    assert_eq!(append(&mut store, &[later(&first)]), counts(0, 1, 0));
    assert_eq!(store.entry(first.id).unwrap(), Some(first.clone()));
    // Who has read the log hears of it.
    assert_eq!(all(&store, cursor, usize::MAX).0, std::slice::from_ref(&first));
    assert_eq!(all(&store, Cursor::default(), usize::MAX).0, [other, first]);
    assert_eq!(store.count().unwrap(), 2);
}

fn appends_what_is_made_alongside<F: Fixture>() {
    let (_folder, mut store) = fresh::<F>();
    let appended = append_alongside(&mut store, &mut (0..200).flat_map(imports::entries)).unwrap();
    assert_eq!(appended.new, (0..200).map(imports::size).sum::<u64>());
    let expected: Vec<Entry> = (0..200).flat_map(imports::entries).collect();
    assert_eq!(all(&store, Cursor::default(), usize::MAX).0, expected);
}

fn finds_an_entry<F: Fixture>() {
    let (_folder, mut store) = fresh::<F>();
    append(&mut store, &import(1));
    let entry = import(1).remove(0);
    assert_eq!(store.entry(entry.id).unwrap(), Some(entry));
    assert_eq!(store.entry(imports::id(2, 0)).unwrap(), None);
}

fn finds_what_is_about_a_subject<F: Fixture>() {
    let (_folder, mut store) = fresh::<F>();
    for n in [8, 2, 1] {
        append(&mut store, &import(n));
    }
    let expected: Vec<Entry> = import(8).into_iter().chain(import(1)).collect();
    assert_eq!(store.about(&Subject::unit("unit-1")).unwrap(), expected);
    assert_eq!(store.about(&Subject::site("unit-1")).unwrap(), []);
}

fn keeps_what_is_not_understood<F: Fixture>() {
    let (_folder, mut store) = fresh::<F>();
    let line = r#"{"id":"017f22e2-79b0-7cc3-98c4-dc0c0c07398f","happened_at":"1969-12-31T23:59:59.999999Z","written_at":"2025-01-01T00:00:00Z","by":"","device":"é","payload":{"v":9,"kind":"weather","text":"\u0000 ü"}}"#;
    let entry = Entry::from_json(line).unwrap();
    append(&mut store, std::slice::from_ref(&entry));
    assert_eq!(all(&store, Cursor::default(), 9).0, std::slice::from_ref(&entry));
    assert_eq!(
        store
            .entry(entry.id)
            .unwrap()
            .map(|entry| entry.to_json())
            .as_deref(),
        Some(line)
    );
}

fn keeps_contents<F: Fixture>() {
    let (_folder, mut store) = fresh::<F>();
    let photo: Vec<u8> = (0..=255).cycle().take(300_000).collect();
    let hash = store.attach(&photo).unwrap();
    assert_eq!(store.attach(&photo).unwrap(), hash);
    let empty = store.attach(&[]).unwrap();
    assert_eq!(store.attachment(hash).unwrap(), Some(photo));
    assert_eq!(store.attachment(ledger::ContentHash::of(b"other")).unwrap(), None);
    let mut expected = vec![hash, empty];
    expected.sort();
    assert_eq!(store.attachments().unwrap(), expected);
}

fn remembers<F: Fixture>() {
    let (_folder, mut store) = fresh::<F>();
    assert_eq!(store.remembered("due").unwrap(), None);
    for n in [1_u8, 2] {
        let what = Remembered {
            cursor: Cursor(n.into()),
            bytes: vec![n; 9],
        };
        store.remember("due", &what).unwrap();
        assert_eq!(store.remembered("due").unwrap(), Some(what));
    }
}

fn loads_and_catches_up<F: Fixture>() {
    let (_folder, mut store) = fresh::<F>();
    append(&mut store, &import(1));
    let (mut state, cursor) = load(&store).unwrap();
    append(&mut store, &import(2));
    let end = catch_up(&store, &mut state, cursor).unwrap();
    assert_eq!(catch_up(&store, &mut state, end).unwrap(), end);
    let mut expected = State::new();
    expected.extend(import(1).into_iter().chain(import(2)));
    assert_eq!(state, expected);
}

fn backs_up_and_copies<F: Fixture>() {
    let (folder, mut store) = fresh::<F>();
    append(&mut store, &import(1));
    let hash = store.attach(b"paper").unwrap();
    let to = folder.path().join("backup.db");
    let mut shares = Vec::new();
    store.back_up(&to, &mut |share| shares.push(share)).unwrap();
    assert_eq!(shares.last(), Some(&1.0));
    let again = store.back_up(&to, &mut |_| {});
    assert!(matches!(again, Err(store::Error::Exists { .. })), "{again:?}");
    let backup = SqliteStore::open(&to, Options::default()).unwrap();
    assert_eq!(backup.identity().unwrap(), store.identity().unwrap());
    assert_eq!(load(&backup).unwrap().0, load(&store).unwrap().0);
    assert_eq!(
        backup.attachment(hash).unwrap().as_deref(),
        Some(b"paper".as_slice())
    );
    let mut other = MemoryStore::new(imports::id(1, 1));
    copy(&store, &mut other, &mut |_| {}).unwrap();
    assert_eq!(load(&other).unwrap().0, load(&store).unwrap().0);
    assert_eq!(other.attachments().unwrap(), [hash]);
}

fn checks<F: Fixture>() {
    let (_folder, mut store) = fresh::<F>();
    append(&mut store, &import(1));
    store.attach(b"paper").unwrap();
    assert_eq!(store.check().unwrap(), [""; 0]);
}

macro_rules! for_each_store {
    ($($test:ident),* $(,)?) => {
        mod sqlite { $(#[test] fn $test() { super::$test::<super::Sqlite>(); })* }
        mod memory { $(#[test] fn $test() { super::$test::<super::Memory>(); })* }
    };
}

for_each_store! {
    identity, appends_once,
    appends_what_is_made_alongside,
    reads_in_order_of_arrival, the_first_written_stands, finds_an_entry,
    finds_what_is_about_a_subject, keeps_what_is_not_understood, keeps_contents, remembers,
    loads_and_catches_up, backs_up_and_copies, checks,
}
