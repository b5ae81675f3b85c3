//! Values in the units of measure that a person works in.

use ledger::state::PersonHistory;
use quantity::{Context, Kind, Unit, find_unit, format_rounded};
use reading::{Dimension, Field};

use super::language::Language;

/// The units in which a person reads and writes.
#[derive(Clone, Debug)]
pub(crate) struct Measures {
    us: bool,
    chosen: Vec<(Kind, &'static Unit)>,
    language: Language,
}

/// The kinds of which a person may have a unit of their own, with their names in the ledger.
pub(crate) const KINDS: [(Kind, &str); 6] = [
    (Kind::Flow, "flow"),
    (Kind::Volume, "volume"),
    (Kind::Pressure, "pressure"),
    (Kind::Temperature, "temperature"),
    (Kind::Conductivity, "conductivity"),
    (Kind::AsCaco3, "hardness"),
];

/// The name of a person's choice of a unit of measure in the ledger.
pub(crate) fn setting(kind: Kind) -> Option<String> {
    let (_, name) = KINDS.iter().find(|(other, _)| *other == kind)?;
    Some(format!("unit_of_{name}"))
}

impl Measures {
    /// What a person chose, else what their language suggests.
    pub(crate) fn of(person: Option<&PersonHistory>, accept_language: &str, language: Language) -> Self {
        let text = |name: &str| person?.settings.get(name)?.what.as_str();
        let us = match text("units") {
            Some(units) => units == "us",
            None => accept_language.trim_start().starts_with("en-US"),
        };
        let chosen = KINDS
            .iter()
            .filter_map(|(kind, _)| Some((*kind, find_unit(*kind, text(&setting(*kind)?)?)?)))
            .collect();
        Self { us, chosen, language }
    }

    /// The unit for a kind of quantity; none where the base unit is the one.
    pub(crate) fn unit(&self, kind: Kind) -> Option<&'static Unit> {
        if let Some((_, unit)) = self.chosen.iter().find(|(other, _)| *other == kind) {
            return Some(unit);
        }
        let symbol = match (kind, self.us) {
            (Kind::Pressure, true) => "psi",
            (Kind::Pressure, false) => "bar",
            (Kind::Temperature, true) => "F",
            (Kind::Flow, true) => "gph",
            (Kind::Volume, true) => "gal",
            (Kind::AsCaco3, true) => "gpg",
            _ => return None,
        };
        find_unit(kind, symbol)
    }

    /// The unit's symbol as it can be typed.
    pub(crate) fn symbol(&self, kind: Kind) -> &'static str {
        self.unit(kind).map_or(kind.base_unit(), |unit| unit.symbol)
    }

    /// The unit's symbol as it is printed.
    pub(crate) fn sign(&self, kind: Kind) -> &'static str {
        match self.symbol(kind) {
            "C" => "\u{b0}C",
            "F" => "\u{b0}F",
            "uS/cm" => "\u{b5}S/cm",
            symbol => symbol,
        }
    }

    /// A value for a person, with three digits and its unit; temperatures to half a degree at most.
    pub(crate) fn show(&self, kind: Kind, base: f64) -> String {
        self.show_to(kind, base, 3)
    }

    fn show_to(&self, kind: Kind, base: f64, digits: usize) -> String {
        let text = format_rounded(kind, base, self.unit(kind), digits);
        let text = match kind {
            Kind::Temperature | Kind::TemperatureDifference => {
                text.replace(" C", " \u{b0}C").replace(" F", " \u{b0}F")
            }
            _ => text.replace("uS/cm", "\u{b5}S/cm"),
        };
        self.language.number(&text).replacen(' ', "\u{a0}", 1)
    }

    /// A value of which is known how far it may be off, and that: both to the first digit of what it may be off, so that no
    /// digit is shown that means nothing. For kinds whose units begin at one zero.
    pub(crate) fn show_about(&self, kind: Kind, base: f64, off: f64) -> (String, String) {
        let in_unit = |value: f64| {
            let unit = self.unit(kind);
            unit.and_then(|unit| unit.from_base(value, &Context::default()))
                .unwrap_or(value)
        };
        let off = in_unit(off).abs();
        let (mut digits, mut step) = (0, 1.0);
        while digits < 6 && off < 0.95 * step {
            digits += 1;
            step /= 10.0;
        }
        let write = |value: f64| {
            let number = self.language.number(&format!("{value:.digits$}"));
            format!("{number}\u{a0}{}", self.sign(kind))
        };
        (write(in_unit(base)), write(off))
    }

    /// A value to two digits, where more would mean nothing beside what it is compared with.
    pub(crate) fn show_roughly(&self, kind: Kind, base: f64) -> String {
        self.show_to(kind, base, 2)
    }

    /// A value as a form takes it back, the unit with it.
    pub(crate) fn typed(&self, kind: Kind, base: f64) -> String {
        format_rounded(kind, base, self.unit(kind), 4)
    }

    /// What was typed, with the person's own unit where a bare number was.
    pub(crate) fn with_unit(&self, kind: Kind, text: &str) -> String {
        match quantity::parse_number(text, quantity::Decimal::Strict) {
            Some(_) => format!("{} {}", text.trim(), self.symbol(kind)),
            None => text.trim().to_owned(),
        }
    }
}

/// The kind of quantity that a field of a reading holds.
pub(crate) fn kind_of(field: Field) -> Kind {
    match field.dimension() {
        Dimension::Flow => Kind::Flow,
        Dimension::Volume => Kind::Volume,
        Dimension::Pressure => Kind::Pressure,
        Dimension::Temperature => Kind::Temperature,
        Dimension::Concentration if matches!(field, Field::FeedTds | Field::PermeateTds) => Kind::Salt,
        Dimension::Concentration => Kind::Concentration,
        Dimension::AsCaco3 => Kind::AsCaco3,
        Dimension::Conductivity => Kind::Conductivity,
        Dimension::RunningHours => Kind::Hours,
        Dimension::RunningMinutes => Kind::Minutes,
    }
}
