//! Files that are no ledger, or no longer one; backups put in a ledger's place.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use ledger::{Entry, EventId};
use rusqlite::Connection;
use store::{Error, Options, Restored, SqliteStore, Store, load, load_outline};
use tempfile::TempDir;

use crate::imports;

/// Bytes of a page of a ledger.
const PAGE: usize = 16 * 1024;

fn ledger(path: &Path, import: u64) -> SqliteStore {
    let mut store = SqliteStore::create(path, imports::id(0, 0), Options::default()).unwrap();
    store.append(&mut imports::entries(import)).unwrap();
    store
}

fn open(path: &Path) -> Result<SqliteStore, Error> {
    SqliteStore::open(path, Options::default())
}

fn restore(backup: &Path, into: &Path, identity: EventId) -> Result<Restored, Error> {
    let options = Options {
        patience: Duration::from_millis(20),
        ..Options::default()
    };
    store::restore(backup, into, identity, options)
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<_> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// Opening is refused, and neither the file nor the folder has changed.
fn refused(path: &Path) -> Error {
    let (before, beside) = (fs::read(path).ok(), names(path.parent().unwrap()));
    let error = open(path).expect_err("it is no ledger that can be opened");
    assert_eq!(fs::read(path).ok(), before, "the file was changed");
    assert_eq!(
        names(path.parent().unwrap()),
        beside,
        "something was left beside it"
    );
    error
}

#[test]
fn regress_a_missing_file_is_not_made() {
    let folder = TempDir::new().unwrap();
    assert!(matches!(
        refused(&folder.path().join("none.db")),
        Error::Missing { .. }
    ));
    let nowhere = folder.path().join("no folder/ledger.db");
    let made = SqliteStore::create(&nowhere, imports::id(0, 0), Options::default());
    assert!(matches!(made, Err(Error::Missing { .. })), "{made:?}");
}

#[test]
fn regress_what_is_no_ledger_is_named_and_left_alone() {
    let folder = TempDir::new().unwrap();
    let path = |name: &str| folder.path().join(name);
    fs::write(path("empty.db"), "").unwrap();
    fs::write(path("short.db"), "SQLite format 3\0").unwrap();
    fs::write(path("log.csv"), "Date,Tap ppm\n".repeat(99)).unwrap();
    fs::create_dir(path("folder.db")).unwrap();
    let other = Connection::open(path("other.db")).unwrap();
    other.execute_batch("CREATE TABLE entry (x)").unwrap();
    drop(other);
    for (name, read) in [
        ("empty.db", "an empty file"),
        ("short.db", "a file that is too short to be one"),
        ("log.csv", "a file that is no SQLite database"),
        ("other.db", "an SQLite database of another program"),
    ] {
        let error = refused(&path(name));
        let message = format!(
            "{}: read {read}; accepted: a Saltmark ledger",
            path(name).display()
        );
        assert_eq!(error.to_string(), message);
    }
    assert!(matches!(open(&path("folder.db")), Err(Error::NotALedger { read, .. }) if read == "a folder"));
}

#[test]
fn regress_a_ledger_of_version_1_is_brought_up_to_date() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("ledger.db");
    drop(ledger(&path, 1));
    // What the second migration added is taken out again.
    let older = Connection::open(&path).unwrap();
    older
        .execute_batch("DROP INDEX entry_but_rows; PRAGMA user_version = 1")
        .unwrap();
    drop(older);
    let backup = folder.path().join("backup.db");
    let store = open(&path).unwrap();
    assert_eq!(store.check().unwrap(), [""; 0]);
    let (outline, cursor) = load_outline(&store).unwrap();
    let (_, end) = load(&store).unwrap();
    assert_eq!(cursor, end);
    assert!(outline.unit_ids().count() > 0);
    store.back_up(&backup, &mut |_| {}).unwrap();
    assert_eq!(open(&backup).unwrap().count().unwrap(), store.count().unwrap());
}

#[test]
fn regress_a_newer_ledger_is_left_alone() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("ledger.db");
    drop(ledger(&path, 1));
    let newer = Connection::open(&path).unwrap();
    newer.pragma_update(None, "user_version", 99).unwrap();
    // While its writer lives, what it wrote stands beside the file.
    let error = open(&path).expect_err("it is newer");
    assert!(
        matches!(
            error,
            Error::Newer {
                found: 99,
                ours: 2,
                ..
            }
        ),
        "{error}"
    );
    drop(newer);
    let error = refused(&path);
    assert!(
        error
            .to_string()
            .ends_with("a ledger of version 99, written by a newer Saltmark; this one reads up to version 2")
    );
}

