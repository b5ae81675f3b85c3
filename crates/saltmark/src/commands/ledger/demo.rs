//! `demo`: the invented Quillmere ledger.

use std::path::PathBuf;

use casefile::time;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use serde_json::json;
use store::{Options, SqliteStore, Store, restore};

use super::{new_id, open_or_begin, path};
use crate::args::Demo;
use crate::failure::Failure;
use crate::output::{Answer, print};
use crate::present::{counted, progress};

pub(crate) fn run(args: &Demo) -> Result<(), Failure> {
    let now = match &args.as_of {
        Some(text) => time(text, &TimeZone::UTC).ok_or_else(|| {
            let accepted = "a time such as 2025-01-14T09:20:00Z";
            Failure::field("the command line", "--as-of", format!("{text:?}"), accepted)
        })?,
        None => Timestamp::now(),
    };
    let place = path(&args.place)?;
    let store = open_or_begin(&args.place)?;
    let there = store.count()?;
    if there > 0 && !args.replace {
        return Err(Failure::Impossible(format!(
            "{}: this ledger has entries already, and was left as it is; --replace puts the demonstration in its place \
             and keeps it beside, --ledger names another",
            place.display()
        )));
    }
    let bar = progress("entries");
    let entries = demo::entries(args.seed, now)
        .map_err(|error| Failure::Impossible(format!("the demonstration could not be made: {error}")))?;
    bar.inc(entries.len() as u64);
    let number = entries.len();
    let kept = if there > 0 {
        drop(store);
        replace(&place, args.seed, now, entries)?
    } else {
        let mut store = store;
        store.append(&mut entries.into_iter())?;
        None
    };
    bar.finish_and_clear();
    let mut text = format!(
        "{}: the invented Quillmere valley with {} units, {}. No real place, firm or person.\n",
        place.display(),
        demo::UNITS,
        counted(number, "entry", "entries")
    );
    if let Some(kept) = &kept {
        text.push_str(&format!(
            "The ledger that was there is kept as {}.\n",
            kept.display()
        ));
    }
    let answer = Answer {
        json: json!({
            "ledger": place.display().to_string(), "as_of": now.to_string(), "seed": args.seed,
            "units": demo::UNITS, "entries": number,
            "kept": kept.as_ref().map(|kept| kept.display().to_string()),
        }),
        text,
        warnings: Vec::new(),
    };
    print(&answer, args.json)
}

/// Puts the demonstration in a ledger's place as a backup is put there: in one step, the other kept.
fn replace(
    place: &std::path::Path,
    seed: u64,
    now: Timestamp,
    entries: Vec<ledger::Entry>,
) -> Result<Option<PathBuf>, Failure> {
    let folder = place.parent().filter(|folder| !folder.as_os_str().is_empty());
    let draft = tempfile::Builder::new()
        .prefix(".saltmark-demo-")
        .tempdir_in(folder.unwrap_or(std::path::Path::new(".")))
        .map_err(|error| Failure::Impossible(format!("{} could not be written: {error}", place.display())))?;
    let file = draft.path().join("demo.db");
    let mut store = SqliteStore::create(&file, demo::identity(seed, now), Options::default())?;
    store.append(&mut entries.into_iter())?;
    drop(store);
    let restored = restore(&file, place, new_id(now)?, Options::default())?;
    Ok(restored.kept)
}
