//! The drawing of a line chart: axes, areas, lines with their shapes, and the words.

use super::{Level, Lines, Region, Series};
use crate::canvas::{Canvas, LABEL, SMALL};
use crate::geometry::{Rect, cut_area, cut_line};
use crate::marker::{self, Hue, Look, Shape};
use crate::place::{Anchor, Placer, Spot};
use crate::scale::Span;
use crate::words::{Word, Words};
use crate::{sheet, text, thin};

/// Distance of the shapes along a line with more points than can each have one.
const APART: f64 = 110.0;
/// Points of a line that each have a shape, at most.
const EACH: usize = 16;

/// The name of a series, or its number.
pub(super) fn name(series: &Series, index: usize, words: &Words) -> String {
    match series.name.trim() {
        "" => words.say(Word::LineNumber, &[&(index + 1).to_string()]),
        name => name.to_owned(),
    }
}

/// The end of a line, where its name goes; none where nothing of it is in the picture.
struct End {
    name: String,
    hue: Hue,
    at: Option<(f64, f64)>,
}

/// Where things go.
pub(super) struct Plot<'a> {
    said: &'a Words,
    frame: Rect,
    x: Span,
    y: Span,
    placer: Placer,
}

impl<'a> Plot<'a> {
    pub(super) fn new(frame: Rect, x: Span, y: Span, said: &'a Words) -> Self {
        Self {
            said,
            frame,
            x,
            y,
            placer: Placer::new(frame),
        }
    }

    fn x(&self, value: f64) -> Option<f64> {
        Some(self.frame.left + self.x.place(value)? * self.frame.width())
    }

    fn y(&self, value: f64) -> Option<f64> {
        Some(self.frame.bottom - self.y.place(value)? * self.frame.height())
    }

    pub(super) fn draw(&mut self, canvas: &mut Canvas, l: &Lines, beside: bool, notes: &mut Vec<String>) {
        let mut words = Canvas::default();
        let regions: Vec<_> = l
            .regions
            .iter()
            .map(|region| self.region(canvas, region))
            .collect();
        self.axes(canvas);
        for (index, series) in l.series.iter().enumerate() {
            self.band(canvas, series, marker::look(index));
        }
        self.levels(canvas, l);
        let mut ends = Vec::new();
        let mut gaps = 0;
        for (index, series) in l.series.iter().enumerate() {
            let runs = self.runs(series, &mut gaps);
            let end = self.line(canvas, index, l.series.len(), &runs);
            ends.push(End {
                name: name(series, index, self.said),
                hue: marker::look(index).hue,
                at: end,
            });
        }
        if l.series.iter().all(|series| series.points.is_empty()) {
            let middle = f64::midpoint(self.frame.top, self.frame.bottom);
            let spot = Spot::new(
                f64::midpoint(self.frame.left, self.frame.right),
                middle,
                Anchor::Middle,
            );
            self.put(&mut words, &[spot], "nothing to show yet", "smc-note");
        }
        for limit in &l.limits {
            self.limit_word(&mut words, limit, notes);
        }
        for mark in &l.marks {
            self.mark_word(&mut words, mark, notes);
        }
        for (region, area) in l.regions.iter().zip(regions) {
            self.region_word(&mut words, region, area, notes);
        }
        if beside {
            self.names(canvas, &mut words, &ends);
        }
        canvas.append(&words);
        if gaps > 0 {
            notes.push(self.said.count(gaps, Word::OneLeftOut, Word::LeftOut));
        }
    }

    fn put(&mut self, words: &mut Canvas, spots: &[Spot], text: &str, colour: &str) -> bool {
        let Some(spot) = self.placer.place(spots, text, LABEL, false) else {
            return false;
        };
        words.text(&format!("smc-label {colour} smc-halo"), spot, text);
        true
    }

