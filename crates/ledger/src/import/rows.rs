//! What one row gives.

use jiff::Timestamp;
use reading::Reading;
use serde_json::{Map, Value};

use super::{LogFile, LogRow, Unread};
use crate::entry::to_microsecond;
use crate::payload::{Kind, PartEvent, Payload, RowSetAside, Source, event_document, reading_line};
use crate::{ContentHash, Encoded, EventId, Subject};

/// What a row says.
pub(super) enum Says<'a> {
    /// A reading.
    Reading(&'a Reading),
    /// Something was done.
    Event(Map<String, Value>),
    /// It could not be read.
    Nothing(&'a Unread),
}

/// One entry that a row gives.
pub(super) struct Item<'a> {
    /// The row.
    pub(super) row: &'a LogRow,
    /// When it happened.
    pub(super) at: Timestamp,
    /// What it says.
    pub(super) says: Says<'a>,
    /// The payload's text, without the place where it was read.
    pub(super) content: String,
}

/// The entries of a row: the reading first, then what was done; where there is neither, the row itself.
/// `row_at` is the time of a row that has none of its own.
pub(super) fn items<'a>(
    unit: &'a str,
    row: &'a LogRow,
    row_at: Timestamp,
) -> impl Iterator<Item = Item<'a>> + use<'a> {
    let item = move |at, says, content| Item {
        row,
        at,
        says,
        content,
    };
    let reading = row.reading.iter().map(move |reading| {
        let content = reading_line(unit, reading, &row.as_written);
        item(to_microsecond(reading.at), Says::Reading(reading), content)
    });
    let events = row.events.iter().map(move |event| {
        let document = event_document(event);
        let payload = PartEvent {
            unit: unit.to_owned(),
            document: document.clone(),
            from: None,
        };
        let content = Payload::Event(payload).encode().json().to_owned();
        item(to_microsecond(event.at), Says::Event(document), content)
    });
    let empty = row.reading.is_none() && row.events.is_empty();
    let unread = row.set_aside.iter().filter(move |_| empty).map(move |unread| {
        let (unit, cells, reason) = (unit.to_owned(), unread.cells.clone(), unread.reason.clone());
        let kept = RowSetAside {
            unit,
            cells,
            reason,
            from: None,
        };
        let content = Payload::SetAside(kept).encode().json().to_owned();
        item(row_at, Says::Nothing(unread), content)
    });
    reading.chain(events).chain(unread)
}

impl Item<'_> {
    /// The payload with the place where it was read, which is the last field of each of these records.
    pub(super) fn payload(&self, subject: &Subject, import: EventId) -> Encoded {
        let kind = match self.says {
            Says::Reading(_) => Kind::Reading,
            Says::Event(_) => Kind::Event,
            Says::Nothing(_) => Kind::SetAside,
        };
        let from = serde_json::to_string(&Source {
            import,
            line: self.row.line,
        })
        .unwrap_or_default();
        let mut json = String::with_capacity(self.content.len() + from.len() + 8);
        json.push_str(self.content.strip_suffix('}').unwrap_or(&self.content));
        json.push_str(",\"from\":");
        json.push_str(&from);
        json.push('}');
        Encoded::from_parts(kind, Some(subject.clone()), json)
    }
}

/// What a row of a unit's log is known by.
pub(super) struct RowHash(ContentHash);

impl RowHash {
    pub(super) fn of(unit: &str, row: &LogRow) -> Self {
        let parts: [&[u8]; 3] = [b"row of a reading log", unit.as_bytes(), row.hash.as_bytes()];
        Self(ContentHash::of_parts(parts))
    }

    /// The id of the n-th entry of the row, where `above` equal rows stand above it.
    pub(super) fn id(&self, above: u64, n: u64, at: Timestamp) -> EventId {
        if (above, n) == (0, 0) {
            return EventId::of_hash(at, self.0);
        }
        let parts: [&[u8]; 3] = [self.0.as_bytes(), &above.to_be_bytes(), &n.to_be_bytes()];
        EventId::of_content(at, parts)
    }
}

/// The time of a row by its reading or by what was done.
pub(super) fn own_time(row: &LogRow) -> Option<Timestamp> {
    let event = || row.events.first().map(|event| event.at);
    row.reading
        .as_ref()
        .map(|reading| reading.at)
        .or_else(event)
        .map(to_microsecond)
}

/// The first time in a file.
pub(super) fn first_time(file: &LogFile) -> Option<Timestamp> {
    file.rows.iter().find_map(own_time)
}
