//! The volume clock: wear goes by water made, not by days.

use jiff::Timestamp;
use reading::Field;

use super::HORIZON_D;
use super::trend::{LocalTrend, Seen, TrendState};
use crate::lives::days;
use crate::robust::median;
use crate::standardise::History;

/// Days over which a use above or below the usual one returns to it (common practice, no source).
const MEMORY_D: f64 = 40.0;
/// Standard deviation of ln use, over weeks, where no totaliser tells it (common practice, no source).
const USUAL_WIGGLE: f64 = 0.25;
/// Relative standard deviation of a stated use, of a use guessed from the flow, and of a totaliser.
const STATED_SD: f64 = 0.2;
const GUESSED_SD: f64 = 0.6;
const READ_SD: f64 = 0.01;
/// Growth of ln use in a year: standard deviation (common practice, no source).
const GROWTH_SD: f64 = 0.1;
/// Days between the first points of the table of what is to come; the further off, the further apart, by a
/// hundredth of the distance: that is within a tenth of a day of the law.
const AHEAD_STEP_D: f64 = 2.0;
/// Share of the day that a unit runs where nobody says what is drawn (common practice, no source).
const GUESSED_DUTY: f64 = 0.25;

/// Permeate made by a time, and what will be made after now.
#[derive(Clone, Debug)]
pub(super) struct Clock {
    /// (days from now, litres since the first of them), ascending.
    points: Vec<(f64, f64)>,
    /// Usual litres a day.
    pub(super) usual_l_d: f64,
    /// Litres of a year of usual use: what rates of wear are told in.
    pub(super) year_l: f64,
    /// Relative standard deviation of all litres told, the same at all times.
    pub(super) scale_sd: f64,
    /// ln of today's use over the usual one.
    now: f64,
    /// Standard deviation of ln use, over weeks.
    wiggle: f64,
    /// Relative standard deviation of the usual use.
    usual_sd: f64,
    /// Yearly swing of use: shares in phase with the turn of the year, and a quarter year later.
    swing: (f64, f64),
    /// Angle of the year now.
    angle: f64,
    /// What the totaliser showed last.
    last_total: f64,
    /// What is to come, at growing distances.
    ahead: Vec<Ahead>,
}

/// What will be made within so many days.
#[derive(Clone, Copy, Debug)]
struct Ahead {
    d: f64,
    litres: f64,
    ln_litres: f64,
    /// Standard deviation of that.
    sd: f64,
}

impl Clock {
    /// From the totaliser, else from the stated use, else from the flow.
    pub(super) fn of(history: &History<'_>, as_of: Timestamp, permeate_l_h: Option<f64>) -> Self {
        let angle = std::f64::consts::TAU * (days(Timestamp::UNIX_EPOCH, as_of) / 365.2425).fract();
        let plain = |usual_l_d: f64, scale_sd: f64| Self {
            points: Vec::new(),
            usual_l_d: usual_l_d.max(1e-3),
            year_l: usual_l_d.max(1e-3) * 365.25,
            scale_sd,
            now: 0.0,
            wiggle: USUAL_WIGGLE,
            usual_sd: 0.05,
            swing: (0.0, 0.0),
            angle,
            last_total: 0.0,
            ahead: Vec::new(),
        };
        let totals: Vec<(f64, f64)> = history
            .readings
            .iter()
            .filter(|reading| reading.at <= as_of)
            .filter_map(|reading| Some((days(as_of, reading.at), reading.get(Field::PermeateTotal)?)))
            .collect();
        if let Some(clock) = plain(1.0, READ_SD).through(&totals) {
            return clock.ready();
        }
        let told = match (history.unit.use_permeate_l_d, permeate_l_h) {
            (Some(stated), _) if stated > 0.0 => plain(stated, STATED_SD),
            (_, Some(flow)) => plain(flow * 24.0 * GUESSED_DUTY, GUESSED_SD),
            _ => plain(100.0, 1.0),
        };
        told.ready()
    }

