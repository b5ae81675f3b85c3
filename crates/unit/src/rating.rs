//! A and B from an element's rating, by the element model itself.

use crate::accepted::Accepted;
use crate::element::{Channel, Membrane, Surroundings, pass};
use crate::error::PredictError;
use crate::film::{Osmotic, Stream};
use crate::fluid::Fluid;
use crate::number::{Dual, Number};
use crate::plan::Rating;

/// Litres per hour in a cubic metre per second.
pub(crate) const L_H: f64 = 3.6e6;
/// Pascal in a kilopascal.
pub(crate) const KPA: f64 = 1e3;
/// mg/L in a kg/m3.
pub(crate) const MG_L: f64 = 1e3;

/// Osmotic pressure of NaCl by ASTM D4516 (see `water::properties::nacl_osmotic_pressure_kpa`).
pub(crate) fn sodium_chloride<N: Number>(fluid: &Fluid<N>) -> Osmotic<N> {
    Osmotic {
        per_concentration: fluid.kelvin * (0.2654 * MG_L),
        crowding: 1e-3,
    }
}

/// Permeabilities of a new element at its rating's temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Permeability {
    /// A, m/(s Pa).
    pub(crate) water: f64,
    /// B, m/s.
    pub(crate) salt: f64,
}

/// The A and B with which the model gives the rated flow and rejection.
///
/// Both are found in logarithms by Newton's method; where it does not arrive, by halving: B within A, since the salt
/// passed rises with B from nothing to all, and A by the flow. A flow beyond what the limit of large A gives is an error.
pub(crate) fn identify(
    channel: &Channel,
    rating: &Rating,
    segments: usize,
    field: &str,
) -> Result<Permeability, PredictError> {
    check(rating, field)?;
    let flow = rating.flow_l_h / L_H;
    let target = rating.tds_mg_l * (1.0 - rating.rejection) / MG_L;
    let case = Case {
        channel,
        feed: rating.flow_l_h / rating.recovery / L_H,
        concentration: rating.tds_mg_l / MG_L,
        pressure: rating.pressure_kpa * KPA,
        temperature: rating.temperature_c,
        segments,
        flow,
        target,
    };
    let flux = flow / channel.area;
    let fluid = Fluid::<f64>::at(rating.temperature_c);
    let osmotic = sodium_chloride(&fluid).pressure(case.concentration);
    let net = (case.pressure - 1.1 * osmotic).max(0.1 * case.pressure);
    let start = [
        (flux / net).ln(),
        (0.8 * flux * (1.0 - rating.rejection) / rating.rejection).ln(),
    ];
    let found = case.newton(start).or_else(|| case.halving(start));
    if let Some([a, b]) = found {
        return Ok(Permeability {
            water: a.exp(),
            salt: b.exp(),
        });
    }
    let most = case.most(start);
    Err(PredictError::Rating {
        field: field.to_owned(),
        flow_l_h: rating.flow_l_h,
        rejection: rating.rejection,
        pressure_kpa: rating.pressure_kpa,
        tds_mg_l: rating.tds_mg_l,
        recovery: rating.recovery,
        osmotic_kpa: osmotic / KPA,
        most_l_h: most * L_H,
    })
}

/// Ranges that a label can have; every fault is the first found.
fn check(rating: &Rating, field: &str) -> Result<(), PredictError> {
    let fault = |name: &str, read: f64, accepted: Accepted| {
        Err(PredictError::Input {
            field: format!("{field}.{name}"),
            read,
            accepted,
        })
    };
    let within = |x: f64, low: f64, high: f64| x > low && x < high;
    if !within(rating.flow_l_h, 0.0, 1e5) {
        return fault("flow", rating.flow_l_h, Accepted::RatedFlow);
    }
    if !within(rating.rejection, 0.0, 1.0) {
        return fault("rejection", rating.rejection, Accepted::FractionBelowOne);
    }
    if !within(rating.pressure_kpa, 0.0, 1e5) {
        return fault("pressure", rating.pressure_kpa, Accepted::RatedPressure);
    }
    if !(0.0..=60.0).contains(&rating.temperature_c) {
        return fault("temperature", rating.temperature_c, Accepted::Temperature);
    }
    if !within(rating.tds_mg_l, 0.0, 1e5) {
        return fault("tds", rating.tds_mg_l, Accepted::RatedConcentration);
    }
    if !within(rating.recovery, 0.0, 1.0) {
        return fault("recovery", rating.recovery, Accepted::FractionBelowOne);
    }
    Ok(())
}

