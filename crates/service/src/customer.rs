//! A plain card for a customer who changes cartridges alone, and only for work that needs no licence.

use unit::{PolishKind, StageKind, Unit};

use crate::card::{Action, JobCard, PartToCarry, Step};
use crate::error::CardError;
use crate::texts::Texts;
use crate::work::{Site, Work};

/// A card in plain words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CustomerCard {
    /// Id of the unit.
    pub unit: String,
    /// What to know before the first step.
    pub cautions: Vec<String>,
    /// The cartridges that go in, and spare seals.
    pub parts: Vec<PartToCarry>,
    /// The steps, in the order of the proved job card.
    pub steps: Vec<CustomerStep>,
    /// When to stop and call.
    pub call: String,
}

/// A step in plain words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CustomerStep {
    /// Number, from 1.
    pub n: u32,
    /// What can hurt someone here.
    pub caution: Option<String>,
    /// What to do, and what to see.
    pub text: String,
    /// How long it takes as waiting time, minutes.
    pub minutes: Option<u32>,
}

/// Why a customer gets no card.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CustomerRefusal {
    /// There is no job card at all.
    #[error(transparent)]
    Card(#[from] CardError),
    /// The work is not one for a customer; each reason a sentence.
    #[error("{}", .0.join(" "))]
    NotForCustomers(Vec<String>),
}

/// The work on this unit as a plain card: cartridges changed or washed in housings that the card relieves.
///
/// The steps are those of the proved [`crate::job_card`], none left out but the readings.
///
/// # Errors
/// [`CustomerRefusal::NotForCustomers`] for membranes, lamps, regulators, softeners, dosing, chemicals, for a unit with a
/// pump (its electricity must be off for certain), and where the feed cannot be shut off or a tube under pressure is the only
/// relief. [`CustomerRefusal::Card`] as for [`crate::job_card`].
pub fn customer_card(unit: &Unit, work: &[Work], site: &Site) -> Result<CustomerCard, CustomerRefusal> {
    let card = crate::job_card(unit, work, site)?;
    let texts = Texts::load(site.language)?;
    let reasons = reasons(unit, &card, texts)?;
    if !reasons.is_empty() {
        return Err(CustomerRefusal::NotForCustomers(reasons));
    }
    let mut steps = Vec::new();
    for step in &card.steps {
        if step.action == Action::Read {
            continue;
        }
        steps.push(CustomerStep {
            n: u32::try_from(steps.len() + 1).unwrap_or(u32::MAX),
            caution: step.caution.clone(),
            text: plain(&card, step, texts)?,
            minutes: step.minutes,
        });
    }
    let cautions = ["customer_before", "customer_water", "customer_drink"]
        .into_iter()
        .map(|key| texts.plain(key, &[]))
        .collect::<Result<_, _>>()?;
    Ok(CustomerCard {
        unit: card.unit,
        cautions,
        parts: card.parts,
        steps,
        call: texts.plain("customer_call", &[])?,
    })
}

fn reasons(unit: &Unit, card: &JobCard, texts: &Texts) -> Result<Vec<String>, CardError> {
    let mut reasons = Vec::new();
    for item in &card.work {
        let key = match item {
            Work::Change { part } | Work::Wash { part } if cartridge(unit, part) => continue,
            Work::Change { .. } | Work::Wash { .. } => "refused_part",
            Work::Inspect { .. } => "refused_inspect",
            _ => "refused_work",
        };
        reasons.push(texts.plain(key, &[("id", item.part().unwrap_or_default())])?);
    }
    let pump = unit
        .stages
        .iter()
        .find(|stage| matches!(stage.kind, StageKind::Pump { .. }));
    if let Some(pump) = pump {
        reasons.push(texts.plain("refused_pump", &[("id", &pump.id)])?);
    }
    let said = |id: &str| -> Result<bool, CardError> {
        let caution = texts.caution(id)?;
        let on_card = card.cautions.contains(&caution);
        let at_step = card.steps.iter().any(|step| {
            step.caution
                .as_deref()
                .is_some_and(|text| text.contains(&caution))
        });
        Ok(on_card || at_step)
    };
    for (caution, key) in [
        ("feed_not_isolated", "refused_feed"),
        ("tube_under_pressure", "refused_tube"),
        ("high_pressure", "refused_pressure"),
    ] {
        if said(caution)? {
            reasons.push(texts.plain(key, &[])?);
        }
    }
    Ok(reasons)
}

/// Whether the part is a cartridge in a housing that a customer may open.
fn cartridge(unit: &Unit, part: &str) -> bool {
    let stage = unit
        .stage(part)
        .is_some_and(|stage| matches!(stage.kind, StageKind::Sediment { .. } | StageKind::Carbon { .. }));
    let polish = unit.permeate.polish.iter().any(|item| {
        item.id == part
            && matches!(
                item.kind,
                PolishKind::Carbon | PolishKind::Remineraliser | PolishKind::MixedBed
            )
    });
    stage || polish
}

/// The step in plain words.
fn plain(card: &JobCard, step: &Step, texts: &Texts) -> Result<String, CardError> {
    let target = step.target.as_deref().unwrap_or_default();
    let minutes = step
        .minutes
        .map(|minutes| minutes.to_string())
        .unwrap_or_default();
    let key = match (step.action, target) {
        (Action::Close, "inlet_valve") => "close_inlet",
        (Action::Open, "inlet_valve") => "open_inlet",
        (Action::Close, "flush_valve") => "close_flush",
        (Action::Open, "flush_valve") => "open_flush",
        (Action::Close, "tank_valve") => "close_tank",
        (Action::Open, "tank_valve") => "open_tank",
        (Action::Close, _) => "close_stage_valve",
        (Action::Open, _) => "open_stage_valve",
        (Action::Remove, _) => match card.work.iter().find(|item| item.part() == Some(target)) {
            Some(Work::Wash { .. }) => "remove_wash",
            _ => "remove",
        },
        // Before anything is opened waiting lets the pressure out; at the end it is for leaks.
        (Action::Wait, _) if step.phase == crate::Phase::Prove => "wait_leak",
        (Action::Inspect, _) => "inspect",
        (action, _) => action.name(),
    };
    let id = target
        .trim_start_matches("seals:")
        .trim_end_matches(".inlet_valve");
    let tube = id.trim_start_matches("tube:");
    let (tube, far) = (texts.tube(tube)?, texts.far_end(tube)?);
    texts.plain(
        key,
        &[("id", id), ("tube", &tube), ("far", &far), ("minutes", &minutes)],
    )
}
