//! From a unit's standardised history to its picture.

use chart::{Due, Fan, History as Picture, Mark, Options, Panel, Point, Scale};
use jiff::Timestamp;
use wear::forecast::{Fan as Ahead, Forecaster, HORIZON_D, Limit, Prior, Quantiles, part_words};
use wear::lives::after;
use wear::{Estimate, History, Standardisation, StandardisedReading};

/// Days of the forecast that are drawn: further out is a guess that would squeeze the readings together.
const DRAWN_D: f64 = 730.0;

/// The standardised history of a unit as SVG.
pub(crate) fn history(history: &History<'_>, standardisation: &Standardisation, as_of: Timestamp) -> String {
    let forecaster = Forecaster::new(history, standardisation, as_of, &Prior::default());
    let parts = forecaster.parts();
    let readings = &standardisation.readings;
    let first = readings.first().map_or(as_of, |one| one.at);
    let membranes = parts.iter().find(|part| history.unit.element(&part.id).is_some());
    let due = membranes.and_then(|part| part.due_in_d.zip(part.limit));
    let ahead = due.map_or(90.0, |(due, _)| (due.p90 * 1.05).clamp(60.0, DRAWN_D));
    let to = after(as_of.max(readings.last().map_or(as_of, |one| one.at)), ahead);
    let limits = &history.unit.limits;
    let fans = forecaster.fans(ahead);
    let flow = Course {
        title: "Permeate flow, standardised",
        value: |one| one.relative_permeate_flow,
        doubtful: |one| one.doubts.iter().any(wear::doubts::Doubt::touches_flow),
        limit: (1.0 - limits.permeate_flow_drop, Limit::PermeateFlowDrop),
    };
    let salt = Course {
        title: "Salt passage, standardised",
        value: |one| one.relative_salt_passage,
        doubtful: |one| one.doubts.iter().any(wear::doubts::Doubt::touches_salt),
        limit: (1.0 + limits.salt_passage_rise, Limit::SaltPassageRise),
    };
    let drop = Course {
        title: "Pressure drop along the membranes, standardised",
        value: |one| one.relative_pressure_drop,
        doubtful: |one| !one.doubts.is_empty(),
        limit: (1.0 + limits.pressure_drop_rise, Limit::PressureDropRise),
    };
    // Where no gauge sees the drop there is nothing to draw.
    let drop = readings
        .iter()
        .any(|one| one.relative_pressure_drop.is_some())
        .then_some(drop);
    let panels = [flow, salt]
        .iter()
        .chain(&drop)
        .map(|course| course.panel(standardisation, &fans, due, as_of))
        .collect();
    let marks = history
        .events
        .iter()
        .filter_map(|event| {
            let part = event.part.as_deref()?;
            let label = format!("{} {}", part_words(history.unit, part), event.kind.name());
            Some(Mark { at: event.at, label })
        })
        .collect();
    let subtitle = membranes.map_or_else(String::new, |part| part.sentence.clone());
    let picture = Picture {
        title: history.unit.name.clone(),
        subtitle,
        panels,
        from: first,
        to,
        as_of,
        marks,
    };
    let options = Options {
        time_zone: casefile::time_zone(history.unit),
        ..Options::default()
    };
    chart::history(&picture, &options)
}

/// One quantity of the membranes over time.
struct Course {
    title: &'static str,
    value: fn(&StandardisedReading) -> Option<Estimate>,
    doubtful: fn(&StandardisedReading) -> bool,
    limit: (f64, Limit),
}

impl Course {
    fn panel(
        &self,
        standardisation: &Standardisation,
        fans: &[Ahead],
        due: Option<(Quantiles, Limit)>,
        as_of: Timestamp,
    ) -> Panel {
        let points = standardisation
            .readings
            .iter()
            .filter_map(|one| {
                let estimate = (self.value)(one)?;
                Some(Point {
                    at: one.at,
                    value: 100.0 * estimate.value,
                    sd: 100.0 * estimate.sd,
                    doubtful: (self.doubtful)(one),
                    label: None,
                })
            })
            .collect();
        let baseline = standardisation
            .baselines
            .iter()
            .rev()
            .flatten()
            .next()
            .map(|baseline| {
                (
                    baseline.start,
                    after(baseline.start, wear::baseline::BASELINE_DAYS),
                    100.0,
                )
            });
        let due = due.filter(|(due, limit)| *limit == self.limit.1 && due.p10 < HORIZON_D);
        let at = |d: f64| (d < HORIZON_D).then(|| after(as_of, d));
        let (bound, _) = self.limit;
        Panel {
            title: self.title.to_owned(),
            unit: "% of when new".to_owned(),
            points,
            baseline,
            limit: Some((100.0 * bound, "limit".to_owned())),
            fan: fans.iter().find(|fan| fan.limit == self.limit.1).map(fan),
            due: due.map(|(due, _)| Due {
                p10: after(as_of, due.p10),
                p50: at(due.p50),
                p90: at(due.p90),
                label: "membranes due".to_owned(),
            }),
            scale: Scale::Linear,
        }
    }
}

/// In per cent of when new.
fn fan(ahead: &Ahead) -> Fan {
    let point = |point: &wear::forecast::FanPoint| {
        let value = point.value;
        (point.at, 100.0 * value.p10, 100.0 * value.p50, 100.0 * value.p90)
    };
    Fan {
        points: ahead.points.iter().map(point).collect(),
    }
}
