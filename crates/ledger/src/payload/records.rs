//! The records of the kinds of payload.
//!
//! Do not change a field here: the serialized form is frozen. A field may be added with `default`.

use std::collections::BTreeMap;

use jiff::Timestamp;
use reading::Reading;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::{Subject, reading_json};
use crate::{ContentHash, Encoded, EventId};

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde's signature")]
fn is_false(flag: &bool) -> bool {
    !flag
}

/// A customer, as known from now on; what is empty is not known.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct CustomerDescribed {
    /// Id, unique in the ledger.
    pub customer: String,
    /// Name.
    pub name: String,
    /// Telephone.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub phone: String,
    /// Electronic mail.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub email: String,
    /// Address, in lines.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub address: String,
}

/// A place where units stand, as known from now on.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct SiteDescribed {
    /// Id, unique in the ledger.
    pub site: String,
    /// Whose it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub customer: Option<String>,
    /// Name.
    pub name: String,
    /// Where it is, as one would tell a driver.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub place: String,
    /// How one gets in: keys, hours, whom to ask.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub access: String,
}

/// A unit as built.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct UnitDescribed {
    /// Id, unique in the ledger.
    pub unit: String,
    /// Where it stands; none leaves that as it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub site: Option<String>,
    /// Whether this puts the unit into the ledger; else it is described anew.
    #[serde(default, skip_serializing_if = "is_false")]
    pub installed: bool,
    /// The `unit` table of a case file, as given.
    pub document: Map<String, Value>,
}

/// A unit taken to another site.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct UnitMoved {
    /// The unit.
    pub unit: String,
    /// Where to; none where it is in store.
    pub site: Option<String>,
    /// Remark.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// A unit taken out of the round for good.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct UnitRetired {
    /// The unit.
    pub unit: String,
    /// Remark.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// An analysis of the feed of a unit or of a site.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WaterAnalysed {
    /// Whose feed.
    pub of: Subject,
    /// The `water` table of a case file, as given.
    pub document: Map<String, Value>,
}

/// The row of a reading log from which an entry was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Source {
    /// The entry of the import.
    pub import: EventId,
    /// Line of the file (row of the sheet), counted from 1.
    pub line: u32,
}

/// A reading, in base units; it was taken when the entry happened.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ReadingTaken {
    /// The unit.
    pub unit: String,
    /// The values. Its `at` and `line` are not kept here: they are the entry's and the source's.
    #[serde(with = "reading_json")]
    pub reading: Reading,
    /// What was typed or written, by field name, where a value was given with a unit of its own.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub as_written: BTreeMap<String, String>,
    /// The row it came from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Source>,
}

/// Something done to a part, a unit or its feed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PartEvent {
    /// The unit.
    pub unit: String,
    /// An item of `events` in a case file, without `at`: `kind`, `part`, `note`, `to`, `water`.
    pub document: Map<String, Value>,
    /// The row it came from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Source>,
}

/// What an earlier entry should have said.
///
/// A correction may name a correction: then it stands in that one's place, whatever the clocks said.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Correction {
    /// The entry that is corrected.
    pub corrects: EventId,
    /// What stands in its place; none where it should not be there at all.
    pub replacement: Option<Replacement>,
    /// Why.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub reason: String,
}

/// What stands in the place of a corrected entry.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Replacement {
    /// When it happened; none leaves that as it is.
    #[serde(default, skip_serializing_if = "Option::is_none", with = "optional_time")]
    pub happened_at: Option<Timestamp>,
    /// What happened.
    #[serde(with = "verbatim")]
    pub payload: Encoded,
}

/// A photograph or a paper, found by its content.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct AttachmentAdded {
    /// What it shows.
    pub of: Subject,
    /// The entry that it belongs to, where it belongs to one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entry: Option<EventId>,
    /// Hash of its bytes.
    pub hash: ContentHash,
    /// Media type, such as `image/jpeg`.
    pub media_type: String,
    /// File name, as given.
    pub name: String,
    /// Bytes.
    pub size: u64,
}

/// A reading log that was read in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ImportBatch {
    /// The unit whose log it is.
    pub unit: String,
    /// Hash of the file.
    pub file_hash: ContentHash,
    /// Its name.
    pub file_name: String,
    /// Bytes.
    pub size: u64,
    /// How it was read: columns, units, what was assumed.
    pub habit: Value,
    /// How many rows became what.
    pub rows: RowCounts,
}

/// How many entries a log gave.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct RowCounts {
    /// Readings.
    pub readings: u64,
    /// Events.
    pub events: u64,
    /// Rows kept as they stand.
    pub set_aside: u64,
}

/// A row of a log that could not be read, kept as it stands. A correction with a reading or an event in its
/// place repairs it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RowSetAside {
    /// The unit whose log it is.
    pub unit: String,
    /// The cells, as they stand.
    pub cells: Vec<String>,
    /// Why it could not be read.
    pub reason: String,
    /// Where it stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Source>,
}

/// A remark.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct NoteWritten {
    /// About what.
    pub of: Subject,
    /// The text.
    pub text: String,
}

/// What a person chose. Only the names in `set` change; null takes a choice back.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SettingsChosen {
    /// Who.
    pub person: String,
    /// The choices by name: units of measure, language.
    pub set: BTreeMap<String, Value>,
}

/// A visit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct VisitDone {
    /// Where: a site, or a unit that has none.
    pub of: Subject,
    /// The units that were seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub units: Vec<String>,
    /// How long it took.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<f64>,
    /// What was done, for the customer to read.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

mod optional_time {
    use jiff::Timestamp;
    use serde::{Deserialize, Deserializer, Serializer, de};

    use crate::entry::to_microsecond;

    #[expect(clippy::ref_option, reason = "serde's signature")]
    pub(super) fn serialize<S: Serializer>(at: &Option<Timestamp>, serializer: S) -> Result<S::Ok, S::Error> {
        match at {
            Some(at) => serializer.collect_str(&to_microsecond(*at)),
            None => serializer.serialize_none(),
        }
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(
        deserializer: D,
    ) -> Result<Option<Timestamp>, D::Error> {
        let text = Option::<String>::deserialize(deserializer)?;
        text.map(|text| text.parse().map(to_microsecond).map_err(de::Error::custom))
            .transpose()
    }
}

mod verbatim {
    use serde::{Deserialize, Deserializer, Serialize, Serializer, de, ser};
    use serde_json::value::RawValue;

    use crate::Encoded;

    pub(super) fn serialize<S: Serializer>(payload: &Encoded, serializer: S) -> Result<S::Ok, S::Error> {
        let raw: &RawValue = serde_json::from_str(payload.json()).map_err(ser::Error::custom)?;
        raw.serialize(serializer)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Encoded, D::Error> {
        let raw = Box::<RawValue>::deserialize(deserializer)?;
        Encoded::from_json(raw.get()).map_err(de::Error::custom)
    }
}
