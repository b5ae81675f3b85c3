//! What the unit did when its membranes were new, and the reference that everything is carried over to.

use jiff::Timestamp;
use unit::Unit;

use crate::complete::Completion;
use crate::d4516::{Complete, Reference, Standardised, standardise_one};
use crate::hydraulics as plumbing;
use crate::lives::days;
use crate::robust;
use crate::salt::Salt;

/// Days after new membranes whose readings are the baseline (`model.md` 4).
pub const BASELINE_DAYS: f64 = 30.0;
/// Minutes of running after which a reading counts.
pub const RUNNING_MINUTES: f64 = 15.0;
/// Spread of new elements about their ratings, of ln A and ln B (common practice, no source; `model.md` 2).
pub const NEW_ELEMENT_SD: (f64, f64) = (0.10, 0.30);

/// The reference of one life of the membranes.
#[derive(Clone, Debug, PartialEq)]
pub struct Baseline {
    /// When the membranes were new.
    pub start: Timestamp,
    /// Time of the baseline's middle reading; of the start where there is none.
    pub at: Timestamp,
    /// Number of readings that it stands on.
    pub readings: usize,
    /// The reference conditions.
    pub reference: Reference,
    /// Temperature of the baseline, C: where the temperature coefficient has no say.
    pub temperature_c: f64,
    /// Feed pressure of the baseline, kPa.
    pub membrane_kpa: f64,
    /// Standardised permeate flow, L/h, and the standard deviation of its logarithm.
    pub permeate: (f64, f64),
    /// Standardised salt passage, and the standard deviation of its logarithm.
    pub salt_passage: Option<(f64, f64)>,
    /// Standardised pressure drop, kPa, and its standard deviation; none where the gauges cannot see it.
    pub drop: Option<(f64, f64)>,
}

/// One reading of the baseline, or one that stands in where there is none.
pub struct Candidate<'a> {
    /// When.
    pub at: Timestamp,
    /// The reading, complete.
    pub completion: &'a Completion,
    /// Whether it may serve: long enough running, nothing doubtful.
    pub usable: bool,
}

