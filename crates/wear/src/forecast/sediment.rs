//! Stages that load up: pressure drop at the reference flow and 25 C, and age.

use jiff::Timestamp;
use reading::{Field, Reading};
use unit::Stage;
use water::properties::viscosity_pa_s;

use super::crossing::Approach;
use super::{Basis, Candidate, Limit, Quantiles, Scene, Spread};
use crate::complete::{GAUGE_OFFSET_SHARE, gauge_sd_kpa};
use crate::hydraulics as plumbing;
use crate::lives::{cleaned_between, commissioned, days};
use crate::robust::{median, theil_sen};
use crate::standardise::{History, Standardisation};

/// Days that a sediment cartridge lasts where nothing else is known (common practice, no source: 3 to 12
/// months), and the standard deviation of its logarithm.
const USUAL_LIFE_D: (f64, f64) = (200.0, 0.6);

pub(super) fn candidates(scene: &Scene<'_>, stage: &Stage) -> Vec<Candidate> {
    let mut candidates = Vec::new();
    if let Some(limit) = stage.limit.age_d {
        candidates.push(scene.by_age(&stage.id, limit));
    }
    if let Some(limit) = stage.limit.pressure_drop_kpa {
        candidates.push(by_drop(scene, stage, limit));
    }
    candidates
}

/// Drop over this stage in one reading, at the reference flow and 25 C, kPa: what the gauges say of all the
/// stages between them, less the others' clean drops.
pub(super) fn standard_drop(scene: &Scene<'_>, stage: &Stage, reading: &Reading) -> Option<f64> {
    let unit = scene.unit();
    let t = reading.get(Field::FeedTemperature)?;
    let feed = reading.get(Field::PermeateFlow)? + reading.get(Field::ConcentrateFlow)?;
    let own = unit.stages.iter().position(|other| other.id == stage.id)?;
    let before = match own.checked_sub(1).and_then(|i| unit.stages.get(i)) {
        Some(previous) => reading.pressure_after_kpa.get(&previous.id).copied(),
        None => reading.get(Field::InletPressure),
    };
    let after = reading.pressure_after_kpa.get(&stage.id).copied();
    let drop = if let (Some(before), Some(after)) = (before, after) {
        before - after
    } else {
        let others: f64 = unit
            .stages
            .iter()
            .filter(|other| other.id != stage.id)
            .map(|other| plumbing::stage_drop_kpa(other, feed, t))
            .sum();
        let inlet = reading.get(Field::InletPressure)? + plumbing::pumps_rise_kpa(unit, feed);
        inlet - reading.get(Field::MembranePressure)? - others
    };
    let to_reference = reference_feed_l_h(scene)? / feed * viscosity_pa_s(25.0) / viscosity_pa_s(t);
    Some(drop * to_reference)
}

/// The reference feed flow: the baseline's of the newest life that has one.
fn reference_feed_l_h(scene: &Scene<'_>) -> Option<f64> {
    let baseline = scene.standardisation.baselines.iter().rev().flatten().next()?;
    Some(baseline.reference.channel_l_h + baseline.permeate.0 / 2.0)
}

/// What a stage takes away now, at the reference flow and 25 C, kPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Its drop by the gauges of the last readings.
    pub drop_kpa: f64,
    /// One standard deviation.
    pub sd_kpa: f64,
    /// What it takes when clean.
    pub clean_kpa: f64,
    /// What it may take.
    pub limit_kpa: f64,
}

