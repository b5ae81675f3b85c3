//! One quantity against another, as lines: a sweep over a condition, saturation against recovery.

mod draw;

use crate::canvas::{self, LABEL, SMALL};
use crate::geometry::Rect;
use crate::options::Options;
use crate::place::{Anchor, Spot};
use crate::scale::{Scale, Span, shows};
use crate::sheet::{Sample, Sheet};
use crate::words::{Word, Words};
use crate::{marker, text};

/// A line chart of several series.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lines {
    /// What the picture is of.
    pub title: String,
    /// The sentence that goes with it.
    pub subtitle: String,
    /// What goes to the right.
    pub x: Axis,
    /// What goes up.
    pub y: Axis,
    /// The lines, told apart by shape, dashes and colour, in this order.
    pub series: Vec<Series>,
    /// Values of y at which something is to be kept below or above.
    pub limits: Vec<Level>,
    /// Values of x worth a line: where the unit works today.
    pub marks: Vec<Level>,
    /// Areas with a word: what is needed.
    pub regions: Vec<Region>,
}

/// An axis.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Axis {
    /// The quantity.
    pub title: String,
    /// Its unit, empty where it has none.
    pub unit: String,
    /// Linear or logarithmic.
    pub scale: Scale,
    /// The range to show; without it, all values with a margin. What lies outside is cut off.
    pub range: Option<(f64, f64)>,
}

/// One line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Series {
    /// Its word.
    pub name: String,
    /// x and y in the order they are joined. What is no number breaks the line.
    pub points: Vec<(f64, f64)>,
    /// x, 10th and 90th percentile: the range of eight in ten around the line, in order of x.
    pub band: Vec<(f64, f64, f64)>,
}

/// A level and its word.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Level {
    /// In the unit of its axis.
    pub value: f64,
    /// Its word.
    pub label: String,
}

/// A shaded area; an open end reaches the edge.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Region {
    /// From and to along x.
    pub x: (Option<f64>, Option<f64>),
    /// From and to along y.
    pub y: (Option<f64>, Option<f64>),
    /// Its word: `enough for the need`.
    pub label: String,
}

/// Draws lines. The same values give the same bytes; nothing in them can make it fail.
pub fn lines(l: &Lines, options: &Options) -> String {
    let mut sheet = Sheet::new(options);
    sheet.titles(&l.title, &l.subtitle);
    sheet.y += 10.0;
    sheet.heading(&l.y.title, &l.y.unit);
    let (x, y) = spans(l);
    let ticks = y.ticks(6);
    let gutter = ticks
        .iter()
        .map(|tick| text::width(&tick.text, SMALL, false))
        .fold(30.0, f64::max)
        + 10.0;
    // Names at the ends of the lines where they leave the drawing most of its width.
    let names = l
        .series
        .iter()
        .enumerate()
        .map(|(index, series)| draw::name(series, index, &options.words));
    let names = names
        .map(|name| text::width(&name, LABEL, false))
        .fold(0.0, f64::max)
        + 22.0;
    let height: f64 = if options.narrow() { 300.0 } else { 400.0 };
    let beside = !l.series.is_empty()
        && names <= 0.26 * sheet.room()
        && l.series.len() as f64 * LABEL * 1.25 <= height;
    let top = sheet.y + 10.0;
    let frame = Rect {
        left: sheet.margin + gutter,
        right: sheet.width - sheet.margin - if beside { names } else { 8.0 },
        top,
        bottom: top + height,
    };
    let mut notes = Vec::new();
    let mut plot = draw::Plot::new(frame, x, y, &options.words);
    plot.draw(&mut sheet.canvas, l, beside, &mut notes);
    sheet.y = frame.bottom + SMALL * 2.0;
    for line in text::wrap(&joined(&l.x.title, &l.x.unit), LABEL, false, frame.width(), 2) {
        sheet.y += LABEL * 1.1;
        let spot = Spot::new(f64::midpoint(frame.left, frame.right), sheet.y, Anchor::Middle);
        sheet.canvas.text("smc-label smc-word", spot, &line);
        sheet.y += LABEL * 0.25;
    }
    sheet.key(&key(l, beside, &options.words));
    sheet.y += 4.0;
    sheet.notes(&notes);
    let height = sheet.y + sheet.margin;
    canvas::document(
        options,
        &l.title,
        &describe(l, &options.words),
        height,
        &sheet.canvas,
    )
}

/// Title and unit as one phrase.
fn joined(title: &str, unit: &str) -> String {
    match (title.trim(), unit.trim()) {
        (title, "") => title.to_owned(),
        ("", unit) => unit.to_owned(),
        (title, unit) => format!("{title}, {unit}"),
    }
}

