//! Units of what is dissolved: mass, conductivity, hardness, exchange capacity.

use super::{CUBIC_FOOT_L, GALLON_L, GRAIN_MG, IMPERIAL_GALLON_L, ratio};
use crate::Kind;
use crate::unit::{Scale, Unit};

/// Milligrams of `CaCO3` in a milliequivalent.
const CACO3_MG_MEQ: f64 = crate::CACO3_G_MOL / 2.0;
/// One degree dH is 10 mg/L of `CaO` (56.077 g/mol, IUPAC 2013 standard atomic masses).
const GERMAN_DEGREE: f64 = 10.0 * crate::CACO3_G_MOL / 56.077;

pub(super) static SALTS: &[Unit] = &[
    ratio(
        Kind::Salt,
        "mg/L",
        1.0,
        1.0,
        &[
            "mg/l",
            "g/m3",
            "mg/dm3",
            "mg/lt",
            "mgl",
            "mg/ltr",
            "mg/litre",
            "mg/liter",
            "mg/ltds",
            "mg/lastds",
        ],
    ),
    ratio(Kind::Salt, "g/L", 1000.0, 1.0, &["g/l", "kg/m3", "g/dm3"]),
    ratio(Kind::Salt, "ug/L", 1.0, 1000.0, &["ug/l", "mg/m3"]),
    Unit {
        symbol: "ppm",
        kind: Kind::Salt,
        scale: Scale::MeterPpm,
        spellings: METER_PPM,
    },
];

pub(super) static CONDUCTIVITIES: &[Unit] = &[
    ratio(
        Kind::Conductivity,
        "uS/cm",
        1.0,
        1.0,
        &[
            "us/cm",
            "us",
            "uscm",
            "microsiemens",
            "microsiemens/cm",
            "microsiemenspercm",
            "umho/cm",
            "umhos/cm",
            "umho",
            "umhos",
            "micromhos",
            "micromhos/cm",
            "mikrosiemens",
            "microsiemens/centimeter",
            "us/cm25c",
            "mcs/cm",
            "mcs",
        ],
    ),
    ratio(
        Kind::Conductivity,
        "mS/cm",
        1000.0,
        1.0,
        &[
            "ms/cm",
            "ms",
            "mscm",
            "millisiemens",
            "millisiemens/cm",
            "mmho/cm",
            "mmhos/cm",
            "mmho",
            "ds/m",
        ],
    ),
    ratio(Kind::Conductivity, "S/m", 10_000.0, 1.0, &["s/m"]),
    ratio(Kind::Conductivity, "mS/m", 10.0, 1.0, &["ms/m"]),
    ratio(Kind::Conductivity, "uS/m", 1.0, 100.0, &["us/m"]),
    ratio(Kind::Conductivity, "S/cm", 1_000_000.0, 1.0, &["s/cm"]),
    ratio(Kind::Conductivity, "CF", 100.0, 1.0, &["cf"]),
    Unit {
        symbol: "MOhm cm",
        kind: Kind::Conductivity,
        scale: Scale::Inverse(1.0),
        spellings: &[
            "mohmcm",
            "megohmcm",
            "megaohmcm",
            "mohm",
            "megohm",
            "megaohm",
            "mohm-cm",
            "megohm-cm",
            "megaohm-cm",
            "megohms",
            "mohms",
            "meg",
        ],
    },
    Unit {
        symbol: "kOhm cm",
        kind: Kind::Conductivity,
        scale: Scale::Inverse(1000.0),
        spellings: &["kohmcm", "kiloohmcm", "kohm", "kohm-cm"],
    },
    Unit {
        symbol: "Ohm m",
        kind: Kind::Conductivity,
        scale: Scale::Inverse(10_000.0),
        spellings: &["ohmm", "ohm-m"],
    },
    Unit {
        symbol: "ppm",
        kind: Kind::Conductivity,
        scale: Scale::MeterPpm,
        spellings: METER_PPM,
    },
];

/// What stands on the display of a salt meter.
const METER_PPM: &[&str] = &["ppm", "ppmtds", "tdsppm", "tds", "ppms"];

macro_rules! moles {
    ($kind:ident) => {
        Unit {
            symbol: "mmol/L",
            kind: Kind::$kind,
            scale: Scale::Moles,
            spellings: &["mmol/l", "mm", "mol/m3", "mmol", "mmoles/l"],
        }
    };
}
macro_rules! equivalents {
    ($kind:ident) => {
        Unit {
            symbol: "meq/L",
            kind: Kind::$kind,
            scale: Scale::Equivalents,
            spellings: &[
                "meq/l",
                "mval/l",
                "mval",
                "meq",
                "epm",
                "eq/m3",
                "mmol(eq)/l",
                "mmoleq/l",
            ],
        }
    };
}

