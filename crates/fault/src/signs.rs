//! What the hydraulic model does not see: chlorine, hardness, polishing, complaints, and no water at all.

use reading::{Field, Observed, Reading};
use unit::{StageKind, Unit};

use crate::cause::Cause;
use crate::gaussian::{ln_normal, ln_sum};

/// Error of a chlorine test near nothing, mg/L, and its relative error above (common practice, no source).
const CHLORINE_TEST: (f64, f64) = (0.03, 0.08);
/// Free chlorine after carbon above which it counts as spent where the unit does not say, mg/L (`check-values.md` 15.03).
const CHLORINE_LIMIT_MG_L: f64 = 0.1;

/// Chlorine after the last carbon stage as it was read, mg/L.
pub(crate) fn chlorine_out(reading: &Reading, unit: &Unit) -> Option<f64> {
    let last = unit
        .stages
        .iter()
        .rev()
        .find(|stage| matches!(stage.kind, StageKind::Carbon { .. }))?;
    reading
        .get(Field::FreeChlorineOut)
        .or_else(|| reading.chlorine_after_mg_l.get(&last.id).copied())
        .or_else(|| reading.get(Field::TotalChlorineOut))
}

/// The least and the most that spent carbon lets through, mg/L.
pub(crate) fn spent_range(unit: &Unit, feed_mg_l: Option<f64>) -> (f64, f64) {
    let limit = unit
        .stages
        .iter()
        .rev()
        .find_map(|stage| match stage.kind {
            StageKind::Carbon { .. } => stage.limit.free_chlorine_out_mg_l,
            _ => None,
        })
        .unwrap_or(CHLORINE_LIMIT_MG_L)
        .max(1e-3);
    let most = feed_mg_l.filter(|feed| *feed > 0.02).unwrap_or(1.0);
    (limit, most.max(3.0 * limit))
}

/// ln of the density of a chlorine reading, mg/L, where the carbon is good or spent.
pub(crate) fn ln_chlorine(read: f64, spent: bool, range: (f64, f64)) -> f64 {
    const STEPS: usize = 16;
    let read = read.max(0.0);
    if spent {
        // Even in the logarithm from the limit to what comes in.
        let (low, high) = (range.0.ln(), range.1.ln());
        let terms = (0..STEPS).map(move |i| {
            let level = (low + (high - low) * (i as f64 + 0.5) / STEPS as f64).exp();
            // A step's own width adds to the test's error.
            let width = level * (high - low) / STEPS as f64 * 0.4;
            let sd = (CHLORINE_TEST.0.powi(2) + (CHLORINE_TEST.1 * level).powi(2) + width * width).sqrt();
            ln_folded(read, level, sd) - (STEPS as f64).ln()
        });
        return ln_sum(terms);
    }
    // Now and then a test is spoilt: one in twenty reads up to a few times its error.
    ln_sum([
        0.95_f64.ln() + ln_folded(read, 0.0, CHLORINE_TEST.0),
        0.05_f64.ln() + ln_folded(read, 0.0, 2.5 * CHLORINE_TEST.0),
    ])
}

/// A normal value shown without its sign: density over the numbers from 0 up.
fn ln_folded(read: f64, mean: f64, sd: f64) -> f64 {
    ln_sum([ln_normal(read - mean, sd), ln_normal(read + mean, sd)])
}

/// How sure oxidised membranes are to have spent carbon before them when they are looked at (common practice, no source).
const SPENT_BEFORE_OXIDISED: f64 = 0.15;

