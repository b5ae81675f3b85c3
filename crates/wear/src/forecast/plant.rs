//! The unit's equations, with its membranes as one body, and their exact derivatives.
//!
//! Five laws tie what can be read at a unit together (`model.md` 2 and 3): the restrictor's, the channel's, the
//! stages', the water's way through the membrane and the salt's. The membranes count as one body at the mean of
//! both ends, with film theory at the mean flow; what that simplifies is nearly the same in every reading of a
//! unit, so that it ends up in the unit's own permeabilities and not in their course.

use unit::{Arrangement, Element, StageKind, Unit};
use water::properties::{density_kg_m3, viscosity_pa_s};

use super::dual::Dual;
use super::evidence::Evidence;
use crate::hydraulics as plumbing;
use crate::salt::Salt;

/// What can be read, as the laws use it: pressures in kPa, flows and concentrations as logarithms (L/h, mg/L).
pub(super) const INLET: usize = 0;
pub(super) const MEMBRANE: usize = 1;
pub(super) const CONCENTRATE: usize = 2;
pub(super) const PERMEATE_FLOW: usize = 3;
pub(super) const CONCENTRATE_FLOW: usize = 4;
pub(super) const TEMPERATURE: usize = 5;
pub(super) const FEED_SALT: usize = 6;
pub(super) const PERMEATE_SALT: usize = 7;
pub(super) const BACK: usize = 8;
/// How many can be read.
pub(super) const READ: usize = 9;
/// What the unit is: logarithms against its label, but for the exponent (a difference), the temperature
/// coefficient (a difference of its logarithm) and the conductivity of carbon dioxide (uS/cm).
pub(super) const RESTRICTOR: usize = 9;
pub(super) const EXPONENT: usize = 10;
pub(super) const WARMTH: usize = 11;
pub(super) const FILM: usize = 12;
pub(super) const CHANNEL: usize = 13;
pub(super) const WATER: usize = 14;
pub(super) const SALT: usize = 15;
pub(super) const PUMP: usize = 16;
pub(super) const CARBON_DIOXIDE: usize = 17;
/// The first of the stages' drops.
pub(super) const STAGE: usize = 18;
/// Stages with a drop of their own; further ones count as on their label.
pub(super) const STAGES: usize = 4;
/// Directions of the equations' derivatives.
pub(super) const DIRECTIONS: usize = STAGE + STAGES;

/// The laws, in this order.
pub(super) const BY_RESTRICTOR: usize = 0;
pub(super) const BY_CHANNEL: usize = 1;
pub(super) const BY_STAGES: usize = 2;
pub(super) const BY_WATER: usize = 3;
pub(super) const BY_SALT: usize = 4;
/// How many laws there are; after them, gauges between the stages.
pub(super) const LAWS: usize = 5;
/// Rows of one reading at most.
pub(super) const ROWS: usize = LAWS + STAGES;

/// Salt diffusivity of sodium chloride at 25 C, m2/s (`model.md` 2).
const DIFFUSIVITY_25: f64 = 1.61e-9;

type Number = Dual<DIRECTIONS>;

/// One stage as the laws see it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum StageLaw {
    /// Resistance when clean at 25 C, kPa h/L, and which of the drops it is.
    Drop {
        resistance: f64,
        slot: Option<usize>,
    },
    Pump {
        open_l_h: f64,
        shutoff_kpa: f64,
    },
    Regulator {
        set_kpa: f64,
    },
}

/// Permeabilities at 25 C by the rating: L/(h kPa) and L/h.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Rated {
    pub(super) water: f64,
    pub(super) salt: f64,
}

/// A unit made ready.
#[derive(Clone, Debug)]
pub(super) struct Plant {
    pub(super) stages: Vec<StageLaw>,
    ln_coefficient: f64,
    restrictor_ln_l_h: f64,
    restrictor_at_kpa: f64,
    exponent: f64,
    viscosity_exponent: f64,
    area_m2: f64,
    channel_m2: f64,
    length_m: f64,
    ratio: f64,
    osmotic_slope: f64,
    osmotic_curve: f64,
}

