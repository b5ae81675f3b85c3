//! What the next hand must know before it opens a housing.

use unit::{StageKind, Unit};

use crate::card::{Action, Phase};
use crate::error::CardError;
use crate::texts::Texts;
use crate::work::{Site, Work};

/// What stands on the label of one housing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HousingNote {
    /// The part in it.
    pub part: String,
    /// What it is, as it is ordered.
    pub what: String,
    /// What must be done before it is opened, in order, short.
    pub before: Vec<String>,
    /// What must be done after it is closed and before the unit serves again.
    pub after: Vec<String>,
}

/// The notes for these parts; for every housing of the unit where none is named. Unknown parts and pumps are left out.
///
/// They are taken from the proved job card for changing that part, so a label never says less than the card. Where no safe
/// order exists the label says that the housing must not be opened, and why.
///
/// # Errors
/// [`CardError::Texts`] or [`CardError::Unproved`]: a fault of Saltmark.
pub fn housing_notes(unit: &Unit, parts: &[&str], site: &Site) -> Result<Vec<HousingNote>, CardError> {
    let texts = Texts::load(site.language)?;
    let housings = unit.part_ids().filter(|id| {
        let pump = unit
            .stage(id)
            .is_some_and(|stage| matches!(stage.kind, StageKind::Pump { .. }));
        !pump && (parts.is_empty() || parts.contains(id))
    });
    housings.map(|part| note(unit, part, site, texts)).collect()
}

fn note(unit: &Unit, part: &str, site: &Site, texts: &Texts) -> Result<HousingNote, CardError> {
    let work = [Work::Change {
        part: part.to_owned(),
    }];
    let card = match crate::job_card(unit, &work, site) {
        Ok(card) => card,
        Err(CardError::Impossible { sentence, .. }) => {
            return Ok(HousingNote {
                part: part.to_owned(),
                what: crate::planner::part_words(unit, part, site.language)?,
                before: vec![texts.note("do_not_open", &[("why", &sentence)])?],
                after: Vec::new(),
            });
        }
        Err(other) => return Err(other),
    };
    let mut before = Vec::new();
    let mut after = Vec::new();
    for step in &card.steps {
        let target = step.target.as_deref().unwrap_or_default();
        let minutes = step
            .minutes
            .map(|minutes| minutes.to_string())
            .unwrap_or_default();
        let valve = texts.valve(target)?;
        let tube = texts.tube(target.trim_start_matches("tube:"))?;
        let values = [
            ("id", target),
            ("valve", valve.as_str()),
            ("tube", tube.as_str()),
            ("minutes", minutes.as_str()),
        ];
        let opening = matches!(step.phase, Phase::Isolate | Phase::Relieve | Phase::Open);
        let (list, key) = match step.action {
            Action::Unplug => (&mut before, "unplug"),
            Action::Close if step.phase == Phase::Isolate => (&mut before, "close"),
            Action::Open if opening => (&mut before, "open_relief"),
            Action::PressFloat => (&mut before, "press_float"),
            Action::Disconnect if opening => (&mut before, "tube_off"),
            Action::Wait if opening => (&mut before, "wait"),
            Action::RinseToDrain => {
                let litres = unit
                    .stage(target)
                    .map(|stage| crate::dose::Doses::load().map(|doses| doses.rinse_l(stage)))
                    .transpose()?
                    .unwrap_or_default();
                let litres = format!("{litres:.0}");
                after.push(texts.note("rinse", &[("litres", &litres)])?);
                continue;
            }
            Action::FlushToDrain => (&mut after, "flush"),
            Action::DiscardPermeate => (&mut after, "discard"),
            _ => continue,
        };
        let said = texts.note(key, &values)?;
        if !list.contains(&said) {
            list.push(said);
        }
    }
    Ok(HousingNote {
        part: part.to_owned(),
        what: crate::planner::part_words(unit, part, site.language)?,
        before,
        after,
    })
}
