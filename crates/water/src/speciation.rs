//! A water at equilibrium with itself: its species, and what follows from them.

use crate::constants::Constants;
use crate::constituent::{CARBON_DIOXIDE_G_MOL, Composition, Constituent};
use crate::database::{CL, CO3, DATABASE, F, H, LIGANDS, NO3, PHASES, PO4, SO4, Species};
use crate::error::Error;
use crate::fallback;
use crate::mineral::Mineral;
use crate::solver::{Carbonate, Problem, Solved, State, Sums};

/// Most that may be dissolved, mol/kg: beyond it the activity model has lost all meaning.
///
/// It is checked against PHREEQC to an ionic strength of 0.5 mol/kg; between, answers are given with a warning.
pub const MOST_DISSOLVED_MOL_KG: f64 = 4.0;

/// The ionic strength to which the chemistry is checked, mol/kg.
pub const CHECKED_IONIC_STRENGTH_MOL_KG: f64 = 0.5;

/// A water at equilibrium with itself, no mineral or gas having left it.
#[derive(Clone, Debug)]
pub struct Speciation {
    composition: Composition,
    temperature_c: f64,
    solved: Solved,
    log_k_phase: [f64; PHASES],
}

/// Solves a water at a temperature.
///
/// `temperature_c` within [`crate::TEMPERATURE_RANGE_C`]. Where many waters share a temperature, [`Constants::at`] once and
/// [`Constants::speciate`] are faster.
///
/// # Errors
///
/// The field that makes the water impossible: see [`Error`].
pub fn speciate(
    composition: &Composition,
    carbonate: Carbonate,
    temperature_c: f64,
) -> Result<Speciation, Error> {
    Constants::at(temperature_c).speciate(composition, carbonate, None)
}

impl Constants {
    /// Solves a water at this temperature, starting from a neighbour's solution where there is one.
    ///
    /// The neighbour changes how fast the answer is found, never the answer.
    ///
    /// # Errors
    ///
    /// The field that makes the water impossible: see [`Error`].
    pub fn speciate(
        &self,
        composition: &Composition,
        carbonate: Carbonate,
        neighbour: Option<&Speciation>,
    ) -> Result<Speciation, Error> {
        check(composition, carbonate)?;
        let problem = Problem::new(self, composition, carbonate);
        let solved = solve(
            &problem,
            neighbour.map(|n| n.start_for(&problem, composition, carbonate)),
        )?;
        Ok(Speciation {
            composition: *composition,
            temperature_c: self.temperature_c,
            solved,
            log_k_phase: self.log_k_phase,
        })
    }
}

/// Newton from a start, else from a cold one, else by bracketing.
fn solve(problem: &Problem, warm: Option<State>) -> Result<Solved, Error> {
    let mut sums = Sums::new();
    let mut state = warm.unwrap_or_else(|| problem.start());
    let mut iterations = problem.newton(&mut state, &mut sums);
    if iterations.is_none() && warm.is_some() {
        state = problem.start();
        iterations = problem.newton(&mut state, &mut sums);
    }
    if iterations.is_none() {
        state = fallback::solve(problem, &mut sums)?;
        // The bracket is narrow already; Newton only polishes it, and is not needed.
        let mut polished = state;
        iterations = problem.newton(&mut polished, &mut sums);
        if iterations.is_some() {
            state = polished;
        }
    }
    Ok(problem.solved(&state, iterations.unwrap_or(0)))
}

fn check(composition: &Composition, carbonate: Carbonate) -> Result<(), Error> {
    let mut sum = composition.alkalinity_eq_kg.abs();
    let mut largest = ("alkalinity", sum);
    if !composition.alkalinity_eq_kg.is_finite() {
        return Err(Error::NotANumber {
            field: "alkalinity",
            read: composition.alkalinity_eq_kg,
        });
    }
    for c in Constituent::ALL {
        let m = composition[c];
        if !m.is_finite() {
            return Err(Error::NotANumber {
                field: c.field(),
                read: m,
            });
        }
        if m < 0.0 {
            return Err(Error::OutOfRange {
                field: c.field(),
                read: m,
                least: 0.0,
                most: MOST_DISSOLVED_MOL_KG,
                unit: "mol/kg",
            });
        }
        sum += m;
        if m > largest.1 {
            largest = (c.field(), m);
        }
    }
    let (field, read, least, most, unit) = match carbonate {
        Carbonate::Ph(ph) | Carbonate::PhWithoutCarbon(ph) => ("ph", ph, 0.0, 14.0, "pH"),
        Carbonate::Co2Activity(a) => ("co2", a, 0.0, MOST_DISSOLVED_MOL_KG, "mol/kg"),
        Carbonate::TotalCarbon(c) => {
            sum += c.max(0.0);
            ("carbon", c, 0.0, MOST_DISSOLVED_MOL_KG, "mol/kg")
        }
    };
    if !read.is_finite() {
        return Err(Error::NotANumber { field, read });
    }
    if !(least..=most).contains(&read) {
        return Err(Error::OutOfRange {
            field,
            read,
            least,
            most,
            unit,
        });
    }
    if sum > MOST_DISSOLVED_MOL_KG {
        return Err(Error::TooSalty {
            field: largest.0,
            read: sum,
            most: MOST_DISSOLVED_MOL_KG,
        });
    }
    Ok(())
}