/// Sherwood's number over (u d_h / D)^0.36 (`model.md` 2).
const SHERWOOD: (f64, f64) = (0.46, 0.36);

impl Plant {
    /// The stages' slots are given by the caller, who knows which of them load up.
    pub(super) fn of(unit: &Unit, salt: &Salt, stages: Vec<StageLaw>) -> Self {
        let (exponent, viscosity_exponent) = plumbing::restrictor_exponents(unit);
        let elements = &unit.membranes.elements;
        let lengths = elements.iter().map(|e| e.size.active_length_m());
        Self {
            stages,
            ln_coefficient: unit.temperature_coefficient().ln(),
            restrictor_ln_l_h: unit.concentrate.restrictor.flow_l_h.max(1e-6).ln(),
            restrictor_at_kpa: unit.concentrate.restrictor.at_kpa.max(1e-3),
            exponent,
            viscosity_exponent,
            area_m2: elements.iter().map(Element::area_m2).sum(),
            channel_m2: plumbing::channel_m2(unit),
            length_m: match unit.membranes.arrangement {
                Arrangement::Series => lengths.sum(),
                Arrangement::Parallel => lengths.fold(0.0, f64::max),
            },
            ratio: salt.ratio,
            osmotic_slope: salt.osmotic_slope,
            osmotic_curve: salt.osmotic_curve,
        }
    }

    /// The laws at a reading's values and a unit's: each is zero where they hold. `between[i]` asks for the pressure
    /// after stage `i`; the rows after the laws are those, in order of the stages.
    pub(super) fn laws(
        &self,
        at: &[f64; DIRECTIONS],
        rated: Rated,
        between: &[f64],
    ) -> ([Number; ROWS], usize) {
        let v = |i: usize| Number::variable(at[i], i);
        let t = v(TEMPERATURE);
        let (mu, mu_slope) = viscosity(at[TEMPERATURE]);
        let mu_25 = viscosity_pa_s(25.0);
        let relative = t.apply((mu / mu_25, mu_slope / mu_25));
        let (ln_p, ln_c) = (v(PERMEATE_FLOW), v(CONCENTRATE_FLOW));
        let (permeate, concentrate) = (ln_p.exp(), ln_c.exp());
        let feed = permeate + concentrate;
        let mean = concentrate + permeate * 0.5;
        let (membrane, end) = (v(MEMBRANE), v(CONCENTRATE));
        let mut rows = [Number::constant(0.0); ROWS];

        let head = (end * (1.0 / self.restrictor_at_kpa)).ln();
        let exponent = v(EXPONENT) + self.exponent;
        rows[BY_RESTRICTOR] = ln_c
            - (v(RESTRICTOR) + self.restrictor_ln_l_h)
            - exponent * head
            - relative.ln() * -self.viscosity_exponent;

        let velocity = mean * (1.0 / 3.6e6 / self.channel_m2);
        let drop = self.drop(velocity, relative, at[TEMPERATURE]) * v(CHANNEL).exp();
        rows[BY_CHANNEL] = membrane - end - drop;

        let mut count = LAWS;
        let mut pressure = v(INLET);
        for (i, stage) in self.stages.iter().enumerate() {
            match *stage {
                StageLaw::Drop { resistance, slot } => {
                    let mut taken = feed * relative * resistance;
                    if let Some(slot) = slot {
                        taken = taken * v(STAGE + slot).exp();
                    }
                    pressure = pressure - taken;
                }
                StageLaw::Pump {
                    open_l_h,
                    shutoff_kpa,
                } => {
                    let share = feed * (-1.0 / open_l_h) + 1.0;
                    if share.value > 0.0 {
                        pressure = pressure + share * v(PUMP).exp() * shutoff_kpa;
                    }
                }
                StageLaw::Regulator { set_kpa } => {
                    if pressure.value > set_kpa {
                        pressure = Number::constant(set_kpa);
                    }
                }
            }
            let read = between.get(i).copied().unwrap_or(f64::NAN);
            if read.is_finite() && count < ROWS {
                rows[count] = pressure + -read;
                count += 1;
            }
        }
        rows[BY_STAGES] = pressure - membrane;

        let recovery = permeate / feed;
        let feed_salt = v(FEED_SALT).exp();
        let log_mean = -(-recovery + 1.0).ln() / recovery;
        let bulk = feed_salt * log_mean;
        let read_salt = v(PERMEATE_SALT).exp();
        // Carbon dioxide is no salt; but some of what the meter shows always is.
        let offset = v(CARBON_DIOXIDE) * self.ratio;
        let permeate_salt = if offset.value > 0.8 * read_salt.value {
            read_salt * 0.2
        } else {
            read_salt - offset
        };
        let polarisation = (permeate * (1.0 / 3.6e6 / self.area_m2)
            / (self.transfer(velocity, relative, t) * v(FILM).exp()))
        .exp();
        let wall = permeate_salt + (bulk - permeate_salt) * polarisation;
        let kelvin = t + 273.15;
        let net = (membrane + end) * 0.5 - v(BACK) - self.osmotic(wall, kelvin)
            + self.osmotic(permeate_salt, kelvin);
        let warmth = (t + -25.0) * (v(WARMTH) + self.ln_coefficient);
        rows[BY_WATER] = ln_p - v(WATER) - warmth - net.ln() + -rated.water.ln();
        rows[BY_SALT] =
            permeate_salt.ln() + ln_p - v(SALT) - warmth - (wall - permeate_salt).ln() + -rated.salt.ln();
        (rows, count)
    }

