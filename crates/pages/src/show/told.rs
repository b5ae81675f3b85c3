//! What the reader of logs has to say, in the person's language.

use intake::{Clock, Error, Habits, Order, Told};
use quantity::{Decimal, Kind};
use reading::Field;
use unit::Unit;

use super::words;
use crate::frame::ask::Ask;
use crate::frame::quantities;

/// What a field of a log is called, by its name.
pub(crate) fn field(ask: &Ask<'_>, name: &str) -> String {
    if let Some(field) = Field::from_name(name) {
        return words::field(ask, field);
    }
    let (first, part) = name.split_once('.').unwrap_or((name, ""));
    let key = match first {
        "date" => "import-date",
        "time" => "import-time",
        "note" => "note",
        "by" => "import-by",
        "pressure_after" => "spot-pressure-after",
        "chlorine_after" => "spot-chlorine-after",
        "conductivity_after" => "spot-conductivity-after",
        "element_permeate_conductivity" => "spot-element",
        _ => return name.to_owned(),
    };
    let part = part.replace(['-', '_'], " ");
    ask.say.with(key, &[("part", part.into())])
}

/// The order of a date's numbers.
fn order(ask: &Ask<'_>, order: Order) -> String {
    ask.say.say(match order {
        Order::DayFirst => "told-day-first",
        Order::MonthFirst => "told-month-first",
        Order::YearFirst => "told-year-first",
    })
}

/// How a log is written, a sentence each.
pub(crate) fn habits(ask: &Ask<'_>, habits: &Habits) -> Vec<String> {
    let say = ask.say;
    let mut sentences = Vec::new();
    if let (Some(encoding), Some(delimiter)) = (habits.encoding, habits.delimiter) {
        let delimiter = say.say(match delimiter {
            "tab" => "told-tab",
            "semicolon" => "told-semicolon",
            "pipe" => "told-pipe",
            _ => "told-comma",
        });
        let values = [("encoding", encoding.into()), ("delimiter", delimiter.into())];
        sentences.push(say.with("told-text", &values));
    }
    if let Some(sheet) = &habits.sheet {
        sentences.push(say.with("told-sheet", &[("sheet", sheet.as_str().into())]));
    }
    let line = habits.header_line.to_string();
    sentences.push(say.with("told-header-line", &[("line", line.into())]));
    sentences.push(say.say(match habits.decimal {
        Decimal::Comma => "told-decimal-comma",
        Decimal::Point | Decimal::Strict => "told-decimal-point",
    }));
    if let Some(written) = habits.date_order {
        sentences.push(say.with("told-dates-written", &[("order", order(ask, written).into())]));
    }
    if let Some(clock) = habits.clock {
        sentences.push(say.say(match clock {
            Clock::Twelve => "told-clock-12",
            Clock::TwentyFour => "told-clock-24",
        }));
    }
    sentences
}