    fn axes(&self, canvas: &mut Canvas) {
        let frame = self.frame;
        let ticks = self.y.ticks(6).into_iter();
        sheet::value_axis(
            canvas,
            &frame,
            ticks.filter_map(|tick| Some((self.y(tick.value)?, self.said.marked(&tick.text)))),
        );
        canvas.line(
            "smc-line smc-axis",
            (frame.left, frame.bottom),
            (frame.right, frame.bottom),
        );
        let mut strokes = Vec::new();
        let mut free = f64::NEG_INFINITY;
        let about = if frame.width() < 420.0 { 4 } else { 7 };
        for tick in self.x.ticks(about) {
            let Some(x) = self.x(tick.value) else { continue };
            strokes.push(((x, frame.bottom), (x, frame.bottom + 6.0)));
            let half = text::width(&tick.text, SMALL, false) / 2.0;
            let centre = x.min(frame.right + 10.0 - half).max(frame.left - 30.0 + half);
            if centre - half > free {
                free = centre + half + 8.0;
                let spot = Spot::new(centre, frame.bottom + 1.55 * SMALL, Anchor::Middle);
                canvas.text("smc-small smc-note", spot, &self.said.marked(&tick.text));
            }
        }
        canvas.strokes("smc-line smc-axis", &strokes);
    }

    /// Shades an area; what of it is in the picture.
    fn region(&mut self, canvas: &mut Canvas, region: &Region) -> Option<Rect> {
        let frame = self.frame;
        let side = |value: Option<f64>, open: f64, place: &dyn Fn(f64) -> Option<f64>| match value {
            Some(value) => place(value),
            None => Some(open),
        };
        let (x0, x1) = (
            side(region.x.0, frame.left, &|v| self.x(v))?,
            side(region.x.1, frame.right, &|v| self.x(v))?,
        );
        let (y0, y1) = (
            side(region.y.0, frame.bottom, &|v| self.y(v))?,
            side(region.y.1, frame.top, &|v| self.y(v))?,
        );
        let area = Rect {
            left: x0.min(x1).max(frame.left),
            right: x0.max(x1).min(frame.right),
            top: y0.min(y1).max(frame.top),
            bottom: y0.max(y1).min(frame.bottom),
        };
        if area.width() <= 0.0 || area.height() <= 0.0 {
            return None;
        }
        canvas.rect("smc-fan smc-fe", area.left, area.top, area.width(), area.height());
        // The edges that are its own, not the picture's.
        let edges = [
            (
                area.left,
                area.top,
                area.left,
                area.bottom,
                area.left > frame.left,
            ),
            (
                area.right,
                area.top,
                area.right,
                area.bottom,
                area.right < frame.right,
            ),
            (area.left, area.top, area.right, area.top, area.top > frame.top),
            (
                area.left,
                area.bottom,
                area.right,
                area.bottom,
                area.bottom < frame.bottom,
            ),
        ];
        let own = edges.into_iter().filter(|edge| edge.4);
        let strokes: Vec<_> = own.map(|e| ((e.0, e.1), (e.2, e.3))).collect();
        canvas.strokes("smc-line smc-se", &strokes);
        for (a, b) in strokes {
            self.placer.mark_line(&[a, b]);
        }
        Some(area)
    }

    fn band(&self, canvas: &mut Canvas, series: &Series, look: Look) {
        let mut rows: Vec<(f64, f64, f64)> = series
            .band
            .iter()
            .filter_map(|(x, a, b)| Some((self.x(*x)?, self.y(a.min(*b))?, self.y(a.max(*b))?)))
            .collect();
        rows.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut area: Vec<_> = rows.iter().map(|row| (row.0, row.1)).collect();
        area.extend(rows.iter().rev().map(|row| (row.0, row.2)));
        let class = format!("smc-fan {}", look.hue.fill());
        canvas.path(&class, &cut_area(&area, &self.frame), true);
    }

    fn levels(&mut self, canvas: &mut Canvas, l: &Lines) {
        let frame = self.frame;
        for limit in &l.limits {
            let Some(y) = self.y(limit.value).filter(|_| self.y.holds(limit.value)) else {
                continue;
            };
            canvas.line("smc-line smc-dash smc-sc", (frame.left, y), (frame.right, y));
            self.placer.mark_line(&[(frame.left, y), (frame.right, y)]);
        }
        for mark in &l.marks {
            let Some(x) = self.x(mark.value).filter(|_| self.x.holds(mark.value)) else {
                continue;
            };
            canvas.line("smc-line smc-mark", (x, frame.top), (x, frame.bottom));
            self.placer.mark(Rect {
                left: x - 2.0,
                right: x + 2.0,
                top: frame.top,
                bottom: frame.bottom,
            });
        }
    }

