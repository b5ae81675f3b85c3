//! Pages as lists of marks, before they become PDF: what can be moved, measured and kept together.

use crate::code::Code;
use crate::face::{Faces, Weight};

/// What a piece of text is for someone who has the page read aloud.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Role {
    Title,
    Heading,
    Text,
    /// Repeated on every page, and not read aloud.
    Furniture,
}

/// How dark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Shade {
    Black,
    /// For what is read second; still 7 : 1 on white.
    Grey,
    /// A ground under black text.
    Pale,
}

/// Something on a page; lengths in points from the upper left corner.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Mark {
    /// Lines of one paragraph, each at its place.
    Text {
        role: Role,
        weight: Weight,
        size: f32,
        shade: Shade,
        lines: Vec<(f32, f32, String)>,
    },
    /// A filled rectangle.
    Filled {
        x: f32,
        y: f32,
        w: f32,
        h: f32,
        shade: Shade,
    },
    /// An outlined rectangle.
    Framed {
        x: f32,
        y: f32,
        w: f32,
        h: f32,
        line: f32,
    },
    /// A horizontal line.
    Rule { x: f32, y: f32, w: f32, line: f32 },
    /// A QR code with what it says.
    Code {
        x: f32,
        y: f32,
        side: f32,
        code: Code,
        says: String,
    },
}

impl Mark {
    pub(crate) fn move_by(&mut self, dx: f32, dy: f32) {
        match self {
            Self::Text { lines, .. } => {
                for (x, y, _) in lines {
                    *x += dx;
                    *y += dy;
                }
            }
            Self::Filled { x, y, .. }
            | Self::Framed { x, y, .. }
            | Self::Rule { x, y, .. }
            | Self::Code { x, y, .. } => {
                *x += dx;
                *y += dy;
            }
        }
    }
}

/// How a paragraph is set.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Style {
    pub(crate) weight: Weight,
    pub(crate) size: f32,
    pub(crate) shade: Shade,
}

impl Style {
    pub(crate) fn plain(size: f32) -> Self {
        Self {
            weight: Weight::Plain,
            size,
            shade: Shade::Black,
        }
    }

    pub(crate) fn strong(size: f32) -> Self {
        Self {
            weight: Weight::Strong,
            ..Self::plain(size)
        }
    }

    pub(crate) fn grey(size: f32) -> Self {
        Self {
            shade: Shade::Grey,
            ..Self::plain(size)
        }
    }

    /// From line to line.
    pub(crate) fn leading(self) -> f32 {
        self.size * 1.28
    }
}

/// Marks that stay together, growing downwards from 0.
pub(crate) struct Block<'f> {
    faces: &'f Faces,
    pub(crate) marks: Vec<Mark>,
    /// How far down it reaches.
    pub(crate) height: f32,
}

impl<'f> Block<'f> {
    pub(crate) fn new(faces: &'f Faces) -> Self {
        Self {
            faces,
            marks: Vec::new(),
            height: 0.0,
        }
    }

    pub(crate) fn space(&mut self, height: f32) {
        self.height += height;
    }

    /// A paragraph below what is there; gives where its first line's top is.
    pub(crate) fn text(&mut self, x: f32, width: f32, style: Style, text: &str) -> f32 {
        self.paragraph(Role::Text, x, width, style, text)
    }

    pub(crate) fn paragraph(&mut self, role: Role, x: f32, width: f32, style: Style, text: &str) -> f32 {
        let top = self.height;
        let found = self.faces.lines(style.weight, style.size, width, text);
        let mut lines = Vec::with_capacity(found.len());
        for line in found {
            // The baseline stands where capitals are in the middle of the line's height.
            lines.push((x, self.height + style.leading() * 0.5 + style.size * 0.345, line));
            self.height += style.leading();
        }
        if !lines.is_empty() {
            self.marks.push(Mark::Text {
                role,
                weight: style.weight,
                size: style.size,
                shade: style.shade,
                lines,
            });
        }
        top
    }

    /// One line whose right end is at `right`; the height stays.
    pub(crate) fn right(&mut self, right: f32, style: Style, text: &str) {
        let width = self.faces.width(style.weight, style.size, text);
        let before = self.height;
        self.text(right - width, width + 1.0, style, text);
        self.height = before;
    }

    /// A box to tick, for text of this size whose first line begins at `top`.
    pub(crate) fn tick(&mut self, x: f32, top: f32, style: Style) {
        let side = style.size * 0.95;
        self.marks.push(Mark::Framed {
            x,
            y: top + (style.leading() - side) / 2.0,
            w: side,
            h: side,
            line: 0.8,
        });
    }

    pub(crate) fn rule(&mut self, x: f32, w: f32, line: f32) {
        self.marks.push(Mark::Rule {
            x,
            y: self.height,
            w,
            line,
        });
    }

    /// Puts another block below.
    pub(crate) fn append(&mut self, other: Self) {
        let down = self.height;
        self.height += other.height;
        self.marks.extend(other.marks.into_iter().map(|mut mark| {
            mark.move_by(0.0, down);
            mark
        }));
    }
}

/// One page.
pub(crate) type Leaf = Vec<Mark>;

/// A document on its way.
pub(crate) struct Draft {
    /// Width and height, points.
    pub(crate) size: (f32, f32),
    pub(crate) title: String,
    /// Tag of the language (RFC 5646), for someone who has the page read aloud.
    pub(crate) language: &'static str,
    pub(crate) leaves: Vec<Leaf>,
}