/// Something that was taken for granted, left out or not understood; `text` is the cell that it is said of.
pub(crate) fn words(ask: &Ask<'_>, unit: Option<&Unit>, text: &str, told: &Told) -> String {
    let say = ask.say;
    let line = |key: &str, line: u32| say.with(key, &[("line", line.to_string().into())]);
    let of = |key: &str, heading: &str| say.with(key, &[("heading", heading.into())]);
    match told {
        Told::UnclosedMark => say.say("told-unclosed-mark"),
        Told::OtherSheets { others, chosen } => say.with(
            "told-other-sheets",
            &[
                ("others", say.list(others).into()),
                ("chosen", chosen.as_str().into()),
            ],
        ),
        Told::NewHeadings { line: at } => line("told-new-headings", *at),
        Told::Dates { order: read, why } => say.with(
            "told-dates",
            &[
                ("order", order(ask, *read).into()),
                ("why", say.say(&format!("told-dates-{}", why.name())).into()),
            ],
        ),
        Told::NoTimes => say.say("told-no-times"),
        Told::WithoutTime(rows) => say.with("told-without-time", &[("n", (*rows).into())]),
        Told::WithoutDay(rows) => say.with("told-without-day", &[("n", (*rows).into())]),
        Told::FillsInHours => say.say("told-fills-in-hours"),
        Told::HalfLimit {
            text,
            heading,
            value_mg_l,
        } => say.with(
            "told-half-limit",
            &[
                ("text", text.as_str().into()),
                ("heading", heading.as_str().into()),
                (
                    "value",
                    ask.measures.show(Kind::Concentration, *value_mg_l).into(),
                ),
            ],
        ),
        Told::Undated { line, text } => say.with(
            "told-undated",
            &[("line", line.to_string().into()), ("text", text.as_str().into())],
        ),
        Told::UnstatedFactor { heading, factor } => say.with(
            "told-unstated-factor",
            &[
                ("heading", heading.as_str().into()),
                ("factor", say.number(&factor.to_string()).into()),
                ("most", say.number("0.7").into()),
            ],
        ),
        Told::MeterPpm { heading } => of("told-meter-ppm", heading),
        Told::UnitBySize { heading, unit } => say.with(
            "told-unit-by-size",
            &[("heading", heading.as_str().into()), ("unit", (*unit).into())],
        ),
        Told::Taken { heading, what } => of(&format!("told-taken-{}", what.name()), heading),
        Told::DateColumn { column } => say.with("told-date-column", &[("column", column.to_string().into())]),
        Told::ReadAs {
            heading,
            field: read,
            other,
            other_field,
        } => say.with(
            "told-read-as",
            &[
                ("heading", heading.as_str().into()),
                ("field", field(ask, read).into()),
                ("other", other.as_str().into()),
                ("is", field(ask, other_field).into()),
            ],
        ),
        Told::MappedAway => say.say("told-mapped-away"),
        Told::NotRecognised => say.say("told-not-recognised"),
        Told::NoSuchUnit { unit, kind } => say.with(
            "told-no-such-unit",
            &[
                ("unit", unit.as_str().into()),
                ("accepted", quantities::accepted(ask, *kind).into()),
            ],
        ),
        Told::OnlyHeading => say.say("told-only-heading"),
        Told::UnitUnknown { field: read } => {
            say.with("told-unit-unknown", &[("field", field(ask, read).into())])
        }
        Told::SameAs { heading } => of("told-same-as", heading),
        Told::ReadFrom { field: read, heading } => say.with(
            "told-read-from",
            &[
                ("field", field(ask, read).into()),
                ("heading", heading.as_str().into()),
            ],
        ),
        Told::HeadingsAgain => say.say("told-headings-again"),
        Told::OtherHeadings => say.say("told-other-headings"),
        Told::OfAnotherTable { line: at } => line("told-of-another-table", *at),
        Told::NoSuchDate { text } => say.with("told-no-such-date", &[("text", text.as_str().into())]),
        Told::OnlyDate => say.say("told-only-date"),
        Told::OnlyRemark => say.say("told-only-remark"),
        Told::Summary => say.say("told-summary"),
        Told::NoDate => say.say("told-no-date"),
        Told::Formula => say.say("told-formula"),
        Told::DateForNumber => say.say("told-date-for-number"),
        Told::NotADuration => say.say("told-not-a-duration"),
        Told::FillInNoTime => say.say("told-fill-in-no-time"),
        Told::NotAFill => say.say("told-not-a-fill"),
        Told::NotAClock => say.say("told-not-a-clock"),
        Told::WhichPart { parts, done } => {
            let name = |id: &String| unit.map_or_else(|| id.clone(), |unit| words::part(ask, unit, id));
            let parts: Vec<String> = parts.iter().map(name).collect();
            say.with(
                "told-which-part",
                &[
                    ("parts", say.list(&parts).into()),
                    ("done", words::event(ask, *done).into()),
                ],
            )
        }
        Told::OutOfOrder => say.say("told-out-of-order"),
        Told::Quantity(error) => quantities::wrong(ask, text, error),
    }
}

/// Why a row was set aside, from the words that the ledger keeps.
pub(crate) fn reason(ask: &Ask<'_>, kept: &str) -> String {
    Told::of_reason(kept).map_or_else(|| kept.to_owned(), |told| words(ask, None, "", &told))
}

/// Why a log could not be read at all.
pub(crate) fn error(ask: &Ask<'_>, error: &Error) -> String {
    let say = ask.say;
    let accepted = |key: &str| {
        let formats = say.say("told-accepted");
        say.with(key, &[("accepted", formats.into())])
    };
    match error {
        Error::Empty => say.say("told-empty"),
        Error::NotATable { .. } | Error::Binary { .. } => accepted("told-no-table"),
        Error::Workbook { .. } => accepted("told-workbook"),
        Error::NoSheet { wanted, found } => say.with(
            "told-no-sheet",
            &[
                ("wanted", wanted.as_str().into()),
                ("found", say.list(found).into()),
            ],
        ),
        Error::TooLarge { .. } => say.say("told-too-large"),
        Error::NoHeadingRow { first } => say.with("told-no-heading-row", &[("first", first.as_str().into())]),
        Error::NoRows {
            line,
            first_line,
            reason: why,
        } => say.with(
            "told-no-rows",
            &[
                ("line", line.to_string().into()),
                ("first", first_line.to_string().into()),
                ("why", reason(ask, why).into()),
            ],
        ),
        Error::OnlyHeadings { line } => say.with("told-only-headings", &[("line", line.to_string().into())]),
        Error::NoHeadings { .. } | Error::NoDate { .. } => say.say("import-columns-unknown"),
        Error::TwoColumns { .. } => say.say("import-wrong-order"),
        Error::Mapping(_) => say.say("told-mapping"),
        other => other.to_string(),
    }
}
