//! What must be true of the whole card: the work asked for, the end, the form.

use unit::StageKind;

use super::Rule;
use super::hand::Hand;
use super::rules::{Part, Walk};
use super::water::live;
use crate::card::Action;
use crate::work::Work;

pub(super) fn end(walk: &mut Walk<'_>) {
    form(walk);
    for work in walk.card.work.clone() {
        match &work {
            Work::Change { part } | Work::Wash { part } | Work::Inspect { part } => {
                part_done(walk, &work, part);
            }
            Work::Commission => commissioned(walk),
            Work::Sanitise | Work::Descale | Work::Clean => treated(walk, &work),
            Work::LayUp => laid_up(walk),
        }
    }
    if walk.card.work.is_empty() {
        walk.find(0, Rule::Form, "no work was asked for");
    }
    if !walk.laying_up() {
        in_service(walk);
        leak_checked(walk);
    }
    if walk.oxidant.is_some() {
        walk.find(0, Rule::Chemical, "chlorine is left in the unit");
    }
    if walk.uncaught() {
        walk.find(0, Rule::Spill, "water was left running from a tube");
    }
    let records = walk
        .card
        .steps
        .iter()
        .filter(|step| step.action == Action::Record)
        .count();
    if records != 1
        || walk
            .card
            .steps
            .last()
            .is_none_or(|step| step.action != Action::Record)
    {
        walk.find(0, Rule::End, "the last step, and only it, writes the work down");
    }
}

fn form(walk: &mut Walk<'_>) {
    let card = walk.card;
    if card.pressurised_after.len() != card.steps.len() {
        walk.find(
            0,
            Rule::Report,
            "there is not one list of segments under pressure per step",
        );
    }
    if card.cautions.iter().all(String::is_empty) {
        walk.find(0, Rule::Form, "there are no cautions");
    }
    if card.readings_to_take.is_empty() {
        walk.find(0, Rule::Form, "there are no readings to take");
    }
}

/// The first of `steps` that is after `after`.
fn next(steps: &[usize], after: usize) -> Option<usize> {
    steps.iter().copied().find(|step| *step > after)
}

fn part_done(walk: &mut Walk<'_>, work: &Work, id: &str) {
    let Some(part) = walk.parts.get(id) else {
        return walk.find(
            0,
            Rule::Names,
            format!("the unit has no part {id} with a housing"),
        );
    };
    let handled = |part: &Part| {
        match work {
            Work::Wash { .. } => &part.washed,
            Work::Inspect { .. } => &part.looked_at,
            _ => &part.removed,
        }
        .clone()
    };
    let done = || -> Option<()> {
        let opened = part.opened.first()?;
        let removed = next(&part.removed, *opened)?;
        let handled = next(&handled(part), removed.saturating_sub(1))?;
        let inserted = next(&part.inserted, handled)?;
        next(&part.closed, inserted)?;
        (part.removed.len() == 1 && part.inserted.len() == 1).then_some(())
    };
    if done().is_none() {
        walk.find(
            0,
            Rule::Part,
            format!("{id} was not taken out, handled and put in once, in that order"),
        );
    }
}

fn commissioned(walk: &mut Walk<'_>) {
    let missing: Vec<String> = walk
        .parts
        .iter()
        .filter(|(_, part)| part.inserted.len() != 1 || part.greased.is_empty())
        .map(|(id, _)| id.clone())
        .collect();
    for id in missing {
        walk.find(
            0,
            Rule::Part,
            format!("{id} was not put in with its seals greased"),
        );
    }
    for stage in &walk.unit.stages {
        let carbon = matches!(stage.kind, StageKind::Carbon { .. });
        if carbon
            && walk
                .parts
                .get(&stage.id)
                .is_none_or(|part| part.rinsed.is_empty())
        {
            walk.find(0, Rule::Carbon, format!("{} was not rinsed to drain", stage.id));
        }
    }
}

/// Dosed, soaked after it, and rinsed out (flushing and discarding are told by the elements).
fn treated(walk: &mut Walk<'_>, work: &Work) {
    let soaked_after = |(dosed, target): &(usize, String)| {
        walk.soaked
            .iter()
            .any(|(soaked, into)| soaked > dosed && into == target)
    };
    let ok = !walk.dosed.is_empty() && walk.dosed.iter().all(soaked_after);
    if !ok {
        walk.find(0, Rule::Chemical, "the chemical was not dosed and left to stand");
    }
    let bath = matches!(work, Work::Descale | Work::Clean);
    if bath && walk.parts.values().any(|part| !part.opened.is_empty()) {
        walk.find(0, Rule::Sense, "nothing has to be opened for a bath");
    }
    if walk.sanitising() {
        let unseen: Vec<String> = walk
            .parts
            .iter()
            .filter(|(_, part)| !part.inserted.is_empty() && part.looked_at.is_empty())
            .map(|(id, _)| id.clone())
            .collect();
        for id in unseen {
            let text = format!("the housing {id} was not emptied of chlorinated water before it was filled");
            walk.find(0, Rule::Chemical, text);
        }
    }
    let lost = walk
        .parts
        .values()
        .any(|part| part.removed.len() != part.inserted.len());
    if lost {
        walk.find(0, Rule::Part, "a part was taken out and not put in again");
    }
}

