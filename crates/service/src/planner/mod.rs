//! Plans the shortest safe order for a work and writes it as a card.

mod back;
mod course;
mod draft;
mod hand;
mod list;
mod plumbing;
mod pressure;
mod sanitise;
mod search;
mod works;

use unit::{TankKind, Unit};

use crate::card::JobCard;
use crate::error::{CardError, InputFault, Missing};
use crate::texts::{Language, Texts};
use crate::work::{Site, Work, validate};
use draft::{Draft, Stop};
use plumbing::{MOST_SEGMENTS, Plumbing};

/// The planner's card, before the checker has seen it: [`crate::job_card`] is what to call.
///
/// # Errors
///
/// As [`crate::job_card`], but never [`CardError::Unproved`].
pub fn plan(unit: &Unit, work: &[Work], site: &Site) -> Result<JobCard, CardError> {
    validate(unit, work)?;
    let plumbing = plumbing(unit)?;
    match works::draft(unit, &plumbing, work, site.language) {
        Ok(draft) => Ok(list::card(draft, work, site)?),
        Err(Stop::Card(error)) => Err(error),
        Err(Stop::NoOrder) => Err(refuse(unit, work, site.language)),
    }
}

/// What a part is, as it is ordered; the id itself where the unit has no such part.
pub(crate) fn part_words(unit: &Unit, part: &str, language: Language) -> Result<String, CardError> {
    let plumbing = plumbing(unit)?;
    let draft = Draft::new(unit, &plumbing, language);
    let words = draft.and_then(|draft| {
        let housing = plumbing
            .housing(part)
            .and_then(|index| plumbing.housings.get(index));
        housing.map_or_else(|| Ok(part.to_owned()), |housing| draft.part_words(housing.holds))
    });
    words.map_err(|stop| match stop {
        Stop::Card(error) => error,
        Stop::NoOrder => CardError::Texts("a part could not be named".to_owned()),
    })
}

fn plumbing(unit: &Unit) -> Result<Plumbing, CardError> {
    let accepted = |what: &str| format!("{what}, so that the plumbing has at most {MOST_SEGMENTS} segments");
    if unit.membranes.elements.is_empty() {
        return Err(CardError::Input(vec![InputFault {
            path: "unit.membranes.elements".to_owned(),
            read: "none".to_owned(),
            accepted: "one to eight elements".to_owned(),
        }]));
    }
    Plumbing::of(unit).ok_or_else(|| {
        CardError::Input(vec![InputFault {
            path: "unit.stages".to_owned(),
            read: format!("{} stages", unit.stages.len()),
            accepted: accepted("fewer stages"),
        }])
    })
}

/// What must be added, found by adding it: the smallest set of valves with which an order exists.
fn refuse(unit: &Unit, work: &[Work], language: Language) -> CardError {
    let tank = unit.permeate.tank;
    let pressurised = tank.is_some_and(|tank| matches!(tank.kind, TankKind::Pressurised { .. }));
    let could_inlet = !unit.inlet_valve;
    let could_tank = tank.is_some_and(|tank| !tank.valve) && pressurised;
    let works_with = |missing: &[Missing]| {
        let mut better = unit.clone();
        better.inlet_valve |= missing.contains(&Missing::InletValve);
        if missing.contains(&Missing::TankValve)
            && let Some(tank) = better.permeate.tank.as_mut()
        {
            tank.valve = true;
        }
        Plumbing::of(&better).is_some_and(|plumbing| works::draft(&better, &plumbing, work, language).is_ok())
    };
    let candidates: [(bool, &[Missing]); 3] = [
        (could_inlet, &[Missing::InletValve]),
        (could_tank, &[Missing::TankValve]),
        (
            could_inlet && could_tank,
            &[Missing::InletValve, Missing::TankValve],
        ),
    ];
    let missing: Vec<Missing> = candidates
        .iter()
        .find(|(could, missing)| *could && works_with(missing))
        .map(|(_, missing)| missing.to_vec())
        .unwrap_or_default();
    match Texts::load(language).and_then(|texts| sentence(&missing, texts)) {
        Ok(sentence) => CardError::Impossible { missing, sentence },
        Err(broken) => broken,
    }
}

fn sentence(missing: &[Missing], texts: &Texts) -> Result<String, CardError> {
    let reasons: Vec<&str> = missing
        .iter()
        .map(|missing| match missing {
            Missing::InletValve => texts.word("no_inlet_valve"),
            Missing::TankValve => texts.word("no_tank_valve"),
        })
        .collect::<Result<_, _>>()?;
    if reasons.is_empty() {
        return Ok(texts.word("no_order")?.to_owned());
    }
    let reasons = reasons.join(texts.word("and_also")?);
    texts.filled("no_order_for", &[("reasons", &reasons)])
}
