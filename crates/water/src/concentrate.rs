//! The concentrate at a recovery by the rule of ASTM D3739, and the recoveries at which minerals saturate.

use crate::constants::Constants;
use crate::error::Error;
use crate::mineral::Mineral;
use crate::operations;
use crate::problem::Carbonate;
use crate::roots;
use crate::speciation::Speciation;

/// The recovery beyond which none is looked for.
pub const HIGHEST_RECOVERY: f64 = 0.95;

/// How much more concentrated the concentrate is: (1 - R S)/(1 - R).
///
/// # Errors
///
/// `recovery` outside 0 to 0.99, `salt_passage` outside 0 to 1.
pub fn concentration_factor(recovery: f64, salt_passage: f64) -> Result<f64, Error> {
    for (field, read, most) in [("recovery", recovery, 0.99), ("salt_passage", salt_passage, 1.0)] {
        if !read.is_finite() {
            return Err(Error::NotANumber { field, read });
        }
        if !(0.0..=most).contains(&read) {
            return Err(Error::OutOfRange {
                field,
                read,
                least: 0.0,
                most,
                unit: "as a fraction",
            });
        }
    }
    Ok((1.0 - recovery * salt_passage) / (1.0 - recovery))
}

/// The concentrate at a recovery: every ion and the alkalinity times [`concentration_factor`] as molalities, the activity
/// of CO2 as in the feed (it passes the membrane), the pH from both.
///
/// Source: ASTM D3739. It does not conserve carbon and errs to the safe side (model, section 1).
///
/// # Errors
///
/// As [`concentration_factor`]; [`Error::TooSalty`] at `recovery` where the concentrate would be beyond the activity model.
pub fn concentrate(feed: &Speciation, recovery: f64, salt_passage: f64) -> Result<Speciation, Error> {
    at_factor(
        &Constants::at(feed.temperature_c()),
        feed,
        concentration_factor(recovery, salt_passage)?,
        None,
    )
}

fn at_factor(
    constants: &Constants,
    feed: &Speciation,
    factor: f64,
    neighbour: Option<&Speciation>,
) -> Result<Speciation, Error> {
    let composition = feed.composition().scaled(factor);
    let co2 = feed.co2_activity();
    let carbonate = if co2 > 0.0 {
        Carbonate::Co2Activity(co2)
    } else {
        Carbonate::TotalCarbon(0.0)
    };
    constants
        .speciate(&composition, carbonate, Some(neighbour.unwrap_or(feed)))
        .map_err(|e| match e {
            Error::TooSalty { read, most, .. } => Error::TooSalty {
                field: "recovery",
                read,
                most,
            },
            other => other,
        })
}

/// A feed and some of its concentrates, among which recoveries are looked for.
pub struct Concentrates {
    constants: Constants,
    feed: Speciation,
    /// Logarithms of the concentration factor and the water there, rising from the feed.
    grid: Vec<(f64, Speciation)>,
}

/// The recovery at which a mineral saturates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RecoveryLimit {
    /// The mineral.
    pub mineral: Mineral,
    /// 0 where it is saturated already; None where an ion is missing or none is found below [`HIGHEST_RECOVERY`].
    pub recovery: Option<f64>,
}

impl Concentrates {
    /// Concentrates of a feed between recovery 0 and [`HIGHEST_RECOVERY`], without salt passage.
    ///
    /// Where the concentrate would be beyond the activity model they end.
    pub fn of(feed: &Speciation) -> Self {
        const STEPS: u32 = 10;
        let constants = Constants::at(feed.temperature_c());
        let highest = (1.0 / (1.0 - HIGHEST_RECOVERY)).ln();
        let mut grid = vec![(0.0, feed.clone())];
        for i in 1..=STEPS {
            let x = highest * f64::from(i) / f64::from(STEPS);
            let last = grid.last().map(|g| &g.1);
            match at_factor(&constants, feed, x.exp(), last) {
                Ok(water) => grid.push((x, water)),
                Err(_) => break,
            }
        }
        Self {
            constants,
            feed: feed.clone(),
            grid,
        }
    }

