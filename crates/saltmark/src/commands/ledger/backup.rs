//! `backup` and `restore`.

use jiff::Timestamp;
use serde_json::json;
use store::{Options, Store};

use super::{new_id, open, path};
use crate::args::{Backup, Restore};
use crate::failure::Failure;
use crate::output::{Answer, print};
use crate::present::{counted, share};

pub(crate) fn back_up(args: &Backup) -> Result<(), Failure> {
    let store = open(&args.place)?;
    let bar = share("copied");
    let entries = store.back_up(&args.file, &mut |done| {
        let thousandths = (0..=1000_u32).take_while(|part| f64::from(*part) <= 1000.0 * done);
        bar.set_position(thousandths.count() as u64);
    })?;
    bar.finish_and_clear();
    let file = args.file.display();
    let answer = Answer {
        json: json!({
            "ledger": store.path().display().to_string(), "backup": file.to_string(), "entries": entries,
        }),
        text: format!(
            "{} are in {file}. Checked.\n",
            counted(count(entries), "entry", "entries")
        ),
        warnings: Vec::new(),
    };
    print(&answer, args.json)
}

pub(crate) fn restore(args: &Restore) -> Result<(), Failure> {
    let place = path(&args.place)?;
    let restored = store::restore(&args.file, &place, new_id(Timestamp::now())?, Options::default())?;
    let entries = counted(count(restored.entries), "entry", "entries");
    let mut text = format!(
        "{} now has the {entries} of {}.\n",
        place.display(),
        args.file.display()
    );
    if let Some(kept) = &restored.kept {
        text.push_str(&format!(
            "The ledger that was there is kept as {}.\n",
            kept.display()
        ));
    }
    let answer = Answer {
        json: json!({
            "ledger": place.display().to_string(), "backup": args.file.display().to_string(),
            "entries": restored.entries,
            "kept": restored.kept.as_ref().map(|kept| kept.display().to_string()),
        }),
        text,
        warnings: Vec::new(),
    };
    print(&answer, args.json)
}

fn count(entries: u64) -> usize {
    usize::try_from(entries).unwrap_or(usize::MAX)
}