    /// Medians over the readings: ln of polarisation (flux over mass transfer) and osmotic pressure at the wall over
    /// the net driving pressure.
    pub(super) fn usual_polarisation(&self, evidence: &[Evidence]) -> (f64, f64) {
        let (mut polarisations, mut shares) = (Vec::new(), Vec::new());
        for one in evidence {
            let at = &one.guess;
            let (permeate, concentrate) = (at[PERMEATE_FLOW].exp(), at[CONCENTRATE_FLOW].exp());
            let t = Number::constant(at[TEMPERATURE]);
            let relative = Number::constant(viscosity(at[TEMPERATURE]).0 / viscosity_pa_s(25.0));
            let mean = concentrate + 0.5 * permeate;
            let velocity = Number::constant(mean / 3.6e6 / self.channel_m2);
            let transfer = self.transfer(velocity, relative, t).value;
            let polarisation = permeate / 3.6e6 / self.area_m2 / transfer;
            let recovery = permeate / (permeate + concentrate);
            let wall = at[FEED_SALT].exp() * -(-recovery).ln_1p() / recovery * polarisation.min(3.0).exp();
            let osmotic = self.osmotic(Number::constant(wall), t + 273.15).value;
            let net = 0.5 * (at[MEMBRANE] + at[CONCENTRATE]) - at[BACK] - osmotic;
            if net > 10.0 && polarisation.is_finite() {
                polarisations.push(polarisation);
                shares.push(osmotic / net);
            }
        }
        let of = |values: &mut Vec<f64>| crate::robust::median(values).unwrap_or(0.0);
        (of(&mut polarisations), of(&mut shares))
    }

    /// Drop of the channel, kPa.
    fn drop(&self, velocity: Number, relative_viscosity: Number, t: f64) -> Number {
        let rho = density_kg_m3(t);
        let d_h = plumbing::hydraulic_diameter_m();
        let laminar = relative_viscosity * (189.3 * viscosity_pa_s(25.0) / (rho * d_h));
        (velocity * velocity * 0.42 + laminar * velocity) * (rho * self.length_m / (2.0 * d_h) / 1000.0)
    }

