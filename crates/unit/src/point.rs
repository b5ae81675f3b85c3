//! An operating point, in the units of the border.

use crate::element::Passage;
use crate::error::PredictError;
use crate::film::Stream;
use crate::model::Frame;
use crate::number::Number;
use crate::plan::Arrangement;
use crate::rating::{KPA, L_H, MG_L};
use crate::workspace::Workspace;

/// What the unit makes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OperatingPoint {
    /// Feed, L/h.
    pub feed_flow_l_h: f64,
    /// Permeate, L/h.
    pub permeate_flow_l_h: f64,
    /// Concentrate to drain, L/h.
    pub concentrate_flow_l_h: f64,
    /// Permeate over feed.
    pub recovery: f64,
    /// At the first membrane's feed, kPa.
    pub membrane_pressure_kpa: f64,
    /// Before the restrictor, kPa.
    pub concentrate_pressure_kpa: f64,
    /// At the membranes with the lift, kPa.
    pub permeate_pressure_kpa: f64,
    /// Dissolved salt of the permeate, mg/L.
    pub permeate_tds_mg_l: f64,
    /// Dissolved salt of the concentrate, mg/L.
    pub concentrate_tds_mg_l: f64,
    /// `C_p/C_f`.
    pub salt_passage: f64,
    /// As ASTM D4516 has it, kPa: `P_m - dP/2 - P_p - pi_fb + pi_p` with the log-mean feed-side concentration.
    pub net_driving_pressure_kpa: f64,
}

/// What one element makes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ElementPoint {
    /// Feed, L/h.
    pub feed_flow_l_h: f64,
    /// Permeate, L/h.
    pub permeate_flow_l_h: f64,
    /// Permeate per area, L/(m2 h).
    pub flux_l_m2_h: f64,
    /// `C_m/C_b`, mean weighted by flux.
    pub polarisation: f64,
    /// Dissolved salt of its feed, mg/L.
    pub feed_tds_mg_l: f64,
    /// Dissolved salt of its permeate, mg/L.
    pub permeate_tds_mg_l: f64,
    /// At the membrane where its concentrate leaves, mg/L.
    pub wall_tds_mg_l: f64,
    /// At its feed end, kPa.
    pub feed_pressure_kpa: f64,
    /// At its concentrate end, kPa.
    pub concentrate_pressure_kpa: f64,
    /// The same in SI units: permeate and concentrate, m3/s and kg/s.
    pub(crate) permeate_flow: f64,
    pub(crate) permeate_salt: f64,
    pub(crate) in_flow: f64,
    pub(crate) out_flow: f64,
    pub(crate) out_salt: f64,
}

impl ElementPoint {
    pub(crate) const NONE: Self = Self {
        feed_flow_l_h: 0.0,
        permeate_flow_l_h: 0.0,
        flux_l_m2_h: 0.0,
        polarisation: 1.0,
        feed_tds_mg_l: 0.0,
        permeate_tds_mg_l: 0.0,
        wall_tds_mg_l: 0.0,
        feed_pressure_kpa: 0.0,
        concentrate_pressure_kpa: 0.0,
        permeate_flow: 0.0,
        permeate_salt: 0.0,
        in_flow: 0.0,
        out_flow: 0.0,
        out_salt: 0.0,
    };

    pub(crate) fn of<N: Number>(feed: &Stream<N>, passage: &Passage<N>, area: f64) -> Self {
        let (permeate, salt) = (passage.permeate.value(), passage.permeate_salt.value());
        let feed_tds = feed.salt.value() / feed.flow.value() * MG_L;
        Self {
            feed_flow_l_h: feed.flow.value() * L_H,
            permeate_flow_l_h: permeate * L_H,
            flux_l_m2_h: permeate * L_H / area,
            polarisation: passage.polarisation,
            feed_tds_mg_l: feed_tds,
            // With no flux the permeate is as salty as the feed.
            permeate_tds_mg_l: if permeate > 0.0 {
                salt / permeate * MG_L
            } else {
                feed_tds
            },
            wall_tds_mg_l: passage.wall * MG_L,
            feed_pressure_kpa: feed.pressure.value() / KPA,
            concentrate_pressure_kpa: passage.out.pressure.value() / KPA,
            permeate_flow: permeate,
            permeate_salt: salt,
            in_flow: feed.flow.value(),
            out_flow: passage.out.flow.value(),
            out_salt: passage.out.salt.value(),
        }
    }
}

/// The whole unit's point from its elements'.
pub(crate) fn point(frame: &Frame<'_>, workspace: &Workspace) -> Result<OperatingPoint, PredictError> {
    let elements = &workspace.elements;
    let permeate: f64 = elements.iter().map(|e| e.permeate_flow).sum();
    let permeate_salt: f64 = elements.iter().map(|e| e.permeate_salt).sum();
    let parallel = frame.model.arrangement == Arrangement::Parallel && elements.len() > 1;
    let last = elements.last().copied().unwrap_or(ElementPoint::NONE);
    let (out, out_salt, concentrate_pressure) = if parallel {
        (
            elements.iter().map(|e| e.out_flow).sum(),
            elements.iter().map(|e| e.out_salt).sum(),
            workspace.concentrate_pressure,
        )
    } else {
        (last.out_flow, last.out_salt, last.concentrate_pressure_kpa * KPA)
    };
    let feed: f64 = if parallel {
        elements.iter().map(|e| e.in_flow).sum()
    } else {
        elements.first().map_or(0.0, |e| e.in_flow)
    };
    let membrane_pressure = workspace.membrane_pressure;
    let concentration = frame.concentration;
    let permeate_concentration = if permeate > 0.0 {
        permeate_salt / permeate
    } else {
        concentration
    };
    let recovery = permeate / feed;
    let osmotic = frame.around.osmotic;
    let net = membrane_pressure
        - 0.5 * (membrane_pressure - concentrate_pressure)
        - frame.around.permeate_pressure
        - osmotic.pressure(concentration * log_mean(recovery))
        + osmotic.pressure(permeate_concentration);
    let found = OperatingPoint {
        feed_flow_l_h: feed * L_H,
        permeate_flow_l_h: permeate * L_H,
        concentrate_flow_l_h: out * L_H,
        recovery,
        membrane_pressure_kpa: membrane_pressure / KPA,
        concentrate_pressure_kpa: concentrate_pressure / KPA,
        permeate_pressure_kpa: frame.around.permeate_pressure / KPA,
        permeate_tds_mg_l: permeate_concentration * MG_L,
        concentrate_tds_mg_l: out_salt / out * MG_L,
        salt_passage: permeate_concentration / concentration,
        net_driving_pressure_kpa: net / KPA,
    };
    let whole = [
        found.feed_flow_l_h,
        found.permeate_flow_l_h,
        found.concentrate_flow_l_h,
        found.recovery,
        found.membrane_pressure_kpa,
        found.concentrate_pressure_kpa,
        found.permeate_tds_mg_l,
        found.concentrate_tds_mg_l,
        found.net_driving_pressure_kpa,
    ];
    if whole.iter().all(|x| x.is_finite()) {
        Ok(found)
    } else {
        Err(PredictError::Unsolved {
            what: "values beyond all bounds",
        })
    }
}

/// Average feed-side concentration over the feed's: ln(1/(1 - Y))/Y (ASTM D4516), 1 at Y = 0.
pub fn log_mean(recovery: f64) -> f64 {
    if recovery.abs() < 1e-8 {
        return 1.0 + 0.5 * recovery;
    }
    -(-recovery.min(1.0 - 1e-15)).ln_1p() / recovery
}
