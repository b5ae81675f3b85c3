//! What the readings should be after the work: the model with the new parts, and the band that a sound unit keeps.

mod account;

use std::collections::BTreeMap;

use fault::{ReadingSpread, reading_spreads};
use reading::Field;
use unit::{
    Conditions, Model, PolishKind, PredictError, Prediction, Segments, StageKind, State, Unit, Workspace,
};
use water::{Analysis, Water};
use wear::composition::ranges;
use wear::expectation::spread;

use crate::work::{Expected, Work};

pub use account::{BAND_EQUATIONS, of_band};

/// Standard deviations to either side that still pass: 19 of 20 sound units do (common practice, no source).
const PASS_SD: f64 = 2.0;
/// Chlorine after sound carbon, mg/L, where the unit states no limit (common practice, no source).
const CHLORINE_OUT_MG_L: f64 = 0.1;
/// Hardness after a sound softener: usual, and one grain per US gallon as the most, mg/L as `CaCO3` (common practice, no
/// source).
const HARDNESS_OUT_MG_L: (f64, f64) = (5.0, 17.1);
/// Conductivity after a fresh mixed bed: usual and most, uS/cm (common practice, no source). Pure water has 0.055.
const MIXED_BED_US_CM: (f64, f64) = (0.5, 2.0);

/// The state of wear after this work: the renewed parts are as new, the others as they were.
///
/// A washed cartridge has its clean drop again. Descaling and cleaning bring the membranes at best back to new, which is
/// what stands here; [`expected`] lets what they were before pass too. A part that is unknown is left out.
pub fn after_work(unit: &Unit, work: &[Work], before: &State) -> State {
    let mut after = before.clone();
    for item in work {
        match item {
            Work::Change { part } => renew(&mut after, part),
            Work::Wash { part } => {
                after.drop.remove(part);
            }
            Work::Commission => after = State::default(),
            Work::Sanitise => {
                for stage in &unit.stages {
                    after.drop.remove(&stage.id);
                }
            }
            Work::Descale | Work::Clean => {
                for element in &unit.membranes.elements {
                    renew(&mut after, &element.id);
                }
            }
            Work::Inspect { .. } | Work::LayUp => {}
        }
    }
    after
}

fn renew(state: &mut State, part: &str) {
    state.permeability.remove(part);
    state.salt_permeability.remove(part);
    state.drop.remove(part);
}

/// What each reading should be after this work on this water in these conditions, and the band in which it passes.
///
/// `conditions.state` is the wear before the work. The value is [`unit::predict`]'s with the new parts; the band is two
/// standard deviations of what is not known: chance of new parts, the conditions' and the instruments' errors
/// ([`fault::reading_spreads`]), and, where of the feed only the salt content is known, its composition.
///
/// # Errors
/// As [`unit::predict`].
pub fn expected(
    unit: &Unit,
    work: &[Work],
    water: &Water,
    conditions: &Conditions,
) -> Result<Vec<Expected>, PredictError> {
    let found = widened(unit, work, water, conditions)?;
    Ok(found.into_iter().map(Band::whole).collect())
}

/// A band with what widens it.
#[derive(Clone, Debug)]
struct Band {
    /// By the spread of sound units alone, or by a rule.
    own: Expected,
    /// What else may be: another composition of the feed, membranes as they were.
    wider: Option<(f64, f64)>,
}

impl Band {
    fn widen(&mut self, low: f64, high: f64) {
        let (lowest, highest) = self.wider.unwrap_or((low, high));
        self.wider = Some((lowest.min(low), highest.max(high)));
    }

    fn whole(self) -> Expected {
        let (low, high) = self.wider.unwrap_or((self.own.low, self.own.high));
        Expected {
            low: self.own.low.min(low),
            high: self.own.high.max(high),
            ..self.own
        }
    }
}

/// [`expected`] with what widens each band.
fn widened(
    unit: &Unit,
    work: &[Work],
    water: &Water,
    conditions: &Conditions,
) -> Result<Vec<Band>, PredictError> {
    let after = Conditions {
        state: after_work(unit, work, &conditions.state),
        ..conditions.clone()
    };
    let mut found = bands(unit, work, water, &after)?;
    if matches!(work, [Work::Descale | Work::Clean]) && after.state != conditions.state {
        let before: BTreeMap<String, Expected> = bands(unit, work, water, conditions)?
            .into_iter()
            .map(Band::whole)
            .map(|one| (one.field.clone(), one))
            .collect();
        for one in &mut found {
            if let Some(before) = before.get(&one.own.field) {
                one.widen(before.low, before.high);
            }
        }
    }
    Ok(found)
}

/// An analysis made thicker or thinner, all in proportion, so that it conducts what was read today, uS/cm.
///
/// A supply varies from day to day more than a meter errs, and mostly in all its ions together (common practice, no source).
/// Where the analysis cannot be computed, or today's value is none, or less than a third or more than three times as much
/// (another feed: it needs an analysis of its own), it is given back as it is.
pub fn feed_of_the_day(analysis: &Analysis, us_cm: f64) -> Analysis {
    let mut today = analysis.clone();
    let Ok(water) = Water::complete(analysis) else {
        return today;
    };
    let ratio = us_cm / water.conductivity_us_cm();
    if !(1.0 / 3.0..=3.0).contains(&ratio) {
        return today;
    }
    for value in [
        &mut today.calcium_mg_l,
        &mut today.magnesium_mg_l,
        &mut today.sodium_mg_l,
        &mut today.potassium_mg_l,
        &mut today.strontium_mg_l,
        &mut today.barium_mg_l,
        &mut today.iron_mg_l,
        &mut today.manganese_mg_l,
        &mut today.ammonium_mg_l,
        &mut today.alkalinity_mg_l_caco3,
        &mut today.chloride_mg_l,
        &mut today.sulfate_mg_l,
        &mut today.nitrate_mg_l,
        &mut today.fluoride_mg_l,
        &mut today.silica_mg_l,
        &mut today.boron_mg_l,
        &mut today.phosphate_mg_l,
        &mut today.tds_mg_l,
        &mut today.hardness_mg_l_caco3,
    ] {
        *value = value.map(|value| value * ratio);
    }
    today.conductivity_us_cm = Some(us_cm);
    today
}

