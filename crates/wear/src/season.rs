//! The feed's temperature through the year.

use jiff::Timestamp;

use crate::robust;

/// `mean + cosine cos(w t) + sine sin(w t)` over the year, C.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Season {
    /// Mean over the year, C.
    pub mean_c: f64,
    /// Share in phase with the turn of the year, C.
    pub cosine_c: f64,
    /// Share a quarter year later, C.
    pub sine_c: f64,
    /// Standard deviation of single readings about it, C.
    pub sd_c: f64,
}

/// Days since 1970-01-01 on which the year's angle is counted.
fn angle(at: Timestamp) -> f64 {
    let days = at.as_microsecond() as f64 / 86_400e6;
    std::f64::consts::TAU * (days / 365.2425)
}

impl Season {
    /// Temperature expected at this time, C.
    pub fn at(&self, at: Timestamp) -> f64 {
        let (sine, cosine) = angle(at).sin_cos();
        self.mean_c + self.cosine_c * cosine + self.sine_c * sine
    }

    /// The same, where the cosine and the sine of the year's angle are known: 1, cosine, sine.
    fn along(&self, row: &[f64; 3]) -> f64 {
        self.mean_c + self.cosine_c * row[1] + self.sine_c * row[2]
    }

    /// From the coldest and the warmest week that the site states: coldest in the first days of February,
    /// for a northern site (common practice, no source).
    pub fn from_extremes(coldest_c: f64, warmest_c: f64) -> Self {
        let amplitude = (warmest_c - coldest_c) / 2.0;
        let (sine, cosine) = (std::f64::consts::TAU * 35.0 / 365.2425).sin_cos();
        Self {
            mean_c: f64::midpoint(coldest_c, warmest_c),
            cosine_c: -amplitude * cosine,
            sine_c: -amplitude * sine,
            sd_c: 2.0,
        }
    }

    /// From readings, by least squares with Tukey's biweights, so that a wild value has no say.
    ///
    /// With fewer than six readings, or under 200 days of them, the median alone. None without a reading.
    pub fn fit(points: &[(Timestamp, f64)]) -> Option<Self> {
        let mut values: Vec<f64> = points.iter().map(|(_, t)| *t).collect();
        let median = robust::median(&mut values)?;
        let spread = robust::spread(&values, median).unwrap_or(3.0);
        let flat = Self {
            mean_c: median,
            cosine_c: 0.0,
            sine_c: 0.0,
            sd_c: spread.max(4.0),
        };
        let (first, last) = (
            points.iter().map(|p| p.0).min()?,
            points.iter().map(|p| p.0).max()?,
        );
        if points.len() < 6 || crate::lives::days(first, last) < 200.0 {
            return Some(flat);
        }
        let mut season = flat;
        let mut scale = (2.0 * spread).max(3.0);
        let rows: Vec<([f64; 3], f64)> = points
            .iter()
            .map(|(at, t)| {
                let (sine, cosine) = angle(*at).sin_cos();
                ([1.0, cosine, sine], *t)
            })
            .collect();
        let mut off = vec![0.0; rows.len()];
        for _ in 0..25 {
            let mut normal = [[0.0; 3]; 3];
            let mut right = [0.0; 3];
            for (row, t) in &rows {
                let z = (t - season.along(row)) / (4.685 * scale);
                let weight = if z.abs() < 1.0 { (1.0 - z * z).powi(2) } else { 0.0 };
                for i in 0..3 {
                    for j in 0..3 {
                        normal[i][j] += weight * row[i] * row[j];
                    }
                    right[i] += weight * row[i] * t;
                }
            }
            // A whisper of a prior of 5 C on each amplitude keeps a short record from a wild swing.
            normal[1][1] += (scale / 5.0).powi(2);
            normal[2][2] += (scale / 5.0).powi(2);
            let Some([mean_c, cosine_c, sine_c]) = solve(normal, right) else {
                return Some(flat);
            };
            let moved = (mean_c - season.mean_c).abs()
                + (cosine_c - season.cosine_c).abs()
                + (sine_c - season.sine_c).abs();
            season = Self {
                mean_c,
                cosine_c,
                sine_c,
                sd_c: season.sd_c,
            };
            for (off, (row, t)) in off.iter_mut().zip(&rows) {
                *off = (t - season.along(row)).abs();
            }
            let middle = robust::median(&mut off);
            scale = middle.map_or(scale, |mad| (1.4826 * mad).max(0.3));
            // A thousandth of a degree: far below what a thermometer tells.
            if moved < 1e-3 {
                break;
            }
        }
        season.sd_c = scale;
        Some(season)
    }
}

/// Solves a 3 x 3 system by elimination with pivots.
fn solve(mut a: [[f64; 3]; 3], mut b: [f64; 3]) -> Option<[f64; 3]> {
    for column in 0..3 {
        let pivot = (column..3).max_by(|i, j| a[*i][column].abs().total_cmp(&a[*j][column].abs()))?;
        if a[pivot][column].abs() < 1e-12 {
            return None;
        }
        a.swap(column, pivot);
        b.swap(column, pivot);
        for row in column + 1..3 {
            let factor = a[row][column] / a[column][column];
            let pivot_row = a[column];
            for (value, above) in a[row].iter_mut().zip(pivot_row) {
                *value -= factor * above;
            }
            b[row] -= factor * b[column];
        }
    }
    let mut x = [0.0; 3];
    for row in (0..3).rev() {
        let known: f64 = (row + 1..3).map(|k| a[row][k] * x[k]).sum();
        x[row] = (b[row] - known) / a[row][row];
    }
    Some(x)
}