    /// The line in pieces without gaps, thinned to the extremes of each pixel where it has far more points.
    fn runs(&self, series: &Series, gaps: &mut usize) -> Vec<Vec<(f64, f64)>> {
        let mut runs: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
        for (x, y) in &series.points {
            if let (Some(x), Some(y)) = (self.x(*x), self.y(*y)) {
                if let Some(run) = runs.last_mut() {
                    run.push((x, y));
                }
            } else {
                *gaps += 1;
                runs.push(Vec::new());
            }
        }
        runs.retain(|run| !run.is_empty());
        for run in &mut runs {
            let forward = run.iter().zip(run.iter().skip(1)).all(|(a, b)| a.0 <= b.0);
            if forward && run.len() as f64 > 4.0 * self.frame.width() {
                let columns = thin::columns(run);
                let kept = columns.into_iter().flat_map(|column| {
                    let mut four = [column.first, column.least, column.greatest, column.last];
                    four.sort_unstable();
                    four
                });
                let mut kept: Vec<usize> = kept.collect();
                kept.dedup();
                *run = kept.into_iter().filter_map(|i| run.get(i).copied()).collect();
            }
        }
        runs
    }

    /// Draws one line with its shapes; where it ends in the picture.
    fn line(
        &mut self,
        canvas: &mut Canvas,
        index: usize,
        of: usize,
        runs: &[Vec<(f64, f64)>],
    ) -> Option<(f64, f64)> {
        let look = marker::look(index);
        let class = format!("smc-wide {}{}", look.hue.stroke(), look.dash);
        let n: usize = runs.iter().map(Vec::len).sum();
        let mut shapes: Vec<(f64, f64)> = Vec::new();
        let mut end = None;
        // Shapes of different lines start at different places, so that they do not cover each other.
        let mut since = APART * (0.5 - (index as f64 + 0.5) / of.max(1) as f64);
        for run in runs {
            if let [only] = run.as_slice()
                && self.frame.holds_point(*only)
            {
                shapes.push(*only);
                end = Some(*only);
            }
            for piece in cut_line(run, &self.frame) {
                canvas.path(&class, &piece, false);
                self.placer.mark_line(&piece);
                end = piece.last().copied().or(end);
                if n > EACH {
                    along(&piece, &mut since, &mut shapes);
                }
            }
            if n <= EACH && run.len() > 1 {
                shapes.extend(run.iter().filter(|point| self.frame.holds_point(**point)));
            }
        }
        for at in shapes {
            // A shape on the end of a line would be cut by the frame of the next thing; it may overhang.
            let r = if look.shape == Shape::Cross { 4.5 } else { 5.0 };
            marker::draw(canvas, look.shape, look.hue, at, r);
            self.placer.mark(Rect::around(at.0, at.1, 7.0));
        }
        end
    }

    fn limit_word(&mut self, words: &mut Canvas, limit: &Level, notes: &mut Vec<String>) {
        let frame = self.frame;
        let said = self.said;
        let label = match limit.label.trim() {
            "" => said.plain(Word::Limit),
            label => label.to_owned(),
        };
        let Some(y) = self.y(limit.value).filter(|_| self.y.holds(limit.value)) else {
            notes.push(said.say(Word::Outside, &[&label]));
            return;
        };
        let mut spots = Vec::new();
        for away in [-6.0, 6.0 + 0.8 * LABEL] {
            spots.push(Spot::new(frame.left + 6.0, y + away, Anchor::Start));
            spots.push(Spot::new(frame.right - 6.0, y + away, Anchor::End));
            for part in [0.3, 0.5, 0.7] {
                spots.push(Spot::new(
                    frame.left + part * frame.width(),
                    y + away,
                    Anchor::Middle,
                ));
            }
        }
        let short = text::fit(&label, LABEL, false, frame.width() - 14.0);
        if !self.put(words, &spots, &short, "smc-wc") || short != label {
            notes.push(said.say(Word::DashedLineOf, &[&label]));
        }
    }

