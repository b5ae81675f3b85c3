//! Every reading of a unit carried over to the conditions of its baseline.

use jiff::Timestamp;
use reading::{Event, Field, Reading};
use unit::Unit;
use water::Analysis;

use crate::baseline::{self, Baseline, Candidate, RUNNING_MINUTES};
use crate::complete::{Completion, Estimated, Learned, complete};
use crate::d4516::{Standardised, standardise_one};
use crate::doubts::{self, Doubt};
use crate::lives::{MembraneLife, commissioned, days, elements_in, membrane_lives};
use crate::membranes::{Factors, Membranes};
use crate::salt::Salt;

/// Standard deviation of the temperature coefficient, per degree (`model.md` 2).
pub const TEMPERATURE_COEFFICIENT_SD: f64 = 0.003;
/// Why `relative_pressure_drop` is not given.
pub const DROP_TOO_SMALL: &str = "drop too small for the gauges";

/// A unit with everything that was read at it and done to it, up to some time.
#[derive(Clone, Copy, Debug)]
pub struct History<'a> {
    /// The unit as built.
    pub unit: &'a Unit,
    /// Its feed, where it was analysed.
    pub water: Option<&'a Analysis>,
    /// In order of time.
    pub readings: &'a [Reading],
    /// In order of time.
    pub events: &'a [Event],
}

/// A value with one standard deviation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// One standard deviation.
    pub sd: f64,
}

/// One reading, standardised as far as it goes.
#[derive(Clone, Debug, PartialEq)]
pub struct StandardisedReading {
    /// When.
    pub at: Timestamp,
    /// The reading, complete; none where temperature, flow or any pressure is missing.
    pub completion: Option<Completion>,
    /// Carried over; none where it is not complete.
    pub standardised: Option<Standardised>,
    /// Which of the membranes' lives it belongs to.
    pub life: usize,
    /// Standardised permeate flow, L/h, with everything that is not known of it.
    pub permeate_flow: Option<Estimate>,
    /// Standardised salt passage.
    pub salt_passage: Option<Estimate>,
    /// Standardised pressure drop, kPa.
    pub pressure_drop: Option<Estimate>,
    /// Permeate flow over the baseline's.
    pub relative_permeate_flow: Option<Estimate>,
    /// Salt passage over the baseline's.
    pub relative_salt_passage: Option<Estimate>,
    /// Pressure drop over the baseline's.
    pub relative_pressure_drop: Option<Estimate>,
    /// What is wanted and can't be computed.
    pub missing: Vec<Field>,
    /// What is at odds with the other readings.
    pub doubts: Vec<Doubt>,
    /// Whether it ran at least a quarter of an hour, or nobody says otherwise.
    pub settled: bool,
}

impl StandardisedReading {
    /// What was computed because it was not read.
    pub fn estimated(&self) -> &[Estimated] {
        self.completion
            .as_ref()
            .map_or(&[], |completion| &completion.estimated)
    }

    /// Whether its permeate flow may be built upon.
    pub fn flow_is_sound(&self) -> bool {
        self.relative_permeate_flow.is_some() && self.settled && !self.doubts.iter().any(Doubt::touches_flow)
    }

    /// Whether its salt passage may be built upon.
    pub fn salt_is_sound(&self) -> bool {
        self.relative_salt_passage.is_some() && self.settled && !self.doubts.iter().any(Doubt::touches_salt)
    }
}

/// A unit's readings, standardised.
#[derive(Clone, Debug, PartialEq)]
pub struct Standardisation {
    /// One for each reading, in order of time.
    pub readings: Vec<StandardisedReading>,
    /// The membranes' lives.
    pub lives: Vec<MembraneLife>,
    /// The baseline of each life; none where a life has no complete reading.
    pub baselines: Vec<Option<Baseline>>,
    /// How conductivities were read.
    pub salt: Salt,
    /// What the readings taught.
    pub learned: Learned,
    /// What was assumed, in sentences.
    pub assumed: Vec<String>,
}

