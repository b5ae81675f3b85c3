//! Mutation check: a step left out, or two steps swapped, is caught wherever it matters.

use std::collections::BTreeMap;

use service::checker::{Rule, check};
use service::{Action, JobCard, Site, plan};
use unit::Unit;

use crate::common::{cafe, glasshouse, work};

/// Whether the checker objects, its objections to the list of segments aside: a mutated card's lists are
/// wrong anyway, and a hand that swaps two steps has no list.
fn caught(unit: &Unit, mut card: JobCard) -> bool {
    for (index, step) in card.steps.iter_mut().enumerate() {
        step.n = u32::try_from(index + 1).unwrap_or(u32::MAX);
    }
    check(unit, &card)
        .iter()
        .any(|finding| finding.rule != Rule::Report)
}

fn cards() -> Vec<(Unit, JobCard)> {
    let mut without_flush = glasshouse();
    without_flush.concentrate.flush_valve = false;
    let asked: [(Unit, &[&[&str]]); 3] = [
        (
            glasshouse(),
            &[
                &["change:sediment"],
                &["change:carbon"],
                &["change:membrane-1", "change:membrane-2"],
                &[
                    "change:sediment",
                    "change:carbon",
                    "change:membrane-1",
                    "change:membrane-2",
                ],
                &["wash:sediment", "inspect:membrane-2"],
                &["sanitise"],
                &["descale"],
                &["clean"],
                &["commission"],
                &["lay_up"],
            ],
        ),
        (
            without_flush,
            &[&["change:carbon"], &["change:membrane-2"], &["commission"]],
        ),
        (
            cafe(),
            &[
                &["change:sediment", "change:carbon"],
                &["change:membrane"],
                &["change:taste"],
                &["change:membrane", "change:taste"],
                &["sanitise"],
                &["descale"],
                &["lay_up"],
            ],
        ),
    ];
    let mut cards = Vec::new();
    for (unit, works) in asked {
        for words in works {
            let card = plan(&unit, &work(words), &Site::default()).unwrap_or_else(|error| panic!("{error}"));
            assert!(!caught(&unit, card.clone()), "the unchanged card is right");
            cards.push((unit.clone(), card));
        }
    }
    cards
}

/// Why two steps may change places, for those pairs where the checker lets some of them.
fn harmless(first: Action, second: Action) -> Option<&'static str> {
    use Action::{
        Close, CloseHousing, DiscardPermeate, Disconnect, Dose, FlushToDrain, Grease, Insert, Inspect, Open,
        OpenHousing, PlugIn, PressFloat, Reconnect, ReleaseFloat, Remove, Soak, Unplug, Wait, Wash,
    };
    let turns = |action| {
        matches!(
            action,
            Close | Open | Unplug | PlugIn | PressFloat | ReleaseFloat | Disconnect | Reconnect
        )
    };
    let housing = |action| matches!(action, OpenHousing | CloseHousing);
    let handles = |action| matches!(action, Remove | Wash | Inspect | Grease | Insert | Dose);
    let pair = (first, second);
    Some(match pair {
        (a, b) if turns(a) && turns(b) => "valves, plugs, tubes and the float, both before what they are for",
        (a, b) if housing(a) && housing(b) => "two housings on relieved water, in either order",
        (a, b) if (housing(a) && turns(b)) || (turns(a) && housing(b)) => {
            "a tube or the float beside a housing, on relieved water"
        }
        (a, b) if handles(a) && handles(b) => "what is done at an open housing, in either order",
        (Open | PlugIn | Close, Inspect) => "a leak shows before the last valve is turned as well",
        (FlushToDrain, DiscardPermeate) => "flushed and discarded in either order (contract 7)",
        (FlushToDrain, PlugIn) | (PlugIn, DiscardPermeate) => "mains alone flushes and makes permeate",
        (FlushToDrain, FlushToDrain) | (DiscardPermeate, DiscardPermeate) | (Wait, Wait) => {
            "the same step with other minutes, both long enough"
        }
        (DiscardPermeate, Reconnect) => "the second discarding does for both",
        (Soak, Reconnect) | (Dose, OpenHousing | Close) | (Grease | Remove, Dose) => {
            "a bath stands whether other housings and tubes are open or not"
        }
        (Wait, ReleaseFloat) => "the float can go when the tube is off",
        (Disconnect, Wait) => "the wait drains the membranes either way",
        _ => return None,
    })
}