/// ln of the likelihood of what was read of chlorine, hardness and polishing.
pub(crate) fn ln_chemistry(cause: Cause, reading: &Reading, unit: &Unit, feed_chlorine: Option<f64>) -> f64 {
    let mut total = 0.0;
    if let Some(read) = chlorine_out(reading, unit) {
        let range = spent_range(unit, feed_chlorine);
        let (spent, good) = (ln_chlorine(read, true, range), ln_chlorine(read, false, range));
        total += match cause {
            Cause::CarbonSpent => spent,
            Cause::MembraneOxidised => ln_sum([
                SPENT_BEFORE_OXIDISED.ln() + spent,
                (1.0 - SPENT_BEFORE_OXIDISED).ln() + good,
            ]),
            _ => good,
        };
    }
    let softener = unit.stages.iter().find_map(|stage| match stage.kind {
        StageKind::Softener {
            hardness_out_mg_l_caco3,
            ..
        } => Some(hardness_out_mg_l_caco3.unwrap_or(5.0).max(1.0)),
        _ => None,
    });
    if let Some((sound, read)) = softener.zip(reading.get(Field::HardnessOut)) {
        // ln of hardness: about the stated one when sound; from three times it to fifty times when exhausted.
        let x = (read.max(0.5) / sound).ln();
        total += if cause == Cause::SoftenerExhausted {
            ln_plateau(x, 3.0_f64.ln(), 50.0_f64.ln(), 0.4)
        } else {
            ln_normal(x, 0.6)
        };
    }
    let before = reading.get(Field::PermeateConductivity);
    let resin = unit
        .permeate
        .polish
        .iter()
        .find(|one| one.kind == unit::PolishKind::MixedBed)
        .and_then(|one| reading.conductivity_after_us_cm.get(&one.id).copied());
    if let Some((before, after)) = before.zip(resin) {
        // ln of what the resin leaves: a twentieth or less when sound, half or all when used up.
        let x = (after.max(0.05) / before.max(0.5)).ln();
        total += if cause == Cause::ResinExhausted {
            ln_plateau(x, 0.15_f64.ln(), 0.2, 0.3)
        } else {
            ln_normal(x - 0.03_f64.ln(), 0.9)
        };
    }
    total
}

/// ln of an even density from `low` to `high` with soft edges of this standard deviation.
fn ln_plateau(x: f64, low: f64, high: f64, sd: f64) -> f64 {
    const STEPS: usize = 12;
    let width = (high - low) / STEPS as f64;
    ln_sum((0..STEPS).map(move |i| {
        let center = low + width * (i as f64 + 0.5);
        ln_normal(x - center, sd.max(0.5 * width)) - (STEPS as f64).ln()
    }))
}

/// How likely a complaint is to be made where it has nothing to do with the cause (common practice, no source).
const BY_CHANCE: f64 = 0.04;

/// How likely a complaint is under a cause (common practice, no source).
#[expect(clippy::match_same_arms, reason = "a table, grouped by complaint")]
pub(crate) fn chance_observed(observed: Observed, cause: Cause) -> f64 {
    use Cause as C;
    use Observed as O;
    let little = matches!(
        cause,
        C::InletPressureLow
            | C::SedimentBlocked
            | C::CarbonBlocked
            | C::PumpWeak
            | C::MembraneFouled
            | C::MembraneScaled
            | C::RestrictorWorn
            | C::PermeateBackPressure
    );
    match (observed, cause) {
        (O::RunsToDrainWhenFull, C::ShutoffLeaking) => 0.9,
        (O::NoWater, C::NoFeed) => 0.9,
        (O::NoWater, C::PumpWeak | C::TankPrechargeLost) => 0.12,
        (O::PumpSilent, C::NoFeed) => 0.5,
        (O::PumpSilent, C::PumpWeak) => 0.25,
        (O::PumpShortCycles, C::ShutoffLeaking) => 0.4,
        (O::PumpShortCycles, C::TankPrechargeLost) => 0.3,
        (O::PumpShortCycles, C::SedimentBlocked | C::CarbonBlocked | C::InletPressureLow) => 0.2,
        (O::Leak, C::SealAfterWork) => 0.5,
        (O::Leak, C::BrineSealBypass | C::CoreSealLeak) => 0.04,
        (O::TankNeverFull, C::DemandUp) => 0.7,
        (O::TankNeverFull, C::NoFeed | C::ShutoffLeaking) => 0.4,
        (O::TankNeverFull, _) if little => 0.45,
        (O::TankDeliversLittle, C::TankPrechargeLost) => 0.9,
        (O::TankDeliversLittle, C::DemandUp) => 0.15,
        (O::TankDeliversLittle, _) if little => 0.12,
        (O::UsesMore, C::DemandUp) => 0.85,
        (O::TasteOrSmell, C::CarbonSpent) => 0.3,
        (O::TasteOrSmell, C::MembraneOxidised | C::CoreSealLeak | C::FeedChanged | C::SealAfterWork) => 0.15,
        (O::TasteOrSmell, C::JustStarted) => 0.3,
        (O::BrownWater, C::SedimentBlocked | C::CarbonBlocked | C::MembraneFouled) => 0.2,
        (O::BrownWater, C::FeedChanged) => 0.1,
        (O::JustStarted, C::JustStarted) => 0.95,
        (O::AfterWork, C::SealAfterWork) => 0.97,
        (O::AfterWork, C::BrineSealBypass | C::CoreSealLeak | C::CarbonBlocked) => 0.15,
        (O::AfterWork, C::JustStarted) => 0.3,
        _ => BY_CHANCE,
    }
}

