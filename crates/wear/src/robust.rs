//! Robust statistics: medians, and lines that a wild value does not move.

/// The median; the slice is reordered. None where it is empty. NaN counts as the largest.
///
/// By selection, not by sorting: the neighbours of ten thousand readings are looked at from nine sides.
pub fn median(values: &mut [f64]) -> Option<f64> {
    let n = values.len();
    if n == 0 {
        return None;
    }
    let (below, &mut upper, _) = values.select_nth_unstable_by(n / 2, f64::total_cmp);
    if n % 2 == 1 {
        return Some(upper);
    }
    let lower = below.iter().copied().max_by(f64::total_cmp)?;
    Some(f64::midpoint(lower, upper))
}

/// From the median of absolute deviations to a normal distribution's standard deviation: 1 / Phi^-1(3/4).
pub const MAD_TO_SD: f64 = 1.4826;

/// Standard deviation by the median of absolute deviations (exact for a normal distribution).
/// None with fewer than two values.
pub fn spread(values: &[f64], middle: f64) -> Option<f64> {
    if values.len() < 2 {
        return None;
    }
    let mut deviations: Vec<f64> = values.iter().map(|value| (value - middle).abs()).collect();
    median(&mut deviations).map(|mad| MAD_TO_SD * mad)
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
