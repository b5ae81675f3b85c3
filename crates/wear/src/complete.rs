//! Making a reading complete: what was not read and can be computed from the unit is, with the standard
//! deviation that it adds (`model.md` 4). Temperature and permeate flow are never filled in.

use reading::{Field, Reading};
use unit::Unit;

use crate::d4516::Complete;
use crate::hydraulics as plumbing;
use crate::salt::Salt;

/// A value that was computed because it was not read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimated {
    /// Which.
    pub field: Field,
    /// In its base unit.
    pub value: f64,
    /// One standard deviation, in its base unit.
    pub sd: f64,
}

/// A reading made complete as far as it goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Completion {
    /// The complete reading; `permeate_mg_l` and `feed_mg_l` are usable only where `has_permeate`.
    pub complete: Complete,
    /// Whether the permeate's salt was read.
    pub has_permeate: bool,
    /// Whether both ends of the channel were read, so that its drop says something.
    pub has_drop: bool,
    /// What was computed.
    pub estimated: Vec<Estimated>,
    /// What is wanted and can't be computed.
    pub missing: Vec<Field>,
}

/// What the unit's own readings have taught about what its label does not tell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Learned {
    /// Factor on the restrictor's labelled flow, and the standard deviation of its logarithm.
    pub restrictor: (f64, f64),
    /// The feed's conductivity where a reading lacks it, uS/cm, and its relative standard deviation.
    pub feed_us_cm: Option<(f64, f64)>,
}

/// Share of a gauge's variance that is its offset, the same in every reading; the rest is made anew
/// (common practice, no source).
pub const GAUGE_OFFSET_SHARE: f64 = 0.5;
/// As above, of a thermometer.
pub const THERMOMETER_OFFSET_SHARE: f64 = 0.5;

/// Standard deviation that a pressure gauge makes anew in each reading, kPa.
pub fn gauge_sd_kpa(unit: &Unit) -> f64 {
    unit.instruments.gauge_error_kpa * (1.0 - GAUGE_OFFSET_SHARE).sqrt()
}

impl Learned {
    /// From all readings of the unit: medians, so that a slip here and there does no harm.
    pub fn from_readings(unit: &Unit, salt: &Salt, readings: &[Reading]) -> Self {
        let mut ratios = Vec::new();
        let mut feeds = Vec::new();
        for reading in readings {
            if let Some(us_cm) = feed_us_cm(reading, salt) {
                feeds.push(us_cm.ln());
            }
            let pressure = reading
                .get(Field::ConcentratePressure)
                .or(reading.get(Field::MembranePressure));
            if let (Some(flow), Some(pressure), Some(t)) = (
                reading.get(Field::ConcentrateFlow),
                pressure,
                reading.get(Field::FeedTemperature),
            ) {
                let law = plumbing::restrictor_flow_l_h(unit, pressure, t);
                if flow > 0.0 && law > 0.0 {
                    ratios.push((flow / law).ln());
                }
            }
        }
        // A restrictor differs from its label by about 10 % (common practice, no source).
        let restrictor = match crate::robust::median(&mut ratios) {
            Some(middle) => {
                let n = ratios.len() as f64;
                (
                    middle.exp(),
                    crate::robust::spread(&ratios, middle).unwrap_or(0.05).max(0.02) / n.sqrt() + 0.02,
                )
            }
            None => (1.0, 0.10),
        };
        let feed_us_cm = match crate::robust::median(&mut feeds) {
            Some(middle) => Some((
                middle.exp(),
                crate::robust::spread(&feeds, middle).unwrap_or(0.1).max(0.03),
            )),
            None => salt.feed_us_cm.map(|us_cm| (us_cm, 0.1)),
        };
        Self {
            restrictor,
            feed_us_cm,
        }
    }
}

fn positive(value: Option<f64>) -> Option<f64> {
    value.filter(|value| *value > 0.0 && value.is_finite())
}

/// The feed's conductivity as read, uS/cm; dissolved salt by the water's own ratio.
pub fn feed_us_cm(reading: &Reading, salt: &Salt) -> Option<f64> {
    positive(reading.get(Field::FeedConductivity))
        .or(positive(reading.get(Field::FeedTds)).map(|c| c / salt.ratio))
}

/// The permeate's conductivity as read, uS/cm.
pub fn permeate_us_cm(reading: &Reading, salt: &Salt) -> Option<f64> {
    positive(reading.get(Field::PermeateConductivity))
        .or(positive(reading.get(Field::PermeateTds)).map(|c| c / salt.ratio))
}

/// Relative standard deviation of a conductivity read on this meter.
pub fn meter_sd(meter: &unit::Meter, us_cm: f64) -> f64 {
    let step = meter.step / meter.factor.unwrap_or(1.0) / 12f64.sqrt();
    let absolute = meter.absolute_error_us_cm.hypot(step);
    meter.relative_error.hypot(absolute / us_cm)
}

