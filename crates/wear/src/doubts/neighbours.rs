//! What the readings before and after one say of it.

use super::{Context, FLOOR};
use crate::robust::{Line, MAD_TO_SD, median};

/// What is expected of one side of one reading, from the others.
#[derive(Clone, Copy)]
pub(super) struct Expected {
    pub(super) value: f64,
    pub(super) sd: f64,
    /// Whether readings on both sides of it in time say so.
    pub(super) between: bool,
}

/// How many readings each way in time say what is expected of one.
const EACH_WAY: usize = 5;

/// A list without a place on the heap, as there is one for each side of each reading.
struct Few<T, const N: usize> {
    items: [T; N],
    len: usize,
}

impl<T: Copy, const N: usize> Few<T, N> {
    fn new(empty: T) -> Self {
        Self {
            items: [empty; N],
            len: 0,
        }
    }

    /// Adds one; what has no room is left out.
    fn push(&mut self, item: T) {
        if let Some(place) = self.items.get_mut(self.len) {
            *place = item;
            self.len += 1;
        }
    }

    fn items(&mut self) -> &mut [T] {
        self.items.get_mut(..self.len).unwrap_or_default()
    }
}

/// What the nearest readings say of this one: a robust line through them for what wears, their median else.
pub(super) fn neighbours(
    context: &Context<'_>,
    held: &[(usize, f64)],
    index: usize,
    side: usize,
    by_life: bool,
) -> Option<Expected> {
    let one = &context.readings[index];
    // Lives follow one another, so the first reading of another life ends the way.
    let near = |(other, value): &(usize, f64)| {
        let other = &context.readings[*other];
        (!by_life || other.life == one.life).then(|| (crate::lives::days(one.at, other.at), *value))
    };
    let earlier = held.partition_point(|(other, _)| *other < index);
    let later = held.partition_point(|(other, _)| *other <= index);
    let mut nearest = Few::<_, { 2 * EACH_WAY }>::new((0.0, 0.0));
    let earlier = held.get(..earlier).unwrap_or_default().iter().rev();
    for point in earlier.map_while(near).take(EACH_WAY) {
        nearest.push(point);
    }
    let before = nearest.len;
    let later = held.get(later..).unwrap_or_default().iter();
    for point in later.map_while(near).take(EACH_WAY) {
        nearest.push(point);
    }
    let between = before >= 2 && nearest.len - before >= 2;
    let points = &*nearest.items();
    if points.len() < 3 {
        return None;
    }
    let mut values = Few::<f64, { 2 * EACH_WAY }>::new(0.0);
    for (_, value) in points {
        values.push(*value);
    }
    let middle = median(values.items())?;
    let line = if by_life && points.len() >= 5 {
        short_line(points, middle)
    } else {
        None
    };
    let mut deviations = Few::<f64, { 2 * EACH_WAY }>::new(0.0);
    for (x, y) in points {
        deviations.push((y - line.map_or(middle, |line| line.at(*x))).abs());
    }
    let scatter = MAD_TO_SD * median(deviations.items()).unwrap_or(0.0);
    // Outside its neighbours a line is a guess, and the further the worse.
    let reach = if between { 1.0 } else { 1.6 };
    Some(Expected {
        value: line.map_or(middle, |line| line.at(0.0)),
        sd: scatter.hypot(FLOOR[side]) * reach,
        between,
    })
}

/// The Theil-Sen line through a few points, as [`crate::robust::theil_sen`] draws it through many.
fn short_line(points: &[(f64, f64)], middle_y: f64) -> Option<Line> {
    let mut slopes = Few::<f64, { EACH_WAY * (2 * EACH_WAY - 1) }>::new(0.0);
    for (i, (xi, yi)) in points.iter().enumerate() {
        for (xj, yj) in points.iter().skip(i + 1) {
            if xi.total_cmp(xj).is_ne() {
                slopes.push((yj - yi) / (xj - xi));
            }
        }
    }
    let slope = median(slopes.items())?;
    let mut xs = Few::<f64, { 2 * EACH_WAY }>::new(0.0);
    for (x, _) in points {
        xs.push(*x);
    }
    Some(Line {
        intercept: middle_y - slope * median(xs.items())?,
        slope,
    })
}