#[test]
fn regress_a_cut_off_file_is_told_and_left_alone() {
    let folder = TempDir::new().unwrap();
    let whole = folder.path().join("whole.db");
    drop(ledger(&whole, 19));
    let bytes = fs::read(&whole).unwrap();
    for length in [
        100,
        101,
        4095,
        4096,
        4097,
        8192,
        bytes.len() - 4096,
        bytes.len() - 1,
    ] {
        let path = folder.path().join("cut.db");
        fs::write(&path, &bytes[..length]).unwrap();
        let error = refused(&path);
        let right = matches!(error, Error::Truncated { found, .. } if found == length as u64);
        assert!(right, "{length} bytes: {error}");
    }
}

#[test]
fn regress_damage_is_found_and_never_panics() {
    let folder = TempDir::new().unwrap();
    let whole = folder.path().join("whole.db");
    let mut store = ledger(&whole, 19);
    store.attach(&[7; 10_000]).unwrap();
    drop(store);
    let bytes = fs::read(&whole).unwrap();
    let mut found = 0;
    for page in 1..bytes.len() / PAGE {
        let path = folder.path().join("damaged.db");
        let mut damaged = bytes.clone();
        // The middle of a page: where the cells are.
        damaged[page * PAGE + PAGE / 2..(page + 1) * PAGE].fill(0xa5);
        fs::write(&path, &damaged).unwrap();
        let told = match open(&path) {
            Ok(store) => !store.check().unwrap().is_empty() || load(&store).is_err(),
            Err(error) => matches!(error, Error::Damaged { .. }),
        };
        found += usize::from(told);
        fs::remove_file(&path).unwrap();
    }
    // Every page but the empty ones: a change there harms nothing.
    assert!(
        found >= 6,
        "{found} of {} damaged pages were found",
        bytes.len() / PAGE - 1
    );
}

#[test]
fn regress_an_entry_that_was_tampered_with_is_found() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("ledger.db");
    drop(ledger(&path, 1));
    let tamper = |sql: &str| {
        let connection = Connection::open(&path).unwrap();
        connection.execute_batch(sql)
    };
    for sql in [
        "DELETE FROM entry",
        "UPDATE entry SET payload = '{}'",
        "UPDATE entry SET happened_at = 0",
    ] {
        let error = tamper(sql).expect_err("the log only grows");
        assert!(error.to_string().starts_with("entries are never"), "{error}");
    }
    assert!(tamper("INSERT INTO entry SELECT 9, x'00', 0, 0, 1, 1, 'note', 1, '{}'").is_err());
    tamper("DROP TRIGGER entry_is_not_changed; UPDATE entry SET payload = '{\"v\":1}' WHERE arrival = 1")
        .unwrap();
    let problems = open(&path).unwrap().check().unwrap();
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert!(
        problems[0].starts_with("entry 1: payload: missing field `kind`"),
        "{problems:?}"
    );
}

#[test]
fn regress_a_new_ledger_never_takes_anothers_place() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("ledger.db");
    drop(ledger(&path, 1));
    let before = fs::read(&path).unwrap();
    let error = SqliteStore::create(&path, imports::id(1, 1), Options::default()).expect_err("it exists");
    assert!(matches!(error, Error::Exists { .. }));
    assert_eq!(fs::read(&path).unwrap(), before);
    let store = SqliteStore::open_or_create(&path, imports::id(1, 1), Options::default()).unwrap();
    assert_eq!(store.identity().unwrap(), imports::id(0, 0));
    drop(store);
    assert_eq!(names(folder.path()), ["ledger.db"]);
}

#[test]
fn regress_two_programs_write_to_one_ledger() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("ledger.db");
    drop(ledger(&path, 0));
    std::thread::scope(|scope| {
        for writer in 0..2 {
            let path = &path;
            scope.spawn(move || {
                let mut store = open(path).unwrap();
                for import in (0..20).map(|n| 2 * n + writer) {
                    store.append(&mut imports::entries(import)).unwrap();
                }
            });
        }
    });
    let store = open(&path).unwrap();
    let expected: u64 = (0..40).map(imports::size).sum();
    assert_eq!(
        (store.count().unwrap(), store.check().unwrap()),
        (expected, vec![])
    );
}

#[test]
fn regress_a_backup_holds_one_moment() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("ledger.db");
    let store = ledger(&path, 1);
    let (to, mut other) = (folder.path().join("backup.db"), open(&path).unwrap());
    let mut appended = 0;
    store
        .back_up(&to, &mut |_| {
            appended += other.append(&mut imports::entries(2)).unwrap().new;
        })
        .unwrap();
    assert_eq!(appended, imports::size(2), "the ledger went on being used");
    assert_eq!(open(&to).unwrap().count().unwrap(), imports::size(1));
}

