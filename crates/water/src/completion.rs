//! From what was measured to a whole water.
//!
//! Of the main constituents (calcium, magnesium, sodium, alkalinity, chloride, sulfate) those not given are filled in, so
//! that the charges balance and the conductivity (or the TDS) comes out as measured, in the proportions of
//! [`crate::typical`]. Trace ions, nitrate, silica, boron and fluoride never are.

use crate::analysis::Analysis;
use crate::constituent::{ALKALINITY_MG_PER_MEQ, Composition, Constituent};
use crate::error::Error;
use crate::filling::{Main, fill, with};
use crate::problem::Carbonate;
use crate::said::Said;
use crate::transport;
use crate::typical::{Quantity, Typical};

/// How much of the water was known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// All six main constituents were given.
    Analysis,
    /// Some were filled in: a field kit.
    FieldKit,
    /// Only a salt content: sodium chloride.
    SodiumChloride,
}

/// A completed composition and how it came about.
pub(crate) struct Completed {
    pub composition: Composition,
    pub carbonate: Carbonate,
    pub temperature_c: f64,
    pub basis: Basis,
    pub assumed: Vec<Said>,
    /// The typical values that entered.
    pub used: Vec<Quantity>,
}

pub(crate) fn complete(analysis: &Analysis, typical: &Typical) -> Result<Completed, Error> {
    let mut assumed = Vec::new();
    let mut used = Vec::new();
    let temperature_c = analysis.temperature_c.unwrap_or_else(|| {
        used.push(Quantity::Temperature);
        let t = typical.get(Quantity::Temperature);
        assumed.push(Said::TemperatureTaken { celsius: t });
        t
    });
    let ions = Constituent::ALL
        .iter()
        .any(|c| analysis.constituent_mg_l(*c).is_some());
    if !ions && analysis.hardness_mg_l_caco3.is_none() && analysis.alkalinity_mg_l_caco3.is_none() {
        return sodium_chloride(analysis, temperature_c, assumed, used);
    }

    let mut composition = Composition::default();
    for c in Constituent::ALL {
        composition = composition.with_mg_l(c, analysis.constituent_mg_l(c).unwrap_or(0.0));
    }
    let eq = |c: Constituent| {
        analysis
            .constituent_mg_l(c)
            .map(|_| composition[c] * f64::from(c.charge().abs()))
    };
    let mut main = Main {
        calcium: eq(Constituent::Calcium),
        magnesium: eq(Constituent::Magnesium),
        sodium: eq(Constituent::Sodium),
        alkalinity: analysis
            .alkalinity_mg_l_caco3
            .map(|a| a / (1e3 * ALKALINITY_MG_PER_MEQ)),
        chloride: eq(Constituent::Chloride),
        sulfate: eq(Constituent::Sulfate),
    };
    let ph = analysis.ph.unwrap_or_else(|| {
        used.push(Quantity::Ph);
        let ph = typical.get(Quantity::Ph);
        assumed.push(Said::PhTaken(ph));
        ph
    });
    let split = split_hardness(&mut main, analysis, typical, &mut assumed, &mut used);
    let full = [
        main.calcium,
        main.magnesium,
        main.sodium,
        main.alkalinity,
        main.chloride,
        main.sulfate,
    ]
    .iter()
    .all(Option::is_some);
    if !full {
        fill(
            &mut main,
            &composition,
            analysis,
            typical,
            ph,
            &mut assumed,
            &mut used,
        )?;
    }
    composition = with(&composition, &main);
    let basis = if full && !split {
        Basis::Analysis
    } else {
        Basis::FieldKit
    };
    Ok(Completed {
        composition,
        carbonate: Carbonate::Ph(ph),
        temperature_c,
        basis,
        assumed,
        used,
    })
}

/// Hardness in the place of calcium and magnesium. Whether a typical split was used.
fn split_hardness(
    main: &mut Main,
    analysis: &Analysis,
    typical: &Typical,
    assumed: &mut Vec<Said>,
    used: &mut Vec<Quantity>,
) -> bool {
    let Some(hardness) = analysis
        .hardness_mg_l_caco3
        .map(|h| h / (1e3 * ALKALINITY_MG_PER_MEQ))
    else {
        return false;
    };
    match (main.calcium, main.magnesium) {
        (Some(_), Some(_)) => return false,
        (Some(calcium), None) => main.magnesium = Some((hardness - calcium).max(0.0)),
        (None, Some(magnesium)) => main.calcium = Some((hardness - magnesium).max(0.0)),
        (None, None) => {
            let share = typical.get(Quantity::CalciumShare);
            used.push(Quantity::CalciumShare);
            main.calcium = Some(share * hardness);
            main.magnesium = Some((1.0 - share) * hardness);
            assumed.push(Said::HardnessSplit(share));
            return true;
        }
    }
    let (given, other) = if analysis.calcium_mg_l.is_some() {
        ("calcium", "magnesium")
    } else {
        ("magnesium", "calcium")
    };
    assumed.push(Said::FromHardness { given, other });
    true
}

/// A water of which only the salt content is known.
fn sodium_chloride(
    analysis: &Analysis,
    temperature_c: f64,
    mut assumed: Vec<Said>,
    used: Vec<Quantity>,
) -> Result<Completed, Error> {
    let molality = match (analysis.tds_mg_l, analysis.conductivity_us_cm) {
        (Some(tds), _) => {
            tds / (1e3 * (Constituent::Sodium.molar_mass_g_mol() + Constituent::Chloride.molar_mass_g_mol()))
        }
        (None, Some(us_cm)) => sodium_chloride_mol_kg(us_cm)?,
        (None, None) => return Err(Error::NothingGiven),
    };
    let mut composition = Composition::default();
    composition[Constituent::Sodium] = molality;
    composition[Constituent::Chloride] = molality;
    assumed.push(Said::SaltAlone);
    if analysis.ph.is_some() {
        assumed.push(Said::PhNotUsed);
    }
    Ok(Completed {
        composition,
        carbonate: Carbonate::TotalCarbon(0.0),
        temperature_c,
        basis: Basis::SodiumChloride,
        assumed,
        used,
    })
}

/// The molality of sodium chloride that conducts as much at 25 C.
pub(crate) fn sodium_chloride_mol_kg(us_cm: f64) -> Result<f64, Error> {
    let conducts = |molality: f64| -> Result<f64, Error> {
        let mut c = Composition::default();
        c[Constituent::Sodium] = molality;
        c[Constituent::Chloride] = molality;
        let water = transport::reference()
            .0
            .speciate(&c, Carbonate::TotalCarbon(0.0), None)?;
        Ok(transport::reference().1.us_cm(&water) - us_cm)
    };
    if us_cm <= 0.0 || conducts(0.0)? >= 0.0 {
        return Ok(0.0);
    }
    // A mole conducts between 60 000 and 126 500 uS/cm up to 2 mol/kg.
    let (low, high) = (us_cm / 127_000.0, us_cm / 55_000.0);
    if high > 1.9 {
        return Err(Error::OutOfRange {
            field: "conductivity",
            read: us_cm,
            least: 0.0,
            most: 100_000.0,
            unit: "uS/cm",
        });
    }
    crate::roots::bracketed(low, high, 1e-12, conducts)
}
