//! How to get safely at what a test has to open: the steps of a proved job card, as far as the test needs them.

use unit::Unit;

use crate::{Action, Phase, Site, Step, Work, job_card};

/// What a test has to get at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reach {
    /// The inside of a stage's or an element's housing, by its id.
    Housing(String),
    /// The restrictor.
    Restrictor,
    /// The permeate line of all elements, to be taken off.
    PermeateLine,
    /// The permeate of one element, where it is not sampled without taking anything off.
    ElementPermeate,
}

/// The steps before something may be opened, and what comes after them.
pub struct SafeWay {
    /// In order.
    pub steps: Vec<Step>,
    /// What to do at their end, and how to go back.
    pub then: &'static str,
}

/// The safe way to what a test has to get at, or in words why there is none.
///
/// # Errors
/// Why no safe order exists: what is missing, as [`job_card`] says it.
pub fn safe_way(unit: &Unit, reach: &Reach) -> Result<SafeWay, String> {
    let inspect = |part: &str| {
        let work = [Work::Inspect {
            part: part.to_owned(),
        }];
        job_card(unit, &work, &Site::default()).map_err(|error| error.to_string())
    };
    if let Reach::Housing(part) = reach {
        return Ok(SafeWay {
            steps: inspect(part)?.steps,
            then: "Look at it when it is out, and answer when the card is done.",
        });
    }
    // The card for the last element isolates and relieves both sides of the membranes; its first part is what is needed.
    let last = unit.membranes.elements.last().ok_or("the unit has no element")?;
    let card = inspect(&last.id)?;
    let line_off = |step: &Step| {
        step.action == Action::Disconnect
            && step
                .target
                .as_deref()
                .is_some_and(|target| target.starts_with("tube:membranes>"))
    };
    let relieved = card
        .steps
        .iter()
        .take_while(|step| matches!(step.phase, Phase::Isolate | Phase::Relieve))
        .count();
    let with_line_off = || {
        let off = card.steps.iter().position(line_off);
        off.map_or(relieved, |at| at + 1).max(relieved)
    };
    let (count, segment, then) = match reach {
        Reach::PermeateLine => (
            with_line_off(),
            "membranes>",
            "Leave the permeate line off and lead it into a bucket. Undo the other steps in the opposite order, the inlet \
             slowly, and let it run. Afterwards go through the steps again, put the line back, and look at every joint under \
             pressure and again ten minutes later. Nobody drinks this water.",
        ),
        Reach::ElementPermeate => (
            with_line_off(),
            "membranes>",
            "Where there is a place to sample it none of this is needed. Else take this element's permeate tube off where \
             the tubes join, lead it into a bucket, undo the other steps in the opposite order, the inlet slowly, and let it \
             run a few minutes before it is measured. Afterwards go through the steps again, put all tubes back, and look at \
             every joint under pressure and again ten minutes later. Nobody drinks this water.",
        ),
        Reach::Restrictor | Reach::Housing(_) => (
            relieved,
            "restrictor",
            "Only now take the restrictor out. Put it back before any water runs, undo the steps in the opposite order, the \
             inlet slowly, and look at every joint under pressure and again ten minutes later.",
        ),
    };
    let still = count
        .checked_sub(1)
        .and_then(|at| card.pressurised_after.get(at))
        .is_none_or(|segments| segments.iter().any(|one| one.contains(segment)));
    if still {
        return Err("no order of steps takes the pressure off it for certain".to_owned());
    }
    Ok(SafeWay {
        steps: card.steps.into_iter().take(count).collect(),
        then,
    })
}
