//! A level that drifts, with a slope that drifts too, seen through noise: the local linear trend by Kalman's filter
//! and its smoother.
//!
//! ```text
//! y_t     = level_t + e,                     e ~ N(0, noise_t)
//! level   = level + slope dt + u,            u ~ N(0, level_variance dt)
//! slope   = slope + w,                       w ~ N(0, slope_variance dt)
//! ```
//!
//! With steps of one this is statsmodels' and the textbooks' local linear trend (Harvey 1989, chapter 2; from memory).

/// Variances of the drifts, for each unit of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LocalTrend {
    /// Of the level.
    pub level_variance: f64,
    /// Of the slope.
    pub slope_variance: f64,
}

/// Level and slope with their covariance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TrendState {
    /// Level and slope.
    pub mean: [f64; 2],
    /// Their covariance.
    pub covariance: [[f64; 2]; 2],
}

/// One observation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// Time since the one before (of the first, since the start's; not negative).
    pub step: f64,
    /// What was seen.
    pub value: f64,
    /// Variance of its noise (over 0).
    pub noise: f64,
}

/// What the filter found.
#[derive(Clone, Debug, PartialEq)]
pub struct Filtered {
    /// Before each observation.
    pub predicted: Vec<TrendState>,
    /// After each observation.
    pub filtered: Vec<TrendState>,
    /// ln of the likelihood of all observations.
    pub ln_likelihood: f64,
}

impl LocalTrend {
    /// The state so much later.
    pub fn after(&self, state: &TrendState, step: f64) -> TrendState {
        let [level, slope] = state.mean;
        let [[a, b], [_, c]] = state.covariance;
        let shared = b + step * c;
        TrendState {
            mean: [level + step * slope, slope],
            covariance: [
                [a + step * (b + shared) + self.level_variance * step, shared],
                [shared, c + self.slope_variance * step],
            ],
        }
    }

    /// From a state before all observations.
    pub fn filter(&self, start: &TrendState, seen: &[Seen]) -> Filtered {
        let mut all = Filtered {
            predicted: Vec::with_capacity(seen.len()),
            filtered: Vec::with_capacity(seen.len()),
            ln_likelihood: 0.0,
        };
        let mut state = *start;
        for one in seen {
            let before = self.after(&state, one.step);
            let [[a, b], [_, c]] = before.covariance;
            let variance = a + one.noise;
            let off = one.value - before.mean[0];
            let gain = [a / variance, b / variance];
            state = TrendState {
                mean: [before.mean[0] + gain[0] * off, before.mean[1] + gain[1] * off],
                covariance: [
                    [a * one.noise / variance, b * one.noise / variance],
                    [b * one.noise / variance, c - gain[1] * b],
                ],
            };
            all.ln_likelihood -= 0.5 * ((std::f64::consts::TAU * variance).ln() + off * off / variance);
            all.predicted.push(before);
            all.filtered.push(state);
        }
        all
    }

    /// States given all observations, by Rauch, Tung and Striebel's recursion (1965; from memory).
    pub fn smooth(&self, filtered: &Filtered, seen: &[Seen]) -> Vec<TrendState> {
        let mut states = filtered.filtered.clone();
        for t in (0..states.len().saturating_sub(1)).rev() {
            let (Some(now), Some(next), Some(predicted), Some(one)) = (
                filtered.filtered.get(t).copied(),
                states.get(t + 1).copied(),
                filtered.predicted.get(t + 1),
                seen.get(t + 1),
            ) else {
                break;
            };
            // now.covariance F' predicted.covariance^-1
            let [[a, b], [_, c]] = now.covariance;
            let across = [[a + one.step * b, b], [b + one.step * c, c]];
            let [[p, q], [_, r]] = predicted.covariance;
            let determinant = p * r - q * q;
            let gain = if determinant > f64::MIN_POSITIVE {
                across.map(|[x, y]| [(x * r - y * q) / determinant, (y * p - x * q) / determinant])
            } else {
                // A slope that is known does not move: only the level has anything to learn.
                across.map(|[x, _]| [if p > 0.0 { x / p } else { 0.0 }, 0.0])
            };
            let off = [next.mean[0] - predicted.mean[0], next.mean[1] - predicted.mean[1]];
            let mut one = now;
            for i in 0..2 {
                one.mean[i] += gain[i][0] * off[0] + gain[i][1] * off[1];
            }
            for i in 0..2 {
                for j in 0..2 {
                    for k in 0..2 {
                        for l in 0..2 {
                            one.covariance[i][j] += gain[i][k]
                                * (next.covariance[k][l] - predicted.covariance[k][l])
                                * gain[j][l];
                        }
                    }
                }
            }
            if let Some(state) = states.get_mut(t) {
                *state = one;
            }
        }
        states
    }
}
