//! A completed, validated water, solved at its own temperature.

use crate::analysis::Analysis;
use crate::completion::{self, Basis, Completed};
use crate::concentrate::{Concentrates, HIGHEST_RECOVERY, Treatment, working_limits};
use crate::constants::Constants;
use crate::constituent::{ALKALINITY_MG_PER_MEQ, Constituent};
use crate::error::Error;
use crate::mineral::Mineral;
use crate::problem::Carbonate;
use crate::said::{Made, Said};
use crate::solids;
use crate::speciation::{CHECKED_IONIC_STRENGTH_MOL_KG, Speciation};
use crate::threats::{Threat, threats};
use crate::typical::Typical;

/// Alkalinity that a test kit cannot tell from none, eq/kg (1 mg/L as `CaCO3`; common practice, no source).
const KIT_RESOLUTION_EQ_KG: f64 = 2e-5;
/// CO2 beyond which an analysis is refused, mol/kg: that of about 6 atm at 25 C.
const MOST_CO2_MOL_KG: f64 = 0.2;
/// Standard deviations to either side that hold eight of ten (normal distribution).
const EIGHTY_PERCENT: f64 = 1.281_551_6;

/// A completed, validated water.
#[derive(Clone, Debug)]
pub struct Water {
    name: String,
    basis: Basis,
    analysis: Analysis,
    speciation: Speciation,
    conductivity_us_cm: f64,
    tds_per_us_cm: f64,
    assumed: Vec<Said>,
    warnings: Vec<Said>,
    threats: Vec<Threat>,
    used: Vec<crate::typical::Quantity>,
}

/// The recovery to keep below for a mineral, with what is not known of the water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LikelyLimit {
    /// The mineral.
    pub mineral: Mineral,
    /// The recovery; None where an ion is missing or none is found below [`HIGHEST_RECOVERY`].
    pub recovery: Option<f64>,
    /// The saturation index allowed in the concentrate.
    pub allowed_si: f64,
    /// Between which recoveries the limit lies eight times in ten, for what was assumed. None where nothing was assumed.
    /// Where the upper one is [`HIGHEST_RECOVERY`] there may be no limit at all.
    pub likely: Option<(f64, f64)>,
}

impl Water {
    /// Completes and solves an analysis.
    ///
    /// # Errors
    ///
    /// Every fault of the numbers at once; else the one thing that makes them impossible together.
    pub fn complete(analysis: &Analysis) -> Result<Self, Vec<Error>> {
        let faults = analysis.faults();
        if !faults.is_empty() {
            return Err(faults);
        }
        let mut warnings = Vec::new();
        let completed = completion::complete(analysis, &Typical::new()).map_err(|e| vec![e])?;
        let speciation = solve(&completed, &mut warnings).map_err(|e| vec![e])?;
        let conductivity_us_cm = speciation.conductivity_us_cm().map_err(|e| vec![e])?;
        let tds = solids::tds_mg_l(&speciation);
        let tds_per_us_cm = match analysis.conductivity_us_cm {
            Some(read) if read > 0.0 => tds / read,
            _ if conductivity_us_cm > 0.0 => tds / conductivity_us_cm,
            _ => 0.0,
        };
        let mut water = Self {
            name: analysis.name.clone(),
            basis: completed.basis,
            analysis: analysis.clone(),
            speciation,
            conductivity_us_cm,
            tds_per_us_cm,
            assumed: completed.assumed,
            warnings,
            threats: threats(analysis),
            used: completed.used,
        };
        water.contradictions();
        Ok(water)
    }

    /// What people call it.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// How much of it was known.
    pub fn basis(&self) -> Basis {
        self.basis
    }

    /// What was measured.
    pub fn analysis(&self) -> &Analysis {
        &self.analysis
    }

    /// The water at equilibrium with itself, at its own temperature.
    pub fn speciation(&self) -> &Speciation {
        &self.speciation
    }

    /// Conductivity at 25 C of its ions, uS/cm; what a meter read is in [`Self::analysis`].
    pub fn conductivity_us_cm(&self) -> f64 {
        self.conductivity_us_cm
    }

    /// Sum of what is dissolved, mg/L.
    pub fn tds_mg_l(&self) -> f64 {
        solids::tds_mg_l(&self.speciation)
    }

    /// This water's own ratio of dissolved solids to conductivity, mg/L per uS/cm at 25 C: by the conductivity measured
    /// where there is one, else by that of its ions.
    ///
    /// A reading in ppm at factor f is the conductivity ppm/f, and the concentration that times this ratio.
    pub fn tds_per_us_cm(&self) -> f64 {
        self.tds_per_us_cm
    }

    /// What was filled in.
    pub fn assumed(&self) -> &[Said] {
        &self.assumed
    }

    /// Contradictions and limits of the model.
    pub fn warnings(&self) -> &[Said] {
        &self.warnings
    }

    /// What in it threatens a stage or the membranes.
    pub fn threats(&self) -> &[Threat] {
        &self.threats
    }

    /// Its concentrates, to look for recoveries in.
    pub fn concentrates(&self) -> Concentrates {
        Concentrates::of(&self.speciation)
    }

    /// The recoveries to keep below, each with the range that the assumptions leave.
    ///
    /// Each assumed value is moved by 1.28 of its standard deviations to either side; the changes of the logarithm of the
    /// concentration factor add in squares.
    ///
    /// # Errors
    ///
    /// As [`crate::speciate`].
    pub fn likely_limits(&self, treatment: &Treatment) -> Result<Vec<LikelyLimit>, Error> {
        self.likely_limits_in(&self.concentrates(), treatment)
    }

