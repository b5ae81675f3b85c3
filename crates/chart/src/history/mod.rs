//! The life of a unit in one picture: readings with their uncertainty, what was done, what is expected.

mod describe;
mod labels;
mod marks;
mod panel;
mod points;

use jiff::Timestamp;

use crate::canvas::{self, LABEL};
use crate::geometry::Rect;
use crate::marker::{self, Hue, Shape};
use crate::options::Options;
use crate::scale::Scale;
use crate::sheet::{Sample, Sheet};
use crate::time::TimeSpan;
use crate::words::{Word, Words};

/// Panels over one axis of time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct History {
    /// What the picture is of.
    pub title: String,
    /// The sentence that goes with it.
    pub subtitle: String,
    /// From top to bottom.
    pub panels: Vec<Panel>,
    /// Left end of the axis of time.
    pub from: Timestamp,
    /// Right end. What lies outside is left out and said to be left out.
    pub to: Timestamp,
    /// The time at which the forecast was made.
    pub as_of: Timestamp,
    /// What was done to the unit, shown through all panels.
    pub marks: Vec<Mark>,
}

/// Something done at a time: a change, a cleaning.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mark {
    /// When.
    pub at: Timestamp,
    /// In a word or two: `carbon changed`.
    pub label: String,
}

/// One quantity over time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Panel {
    /// The quantity.
    pub title: String,
    /// Its unit in words: `% of when new`.
    pub unit: String,
    /// Readings in any order.
    pub points: Vec<Point>,
    /// The time that the unit is compared with, and the value then: from, to, value.
    pub baseline: Option<(Timestamp, Timestamp, f64)>,
    /// The value at which something is due, and its word.
    pub limit: Option<(f64, String)>,
    /// What is expected.
    pub fan: Option<Fan>,
    /// When it is due.
    pub due: Option<Due>,
    /// Linear or logarithmic.
    pub scale: Scale,
}

/// One reading.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Point {
    /// When.
    pub at: Timestamp,
    /// In the panel's unit. What is no number is left out and counted.
    pub value: f64,
    /// Standard deviation, same unit; 0 where unknown. Drawn as the range of eight in ten, 1.28 of them to
    /// each side.
    pub sd: f64,
    /// Whether it is probably a slip. Doubtful readings do not stretch the scale.
    pub doubtful: bool,
    /// A word beside it.
    pub label: Option<String>,
}

/// A forecast with its spread.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fan {
    /// Time, 10th, 50th and 90th percentile, in order of time.
    pub points: Vec<(Timestamp, f64, f64, f64)>,
}

/// When something is due, as a range.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Due {
    /// One in ten is due before this.
    pub p10: Timestamp,
    /// As likely before as after; none where it lies beyond what was forecast.
    pub p50: Option<Timestamp>,
    /// One in ten is due after this; none where it lies beyond what was forecast.
    pub p90: Option<Timestamp>,
    /// What is due: `membranes due`.
    pub label: String,
}

/// Standard deviations from the middle to the 10th or 90th percentile of a normal distribution
/// (NIST/SEMATECH e-Handbook 1.3.6.7.1: 1.2816).
pub(crate) const EIGHT_IN_TEN: f64 = 1.281_551_565_5;

/// Changes named in the note below, where they found no room above, at most.
const MOST_NAMED: usize = 8;

/// Draws the history of a unit. The same values give the same bytes; nothing in them can make it fail.
pub fn history(h: &History, options: &Options) -> String {
    let mut sheet = Sheet::new(options);
    sheet.titles(&h.title, &h.subtitle);
    let time = TimeSpan::new(h.from, h.to);
    let spans: Vec<_> = h.panels.iter().map(|panel| panel::span(panel, &time)).collect();
    let gutter = spans.iter().map(panel::gutter).fold(40.0, f64::max);
    let (left, right) = (sheet.margin + gutter, sheet.width - sheet.margin);
    let x = |at: Timestamp| left + time.place(at) * (right - left);

    let (inside, outside): (Vec<&Mark>, Vec<&Mark>) = h.marks.iter().partition(|mark| time.holds(mark.at));
    let words: Vec<_> = inside
        .iter()
        .map(|mark| (x(mark.at), mark.label.trim().to_owned()))
        .collect();
    let words_of = &options.words;
    let date = |at: Timestamp| words_of.day(at, &options.time_zone);
    let as_of = time
        .holds(h.as_of)
        .then(|| (x(h.as_of), words_of.say(Word::AsOf, &[&date(h.as_of)])));
    let strip = marks::layout(&words, as_of.as_ref(), (sheet.margin, right));

    let mut notes = Vec::new();
    for (index, (panel, span)) in h.panels.iter().zip(spans).enumerate() {
        sheet.y += if index == 0 { 10.0 } else { 20.0 };
        sheet.heading(&panel.title, &panel.unit);
        let lifted = if index == 0 { strip.height() } else { 0.0 };
        let top = sheet.y + 8.0 + lifted;
        let frame = Rect {
            left,
            right,
            top,
            bottom: top + if options.narrow() { 210.0 } else { 230.0 },
        };
        let mut plot = panel::Plot::new(frame, &time, span, options);
        plot.forbid_lines(strip.lines());
        sheet.y = plot.draw(&mut sheet.canvas, panel, &mut notes, |canvas| {
            strip.draw(canvas, &frame, index == 0);
        });
    }
    if h.panels.is_empty() {
        sheet.y += 10.0;
        sheet.paragraph(
            "smc-label smc-note",
            &words_of.plain(Word::Nothing),
            LABEL,
            false,
            1,
        );
    }
    sheet.key(&key(h, &time, words_of));
    let mut unnamed: Vec<String> = strip
        .unnamed()
        .filter_map(|index| inside.get(index))
        .map(|mark| {
            let label = match mark.label.trim() {
                "" => words_of.plain(Word::Change),
                label => label.to_owned(),
            };
            format!("{} {label}", date(mark.at))
        })
        .collect();
    if !unnamed.is_empty() {
        let more = unnamed.len().saturating_sub(MOST_NAMED);
        unnamed.truncate(MOST_NAMED);
        let named = describe::and_more(words_of, &unnamed, more);
        notes.push(words_of.say(Word::UprightLines, &[&named]));
    }
    if !outside.is_empty() {
        let outside = words_of.count(outside.len(), Word::OneChange, Word::Changes);
        notes.push(words_of.say(Word::OutsideDates, &[&outside]));
    }
    sheet.y += 4.0;
    sheet.notes(&notes);
    let description = describe::history(h, &time, options);
    let height = sheet.y + sheet.margin;
    canvas::document(options, &h.title, &description, height, &sheet.canvas)
}

