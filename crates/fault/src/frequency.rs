//! How often each cause is met, before anything is read.
//!
//! Relative frequencies are common practice, no source: among units that somebody looks at, the causes of the model's world are
//! about as frequent as one another, and nothing at all is wrong rather more often. What is known of the unit raises or lowers
//! them.

use unit::{StageKind, TankKind};
use water::Analysis;

use crate::cause::Cause;
use crate::circumstances::Circumstances;

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
        // Where the chemistry at the wall is known it says more than the hardness.
        Cause::MembraneScaled => match of.scaling {
            Some(excess) => by_saturation(excess, SCALE_PER_INDEX, (0.3, 2.5)),
            None => by_hardness(of, softener, antiscalant),
        },
        Cause::RestrictorBlocked => of.scaling.map_or(1.0, |excess| {
            by_saturation(excess, 0.5 * SCALE_PER_INDEX, (0.7, 1.5))
        }),
        // Chlorine may have been there before anybody measured; disinfection counts too.
        Cause::MembraneOxidised => match (chlorinated, carbon) {
            (Some(true), false) => 2.0,
            (Some(false), _) => 0.8,
            // What carbon has left to give stands between the chlorine and the membranes.
            (_, true) => of
                .carbon_used
                .map_or(1.0, |used| (0.6 + 0.6 * used).clamp(0.6, 1.8)),
            (None, false) => 1.0,
        },
        Cause::InletPressureLow
        | Cause::MembraneFouled
        | Cause::CoreSealLeak
        | Cause::BrineSealBypass
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

/// How much a saturation index over what is allowed at the wall adds to the frequency of scale; less takes as much away
/// (common practice, no source).
const SCALE_PER_INDEX: f64 = 1.0;

fn by_saturation(excess: f64, per_index: f64, (least, most): (f64, f64)) -> f64 {
    (1.0 + per_index * excess).clamp(least, most)
}

/// Frequency of scale where no more than the hardness is known.
fn by_hardness(of: &Circumstances<'_>, softener: bool, antiscalant: bool) -> f64 {
    let hard = match of.water.and_then(hardness_mg_l) {
        Some(hardness) if hardness > 150.0 && !antiscalant => 1.6,
        Some(hardness) if hardness < 40.0 => 0.4,
        _ => 1.0,
    };
    hard * if softener { 0.4 } else { 1.0 }
}

/// Hardness of a feed, mg/L as CaCO3, where the analysis says it.
fn hardness_mg_l(water: &Analysis) -> Option<f64> {
    // 2.497 and 4.118: CaCO3's mass over calcium's and magnesium's.
    water.hardness_mg_l_caco3.or_else(|| {
        let (calcium, magnesium) = (water.calcium_mg_l?, water.magnesium_mg_l?);
        Some(2.497 * calcium + 4.118 * magnesium)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::signs_of_faults::unit;

    fn plain(unit: &unit::Unit) -> Circumstances<'_> {
        Circumstances {
            unit,
            water: None,
            feed_chlorine_mg_l: None,
            sediment_used: None,
            carbon_used: None,
            scaling: None,
            running_min: None,
        }
    }

    #[test]
    fn regress_supersaturation_makes_scale_likelier() {
        // The direction is the issue's own demand; the size is common practice, no source.
        let unit = unit();
        let with = |excess| {
            let of = Circumstances {
                scaling: Some(excess),
                ..plain(&unit)
            };
            (
                frequency(Cause::MembraneScaled, &of),
                frequency(Cause::RestrictorBlocked, &of),
            )
        };
        let (under, at, over) = (with(-1.0), with(0.0), with(1.0));
        assert!(under.0 < at.0 && at.0 < over.0, "{under:?} {at:?} {over:?}");
        assert!(under.1 < at.1 && at.1 < over.1, "{under:?} {at:?} {over:?}");
        // Whatever the index, no cause is ruled out or certain before anything is read.
        assert!(with(-40.0).0 > 0.0 && with(40.0).0 < 5.0);
    }

    #[test]
    fn regress_exhausted_carbon_makes_oxidation_likelier() {
        let unit = unit();
        let with = |used, chlorine| {
            let of = Circumstances {
                carbon_used: Some(used),
                feed_chlorine_mg_l: chlorine,
                ..plain(&unit)
            };
            (
                frequency(Cause::MembraneOxidised, &of),
                frequency(Cause::CarbonSpent, &of),
            )
        };
        let (young, old) = (with(0.1, Some(1.0)), with(1.4, Some(1.0)));
        assert!(young.0 < old.0 && young.1 < old.1, "{young:?} {old:?}");
        // Without chlorine in the feed the carbon's age says nothing of the membranes.
        let (young, old) = (with(0.1, Some(0.0)), with(1.4, Some(0.0)));
        assert!((young.0 - old.0).abs() < f64::EPSILON && old.0 < with(1.4, Some(1.0)).0);
    }
}
