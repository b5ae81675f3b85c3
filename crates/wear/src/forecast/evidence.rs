//! Readings made ready as evidence: slips mended, instruments' errors, first guesses for what was not read.

use jiff::Timestamp;
use reading::{Field, Reading};
use unit::{TankKind, Unit};

use super::plant::{
    BACK, CONCENTRATE, CONCENTRATE_FLOW, FEED_SALT, INLET, MEMBRANE, PERMEATE_FLOW, PERMEATE_SALT, READ,
    TEMPERATURE,
};
use crate::complete::{feed_us_cm, gauge_sd_kpa, meter_sd, permeate_us_cm};
use crate::hydraulics as plumbing;
use crate::lives::days;
use crate::robust::median;
use crate::salt::Salt;
use crate::season::Season;
use crate::standardise::{History, Standardisation};

/// One reading as evidence.
#[derive(Clone, Debug)]
pub(super) struct Evidence {
    /// Days from now, negative.
    pub(super) day: f64,
    /// As read, or the best guess.
    pub(super) read: [f64; READ],
    /// Standard deviation of that.
    pub(super) sd: [f64; READ],
    pub(super) was_read: [bool; READ],
    /// Present guess of the true values.
    pub(super) guess: [f64; READ],
    /// Factor on each variance, over 1 for what is at odds with the rest.
    pub(super) doubt: [f64; READ],
    /// Pressure after each stage, kPa; NaN where it was not read.
    pub(super) between: Vec<f64>,
    pub(super) between_sd_kpa: f64,
    /// What the stages' law leaves out beyond the usual, kPa.
    pub(super) stages_sd_kpa: f64,
    /// What the laws of water and salt leave out beyond the usual, while membranes settle.
    pub(super) unsettled: [f64; 2],
}

/// The readings up to now with their slips mended: what [`crate::doubts`] suggests is taken, and what is at odds
/// without a suggestion is left out.
pub(super) fn mended(
    history: &History<'_>,
    standardisation: &Standardisation,
    as_of: Timestamp,
) -> Vec<Reading> {
    let up_to_now = history.readings.iter().filter(|reading| reading.at <= as_of);
    let mended = up_to_now.zip(&standardisation.readings).map(|(reading, one)| {
        let mut reading = reading.clone();
        for doubt in &one.doubts {
            reading.set(doubt.field, doubt.suggested);
        }
        reading
    });
    mended.collect()
}

/// What is usual at a unit: the first guesses for what was not read.
#[derive(Clone, Debug)]
pub(super) struct Usual {
    feed: f64,
    permeate_us: f64,
    permeate: f64,
    concentrate: f64,
    rise: f64,
    inlet: f64,
    season: Option<Season>,
    /// Middle of what was read and of what the label expects, as logarithms, in the order of [`COMPARED`].
    expected: [f64; COMPARED.len()],
}

/// What is compared with the other readings before the search begins.
const COMPARED: [(usize, Field); 5] = [
    (MEMBRANE, Field::MembranePressure),
    (CONCENTRATE, Field::ConcentratePressure),
    (PERMEATE_FLOW, Field::PermeateFlow),
    (CONCENTRATE_FLOW, Field::ConcentrateFlow),
    (INLET, Field::InletPressure),
];
/// Pressure before the first stage where nothing tells it, kPa (common practice, no source).
const LABEL_INLET_KPA: f64 = 300.0;
/// A value further off than this factor is taken for a slip until the laws say otherwise: a unit does not change by as much
/// from one reading to the next (common practice, no source).
const SLIP: f64 = 2.5;
/// A baseline's feed flow that is further off stands on a slip.
const REFERENCE: f64 = 2.0;
/// How much larger its error counts then.
const SLIP_DOUBT: f64 = 1e4;

impl Usual {
    /// Pressure before the first stage, kPa.
    pub(super) fn inlet(&self) -> f64 {
        self.inlet
    }

    /// Feed flow of the baseline, L/h, where what was read and the label do not make a slip of it; else what they make usual.
    pub(super) fn reference_l_h(&self, baseline: Option<f64>) -> f64 {
        let usual = self.expected[2].exp() + self.expected[3].exp();
        let sound = |flow: &f64| (flow / usual).ln().abs() < REFERENCE.ln();
        baseline.filter(sound).unwrap_or(usual)
    }