fn median_of(candidates: &[&Candidate<'_>], value: impl Fn(&Complete) -> f64) -> f64 {
    let mut values: Vec<f64> = candidates
        .iter()
        .map(|candidate| value(&candidate.completion.complete))
        .collect();
    robust::median(&mut values).unwrap_or(f64::NAN)
}

/// Finds the baseline of a life that starts at `start`, from the readings of that life.
///
/// None where no reading of the life is complete.
pub fn find(unit: &Unit, salt: &Salt, start: Timestamp, life: &[Candidate<'_>]) -> Option<Baseline> {
    let early: Vec<_> = life
        .iter()
        .filter(|candidate| candidate.usable && days(start, candidate.at) <= BASELINE_DAYS)
        .collect();
    // Without an early reading the conditions of the reference come from the life's first readings, and its
    // values from the ratings alone.
    let conditions: Vec<_> = if early.is_empty() {
        life.iter().filter(|candidate| candidate.usable).take(5).collect()
    } else {
        early.clone()
    };
    if conditions.is_empty() {
        return None;
    }
    let mut reference = Reference {
        ln_temperature_coefficient: unit.temperature_coefficient().ln(),
        osmotic_slope: salt.osmotic_slope,
        osmotic_curve: salt.osmotic_curve,
        channel_m2: plumbing::channel_m2(unit),
        hydraulic_diameter_m: plumbing::hydraulic_diameter_m(),
        driving_kpa: 1.0,
        permeate_l_h: 1.0,
        feed_mg_l: median_of(&conditions, |complete| complete.feed_mg_l),
        feed_side_mg_l: 1.0,
        channel_l_h: median_of(&conditions, |complete| {
            complete.concentrate_l_h + complete.permeate_l_h / 2.0
        }),
    };
    let raw: Vec<Standardised> = conditions
        .iter()
        .map(|candidate| standardise_one(&candidate.completion.complete, &reference))
        .collect();
    let middle = |value: fn(&Standardised) -> f64| {
        let mut values: Vec<f64> = raw.iter().map(value).collect();
        robust::median(&mut values).unwrap_or(f64::NAN)
    };
    reference.driving_kpa = middle(|one| one.driving_kpa);
    reference.feed_side_mg_l = middle(|one| one.feed_side_mg_l);
    if !(reference.driving_kpa > 0.0) {
        return None;
    }
    let prior = from_ratings(unit, &reference);
    let new: Vec<(&Candidate<'_>, Standardised)> = early
        .iter()
        .map(|candidate| {
            (
                *candidate,
                standardise_one(&candidate.completion.complete, &reference),
            )
        })
        .collect();
    let permeate = pooled(
        new.iter()
            .map(|(_, one)| (one.permeate_l_h.ln(), one.permeate_sd)),
        (prior.permeate_l_h.ln(), NEW_ELEMENT_SD.0),
    );
    reference.permeate_l_h = permeate.0.exp();
    // The first pass had Q_s = 1, so salt passage is computed again with the real one.
    let prior = from_ratings(unit, &reference);
    let passages: Vec<(f64, f64)> = early
        .iter()
        .filter(|candidate| candidate.completion.has_permeate)
        .map(|candidate| standardise_one(&candidate.completion.complete, &reference))
        .map(|one| (one.salt_passage.ln(), one.salt_passage_sd))
        .collect();
    let any_salt = life.iter().any(|candidate| candidate.completion.has_permeate);
    let salt_passage =
        any_salt.then(|| pooled(passages.into_iter(), (prior.salt_passage.ln(), NEW_ELEMENT_SD.1)));
    let drops: Vec<Standardised> = new
        .iter()
        .filter(|(candidate, _)| candidate.completion.has_drop)
        .map(|(_, one)| *one)
        .collect();
    let mut ats: Vec<Timestamp> = early.iter().map(|candidate| candidate.at).collect();
    ats.sort_unstable();
    Some(Baseline {
        start,
        at: ats.get(ats.len() / 2).copied().unwrap_or(start),
        readings: early.len(),
        reference,
        temperature_c: median_of(&conditions, |complete| complete.temperature_c),
        membrane_kpa: median_of(&conditions, |complete| complete.membrane_kpa),
        permeate: (permeate.0.exp(), permeate.1),
        salt_passage: salt_passage.map(|(ln, sd)| (ln.exp(), sd)),
        drop: drop(unit, &drops),
    })
}

/// The drop's baseline; none under three standard deviations of the gauges (`model.md` 4).
fn drop(unit: &Unit, drops: &[Standardised]) -> Option<(f64, f64)> {
    let mut values: Vec<f64> = drops.iter().map(|one| one.drop_kpa).collect();
    let n = values.len() as f64;
    let middle = robust::median(&mut values)?;
    let gauges = unit.instruments.gauge_error_kpa;
    (middle >= 3.0 * gauges).then(|| (middle, 1.25 * gauges / n.sqrt()))
}

/// The median of logarithms with its standard deviation; with fewer than three, weighed with the prior.
fn pooled(values: impl Iterator<Item = (f64, f64)>, prior: (f64, f64)) -> (f64, f64) {
    let values: Vec<(f64, f64)> = values.filter(|(value, _)| value.is_finite()).collect();
    let n = values.len() as f64;
    let mut logs: Vec<f64> = values.iter().map(|(value, _)| *value).collect();
    let Some(middle) = robust::median(&mut logs) else {
        return prior;
    };
    let variance = values.iter().map(|(_, sd)| sd * sd).sum::<f64>() / n;
    // The median of n normal values has 1.25 times the standard deviation of their mean.
    let sd = if n < 3.0 {
        (variance / n).sqrt()
    } else {
        1.25 * (variance / n).sqrt()
    };
    if n >= 3.0 {
        return (middle, sd);
    }
    let (read, known) = (1.0 / (sd * sd), 1.0 / (prior.1 * prior.1));
    (
        (middle * read + prior.0 * known) / (read + known),
        (1.0 / (read + known)).sqrt(),
    )
}

/// What the labels promise, carried over to the reference by D4516 itself: the ratings of all elements as
/// one reading.
fn from_ratings(unit: &Unit, reference: &Reference) -> Standardised {
    let elements = &unit.membranes.elements;
    let n = elements.len() as f64;
    let mean = |value: fn(&unit::Rating) -> f64| elements.iter().map(|e| value(&e.rated)).sum::<f64>() / n;
    let flow = mean(|rated| rated.flow_l_h) * n;
    let recovery = mean(|rated| rated.recovery);
    let nacl = Reference {
        osmotic_slope: 0.2654,
        osmotic_curve: 1.0,
        ..*reference
    };
    let tds = mean(|rated| rated.tds_mg_l).max(1e-3);
    let rated = Complete {
        permeate_l_h: flow,
        concentrate_l_h: flow * (1.0 - recovery) / recovery,
        temperature_c: mean(|rated| rated.temperature_c),
        membrane_kpa: mean(|rated| rated.pressure_kpa),
        feed_mg_l: tds,
        permeate_mg_l: tds * (1.0 - mean(|rated| rated.rejection)),
        ..Complete::default()
    };
    standardise_one(&rated, &nacl)
}