pub(super) static CONCENTRATIONS: &[Unit] = &[
    ratio(
        Kind::Concentration,
        "mg/L",
        1.0,
        1.0,
        &[
            "mg/l", "ppm", "g/m3", "mg/dm3", "mgl", "mg/lt", "mg/ltr", "mg/liter", "mg/litre", "mg/kg",
        ],
    ),
    ratio(
        Kind::Concentration,
        "ug/L",
        1.0,
        1000.0,
        &["ug/l", "ppb", "mg/m3", "ug/dm3", "mcg/l", "ug/kg"],
    ),
    ratio(Kind::Concentration, "ng/L", 1.0, 1_000_000.0, &["ng/l"]),
    ratio(
        Kind::Concentration,
        "g/L",
        1000.0,
        1.0,
        &["g/l", "kg/m3", "g/dm3", "g/kg"],
    ),
    moles!(Concentration),
    equivalents!(Concentration),
];

pub(super) static HARDNESSES: &[Unit] = &[
    ratio(
        Kind::AsCaco3,
        "mg/L as CaCO3",
        1.0,
        1.0,
        &[
            "mg/lascaco3",
            "mg/lcaco3",
            "mg/l",
            "ppm",
            "ppmcaco3",
            "ppmascaco3",
            "mg/lalscaco3",
            "mg/lcomocaco3",
            "mg/ldecaco3",
            "mgcaco3/l",
            "ppmdecaco3",
            "mgl",
            "g/m3",
            "mg/ltr",
            "mg/liter",
            "mg/litre",
            "mg/dm3",
        ],
    ),
    ratio(
        Kind::AsCaco3,
        "gpg",
        GRAIN_MG,
        GALLON_L,
        &[
            "gpg",
            "gr/gal",
            "grain/gal",
            "grains/gal",
            "grains/gallon",
            "grain/gallon",
            "gr/usgal",
            "grains/usgallon",
            "grains",
            "grain",
            "gr",
        ],
    ),
    ratio(
        Kind::AsCaco3,
        "dH",
        GERMAN_DEGREE,
        1.0,
        &[
            "dh",
            "dgh",
            "gh",
            "dkh",
            "kh",
            "degdh",
            "deggh",
            "german",
            "germandegrees",
            "degreesgerman",
            "gdh",
            "degreesdh",
            "odh",
            "graddh",
            "graddeutscherh\u{e4}rte",
        ],
    ),
    ratio(
        Kind::AsCaco3,
        "fH",
        10.0,
        1.0,
        &[
            "fh",
            "f",
            "degfh",
            "french",
            "frenchdegrees",
            "tf",
            "thf",
            "hf",
            "degreesfrench",
            "degf",
            "gradosfranceses",
            "ofh",
        ],
    ),
    ratio(
        Kind::AsCaco3,
        "Clark",
        GRAIN_MG,
        IMPERIAL_GALLON_L,
        &[
            "clark",
            "clarkdegrees",
            "degclark",
            "degreesclark",
            "e",
            "dege",
            "eh",
            "english",
            "englishdegrees",
            "gr/impgal",
            "grains/impgal",
            "grains/imperialgallon",
            "grains/impgallon",
        ],
    ),
    ratio(
        Kind::AsCaco3,
        "mg/L as HCO3",
        CACO3_MG_MEQ,
        61.0168,
        &[
            "mg/lashco3",
            "mg/lhco3",
            "ppmashco3",
            "ppmhco3",
            "mg/lashco3-",
            "mg/lhco3-",
            "mg/lbicarbonate",
            "mg/lasbicarbonate",
        ],
    ),
    ratio(
        Kind::AsCaco3,
        "g/L as CaCO3",
        1000.0,
        1.0,
        &["g/lascaco3", "g/lcaco3"],
    ),
    moles!(AsCaco3),
    equivalents!(AsCaco3),
];

units! { CAPACITIES, ExchangeCapacity:
    "eq" = 1.0, 1.0; "eq" "val" "equivalents" "mol(eq)" "moleq",
    "meq" = 1.0, 1000.0; "meq" "mval",
    "grains as CaCO3" = GRAIN_MG, CACO3_MG_MEQ * 1000.0; "grainsascaco3" "gr" "grain" "grains" "grainscaco3" "grascaco3" "grainsofhardness",
    "kgr as CaCO3" = GRAIN_MG, CACO3_MG_MEQ; "kgr" "kilograin" "kilograins" "kgrascaco3" "kgrains" "kgrcaco3",
    "g as CaCO3" = 1.0, CACO3_MG_MEQ; "gascaco3" "gcaco3" "gramsascaco3" "gofcaco3",
    "kg as CaCO3" = 1000.0, CACO3_MG_MEQ; "kgascaco3" "kgcaco3" "kgofcaco3",
}
units! { CAPACITIES_PER_VOLUME, CapacityPerVolume:
    "eq/L" = 1.0, 1.0; "eq/l" "val/l" "meq/ml" "keq/m3" "equivalents/l" "eq/liter" "eq/litre",
    "meq/L" = 1.0, 1000.0; "meq/l" "mval/l",
    "kgr/ft3" = GRAIN_MG, CACO3_MG_MEQ * CUBIC_FOOT_L; "kgr/ft3" "kgr/cuft" "kilograins/ft3" "kilograins/cubicfoot" "kgrains/ft3" "kgrains/cuft" "kgr/cf",
    "g/L as CaCO3" = 1.0, CACO3_MG_MEQ; "g/lascaco3" "gcaco3/l" "g/lcaco3" "gascaco3/l",
}