fn backup_of(folder: &Path, import: u64) -> PathBuf {
    let (path, to) = (folder.join("source.db"), folder.join("backup.db"));
    ledger(&path, import).back_up(&to, &mut |_| {}).unwrap();
    fs::remove_file(path).unwrap();
    to
}

fn contents(path: &Path) -> Vec<Entry> {
    let store = open(path).unwrap();
    assert_eq!(store.check().unwrap(), [""; 0]);
    load(&store).unwrap().0.entries().cloned().collect()
}

fn import(n: u64) -> Vec<Entry> {
    let mut entries: Vec<Entry> = imports::entries(n).collect();
    entries.sort_by_key(|entry| entry.id);
    entries
}

#[test]
fn regress_a_restored_backup_takes_the_place_and_the_old_one_is_kept() {
    let folder = TempDir::new().unwrap();
    let (backup, path) = (backup_of(folder.path(), 1), folder.path().join("ledger.db"));
    let restored = restore(&backup, &path, imports::id(5, 5)).unwrap();
    assert_eq!((restored.entries, restored.kept), (imports::size(1), None));
    open(&path).unwrap().append(&mut imports::entries(2)).unwrap();
    // Once more, over a ledger that has gone on.
    let kept = restore(&backup, &path, imports::id(6, 6)).unwrap().kept.unwrap();
    assert_eq!(
        open(&path).unwrap().identity().unwrap(),
        imports::id(6, 6),
        "devices see that it is another log"
    );
    assert_eq!(contents(&path), import(1));
    let mut both: Vec<Entry> = import(1).into_iter().chain(import(2)).collect();
    both.sort_by_key(|entry| entry.id);
    assert_eq!(contents(&kept), both);
    assert_eq!(
        names(folder.path()),
        ["backup.db", "ledger.db", "ledger.db.before-restore-1"]
    );
}

#[test]
fn regress_what_was_written_last_goes_with_the_old_ledger() {
    let folder = TempDir::new().unwrap();
    let (backup, path) = (backup_of(folder.path(), 1), folder.path().join("ledger.db"));
    // A ledger as a kill leaves it: its last entries stand beside the file.
    let living = folder.path().join("living.db");
    let store = ledger(&living, 2);
    fs::copy(&living, &path).unwrap();
    fs::copy(
        folder.path().join("living.db-wal"),
        folder.path().join("ledger.db-wal"),
    )
    .unwrap();
    drop(store);
    let kept = restore(&backup, &path, imports::id(6, 6)).unwrap().kept.unwrap();
    assert_eq!((contents(&path), contents(&kept)), (import(1), import(2)));
}

#[test]
fn regress_a_broken_ledger_is_replaced_and_kept_as_it_is() {
    let folder = TempDir::new().unwrap();
    let (backup, path) = (backup_of(folder.path(), 1), folder.path().join("ledger.db"));
    fs::write(&path, "no ledger").unwrap();
    fs::write(folder.path().join("ledger.db-wal"), "nor this").unwrap();
    let kept = restore(&backup, &path, imports::id(6, 6)).unwrap().kept.unwrap();
    assert_eq!(contents(&path), import(1));
    assert_eq!(fs::read(&kept).unwrap(), b"no ledger");
    assert_eq!(
        fs::read(folder.path().join("ledger.db.before-restore-1-wal")).unwrap(),
        b"nor this"
    );
}

#[test]
fn regress_a_broken_backup_changes_nothing() {
    let folder = TempDir::new().unwrap();
    let (backup, path) = (backup_of(folder.path(), 1), folder.path().join("ledger.db"));
    drop(ledger(&path, 2));
    let whole = fs::read(&backup).unwrap();
    let mut damaged = whole.clone();
    let page = damaged.len() / PAGE / 2;
    damaged[page * PAGE..].fill(0xa5);
    for bytes in [b"no ledger".as_slice(), &whole[..whole.len() - PAGE], &damaged] {
        fs::write(&backup, bytes).unwrap();
        let error = restore(&backup, &path, imports::id(6, 6)).expect_err("the backup is broken");
        assert!(
            error.to_string().contains("backup.db: "),
            "it names the backup: {error}"
        );
        assert_eq!(contents(&path), import(2));
        assert_eq!(names(folder.path()), ["backup.db", "ledger.db"]);
    }
}

#[test]
fn regress_a_ledger_in_use_is_not_replaced() {
    let folder = TempDir::new().unwrap();
    let (backup, path) = (backup_of(folder.path(), 1), folder.path().join("ledger.db"));
    let store = ledger(&path, 2);
    let error = restore(&backup, &path, imports::id(6, 6)).expect_err("it is open");
    assert!(matches!(error, Error::Busy { .. }), "{error}");
    assert_eq!(store.count().unwrap(), imports::size(2));
}