    pub(super) fn of(unit: &Unit, standardisation: &Standardisation, readings: &[Reading]) -> Self {
        let usual = |field: Field| {
            let mut values: Vec<f64> = readings
                .iter()
                .filter_map(|r| r.get(field))
                .filter(|v| *v > 0.0)
                .collect();
            median(&mut values)
        };
        let salt = &standardisation.salt;
        let usual_us = |of: &dyn Fn(&Reading) -> Option<f64>| {
            let mut values: Vec<f64> = readings.iter().filter_map(of).collect();
            median(&mut values)
        };
        let feed = usual_us(&|r| feed_us_cm(r, salt))
            .or(salt.feed_us_cm)
            .unwrap_or(500.0);
        let permeate_us = usual_us(&|r| permeate_us_cm(r, salt)).unwrap_or(0.04 * feed);
        let permeate = usual(Field::PermeateFlow).unwrap_or_else(|| {
            unit.membranes
                .elements
                .iter()
                .map(|e| 0.7 * e.rated.flow_l_h)
                .sum()
        });
        let concentrate = usual(Field::ConcentrateFlow).unwrap_or(unit.concentrate.restrictor.flow_l_h);
        let rise = plumbing::pumps_rise_kpa(unit, permeate + concentrate);
        let inlet = usual(Field::InletPressure)
            .or(
                nearest_to_middle(readings, Field::MembranePressure, LABEL_INLET_KPA + rise)
                    .map(|p| p - rise),
            )
            .unwrap_or(LABEL_INLET_KPA);
        let temperatures: Vec<(Timestamp, f64)> = readings
            .iter()
            .filter_map(|r| Some((r.at, r.get(Field::FeedTemperature)?)))
            .collect();
        let season = Season::fit(&temperatures);
        let label = [
            inlet + rise,
            inlet + rise,
            unit.membranes
                .elements
                .iter()
                .map(|e| 0.7 * e.rated.flow_l_h)
                .sum(),
            unit.concentrate.restrictor.flow_l_h,
            LABEL_INLET_KPA,
        ];
        let expected = std::array::from_fn(|i| {
            let (_, field) = COMPARED[i];
            let read = readings.iter().filter_map(|r| r.get(field)).filter(|v| *v > 0.0);
            let mut values: Vec<f64> = read.chain([label[i].max(1e-6)]).map(f64::ln).collect();
            median(&mut values).unwrap_or(0.0)
        });
        Self {
            feed,
            permeate_us,
            permeate,
            concentrate,
            rise,
            inlet,
            season,
            expected,
        }
    }

    /// Whether a reading says anything of flow, pressure or salt.
    pub(super) fn says_something(reading: &Reading) -> bool {
        let fields = [
            Field::PermeateFlow,
            Field::ConcentrateFlow,
            Field::MembranePressure,
            Field::ConcentratePressure,
            Field::PermeateConductivity,
            Field::PermeateTds,
        ];
        fields.iter().any(|field| reading.get(*field).is_some())
    }

