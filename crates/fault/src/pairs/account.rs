//! How the chance of two causes at once was computed.

use account::{Account, Equation, Measure, Origin, symbol};

use super::weighed;
use crate::candidate::{listed, weights};
use crate::cause::Cause;
use crate::diagnose::Workings;
use crate::weigh::Scales;

/// Two at once among all that is looked at.
const PAIR: Equation = Equation {
    name: "chance-pair",
    formula: "P_2 = w_2 / (sum(w_i) + sum(w_p))",
    symbols: &[
        symbol("P_2", "chance-pair", Measure::Share),
        symbol("w_2", "pair-weight", Measure::Number),
        symbol("w_i", "cause-weight-each", Measure::Number),
        symbol("w_p", "pair-weight-each", Measure::Number),
    ],
    source: "Bayes' theorem; Jaynes, Probability Theory (2003), chapter 4",
};

/// One pair.
const WEIGHT: Equation = Equation {
    name: "pair-weight",
    formula: "w_2 = k * f_1 * f_2 * L",
    symbols: &[
        symbol("w_2", "pair-weight", Measure::Number),
        symbol("k", "pair-together", Measure::Number),
        symbol("f_1", "pair-first", Measure::Share),
        symbol("f_2", "pair-second", Measure::Share),
        symbol("L", "pair-fit", Measure::Number),
    ],
    source: "Bayes' theorem; how often two come together is common practice, no source",
};

/// All equations of this module.
pub(crate) const EQUATIONS: [&Equation; 2] = [&PAIR, &WEIGHT];

/// How the chance of these two at once was computed; none where they are not looked at together.
pub(crate) fn of_pair(of: &mut Workings<'_, '_>, causes: [Cause; 2]) -> Option<Vec<Account>> {
    let scales = Scales {
        prior: &of.calibrated.now,
        read: of.read,
    };
    let all = weighed(of.case, of.predictor, of.candidates, &scales, of.findings);
    let (singles, best) = weights(of.candidates);
    let one = all.iter().find(|one| one.causes == causes)?;
    let relative = |ln: f64| (ln - best).exp();
    let pairs: Vec<f64> = all.iter().map(|one| relative(one.ln_weight)).collect();
    let weight = relative(one.ln_weight);
    let whole: f64 = singles.iter().sum::<f64>() + pairs.iter().sum::<f64>();
    let [first, second] = one.chances;
    let fit = weight / (one.together * first * second);
    if !fit.is_finite() || whole <= 0.0 {
        return None;
    }
    let of_weight = Account::of(&WEIGHT, weight)
        .with("k", one.together, Origin::Constant)
        .with("f_1", first, Origin::Constant)
        .with("f_2", second, Origin::Constant)
        .with("L", fit, Origin::Solved);
    let mut account = Account::of(&PAIR, weight / whole).from("w_2", &of_weight);
    for single in listed(&singles) {
        account = account.with("w_i", single, Origin::Solved);
    }
    for pair in listed(&pairs) {
        account = account.with("w_p", pair, Origin::Computed(&WEIGHT));
    }
    Some(vec![account, of_weight])
}
