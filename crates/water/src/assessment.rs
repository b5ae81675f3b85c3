//! The answer for a water: the numbers of the contract, and what is said before them.

use crate::completion::Basis;
use crate::concentrate::{Concentrates, RecoveryLimit, Treatment, WorkingLimit, concentrate, working_limits};
use crate::constituent::CALCIUM_CARBONATE_G_MOL;
use crate::equilibrium::equilibrate;
use crate::error::Error;
use crate::indices;
use crate::mineral::Mineral;
use crate::properties;
use crate::said::{At, Keep, Said};
use crate::solids;
use crate::speciation::Speciation;
use crate::water::{LikelyLimit, Water};

/// The numbers of one water or concentrate.
#[derive(Clone, Debug, PartialEq)]
pub struct Assessment {
    /// pH at the water's temperature.
    pub ph: f64,
    /// Ionic strength, mol/kg.
    pub ionic_strength_mol_kg: f64,
    /// Charge balance of the analysis, percent.
    pub charge_balance_percent: f64,
    /// Sum of what is dissolved, mg/L.
    pub tds_mg_l: f64,
    /// Conductivity at 25 C, uS/cm.
    pub conductivity_us_cm: f64,
    /// Osmotic pressure, kPa: by Pitzer's equations, of a water known as sodium chloride only by ASTM D4516's relation.
    pub osmotic_pressure_kpa: f64,
    /// Calcium and magnesium, mg/L as `CaCO3`.
    pub hardness_mg_l_caco3: f64,
    /// Alkalinity, mg/L as `CaCO3`.
    pub alkalinity_mg_l_caco3: f64,
    /// Carbon dioxide, mg/L. None where nothing is known of the carbonate.
    pub co2_mg_l: Option<f64>,
    /// log10(IAP/K) in the order of [`Mineral::ALL`].
    pub saturation: [Option<f64>; 7],
    /// Langelier index.
    pub langelier_index: Option<f64>,
    /// Stiff and Davis index.
    pub stiff_davis_index: Option<f64>,
    /// Calcium carbonate precipitation potential, mg/L as `CaCO3`.
    pub ccpp_mg_l_caco3: Option<f64>,
}

/// The whole answer.
#[derive(Clone, Debug)]
pub struct Report {
    /// What there is to say to a person, the most important first.
    pub sentences: Vec<Said>,
    /// The water.
    pub water: Assessment,
    /// The recoveries to keep below.
    pub working_limits: Vec<LikelyLimit>,
    /// The recoveries at which the seven minerals saturate.
    pub recovery_limits: Vec<RecoveryLimit>,
    /// The concentrate, where a recovery was asked for.
    pub concentrate: Option<Assessment>,
    /// Its limits and the water's.
    pub warnings: Vec<Said>,
}

impl Assessment {
    /// The numbers of a speciated water.
    ///
    /// # Errors
    ///
    /// As [`crate::speciate`].
    pub fn of(s: &Speciation) -> Result<Self, Error> {
        let composition = s.composition();
        let tds_mg_l = solids::tds_mg_l(s);
        Ok(Self {
            ph: s.ph(),
            ionic_strength_mol_kg: s.ionic_strength_mol_kg(),
            charge_balance_percent: composition.charge_balance_percent(),
            tds_mg_l,
            conductivity_us_cm: s.conductivity_us_cm()?,
            osmotic_pressure_kpa: s.osmotic_pressure_kpa(),
            hardness_mg_l_caco3: composition.hardness_mg_l_caco3(),
            alkalinity_mg_l_caco3: composition.alkalinity_mg_l_caco3(),
            co2_mg_l: (s.carbon_mol_kg() > 0.0).then(|| s.co2_mg_l()),
            saturation: Mineral::ALL.map(|m| s.saturation_index(m)),
            langelier_index: indices::langelier_index(composition, s.temperature_c(), s.ph(), tds_mg_l),
            stiff_davis_index: indices::stiff_davis_index(composition, s.temperature_c(), s.ph()),
            ccpp_mg_l_caco3: equilibrate(s, Mineral::Calcite)?
                .map(|e| e.precipitated_mol_kg * CALCIUM_CARBONATE_G_MOL * 1e3),
        })
    }
}