impl Standardisation {
    /// The last reading whose flow may be built upon.
    pub fn last_sound(&self) -> Option<(usize, &StandardisedReading)> {
        self.readings
            .iter()
            .enumerate()
            .rev()
            .find(|(_, reading)| reading.flow_is_sound())
    }

    /// The baseline of a reading's life.
    pub fn baseline_of(&self, reading: &StandardisedReading) -> Option<&Baseline> {
        self.baselines.get(reading.life).and_then(Option::as_ref)
    }

    /// The first sound reading of a life: a single reading with whose raw values another may be compared.
    pub fn baseline_reading(&self, life: usize) -> Option<usize> {
        self.readings
            .iter()
            .position(|one| one.life == life && one.flow_is_sound())
    }
}

/// Standardises a unit's readings (ASTM D4516; `model.md` 4).
///
/// Nothing is corrected: a reading at odds with the others is named in its `doubts`, and kept out of the
/// baseline.
pub fn standardise(history: &History<'_>) -> Standardisation {
    let salt = Salt::of(history.water);
    let learned = Learned::from_readings(history.unit, &salt, history.readings);
    let start = commissioned(history.unit, history.readings, history.events);
    let mut lives = membrane_lives(history.unit, start, history.events);
    if lives.is_empty()
        && let Some(first) = history.readings.first()
    {
        lives.push(MembraneLife {
            start: first.at,
            renewed: (0..history.unit.membranes.elements.len()).collect(),
        });
    }
    let completions: Vec<Result<Completion, Vec<Field>>> = history
        .readings
        .iter()
        .map(|reading| complete(history.unit, &salt, &learned, reading))
        .collect();
    // A first pass without doubts finds the reference that the doubts are judged by; the second leaves the
    // doubtful ones out of the baseline.
    let mut doubts: Vec<Vec<Doubt>> = vec![Vec::new(); history.readings.len()];
    let fitted = Fitted::of(history, &lives);
    let pass = Pass {
        history,
        salt: &salt,
        membranes: fitted
            .units
            .iter()
            .map(|unit| Membranes::of(unit, history.water))
            .collect(),
        fitted: &fitted,
        lives: &lives,
        completions: &completions,
    };
    let (first, baselines) = pass.run(&doubts);
    let context = doubts::Context {
        history,
        salt: &salt,
        learned: &learned,
        readings: &first,
        baselines: &baselines,
    };
    for (index, found) in doubts::find(&context) {
        if let Some(list) = doubts.get_mut(index) {
            list.push(found);
        }
    }
    let (readings, baselines) = pass.run(&doubts);
    let assumed = salt.assumed.clone();
    Standardisation {
        readings,
        lives,
        baselines,
        salt,
        learned,
        assumed,
    }
}

/// The unit with the elements that each life of the membranes ran with.
struct Fitted {
    /// Each once.
    units: Vec<Unit>,
    /// Which of them, by life.
    of_life: Vec<usize>,
}

impl Fitted {
    fn of(history: &History<'_>, lives: &[MembraneLife]) -> Self {
        let mut units = vec![history.unit.clone()];
        let mut of_life = Vec::with_capacity(lives.len());
        for life in lives {
            let elements = elements_in(history.unit, life, history.events);
            let known = units.iter().position(|unit| unit.membranes.elements == elements);
            of_life.push(known.unwrap_or(units.len()));
            if known.is_none() {
                let mut unit = history.unit.clone();
                unit.membranes.elements = elements;
                units.push(unit);
            }
        }
        Self { units, of_life }
    }
}

struct Pass<'a> {
    history: &'a History<'a>,
    salt: &'a Salt,
    fitted: &'a Fitted,
    /// The membranes of each fitted unit.
    membranes: Vec<Membranes<'a>>,
    lives: &'a [MembraneLife],
    completions: &'a [Result<Completion, Vec<Field>>],
}

