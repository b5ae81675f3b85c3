//! Single laws of the plumbing in the units of the border, for whoever completes or judges one reading (`model.md` 2, 3).
//!
//! [`crate::Model`] computes with the very same laws.

use crate::element::{Channel, HEIGHT_M};
use crate::fluid::Fluid;
use crate::hydraulics::{GRAVITY, RestrictorLaw, StageLaw, exponents};
use crate::plan::{Arrangement, Element, Restrictor, Stage, StageKind, Unit};
use crate::rating::{KPA, L_H};

/// Porosity of the spacer-filled feed channel (from memory: typical).
pub const POROSITY: f64 = crate::element::POROSITY;
/// Height of the feed channel, m (from memory: typical).
pub const CHANNEL_HEIGHT_M: f64 = HEIGHT_M;
/// Hydraulic diameter of the feed channel, m: `4 e / (2/h + (1 - e) 8/h)`.
pub const HYDRAULIC_DIAMETER_M: f64 = crate::element::HYDRAULIC_DIAMETER_M;

fn channel(element: &Element) -> Channel {
    Channel {
        area: element.area_m2(),
        length: element.size.active_length_m(),
    }
}

/// Open cross-section of an element's feed channel, m2: `e h W` with `W = area / (2 L)`.
pub fn element_section_m2(element: &Element) -> f64 {
    channel(element).section()
}

/// Open cross-section of the feed channels side by side, m2; of the narrowest element in series.
pub fn channel_section_m2(unit: &Unit) -> f64 {
    let sections = unit.membranes.elements.iter().map(element_section_m2);
    match unit.membranes.arrangement {
        Arrangement::Parallel => sections.sum(),
        Arrangement::Series => sections.fold(f64::INFINITY, f64::min),
    }
}

/// Pressure drop from feed to concentrate of clean elements, kPa, at the mean of both flows of the unit, L/h.
///
/// In series each element adds its own; side by side the flow is shared by cross-section over the longest.
pub fn channel_drop_kpa(unit: &Unit, mean_flow_l_h: f64, temperature_c: f64) -> f64 {
    let fluid = Fluid::<f64>::at(temperature_c);
    let flow = mean_flow_l_h / L_H;
    let drop = |channel: Channel, flow: f64| {
        let (inertia, viscous) = channel.friction(&fluid);
        (inertia * flow + viscous) * flow * channel.length / KPA
    };
    let elements = &unit.membranes.elements;
    match unit.membranes.arrangement {
        Arrangement::Series => elements.iter().map(|element| drop(channel(element), flow)).sum(),
        Arrangement::Parallel => {
            let section = channel_section_m2(unit);
            elements
                .iter()
                .map(|element| drop(channel(element), flow * element_section_m2(element) / section))
                .fold(0.0, f64::max)
        }
    }
}

/// Pressure behind a stage as built, kPa, at this pressure before it and this flow: a clean drop, a pump by its curve, a
/// regulator at its set pressure.
pub fn behind_stage_kpa(stage: &Stage, before_kpa: f64, flow_l_h: f64, temperature_c: f64) -> f64 {
    let viscosity = Fluid::<f64>::at(temperature_c).relative_viscosity;
    let law = StageLaw::of(stage);
    law.behind(before_kpa * KPA, flow_l_h / L_H, viscosity, [0.0; 2])
        .pressure
        / KPA
}

/// Drop of one clean stage, kPa; 0 of a pump, a regulator and where none is stated.
pub fn stage_drop_kpa(stage: &Stage, flow_l_h: f64, temperature_c: f64) -> f64 {
    match StageLaw::of(stage) {
        StageLaw::Drop { .. } => -behind_stage_kpa(stage, 0.0, flow_l_h, temperature_c),
        StageLaw::Pump { .. } | StageLaw::Regulator { .. } => 0.0,
    }
}

/// What a pump adds by its curve, kPa; 0 of any other stage.
pub fn pump_rise_kpa(stage: &Stage, flow_l_h: f64) -> f64 {
    match stage.kind {
        // A pump's curve does not depend on the temperature.
        StageKind::Pump { .. } => behind_stage_kpa(stage, 0.0, flow_l_h, 25.0),
        _ => 0.0,
    }
}

/// Pressure at the membranes behind all stages as built, kPa.
pub fn behind_stages_kpa(unit: &Unit, inlet_kpa: f64, flow_l_h: f64, temperature_c: f64) -> f64 {
    unit.stages.iter().fold(inlet_kpa, |before, stage| {
        behind_stage_kpa(stage, before, flow_l_h, temperature_c)
    })
}

/// Exponents of a restrictor's flow: of the pressure drop, and of `mu(25 C)/mu(T)`.
pub fn restrictor_exponents(restrictor: &Restrictor) -> (f64, f64) {
    exponents(restrictor)
}

fn restrictor(restrictor: &Restrictor, temperature_c: f64) -> RestrictorLaw {
    let (exponent, of_viscosity) = exponents(restrictor);
    let viscosity = Fluid::<f64>::at(temperature_c).relative_viscosity;
    RestrictorLaw {
        flow: restrictor.flow_l_h / L_H * viscosity.powf(-of_viscosity),
        at: restrictor.at_kpa * KPA,
        exponent,
    }
}

/// Flow through a restrictor as labelled, L/h; 0 at no pressure.
pub fn restrictor_flow_l_h(one: &Restrictor, drop_kpa: f64, temperature_c: f64) -> f64 {
    restrictor(one, temperature_c).flow(drop_kpa * KPA).0 * L_H
}

/// Pressure at which a restrictor as labelled passes this flow, kPa; 0 at no flow.
pub fn restrictor_drop_kpa(one: &Restrictor, flow_l_h: f64, temperature_c: f64) -> f64 {
    let law = restrictor(one, temperature_c);
    let relative = flow_l_h.max(0.0) / L_H / law.flow;
    law.at * relative.powf(1.0 / law.exponent) / KPA
}

/// Pressure that the height of the tank's inlet puts on the permeate, kPa.
pub fn lift_kpa(unit: &Unit, temperature_c: f64) -> f64 {
    Fluid::<f64>::at(temperature_c).density * GRAVITY * unit.permeate.lift_m / KPA
}
