//! Writes to a ledger until it is killed or the disk is full, and says after each import that it is kept.
//!
//! `ledger-filler fill LEDGER FROM` appends the imports FROM, FROM + 1, ... and prints each number once the
//! store has said that it is kept. `ledger-filler begin LEDGER IMPORTS` begins a ledger with so many imports in it.
//! `ledger-filler restore BACKUP LEDGER` puts the backup in the ledger's
//! place, over and over. Tests do the rest.

use std::io::Write;
use std::path::Path;
use std::process::ExitCode;

use store::{Options, SqliteStore, Store, restore};

#[path = "../tests/it/imports.rs"]
mod imports;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let done = match words.as_slice() {
        ["fill", ledger, from] => fill(Path::new(ledger), from.parse().unwrap_or(0)),
        ["begin", ledger, imports] => begin(Path::new(ledger), imports.parse().unwrap_or(0)),
        ["restore", backup, ledger] => restore_again(Path::new(backup), Path::new(ledger)),
        _ => return ExitCode::from(2),
    };
    if let Err(error) = done {
        // A closed pipe changes nothing about the answer.
        let _ = writeln!(std::io::stderr(), "{error}");
    }
    ExitCode::FAILURE
}

fn fill(ledger: &Path, from: u64) -> Result<(), store::Error> {
    let mut store = SqliteStore::open_or_create(ledger, imports::id(0, 0), Options::default())?;
    for import in from.. {
        // The import before is sent again, as after a reply that was lost on its way.
        let entries = imports::entries(import.saturating_sub(1)).chain(imports::entries(import));
        store.append(&mut entries.into_iter())?;
        if !say(import) {
            break;
        }
    }
    Ok(())
}

fn begin(ledger: &Path, imports: u64) -> Result<(), store::Error> {
    let mut entries = (0..imports).flat_map(imports::entries);
    SqliteStore::create_with(ledger, imports::id(0, 0), Options::default(), &mut entries)?;
    say(imports);
    Ok(())
}

fn restore_again(backup: &Path, ledger: &Path) -> Result<(), store::Error> {
    for n in 0.. {
        restore(backup, ledger, imports::id(0, 0), Options::default())?;
        if !say(n) {
            break;
        }
    }
    Ok(())
}

/// Whether somebody listens.
fn say(number: u64) -> bool {
    let mut out = std::io::stdout();
    writeln!(out, "{number}").and_then(|()| out.flush()).is_ok()
}
