//! How it was found where the membranes stand.

use account::{Account, Equation, Measure, Origin, symbol};

use super::{Standing, used};
use crate::standardise::Standardisation;

const SOURCE: &str = "Theil 1950 and Sen 1968: the median of all slopes, which wild readings do not move";

/// Water let through.
const STANDING_WATER: Equation = Equation {
    name: "standing-water",
    formula: "m_w = exp(ln_q)",
    symbols: &[
        symbol("m_w", "standing-water", Measure::Share),
        symbol("ln_q", "level-of-flow", Measure::Number),
        symbol("n", "readings-used", Measure::Number),
    ],
    source: SOURCE,
};

/// Salt let through.
const STANDING_SALT: Equation = Equation {
    name: "standing-salt",
    formula: "m_s = exp(ln_s)",
    symbols: &[
        symbol("m_s", "standing-salt", Measure::Share),
        symbol("ln_s", "level-of-salt", Measure::Number),
        symbol("n", "readings-used", Measure::Number),
    ],
    source: SOURCE,
};

/// All equations of this module.
pub const EQUATIONS: [&Equation; 2] = [&STANDING_WATER, &STANDING_SALT];

/// How the membranes' standing in water, or in salt, was computed.
pub fn of_standing(
    standardisation: &Standardisation,
    standing: &Standing,
    salt: bool,
) -> Option<Vec<Account>> {
    let (estimate, equation, sign) = if salt {
        (standing.salt?, &STANDING_SALT, "ln_s")
    } else {
        (standing.water?, &STANDING_WATER, "ln_q")
    };
    let (_, series) = super::series(standardisation, salt)?;
    let account = Account::of(equation, estimate.value)
        .give(estimate.sd)
        .with_sd(
            sign,
            estimate.value.ln(),
            estimate.sd / estimate.value,
            Origin::Solved,
        )
        .with("n", used(&series)?.len() as f64, Origin::Read);
    Some(vec![account])
}
