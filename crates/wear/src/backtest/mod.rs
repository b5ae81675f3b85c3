//! What was forecast before each real change, against what happened: whether a firm's own records bear the ranges out.
//!
//! Each change of a part in the records is replayed as of 30, 90 and 180 days before it, from nothing but what was
//! written down by then. What happened is told by the same readings in hindsight, up to the change: a part that had
//! used nine tenths of its life or more was due, on the day on which it reached its limit; one that had not was
//! changed early, and only tells that it would have lasted longer.

mod cost;

use jiff::{SignedDuration, Timestamp};
use unit::{StageKind, Unit};

use crate::forecast::pool::PastLives;
use crate::forecast::{Forecaster, HORIZON_D, PartForecast, Prior, Quantiles, past_lives};
use crate::lives::{commissioned, days, membrane_lives, renewals};
use crate::robust::median;
use crate::standardise::{History, standardise};

pub use cost::{Assumptions, Cost, PerKind};

/// Days before a change at which its forecast is replayed.
pub const LEADS_D: [f64; 3] = [30.0, 90.0, 180.0];
/// Share of its life after which a part counts as due in hindsight: what gauges can tell of being full.
const DUE_FRACTION: f64 = 0.9;
/// Days of grace at either end of a range: a visit is not made to the day.
const GRACE_D: f64 = 2.0;

/// Kinds of parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Sediment cartridges, and other stages that load up.
    Filter,
    /// Carbon.
    Carbon,
    /// All elements of a unit.
    Membranes,
}

impl Kind {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Filter, Self::Carbon, Self::Membranes];

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Filter => "filters",
            Self::Carbon => "carbon",
            Self::Membranes => "membranes",
        }
    }
}

/// One real change of a part, with what its readings say in hindsight.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// The unit's id.
    pub unit: String,
    /// The part's id; of the membranes the first element that was changed.
    pub part: String,
    /// What kind of part.
    pub kind: Kind,
    /// When it was changed.
    pub at: Timestamp,
    /// Days that it had served.
    pub age_d: f64,
    /// Share of its life that it had used by then, in hindsight.
    pub used_fraction: f64,
    /// Days of service at which it reached its limit, or would have.
    pub due_age_d: f64,
    /// Litres of permeate that the unit made in a usual day.
    pub use_l_d: f64,
    /// What was forecast 30, 90 and 180 days before; none where it was not yet in service.
    pub told: [Option<Quantiles>; 3],
}

impl Change {
    /// Whether it was due when it was changed; else it was changed early.
    pub fn was_due(&self) -> bool {
        self.used_fraction >= DUE_FRACTION
    }

    /// Days from the time of a forecast to the day on which it was due.
    fn due_in_d(&self, lead_d: f64) -> f64 {
        lead_d - self.age_d + self.due_age_d
    }
}

/// How the forecasts of one lead did.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Score {
    /// Days before the change.
    pub lead_d: f64,
    /// Changes of parts that were due, with a forecast.
    pub due: usize,
    /// Of those, how many fell between p10 and p90, within two days.
    pub within: usize,
    /// Median of how far the likely day was off, in days.
    pub median_error_d: Option<f64>,
    /// Parts changed early, with a forecast.
    pub early: usize,
    /// Of those, how many had outlived their p90 when they were changed.
    pub outlived: usize,
}

impl Score {
    /// Share of due parts within the range; eight in ten is right. None of none.
    pub fn coverage(&self) -> Option<f64> {
        (self.due > 0).then(|| self.within as f64 / self.due as f64)
    }
}

/// The replayed records of any number of units.
#[derive(Clone, Debug, PartialEq)]
pub struct Backtest {
    /// Every change, by unit and time.
    pub changes: Vec<Change>,
    /// For each of [`LEADS_D`], over all kinds.
    pub scores: [Score; 3],
    /// As above for each kind.
    pub by_kind: Vec<(Kind, [Score; 3])>,
    /// What the changes cost as they were made.
    pub as_made: Cost,
    /// What they would have cost by the calendar.
    pub by_calendar: Cost,
    /// What they would have cost on the likely day that was told 90 days before (30 for a part younger than that).
    pub by_forecast: Cost,
    /// In words.
    pub sentence: String,
}