/// The whole answer for a water: `recovery` and `salt_passage` of the concentrate asked for, if any.
///
/// # Errors
///
/// As [`concentrate`].
pub fn report(
    water: &Water,
    recovery: Option<f64>,
    salt_passage: f64,
    treatment: &Treatment,
) -> Result<Report, Error> {
    let s = water.speciation();
    let dense = recovery.map(|r| concentrate(s, r, salt_passage)).transpose()?;
    let concentrates = water.concentrates();
    let likely = water.likely_limits_in(&concentrates, treatment)?;
    let mut warnings = water.warnings().to_vec();
    if let Some(dense) = &dense
        && dense.ionic_strength_mol_kg() > crate::CHECKED_IONIC_STRENGTH_MOL_KG
    {
        warnings.push(Said::StrongConcentrate {
            mol_kg: dense.ionic_strength_mol_kg(),
        });
    }
    let mut sentences = vec![headline(water, recovery.zip(dense.as_ref()), &likely, treatment)];
    sentences.extend(what_treatment_changes(water, &concentrates)?);
    sentences.extend(not_judged(water));
    sentences.extend(water.threats().iter().cloned().map(Said::Threat));
    let mut assessment = Assessment::of(s)?;
    let mut dense = dense.as_ref().map(Assessment::of).transpose()?;
    if water.basis() == Basis::SodiumChloride {
        // Where the one salt is sodium chloride the relation of ASTM D4516 holds (model, section 1), as for ratings.
        for a in std::iter::once(&mut assessment).chain(&mut dense) {
            a.osmotic_pressure_kpa = properties::nacl_osmotic_pressure_kpa(a.tds_mg_l, s.temperature_c());
        }
    }
    Ok(Report {
        sentences,
        water: assessment,
        working_limits: likely,
        recovery_limits: concentrates.recovery_limits()?,
        concentrate: dense,
        warnings,
    })
}

/// The limit that is met first.
fn first<L>(limits: &[L], recovery: impl Fn(&L) -> Option<f64>) -> Option<(&L, f64)> {
    let found = limits.iter().filter_map(|l| recovery(l).map(|r| (l, r)));
    found.min_by(|a, b| a.1.total_cmp(&b.1))
}

fn headline(
    water: &Water,
    dense: Option<(f64, &Speciation)>,
    limits: &[LikelyLimit],
    treatment: &Treatment,
) -> Said {
    if water.basis() == Basis::SodiumChloride {
        return Said::OnlySalt {
            tds_mg_l: water.tds_mg_l(),
        };
    }
    let keep = match first(limits, |l| l.recovery) {
        Some((limit, r)) if r <= 0.0 => Keep::Nowhere(limit.mineral),
        Some((limit, recovery)) => Keep::Below {
            mineral: limit.mineral,
            recovery,
            likely: limit.likely,
        },
        None => Keep::Free,
    };
    let worst = |dense: &Speciation| {
        Mineral::ALL
            .into_iter()
            .filter_map(|m| dense.saturation_index(m).map(|si| (m, si)))
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .filter(|(_, si)| *si > 0.0)
    };
    Said::Limit {
        at: dense.map(|(recovery, dense)| At {
            recovery,
            worst: worst(dense),
        }),
        softened: treatment.softener_hardness_out_mg_l_caco3.is_some(),
        antiscalant: treatment.antiscalant,
        keep,
    }
}

/// The minerals of which an ion was not analysed.
fn not_judged(water: &Water) -> Option<Said> {
    if water.basis() == Basis::SodiumChloride {
        return None;
    }
    let a = water.analysis();
    let missing: Vec<&'static str> = [
        ("barium", a.barium_mg_l),
        ("strontium", a.strontium_mg_l),
        ("fluoride", a.fluoride_mg_l),
        ("silica", a.silica_mg_l),
    ]
    .into_iter()
    .filter_map(|(ion, read)| read.is_none().then_some(ion))
    .collect();
    (!missing.is_empty()).then_some(Said::NotJudged(missing))
}

/// What an antiscalant and a softener would change, and what neither does.
fn what_treatment_changes(water: &Water, concentrates: &Concentrates) -> Result<Vec<Said>, Error> {
    if water.basis() == Basis::SodiumChloride {
        return Ok(Vec::new());
    }
    let limits = |t: Treatment| working_limits(concentrates, &t);
    let none = limits(Treatment::default())?;
    if first(&none, |l| l.recovery).is_none() {
        return Ok(Vec::new());
    }
    let antiscalant = limits(Treatment {
        antiscalant: true,
        ..Treatment::default()
    })?;
    // What a softener lets through: 5 mg/L as CaCO3 (common practice, no source).
    let softened = limits(Treatment {
        softener_hardness_out_mg_l_caco3: Some(5.0),
        ..Treatment::default()
    })?;
    let comes_first =
        |limits: &[WorkingLimit]| first(limits, |l| l.recovery).map(|(limit, r)| (limit.mineral, r));
    let mut out = vec![Said::Treatments {
        antiscalant: comes_first(&antiscalant),
        softener: comes_first(&softened),
    }];
    if let Some(silica) = none.iter().find(|l| l.mineral == Mineral::AmorphousSilica)
        && let Some(recovery) = silica.recovery
    {
        out.push(Said::SilicaStays { recovery });
    }
    Ok(out)
}
