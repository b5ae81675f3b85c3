//! The time to come as a fan: what each limited quantity of a part will show, if the part is left alone.

use jiff::Timestamp;

use super::crossing::{FUTURES, normal};
use super::posterior::USE;
use super::shown::Shown;
use super::{Limit, Quantiles, Scene, membranes, sediment};
use crate::lives::after;

/// Steps in which a fan is told.
const STEPS: usize = 32;

/// One quantity of one part through the time to come, from the same futures that its due range is made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Fan {
    /// The part; of the membranes, the first element.
    pub part: String,
    /// Which limit it is about. Flow, salt passage and drop of membranes are told over those of the same membranes
    /// when new (1 = new); the drop of a stage in kPa at the reference flow and 25 C.
    pub limit: Limit,
    /// The value at which it is due, in the same unit.
    pub bound: f64,
    /// In order of time, from `as_of` on.
    pub points: Vec<FanPoint>,
}

/// The spread at one time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FanPoint {
    /// When.
    pub at: Timestamp,
    /// Days from `as_of`.
    pub d: f64,
    /// One, five and nine tenths of the futures are below.
    pub value: Quantiles,
}

/// The fans of all parts, so many days ahead.
pub(super) fn fans(scene: &Scene<'_>, until_d: f64) -> Vec<Fan> {
    let posterior = scene.posterior;
    let clock = &posterior.clock;
    let days: Vec<f64> = (0..=STEPS)
        .map(|step| until_d.max(1.0) * (step as f64 / STEPS as f64))
        .collect();
    let points = |value: &dyn Fn(usize, f64, f64) -> f64| -> Vec<FanPoint> {
        let each = days.iter().map(|d| {
            let values = (0..FUTURES).map(|future| {
                let litres = clock.to_come_l(*d, normal(future, USE));
                value(future, litres / clock.year_l, *d)
            });
            FanPoint {
                at: after(scene.as_of, *d),
                d: *d,
                value: Quantiles::of(values),
            }
        });
        each.collect()
    };
    let mut fans = Vec::new();
    for (index, stage) in scene.unit().stages.iter().enumerate() {
        let filter = posterior.filters.iter().find(|filter| filter.stage == index);
        if let (Some(filter), Some(bound)) = (filter, stage.limit.pressure_drop_kpa) {
            fans.push(Fan {
                part: stage.id.clone(),
                limit: Limit::PressureDrop,
                bound,
                points: points(&|future, years, _| sediment::drop_kpa(scene, filter, future, years)),
            });
        }
    }
    let Some(element) = scene.unit().membranes.elements.first() else {
        return fans;
    };
    for (which, (limit, bound)) in membranes::bounds(scene).into_iter().enumerate() {
        if which == 2 && !posterior.drop_is_seen {
            continue;
        }
        // Flow falls, the others rise.
        let sign = if which == 0 { -1.0 } else { 1.0 };
        let shown = Shown::of(scene, which);
        fans.push(Fan {
            part: element.id.clone(),
            limit,
            bound: (sign * bound).exp(),
            points: points(&|future, years, d| (sign * shown.at(future, years, d)).exp()),
        });
    }
    fans
}
