//! What can be written down.
//!
//! A payload is kept as one JSON object: `{"v":1,"kind":"reading", ...}`. The format is frozen: ledgers and
//! phones in the field hold it. Fields may be added; what stands is not changed or removed. A change of
//! meaning is a new version, read beside the old one. `tests/frozen.rs` pins every kind.

mod kind;
mod part_event;
mod reading_json;
mod records;
mod subject;
mod water_json;
mod work;

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use crate::{Encoded, Error};

pub use kind::Kind;
pub use part_event::{event_document, read_event};
pub(crate) use reading_json::reading_line;
pub use records::{
    AttachmentAdded, Correction, CustomerDescribed, ImportBatch, NoteWritten, PartEvent, ReadingTaken,
    Replacement, RowCounts, RowSetAside, SettingsChosen, SiteDescribed, Source, UnitDescribed, UnitMoved,
    UnitRetired, VisitDone, WaterAnalysed,
};
pub use subject::Subject;
pub use water_json::water_document;
pub use work::{WorkMark, WorkMarked};

/// The newest version of the format that is written and understood here.
pub const VERSION: u32 = 1;

macro_rules! payloads {
    ($($(#[$doc:meta])* $variant:ident($record:ty),)*) => {
        /// What happened.
        #[derive(Clone, Debug, PartialEq)]
        pub enum Payload { $($(#[$doc])* $variant($record),)* }

        impl Payload {
            /// Its kind.
            pub fn kind(&self) -> Kind {
                match self { $(Self::$variant(_) => Kind::$variant,)* }
            }

            /// In the frozen format.
            pub fn encode(&self) -> Encoded {
                let json = match self { $(Self::$variant(record) => line(Kind::$variant, record),)* };
                Encoded::from_parts(self.kind(), self.subject(), json)
            }

            pub(crate) fn decode(kind: Kind, json: &str) -> Result<Self, Error> {
                match kind {
                    $(Kind::$variant => body(kind, json).map(Self::$variant),)*
                    Kind::Unknown => Err(not_understood(json)),
                }
            }
        }
    };
}

payloads! {
    /// A customer, or what is now known of one.
    Customer(CustomerDescribed),
    /// A place where units stand.
    Site(SiteDescribed),
    /// A unit as built: installed, or described anew.
    Unit(UnitDescribed),
    /// A unit taken to another site.
    UnitMoved(UnitMoved),
    /// A unit taken out of the round for good.
    UnitRetired(UnitRetired),
    /// An analysis of a feed.
    Water(WaterAnalysed),
    /// A reading.
    Reading(Box<ReadingTaken>),
    /// Something done to a part, a unit or its feed.
    Event(PartEvent),
    /// What an earlier entry should have said, or that it should not be there.
    Correction(Correction),
    /// A photograph or a paper.
    Attachment(AttachmentAdded),
    /// A reading log that was read in.
    Import(ImportBatch),
    /// A row of such a log that could not be read, kept as it stands.
    SetAside(RowSetAside),
    /// A remark.
    Note(NoteWritten),
    /// What a person chose.
    Settings(SettingsChosen),
    /// A visit.
    Visit(VisitDone),
    /// A work under way: begun, a step done, ended.
    Work(WorkMarked),
}

impl Payload {
    /// What it is about.
    pub fn subject(&self) -> Option<Subject> {
        match self {
            Self::Customer(record) => Some(Subject::customer(&record.customer)),
            Self::Site(record) => Some(Subject::site(&record.site)),
            Self::Unit(record) => Some(Subject::unit(&record.unit)),
            Self::UnitMoved(record) => Some(Subject::unit(&record.unit)),
            Self::UnitRetired(record) => Some(Subject::unit(&record.unit)),
            Self::Water(record) => Some(record.of.clone()),
            Self::Reading(record) => Some(Subject::unit(&record.unit)),
            Self::Event(record) => Some(Subject::unit(&record.unit)),
            Self::Correction(_) => None,
            Self::Attachment(record) => Some(record.of.clone()),
            Self::Import(record) => Some(Subject::unit(&record.unit)),
            Self::SetAside(record) => Some(Subject::unit(&record.unit)),
            Self::Note(record) => Some(record.of.clone()),
            Self::Settings(record) => Some(Subject::person(&record.person)),
            Self::Visit(record) => Some(record.of.clone()),
            Self::Work(record) => Some(Subject::unit(&record.unit)),
        }
    }
}

/// `{"v":1,"kind":"K"` joined with the fields of the record.
fn line(kind: Kind, record: &impl Serialize) -> String {
    // Room for a reading of ten values: an import makes a million of them.
    let mut line = Vec::with_capacity(512);
    line.extend_from_slice(format!("{{\"v\":{VERSION},\"kind\":\"{}\"", kind.name()).as_bytes());
    let joint = line.len();
    // Records are maps of text, numbers and lists: they always have a form in JSON, and it is UTF-8.
    if serde_json::to_writer(&mut line, record).is_ok()
        && let Some(brace) = line.get_mut(joint)
    {
        *brace = b',';
    }
    String::from_utf8(line).unwrap_or_default()
}

/// Version and kind, whatever else there is.
#[derive(Deserialize)]
struct Head<'a> {
    v: u32,
    #[serde(borrow)]
    kind: std::borrow::Cow<'a, str>,
}

/// The fields that say what a payload is about.
#[derive(Deserialize)]
struct About {
    #[serde(default)]
    of: Option<Subject>,
    #[serde(default)]
    unit: Option<String>,
    #[serde(default)]
    site: Option<String>,
    #[serde(default)]
    customer: Option<String>,
    #[serde(default)]
    person: Option<String>,
}

/// Kind and subject of a payload's text.
pub(crate) fn file_under(json: &str) -> Result<(Kind, Option<Subject>), Error> {
    let head: Head<'_> = serde_json::from_str(json).map_err(|error| Error::json("payload", &error))?;
    let kind = if head.v == VERSION {
        Kind::from_name(&head.kind)
    } else {
        Kind::Unknown
    };
    if matches!(kind, Kind::Unknown | Kind::Correction) {
        return Ok((kind, None));
    }
    let about: About = serde_json::from_str(json).map_err(|error| Error::json("payload", &error))?;
    let subject = match kind {
        Kind::Customer => about.customer.map(|name| Subject::customer(&name)),
        Kind::Site => about.site.map(|name| Subject::site(&name)),
        Kind::Settings => about.person.map(|name| Subject::person(&name)),
        Kind::Water | Kind::Attachment | Kind::Note | Kind::Visit => about.of,
        _ => about.unit.map(|name| Subject::unit(&name)),
    };
    if subject.is_none() {
        let reason = format!("an entry of kind {:?} does not say what it is about", kind.name());
        return Err(Error::Malformed {
            what: "payload",
            reason,
        });
    }
    Ok((kind, subject))
}

fn body<T: DeserializeOwned>(kind: Kind, json: &str) -> Result<T, Error> {
    serde_json::from_str(json).map_err(|error| Error::json(kind.name(), &error))
}

fn not_understood(json: &str) -> Error {
    match serde_json::from_str::<Head<'_>>(json) {
        Ok(head) => Error::NotUnderstood {
            kind: head.kind.into_owned(),
            version: head.v,
            ours: VERSION,
        },
        Err(error) => Error::json("payload", &error),
    }
}
