//! The demonstration: the invented Quillmere valley, fourteen units, and what two people wrote down about them in
//! up to four years. Simulated with the unit model (`model.md` 2, 3 and 5) from a seed.
//!
//! Architecture invariant: a seed and the time that counts as now in, entries out. The same entries every time.
#![deny(clippy::disallowed_methods)]

mod book;
mod chance;
mod element;
mod error;
mod kept_log;
mod life;
mod measure;
mod plant;
mod scenario;
mod season;
mod stories;
mod typed;
mod valley;

use std::collections::BTreeMap;

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Span, Timestamp};
use ledger::payload::{
    Correction, CustomerDescribed, NoteWritten, Payload, Replacement, SettingsChosen, SiteDescribed,
    VisitDone, WaterAnalysed,
};
use ledger::{Entry, EventId, Kind, Subject};
use serde_json::{Map, Value, json};

use crate::book::Book;
use crate::chance::Chance;
use crate::scenario::Hand;
use crate::valley::Valley;

pub use crate::error::Error;

/// The seed of the demonstration as it is shown.
pub const SEED: u64 = 14;

/// How many units there are.
pub const UNITS: usize = stories::LOWER.len() + stories::UPPER.len();

/// Id of the log itself, from its seed and time: a demonstration made twice is one log.
pub fn identity(seed: u64, now: Timestamp) -> EventId {
    EventId::new(now, Chance::new(seed, u64::MAX).bytes())
}

/// Everything that was written down until now, in the order of writing. `now` is cut to its day (UTC): days are
/// counted back from it.
///
/// # Errors
/// A fault of the demonstration's own data, or a time that is too early or late for a calendar.
pub fn entries(seed: u64, now: Timestamp) -> Result<Vec<Entry>, Error> {
    let today = TimeZone::UTC.to_datetime(now).date();
    let calendar = Calendar { today };
    let valley = Valley::read()?;
    let mut book = Book::new(Chance::new(seed, 0));
    people(&mut book, calendar)?;
    places(&mut book, calendar, &valley)?;
    let mut visits = Visits::default();
    for (story, stream) in stories::LOWER.iter().chain(&stories::UPPER).zip(1..) {
        let mut chance = Chance::new(seed, stream);
        life::write(story, &valley, calendar, &mut book, &mut visits, &mut chance)?;
    }
    visits.write(&mut book);
    repair_a_row(&mut book, calendar)?;
    Ok(book.into_entries())
}

/// Days counted back from today.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Calendar {
    today: Date,
}

impl Calendar {
    pub(crate) fn date(self, day: i64) -> Result<Date, Error> {
        Ok(self.today.checked_sub(Span::new().try_days(day)?)?)
    }

    /// So many minutes after midnight of that day.
    pub(crate) fn at(self, day: i64, minutes: i64) -> Result<Timestamp, Error> {
        let midnight = TimeZone::UTC.to_timestamp(self.date(day)?.at(0, 0, 0, 0))?;
        Ok(midnight.checked_add(SignedDuration::from_mins(minutes))?)
    }
}

/// Day on which the oldest of the ledger was written.
const FIRST_DAY: i64 = 1430;

fn people(book: &mut Book, calendar: Calendar) -> Result<(), Error> {
    let choices = [(Hand::Ines, "metric"), (Hand::Tobias, "us")];
    for (hand, units) in choices {
        let set = BTreeMap::from([
            ("language".to_owned(), json!("en")),
            ("units".to_owned(), json!(units)),
        ]);
        let settings = SettingsChosen {
            person: hand.name().to_owned(),
            set,
        };
        book.write(
            calendar.at(FIRST_DAY, 8 * 60)?,
            hand,
            &Payload::Settings(settings),
        );
    }
    Ok(())
}

fn places(book: &mut Book, calendar: Calendar, valley: &Valley) -> Result<(), Error> {
    let at = calendar.at(FIRST_DAY, 9 * 60)?;
    for record in valley.customers() {
        let customer = CustomerDescribed {
            customer: record.text("id").to_owned(),
            name: record.text("name").to_owned(),
            phone: record.text("phone").to_owned(),
            email: record.text("email").to_owned(),
            address: record.text("address").to_owned(),
        };
        book.write(at, Hand::Desk, &Payload::Customer(customer));
    }
    for record in valley.sites() {
        let id = record.text("id");
        let site = SiteDescribed {
            site: id.to_owned(),
            customer: Some(record.text("customer").to_owned()),
            name: record.text("name").to_owned(),
            place: record.text("place").to_owned(),
            access: record.text("access").to_owned(),
        };
        book.write(at, Hand::Desk, &Payload::Site(site));
        if let Some(document) = valley.water_of(id) {
            let water = |document: Map<String, Value>| {
                Payload::Water(WaterAnalysed {
                    of: Subject::site(id),
                    document,
                })
            };
            book.write(at, Hand::Desk, &water(document.clone()));
        }
    }
    Ok(())
}

/// Who was where on which day, and what for.
#[derive(Default)]
pub(crate) struct Visits(BTreeMap<(Timestamp, &'static str), Visit>);

struct Visit {
    at: Timestamp,
    hand: Hand,
    units: Vec<String>,
    minutes: i64,
    notes: Vec<String>,
}

impl Visits {
    /// One more unit on a visit. Visits to one site on one day are one.
    pub(crate) fn add(
        &mut self,
        day: Timestamp,
        at: Timestamp,
        site: &'static str,
        hand: Hand,
        unit: &str,
        works: &[String],
    ) {
        let visit = self.0.entry((day, site)).or_insert_with(|| Visit {
            at,
            hand,
            units: Vec::new(),
            minutes: 10,
            notes: Vec::new(),
        });
        visit.at = visit.at.max(at);
        visit.units.push(unit.to_owned());
        visit.minutes += 15 + 20 * i64::try_from(works.len()).unwrap_or(0);
        visit.notes.extend_from_slice(works);
    }

    fn write(self, book: &mut Book) {
        for ((_, site), visit) in self.0 {
            let note = if visit.notes.is_empty() {
                "Readings taken.".to_owned()
            } else {
                format!("Readings taken. {}.", visit.notes.join("; "))
            };
            let done = VisitDone {
                of: Subject::site(site),
                units: visit.units,
                minutes: Some(visit.minutes as f64),
                note,
            };
            book.write(visit.at, visit.hand, &Payload::Visit(done));
        }
    }
}

/// One row that could not be read was read again by eye, and stands as a remark.
fn repair_a_row(book: &mut Book, calendar: Calendar) -> Result<(), Error> {
    let aside = book
        .entries()
        .iter()
        .find(|entry| entry.payload.kind() == Kind::SetAside && entry.payload.json().contains("tanker"));
    let Some((id, subject)) = aside.and_then(|entry| Some((entry.id, entry.payload.subject()?.clone())))
    else {
        return Ok(());
    };
    let note = Payload::Note(NoteWritten {
        of: subject,
        text: "milk tanker in the way, no reading that day".to_owned(),
    });
    let correction = Correction {
        corrects: id,
        replacement: Some(Replacement {
            happened_at: None,
            payload: note.encode(),
        }),
        reason: "a remark, not a reading".to_owned(),
    };
    let at = calendar.at(598, 17 * 60)?;
    book.write(at, Hand::Desk, &Payload::Correction(correction));
    Ok(())
}
