//! The unit's plain hydraulics as far as a reading needs them to be made complete: the unit crate's own laws
//! ([`unit::laws`]) for a whole unit.

use unit::{Unit, laws};

pub use unit::laws::{
    CHANNEL_HEIGHT_M, POROSITY, behind_stages_kpa, channel_drop_kpa, lift_kpa, stage_drop_kpa,
};

/// Hydraulic diameter of a spacer-filled channel, m.
pub fn hydraulic_diameter_m() -> f64 {
    laws::HYDRAULIC_DIAMETER_M
}

/// Free cross-section of the feed channels side by side, m2; of the narrowest element in series.
pub fn channel_m2(unit: &Unit) -> f64 {
    laws::channel_section_m2(unit)
}

/// What the stages take away, clean, kPa.
pub fn stages_drop_kpa(unit: &Unit, flow_l_h: f64, temperature_c: f64) -> f64 {
    let drops = unit
        .stages
        .iter()
        .map(|stage| laws::stage_drop_kpa(stage, flow_l_h, temperature_c));
    drops.sum()
}

/// What the pumps add by their curves, kPa.
pub fn pumps_rise_kpa(unit: &Unit, flow_l_h: f64) -> f64 {
    unit.stages
        .iter()
        .map(|stage| laws::pump_rise_kpa(stage, flow_l_h))
        .sum()
}

/// Exponents of the restrictor's flow: on the pressure drop and on the viscosity ratio.
pub fn restrictor_exponents(unit: &Unit) -> (f64, f64) {
    laws::restrictor_exponents(&unit.concentrate.restrictor)
}

/// Flow through the restrictor as labelled, L/h.
pub fn restrictor_flow_l_h(unit: &Unit, drop_kpa: f64, temperature_c: f64) -> f64 {
    laws::restrictor_flow_l_h(&unit.concentrate.restrictor, drop_kpa, temperature_c)
}

/// Pressure at which the restrictor as labelled passes this flow, kPa.
pub fn restrictor_drop_kpa(unit: &Unit, flow_l_h: f64, temperature_c: f64) -> f64 {
    laws::restrictor_drop_kpa(&unit.concentrate.restrictor, flow_l_h, temperature_c)
}
