//! Stages that load up: pressure drop at the reference flow and 25 C, and age.

use jiff::Timestamp;
use reading::{Field, Reading};
use unit::{Stage, Unit};
use water::properties::viscosity_pa_s;

use super::course::FilterNow;
use super::crossing::{FUTURES, normal};
use super::posterior::{DRIFT, FilterPosterior, USE};
use super::{Basis, Candidate, Limit, Quantiles, Scene, Spread, hermia};
use crate::complete::{GAUGE_OFFSET_SHARE, gauge_sd_kpa};
use crate::hydraulics as plumbing;
use crate::lives::{cleaned_between, commissioned, days, new_at};
use crate::robust::median;
use crate::standardise::{History, Standardisation};

pub(super) fn candidates(scene: &Scene<'_>, index: usize, stage: &Stage) -> Vec<Candidate> {
    let age = stage.limit.age_d.map(|limit| scene.by_age(&stage.id, limit));
    age.into_iter().chain(by_drop(scene, index, stage)).collect()
}

/// When its resistance, growing by Hermia's law with the water filtered, reaches the limit.
pub(super) fn by_drop(scene: &Scene<'_>, index: usize, stage: &Stage) -> Option<Candidate> {
    let posterior = scene.posterior;
    let filter = posterior.filters.iter().find(|filter| filter.stage == index)?;
    let limit = stage.limit.pressure_drop_kpa?;
    let clean = filter.clean_kpa_h_l * posterior.reference_feed_l_h;
    let end = |future: usize| {
        let now = &filter.futures[future];
        (limit / (clean * now.clean)).max(1.0)
    };
    let due = Spread::each(|future| {
        let now = &filter.futures[future];
        let capacity = hermia::capacity(now.loaded, end(future), now.exponent);
        posterior.days_to(capacity / rate(scene, now, future), normal(future, USE))
    });
    let used = (0..FUTURES).map(|future| {
        let now = &filter.futures[future];
        (now.loaded - 1.0) / (end(future) - 1.0).max(1e-3)
    });
    Some(Candidate {
        limit: Limit::PressureDrop,
        basis: if filter.was_read {
            Basis::Readings
        } else {
            Basis::Feed
        },
        due,
        used: Quantiles::of(used),
    })
}

/// Rate of loading in one future, a year of usual use.
fn rate(scene: &Scene<'_>, now: &FilterNow, future: usize) -> f64 {
    (now.ln_rate + scene.prior.drift_sd.1 * normal(future, DRIFT + 3)).exp()
}

/// Its drop at the reference flow and 25 C in one future, after so many years of usual use, kPa.
pub(super) fn drop_kpa(scene: &Scene<'_>, filter: &FilterPosterior, future: usize, years: f64) -> f64 {
    let Some(now) = filter.futures.get(future) else {
        return 0.0;
    };
    let clean = filter.clean_kpa_h_l * scene.posterior.reference_feed_l_h * now.clean;
    clean * hermia::resistance(now.loaded, rate(scene, now, future) * years, now.exponent)
}

/// Drop over this stage in one reading, at the reference flow and 25 C, kPa: what the gauges say of all the
/// stages between them, less the others' clean drops.
fn standard_drop(
    unit: &Unit,
    standardisation: &Standardisation,
    stage: &Stage,
    reading: &Reading,
) -> Option<f64> {
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
    let to_reference = reference_feed_l_h(standardisation)? / feed * viscosity_pa_s(25.0) / viscosity_pa_s(t);
    Some(drop * to_reference)
}

/// The reference feed flow: the baseline's of the newest life that has one.
pub(super) fn reference_feed_l_h(standardisation: &Standardisation) -> Option<f64> {
    let baseline = standardisation.baselines.iter().rev().flatten().next()?;
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

impl Load {
    /// Whether the gauges tell it from a clean stage.
    pub fn is_told(&self) -> bool {
        self.drop_kpa - self.clean_kpa >= 2.0 * self.sd_kpa
    }
}

/// What the gauges of the last three readings say of a stage since it was new; none where they say nothing.
pub fn stage_load(
    history: &History<'_>,
    standardisation: &Standardisation,
    stage: &Stage,
    as_of: Timestamp,
) -> Option<Load> {
    let mut drops = drops(history, standardisation, stage, as_of);
    let n = drops.len() as f64;
    let drop_kpa = median(&mut drops)?;
    let clean_kpa = plumbing::stage_drop_kpa(stage, reference_feed_l_h(standardisation)?, 25.0);
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

/// Drops of a stage in its last three readings since it was new, at the reference flow and 25 C, kPa.
pub(super) fn drops(
    history: &History<'_>,
    standardisation: &Standardisation,
    stage: &Stage,
    as_of: Timestamp,
) -> Vec<f64> {
    let start = commissioned(history.unit, history.readings, history.events);
    let new_at = new_at(&stage.id, start, history.events, as_of).unwrap_or(as_of);
    let points = points(history, standardisation, stage, new_at, as_of);
    let last = points.iter().skip(points.len().saturating_sub(3));
    last.map(|(_, drop)| *drop).collect()
}

/// Days before now, and drop at the reference, of every sound reading since the stage was new or cleaned.
fn points(
    history: &History<'_>,
    standardisation: &Standardisation,
    stage: &Stage,
    new_at: Timestamp,
    as_of: Timestamp,
) -> Vec<(f64, f64)> {
    let events = history.events;
    history
        .readings
        .iter()
        .zip(&standardisation.readings)
        .filter(|(reading, _)| reading.at > new_at && reading.at <= as_of)
        .filter(|(reading, one)| {
            one.doubts.is_empty() && !cleaned_between(&stage.id, reading.at, as_of, events)
        })
        .filter_map(|(reading, _)| {
            let drop = standard_drop(history.unit, standardisation, stage, reading)?;
            Some((days(as_of, reading.at), drop))
        })
        .collect()
}
