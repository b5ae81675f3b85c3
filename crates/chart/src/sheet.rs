//! What every picture has: title on top, key and notes below.

use crate::canvas::{Canvas, HEADING, LABEL, SMALL, TITLE};
use crate::geometry::Rect;
use crate::options::Options;
use crate::place::{Anchor, Spot};
use crate::text;

/// Width of a key's sample.
pub(crate) const SAMPLE: f64 = 36.0;

/// A picture being laid out from the top down.
#[derive(Debug)]
pub(crate) struct Sheet {
    pub(crate) canvas: Canvas,
    pub(crate) width: f64,
    pub(crate) margin: f64,
    /// Where the next thing may begin.
    pub(crate) y: f64,
}

impl Sheet {
    pub(crate) fn new(options: &Options) -> Self {
        let margin = if options.narrow() { 12.0 } else { 20.0 };
        Self {
            canvas: Canvas::default(),
            width: options.width(),
            margin,
            y: margin,
        }
    }

    pub(crate) fn room(&self) -> f64 {
        self.width - 2.0 * self.margin
    }

    /// Wrapped text, a line under another.
    pub(crate) fn paragraph(&mut self, class: &str, words: &str, size: f64, bold: bool, most: usize) {
        for line in text::wrap(words, size, bold, self.room(), most) {
            self.y += size * 1.05;
            self.canvas
                .text(class, Spot::new(self.margin, self.y, Anchor::Start), &line);
            self.y += size * 0.3;
        }
    }

    pub(crate) fn titles(&mut self, title: &str, subtitle: &str) {
        self.paragraph("smc-title smc-word", title, TITLE, true, 4);
        self.y += 2.0;
        self.paragraph("smc-label smc-note", subtitle, LABEL, false, 4);
    }

    /// Heading of a drawing: what it shows in bold, then in which unit.
    pub(crate) fn heading(&mut self, title: &str, unit: &str) {
        let title_width = text::width(title, HEADING, true);
        let unit_width = text::width(unit, LABEL, false);
        if !title.trim().is_empty()
            && !unit.trim().is_empty()
            && title_width + 12.0 + unit_width <= self.room()
        {
            self.y += HEADING * 1.05;
            let spot = Spot::new(self.margin, self.y, Anchor::Start);
            self.canvas.pair(
                spot,
                ("smc-heading smc-word", title),
                ("smc-label smc-note", unit),
            );
            self.y += HEADING * 0.3;
        } else {
            self.paragraph("smc-heading smc-word", title, HEADING, true, 3);
            self.paragraph("smc-label smc-note", unit, LABEL, false, 2);
        }
    }

    /// Samples with their words, in as many rows as they need. Each draws its sample with its middle at the
    /// point it is handed.
    pub(crate) fn key(&mut self, entries: &[(Sample<'_>, String)]) {
        let (mut x, row) = (self.margin, LABEL * 1.65);
        if entries.is_empty() {
            return;
        }
        self.y += 10.0 + row / 2.0;
        for (sample, words) in entries {
            let words = text::fit(words, LABEL, false, self.room() - SAMPLE - 10.0);
            let width = SAMPLE + 10.0 + text::width(&words, LABEL, false);
            if x > self.margin && x + width > self.width - self.margin {
                x = self.margin;
                self.y += row;
            }
            sample(&mut self.canvas, (x + SAMPLE / 2.0, self.y));
            let spot = Spot::new(x + SAMPLE + 8.0, self.y + 0.35 * LABEL, Anchor::Start);
            self.canvas.text("smc-label smc-word", spot, &words);
            x += width + 22.0;
        }
        self.y += row / 2.0;
    }

    pub(crate) fn notes(&mut self, notes: &[String]) {
        for note in notes {
            self.y += 3.0;
            self.paragraph("smc-small smc-note", note, SMALL, false, 12);
        }
    }
}

/// The grid and the numbers of a vertical axis; a number that would touch the one below it is left out.
pub(crate) fn value_axis(canvas: &mut Canvas, frame: &Rect, ticks: impl Iterator<Item = (f64, String)>) {
    let mut free = f64::INFINITY;
    for (y, words) in ticks {
        canvas.line("smc-thin smc-grid", (frame.left, y), (frame.right, y));
        if y <= free {
            free = y - 1.2 * SMALL;
            let spot = Spot::new(frame.left - 8.0, y + 0.35 * SMALL, Anchor::End);
            canvas.text("smc-small smc-note", spot, &words);
        }
    }
}

/// Draws the sample of a key's entry.
pub(crate) type Sample<'a> = Box<dyn Fn(&mut Canvas, (f64, f64)) + 'a>;
