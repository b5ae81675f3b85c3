//! Dates and times as people write them.

use jiff::civil::{Date, DateTime, Time};
use jiff::{Timestamp, tz::TimeZone};

use crate::date_order::{Numbers, Order, date_of, full_year, numbers};
use crate::grid::{Cell, Tag};
use crate::words::fold;

/// What a cell says of the time of a reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum When {
    /// A day.
    Day(Date),
    /// A day and a time of day.
    Moment(DateTime),
    /// With its own zone.
    Instant(Timestamp),
    /// A time of day alone.
    Clock(Time),
}

/// What a cell of a date column, or of a time column, says; none where it is no date.
pub(crate) fn parse(cell: Cell<'_>, order: Order) -> Option<When> {
    match cell.tag {
        Tag::DateTime => {
            let moment: DateTime = cell.text.parse().ok()?;
            let moment = moment.round(jiff::Unit::Second).ok()?;
            // Midnight in a date cell is a day without a time.
            Some(if moment.time() == Time::midnight() {
                When::Day(moment.date())
            } else {
                When::Moment(moment)
            })
        }
        Tag::Number => serial(cell.text.parse().ok()?),
        Tag::Clock => clock(cell.text).map(When::Clock),
        Tag::Formula | Tag::Across => None,
        Tag::Text => text(cell.text, order),
    }
}

/// The date of a spreadsheet's serial number (days since 1899-12-30), a time where it is below 1.
fn serial(value: f64) -> Option<When> {
    if (0.0..1.0).contains(&value) {
        return time_of_fraction(value).map(When::Clock);
    }
    // 1970 to 2200; smaller numbers are no dates of readings. `20240108` is one written without signs.
    if !(25_569.0..109_937.0).contains(&value) {
        return (value.fract() == 0.0 && (1.97e7..2.2e7).contains(&value))
            .then(|| compact(&format!("{value}")))
            .flatten()
            .map(When::Day);
    }
    let seconds = (value * 86_400.0).round();
    #[expect(clippy::cast_possible_truncation, reason = "below 1e10")]
    let span = jiff::SignedDuration::from_secs(seconds as i64);
    let moment = jiff::civil::date(1899, 12, 30)
        .at(0, 0, 0, 0)
        .checked_add(span)
        .ok()?;
    Some(if moment.time() == Time::midnight() {
        When::Day(moment.date())
    } else {
        When::Moment(moment)
    })
}

fn time_of_fraction(value: f64) -> Option<Time> {
    #[expect(clippy::cast_possible_truncation, reason = "below 86400")]
    let seconds = (value * 86_400.0).round() as i64;
    Time::midnight()
        .checked_add(jiff::SignedDuration::from_secs(seconds))
        .ok()
}

fn text(text: &str, order: Order) -> Option<When> {
    let text = text.trim().trim_start_matches('\'');
    if let Some((numbers, _, rest)) = numbers(text) {
        let date = date_of(numbers, order)?;
        return with_time(date, rest, text);
    }
    if let Ok(value) = text.replace(',', ".").parse::<f64>() {
        return serial(value);
    }
    if let Some(time) = clock(text) {
        return Some(When::Clock(time));
    }
    named_month(text)
}

/// A date followed by nothing, a time, or an ISO 8601 time with a zone.
fn with_time(date: Date, rest: &str, whole: &str) -> Option<When> {
    let rest = rest.trim_start_matches([',', '.', ' ', '\u{a0}', 'T', 't', '-']);
    let rest = rest
        .strip_prefix("at ")
        .or_else(|| rest.strip_prefix("um "))
        .unwrap_or(rest)
        .trim();
    if rest.is_empty() {
        return Some(When::Day(date));
    }
    let zoned = rest.ends_with(['Z', 'z']) || rest.contains('+') || rest.matches('-').count() == 1;
    if zoned {
        let at = if whole.contains(' ') {
            whole.replacen(' ', "T", 1).replace(' ', "").parse::<Timestamp>()
        } else {
            whole.parse()
        };
        if let Ok(at) = at {
            return Some(When::Instant(at));
        }
    }
    // A weekday or the like in brackets behind the date carries nothing.
    if rest
        .chars()
        .all(|c| c.is_alphabetic() || matches!(c, '(' | ')' | '.'))
        && rest.len() < 14
    {
        return Some(When::Day(date));
    }
    clock(rest).map(|time| When::Moment(date.to_datetime(time)))
}

