//! Oxidant that the membranes have met: what carbon past its capacity let through.

use jiff::Timestamp;
use reading::EventKind;
use unit::{CapacityOf, CarbonMedia, StageKind};

use super::clock::Clock;
use crate::lives::days;
use crate::standardise::History;

/// Removal rates in empty-bed contact time, 1/min (`model.md` 5; from memory, sd(ln) 0.7).
const FREE_CHLORINE_A_MIN: f64 = 14.0;
const CHLORAMINE_A_MIN: (f64, f64) = (0.5, 2.0);
/// What chloramine does to a membrane, of what as much free chlorine does (`model.md` 5).
const CHLORAMINE_WEIGHT: f64 = 0.01;
/// Exposure that doubles salt permeability, mg/L h (`model.md` 5).
const DOUBLING: f64 = 1000.0;
/// Days between the points of the table at most.
const STEP_D: f64 = 7.0;
/// No more points than in forty years of weeks.
const MOST_POINTS: usize = 2100;

/// Exposure up to a day, in units of what doubles salt permeability.
///
/// Between the points it grows straight; each change of the carbon or of the membranes is one, so that what went before does
/// not reach what was put in.
#[derive(Clone, Debug, Default)]
pub(super) struct Exposure {
    days: Vec<f64>,
    sums: Vec<f64>,
}

impl Exposure {
    /// From the carbon's lives and the water that it has treated; `membranes` are the days on which theirs began. None where feed
    /// or carbon say nothing.
    pub(super) fn of(
        history: &History<'_>,
        as_of: Timestamp,
        membranes: &[f64],
        clock: &Clock,
        permeate_l_h: f64,
        feed_per_permeate: f64,
    ) -> Self {
        let Some(water) = history.water else {
            return Self::default();
        };
        let start_d = membranes.first().copied().unwrap_or(0.0);
        let free = water.free_chlorine_mg_l.unwrap_or(0.0).max(0.0);
        let bound = water.chloramine_mg_l.unwrap_or(0.0).max(0.0);
        if free + bound <= 0.0 || permeate_l_h <= 0.0 || start_d >= 0.0 {
            return Self::default();
        }
        let carbons: Vec<Carbon> = history
            .unit
            .stages
            .iter()
            .filter_map(|stage| {
                let StageKind::Carbon {
                    media,
                    bed_volume_l,
                    capacity,
                    ..
                } = &stage.kind
                else {
                    return None;
                };
                let capacity = capacity.as_ref()?;
                let per_litre = match capacity.of {
                    CapacityOf::Permeate => 1.0,
                    CapacityOf::Feed => feed_per_permeate,
                };
                let mut starts: Vec<f64> = history
                    .events
                    .iter()
                    .filter(|event| event.at <= as_of && event.part.as_deref() == Some(stage.id.as_str()))
                    .filter(|event| matches!(event.kind, EventKind::Installed | EventKind::Changed))
                    .map(|event| days(as_of, event.at))
                    .collect();
                starts.push(start_d);
                starts.sort_by(f64::total_cmp);
                let starts = starts.into_iter().map(|d| (d, clock.total(d))).collect();
                let minutes = bed_volume_l.map_or(1.0, |bed| 60.0 * bed / (permeate_l_h * feed_per_permeate));
                Some(Carbon {
                    starts,
                    permeate_l: capacity.volume_l / per_litre,
                    free: FREE_CHLORINE_A_MIN * minutes,
                    bound: minutes
                        * match media {
                            CarbonMedia::Activated => CHLORAMINE_A_MIN.0,
                            CarbonMedia::Catalytic => CHLORAMINE_A_MIN.1,
                        },
                })
            })
            .collect();
        if carbons.is_empty() {
            return Self::default();
        }
        let mut days: Vec<f64> = (0..MOST_POINTS)
            .map(|step| start_d + STEP_D * step as f64)
            .take_while(|d| *d < 0.0)
            .collect();
        days.extend(
            carbons
                .iter()
                .flat_map(|carbon| carbon.starts.iter().map(|(d, _)| *d)),
        );
        days.extend_from_slice(membranes);
        days.push(0.0);
        days.retain(|d| (start_d..=0.0).contains(d));
        days.sort_by(f64::total_cmp);
        days.dedup();
        let mut sums = vec![0.0];
        let mut sum = 0.0;
        let until_start = clock.total(start_d);
        let mut before = until_start;
        for pair in days.windows(2) {
            let (from, to) = (pair[0], pair[1]);
            let middle = f64::midpoint(from, to);
            let at_middle = clock.total(middle);
            let (mut free_left, mut bound_left) = (free, bound);
            for carbon in &carbons {
                let new = carbon.starts.iter().rev().find(|(start, _)| *start <= middle);
                let since = new.map_or(until_start, |(_, total)| *total);
                let left = (1.0 - (at_middle - since).max(0.0) / carbon.permeate_l).max(0.0);
                free_left *= (-carbon.free * left).exp();
                bound_left *= (-carbon.bound * left).exp();
            }
            let after = clock.total(to);
            let hours = (after - before).max(0.0) / permeate_l_h;
            before = after;
            sum += (free_left + CHLORAMINE_WEIGHT * bound_left) * hours / DOUBLING;
            sums.push(sum);
        }
        Self { days, sums }
    }

    /// Whether oxidant may have reached the membranes at all.
    pub(super) fn is_any(&self) -> bool {
        self.sums.last().is_some_and(|sum| *sum > 0.0)
    }

    /// Exposure between two days.
    pub(super) fn between(&self, from: f64, to: f64) -> f64 {
        (self.at(to) - self.at(from)).max(0.0)
    }

    fn at(&self, d: f64) -> f64 {
        let after = self.days.partition_point(|point| *point <= d);
        let Some(low) = after.checked_sub(1) else {
            return 0.0;
        };
        match (self.days.get(low..=after), self.sums.get(low..=after)) {
            (Some([from, to]), Some([low, high])) => low + (d - from) / (to - from) * (high - low),
            _ => self.sums.last().copied().unwrap_or(0.0),
        }
    }
}

/// One carbon stage.
struct Carbon {
    /// Days on which it was new, and the litres made until then.
    starts: Vec<(f64, f64)>,
    /// Litres of permeate that use up its capacity.
    permeate_l: f64,
    /// ln of what it takes out when new, of free and of bound chlorine.
    free: f64,
    bound: f64,
}