/// Whether a forecast is replayed with what the other units had told by then.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Others {
    /// As the ledger tells it.
    Told,
    /// As if each unit were the only one.
    Unknown,
}

/// Replays the histories of any number of units.
pub fn backtest(units: &[History<'_>], others: Others, assumptions: &Assumptions) -> Backtest {
    let told: Vec<Lives> = match others {
        Others::Told => units.iter().map(Lives::of).collect(),
        Others::Unknown => Vec::new(),
    };
    let mut changes: Vec<Change> = units
        .iter()
        .enumerate()
        .flat_map(|(own, history)| {
            of_unit(history, &|then| {
                let mut lives = PastLives::default();
                let others = told.iter().enumerate().filter(|(other, _)| *other != own);
                for (_, other) in others {
                    lives.add(other.by(then));
                }
                Prior::of(history.unit, history.water, &lives)
            })
        })
        .collect();
    changes.sort_by(|a, b| (&a.unit, a.at, &a.part).cmp(&(&b.unit, b.at, &b.part)));
    let scores = scores(&changes, None);
    let by_kind = Kind::ALL
        .into_iter()
        .map(|kind| (kind, self::scores(&changes, Some(kind))))
        .filter(|(_, scores)| scores.iter().any(|score| score.due + score.early > 0))
        .collect();
    let (mut as_made, mut by_calendar, mut by_forecast) = Default::default();
    // All three on the same changes: those that have a forecast.
    for change in &changes {
        let Some(told_age_d) = told_age(change) else {
            continue;
        };
        assumptions.add(&mut as_made, change, change.age_d);
        assumptions.add(&mut by_calendar, change, *assumptions.calendar_d.of(change.kind));
        assumptions.add(&mut by_forecast, change, told_age_d);
    }
    let sentence = sentence(&scores, &by_calendar, &by_forecast);
    Backtest {
        changes,
        scores,
        by_kind,
        as_made,
        by_calendar,
        by_forecast,
        sentence,
    }
}

/// What a unit's parts had behind them after each of their changes.
struct Lives(Vec<(Timestamp, PastLives)>);

impl Lives {
    fn of(history: &History<'_>) -> Self {
        let mut changes: Vec<Timestamp> = history
            .events
            .iter()
            .filter(|event| event.renews())
            .map(|event| event.at)
            .collect();
        changes.dedup();
        let each = changes.into_iter();
        Self(
            each.map(|at| (at, past_lives(&known_by(history, at), at)))
                .collect(),
        )
    }

    /// By then.
    fn by(&self, then: Timestamp) -> &PastLives {
        const NONE: &PastLives = &PastLives {
            filters: Vec::new(),
            water: Vec::new(),
            salt: Vec::new(),
        };
        let after = self.0.partition_point(|(at, _)| *at <= then);
        let last = after.checked_sub(1).and_then(|last| self.0.get(last));
        last.map_or(NONE, |(_, lives)| lives)
    }
}

/// What was written down of a unit by then.
fn known_by<'a>(history: &History<'a>, then: Timestamp) -> History<'a> {
    let readings = history.readings.partition_point(|reading| reading.at <= then);
    let events = history.events.partition_point(|event| event.at <= then);
    History {
        readings: history.readings.get(..readings).unwrap_or_default(),
        events: history.events.get(..events).unwrap_or_default(),
        ..*history
    }
}

/// Age at which a part would have been changed by its forecast.
fn told_age(change: &Change) -> Option<f64> {
    let lead = |i: usize| Some((LEADS_D.get(i)?, change.told.get(i)?.as_ref()?));
    let (lead_d, told) = lead(1).or_else(|| lead(0))?;
    Some((change.age_d - lead_d + told.p50).max(0.0))
}

fn scores(changes: &[Change], kind: Option<Kind>) -> [Score; 3] {
    std::array::from_fn(|i| {
        let mut score = Score {
            lead_d: LEADS_D[i],
            ..Score::default()
        };
        let mut errors = Vec::new();
        for change in changes
            .iter()
            .filter(|change| kind.is_none_or(|kind| change.kind == kind))
        {
            let Some(told) = change.told[i] else { continue };
            if change.was_due() {
                let due = change.due_in_d(score.lead_d);
                score.due += 1;
                score.within += usize::from(told.p10 - GRACE_D <= due && due <= told.p90 + GRACE_D);
                errors.push((told.p50 - due).abs());
            } else {
                score.early += 1;
                score.outlived += usize::from(told.p90 + GRACE_D < score.lead_d);
            }
        }
        score.median_error_d = median(&mut errors);
        score
    })
}

