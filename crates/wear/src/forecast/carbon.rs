//! Carbon: the water it has treated, its age, and chlorine that passes it.

use reading::Field;
use unit::{CapacityOf, CarbonCapacity, Stage};

use super::crossing::Approach;
use super::{Basis, Candidate, Limit, Quantiles, Scene, Spread};
use crate::lives::days;
use crate::robust::{median, theil_sen};

/// Days after which carbon is due where no age is stated (common practice, no source: growth in the bed).
const USUAL_AGE_D: f64 = 365.0;
/// Relative standard deviation of a stated capacity (common practice, no source).
const CAPACITY_SD: f64 = 0.15;

pub(super) fn candidates(
    scene: &Scene<'_>,
    stage: &Stage,
    capacity: Option<&CarbonCapacity>,
) -> Vec<Candidate> {
    let mut candidates = vec![scene.by_age(&stage.id, stage.limit.age_d.unwrap_or(USUAL_AGE_D))];
    candidates.extend(capacity.and_then(|capacity| by_volume(scene, stage, capacity)));
    candidates.extend(
        stage
            .limit
            .free_chlorine_out_mg_l
            .and_then(|limit| by_chlorine(scene, stage, limit)),
    );
    candidates
}

/// Litres of permeate a day: from the totaliser, else as the unit's use is stated; with its relative sd.
fn permeate_l_d(scene: &Scene<'_>) -> Option<(f64, f64)> {
    let totals: Vec<(f64, f64)> = scene
        .history
        .readings
        .iter()
        .filter(|reading| reading.at <= scene.as_of)
        .filter_map(|reading| Some((days(scene.as_of, reading.at), reading.get(Field::PermeateTotal)?)))
        .collect();
    let recent = totals.get(totals.len().saturating_sub(12)..).unwrap_or_default();
    let by_totaliser = theil_sen(recent)
        .map(|line| line.slope)
        .filter(|slope| *slope > 0.0);
    by_totaliser
        .map(|rate| (rate, 0.15))
        .or(scene.unit().use_permeate_l_d.map(|rate| (rate, 0.2)))
}

/// The unit's own recovery, from its readings.
fn recovery(scene: &Scene<'_>) -> Option<f64> {
    let readings = scene
        .standardisation
        .readings
        .iter()
        .filter(|one| one.doubts.is_empty());
    let mut recoveries: Vec<f64> = readings
        .filter_map(|one| one.standardised.map(|standardised| standardised.recovery))
        .collect();
    median(&mut recoveries)
}

fn by_volume(scene: &Scene<'_>, stage: &Stage, capacity: &CarbonCapacity) -> Option<Candidate> {
    let (permeate, rate_sd) = permeate_l_d(scene)?;
    let rate = match capacity.of {
        CapacityOf::Permeate => permeate,
        CapacityOf::Feed => permeate / recovery(scene)?,
    };
    let age = scene.age_d(&stage.id);
    let feed = scene.history.water;
    let oxidant = feed
        .and_then(|water| water.free_chlorine_mg_l)
        .filter(|mg_l| *mg_l > 0.0);
    let by_oxidant = capacity
        .oxidant_mg_l
        .zip(oxidant)
        .map_or(1.0, |(stated, own)| stated / own);
    let volume = capacity.volume_l * by_oxidant;
    let used = rate * age / volume;
    let approach = Approach {
        distance: volume - rate * age,
        distance_sd: (CAPACITY_SD * volume).hypot(0.5 * rate_sd * rate * age),
        rate,
        rate_sd: rate * rate_sd,
    };
    let quantiles = Quantiles {
        p10: used * 0.82,
        p50: used,
        p90: used * 1.22,
    };
    let basis = Basis::Feed;
    Some(Candidate {
        limit: Limit::Volume,
        basis,
        due: Spread::of(&approach, 5),
        used: quantiles,
    })
}

/// Due now where the last readings show chlorine over the limit; one alone may be a slip.
fn by_chlorine(scene: &Scene<'_>, stage: &Stage, limit: f64) -> Option<Candidate> {
    let new_at = scene.new_at(&stage.id);
    let after: Vec<f64> = scene
        .history
        .readings
        .iter()
        .filter(|reading| reading.at > new_at && reading.at <= scene.as_of)
        .filter_map(|reading| reading.get(Field::FreeChlorineOut))
        .collect();
    let last_two = after.get(after.len().checked_sub(2)?..)?;
    let over = last_two.iter().all(|mg_l| *mg_l > limit);
    let used = last_two.iter().sum::<f64>() / 2.0 / limit;
    over.then(|| Candidate {
        limit: Limit::FreeChlorineOut,
        basis: Basis::Readings,
        due: Spread::certain(0.0),
        used: Quantiles {
            p10: used,
            p50: used,
            p90: used,
        },
    })
}
