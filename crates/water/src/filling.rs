//! Filling in the main constituents that were not given.

use crate::analysis::Analysis;
use crate::completion::sodium_chloride_mol_kg;
use crate::constituent::{Composition, Constituent};
use crate::error::Error;
use crate::problem::Carbonate;
use crate::said::{Met, Said};
use crate::solids;
use crate::transport;
use crate::typical::{Quantity, Typical};

/// Of the six main constituents, in equivalents per kg: what is given, and the rest as it is being filled in.
#[derive(Clone, Copy, Default)]
pub(crate) struct Main {
    pub(crate) calcium: Option<f64>,
    pub(crate) magnesium: Option<f64>,
    pub(crate) sodium: Option<f64>,
    pub(crate) alkalinity: Option<f64>,
    pub(crate) chloride: Option<f64>,
    pub(crate) sulfate: Option<f64>,
}

/// Fills in what is still missing.
pub(crate) fn fill(
    main: &mut Main,
    composition: &Composition,
    analysis: &Analysis,
    typical: &Typical,
    ph: f64,
    assumed: &mut Vec<Said>,
    used: &mut Vec<Quantity>,
) -> Result<(), Error> {
    let calcium_share = typical.get(Quantity::CalciumShare);
    let ratio = typical.get(Quantity::AlkalinityPerHardness);
    // Calcium and magnesium from each other.
    match (main.calcium, main.magnesium) {
        (Some(calcium), None) => {
            main.magnesium = Some(calcium * (1.0 - calcium_share) / calcium_share);
            used.push(Quantity::CalciumShare);
            assumed.push(Said::MagnesiumTaken);
        }
        (None, Some(magnesium)) => {
            main.calcium = Some(magnesium * calcium_share / (1.0 - calcium_share));
            used.push(Quantity::CalciumShare);
            assumed.push(Said::CalciumTaken);
        }
        _ => {}
    }
    let hardness = main.calcium.zip(main.magnesium).map(|(c, m)| c + m);
    let all_anions_but_alkalinity = main.chloride.is_some() && main.sulfate.is_some();
    let closes =
        main.alkalinity.is_none() && all_anions_but_alkalinity && hardness.is_some() && main.sodium.is_some();
    if main.alkalinity.is_none() && !closes {
        // Without hardness it takes part in what the conductivity asks for, below.
        if let Some(hardness) = hardness {
            main.alkalinity = Some(ratio * hardness);
            used.push(Quantity::AlkalinityPerHardness);
            assumed.push(Said::AlkalinityTaken(ratio));
        }
    }
    let mut open_hardness = false;
    if hardness.is_none() {
        used.push(Quantity::CalciumShare);
        if let Some(alkalinity) = main.alkalinity {
            let most = capacity(analysis)?.unwrap_or(f64::INFINITY);
            let hardness = (alkalinity / ratio).min(0.9 * most);
            main.calcium = Some(calcium_share * hardness);
            main.magnesium = Some((1.0 - calcium_share) * hardness);
            used.push(Quantity::AlkalinityPerHardness);
            assumed.push(Said::HardnessTaken);
        } else {
            open_hardness = true;
            assumed.push(Said::HardnessOfCations);
        }
    }
    let fields: Vec<&'static str> = [
        ("sodium", main.sodium.is_none()),
        ("chloride", main.chloride.is_none()),
        ("sulfate", main.sulfate.is_none()),
        ("alkalinity", main.alkalinity.is_none()),
    ]
    .into_iter()
    .filter_map(|(name, missing)| missing.then_some(name))
    .collect();
    let target = target(analysis);
    if !fields.is_empty() {
        let free = open_hardness || main.sodium.is_none();
        let met = match (&target, free && fields.iter().any(|n| *n != "sodium")) {
            (Some(Target::Conductivity(_)), true) => Met::Conductivity,
            (Some(Target::Tds(_)), true) => Met::Tds,
            _ => Met::Charges,
        };
        assumed.push(Said::FilledIn { fields, met });
    }
    let mut filler = Filler {
        given: *main,
        composition,
        typical,
        ratio,
        calcium_share,
        chloride_share: typical.get(Quantity::ChlorideShare),
    };
    if main.chloride.is_none() && main.sulfate.is_none() {
        used.push(Quantity::ChlorideShare);
    }
    let least = filler.least_equivalents();
    let equivalents = if !filler.is_free() {
        least
    } else if let Some(target) = target {
        filler.meet(&target, ph, least, assumed)?
    } else {
        used.push(Quantity::SodiumShare);
        least.max(filler.hardness() / (1.0 - typical.get(Quantity::SodiumShare)))
    };
    *main = filler.at(equivalents);
    Ok(())
}

