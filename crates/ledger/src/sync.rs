//! What to send to whom, as functions of what each side says it has.
//!
//! Two ways. A device and the place it reports to use [`Offer`] and [`Answer`]: the device says up to where
//! it has read, and hands over its outbox; it gets what is new, and what it may forget. Two ledgers that
//! know nothing of each other compare [`Summary`]s, list the entries of the stretches that differ, and send
//! what the other lacks. Either can be broken off and done again: an entry sent twice changes nothing.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::{ContentHash, Entry, Error, EventId};

/// What a device says and hands over.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Offer {
    /// The log that it has read, by its identity; none for one that has read none yet.
    pub log: Option<EventId>,
    /// Up to where it has read that log; 0 for nothing yet.
    pub cursor: u64,
    /// Its outbox.
    pub entries: Vec<Entry>,
}

/// What it is answered.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// The log that answers, by its identity. It has a new one when it was restored from a backup.
    pub log: EventId,
    /// What came into the log since the device's cursor, less what the device has just handed over.
    pub entries: Vec<Entry>,
    /// What was handed over and is now kept durably.
    pub received: Vec<EventId>,
    /// Up to where the device has now read.
    pub cursor: u64,
}

impl Offer {
    /// From where this log is to be read for the device: from its cursor, or from the beginning where the
    /// cursor is another log's.
    pub fn read_from(&self, log: EventId) -> u64 {
        if self.log == Some(log) { self.cursor } else { 0 }
    }
}

/// Answers an offer, once its entries are durably in the log.
///
/// `since` is what stands in the log after [`Offer::read_from`], the offer's own entries among it; `cursor`
/// is where that ends.
pub fn answer(log: EventId, offer: &Offer, since: Vec<Entry>, cursor: u64) -> Answer {
    let handed: BTreeMap<EventId, &Entry> = offer.entries.iter().map(|entry| (entry.id, entry)).collect();
    // An entry that stands differently in the log is news to the device.
    let entries = since
        .into_iter()
        .filter(|entry| handed.get(&entry.id).is_none_or(|own| *own != entry));
    Answer {
        log,
        entries: entries.collect(),
        received: handed.into_keys().collect(),
        cursor,
    }
}

/// What a device does with an answer, in one transaction.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Settled {
    /// Entries to add.
    pub add: Vec<Entry>,
    /// Entries to take out of the outbox. Those that it does not name stay there.
    pub forget: Vec<EventId>,
    /// The log to remember.
    pub log: Option<EventId>,
    /// The cursor to remember.
    pub cursor: u64,
    /// Whether all that the device has is to be put into its outbox, because the log is another than the one
    /// it has spoken with: a restored backup may lack what was received before.
    pub offer_all: bool,
}

/// What a device does with an answer: adds what it got, forgets of its outbox only what was received, and
/// never moves its cursor back in one log (an older answer may arrive late).
pub fn settle(outbox: &[EventId], log: Option<EventId>, cursor: u64, answer: Answer) -> Settled {
    let received: BTreeSet<EventId> = answer.received.into_iter().collect();
    let forget = outbox
        .iter()
        .copied()
        .filter(|id| received.contains(id))
        .collect();
    let same = log == Some(answer.log);
    Settled {
        add: answer.entries,
        forget,
        log: Some(answer.log),
        cursor: if same {
            cursor.max(answer.cursor)
        } else {
            answer.cursor
        },
        offer_all: log.is_some() && !same,
    }
}

/// A stretch of ids: those whose time, in units of 2^31 ms (about 25 days) since 1970, is this.
pub type Stretch = u32;

/// The stretch of an id.
pub fn stretch(id: EventId) -> Stretch {
    // 48 bits less 31 are 17.
    u32::try_from(id.unix_ms() >> 31).unwrap_or(u32::MAX)
}

