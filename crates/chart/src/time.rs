//! The axis of time: hours, days, months, quarters or years, by how long it is and how much room there is.

use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan};

use crate::text;
use crate::words::{Word, Words};

/// A mark on the axis: `text` beside it and, where it differs from the tick before, `group` below.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tick {
    pub(crate) part: f64,
    pub(crate) text: String,
    pub(crate) group: Option<String>,
}

/// How far apart ticks are.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Step {
    Hours(i32),
    Days(i32),
    Months(i32),
    Years(i32),
}

const STEPS: [Step; 22] = [
    Step::Hours(1),
    Step::Hours(3),
    Step::Hours(6),
    Step::Hours(12),
    Step::Days(1),
    Step::Days(2),
    Step::Days(7),
    Step::Days(14),
    Step::Months(1),
    Step::Months(3),
    Step::Months(6),
    Step::Years(1),
    Step::Years(2),
    Step::Years(5),
    Step::Years(10),
    Step::Years(20),
    Step::Years(50),
    Step::Years(100),
    Step::Years(500),
    Step::Years(1000),
    Step::Years(2000),
    Step::Years(5000),
];

impl Step {
    /// Mean length, days.
    fn days(self) -> f64 {
        match self {
            Self::Hours(n) => f64::from(n) / 24.0,
            Self::Days(n) => f64::from(n),
            Self::Months(n) => f64::from(n) * 30.44,
            Self::Years(n) => f64::from(n) * 365.24,
        }
    }

    /// The widest text of such a tick.
    fn widest(self) -> &'static str {
        match self {
            Self::Hours(_) => "00:00",
            Self::Days(_) => "28 May",
            Self::Months(_) => "May",
            Self::Years(_) => "2028",
        }
    }

    /// The last such moment at or before this one.
    fn floor(self, at: DateTime) -> Option<DateTime> {
        let date = at.date();
        match self {
            Self::Hours(n) => {
                let hour = i32::from(at.hour()).div_euclid(n) * n;
                Some(date.at(i8::try_from(hour).ok()?, 0, 0, 0))
            }
            Self::Days(n) => {
                // Counted from a Monday, so that weeks begin on one.
                let since = date.since(Date::constant(2024, 1, 1)).ok()?.get_days();
                let start = date.checked_sub(since.rem_euclid(n).days()).ok()?;
                Some(start.at(0, 0, 0, 0))
            }
            Self::Months(n) => {
                let first = (i32::from(date.month()) - 1).div_euclid(n) * n + 1;
                Some(
                    Date::new(date.year(), i8::try_from(first).ok()?, 1)
                        .ok()?
                        .at(0, 0, 0, 0),
                )
            }
            Self::Years(n) => {
                let year = i32::from(date.year()).div_euclid(n) * n;
                let year = i16::try_from(year.max(-9999)).ok()?;
                Some(Date::new(year, 1, 1).ok()?.at(0, 0, 0, 0))
            }
        }
    }

    fn after(self, at: DateTime) -> Option<DateTime> {
        let span = match self {
            Self::Hours(n) => n.hours(),
            Self::Days(n) => n.days(),
            Self::Months(n) => n.months(),
            Self::Years(n) => n.years(),
        };
        at.checked_add(span).ok()
    }

    fn words(self, at: DateTime, words: &Words) -> (String, Option<String>) {
        let date = at.date();
        let day = words.say(Word::DayOfMonth, &[&date.day().to_string(), words.month(date)]);
        match self {
            Self::Hours(_) => (
                format!("{:02}:00", at.hour()),
                Some(format!("{day} {}", date.year())),
            ),
            Self::Days(_) => (day, Some(date.year().to_string())),
            Self::Months(_) => (words.month(date).to_owned(), Some(date.year().to_string())),
            Self::Years(_) => (date.year().to_string(), None),
        }
    }
}

/// The span of time that a picture shows.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct TimeSpan {
    from: Timestamp,
    /// Milliseconds since 1970.
    start: f64,
    /// Milliseconds; never zero.
    length: f64,
}

fn milliseconds(at: Timestamp) -> f64 {
    #[expect(
        clippy::cast_precision_loss,
        reason = "the whole calendar is below 2^49 milliseconds from 1970"
    )]
    let ms = at.as_millisecond() as f64;
    ms
}