/// What the sum of ions has to come to.
enum Target {
    Conductivity(f64),
    Tds(f64),
}

impl Target {
    fn field(&self) -> &'static str {
        match self {
            Self::Conductivity(_) => "conductivity",
            Self::Tds(_) => "tds",
        }
    }
}

fn target(analysis: &Analysis) -> Option<Target> {
    analysis
        .conductivity_us_cm
        .map(Target::Conductivity)
        .or_else(|| analysis.tds_mg_l.map(Target::Tds))
}

/// The equivalents that a conductivity or TDS leaves room for, roughly: those of as much sodium chloride.
fn capacity(analysis: &Analysis) -> Result<Option<f64>, Error> {
    target(analysis)
        .map(|t| match t {
            Target::Conductivity(us_cm) => sodium_chloride_mol_kg(us_cm),
            Target::Tds(mg_l) => Ok(mg_l / 58_443.0),
        })
        .transpose()
}

/// Fills in at a given sum of cations.
struct Filler<'a> {
    given: Main,
    composition: &'a Composition,
    typical: &'a Typical,
    ratio: f64,
    calcium_share: f64,
    chloride_share: f64,
}

impl Filler<'_> {
    /// Cations and anions that are no main constituent, eq/kg.
    fn others(&self) -> (f64, f64) {
        let mut rest = *self.composition;
        for c in [
            Constituent::Calcium,
            Constituent::Magnesium,
            Constituent::Sodium,
            Constituent::Chloride,
            Constituent::Sulfate,
        ] {
            rest[c] = 0.0;
        }
        rest.alkalinity_eq_kg = 0.0;
        rest.equivalents()
    }

    fn hardness(&self) -> f64 {
        self.given.calcium.unwrap_or(0.0) + self.given.magnesium.unwrap_or(0.0)
    }

    /// Whether both a cation and an anion are left to fill in.
    fn is_free(&self) -> bool {
        let g = &self.given;
        (g.sodium.is_none() || g.calcium.is_none())
            && (g.chloride.is_none() || g.sulfate.is_none() || g.alkalinity.is_none())
    }

    /// The sum of cations that what is given needs already.
    fn least_equivalents(&self) -> f64 {
        let (cations, anions) = self.others();
        let g = &self.given;
        let cations = cations + self.hardness() + g.sodium.unwrap_or(0.0);
        let anions =
            anions + g.alkalinity.unwrap_or(0.0) + g.chloride.unwrap_or(0.0) + g.sulfate.unwrap_or(0.0);
        if g.sodium.is_some() && g.calcium.is_some() {
            cations
        } else {
            cations.max(anions)
        }
    }

    /// The water whose cations, and anions, sum to `equivalents`.
    fn at(&self, equivalents: f64) -> Main {
        let (other_cations, other_anions) = self.others();
        let mut m = self.given;
        let sodium_share = self.typical.get(Quantity::SodiumShare);
        let room = (equivalents - other_cations - self.hardness() - m.sodium.unwrap_or(0.0)).max(0.0);
        if m.calcium.is_none() {
            let hardness = if m.sodium.is_some() {
                room
            } else {
                (1.0 - sodium_share) * room
            };
            m.calcium = Some(self.calcium_share * hardness);
            m.magnesium = Some((1.0 - self.calcium_share) * hardness);
            if m.sodium.is_none() {
                m.sodium = Some(room - hardness);
            }
        } else if m.sodium.is_none() {
            m.sodium = Some(room);
        }
        let hardness = m.calcium.unwrap_or(0.0) + m.magnesium.unwrap_or(0.0);
        let mut room = (equivalents
            - other_anions
            - m.alkalinity.unwrap_or(0.0)
            - m.chloride.unwrap_or(0.0)
            - m.sulfate.unwrap_or(0.0))
        .max(0.0);
        if m.alkalinity.is_none() {
            let last = m.chloride.is_some() && m.sulfate.is_some();
            let alkalinity = if last {
                room
            } else {
                (self.ratio * hardness).min(room)
            };
            m.alkalinity = Some(alkalinity);
            room -= alkalinity;
        }
        let share = self.chloride_share;
        match (m.chloride, m.sulfate) {
            (None, None) => {
                m.chloride = Some(share * room);
                m.sulfate = Some((1.0 - share) * room);
            }
            (None, Some(_)) => m.chloride = Some(room),
            (Some(_), None) => m.sulfate = Some(room),
            (Some(_), Some(_)) => {}
        }
        m
    }

    /// The sum of equivalents at which the target is met.
    ///
    /// Where what is given exceeds it already, less of the rest is chloride (sulfate conducts less); where that is not
    /// enough either, `least` and a contradiction.
    fn meet(&mut self, target: &Target, ph: f64, least: f64, assumed: &mut Vec<Said>) -> Result<f64, Error> {
        let at_least = self.reach(target, ph, least)?;
        if at_least < 0.0 {
            let mut high = 2.0 * least + 1e-4;
            while self.reach(target, ph, high)? < 0.0 {
                high *= 2.0;
            }
            return crate::roots::bracketed(least, high, 1e-9 * high, |e| self.reach(target, ph, e));
        }
        if self.given.chloride.is_none() && self.given.sulfate.is_none() && at_least > 0.0 {
            let typical = self.chloride_share;
            self.chloride_share = 0.0;
            if self.reach(target, ph, least)? < 0.0 {
                let share = crate::roots::bracketed(0.0, typical, 1e-6, |share| {
                    let tried = Filler {
                        chloride_share: share,
                        ..*self
                    };
                    tried.reach(target, ph, least)
                })?;
                self.chloride_share = share;
                let field = target.field();
                assumed.push(Said::LessChloride { share, field });
            }
        }
        Ok(least)
    }

    /// By how much the water at `equivalents` is over the target, as a fraction of it.
    fn reach(&self, target: &Target, ph: f64, equivalents: f64) -> Result<f64, Error> {
        let (constants, transport) = transport::reference();
        let composition = with(self.composition, &self.at(equivalents));
        // Whether the pH suits is seen later; what conducts is the alkalinity.
        let water = constants
            .speciate(&composition, Carbonate::Ph(ph), None)
            .or_else(|_| {
                let carbon = Carbonate::TotalCarbon(composition.alkalinity_eq_kg.max(0.0));
                constants.speciate(&composition, carbon, None)
            })?;
        Ok(match target {
            Target::Conductivity(us_cm) => transport.us_cm(&water) / us_cm.max(1e-9) - 1.0,
            Target::Tds(mg_l) => solids::tds_mg_l(&water) / mg_l.max(1e-9) - 1.0,
        })
    }
}

/// The composition with its main constituents set.
pub(crate) fn with(composition: &Composition, main: &Main) -> Composition {
    let mut c = *composition;
    c[Constituent::Calcium] = main.calcium.unwrap_or(0.0) / 2.0;
    c[Constituent::Magnesium] = main.magnesium.unwrap_or(0.0) / 2.0;
    c[Constituent::Sodium] = main.sodium.unwrap_or(0.0);
    c.alkalinity_eq_kg = main.alkalinity.unwrap_or(0.0);
    c[Constituent::Chloride] = main.chloride.unwrap_or(0.0);
    c[Constituent::Sulfate] = main.sulfate.unwrap_or(0.0) / 2.0;
    c
}
