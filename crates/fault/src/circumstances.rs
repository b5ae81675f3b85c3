//! What is known of a unit that makes one cause more frequent than another.

use std::collections::BTreeMap;

use reading::Field;
use unit::{Conditions, StageKind, State, Unit, Workspace};
use water::{Analysis, Basis, Mineral, Treatment, Water};
use wear::lives::{days, new_at};

use crate::Case;
use crate::predict::Predictor;

/// What others have worked out of a unit, beside its case.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Known {
    /// By part: how much of its life is used, 1 at its limit; the forecast's median at the time of the reading. Parts that
    /// are not in it go by their age, where their changes are recorded.
    pub used_fraction: BTreeMap<String, f64>,
}

/// What raises or lowers a cause's frequency.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Circumstances<'a> {
    pub(crate) unit: &'a Unit,
    pub(crate) water: Option<&'a Analysis>,
    /// Free chlorine of the feed, mg/L, where anybody knows.
    pub(crate) feed_chlorine_mg_l: Option<f64>,
    /// How much of the most used sediment stage's life is used, and of the most used carbon stage's, where known.
    pub(crate) sediment_used: Option<f64>,
    pub(crate) carbon_used: Option<f64>,
    /// By how much the saturation index of the worst mineral is over what is allowed, at the wall of the last element.
    pub(crate) scaling: Option<f64>,
    /// Minutes that the unit had been running.
    pub(crate) running_min: Option<f64>,
}

/// The circumstances of a case; `inlet_kpa` is the usual supply pressure.
pub(crate) fn circumstances<'a>(
    case: &Case<'a>,
    known: &Known,
    predictor: &Predictor<'_>,
    inlet_kpa: f64,
) -> Circumstances<'a> {
    let used = |is: fn(&StageKind) -> bool| {
        case.unit
            .stages
            .iter()
            .filter(|stage| is(&stage.kind))
            .filter_map(|stage| {
                if let Some(used) = known.used_fraction.get(&stage.id) {
                    return used.is_finite().then_some(used.max(0.0));
                }
                // Age counts only where somebody recorded changes: a unit without a record changes its filters too.
                let at = new_at(&stage.id, None, case.events, case.reading.at)?;
                Some(days(at, case.reading.at) / stage.limit.age_d.unwrap_or(365.0).max(1.0))
            })
            .reduce(f64::max)
    };
    Circumstances {
        unit: case.unit,
        water: case.water,
        feed_chlorine_mg_l: feed_chlorine(case),
        sediment_used: used(|kind| matches!(kind, StageKind::Sediment { .. })),
        carbon_used: used(|kind| matches!(kind, StageKind::Carbon { .. })),
        scaling: scaling(case, predictor, inlet_kpa),
        running_min: case.reading.get(Field::RunningFor),
    }
}

/// Chlorine of the feed, mg/L: as read, else as analysed.
pub(crate) fn feed_chlorine(case: &Case<'_>) -> Option<f64> {
    let read = case
        .reading
        .get(Field::FeedFreeChlorine)
        .or_else(|| case.reading.get(Field::FeedTotalChlorine));
    read.or_else(|| {
        let water = case.water?;
        match (water.free_chlorine_mg_l, water.chloramine_mg_l) {
            (None, None) => None,
            (free, bound) => Some(free.unwrap_or(0.0) + bound.unwrap_or(0.0)),
        }
    })
}

/// Feed temperature where nobody read it, C (common practice, no source).
const USUAL_TEMPERATURE_C: f64 = 14.0;

/// How far the sound unit's wall is over what may be dissolved there, as an index; none where the ions are not known or the
/// chemistry has no answer.
fn scaling(case: &Case<'_>, predictor: &Predictor<'_>, inlet_kpa: f64) -> Option<f64> {
    let water = Water::complete(case.water?).ok()?;
    if water.basis() == Basis::SodiumChloride {
        return None;
    }
    let conditions = Conditions {
        temperature_c: case
            .reading
            .get(Field::FeedTemperature)
            .or(case.water?.temperature_c)
            .unwrap_or(USUAL_TEMPERATURE_C),
        inlet_pressure_kpa: inlet_kpa,
        permeate_pressure_kpa: 0.0,
        state: State::default(),
    };
    let model = predictor.model;
    let found = model
        .predict(
            case.unit,
            &water,
            &model.parameters(),
            &conditions,
            &mut Workspace::new(),
        )
        .ok()?;
    let has = |is: fn(&StageKind) -> bool| case.unit.stages.iter().any(|stage| is(&stage.kind));
    let treatment = Treatment {
        antiscalant: has(|kind| matches!(kind, StageKind::Antiscalant)),
        softener_hardness_out_mg_l_caco3: case.unit.stages.iter().find_map(|stage| match stage.kind {
            StageKind::Softener {
                hardness_out_mg_l_caco3,
                ..
            } => Some(hardness_out_mg_l_caco3.unwrap_or(5.0)),
            _ => None,
        }),
        allowed: case
            .unit
            .limits
            .saturation
            .iter()
            .filter_map(|(name, si)| Some((Mineral::from_name(name)?, *si)))
            .collect(),
    };
    Mineral::ALL
        .into_iter()
        .zip(found.saturation_at_wall)
        .filter_map(|(mineral, si)| Some(si? - treatment.allowed_si(mineral)?))
        .filter(|excess| excess.is_finite())
        .reduce(f64::max)
}
