//! The words inside a panel, the most needed first; a limit that finds no room goes into a note.

use super::panel::Plot;
use super::points::{self, CROSS};
use super::{Panel, Point};
use crate::canvas::{Canvas, HEADING, LABEL};
use crate::geometry::Rect;
use crate::place::{Anchor, Spot};
use crate::text;
use crate::words::Word;

/// Words of single readings that are tried at most.
const MOST: usize = 24;

/// Puts the words of a panel.
pub(super) fn draw(plot: &mut Plot<'_>, words: &mut Canvas, panel: &Panel, say: &mut impl FnMut(String)) {
    let frame = plot.frame;
    let sound = points::shown(plot, panel, false);
    let doubts = points::shown(plot, panel, true);
    if sound.is_empty() && doubts.is_empty() {
        let spots: Vec<_> = [0.5, 0.35, 0.65, 0.2, 0.8]
            .map(|part| {
                let y = frame.top + part * frame.height();
                Spot::new(f64::midpoint(frame.left, frame.right), y, Anchor::Middle)
            })
            .into();
        let nothing = plot.options.words.plain(Word::NoReadings);
        put(plot, words, &spots, &nothing, "smc-note");
    }
    limit(plot, words, panel, say);
    let latest = sound.iter().max_by_key(|point| point.at);
    if let Some(point) = latest
        && let Some(y) = plot.y(point.value)
    {
        let value = plot.options.words.number(point.value);
        // Near its reading or not at all: the two nearest distances of three.
        let mut spots = Spot::beside(plot.x(point.at), y, 10.0, HEADING);
        spots.truncate(16);
        if let Some(spot) = plot.placer.place(&spots, &value, HEADING, true) {
            words.text("smc-strong smc-wm smc-halo", spot, &value);
        }
    }
    baseline(plot, words, panel);
    forecast(plot, words, panel);
    single(plot, words, &doubts, true);
    single(plot, words, &sound, false);
}

/// Puts one word where it has room; whether it had.
fn put(plot: &mut Plot<'_>, words: &mut Canvas, spots: &[Spot], text: &str, colour: &str) -> bool {
    let Some(spot) = plot.placer.place(spots, text, LABEL, false) else {
        return false;
    };
    words.text(&format!("smc-label {colour} smc-halo"), spot, text);
    true
}

/// Spots along a level line, above and below it.
fn along(frame: &Rect, y: f64) -> Vec<Spot> {
    let mut spots = Vec::new();
    for away in [-6.0, 6.0 + 0.8 * LABEL] {
        spots.push(Spot::new(frame.left + 6.0, y + away, Anchor::Start));
        spots.push(Spot::new(frame.right - 6.0, y + away, Anchor::End));
    }
    for part in [0.25, 0.5, 0.75, 0.4, 0.6] {
        for away in [-6.0, 6.0 + 0.8 * LABEL] {
            let x = frame.left + part * frame.width();
            spots.push(Spot::new(x, y + away, Anchor::Middle));
        }
    }
    spots
}

fn limit(plot: &mut Plot<'_>, words: &mut Canvas, panel: &Panel, say: &mut impl FnMut(String)) {
    let Some((value, label)) = &panel.limit else {
        return;
    };
    let own = &plot.options.words;
    let label = match label.trim() {
        "" => own.plain(Word::Limit),
        label => label.to_owned(),
    };
    let Some(y) = plot.y(*value) else {
        say(own.say(Word::LimitNotShown, &[&label]));
        return;
    };
    let short = text::fit(&label, LABEL, false, plot.frame.width() - 14.0);
    if !put(plot, words, &along(&plot.frame, y), &short, "smc-wc") || short != label {
        say(own.say(Word::DashedLine, &[&label]));
    }
}

