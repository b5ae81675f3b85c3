//! Numbered imports, each of a size of its own, so that one can tell whether all of it is there.

use jiff::Timestamp;
use ledger::payload::NoteWritten;
use ledger::{Entry, EventId, Payload, Subject};

/// The id of the n-th entry of an import.
pub(crate) fn id(import: u64, n: u64) -> EventId {
    EventId::of_content(
        time(import),
        [b"import".as_slice(), &import.to_be_bytes(), &n.to_be_bytes()],
    )
}

/// How many entries an import has: 1 to 40.
pub(crate) fn size(import: u64) -> u64 {
    1 + import.wrapping_mul(7_919) % 40
}

pub(crate) fn time(import: u64) -> Timestamp {
    let seconds = 1_736_800_000 + i64::try_from(import).unwrap_or(0);
    Timestamp::from_second(seconds).unwrap_or(Timestamp::UNIX_EPOCH)
}

/// The entries of an import.
pub(crate) fn entries(import: u64) -> impl Iterator<Item = Entry> {
    (0..size(import)).map(move |n| {
        let (of, text) = (
            Subject::unit(&format!("unit-{}", import % 7)),
            format!("import {import}, entry {n}"),
        );
        let note = Payload::Note(NoteWritten { of, text });
        Entry::new(id(import, n), time(import), time(import), "ada", "desk", &note)
    })
}
