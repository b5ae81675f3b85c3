//! Readings as dots with bars, doubts as crosses; thousands of them as the extremes of each pixel.

use super::panel::Plot;
use super::{EIGHT_IN_TEN, Panel, Point};
use crate::canvas::Canvas;
use crate::geometry::Rect;
use crate::marker::{self, Hue, Shape};
use crate::scale::shows;
use crate::thin;
use crate::words::Word;

/// A reading's bar, without caps where it leaves the drawing.
pub(super) fn bar(canvas: &mut Canvas, x: f64, top: f64, bottom: f64) {
    canvas.strokes(
        "smc-line smc-sm",
        &[
            ((x, top), (x, bottom)),
            ((x - 4.0, top), (x + 4.0, top)),
            ((x - 4.0, bottom), (x + 4.0, bottom)),
        ],
    );
}

/// How far a cross reaches from its middle.
pub(super) const CROSS: f64 = 6.0;

/// How large the dots of this many readings are.
pub(super) fn radius(n: usize, width: f64) -> f64 {
    if n <= 60 {
        5.5
    } else if n <= 200 {
        4.0
    } else if n as f64 <= width {
        2.8
    } else {
        1.6
    }
}

/// Whether a cross is held at the edge: above, below, or not at all.
pub(super) fn beyond(plot: &Plot<'_>, value: f64) -> Option<bool> {
    let place = plot.span.place(value)?;
    (!(0.0..=1.0).contains(&place)).then_some(place > 1.0)
}

/// Where a doubt's cross stands: at its value, or at the edge that it lies beyond.
pub(super) fn doubt_at(plot: &Plot<'_>, point: &Point) -> Option<(f64, f64)> {
    let y = plot.y(point.value)?;
    let y = match beyond(plot, point.value) {
        Some(true) => plot.frame.top + CROSS + 9.0,
        Some(false) => plot.frame.bottom - CROSS - 9.0,
        None => y,
    };
    Some((plot.x(point.at), y))
}

/// The readings of a panel that can be drawn.
pub(super) fn shown<'p>(plot: &Plot<'_>, panel: &'p Panel, doubtful: bool) -> Vec<&'p Point> {
    let points = panel.points.iter().filter(|point| {
        point.doubtful == doubtful && plot.time.holds(point.at) && shows(point.value, panel.scale)
    });
    points.collect()
}

/// Draws all readings and says what could not be drawn as it was read.
pub(super) fn draw(plot: &mut Plot<'_>, canvas: &mut Canvas, panel: &Panel, say: &mut impl FnMut(String)) {
    sound(plot, canvas, &shown(plot, panel, false), say);
    doubts(plot, canvas, &shown(plot, panel, true), say);
    let words = &plot.options.words;
    let left_out = |test: &dyn Fn(&Point) -> bool| panel.points.iter().filter(|point| test(point)).count();
    let outside = left_out(&|p| !plot.time.holds(p.at));
    let no_number = left_out(&|p| plot.time.holds(p.at) && !p.value.is_finite());
    let no_log = left_out(&|p| plot.time.holds(p.at) && p.value.is_finite() && !shows(p.value, panel.scale));
    for (n, why) in [
        (outside, Word::OutsideDates),
        (no_number, Word::LeftOutNoNumber),
        (no_log, Word::LeftOutLogarithm),
    ] {
        if n > 0 {
            let readings = words.count(n, Word::OneReading, Word::Readings);
            say(words.say(why, &[&readings]));
        }
    }
}

