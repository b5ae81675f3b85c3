//! From a unit's standardised history to its picture.

use chart::{Due, Fan, History as Picture, Mark, Options, Panel, Point, Scale};
use jiff::Timestamp;
use wear::forecast::{Fan as Ahead, HORIZON_D, Limit, PartForecast, Quantiles, part_words};
use wear::lives::after;
use wear::{Estimate, History, Standardisation, StandardisedReading};

use crate::Evaluation;

/// Days of the forecast that are drawn: further out is a guess that would squeeze the readings together.
const DRAWN_D: f64 = 730.0;

/// What an event is called: the unit, the part's id and the event's kind are handed in.
pub type EventWords<'a> = dyn Fn(&unit::Unit, &str, reading::EventKind) -> String + 'a;

/// The words that stand in a picture.
pub struct Words<'a> {
    /// Over the panel of permeate flow.
    pub flow: String,
    /// Over the panel of salt passage.
    pub salt: String,
    /// Over the panel of the pressure drop along the membranes.
    pub drop: String,
    /// Unit of both: percent of the value when new.
    pub of_new: String,
    /// At the limit's line.
    pub limit: String,
    /// At the range of days in which the membranes are due.
    pub due: String,
    /// At an event: the part's words and the event's name are handed in.
    pub event: Box<EventWords<'a>>,
    /// Under the title; none for the forecast's own sentence.
    pub subtitle: Option<String>,
    /// What the drawing puts in by itself.
    pub own: chart::Words,
    /// Width of the drawing, CSS pixels.
    pub width_px: f64,
}

impl Default for Words<'_> {
    fn default() -> Self {
        Self {
            flow: "Permeate flow, standardised".to_owned(),
            salt: "Salt passage, standardised".to_owned(),
            drop: "Pressure drop along the membranes, standardised".to_owned(),
            of_new: "% of when new".to_owned(),
            limit: "limit".to_owned(),
            due: "membranes due".to_owned(),
            event: Box::new(|unit, part, kind| format!("{} {}", part_words(unit, part), kind.name())),
            subtitle: None,
            own: chart::Words::default(),
            width_px: chart::DESK_PX,
        }
    }
}

/// How many days ahead the picture goes: until the membranes are surely due, within reason.
pub(crate) fn ahead_d(history: &History<'_>, parts: &[PartForecast]) -> f64 {
    let membranes = parts.iter().find(|part| history.unit.element(&part.id).is_some());
    let due = membranes.and_then(|part| part.due_in_d);
    due.map_or(90.0, |due| (due.p90 * 1.05).clamp(60.0, DRAWN_D))
}

/// The standardised history of a unit as SVG.
pub(crate) fn history(history: &History<'_>, evaluation: &Evaluation, words: &Words<'_>) -> String {
    let Evaluation {
        as_of,
        standardisation,
        parts,
        fans,
        ..
    } = evaluation;
    let as_of = *as_of;
    let readings = &standardisation.readings;
    let first = readings.first().map_or(as_of, |one| one.at);
    let membranes = parts.iter().find(|part| history.unit.element(&part.id).is_some());
    let due = membranes.and_then(|part| part.due_in_d.zip(part.limit));
    let ahead = ahead_d(history, parts);
    let to = after(as_of.max(readings.last().map_or(as_of, |one| one.at)), ahead);
    let limits = &history.unit.limits;
    let flow = Course {
        title: &words.flow,
        value: |one| one.relative_permeate_flow,
        doubtful: |one| one.doubts.iter().any(wear::doubts::Doubt::touches_flow),
        limit: (1.0 - limits.permeate_flow_drop, Limit::PermeateFlowDrop),
    };
    let salt = Course {
        title: &words.salt,
        value: |one| one.relative_salt_passage,
        doubtful: |one| one.doubts.iter().any(wear::doubts::Doubt::touches_salt),
        limit: (1.0 + limits.salt_passage_rise, Limit::SaltPassageRise),
    };
    let drop = Course {
        title: &words.drop,
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
        .map(|course| course.panel(standardisation, fans, due, as_of, words))
        .collect();
    let marks = history
        .events
        .iter()
        .filter_map(|event| {
            let part = event.part.as_deref()?;
            let label = (words.event)(history.unit, part, event.kind);
            Some(Mark { at: event.at, label })
        })
        .collect();
    let sentence = || membranes.map_or_else(String::new, |part| part.sentence.clone());
    let subtitle = words.subtitle.clone().unwrap_or_else(sentence);
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
        words: words.own.clone(),
        ..Options::wide(words.width_px)
    };
    chart::history(&picture, &options)
}

/// One quantity of the membranes over time.
struct Course<'a> {
    title: &'a str,
    value: fn(&StandardisedReading) -> Option<Estimate>,
    doubtful: fn(&StandardisedReading) -> bool,
    limit: (f64, Limit),
}

impl Course<'_> {
    fn panel(
        &self,
        standardisation: &Standardisation,
        fans: &[Ahead],
        due: Option<(Quantiles, Limit)>,
        as_of: Timestamp,
        words: &Words<'_>,
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
            unit: words.of_new.clone(),
            points,
            baseline,
            limit: Some((100.0 * bound, words.limit.clone())),
            fan: fans.iter().find(|fan| fan.limit == self.limit.1).map(fan),
            due: due.map(|(due, _)| Due {
                p10: after(as_of, due.p10),
                p50: at(due.p50),
                p90: at(due.p90),
                label: words.due.clone(),
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
