//! The days that a label has: when a part went in, and when it may first be due.

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use reading::Event;
use unit::Unit;
use wear::forecast::{HORIZON_D, PartForecast};

/// The days of one part.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PartDays {
    /// When it went in; none where nobody knows.
    pub since: Option<Date>,
    /// The first day on which it may be due: one in ten are due sooner (p10 of its forecast). None where it has no limit, or
    /// none that it meets within [`HORIZON_D`].
    pub due: Option<Date>,
}

/// The days of a part, in the time zone of its unit; `events` in order of time, `forecasts` as of `as_of`.
pub fn of_part(
    unit: &Unit,
    part: &str,
    events: &[Event],
    forecasts: &[PartForecast],
    as_of: Timestamp,
    zone: &TimeZone,
) -> PartDays {
    let day = |at: Timestamp| zone.to_datetime(at).date();
    let renewed = events
        .iter()
        .rev()
        .find(|event| event.renews() && event.part.as_deref() == Some(part));
    let forecast = forecasts.iter().find(|forecast| forecast.id == part);
    let due_in_d = forecast
        .and_then(|forecast| forecast.due_in_d)
        .map(|due| due.p10)
        .filter(|p10| *p10 < HORIZON_D);
    let due = due_in_d.and_then(|days| {
        let ahead = SignedDuration::try_from_secs_f64(days.max(0.0) * 86_400.0).ok()?;
        as_of.checked_add(ahead).ok()
    });
    PartDays {
        since: renewed.map(|event| day(event.at)).or(unit.commissioned),
        due: due.map(day),
    }
}
