//! The verdict on one unit in plain words: what changed, since when, what it looks like, and what to do next.

mod about;
mod account;

use jiff::Timestamp;
use reading::Field;
use unit::StageKind;

use crate::explain::Explanation;
use crate::forecast::{HORIZON_D, PartForecast, day_words, due_sentence, part_words, stage_load};
use crate::lives::{after, days};
use crate::robust::{median, theil_sen};
use crate::standardise::{Estimate, History, Standardisation};

pub use about::{About, Looks};
pub use account::{EQUATIONS, of_standing};

/// A verdict.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// The answer to "is it the water or the unit, and when must I come back?".
    pub sentence: String,
    /// What to know and to do next, most urgent first.
    pub advice: Vec<String>,
    /// What each of them is about, in their order.
    pub about: Vec<About>,
}

/// Where the membranes stand against when they were new, from their last readings together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// Water let through, as a ratio; with its standard deviation.
    pub water: Option<Estimate>,
    /// Salt let through.
    pub salt: Option<Estimate>,
    /// Since when, where a start can be seen.
    pub since: Option<Timestamp>,
}

/// The membranes' standing: a robust line through the last half year of sound readings, at the last of them.
pub fn standing(standardisation: &Standardisation) -> Standing {
    let (Some((now, water)), Some((_, salt))) =
        (series(standardisation, false), series(standardisation, true))
    else {
        return Standing {
            water: None,
            salt: None,
            since: None,
        };
    };
    let onset = onset(&water).or_else(|| onset(&salt));
    let since = onset.map(|d| after(now, d));
    Standing {
        water: level(&water),
        salt: level(&salt),
        since,
    }
}

/// Days before the last, a logarithm, its standard deviation.
type Level = (f64, f64, f64);

/// The last sound reading's time, and of all sound ones of these membranes the days before it, with the logarithm of flow
/// or salt passage against new and its standard deviation.
fn series(standardisation: &Standardisation, salt: bool) -> Option<(Timestamp, Vec<Level>)> {
    let (now, life) = standardisation.last_sound().map(|(_, one)| (one.at, one.life))?;
    let sound = standardisation.readings.iter().filter(|one| {
        one.life == life
            && if salt {
                one.salt_is_sound()
            } else {
                one.flow_is_sound()
            }
    });
    let values = sound.filter_map(|one| {
        let estimate = if salt {
            one.relative_salt_passage
        } else {
            one.relative_permeate_flow
        }?;
        Some((
            days(now, one.at),
            estimate.value.ln(),
            estimate.sd / estimate.value,
        ))
    });
    Some((now, values.collect()))
}

/// Which of a series tell where the membranes stand: those of the last half year, but at least three.
fn used(series: &[Level]) -> Option<&[Level]> {
    let recent = series.iter().filter(|(d, _, _)| *d > -183.0).count();
    // They are in order of time, so that the recent ones are the last.
    series.get(series.len().saturating_sub(recent.max(3))..)
}

/// Level at day 0 of a series of (days before, logarithm, its sd).
fn level(series: &[(f64, f64, f64)]) -> Option<Estimate> {
    let used = used(series)?;
    let points: Vec<(f64, f64)> = used.iter().map(|(d, ln, _)| (*d, *ln)).collect();
    let ln = match theil_sen(&points) {
        Some(line) if points.len() >= 4 => line.at(0.0),
        _ => median(&mut points.iter().map(|(_, ln)| *ln).collect::<Vec<_>>())?,
    };
    let n = used.len() as f64;
    let sd = (used.iter().map(|(_, _, sd)| sd * sd).sum::<f64>() / n).sqrt();
    // What the readings have in common (the baseline, the season) does not average out.
    let sd = sd * (0.3 + 0.7 / n.sqrt());
    Some(Estimate {
        value: ln.exp(),
        sd: ln.exp() * sd,
    })
}

/// Day on which a series left its first level, where a flat start and a bend fit much better than one line.
fn onset(series: &[(f64, f64, f64)]) -> Option<f64> {
    if series.len() < 10 {
        return None;
    }
    let misfit = |bend: f64| -> Option<(f64, f64)> {
        let before: Vec<f64> = series
            .iter()
            .filter(|(d, _, _)| *d <= bend)
            .map(|(_, ln, _)| *ln)
            .collect();
        let after: Vec<(f64, f64)> = series
            .iter()
            .filter(|(d, _, _)| *d > bend)
            .map(|(d, ln, _)| (d - bend, *ln))
            .collect();
        if before.len() < 4 || after.len() < 4 {
            return None;
        }
        let flat = median(&mut before.clone())?;
        let slope = median(&mut after.iter().map(|(d, ln)| (ln - flat) / d).collect::<Vec<_>>())?;
        let sum = before.iter().map(|ln| (ln - flat).abs()).sum::<f64>()
            + after
                .iter()
                .map(|(d, ln)| (ln - flat - slope * d).abs())
                .sum::<f64>();
        Some((sum, slope))
    };
    let points: Vec<(f64, f64)> = series.iter().map(|(d, ln, _)| (*d, *ln)).collect();
    let line = theil_sen(&points)?;
    // Some fifty places for the bend are as good as all of them, in a log of any length.
    let stride = points.len().div_ceil(50);
    let straight: f64 = points.iter().map(|(d, ln)| (ln - line.at(*d)).abs()).sum();
    let bends = points
        .iter()
        .step_by(stride)
        .map(|(d, _)| *d)
        .filter_map(|d| misfit(d).map(|(sum, slope)| (d, sum, slope)));
    let (bend, bent, slope) = bends.min_by(|a, b| a.1.total_cmp(&b.1))?;
    let change = slope * -bend;
    // A bend in the first quarter is no bend: it went so from the beginning.
    let first = series.first().map_or(0.0, |(d, _, _)| *d);
    (bent < 0.75 * straight && change.abs() > 0.1 && bend > 0.75 * first).then_some(bend)
}

