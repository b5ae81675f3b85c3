//! From a unit's standardised history to its picture.

use chart::{Due, Fan, History as Picture, Mark, Options, Panel, Point, Scale};
use jiff::Timestamp;
use wear::forecast::{HORIZON_D, Limit, PartForecast, part_words};
use wear::lives::{after, days};
use wear::verdict::standing;
use wear::{Estimate, History, Standardisation, StandardisedReading};

/// Days of the forecast that are drawn: further out is a guess that would squeeze the readings together.
const DRAWN_D: f64 = 730.0;

/// The words that stand in a picture.
#[derive(Clone, Debug)]
pub struct Words {
    /// Over the panel of permeate flow.
    pub flow: String,
    /// Over the panel of salt passage.
    pub salt: String,
    /// Unit of both: percent of the value when new.
    pub of_new: String,
    /// At the limit's line.
    pub limit: String,
    /// At the range of days in which the membranes are due.
    pub due: String,
    /// At an event: the part's words and the event's name are handed in.
    pub event: fn(&unit::Unit, &str, reading::EventKind) -> String,
    /// Under the title; none for the forecast's own sentence.
    pub subtitle: Option<String>,
}

impl Default for Words {
    fn default() -> Self {
        Self {
            flow: "Permeate flow, standardised".to_owned(),
            salt: "Salt passage, standardised".to_owned(),
            of_new: "% of when new".to_owned(),
            limit: "limit".to_owned(),
            due: "membranes due".to_owned(),
            event: |unit, part, kind| format!("{} {}", part_words(unit, part), kind.name()),
            subtitle: None,
        }
    }
}

/// The standardised history of a unit as SVG.
pub fn history(
    history: &History<'_>,
    standardisation: &Standardisation,
    parts: &[PartForecast],
    as_of: Timestamp,
    words: &Words,
) -> String {
    let readings = &standardisation.readings;
    let first = readings.first().map_or(as_of, |one| one.at);
    let membranes = parts.iter().find(|part| history.unit.element(&part.id).is_some());
    let due = membranes.and_then(|part| part.due_in_d.zip(part.limit));
    let ahead = due.map_or(90.0, |(due, _)| (due.p90 * 1.05).clamp(60.0, DRAWN_D));
    let to = after(as_of.max(readings.last().map_or(as_of, |one| one.at)), ahead);
    let limits = &history.unit.limits;
    let standing = standing(standardisation);
    let flow = Course {
        title: &words.flow,
        value: |one| one.relative_permeate_flow,
        doubtful: |one| one.doubts.iter().any(wear::doubts::Doubt::touches_flow),
        limit: (1.0 - limits.permeate_flow_drop, Limit::PermeateFlowDrop),
        now: standing.water,
    };
    let salt = Course {
        title: &words.salt,
        value: |one| one.relative_salt_passage,
        doubtful: |one| one.doubts.iter().any(wear::doubts::Doubt::touches_salt),
        limit: (1.0 + limits.salt_passage_rise, Limit::SaltPassageRise),
        now: standing.salt,
    };
    let panels = [flow, salt]
        .iter()
        .map(|course| course.panel(standardisation, due, as_of, words))
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
        ..Options::default()
    };
    chart::history(&picture, &options)
}

/// One quantity of the membranes over time.
struct Course<'a> {
    title: &'a str,
    value: fn(&StandardisedReading) -> Option<Estimate>,
    doubtful: fn(&StandardisedReading) -> bool,
    limit: (f64, Limit),
    now: Option<Estimate>,
}

impl Course<'_> {
    fn panel(
        &self,
        standardisation: &Standardisation,
        due: Option<(wear::forecast::Quantiles, Limit)>,
        as_of: Timestamp,
        words: &Words,
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
            fan: due
                .zip(self.now)
                .and_then(|((due, _), now)| fan(now, bound, &due, as_of)),
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

/// From where the membranes stand to their limit, in a straight line for each tenth of the due range. None
/// where they are over it already.
fn fan(now: Estimate, bound: f64, due: &wear::forecast::Quantiles, as_of: Timestamp) -> Option<Fan> {
    if due.p50 <= 0.0 {
        return None;
    }
    let end = due.p90.min(DRAWN_D);
    let way = bound - now.value;
    let points = (0..=12)
        .map(|step| {
            let d = end * f64::from(step) / 12.0;
            let line = |due: f64| 100.0 * (now.value + way * d / due.max(1.0));
            let (fast, middle, slow) = (line(due.p10), line(due.p50), line(due.p90));
            (after(as_of, d), fast.min(slow), middle, fast.max(slow))
        })
        // Past its limit the part has been renewed, and what it would do is no longer of interest.
        .filter(|(at, _, _, _)| days(as_of, *at) <= due.p90)
        .collect();
    Some(Fan { points })
}
