//! Shapes and colours that tell series apart, the same in the drawing and in the key.

use crate::canvas::Canvas;

/// Colour of a mark, by what it means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hue {
    Measured,
    Expected,
    Care,
    Other,
}

impl Hue {
    /// Classes of a stroke, a fill and a word.
    pub(crate) fn stroke(self) -> &'static str {
        match self {
            Self::Measured => "smc-sm",
            Self::Expected => "smc-se",
            Self::Care => "smc-sc",
            Self::Other => "smc-so",
        }
    }

    pub(crate) fn fill(self) -> &'static str {
        match self {
            Self::Measured => "smc-fm",
            Self::Expected => "smc-fe",
            Self::Care => "smc-fc",
            Self::Other => "smc-fo",
        }
    }

    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Measured => "smc-wm",
            Self::Expected => "smc-we",
            Self::Care => "smc-wc",
            Self::Other => "smc-wo",
        }
    }
}

/// Shape of a mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Shape {
    Dot,
    Square,
    Triangle,
    Diamond,
    Ring,
    Cross,
    Frame,
}

/// How one series looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Look {
    pub(crate) hue: Hue,
    pub(crate) shape: Shape,
    pub(crate) dash: &'static str,
}

/// Looks of series in order. Shape, colour and dashes repeat after 7, 3 and 4, so that the first 84 differ;
/// the colour of limits is not among them.
pub(crate) fn look(index: usize) -> Look {
    let hues = [Hue::Measured, Hue::Other, Hue::Expected];
    let shapes = [
        Shape::Dot,
        Shape::Square,
        Shape::Triangle,
        Shape::Diamond,
        Shape::Ring,
        Shape::Cross,
        Shape::Frame,
    ];
    let dashes = ["", " smc-longs", " smc-dots", " smc-mixed"];
    let pick = |n: usize| index % n;
    Look {
        hue: hues.get(pick(hues.len())).copied().unwrap_or(Hue::Measured),
        shape: shapes.get(pick(shapes.len())).copied().unwrap_or(Shape::Dot),
        dash: dashes.get(pick(dashes.len())).copied().unwrap_or_default(),
    }
}

/// Draws a shape that reaches about `r` from its middle.
pub(crate) fn draw(canvas: &mut Canvas, shape: Shape, hue: Hue, (x, y): (f64, f64), r: f64) {
    let open = format!("smc-open smc-line {}", hue.stroke());
    match shape {
        Shape::Dot => canvas.circle(hue.fill(), (x, y), r),
        Shape::Ring => canvas.circle(&open, (x, y), r),
        Shape::Square => canvas.rect(hue.fill(), x - 0.9 * r, y - 0.9 * r, 1.8 * r, 1.8 * r),
        Shape::Frame => canvas.rect(&open, x - 0.9 * r, y - 0.9 * r, 1.8 * r, 1.8 * r),
        Shape::Triangle => canvas.path(
            hue.fill(),
            &[
                (x, y - 1.2 * r),
                (x + 1.15 * r, y + 0.9 * r),
                (x - 1.15 * r, y + 0.9 * r),
            ],
            true,
        ),
        Shape::Diamond => canvas.path(
            hue.fill(),
            &[
                (x, y - 1.3 * r),
                (x + 1.3 * r, y),
                (x, y + 1.3 * r),
                (x - 1.3 * r, y),
            ],
            true,
        ),
        Shape::Cross => cross(canvas, hue, (x, y), r),
    }
}

/// An open cross.
pub(crate) fn cross(canvas: &mut Canvas, hue: Hue, (x, y): (f64, f64), r: f64) {
    let strokes = [((x - r, y - r), (x + r, y + r)), ((x - r, y + r), (x + r, y - r))];
    canvas.strokes("smc-halo smc-under", &strokes);
    canvas.strokes(&format!("smc-wide {}", hue.stroke()), &strokes);
}
