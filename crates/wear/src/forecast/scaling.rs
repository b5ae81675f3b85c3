//! How fast scale grows on the membranes where the wall of the tail is supersaturated, before any reading shows it.

use unit::{Conditions, Model, Segments, StageKind, State, Unit, Workspace};
use water::{Analysis, Basis, Mineral, Treatment, Water};

/// Fall of ln A in a year of usual use where relative supersaturation is 1 (an index of 0.6), and the standard
/// deviation of its logarithm.
///
/// With it scale takes as much as a typical feed's dirt where calcite stands at +0.5, which is what practice allows without
/// treatment (`model.md` 1). On very hard, untreated water (an index of 0.7 to 1) some lose their membranes within months, over
/// 1 a year, while many units go on for years. The spread holds both (common practice, no source).
const A_YEAR: f64 = 0.1;
/// See [`A_YEAR`].
pub(super) const SD: f64 = 1.3;
/// A membrane that lost its flow in days would not be run.
const MOST_A_YEAR: f64 = 3.0;
/// Pressure before the first stage of a unit that was never read, kPa (common practice, no source).
const INLET_KPA: f64 = 300.0;
/// Feed temperature where neither site nor analysis tells it, C.
const USUAL_C: f64 = 12.0;

/// Fall of ln A in a year of usual use by scale: what [`unit::predict()`] finds at the tail element's wall with new
/// membranes, at the feed's temperature. 0 where the analysis does not tell the ions, or the unit makes nothing of it.
///
/// The mean over the coldest and the warmest week where both are stated: what is near saturation scales in summer.
pub(super) fn a_year(unit: &Unit, feed: &Analysis) -> f64 {
    if feed.is_one_salt() {
        return 0.0;
    }
    let Ok(water) = Water::complete(feed) else {
        return 0.0;
    };
    if water.basis() == Basis::SodiumChloride {
        return 0.0;
    }
    let Ok(model) = Model::new(unit, Segments::FAST) else {
        return 0.0;
    };
    let parameters = model.parameters();
    let mut workspace = Workspace::new();
    let temperatures = match (unit.need.coldest_feed_c, unit.need.warmest_feed_c) {
        (Some(coldest), Some(warmest)) => vec![coldest, warmest],
        _ => vec![feed.temperature_c.unwrap_or(USUAL_C)],
    };
    let antiscalant = unit
        .stages
        .iter()
        .any(|stage| stage.kind == StageKind::Antiscalant);
    let count = temperatures.len() as f64;
    let each = temperatures.into_iter().map(|temperature_c| {
        let conditions = Conditions {
            temperature_c,
            inlet_pressure_kpa: INLET_KPA,
            permeate_pressure_kpa: 0.0,
            state: State::default(),
        };
        let made = model.predict(unit, &water, &parameters, &conditions, &mut workspace);
        made.map_or(0.0, |made| at_wall(&made.saturation_at_wall, antiscalant))
    });
    // Of nothing the sum is -0.
    each.sum::<f64>().max(0.0) / count
}

/// The same for saturation indices in the order of [`Mineral::ALL`].
///
/// Crystals of sparingly soluble salts grow with the square of the relative supersaturation `(IAP/K)^(1/2) - 1` (calcite
/// and gypsum grown from seeds at constant composition: Nancollas and others; for calcite also Teng, Dove and De Yoreo,
/// Geochim. Cosmochim. Acta 64 (2000) 2255, where spirals grow). An antiscalant holds back what the working limits allow
/// more with it than without. One constant serves for all minerals: for want of a better one.
fn at_wall(saturation: &[Option<f64>; 7], antiscalant: bool) -> f64 {
    let (with, without) = (
        Treatment {
            antiscalant,
            ..Treatment::default()
        },
        Treatment::default(),
    );
    let each = Mineral::ALL
        .into_iter()
        .zip(saturation)
        .filter_map(|(mineral, si)| {
            let held = with.allowed_si(mineral)? - without.allowed_si(mineral)?;
            Some((*si)? - held)
        });
    let squares: f64 = each
        .filter(|si| *si > 0.0)
        .map(|si| (10f64.powf(0.5 * si) - 1.0).powi(2))
        .sum();
    (A_YEAR * squares).min(MOST_A_YEAR)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(is: f64, should: f64) {
        // 1e-12: rounding.
        assert!((is - should).abs() < 1e-12, "{is} and not {should}");
    }

    fn calcite(si: f64) -> [Option<f64>; 7] {
        Mineral::ALL.map(|mineral| (mineral == Mineral::Calcite).then_some(si))
    }

    #[test]
    fn scale_begins_at_saturation_and_grows_with_the_square() {
        near(at_wall(&calcite(0.0), false), 0.0);
        near(at_wall(&calcite(-1.0), false), 0.0);
        near(at_wall(&[None; 7], false), 0.0);
        // IAP/K = 4 and 9: relative supersaturation 1 and 2.
        near(at_wall(&calcite(4f64.log10()), false), A_YEAR);
        near(at_wall(&calcite(9f64.log10()), false), 4.0 * A_YEAR);
        near(at_wall(&calcite(4.0), false), MOST_A_YEAR);
        // Aragonite is the same substance and counts once.
        let both = Mineral::ALL
            .map(|mineral| matches!(mineral, Mineral::Calcite | Mineral::Aragonite).then_some(4f64.log10()));
        near(at_wall(&both, false), A_YEAR);
    }

    #[test]
    fn an_antiscalant_holds_back_what_the_working_limits_allow() {
        // +1.8 with, +0.5 without (`model.md` 1): 1.3 of the index.
        near(at_wall(&calcite(1.3), true), 0.0);
        near(at_wall(&calcite(1.3 + 4f64.log10()), true), A_YEAR);
    }
}
