//! SIGKILL at random moments: whole imports only, none that was said to be kept missing, none twice.
//!
//! `SALTMARK_KILL_ROUNDS` sets how many rounds there are (default 200).

use std::collections::BTreeSet;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use store::{Cursor, Error, Options, SqliteStore, Store, restore};
use tempfile::TempDir;

use crate::imports;

/// A small generator (Marsaglia's xorshift64, Journal of Statistical Software 8 (2003) 14): when to kill.
struct Moments(u64);

impl Moments {
    fn next(&mut self, below_us: u64) -> Duration {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        Duration::from_micros(self.0 % below_us)
    }
}

fn rounds() -> u64 {
    std::env::var("SALTMARK_KILL_ROUNDS")
        .ok()
        .and_then(|rounds| rounds.parse().ok())
        .unwrap_or(200)
}

/// Starts the filler, lets it say `sayings` lines, kills it after another while, and gives back what it
/// said.
fn kill_after(arguments: &[&str], sayings: usize, life: Duration) -> Vec<u64> {
    let mut child = Command::new(env!("CARGO_BIN_EXE_ledger-filler"))
        .args(arguments)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let out = BufReader::new(child.stdout.take().unwrap());
    let (sender, receiver) = std::sync::mpsc::channel();
    let listener = std::thread::spawn(move || {
        for line in out.lines().map_while(Result::ok) {
            // A line that the kill cut off has no number that counts; the test is over when nobody listens.
            let sent = line.parse::<u64>().map(|number| sender.send(number));
            if !matches!(sent, Ok(Ok(()))) {
                break;
            }
        }
    });
    let patience = Duration::from_mins(1);
    let mut said: Vec<u64> = (0..sayings)
        .map_while(|_| receiver.recv_timeout(patience).ok())
        .collect();
    assert_eq!(said.len(), sayings, "the filler ended by itself");
    std::thread::sleep(life);
    child.kill().unwrap();
    child.wait().unwrap();
    listener.join().unwrap();
    said.extend(receiver.try_iter());
    said
}

/// The imports of a ledger, each whole; SQLite itself finds nothing wrong.
pub(crate) fn whole_imports(path: &Path) -> BTreeSet<u64> {
    let store = SqliteStore::open(path, Options::default()).unwrap();
    assert_eq!(store.check().unwrap(), [""; 0]);
    let mut entries = Vec::new();
    store
        .read(Cursor::default(), usize::MAX, &mut |entry| entries.push(entry))
        .unwrap();
    let ids: BTreeSet<_> = entries.iter().map(|entry| entry.id).collect();
    assert_eq!(ids.len(), entries.len(), "an entry is there twice");
    let mut left = ids;
    let mut whole = BTreeSet::new();
    for import in 0.. {
        if left.is_empty() {
            break;
        }
        let there = imports::entries(import)
            .filter(|entry| left.remove(&entry.id))
            .count() as u64;
        assert!(
            there == 0 || there == imports::size(import),
            "import {import}: {there} of {}",
            imports::size(import)
        );
        if there > 0 {
            whole.insert(import);
        }
    }
    whole
}

#[test]
fn regress_a_kill_while_importing_leaves_whole_imports() {
    let mut moments = Moments(0x5341_4C54);
    let mut without_ledger = 0;
    for ledger in 0..rounds().div_ceil(10) {
        let folder = TempDir::new().unwrap();
        let path = folder.path().join("ledger.db");
        let text = path.to_str().unwrap();
        let mut kept = BTreeSet::new();
        for round in 0..10 {
            let from = kept.last().map_or(0, |last| last + 1);
            // The first meets the making of the ledger, or not even that; the others its filling: at an end
            // of writing, and up to some writings later.
            let sayings = if round == 0 { 0 } else { round % 3 };
            let life = moments.next(if round % 2 == 0 { 40_000 } else { 8_000 });
            let said = kill_after(&["fill", text, &from.to_string()], sayings, life);
            match SqliteStore::open(&path, Options::default()) {
                Err(Error::Missing { .. }) => {
                    assert_eq!((said, kept.len()), (vec![], 0), "ledger {ledger}: it was there");
                    without_ledger += 1;
                    continue;
                }
                opened => drop(opened.unwrap()),
            }
            let whole = whole_imports(&path);
            assert!(
                kept.iter().all(|import| whole.contains(import)),
                "an import of before is missing"
            );
            assert!(
                said.iter().all(|import| whole.contains(import)),
                "an import that was kept is missing"
            );
            kept = whole;
        }
    }
    assert!(
        without_ledger <= rounds() / 2,
        "{without_ledger} rounds were killed before there was a ledger"
    );
}