    /// Through the totaliser's readings. An increment that is no increment, or far beyond the usual, is a slip
    /// of the pen or a new meter: the usual use stands in for it.
    fn through(mut self, totals: &[(f64, f64)]) -> Option<Self> {
        let mut rates: Vec<f64> = totals
            .windows(2)
            .filter(|pair| pair[1].0 - pair[0].0 > 3.0 && pair[1].1 > pair[0].1)
            .map(|pair| (pair[1].1 - pair[0].1) / (pair[1].0 - pair[0].0))
            .collect();
        if rates.len() < 2 {
            return None;
        }
        let middle = median(&mut rates)?;
        let mut points = vec![(totals.first()?.0, 0.0)];
        let mut spans: Vec<(f64, f64, f64)> = Vec::new();
        for pair in totals.windows(2) {
            let (step, from) = (pair[1].0 - pair[0].0, pair[0].0);
            let made = pair[1].1 - pair[0].1;
            let honest = made >= 0.0 && made <= 8.0 * middle * step + 0.5 * middle;
            let made = if honest { made } else { middle * step };
            let total = points.last()?.1 + made;
            points.push((pair[1].0, total));
            if honest && step > 5.0 && made > 0.0 {
                spans.push((from + 0.5 * step, step, made / step));
            }
        }
        let span = points.last()?.0 - points.first()?.0;
        self.usual_l_d = (points.last()?.1 / span).max(1e-3);
        self.year_l = self.usual_l_d * 365.25;
        self.last_total = totals.last()?.1;
        self.points = points;
        self.fit_swing(&spans, span);
        let seasonal = |clock: &Self, d: f64| clock.season(d).ln();
        let logs: Vec<(f64, f64, f64)> = spans
            .iter()
            .map(|(d, step, rate)| (*d, *step, (rate / self.usual_l_d).ln() - seasonal(&self, *d)))
            .collect();
        let n = logs.len() as f64;
        let variance = logs.iter().map(|(_, _, x)| x * x).sum::<f64>() + 4.0 * USUAL_WIGGLE.powi(2);
        self.wiggle = (variance / (n + 4.0)).sqrt().clamp(0.05, 0.8);
        self.usual_sd = self.wiggle * (2.0 * MEMORY_D / span.max(2.0 * MEMORY_D)).sqrt();
        self.now = self.use_now(&logs);
        Some(self)
    }

    /// ln of today's use over the usual one: a level that wanders and may grow, seen through the intervals.
    fn use_now(&self, logs: &[(f64, f64, f64)]) -> f64 {
        let variance = self.wiggle * self.wiggle;
        let trend = LocalTrend {
            // What wanders about a mean with this spread and memory moves so much in a day.
            level_variance: variance / MEMORY_D,
            slope_variance: 0.0,
        };
        let start = TrendState {
            mean: [0.0; 2],
            covariance: [[variance, 0.0], [0.0, (GROWTH_SD / 365.25).powi(2)]],
        };
        let mut before = logs.first().map_or(0.0, |(d, _, _)| *d);
        let seen: Vec<Seen> = logs
            .iter()
            .map(|(d, step, value)| {
                let since = (d - before).max(0.0);
                before = *d;
                Seen {
                    step: since,
                    value: *value,
                    // An interval shorter than the memory shows less of the mean that it is taken for.
                    noise: variance * (MEMORY_D / step).max(0.2),
                }
            })
            .collect();
        let last = trend.filter(&start, &seen).filtered.last().copied();
        let now = last.map(|state| trend.after(&state, (-before).max(0.0)));
        // What was last seen fades as the future does.
        let level = now.map_or(0.0, |state| state.mean[0]) * (before.min(0.0) / (4.0 * MEMORY_D)).exp();
        level.clamp(-1.0, 1.0)
    }

    /// A yearly swing, where more than a year was read; drawn towards none.
    fn fit_swing(&mut self, spans: &[(f64, f64, f64)], whole: f64) {
        if whole < 400.0 || spans.len() < 8 {
            return;
        }
        let (mut cc, mut cs, mut ss, mut cy, mut sy) = (0.0, 0.0, 0.0, 0.0, 0.0);
        let mut weights = 0.0;
        for (d, step, rate) in spans {
            let (s, c) = self.year(*d).sin_cos();
            let y = (rate / self.usual_l_d - 1.0).clamp(-1.0, 2.0);
            cc += step * c * c;
            cs += step * c * s;
            ss += step * s * s;
            cy += step * c * y;
            sy += step * s * y;
            weights += step;
        }
        // As much as 150 days without any swing.
        let shy = 75.0;
        let determinant = (cc + shy) * (ss + shy) - cs * cs;
        if weights > 0.0 && determinant > 0.0 {
            self.swing = (
                (cy * (ss + shy) - sy * cs) / determinant,
                (sy * (cc + shy) - cy * cs) / determinant,
            );
            let size = self.swing.0.hypot(self.swing.1);
            if size > 0.8 {
                self.swing = (self.swing.0 * 0.8 / size, self.swing.1 * 0.8 / size);
            }
        }
    }

    fn year(&self, d: f64) -> f64 {
        self.angle + std::f64::consts::TAU * d / 365.2425
    }

    /// Use at a day over the usual one, by the season alone.
    fn season(&self, d: f64) -> f64 {
        let (s, c) = self.year(d).sin_cos();
        (1.0 + self.swing.0 * c + self.swing.1 * s).max(0.1)
    }

    /// Litres made between two past days (counted from now, negative).
    pub(super) fn made_l(&self, from: f64, to: f64) -> f64 {
        (self.total(to) - self.total(from)).max(0.0)
    }

