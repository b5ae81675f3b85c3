//! The `water` table of a document.

use quantity::{Context, Ion, Kind};
use water::Analysis;

use crate::{Range, Table};

/// More than a saturated brine holds, mg/L.
const ION_RANGE: Range = Range::closed(0.0, 300_000.0);
const TRACE: Range = Range::closed(0.0, 10_000.0);

/// The constituents that may be given in mmol/L or meq/L, or as their element: formula, molar mass (g/mol,
/// IUPAC 2013 standard atomic masses), charge, element.
const IONS: [(&str, Ion); 13] = [
    ("calcium", ion("Ca", 40.078, 2, None)),
    ("magnesium", ion("Mg", 24.305, 2, None)),
    ("sodium", ion("Na", 22.990, 1, None)),
    ("potassium", ion("K", 39.098, 1, None)),
    ("strontium", ion("Sr", 87.62, 2, None)),
    ("barium", ion("Ba", 137.327, 2, None)),
    ("iron", ion("Fe", 55.845, 2, None)),
    ("manganese", ion("Mn", 54.938, 2, None)),
    ("ammonium", ion("NH4", 18.039, 1, Some(("N", 14.007)))),
    ("chloride", ion("Cl", 35.45, 1, None)),
    ("sulfate", ion("SO4", 96.06, 2, Some(("S", 32.06)))),
    ("nitrate", ion("NO3", 62.004, 1, Some(("N", 14.007)))),
    ("fluoride", ion("F", 18.998, 1, None)),
];

const fn ion(
    formula: &'static str,
    molar_mass_g_mol: f64,
    charge: u8,
    element: Option<(&'static str, f64)>,
) -> Ion {
    Ion {
        formula,
        molar_mass_g_mol,
        charge,
        element,
    }
}

/// Reads a `water` table.
///
/// One of conductivity, dissolved salt and ions has to be there; whether they agree is chemistry, not
/// form, and is not looked at here.
pub fn water_analysis(table: Table<'_>) -> Option<Analysis> {
    let ion = |name: &'static str| {
        let value = table.value(name)?;
        let ion = IONS.iter().find(|(ion, _)| *ion == name).map(|(_, ion)| *ion);
        let context = Context {
            ion,
            ..Context::default()
        };
        crate::table::quantity_of(value, Kind::Concentration, ION_RANGE, &context)
            .map_err(|(read, accepted)| table.faults().add(&table.path(name), read, accepted))
            .ok()
    };
    let hardness = |name: &'static str, ion: Ion| {
        let context = Context {
            ion: Some(ion),
            ..Context::default()
        };
        crate::table::quantity_of(table.value(name)?, Kind::AsCaco3, ION_RANGE, &context)
            .map_err(|(read, accepted)| table.faults().add(&table.path(name), read, accepted))
            .ok()
    };
    let trace = |name| table.quantity(name, Kind::Concentration, TRACE);
    let analysis = Analysis {
        name: table.text("name").unwrap_or_default().to_owned(),
        temperature_c: table.quantity("temperature", Kind::Temperature, Range::closed(-2.0, 60.0)),
        ph: table.quantity("ph", Kind::Number, Range::closed(0.0, 14.0)),
        calcium_mg_l: ion("calcium"),
        magnesium_mg_l: ion("magnesium"),
        sodium_mg_l: ion("sodium"),
        potassium_mg_l: ion("potassium"),
        strontium_mg_l: ion("strontium"),
        barium_mg_l: ion("barium"),
        iron_mg_l: ion("iron"),
        manganese_mg_l: ion("manganese"),
        ammonium_mg_l: ion("ammonium"),
        alkalinity_mg_l_caco3: hardness("alkalinity", Ion::ALKALINITY),
        chloride_mg_l: ion("chloride"),
        sulfate_mg_l: ion("sulfate"),
        nitrate_mg_l: ion("nitrate"),
        fluoride_mg_l: ion("fluoride"),
        silica_mg_l: trace("silica"),
        boron_mg_l: trace("boron"),
        phosphate_mg_l: trace("phosphate"),
        conductivity_us_cm: table.quantity("conductivity", Kind::Conductivity, Range::closed(0.0, 500_000.0)),
        tds_mg_l: table.quantity("tds", Kind::Concentration, ION_RANGE),
        hardness_mg_l_caco3: hardness("hardness", Ion::HARDNESS),
        free_chlorine_mg_l: trace("free_chlorine"),
        chloramine_mg_l: trace("chloramine"),
        turbidity_ntu: table.quantity("turbidity", Kind::Number, Range::closed(0.0, 10_000.0)),
        sdi: table.quantity("sdi", Kind::Number, Range::closed(0.0, 20.0)),
        toc_mg_l: trace("toc"),
    };
    let said = [
        analysis.conductivity_us_cm,
        analysis.tds_mg_l,
        analysis.hardness_mg_l_caco3,
        analysis.alkalinity_mg_l_caco3,
        analysis.calcium_mg_l,
        analysis.magnesium_mg_l,
        analysis.sodium_mg_l,
        analysis.chloride_mg_l,
        analysis.sulfate_mg_l,
    ];
    let asked = [
        "conductivity",
        "tds",
        "hardness",
        "alkalinity",
        "calcium",
        "magnesium",
        "sodium",
        "chloride",
        "sulfate",
    ];
    if asked.into_iter().all(|name| table.value(name).is_none()) && said.iter().all(Option::is_none) {
        let accepted = "at least one of conductivity, tds and the ions";
        table
            .faults()
            .add(&table.path("conductivity"), crate::Read::Nothing, accepted);
    }
    table.finish();
    Some(analysis)
}
