//! What a feed is made of as the membrane sees it, and how each of it passes (`data/relative_permeability.csv`).

use std::sync::LazyLock;

use water::Constituent;

/// One thing dissolved in the feed, as the membrane tells them apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Solute {
    /// A constituent of the analysis; ammonium without its ammonia.
    Of(Constituent),
    /// HCO3-.
    Bicarbonate,
    /// CO3-2.
    Carbonate,
    /// Dissolved CO2.
    CarbonDioxide,
    /// Dissolved NH3.
    Ammonia,
}

impl Solute {
    /// How many there are.
    pub const COUNT: usize = Constituent::COUNT + 4;

    /// All of them: the constituents in their own order, then the carbonate system and ammonia.
    pub fn all() -> impl Iterator<Item = Self> {
        Constituent::ALL.into_iter().map(Self::Of).chain([
            Self::Bicarbonate,
            Self::Carbonate,
            Self::CarbonDioxide,
            Self::Ammonia,
        ])
    }

    /// Its name in answers.
    pub fn name(self) -> &'static str {
        match self {
            Self::Of(constituent) => constituent.field(),
            Self::Bicarbonate => "bicarbonate",
            Self::Carbonate => "carbonate",
            Self::CarbonDioxide => "carbon_dioxide",
            Self::Ammonia => "ammonia",
        }
    }

    /// Grams per mole: constituents as the analysis counts them, the others by the atomic masses of phreeqc.dat.
    pub fn molar_mass_g_mol(self) -> f64 {
        match self {
            Self::Of(constituent) => constituent.molar_mass_g_mol(),
            Self::Bicarbonate => 61.0191,
            Self::Carbonate => 60.0111,
            Self::CarbonDioxide => water::CARBON_DIOXIDE_G_MOL,
            Self::Ammonia => 17.0307,
        }
    }
}

/// How a solute passes.
#[derive(Clone, Debug, PartialEq)]
pub struct RelativePermeability {
    /// The solute.
    pub solute: Solute,
    /// Charge number.
    pub charge: f64,
    /// B over that of sodium chloride; infinite for what passes freely.
    pub ratio: f64,
    /// Standard deviation of its logarithm.
    pub sd_ln: f64,
    /// Where it is from.
    pub source: String,
}

/// The table, one row per solute in the order of [`Solute::all`].
pub fn relative_permeabilities() -> &'static [RelativePermeability] {
    static TABLE: LazyLock<Vec<RelativePermeability>> = LazyLock::new(|| {
        let text = include_str!("../data/relative_permeability.csv");
        Solute::all()
            .filter_map(|solute| {
                let line = text
                    .lines()
                    .find(|line| line.split('|').next() == Some(solute.name()))?;
                let mut cells = line.split('|').skip(1);
                let mut number = || {
                    let cell = cells.next()?;
                    if cell == "free" {
                        Some(f64::INFINITY)
                    } else {
                        cell.parse().ok()
                    }
                };
                let (charge, ratio, sd_ln) = (number()?, number()?, number()?);
                Some(RelativePermeability {
                    solute,
                    charge,
                    ratio,
                    sd_ln,
                    source: cells.next().unwrap_or_default().to_owned(),
                })
            })
            .collect()
    });
    &TABLE
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_every_solute_has_a_row_with_a_source() {
        let table = relative_permeabilities();
        assert!(table.iter().map(|row| row.solute).eq(Solute::all()));
        for row in table {
            assert!(row.ratio > 0.0 && row.sd_ln >= 0.0, "{:?}", row.solute);
            assert!(row.source.len() > 10, "{:?} has no source", row.solute);
            if let Solute::Of(constituent) = row.solute
                && constituent != Constituent::Phosphate
            {
                assert!((row.charge - f64::from(constituent.charge())).abs() < 1e-12);
            }
        }
    }
}