/// What the gauges of the last three readings say of a stage since it was new; none where they say nothing.
pub fn stage_load(
    history: &History<'_>,
    standardisation: &Standardisation,
    stage: &Stage,
    as_of: Timestamp,
) -> Option<Load> {
    let start = commissioned(history.unit, history.readings, history.events);
    let scene = Scene {
        history,
        standardisation,
        as_of,
        start,
    };
    let points = points(&scene, stage);
    let last = points.get(points.len().saturating_sub(3)..)?;
    let mut drops: Vec<f64> = last.iter().map(|(_, drop)| *drop).collect();
    let n = drops.len() as f64;
    let drop_kpa = median(&mut drops)?;
    let clean_kpa = plumbing::stage_drop_kpa(stage, reference_feed_l_h(&scene)?, 25.0);
    // Two gauges, each with its offset, which more readings do not mend.
    let offset = history.unit.instruments.gauge_error_kpa * GAUGE_OFFSET_SHARE.sqrt();
    let sd_kpa = std::f64::consts::SQRT_2 * offset.hypot(gauge_sd_kpa(history.unit) / n.sqrt());
    Some(Load {
        drop_kpa,
        sd_kpa,
        clean_kpa,
        limit_kpa: stage.limit.pressure_drop_kpa?,
    })
}

/// Days before now, and drop at the reference, of every sound reading since the stage was new or cleaned.
fn points(scene: &Scene<'_>, stage: &Stage) -> Vec<(f64, f64)> {
    let new_at = scene.new_at(&stage.id);
    let events = scene.history.events;
    scene
        .history
        .readings
        .iter()
        .zip(&scene.standardisation.readings)
        .filter(|(reading, _)| reading.at > new_at && reading.at <= scene.as_of)
        .filter(|(reading, one)| {
            one.doubts.is_empty() && !cleaned_between(&stage.id, reading.at, scene.as_of, events)
        })
        .filter_map(|(reading, _)| {
            Some((
                days(scene.as_of, reading.at),
                standard_drop(scene, stage, reading)?,
            ))
        })
        .collect()
}

fn by_drop(scene: &Scene<'_>, stage: &Stage, limit: f64) -> Candidate {
    let age = scene.age_d(&stage.id);
    let points = points(scene, stage);
    let clean = reference_feed_l_h(scene).map_or(0.0, |feed| plumbing::stage_drop_kpa(stage, feed, 25.0));
    let usual = (limit - clean).max(1.0) / USUAL_LIFE_D.0;
    let gauges = gauge_sd_kpa(scene.unit()) * std::f64::consts::SQRT_2;
    let line = if points.len() >= 4 {
        theil_sen(&points)
    } else {
        None
    };
    let (level, level_sd, rate, rate_sd, basis) = match line {
        Some(line) => {
            let n = points.len() as f64;
            let mean = points.iter().map(|(x, _)| x).sum::<f64>() / n;
            let sxx = points
                .iter()
                .map(|(x, _)| (x - mean).powi(2))
                .sum::<f64>()
                .max(1.0);
            let read_sd = 1.1 * gauges / sxx.sqrt();
            let prior_sd = usual * USUAL_LIFE_D.1;
            let (wr, wp) = (1.0 / (read_sd * read_sd), 1.0 / (prior_sd * prior_sd));
            let rate = ((line.slope * wr + usual * wp) / (wr + wp)).max(0.05 * usual);
            let level_sd = (gauges / n.sqrt()).hypot(read_sd * mean.abs());
            (
                line.at(0.0),
                level_sd,
                rate,
                (1.0 / (wr + wp)).sqrt().hypot(0.4 * rate),
                Basis::Readings,
            )
        }
        None => {
            let level = clean + usual * age;
            (
                level,
                USUAL_LIFE_D.1 * usual * age,
                usual,
                USUAL_LIFE_D.1 * usual,
                Basis::Age,
            )
        }
    };
    let approach = Approach {
        distance: limit - level,
        distance_sd: level_sd,
        rate,
        rate_sd,
    };
    let used = |z: f64| ((level + z * level_sd - clean) / (limit - clean).max(1.0)).max(0.0);
    Candidate {
        limit: Limit::PressureDrop,
        basis,
        due: Spread::of(&approach, 4),
        used: Quantiles {
            p10: used(-1.2816),
            p50: used(0.0),
            p90: used(1.2816),
        },
    }
}
