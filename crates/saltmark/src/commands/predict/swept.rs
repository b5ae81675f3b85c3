//! The same unit over a range of one condition: a table, and where the need is met.

use std::path::Path;

use casefile::ConditionName;
use serde_json::{Value, json};
use unit::{Need, PredictError};

use super::judgement::{litres, litres_per_day, margin, plain};
use super::request::Request;
use super::sweep::Sweep;
use super::{Expected, Ready, drawn, failed, fields, remarks, sweep_picture};
use crate::failure::Failure;
use crate::output::Answer;
use crate::output_file;
use crate::present::{Columns, significant, wrapped};

/// One value of the sweep and what the unit makes there.
pub(super) struct Point {
    pub(super) shown: f64,
    base: f64,
    pub(super) found: Result<Expected, PredictError>,
}

/// A table, and where asked a picture.
pub(super) fn answer(
    request: &Request,
    ready: &Ready,
    sweep: &Sweep,
    plot: Option<&Path>,
) -> Result<Answer, Failure> {
    let mut points = Vec::with_capacity(sweep.values.len());
    for &(shown, base) in &sweep.values {
        let conditions = sweep.conditions(&request.conditions, base);
        let found = ready.expect(request, &conditions);
        points.push(Point { shown, base, found });
    }
    if points.iter().all(|point| point.found.is_err())
        && let Some(Err(error)) = points.first().map(|point| &point.found)
    {
        return Err(failed(&request.file, error));
    }
    let met = met(&request.unit.need, &points);
    let sentence = sentence(request, sweep, &points, met.as_deref());
    if let Some(file) = plot {
        output_file::write(
            file,
            &sweep_picture::svg(request, sweep, &points, met.as_deref(), &sentence),
        )?;
    }
    Ok(Answer {
        json: as_json(sweep, &points, &sentence),
        text: text(request, sweep, &points, &sentence, plot),
        warnings: request.warnings.clone(),
    })
}

fn as_json(sweep: &Sweep, points: &[Point], sentence: &str) -> Value {
    let suffix = if sweep.name == ConditionName::Temperature {
        "c"
    } else {
        "kpa"
    };
    let swept = format!("{}_{suffix}", sweep.field());
    let points: Vec<Value> = points
        .iter()
        .map(|point| {
            let mut all = serde_json::Map::new();
            all.insert(swept.clone(), json!(point.base));
            match &point.found {
                Ok(expected) => all.extend(fields(expected)),
                Err(error) => {
                    all.insert("error".to_owned(), json!(error.to_string()));
                }
            }
            Value::Object(all)
        })
        .collect();
    json!({"sweep": sweep.field(), "points": points, "sentence": sentence})
}

/// The ranges of the swept condition in which the need is met; none where nothing is needed.
///
/// Between two points the margin is taken as straight.
fn met(need: &Need, points: &[Point]) -> Option<Vec<(f64, f64)>> {
    let margins: Vec<(f64, Option<f64>)> = points
        .iter()
        .map(|point| {
            let margin = point
                .found
                .as_ref()
                .map(|expected| margin(need, &expected.prediction));
            // Where the unit makes nothing no need is met.
            margin.map_or(Some((point.shown, Some(f64::NEG_INFINITY))), |margin| {
                Some((point.shown, margin))
            })
        })
        .collect::<Option<_>>()?;
    let mut ranges: Vec<(f64, f64)> = Vec::new();
    let mut open: Option<f64> = None;
    let mut before: Option<(f64, f64)> = None;
    for (x, margin) in margins {
        let margin = margin?;
        let crossing = before.map_or(x, |(x0, m0)| {
            let share = m0 / (m0 - margin);
            if share.is_finite() {
                x0 + share.clamp(0.0, 1.0) * (x - x0)
            } else if m0 >= 0.0 {
                x0
            } else {
                x
            }
        });
        match (open, margin >= 0.0) {
            (None, true) => open = Some(crossing),
            (Some(from), false) => {
                ranges.push((from, crossing));
                open = None;
            }
            _ => {}
        }
        before = Some((x, margin));
    }
    if let Some((from, (last, _))) = open.zip(before) {
        ranges.push((from, last));
    }
    Some(ranges)
}

fn sentence(request: &Request, sweep: &Sweep, points: &[Point], met: Option<&[(f64, f64)]>) -> String {
    let sound = || {
        points
            .iter()
            .filter_map(|point| Some((point.shown, point.found.as_ref().ok()?)))
    };
    let (Some(first), Some(last)) = (sound().next(), sound().next_back()) else {
        return "The unit makes nothing in this range.".to_owned();
    };
    let made = |one: (f64, &Expected)| litres(litres_per_day(&one.1.prediction));
    let salt = |one: (f64, &Expected)| significant(one.1.prediction.point.permeate_tds_mg_l, 2);
    let mut said = format!(
        "From {} to {} {} makes {} to {} L in a day if it ran all day, with {} to {} mg/L of salt.",
        plain(first.0),
        sweep.shown(last.0),
        request.unit.name,
        made(first),
        made(last),
        salt(first),
        salt(last)
    );
    let dry = points.len() - sound().count();
    if dry > 0 {
        said.push_str(&format!(" At {dry} of {} points it makes nothing.", points.len()));
    }
    if let Some(met) = met {
        said.push_str(&format!(
            " The need is met {}.",
            where_met(request, sweep, points, met)
        ));
    }
    said
}