    fn mark_word(&mut self, words: &mut Canvas, mark: &Level, notes: &mut Vec<String>) {
        let frame = self.frame;
        let label = mark.label.trim();
        let Some(x) = self.x(mark.value).filter(|_| self.x.holds(mark.value)) else {
            notes.push(self.said.say(Word::Outside, &[label]));
            return;
        };
        if label.is_empty() {
            return;
        }
        let mut spots = Vec::new();
        for part in [0.03, 0.1, 0.17, 0.24, 0.9, 0.8, 0.4, 0.6] {
            let y = frame.top + part * frame.height() + 0.8 * LABEL;
            spots.push(Spot::new(x + 6.0, y, Anchor::Start));
            spots.push(Spot::new(x - 6.0, y, Anchor::End));
        }
        let short = text::fit(label, LABEL, false, frame.width() * 0.8);
        if !self.put(words, &spots, &short, "smc-word") || short != label {
            notes.push(self.said.say(Word::UprightLine, &[label]));
        }
    }

    fn region_word(
        &mut self,
        words: &mut Canvas,
        region: &Region,
        area: Option<Rect>,
        notes: &mut Vec<String>,
    ) {
        let label = region.label.trim();
        let Some(area) = area else {
            notes.push(self.said.say(Word::Outside, &[label]));
            return;
        };
        if label.is_empty() {
            return;
        }
        let (left, right) = (area.left + 8.0, area.right - 8.0);
        let mut spots = Vec::new();
        let rows = [area.top + LABEL * 1.2, area.bottom - LABEL * 0.6];
        let between = [0.5, 0.3, 0.7].map(|part| area.top + part * area.height());
        for y in rows.into_iter().chain(between) {
            spots.push(Spot::new(right, y, Anchor::End));
            spots.push(Spot::new(left, y, Anchor::Start));
            spots.push(Spot::new(f64::midpoint(left, right), y, Anchor::Middle));
        }
        let short = text::fit(label, LABEL, false, self.frame.width() - 16.0);
        if !self.put(words, &spots, &short, "smc-we") || short != label {
            notes.push(self.said.say(Word::Shaded, &[label]));
        }
    }

    /// Names at the right end of the lines, moved apart where they would touch, each with a hair to its line.
    fn names(&self, canvas: &mut Canvas, words: &mut Canvas, ends: &[End]) {
        let frame = self.frame;
        let row = LABEL * 1.25;
        let mut rows: Vec<(f64, &End)> = ends
            .iter()
            .map(|end| (end.at.map_or(frame.bottom, |at| at.1), end))
            .collect();
        rows.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut floor = frame.top;
        for entry in &mut rows {
            entry.0 = entry.0.max(floor);
            floor = entry.0 + row;
        }
        let mut ceiling = frame.bottom;
        for entry in rows.iter_mut().rev() {
            entry.0 = entry.0.min(ceiling);
            ceiling = entry.0 - row;
        }
        for (y, end) in rows {
            let x = frame.right + 20.0;
            if let Some(at) = end.at {
                let class = format!("smc-thin {}", end.hue.stroke());
                canvas.line(&class, at, (x - 4.0, y));
            }
            let spot = Spot::new(x, y + 0.33 * LABEL, Anchor::Start);
            words.text(&format!("smc-label {}", end.hue.word()), spot, &end.name);
        }
    }
}

/// Places shapes along a line every so many pixels, going on from where the piece before ended.
fn along(line: &[(f64, f64)], since: &mut f64, shapes: &mut Vec<(f64, f64)>) {
    for (a, b) in line.iter().zip(line.iter().skip(1)) {
        let length = (b.0 - a.0).hypot(b.1 - a.1);
        let mut at = APART - *since;
        while at <= length && length > 0.0 && shapes.len() < 400 {
            let t = at / length;
            shapes.push((a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1)));
            at += APART;
        }
        *since = length - (at - APART);
    }
}
