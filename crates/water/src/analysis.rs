//! A water as it was analysed: what was measured, in what unit, and what was not.

use crate::constituent::Constituent;
use crate::error::Error;

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
        self.alkalinity_mg_l_caco3.is_none()
            && self.hardness_mg_l_caco3.is_none()
            && Constituent::ALL
                .into_iter()
                .all(|ion| self.constituent_mg_l(ion).is_none())
    }

    /// What was read for a constituent, mg/L as it is given.
    pub fn constituent_mg_l(&self, constituent: Constituent) -> Option<f64> {
        match constituent {
            Constituent::Calcium => self.calcium_mg_l,
            Constituent::Magnesium => self.magnesium_mg_l,
            Constituent::Sodium => self.sodium_mg_l,
            Constituent::Potassium => self.potassium_mg_l,
            Constituent::Strontium => self.strontium_mg_l,
            Constituent::Barium => self.barium_mg_l,
            Constituent::Iron => self.iron_mg_l,
            Constituent::Manganese => self.manganese_mg_l,
            Constituent::Ammonium => self.ammonium_mg_l,
            Constituent::Silica => self.silica_mg_l,
            Constituent::Boron => self.boron_mg_l,
            Constituent::Chloride => self.chloride_mg_l,
            Constituent::Sulfate => self.sulfate_mg_l,
            Constituent::Nitrate => self.nitrate_mg_l,
            Constituent::Fluoride => self.fluoride_mg_l,
            Constituent::Phosphate => self.phosphate_mg_l,
        }
    }

    /// Every fault of the numbers themselves, by field: not finite, below zero, or beyond what any water can be.
    ///
    /// What the fields make impossible together is found by [`crate::Water::complete`].
    pub fn faults(&self) -> Vec<Error> {
        /// Saturated brine holds 360 g/L; a feed of a small unit is far below.
        const MOST_ION: f64 = 100_000.0;
        let mut fields: Vec<(&'static str, Option<f64>, f64, f64, &'static str)> = vec![
            (
                "temperature",
                self.temperature_c,
                crate::TEMPERATURE_RANGE_C.0,
                crate::TEMPERATURE_RANGE_C.1,
                "C",
            ),
            ("ph", self.ph, 2.0, 12.0, "pH"),
        ];
        for c in Constituent::ALL {
            fields.push((c.field(), self.constituent_mg_l(c), 0.0, MOST_ION, "mg/L"));
        }
        fields.extend([
            (
                "alkalinity",
                self.alkalinity_mg_l_caco3,
                0.0,
                MOST_ION,
                "mg/L as CaCO3",
            ),
            ("conductivity", self.conductivity_us_cm, 0.0, 100_000.0, "uS/cm"),
            ("tds", self.tds_mg_l, 0.0, MOST_ION, "mg/L"),
            (
                "hardness",
                self.hardness_mg_l_caco3,
                0.0,
                MOST_ION,
                "mg/L as CaCO3",
            ),
            ("free_chlorine", self.free_chlorine_mg_l, 0.0, 1_000.0, "mg/L"),
            ("chloramine", self.chloramine_mg_l, 0.0, 1_000.0, "mg/L"),
            ("turbidity", self.turbidity_ntu, 0.0, 10_000.0, "NTU"),
            ("sdi", self.sdi, 0.0, 100.0 / 15.0, "%/min"),
            ("toc", self.toc_mg_l, 0.0, 10_000.0, "mg/L"),
        ]);
        fields
            .into_iter()
            .filter_map(|(field, read, least, most, unit)| {
                let read = read?;
                if !read.is_finite() {
                    Some(Error::NotANumber { field, read })
                } else if read < least || read > most {
                    Some(Error::OutOfRange {
                        field,
                        read,
                        least,
                        most,
                        unit,
                    })
                } else {
                    None
                }
            })
            .collect()
    }
}
