//! From a text to a value in the base unit.

use crate::number::{NumberError, interpret, plain, split};
use crate::time::{Clock, TimeError, parts, seconds};
use crate::unit::{ambiguous, find_by_key, other_kind};
use crate::{Context, Decimal, Error, Ion, Kind, Unit, find_unit, text};

/// What a text says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parsed {
    /// The value, in the base unit of [`Self::kind`].
    pub value: f64,
    /// The unit as written; none for a bare number (the base unit) and for a timed fill.
    pub unit: Option<&'static Unit>,
    /// Whether a salt content was read off a meter in ppm: the value is then a conductivity in uS/cm.
    pub conductivity: bool,
    /// How it was written, where that says something of its uncertainty.
    pub form: Form,
    asked: Kind,
}

impl Parsed {
    /// What the value is: the kind asked for, or a conductivity where [`Self::conductivity`] says so.
    pub fn kind(&self) -> Kind {
        if self.conductivity {
            Kind::Conductivity
        } else {
            self.asked
        }
    }

    /// A text that parses to the same value, in the unit it was written in where that can be exact.
    pub fn format(&self) -> String {
        crate::format(self.kind(), self.value, self.unit)
    }
}

/// How a quantity was written.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Form {
    /// A number, with or without a unit.
    Plain,
    /// A volume and the time it took.
    TimedFill {
        /// Litres.
        volume_l: f64,
        /// Seconds.
        seconds: f64,
    },
    /// The display of a salt meter.
    Meter {
        /// ppm shown.
        ppm: f64,
        /// ppm per uS/cm.
        factor: f64,
    },
}

/// Reads a quantity. A bare number is in the kind's base unit.
///
/// # Errors
/// [`Error`], which says what was read and what is accepted; an ambiguous text names both readings.
pub fn parse(kind: Kind, text: &str, context: &Context) -> Result<Parsed, Error> {
    parse_in(kind, text, None, context)
}

/// Reads a quantity whose bare number is in `unit` (a column's), or in the base unit where there is none.
///
/// # Errors
/// As [`parse`].
pub fn parse_in(
    kind: Kind,
    text: &str,
    unit: Option<&'static Unit>,
    context: &Context,
) -> Result<Parsed, Error> {
    let unit = unit.filter(|unit| unit.kind == kind);
    if let Some(value) = plain(text, context.decimal) {
        return finish(kind, text, value, unit, context);
    }
    let cleaned = text::clean(text);
    let cleaned = cleaned.as_ref();
    if cleaned.is_empty() {
        return Err(Error::Empty { kind });
    }
    let not_a_number = || Error::NotANumber {
        kind,
        text: shorten(text),
    };
    if cleaned.starts_with(['<', '>', '~', '\u{2248}', '\u{2264}', '\u{2265}']) {
        return Err(Error::NotAValue { text: shorten(text) });
    }
    if kind == Kind::Flow
        && let Some((volume, time)) = timed_fill(cleaned)
    {
        return parse_timed_fill(text, volume, time, context);
    }
    let (digits, rest) = split(cleaned).ok_or_else(not_a_number)?;
    if matches!(kind, Kind::Duration | Kind::Minutes | Kind::Hours) && is_composite(rest) {
        return parse_composite(kind, text, cleaned, context);
    }
    let value = interpret(digits, context.decimal).map_err(|error| match error {
        NumberError::Malformed => not_a_number(),
        NumberError::Ambiguous { decimal, grouped } => {
            let rest = rest.trim();
            let with = |number: String| {
                if rest.is_empty() {
                    number
                } else {
                    format!("{number} {rest}")
                }
            };
            Error::AmbiguousNumber {
                text: shorten(text),
                decimal: with(decimal),
                grouped: with(grouped),
            }
        }
    })?;
    let rest = rest.trim();
    if rest.is_empty() {
        return finish(kind, text, value, unit, context);
    }
    let at = rest.split_once('@').or_else(|| rest.split_once(" at "));
    if let Some((written, factor)) = at {
        return parse_at(kind, text, value, written, factor, context);
    }
    if kind == Kind::Concentration
        && let Some(per_unit) = as_other_formula(text, rest, context)
    {
        let (written, ratio) = per_unit?;
        let parsed = finish(kind, text, value, Some(written), context)?;
        return finish(kind, text, parsed.value * ratio, None, context);
    }
    let key = text::unit_key(rest);
    match find_by_key(kind, &key) {
        Some(written) => finish(kind, text, value, Some(written), context),
        None => Err(no_such_unit(kind, text, rest, &key)),
    }
}

