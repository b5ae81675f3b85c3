//! From one cell to a number.

use quantity::{Context, Decimal, Kind, Unit as Measure};

use crate::Told;
use crate::classify::Bucket;
use crate::columns::Column;
use crate::grid::{Cell, Tag};
use crate::rows::Rows;

/// One cell's value.
pub(crate) enum Value {
    None,
    Number {
        value: f64,
        /// A salt content that was read as a conductivity.
        conductivity: bool,
        /// The display of a salt meter whose factor the cell does not name.
        meter: bool,
    },
    Unreadable(Told),
}

/// Marks by which people say that nothing was read.
pub(crate) fn is_no_reading(text: &str) -> bool {
    matches!(
        text,
        "-" | "--"
            | "---"
            | "\u{2013}"
            | "\u{2014}"
            | "."
            | ".."
            | "..."
            | "/"
            | "n/a"
            | "N/A"
            | "na"
            | "NA"
            | "n.a."
            | "k.A."
            | "k. A."
            | "entf."
            | "s/d"
            | "S/D"
            | "s.d."
            | "n.d"
            | "x"
            | "X"
    )
}

pub(crate) fn value(column: &Column, cell: Cell<'_>, rows: &mut Rows) -> Value {
    if cell.tag == Tag::Formula {
        return Value::Unreadable(Told::Formula);
    }
    // Nearly every cell begins with a digit, and is none of the marks.
    if !cell.text.starts_with(|c: char| c.is_ascii_digit()) && is_no_reading(cell.text) {
        return Value::None;
    }
    let Some(kind) = column.kind else {
        return Value::None;
    };
    if let Some(bucket) = column.bucket {
        return filled(column, bucket, cell, rows);
    }
    let of_workbook;
    let context = if cell.tag == Tag::Number {
        of_workbook = Context {
            decimal: Decimal::Point,
            ..column.context
        };
        &of_workbook
    } else {
        &column.context
    };
    let text = match (kind, cell.tag) {
        // An hour meter or a running time in a time cell.
        (Kind::Hours | Kind::Minutes, Tag::Clock) => return clock_value(cell.text, kind),
        (_, Tag::Clock | Tag::DateTime) => {
            return Value::Unreadable(Told::DateForNumber);
        }
        _ => cell.text,
    };
    match quantity::parse_in(kind, text, column.unit, context) {
        Ok(parsed) => {
            let meter = parsed.unit.is_some_and(Measure::is_meter_ppm) && !text.contains('@');
            if meter && !column.unit.is_some_and(Measure::is_meter_ppm) {
                rows.meter_cells.insert(column.heading.clone());
            }
            Value::Number {
                value: parsed.value,
                conductivity: parsed.conductivity,
                meter,
            }
        }
        Err(error) => match chlorine_words(column, text, context) {
            Some(value) => {
                rows.half_limits.push(Told::HalfLimit {
                    text: text.to_owned(),
                    heading: column.heading.clone(),
                    value_mg_l: value,
                });
                Value::Number {
                    value,
                    conductivity: false,
                    meter: false,
                }
            }
            None => Value::Unreadable(Told::Quantity(error)),
        },
    }
}

/// "None", "n.d.", "<0.02" in a chlorine column: none, or half of the limit (common practice, no source).
pub(crate) fn chlorine_words(column: &Column, text: &str, context: &Context) -> Option<f64> {
    let chlorine = column.target.name().contains("chlorine");
    if !chlorine {
        return None;
    }
    if let Some(limit) = text.trim().strip_prefix('<') {
        let limit = quantity::parse_in(Kind::Concentration, limit, column.unit, context)
            .ok()?
            .value;
        return (0.0..=0.2).contains(&limit).then_some(limit / 2.0);
    }
    let folded = crate::words::fold(text.trim());
    matches!(
        folded.as_str(),
        "nil"
            | "none"
            | "nd"
            | "n.d."
            | "no"
            | "zero"
            | "keins"
            | "kein"
            | "keine"
            | "nein"
            | "nada"
            | "ninguno"
            | "no detectado"
            | "not detected"
            | "neg"
            | "negative"
            | "negativ"
            | "negativo"
            | "0 (none)"
            | "n.n."
            | "aucun"
            | "neant"
    )
    .then_some(0.0)
}

pub(crate) fn clock_value(text: &str, kind: Kind) -> Value {
    let parts: Vec<f64> = text.split(':').filter_map(|part| part.parse().ok()).collect();
    match (parts.as_slice(), kind) {
        ([h, m, s], Kind::Hours) => Value::Number {
            value: h + m / 60.0 + s / 3600.0,
            conductivity: false,
            meter: false,
        },
        ([h, m, s], _) => Value::Number {
            value: h * 60.0 + m + s / 60.0,
            conductivity: false,
            meter: false,
        },
        _ => Value::Unreadable(Told::NotADuration),
    }
}

/// A bucket's cell as a flow in L/h.
pub(crate) fn filled(column: &Column, bucket: Bucket, cell: Cell<'_>, rows: &mut Rows) -> Value {
    let context = Context {
        decimal: if cell.tag == Tag::Number {
            Decimal::Point
        } else {
            column.context.decimal
        },
        ..Context::default()
    };
    let flow = |volume_l: f64, seconds: f64| {
        let flow = volume_l * 3600.0 / seconds;
        if seconds > 0.0 && volume_l >= 0.0 && flow.is_finite() {
            Value::Number {
                value: flow,
                conductivity: false,
                meter: false,
            }
        } else {
            Value::Unreadable(Told::FillInNoTime)
        }
    };
    match bucket {
        Bucket::Time { volume_l, minutes } => {
            if cell.tag == Tag::Clock {
                // `1:11` typed into a spreadsheet is stored as an hour and eleven minutes.
                let parts: Vec<f64> = cell
                    .text
                    .split(':')
                    .filter_map(|part| part.parse().ok())
                    .collect();
                return match parts.as_slice() {
                    [m, s, 0.0] => {
                        rows.minutes_for_hours = true;
                        flow(volume_l, m * 60.0 + s)
                    }
                    [h, m, s] => flow(volume_l, h * 3600.0 + m * 60.0 + s),
                    _ => Value::Unreadable(Told::NotADuration),
                };
            }
            if let Some(number) = quantity::parse_number(cell.text, context.decimal) {
                return flow(volume_l, if minutes { number * 60.0 } else { number });
            }
            // `1:11`, `71 s`, or a whole fill of its own: `1 L in 71 s`.
            let own = quantity::parse(Kind::Flow, cell.text, &context).or_else(|_| {
                quantity::parse(
                    Kind::Flow,
                    &format!("{volume_l} L in {}", cell.text),
                    &Context {
                        decimal: Decimal::Strict,
                        ..context
                    },
                )
            });
            match own {
                Ok(parsed) => Value::Number {
                    value: parsed.value,
                    conductivity: false,
                    meter: false,
                },
                Err(_) => Value::Unreadable(Told::NotAFill),
            }
        }
        Bucket::Volume { seconds } => {
            let unit: Option<&'static Measure> = column.unit;
            match quantity::parse_in(Kind::Volume, cell.text, unit, &context) {
                Ok(parsed) => flow(parsed.value, seconds),
                Err(error) => Value::Unreadable(Told::Quantity(error)),
            }
        }
    }
}
