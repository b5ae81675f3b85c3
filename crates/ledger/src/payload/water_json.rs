//! An analysis as the contract's document.

use serde_json::{Map, Value};
use water::Analysis;

/// The `water` table of a case file for this analysis; numbers in base units.
pub fn water_document(water: &Analysis) -> Map<String, Value> {
    let fields = [
        ("temperature", water.temperature_c),
        ("ph", water.ph),
        ("calcium", water.calcium_mg_l),
        ("magnesium", water.magnesium_mg_l),
        ("sodium", water.sodium_mg_l),
        ("potassium", water.potassium_mg_l),
        ("strontium", water.strontium_mg_l),
        ("barium", water.barium_mg_l),
        ("iron", water.iron_mg_l),
        ("manganese", water.manganese_mg_l),
        ("ammonium", water.ammonium_mg_l),
        ("alkalinity", water.alkalinity_mg_l_caco3),
        ("chloride", water.chloride_mg_l),
        ("sulfate", water.sulfate_mg_l),
        ("nitrate", water.nitrate_mg_l),
        ("fluoride", water.fluoride_mg_l),
        ("silica", water.silica_mg_l),
        ("boron", water.boron_mg_l),
        ("phosphate", water.phosphate_mg_l),
        ("conductivity", water.conductivity_us_cm),
        ("tds", water.tds_mg_l),
        ("hardness", water.hardness_mg_l_caco3),
        ("free_chlorine", water.free_chlorine_mg_l),
        ("chloramine", water.chloramine_mg_l),
        ("turbidity", water.turbidity_ntu),
        ("sdi", water.sdi),
        ("toc", water.toc_mg_l),
    ];
    let mut document = Map::new();
    if !water.name.is_empty() {
        document.insert("name".to_owned(), water.name.as_str().into());
    }
    for (name, value) in fields {
        if let Some(value) = value {
            document.insert(name.to_owned(), value.into());
        }
    }
    document
}
