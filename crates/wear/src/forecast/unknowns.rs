//! What is not known of a unit, before any reading: a mean and a standard deviation for each unknown.

use std::ops::Range;

use unit::{StageKind, Unit};

use super::plant::{CARBON_DIOXIDE, EXPONENT, FILM, PUMP, RESTRICTOR, WARMTH};
use super::prior::Prior;
use super::timeline::{Filter, MembraneCourse, SETTLED_D, Timeline};

/// Gauges with an offset of their own: inlet, membrane, concentrate.
pub(super) const GAUGES: usize = 3;

/// Hermia's exponent before it is known which law holds: mean and standard deviation.
const LAW: (f64, f64) = (1.1, 0.6);

/// Where each unknown stands in the vector.
#[derive(Clone, Debug, Default)]
pub(super) struct Unknowns {
    pub(super) mean: Vec<f64>,
    pub(super) sd: Vec<f64>,
    /// Where the search begins: the means, but for rates of wear, which begin at a typical unit's. From a feed's far lower or
    /// higher ones the search has run into corners.
    pub(super) start: Vec<f64>,
    pub(super) restrictor: usize,
    pub(super) exponent: usize,
    pub(super) warmth: usize,
    pub(super) film: usize,
    pub(super) pump: usize,
    pub(super) carbon_dioxide: usize,
    /// Steps by which restrictor and pump wander, one for each stretch of time.
    pub(super) drifts: [Range<usize>; 2],
    /// Standard deviation of their steps at most units, over that where the search begins.
    tight: f64,
    pub(super) offsets: usize,
    pub(super) compaction: usize,
    /// ln of what oxidant does against what it should.
    pub(super) oxidation: usize,
    /// Share of the lost flow, and of the risen drop, that a cleaning brings back.
    pub(super) cleaning: [usize; 2],
    /// Change of ln rate at each change of the feed: of fouling and of loading.
    pub(super) feed_shifts: Range<usize>,
    /// ln of each slot's clean resistance.
    pub(super) clean: Vec<usize>,
    /// ln of the membranes' rates a year of usual use, of the unit; the first of three.
    pub(super) rates: usize,
    pub(super) membranes: Vec<MembraneUnknowns>,
    pub(super) filters: Vec<FilterUnknowns>,
    /// Unknowns before this one are of past lives only: what comes has nothing to do with them.
    pub(super) first_live: usize,
    /// Unknowns from here on are of the newest membranes and of the unit as a whole.
    pub(super) first_of_membranes: usize,
}

/// Of one life of the membranes: water, salt, channel.
#[derive(Clone, Debug)]
pub(super) struct MembraneUnknowns {
    /// ln against the label, at a week old.
    pub(super) level: [usize; 3],
    /// How its ln rates differ from the unit's; the first of three.
    pub(super) rate: usize,
    /// Changes of the rate at the knots, relative to it, three for each knot.
    pub(super) bends: Range<usize>,
    /// What each cleaning did besides, three for each.
    pub(super) jumps: Range<usize>,
    /// ln of what oxidant does in it against the unit's; of none where none is let through.
    pub(super) attack: Option<usize>,
}

/// Of one filter stage that loads up.
#[derive(Clone, Debug)]
pub(super) struct FilterUnknowns {
    /// ln of the rate of loading a year of usual use, of the unit.
    pub(super) rate: usize,
    /// Hermia's exponent.
    pub(super) exponent: usize,
    /// Share of the added resistance that washing leaves.
    pub(super) kept: usize,
    /// How each life's ln rate differs.
    pub(super) lives: Vec<usize>,
    /// How each life's ln clean resistance differs.
    pub(super) cleans: Vec<usize>,
}

impl FilterUnknowns {
    /// How this life's ln rate differs.
    pub(super) fn life(&self, life: usize) -> usize {
        self.lives.get(life).copied().unwrap_or(self.rate)
    }

    /// How this life's ln clean resistance differs.
    pub(super) fn clean(&self, life: usize) -> usize {
        self.cleans.get(life).copied().unwrap_or(self.rate)
    }
}

impl Unknowns {
    fn add(&mut self, mean: f64, sd: f64) -> usize {
        self.mean.push(mean);
        self.sd.push(sd);
        self.mean.len() - 1
    }

    fn add_each(&mut self, count: usize, mean: f64, sd: f64) -> Range<usize> {
        let from = self.mean.len();
        for _ in 0..count {
            self.add(mean, sd);
        }
        from..self.mean.len()
    }

