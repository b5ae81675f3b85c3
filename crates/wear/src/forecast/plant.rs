//! The unit's equations, with its membranes as one body, and their exact derivatives.
//!
//! Five laws tie what can be read at a unit together (`model.md` 2 and 3): the restrictor's, the channel's, the
//! stages', the water's way through the membrane and the salt's. The membranes count as one body at the mean of
//! both ends, with film theory at the mean flow; what that simplifies is nearly the same in every reading of a
//! unit, so that it ends up in the unit's own permeabilities and not in their course.

use unit::{Arrangement, Element, StageKind, Unit};

use super::evidence::Evidence;
use super::laws::{Laws, Viscosity};
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
    pub(super) ln_coefficient: f64,
    pub(super) restrictor_ln_l_h: f64,
    pub(super) restrictor_at_kpa: f64,
    pub(super) exponent: f64,
    pub(super) viscosity_exponent: f64,
    pub(super) area_m2: f64,
    pub(super) channel_m2: f64,
    pub(super) length_m: f64,
    pub(super) ratio: f64,
    pub(super) osmotic_slope: f64,
    pub(super) osmotic_curve: f64,
    pub(super) viscosity: Viscosity,
}

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
            viscosity: Viscosity::new(),
        }
    }

    /// Medians over the readings: ln of polarisation (flux over mass transfer) and osmotic pressure at the wall over
    /// the net driving pressure.
    pub(super) fn usual_polarisation(&self, evidence: &[Evidence]) -> (f64, f64) {
        let (mut polarisations, mut shares) = (Vec::new(), Vec::new());
        for one in evidence {
            let at = &one.guess;
            let (permeate, concentrate) = (at[PERMEATE_FLOW].exp(), at[CONCENTRATE_FLOW].exp());
            let t = at[TEMPERATURE];
            let (relative, _) = self.viscosity.relative(t);
            let mean = concentrate + 0.5 * permeate;
            let velocity = mean / 3.6e6 / self.channel_m2;
            let transfer = self.transfer(velocity, relative, t);
            let polarisation = permeate / 3.6e6 / self.area_m2 / transfer;
            let recovery = permeate / (permeate + concentrate);
            let wall = at[FEED_SALT].exp() * -(-recovery).ln_1p() / recovery * polarisation.min(3.0).exp();
            let (osmotic, _, _) = self.osmotic(wall, t + 273.15);
            let net = 0.5 * (at[MEMBRANE] + at[CONCENTRATE]) - at[BACK] - osmotic;
            if net > 10.0 && polarisation.is_finite() {
                polarisations.push(polarisation);
                shares.push(osmotic / net);
            }
        }
        let of = |values: &mut Vec<f64>| crate::robust::median(values).unwrap_or(0.0);
        (of(&mut polarisations), of(&mut shares))
    }

    /// What the labels of these elements promise, by the same laws.
    pub(super) fn rated(&self, elements: &[Element]) -> Rated {
        let mut sum = Rated {
            water: 0.0,
            salt: 0.0,
        };
        let mut laws = Laws::default();
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
            let (relative, _) = one.viscosity.relative(rating.temperature_c);
            let velocity = mean / 3.6e6 / one.channel_m2;
            let drop = one.drop_kpa(velocity, relative, rating.temperature_c);
            let mut at = [0.0; DIRECTIONS];
            at[INLET] = rating.pressure_kpa;
            at[MEMBRANE] = rating.pressure_kpa;
            at[CONCENTRATE] = rating.pressure_kpa - drop;
            at[PERMEATE_FLOW] = rating.flow_l_h.ln();
            at[CONCENTRATE_FLOW] = (feed - rating.flow_l_h).ln();
            at[TEMPERATURE] = rating.temperature_c;
            at[FEED_SALT] = rating.tds_mg_l.max(1.0).ln();
            at[PERMEATE_SALT] = ((1.0 - rating.rejection).max(1e-4) * rating.tds_mg_l.max(1.0)).ln();
            let plain = Rated {
                water: 1.0,
                salt: 1.0,
            };
            one.laws(&at, plain, &[], &mut laws);
            sum.water += laws.value[BY_WATER].exp();
            sum.salt += laws.value[BY_SALT].exp();
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

#[cfg(test)]
mod tests {
    use super::*;

    fn plant() -> Plant {
        Plant {
            stages: vec![
                StageLaw::Drop {
                    resistance: 0.06,
                    slot: Some(0),
                },
                StageLaw::Pump {
                    open_l_h: 600.0,
                    shutoff_kpa: 500.0,
                },
                StageLaw::Drop {
                    resistance: 0.03,
                    slot: Some(1),
                },
            ],
            ln_coefficient: 1.03f64.ln(),
            restrictor_ln_l_h: 90f64.ln(),
            restrictor_at_kpa: 414.0,
            exponent: 4.0 / 7.0,
            viscosity_exponent: 1.0 / 7.0,
            area_m2: 1.9,
            channel_m2: plumbing::POROSITY * plumbing::CHANNEL_HEIGHT_M * 3.8,
            length_m: 0.25,
            ratio: 0.5,
            osmotic_slope: 0.2654,
            osmotic_curve: 1.0,
            viscosity: Viscosity::new(),
        }
    }

    #[test]
    fn val_derivatives_by_central_differences() {
        let plant = plant();
        let mut at = [0.05; DIRECTIONS];
        at[INLET] = 300.0;
        at[MEMBRANE] = 700.0;
        at[CONCENTRATE] = 690.0;
        at[PERMEATE_FLOW] = 40f64.ln();
        at[CONCENTRATE_FLOW] = 100f64.ln();
        at[TEMPERATURE] = 12.0;
        at[FEED_SALT] = 600f64.ln();
        at[PERMEATE_SALT] = 15f64.ln();
        at[BACK] = 2.0;
        at[CARBON_DIOXIDE] = 1.0;
        let rated = Rated {
            water: 0.08,
            salt: 0.4,
        };
        let mut laws = Laws::default();
        plant.laws(&at, rated, &[290.0], &mut laws);
        assert_eq!(laws.count, LAWS + 1);
        for direction in 0..DIRECTIONS {
            let step = 1e-5 * at[direction].abs().max(0.1);
            let moved = |by: f64| {
                let mut at = at;
                at[direction] += by;
                let mut laws = Laws::default();
                plant.laws(&at, rated, &[290.0], &mut laws);
                laws.value
            };
            let (high, low) = (moved(step), moved(-step));
            for row in 0..laws.count {
                let difference = (high[row] - low[row]) / (2.0 * step);
                let slope = laws.slope[row][direction];
                // 1e-4: the density of the channel's law is held, and viscosity's slope is itself a difference.
                assert!(
                    (difference - slope).abs() < 1e-4 * (1.0 + difference.abs()),
                    "law {row}, direction {direction}: {difference} and {slope}"
                );
            }
        }
    }
}
