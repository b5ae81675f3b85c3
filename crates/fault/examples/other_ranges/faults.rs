//! What each cause does to a unit (`contract.md` 6), by a severity from 0, just beyond the noise, to 1, gross. The ranges are
//! common practice, no source, and drawn apart from those that the diagnosis assumes.

use fault::Cause;
use unit::{Parameter, Parameters, Setting, StageKind, Unit};

use crate::dice::Dice;

/// Applies it; for a meter fault the factor that it is wrong by.
pub fn apply(
    dice: &mut Dice,
    cause: Cause,
    x: f64,
    unit: &Unit,
    parameters: &mut Parameters,
    now: &mut Setting,
    feed_l_h: f64,
) -> f64 {
    let n = unit.membranes.elements.len();
    let series = unit.membranes.arrangement == unit::Arrangement::Series;
    let any = dice.below(n);
    let (lead, tail) = if series { (0, n - 1) } else { (any, any) };
    let mut by = |parameter: Parameter, by: f64| {
        let was = parameters.get(parameter).unwrap_or(0.0);
        let _has = parameters.set(parameter, was + by);
    };
    let place = |is: fn(&StageKind) -> bool| unit.stages.iter().position(|stage| is(&stage.kind));
    let clogged = |i: usize, share: f64| {
        let clean = unit.stages.get(i)?.clean_drop?;
        let usual = clean.pressure_kpa * feed_l_h / clean.flow_l_h;
        Some((1.0 + share * now.inlet_pressure_kpa / usual).ln())
    };
    match cause {
        Cause::InletPressureLow => now.inlet_pressure_kpa *= (0.83 - 0.43 * x).max(0.2),
        Cause::SedimentBlocked | Cause::CarbonBlocked => {
            let found = if cause == Cause::SedimentBlocked {
                place(|kind| matches!(kind, StageKind::Sediment { .. }))
            } else {
                place(|kind| matches!(kind, StageKind::Carbon { .. }))
            };
            let share = 0.10 * 8.0_f64.powf(x);
            if let Some((i, ln)) = found.and_then(|i| Some((i, clogged(i, share)?))) {
                by(Parameter::StageDrop(i), ln);
            }
        }
        Cause::PumpWeak => {
            if let Some(i) = place(|kind| matches!(kind, StageKind::Pump { .. })) {
                by(Parameter::PumpPressure(i), (0.86 - 0.56 * x).max(0.1).ln());
                by(Parameter::PumpFlow(i), 0.15 * (0.86 - 0.56 * x).max(0.1).ln());
            }
        }
        Cause::MembraneFouled => {
            by(Parameter::WaterPermeability(lead), (0.82 - 0.5 * x).max(0.1).ln());
            by(Parameter::ElementDrop(lead), 0.2 + 0.9 * x + dice.normal(0.15));
            by(Parameter::SaltPermeability(lead), dice.normal(0.05));
        }
        Cause::MembraneScaled => {
            by(
                Parameter::WaterPermeability(tail),
                (0.78 - 0.55 * x).max(0.1).ln(),
            );
            by(
                Parameter::SaltPermeability(tail),
                0.35 + 1.1 * x + dice.normal(0.15),
            );
            by(Parameter::ElementDrop(tail), 0.15 + 0.9 * x + dice.normal(0.15));
        }
        Cause::MembraneOxidised => {
            for i in 0..n {
                let ln = 0.4 + 1.5 * x;
                by(Parameter::SaltPermeability(i), ln + dice.normal(0.05));
                by(Parameter::WaterPermeability(i), dice.within(0.03, 0.15) * ln);
            }
        }
        Cause::CoreSealLeak => by(Parameter::ElementLeak(any), 0.012 * 18.0_f64.powf(x)),
        Cause::BrineSealBypass => by(Parameter::ElementBypass(any), (0.28 + 0.55 * x).min(0.97)),
        Cause::RestrictorBlocked => by(Parameter::Restrictor, (0.8 - 0.58 * x).max(0.1).ln()),
        Cause::RestrictorWorn => by(Parameter::Restrictor, (1.22 + 2.2 * x).ln()),
        Cause::FeedChanged => {
            now.feed_mg_l *= if dice.chance(0.65) {
                1.25 * 2.3_f64.powf(x)
            } else {
                0.8 * 0.5_f64.powf(x)
            };
        }
        Cause::MeterFault => return 1.18 * 1.9_f64.powf(x),
        _ => {}
    }
    1.0
}