/// Makes a reading complete. The error is what is missing.
pub fn complete(
    unit: &Unit,
    salt: &Salt,
    learned: &Learned,
    reading: &Reading,
) -> Result<Completion, Vec<Field>> {
    let mut missing = Vec::new();
    let mut estimated = Vec::new();
    let temperature = reading.get(Field::FeedTemperature);
    let permeate = positive(reading.get(Field::PermeateFlow));
    if temperature.is_none() {
        missing.push(Field::FeedTemperature);
    }
    if permeate.is_none() {
        missing.push(Field::PermeateFlow);
    }
    let inlet = reading.get(Field::InletPressure);
    let membrane = positive(reading.get(Field::MembranePressure));
    let concentrate = positive(reading.get(Field::ConcentratePressure));
    let concentrate_flow = positive(reading.get(Field::ConcentrateFlow));
    if inlet.is_none() && membrane.is_none() && concentrate.is_none() && concentrate_flow.is_none() {
        missing.push(Field::InletPressure);
    }
    let feed_read = feed_us_cm(reading, salt);
    let permeate_salt = permeate_us_cm(reading, salt);
    if permeate_salt.is_none() {
        missing.push(Field::PermeateConductivity);
    }
    if feed_read.is_none() && learned.feed_us_cm.is_none() {
        missing.push(Field::FeedConductivity);
    }
    let (Some(t), Some(q)) = (temperature, permeate) else {
        return Err(missing);
    };

    let pressures = Pressures { unit, learned, t, q };
    let Some(solved) = pressures.solve(inlet, membrane, concentrate, concentrate_flow) else {
        return Err(missing);
    };
    let gauge = gauge_sd_kpa(unit);
    let bucket = unit.instruments.bucket_error;
    if concentrate_flow.is_none() {
        let sd = solved.flow_sd * solved.concentrate_l_h;
        estimated.push(Estimated {
            field: Field::ConcentrateFlow,
            value: solved.concentrate_l_h,
            sd,
        });
    }
    if membrane.is_none() {
        let field = Field::MembranePressure;
        estimated.push(Estimated {
            field,
            value: solved.membrane_kpa,
            sd: solved.membrane_sd_kpa,
        });
    }
    if concentrate.is_none() {
        let field = Field::ConcentratePressure;
        let value = solved.membrane_kpa - solved.drop_kpa;
        estimated.push(Estimated {
            field,
            value,
            sd: solved.membrane_sd_kpa.hypot(solved.drop_sd_kpa),
        });
    }
    let (back, back_sd) = match reading.get(Field::PermeatePressure) {
        Some(back) => (back, gauge),
        None => {
            let (value, sd) = back_pressure(unit, t);
            estimated.push(Estimated {
                field: Field::PermeatePressure,
                value,
                sd,
            });
            (value, sd)
        }
    };
    let (feed, feed_sd) = match (feed_read, learned.feed_us_cm) {
        (Some(us_cm), _) => (us_cm, meter_sd(&unit.instruments.feed_meter, us_cm)),
        (None, Some((us_cm, sd))) => {
            estimated.push(Estimated {
                field: Field::FeedConductivity,
                value: us_cm,
                sd: us_cm * sd,
            });
            (us_cm, sd)
        }
        // Without any word on the feed its osmotic pressure is that of a middling supply.
        (None, None) => (500.0, 0.5),
    };
    let permeate_meter = &unit.instruments.permeate_meter;
    let permeate_us = permeate_salt.unwrap_or(feed * 0.04);
    // A conductivity holds carbon dioxide, a concentration does not. Near what the gas alone makes the meter's
    // error weighs the more on what is left.
    let permeate_mg_l = match positive(reading.get(Field::PermeateConductivity)) {
        Some(us_cm) => salt.permeate_mg_l(us_cm),
        None => permeate_us * salt.ratio,
    };
    let steepness = permeate_us * salt.ratio / permeate_mg_l;
    let complete = Complete {
        permeate_l_h: q,
        concentrate_l_h: solved.concentrate_l_h,
        temperature_c: t,
        membrane_kpa: solved.membrane_kpa,
        drop_kpa: solved.drop_kpa,
        back_kpa: back,
        feed_mg_l: feed * salt.ratio,
        permeate_mg_l,
        driving_sd_kpa: solved
            .membrane_sd_kpa
            .hypot(solved.drop_sd_kpa / 2.0)
            .hypot(back_sd),
        drop_sd_kpa: solved.drop_sd_kpa,
        permeate_flow_sd: bucket,
        concentrate_flow_sd: solved.flow_sd,
        feed_relative_sd: feed_sd,
        feed_sd_mg_l: 0.0,
        permeate_sd_mg_l: 0.0,
        permeate_relative_sd: permeate_salt.map_or(0.5, |us_cm| meter_sd(permeate_meter, us_cm) * steepness),
        temperature_sd_c: unit.instruments.thermometer_error_c * (1.0 - THERMOMETER_OFFSET_SHARE).sqrt(),
    };
    let has_permeate = permeate_salt.is_some() && !missing.contains(&Field::FeedConductivity);
    let has_drop = membrane.is_some() && concentrate.is_some();
    Ok(Completion {
        complete,
        has_permeate,
        has_drop,
        estimated,
        missing,
    })
}