fn sound(plot: &mut Plot<'_>, canvas: &mut Canvas, points: &[&Point], say: &mut impl FnMut(String)) {
    let frame = plot.frame;
    let r = radius(points.len(), frame.width());
    let reach = |p: &Point| {
        if p.sd > 0.0 && p.sd.is_finite() {
            EIGHT_IN_TEN * p.sd
        } else {
            0.0
        }
    };
    // The foot of a bar that a logarithmic scale cannot show is the bottom edge.
    let held = |value: f64, otherwise: f64| {
        let y = plot.y(value).unwrap_or(otherwise);
        y.clamp(frame.top, frame.bottom)
    };
    let mut bars = Vec::new();
    let mut caps = Vec::new();
    let mut dots = Vec::new();
    if points.len() as f64 <= frame.width() {
        for point in points {
            let Some(y) = plot.y(point.value) else { continue };
            let x = plot.x(point.at);
            dots.push((x, y));
            if reach(point) > 0.0 {
                let top = held(point.value + reach(point), frame.top);
                let bottom = held(point.value - reach(point), frame.bottom);
                bars.push(((x, top), (x, bottom)));
                if points.len() <= 60 {
                    let ends = [top, bottom];
                    let inside = ends.into_iter().filter(|y| *y > frame.top && *y < frame.bottom);
                    caps.extend(inside.map(|y| ((x - 4.0, y), (x + 4.0, y))));
                }
            }
        }
    } else {
        let of = |value: &dyn Fn(&Point) -> f64| {
            let pairs: Vec<_> = points.iter().map(|p| (plot.x(p.at), value(p))).collect();
            thin::columns(&pairs)
        };
        let value = |i: usize| points.get(i).map_or(f64::NAN, |p| p.value);
        let columns = of(&|p| p.value);
        let (feet, heads) = (of(&|p| p.value - reach(p)), of(&|p| p.value + reach(p)));
        let mut runs = Vec::new();
        for ((column, foot), head) in columns.iter().zip(&feet).zip(&heads) {
            let Some(first) = points.get(column.least) else {
                continue;
            };
            let x = plot.x(first.at).floor() + 0.5;
            let (Some(low), Some(high)) = (plot.y(value(column.least)), plot.y(value(column.greatest)))
            else {
                continue;
            };
            dots.push((x, low));
            if column.least != column.greatest {
                dots.push((x, high));
                runs.push(((x, high), (x, low)));
            }
            let (Some(foot), Some(head)) = (points.get(foot.least), points.get(head.greatest)) else {
                continue;
            };
            if reach(foot) > 0.0 || reach(head) > 0.0 {
                let top = held(head.value + reach(head), frame.top);
                bars.push(((x, top), (x, held(foot.value - reach(foot), frame.bottom))));
            }
        }
        canvas.strokes("smc-line smc-sm", &runs);
        let words = &plot.options.words;
        let readings = words.count(points.len(), Word::OneReading, Word::Readings);
        say(words.say(Word::InColumns, &[&readings, &columns.len().to_string()]));
    }
    let dense = if points.len() > 60 {
        "smc-thin smc-sm smc-faint"
    } else {
        "smc-line smc-sm"
    };
    canvas.strokes(dense, &bars);
    canvas.strokes(dense, &caps);
    for dot in dots {
        marker::draw(canvas, Shape::Dot, Hue::Measured, dot, r);
        plot.placer.mark(Rect::around(dot.0, dot.1, r + 1.0));
    }
    for (a, b) in bars {
        plot.placer.mark(Rect {
            left: a.0 - 1.0,
            right: a.0 + 1.0,
            top: a.1,
            bottom: b.1,
        });
    }
}

fn doubts(plot: &mut Plot<'_>, canvas: &mut Canvas, points: &[&Point], say: &mut impl FnMut(String)) {
    let mut drawn: Vec<&Point> = points.to_vec();
    if points.len() as f64 > plot.frame.width() {
        let pairs: Vec<_> = points.iter().map(|p| (plot.x(p.at), p.value)).collect();
        let kept = thin::columns(&pairs).into_iter().flat_map(|column| {
            let both = [
                Some(column.least),
                (column.least != column.greatest).then_some(column.greatest),
            ];
            both.into_iter().flatten()
        });
        drawn = kept.filter_map(|i| points.get(i).copied()).collect();
        let words = &plot.options.words;
        let doubts = words.count(points.len(), Word::OneDoubt, Word::Doubts);
        say(words.say(Word::DoubtsInColumns, &[&doubts]));
    }
    let mut off = 0;
    for point in drawn {
        let Some((x, y)) = doubt_at(plot, point) else {
            continue;
        };
        marker::cross(canvas, Hue::Care, (x, y), CROSS);
        plot.placer.mark(Rect::around(x, y, CROSS + 2.0));
        if let Some(above) = beyond(plot, point.value) {
            off += 1;
            let (tip, base) = if above {
                (y - 14.0, y - 9.0)
            } else {
                (y + 14.0, y + 9.0)
            };
            canvas.path(
                "smc-line smc-sc",
                &[(x - 6.0, base), (x, tip), (x + 6.0, base)],
                false,
            );
        }
    }
    if off > 0 {
        let words = &plot.options.words;
        let beyond = if off == 1 { Word::BeyondOne } else { Word::Beyond };
        let doubts = words.count(off, Word::OneDoubt, Word::Doubts);
        say(words.say(beyond, &[&doubts]));
    }
}
