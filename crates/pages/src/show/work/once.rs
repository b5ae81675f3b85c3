//! A work is written down once, also where two devices that hear nothing of each other both finish it.

use jiff::Timestamp;
use ledger::payload::{WorkMark, WorkMarked};
use ledger::{Entry, EventId, Payload};

use super::Job;
use crate::frame::ask::Ask;

/// Gives the entries of a finishing ids that follow from the work and from what each says, not from the form or the device.
///
/// Of two entries with one id the ledger keeps the one first written ([`Entry::precedence`]), so both histories together tell
/// one finishing. A part's event is known by kind and part: it happened once, whatever was noted at it. A reading, a remark or
/// a photograph is known by its content: where two people read something else, both readings are true, and both stay.
pub(super) struct Once {
    work: EventId,
    /// How many finishings of this work were taken back before.
    round: u32,
    /// The id of the entry that ends the work.
    pub(super) end: EventId,
}

impl Once {
    pub(super) fn new(ask: &Ask<'_>, job: &Job<'_>) -> Self {
        let work = job.under_way.id;
        let end = |round: u32| id(work, round, &["ended"]);
        // The work is under way: an end that stands in the ledger all the same was taken back.
        let round = (0..u32::MAX)
            .find(|round| !ask.state.contains(end(*round)))
            .unwrap_or(u32::MAX);
        Self {
            work,
            round,
            end: end(round),
        }
    }

    /// The entry under its own id.
    pub(super) fn entry(&self, entry: Entry) -> Entry {
        let id = match entry.payload.decode() {
            Ok(Payload::Work(WorkMarked {
                mark: WorkMark::Ended { .. },
                ..
            })) => self.end,
            Ok(Payload::Event(event)) => {
                let said = |name: &str| event.document.get(name).and_then(|value| value.as_str());
                let (kind, part) = (said("kind"), said("part"));
                self.id(&["event", kind.unwrap_or_default(), part.unwrap_or_default()])
            }
            _ => self.id(&["content", entry.payload.json()]),
        };
        Entry { id, ..entry }
    }

    fn id(&self, parts: &[&str]) -> EventId {
        id(self.work, self.round, parts)
    }
}

fn id(work: EventId, round: u32, parts: &[&str]) -> EventId {
    let begun = i64::try_from(work.unix_ms())
        .ok()
        .and_then(|ms| Timestamp::from_millisecond(ms).ok())
        .unwrap_or(Timestamp::UNIX_EPOCH);
    let round = round.to_be_bytes();
    let whose = [b"finish of a work".as_slice(), work.as_bytes(), &round];
    EventId::of_content(
        begun,
        whose.into_iter().chain(parts.iter().map(|part| part.as_bytes())),
    )
}
