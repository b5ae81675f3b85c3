//! How a cause's share of the change was computed.

use account::{Account, Equation, Measure, Origin, symbol};

use super::{Cause, Explanation, TERMS, shapley, side};
use crate::standardise::{History, Standardisation, TEMPERATURE_COEFFICIENT_SD};

/// All together.
const CHANGE: Equation = Equation {
    name: "change",
    formula: "R = Q_2 / Q_1",
    symbols: &[
        symbol("R", "change", Measure::Share),
        symbol("Q_1", "flow-then", Measure::Flow),
        symbol("Q_2", "flow-now", Measure::Flow),
    ],
    source: "two readings of the permeate flow, as they were taken",
};

/// Colder or warmer water.
const BY_TEMPERATURE: Equation = Equation {
    name: "by-temperature",
    formula: "r_T = c ^ (T_2 - T_1)",
    symbols: &[
        symbol("r_T", "by-temperature", Measure::Share),
        symbol("c", "temperature-coefficient", Measure::Number),
        symbol("T_1", "temperature-then", Measure::Temperature),
        symbol("T_2", "temperature-now", Measure::Temperature),
    ],
    source: "ASTM D4516: 1.03 per degree by default, known to 0.003",
};

/// One term of the driving pressure.
const BY_PRESSURE: Equation = Equation {
    name: "by-pressure",
    formula: "r_i = exp(s_i)",
    symbols: &[
        symbol("r_i", "by-pressure", Measure::Share),
        symbol("s_i", "fair-share", Measure::Number),
        symbol("x_1", "term-then", Measure::Pressure),
        symbol("x_2", "term-now", Measure::Pressure),
        symbol("NDP_1", "driving-then", Measure::Pressure),
        symbol("NDP_2", "driving-now", Measure::Pressure),
    ],
    source: "Shapley, Contributions to the Theory of Games II (1953): the mean over all orders in which the terms could \
             have changed",
};

/// What is left is the membranes'.
const BY_MEMBRANE: Equation = Equation {
    name: "by-membrane",
    formula: "r_m = R / (r_T * r_1 * r_2 * r_3 * r_4 * r_5)",
    symbols: &[
        symbol("r_m", "by-membrane", Measure::Share),
        symbol("R", "change", Measure::Share),
        symbol("r_T", "by-temperature", Measure::Share),
        symbol("r_1", "by-inlet", Measure::Share),
        symbol("r_2", "by-prefilters", Measure::Share),
        symbol("r_3", "by-pump", Measure::Share),
        symbol("r_4", "by-back-pressure", Measure::Share),
        symbol("r_5", "by-osmotic", Measure::Share),
    ],
    source: "ASTM D4516: what temperature and driving pressure leave over",
};

/// All equations of this module.
pub const EQUATIONS: [&Equation; 4] = [&CHANGE, &BY_TEMPERATURE, &BY_PRESSURE, &BY_MEMBRANE];

/// How the whole change was computed.
pub fn of_change(
    history: &History<'_>,
    standardisation: &Standardisation,
    explanation: &Explanation,
) -> Option<Vec<Account>> {
    let first = side(history, standardisation, explanation.from).ok()?;
    let second = side(history, standardisation, explanation.to).ok()?;
    let error = history.unit.instruments.bucket_error;
    let total = explanation.total_ratio;
    let account = Account::of(&CHANGE, total)
        .give(total * error * std::f64::consts::SQRT_2)
        .with_sd("Q_1", first.flow, first.flow * error, Origin::Read)
        .with_sd("Q_2", second.flow, second.flow * error, Origin::Read);
    Some(vec![account])
}

/// How one cause's share was computed, and what it is set against.
pub fn of_cause(
    history: &History<'_>,
    standardisation: &Standardisation,
    explanation: &Explanation,
    cause: Cause,
) -> Option<Vec<Account>> {
    let first = side(history, standardisation, explanation.from).ok()?;
    let second = side(history, standardisation, explanation.to).ok()?;
    let factor = |cause: Cause| explanation.factors.iter().find(|factor| factor.cause == cause);
    let one = factor(cause)?;
    let accounts = match cause {
        Cause::Temperature => {
            let sd = history.unit.instruments.thermometer_error_c;
            let account = Account::of(&BY_TEMPERATURE, one.ratio)
                .give(one.sd)
                .with_sd(
                    "c",
                    history.unit.temperature_coefficient(),
                    TEMPERATURE_COEFFICIENT_SD,
                    Origin::Described,
                )
                .with_sd("T_1", first.temperature, sd, Origin::Read)
                .with_sd("T_2", second.temperature, sd, Origin::Read);
            vec![account]
        }
        Cause::Membrane => {
            let mut all = of_change(history, standardisation, explanation)?;
            let mut account = Account::of(&BY_MEMBRANE, one.ratio)
                .give(one.sd)
                .from("R", all.first()?);
            let temperature = factor(Cause::Temperature)?;
            let by = Origin::Computed(&BY_TEMPERATURE);
            account = account.with_sd("r_T", temperature.ratio, temperature.sd, by);
            let signs = ["r_1", "r_2", "r_3", "r_4", "r_5"];
            let others = TERMS.into_iter().filter(|term| *term != Cause::Membrane);
            for (sign, other) in signs.into_iter().zip(others) {
                let other = factor(other)?;
                account = account.with_sd(sign, other.ratio, other.sd, Origin::Computed(&BY_PRESSURE));
            }
            all.insert(0, account);
            all
        }
        term => {
            let at = TERMS.iter().position(|other| *other == term)?;
            let share = *shapley(&first.terms, &second.terms).get(at)?;
            // A term counts here as it raises the pressure: what the filters and the salt take is below zero.
            let account = Account::of(&BY_PRESSURE, one.ratio)
                .give(one.sd)
                .with("s_i", share, Origin::Solved)
                .with("x_1", *first.terms.get(at)?, Origin::Read)
                .with("x_2", *second.terms.get(at)?, Origin::Read)
                .with("NDP_1", first.driving(), Origin::Solved)
                .with("NDP_2", second.driving(), Origin::Solved);
            vec![account]
        }
    };
    Some(accounts)
}
