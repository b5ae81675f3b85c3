//! Where words go: inside the frame, never on another word, and off the marks where there is room.

use crate::geometry::Rect;
use crate::text;

/// Which end of a word its x is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// A spot that a word may take: x by its anchor, y of its baseline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Spot {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) anchor: Anchor,
}

impl Spot {
    pub(crate) fn new(x: f64, y: f64, anchor: Anchor) -> Self {
        Self { x, y, anchor }
    }

    /// What a text takes up here.
    pub(crate) fn bounds(&self, text: &str, size: f64, bold: bool) -> Rect {
        let width = text::width(text, size, bold);
        let left = match self.anchor {
            Anchor::Start => self.x,
            Anchor::Middle => self.x - width / 2.0,
            Anchor::End => self.x - width,
        };
        Rect {
            left,
            top: self.y - 0.82 * size,
            right: left + width,
            bottom: self.y + 0.26 * size,
        }
    }

    /// The four sides of a mark that reaches this far from its middle, best first.
    pub(crate) fn beside(x: f64, y: f64, reach: f64, size: f64) -> Vec<Self> {
        let mut spots = Vec::new();
        for away in [reach, reach + 0.6 * size, reach + 1.3 * size] {
            spots.extend([
                Self::new(x, y - away, Anchor::Middle),
                Self::new(x, y + away + 0.8 * size, Anchor::Middle),
                Self::new(x + away, y + 0.3 * size, Anchor::Start),
                Self::new(x - away, y + 0.3 * size, Anchor::End),
                Self::new(x + away, y - away, Anchor::Start),
                Self::new(x - away, y - away, Anchor::End),
                Self::new(x + away, y + away + 0.6 * size, Anchor::Start),
                Self::new(x - away, y + away + 0.6 * size, Anchor::End),
            ]);
        }
        spots
    }
}

/// Keeps what is taken in one frame.
#[derive(Debug)]
pub(crate) struct Placer {
    frame: Rect,
    words: Vec<Rect>,
    marks: Vec<Rect>,
}

impl Placer {
    pub(crate) fn new(frame: Rect) -> Self {
        Self {
            frame,
            words: Vec::new(),
            marks: Vec::new(),
        }
    }

    /// Words avoid this where they can.
    pub(crate) fn mark(&mut self, taken: Rect) {
        self.marks.push(taken);
    }

    /// Words avoid this line where they can.
    pub(crate) fn mark_line(&mut self, line: &[(f64, f64)]) {
        for (a, b) in line.iter().zip(line.iter().skip(1)) {
            let length = (b.0 - a.0).abs().max((b.1 - a.1).abs());
            let steps = (length / 8.0).ceil().clamp(1.0, 200.0);
            let mut k = 0.0;
            while k <= steps {
                let t = k / steps;
                let at = (a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1));
                self.mark(Rect::around(at.0, at.1, 2.5));
                k += 1.0;
            }
        }
    }

    /// Takes the first spot clear of words and marks, else the one clear of words that covers fewest marks.
    /// None where every spot would cover a word or leave the frame.
    pub(crate) fn place(&mut self, spots: &[Spot], text: &str, size: f64, bold: bool) -> Option<Spot> {
        let mut best: Option<(usize, Spot, Rect)> = None;
        for spot in spots {
            let bounds = spot.bounds(text, size, bold);
            if !self.frame.holds(&bounds) || self.words.iter().any(|word| word.overlaps(&bounds)) {
                continue;
            }
            let covered = self.marks.iter().filter(|mark| mark.overlaps(&bounds)).count();
            if best.is_none_or(|(fewest, _, _)| covered < fewest) {
                best = Some((covered, *spot, bounds));
            }
            if covered == 0 {
                break;
            }
        }
        let (_, spot, bounds) = best?;
        self.words.push(bounds);
        Some(spot)
    }
}
