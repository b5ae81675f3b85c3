//! An entry of the log: an envelope, and a payload kept as it was written.

use std::cmp::Ordering;
use std::sync::Arc;

use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;

use crate::payload::{self, Kind, Payload, Subject};
use crate::{ContentHash, Error, EventId};

/// One entry of the log. It is never changed after it was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its id.
    pub id: EventId,
    /// When it happened, to the microsecond.
    pub happened_at: Timestamp,
    /// When it was written down, to the microsecond, by the clock of the device.
    pub written_at: Timestamp,
    /// Who wrote it down.
    pub by: Arc<str>,
    /// On which device.
    pub device: Arc<str>,
    /// What happened.
    pub payload: Encoded,
}

/// A payload in its frozen format, with what is needed to file it.
///
/// The text is kept as it came, also where this program does not understand it.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Encoded {
    kind: Kind,
    subject: Option<Subject>,
    json: Box<str>,
}

impl Encoded {
    pub(crate) fn from_parts(kind: Kind, subject: Option<Subject>, json: String) -> Self {
        Self {
            kind,
            subject,
            json: json.into_boxed_str(),
        }
    }

    /// A payload from its text.
    ///
    /// # Errors
    /// Text that is no JSON object with `v` and `kind`.
    pub fn from_json(json: &str) -> Result<Self, Error> {
        let (kind, subject) = payload::file_under(json)?;
        Ok(Self {
            kind,
            subject,
            json: json.into(),
        })
    }

    /// A payload from a database that keeps kind and subject beside the text.
    pub fn from_store(kind: Kind, subject: Option<Subject>, json: Box<str>) -> Self {
        Self { kind, subject, json }
    }

    /// Its kind.
    pub fn kind(&self) -> Kind {
        self.kind
    }

    /// What it is about; none for corrections and for what is not understood.
    pub fn subject(&self) -> Option<&Subject> {
        self.subject.as_ref()
    }

    /// Its text: one line of JSON.
    pub fn json(&self) -> &str {
        &self.json
    }

    /// What it says.
    ///
    /// # Errors
    /// Text that is not of the frozen format, or of a newer one.
    pub fn decode(&self) -> Result<Payload, Error> {
        Payload::decode(self.kind, &self.json)
    }
}

/// The line of an entry. Frozen: files and devices in the field hold it. Do not change it; add a version.
#[derive(Serialize, Deserialize)]
struct Line<'a> {
    id: EventId,
    #[serde(with = "time")]
    happened_at: Timestamp,
    #[serde(with = "time")]
    written_at: Timestamp,
    by: std::borrow::Cow<'a, str>,
    device: std::borrow::Cow<'a, str>,
    #[serde(borrow)]
    payload: &'a RawValue,
}

mod time {
    use jiff::Timestamp;
    use serde::{Deserialize, Deserializer, Serializer, de};

    pub(super) fn serialize<S: Serializer>(at: &Timestamp, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(at)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Timestamp, D::Error> {
        let text = std::borrow::Cow::<'de, str>::deserialize(deserializer)?;
        text.parse().map(super::to_microsecond).map_err(de::Error::custom)
    }
}

/// The time to the microsecond below it, which is what stores keep.
pub(crate) fn to_microsecond(at: Timestamp) -> Timestamp {
    Timestamp::from_microsecond(at.as_microsecond()).unwrap_or(at)
}

impl Entry {
    /// An entry; its times are cut to the microsecond.
    pub fn new(
        id: EventId,
        happened_at: Timestamp,
        written_at: Timestamp,
        by: impl Into<Arc<str>>,
        device: impl Into<Arc<str>>,
        payload: &Payload,
    ) -> Self {
        Self {
            id,
            happened_at: to_microsecond(happened_at),
            written_at: to_microsecond(written_at),
            by: by.into(),
            device: device.into(),
            payload: payload.encode(),
        }
    }

    /// One line of JSON (without its end of line): what is exported, and what devices send each other.
    pub fn to_json(&self) -> String {
        let payload: &RawValue = serde_json::from_str(self.payload.json()).unwrap_or(RawValue::NULL);
        let line = Line {
            id: self.id,
            happened_at: self.happened_at,
            written_at: self.written_at,
            by: (&*self.by).into(),
            device: (&*self.device).into(),
            payload,
        };
        serde_json::to_string(&line).unwrap_or_default()
    }

    /// An entry from its line.
    ///
    /// # Errors
    /// What is wrong with it; the payload has to have a kind and a version, and may be of a newer program.
    pub fn from_json(line: &str) -> Result<Self, Error> {
        let line: Line<'_> = serde_json::from_str(line).map_err(|error| Error::json("entry", &error))?;
        Ok(Self {
            id: line.id,
            happened_at: line.happened_at,
            written_at: line.written_at,
            by: line.by.into(),
            device: line.device.into(),
            payload: Encoded::from_json(line.payload.get())?,
        })
    }

    /// Which of two entries with one id stands: the one first written, and of two written at the same time
    /// always the same one. In practice they are one row of a log that two devices read in.
    pub fn precedence(&self, other: &Self) -> Ordering {
        let key = |entry: &Self| (entry.written_at, entry.happened_at);
        key(self)
            .cmp(&key(other))
            .then_with(|| self.payload.json().cmp(other.payload.json()))
            .then_with(|| (&self.by, &self.device).cmp(&(&other.by, &other.device)))
    }

    /// A quick hash of the whole entry, for telling two states of one ledger apart; no defence against a forger.
    pub(crate) fn quick_hash(&self) -> u64 {
        let times = [
            self.happened_at.as_microsecond().to_le_bytes(),
            self.written_at.as_microsecond().to_le_bytes(),
        ];
        let parts: [&[u8]; 5] = [
            self.id.as_bytes(),
            times.as_flattened(),
            self.by.as_bytes(),
            self.device.as_bytes(),
            self.payload.json().as_bytes(),
        ];
        parts.into_iter().fold(0, quick_hash)
    }

    /// A hash of the whole entry.
    pub fn digest(&self) -> ContentHash {
        ContentHash::of(self.to_json().as_bytes())
    }
}

/// Goes on with a hash over one more part, its length with it.
fn quick_hash(before: u64, part: &[u8]) -> u64 {
    let step = |hash: u64, word: u64| {
        let mixed = (hash ^ word).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        mixed ^ (mixed >> 29)
    };
    let (words, rest) = part.as_chunks::<8>();
    let hash = words.iter().fold(step(before, part.len() as u64), |hash, word| {
        step(hash, u64::from_le_bytes(*word))
    });
    let mut last = [0; 8];
    for (to, from) in last.iter_mut().zip(rest) {
        *to = *from;
    }
    step(hash, u64::from_le_bytes(last))
}