/// Puts the verdict together.
pub fn verdict(
    history: &History<'_>,
    standardisation: &Standardisation,
    explanation: Option<&Explanation>,
    parts: &[PartForecast],
    as_of: Timestamp,
) -> Verdict {
    let standing = standing(standardisation);
    let mut sentences = Vec::new();
    match explanation {
        Some(explanation) => sentences.push(explanation.sentence.clone()),
        None => sentences.push("There are not enough readings to say what has changed.".to_owned()),
    }
    sentences.extend(membranes(&standing));
    let mut due: Vec<&PartForecast> = parts
        .iter()
        .filter(|part| part.due_in_d.is_some_and(|due| due.p50 < HORIZON_D))
        .collect();
    due.sort_by(|a, b| due_median(a).total_cmp(&due_median(b)));
    let groups = groups(history.unit, &due, as_of);
    sentences.extend(groups.first().map(|group| group.sentence.clone()));
    let mut advice: Vec<(String, About)> = Vec::new();
    let chlorine = chlorine_since(history);
    if let Some((at, limit)) = chlorine {
        let words = format!(
            "Chlorine has been passing the carbon since {} (over {limit} mg/L): change the carbon first, test after \
             it, and only then put in new membranes, or they are ruined like the old ones.",
            day_words(at, 0.0)
        );
        let about = About::Chlorine {
            carbon: last_carbon(history).map(|stage| stage.id.clone()),
            since: at,
            limit_mg_l: limit,
        };
        advice.push((words, about));
    }
    let looks = looks(&standing, chlorine.is_some());
    advice.extend(looks.map(|looks| (looks.words().to_owned(), About::Looks(looks))));
    advice.extend(
        groups
            .iter()
            .skip(1)
            .filter(|group| group.d <= 90.0)
            .map(|group| (group.sentence.clone(), About::Due(group.first.clone()))),
    );
    advice.extend(loads(history, standardisation, as_of));
    let doubted = standardisation
        .readings
        .iter()
        .filter(|one| !one.doubts.is_empty())
        .count();
    if doubted > 0 {
        let (noun, them) = if doubted == 1 {
            ("reading is", "it")
        } else {
            ("readings are", "them")
        };
        let words = format!(
            "{doubted} {noun} at odds with the others and left out: look at {them} in the list of doubts."
        );
        advice.push((words, About::LeftOut(doubted)));
    }
    if let Some((_, last)) = standardisation.last_sound() {
        let age = days(last.at, as_of);
        if age > 90.0 {
            let words = format!(
                "The last usable reading is {age:.0} days old: take a new one before deciding anything."
            );
            advice.push((words, About::Old(age)));
        }
    }
    if advice.is_empty() {
        let words = "Nothing needs doing before the next reading.".to_owned();
        advice.push((words, About::Nothing));
    }
    let (advice, about) = advice.into_iter().unzip();
    Verdict {
        sentence: sentences.join(" "),
        advice,
        about,
    }
}

fn due_median(part: &PartForecast) -> f64 {
    part.due_in_d.map_or(f64::INFINITY, |due| due.p50)
}

/// Parts that are due together.
struct Group {
    /// Days to the middle of their range.
    d: f64,
    /// The first of them.
    first: String,
    sentence: String,
}

/// What is due, soonest first, a sentence each; elements that are due together in one.
fn groups(unit: &unit::Unit, due: &[&PartForecast], as_of: Timestamp) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    let group = |part: &PartForecast, sentence: String| Group {
        d: due_median(part),
        first: part.id.clone(),
        sentence,
    };
    let mut said: Vec<&PartForecast> = Vec::new();
    for part in due {
        if unit.element(&part.id).is_some() {
            let alike = |other: &&PartForecast| {
                unit.element(&other.id).is_some()
                    && other.due_in_d == part.due_in_d
                    && other.limit == part.limit
            };
            if said.iter().any(&alike) {
                continue;
            }
            let together = due.iter().filter(|other| alike(other)).count();
            if together > 1
                && let (Some(limit), Some(quantiles)) = (part.limit, part.due_in_d)
            {
                said.push(part);
                let all = together == unit.membranes.elements.len();
                let words = if all {
                    "membranes".to_owned()
                } else {
                    format!("{together} membranes")
                };
                let sentence = due_sentence(&words, true, limit, &quantiles, as_of);
                groups.push(group(part, sentence));
                continue;
            }
        }
        said.push(part);
        groups.push(group(part, part.sentence.clone()));
    }
    groups
}

