//! How a value that would fit was found.

use account::{Account, Equation, Measure, Origin, symbol};
use reading::Field;

use super::Doubt;

const SOURCE: &str = "the slips of the pen that people make (common practice, no source); of all of them the one that \
                      brings every side of the reading back in line with its neighbours";

macro_rules! slip {
    ($name:ident, $key:literal, $measure:ident, $about:literal) => {
        #[doc = $about]
        const $name: Equation = Equation {
            name: $key,
            formula: "x = f * x_r",
            symbols: &[
                symbol("x", "would-fit", Measure::$measure),
                symbol("f", "slip-factor", Measure::Number),
                symbol("x_r", "as-read", Measure::$measure),
            ],
            source: SOURCE,
        };
    };
}

slip!(
    SLIP_FLOW,
    "slip-flow",
    Flow,
    "A flow that was written down wrong."
);
slip!(
    SLIP_PRESSURE,
    "slip-pressure",
    Pressure,
    "A pressure that was written down wrong."
);
slip!(
    SLIP_CONDUCTIVITY,
    "slip-conductivity",
    Conductivity,
    "A conductivity that was written down wrong."
);
slip!(
    SLIP_SALT,
    "slip-salt",
    Concentration,
    "A salt content that was written down wrong."
);
slip!(
    SLIP_TEMPERATURE,
    "slip-temperature",
    Temperature,
    "A temperature with a slipped point."
);

/// Fahrenheit that was taken for Celsius.
const SLIP_FAHRENHEIT: Equation = Equation {
    name: "slip-fahrenheit",
    formula: "x = (x_r - 32) / 1.8",
    symbols: &[
        symbol("x", "would-fit", Measure::Temperature),
        symbol("x_r", "as-read-bare", Measure::Number),
    ],
    source: SOURCE,
};

/// Celsius that was taken for Fahrenheit.
const SLIP_CELSIUS: Equation = Equation {
    name: "slip-celsius",
    formula: "x = 1.8 * x_r + 32",
    symbols: &[
        symbol("x", "would-fit", Measure::Temperature),
        symbol("x_r", "as-read-bare", Measure::Number),
    ],
    source: SOURCE,
};

/// All equations of this module.
pub const EQUATIONS: [&Equation; 7] = [
    &SLIP_FLOW,
    &SLIP_PRESSURE,
    &SLIP_CONDUCTIVITY,
    &SLIP_SALT,
    &SLIP_TEMPERATURE,
    &SLIP_FAHRENHEIT,
    &SLIP_CELSIUS,
];

/// How the value was found that would fit; none where no slip explains what was read.
pub fn of_suggestion(doubt: &Doubt) -> Option<Vec<Account>> {
    let x = doubt.suggested?;
    let near = |other: f64| (x - other).abs() < 1e-9 * x.abs().max(1.0);
    let account = if doubt.field == Field::FeedTemperature && near((doubt.read - 32.0) / 1.8) {
        Account::of(&SLIP_FAHRENHEIT, x)
    } else if doubt.field == Field::FeedTemperature && near(doubt.read * 1.8 + 32.0) {
        Account::of(&SLIP_CELSIUS, x)
    } else {
        let equation = match doubt.field {
            Field::PermeateFlow | Field::ConcentrateFlow => &SLIP_FLOW,
            Field::FeedConductivity | Field::PermeateConductivity => &SLIP_CONDUCTIVITY,
            Field::FeedTds | Field::PermeateTds => &SLIP_SALT,
            Field::FeedTemperature => &SLIP_TEMPERATURE,
            _ => &SLIP_PRESSURE,
        };
        Account::of(equation, x).with("f", x / doubt.read, Origin::Solved)
    };
    Some(vec![account.with("x_r", doubt.read, Origin::Read)])
}
