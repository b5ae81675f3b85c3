//! The picture in sentences, for those who hear it.

use jiff::Timestamp;

use super::{History, Panel};
use crate::options::Options;
use crate::time::TimeSpan;
use crate::words::{Word, Words};

/// Changes that are read out one by one at most.
const MOST: usize = 30;

/// All that the picture shows, in its order.
pub(super) fn history(h: &History, time: &TimeSpan, options: &Options) -> String {
    let words = &options.words;
    let date = |at: Timestamp| words.day(at, &options.time_zone);
    let mut said = vec![words.say(
        Word::OverTime,
        &[
            &words.count(h.panels.len(), Word::OnePanel, Word::Panels),
            &date(h.from.min(h.to)),
            &date(h.from.max(h.to)),
            &date(h.as_of),
        ],
    )];
    if !h.subtitle.trim().is_empty() {
        said.insert(0, h.subtitle.trim().to_owned());
    }
    said.extend(h.panels.iter().map(|panel| one(panel, time, words, &date)));
    let mut marks: Vec<_> = h.marks.iter().filter(|mark| time.holds(mark.at)).collect();
    marks.sort_by_key(|mark| mark.at);
    if !marks.is_empty() {
        let named: Vec<String> = marks
            .iter()
            .take(MOST)
            .map(|mark| format!("{} {}", date(mark.at), mark.label.trim()))
            .collect();
        let more = marks.len().saturating_sub(MOST);
        said.push(words.say(Word::ToldChanges, &[&and_more(words, &named, more)]));
    }
    said.join(" ")
}

/// What is named, and how many more there are.
pub(super) fn and_more(words: &Words, named: &[String], more: usize) -> String {
    let named = named.join("; ");
    if more > 0 {
        words.say(Word::AndMore, &[&named, &more.to_string()])
    } else {
        named
    }
}

fn one(panel: &Panel, time: &TimeSpan, words: &Words, date: &dyn Fn(Timestamp) -> String) -> String {
    let number = |value: f64| words.number(value);
    let sound: Vec<_> = panel
        .points
        .iter()
        .filter(|p| !p.doubtful && p.value.is_finite() && time.holds(p.at))
        .collect();
    let doubts: Vec<_> = panel
        .points
        .iter()
        .filter(|p| p.doubtful && p.value.is_finite() && time.holds(p.at))
        .collect();
    let name = match (panel.title.trim(), panel.unit.trim()) {
        ("", unit) => unit.to_owned(),
        (title, "") => title.to_owned(),
        (title, unit) => format!("{title}, {unit}"),
    };
    let mut parts = vec![words.count(sound.len(), Word::OneReading, Word::Readings)];
    if let Some(last) = sound.iter().max_by_key(|p| p.at) {
        let least = sound.iter().map(|p| p.value).fold(f64::INFINITY, f64::min);
        let most = sound.iter().map(|p| p.value).fold(f64::NEG_INFINITY, f64::max);
        parts.push(words.say(Word::ToldRange, &[&number(least), &number(most)]));
        parts.push(words.say(Word::ToldLatest, &[&number(last.value), &date(last.at)]));
    }
    if !doubts.is_empty() {
        parts.push(words.count(doubts.len(), Word::OneDoubt, Word::Doubts));
    }
    let mut said = vec![format!("{name}: {}.", parts.join(", "))];
    if let Some((from, to, value)) = panel.baseline {
        said.push(words.say(
            Word::ToldBaseline,
            &[&number(value), &date(from.min(to)), &date(from.max(to))],
        ));
    }
    if let Some((value, label)) = &panel.limit {
        said.push(words.say(Word::ToldLimit, &[&number(*value), label.trim()]));
    }
    let fan = panel
        .fan
        .iter()
        .flat_map(|fan| &fan.points)
        .filter(|row| time.holds(row.0));
    if let Some((at, p10, p50, p90)) = fan.max_by_key(|row| row.0) {
        said.push(words.say(
            Word::ToldForecast,
            &[
                &date(*at),
                &number(*p50),
                &number(p10.min(*p90)),
                &number(p10.max(*p90)),
            ],
        ));
    }
    if let Some(due) = &panel.due {
        let beyond = || words.plain(Word::BeyondForecast);
        let end = due.p90.map_or_else(beyond, date);
        let likely = due.p50.map_or_else(beyond, date);
        let label = match due.label.trim() {
            "" => words.plain(Word::Due),
            label => label.to_owned(),
        };
        said.push(words.say(Word::ToldDue, &[&label, &date(due.p10), &end, &likely]));
    }
    said.join(" ")
}
