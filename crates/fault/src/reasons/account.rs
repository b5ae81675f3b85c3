//! How it was computed what a reason weighs, and what a cause would have a value be.

use account::{Account, Equation, Measure, Origin, symbol};

use super::{Fact, MOST_BITS, Reason, Weights, index, known, values};
use crate::candidate::ln_no_feed_each;
use crate::cause::Cause;
use crate::diagnose::Workings;
use crate::gaussian::ln_sum;
use crate::to_expect;

const GOOD: &str = "Good, Weight of Evidence: A Brief Survey (1985)";

/// How many times as likely.
const TIMES: Equation = Equation {
    name: "times-as-likely",
    formula: "t = 2 ^ b",
    symbols: &[
        symbol("t", "times-as-likely", Measure::Number),
        symbol("b", "weight-of-evidence", Measure::Number),
    ],
    source: GOOD,
};

/// The mean over the orders in which it may be learnt.
const WEIGHT: Equation = Equation {
    name: "weight-of-evidence",
    formula: "b = max(-12, min(12, sum(ln(L_c / L_o)) / (n * ln(2))))",
    symbols: &[
        symbol("b", "weight-of-evidence", Measure::Number),
        symbol("L_c", "likelihood-with", Measure::Number),
        symbol("L_o", "likelihood-without", Measure::Number),
        symbol("n", "orders", Measure::Number),
    ],
    source: "Good (1985); the mean over two orders as in Shapley, Contributions to the Theory of Games II (1953)",
};

/// All equations of this module.
pub(crate) const EQUATIONS: [&Equation; 2] = [&TIMES, &WEIGHT];

/// The reason of this number, of those that a cause is given, with all that its fact weighs.
fn reason(of: &Workings<'_, '_>, cause: Cause, number: usize) -> Option<(Reason, Weights)> {
    let ranked = of.causes.iter().find(|one| one.cause == cause)?;
    let reason = ranked.reasons.get(number)?.clone();
    let no_feed = ln_no_feed_each(of.predictor, &of.calibrated.now, of.read, of.scale);
    let mut fact = reason.fact.clone();
    if let Fact::Read { expected, .. } = &mut fact {
        *expected = None;
    }
    let all = known(of.case, of.of, of.candidates, (of.read, &no_feed), of.findings);
    let weights = all.into_iter().find(|one| one.fact == fact)?;
    Some((reason, weights))
}

/// How it was computed how many times as likely something is with a cause as without it.
pub(crate) fn of_weight(of: &Workings<'_, '_>, cause: Cause, number: usize) -> Option<Vec<Account>> {
    let (reason, weights) = reason(of, cause, number)?;
    let each = weights.each(index(cause))?;
    let mut weight = Account::of(&WEIGHT, reason.bits.clamp(-MOST_BITS, MOST_BITS));
    for (here, others) in &each {
        weight = weight
            .with("L_c", *here, Origin::Solved)
            .with("L_o", *others, Origin::Solved);
    }
    let weight = weight.with("n", each.len() as f64, Origin::Constant);
    let times = Account::of(&TIMES, reason.bits.exp2()).from("b", &weight);
    Some(vec![times, weight])
}

/// How it was computed what a cause would have a value be.
pub(crate) fn of_expected(of: &Workings<'_, '_>, cause: Cause, number: usize) -> Option<Vec<Account>> {
    let (reason, _) = reason(of, cause, number)?;
    let Fact::Read {
        field,
        part,
        expected: Some(_),
        ..
    } = &reason.fact
    else {
        return None;
    };
    let whole = ln_sum(of.candidates.iter().map(|one| one.ln_weight));
    let (observable, severities) = values::severities(
        of.case,
        of.candidates,
        of.read,
        whole,
        cause,
        (field, part.as_deref()),
    )?;
    to_expect::account(observable, &severities).map(|account| vec![account])
}
