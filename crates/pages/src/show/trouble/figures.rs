//! How the figures of an interview were computed.

use account::Account;
use fault::{Cause, Condition, Figure};
use unit::Unit;

use super::asked::Asked;
use super::standing::Interview;
use super::wording;
use crate::frame::ask::Ask;
use crate::show::how::Named;

/// The name of all conditions together, in an address.
pub(super) const ALL_CONDITIONS: &str = "all";

/// The accounts of a figure of the interview that the address has, and what it is a figure of; none where there is none.
pub(in crate::show) fn accounts(
    ask: &Ask<'_>,
    unit: &Unit,
    name: &str,
    of: &str,
) -> Option<(Vec<Account>, String)> {
    let figure = named(name, of)?;
    let asked = Asked::read(ask, unit, &ask.query);
    let at = asked.at?;
    let interview = Interview::of(ask, unit, &asked);
    let accounts = interview.accounts(&asked, figure).ok()??;
    let mut of_what: Vec<String> = match figure {
        Figure::Chance(cause) | Figure::Weight(cause, _) | Figure::Expected(cause, _) => vec![cause],
        Figure::Shown(_, cause) => vec![cause],
        Figure::Pair(causes) => causes.to_vec(),
        _ => Vec::new(),
    }
    .into_iter()
    .map(|cause| wording::capitalised(&wording::is(ask, cause.name())))
    .collect();
    if let Figure::Information(key) | Figure::Shown(key, _) = figure {
        of_what.push(wording::short(ask, unit, key));
    }
    of_what.push(ask.moment(at, &casefile::time_zone(unit)));
    Some((accounts, of_what.join(" \u{b7} ")))
}

/// The figure that an address names.
fn named<'a>(name: &str, of: &'a str) -> Option<Figure<'a>> {
    let numbered = || {
        let (cause, number) = of.split_once('.')?;
        Some((Cause::from_name(cause)?, number.parse().ok()?))
    };
    Some(match name {
        Named::CHANCE => Figure::Chance(Cause::from_name(of)?),
        Named::CHANCE_REST => Figure::Rest(of.parse().ok()?),
        Named::CHANCE_PAIR => {
            let (first, second) = of.split_once('.')?;
            Figure::Pair([Cause::from_name(first)?, Cause::from_name(second)?])
        }
        Named::MADE if of.is_empty() => Figure::Made,
        Named::CONDITION if of == ALL_CONDITIONS => Figure::Conditions,
        Named::CONDITION => Figure::Condition(Condition::ALL.into_iter().find(|one| one.name() == of)?),
        Named::WEIGHT => numbered().map(|(cause, number)| Figure::Weight(cause, number))?,
        Named::TO_EXPECT => numbered().map(|(cause, number)| Figure::Expected(cause, number))?,
        Named::TELLS => Figure::Information(of),
        Named::TEST_SHOWS => {
            let (cause, key) = of.split_once('.')?;
            Figure::Shown(key, Cause::from_name(cause)?)
        }
        _ => return None,
    })
}