    /// The same where the concentrates are at hand.
    pub(crate) fn likely_limits_in(
        &self,
        concentrates: &Concentrates,
        treatment: &Treatment,
    ) -> Result<Vec<LikelyLimit>, Error> {
        let factor = |r: Option<f64>| -(1.0 - r.unwrap_or(HIGHEST_RECOVERY)).ln();
        let mut limits: Vec<LikelyLimit> = working_limits(concentrates, treatment)?
            .into_iter()
            .map(|l| LikelyLimit {
                mineral: l.mineral,
                recovery: l.recovery,
                allowed_si: l.allowed_si,
                likely: None,
            })
            .collect();
        if self.used.is_empty() || self.basis == Basis::SodiumChloride {
            return Ok(limits);
        }
        let mut below = vec![0.0_f64; limits.len()];
        let mut above = vec![0.0_f64; limits.len()];
        for quantity in &self.used {
            for side in [-EIGHTY_PERCENT, EIGHTY_PERCENT] {
                let typical = Typical::new().moved(*quantity, side);
                // Where the other value is impossible with what was measured, it is ruled out and widens nothing.
                let Ok(completed) = completion::complete(&self.analysis, &typical) else {
                    continue;
                };
                let Ok(other) = solve(&completed, &mut Vec::new()) else {
                    continue;
                };
                for (i, l) in working_limits(&Concentrates::of(&other), treatment)?
                    .iter()
                    .enumerate()
                {
                    let Some(limit) = limits.get(i) else { continue };
                    let d = factor(l.recovery) - factor(limit.recovery);
                    if d < 0.0 {
                        below[i] = below[i].hypot(d);
                    } else {
                        above[i] = above[i].hypot(d);
                    }
                }
            }
        }
        let recovery = |x: f64| (1.0 - (-x).exp()).clamp(0.0, HIGHEST_RECOVERY);
        for (i, limit) in limits.iter_mut().enumerate() {
            let x = factor(limit.recovery);
            if self.speciation.saturation_index(limit.mineral).is_some() {
                limit.likely = Some((recovery(x - below[i]), recovery(x + above[i])));
            }
        }
        Ok(limits)
    }

    /// Contradictions between what was read and what the ions make.
    fn contradictions(&mut self) {
        let s = &self.speciation;
        let a = &self.analysis;
        let mut warnings = Vec::new();
        if self.basis != Basis::SodiumChloride {
            let balance = s.composition().charge_balance_percent();
            if balance.abs() > 5.0 {
                warnings.push(Said::Unbalanced { percent: balance });
            }
        }
        if let Some(read) = a
            .conductivity_us_cm
            .filter(|_| self.basis != Basis::SodiumChloride)
        {
            let made = self.conductivity_us_cm;
            if read > 0.0 && (made / read - 1.0).abs() > 0.10 {
                let by = if self.basis == Basis::Analysis {
                    Made::ByIons
                } else if made > read {
                    Made::ByKit
                } else {
                    Made::ByGiven
                };
                warnings.push(Said::Conductivity {
                    by,
                    made_us_cm: made,
                    read_us_cm: read,
                });
            }
        }
        if let Some((calcium, magnesium)) = a.calcium_mg_l.zip(a.magnesium_mg_l)
            && let Some(read) = a.hardness_mg_l_caco3
        {
            let made = 2.0
                * ALKALINITY_MG_PER_MEQ
                * (calcium / Constituent::Calcium.molar_mass_g_mol()
                    + magnesium / Constituent::Magnesium.molar_mass_g_mol());
            if (made - read).abs() > (0.1 * read).max(5.0) {
                warnings.push(Said::Hardness { read, made });
            }
        }
        if let Some(read) = a.tds_mg_l {
            let (whole, residue) = (solids::tds_mg_l(s), solids::residue_mg_l(s));
            let near = |made: f64| (read - made).abs() <= 0.1 * made;
            if self.basis == Basis::SodiumChloride {
                if let Some(us_cm) = a.conductivity_us_cm
                    && us_cm > 0.0
                    && !(0.4..=1.0).contains(&(read / us_cm))
                {
                    warnings.push(Said::TdsRatio {
                        tds_mg_l: read,
                        us_cm,
                    });
                }
            } else if !near(whole) && !near(residue) {
                warnings.push(Said::Tds { read, whole, residue });
            }
        }
        if s.ionic_strength_mol_kg() > CHECKED_IONIC_STRENGTH_MOL_KG {
            warnings.push(Said::Strong {
                mol_kg: s.ionic_strength_mol_kg(),
            });
        }
        self.warnings.extend(warnings);
    }
}

/// Solves a completed water, an alkalinity just too small for the pH being what a kit cannot tell.
fn solve(completed: &Completed, warnings: &mut Vec<Said>) -> Result<Speciation, Error> {
    let constants = Constants::at(completed.temperature_c);
    let mut composition = completed.composition;
    let solved = match constants.speciate(&composition, completed.carbonate, None) {
        Err(Error::AlkalinityTooLow { ph, read, least })
            if (least - read) * 1e-3 / ALKALINITY_MG_PER_MEQ < KIT_RESOLUTION_EQ_KG =>
        {
            warnings.push(Said::AlkalinityRaised { read, ph, least });
            composition.alkalinity_eq_kg = least / (1e3 * ALKALINITY_MG_PER_MEQ) * (1.0 + 1e-6) + 1e-9;
            constants.speciate(&composition, completed.carbonate, None)?
        }
        other => other?,
    };
    if let Carbonate::Ph(ph) = completed.carbonate
        && solved.co2_mol_kg() > MOST_CO2_MOL_KG
    {
        return Err(Error::TooMuchCarbonDioxide {
            ph,
            alkalinity: composition.alkalinity_mg_l_caco3(),
            co2_mg_l: solved.co2_mg_l(),
        });
    }
    Ok(solved)
}
