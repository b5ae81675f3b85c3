//! A water at equilibrium with itself: its species, and what follows from them.

use crate::constants::Constants;
use crate::constituent::{CARBON_DIOXIDE_G_MOL, Composition, Constituent};
use crate::database::{CL, CO3, DATABASE, F, H, NO3, PHASES, PO4, SO4, SPECIES};
use crate::error::Error;
use crate::fallback;
use crate::mineral::Mineral;
use crate::problem::{Carbonate, Problem, State};
use crate::solver::{COARSE, FINE, Solved, Sums};
use crate::transport;

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
    /// The formation constants it was solved with, for a start at another temperature.
    k: [f64; SPECIES],
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
        self.speciate_to(FINE, composition, carbonate, neighbour)
    }

    /// The same to four digits, for what is known to two.
    pub(crate) fn speciate_coarsely(
        &self,
        composition: &Composition,
        carbonate: Carbonate,
        neighbour: &Speciation,
    ) -> Result<Speciation, Error> {
        self.speciate_to(COARSE, composition, carbonate, Some(neighbour))
    }

    fn speciate_to(
        &self,
        left: f64,
        composition: &Composition,
        carbonate: Carbonate,
        neighbour: Option<&Speciation>,
    ) -> Result<Speciation, Error> {
        check(composition, carbonate)?;
        let problem = Problem::new(self, composition, carbonate);
        let warm = neighbour.and_then(|n| n.start_for(&problem, composition, carbonate));
        let solved = pulp::Arch::new().dispatch(Solve {
            problem: &problem,
            left,
            warm,
        })?;
        beyond(&solved, composition, carbonate)?;
        Ok(Speciation {
            composition: *composition,
            temperature_c: self.temperature_c,
            solved,
            log_k_phase: self.log_k_phase,
            k: *self.k.first_chunk().unwrap_or(&[1.0; SPECIES]),
        })
    }
}

/// Newton from a start, else from a cold one, else by bracketing; in the widest vectors that the processor has.
struct Solve<'p, 'c> {
    problem: &'p Problem<'c>,
    left: f64,
    warm: Option<State>,
}

impl pulp::NullaryFnOnce for Solve<'_, '_> {
    type Output = Result<Solved, Error>;

    #[inline(always)]
    fn call(self) -> Self::Output {
        let Self { problem, left, warm } = self;
        let mut sums = Sums::new();
        let mut state = warm.unwrap_or_else(|| problem.start());
        let mut warm = warm.is_some();
        loop {
            if let Some(iterations) = problem.newton(&mut state, &mut sums, left) {
                return Ok(problem.solved(&state, iterations));
            }
            if !warm {
                return bracketed(problem, left);
            }
            warm = false;
            state = problem.start();
        }
    }
}

/// What Newton could not bring home. It only polishes the narrow bracket, and is not needed.
#[inline(never)]
fn bracketed(problem: &Problem, left: f64) -> Result<Solved, Error> {
    let mut sums = Sums::new();
    let state = fallback::solve(problem, &mut sums)?;
    let mut polished = state;
    Ok(match problem.newton(&mut polished, &mut sums, left) {
        Some(iterations) => problem.solved(&polished, iterations),
        None => problem.solved(&state, 0),
    })
}

/// Refuses what a pH or an activity of CO2 makes of a water that no water is.
fn beyond(solved: &Solved, composition: &Composition, carbonate: Carbonate) -> Result<(), Error> {
    let read: f64 = solved.molality.iter().sum();
    if read <= 2.0 * MOST_DISSOLVED_MOL_KG {
        return Ok(());
    }
    let carbon_dioxide = solved.molality[DATABASE.co2];
    Err(match carbonate {
        Carbonate::Ph(ph) if carbon_dioxide > 0.5 * read => Error::TooMuchCarbonDioxide {
            ph,
            alkalinity: composition.alkalinity_mg_l_caco3(),
            co2_mg_l: carbon_dioxide * CARBON_DIOXIDE_G_MOL * 1e3,
        },
        Carbonate::Ph(_) | Carbonate::PhWithoutCarbon(_) => Error::TooSalty {
            field: "ph",
            read,
            most: MOST_DISSOLVED_MOL_KG,
        },
        Carbonate::Co2Activity(_) => Error::TooSalty {
            field: "co2",
            read,
            most: MOST_DISSOLVED_MOL_KG,
        },
        Carbonate::TotalCarbon(_) => Error::TooSalty {
            field: "carbon",
            read,
            most: MOST_DISSOLVED_MOL_KG,
        },
    })
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

    /// A constituent summed over its species, mol/kg: the composition's own, to the solver's precision.
    pub fn total_mol_kg(&self, constituent: Constituent) -> f64 {
        let ligand = match constituent {
            Constituent::Sulfate => SO4,
            Constituent::Phosphate => PO4,
            Constituent::Fluoride => F,
            Constituent::Chloride => CL,
            Constituent::Nitrate => NO3,
            group => {
                let db = &*DATABASE;
                let group = group as usize;
                return db
                    .species
                    .iter()
                    .zip(&self.solved.molality)
                    .filter(|(s, _)| s.group == group)
                    .map(|(_, m)| m)
                    .sum();
            }
        };
        self.sum(ligand, |form| f64::from(form.power))
    }

    /// Alkalinity summed over the species, eq/kg.
    pub fn alkalinity_eq_kg(&self) -> f64 {
        let db = &*DATABASE;
        db.species
            .iter()
            .zip(&self.solved.molality)
            .map(|(s, m)| f64::from(db.forms[s.form].alkalinity) * m)
            .sum()
    }

    /// What acids and bases make up the alkalinity, without their sign, eq/kg: how well it can be known.
    pub fn alkalinity_scale_eq_kg(&self) -> f64 {
        let db = &*DATABASE;
        db.species
            .iter()
            .zip(&self.solved.molality)
            .map(|(s, m)| f64::from(db.forms[s.form].alkalinity).abs() * m)
            .sum()
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

    /// Specific conductance of the same water at 25 C, uS/cm: all constituents, alkalinity and carbon unchanged.
    ///
    /// # Errors
    ///
    /// As [`speciate`]; none is known for a water that could be speciated.
    pub fn conductivity_us_cm(&self) -> Result<f64, Error> {
        transport::at_25_c(self, false)
    }

    /// Osmotic pressure at the water's temperature, kPa, dissolved gases not counted.
    ///
    /// Where many waters share a temperature, [`crate::OsmoticModel::at`] once is faster.
    pub fn osmotic_pressure_kpa(&self) -> f64 {
        crate::OsmoticModel::at(self.temperature_c).kpa(self)
    }

    /// Anions of silica and boron, mol/kg: those of their species that have lost a hydrogen.
    pub(crate) fn other_anions_mol_kg(&self) -> f64 {
        let db = &*DATABASE;
        let range = db.starts[Constituent::Silica as usize + 1]..SPECIES;
        range
            .filter(|i| db.species[*i].charge < 0)
            .map(|i| self.solved.molality[i])
            .sum()
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

    /// The solver's unknowns.
    pub(crate) fn state(&self) -> &State {
        &self.solved.state
    }

    /// The formation constants it was solved with, in the order of the database.
    pub(crate) fn k(&self) -> &[f64; SPECIES] {
        &self.k
    }

    /// Molality of each species, in the order of the database.
    pub(crate) fn molalities(&self) -> &[f64; SPECIES] {
        &self.solved.molality
    }
}
