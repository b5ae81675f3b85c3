//! The state of the parts that wear at any day, from the unknowns, with derivatives by them.

use super::clock::Clock;
use super::exposure::Exposure;
use super::hermia;
use super::timeline::{Filter, SETTLED_D, Timeline};
use super::unknowns::Unknowns;

/// Derivatives of one quantity: (index of the unknown, derivative).
pub(super) type Slopes = Vec<(usize, f64)>;

/// Where derivatives go as they are found.
pub(super) trait Derivatives {
    /// One more.
    fn push(&mut self, one: (usize, f64));
    /// How many there are.
    fn count(&self) -> usize;
    /// Multiplies all from one on.
    fn scale(&mut self, from: usize, by: f64);
}

impl Derivatives for Slopes {
    fn push(&mut self, one: (usize, f64)) {
        Vec::push(self, one);
    }

    fn count(&self) -> usize {
        self.len()
    }

    fn scale(&mut self, from: usize, by: f64) {
        for (_, slope) in self.iter_mut().skip(from) {
            *slope *= by;
        }
    }
}

/// Nobody asks for them.
pub(super) struct NoSlopes;

impl Derivatives for NoSlopes {
    fn push(&mut self, _: (usize, f64)) {}

    fn count(&self) -> usize {
        0
    }

    fn scale(&mut self, _: usize, _: f64) {}
}