impl TimeSpan {
    /// From one time to another, in either order; a day where they are the same.
    pub(crate) fn new(a: Timestamp, b: Timestamp) -> Self {
        let (from, to) = (a.min(b), a.max(b));
        let length = milliseconds(to) - milliseconds(from);
        if length >= 60_000.0 {
            return Self {
                from,
                start: milliseconds(from),
                length,
            };
        }
        let from = from.checked_sub(12.hours()).unwrap_or(Timestamp::MIN);
        Self {
            from,
            start: milliseconds(from),
            length: length + 86_400_000.0,
        }
    }

    /// Where a time lies: 0 at the start, 1 at the end.
    pub(crate) fn place(&self, at: Timestamp) -> f64 {
        (milliseconds(at) - self.start) / self.length
    }

    pub(crate) fn holds(&self, at: Timestamp) -> bool {
        (0.0..=1.0).contains(&self.place(at))
    }

    /// Ticks that have room on an axis this long, with text of this size.
    pub(crate) fn ticks(&self, room: f64, size: f64, zone: &TimeZone, words: &Words) -> Vec<Tick> {
        let days = self.length / 86_400_000.0;
        let step = STEPS.into_iter().find(|step| {
            let apart = room * step.days() / days;
            apart >= text::width(step.widest(), size, false) + 0.9 * size
        });
        let Some(step) = step else { return Vec::new() };
        let mut ticks: Vec<Tick> = Vec::new();
        let mut group_before = None;
        let mut at = step.floor(zone.to_datetime(self.from));
        // No step is found that gives more ticks than there is room for; the bound is for safety.
        for _ in 0..2000 {
            let Some(civil) = at else { break };
            at = step.after(civil);
            let Ok(stamp) = zone.to_timestamp(civil) else {
                continue;
            };
            let part = self.place(stamp);
            if part > 1.0 {
                break;
            }
            if part < 0.0 {
                continue;
            }
            let (text, group) = step.words(civil, words);
            let fresh = group != group_before;
            group_before.clone_from(&group);
            ticks.push(Tick {
                part,
                text,
                group: group.filter(|_| fresh),
            });
        }
        ticks
    }
}

#[cfg(test)]
mod tests {
    use jiff::Timestamp;
    use jiff::tz::TimeZone;

    use super::TimeSpan;
    use crate::words::Words;

    fn ticks(from: &str, to: &str, room: f64) -> Vec<String> {
        let (from, to): (Timestamp, Timestamp) = (from.parse().unwrap(), to.parse().unwrap());
        TimeSpan::new(from, to)
            .ticks(room, 16.0, &TimeZone::UTC, &Words::default())
            .into_iter()
            .map(|tick| {
                tick.group
                    .map_or(tick.text.clone(), |group| format!("{}/{group}", tick.text))
            })
            .collect()
    }

    #[test]
    fn regress_ticks_follow_the_span_and_the_room() {
        assert_eq!(
            ticks("2024-02-10T00:00:00Z", "2025-05-10T00:00:00Z", 320.0),
            ["Apr/2024", "Jul", "Oct", "Jan/2025", "Apr"]
        );
        assert_eq!(
            ticks("2021-06-01T00:00:00Z", "2025-05-10T00:00:00Z", 320.0),
            ["2022", "2023", "2024", "2025"]
        );
        assert_eq!(
            ticks("2024-05-01T00:00:00Z", "2024-05-20T00:00:00Z", 320.0),
            ["6 May/2024", "13 May", "20 May"]
        );
        assert_eq!(
            ticks("2024-05-01T20:00:00Z", "2024-05-02T04:00:00Z", 320.0),
            ["21:00/1 May 2024", "00:00/2 May 2024", "03:00"]
        );
    }

    #[test]
    fn regress_the_ends_of_the_calendar_have_ticks_too() {
        for (from, to) in [
            (Timestamp::MIN, Timestamp::MAX),
            (Timestamp::MIN, Timestamp::MIN),
            (Timestamp::MAX, Timestamp::MAX),
        ] {
            let span = TimeSpan::new(from, to);
            assert!(span.ticks(300.0, 16.0, &TimeZone::UTC, &Words::default()).len() < 40);
            assert!(span.holds(from));
        }
    }
}