    /// The lowest recovery at which the mineral's saturation index reaches `allowed`.
    ///
    /// # Errors
    ///
    /// As [`crate::speciate`].
    pub fn recovery_at(&self, mineral: Mineral, allowed: f64) -> Result<Option<f64>, Error> {
        let Some(first) = self.feed.saturation_index(mineral) else {
            return Ok(None);
        };
        if first >= allowed {
            return Ok(Some(0.0));
        }
        for pair in self.grid.windows(2) {
            let [(low, below), (high, above)] = pair else {
                continue;
            };
            if above.saturation_index(mineral).is_some_and(|i| i >= allowed) {
                let x = roots::bracketed(*low, *high, 1e-7, |x| {
                    if x <= *low {
                        return Ok(below.saturation_index(mineral).unwrap_or(f64::NAN) - allowed);
                    }
                    if x >= *high {
                        return Ok(above.saturation_index(mineral).unwrap_or(f64::NAN) - allowed);
                    }
                    let water = at_factor(&self.constants, &self.feed, x.exp(), Some(below))?;
                    let d = water.saturation_index(mineral).unwrap_or(f64::NAN) - allowed;
                    // A millionth of a recovery.
                    Ok::<_, Error>(if d.abs() < 1e-7 { 0.0 } else { d })
                })?;
                let recovery = 1.0 - (-x).exp();
                return Ok((recovery < HIGHEST_RECOVERY).then_some(recovery));
            }
        }
        Ok(None)
    }

    /// The recovery at which each of the seven minerals saturates.
    ///
    /// # Errors
    ///
    /// As [`crate::speciate`].
    pub fn recovery_limits(&self) -> Result<Vec<RecoveryLimit>, Error> {
        Mineral::ALL
            .into_iter()
            .map(|mineral| {
                Ok(RecoveryLimit {
                    mineral,
                    recovery: self.recovery_at(mineral, 0.0)?,
                })
            })
            .collect()
    }
}

/// What stands before the membranes against scale, and what the owner allows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Treatment {
    /// An antiscalant stage.
    pub antiscalant: bool,
    /// A softener stage, with the hardness that it lets through, mg/L as `CaCO3`.
    pub softener_hardness_out_mg_l_caco3: Option<f64>,
    /// `unit.limits.saturation`: the saturation index allowed in the concentrate, by mineral.
    pub allowed: Vec<(Mineral, f64)>,
}

impl Treatment {
    /// Saturation index allowed in the concentrate: calcite +0.5, +1.8 with an antiscalant; the others 0 (common practice,
    /// no source: model, section 1). None where no limit is kept: calcite after a softener, and aragonite, which is the
    /// same substance as calcite and forms later.
    pub fn allowed_si(&self, mineral: Mineral) -> Option<f64> {
        if let Some((_, si)) = self.allowed.iter().find(|a| a.0 == mineral) {
            return Some(*si);
        }
        match mineral {
            Mineral::Aragonite => None,
            Mineral::Calcite if self.softener_hardness_out_mg_l_caco3.is_some() => None,
            Mineral::Calcite if self.antiscalant => Some(1.8),
            Mineral::Calcite => Some(0.5),
            _ => Some(0.0),
        }
    }
}

/// The recovery to keep below for a mineral.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorkingLimit {
    /// The mineral.
    pub mineral: Mineral,
    /// The recovery; None where an ion is missing or none is found below [`HIGHEST_RECOVERY`].
    pub recovery: Option<f64>,
    /// The saturation index allowed in the concentrate.
    pub allowed_si: f64,
}

/// The recoveries to keep below. After a softener they are those of the softened water.
///
/// # Errors
///
/// As [`crate::speciate`].
pub fn working_limits(feed: &Concentrates, treatment: &Treatment) -> Result<Vec<WorkingLimit>, Error> {
    let softened = treatment
        .softener_hardness_out_mg_l_caco3
        .map(|out| operations::soften(&feed.feed, out).map(|w| Concentrates::of(&w)))
        .transpose()?;
    let concentrates = softened.as_ref().unwrap_or(feed);
    Mineral::ALL
        .into_iter()
        .filter_map(|mineral| {
            treatment
                .allowed_si(mineral)
                .map(|allowed_si| (mineral, allowed_si))
        })
        .map(|(mineral, allowed_si)| {
            Ok(WorkingLimit {
                mineral,
                recovery: concentrates.recovery_at(mineral, allowed_si)?,
                allowed_si,
            })
        })
        .collect()
}