    /// Goes on to a later day with what the totaliser shows then. None where that is not as usual, or where there was
    /// no totaliser before.
    pub(super) fn go_on(&mut self, d: f64, total: Option<f64>) -> Option<()> {
        let Some(total) = total else { return Some(()) };
        let last = self.points.last().copied()?;
        let (step, made) = (d - last.0, total - self.last_total);
        let honest = step > 0.0 && made >= 0.0 && made <= 3.0 * self.usual_l_d * step + 0.5 * self.usual_l_d;
        self.points.push((d, last.1 + made));
        self.last_total = total;
        honest.then_some(())
    }

    /// Litres made until a past day, since some day before all.
    pub(super) fn total(&self, d: f64) -> f64 {
        let (Some(first), Some(last)) = (self.points.first(), self.points.last()) else {
            return d * self.usual_l_d;
        };
        if d <= first.0 {
            return (d - first.0) * self.usual_l_d;
        }
        if d >= last.0 {
            let recent = self.usual_l_d * self.now.exp() * self.season(0.5 * (d + last.0));
            return last.1 + (d - last.0) * recent;
        }
        let after = self.points.partition_point(|point| point.0 < d);
        let (Some(a), Some(b)) = (self.points.get(after.wrapping_sub(1)), self.points.get(after)) else {
            return last.1;
        };
        let share = (d - a.0) / (b.0 - a.0).max(1e-9);
        a.1 + share * (b.1 - a.1)
    }

    /// Litres that will be made within `d` days from now, in a future that draws `z` standard deviations more than
    /// usual.
    pub(super) fn to_come_l(&self, d: f64, z: f64) -> f64 {
        let point = self.ahead_of(d);
        point.litres * (point.sd * z).exp()
    }

    /// Litres within so many days in the usual future, and the standard deviation of their logarithm.
    fn ahead_of(&self, d: f64) -> Ahead {
        let w = std::f64::consts::TAU / 365.2425;
        let (s0, c0) = self.year(0.0).sin_cos();
        let (s1, c1) = self.year(d).sin_cos();
        let season = d + (self.swing.0 * (s1 - s0) - self.swing.1 * (c1 - c0)) / w;
        let recent = (self.now.exp() - 1.0) * MEMORY_D * (1.0 - (-d / MEMORY_D).exp()) * self.season(0.0);
        let alone = 2.0 * MEMORY_D / (d + 2.0 * MEMORY_D);
        let sd = (self.usual_sd.powi(2) + self.wiggle.powi(2) * alone * (1.0 - (-d / MEMORY_D).exp())).sqrt();
        let litres = self.usual_l_d * (season + recent).max(0.05 * d);
        Ahead {
            d,
            litres,
            ln_litres: litres.ln(),
            sd,
        }
    }

    /// With its table of what is to come.
    fn ready(mut self) -> Self {
        let mut d: f64 = 0.0;
        while d < HORIZON_D {
            self.ahead.push(self.ahead_of(d));
            d += AHEAD_STEP_D + 0.01 * d;
        }
        self.ahead.push(self.ahead_of(HORIZON_D));
        self
    }

    /// Days until so many litres are made, in such a future; at most the horizon.
    pub(super) fn days_to(&self, litres: f64, z: f64) -> f64 {
        if litres <= 0.0 {
            return 0.0;
        }
        let ln = litres.ln();
        let enough = |point: &Ahead| point.ln_litres + point.sd * z >= ln;
        if !self.ahead.last().is_some_and(enough) {
            return HORIZON_D;
        }
        // Between two points of the table by halving, then in a straight line.
        let after = self.ahead.partition_point(|point| !enough(point));
        let (Some(low), Some(high)) = (self.ahead.get(after.wrapping_sub(1)), self.ahead.get(after)) else {
            return 0.0;
        };
        if low.litres <= 0.0 {
            return high.d * litres / (high.litres * (high.sd * z).exp());
        }
        // By how much more is asked than is made by the first, over what the second makes more.
        let asked = grown(ln - low.ln_litres - low.sd * z);
        let made = grown(high.ln_litres - low.ln_litres + (high.sd - low.sd) * z);
        low.d + (high.d - low.d) * asked / made.max(1e-12)
    }

    /// The clock in years of usual use, between two past days.
    pub(super) fn years(&self, from: f64, to: f64) -> f64 {
        self.made_l(from, to) / self.year_l
    }
}

/// `e^x - 1`: of a small x, which most are, by its series, to a ten millionth of it.
fn grown(x: f64) -> f64 {
    if x.abs() < 0.03 {
        x * (1.0 + x / 2.0 * (1.0 + x / 3.0 * (1.0 + x / 4.0)))
    } else {
        x.exp_m1()
    }
}
