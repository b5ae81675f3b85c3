//! The constituents of a water and what it is made of, in moles.

use std::ops::{Index, IndexMut};

/// A dissolved constituent as an analysis counts it: all its species together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[expect(
    missing_docs,
    reason = "each is the substance of its name; `field` gives the contract's word"
)]
pub enum Constituent {
    Calcium,
    Magnesium,
    Sodium,
    Potassium,
    Strontium,
    Barium,
    Iron,
    Manganese,
    Ammonium,
    Silica,
    Boron,
    Chloride,
    Sulfate,
    Nitrate,
    Fluoride,
    Phosphate,
}

use Constituent::{
    Ammonium, Barium, Boron, Calcium, Chloride, Fluoride, Iron, Magnesium, Manganese, Nitrate, Phosphate,
    Potassium, Silica, Sodium, Strontium, Sulfate,
};

/// Milligrams of `CaCO3` per milliequivalent of alkalinity, and per millimole of hardness half of it.
///
/// Source: PHREEQC's phreeqc.dat (`Alkalinity`, `Ca0.5(CO3)0.5`).
pub const ALKALINITY_MG_PER_MEQ: f64 = 50.05;

/// Molar mass of calcium carbonate, g/mol: the sum of the atoms in phreeqc.dat (40.08 + 12.0111 + 3 x 16).
pub const CALCIUM_CARBONATE_G_MOL: f64 = 100.0911;

/// Molar mass of carbon dioxide, g/mol: the sum of the atoms in phreeqc.dat.
pub const CARBON_DIOXIDE_G_MOL: f64 = 44.0111;

/// Molar mass of bicarbonate, g/mol: the sum of the atoms in phreeqc.dat.
pub(crate) const BICARBONATE_G_MOL: f64 = 61.0191;

/// Molar mass of carbonate, g/mol: the sum of the atoms in phreeqc.dat.
pub(crate) const CARBONATE_G_MOL: f64 = 60.0111;

impl Constituent {
    /// How many there are.
    pub const COUNT: usize = 16;

    /// All of them, in the order of [`Composition`].
    pub const ALL: [Self; Self::COUNT] = [
        Calcium, Magnesium, Sodium, Potassium, Strontium, Barium, Iron, Manganese, Ammonium, Silica, Boron,
        Chloride, Sulfate, Nitrate, Fluoride, Phosphate,
    ];

    /// The name of its field in a case file.
    pub fn field(self) -> &'static str {
        match self {
            Calcium => "calcium",
            Magnesium => "magnesium",
            Sodium => "sodium",
            Potassium => "potassium",
            Strontium => "strontium",
            Barium => "barium",
            Iron => "iron",
            Manganese => "manganese",
            Ammonium => "ammonium",
            Silica => "silica",
            Boron => "boron",
            Chloride => "chloride",
            Sulfate => "sulfate",
            Nitrate => "nitrate",
            Fluoride => "fluoride",
            Phosphate => "phosphate",
        }
    }

    /// Grams per mole of what the analysis is given as: `SiO2`, NO3, NH4, PO4, SO4, B and the elements.
    ///
    /// Source: atomic masses of PHREEQC's phreeqc.dat, so that a milligram is the same number of moles in both.
    pub fn molar_mass_g_mol(self) -> f64 {
        match self {
            Calcium => 40.08,
            Magnesium => 24.312,
            Sodium => 22.9898,
            Potassium => 39.102,
            Strontium => 87.62,
            Barium => 137.34,
            Iron => 55.847,
            Manganese => 54.938,
            Ammonium => 18.0387,
            Silica => 60.0843,
            Boron => 10.81,
            Chloride => 35.453,
            Sulfate => 96.064,
            Nitrate => 62.0067,
            Fluoride => 18.9984,
            Phosphate => 94.9738,
        }
    }

    /// Charge number as the charge balance of an analysis counts it; silica, boron and phosphate count none.
    pub fn charge(self) -> i32 {
        match self {
            Calcium | Magnesium | Strontium | Barium | Iron | Manganese => 2,
            Sodium | Potassium | Ammonium => 1,
            Silica | Boron | Phosphate => 0,
            Chloride | Nitrate | Fluoride => -1,
            Sulfate => -2,
        }
    }
}