/// What each shape means, for those that are there.
fn key<'a>(h: &History, time: &TimeSpan, said: &Words) -> Vec<(Sample<'a>, String)> {
    let mut key: Vec<(Sample<'a>, String)> = Vec::new();
    let shown = |point: &&Point| point.value.is_finite() && time.holds(point.at);
    let points = || {
        h.panels
            .iter()
            .flat_map(|panel| panel.points.iter())
            .filter(shown)
    };
    if points().any(|point| !point.doubtful) {
        let bars = points().any(|point| !point.doubtful && point.sd > 0.0 && point.sd.is_finite());
        let words = if bars { Word::ReadingWithBar } else { Word::Reading };
        key.push((
            Box::new(move |canvas, at| {
                if bars {
                    points::bar(canvas, at.0, at.1 - 11.0, at.1 + 11.0);
                }
                marker::draw(canvas, Shape::Dot, Hue::Measured, at, 5.0);
            }),
            said.plain(words),
        ));
    }
    if points().any(|point| point.doubtful) {
        key.push((
            Box::new(|canvas, at| marker::cross(canvas, Hue::Care, at, 6.0)),
            said.plain(Word::Doubt),
        ));
    }
    if h.panels.iter().any(|panel| panel.baseline.is_some()) {
        key.push((
            Box::new(|canvas, (x, y)| {
                canvas.rect("smc-band smc-fm", x - 9.0, y - 11.0, 18.0, 22.0);
                canvas.strokes(
                    "smc-thin smc-sm",
                    &[
                        ((x - 9.0, y - 11.0), (x - 9.0, y + 11.0)),
                        ((x + 9.0, y - 11.0), (x + 9.0, y + 11.0)),
                    ],
                );
                canvas.line("smc-wide smc-sm", (x - 9.0, y), (x + 9.0, y));
            }),
            said.plain(Word::Baseline),
        ));
    }
    if h.panels.iter().any(|panel| panel.limit.is_some()) {
        key.push((
            Box::new(|canvas, (x, y)| {
                canvas.line("smc-line smc-dash smc-sc", (x - 18.0, y), (x + 18.0, y));
            }),
            said.plain(Word::Limit),
        ));
    }
    if h.panels.iter().any(|panel| panel.fan.is_some()) {
        key.push((
            Box::new(|canvas, (x, y)| {
                canvas.rect("smc-fan smc-fe", x - 18.0, y - 9.0, 36.0, 18.0);
                canvas.strokes(
                    "smc-thin smc-se",
                    &[
                        ((x - 18.0, y - 9.0), (x + 18.0, y - 9.0)),
                        ((x - 18.0, y + 9.0), (x + 18.0, y + 9.0)),
                    ],
                );
                canvas.line("smc-wide smc-se", (x - 18.0, y), (x + 18.0, y));
            }),
            said.plain(Word::ForecastKey),
        ));
    }
    if h.panels.iter().any(|panel| panel.due.is_some()) {
        key.push((
            Box::new(|canvas, (x, y)| {
                panel::bracket(canvas, (x - 18.0, x + 18.0), (x - 16.0, x + 16.0), Some(x), y);
            }),
            said.plain(Word::DueKey),
        ));
    }
    if h.marks.iter().any(|mark| time.holds(mark.at)) {
        key.push((
            Box::new(|canvas, (x, y)| canvas.line("smc-line smc-axis", (x, y - 11.0), (x, y + 11.0))),
            said.plain(Word::Change),
        ));
    }
    key
}