/// What a ledger has, stretch by stretch: how many entries, and a fingerprint that does not depend on their
/// order.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Summary {
    stretches: BTreeMap<Stretch, (u64, [u8; 16])>,
}

impl Summary {
    /// The summary of these entries.
    pub fn of<'a>(entries: impl IntoIterator<Item = &'a Entry>) -> Self {
        let mut summary = Self::default();
        for entry in entries {
            summary.add(entry.id, entry.digest());
        }
        summary
    }

    /// Counts an entry in. It must not have been counted before.
    pub fn add(&mut self, id: EventId, digest: ContentHash) {
        let (count, fingerprint) = self.stretches.entry(stretch(id)).or_default();
        *count += 1;
        for (byte, other) in fingerprint.iter_mut().zip(digest.as_bytes()) {
            *byte ^= other;
        }
    }

    /// The stretches in which two ledgers differ: of these they list what they have.
    pub fn differing(&self, other: &Self) -> BTreeSet<Stretch> {
        let both = self.stretches.keys().chain(other.stretches.keys());
        both.copied()
            .filter(|stretch| self.stretches.get(stretch) != other.stretches.get(stretch))
            .collect()
    }
}

/// What to send to a ledger that has `theirs`, out of `mine`: what it lacks, and what it has in another form.
pub fn to_send(
    mine: &BTreeMap<EventId, ContentHash>,
    theirs: &BTreeMap<EventId, ContentHash>,
) -> Vec<EventId> {
    mine.iter()
        .filter(|(id, digest)| theirs.get(id) != Some(digest))
        .map(|(id, _)| *id)
        .collect()
}

/// The line format of an offer and an answer: frozen, as devices in the field speak it.
#[derive(Serialize, Deserialize)]
struct Spoken {
    log: Option<EventId>,
    cursor: u64,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    received: Vec<EventId>,
    /// Lines of [`Entry::to_json`].
    entries: Vec<Box<serde_json::value::RawValue>>,
}

fn speak(log: Option<EventId>, cursor: u64, received: &[EventId], entries: &[Entry]) -> String {
    let raw = |entry: &Entry| serde_json::value::RawValue::from_string(entry.to_json()).ok();
    let entries = entries.iter().filter_map(raw).collect();
    let spoken = Spoken {
        log,
        cursor,
        received: received.to_vec(),
        entries,
    };
    serde_json::to_string(&spoken).unwrap_or_default()
}

fn listen(what: &'static str, text: &str) -> Result<(Spoken, Vec<Entry>), Error> {
    let spoken: Spoken = serde_json::from_str(text).map_err(|error| Error::json(what, &error))?;
    let entries = spoken
        .entries
        .iter()
        .map(|line| Entry::from_json(line.get()))
        .collect::<Result<_, _>>()?;
    Ok((spoken, entries))
}

impl Offer {
    /// As it is sent.
    pub fn to_json(&self) -> String {
        speak(self.log, self.cursor, &[], &self.entries)
    }

    /// As it was sent.
    ///
    /// # Errors
    /// What is wrong with it; then none of it is taken.
    pub fn from_json(text: &str) -> Result<Self, Error> {
        let (spoken, entries) = listen("offer", text)?;
        Ok(Self {
            log: spoken.log,
            cursor: spoken.cursor,
            entries,
        })
    }
}

impl Answer {
    /// As it is sent.
    pub fn to_json(&self) -> String {
        speak(Some(self.log), self.cursor, &self.received, &self.entries)
    }

    /// As it was sent.
    ///
    /// # Errors
    /// What is wrong with it; then none of it is taken.
    pub fn from_json(text: &str) -> Result<Self, Error> {
        let (spoken, entries) = listen("answer", text)?;
        let log = spoken.log.ok_or_else(|| Error::Malformed {
            what: "answer",
            reason: "it does not say which log it comes from".to_owned(),
        })?;
        Ok(Self {
            log,
            entries,
            received: spoken.received,
            cursor: spoken.cursor,
        })
    }
}
