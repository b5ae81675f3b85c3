//! One panel: range, axes, baseline, forecast, limit and due range.

use jiff::Timestamp;

use super::{Due, EIGHT_IN_TEN, Fan, Panel, labels, points};
use crate::canvas::{Canvas, LABEL, SMALL};
use crate::geometry::{Rect, cut_area, cut_line};
use crate::marker::{self, Hue, Shape};
use crate::options::Options;
use crate::place::{Anchor, Placer, Spot};
use crate::scale::{Scale, Span, shows};
use crate::time::TimeSpan;
use crate::words::Word;
use crate::{sheet, text};

/// Ticks wanted on the axis of values.
pub(super) const TICKS: usize = 5;

/// The range of a panel: its sound readings, baseline and limit, and as much of bars and fan as keeps the
/// readings from being pressed flat. Doubts count only where nothing else is there.
pub(super) fn span(panel: &Panel, time: &TimeSpan) -> Span {
    let inside = || panel.points.iter().filter(|point| time.holds(point.at));
    let shown = |value: f64| shows(value, panel.scale);
    let mut values: Vec<f64> = inside().filter(|p| !p.doubtful).map(|p| p.value).collect();
    values.extend(panel.baseline.map(|(_, _, value)| value));
    values.extend(panel.limit.as_ref().map(|(value, _)| *value));
    values.retain(|value| shown(*value));
    let fan = || {
        let points = panel.fan.iter().flat_map(|fan| &fan.points);
        points.filter(|(at, ..)| time.holds(*at))
    };
    if values.is_empty() {
        values.extend(fan().map(|(_, _, p50, _)| *p50).filter(|value| shown(*value)));
    }
    if values.is_empty() {
        values.extend(inside().map(|p| p.value).filter(|value| shown(*value)));
    }
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    // How far bars and fan may stretch it: by its own size to each side.
    let (least, most) = match panel.scale {
        Scale::Linear => {
            let reach = (high - low).max(0.2 * low.abs().max(high.abs()));
            (low - reach, high + reach)
        }
        Scale::Log => {
            let ratio = (high / low).max(1.5);
            (low / ratio, high * ratio)
        }
    };
    if least <= most {
        let bars = inside()
            .filter(|p| !p.doubtful && p.sd > 0.0 && p.sd.is_finite())
            .flat_map(|p| [p.value - EIGHT_IN_TEN * p.sd, p.value + EIGHT_IN_TEN * p.sd]);
        let edges = fan().flat_map(|(_, p10, _, p90)| [*p10, *p90]);
        let wider: Vec<f64> = bars
            .chain(edges)
            .filter(|value| shown(*value))
            .map(|value| value.clamp(least, most))
            .collect();
        values.extend(wider);
    }
    Span::over(values, panel.scale)
}

/// Room that the numbers of a range need left of the drawing.
pub(super) fn gutter(span: &Span) -> f64 {
    let widths = span
        .ticks(TICKS)
        .into_iter()
        .map(|tick| text::width(&tick.text, SMALL, false));
    widths.fold(0.0, f64::max) + 10.0
}

/// Where things of one panel go.
pub(super) struct Plot<'a> {
    /// Holds the values; the lane of the due range is below it.
    pub(super) frame: Rect,
    pub(super) time: &'a TimeSpan,
    pub(super) span: Span,
    pub(super) options: &'a Options,
    pub(super) placer: Placer,
}

impl<'a> Plot<'a> {
    pub(super) fn new(frame: Rect, time: &'a TimeSpan, span: Span, options: &'a Options) -> Self {
        Self {
            frame,
            time,
            span,
            options,
            placer: Placer::new(frame),
        }
    }

    pub(super) fn x(&self, at: Timestamp) -> f64 {
        self.frame.left + self.time.place(at) * self.frame.width()
    }

    pub(super) fn y(&self, value: f64) -> Option<f64> {
        Some(self.frame.bottom - self.span.place(value)? * self.frame.height())
    }

    /// Words avoid the lines of changes.
    pub(super) fn forbid_lines(&mut self, lines: impl Iterator<Item = f64>) {
        for x in lines {
            self.placer.mark(Rect {
                left: x - 1.0,
                right: x + 1.0,
                ..self.frame
            });
        }
    }