/// The parts of a unit that are changed, by kind, and when each was new.
fn parts(history: &History<'_>) -> Vec<(Kind, String, Vec<Timestamp>)> {
    let unit: &Unit = history.unit;
    let start = commissioned(unit, history.readings, history.events);
    let mut parts = Vec::new();
    for stage in &unit.stages {
        let kind = match stage.kind {
            StageKind::Carbon { .. } => Kind::Carbon,
            StageKind::Sediment { .. } => Kind::Filter,
            _ => continue,
        };
        parts.push((kind, stage.id.clone(), renewals(&stage.id, start, history.events)));
    }
    let lives = membrane_lives(unit, start, history.events);
    let first = unit.membranes.elements.first().map(|element| element.id.clone());
    if let Some(first) = first {
        let starts = lives.iter().map(|life| life.start).collect();
        parts.push((Kind::Membranes, first, starts));
    }
    parts
}

fn of_unit(history: &History<'_>, prior: &dyn Fn(Timestamp) -> Prior) -> Vec<Change> {
    let mut changes = Vec::new();
    for (kind, part, starts) in parts(history) {
        for life in starts.windows(2) {
            let (new, at) = (life[0], life[1]);
            let age_d = days(new, at);
            // Two changes in one day are one, told twice.
            if age_d < 1.0 {
                continue;
            }
            let seconds = |d: f64| SignedDuration::try_from_secs_f64(d * 86_400.0).ok();
            let before = |d: f64| at.checked_sub(seconds(d)?).ok();
            // Just before the change, so that the old part is what it is about.
            let Some((hindsight, use_l_d)) =
                before(1e-3).and_then(|then| replay(history, prior, &part, then))
            else {
                continue;
            };
            let (Some(used), Some(due)) = (hindsight.used_fraction, hindsight.due_in_d) else {
                continue;
            };
            let used_fraction = used.p50.max(0.0);
            // Past its limit it was there when this share of its service was over; before, in the days told.
            let due_age_d = if used_fraction > 1.0 {
                age_d / used_fraction
            } else {
                age_d + due.p50.min(HORIZON_D)
            };
            let told = LEADS_D.map(|lead| {
                let then = (lead < age_d).then(|| before(lead)).flatten()?;
                replay(history, prior, &part, then)?.0.due_in_d
            });
            changes.push(Change {
                unit: history.unit.id.clone(),
                part: part.clone(),
                kind,
                at,
                age_d,
                used_fraction,
                due_age_d,
                use_l_d,
                told,
            });
        }
    }
    changes
}

/// What was forecast of a part, from what was written down by then; and the usual litres a day.
fn replay(
    history: &History<'_>,
    prior: &dyn Fn(Timestamp) -> Prior,
    part: &str,
    then: Timestamp,
) -> Option<(PartForecast, f64)> {
    let known = known_by(history, then);
    let standardisation = standardise(&known);
    let forecaster = Forecaster::new(&known, &standardisation, then, &prior(then));
    let told = forecaster.parts().into_iter().find(|told| told.id == part)?;
    Some((told, forecaster.usual_l_d()))
}

fn sentence(scores: &[Score; 3], by_calendar: &Cost, by_forecast: &Cost) -> String {
    let [_, score, _] = scores;
    let Some(coverage) = score.coverage() else {
        return "No part in these records was changed when it was due and had a forecast 90 days before: there is \
                nothing to tell the ranges by yet."
            .to_owned();
    };
    let mut text = format!(
        "Of {} changes that were due, {} ({:.0} %) fell into the range told 90 days before; eight in ten is right.",
        score.due,
        score.within,
        100.0 * coverage
    );
    if let Some(error) = score.median_error_d {
        text.push_str(&format!(" Half of the likely days were within {error:.0} days."));
    }
    let saved = by_calendar.money - by_forecast.money;
    text.push_str(&format!(
        " Changed on the likely day, early and late changes would have cost {:.0} {} than by the calendar.",
        saved.abs(),
        if saved >= 0.0 { "less" } else { "more" }
    ));
    text
}
