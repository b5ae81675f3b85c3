//! Dates that are nothing but numbers, and the order in which these stand.

use jiff::civil::Date;

/// In which order the numbers of a date stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// 31/12/2024.
    DayFirst,
    /// 12/31/2024.
    MonthFirst,
    /// 2024/12/31, or 24/12/31.
    YearFirst,
}

impl Order {
    /// In a sentence and in a mapping file.
    pub fn name(self) -> &'static str {
        match self {
            Self::DayFirst => "day first",
            Self::MonthFirst => "month first",
            Self::YearFirst => "year first",
        }
    }

    pub(crate) fn from_name(name: &str) -> Option<Self> {
        [Self::DayFirst, Self::MonthFirst, Self::YearFirst]
            .into_iter()
            .find(|order| order.name() == name)
    }
}

/// What decided the order of dates that was not plain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// Two-digit years stand first.
    ShortYearsFirst,
    /// Only so do the dates follow each other.
    InTime,
    /// So the oldest stand first.
    OldestFirst,
    /// Other signs of countries that write the day first.
    SignsOfDayFirst,
    /// Units and clock of a country that writes the month first.
    SignsOfMonthFirst,
    /// Nothing says which.
    Nothing,
}

impl Why {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::ShortYearsFirst,
        Self::InTime,
        Self::OldestFirst,
        Self::SignsOfDayFirst,
        Self::SignsOfMonthFirst,
        Self::Nothing,
    ];

    /// Its name in messages.
    pub fn name(self) -> &'static str {
        match self {
            Self::ShortYearsFirst => "short",
            Self::InTime => "time",
            Self::OldestFirst => "oldest",
            Self::SignsOfDayFirst => "day",
            Self::SignsOfMonthFirst => "month",
            Self::Nothing => "nothing",
        }
    }

    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::ShortYearsFirst => "the two-digit years seem to stand first",
            Self::InTime => "only so do they follow each other in time",
            Self::OldestFirst => "so the oldest stand first; state it in a mapping if the newest do",
            Self::SignsOfDayFirst => "the log's other signs are those of countries that write the day first",
            Self::SignsOfMonthFirst => {
                "the log's units and clock are those of a country that writes the month first"
            }
            Self::Nothing => "nothing in the log says which; state it in a mapping if it is the other",
        }
    }
}

/// Three numbers of a date, in the order in which they stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Numbers {
    pub(crate) parts: [i16; 3],
    /// The first has four digits.
    pub(crate) year_first: bool,
}

/// The numbers of a date that is nothing but numbers, with what follows it.
pub(crate) fn numbers(text: &str) -> Option<(Numbers, char, &str)> {
    let mut parts = [0_i16; 3];
    let mut lengths = [0_usize; 3];
    let mut rest = text.trim_start();
    let mut sign = None;
    for index in 0..3 {
        let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
        if end == 0 || end > 4 {
            return None;
        }
        let (digits, after) = rest.split_at_checked(end)?;
        *parts.get_mut(index)? = digits.parse().ok()?;
        *lengths.get_mut(index)? = end;
        rest = after;
        if index < 2 {
            let next = rest.chars().next()?;
            if !matches!(next, '/' | '.' | '-') || sign.is_some_and(|sign| sign != next) {
                return None;
            }
            sign = Some(next);
            // `8. 1. 2024`.
            rest = rest.get(1..)?.trim_start_matches(' ');
        }
    }
    if rest.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '/' | '-')) {
        return None;
    }
    let [first, _, third] = lengths;
    if (first > 2 && first != 4) || (first == 4) == (third == 4) && first == 4 || third == 3 {
        return None;
    }
    Some((
        Numbers {
            parts,
            year_first: first == 4,
        },
        sign.unwrap_or('-'),
        rest,
    ))
}

/// Two digits of a year are of this century, from 70 on of the last.
pub(crate) fn full_year(year: i16) -> i16 {
    match year {
        0..70 => year + 2000,
        70..100 => year + 1900,
        _ => year,
    }
}

pub(crate) fn date_of(numbers: Numbers, order: Order) -> Option<Date> {
    let [a, b, c] = numbers.parts;
    let (year, month, day) = if numbers.year_first {
        (a, b, c)
    } else {
        match order {
            Order::DayFirst => (full_year(c), b, a),
            Order::MonthFirst => (full_year(c), a, b),
            Order::YearFirst => (full_year(a), b, c),
        }
    };
    if !(1970..=2200).contains(&year) {
        return None;
    }
    Date::new(year, i8::try_from(month).ok()?, i8::try_from(day).ok()?).ok()
}

/// What decides the order of dates that are nothing but numbers.
#[derive(Clone, Copy, Debug, Default)]
#[expect(clippy::struct_excessive_bools, reason = "four signs that are there or not")]
pub(crate) struct OrderHints {
    pub(crate) points: bool,
    pub(crate) twelve_hour: bool,
    pub(crate) american_units: bool,
    pub(crate) comma_or_foreign: bool,
}

/// The order of a column's dates, and why where it was not plain: the order under which all are dates, else
/// most; under which they go forward in time; else what the log's other habits suggest.
pub(crate) fn order_of(dates: &[Numbers], hints: OrderHints) -> (Order, Option<Why>) {
    let free: Vec<Numbers> = dates
        .iter()
        .copied()
        .filter(|numbers| !numbers.year_first)
        .collect();
    if free.is_empty() {
        return (Order::YearFirst, None);
    }
    let judge = |order: Order| {
        let mut impossible = 0_usize;
        let mut backwards = 0_usize;
        let mut before: Option<Date> = None;
        for numbers in &free {
            // Two digits of a year first: no one keeps a log of the years 1 to 12 of a century in the past.
            match date_of(*numbers, order) {
                Some(date) => {
                    backwards += usize::from(before.is_some_and(|before| date < before));
                    before = Some(date);
                }
                None => impossible += 1,
            }
        }
        (impossible, backwards)
    };
    let short_years = free
        .iter()
        .all(|numbers| numbers.parts.iter().all(|part| *part < 100));
    let (day, month) = (judge(Order::DayFirst), judge(Order::MonthFirst));
    if short_years {
        let year = judge(Order::YearFirst);
        if year < day && year < month && free.len() > 2 {
            return (Order::YearFirst, Some(Why::ShortYearsFirst));
        }
    }
    if hints.points && day.0 == 0 {
        return (Order::DayFirst, None);
    }
    if day.0 != month.0 {
        return (
            if day.0 < month.0 {
                Order::DayFirst
            } else {
                Order::MonthFirst
            },
            None,
        );
    }
    // A log written newest first goes backwards all the way.
    let turns = |backwards: usize| backwards.min(free.len().saturating_sub(1).saturating_sub(backwards));
    let (day_turns, month_turns) = (turns(day.1), turns(month.1));
    if day_turns != month_turns {
        let order = if day_turns < month_turns {
            Order::DayFirst
        } else {
            Order::MonthFirst
        };
        return (order, Some(Why::InTime));
    }
    if day.1 != month.1 {
        let order = if day.1 < month.1 {
            Order::DayFirst
        } else {
            Order::MonthFirst
        };
        return (order, Some(Why::OldestFirst));
    }
    if hints.points || hints.comma_or_foreign {
        (Order::DayFirst, Some(Why::SignsOfDayFirst))
    } else if hints.american_units || hints.twelve_hour {
        (Order::MonthFirst, Some(Why::SignsOfMonthFirst))
    } else {
        (Order::DayFirst, Some(Why::Nothing))
    }
}
