//! Many points in few pixels: the least and the greatest of each column stay, so that no extreme is lost.

/// What is left of the points of one pixel column.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Column {
    /// Place of the least in the list that was thinned.
    pub(crate) least: usize,
    /// Place of the greatest.
    pub(crate) greatest: usize,
    /// Place of the first.
    pub(crate) first: usize,
    /// Place of the last.
    pub(crate) last: usize,
}

/// Groups points, given as (x in pixels, y), by whole pixels of x, from left to right.
pub(crate) fn columns(points: &[(f64, f64)]) -> Vec<Column> {
    let mut order: Vec<usize> = (0..points.len()).collect();
    let x = |i: usize| points.get(i).map_or(0.0, |p| p.0);
    let y = |i: usize| points.get(i).map_or(0.0, |p| p.1);
    // Stable, so that points of one x keep their order.
    order.sort_by(|a, b| x(*a).total_cmp(&x(*b)));
    let mut columns: Vec<Column> = Vec::new();
    let mut pixel = f64::NAN;
    for i in order {
        match columns.last_mut() {
            Some(column) if x(i) < pixel + 1.0 => {
                column.last = i;
                if y(i) < y(column.least) {
                    column.least = i;
                }
                if y(i) > y(column.greatest) {
                    column.greatest = i;
                }
            }
            _ => {
                pixel = x(i).floor();
                columns.push(Column {
                    least: i,
                    greatest: i,
                    first: i,
                    last: i,
                });
            }
        }
    }
    columns
}

#[cfg(test)]
mod tests {
    use super::{Column, columns};

    #[test]
    fn regress_extremes_of_a_pixel_stay() {
        let points = [(1.1, 5.0), (0.2, 1.0), (1.9, -3.0), (1.5, 9.0)];
        let expected = [
            Column {
                least: 1,
                greatest: 1,
                first: 1,
                last: 1,
            },
            Column {
                least: 2,
                greatest: 3,
                first: 0,
                last: 2,
            },
        ];
        assert_eq!(columns(&points), expected);
    }
}
