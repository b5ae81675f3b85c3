//! How to get safely at what a test has to open: the steps of a proved job card, as far as the test needs them.

use unit::Unit;

use crate::texts::{Language, Texts};
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
#[derive(Clone, Debug, PartialEq)]
pub struct SafeWay {
    /// When none of it is needed; to be read before the steps.
    pub first: Option<String>,
    /// In order.
    pub steps: Vec<Step>,
    /// What to do at their end, and how to go back.
    pub then: String,
}

/// The safe way to what a test has to get at, in a language, or in its words why there is none.
///
/// # Errors
/// Why no safe order exists: what is missing, as [`job_card`] says it.
pub fn safe_way(unit: &Unit, reach: &Reach, language: Language) -> Result<SafeWay, String> {
    let texts = Texts::load(language).map_err(|error| error.to_string())?;
    let words = |key: &str| texts.reach(key).map_err(|error| error.to_string());
    let site = Site {
        language,
        ..Site::default()
    };
    let inspect = |part: &str| {
        let work = [Work::Inspect {
            part: part.to_owned(),
        }];
        job_card(unit, &work, &site).map_err(|error| error.to_string())
    };
    if let Reach::Housing(part) = reach {
        return Ok(SafeWay {
            first: None,
            steps: inspect(part)?.steps,
            then: words("housing")?,
        });
    }
    // The card for the last element isolates and relieves both sides of the membranes; its first part is what is needed.
    let Some(last) = unit.membranes.elements.last() else {
        return Err(words("no_element")?);
    };
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
        Reach::PermeateLine => (with_line_off(), "membranes>", "permeate_line"),
        Reach::ElementPermeate => (with_line_off(), "membranes>", "element_permeate"),
        Reach::Restrictor | Reach::Housing(_) => (relieved, "restrictor", "restrictor"),
    };
    let still = count
        .checked_sub(1)
        .and_then(|at| card.pressurised_after.get(at))
        .is_none_or(|segments| segments.iter().any(|one| one.contains(segment)));
    if still {
        return Err(words("uncertain")?);
    }
    Ok(SafeWay {
        first: match reach {
            Reach::ElementPermeate => Some(words("element_permeate_first")?),
            _ => None,
        },
        steps: card.steps.into_iter().take(count).collect(),
        then: words(then)?,
    })
}
