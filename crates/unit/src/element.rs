//! One element: its channel cut into segments, marched from feed to concentrate.

use crate::film::{Flux, Osmotic, REST, Sheet, Start, Stream, TRANSFER_EXPONENT};
use crate::fluid::Fluid;
use crate::number::Number;

/// Porosity of the spacer-filled channel (from memory: typical; `model.md` 2).
const POROSITY: f64 = 0.89;
/// Height of the channel, m (from memory: typical; `model.md` 2).
const HEIGHT_M: f64 = 0.7e-3;
/// Hydraulic diameter, m: 4 e/(2/h + (1 - e) 8/h).
pub(crate) const HYDRAULIC_DIAMETER_M: f64 =
    4.0 * POROSITY / (2.0 / HEIGHT_M + (1.0 - POROSITY) * 8.0 / HEIGHT_M);

/// The feed channel of an element.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Channel {
    /// Membrane area, m2: two sheets face the channel.
    pub(crate) area: f64,
    /// Active length, m.
    pub(crate) length: f64,
}

impl Channel {
    /// Open cross-section, m2: e h W with W = area/(2 L).
    pub(crate) fn section(&self) -> f64 {
        POROSITY * HEIGHT_M * self.area / (2.0 * self.length)
    }

    /// k = this times Q^0.36: Sh = 0.46 (Re Sc)^0.36 with Re Sc = u `d_h`/D (Guillen and Hoek 2009; from memory).
    pub(crate) fn transfer<N: Number>(&self, fluid: &Fluid<N>) -> N {
        let per_flow = HYDRAULIC_DIAMETER_M / self.section();
        fluid.diffusion.powf(1.0 - TRANSFER_EXPONENT)
            * (0.46 / HYDRAULIC_DIAMETER_M * per_flow.powf(TRANSFER_EXPONENT))
    }

    /// Pressure gradient = inertia Q^2 + viscous Q, Pa/m: f rho u^2/(2 `d_h`) with f = 0.42 + 189.3/Re (the same).
    pub(crate) fn friction<N: Number>(&self, fluid: &Fluid<N>) -> (N, N) {
        let section = self.section();
        let inertia = fluid.density * (0.42 / (2.0 * HYDRAULIC_DIAMETER_M * section * section));
        let viscous =
            fluid.viscosity * (189.3 / (2.0 * HYDRAULIC_DIAMETER_M * HYDRAULIC_DIAMETER_M * section));
        (inertia, viscous)
    }
}

/// What one element is today, at the water's temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Membrane<N> {
    /// Water permeability A at the water's temperature, m/(s Pa).
    pub(crate) water: N,
    /// Salt permeability B at the water's temperature, m/s.
    pub(crate) salt: N,
    /// Factor on the pressure drop of the channel.
    pub(crate) drop: N,
    /// Factor on the mass transfer coefficient.
    pub(crate) transfer: N,
    /// Fraction of the feed that passes round the element.
    pub(crate) bypass: N,
    /// Conductance from the feed end into the permeate, m3/(s Pa).
    pub(crate) leak: N,
}

/// What leaves an element.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Passage<N> {
    /// Its concentrate.
    pub(crate) out: Stream<N>,
    /// Its permeate, m3/s.
    pub(crate) permeate: N,
    /// Salt in its permeate, kg/s.
    pub(crate) permeate_salt: N,
    /// Pressure lost along the channel, Pa: kept apart because the difference of the pressures would lose its digits.
    pub(crate) drop: N,
    /// `C_m/C_b`, mean weighted by flux.
    pub(crate) polarisation: f64,
    /// `C_m` at the concentrate end, kg/m3.
    pub(crate) wall: f64,
}

/// Conditions that all elements share.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Surroundings<N> {
    /// The water.
    pub(crate) fluid: Fluid<N>,
    /// Its osmotic pressure.
    pub(crate) osmotic: Osmotic<N>,
    /// Permeate pressure, Pa.
    pub(crate) permeate_pressure: N,
    /// Segments per element.
    pub(crate) segments: usize,
}

