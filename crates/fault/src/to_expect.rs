//! How it was computed what a cause would have a value be: the mean over its severities, each as probable as it now is.

use account::{Account, Equation, Measure, Origin, Symbol, symbol};

use crate::observable::Observable;

const SOURCE: &str = "the model of this unit (docs/model.md), worked out for each severity of the cause";
/// Conductivities and flows are compared by their logarithms.
const BY_LOGARITHM: &str = "x = exp(sum(p_j * ln(x_j)) / sum(p_j))";
const PLAIN: &str = "x = sum(p_j * x_j) / sum(p_j)";

const fn symbols(measure: Measure) -> [Symbol; 3] {
    [
        symbol("x", "value-to-expect", measure),
        symbol("p_j", "chance-of-severity", Measure::Share),
        symbol("x_j", "value-of-severity", measure),
    ]
}

const FLOW: Equation = Equation {
    name: "flow-to-expect",
    formula: BY_LOGARITHM,
    symbols: &symbols(Measure::Flow),
    source: SOURCE,
};

const CONDUCTIVITY: Equation = Equation {
    name: "conductivity-to-expect",
    formula: BY_LOGARITHM,
    symbols: &symbols(Measure::Conductivity),
    source: SOURCE,
};

const PRESSURE: Equation = Equation {
    name: "pressure-to-expect",
    formula: PLAIN,
    symbols: &symbols(Measure::Pressure),
    source: SOURCE,
};

const TEMPERATURE: Equation = Equation {
    name: "temperature-to-expect",
    formula: PLAIN,
    symbols: &symbols(Measure::Temperature),
    source: SOURCE,
};

/// All equations of this module.
pub(crate) const EQUATIONS: [&Equation; 4] = [&FLOW, &CONDUCTIVITY, &PRESSURE, &TEMPERATURE];

/// The account of a value to expect from each severity's probability and value, as the observable is compared; none where no
/// severity counts.
pub(crate) fn account(observable: Observable, severities: &[(f64, f64)]) -> Option<Account> {
    let equation = match observable {
        Observable::PermeateFlow | Observable::ConcentrateFlow => &FLOW,
        Observable::FeedConductivity | Observable::PermeateConductivity | Observable::ElementPermeate(_) => {
            &CONDUCTIVITY
        }
        Observable::Pressure(_) => &PRESSURE,
        Observable::Temperature => &TEMPERATURE,
    };
    let plain = |value: f64| {
        if observable.logarithmic() {
            value.exp()
        } else {
            value
        }
    };
    let whole: f64 = severities.iter().map(|one| one.0).sum();
    if whole <= 0.0 {
        return None;
    }
    let mean = severities.iter().map(|one| one.0 * one.1).sum::<f64>() / whole;
    let spread = severities
        .iter()
        .map(|one| one.0 * (one.1 - mean).powi(2))
        .sum::<f64>()
        / whole;
    let sd = if observable.logarithmic() {
        plain(mean) * spread.sqrt()
    } else {
        spread.sqrt()
    };
    let mut account = Account::of(equation, plain(mean)).give(sd);
    for (chance, value) in severities {
        account =
            account
                .with("p_j", chance / whole, Origin::Solved)
                .with("x_j", plain(*value), Origin::Solved);
    }
    Some(account)
}