/// `20240108`.
fn compact(digits: &str) -> Option<Date> {
    if digits.len() != 8 || !digits.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let part = |range: std::ops::Range<usize>| digits.get(range)?.parse::<i16>().ok();
    date_of(
        Numbers {
            parts: [part(0..4)?, part(4..6)?, part(6..8)?],
            year_first: true,
        },
        Order::YearFirst,
    )
}

/// `8:00 AM`, `13:35`, `13.35 Uhr`, `9h30`, `8 pm`, `0930`, `13:35:20`.
pub(crate) fn clock(text: &str) -> Option<Time> {
    let folded = fold(text.trim());
    let mut body = folded.trim();
    let mut afternoon = None;
    for (suffixes, pm) in [
        (["am", "a.m.", "a. m.", "a.m", "a"], false),
        (["pm", "p.m.", "p. m.", "p.m", "p"], true),
    ] {
        for suffix in suffixes {
            if let Some(stem) = body.strip_suffix(suffix)
                && stem.trim_end().ends_with(|c: char| c.is_ascii_digit())
            {
                body = stem.trim_end();
                afternoon = Some(pm);
                break;
            }
        }
    }
    let named = ["uhr", "hrs", "hs", "h"].iter().find_map(|suffix| {
        body.strip_suffix(suffix)
            .filter(|stem| stem.trim_end().ends_with(|c: char| c.is_ascii_digit()))
    });
    let whole_hour = named.is_some() || afternoon.is_some();
    let body = named.unwrap_or(body).trim();
    let parts: Vec<&str> = body.split([':', '.', 'h']).map(str::trim).collect();
    let number = |text: &str, most: i8| {
        (1..=2)
            .contains(&text.len())
            .then(|| text.parse::<i8>().ok().filter(|n| (0..=most).contains(n)))
            .flatten()
    };
    let (hour, minute, second) = match parts.as_slice() {
        [hour] if whole_hour && hour.len() <= 2 => (number(hour, 24)?, 0, 0),
        [digits]
            if digits.len() == 4
                && (digits.starts_with(['0', '1', '2']))
                && (whole_hour || digits.starts_with('0')) =>
        {
            (number(digits.get(..2)?, 23)?, number(digits.get(2..)?, 59)?, 0)
        }
        // A point between two numbers is a time only with two digits behind it.
        [hour, minute] if minute.len() == 2 => (number(hour, 24)?, number(minute, 59)?, 0),
        [hour, minute, second, ..] => (number(hour, 24)?, number(minute, 59)?, number(second, 59)?),
        _ => return None,
    };
    let hour = match afternoon {
        Some(true) if hour < 12 => hour + 12,
        Some(false) if hour == 12 => 0,
        Some(_) if hour > 12 && hour != 24 => hour,
        _ => hour,
    };
    Time::new(hour % 24, minute, second, 0).ok()
}

/// Whether a time is written with AM or PM.
pub(crate) fn is_twelve_hour(text: &str) -> bool {
    let folded = fold(text.trim());
    ["am", "pm", "a.m.", "p.m.", "a. m.", "p. m."]
        .iter()
        .any(|suffix| folded.ends_with(suffix))
        && clock(text_of_clock(text)).is_some()
}

/// The time at the end of a date with its time.
fn text_of_clock(text: &str) -> &str {
    let text = text.trim();
    let colon = text.find(':').unwrap_or(0);
    let start = text
        .get(..colon)
        .and_then(|head| head.rfind(' '))
        .map_or(0, |at| at + 1);
    text.get(start..).unwrap_or(text)
}

const MONTHS: [&[&str]; 12] = [
    &[
        "jan", "january", "januar", "janner", "enero", "ene", "janvier", "janv",
    ],
    &["feb", "february", "februar", "febrero", "fevrier", "fev", "fevr"],
    &["mar", "march", "marz", "mrz", "marzo", "mars", "maerz"],
    &["apr", "april", "abril", "abr", "avril", "avr"],
    &["may", "mai", "mayo"],
    &["jun", "june", "juni", "junio", "juin"],
    &["jul", "july", "juli", "julio", "juillet", "juil"],
    &["aug", "august", "agosto", "ago", "aout"],
    &["sep", "sept", "september", "septiembre", "setiembre", "septembre"],
    &["oct", "october", "oktober", "okt", "octubre", "octobre"],
    &["nov", "november", "noviembre", "novembre"],
    &[
        "dec",
        "december",
        "dezember",
        "dez",
        "diciembre",
        "dic",
        "decembre",
    ],
];

