//! What the parts of a unit did in the lives that they have behind them, for units on like water.
//!
//! A unit tells the rates of wear that all its lives share, with their error, as its readings up to its last change have them:
//! what they stand on does not move with every reading. The prior that went into that estimate is taken out of it again, so
//! that what is told is what was read and nothing else.

use jiff::Timestamp;
use unit::StageKind;

use super::fitted::Fitted;
use super::hermia;
use super::hypotheses::Hypothesis;
use super::pool::{Ending, PastLife, PastLives};
use super::prior::Prior;
use super::severity::Severity;
use crate::lives::{commissioned, renewals};
use crate::standardise::{History, standardise};

/// Of the prior's variance at least this share is left where the readings have told nothing.
const TOLD_NOTHING: f64 = 0.8;

/// So many units of a ledger are asked for what they have behind them: more tell little, and take long.
const MOST: usize = 32;

/// Of a ledger's units, each by its name, those that have most behind them by a time: what all others are told.
pub fn tellers<'a, K: Ord>(
    units: impl IntoIterator<Item = (K, History<'a>)>,
    as_of: Timestamp,
) -> Vec<(K, History<'a>)> {
    let mut all: Vec<(usize, K, History<'a>)> = units
        .into_iter()
        .map(|(name, history)| {
            let events = history.events.iter();
            let changes = events.filter(|event| event.renews() && event.at <= as_of).count();
            (changes, name, history)
        })
        .filter(|(changes, ..)| *changes > 1)
        .collect();
    all.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    all.truncate(MOST);
    all.into_iter()
        .map(|(_, name, history)| (name, history))
        .collect()
}

/// What a unit has behind it by a time: its history up to the last change of a filter, and when that was. None where none has
/// been changed yet.
pub fn behind<'a>(history: &History<'a>, as_of: Timestamp) -> Option<(History<'a>, Timestamp)> {
    let start = commissioned(history.unit, history.readings, history.events);
    let filters = history
        .unit
        .stages
        .iter()
        .filter(|stage| matches!(stage.kind, StageKind::Sediment { .. }))
        .map(|stage| renewals(&stage.id, start, history.events));
    let last = filters
        .filter_map(|mut starts: Vec<Timestamp>| {
            starts.retain(|start| *start <= as_of);
            (starts.len() > 1).then(|| starts.last().copied()).flatten()
        })
        .max()?;
    let readings = history.readings.partition_point(|reading| reading.at <= last);
    let events = history.events.partition_point(|event| event.at <= last);
    let cut = History {
        readings: history.readings.get(..readings)?,
        events: history.events.get(..events)?,
        ..*history
    };
    Some((cut, last))
}

/// The lives that a unit's filters have behind them by a time, in years of usual use: at most one of each.
///
/// Membranes tell nothing here: few lives of them end, and what their readings say of a rate alone is vague. Pooled over the
/// practice cases it made the forecasts of membranes worse (docs/forecast.md).
pub fn past_lives(history: &History<'_>, as_of: Timestamp) -> PastLives {
    let Some((history, at)) = behind(history, as_of) else {
        return PastLives::default();
    };
    let severity = Severity::of(history.unit, history.water);
    let prior = Prior::default().informed(&PastLives::default(), severity);
    let standardisation = standardise(&history);
    let start = commissioned(history.unit, history.readings, history.events);
    let fitted = Fitted::of(&history, &standardisation, at, start, &prior);
    let mut lives = PastLives::default();
    for (index, filter) in fitted.unknowns.filters.iter().enumerate() {
        let stage = fitted.timeline.filters.get(index).map(|filter| filter.stage);
        let kind = stage.and_then(|stage| history.unit.stages.get(stage));
        if !kind.is_some_and(|stage| matches!(stage.kind, StageKind::Sediment { .. })) {
            continue;
        }
        // ln of the years from clean to the limit under each law; by the prior's own reckoning, which is that of n = 1.
        let (mean, sd) = (fitted.unknowns.mean[filter.rate], fitted.unknowns.sd[filter.rate]);
        let ln_end = mean.exp() * prior.filter_life_years;
        let found = mixture(&fitted.laws, |law| {
            let end = ln_end.exp();
            let capacity = hermia::capacity(1.0, end, law.exponent.unwrap_or(1.0));
            (capacity.ln() - law.x[filter.rate], variance(law, filter.rate))
        });
        lives.filters.extend(without_prior(
            found,
            (prior.filter_life_years.ln(), sd),
            severity.filters,
        ));
    }
    lives
}

/// Variance of one unknown.
fn variance(law: &Hypothesis, index: usize) -> f64 {
    let mut unit = vec![0.0; law.x.len()];
    unit[index] = 1.0;
    law.precision.solve(&unit)[index]
}

/// Mean and variance over all laws, each as probable as it is.
fn mixture(laws: &[Hypothesis], of: impl Fn(&Hypothesis) -> (f64, f64)) -> (f64, f64) {
    let each: Vec<(f64, f64, f64)> = laws
        .iter()
        .filter(|law| law.chance > 1e-3)
        .map(|law| {
            let (mean, variance) = of(law);
            (law.chance, mean, variance)
        })
        .collect();
    let whole: f64 = each.iter().map(|(chance, ..)| chance).sum();
    let mean = each.iter().map(|(chance, mean, _)| chance * mean).sum::<f64>() / whole;
    let variance = each
        .iter()
        .map(|(chance, one, variance)| chance * (variance + (one - mean).powi(2)))
        .sum::<f64>()
        / whole;
    (mean, variance)
}

/// What was read, of what is known with the prior: the normal distribution that times the prior's gives the posterior's. None
/// where nothing was.
fn without_prior((mean, variance): (f64, f64), (before, sd): (f64, f64), severity: f64) -> Option<PastLife> {
    let all = sd * sd;
    if !(variance > 0.0 && variance < TOLD_NOTHING * all && mean.is_finite()) {
        return None;
    }
    let own = 1.0 / (1.0 / variance - 1.0 / all);
    let middle = own * (mean / variance - before / all);
    Some(PastLife {
        length: middle.exp(),
        ending: Ending::Fitted(own.sqrt()),
        severity,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_a_prior_is_taken_out_again() {
        // Two normals multiplied: N(0, 1) and N(1, 0.5^2) give N(0.8, 0.2) (any textbook); taking the first out leaves the
        // second. 1e-12: rounding.
        let told = without_prior((0.8, 0.2), (0.0, 1.0), 1.0).unwrap();
        assert!((told.length.ln() - 1.0).abs() < 1e-12);
        assert!(matches!(told.ending, Ending::Fitted(sd) if (sd - 0.5).abs() < 1e-12));
        assert_eq!(without_prior((0.8, 0.9), (0.0, 1.0), 1.0), None);
        assert_eq!(without_prior((f64::NAN, 0.2), (0.0, 1.0), 1.0), None);
    }
}