impl Speciation {
    /// Where a neighbouring water starts from.
    fn start_for(&self, problem: &Problem, composition: &Composition, carbonate: Carbonate) -> State {
        let mut ratio = [0.0; LIGANDS];
        for (l, c) in [
            (SO4, Constituent::Sulfate),
            (PO4, Constituent::Phosphate),
            (F, Constituent::Fluoride),
            (CL, Constituent::Chloride),
            (NO3, Constituent::Nitrate),
        ] {
            ratio[l] = composition[c] / self.composition[c];
        }
        ratio[CO3] = match carbonate {
            Carbonate::TotalCarbon(total) => total / self.carbon_mol_kg(),
            _ => composition.alkalinity_eq_kg / self.composition.alkalinity_eq_kg,
        };
        let size = |c: &Composition| {
            Constituent::ALL
                .iter()
                .map(|i| c[*i] * f64::from(i.charge() * i.charge()))
                .sum::<f64>()
                + c.alkalinity_eq_kg.abs()
        };
        let ionic = size(composition) / size(&self.composition);
        problem.start_from(
            &self.solved.state,
            &ratio,
            if ionic.is_finite() { ionic } else { 1.0 },
        )
    }

    /// What the water is made of.
    pub fn composition(&self) -> &Composition {
        &self.composition
    }

    /// Temperature, C.
    pub fn temperature_c(&self) -> f64 {
        self.temperature_c
    }

    /// pH = -log10 a(H+).
    pub fn ph(&self) -> f64 {
        -self.log10_activity(H)
    }

    /// Ionic strength, mol/kg, ion pairs counted as what they are.
    pub fn ionic_strength_mol_kg(&self) -> f64 {
        self.solved.state.ionic_strength
    }

    /// Activity of water.
    pub fn water_activity(&self) -> f64 {
        self.solved.state.water_activity
    }

    /// Newton steps that the answer took; 0 where it was bracketed.
    pub fn iterations(&self) -> u32 {
        self.solved.iterations
    }

    /// All carbonate and carbon dioxide, mol/kg.
    pub fn carbon_mol_kg(&self) -> f64 {
        self.sum(CO3, |form| f64::from(form.power))
    }

    /// Dissolved CO2, mol/kg, its dimer counted twice.
    pub fn co2_mol_kg(&self) -> f64 {
        self.sum(CO3, |form| {
            if form.hydrogen == 2 * form.power {
                f64::from(form.power)
            } else {
                0.0
            }
        })
    }

    /// Dissolved CO2, mg/L.
    pub fn co2_mg_l(&self) -> f64 {
        self.co2_mol_kg() * CARBON_DIOXIDE_G_MOL * 1e3
    }

    /// Activity of dissolved CO2.
    pub fn co2_activity(&self) -> f64 {
        self.solved.co2_activity
    }

    /// Bicarbonate and carbonate, each with its ion pairs, mol/kg.
    pub fn bicarbonate_carbonate_mol_kg(&self) -> (f64, f64) {
        (
            self.sum(CO3, |form| f64::from(u8::from(form.hydrogen == 1))),
            self.sum(CO3, |form| f64::from(u8::from(form.hydrogen == 0))),
        )
    }

    /// Saturation index log10(IAP/K) of a mineral at the water's temperature and 1 atm. None where an ion is missing.
    pub fn saturation_index(&self, mineral: Mineral) -> Option<f64> {
        mineral
            .log_ion_activity_product(self)
            .map(|iap| iap - self.log_k_phase[mineral as usize])
    }

    /// Pressure of CO2 in equilibrium, log10 atm. None without carbon.
    pub fn log10_co2_pressure(&self) -> Option<f64> {
        let activity = self.co2_activity();
        (activity > 0.0).then(|| activity.log10() - self.log_k_phase[PHASES - 1])
    }

    /// Sum over the species with a ligand.
    fn sum(&self, ligand: usize, weight: impl Fn(&crate::database::Form) -> f64) -> f64 {
        let db = &*DATABASE;
        let mut sum = 0.0;
        for (s, m) in db.species.iter().zip(&self.solved.molality) {
            let form = &db.forms[s.form];
            if form.ligand == ligand {
                sum += weight(form) * m;
            }
        }
        sum
    }

    /// log10 of a ligand's activity.
    pub(crate) fn log10_activity(&self, ligand: usize) -> f64 {
        self.solved.state.ln_activity[ligand] * std::f64::consts::LOG10_E
    }

    /// log10 of the water activity.
    pub(crate) fn log10_water_activity(&self) -> f64 {
        self.solved.state.water_activity.log10()
    }

    /// log10 of the activity of a constituent's bare species. None where there is none of it, or where it is a ligand.
    pub(crate) fn log10_group_activity(&self, constituent: Constituent) -> Option<f64> {
        let a = *self.solved.group_activity.get(constituent as usize)?;
        (a > 0.0).then(|| a.log10())
    }

    /// Molality of each species, with the species.
    pub(crate) fn species(&self) -> impl Iterator<Item = (&'static Species, f64)> + '_ {
        DATABASE.species.iter().zip(self.solved.molality.iter().copied())
    }
}
