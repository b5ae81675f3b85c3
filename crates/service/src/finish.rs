//! What finishing a work writes down, and how a work that was left off knows its card again.

use jiff::Timestamp;
use reading::{Event, EventKind};
use sha2::{Digest, Sha256};
use unit::Unit;

use crate::card::{Action, JobCard};
use crate::work::Work;

/// What was seen at a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seen {
    /// The part.
    pub part: String,
    /// What was seen, in the technician's words.
    pub note: String,
}

/// The events that finishing this card at `at` writes: each part with what became of it and what was seen at it.
///
/// A changed part is `changed` (`installed` where the unit was commissioned), a washed one `cleaned`; what was rinsed and
/// not renewed is `rinsed`. Of a work on the whole unit comes its own event: `sanitised` with the cartridges changed,
/// `cleaned` for each membrane descaled or cleaned, `started` after commissioning, `stopped` after laying up. A part that was
/// only looked at has no event: what was seen there stays a remark. What was seen at a part without an event is not in
/// here: write it as a remark.
pub fn events(unit: &Unit, card: &JobCard, seen: &[Seen], at: Timestamp) -> Vec<Event> {
    let mut events: Vec<Event> = Vec::new();
    let mut add = |kind: EventKind, part: Option<&str>| {
        let mut event = Event::new(at, kind, part);
        if let Some(part) = part {
            let notes = seen.iter().filter(|one| one.part == part);
            event.note = notes
                .map(|one| one.note.trim())
                .filter(|note| !note.is_empty())
                .collect::<Vec<_>>()
                .join("; ");
        }
        events.push(event);
    };
    let handled = |action: Action| {
        card.steps
            .iter()
            .filter(move |step| step.action == action)
            .filter_map(|step| step.target.as_deref())
    };
    match card.work.as_slice() {
        [Work::Commission] => {
            for part in handled(Action::Insert) {
                add(EventKind::Installed, Some(part));
            }
            add(EventKind::Started, None);
        }
        [Work::Sanitise] => {
            add(EventKind::Sanitised, None);
            // What is carried in for a part is what was renewed; spare seals and the chemical stand under the unit's own id.
            for part in card.parts.iter().filter(|part| part.id != card.unit) {
                add(EventKind::Changed, Some(&part.id));
            }
        }
        [Work::Descale | Work::Clean] => {
            for element in &unit.membranes.elements {
                add(EventKind::Cleaned, Some(&element.id));
            }
        }
        [Work::LayUp] => add(EventKind::Stopped, None),
        parts => {
            for item in parts {
                match item {
                    Work::Change { part } => add(EventKind::Changed, Some(part)),
                    Work::Wash { part } => add(EventKind::Cleaned, Some(part)),
                    _ => {}
                }
            }
            for part in handled(Action::RinseToDrain) {
                let renewed = parts
                    .iter()
                    .any(|item| matches!(item, Work::Change { part: own } if own == part));
                if !renewed {
                    add(EventKind::Rinsed, Some(part));
                }
            }
        }
    }
    events
}

impl JobCard {
    /// Sixteen hexadecimal digits that are the same as long as the steps are: unit, work, and of each step its number, phase,
    /// action, target and waiting time. Wording and expected values don't count, so that a work that was left off goes on
    /// with the same card in another language, in other weather, or after a text was mended, and with no other.
    pub fn fingerprint(&self) -> String {
        let mut hash = Sha256::new();
        let mut put = |text: &str| {
            hash.update((text.len() as u64).to_be_bytes());
            hash.update(text.as_bytes());
        };
        put(&self.unit);
        for work in &self.work {
            put(work.name());
            put(work.part().unwrap_or_default());
        }
        for step in &self.steps {
            put(step.phase.name());
            put(step.action.name());
            put(step.target.as_deref().unwrap_or_default());
            put(&step
                .minutes
                .map(|minutes| minutes.to_string())
                .unwrap_or_default());
        }
        let digits = hash.finalize();
        digits
            .iter()
            .take(8)
            .flat_map(|byte| [byte >> 4, byte & 15])
            .filter_map(|digit| char::from_digit(u32::from(digit), 16))
            .collect()
    }
}
