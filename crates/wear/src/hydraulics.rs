//! The unit's plain hydraulics as far as a reading needs them to be made complete (`model.md` 3).

use unit::{Arrangement, RestrictorKind, StageKind, Unit};
use water::properties::{density_kg_m3, viscosity_pa_s};

/// Porosity of the feed spacer and height of its channel, m (from memory: typical; `model.md` 2).
pub const POROSITY: f64 = 0.89;
/// Height of the feed channel, m (from memory: typical; `model.md` 2).
pub const CHANNEL_HEIGHT_M: f64 = 0.7e-3;

/// Hydraulic diameter of a spacer-filled channel, m: `4 e / (2/h + (1 - e) 8/h)`.
pub fn hydraulic_diameter_m() -> f64 {
    4.0 * POROSITY / (2.0 / CHANNEL_HEIGHT_M + (1.0 - POROSITY) * 8.0 / CHANNEL_HEIGHT_M)
}

/// Free cross-section of the feed channels side by side, m2: `e h W` with `W = area / (2 L)`.
pub fn channel_m2(unit: &Unit) -> f64 {
    let widths = unit
        .membranes
        .elements
        .iter()
        .map(|e| e.area_m2() / (2.0 * e.size.active_length_m()));
    let width = match unit.membranes.arrangement {
        Arrangement::Parallel => widths.sum::<f64>(),
        // In series the narrowest counts; they are alike in practice.
        Arrangement::Series => widths.fold(f64::INFINITY, f64::min),
    };
    POROSITY * CHANNEL_HEIGHT_M * width
}

/// Pressure drop of the channel from feed to concentrate at the mean of both flows, kPa.
pub fn channel_drop_kpa(unit: &Unit, mean_flow_l_h: f64, temperature_c: f64) -> f64 {
    let length: f64 = match unit.membranes.arrangement {
        Arrangement::Series => unit
            .membranes
            .elements
            .iter()
            .map(|e| e.size.active_length_m())
            .sum(),
        Arrangement::Parallel => unit
            .membranes
            .elements
            .iter()
            .map(|e| e.size.active_length_m())
            .fold(0.0, f64::max),
    };
    let (rho, mu) = (density_kg_m3(temperature_c), viscosity_pa_s(temperature_c));
    let u = mean_flow_l_h / 3.6e6 / channel_m2(unit);
    let d_h = hydraulic_diameter_m();
    (0.42 * u * u + 189.3 * mu / (rho * d_h) * u) * rho * length / (2.0 * d_h) / 1000.0
}

/// Drop of one clean stage at this flow and temperature, kPa; 0 where none is stated.
pub fn stage_drop_kpa(stage: &unit::Stage, flow_l_h: f64, temperature_c: f64) -> f64 {
    stage.clean_drop.map_or(0.0, |clean| {
        let viscosity = viscosity_pa_s(temperature_c) / viscosity_pa_s(25.0);
        clean.pressure_kpa * flow_l_h / clean.flow_l_h * viscosity
    })
}

/// What the stages take away, clean, kPa.
pub fn stages_drop_kpa(unit: &Unit, flow_l_h: f64, temperature_c: f64) -> f64 {
    unit.stages
        .iter()
        .map(|stage| stage_drop_kpa(stage, flow_l_h, temperature_c))
        .sum()
}

/// What the pumps add by their curves, kPa.
pub fn pumps_rise_kpa(unit: &Unit, flow_l_h: f64) -> f64 {
    unit.stages
        .iter()
        .map(|stage| match stage.kind {
            StageKind::Pump {
                open_flow_l_h,
                shutoff_kpa,
            } => (shutoff_kpa * (1.0 - flow_l_h / open_flow_l_h)).max(0.0),
            _ => 0.0,
        })
        .sum()
}

/// Exponents of the restrictor's flow: on the pressure drop and on the viscosity ratio.
pub fn restrictor_exponents(unit: &Unit) -> (f64, f64) {
    let restrictor = &unit.concentrate.restrictor;
    match (restrictor.exponent, restrictor.kind) {
        (Some(n), _) => (n, 2.0 * n - 1.0),
        (None, RestrictorKind::Capillary) => (4.0 / 7.0, 1.0 / 7.0),
        (None, RestrictorKind::Orifice) => (0.5, 0.0),
    }
}

/// Flow through the restrictor as labelled, L/h.
pub fn restrictor_flow_l_h(unit: &Unit, drop_kpa: f64, temperature_c: f64) -> f64 {
    let restrictor = &unit.concentrate.restrictor;
    let (n, m) = restrictor_exponents(unit);
    let viscosity = viscosity_pa_s(25.0) / viscosity_pa_s(temperature_c);
    restrictor.flow_l_h * (drop_kpa.max(0.0) / restrictor.at_kpa).powf(n) * viscosity.powf(m)
}

/// Pressure at which the restrictor as labelled passes this flow, kPa.
pub fn restrictor_drop_kpa(unit: &Unit, flow_l_h: f64, temperature_c: f64) -> f64 {
    let restrictor = &unit.concentrate.restrictor;
    let (n, m) = restrictor_exponents(unit);
    let viscosity = viscosity_pa_s(25.0) / viscosity_pa_s(temperature_c);
    let relative = flow_l_h / (restrictor.flow_l_h * viscosity.powf(m));
    restrictor.at_kpa * relative.max(0.0).powf(1.0 / n)
}

/// Pressure that the height of the tank's inlet puts on the permeate, kPa.
pub fn lift_kpa(unit: &Unit, temperature_c: f64) -> f64 {
    density_kg_m3(temperature_c) * 9.806_65 * unit.permeate.lift_m / 1000.0
}