/// A rating in SI units.
struct Case<'a> {
    channel: &'a Channel,
    feed: f64,
    concentration: f64,
    pressure: f64,
    temperature: f64,
    segments: usize,
    flow: f64,
    target: f64,
}

impl Case<'_> {
    /// Permeate flow and concentration for these logarithms of A and B.
    fn permeate<N: Number>(&self, ln_a: N, ln_b: N) -> (N, N) {
        let fluid = Fluid::at(N::constant(self.temperature));
        let around = Surroundings {
            fluid,
            osmotic: sodium_chloride(&fluid),
            permeate_pressure: N::constant(0.0),
            segments: self.segments,
        };
        let membrane = Membrane {
            water: ln_a.exp(),
            salt: ln_b.exp(),
            drop: N::constant(1.0),
            transfer: N::constant(1.0),
            bypass: N::constant(0.0),
            leak: N::constant(0.0),
        };
        let feed = Stream {
            flow: N::constant(self.feed),
            salt: N::constant(self.feed * self.concentration),
            pressure: N::constant(self.pressure),
        };
        let passage = pass(self.channel, &membrane, &around, &feed);
        (passage.permeate, passage.permeate_salt / passage.permeate)
    }

    fn newton(&self, start: [f64; 2]) -> Option<[f64; 2]> {
        let mut x = start;
        for _ in 0..60 {
            let (flow, concentration) =
                self.permeate(Dual::<2>::variable(x[0], 0), Dual::<2>::variable(x[1], 1));
            let f = (flow * (1.0 / self.flow)).ln();
            let g = (concentration * (1.0 / self.target)).ln();
            let det = f.slope[0] * g.slope[1] - f.slope[1] * g.slope[0];
            let step = [
                (f.slope[1] * g.value - g.slope[1] * f.value) / det,
                (g.slope[0] * f.value - f.slope[0] * g.value) / det,
            ];
            let size = step[0].abs().max(step[1].abs());
            if !size.is_finite() {
                return None;
            }
            let damping = if size > 1.0 { 1.0 / size } else { 1.0 };
            x = [x[0] + damping * step[0], x[1] + damping * step[1]];
            if size < 1e-12 || (size < 1e-7 && f.value.abs().max(g.value.abs()) < 1e-12) {
                return Some(x);
            }
        }
        None
    }

    /// The logarithm of B that meets the rejection at this A.
    fn salt(&self, ln_a: f64, start: f64) -> f64 {
        let (mut low, mut high) = (start - 30.0, start + 30.0);
        for _ in 0..80 {
            let middle = 0.5 * (low + high);
            if self.permeate(ln_a, middle).1 < self.target {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }

    /// Permeate flow of a membrane so permeable that only osmotic pressure and friction hold it back.
    fn most(&self, start: [f64; 2]) -> f64 {
        let a = start[0] + 14.0;
        self.permeate(a, self.salt(a, start[1])).0
    }

    fn halving(&self, start: [f64; 2]) -> Option<[f64; 2]> {
        if self.most(start) < self.flow {
            return None;
        }
        let (mut low, mut high) = (start[0] - 14.0, start[0] + 14.0);
        for _ in 0..70 {
            let middle = 0.5 * (low + high);
            if self.permeate(middle, self.salt(middle, start[1])).0 < self.flow {
                low = middle;
            } else {
                high = middle;
            }
        }
        let a = 0.5 * (low + high);
        let b = self.salt(a, start[1]);
        // What halving leaves may be polished; a rating at the edge of the possible is kept as it is.
        Some(self.newton([a, b]).unwrap_or([a, b]))
    }
}
