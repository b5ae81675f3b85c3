//! Doses: how much of what, from the water that the unit holds.

mod account;

use std::f64::consts::PI;
use std::sync::LazyLock;

use serde::Deserialize;
use unit::{Element, Polish, Stage, StageKind, Unit};

use crate::error::CardError;

pub use account::{EQUATIONS, of_dose, of_rinse};

/// What a dose is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DoseOf {
    /// Household bleach of 5 % available chlorine, mL.
    Bleach,
    /// Citric acid, g.
    CitricAcid,
    /// Sodium carbonate, g.
    SodiumCarbonate,
    /// Sodium metabisulfite, g.
    Metabisulfite,
}

/// An amount and the water it goes into.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dose {
    /// What.
    pub of: DoseOf,
    /// mL or g.
    pub amount: f64,
    /// Litres.
    pub volume_l: f64,
}

/// The dose table, as in `data/doses.toml`: strengths, times and limits, each row with its source.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Doses {
    pub(crate) sanitise: Sanitise,
    pub(crate) descale: Bath,
    pub(crate) clean: Bath,
    pub(crate) preserve: Preserve,
    pub(crate) volume: Volumes,
    pub(crate) rinse: Rinse,
    pub(crate) flush: Flush,
    pub(crate) discard: Discard,
}

#[derive(Clone, Debug, PartialEq, Deserialize)]
pub(crate) struct Sanitise {
    pub(crate) free_chlorine_mg_l: f64,
    pub(crate) soak_minutes: u32,
    pub(crate) least_at_end_mg_l: f64,
}

#[derive(Clone, Debug, PartialEq, Deserialize)]
pub(crate) struct Bath {
    pub(crate) g_l: f64,
    pub(crate) ph_low: f64,
    pub(crate) ph_high: f64,
    pub(crate) ph_renew: Option<f64>,
    pub(crate) circulate_minutes: u32,
    pub(crate) soak_minutes: u32,
}

#[derive(Clone, Debug, PartialEq, Deserialize)]
pub(crate) struct Preserve {
    pub(crate) g_l: f64,
    pub(crate) ph_low: f64,
    pub(crate) renew_days: u32,
}

#[derive(Clone, Debug, PartialEq, Deserialize)]
pub(crate) struct Volumes {
    housing_l: f64,
    bed_to_housing: f64,
    polish_to_resin: f64,
    tube_l: f64,
    circulation_spare_l: f64,
    feed_channel_height_m: f64,
    feed_channel_porosity: f64,
}

#[derive(Clone, Debug, PartialEq, Deserialize)]
pub(crate) struct Rinse {
    bed_volumes: f64,
    least_l: f64,
    flow_l_min: f64,
}

#[derive(Clone, Debug, PartialEq, Deserialize)]
pub(crate) struct Flush {
    /// Minutes after new elements, after elements put back, after a chemical.
    pub(crate) new: u32,
    pub(crate) refit: u32,
    pub(crate) chemical: u32,
}

#[derive(Clone, Debug, PartialEq, Deserialize)]
pub(crate) struct Discard {
    /// Minutes after new elements, elements put back, a chemical, and through new polishing media.
    pub(crate) new: u32,
    pub(crate) refit: u32,
    pub(crate) chemical: u32,
    pub(crate) polish: u32,
}

static DOSES: LazyLock<Result<Doses, String>> = LazyLock::new(|| {
    toml::from_str(include_str!("../data/doses.toml")).map_err(|error| format!("doses: {error}"))
});

/// Available chlorine of household bleach, mg per mL: 5 % by mass and volume.
const BLEACH_MG_ML: f64 = 50.0;