/// `8 Jan 2024`, `Jan 8, 2024`, `8-Jan-24`, `8. Januar 2024`, `8 de enero de 2024`, with a weekday before and a
/// time behind.
fn named_month(text: &str) -> Option<When> {
    let folded = fold(text);
    // A time behind: from the token that holds the colon on.
    let (days, time) = match folded.find(':') {
        Some(colon) => {
            let start = folded.get(..colon)?.rfind([' ', 't']).map_or(0, |at| at + 1);
            (folded.get(..start)?, Some(folded.get(start..)?))
        }
        None => (folded.as_str(), None),
    };
    let mut month = None;
    let mut numbers: Vec<&str> = Vec::new();
    for token in days
        .split(|c: char| !c.is_alphanumeric())
        .filter(|token| !token.is_empty())
    {
        if token.starts_with(|c: char| c.is_ascii_digit()) {
            let end = token.find(|c: char| !c.is_ascii_digit()).unwrap_or(token.len());
            let (digits, suffix) = token.split_at_checked(end)?;
            // `8th`, or `8jan24`.
            match suffix {
                "" | "st" | "nd" | "rd" | "th" | "er" => numbers.push(digits),
                _ => {
                    let letters = suffix.trim_end_matches(|c: char| c.is_ascii_digit());
                    month = Some(month_of(letters)?);
                    numbers.push(digits);
                    let year = suffix.get(letters.len()..)?;
                    if !year.is_empty() {
                        numbers.push(year);
                    }
                }
            }
        } else if let Some(found) = month_of(token) {
            if month.replace(found).is_some_and(|before| before != found) {
                return None;
            }
        } else if !is_weekday(token)
            && !matches!(
                token,
                "de" | "del" | "den" | "der" | "le" | "the" | "of" | "at" | "um" | "t"
            )
        {
            return None;
        }
    }
    let (first, second) = match numbers.as_slice() {
        [first, second] => (*first, *second),
        _ => return None,
    };
    let (day, year) = if first.len() == 4 {
        (second, first)
    } else {
        (first, second)
    };
    if !(1..=2).contains(&day.len()) || !matches!(year.len(), 2 | 4) {
        return None;
    }
    let date = Date::new(full_year(year.parse().ok()?), month?, day.parse().ok()?).ok()?;
    (1970..=2200).contains(&date.year()).then_some(())?;
    match time {
        None => Some(When::Day(date)),
        Some(time) => clock(time).map(|time| When::Moment(date.to_datetime(time))),
    }
}

fn month_of(word: &str) -> Option<i8> {
    let index = MONTHS.iter().position(|names| names.contains(&word))?;
    i8::try_from(index + 1).ok()
}

fn is_weekday(word: &str) -> bool {
    const DAYS: &[&str] = &[
        "mon", "tue", "tues", "wed", "weds", "thu", "thur", "thurs", "fri", "sat", "sun", "mo", "di", "mi",
        "do", "fr", "sa", "so", "lun", "mar", "mie", "jue", "vie", "sab", "dom", "mer", "jeu", "ven", "sam",
        "dim",
    ];
    DAYS.contains(&word)
        || ["day", "tag", "woch"].iter().any(|end| word.ends_with(end))
        || [
            "lunes",
            "martes",
            "miercoles",
            "jueves",
            "viernes",
            "sabado",
            "domingo",
            "lundi",
            "mardi",
            "mercredi",
            "jeudi",
            "vendredi",
            "samedi",
            "dimanche",
            "mittwoch",
        ]
        .contains(&word)
}

/// The instant of a moment in a zone; a time that the clocks skip or repeat is taken as the zone's rules have it.
pub(crate) fn instant(moment: DateTime, zone: &TimeZone) -> Option<Timestamp> {
    zone.to_ambiguous_timestamp(moment).compatible().ok()
}
