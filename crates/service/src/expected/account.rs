//! How the band was computed in which a reading passes after the work.

use account::{Account, Equation, Measure, Origin, Symbol, symbol};
use fault::reading_spreads;
use unit::{Conditions, PredictError, StageKind, Unit};
use water::Water;

use super::{CHLORINE_OUT_MG_L, HARDNESS_OUT_MG_L, MIXED_BED_US_CM, PASS_SD, after_work, widened};
use crate::work::{Expected, Work};

const BAND: &str = "two standard deviations to either side, within which 19 of 20 sound units lie: common practice, no source";
const PRACTICE: &str = "common practice, no source";

const fn band(measure: Measure, spread: Measure, name: &'static str, sign: &'static str) -> [Symbol; 5] {
    [
        symbol(sign, name, measure),
        symbol("x", "value-of-model", measure),
        symbol("k", "pass-deviations", Measure::Number),
        symbol("s", "spread-of-sound", spread),
        symbol("x_w", "wider-bound", measure),
    ]
}

/// Lowest and highest, of what is compared by its logarithm.
const LOW: &str = "x_l = min(x * exp(-k * s), x_w)";
const HIGH: &str = "x_h = max(x * exp(k * s), x_w)";
/// The same of what is compared as it is.
const PLAIN_LOW: &str = "x_l = min(x - k * s, x_w)";
const PLAIN_HIGH: &str = "x_h = max(x + k * s, x_w)";

const FLOW: [Equation; 2] = [
    Equation {
        name: "flow-passes-low",
        formula: LOW,
        symbols: &band(Measure::Flow, Measure::Share, "passes-low", "x_l"),
        source: BAND,
    },
    Equation {
        name: "flow-passes-high",
        formula: HIGH,
        symbols: &band(Measure::Flow, Measure::Share, "passes-high", "x_h"),
        source: BAND,
    },
];

const CONDUCTIVITY: [Equation; 2] = [
    Equation {
        name: "conductivity-passes-low",
        formula: LOW,
        symbols: &band(Measure::Conductivity, Measure::Share, "passes-low", "x_l"),
        source: BAND,
    },
    Equation {
        name: "conductivity-passes-high",
        formula: HIGH,
        symbols: &band(Measure::Conductivity, Measure::Share, "passes-high", "x_h"),
        source: BAND,
    },
];

const PRESSURE: [Equation; 2] = [
    Equation {
        name: "pressure-passes-low",
        formula: PLAIN_LOW,
        symbols: &band(Measure::Pressure, Measure::Pressure, "passes-low", "x_l"),
        source: BAND,
    },
    Equation {
        name: "pressure-passes-high",
        formula: PLAIN_HIGH,
        symbols: &band(Measure::Pressure, Measure::Pressure, "passes-high", "x_h"),
        source: BAND,
    },
];

/// What the carbon may let through.
const CHLORINE: Equation = Equation {
    name: "chlorine-passes",
    formula: "c_h = c_l",
    symbols: &[
        symbol("c_h", "passes-high", Measure::Concentration),
        symbol("c_l", "limit-chlorine", Measure::Concentration),
    ],
    source: PRACTICE,
};

/// What the softener may let through, as `CaCO3`.
const HARDNESS: Equation = Equation {
    name: "hardness-passes",
    formula: "h_h = max(h_g, 2 * h_u)",
    symbols: &[
        symbol("h_h", "passes-high", Measure::Concentration),
        symbol("h_g", "hardness-grain", Measure::Concentration),
        symbol("h_u", "hardness-usual", Measure::Concentration),
    ],
    source: "one grain per US gallon as CaCO3, or twice what the softener is stated to leave: common practice, no source",
};

/// What a fresh mixed bed may leave.
const MIXED_BED: Equation = Equation {
    name: "mixed-bed-passes",
    formula: "k_h = k_m",
    symbols: &[
        symbol("k_h", "passes-high", Measure::Conductivity),
        symbol("k_m", "mixed-bed-most", Measure::Conductivity),
    ],
    source: PRACTICE,
};

/// All equations of this module.
pub const BAND_EQUATIONS: [&Equation; 9] = [
    &FLOW[0],
    &FLOW[1],
    &CONDUCTIVITY[0],
    &CONDUCTIVITY[1],
    &PRESSURE[0],
    &PRESSURE[1],
    &CHLORINE,
    &HARDNESS,
    &MIXED_BED,
];

/// How the band of a reading after this work was computed, lowest and highest; empty where the work asks for no such reading.
///
/// # Errors
/// As [`super::expected()`].
pub fn of_band(
    unit: &Unit,
    work: &[Work],
    water: &Water,
    conditions: &Conditions,
    field: &str,
) -> Result<Vec<Account>, PredictError> {
    let all = widened(unit, work, water, conditions)?;
    let Some(band) = all.into_iter().find(|one| one.own.field == field) else {
        return Ok(Vec::new());
    };
    let wider = band.wider.unwrap_or((band.own.low, band.own.high));
    let one = band.whole();
    if let Some(account) = by_rule(unit, &one) {
        return Ok(vec![account]);
    }
    let after = Conditions {
        state: after_work(unit, work, &conditions.state),
        ..conditions.clone()
    };
    let spreads = reading_spreads(unit, water.analysis(), &after);
    let Some(spread) = spreads.iter().find(|spread| spread.field == field) else {
        return Ok(Vec::new());
    };
    let equations = match (spread.logarithmic, field.ends_with("flow")) {
        (true, true) => &FLOW,
        (true, false) => &CONDUCTIVITY,
        (false, _) => &PRESSURE,
    };
    let [low, high] = equations;
    let bound = |equation: &'static Equation, value: f64, wider: f64| {
        Account::of(equation, value)
            .with("x", one.expected, Origin::Solved)
            .with("k", PASS_SD, Origin::Constant)
            .with("s", spread.sd, Origin::Solved)
            .with("x_w", wider, Origin::Solved)
    };
    Ok(vec![bound(low, one.low, wider.0), bound(high, one.high, wider.1)])
}

/// The highest value that passes where no model of the membranes tells it.
fn by_rule(unit: &Unit, one: &Expected) -> Option<Account> {
    match one.field.as_str() {
        "free_chlorine_out" | "total_chlorine_out" => {
            let carbon = unit
                .stages
                .iter()
                .rev()
                .find(|stage| matches!(stage.kind, StageKind::Carbon { .. }))?;
            let (limit, origin) = match carbon.limit.free_chlorine_out_mg_l {
                Some(limit) => (limit, Origin::Described),
                None => (CHLORINE_OUT_MG_L, Origin::Constant),
            };
            Some(Account::of(&CHLORINE, one.high).with("c_l", limit, origin))
        }
        "hardness_out" => Some(
            Account::of(&HARDNESS, one.high)
                .with("h_g", HARDNESS_OUT_MG_L.1, Origin::Constant)
                .with("h_u", one.expected, Origin::Described),
        ),
        field if field.starts_with("conductivity_after.") => {
            Some(Account::of(&MIXED_BED, one.high).with("k_m", MIXED_BED_US_CM.1, Origin::Constant))
        }
        _ => None,
    }
}