impl Doses {
    /// The table.
    ///
    /// # Errors
    ///
    /// [`CardError::Texts`] where the built-in file cannot be read.
    pub fn load() -> Result<&'static Self, CardError> {
        DOSES.as_ref().map_err(|error| CardError::Texts(error.clone()))
    }

    /// Litres in the unit's housings, vessels and tubes with cartridges and elements out: to the high side.
    pub fn empty_volume_l(&self, unit: &Unit) -> f64 {
        let stages: f64 = unit.stages.iter().map(|stage| self.stage_l(stage)).sum();
        let elements: f64 = unit.membranes.elements.iter().map(vessel_l).sum();
        let polish: f64 = unit.permeate.polish.iter().map(|item| self.polish_l(item)).sum();
        stages + elements + polish + self.tubes_l(unit)
    }

    fn tubes_l(&self, unit: &Unit) -> f64 {
        let tubes = unit.stages.len() + 2 * unit.membranes.elements.len() + unit.permeate.polish.len() + 2;
        self.volume.tube_l * tubes as f64
    }

    /// Litres on the feed side of the elements as they stand in their vessels, and round them.
    pub fn element_volume_l(&self, unit: &Unit) -> f64 {
        let channel = |element: &Element| {
            let height = self.volume.feed_channel_height_m * self.volume.feed_channel_porosity;
            // Two membrane sheets face each feed channel.
            height * element.area_m2() / 2.0 * 1000.0
        };
        // A sixth of the vessel for the gap round the element, its ends and the core tube (from memory).
        unit.membranes
            .elements
            .iter()
            .map(|element| channel(element) + vessel_l(element) / 6.0)
            .sum()
    }

    /// Bleach for the whole unit.
    pub fn bleach(&self, unit: &Unit) -> Dose {
        let volume_l = self.empty_volume_l(unit);
        let amount = (volume_l * self.sanitise.free_chlorine_mg_l / BLEACH_MG_ML).ceil();
        Dose {
            of: DoseOf::Bleach,
            amount,
            volume_l,
        }
    }

    /// Citric acid for descaling.
    pub fn citric_acid(&self, unit: &Unit) -> Dose {
        self.bath(unit, DoseOf::CitricAcid, self.descale.g_l)
    }

    /// Sodium carbonate for cleaning.
    pub fn sodium_carbonate(&self, unit: &Unit) -> Dose {
        self.bath(unit, DoseOf::SodiumCarbonate, self.clean.g_l)
    }

    /// Metabisulfite for laying up.
    pub fn metabisulfite(&self, unit: &Unit) -> Dose {
        self.bath(unit, DoseOf::Metabisulfite, self.preserve.g_l)
    }

    fn bath(&self, unit: &Unit, of: DoseOf, g_l: f64) -> Dose {
        let volume_l = (self.element_volume_l(unit) + self.volume.circulation_spare_l).ceil();
        Dose {
            of,
            amount: (g_l * volume_l).round(),
            volume_l,
        }
    }

    /// Litres to rinse a carbon stage with: as the unit says, else by practice.
    pub(crate) fn rinse_l(&self, stage: &Stage) -> f64 {
        let StageKind::Carbon {
            rinse_l,
            bed_volume_l,
            ..
        } = &stage.kind
        else {
            return self.rinse.least_l;
        };
        let practice = bed_volume_l.map_or(self.rinse.least_l, |bed| bed * self.rinse.bed_volumes);
        rinse_l.unwrap_or(practice.max(self.rinse.least_l)).ceil()
    }

    /// About how long that takes through an open tube, minutes.
    pub(crate) fn rinse_minutes(&self, litres: f64) -> u32 {
        // Between one minute and four hours the cast cannot lose anything.
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to 1..=240"
        )]
        let minutes = (litres / self.rinse.flow_l_min).ceil().clamp(1.0, 240.0) as u32;
        minutes
    }

    fn stage_l(&self, stage: &Stage) -> f64 {
        match &stage.kind {
            StageKind::Pump { .. } => 0.1,
            StageKind::Carbon {
                bed_volume_l: Some(bed),
                ..
            } => (bed * self.volume.bed_to_housing).max(self.volume.housing_l),
            _ => self.volume.housing_l,
        }
    }

    fn polish_l(&self, item: &Polish) -> f64 {
        item.resin_volume_l.map_or(self.volume.housing_l, |resin| {
            (resin * self.volume.polish_to_resin).max(self.volume.housing_l)
        })
    }
}

/// Litres of an element's vessel, from its size code: diameter in tenths of an inch, length in inches, with a
/// tenth more for the ends.
fn vessel_l(element: &Element) -> f64 {
    let code = element.size.code();
    let number = |text: Option<&str>| text.and_then(|text| text.parse::<f64>().ok()).unwrap_or(0.0);
    let diameter_m = number(code.get(..2)) / 10.0 * 0.0254;
    let length_m = number(code.get(2..)) * 0.0254;
    PI / 4.0 * diameter_m * diameter_m * length_m * 1000.0 * 1.1
}
