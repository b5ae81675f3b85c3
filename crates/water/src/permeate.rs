//! The permeate of a feed: what passed, with the carbon dioxide that passes freely.

use crate::constants::Constants;
use crate::constituent::Composition;
use crate::error::Error;
use crate::problem::Carbonate;
use crate::speciation::Speciation;
use crate::transport;

/// A permeate.
#[derive(Clone, Debug)]
pub struct Permeate {
    /// The scale of the ions passed: times the composition given for a salt passage of 1.
    pub salt_passage: f64,
    /// The permeate at the feed's temperature.
    pub water: Speciation,
    /// Its conductivity at 25 C, uS/cm, carbon dioxide and all.
    pub conductivity_us_cm: f64,
}

/// What a feed's permeates are computed from; make it once for the readings of one feed.
#[derive(Clone, Debug)]
pub struct PermeateModel {
    constants: Constants,
    passed: Composition,
    co2_activity: f64,
    bare: Permeate,
    whole: Permeate,
}

impl PermeateModel {
    /// The permeates of a feed whose composition at salt passage S is S times `passed`.
    ///
    /// `passed` is the feed's own [`Speciation::composition`] where every ion passes alike, or that with each ion times its
    /// ratio to sodium chloride (model, section 2), balanced in charge. CO2 passes freely: its activity is the feed's.
    ///
    /// # Errors
    ///
    /// As [`crate::speciate`].
    pub fn new(feed: &Speciation, passed: &Composition) -> Result<Self, Error> {
        let constants = Constants::at(feed.temperature_c());
        let co2_activity = feed.co2_activity();
        let bare = permeate(&constants, passed, co2_activity, 0.0, None)?;
        let whole = permeate(&constants, passed, co2_activity, 0.05, None)?;
        Ok(Self {
            constants,
            passed: *passed,
            co2_activity,
            bare,
            whole,
        })
    }

    /// Conductivity at 25 C that the carbon dioxide alone makes, uS/cm.
    pub fn floor_us_cm(&self) -> f64 {
        self.bare.conductivity_us_cm
    }

    /// The permeate at a salt passage, 0 to 1.
    ///
    /// # Errors
    ///
    /// As [`crate::speciate`].
    pub fn at(&self, salt_passage: f64) -> Result<Permeate, Error> {
        let neighbour = if salt_passage < 1e-3 {
            &self.bare.water
        } else {
            &self.whole.water
        };
        permeate(
            &self.constants,
            &self.passed,
            self.co2_activity,
            salt_passage,
            Some(neighbour),
        )
    }

    /// The permeate that conducts `conductivity_us_cm` at 25 C: the salt passage for which the ions passed, plus the feed's
    /// CO2 in equilibrium with them, give the reading.
    ///
    /// # Errors
    ///
    /// [`Error::BelowCarbonDioxide`] where the reading is below [`Self::floor_us_cm`]; `permeate_conductivity` where no salt
    /// passage up to 2 conducts as much; as [`crate::speciate`].
    pub fn from_conductivity(&self, conductivity_us_cm: f64) -> Result<Permeate, Error> {
        const MOST: f64 = 2.0;
        let field = "permeate_conductivity";
        if !conductivity_us_cm.is_finite() {
            return Err(Error::NotANumber {
                field,
                read: conductivity_us_cm,
            });
        }
        let floor = self.floor_us_cm();
        if conductivity_us_cm < floor {
            return Err(Error::BelowCarbonDioxide {
                read: conductivity_us_cm,
                floor,
            });
        }
        // The conductivity is nearly straight in the salt passage: secants, kept within a bracket.
        let (mut low, mut f_low) = (0.0, floor - conductivity_us_cm);
        let (mut high, mut f_high) = (
            self.whole.salt_passage,
            self.whole.conductivity_us_cm - conductivity_us_cm,
        );
        while f_high < 0.0 {
            if high >= MOST {
                return Err(Error::OutOfRange {
                    field,
                    read: conductivity_us_cm,
                    least: floor,
                    most: conductivity_us_cm + f_high,
                    unit: "uS/cm",
                });
            }
            (low, f_low) = (high, f_high);
            high = (high * 4.0).min(MOST);
            f_high = self.at(high)?.conductivity_us_cm - conductivity_us_cm;
        }
        let mut best = None;
        for i in 0..40 {
            let x = if i % 5 == 4 {
                0.5 * (low + high)
            } else {
                low - f_low * (high - low) / (f_high - f_low)
            };
            let permeate = self.at(x)?;
            let f = permeate.conductivity_us_cm - conductivity_us_cm;
            // A millionth of the reading is far below any meter.
            let done = f.abs() <= 1e-6 * conductivity_us_cm || (high - low) < 1e-12;
            best = Some(permeate);
            if done {
                break;
            }
            if f < 0.0 {
                (low, f_low) = (x, f);
            } else {
                (high, f_high) = (x, f);
            }
        }
        best.ok_or(Error::NoEquilibrium { field })
    }
}

fn permeate(
    constants: &Constants,
    passed: &Composition,
    co2_activity: f64,
    salt_passage: f64,
    neighbour: Option<&Speciation>,
) -> Result<Permeate, Error> {
    let carbonate = if co2_activity > 0.0 {
        Carbonate::Co2Activity(co2_activity)
    } else {
        Carbonate::TotalCarbon(0.0)
    };
    let water = constants.speciate(&passed.scaled(salt_passage), carbonate, neighbour)?;
    let conductivity_us_cm = transport::at_25_c(&water, true)?;
    Ok(Permeate {
        salt_passage,
        water,
        conductivity_us_cm,
    })
}