fn finish(
    kind: Kind,
    text: &str,
    value: f64,
    unit: Option<&'static Unit>,
    context: &Context,
) -> Result<Parsed, Error> {
    let Some(unit) = unit else {
        if kind == Kind::Temperature && value < -273.15 {
            return Err(Error::Impossible {
                text: shorten(text),
                why: "it is below absolute zero (-273.15 C)",
            });
        }
        return Ok(Parsed {
            value,
            unit: None,
            conductivity: false,
            form: Form::Plain,
            asked: kind,
        });
    };
    if unit.is_meter_ppm()
        && let Some(factor) = context.meter_factor
    {
        return meter(kind, text, value, unit, factor);
    }
    let value = unit.to_base(value, context)?;
    Ok(Parsed {
        value,
        unit: Some(unit),
        conductivity: false,
        form: Form::Plain,
        asked: kind,
    })
}

fn meter(kind: Kind, text: &str, ppm: f64, unit: &'static Unit, factor: f64) -> Result<Parsed, Error> {
    // Factors of meters on sale run from 0.4 to 0.7; from memory.
    if !(0.3..=1.0).contains(&factor) {
        return Err(Error::MeterFactor {
            text: shorten(text),
            factor: factor.to_string(),
        });
    }
    let value = ppm / factor;
    if !value.is_finite() {
        return Err(Error::Impossible {
            text: shorten(text),
            why: "it is beyond any number",
        });
    }
    Ok(Parsed {
        value,
        unit: Some(unit),
        conductivity: kind == Kind::Salt,
        form: Form::Meter { ppm, factor },
        asked: kind,
    })
}

/// `350 ppm @0.5`, `700 uS/cm @ 25 C`.
fn parse_at(
    kind: Kind,
    text: &str,
    value: f64,
    written: &str,
    at: &str,
    context: &Context,
) -> Result<Parsed, Error> {
    let unknown = || Error::UnknownUnit {
        kind,
        text: shorten(text),
        unit: shorten(&format!("@{at}")),
    };
    let key = text::unit_key(written);
    let unit = find_by_key(kind, &key).ok_or_else(|| no_such_unit(kind, text, written, &key))?;
    if unit.is_meter_ppm() {
        let factor =
            crate::parse_number(at, Decimal::Comma).or_else(|| crate::parse_number(at, Decimal::Point));
        let factor = factor.filter(|_| !at.trim().is_empty()).ok_or_else(unknown)?;
        // A factor is below 1: `0,500` can be nothing else.
        return meter(kind, text, value, unit, factor);
    }
    let at_25 = parse_in(Kind::Temperature, at, None, &Context::default())
        .is_ok_and(|t| (t.value - 25.0).abs() < 0.05);
    if kind == Kind::Conductivity && at_25 {
        return finish(kind, text, value, Some(unit), context);
    }
    Err(unknown())
}

/// `mg/L as N`, `ppm as CaCO3`: the unit and the factor to mg/L of the constituent itself; none where the
/// text has no such ending.
fn as_other_formula(
    text: &str,
    rest: &str,
    context: &Context,
) -> Option<Result<(&'static Unit, f64), Error>> {
    let at = [" as ", " als ", " como "]
        .iter()
        .find_map(|word| rest.find(word).map(|at| (at, word.len())))?;
    let unit = find_unit(Kind::Concentration, rest.get(..at.0)?)?;
    let formula = rest.get(at.0 + at.1..)?.trim();
    let ratio = context.ion.and_then(|ion| formula_ratio(&ion, formula));
    Some(match ratio {
        Some(ratio) => Ok((unit, ratio)),
        None => Err(Error::NeedsConstituent {
            text: shorten(text),
            unit: format!("`as {}`", shorten(formula)),
        }),
    })
}

fn formula_ratio(ion: &Ion, formula: &str) -> Option<f64> {
    let formula = formula.trim_end_matches(['-', '+']);
    if formula.eq_ignore_ascii_case(ion.formula) {
        return Some(1.0);
    }
    if let Some((symbol, mass)) = ion.element
        && formula.eq_ignore_ascii_case(symbol)
    {
        return Some(ion.molar_mass_g_mol / mass);
    }
    if formula.eq_ignore_ascii_case("CaCO3") && ion.charge > 0 {
        return Some(ion.molar_mass_g_mol / f64::from(ion.charge) / (crate::CACO3_G_MOL / 2.0));
    }
    None
}

/// `500 mL in 71 s`, `500 mL / 71 s`: the volume and the time.
fn timed_fill(cleaned: &str) -> Option<(&str, &str)> {
    [" in ", " IN ", " In ", " en ", "/", " per "]
        .iter()
        .find_map(|word| {
            let (volume, time) = cleaned.split_once(word)?;
            let time = time.trim_start();
            // `gal/24 h` is a unit and no timing.
            let timed = time.starts_with(|c: char| c.is_ascii_digit()) && !volume.trim().is_empty();
            (timed
                && find_unit(
                    Kind::Flow,
                    cleaned.trim_start_matches(|c: char| !c.is_alphabetic()),
                )
                .is_none())
            .then_some((volume, time))
        })
}

