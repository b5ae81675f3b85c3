//! The lives of the parts that wear, on the volume clock.

use jiff::Timestamp;
use reading::{Event, EventKind};
use unit::{StageKind, Unit};

use super::clock::Clock;
use super::drift::Drift;
use super::plant::STAGES;
use crate::lives::{days, membrane_lives, renewals};
use crate::standardise::History;

/// Years of usual use between the knots at which a membrane's rate may bend.
const KNOT_YEARS: f64 = 0.5;
/// Knots of one life at most.
const KNOTS: usize = 6;
/// Share of earlier wear that counts again as removable at the next cleaning (common practice, no source).
const LEFT_TO_CLEAN: f64 = 0.5;
/// Days at which a membrane counts as settled: the baseline of its wear.
pub(super) const SETTLED_D: f64 = 7.0;

/// A stretch in which the membranes were the same. Days are counted from now, negative.
#[derive(Clone, Debug)]
pub(super) struct MembraneCourse {
    pub(super) start_d: f64,
    /// Day of each of their cleanings, and how many years of wear it found to remove.
    pub(super) cleanings: Vec<(f64, f64)>,
    /// Years on the clock, from a week old, at which the rate may bend.
    pub(super) knots: Vec<f64>,
    /// The feed changes that fall within it: index and years on its clock.
    pub(super) feed_changes: Vec<(usize, f64)>,
}

/// A stretch in which a filter was the same and not washed.
#[derive(Clone, Copy, Debug)]
pub(super) struct FilterLife {
    pub(super) start_d: f64,
    pub(super) end_d: f64,
    /// Began with a washing of the cartridge before it.
    pub(super) washed: bool,
}

/// One stage that loads up.
#[derive(Clone, Debug)]
pub(super) struct Filter {
    /// Index of the stage.
    pub(super) stage: usize,
    pub(super) slot: usize,
    pub(super) lives: Vec<FilterLife>,
}

impl Filter {
    /// The first of the lives that the newest stands on: that of its cartridge when new, before it was washed.
    pub(super) fn first_of_newest(&self) -> usize {
        self.lives.iter().rposition(|life| !life.washed).unwrap_or(0)
    }
}

/// All lives up to now.
#[derive(Clone, Debug, Default)]
pub(super) struct Timeline {
    pub(super) membranes: Vec<MembraneCourse>,
    pub(super) filters: Vec<Filter>,
    /// Stage of each slot.
    pub(super) slots: Vec<usize>,
    /// Days of the feed's changes.
    pub(super) feed_changes: Vec<f64>,
    /// The stretches in which restrictor and pump wander.
    pub(super) drift: Drift,
}

/// Whether a stage loads up with what it holds back.
pub(super) fn loads_up(unit: &Unit, stage: usize) -> bool {
    unit.stages.get(stage).is_some_and(|stage| match stage.kind {
        StageKind::Sediment { .. } => true,
        StageKind::Pump { .. } | StageKind::Regulator { .. } => false,
        _ => stage.limit.pressure_drop_kpa.is_some(),
    })
}

impl Timeline {
    pub(super) fn of(
        history: &History<'_>,
        start: Option<Timestamp>,
        as_of: Timestamp,
        clock: &Clock,
    ) -> Self {
        let unit = history.unit;
        let events: Vec<Event> = history
            .events
            .iter()
            .filter(|event| event.at <= as_of)
            .cloned()
            .collect();
        let day = |at: Timestamp| days(as_of, at);
        let of_kind = |kind: EventKind, part: Option<&str>| -> Vec<f64> {
            let one = events
                .iter()
                .filter(|event| event.kind == kind && (part.is_none() || event.part.as_deref() == part));
            one.map(|event| day(event.at)).collect()
        };
        let feed_changes = of_kind(EventKind::FeedChanged, None);
        let slots: Vec<usize> = (0..unit.stages.len())
            .filter(|i| {
                let stage = &unit.stages[*i];
                !matches!(stage.kind, StageKind::Pump { .. } | StageKind::Regulator { .. })
                    && (stage.clean_drop.is_some() || loads_up(unit, *i))
            })
            .take(STAGES)
            .collect();
        let filters = slots
            .iter()
            .enumerate()
            .filter(|(_, stage)| loads_up(unit, **stage))
            .map(|(slot, stage)| {
                let id = &unit.stages[*stage].id;
                let mut starts: Vec<(f64, bool)> = renewals(id, start, &events)
                    .into_iter()
                    .map(|at| (day(at).min(0.0), false))
                    .collect();
                if starts.is_empty() {
                    starts.push((0.0, false));
                }
                starts.extend(
                    of_kind(EventKind::Cleaned, Some(id))
                        .into_iter()
                        .map(|d| (d, true)),
                );
                starts.sort_by(|a, b| a.0.total_cmp(&b.0));
                // A washing on the day of a change is part of the change.
                let mut lives: Vec<FilterLife> = Vec::new();
                for (d, washed) in starts {
                    match lives.last_mut() {
                        Some(last) if d - last.start_d < 0.5 => last.washed &= washed,
                        Some(last) => {
                            last.end_d = d;
                            lives.push(FilterLife {
                                start_d: d,
                                end_d: 0.0,
                                washed,
                            });
                        }
                        None => lives.push(FilterLife {
                            start_d: d,
                            end_d: 0.0,
                            washed: false,
                        }),
                    }
                }
                Filter {
                    stage: *stage,
                    slot,
                    lives,
                }
            })
            .collect();
        let ids: Vec<&str> = unit.membranes.elements.iter().map(|e| e.id.as_str()).collect();
        let mut starts: Vec<f64> = membrane_lives(unit, start, &events)
            .iter()
            .map(|life| day(life.start).min(0.0))
            .collect();
        if starts.is_empty() {
            starts.push(0.0);
        }
        let mut cleanings: Vec<f64> = ids
            .iter()
            .flat_map(|id| of_kind(EventKind::Cleaned, Some(id)))
            .collect();
        cleanings.sort_by(f64::total_cmp);
        cleanings.dedup_by(|a, b| (*a - *b).abs() < 1.0);
        let membranes = starts
            .iter()
            .enumerate()
            .map(|(i, start_d)| {
                let end_d = starts.get(i + 1).copied().unwrap_or(0.0);
                let settled = (start_d + SETTLED_D).min(end_d);
                let length = clock.years(settled, end_d);
                let count = ((length / KNOT_YEARS) as usize).min(KNOTS);
                let within: Vec<(usize, f64)> = feed_changes
                    .iter()
                    .enumerate()
                    .filter(|(_, d)| **d > settled && **d < end_d)
                    .map(|(i, d)| (i, clock.years(settled, *d)))
                    .collect();
                let mut before = 0.0;
                let within_life = cleanings
                    .iter()
                    .copied()
                    .filter(|d| *d > start_d + 1.0 && *d < end_d);
                let found = within_life.map(|d| {
                    let years = clock.years(settled, d);
                    let removable = (years - before * (1.0 - LEFT_TO_CLEAN)).max(0.0);
                    before = years;
                    (d, removable)
                });
                let cleanings: Vec<(f64, f64)> = found.collect();
                MembraneCourse {
                    start_d: *start_d,
                    cleanings,
                    knots: (1..=count)
                        .map(|k| k as f64 * length / (count + 1) as f64)
                        .collect(),
                    feed_changes: within,
                }
            })
            .collect();
        Self {
            membranes,
            filters,
            slots,
            feed_changes,
            drift: Drift::since(starts.first().copied().unwrap_or(0.0)),
        }
    }
}
