//! What goes round the steps: cautions, tools, parts, readings.

use std::collections::BTreeSet;

use reading::Field;
use unit::{PolishKind, StageKind};

use super::draft::{Draft, Stop};
use super::plumbing::Holds;
use crate::card::{Action, JobCard, PartToCarry, ReadingToTake};
use crate::error::CardError;
use crate::work::{Site, Work};

/// Above this supply pressure a regulator belongs before the first stage (International Plumbing Code 604.8).
const HIGH_PRESSURE_KPA: f64 = 550.0;

pub(super) fn card(draft: Draft<'_>, work: &[Work], site: &Site) -> Result<JobCard, CardError> {
    let lists = || -> Result<_, Stop> {
        Ok((
            cautions(&draft, work, site)?,
            tools(&draft, work)?,
            parts(&draft, work)?,
            readings(&draft, site),
        ))
    };
    let (cautions, tools, parts, readings_to_take) = lists().map_err(|stop| match stop {
        Stop::Card(error) => error,
        Stop::NoOrder => CardError::Texts("a list could not be made".to_owned()),
    })?;
    Ok(JobCard {
        unit: draft.unit.id.clone(),
        work: work.to_vec(),
        cautions,
        tools,
        parts,
        steps: draft.steps,
        pressurised_after: draft.pressurised,
        readings_to_take,
    })
}

fn does(draft: &Draft<'_>, action: Action) -> bool {
    draft.steps.iter().any(|step| step.action == action)
}

fn cautions(draft: &Draft<'_>, work: &[Work], site: &Site) -> Result<Vec<String>, Stop> {
    let mut ids = vec!["local_codes"];
    let fed = draft.plumbing.feed_valve().is_none();
    if fed {
        ids.push("feed_not_isolated");
    }
    let electric = !draft.plumbing.pumps.is_empty()
        || draft
            .plumbing
            .housings
            .iter()
            .any(|housing| draft.is_lamp(housing.holds));
    if electric {
        ids.push("residual_current");
    }
    let regulator = draft
        .unit
        .stages
        .iter()
        .any(|stage| matches!(stage.kind, StageKind::Regulator { .. }));
    match site.inlet_pressure_kpa {
        Some(pressure) if pressure > HIGH_PRESSURE_KPA && !regulator => ids.push("high_pressure"),
        None if !regulator => ids.push("pressure_unknown"),
        _ => {}
    }
    match work {
        [Work::Sanitise] => ids.extend(["never_mix", "chemical_drain", "two_openings"]),
        [Work::Descale | Work::Clean] => ids.extend(["never_mix", "chemical_drain", "backflow"]),
        [Work::LayUp] => ids.extend(["never_mix", "chemical_drain", "backflow", "frost"]),
        _ => {}
    }
    ids.push("feed_temperature");
    if matches!(
        work,
        [Work::Commission | Work::LayUp | Work::Sanitise | Work::Descale | Work::Clean]
    ) {
        ids.push("air_gap");
    }
    ids.extend(["leak_stop", "no_disinfection", "medical"]);
    if draft
        .unit
        .stages
        .iter()
        .any(|stage| matches!(stage.kind, StageKind::Carbon { .. }))
    {
        ids.push("ammonia_fish");
    }
    ids.into_iter().map(|id| Ok(draft.texts.caution(id)?)).collect()
}

fn tools(draft: &Draft<'_>, work: &[Work]) -> Result<Vec<String>, Stop> {
    let mut keys = vec!["bucket"];
    if does(draft, Action::OpenHousing) {
        keys.extend(["wrench", "grease", "soap"]);
    }
    keys.extend(["paper", "meter", "gauge"]);
    if does(draft, Action::Disconnect) {
        keys.extend(["tape", "glasses"]);
    }
    if draft
        .unit
        .stages
        .iter()
        .any(|stage| matches!(stage.kind, StageKind::Carbon { .. }))
    {
        keys.push("strips");
    }
    if !draft.plumbing.pumps.is_empty() {
        keys.push("tester");
    }
    match work {
        [Work::Sanitise] => keys.extend(["strips_high", "gloves", "bag", "label"]),
        [Work::Descale | Work::Clean] => keys.extend(["ph", "gloves", "pump"]),
        [Work::LayUp] => keys.extend(["ph", "gloves", "pump", "label"]),
        _ => {}
    }
    let preservative = draft.texts.caution("preservative")?;
    let irritates = draft.steps.iter().any(|step| {
        step.caution
            .as_deref()
            .is_some_and(|text| text.contains(&preservative))
    });
    if irritates && !keys.contains(&"gloves") {
        keys.push("gloves");
    }
    keys.into_iter().map(|key| Ok(draft.texts.tool(key)?)).collect()
}