/// What a day is to a life of the membranes, whatever the unknowns are.
pub(super) struct Moment {
    d: f64,
    /// Years on the clock since it was a week old.
    years: f64,
    /// Oxidant met since then, in what doubles salt permeability.
    met: f64,
    /// ln of (days + 1), over that of a week.
    settled: f64,
}

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
        self.membrane_at(x, life, &self.moment(life, d), which, slopes)
    }

    /// A day in this life of the membranes.
    pub(super) fn moment(&self, life: usize, d: f64) -> Moment {
        let start = self
            .timeline
            .membranes
            .get(life)
            .map_or(0.0, |course| course.start_d);
        let age = (d - start).max(0.1);
        Moment {
            d,
            years: self.clock.years(start + SETTLED_D, d),
            met: self.exposure.between(start + SETTLED_D, d),
            settled: (1.0 + age).ln() - (1.0 + SETTLED_D).ln(),
        }
    }

    /// The filter that loads up in a slot.
    pub(super) fn filter_of(&self, slot: usize) -> Option<usize> {
        self.timeline
            .filters
            .iter()
            .position(|filter| filter.slot == slot)
    }

    /// [`Self::membrane`] with the day's own numbers told.
    pub(super) fn membrane_at(
        &self,
        x: &[f64],
        life: usize,
        moment: &Moment,
        which: usize,
        slopes: &mut impl Derivatives,
    ) -> f64 {
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
        // A layer that grows with the water made adds its resistance to the membrane's, 1/A = (1 + w)/A_0; what lets
        // salt through and what narrows the channel add up likewise. Cleanings take a share of w away.
        let from = slopes.count();
        let mut worn = self.worn(x, life, moment.years, which, slopes);
        for (c, (cleaned_d, removable)) in course.cleanings.iter().enumerate() {
            if *cleaned_d > moment.d {
                break;
            }
            let jump = own.jumps.start + 3 * c + which;
            worn += sign * at(jump);
            slopes.push((jump, sign));
            // Salt that leaked through a damaged membrane goes on leaking.
            let share = match which {
                0 => self.unknowns.cleaning[0],
                2 => self.unknowns.cleaning[1],
                _ => continue,
            };
            let lost = self.ln_rate(x, life, which).exp() * removable;
            worn -= at(share) * lost;
            slopes.push((share, -lost));
            self.push_rate(life, which, -at(share) * lost, slopes);
        }
        let whole = 1.0 + worn.max(-0.5);
        value += sign * whole.ln();
        slopes.scale(from, sign / whole);
        if which == 0 {
            value -= at(self.unknowns.compaction) * moment.settled;
            slopes.push((self.unknowns.compaction, -moment.settled));
        }
        if which < 2 {
            // B = B_0 (1 + X) and A = A_0 (B/B_0)^0.1 (`model.md` 5).
            let share = if which == 1 { 1.0 } else { FLOW_OF_OXIDISED };
            if moment.met > 0.0 {
                let own_ln = own.attack.map_or(0.0, at);
                let attack = (at(self.unknowns.oxidation) + own_ln).exp() * moment.met;
                value += share * attack.ln_1p();
                let slope = share * attack / (1.0 + attack);
                slopes.push((self.unknowns.oxidation, slope));
                if let Some(own) = own.attack {
                    slopes.push((own, slope));
                }
            }
        }
        value
    }

    /// What wear added since a week old, as a share of new, cleanings aside.
    fn worn(&self, x: &[f64], life: usize, years: f64, which: usize, slopes: &mut impl Derivatives) -> f64 {
        let (Some(course), Some(own)) = (
            self.timeline.membranes.get(life),
            self.unknowns.membranes.get(life),
        ) else {
            return 0.0;
        };
        let at = |i: usize| x.get(i).copied().unwrap_or(0.0);
        let rate = self.ln_rate(x, life, which).exp();
        // Years at the rate before any change of the feed; of those since each change the shift is a derivative.
        let (mut effective, mut start, mut ln) = (0.0, 0.0, 0.0_f64);
        for (change, from) in &course.feed_changes {
            if *from >= years {
                break;
            }
            effective += ln.exp() * (from - start);
            start = *from;
            ln += self.feed_shift(x, *change, which);
        }
        effective += ln.exp() * (years - start);
        let (mut since, mut end) = (0.0, years);
        for (change, from) in course.feed_changes.iter().rev().filter(|(_, from)| *from < years) {
            since += ln.exp() * (end - from);
            end = *from;
            ln -= self.feed_shift(x, *change, which);
            slopes.push((self.unknowns.feed_shifts.start + 2 * change, rate * since));
        }
        for (k, knot) in course.knots.iter().enumerate() {
            let since = (years - knot).max(0.0);
            if since > 0.0 {
                let bend = own.bends.start + 3 * k + which;
                effective += at(bend) * since;
                slopes.push((bend, rate * since));
            }
        }
        let worn = rate * effective;
        self.push_rate(life, which, worn, slopes);
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

    /// Change of a ln rate at a change of the feed. What is known of the new feed (silt, scale) says nothing of how the salt
    /// gets through: there only what the readings add to it counts.
    fn feed_shift(&self, x: &[f64], change: usize, which: usize) -> f64 {
        let index = self.unknowns.feed_shifts.start + 2 * change;
        let known = if which == 1 {
            self.unknowns.mean.get(index)
        } else {
            None
        };
        x.get(index).copied().unwrap_or(0.0) - known.copied().unwrap_or(0.0)
    }

    /// The derivatives of something proportional to a rate.
    fn push_rate(&self, life: usize, which: usize, slope: f64, slopes: &mut impl Derivatives) {
        let own = self.unknowns.membranes.get(life).map_or(0, |own| own.rate);
        for of in [Some(which), (which == 2).then_some(0)].into_iter().flatten() {
            slopes.push((self.unknowns.rates + of, slope));
            slopes.push((own + of, slope));
        }
    }

    /// Rate of wear now, a year of usual use, as a share of new.
    pub(super) fn membrane_rate(&self, x: &[f64], life: usize, which: usize) -> f64 {
        let (Some(course), Some(own)) = (
            self.timeline.membranes.get(life),
            self.unknowns.membranes.get(life),
        ) else {
            return 0.0;
        };
        let at = |i: usize| x.get(i).copied().unwrap_or(0.0);
        let shifts = course.feed_changes.iter();
        let ln: f64 = shifts.map(|(change, _)| self.feed_shift(x, *change, which)).sum();
        let factor = ln.exp();
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
        let from = slopes.len();
        let resistance = self.loaded_with_slopes(x, filter, index, (first, life), d, slopes);
        for (_, slope) in slopes.iter_mut().skip(from) {
            *slope /= resistance;
        }
        let value = resistance.ln();
        let clean = own.clean(first);
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
        self.loaded_by(x, filter, index, (first, last), d, 0.0, None)
    }

    fn loaded_with_slopes(
        &self,
        x: &[f64],
        filter: &Filter,
        index: usize,
        chain: (usize, usize),
        d: f64,
        slopes: &mut Slopes,
    ) -> f64 {
        const STEP: f64 = 1e-4;
        let value = self.loaded_by(x, filter, index, chain, d, 0.0, Some(slopes));
        // Where the law is not settled its exponent has a derivative too.
        if let Some(own) = self.unknowns.filters.get(index)
            && self.unknowns.sd.get(own.exponent).is_some_and(|sd| *sd > 0.01)
        {
            let moved = self.loaded_by(x, filter, index, chain, d, STEP, None);
            slopes.push((own.exponent, (moved - value) / STEP));
        }
        value
    }

    /// The same with the exponent moved, and with derivatives where they are wanted (but by the exponent).
    fn loaded_by(
        &self,
        x: &[f64],
        filter: &Filter,
        index: usize,
        (first, last): (usize, usize),
        d: f64,
        moved: f64,
        mut slopes: Option<&mut Slopes>,
    ) -> f64 {
        let Some(own) = self.unknowns.filters.get(index) else {
            return 1.0;
        };
        let at = |i: usize| x.get(i).copied().unwrap_or(0.0);
        let exponent = at(own.exponent).clamp(0.0, 2.0) + moved;
        let kept = at(own.kept).clamp(0.0, 0.9);
        let from = slopes.as_ref().map_or(0, |slopes| slopes.len());
        let mut resistance = 1.0;
        for i in first..=last {
            let Some(life) = filter.lives.get(i) else {
                continue;
            };
            let until = if i == last { d } else { life.end_d };
            let rate = at(own.rate) + at(own.life(i));
            let loading = self.loading(x, rate, life.start_d, until);
            let start = resistance;
            resistance = hermia::smooth_resistance(start, loading, exponent);
            if let Some(slopes) = slopes.as_deref_mut() {
                let (by_start, by_loading) = hermia::smooth_slopes(start, resistance, exponent);
                for (_, slope) in slopes.iter_mut().skip(from) {
                    *slope *= by_start;
                }
                slopes.push((own.rate, by_loading * loading));
                slopes.push((own.life(i), by_loading * loading));
                for (change, day) in self.timeline.feed_changes.iter().enumerate() {
                    if *day < until {
                        // What was loaded after the change goes by its shift.
                        let after = self.loading_after(x, rate, change, life.start_d, until);
                        slopes.push((
                            self.unknowns.feed_shifts.start + 2 * change + 1,
                            by_loading * after,
                        ));
                    }
                }
                if i < last {
                    for (_, slope) in slopes.iter_mut().skip(from) {
                        *slope *= kept;
                    }
                    slopes.push((own.kept, resistance - 1.0));
                }
            }
            if i < last {
                resistance = 1.0 + kept * (resistance - 1.0);
            }
        }
        resistance
    }

    /// The part of [`Self::loading`] after one change of the feed.
    fn loading_after(&self, x: &[f64], ln_rate: f64, change: usize, from: f64, to: f64) -> f64 {
        let day = self.timeline.feed_changes.get(change).copied().unwrap_or(to);
        if day <= from {
            return self.loading(x, ln_rate, from, to);
        }
        self.loading(x, ln_rate, from, to) - self.loading(x, ln_rate, from, day)
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
    pub(super) fn filter_now(&self, x: &[f64], index: usize, now_d: f64) -> Option<FilterNow> {
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
            loaded: self.loaded(x, filter, index, first, life, now_d),
            clean: (at(own.clean(first))
                + self.unknowns.clean.get(filter.slot).map_or(0.0, |slot| at(*slot)))
            .exp(),
            ln_rate: at(own.rate) + at(own.life(life)) + shifts,
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
