//! What wears on a membrane element (`model.md` 5).

use crate::chance::Chance;

/// Exposure at which salt permeability has doubled, mg/L h (from memory).
const DOUBLING_MG_L_H: f64 = 1000.0;

/// An element's wear.
#[derive(Clone, Debug)]
pub(crate) struct Wear {
    pub(crate) water_new: f64,
    pub(crate) salt_new: f64,
    pub(crate) fouling: f64,
    pub(crate) scale_water: f64,
    pub(crate) scale_salt: f64,
    pub(crate) age_d: f64,
    pub(crate) exposure: f64,
}

impl Wear {
    /// A new element; no two are alike (`model.md` 2, a little less than the spread there).
    pub(crate) fn new(chance: &mut Chance) -> Self {
        Self {
            water_new: chance.normal(0.06),
            salt_new: chance.normal(0.18),
            fouling: 0.0,
            scale_water: 0.0,
            scale_salt: 0.0,
            age_d: 0.0,
            exposure: 0.0,
        }
    }

    /// ln of the salt permeability that oxidant has added.
    fn oxidised(&self) -> f64 {
        (self.exposure / DOUBLING_MG_L_H).ln_1p()
    }

    pub(crate) fn ln_water(&self) -> f64 {
        // Compaction: a few parts in a hundred, fast at first.
        let compacted = 0.008 * (self.age_d / 3.0).ln_1p();
        self.water_new - compacted - self.fouling.ln_1p() - self.scale_water.ln_1p() + 0.1 * self.oxidised()
    }

    pub(crate) fn ln_salt(&self) -> f64 {
        self.salt_new + self.scale_salt.ln_1p() + self.oxidised()
    }
}
