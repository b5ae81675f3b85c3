//! Blocks one below the other, over as many pages as they need.

use crate::draft::{Block, Draft, Leaf, Mark, Role, Style};
use crate::face::Faces;
use crate::paper::{MM, Paper};
use crate::words::Words;

const SIDE: f32 = 18.0 * MM;
const TOP: f32 = 15.0 * MM;
const BOTTOM: f32 = 20.0 * MM;

pub(crate) struct Flow<'f> {
    faces: &'f Faces,
    size: (f32, f32),
    leaves: Vec<Leaf>,
    y: f32,
}

impl<'f> Flow<'f> {
    pub(crate) fn new(faces: &'f Faces, paper: Paper) -> Self {
        Self {
            faces,
            size: paper.size_pt(),
            leaves: vec![Leaf::new()],
            y: TOP,
        }
    }

    /// Width between the margins, points.
    pub(crate) fn width(&self) -> f32 {
        self.size.0 - 2.0 * SIDE
    }

    fn floor(&self) -> f32 {
        self.size.1 - BOTTOM
    }

    /// Puts a block below the last one; on the next page if this one has no room for the whole of it. One that is longer than
    /// a page is divided between its marks.
    pub(crate) fn place(&mut self, block: Block<'f>) {
        if self.y + block.height > self.floor() && self.y > TOP {
            self.turn();
        }
        let whole = self.y + block.height <= self.floor();
        let mut origin = self.y;
        let height = block.height;
        for mark in block.marks {
            for mut mark in if whole { vec![mark] } else { singly(mark) } {
                if !whole && origin + bottom(&mark) > self.floor() && origin + top(&mark) > TOP {
                    self.turn();
                    origin = TOP - top(&mark);
                }
                mark.move_by(SIDE, origin);
                if let Some(leaf) = self.leaves.last_mut() {
                    leaf.push(mark);
                }
            }
        }
        self.y = origin + height;
    }

    fn turn(&mut self) {
        self.leaves.push(Leaf::new());
        self.y = TOP;
    }

    /// The document, with a foot on every page.
    pub(crate) fn finish(mut self, title: &str, words: &Words) -> Draft {
        let count = self.leaves.len();
        let width = self.width();
        for (index, leaf) in self.leaves.iter_mut().enumerate() {
            let mut block = Block::new(self.faces);
            let style = Style::grey(7.5);
            block.rule(0.0, width, 0.4);
            block.space(3.0);
            block.paragraph(Role::Furniture, 0.0, width, style, words.foot);
            block.right(
                width,
                style,
                &format!("{title}, {} {} {} {count}", words.page, index + 1, words.of),
            );
            for mut mark in block.marks {
                if let Mark::Text { role, .. } = &mut mark {
                    *role = Role::Furniture;
                }
                mark.move_by(SIDE, self.size.1 - 15.0 * MM);
                leaf.push(mark);
            }
        }
        Draft {
            size: self.size,
            title: title.to_owned(),
            language: words.tag,
            leaves: self.leaves,
        }
    }
}

/// A paragraph line by line.
fn singly(mark: Mark) -> Vec<Mark> {
    match mark {
        Mark::Text {
            role,
            weight,
            size,
            shade,
            lines,
        } => lines
            .into_iter()
            .map(|line| Mark::Text {
                role: role.clone(),
                weight,
                size,
                shade,
                lines: vec![line],
            })
            .collect(),
        other => vec![other],
    }
}

fn top(mark: &Mark) -> f32 {
    match mark {
        Mark::Text { size, lines, .. } => lines.first().map_or(0.0, |line| line.1) - size,
        Mark::Filled { y, .. } | Mark::Framed { y, .. } | Mark::Rule { y, .. } | Mark::Code { y, .. } => *y,
    }
}

fn bottom(mark: &Mark) -> f32 {
    match mark {
        Mark::Text { size, lines, .. } => lines.last().map_or(0.0, |line| line.1) + size * 0.3,
        Mark::Filled { y, h, .. } | Mark::Framed { y, h, .. } => y + h,
        Mark::Rule { y, .. } => *y,
        Mark::Code { y, side, .. } => y + side,
    }
}