#[test]
fn regress_a_kill_while_a_ledger_is_begun_with_an_import_leaves_all_of_it_or_no_ledger() {
    const IMPORTS: u64 = 60;
    let mut moments = Moments(0x0042_4547_494E);
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("ledger.db");
    let text = path.to_str().unwrap();
    for round in 0..rounds().div_ceil(5) {
        let said = kill_after(&["begin", text, &IMPORTS.to_string()], 0, moments.next(60_000));
        match SqliteStore::open(&path, Options::default()) {
            Err(Error::Missing { .. }) => assert_eq!(said, [0; 0], "round {round}: it was there"),
            opened => {
                drop(opened.unwrap());
                assert_eq!(whole_imports(&path), (0..IMPORTS).collect(), "round {round}");
                std::fs::remove_file(&path).unwrap();
            }
        }
    }
    // What a kill left behind is gone with the next ledger that is begun there.
    drop(SqliteStore::create(&path, imports::id(0, 0), Options::default()).unwrap());
    let left: Vec<String> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|file| file.unwrap().file_name().to_string_lossy().into_owned())
        .filter(|name| name.contains("draft"))
        .collect();
    assert_eq!(left, [""; 0]);
}

#[test]
fn regress_a_kill_while_restoring_leaves_one_ledger_or_the_other() {
    let mut moments = Moments(0x0052_4553_544F_5245);
    let folder = TempDir::new().unwrap();
    let backup = folder.path().join("backup.db");
    let path = folder.path().join("ledger.db");
    let imports_of = |path: &Path, imports: std::ops::Range<u64>| {
        let mut store = SqliteStore::create(path, imports::id(0, 0), Options::default()).unwrap();
        store.append(&mut imports.flat_map(imports::entries)).unwrap();
    };
    imports_of(&backup, 0..30);
    let (of_backup, before) = (
        (0..30).collect::<BTreeSet<_>>(),
        (20..70).collect::<BTreeSet<_>>(),
    );
    let mut restored = 0;
    for round in 0..usize::try_from(rounds().div_ceil(4)).unwrap() {
        imports_of(&path, 20..70);
        // In the first restore, or in the second.
        let arguments = ["restore", backup.to_str().unwrap(), path.to_str().unwrap()];
        kill_after(&arguments, round % 2, moments.next(40_000));
        let whole = whole_imports(&path);
        assert!(
            whole == before || whole == of_backup,
            "neither the ledger before nor the backup"
        );
        restored += usize::from(whole == of_backup);
        // What was there before is there still, here or beside.
        let kept = folder.path().join("ledger.db.before-restore-1");
        assert!(
            whole == before || whole_imports(&kept) == before,
            "the ledger before is gone"
        );
        restore(&backup, &path, imports::id(1, 1), Options::default()).unwrap();
        assert_eq!(whole_imports(&path), of_backup);
        for entry in std::fs::read_dir(folder.path()).unwrap() {
            let entry = entry.unwrap().path();
            if entry != backup {
                std::fs::remove_file(entry).unwrap();
            }
        }
    }
    assert!(restored > 0, "no round was killed after a restore");
}