fn percent_change(ratio: f64) -> String {
    if ratio >= 2.0 {
        format!("{ratio:.1} times the")
    } else {
        format!(
            "{:.0} % {}",
            100.0 * (ratio - 1.0).abs(),
            if ratio < 1.0 { "less" } else { "more" }
        )
    }
}

/// "At equal conditions the membranes let through 19 % less water and 28 % more salt than when new."
fn membranes(standing: &Standing) -> Option<String> {
    let told = |estimate: &Estimate| (estimate.value.ln()).abs() > 1.5 * estimate.sd / estimate.value;
    let water = standing
        .water
        .filter(told)
        .map(|e| format!("{} water", percent_change(e.value)));
    let salt = standing
        .salt
        .filter(told)
        .map(|e| format!("{} salt", percent_change(e.value)));
    let since = standing.since.map_or_else(String::new, |at| {
        let words = day_words(at, 0.0);
        let month = words.split_once(' ').map_or(words.as_str(), |(_, month)| month);
        format!(", from about {month} on")
    });
    let what = match (water, salt) {
        (Some(water), Some(salt)) => format!("{water} and {salt}"),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => {
            return standing
                .water
                .map(|_| "At equal conditions the membranes are as they were when new.".to_owned());
        }
    };
    Some(format!(
        "At equal conditions the membranes let through {what}, against when new{since}."
    ))
}

/// The carbon whose outlet `free_chlorine_out` is read at.
fn last_carbon<'a>(history: &History<'a>) -> Option<&'a unit::Stage> {
    let mut stages = history.unit.stages.iter().rev();
    stages.find(|stage| matches!(stage.kind, StageKind::Carbon { .. }))
}

/// When free chlorine after the carbon went over the stage's limit for good: the first of at least two
/// readings over it with none under it after.
fn chlorine_since(history: &History<'_>) -> Option<(Timestamp, f64)> {
    // 0.1 mg/L where no limit is stated: common practice, no source.
    let limit = last_carbon(history).map(|stage| stage.limit.free_chlorine_out_mg_l.unwrap_or(0.1))?;
    let values: Vec<(Timestamp, f64)> = history
        .readings
        .iter()
        .filter_map(|reading| Some((reading.at, reading.get(Field::FreeChlorineOut)?)))
        .collect();
    let over = values.iter().rev().take_while(|(_, mg_l)| *mg_l > limit).count();
    let first = values.len().checked_sub(over)?;
    (over >= 2)
        .then(|| values.get(first).map(|(at, _)| (*at, limit)))
        .flatten()
}

/// What flow and salt together look like. Signs as in published trouble-shooting tables (model, contract 6);
/// the diagnosis weighs them.
fn looks(standing: &Standing, chlorine: bool) -> Option<Looks> {
    let water = standing.water?;
    let salt = standing.salt?;
    let less = water.value < 0.88 && water.value.ln() < -2.0 * water.sd / water.value;
    let saltier = salt.value > 1.25 && salt.value.ln() > 2.0 * salt.sd / salt.value;
    match (less, saltier) {
        (true, true) if salt.value > 1.4 => Some(Looks::Scale),
        (true, true) => Some(Looks::FoulingOrScale),
        (true, false) => Some(Looks::Fouling),
        (false, true) if salt.value > 2.0 && chlorine => Some(Looks::Oxidised),
        (false, true) if salt.value > 1.5 => Some(Looks::LeakOrOxidised),
        _ => None,
    }
}

/// What the gauges can and can't tell of the stages' load.
fn loads(history: &History<'_>, standardisation: &Standardisation, as_of: Timestamp) -> Vec<(String, About)> {
    let mut sentences = Vec::new();
    for stage in history
        .unit
        .stages
        .iter()
        .filter(|stage| stage.limit.pressure_drop_kpa.is_some())
    {
        if matches!(stage.kind, StageKind::Pump { .. }) {
            continue;
        }
        let name = part_words(history.unit, &stage.id);
        let load = stage_load(history, standardisation, stage, as_of);
        let sentence = match load {
            Some(load) if !load.is_told() => format!(
                "How loaded the {name} is can't be told from these gauges: its drop reads {:.0} kPa, give or \
                 take {:.0}, clean it takes {:.0}, and {:.0} is the limit.",
                load.drop_kpa.max(0.0),
                load.sd_kpa,
                load.clean_kpa,
                load.limit_kpa
            ),
            Some(load) => format!(
                "The {name} takes {:.0} kPa, give or take {:.0}, of {:.0} allowed; clean it takes {:.0}.",
                load.drop_kpa, load.sd_kpa, load.limit_kpa, load.clean_kpa
            ),
            None => format!(
                "How loaded the {name} is can't be told: since it was new there is no reading with a gauge before \
                 it and one after it, and both flows."
            ),
        };
        let stage = stage.id.clone();
        sentences.push((sentence, About::Load { stage, load }));
    }
    sentences
}