/// ln of the likelihood of the complaints; what was not said is not known.
pub(crate) fn ln_observed(cause: Cause, observed: &[Observed]) -> f64 {
    let mut seen = observed.to_vec();
    seen.sort_unstable();
    seen.dedup();
    seen.iter().map(|one| chance_observed(*one, cause).ln()).sum()
}

/// ln of how likely a unit is to give no permeate at all under a cause (common practice, no source).
pub(crate) fn ln_nothing(cause: Cause) -> f64 {
    let chance: f64 = match cause {
        Cause::NoFeed => 0.95,
        Cause::PumpWeak | Cause::InletPressureLow => 0.10,
        Cause::SedimentBlocked
        | Cause::CarbonBlocked
        | Cause::RestrictorWorn
        | Cause::PermeateBackPressure => 0.06,
        Cause::MembraneFouled | Cause::MembraneScaled | Cause::MeterFault => 0.02,
        _ => 0.002,
    };
    chance.ln()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_chlorine_and_hardness_likelihoods_integrate_to_one() {
        // By the definition of a density over readings from 0 up. 2e-3: midpoints across the folded edge at 0.
        for (spent, range) in [(false, (0.1, 1.0)), (true, (0.1, 1.0)), (true, (0.05, 3.0))] {
            let step = 5e-4;
            let sum: f64 = (0..20_000)
                .map(|i| step * ln_chlorine(step * (f64::from(i) + 0.5), spent, range).exp())
                .sum();
            assert!((sum - 1.0).abs() < 2e-3, "{spent} {range:?} {sum}");
        }
        let step = 0.01;
        let sum: f64 = (-2000..2000)
            .map(|i| step * ln_plateau(step * f64::from(i), 1.1, 3.9, 0.4).exp())
            .sum();
        // 1e-6: a smooth density, and tails far out.
        assert!((sum - 1.0).abs() < 1e-6, "{sum}");
    }

    #[test]
    fn val_every_complaint_is_a_probability() {
        for cause in Cause::ALL {
            for observed in Observed::ALL {
                let chance = chance_observed(observed, *cause);
                assert!(chance > 0.0 && chance < 1.0);
            }
        }
    }

    #[test]
    fn val_chlorine_after_the_carbon_tells_spent_from_good() {
        // `check-values.md` 15.03: carbon is changed at 0.1 mg/L of free chlorine after it.
        let range = (0.1, 1.0);
        let odds = |read| ln_chlorine(read, true, range) - ln_chlorine(read, false, range);
        assert!(odds(0.3) > 0.0 && odds(0.0) < 0.0);
    }

    #[test]
    fn val_each_complaint_points_to_its_own_cause() {
        // The causes that show only so (contract 6, the last eight): each is likelier to bring its sign than any other cause.
        for (observed, cause) in [
            (Observed::NoWater, Cause::NoFeed),
            (Observed::RunsToDrainWhenFull, Cause::ShutoffLeaking),
            (Observed::TankDeliversLittle, Cause::TankPrechargeLost),
            (Observed::JustStarted, Cause::JustStarted),
            (Observed::AfterWork, Cause::SealAfterWork),
            (Observed::UsesMore, Cause::DemandUp),
        ] {
            let own = chance_observed(observed, cause);
            for other in Cause::ALL.iter().filter(|one| **one != cause) {
                assert!(own > chance_observed(observed, *other), "{observed:?} {other:?}");
            }
        }
    }
}