/// The ranges of x and y.
fn spans(l: &Lines) -> (Span, Span) {
    let points = || l.series.iter().flat_map(|series| &series.points);
    let drawn = || points().filter(|(x, y)| shows(*x, l.x.scale) && shows(*y, l.y.scale));
    let bands = || l.series.iter().flat_map(|series| &series.band);
    let range = |axis: &Axis| axis.range.and_then(|range| Span::exactly(range, axis.scale));
    let x = range(&l.x).unwrap_or_else(|| {
        let mut values: Vec<f64> = drawn().map(|p| p.0).chain(bands().map(|b| b.0)).collect();
        values.extend(l.marks.iter().map(|mark| mark.value));
        if values.is_empty() {
            values.extend(l.regions.iter().flat_map(|r| [r.x.0, r.x.1]).flatten());
        }
        // A sweep fills its axis: no margin where there is a range at all.
        let kept = || values.iter().copied().filter(|v| shows(*v, l.x.scale));
        let (low, high) = kept().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| {
            (a.min(v), b.max(v))
        });
        Span::exactly((low, high), l.x.scale).unwrap_or_else(|| Span::over(kept(), l.x.scale))
    });
    let y = range(&l.y).unwrap_or_else(|| {
        let lines = drawn().map(|p| p.1).chain(bands().flat_map(|b| [b.1, b.2]));
        let levels = l.limits.iter().map(|limit| limit.value);
        let edges = l.regions.iter().flat_map(|r| [r.y.0, r.y.1]).flatten();
        Span::over(lines.chain(levels).chain(edges), l.y.scale)
    });
    (x, y)
}

/// What the lines mean, where their names do not stand beside them, and the area's and limit's words.
fn key<'a>(l: &'a Lines, beside: bool, words: &Words) -> Vec<(Sample<'a>, String)> {
    let mut key: Vec<(Sample<'a>, String)> = Vec::new();
    if !beside {
        for (index, series) in l.series.iter().enumerate() {
            let look = marker::look(index);
            let sample: Sample<'a> = Box::new(move |canvas, (x, y)| {
                let class = format!("smc-wide {}{}", look.hue.stroke(), look.dash);
                canvas.line(&class, (x - 18.0, y), (x + 18.0, y));
                marker::draw(canvas, look.shape, look.hue, (x, y), 5.0);
            });
            key.push((sample, draw::name(series, index, words)));
        }
    }
    if let Some(index) = l.series.iter().position(|series| !series.band.is_empty()) {
        let hue = marker::look(index).hue;
        let sample: Sample<'a> = Box::new(move |canvas, (x, y)| {
            canvas.rect(&format!("smc-fan {}", hue.fill()), x - 18.0, y - 9.0, 36.0, 18.0);
            canvas.line(
                &format!("smc-wide {}", hue.stroke()),
                (x - 18.0, y),
                (x + 18.0, y),
            );
        });
        key.push((sample, words.plain(Word::BandKey)));
    }
    key
}

/// The picture in sentences.
fn describe(l: &Lines, words: &Words) -> String {
    let number = |value: f64| words.number(value);
    let mut said = Vec::new();
    if !l.subtitle.trim().is_empty() {
        said.push(l.subtitle.trim().to_owned());
    }
    said.push(words.say(
        Word::Against,
        &[
            &joined(&l.y.title, &l.y.unit),
            &joined(&l.x.title, &l.x.unit),
            &words.count(l.series.len(), Word::OneLine, Word::Lines),
        ],
    ));
    for (index, series) in l.series.iter().enumerate() {
        let mut drawn = series
            .points
            .iter()
            .filter(|(x, y)| shows(*x, l.x.scale) && shows(*y, l.y.scale));
        let name = draw::name(series, index, words);
        match (drawn.next(), drawn.next_back()) {
            (None, _) => said.push(words.say(Word::ToldNothing, &[&name])),
            (Some((x, y)), None) => said.push(words.say(Word::ToldPoint, &[&name, &number(*y), &number(*x)])),
            (Some((x, y)), Some((to_x, to_y))) => said.push(words.say(
                Word::ToldLine,
                &[&name, &number(*y), &number(*x), &number(*to_y), &number(*to_x)],
            )),
        }
    }
    for limit in &l.limits {
        said.push(words.say(Word::ToldLimit, &[&number(limit.value), limit.label.trim()]));
    }
    for mark in &l.marks {
        said.push(words.say(Word::ToldMark, &[&number(mark.value), mark.label.trim()]));
    }
    for region in &l.regions {
        let side = |range: (Option<f64>, Option<f64>), axis: &Axis| {
            let name = axis.title.trim();
            match range {
                (Some(a), Some(b)) => Some(words.say(Word::SideBetween, &[name, &number(a), &number(b)])),
                (Some(a), None) => Some(words.say(Word::SideFrom, &[name, &number(a)])),
                (None, Some(b)) => Some(words.say(Word::SideUpTo, &[name, &number(b)])),
                (None, None) => None,
            }
        };
        let sides: Vec<String> = [side(region.x, &l.x), side(region.y, &l.y)]
            .into_iter()
            .flatten()
            .collect();
        said.push(words.say(Word::ToldShaded, &[region.label.trim(), &sides.join(", ")]));
    }
    said.join(" ")
}