    /// Draws the panel and says where it ends.
    pub(super) fn draw(
        &mut self,
        canvas: &mut Canvas,
        panel: &Panel,
        notes: &mut Vec<String>,
        changes: impl Fn(&mut Canvas),
    ) -> f64 {
        let name = panel.title.trim();
        let mut say = |note: String| {
            notes.push(if name.is_empty() {
                note
            } else {
                format!("{name}: {note}")
            });
        };
        let mut words = Canvas::default();
        let due = panel.due.as_ref().map(|due| self.due_words(due));
        let lane = due
            .as_ref()
            .map_or(0.0, |lines| 24.0 + lines.len() as f64 * LABEL * 1.3);
        let floor = self.frame.bottom + lane;

        self.band(canvas, panel);
        self.axes(canvas, floor);
        if let Some(fan) = &panel.fan {
            self.fan(canvas, fan);
        }
        self.levels(canvas, panel);
        changes(canvas);
        points::draw(self, canvas, panel, &mut say);
        labels::draw(self, &mut words, panel, &mut say);
        if let (Some(due), Some(lines)) = (&panel.due, &due) {
            self.due(canvas, &mut words, due, lines);
        }
        canvas.append(&words);
        floor + SMALL * 2.75 + 6.0
    }

    /// The band of the baseline, under everything.
    fn band(&mut self, canvas: &mut Canvas, panel: &Panel) {
        let Some((left, right)) = self.band_edges(panel) else {
            return;
        };
        let frame = self.frame;
        canvas.rect("smc-band smc-fm", left, frame.top, right - left, frame.height());
        self.placer.mark(Rect { left, right, ..frame });
        canvas.strokes(
            "smc-thin smc-sm",
            &[
                ((left, frame.top), (left, frame.bottom)),
                ((right, frame.top), (right, frame.bottom)),
            ],
        );
    }

    /// Left and right of the baseline's band, where it is in the picture; never too thin to be seen.
    pub(super) fn band_edges(&self, panel: &Panel) -> Option<(f64, f64)> {
        let (a, b, _) = panel.baseline?;
        let (from, to) = (self.x(a.min(b)), self.x(a.max(b)));
        if to < self.frame.left || from > self.frame.right {
            return None;
        }
        let left = from.clamp(self.frame.left, self.frame.right - 6.0);
        Some((left, to.clamp(left + 6.0, self.frame.right)))
    }

    fn axes(&mut self, canvas: &mut Canvas, floor: f64) {
        let frame = self.frame;
        let ticks = self.span.ticks(TICKS).into_iter();
        sheet::value_axis(
            canvas,
            &frame,
            ticks.filter_map(|tick| Some((self.y(tick.value)?, self.options.words.marked(&tick.text)))),
        );
        canvas.line("smc-line smc-axis", (frame.left, floor), (frame.right, floor));
        time_ticks(canvas, self.time, self.options, &frame, floor);
    }

    fn fan(&mut self, canvas: &mut Canvas, fan: &Fan) {
        let mut rows: Vec<(f64, f64, f64, f64)> = fan
            .points
            .iter()
            .filter_map(|(at, p10, p50, p90)| {
                let (low, high) = (p10.min(*p90), p10.max(*p90));
                Some((self.x(*at), self.y(low)?, self.y(*p50)?, self.y(high)?))
            })
            .collect();
        rows.sort_by(|a, b| a.0.total_cmp(&b.0));
        let low: Vec<_> = rows.iter().map(|row| (row.0, row.1)).collect();
        let middle: Vec<_> = rows.iter().map(|row| (row.0, row.2)).collect();
        let high: Vec<_> = rows.iter().map(|row| (row.0, row.3)).collect();
        let mut area = low.clone();
        area.extend(high.iter().rev());
        canvas.path("smc-fan smc-fe", &cut_area(&area, &self.frame), true);
        for (class, line) in [
            ("smc-thin smc-se", &low),
            ("smc-thin smc-se", &high),
            ("smc-wide smc-se", &middle),
        ] {
            for piece in cut_line(line, &self.frame) {
                canvas.path(class, &piece, false);
            }
        }
        for line in [&low, &middle, &high] {
            for piece in cut_line(line, &self.frame) {
                self.placer.mark_line(&piece);
            }
        }
    }

    /// The level of the baseline and the limit.
    fn levels(&mut self, canvas: &mut Canvas, panel: &Panel) {
        let frame = self.frame;
        if let (Some((_, _, value)), Some((left, right))) = (panel.baseline, self.band_edges(panel))
            && let Some(y) = self.y(value)
        {
            canvas.line("smc-thin smc-dots smc-sm", (right, y), (frame.right, y));
            canvas.line("smc-wide smc-sm", (left, y), (right, y));
            self.placer.mark_line(&[(left, y), (right, y)]);
        }
        if let Some(y) = panel.limit.as_ref().and_then(|(value, _)| self.y(*value)) {
            canvas.line("smc-line smc-dash smc-sc", (frame.left, y), (frame.right, y));
            self.placer.mark_line(&[(frame.left, y), (frame.right, y)]);
        }
    }