/// Back pressure where nobody read it: the lift; in a pressurised tank somewhere between its charge and
/// the shut-off.
fn back_pressure(unit: &Unit, t: f64) -> (f64, f64) {
    let lift = plumbing::lift_kpa(unit, t);
    match unit.permeate.tank.map(|tank| tank.kind) {
        Some(unit::TankKind::Pressurised { precharge_kpa }) => {
            (lift + precharge_kpa * 1.5, precharge_kpa * 0.5)
        }
        _ => (lift, 1.0),
    }
}

/// The pressures and the concentrate flow of one reading, as far as they were not read.
struct Pressures<'a> {
    unit: &'a Unit,
    learned: &'a Learned,
    t: f64,
    q: f64,
}

struct Solved {
    concentrate_l_h: f64,
    flow_sd: f64,
    membrane_kpa: f64,
    membrane_sd_kpa: f64,
    drop_kpa: f64,
    drop_sd_kpa: f64,
}

impl Pressures<'_> {
    /// Pressure at the membranes with this concentrate flow, from whatever gauge there was; and its sd.
    fn membrane(&self, inlet: Option<f64>, concentrate: Option<f64>, flow: f64) -> Option<(f64, f64)> {
        let gauge = gauge_sd_kpa(self.unit);
        if let Some(concentrate) = concentrate {
            let drop = plumbing::channel_drop_kpa(self.unit, flow + self.q / 2.0, self.t);
            return Some((concentrate + drop, gauge.hypot(drop * 0.3)));
        }
        let feed = flow + self.q;
        let drop = plumbing::stages_drop_kpa(self.unit, feed, self.t);
        let rise = plumbing::pumps_rise_kpa(self.unit, feed);
        // How loaded the stages are nobody knows: up to a quarter of their limit either way counts as likely.
        let load: f64 = self
            .unit
            .stages
            .iter()
            .filter_map(|stage| stage.limit.pressure_drop_kpa)
            .sum();
        let sd = gauge.hypot(drop).hypot(0.25 * load).hypot(0.1 * rise);
        inlet.map(|inlet| (inlet - drop + rise, sd))
    }

    fn solve(
        &self,
        inlet: Option<f64>,
        membrane: Option<f64>,
        concentrate: Option<f64>,
        concentrate_flow: Option<f64>,
    ) -> Option<Solved> {
        let gauge = gauge_sd_kpa(self.unit);
        let law = |pressure: f64| {
            self.learned.restrictor.0 * plumbing::restrictor_flow_l_h(self.unit, pressure, self.t)
        };
        let (flow, flow_sd) = match concentrate_flow {
            Some(flow) => (flow, self.unit.instruments.bucket_error),
            None => {
                // The flow that the restrictor passes falls as the flow through the stages rises, so the two
                // meet once; halving finds where.
                let (mut low, mut high) = (0.0, 100.0 * self.unit.concentrate.restrictor.flow_l_h);
                for _ in 0..60 {
                    let middle = f64::midpoint(low, high);
                    let at_membrane = match membrane {
                        Some(membrane) => membrane,
                        None => self.membrane(inlet, concentrate, middle)?.0,
                    };
                    let drop = plumbing::channel_drop_kpa(self.unit, middle + self.q / 2.0, self.t);
                    let at_restrictor = concentrate.unwrap_or(at_membrane - drop);
                    if law(at_restrictor) > middle {
                        low = middle;
                    } else {
                        high = middle;
                    }
                }
                let flow = f64::midpoint(low, high);
                if flow <= 1e-6 {
                    return None;
                }
                (flow, self.learned.restrictor.1.hypot(0.04))
            }
        };
        let predicted_drop = plumbing::channel_drop_kpa(self.unit, flow + self.q / 2.0, self.t);
        let (membrane_kpa, membrane_sd_kpa) = match (membrane, self.membrane(inlet, concentrate, flow)) {
            (Some(membrane), _) => (membrane, gauge),
            (None, Some(found)) => found,
            // The restrictor's law read backwards is a gauge of a kind.
            (None, None) => {
                let through = flow / self.learned.restrictor.0;
                let pressure = plumbing::restrictor_drop_kpa(self.unit, through, self.t);
                let (n, _) = plumbing::restrictor_exponents(self.unit);
                (
                    pressure + predicted_drop,
                    pressure * (self.learned.restrictor.1.hypot(flow_sd)) / n,
                )
            }
        };
        if !(membrane_kpa > 0.0) {
            return None;
        }
        let (drop_kpa, drop_sd_kpa) = match (membrane, concentrate) {
            (Some(membrane), Some(concentrate)) => (membrane - concentrate, gauge * std::f64::consts::SQRT_2),
            _ => (predicted_drop, predicted_drop * 0.3),
        };
        Some(Solved {
            concentrate_l_h: flow,
            flow_sd,
            membrane_kpa,
            membrane_sd_kpa,
            drop_kpa,
            drop_sd_kpa,
        })
    }
}