fn laid_up(walk: &mut Walk<'_>) {
    if !walk.dosed.iter().any(|(_, target)| target == "membranes") {
        walk.find(0, Rule::Chemical, "no preservative went into the elements");
    }
    let fed = live(&walk.net, &walk.hand);
    let ids: Vec<String> = walk.net.housings().map(str::to_owned).collect();
    for id in &ids {
        let place = walk.net.inside(id);
        if place.is_some_and(|place| fed.contains(&place) || walk.water.loaded.contains(&place)) {
            walk.find(
                0,
                Rule::End,
                format!("{id} is not isolated and without pressure at the end"),
            );
        }
        let element = walk.net.is_element(id);
        let regulator = walk
            .unit
            .stage(id)
            .is_some_and(|stage| matches!(stage.kind, StageKind::Regulator { .. }));
        let drained = |part: &Part| {
            !part.opened.is_empty()
                && if regulator {
                    !part.looked_at.is_empty()
                } else {
                    !part.removed.is_empty()
                }
        };
        if !element && !walk.parts.get(id).is_some_and(drained) {
            walk.find(0, Rule::End, format!("{id} was not drained"));
        }
    }
    if !walk.hand.plugged.is_empty() {
        walk.find(0, Rule::Pump, "a pump is plugged in at the end");
    }
    if !walk.hand.open.is_empty() || !walk.hand.off.is_empty() || walk.hand.float_down {
        walk.find(0, Rule::End, "something is left open, off or held");
    }
    if walk.hand.is_open("flush_valve") {
        walk.find(0, Rule::End, "the preservative can run out at the flush valve");
    }
    let says = walk
        .card
        .steps
        .last()
        .is_some_and(|step| step.text.contains("preservative"));
    if !says {
        walk.find(
            0,
            Rule::End,
            "the record does not say that preservative is in the elements",
        );
    }
    if !walk.read_in_service {
        walk.find(0, Rule::End, "no readings are taken before the unit is shut off");
    }
}

fn in_service(walk: &mut Walk<'_>) {
    let service = Hand::in_service(&walk.net);
    let differs = [
        (
            walk.hand.valves != service.valves,
            "a valve does not stand as before",
        ),
        (walk.hand.plugged != service.plugged, "a pump is not plugged in"),
        (walk.hand.float_down, "the float is held down"),
        (!walk.hand.off.is_empty(), "a tube is off"),
        (!walk.hand.open.is_empty(), "a housing is open"),
        (!walk.hand.out.is_empty(), "an element is out"),
        (
            !walk.unpurged.is_empty(),
            "the first water of a polishing item was not led to drain",
        ),
        (
            !walk.fresh.is_empty(),
            "an element was not flushed and its permeate discarded",
        ),
    ];
    for (differs, text) in differs {
        if differs {
            walk.find(0, Rule::End, format!("at the end {text}"));
        }
    }
    for id in walk.left_dusty() {
        walk.find(0, Rule::Carbon, format!("{id} was not rinsed to drain"));
    }
}

fn leak_checked(walk: &mut Walk<'_>) {
    let bath = walk
        .card
        .work
        .iter()
        .any(|work| matches!(work, Work::Descale | Work::Clean));
    let dosed = walk.dosed.last().map(|(at, _)| *at);
    let read = walk
        .card
        .steps
        .iter()
        .rposition(|step| step.action == Action::Read)
        .map_or(0, |index| index + 1);
    if read == 0 || !walk.read_in_service {
        walk.find(0, Rule::End, "no readings are taken with the unit in service");
    }
    let mut missing = Vec::new();
    for (id, part) in &walk.parts {
        // In a bath nothing is opened, but tubes are off at every element.
        let touched = if bath && walk.net.is_element(id) {
            dosed
        } else {
            part.closed.last().copied()
        };
        let Some(closed) = touched else { continue };
        let checks: Vec<_> = part
            .leak_checks
            .iter()
            .filter(|(at, _, seen)| *seen && *at > closed && *at < read)
            .collect();
        let again = checks.iter().any(|(_, early, _)| {
            checks
                .iter()
                .any(|(_, late, _)| late.saturating_sub(*early) >= 10)
        });
        if !again {
            missing.push(id.clone());
        }
    }
    for id in missing {
        walk.find(
            0,
            Rule::End,
            format!("{id} was not looked at for leaks twice, ten minutes apart, before reading"),
        );
    }
}