    /// All unknowns of a unit with this timeline.
    ///
    /// `shifts`: mean and standard deviation of what each change of the feed does to ln rates, of membranes and of filters;
    /// `is_attacked`: whether oxidant may have reached the membranes.
    pub(super) fn of(
        unit: &Unit,
        timeline: &Timeline,
        prior: &Prior,
        ln_limits: &[f64],
        shifts: &[[(f64, f64); 2]],
        is_attacked: bool,
    ) -> Self {
        let mut all = Self::default();
        // Past lives come first: what hangs together with few others is best eliminated first.
        let filter_lives: Vec<(Vec<usize>, Vec<usize>)> = timeline
            .filters
            .iter()
            .map(|filter| all.filter_lives(filter, filter.first_of_newest(), prior))
            .collect();
        // Later membranes have the new feed too, as far as it was told; what readings made of a change is not carried over to
        // them: their rates differ by as much.
        let known = |course: &MembraneCourse| -> f64 {
            let changes = timeline.feed_changes.iter().zip(shifts);
            let before = changes.filter(|(day, _)| **day <= course.start_d + SETTLED_D);
            before.map(|(_, [(mean, _), _])| mean).sum()
        };
        let newest = timeline.membranes.len().saturating_sub(1);
        for course in &timeline.membranes[..newest] {
            let unknowns = all.membrane(course, known(course), unit, prior, is_attacked);
            all.membranes.push(unknowns);
        }
        // Nothing that comes hangs on how restrictor and pump came to be what they are.
        let stages = unit.stages.iter();
        let pumped = stages
            .filter(|stage| matches!(stage.kind, StageKind::Pump { .. }))
            .count()
            > 0;
        all.drifts = [true, pumped].map(|has| {
            let from = all.mean.len();
            for years in timeline.drift.years().filter(|_| has) {
                all.add(0.0, prior.wander_sd.0 * years.sqrt());
            }
            from..all.mean.len()
        });
        all.tight = prior.wander_sd.1 / prior.wander_sd.0;
        all.first_live = all.mean.len();
        for ((filter, ln_limit), (mut lives, mut cleans)) in
            timeline.filters.iter().zip(ln_limits).zip(filter_lives)
        {
            for _ in lives.len()..filter.lives.len() {
                lives.push(all.add(0.0, prior.life_rate_sd));
                cleans.push(all.add(0.0, prior.life_clean_sd));
            }
            let kind = unit.stages.get(filter.stage).map(|stage| &stage.kind);
            let others = matches!(kind, Some(StageKind::Sediment { .. }));
            // Half as long as usual, or twice, is common.
            let rate = ln_limit.max(0.2) / prior.filter_life_years;
            let unknowns = FilterUnknowns {
                rate: all.add(rate.ln(), if others { prior.filter_rate_sd } else { 1.2 }),
                exponent: all.add(LAW.0, LAW.1),
                kept: all.add(prior.washed_keeps.0, prior.washed_keeps.1),
                lives,
                cleans,
            };
            all.filters.push(unknowns);
        }
        all.first_of_membranes = all.mean.len();
        for course in &timeline.membranes[newest..] {
            let unknowns = all.membrane(course, known(course), unit, prior, is_attacked);
            all.membranes.push(unknowns);
        }
        all.restrictor = all.add(0.0, prior.restrictor_sd);
        all.exponent = all.add(0.0, prior.exponent_sd);
        all.warmth = all.add(
            0.0,
            prior.temperature_coefficient_sd / unit.temperature_coefficient(),
        );
        all.film = all.add(0.0, prior.film_sd);
        all.pump = all.add(0.0, prior.pump_sd);
        all.carbon_dioxide = all.add(prior.carbon_dioxide_us_cm.0, prior.carbon_dioxide_us_cm.1);
        let gauge = unit.instruments.gauge_error_kpa * crate::complete::GAUGE_OFFSET_SHARE.sqrt();
        all.offsets = all.add_each(GAUGES, 0.0, gauge).start;
        all.compaction = all.add(prior.compaction.0, prior.compaction.1);
        all.oxidation = all.add(0.0, prior.oxidation_sd.0);
        all.cleaning = [
            all.add(prior.cleaning.0, prior.cleaning.1),
            all.add(prior.cleaning.0, prior.cleaning.1),
        ];
        let from = all.mean.len();
        for (mean, sd) in shifts.iter().flatten() {
            all.add(*mean, *sd);
        }
        all.feed_shifts = from..all.mean.len();
        for slot in &timeline.slots {
            // Where no clean drop is stated, that of a typical cartridge is less well known than a stated one.
            let stated = unit
                .stages
                .get(*slot)
                .is_some_and(|stage| stage.clean_drop.is_some());
            let sd = if stated { prior.clean_drop_sd } else { 1.0 };
            let index = all.add(0.0, sd);
            all.clean.push(index);
        }
        all.rates = all.mean.len();
        for (median, sd) in prior.membrane_rates {
            all.add(median.ln(), sd);
        }
        all.start = all.mean.clone();
        let typical = Prior::default();
        let by_life = (prior.filter_life_years / typical.filter_life_years).ln();
        for filter in &all.filters {
            all.start[filter.rate] += by_life;
        }
        for (start, (median, _)) in all.start[all.rates..].iter_mut().zip(typical.membrane_rates) {
            *start = median.ln();
        }
        all
    }