/// Where the need is met, in words.
fn where_met(request: &Request, sweep: &Sweep, points: &[Point], met: &[(f64, f64)]) -> String {
    let ends = points.first().zip(points.last()).map(|(a, b)| (a.shown, b.shown));
    let Some((low, high)) = ends else {
        return "nowhere".to_owned();
    };
    let words: Vec<String> = met
        .iter()
        .map(|&(from, to)| match (from <= low, to >= high) {
            (true, true) => "throughout".to_owned(),
            (true, false) => format!("up to {}", sweep.shown(round(to))),
            (false, true) => format!("from {} up", sweep.shown(round(from))),
            (false, false) => format!("between {} and {}", plain(round(from)), sweep.shown(round(to))),
        })
        .collect();
    if words.is_empty() {
        return format!("nowhere in this range{}", why_not(&request.unit.need, points));
    }
    words.join(" and ")
}

/// What stands in the way at every point.
fn why_not(need: &Need, points: &[Point]) -> String {
    let sound = || points.iter().filter_map(|point| point.found.as_ref().ok());
    let short = need
        .permeate_l_d
        .is_some_and(|asked| sound().all(|one| litres_per_day(&one.prediction) < asked));
    let salty = need
        .permeate_tds_max_mg_l
        .filter(|most| sound().all(|one| one.prediction.point.permeate_tds_mg_l > *most));
    match (short, salty) {
        (false, None) => String::new(),
        (true, None) => ": too little water throughout".to_owned(),
        (false, Some(most)) => format!(": more than {} mg/L of salt throughout", plain(most)),
        (true, Some(most)) => format!(
            ": too little water and more than {} mg/L of salt throughout",
            plain(most)
        ),
    }
}

/// To a tenth: a crossing is no better known.
fn round(value: f64) -> f64 {
    (10.0 * value).round() / 10.0
}

fn text(request: &Request, sweep: &Sweep, points: &[Point], sentence: &str, plot: Option<&Path>) -> String {
    let need = &request.unit.need;
    let asked = need.permeate_l_d.is_some() || need.permeate_tds_max_mg_l.is_some();
    let mut headings = vec![
        match sweep.name {
            ConditionName::Temperature => "feed",
            ConditionName::InletPressure => "inlet",
            ConditionName::PermeatePressure => "permeate at",
        },
        "permeate L/h",
        "L in a day",
        "recovery",
        "salt mg/L",
        "uS/cm",
        "passage",
    ];
    if asked {
        headings.push("need");
    }
    let mut columns = Columns::new(&headings);
    let mut reasons: Vec<String> = Vec::new();
    for point in points {
        let mut cells = vec![sweep.shown(point.shown)];
        match &point.found {
            Ok(expected) => {
                let found = &expected.prediction.point;
                cells.extend([
                    significant(found.permeate_flow_l_h, 3),
                    litres(litres_per_day(&expected.prediction)),
                    format!("{:.0} %", 100.0 * found.recovery),
                    significant(found.permeate_tds_mg_l, 2),
                    significant(expected.prediction.permeate_conductivity_us_cm, 2),
                    format!("{} %", significant(100.0 * found.salt_passage, 2)),
                ]);
                if asked {
                    cells.push(standing(need, expected));
                }
            }
            Err(error) => {
                cells.extend(std::iter::repeat_n("-".to_owned(), 6));
                if asked {
                    cells.push("makes nothing".to_owned());
                }
                let reason = format!("At {}: {error}.", sweep.shown(point.shown));
                reasons.push(reason);
            }
        }
        columns.row(cells);
    }
    let mut text = wrapped(sentence, "");
    text.push('\n');
    text.push_str(&columns.text());
    let mut notes = String::new();
    // One example of each end says enough.
    for reason in reasons
        .first()
        .into_iter()
        .chain(reasons.last().filter(|_| reasons.len() > 1))
    {
        notes.push_str(&wrapped(reason, ""));
    }
    let sound = || {
        points
            .iter()
            .filter_map(|point| point.found.as_ref().ok().map(|found| (point, found)))
    };
    let mut warnings: Vec<String> = Vec::new();
    let mut said: Vec<String> = Vec::new();
    for (index, (point, found)) in sound().enumerate() {
        for warning in &found.prediction.warnings {
            // A warning whose figures change along the range is said once, where it first holds.
            let words = letters(warning);
            if said.contains(&words) {
                continue;
            }
            said.push(words);
            let place = if index == 0 {
                String::new()
            } else {
                format!("from {} on: ", sweep.shown(point.shown))
            };
            warnings.push(format!("{place}{warning}"));
        }
    }
    let by_the_water = sound()
        .next()
        .map_or(&[][..], |(_, found)| found.prediction.assumed.as_slice());
    notes.push_str(&remarks(&warnings, &request.assumed, by_the_water));
    if !notes.is_empty() {
        text.push('\n');
        text.push_str(&notes);
    }
    if let Some(file) = plot {
        text.push('\n');
        text.push_str(&drawn(file));
    }
    text
}

/// A sentence without its figures.
fn letters(text: &str) -> String {
    text.chars().filter(|c| c.is_alphabetic()).collect()
}

/// Whether the need is met, and if not by how much.
fn standing(need: &Need, expected: &Expected) -> String {
    let made = litres_per_day(&expected.prediction);
    let salt = expected.prediction.point.permeate_tds_mg_l;
    let mut words = Vec::new();
    if let Some(asked) = need.permeate_l_d.filter(|asked| made < *asked) {
        words.push(format!("{} L short", litres(asked - made)));
    }
    if need.permeate_tds_max_mg_l.is_some_and(|most| salt > most) {
        words.push("too salty".to_owned());
    }
    if words.is_empty() {
        "met".to_owned()
    } else {
        words.join(", ")
    }
}
