//! How it was computed what a test tells, by the minute, and what a cause would have it show.

use account::{Account, Equation, Measure, Origin, symbol};

use super::{outcomes, overhead_min, shown_by, shown_in};
use crate::catalogue::{Test, minutes};
use crate::cause::Cause;
use crate::diagnose::Workings;
use crate::outlook::outlooks;
use crate::{information, to_expect};

/// By which tests are ranked.
const RATE: Equation = Equation {
    name: "information-rate",
    formula: "v = I / (t + t_0)",
    symbols: &[
        symbol("v", "information-rate", Measure::Number),
        symbol("I", "information", Measure::Number),
        symbol("t", "minutes-of-work", Measure::Number),
        symbol("t_0", "minutes-beside", Measure::Number),
    ],
    source: "minutes of work: common practice, no source",
};

/// All equations of this module.
pub(crate) const EQUATIONS: [&Equation; 1] = [&RATE];

/// How it was computed how much a test is expected to tell, and by the minute.
pub(crate) fn of_information(of: &mut Workings<'_, '_>, test: Test) -> Option<Vec<Account>> {
    let outlooks = outlooks(of.predictor, of.candidates, of.rows);
    let mut all = information::accounts(&outcomes(test, of.case, &outlooks, of.rows))?;
    let (work, beside) = (minutes(test), overhead_min(test, of.read));
    let information = all.first()?;
    let rate = Account::of(&RATE, information.value / (work + beside))
        .from("I", information)
        .with("t", work, Origin::Constant)
        .with("t_0", beside, Origin::Constant);
    all.insert(1, rate);
    Some(all)
}

/// How it was computed what a cause would have a test show.
pub(crate) fn of_shown(of: &mut Workings<'_, '_>, test: Test, cause: Cause) -> Option<Vec<Account>> {
    let (observable, row) = shown_in(test, of.rows)?;
    let severities: Vec<(f64, f64)> = outlooks(of.predictor, of.candidates, of.rows)
        .iter()
        .filter(|outlook| Cause::ALL.get(outlook.cause) == Some(&cause))
        .map(|outlook| (outlook.weight, shown_by(test, outlook, row)))
        .collect();
    to_expect::account(observable, &severities).map(|account| vec![account])
}
