//! One unit's life, written down day by day.

use jiff::civil::Weekday;
use jiff::{SignedDuration, Timestamp};
use ledger::payload::{Correction, NoteWritten, PartEvent, Payload, Replacement, UnitDescribed, UnitMoved};
use ledger::{EventId, Subject};
use reading::EventKind;
use serde_json::{Map, Value};

use crate::book::Book;
use crate::chance::Chance;
use crate::kept_log::Sheet;
use crate::measure::{Instruments, Measured};
use crate::plant::Plant;
use crate::scenario::{Hand, Scenario, Slip, Slipped, Work};
use crate::typed::{Typist, vessel_ml};
use crate::valley::{Valley, unit};
use crate::{Calendar, Error, Visits};

/// The unit that was moved, the day, and where it had stood before.
const MOVED: (&str, i64, &str) = ("ladder-van", 352, "sallow-lane");

/// Writes all that happened to a unit.
pub(crate) fn write(
    story: &'static Scenario,
    valley: &Valley,
    calendar: Calendar,
    book: &mut Book,
    visits: &mut Visits,
    chance: &mut Chance,
) -> Result<(), Error> {
    let commissioned = calendar.date(story.age_d)?.to_string();
    let (document, unit) = unit(story.file, &commissioned)?;
    let installed = Payload::Unit(UnitDescribed {
        unit: story.id.to_owned(),
        site: Some(story.site.to_owned()),
        installed: true,
        document,
    });
    let at = calendar.at(story.age_d, 9 * 60)?;
    // The ledger begins with the firm's own notes; what was installed by others is put in when it is taken over.
    book.write(at, story.hand, &installed);
    let none = Map::new();
    let water = valley.water_of(story.site).unwrap_or(&none);
    let instruments = Instruments::new(&unit, chance);
    let plant = Plant::new(story, unit, water, chance)?;
    let mut life = Life {
        story,
        plant,
        instruments,
        calendar,
        slips: story.slips.to_vec(),
        sheet: story.log.map(Sheet::new),
        next: story.age_d,
        site: story.site,
    };
    for day in (1..=story.age_d).rev() {
        life.day(day, book, visits, chance)?;
    }
    Ok(())
}

struct Life<'a> {
    story: &'static Scenario,
    plant: Plant<'a>,
    instruments: Instruments,
    calendar: Calendar,
    slips: Vec<Slipped>,
    sheet: Option<Sheet>,
    /// The day of the next round.
    next: i64,
    site: &'static str,
}