fn parse_timed_fill(text: &str, volume: &str, time: &str, context: &Context) -> Result<Parsed, Error> {
    let kind = Kind::Flow;
    let not_read = || Error::NotANumber {
        kind,
        text: shorten(text),
    };
    let volume = match parse(Kind::Volume, volume, context) {
        Ok(parsed) if parsed.unit.is_some() => parsed.value,
        Ok(_) => {
            return Err(Error::AmbiguousUnit {
                text: shorten(text),
                unit: shorten(volume),
                first: "mL".to_owned(),
                second: "L".to_owned(),
            });
        }
        Err(ambiguous @ (Error::AmbiguousNumber { .. } | Error::UnknownUnit { .. })) => {
            return Err(ambiguous);
        }
        Err(_) => return Err(not_read()),
    };
    let time_s = match parts(Kind::Minutes, time, context.decimal, Clock::MinutesSeconds) {
        Ok(parts) => parts
            .into_iter()
            .map(|(value, unit)| seconds(value, unit))
            .sum::<f64>(),
        Err(TimeError::NoUnit) => {
            return Err(Error::AmbiguousUnit {
                text: shorten(text),
                unit: shorten(time),
                first: "s".to_owned(),
                second: "min".to_owned(),
            });
        }
        Err(TimeError::UnknownUnit(unit)) => {
            return Err(Error::UnknownUnit {
                kind,
                text: shorten(text),
                unit: shorten(&unit),
            });
        }
        Err(_) => return Err(not_read()),
    };
    if time_s.is_nan() || time_s <= 0.0 || volume < 0.0 {
        return Err(Error::Impossible {
            text: shorten(text),
            why: "a fill takes a time above 0",
        });
    }
    let value = volume * 3600.0 / time_s;
    if !value.is_finite() {
        return Err(Error::Impossible {
            text: shorten(text),
            why: "it is beyond any number",
        });
    }
    Ok(Parsed {
        value,
        unit: None,
        conductivity: false,
        form: Form::TimedFill {
            volume_l: volume,
            seconds: time_s,
        },
        asked: kind,
    })
}

/// Whether what follows the first number holds another: `1 h 20 min`, `1:20`.
fn is_composite(rest: &str) -> bool {
    rest.starts_with(':') || (rest.contains(|c: char| c.is_ascii_digit()) && !rest.contains('@'))
}

fn parse_composite(kind: Kind, text: &str, cleaned: &str, context: &Context) -> Result<Parsed, Error> {
    match parts(kind, cleaned, context.decimal, Clock::Refused) {
        Ok(parts) => {
            let mut value = 0.0;
            for (number, unit) in parts {
                value += unit.to_base(number, context)?;
            }
            finish(kind, text, value, None, context)
        }
        Err(TimeError::AmbiguousClock(first, second)) => Err(Error::AmbiguousUnit {
            text: shorten(text),
            unit: shorten(cleaned),
            first: format!("{first} h {second} min"),
            second: format!("{first} min {second} s"),
        }),
        Err(TimeError::UnknownUnit(unit)) => Err(Error::UnknownUnit {
            kind,
            text: shorten(text),
            unit: shorten(&unit),
        }),
        Err(TimeError::Malformed | TimeError::NoUnit) => Err(Error::NotANumber {
            kind,
            text: shorten(text),
        }),
    }
}

/// Says why a unit is not taken: it means two things, it measures something else, or nobody knows it.
fn no_such_unit(kind: Kind, text: &str, written: &str, key: &str) -> Error {
    if let Some((first, second)) = ambiguous(kind, key) {
        return Error::AmbiguousUnit {
            text: shorten(text),
            unit: shorten(written),
            first: first.to_owned(),
            second: second.to_owned(),
        };
    }
    if kind == Kind::Pressure
        && matches!(
            key,
            "psia" | "bara" | "kpaa" | "kg/cm2a" | "mpaa" | "ata" | "mbara"
        )
    {
        return Error::Absolute { text: shorten(text) };
    }
    match other_kind(kind, key) {
        Some(found) => Error::WrongKind {
            kind,
            text: shorten(text),
            found,
        },
        None => Error::UnknownUnit {
            kind,
            text: shorten(text),
            unit: shorten(written),
        },
    }
}

/// What an error message shows of a text that may be long: its first 60 characters.
fn shorten(text: &str) -> String {
    let text = text.trim();
    if text.chars().count() <= 60 {
        return text.to_owned();
    }
    text.chars().take(59).chain(['\u{2026}']).collect()
}