fn bands(
    unit: &Unit,
    work: &[Work],
    water: &Water,
    conditions: &Conditions,
) -> Result<Vec<Band>, PredictError> {
    let model = Model::new(unit, Segments::default())?;
    let parameters = model.in_state(&conditions.state)?;
    let mut workspace = Workspace::new();
    let prediction = model.predict(unit, water, &parameters, conditions, &mut workspace)?;
    let spreads = reading_spreads(unit, water.analysis(), conditions);
    let feed_us_cm = water.conductivity_us_cm();
    let mut found: Vec<Band> = values(unit, work, conditions, &prediction, feed_us_cm)
        .into_iter()
        .filter_map(|(field, value)| {
            let spread = spreads.iter().find(|spread| spread.field == field)?;
            let own = band(field, value, spread)?;
            Some(Band { own, wider: None })
        })
        .collect();
    let ids: Vec<&str> = unit.membranes.elements.iter().map(|e| e.id.as_str()).collect();
    let spread = spread(&model, &parameters, conditions, &ids, &prediction, &mut workspace);
    let analysis = water.analysis();
    if let Some(wide) = ranges(
        &model,
        &parameters,
        conditions,
        analysis,
        &prediction,
        spread,
        &mut workspace,
    ) {
        for (field, range) in [
            (Field::PermeateFlow, wide.permeate_flow_l_h),
            (Field::PermeateConductivity, wide.permeate_conductivity_us_cm),
        ] {
            for one in found.iter_mut().filter(|one| one.own.field == field.name()) {
                one.widen(range.low, range.high);
            }
        }
    }
    found.extend(by_rule(unit).into_iter().map(|own| Band { own, wider: None }));
    Ok(found)
}

/// The readings that the model predicts, in base units.
fn values(
    unit: &Unit,
    work: &[Work],
    conditions: &Conditions,
    prediction: &Prediction,
    feed_us_cm: f64,
) -> Vec<(String, f64)> {
    let point = &prediction.point;
    let mut values: Vec<(String, f64)> = [
        (Field::FeedTemperature, conditions.temperature_c),
        (Field::InletPressure, conditions.inlet_pressure_kpa),
        (Field::MembranePressure, point.membrane_pressure_kpa),
        (Field::PermeateFlow, point.permeate_flow_l_h),
        (Field::ConcentrateFlow, point.concentrate_flow_l_h),
        (Field::FeedConductivity, feed_us_cm),
        (
            Field::PermeateConductivity,
            prediction.permeate_conductivity_us_cm,
        ),
    ]
    .into_iter()
    .map(|(field, value)| (field.name().to_owned(), value))
    .collect();
    // A cartridge whose drop says when it is worn proves itself by the gauge after it.
    for (id, kpa) in &prediction.pressure_after_kpa {
        let watched = unit
            .stage(id)
            .is_some_and(|stage| stage.limit.pressure_drop_kpa.is_some() && stage.clean_drop.is_some());
        let touched = work
            .iter()
            .any(|item| item.part().is_none_or(|part| part == id.as_str()));
        if watched && touched {
            values.push((format!("pressure_after.{id}"), *kpa));
        }
    }
    values
}

fn band(field: String, value: f64, spread: &ReadingSpread) -> Option<Expected> {
    let give = PASS_SD * spread.sd;
    let (low, high) = if spread.logarithmic {
        (value * (-give).exp(), value * give.exp())
    } else {
        (value - give, value + give)
    };
    [value, low, high]
        .iter()
        .all(|number| number.is_finite())
        .then_some(Expected {
            field,
            expected: value,
            low,
            high,
        })
}

/// What no model of the membranes tells, but the trade's limits do.
fn by_rule(unit: &Unit) -> Vec<Expected> {
    let mut found = Vec::new();
    let mut push = |field: String, expected: f64, high: f64| {
        found.push(Expected {
            field,
            expected,
            low: 0.0,
            high: high.max(expected),
        });
    };
    let carbon = unit
        .stages
        .iter()
        .rev()
        .find(|stage| matches!(stage.kind, StageKind::Carbon { .. }));
    if let Some(carbon) = carbon {
        let most = carbon.limit.free_chlorine_out_mg_l.unwrap_or(CHLORINE_OUT_MG_L);
        push(Field::FreeChlorineOut.name().to_owned(), 0.0, most);
        push(Field::TotalChlorineOut.name().to_owned(), 0.0, most);
    }
    let softener = unit.stages.iter().rev().find_map(|stage| match stage.kind {
        StageKind::Softener {
            hardness_out_mg_l_caco3,
            ..
        } => Some(hardness_out_mg_l_caco3),
        _ => None,
    });
    if let Some(stated) = softener {
        let usual = stated.unwrap_or(HARDNESS_OUT_MG_L.0);
        let most = HARDNESS_OUT_MG_L.1.max(2.0 * usual);
        push(Field::HardnessOut.name().to_owned(), usual, most);
    }
    let beds = unit
        .permeate
        .polish
        .iter()
        .filter(|item| item.kind == PolishKind::MixedBed);
    for bed in beds {
        let (usual, most) = MIXED_BED_US_CM;
        push(format!("conductivity_after.{}", bed.id), usual, most);
    }
    found
}
