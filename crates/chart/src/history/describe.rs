//! The picture in sentences, for those who hear it.

use jiff::Timestamp;

use super::{History, Panel, count};
use crate::number::short;
use crate::options::Options;
use crate::time::{TimeSpan, day};

/// Changes that are read out one by one at most.
const MOST: usize = 30;

/// All that the picture shows, in its order.
pub(super) fn history(h: &History, time: &TimeSpan, options: &Options) -> String {
    let date = |at: Timestamp| day(at, &options.time_zone);
    let mut said = vec![format!(
        "{} over time, {} to {}, as of {}.",
        count(h.panels.len(), "panel", "panels"),
        date(h.from.min(h.to)),
        date(h.from.max(h.to)),
        date(h.as_of)
    )];
    if !h.subtitle.trim().is_empty() {
        said.insert(0, h.subtitle.trim().to_owned());
    }
    said.extend(h.panels.iter().map(|panel| one(panel, time, &date)));
    let mut marks: Vec<_> = h.marks.iter().filter(|mark| time.holds(mark.at)).collect();
    marks.sort_by_key(|mark| mark.at);
    if !marks.is_empty() {
        let named: Vec<String> = marks
            .iter()
            .take(MOST)
            .map(|mark| format!("{} {}", date(mark.at), mark.label.trim()))
            .collect();
        let more = marks.len().saturating_sub(MOST);
        let rest = if more > 0 {
            format!("; and {more} more")
        } else {
            String::new()
        };
        said.push(format!("Changes: {}{rest}.", named.join("; ")));
    }
    said.join(" ")
}

fn one(panel: &Panel, time: &TimeSpan, date: &dyn Fn(Timestamp) -> String) -> String {
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
    let mut parts = vec![count(sound.len(), "reading", "readings")];
    if let Some(last) = sound.iter().max_by_key(|p| p.at) {
        let least = sound.iter().map(|p| p.value).fold(f64::INFINITY, f64::min);
        let most = sound.iter().map(|p| p.value).fold(f64::NEG_INFINITY, f64::max);
        parts.push(format!("from {} to {}", short(least), short(most)));
        parts.push(format!("the latest {} on {}", short(last.value), date(last.at)));
    }
    if !doubts.is_empty() {
        parts.push(count(doubts.len(), "doubt", "doubts"));
    }
    let mut said = vec![format!("{name}: {}.", parts.join(", "))];
    if let Some((from, to, value)) = panel.baseline {
        said.push(format!(
            "Baseline {} from {} to {}.",
            short(value),
            date(from.min(to)),
            date(from.max(to))
        ));
    }
    if let Some((value, label)) = &panel.limit {
        said.push(format!("Limit {}: {}.", short(*value), label.trim()));
    }
    let fan = panel
        .fan
        .iter()
        .flat_map(|fan| &fan.points)
        .filter(|row| time.holds(row.0));
    if let Some((at, p10, p50, p90)) = fan.max_by_key(|row| row.0) {
        said.push(format!(
            "Forecast for {}: {}, eight in ten between {} and {}.",
            date(*at),
            short(*p50),
            short(p10.min(*p90)),
            short(p10.max(*p90))
        ));
    }
    if let Some(due) = &panel.due {
        let end = due.p90.map_or("beyond the forecast".to_owned(), date);
        let likely = due.p50.map_or("beyond the forecast".to_owned(), date);
        let label = due.label.trim();
        let label = if label.is_empty() { "due" } else { label };
        said.push(format!(
            "{label}: eight in ten between {} and {end}, most likely {likely}.",
            date(due.p10)
        ));
    }
    said.join(" ")
}
