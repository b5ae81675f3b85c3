//! Why something typed is no quantity, in the reader's words.

use casefile::{Accepted, Fault, Read};
use quantity::{Error, Kind};

use super::ask::Ask;

/// The name of a kind of quantity in the messages; none where forms do not ask for it.
fn name(kind: Kind) -> &'static str {
    match kind {
        Kind::Flow => "accepted-flow",
        Kind::Volume => "accepted-volume",
        Kind::Pressure => "accepted-pressure",
        Kind::Temperature | Kind::TemperatureDifference => "accepted-temperature",
        Kind::Conductivity => "accepted-conductivity",
        Kind::Salt => "accepted-salt",
        Kind::Concentration => "accepted-concentration",
        Kind::AsCaco3 => "accepted-hardness",
        Kind::Duration | Kind::Minutes | Kind::Hours => "accepted-duration",
        Kind::Turbidity => "accepted-turbidity",
        Kind::Fraction => "accepted-fraction",
        Kind::Area => "accepted-area",
        Kind::Length => "accepted-length",
        Kind::SiltDensity => "accepted-silt",
        Kind::ExchangeCapacity | Kind::CapacityPerVolume => "accepted-capacity",
        Kind::Number => "accepted-number",
    }
}

/// What is accepted as a quantity of this kind.
pub(crate) fn accepted(ask: &Ask<'_>, kind: Kind) -> String {
    ask.say.say(name(kind))
}

/// What is wrong with a field of a document, and what would be right.
pub(crate) fn in_document(ask: &Ask<'_>, fault: &Fault) -> String {
    let say = ask.say;
    let accepted = match &fault.accepted {
        Accepted::Quantity { kind, range } => {
            let show = |value: f64| ask.measures.show(*kind, value);
            let (lowest, highest) = range.bounds();
            let range = match lowest {
                Some(lowest) => say.with(
                    "accepted-range",
                    &[("lowest", show(lowest).into()), ("highest", show(highest).into())],
                ),
                None => say.with("accepted-above-nothing", &[("highest", show(highest).into())]),
            };
            let values = [("units", accepted(ask, *kind).into()), ("range", range.into())];
            say.with("accepted-quantity", &values)
        }
        Accepted::OneOf(words) => words.join(", "),
        Accepted::Text => return say.say("wrong-empty"),
        Accepted::Flag => say.say("accepted-flag"),
        Accepted::Date => say.say("accepted-date"),
        Accepted::TimeZone => say.say("accepted-zone"),
        Accepted::UniqueIds => say.say("accepted-ids"),
        Accepted::Elements => say.say("accepted-membranes"),
        Accepted::ColderThanWarmest => return say.say("wrong-colder"),
        // What no form asks for stands in documents only.
        Accepted::InWords(text) => text.clone(),
    };
    match &fault.read {
        Read::NoQuantity { text, error } => wrong(ask, text, error),
        Read::Nothing => say.with("wrong-nothing", &[("accepted", accepted.into())]),
        Read::Written(read) => {
            // A text of a document stands in quotation marks; what was typed into a form had none.
            let read = read.trim_matches('\u{22}');
            say.with("wrong", &[("read", read.into()), ("accepted", accepted.into())])
        }
    }
}

/// What is wrong with a text that was to be a quantity, and what would be right.
pub(crate) fn wrong(ask: &Ask<'_>, text: &str, error: &Error) -> String {
    let say = ask.say;
    let plain = |accepted: String| say.with("wrong", &[("read", text.into()), ("accepted", accepted.into())]);
    match error {
        Error::AmbiguousNumber { decimal, grouped, .. } => say.with(
            "wrong-comma",
            &[
                ("read", text.into()),
                ("decimal", decimal.as_str().into()),
                ("grouped", grouped.as_str().into()),
            ],
        ),
        Error::AmbiguousUnit {
            unit, first, second, ..
        } => say.with(
            "wrong-two-units",
            &[
                ("read", text.into()),
                ("unit", unit.as_str().into()),
                ("first", first.as_str().into()),
                ("second", second.as_str().into()),
            ],
        ),
        Error::NoMeterFactor { at_05, at_07, .. } => say.with(
            "wrong-no-factor",
            &[
                ("read", text.into()),
                ("half", at_05.as_str().into()),
                ("seven", at_07.as_str().into()),
            ],
        ),
        Error::MeterFactor { .. } => plain(say.say("accepted-factor")),
        Error::Absolute { .. } => plain(say.say("accepted-gauge")),
        Error::NotAValue { .. } => plain(say.say("accepted-one-value")),
        Error::Empty { kind }
        | Error::NotANumber { kind, .. }
        | Error::WrongKind { kind, .. }
        | Error::UnknownUnit { kind, .. } => plain(accepted(ask, *kind)),
        _ => plain(say.say("accepted-possible")),
    }
}