impl Pass<'_> {
    fn life_of(&self, at: Timestamp) -> usize {
        self.lives
            .iter()
            .rposition(|life| days(life.start, at) > -0.5)
            .unwrap_or(0)
    }

    fn run(&self, doubts: &[Vec<Doubt>]) -> (Vec<StandardisedReading>, Vec<Option<Baseline>>) {
        let readings = self.history.readings;
        let life_of: Vec<usize> = readings.iter().map(|reading| self.life_of(reading.at)).collect();
        let settled = |reading: &Reading| {
            reading
                .get(Field::RunningFor)
                .is_none_or(|minutes| minutes >= RUNNING_MINUTES)
                && !reading.observed.contains(&reading::Observed::JustStarted)
        };
        let count = self.history.unit.membranes.elements.len();
        let mut elements = vec![Factors::default(); count];
        let mut baselines: Vec<Option<Baseline>> = Vec::with_capacity(self.lives.len());
        for (life, (one, fitted)) in self.lives.iter().zip(&self.fitted.of_life).enumerate() {
            let (Some(unit), Some(membranes)) = (self.fitted.units.get(*fitted), self.membranes.get(*fitted))
            else {
                continue;
            };
            for renewed in &one.renewed {
                if let Some(element) = elements.get_mut(*renewed) {
                    *element = Factors::default();
                }
            }
            let candidates: Vec<Candidate<'_>> = readings
                .iter()
                .enumerate()
                .filter(|(index, _)| life_of[*index] == life)
                .filter_map(|(index, reading)| {
                    let completion = self.completions[index].as_ref().ok()?;
                    let usable =
                        settled(reading) && doubts[index].is_empty() && driving_is_positive(self, completion);
                    Some(Candidate {
                        at: reading.at,
                        completion,
                        usable,
                    })
                })
                .collect();
            let found = baseline::find(unit, self.salt, membranes, &elements, one.start, &candidates);
            // Elements that stay when others are renewed begin the next life as they were last seen.
            let some_stay = self
                .lives
                .get(life + 1)
                .is_some_and(|next| next.renewed.len() < count);
            if let Some(baseline) = found.as_ref().filter(|_| some_stay) {
                elements = baseline::worn(membranes, &elements, &baseline.reference, &candidates);
            }
            baselines.push(found);
        }
        let standardised = readings
            .iter()
            .enumerate()
            .map(|(index, reading)| {
                let life = life_of[index];
                let baseline = baselines.get(life).and_then(Option::as_ref);
                let mut one = StandardisedReading {
                    at: reading.at,
                    completion: None,
                    standardised: None,
                    life,
                    permeate_flow: None,
                    salt_passage: None,
                    pressure_drop: None,
                    relative_permeate_flow: None,
                    relative_salt_passage: None,
                    relative_pressure_drop: None,
                    missing: Vec::new(),
                    doubts: doubts[index].clone(),
                    settled: settled(reading),
                };
                match &self.completions[index] {
                    Err(missing) => one.missing.clone_from(missing),
                    Ok(completion) => {
                        one.missing.clone_from(&completion.missing);
                        if let Some(baseline) = baseline {
                            self.carry_over(&mut one, reading, completion, baseline);
                        }
                        one.completion = Some(completion.clone());
                    }
                }
                one
            })
            .collect();
        (standardised, baselines)
    }

    /// Standardises one complete reading and sets its values with what is not known of them.
    fn carry_over(
        &self,
        one: &mut StandardisedReading,
        reading: &Reading,
        completion: &Completion,
        baseline: &Baseline,
    ) {
        let raw = standardise_one(&completion.complete, &baseline.reference);
        if !(raw.driving_kpa > 0.0) {
            return;
        }
        let degrees = completion.complete.temperature_c;
        // What the permeability does per degree is known to 0.003, which counts from the temperature that
        // the value is carried to: 25 C for the value itself, the baseline's for the ratio.
        let by_degree = TEMPERATURE_COEFFICIENT_SD / self.history.unit.temperature_coefficient();
        let (to_25, to_baseline) = (
            by_degree * (degrees - 25.0),
            by_degree * (degrees - baseline.temperature_c),
        );
        let settling = days(baseline.start, one.at) < 2.0;
        let flow_extra: f64 = if settling { 0.05 } else { 0.0 };
        let mut salt_extra: f64 = if settling { 0.20 } else { 0.0 };
        if reading.get(Field::RunningFor).is_none() {
            salt_extra = salt_extra.hypot(0.10);
        }
        let osmotic = self.salt.osmotic_sd
            * baseline
                .reference
                .osmotic_kpa(raw.feed_side_mg_l, degrees + 273.15)
            / raw.driving_kpa;
        let offset =
            self.history.unit.instruments.gauge_error_kpa * crate::complete::GAUGE_OFFSET_SHARE.sqrt();
        let thermometer = baseline.reference.ln_temperature_coefficient
            * self.history.unit.instruments.thermometer_error_c
            * crate::complete::THERMOMETER_OFFSET_SHARE.sqrt();
        let anew = raw.permeate_sd.hypot(flow_extra);
        // A gauge's offset and the osmotic rule act on the reading and on the baseline alike; what is left is
        // the difference of their shares in the driving pressure.
        let shared_left = (offset / raw.driving_kpa - offset / baseline.reference.driving_kpa).abs();
        let absolute = anew
            .hypot(to_25)
            .hypot(osmotic)
            .hypot(offset / raw.driving_kpa)
            .hypot(thermometer);
        one.permeate_flow = Some(Estimate {
            value: raw.permeate_l_h,
            sd: raw.permeate_l_h * absolute,
        });
        let relative = raw.permeate_l_h / baseline.permeate.0;
        let relative_sd = anew
            .hypot(baseline.permeate.1)
            .hypot(to_baseline)
            .hypot(shared_left);
        one.relative_permeate_flow = Some(Estimate {
            value: relative,
            sd: relative * relative_sd,
        });
        if completion.has_permeate {
            let permeate_us = completion.complete.permeate_mg_l / self.salt.ratio;
            let co2 = self.salt.co2_sd_us_cm / permeate_us;
            let anew = raw.salt_passage_sd.hypot(salt_extra);
            let meter = reading.meter_factor_sd * 0.1;
            let absolute = anew.hypot(to_25).hypot(co2).hypot(thermometer).hypot(meter);
            one.salt_passage = Some(Estimate {
                value: raw.salt_passage,
                sd: raw.salt_passage * absolute,
            });
            if let Some((passage, passage_sd)) = baseline.salt_passage {
                let relative = raw.salt_passage / passage;
                let baseline_us = passage * completion.complete.feed_mg_l / self.salt.ratio;
                let co2_left = (co2 - self.salt.co2_sd_us_cm / baseline_us.max(1.0)).abs();
                let sd = anew.hypot(passage_sd).hypot(to_baseline).hypot(co2_left);
                one.relative_salt_passage = Some(Estimate {
                    value: relative,
                    sd: relative * sd,
                });
            }
        }
        if completion.has_drop {
            one.pressure_drop = Some(Estimate {
                value: raw.drop_kpa,
                sd: raw.drop_sd_kpa,
            });
            if let Some((drop, drop_sd)) = baseline.drop {
                let value = raw.drop_kpa / drop;
                let sd = (raw.drop_sd_kpa / drop).hypot(value * drop_sd / drop);
                one.relative_pressure_drop = Some(Estimate { value, sd });
            }
        }
        one.standardised = Some(raw);
    }
}

/// Whether the reading has any driving pressure; without it nothing of it can be carried over.
fn driving_is_positive(pass: &Pass<'_>, completion: &Completion) -> bool {
    let complete = &completion.complete;
    let kelvin = complete.temperature_c + 273.15;
    let y = complete.permeate_l_h / (complete.permeate_l_h + complete.concentrate_l_h);
    let feed_side = complete.feed_mg_l * -(1.0 - y).ln() / y;
    let pi = |c: f64| pass.salt.osmotic_slope * c * kelvin / (1000.0 - pass.salt.osmotic_curve * c / 1000.0);
    complete.membrane_kpa - complete.drop_kpa / 2.0 - complete.back_kpa - pi(feed_side)
        + pi(complete.permeate_mg_l)
        > 0.0
}
