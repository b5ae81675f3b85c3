//! A water as it was analysed: what was measured, in what unit, and what was not.

/// An analysis. Every field is optional: a missing ion is unknown, an explicit 0 was measured and is none.
///
/// Ions in mg/L: `silica` as `SiO2`, `nitrate` as NO3, `ammonium` as NH4, `phosphate` as PO4, `boron` as B.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Analysis {
    /// What people call it.
    pub name: String,
    /// Temperature, C.
    pub temperature_c: Option<f64>,
    /// pH at its own temperature.
    pub ph: Option<f64>,
    /// Calcium, mg/L.
    pub calcium_mg_l: Option<f64>,
    /// Magnesium, mg/L.
    pub magnesium_mg_l: Option<f64>,
    /// Sodium, mg/L.
    pub sodium_mg_l: Option<f64>,
    /// Potassium, mg/L.
    pub potassium_mg_l: Option<f64>,
    /// Strontium, mg/L.
    pub strontium_mg_l: Option<f64>,
    /// Barium, mg/L.
    pub barium_mg_l: Option<f64>,
    /// Iron, mg/L, counted as ferrous.
    pub iron_mg_l: Option<f64>,
    /// Manganese, mg/L.
    pub manganese_mg_l: Option<f64>,
    /// Ammonium, mg/L as NH4.
    pub ammonium_mg_l: Option<f64>,
    /// Alkalinity, mg/L as `CaCO3`.
    pub alkalinity_mg_l_caco3: Option<f64>,
    /// Chloride, mg/L.
    pub chloride_mg_l: Option<f64>,
    /// Sulfate, mg/L as SO4.
    pub sulfate_mg_l: Option<f64>,
    /// Nitrate, mg/L as NO3.
    pub nitrate_mg_l: Option<f64>,
    /// Fluoride, mg/L.
    pub fluoride_mg_l: Option<f64>,
    /// Silica, mg/L as `SiO2`.
    pub silica_mg_l: Option<f64>,
    /// Boron, mg/L as B.
    pub boron_mg_l: Option<f64>,
    /// Phosphate, mg/L as PO4.
    pub phosphate_mg_l: Option<f64>,
    /// Conductivity, uS/cm at 25 C.
    pub conductivity_us_cm: Option<f64>,
    /// Dissolved salt, mg/L.
    pub tds_mg_l: Option<f64>,
    /// Hardness, mg/L as `CaCO3`.
    pub hardness_mg_l_caco3: Option<f64>,
    /// Free chlorine, mg/L as Cl2.
    pub free_chlorine_mg_l: Option<f64>,
    /// Chloramine, mg/L as Cl2.
    pub chloramine_mg_l: Option<f64>,
    /// Turbidity, NTU.
    pub turbidity_ntu: Option<f64>,
    /// 15-minute silt density index, %/min.
    pub sdi: Option<f64>,
    /// Total organic carbon, mg/L.
    pub toc_mg_l: Option<f64>,
}

impl Analysis {
    /// Whether no ion, hardness or alkalinity is given, so that the one salt is sodium chloride.
    pub fn is_one_salt(&self) -> bool {
        [
            self.calcium_mg_l,
            self.magnesium_mg_l,
            self.sodium_mg_l,
            self.potassium_mg_l,
            self.strontium_mg_l,
            self.barium_mg_l,
            self.iron_mg_l,
            self.manganese_mg_l,
            self.ammonium_mg_l,
            self.alkalinity_mg_l_caco3,
            self.chloride_mg_l,
            self.sulfate_mg_l,
            self.nitrate_mg_l,
            self.fluoride_mg_l,
            self.silica_mg_l,
            self.boron_mg_l,
            self.phosphate_mg_l,
            self.hardness_mg_l_caco3,
        ]
        .iter()
        .all(Option::is_none)
    }
}