fn baseline(plot: &mut Plot<'_>, words: &mut Canvas, panel: &Panel) {
    let Some((left, right)) = plot.band_edges(panel) else {
        return;
    };
    let frame = plot.frame;
    let (high, low) = (frame.top + LABEL, frame.bottom - 0.5 * LABEL);
    let word = plot.options.words.plain(Word::Baseline);
    let mut spots = vec![
        Spot::new(right + 5.0, low, Anchor::Start),
        Spot::new(left - 5.0, low, Anchor::End),
        Spot::new(right + 5.0, high, Anchor::Start),
        Spot::new(left - 5.0, high, Anchor::End),
    ];
    for y in [low, high] {
        let middle = f64::midpoint(left, right);
        let width = text::width(&word, LABEL, false);
        let inside = Spot::new(middle, y, Anchor::Middle);
        if right - left > width + 8.0 {
            spots.insert(0, inside);
        } else {
            spots.push(inside);
        }
    }
    for part in [0.3, 0.5, 0.7] {
        let y = frame.top + part * frame.height();
        spots.push(Spot::new(right + 5.0, y, Anchor::Start));
        spots.push(Spot::new(left - 5.0, y, Anchor::End));
    }
    put(plot, words, &spots, &word, "smc-wm");
}

fn forecast(plot: &mut Plot<'_>, words: &mut Canvas, panel: &Panel) {
    let Some(fan) = &panel.fan else { return };
    let mut spots = Vec::new();
    let inside = fan.points.iter().filter(|(at, ..)| plot.time.holds(*at));
    let rows: Vec<_> = inside
        .filter_map(|(at, p10, p50, p90)| {
            let (low, high) = (p10.min(*p90), p10.max(*p90));
            Some((plot.x(*at), plot.y(low)?, plot.y(*p50)?, plot.y(high)?))
        })
        .collect();
    // From the far end back, where the fan is widest.
    for row in rows.iter().rev().step_by((rows.len() / 12).max(1)) {
        let x = (row.0 + 4.0).min(plot.frame.right - 2.0);
        for y in [
            row.3 - 7.0,
            row.1 + 7.0 + 0.8 * LABEL,
            row.2 - 8.0,
            row.2 + 8.0 + 0.8 * LABEL,
        ] {
            spots.push(Spot::new(x, y, Anchor::End));
            spots.push(Spot::new(row.0, y, Anchor::Middle));
        }
    }
    if !rows.is_empty() {
        let word = plot.options.words.plain(Word::Forecast);
        put(plot, words, &spots, &word, "smc-we");
    }
}

/// Words of single readings, the latest first.
fn single(plot: &mut Plot<'_>, words: &mut Canvas, points: &[&Point], doubtful: bool) {
    let mut named: Vec<&&Point> = points.iter().filter(|p| doubtful || p.label.is_some()).collect();
    named.sort_by_key(|point| std::cmp::Reverse(point.at));
    let own_words = &plot.options.words;
    let doubt = own_words.plain(Word::Doubt);
    for point in named.into_iter().take(MOST) {
        let Some((x, y)) = points::doubt_at(plot, point) else {
            continue;
        };
        let own = point.label.as_deref().map_or("", str::trim);
        let far = match points::beyond(plot, point.value) {
            Some(_) if doubtful && own.is_empty() => format!(" {}", own_words.number(point.value)),
            _ => String::new(),
        };
        let full = match (doubtful, own.is_empty()) {
            (true, true) => format!("{doubt}{far}"),
            (true, false) => own_words.say(Word::DoubtOf, &[own]),
            (false, _) => own.to_owned(),
        };
        let colour = if doubtful { "smc-wc" } else { "smc-word" };
        let spots = Spot::beside(x, y, CROSS + 5.0, LABEL);
        let full = text::fit(&full, LABEL, false, plot.frame.width() * 0.9);
        if !full.is_empty() && !put(plot, words, &spots, &full, colour) && doubtful && full != doubt {
            put(plot, words, &spots, &doubt, colour);
        }
    }
}