    /// Mass transfer coefficient, m/s.
    fn transfer(&self, velocity: Number, relative_viscosity: Number, t: Number) -> Number {
        let d_h = plumbing::hydraulic_diameter_m();
        let diffusivity = (t + 273.15) * (DIFFUSIVITY_25 / 298.15) / relative_viscosity;
        (velocity * d_h / diffusivity).powf(SHERWOOD.1) * diffusivity * (SHERWOOD.0 / d_h)
    }

    fn osmotic(&self, salt: Number, kelvin: Number) -> Number {
        let under = salt * (-self.osmotic_curve / 1000.0) + 1000.0;
        salt * kelvin * self.osmotic_slope / under
    }

    /// What the labels of these elements promise, by the same laws.
    pub(super) fn rated(&self, elements: &[Element]) -> Rated {
        let mut sum = Rated {
            water: 0.0,
            salt: 0.0,
        };
        for element in elements {
            let one = Self {
                area_m2: element.area_m2(),
                channel_m2: plumbing::POROSITY * plumbing::CHANNEL_HEIGHT_M * element.area_m2()
                    / (2.0 * element.size.active_length_m()),
                length_m: element.size.active_length_m(),
                // Ratings are on sodium chloride (ASTM D4516's osmotic pressure; from memory).
                osmotic_slope: 0.2654,
                osmotic_curve: 1.0,
                stages: Vec::new(),
                ..self.clone()
            };
            let rating = &element.rated;
            let feed = rating.flow_l_h / rating.recovery.clamp(0.01, 0.9);
            let mean = feed - 0.5 * rating.flow_l_h;
            let (mu, _) = viscosity(rating.temperature_c);
            let relative = Number::constant(mu / viscosity_pa_s(25.0));
            let velocity = Number::constant(mean / 3.6e6 / one.channel_m2);
            let drop = one.drop(velocity, relative, rating.temperature_c).value;
            let mut at = [0.0; DIRECTIONS];
            at[INLET] = rating.pressure_kpa;
            at[MEMBRANE] = rating.pressure_kpa;
            at[CONCENTRATE] = rating.pressure_kpa - drop;
            at[PERMEATE_FLOW] = rating.flow_l_h.ln();
            at[CONCENTRATE_FLOW] = (feed - rating.flow_l_h).ln();
            at[TEMPERATURE] = rating.temperature_c;
            at[FEED_SALT] = rating.tds_mg_l.max(1.0).ln();
            at[PERMEATE_SALT] = ((1.0 - rating.rejection).max(1e-4) * rating.tds_mg_l.max(1.0)).ln();
            let (rows, _) = one.laws(
                &at,
                Rated {
                    water: 1.0,
                    salt: 1.0,
                },
                &[],
            );
            sum.water += rows[BY_WATER].value.exp();
            sum.salt += rows[BY_SALT].value.exp();
        }
        sum
    }
}

/// The stages' laws, each drop with its slot where it is given one, and what a stage counts as when clean.
pub(super) fn stage_laws(
    unit: &Unit,
    clean: impl Fn(usize) -> f64,
    slots: &[Option<usize>],
) -> Vec<StageLaw> {
    unit.stages
        .iter()
        .enumerate()
        .map(|(i, stage)| match stage.kind {
            StageKind::Pump {
                open_flow_l_h,
                shutoff_kpa,
            } => StageLaw::Pump {
                open_l_h: open_flow_l_h,
                shutoff_kpa,
            },
            StageKind::Regulator { set_kpa } => StageLaw::Regulator { set_kpa },
            _ => StageLaw::Drop {
                resistance: clean(i),
                slot: slots.get(i).copied().flatten(),
            },
        })
        .collect()
}

/// Viscosity and its derivative, Pa s and Pa s/C.
fn viscosity(t: f64) -> (f64, f64) {
    const STEP: f64 = 0.05;
    let (low, high) = (viscosity_pa_s(t - STEP), viscosity_pa_s(t + STEP));
    (f64::midpoint(low, high), (high - low) / (2.0 * STEP))
}