/// What an element makes of its feed.
///
/// Water that passes round the element (a rolled brine seal) meets the concentrate again at its end; water that passes
/// the core tube's O-rings goes from the feed end straight into the permeate. Both are none in a sound element.
pub(crate) fn pass<N: Number>(
    channel: &Channel,
    membrane: &Membrane<N>,
    around: &Surroundings<N>,
    feed: &Stream<N>,
) -> Passage<N> {
    let segments = around.segments.max(1) as f64;
    let step = channel.length / segments;
    let (inertia, viscous) = channel.friction(&around.fluid);
    let sheet = Sheet {
        area: channel.area / segments,
        water: membrane.water,
        salt: membrane.salt,
        inertia: inertia * membrane.drop * step,
        viscous: viscous * membrane.drop * step,
        osmotic: around.osmotic,
        permeate_pressure: around.permeate_pressure,
    };
    let plain = plain(&sheet);

    let head = feed.pressure - around.permeate_pressure;
    let mut leaked = N::constant(0.0);
    if head.value() > 0.0 {
        leaked = membrane.leak * head;
        // A leak cannot pass more than comes.
        if leaked.value() > 0.9 * feed.flow.value() {
            leaked = feed.flow * 0.9;
        }
    }
    let leaked_share = leaked / feed.flow;
    let left = N::constant(1.0) - leaked_share;
    let round_flow = feed.flow * left * membrane.bypass;
    let round_salt = feed.salt * left * membrane.bypass;
    let flow = feed.flow * left - round_flow;
    let mut at = Start {
        flow,
        salt: feed.salt * left - round_salt,
        pressure: feed.pressure,
        transfer: channel.transfer(&around.fluid) * membrane.transfer * flow.powf(TRANSFER_EXPONENT),
    };
    let mut permeate = leaked;
    let mut permeate_salt = feed.salt * leaked_share;
    let mut drop = N::constant(0.0);
    let (mut weighted, mut weight, mut wall) = (0.0, 0.0, 0.0);
    let mut fluxes = [0.0; 3];
    for i in 0..around.segments.max(1) {
        let start = Start {
            flow: at.flow.value(),
            salt: at.salt.value(),
            pressure: at.pressure.value(),
            transfer: at.transfer.value(),
        };
        // Extrapolating the flux of the segments before saves a Newton step.
        let [one, two, three] = fluxes;
        let guess = match i {
            0 | 1 => one,
            2 => 2.0 * one - two,
            _ => 3.0 * (one - two) + three,
        };
        let j = match plain.flux(&start, guess) {
            Flux::Free(flux) => N::at_root(
                flux,
                || plain.residual(&start, flux).1,
                |j| sheet.at(&at, j).residual,
            ),
            Flux::None => N::constant(0.0),
            Flux::All => at.flow * ((1.0 - REST) / sheet.area),
        };
        fluxes = [j.value(), one, two];
        let place = sheet.at(&at, j);
        let water = j * sheet.area;
        // S_out/S_in = (Q_out/Q_in)^t.
        let salt = -(at.salt * (place.passage * place.log_flow).exp_m1());
        drop = drop + place.drop;
        permeate = permeate + water;
        permeate_salt = permeate_salt + salt;
        at = Start {
            flow: at.flow - water,
            salt: at.salt - salt,
            pressure: feed.pressure - drop,
            transfer: at.transfer * place.transfer_ratio,
        };
        weighted += j.value() * place.polarisation.value();
        weight += j.value();
        wall = at.salt.value() / at.flow.value() * place.polarisation.value();
    }
    Passage {
        out: Stream {
            flow: at.flow + round_flow,
            salt: at.salt + round_salt,
            pressure: at.pressure,
        },
        permeate,
        permeate_salt,
        drop,
        polarisation: if weight > 0.0 { weighted / weight } else { 1.0 },
        wall,
    }
}

/// The same sheet without derivatives.
fn plain<N: Number>(sheet: &Sheet<N>) -> Sheet<f64> {
    Sheet {
        area: sheet.area,
        water: sheet.water.value(),
        salt: sheet.salt.value(),
        inertia: sheet.inertia.value(),
        viscous: sheet.viscous.value(),
        osmotic: Osmotic {
            per_concentration: sheet.osmotic.per_concentration.value(),
            crowding: sheet.osmotic.crowding,
        },
        permeate_pressure: sheet.permeate_pressure.value(),
    }
}