    /// The due range in words, in lines that fit under the panel.
    fn due_words(&self, due: &Due) -> Vec<String> {
        let words = &self.options.words;
        let date = |at: Timestamp| words.day(at, &self.options.time_zone);
        let from = date(due.p10);
        let range = match (due.p50.map(date), due.p90.map(date)) {
            (Some(p50), Some(p90)) => words.say(Word::DueRange, &[&from, &p90, &p50]),
            (Some(p50), None) => words.say(Word::DueFrom, &[&from, &p50]),
            (None, _) => words.say(Word::DueLongAfter, &[&from]),
        };
        let words = match due.label.trim() {
            "" => format!("{} {range}", words.plain(Word::Due)),
            what => format!("{what}: {range}"),
        };
        text::wrap(&words, LABEL, false, self.frame.width(), 3)
    }

    fn due(&self, canvas: &mut Canvas, words: &mut Canvas, due: &Due, lines: &[String]) {
        let frame = self.frame;
        let (start, end) = (self.x(due.p10), due.p90.map_or(f64::INFINITY, |at| self.x(at)));
        let middle = due.p50.map(|at| self.x(at));
        let y = frame.bottom + 13.0;
        let centre = bracket(canvas, (frame.left, frame.right), (start, end), middle, y);
        let wide = lines
            .iter()
            .map(|line| text::width(line, LABEL, false))
            .fold(0.0, f64::max);
        let x = centre.min(frame.right - wide / 2.0).max(frame.left + wide / 2.0);
        for (i, line) in lines.iter().enumerate() {
            let y = y + 8.0 + LABEL * (1.0 + 1.3 * i as f64);
            words.text("smc-label smc-we smc-halo", Spot::new(x, y, Anchor::Middle), line);
        }
    }
}

/// A range of time between two edges: an end that is in the picture has a foot, one that is not an arrow.
/// Says where the middle of what was drawn is.
pub(super) fn bracket(
    canvas: &mut Canvas,
    (left, right): (f64, f64),
    (start, end): (f64, f64),
    middle: Option<f64>,
    y: f64,
) -> f64 {
    let class = "smc-wide smc-se";
    let (start, end) = (start.min(end), start.max(end));
    let (mut from, mut to) = (start.max(left), end.min(right));
    // Wholly beside the picture: a short arrow that way.
    if start > right {
        (from, to) = (right - 28.0, right);
    } else if end < left {
        (from, to) = (left, left + 28.0);
    }
    canvas.line(class, (from, y), (to, y));
    let mut foot = |x: f64| canvas.line(class, (x, y - 8.0), (x, y + 8.0));
    if (left..=right).contains(&start) {
        foot(start);
    }
    if (left..=right).contains(&end) {
        foot(end);
    }
    if start < left {
        canvas.path(
            class,
            &[(left + 8.0, y - 7.0), (left, y), (left + 8.0, y + 7.0)],
            false,
        );
    }
    if end > right {
        canvas.path(
            class,
            &[(right - 8.0, y - 7.0), (right, y), (right - 8.0, y + 7.0)],
            false,
        );
    }
    if let Some(x) = middle.filter(|x| (left..=right).contains(x)) {
        marker::draw(canvas, Shape::Diamond, Hue::Expected, (x, y), 6.0);
    }
    f64::midpoint(from, to)
}

/// Ticks of time below a line at `floor`, their words in two rows.
fn time_ticks(canvas: &mut Canvas, time: &TimeSpan, options: &Options, frame: &Rect, floor: f64) {
    let (mut free, mut free_below) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    let (least, most) = (frame.left - 30.0, frame.right + 6.0);
    let mut strokes = Vec::new();
    for tick in time.ticks(frame.width(), SMALL, &options.time_zone, &options.words) {
        let x = frame.left + tick.part * frame.width();
        strokes.push(((x, floor), (x, floor + 6.0)));
        let mut put = |words: &str, y: f64, free: &mut f64| {
            let half = text::width(words, SMALL, false) / 2.0;
            let centre = x.min(most - half).max(least + half);
            if centre - half > *free {
                *free = centre + half + 4.0;
                canvas.text("smc-small smc-note", Spot::new(centre, y, Anchor::Middle), words);
            }
        };
        put(&tick.text, floor + SMALL * 1.55, &mut free);
        if let Some(group) = &tick.group {
            put(group, floor + SMALL * 2.75, &mut free_below);
        }
    }
    canvas.strokes("smc-line smc-axis", &strokes);
}