/// What a water is made of: mol per kg of water of every constituent, and its alkalinity.
///
/// A litre is taken to hold 1 kg of water (model, section 1), so that mol/L and mol/kg are one number.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Composition {
    pub(crate) molality: [f64; Constituent::COUNT],
    /// Total alkalinity, equivalents per kg of water. Silica, boron and ammonia count in it as they do in a titration.
    pub alkalinity_eq_kg: f64,
}

impl Composition {
    /// Sets a constituent from its concentration, mg/L as an analysis gives it.
    #[must_use]
    pub fn with_mg_l(mut self, constituent: Constituent, mg_l: f64) -> Self {
        self[constituent] = mg_l / (1e3 * constituent.molar_mass_g_mol());
        self
    }

    /// Sets the alkalinity, mg/L as `CaCO3`.
    #[must_use]
    pub fn with_alkalinity_mg_l_caco3(mut self, mg_l: f64) -> Self {
        self.alkalinity_eq_kg = mg_l / (1e3 * ALKALINITY_MG_PER_MEQ);
        self
    }

    /// Concentration of a constituent, mg/L as an analysis gives it.
    pub fn mg_l(&self, constituent: Constituent) -> f64 {
        self[constituent] * constituent.molar_mass_g_mol() * 1e3
    }

    /// Alkalinity, mg/L as `CaCO3`.
    pub fn alkalinity_mg_l_caco3(&self) -> f64 {
        self.alkalinity_eq_kg * ALKALINITY_MG_PER_MEQ * 1e3
    }

    /// Calcium and magnesium hardness, mg/L as `CaCO3`.
    pub fn hardness_mg_l_caco3(&self) -> f64 {
        (self[Calcium] + self[Magnesium]) * 2.0 * ALKALINITY_MG_PER_MEQ * 1e3
    }

    /// Every constituent and the alkalinity times `factor`.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self {
            molality: self.molality.map(|m| m * factor),
            alkalinity_eq_kg: self.alkalinity_eq_kg * factor,
        }
    }

    /// The same litres of this and of `other`: `share` of this, the rest of the other.
    #[must_use]
    pub fn mixed(&self, other: &Self, share: f64) -> Self {
        let mut mixed = *self;
        for (here, there) in mixed.molality.iter_mut().zip(other.molality) {
            *here = share * *here + (1.0 - share) * there;
        }
        mixed.alkalinity_eq_kg = share * self.alkalinity_eq_kg + (1.0 - share) * other.alkalinity_eq_kg;
        mixed
    }

    /// Equivalents per kg of the cations and of the anions as entered, alkalinity as one anion.
    pub fn equivalents(&self) -> (f64, f64) {
        let mut cations = 0.0;
        let mut anions = self.alkalinity_eq_kg;
        for c in Constituent::ALL {
            let eq = self[c] * f64::from(c.charge());
            if eq > 0.0 {
                cations += eq;
            } else {
                anions -= eq;
            }
        }
        (cations, anions)
    }

    /// Charge balance of the analysis, percent: 100 (cations - anions)/(cations + anions) in equivalents.
    ///
    /// 0 for a water without ions.
    pub fn charge_balance_percent(&self) -> f64 {
        let (cations, anions) = self.equivalents();
        let sum = cations + anions;
        if sum > 0.0 {
            100.0 * (cations - anions) / sum
        } else {
            0.0
        }
    }
}

impl Index<Constituent> for Composition {
    type Output = f64;

    fn index(&self, constituent: Constituent) -> &f64 {
        &self.molality[constituent as usize]
    }
}

impl IndexMut<Constituent> for Composition {
    fn index_mut(&mut self, constituent: Constituent) -> &mut f64 {
        &mut self.molality[constituent as usize]
    }
}