fn parts(draft: &Draft<'_>, work: &[Work]) -> Result<Vec<PartToCarry>, Stop> {
    let whole = draft.unit.id.clone();
    let mut parts = Vec::new();
    let changed: BTreeSet<&str> = work
        .iter()
        .filter(|item| matches!(item, Work::Change { .. }))
        .filter_map(Work::part)
        .collect();
    let opened: BTreeSet<&str> = draft
        .steps
        .iter()
        .filter(|step| step.action == Action::OpenHousing)
        .filter_map(|step| step.target.as_deref())
        .collect();
    for housing in &draft.plumbing.housings {
        let id = housing.id.as_str();
        let element = matches!(housing.holds, Holds::Element(_));
        let wanted = match work {
            [Work::Commission] => true,
            [Work::Sanitise] => opened.contains(id) && !element,
            _ => changed.contains(id),
        };
        if wanted {
            parts.push(PartToCarry {
                id: id.to_owned(),
                what: draft.part_words(housing.holds)?,
                count: 1,
            });
        }
    }
    if !opened.is_empty() {
        let count = u32::try_from(opened.len()).unwrap_or(u32::MAX);
        let what = draft.texts.part("seals", &[])?;
        parts.push(PartToCarry {
            id: whole.clone(),
            what,
            count,
        });
    }
    let dose = match work {
        [Work::Sanitise] => Some(("bleach", draft.doses.bleach(draft.unit))),
        [Work::Descale] => Some(("citric", draft.doses.citric_acid(draft.unit))),
        [Work::Clean] => Some(("soda", draft.doses.sodium_carbonate(draft.unit))),
        [Work::LayUp] => Some(("bisulfite", draft.doses.metabisulfite(draft.unit))),
        _ => None,
    };
    if let Some((key, dose)) = dose {
        let amount = format!("{:.0}", dose.amount);
        parts.push(PartToCarry {
            id: whole,
            what: draft.texts.part(key, &[("amount", &amount)])?,
            count: 1,
        });
    }
    Ok(parts)
}

fn readings(draft: &Draft<'_>, site: &Site) -> Vec<ReadingToTake> {
    let unit = draft.unit;
    let has = |test: fn(&StageKind) -> bool| unit.stages.iter().any(|stage| test(&stage.kind));
    let mut fields: Vec<String> = [
        Field::FeedTemperature,
        Field::InletPressure,
        Field::MembranePressure,
        Field::PermeateFlow,
        Field::ConcentrateFlow,
        Field::FeedConductivity,
        Field::PermeateConductivity,
    ]
    .into_iter()
    .map(|field| field.name().to_owned())
    .collect();
    if has(|kind| matches!(kind, StageKind::Carbon { .. })) {
        fields.push(Field::FreeChlorineOut.name().to_owned());
        fields.push(Field::TotalChlorineOut.name().to_owned());
    }
    if has(|kind| matches!(kind, StageKind::Softener { .. })) {
        fields.push(Field::HardnessOut.name().to_owned());
    }
    // A lamp and a taste carbon leave the conductivity as it is.
    let changes =
        |item: &&unit::Polish| matches!(item.kind, PolishKind::MixedBed | PolishKind::Remineraliser);
    let after = unit.permeate.polish.iter().filter(changes);
    fields.extend(after.map(|item| format!("conductivity_after.{}", item.id)));
    for expected in &site.expected {
        if !fields.contains(&expected.field) {
            fields.push(expected.field.clone());
        }
    }
    fields
        .into_iter()
        .map(|field| {
            let known = site.expected.iter().find(|expected| expected.field == field);
            ReadingToTake {
                expected: known.map(|known| known.expected),
                low: known.map(|known| known.low),
                high: known.map(|known| known.high),
                field,
            }
        })
        .collect()
}
