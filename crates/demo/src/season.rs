//! The valley through the year: temperature, supply pressure, salt and use.

use std::f64::consts::TAU;

use jiff::civil::Date;

use crate::scenario::Draw;

/// The year's swing: 1 in the warmest week (early August), -1 in the coldest.
fn warmth(date: Date) -> f64 {
    const WARMEST: f64 = 217.0;
    ((f64::from(date.day_of_year()) - WARMEST) / 365.25 * TAU).cos()
}

/// Temperature of the feed, C; a main in the ground swings more than a bore.
pub(crate) fn temperature_c(date: Date, bore: bool) -> f64 {
    if bore {
        10.8 + 1.6 * warmth(date)
    } else {
        11.2 + 5.6 * warmth(date)
    }
}

/// Supply pressure against its mean: more is drawn from the main in summer.
pub(crate) fn supply(date: Date) -> f64 {
    1.0 - 0.035 * warmth(date)
}

/// Salt of the feed against its mean: rain thins it in winter.
pub(crate) fn salt(date: Date) -> f64 {
    1.0 + 0.025 * warmth(date)
}

/// Suspended matter against its mean: floods in winter.
pub(crate) fn silt(date: Date) -> f64 {
    1.0 - 0.3 * warmth(date)
}

/// Use against its mean.
pub(crate) fn draw(date: Date, draw: Draw) -> f64 {
    match draw {
        Draw::Steady => 1.0,
        Draw::Summer => 1.0 + 0.4 * warmth(date),
        Draw::SummerOnly if warmth(date) > -0.35 => 1.1 + 0.4 * warmth(date),
        Draw::SummerOnly => 0.1,
    }
}
