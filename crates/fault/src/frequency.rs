//! How often each cause is met, before anything is read.
//!
//! Relative frequencies are common practice, no source: among units that somebody looks at, the causes of the model's world are
//! about as frequent as one another, and nothing at all is wrong rather more often. What is known of the unit raises or lowers
//! them.

use unit::{StageKind, TankKind, Unit};
use water::Analysis;

use crate::cause::Cause;

/// What raises or lowers a cause's frequency.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Circumstances<'a> {
    pub(crate) unit: &'a Unit,
    pub(crate) water: Option<&'a Analysis>,
    /// Free chlorine of the feed, mg/L, where anybody knows.
    pub(crate) feed_chlorine_mg_l: Option<f64>,
    /// Age over its limit of the oldest sediment stage, and of the oldest carbon stage, where known.
    pub(crate) sediment_used: Option<f64>,
    pub(crate) carbon_used: Option<f64>,
    /// Minutes that the unit had been running.
    pub(crate) running_min: Option<f64>,
}

/// Relative frequency of a cause in these circumstances; 0 where the unit has no such part.
pub(crate) fn frequency(cause: Cause, of: &Circumstances<'_>) -> f64 {
    let has = |is: fn(&StageKind) -> bool| of.unit.stages.iter().any(|stage| is(&stage.kind));
    let sediment = has(|kind| matches!(kind, StageKind::Sediment { .. }));
    let carbon = has(|kind| matches!(kind, StageKind::Carbon { .. }));
    let pump = has(|kind| matches!(kind, StageKind::Pump { .. }));
    let softener = has(|kind| matches!(kind, StageKind::Softener { .. }));
    let antiscalant = has(|kind| matches!(kind, StageKind::Antiscalant));
    let only = |has: bool, weight: f64| if has { weight } else { 0.0 };
    // A part past its life is suspected sooner, a young one later.
    let by_age = |used: Option<f64>| used.map_or(1.0, |used| (0.4 + 0.6 * used).clamp(0.4, 2.0));
    let chlorinated = of.feed_chlorine_mg_l.map(|mg_l| mg_l > 0.02);
    match cause {
        Cause::Sound => 1.5,
        Cause::SedimentBlocked => only(sediment, 1.1 * by_age(of.sediment_used)),
        // Sediment comes before it and takes most of what clogs.
        Cause::CarbonBlocked => only(carbon, 0.65 * if sediment { 1.0 } else { 1.5 }),
        Cause::CarbonSpent => {
            let chlorine = if chlorinated == Some(false) { 0.05 } else { 1.2 };
            only(carbon, chlorine * by_age(of.carbon_used))
        }
        Cause::PumpWeak => only(pump, 1.0),
        Cause::MembraneScaled => {
            let hardness = of.water.and_then(hardness_mg_l);
            let hard = match hardness {
                Some(hardness) if hardness > 150.0 && !antiscalant => 1.6,
                Some(hardness) if hardness < 40.0 => 0.4,
                _ => 1.0,
            };
            hard * if softener { 0.4 } else { 1.0 }
        }
        // Chlorine may have been there before anybody measured; disinfection counts too.
        Cause::MembraneOxidised => match (chlorinated, carbon) {
            (Some(true), false) => 2.0,
            (Some(false), _) => 0.8,
            _ => 1.0,
        },
        Cause::InletPressureLow
        | Cause::MembraneFouled
        | Cause::CoreSealLeak
        | Cause::BrineSealBypass
        | Cause::RestrictorBlocked
        | Cause::RestrictorWorn
        | Cause::PermeateBackPressure
        | Cause::FeedChanged
        | Cause::MeterFault => 1.0,
        Cause::NoFeed => 0.3,
        Cause::ShutoffLeaking => 0.06,
        Cause::TankPrechargeLost => only(
            matches!(
                of.unit.permeate.tank.map(|tank| tank.kind),
                Some(TankKind::Pressurised { .. })
            ),
            0.15,
        ),
        Cause::SoftenerExhausted => only(softener, 0.4),
        Cause::ResinExhausted => only(
            of.unit
                .permeate
                .polish
                .iter()
                .any(|one| one.kind == unit::PolishKind::MixedBed),
            0.3,
        ),
        Cause::JustStarted => match of.running_min {
            Some(minutes) if minutes >= 15.0 => 0.02,
            Some(_) => 1.0,
            None => 0.15,
        },
        Cause::SealAfterWork => 0.08,
        Cause::DemandUp => 0.10,
    }
}

/// Hardness of a feed, mg/L as CaCO3, where the analysis says it.
fn hardness_mg_l(water: &Analysis) -> Option<f64> {
    // 2.497 and 4.118: CaCO3's mass over calcium's and magnesium's.
    water.hardness_mg_l_caco3.or_else(|| {
        let (calcium, magnesium) = (water.calcium_mg_l?, water.magnesium_mg_l?);
        Some(2.497 * calcium + 4.118 * magnesium)
    })
}