    /// The unknowns that the plant's laws take as they are: direction and index.
    pub(super) fn of_plant(&self) -> [(usize, usize); 6] {
        [
            (RESTRICTOR, self.restrictor),
            (EXPONENT, self.exponent),
            (WARMTH, self.warmth),
            (FILM, self.film),
            (PUMP, self.pump),
            (CARBON_DIOXIDE, self.carbon_dioxide),
        ]
    }

    /// The steps by which one of the directions of [`Self::of_plant`] wanders.
    pub(super) fn drift_of(&self, direction: usize) -> Range<usize> {
        match direction {
            RESTRICTOR => self.drifts[0].clone(),
            PUMP => self.drifts[1].clone(),
            _ => 0..0,
        }
    }

    /// Moves the standard deviations of what wanders to what the steps so far ask for: most restrictors and pumps hardly do, and
    /// one that wears wears on (Student's distribution with one degree of freedom over all steps of one together).
    pub(super) fn loosen(&self, x: &[f64], sd: &mut [f64]) {
        const FREEDOM: f64 = 1.0;
        for steps in &self.drifts {
            let each = || steps.clone().zip(&self.sd[steps.clone()]);
            let squares: f64 = each()
                .map(|(i, widest)| (x[i] / (self.tight * widest)).powi(2))
                .sum();
            let wider = ((FREEDOM + squares) / (FREEDOM + steps.len() as f64)).sqrt();
            for (i, widest) in each() {
                sd[i] = self.tight * widest * wider;
            }
        }
    }

    /// The same with Hermia's exponent known.
    pub(super) fn with_law(&self, exponent: f64) -> Self {
        let mut all = self.clone();
        for filter in &self.filters {
            if let (Some(mean), Some(sd)) =
                (all.mean.get_mut(filter.exponent), all.sd.get_mut(filter.exponent))
            {
                (*mean, *sd) = (exponent, 1e-3);
            }
        }
        all
    }

    /// Unknowns of the lives before one.
    fn filter_lives(&mut self, filter: &Filter, before: usize, prior: &Prior) -> (Vec<usize>, Vec<usize>) {
        let lives = filter.lives.iter().take(before);
        lives
            .map(|_| {
                (
                    self.add(0.0, prior.life_rate_sd),
                    self.add(0.0, prior.life_clean_sd),
                )
            })
            .unzip()
    }

    /// Unknowns of one life of the membranes; `known`: what is known beforehand of its ln rate of fouling against the unit's.
    fn membrane(
        &mut self,
        course: &MembraneCourse,
        known: f64,
        unit: &Unit,
        prior: &Prior,
        is_attacked: bool,
    ) -> MembraneUnknowns {
        // Elements of one batch are alike, those of two only partly.
        let count = (unit.membranes.elements.len().max(1) as f64).sqrt().min(1.3);
        let level = [
            self.add(0.0, prior.water_sd / count),
            self.add(0.0, prior.salt_sd / count),
            self.add(0.0, prior.channel_sd),
        ];
        let own_sd = prior.life_rate_sd * 1.5;
        let rate = self.add(known, own_sd);
        self.add_each(2, 0.0, own_sd);
        let bends = self.add_each(3 * course.knots.len(), 0.0, prior.bend_sd);
        let from = self.mean.len();
        for _ in &course.cleanings {
            for sd in prior.jump_sd {
                self.add(0.0, sd);
            }
        }
        let jumps = from..self.mean.len();
        MembraneUnknowns {
            level,
            rate,
            bends,
            jumps,
            attack: is_attacked.then(|| self.add(0.0, prior.oxidation_sd.1)),
        }
    }
}
