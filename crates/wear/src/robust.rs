//! Robust statistics: medians, and lines that a wild value does not move.

/// The median; the slice is put in order. None where it is empty. NaN sorts last.
pub fn median(values: &mut [f64]) -> Option<f64> {
    values.sort_unstable_by(f64::total_cmp);
    let n = values.len();
    let upper = *values.get(n / 2)?;
    if n % 2 == 1 {
        return Some(upper);
    }
    values.get(n / 2 - 1).map(|lower| f64::midpoint(*lower, upper))
}

/// [`median`] without putting the slice wholly in order, in time linear in its length.
pub fn middle(values: &mut [f64]) -> Option<f64> {
    let n = values.len();
    if n == 0 {
        return None;
    }
    let (below, upper, _) = values.select_nth_unstable_by(n / 2, f64::total_cmp);
    let upper = *upper;
    if n % 2 == 1 {
        return Some(upper);
    }
    let lower = below.iter().copied().max_by(f64::total_cmp)?;
    Some(f64::midpoint(lower, upper))
}

/// Standard deviation by the median of absolute deviations (x 1.4826, exact for a normal distribution).
/// None with fewer than two values.
pub fn spread(values: &[f64], middle: f64) -> Option<f64> {
    if values.len() < 2 {
        return None;
    }
    let mut deviations: Vec<f64> = values.iter().map(|value| (value - middle).abs()).collect();
    median(&mut deviations).map(|mad| 1.4826 * mad)
}

/// A line `intercept + slope x`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// At x = 0.
    pub intercept: f64,
    /// Per unit of x.
    pub slope: f64,
}

impl Line {
    /// Its value at x.
    pub fn at(self, x: f64) -> f64 {
        self.intercept + self.slope * x
    }
}

/// Slopes between all pairs of points with different x.
///
/// Over 300 points only pairs at least a third of the series apart are taken, which keeps the work near
/// linear in memory and loses nothing: near pairs say little of a slope.
pub fn pair_slopes(points: &[(f64, f64)]) -> Vec<f64> {
    let n = points.len();
    let stride = if n > 300 { n / 100 } else { 1 };
    let mut slopes = Vec::new();
    for (i, (xi, yi)) in points.iter().enumerate() {
        for (xj, yj) in points.get(i + 1..).unwrap_or_default().iter().step_by(stride) {
            let dx = xj - xi;
            if dx != 0.0 {
                slopes.push((yj - yi) / dx);
            }
        }
    }
    slopes
}

/// The Theil-Sen line: the median of the slopes between all pairs of points, through the medians of x and y.
///
/// Sen, J. Am. Stat. Assoc. 63 (1968) 1379; intercept as `scipy.stats.theilslopes` takes it. None with fewer
/// than two different x.
pub fn theil_sen(points: &[(f64, f64)]) -> Option<Line> {
    let slope = median(&mut pair_slopes(points))?;
    let mut xs: Vec<f64> = points.iter().map(|(x, _)| *x).collect();
    let mut ys: Vec<f64> = points.iter().map(|(_, y)| *y).collect();
    let (x, y) = (median(&mut xs)?, median(&mut ys)?);
    Some(Line {
        intercept: y - slope * x,
        slope,
    })
}