    /// A reading as evidence, so many days from the time that days are counted from.
    pub(super) fn make(
        &self,
        unit: &Unit,
        salt: &Salt,
        reading: &Reading,
        day: f64,
        life_starts: &[f64],
    ) -> Evidence {
        let Self {
            feed,
            permeate_us,
            permeate,
            concentrate,
            rise,
            inlet,
            season,
            expected,
        } = *self;
        let gauge = gauge_sd_kpa(unit);
        let bucket = unit.instruments.bucket_error;
        let positive = |field: Field| reading.get(field).filter(|v| *v > 0.0 && v.is_finite());
        let membrane = positive(Field::MembranePressure);
        let end = positive(Field::ConcentratePressure);
        let t = reading
            .get(Field::FeedTemperature)
            .filter(|t| (-5.0..=60.0).contains(t));
        let t_guess = season.map_or(15.0, |season| season.at(reading.at));
        let membrane_guess =
            end.unwrap_or_else(|| positive(Field::InletPressure).unwrap_or(inlet) + 0.95 * rise);
        let channel = plumbing::channel_drop_kpa(unit, concentrate + 0.5 * permeate, t.unwrap_or(t_guess));
        let end_guess = (membrane.unwrap_or(membrane_guess) - channel).max(5.0);
        let back = match unit.permeate.tank.map(|tank| tank.kind) {
            Some(TankKind::Pressurised { precharge_kpa }) => (1.5 * precharge_kpa, 0.5 * precharge_kpa),
            _ => (0.0, 1.0),
        };
        let lift = plumbing::lift_kpa(unit, t.unwrap_or(t_guess));
        let feed_read = feed_us_cm(reading, salt);
        let permeate_read = permeate_us_cm(reading, salt);
        let thermometer = unit.instruments.thermometer_error_c;
        let mut all = Evidence {
            day,
            read: [0.0; READ],
            sd: [1.0; READ],
            was_read: [false; READ],
            guess: [0.0; READ],
            doubt: [1.0; READ],
            between: unit
                .stages
                .iter()
                .map(|stage| {
                    reading
                        .pressure_after_kpa
                        .get(&stage.id)
                        .copied()
                        .unwrap_or(f64::NAN)
                })
                .collect(),
            between_sd_kpa: unit.instruments.gauge_error_kpa,
            stages_sd_kpa: 0.01 * rise,
            unsettled: [0.0; 2],
        };
        let mut put = |f: usize, read: Option<f64>, sd: f64, guess: f64, guess_sd: f64| {
            all.read[f] = read.unwrap_or(guess);
            all.sd[f] = if read.is_some() { sd } else { guess_sd };
            all.was_read[f] = read.is_some();
            all.guess[f] = all.read[f];
        };
        put(INLET, positive(Field::InletPressure), gauge, inlet, 80.0);
        put(MEMBRANE, membrane, gauge, membrane_guess, 300.0);
        put(CONCENTRATE, end, gauge, end_guess, 300.0);
        put(
            PERMEATE_FLOW,
            positive(Field::PermeateFlow).map(f64::ln),
            bucket,
            permeate.ln(),
            1.0,
        );
        put(
            CONCENTRATE_FLOW,
            positive(Field::ConcentrateFlow).map(f64::ln),
            bucket,
            concentrate.ln(),
            1.0,
        );
        put(
            TEMPERATURE,
            t,
            0.7 * thermometer,
            t_guess,
            season.map_or(5.0, |s| s.sd_c.max(1.0)),
        );
        let ln_salt = |us: f64| (us * salt.ratio).ln();
        let (feed_meter, permeate_meter) = (&unit.instruments.feed_meter, &unit.instruments.permeate_meter);
        let feed_sd = feed_read.map_or(0.1, |us| meter_sd(feed_meter, us));
        put(FEED_SALT, feed_read.map(ln_salt), feed_sd, ln_salt(feed), 0.1);
        let permeate_sd = permeate_read.map_or(1.0, |us| meter_sd(permeate_meter, us).min(0.3));
        put(
            PERMEATE_SALT,
            permeate_read.map(ln_salt),
            permeate_sd,
            ln_salt(permeate_us),
            1.0,
        );
        // An open tank's back pressure is better known than a gauge near the foot of its scale tells.
        let gauge_read = reading
            .get(Field::PermeatePressure)
            .filter(|p| p.is_finite() && *p > 3.0);
        put(BACK, gauge_read, gauge, back.0 + lift, back.1);
        for ((f, field), expected) in COMPARED.into_iter().zip(expected) {
            let read = positive(field).map(f64::ln);
            if read.is_some_and(|read| (read - expected).abs() > SLIP.ln()) {
                all.doubt[f] = SLIP_DOUBT;
                all.guess[f] = if f < PERMEATE_FLOW {
                    expected.exp()
                } else {
                    expected
                };
            }
        }
        let since = life_starts
            .iter()
            .rev()
            .find(|start| **start <= day)
            .map(|start| day - start);
        if since.is_some_and(|since| since < 2.0) {
            all.unsettled = [0.05, 0.20];
        }
        let settled = reading.get(Field::RunningFor);
        if settled.is_none_or(|minutes| minutes < crate::baseline::RUNNING_MINUTES) {
            all.unsettled[1] = all.unsettled[1].hypot(0.1);
        }
        all
    }
}

/// Of what was read in a field, the value nearest to the middle of all and of what the label expects: of two that are at odds
/// not the mean.
fn nearest_to_middle(readings: &[Reading], field: Field, label: f64) -> Option<f64> {
    let read = || readings.iter().filter_map(|r| r.get(field)).filter(|v| *v > 0.0);
    let mut values: Vec<f64> = read().chain([label]).collect();
    let middle = median(&mut values)?;
    read().min_by(|a, b| (a - middle).abs().total_cmp(&(b - middle).abs()))
}

/// The evidence of all readings that say anything of flow, pressure or salt.
pub(super) fn of_all(
    usual: &Usual,
    unit: &Unit,
    salt: &Salt,
    readings: &[Reading],
    as_of: Timestamp,
    life_starts: &[f64],
) -> Vec<Evidence> {
    let telling = readings.iter().filter(|reading| Usual::says_something(reading));
    telling
        .map(|reading| usual.make(unit, salt, reading, days(as_of, reading.at), life_starts))
        .collect()
}
