//! Carbon: the water it has treated, its age, and chlorine that passes it.

use reading::Field;
use unit::{CapacityOf, CarbonCapacity, Stage};

use super::crossing::{FUTURES, normal};
use super::posterior::USE;
use super::{Basis, Candidate, Limit, Quantiles, Scene, Spread};

/// Days after which carbon is due where no age is stated (common practice, no source: growth in the bed).
pub(super) const USUAL_AGE_D: f64 = 365.0;

/// Relative standard deviation of a stated capacity, from one bed to the next (common practice, no source).
const CAPACITY_SD: f64 = 0.05;

pub(super) fn candidates(
    scene: &Scene<'_>,
    index: usize,
    stage: &Stage,
    capacity: Option<&CarbonCapacity>,
) -> Vec<Candidate> {
    let mut candidates = vec![scene.by_age(&stage.id, stage.limit.age_d.unwrap_or(USUAL_AGE_D))];
    candidates.extend(capacity.map(|capacity| by_volume(scene, stage, capacity)));
    candidates.extend(super::sediment::by_drop(scene, index, stage));
    candidates.extend(
        stage
            .limit
            .free_chlorine_out_mg_l
            .and_then(|limit| by_chlorine(scene, stage, limit)),
    );
    candidates
}

fn by_volume(scene: &Scene<'_>, stage: &Stage, capacity: &CarbonCapacity) -> Candidate {
    let posterior = scene.posterior;
    let clock = &posterior.clock;
    let feed = scene.history.water;
    let oxidant = feed
        .and_then(|water| water.free_chlorine_mg_l)
        .filter(|mg_l| *mg_l > 0.0);
    let by_oxidant = capacity
        .oxidant_mg_l
        .zip(oxidant)
        .map_or(1.0, |(stated, own)| stated / own);
    // Litres of permeate are counted; the feed's are so many times as many.
    let (per_litre, per_litre_sd) = match (capacity.of, capacity.recovery) {
        (CapacityOf::Permeate, None) => (1.0, 0.0),
        // In truth a capacity of the feed, at the supplier's recovery.
        (CapacityOf::Permeate, Some(recovery)) => (posterior.feed_per_permeate * recovery, posterior.feed_sd),
        (CapacityOf::Feed, _) => (posterior.feed_per_permeate, posterior.feed_sd),
    };
    let volume = capacity.volume_l * by_oxidant / per_litre;
    let used = clock.made_l(-scene.age_d(&stage.id), 0.0);
    let scale = |future: usize| {
        let one = CAPACITY_SD.hypot(per_litre_sd);
        (clock.scale_sd * normal(future, USE + 1) + one * normal(future, USE + 2)).exp()
    };
    let due = Spread::each(|future| {
        let scale = scale(future);
        clock.days_to(volume / scale - used, normal(future, USE))
    });
    Candidate {
        limit: Limit::Volume,
        basis: Basis::Feed,
        due,
        used: Quantiles::of((0..FUTURES).map(|future| used * scale(future) / volume)),
    }
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
