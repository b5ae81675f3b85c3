//! Rectangles, and lines and areas cut at the edges of one.

/// A short line from one point to another.
pub(crate) type Stroke = ((f64, f64), (f64, f64));

/// An upright rectangle, y downwards.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Rect {
    pub(crate) left: f64,
    pub(crate) top: f64,
    pub(crate) right: f64,
    pub(crate) bottom: f64,
}

impl Rect {
    pub(crate) fn width(&self) -> f64 {
        self.right - self.left
    }

    pub(crate) fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// Around a point, this far to each side.
    pub(crate) fn around(x: f64, y: f64, reach: f64) -> Self {
        Self {
            left: x - reach,
            top: y - reach,
            right: x + reach,
            bottom: y + reach,
        }
    }

    pub(crate) fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    pub(crate) fn holds(&self, other: &Self) -> bool {
        self.left <= other.left
            && self.right >= other.right
            && self.top <= other.top
            && self.bottom >= other.bottom
    }

    pub(crate) fn holds_point(&self, (x, y): (f64, f64)) -> bool {
        (self.left..=self.right).contains(&x) && (self.top..=self.bottom).contains(&y)
    }
}

/// The part of a segment inside a rectangle (Liang and Barsky's parametric clipping).
fn cut_segment(a: (f64, f64), b: (f64, f64), frame: &Rect) -> Option<((f64, f64), (f64, f64))> {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (p, q) in [
        (-dx, a.0 - frame.left),
        (dx, frame.right - a.0),
        (-dy, a.1 - frame.top),
        (dy, frame.bottom - a.1),
    ] {
        if p == 0.0 {
            if q < 0.0 {
                return None;
            }
        } else if p < 0.0 {
            enter = enter.max(q / p);
        } else {
            leave = leave.min(q / p);
        }
    }
    let at = |t: f64| (a.0 + t * dx, a.1 + t * dy);
    (enter <= leave).then(|| (at(enter), at(leave)))
}

/// The pieces of a line that lie inside a rectangle.
pub(crate) fn cut_line(points: &[(f64, f64)], frame: &Rect) -> Vec<Vec<(f64, f64)>> {
    let mut pieces: Vec<Vec<(f64, f64)>> = Vec::new();
    let mut piece: Vec<(f64, f64)> = Vec::new();
    for (a, b) in points.iter().zip(points.iter().skip(1)) {
        let Some((from, to)) = cut_segment(*a, *b, frame) else {
            continue;
        };
        if piece.last() != Some(&from) {
            if piece.len() > 1 {
                pieces.push(std::mem::take(&mut piece));
            }
            piece = vec![from];
        }
        piece.push(to);
        if to != *b {
            pieces.push(std::mem::take(&mut piece));
        }
    }
    if piece.len() > 1 {
        pieces.push(piece);
    }
    pieces
}

/// The part of an area inside a rectangle (Sutherland and Hodgman's clipping, an edge at a time).
pub(crate) fn cut_area(points: &[(f64, f64)], frame: &Rect) -> Vec<(f64, f64)> {
    let mut area = points.to_vec();
    // Signed distance inside each edge.
    let edges: [&dyn Fn((f64, f64)) -> f64; 4] = [
        &|p| p.0 - frame.left,
        &|p| frame.right - p.0,
        &|p| p.1 - frame.top,
        &|p| frame.bottom - p.1,
    ];
    for inside in edges {
        let mut kept = Vec::with_capacity(area.len() + 4);
        for (a, b) in area.iter().zip(area.iter().cycle().skip(1)) {
            let (da, db) = (inside(*a), inside(*b));
            if da >= 0.0 {
                kept.push(*a);
            }
            if (da >= 0.0) != (db >= 0.0) {
                let t = da / (da - db);
                kept.push((a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1)));
            }
        }
        area = kept;
    }
    area
}

#[cfg(test)]
mod tests {
    use super::{Rect, cut_area, cut_line};

    const FRAME: Rect = Rect {
        left: 0.0,
        top: 0.0,
        right: 10.0,
        bottom: 10.0,
    };

    #[test]
    fn regress_a_line_is_cut_where_it_leaves() {
        let pieces = cut_line(
            &[(-5.0, 5.0), (5.0, 5.0), (5.0, 20.0), (8.0, 20.0), (8.0, 5.0)],
            &FRAME,
        );
        assert_eq!(
            pieces,
            [
                vec![(0.0, 5.0), (5.0, 5.0), (5.0, 10.0)],
                vec![(8.0, 10.0), (8.0, 5.0)]
            ]
        );
        assert!(cut_line(&[(11.0, 0.0), (11.0, 9.0)], &FRAME).is_empty());
    }

    #[test]
    fn regress_an_area_is_cut_at_the_edges() {
        let area = cut_area(&[(5.0, -5.0), (15.0, 5.0), (5.0, 5.0)], &FRAME);
        assert!(area.iter().all(|p| FRAME.holds_point(*p)));
        // Shoelace: the corner (5,0)-(10,0)-(10,5)-(5,5) is 25, all of it inside the triangle's slanted side
        // x - y = 10 which only touches (10,0); exact in binary.
        let doubled: f64 = area
            .iter()
            .zip(area.iter().cycle().skip(1))
            .map(|(a, b)| a.0 * b.1 - b.0 * a.1)
            .sum();
        assert!((doubled.abs() / 2.0 - 25.0).abs() < 1e-12);
    }
}