/// Swaps that no hand may make, told from the actions alone.
fn forbidden(card: &JobCard, first: usize, second: usize) -> bool {
    let (a, b) = (&card.steps[first], &card.steps[second]);
    let isolates = a.action == Action::Unplug
        || (a.action == Action::Close && a.target.as_deref() == Some("inlet_valve"));
    let early = card.steps[..first].iter().all(|step| {
        !matches!(
            step.action,
            Action::OpenHousing | Action::Disconnect | Action::Dose
        )
    });
    let same = a
        .target
        .as_deref()
        .map(|target| target.trim_start_matches("seals:"))
        == b.target
            .as_deref()
            .map(|target| target.trim_start_matches("seals:"));
    let element = a
        .target
        .as_deref()
        .is_some_and(|target| target.starts_with("membrane"));
    match (a.action, b.action) {
        (_, Action::OpenHousing) if isolates && early => true,
        (Action::Grease | Action::Insert | Action::Remove, Action::CloseHousing)
        | (Action::OpenHousing, Action::Remove | Action::Grease | Action::Insert | Action::CloseHousing)
        | (Action::Remove, Action::Insert) => same,
        (Action::RinseToDrain, Action::FlushToDrain)
        | (_, Action::Record)
        | (Action::CloseHousing, Action::PlugIn | Action::RinseToDrain | Action::FlushToDrain) => true,
        (Action::Insert, Action::FlushToDrain | Action::DiscardPermeate) => element,
        _ => false,
    }
}

fn line(card: &JobCard, index: usize) -> String {
    let step = &card.steps[index];
    format!(
        "{} {} {}",
        step.phase.name(),
        step.action.name(),
        step.target.as_deref().unwrap_or("-")
    )
}

#[test]
fn prop_a_step_left_out_is_caught() {
    let (mut total, mut kept) = (0, Vec::new());
    for (unit, card) in cards() {
        for index in 0..card.steps.len() {
            let mut mutant = card.clone();
            mutant.steps.remove(index);
            mutant.pressurised_after.remove(index);
            total += 1;
            if !caught(&unit, mutant) {
                kept.push(format!("{:?}: {}", card.work, line(&card, index)));
            }
        }
    }
    // No card has a step that nothing asks for: every one that is left out is missed.
    assert!(kept.is_empty(), "{} of {total} not caught: {kept:#?}", kept.len());
    assert!(total > 500, "{total}");
}

#[test]
#[expect(clippy::print_stdout, reason = "the counts explain what is not caught")]
fn prop_two_steps_swapped_are_caught() {
    // In a debug build every third swap, so that the tests stay under a minute.
    let stride = if cfg!(debug_assertions) { 3 } else { 1 };
    let (mut total, mut must, mut kept) = (0_u32, 0_u32, BTreeMap::<&str, u32>::new());
    for (unit, card) in cards() {
        for first in 0..card.steps.len() {
            for second in first + 1..card.steps.len() {
                let forbidden = forbidden(&card, first, second);
                if !forbidden && (first + second) % stride != 0 {
                    continue;
                }
                let mut mutant = card.clone();
                mutant.steps.swap(first, second);
                total += 1;
                must += u32::from(forbidden);
                if !caught(&unit, mutant) {
                    let what = format!(
                        "{:?}: {} / {}",
                        card.work,
                        line(&card, first),
                        line(&card, second)
                    );
                    assert!(!forbidden, "{what}");
                    let reason = harmless(card.steps[first].action, card.steps[second].action);
                    let reason = reason.unwrap_or_else(|| panic!("not caught, for no known reason: {what}"));
                    *kept.entry(reason).or_default() += 1;
                }
            }
        }
    }
    let missed: u32 = kept.values().sum();
    println!("{total} swaps, {must} of them forbidden, {missed} not caught: {kept:#?}");
    // From this very set of cards: 95 in 100 are caught, the rest is explained above.
    assert!(missed * 100 <= total * 6, "{missed} of {total}");
    assert!(must > 300, "{must}");
}
