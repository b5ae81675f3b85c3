//! How the figures of a diagnosis were computed, each by its equation beside the function that computes it.
//!
//! An account is made anew from the case and the answers when somebody asks for it; a diagnosis itself carries none.

use account::{Account, Equation};

use crate::catalogue::Test;
use crate::cause::Cause;
use crate::circumstances::Known;
use crate::conditions::Condition;
use crate::diagnose::{Workings, examine_and};
use crate::interview::{Answer, InterviewError, Taken, taken};
use crate::question::test_of;
use crate::{Case, candidate, conditions, information, next_test, pairs, reasons, to_expect};

/// A figure of a diagnosis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Figure<'a> {
    /// The chance of a cause.
    Chance(Cause),
    /// The chance of all causes behind the first so many.
    Rest(usize),
    /// The chance of two at once.
    Pair([Cause; 2]),
    /// The permeate flow against the baseline's.
    Made,
    /// What a condition on its own makes of it.
    Condition(Condition),
    /// What all conditions make of it.
    Conditions,
    /// What a reason weighs: the cause, and which of the reasons that it is given.
    Weight(Cause, usize),
    /// What a cause would have a value be: the cause, and which of its reasons.
    Expected(Cause, usize),
    /// How much a test is expected to tell; its question's key.
    Information(&'a str),
    /// What a cause would have a test show; its question's key.
    Shown(&'a str, Cause),
}

/// Every equation that a diagnosis is computed with.
pub fn equations() -> Vec<&'static Equation> {
    [
        &candidate::EQUATIONS[..],
        &conditions::EQUATIONS,
        &information::EQUATIONS,
        &next_test::EQUATIONS,
        &pairs::EQUATIONS,
        &reasons::EQUATIONS,
        &to_expect::EQUATIONS,
    ]
    .concat()
}

/// How a figure was computed after these answers, the figure's own account first and after it those that it stands on; none
/// where the diagnosis has no such figure.
///
/// # Errors
///
/// As [`crate::interview::interview`].
pub fn accounts(
    case: &Case<'_>,
    known: &Known,
    answers: &[Answer],
    figure: Figure<'_>,
) -> Result<Option<Vec<Account>>, InterviewError> {
    let Taken {
        reading,
        given,
        findings,
    } = taken(case, answers)?;
    let now = Case {
        reading: &reading,
        ..*case
    };
    let offered = |test: Test| given.iter().all(|one| one.0 != test);
    let mut told = None;
    examine_and(&now, known, &findings, &offered, &mut |of| {
        told = tell(of, figure);
    })?;
    Ok(told)
}

fn tell(mut of: Workings<'_, '_>, figure: Figure<'_>) -> Option<Vec<Account>> {
    let promised = |of: &Workings<'_, '_>, wanted: &str| {
        let test = test_of(of.case.unit, wanted).ok()?;
        let found = of.promises.iter().find(|one| one.test == test)?;
        Some(found.test)
    };
    match figure {
        Figure::Chance(cause) => candidate::of_chance(&of, cause),
        Figure::Rest(shown) => candidate::of_rest(&of, shown),
        Figure::Pair(causes) => pairs::of_pair(&mut of, causes),
        Figure::Made => conditions::of_made(&mut of),
        Figure::Condition(condition) => conditions::of_condition(&mut of, condition),
        Figure::Conditions => conditions::of_conditions(&mut of),
        Figure::Weight(cause, number) => reasons::of_weight(&of, cause, number),
        Figure::Expected(cause, number) => reasons::of_expected(&of, cause, number),
        Figure::Information(key) => {
            let test = promised(&of, key)?;
            next_test::of_information(&mut of, test)
        }
        Figure::Shown(key, cause) => {
            let test = promised(&of, key)?;
            next_test::of_shown(&mut of, test, cause)
        }
    }
}