impl Life<'_> {
    fn day(
        &mut self,
        day: i64,
        book: &mut Book,
        visits: &mut Visits,
        chance: &mut Chance,
    ) -> Result<(), Error> {
        let date = self.calendar.date(day)?;
        let works: Vec<Work> = self
            .story
            .works
            .iter()
            .filter(|work| work.day == day)
            .copied()
            .collect();
        let minutes = 8 * 60 + 30 + chance.minutes(7 * 60);
        let at = self.calendar.at(day, minutes)?;
        let kept = self
            .sheet
            .as_ref()
            .filter(|sheet| day >= sheet.log().until_d)
            .map(|sheet| *sheet.log());
        if let Some(log) = kept {
            if (self.story.age_d - day) % log.every_d == 0 || !works.is_empty() {
                self.kept_row(day, &works, chance)?;
            }
            for work in &works {
                self.plant.work(work, chance);
            }
        } else {
            if let Some(sheet) = self.sheet.take_if(|sheet| day <= sheet.log().imported_d) {
                book.import(at, Hand::Desk, &self.plant.unit, &sheet)?;
                self.next = day;
            }
            self.round(day, at, &works, book, visits, chance)?;
        }
        for (_, text) in self.story.notes.iter().filter(|(of, _)| *of == day) {
            let note = NoteWritten {
                of: Subject::unit(self.story.id),
                text: (*text).to_owned(),
            };
            let later = at.checked_add(SignedDuration::from_mins(50))?;
            book.write(later, self.story.hand, &Payload::Note(note));
        }
        if self.story.id == MOVED.0 && day == MOVED.1 {
            self.move_to(MOVED.2, at, book);
        }
        self.plant.pass(day, date)
    }

    fn move_to(&mut self, site: &'static str, at: Timestamp, book: &mut Book) {
        let moved = UnitMoved {
            unit: self.story.id.to_owned(),
            site: Some(site.to_owned()),
            note: "feeds the second van's tank now".to_owned(),
        };
        book.write(at, self.story.hand, &Payload::UnitMoved(moved));
        self.site = site;
    }

    fn kept_row(&mut self, day: i64, works: &[Work], chance: &mut Chance) -> Result<(), Error> {
        let date = self.calendar.date(day)?;
        let read = self.measured(day, chance)?;
        let done: Vec<String> = works.iter().map(sentence).collect();
        if let Some(sheet) = &mut self.sheet {
            sheet.row(date.at(0, 0, 0, 0), &read, &done.join("; "));
        }
        Ok(())
    }

    fn measured(&mut self, day: i64, chance: &mut Chance) -> Result<Measured, Error> {
        let moment = self.plant.moment(day, self.calendar.date(day)?, chance)?;
        Ok(self
            .instruments
            .read(&moment, self.plant.made_l, self.plant.hours, chance))
    }

    /// A round, if it is time for one or there is work: readings, the work, and readings again.
    fn round(
        &mut self,
        day: i64,
        at: Timestamp,
        works: &[Work],
        book: &mut Book,
        visits: &mut Visits,
        chance: &mut Chance,
    ) -> Result<(), Error> {
        let sunday = self.calendar.date(day)?.weekday() == Weekday::Sunday;
        let due = day <= self.next && !sunday && !self.plant.is_stopped();
        if !due && works.is_empty() {
            return Ok(());
        }
        let mut written = 0;
        if !self.plant.is_stopped() && day < self.story.age_d {
            self.reading(day, at, book, chance)?;
            written += 1;
        }
        let done: Vec<String> = works.iter().map(sentence).collect();
        for work in works {
            let minutes = 20 + 5 * written;
            self.event(work, at.checked_add(SignedDuration::from_mins(minutes))?, book);
            self.plant.work(work, chance);
            written += 1;
        }
        let proved = at.checked_add(SignedDuration::from_mins(75))?;
        let renewed = works
            .iter()
            .any(|work| matches!(work.kind, EventKind::Changed | EventKind::Cleaned));
        if (renewed || day == self.story.age_d) && !self.plant.is_stopped() {
            self.reading(day, proved, book, chance)?;
        }
        if day <= self.next {
            // Nobody comes on the very day.
            self.next = day - self.story.every_d + chance.minutes(5) - 2;
        }
        if self.story.hand != Hand::Desk {
            let midnight = self.calendar.at(day, 0)?;
            let end = at.checked_add(SignedDuration::from_mins(90))?;
            visits.add(midnight, end, self.site, self.story.hand, self.story.id, &done);
        }
        Ok(())
    }

    fn event(&self, work: &Work, at: Timestamp, book: &mut Book) {
        let mut document = Map::new();
        document.insert("kind".to_owned(), work.kind.name().into());
        if let Some(part) = work.part {
            document.insert("part".to_owned(), part.into());
        }
        if !work.note.is_empty() {
            document.insert("note".to_owned(), Value::from(work.note));
        }
        let event = PartEvent {
            unit: self.story.id.to_owned(),
            document,
            from: None,
        };
        book.write(at, self.story.hand, &Payload::Event(event));
    }

    fn reading(
        &mut self,
        day: i64,
        at: Timestamp,
        book: &mut Book,
        chance: &mut Chance,
    ) -> Result<EventId, Error> {
        let sound = self.measured(day, chance)?;
        let typist = Typist {
            unit: &self.plant.unit,
            system: self.story.system,
            takes: self.story.takes,
        };
        let vessels = (vessel_ml(sound.permeate_l_h), vessel_ml(sound.concentrate_l_h));
        let right = typist.reading(at, &sound, vessels, "")?;
        let slipped = self
            .slips
            .iter()
            .position(|slip| slip.day >= day)
            .map(|at| self.slips.remove(at));
        let Some(slipped) = slipped else {
            return Ok(book.write(at, self.story.hand, &Payload::Reading(Box::new(right))));
        };
        let wrong = typist.reading(at, &slip(&sound, slipped.slip), vessels, "")?;
        let id = book.write(at, self.story.hand, &Payload::Reading(Box::new(wrong)));
        if let Some((hand, days)) = slipped.seen {
            let correction = Correction {
                corrects: id,
                replacement: Some(Replacement {
                    happened_at: None,
                    payload: Payload::Reading(Box::new(right)).encode(),
                }),
                reason: reason(slipped.slip).to_owned(),
            };
            let seen = at.checked_add(SignedDuration::from_hours(24 * days + 3))?;
            book.write(seen, hand, &Payload::Correction(correction));
        }
        Ok(id)
    }
}

fn slip(sound: &Measured, slip: Slip) -> Measured {
    let mut wrong = sound.clone();
    match slip {
        Slip::Decimal => wrong.permeate_l_h *= 10.0,
        Slip::Swapped => std::mem::swap(&mut wrong.feed_us_cm, &mut wrong.permeate_us_cm),
        Slip::WrongGauge => wrong.membrane_kpa = 0.35 * sound.membrane_kpa,
    }
    wrong
}

fn reason(slip: Slip) -> &'static str {
    match slip {
        Slip::Decimal => "the decimal point of the seconds had slipped",
        Slip::Swapped => "feed and permeate had changed places",
        Slip::WrongGauge => "read off the wrong gauge",
    }
}

/// What was done, as one writes it in a log.
fn sentence(work: &Work) -> String {
    let what = work.kind.name().replace('_', " ");
    match work.part {
        Some(part) => format!("{what} {part}"),
        None if work.note.is_empty() => what,
        None => format!("{what}: {}", work.note),
    }
}
