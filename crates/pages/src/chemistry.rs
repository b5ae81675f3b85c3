//! What a unit's feed comes to: saturation against recovery, and the recovery to keep below.

use unit::StageKind;
use water::{Error, Mineral, Report, Said, Treatment, Water, concentrate, report};
use wear::History;

/// What an analysis comes to.
#[derive(Debug)]
pub(crate) struct Chemistry {
    /// The answer, or why there is none.
    pub(crate) report: Result<Report, Vec<Error>>,
    /// What was filled in.
    pub(crate) assumed: Vec<Said>,
    /// Saturation indices against recovery: recovery, and the seven minerals' in their order.
    pub(crate) curve: Vec<(f64, [Option<f64>; 7])>,
}

/// Of the feed of a unit with what stands against scale in it; none where the feed was never analysed.
pub(crate) fn of(history: &History<'_>) -> Option<Chemistry> {
    let analysis = history.water?;
    let failed = |errors: Vec<Error>| Chemistry {
        report: Err(errors),
        assumed: Vec::new(),
        curve: Vec::new(),
    };
    let water = match Water::complete(analysis) {
        Ok(water) => water,
        Err(errors) => return Some(failed(errors)),
    };
    let found = report(&water, None, 0.0, &treatment(history.unit));
    // A concentrate beyond the chemistry's range ends the lines there.
    let curve = (0..=46)
        .map(|step| f64::from(step) * 0.02)
        .map_while(|r| {
            concentrate(water.speciation(), r, 0.0)
                .ok()
                .map(|dense| (r, dense))
        })
        .map(|(r, dense)| (r, Mineral::ALL.map(|mineral| dense.saturation_index(mineral))))
        .collect();
    Some(Chemistry {
        report: found.map_err(|error| vec![error]),
        assumed: water.assumed().to_vec(),
        curve,
    })
}

/// What the unit's stages do against scale.
fn treatment(unit: &unit::Unit) -> Treatment {
    let mut treatment = Treatment::default();
    for stage in &unit.stages {
        match stage.kind {
            StageKind::Antiscalant => treatment.antiscalant = true,
            // 5 mg/L as CaCO3 where the softener does not say: common practice, no source.
            StageKind::Softener {
                hardness_out_mg_l_caco3,
                ..
            } => {
                treatment.softener_hardness_out_mg_l_caco3 = Some(hardness_out_mg_l_caco3.unwrap_or(5.0));
            }
            _ => {}
        }
    }
    let allowed = unit.limits.saturation.iter();
    treatment.allowed = allowed
        .filter_map(|(name, si)| Some((Mineral::from_name(name)?, *si)))
        .collect();
    treatment
}
