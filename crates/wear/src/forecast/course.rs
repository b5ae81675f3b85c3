//! The state of the parts that wear at any day, from the unknowns, with derivatives by them.

use super::clock::Clock;
use super::exposure::Exposure;
use super::hermia;
use super::timeline::{Filter, MembraneCourse, SETTLED_D, Timeline};
use super::unknowns::Unknowns;

/// Derivatives of one quantity: (index of the unknown, derivative).
pub(super) type Slopes = Vec<(usize, f64)>;

/// Share of earlier wear that counts again as removable at the next cleaning.
const LEFT_TO_CLEAN: f64 = 0.5;

/// Exponent of water permeability on salt permeability as oxidant attacks (`model.md` 5; from memory).
const FLOW_OF_OXIDISED: f64 = 0.1;

/// The courses of all parts.
pub(super) struct Courses<'a> {
    pub(super) unknowns: &'a Unknowns,
    pub(super) timeline: &'a Timeline,
    pub(super) clock: &'a Clock,
    pub(super) exposure: &'a Exposure,
}

/// Water, salt and channel: which way wear takes their logarithms.
pub(super) const SIGN: [f64; 3] = [-1.0, 1.0, 1.0];

impl Courses<'_> {
    /// The life of the membranes on a day.
    pub(super) fn membrane_life(&self, d: f64) -> usize {
        let lives = &self.timeline.membranes;
        lives.iter().rposition(|life| life.start_d <= d).unwrap_or(0)
    }

    /// ln of water permeability, salt permeability or drop against the label, on a day of this life.
    pub(super) fn membrane(&self, x: &[f64], life: usize, d: f64, which: usize, slopes: &mut Slopes) -> f64 {
        let (Some(course), Some(own)) = (
            self.timeline.membranes.get(life),
            self.unknowns.membranes.get(life),
        ) else {
            return 0.0;
        };
        let sign = SIGN[which];
        let at = |i: usize| x.get(i).copied().unwrap_or(0.0);
        let mut value = at(own.level[which]);
        slopes.push((own.level[which], 1.0));
        let settled = course.start_d + SETTLED_D;
        let years = self.clock.years(settled, d);
        let worn = self.worn(x, life, years, which, slopes, sign);
        value += sign * worn;
        if which == 0 {
            let age = (d - course.start_d).max(0.1);
            let weight = (1.0 + age).ln() - (1.0 + SETTLED_D).ln();
            value -= at(self.unknowns.compaction) * weight;
            slopes.push((self.unknowns.compaction, -weight));
        }
        if which < 2 {
            // B = B_0 (1 + X) and A = A_0 (B/B_0)^0.1 (`model.md` 5).
            let share = if which == 1 { 1.0 } else { FLOW_OF_OXIDISED };
            let met = self.exposure.between(course.start_d, d);
            if met > 0.0 {
                let attack = at(self.unknowns.oxidation).exp() * met;
                value += share * attack.ln_1p();
                slopes.push((self.unknowns.oxidation, share * attack / (1.0 + attack)));
            }
        }
        for (c, (cleaned_d, removable)) in self.cleanings(course).enumerate() {
            if cleaned_d > d {
                break;
            }
            let jump = own.jumps.start + 3 * c + which;
            value += at(jump);
            slopes.push((jump, 1.0));
            // Salt that leaked through a damaged membrane goes on leaking.
            let share = match which {
                0 => self.unknowns.cleaning[0],
                2 => self.unknowns.cleaning[1],
                _ => continue,
            };
            let lost = self.ln_rate(x, life, which).exp() * removable;
            value -= sign * at(share) * lost;
            slopes.push((share, -sign * lost));
            self.push_rate(life, which, -sign * at(share) * lost, slopes);
        }
        value
    }

    /// What wear took since a week old, in logarithms, cleanings aside.
    fn worn(&self, x: &[f64], life: usize, years: f64, which: usize, slopes: &mut Slopes, sign: f64) -> f64 {
        let (Some(course), Some(own)) = (
            self.timeline.membranes.get(life),
            self.unknowns.membranes.get(life),
        ) else {
            return 0.0;
        };
        let at = |i: usize| x.get(i).copied().unwrap_or(0.0);
        let rate = self.ln_rate(x, life, which).exp();
        let mut effective = years;
        for (change, from) in &course.feed_changes {
            let since = (years - from).max(0.0);
            if since > 0.0 {
                let shift = self.unknowns.feed_shifts.start + 2 * change;
                let factor = at(shift).exp();
                effective += since * (factor - 1.0);
                slopes.push((shift, sign * rate * since * factor));
            }
        }
        for (k, knot) in course.knots.iter().enumerate() {
            let since = (years - knot).max(0.0);
            if since > 0.0 {
                let bend = own.bends.start + 3 * k + which;
                effective += at(bend) * since;
                slopes.push((bend, sign * rate * since));
            }
        }
        let worn = rate * effective;
        self.push_rate(life, which, sign * worn, slopes);
        worn
    }

    /// ln of a rate: the unit's and how this life differs. What fouls the membrane narrows the channel too, so that
    /// the channel's rate is told relative to the water's.
    fn ln_rate(&self, x: &[f64], life: usize, which: usize) -> f64 {
        let at = |i: usize| x.get(i).copied().unwrap_or(0.0);
        let own = self.unknowns.membranes.get(life).map_or(0, |own| own.rate);
        let of = |which: usize| at(self.unknowns.rates + which) + at(own + which);
        if which == 2 { of(0) + of(2) } else { of(which) }
    }

    /// The derivatives of something proportional to a rate.
    fn push_rate(&self, life: usize, which: usize, slope: f64, slopes: &mut Slopes) {
        let own = self.unknowns.membranes.get(life).map_or(0, |own| own.rate);
        for of in [Some(which), (which == 2).then_some(0)].into_iter().flatten() {
            slopes.push((self.unknowns.rates + of, slope));
            slopes.push((own + of, slope));
        }
    }

    /// Day of each cleaning, and how many years of wear it found to remove.
    fn cleanings(&self, course: &MembraneCourse) -> impl Iterator<Item = (f64, f64)> {
        let settled = course.start_d + SETTLED_D;
        let mut before = 0.0;
        course.cleanings.iter().map(move |d| {
            let years = self.clock.years(settled, *d);
            let removable = (years - before * (1.0 - LEFT_TO_CLEAN)).max(0.0);
            before = years;
            (*d, removable)
        })
    }

    /// Rate of wear now, a year of usual use, by the last life's unknowns; in logarithms against the limit's sense.
    pub(super) fn membrane_rate(&self, x: &[f64], life: usize, which: usize) -> f64 {
        let (Some(course), Some(own)) = (
            self.timeline.membranes.get(life),
            self.unknowns.membranes.get(life),
        ) else {
            return 0.0;
        };
        let at = |i: usize| x.get(i).copied().unwrap_or(0.0);
        let shift = course.feed_changes.last();
        let factor = shift.map_or(1.0, |(change, _)| {
            at(self.unknowns.feed_shifts.start + 2 * change).exp()
        });
        let bends: f64 = (0..course.knots.len())
            .map(|k| at(own.bends.start + 3 * k + which))
            .sum();
        self.ln_rate(x, life, which).exp() * (factor + bends).max(0.15)
    }

    /// ln of a filter's resistance over its clean label's, on a day.
    pub(super) fn filter(&self, x: &[f64], index: usize, d: f64, slopes: &mut Slopes) -> f64 {
        let (Some(filter), Some(own)) = (self.timeline.filters.get(index), self.unknowns.filters.get(index))
        else {
            return 0.0;
        };
        let life = filter
            .lives
            .iter()
            .rposition(|life| life.start_d <= d)
            .unwrap_or(0);
        let first = (0..=life)
            .rev()
            .find(|i| filter.lives.get(*i).is_none_or(|l| !l.washed))
            .unwrap_or(0);
        let at = |i: usize| x.get(i).copied().unwrap_or(0.0);
        let mut own_x = Vec::with_capacity(8);
        own_x.extend([own.rate, own.exponent, own.kept]);
        own_x.extend((first..=life).map(|i| own.lives.start + i));
        for (change, day) in self.timeline.feed_changes.iter().enumerate() {
            if *day < d {
                own_x.push(self.unknowns.feed_shifts.start + 2 * change + 1);
            }
        }
        let value = self.loaded(x, filter, index, first, life, d).ln();
        let mut moved = x.to_vec();
        for i in own_x {
            const STEP: f64 = 1e-4;
            if let Some(place) = moved.get_mut(i) {
                let kept = *place;
                *place += STEP;
                slopes.push((
                    i,
                    (self.loaded(&moved, filter, index, first, life, d).ln() - value) / STEP,
                ));
                if let Some(place) = moved.get_mut(i) {
                    *place = kept;
                }
            }
        }
        let clean = own.cleans.start + first;
        slopes.push((clean, 1.0));
        let mut sum = value + at(clean);
        if let Some(slot) = self.unknowns.clean.get(filter.slot) {
            slopes.push((*slot, 1.0));
            sum += at(*slot);
        }
        sum
    }

    /// Resistance over the clean cartridge's, at the end of a chain of washings.
    fn loaded(&self, x: &[f64], filter: &Filter, index: usize, first: usize, last: usize, d: f64) -> f64 {
        let Some(own) = self.unknowns.filters.get(index) else {
            return 1.0;
        };
        let at = |i: usize| x.get(i).copied().unwrap_or(0.0);
        let exponent = at(own.exponent).clamp(0.0, 2.0);
        let kept = at(own.kept).clamp(0.0, 0.9);
        let mut resistance = 1.0;
        for i in first..=last {
            let Some(life) = filter.lives.get(i) else { continue };
            let until = if i == last { d } else { life.end_d };
            let rate = at(own.rate) + at(own.lives.start + i);
            let loading = self.loading(x, rate, life.start_d, until);
            resistance = hermia::smooth_resistance(resistance, loading, exponent);
            if i < last {
                resistance = 1.0 + kept * (resistance - 1.0);
            }
        }
        resistance
    }

    /// Loading between two days: rate times years on the clock, with the feed's changes.
    fn loading(&self, x: &[f64], ln_rate: f64, from: f64, to: f64) -> f64 {
        let at = |i: usize| x.get(i).copied().unwrap_or(0.0);
        let (mut sum, mut start, mut ln) = (0.0, from, ln_rate);
        for (change, day) in self.timeline.feed_changes.iter().enumerate() {
            if *day >= to {
                break;
            }
            let day = day.max(start);
            sum += ln.exp() * self.clock.years(start, day);
            start = day;
            ln += at(self.unknowns.feed_shifts.start + 2 * change + 1);
        }
        sum + ln.exp() * self.clock.years(start, to)
    }

    /// State of a filter now: resistance over its clean label's, the part of it that loads, ln rate and exponent.
    pub(super) fn filter_now(&self, x: &[f64], index: usize) -> Option<FilterNow> {
        let filter = self.timeline.filters.get(index)?;
        let own = self.unknowns.filters.get(index)?;
        let at = |i: usize| x.get(i).copied().unwrap_or(0.0);
        let life = filter.lives.len().checked_sub(1)?;
        let first = (0..=life)
            .rev()
            .find(|i| filter.lives.get(*i).is_none_or(|l| !l.washed))
            .unwrap_or(0);
        let shifts: f64 = (0..self.timeline.feed_changes.len())
            .map(|change| at(self.unknowns.feed_shifts.start + 2 * change + 1))
            .sum();
        Some(FilterNow {
            loaded: self.loaded(x, filter, index, first, life, 0.0),
            clean: (at(own.cleans.start + first)
                + self.unknowns.clean.get(filter.slot).map_or(0.0, |slot| at(*slot)))
            .exp(),
            ln_rate: at(own.rate) + at(own.lives.start + life) + shifts,
            exponent: at(own.exponent).clamp(0.0, 2.0),
        })
    }
}

/// A filter as it is now.
#[derive(Clone, Copy, Debug)]
pub(super) struct FilterNow {
    /// Resistance over that of the clean cartridge.
    pub(super) loaded: f64,
    /// The clean cartridge's over its label's.
    pub(super) clean: f64,
    /// ln of the rate of loading a year of usual use.
    pub(super) ln_rate: f64,
    /// Hermia's.
    pub(super) exponent: f64,
}
