//! Changes as vertical lines, their words in rows above the first panel.

use crate::canvas::{Canvas, LABEL};
use crate::geometry::Rect;
use crate::place::{Anchor, Spot};
use crate::text;

/// Rows of words at most; more would push the picture off a telephone's screen.
const ROWS: usize = 8;
const ROW: f64 = LABEL * 1.4;
/// Between the lowest row and the panel, whose topmost number reaches above it.
const GAP: f64 = 6.0;

/// A line, and where its word stands above the first panel.
#[derive(Clone, Debug, PartialEq)]
struct Placed {
    x: f64,
    words: String,
    place: Option<Place>,
    now: bool,
    /// Which of the changes it is; none for the time of the forecast.
    change: Option<usize>,
}

/// Where a word stands, with y counted from the top of the first panel.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Place {
    spot: Spot,
    row: usize,
    /// How far the line rises above the panel: to beside its word, or to below it.
    rise: f64,
}

/// All lines of a picture.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Strip {
    placed: Vec<Placed>,
}

/// Finds a row for each word, from the right, so that no line runs through a word and no word over another.
/// The same words at one pixel stand there once.
pub(super) fn layout(
    marks: &[(f64, String)],
    as_of: Option<&(f64, String)>,
    (left, right): (f64, f64),
) -> Strip {
    let mut sorted: Vec<(usize, &(f64, String))> = marks.iter().enumerate().collect();
    sorted.sort_by(|a, b| a.1.0.total_cmp(&b.1.0));
    let mut placed: Vec<Placed> = Vec::new();
    for (index, (x, words)) in sorted {
        let near = placed.iter().rev().take_while(|p| x - p.x < 1.5);
        if !near.into_iter().any(|p| p.words == *words) {
            placed.push(Placed {
                x: *x,
                words: words.clone(),
                place: None,
                now: false,
                change: Some(index),
            });
        }
    }
    // The time of the forecast comes first: its word is the one that must be there.
    placed.extend(as_of.map(|(x, words)| Placed {
        x: *x,
        words: words.clone(),
        place: None,
        now: true,
        change: None,
    }));
    let mut words: Vec<Rect> = Vec::new();
    let mut lines: Vec<Rect> = Vec::new();
    for mark in placed.iter_mut().rev() {
        mark.words = text::fit(&mark.words, LABEL, false, (right - left) * 0.7);
        let (x, width) = (mark.x, text::width(&mark.words, LABEL, false));
        let candidates = (0..ROWS).flat_map(|row| {
            let (below, above) = (GAP + row as f64 * ROW, GAP + (row as f64 + 1.0) * ROW);
            // Beside its line on the right; on top of it, pushed in from the right edge; on the left.
            [
                (x + 5.0, Anchor::Start, above - 2.0),
                (right - width, Anchor::Start, below),
                (x - 5.0, Anchor::End, above - 2.0),
            ]
            .into_iter()
            .enumerate()
            .map(move |(order, (at, anchor, rise))| {
                let spot = Spot::new(at, -below - 0.45 * LABEL, anchor);
                (order, Place { spot, row, rise })
            })
        });
        let mut candidates: Vec<_> = candidates.collect();
        candidates.sort_by_key(|(order, place)| (*order, place.row));
        let found = candidates.into_iter().find_map(|(order, place)| {
            let bounds = place.spot.bounds(&mark.words, LABEL, false);
            let line = Rect {
                left: x - 2.0,
                right: x + 2.0,
                top: -place.rise,
                bottom: 0.0,
            };
            let touches = order != 1 || bounds.left <= x - 2.0;
            let free = touches
                && bounds.left >= left
                && bounds.right <= right + 0.01
                && !words.iter().any(|w| w.overlaps(&bounds) || w.overlaps(&line))
                && !lines.iter().any(|l| l.overlaps(&bounds));
            free.then_some((place, bounds, line))
        });
        if let Some((place, bounds, line)) = found.filter(|_| !mark.words.is_empty()) {
            words.push(bounds);
            lines.push(line);
            mark.place = Some(place);
        }
    }
    Strip { placed }
}

impl Strip {
    /// Height of the rows above the first panel.
    pub(super) fn height(&self) -> f64 {
        let rows = self
            .placed
            .iter()
            .filter_map(|mark| mark.place.map(|place| place.row + 1))
            .max();
        rows.map_or(0.0, |rows| GAP + rows as f64 * ROW + 2.0)
    }

    /// Places in the list of the changes whose line has no word, from left to right.
    pub(super) fn unnamed(&self) -> impl Iterator<Item = usize> + '_ {
        let without = self.placed.iter().filter(|mark| mark.place.is_none());
        without.filter_map(|mark| mark.change)
    }

    /// Where the lines stand.
    pub(super) fn lines(&self) -> impl Iterator<Item = f64> + '_ {
        self.placed.iter().map(|mark| mark.x)
    }

    /// Draws the lines through a panel; in the first with their words.
    pub(super) fn draw(&self, canvas: &mut Canvas, frame: &Rect, first: bool) {
        for mark in &self.placed {
            let place = mark.place.filter(|_| first);
            let rise = place.map_or(0.0, |place| place.rise);
            let class = if mark.now {
                "smc-line smc-dots smc-mark"
            } else {
                "smc-line smc-axis"
            };
            canvas.line(class, (mark.x, frame.top - rise), (mark.x, frame.bottom));
            if let Some(Place { spot, .. }) = place {
                let class = if mark.now {
                    "smc-label smc-note"
                } else {
                    "smc-label smc-word"
                };
                let y = frame.top + spot.y;
                canvas.text(class, Spot { y, ..spot }, &mark.words);
            }
        }
    }
}
