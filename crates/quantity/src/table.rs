//! Every unit the trade uses, with its definition.
//!
//! Definitions are exact (NIST SP 811, 2008, Appendix B; the Weights and Measures Act 1985 for the
//! imperial gallon): inch 0.0254 m, pound 0.45359237 kg, standard gravity 9.80665 m/s2, US gallon 231 in3,
//! imperial gallon 4.54609 L, grain 64.79891 mg. A metre and a foot of water are the conventional ones
//! (1000 kg/m3).

use self::chemistry::{CAPACITIES, CAPACITIES_PER_VOLUME, CONCENTRATIONS, CONDUCTIVITIES, HARDNESSES, SALTS};
use crate::Kind;
use crate::unit::{Scale, Unit};

/// US gallon, L: 231 in3.
const GALLON_L: f64 = 3.785_411_784;
/// Imperial gallon, L.
const IMPERIAL_GALLON_L: f64 = 4.546_09;
/// Cubic foot, L: (0.3048 m)3.
const CUBIC_FOOT_L: f64 = 28.316_846_592;
/// Grain, mg.
const GRAIN_MG: f64 = 64.798_91;
/// Pound-force per square inch, kPa: 0.45359237 x 9.80665 / 0.0254^2 / 1000.
const PSI_KPA: f64 = 0.453_592_37 * 9.806_65 / (0.0254 * 0.0254) / 1000.0;

/// Names of the second, minute, hour and day below a fraction line, as keys.
pub(crate) const FLOW_TIMES: [&[&str]; 4] = [
    &[
        "s", "sec", "secs", "second", "seconds", "sek", "sekunde", "seg", "segundo",
    ],
    &["min", "mins", "minute", "minutes", "mn", "mt", "m", "minuto"],
    &[
        "h", "hr", "hrs", "hour", "hours", "std", "stunde", "hora", "heure",
    ],
    &[
        "d", "day", "days", "24h", "24hr", "24hrs", "24hours", "tag", "dia", "d\u{ed}a", "jour", "dy",
    ],
];

const fn ratio(
    kind: Kind,
    symbol: &'static str,
    numerator: f64,
    denominator: f64,
    spellings: &'static [&'static str],
) -> Unit {
    Unit {
        symbol,
        kind,
        scale: Scale::Ratio(numerator, denominator),
        spellings,
    }
}

macro_rules! units {
    ($name:ident, $kind:ident: $($symbol:literal = $num:expr, $den:expr; $($spelling:literal)*,)*) => {
        pub(super) static $name: &[Unit] = &[$(ratio(Kind::$kind, $symbol, $num, $den, &[$($spelling),*])),*];
    };
}

mod chemistry;

/// Volumes in litres and, from the same rows, the flows that are each of them in a second, minute, hour
/// and day, with the abbreviations that have no fraction line.
macro_rules! volumes_and_flows {
    ($($symbol:literal = $num:expr, $den:expr; $($spelling:literal)*;
       $s:literal [$($ss:literal)*] $m:literal [$($ms:literal)*]
       $h:literal [$($hs:literal)*] $d:literal [$($ds:literal)*],)*) => {
        pub(crate) static VOLUMES: &[Unit] =
            &[$(ratio(Kind::Volume, $symbol, $num, $den, &[$($spelling),*])),*];
        static FLOWS: &[Unit] = &[$(
            ratio(Kind::Flow, $s, $num * 3600.0, $den, &[$($ss),*]),
            ratio(Kind::Flow, $m, $num * 60.0, $den, &[$($ms),*]),
            ratio(Kind::Flow, $h, $num, $den, &[$($hs),*]),
            ratio(Kind::Flow, $d, $num, $den * 24.0, &[$($ds),*]),
        )*];
    };
}

volumes_and_flows! {
    "L" = 1.0, 1.0; "l" "lt" "lts" "ltr" "ltrs" "liter" "liters" "litre" "litres" "litro" "litros" "dm3" "lit";
        "L/s" ["lps"] "L/min" ["lpm" "lmin" "l/mn"] "L/h" ["lph" "lh" "lhr"] "L/d" ["lpd" "ld"],
    "mL" = 1.0, 1000.0; "ml" "mls" "cc" "ccm" "cm3" "milliliter" "milliliters" "millilitre" "millilitres" "mililitros";
        "mL/s" [] "mL/min" ["mlpm" "ccm" "ccpm" "mlmin"] "mL/h" ["mlph"] "mL/d" [],
    "m3" = 1000.0, 1.0; "m3" "cbm" "cum" "kl" "kiloliter" "kilolitre" "cubicmeter" "cubicmeters" "cubicmetre" "cubicmetres";
        "m3/s" [] "m3/min" [] "m3/h" ["cmh" "m3h"] "m3/d" ["cmd" "m3d"],
    "gal" = GALLON_L, 1.0; "gal" "gals" "gallon" "gallons" "usgal" "usgallon" "usgallons" "galus" "gallonsus" "usg" "gl" "gal\u{f3}n" "galones" "gallonen";
        "gal/s" ["gps"] "gpm" ["gpm" "usgpm" "gal/mn"] "gph" ["gph" "usgph"] "gpd" ["gpd" "usgpd"],
    "imp gal" = IMPERIAL_GALLON_L, 1.0; "impgal" "impgals" "imperialgal" "imperialgallon" "imperialgallons" "impgallon" "impgallons" "ukgal" "ukgallon" "ukgallons" "galuk" "galimp" "igal";
        "imp gal/s" [] "imp gal/min" ["igpm" "impgpm" "ukgpm"] "imp gal/h" ["igph" "impgph" "ukgph"] "imp gal/d" ["igpd" "impgpd" "ukgpd"],
    "ft3" = CUBIC_FOOT_L, 1.0; "ft3" "cuft" "cf" "cft" "cubicfoot" "cubicfeet" "cufeet";
        "ft3/s" ["cfs"] "ft3/min" ["cfm"] "ft3/h" ["cfh"] "ft3/d" [],
    "cL" = 1.0, 100.0; "cl" "centiliter" "centilitre"; "cL/s" [] "cL/min" [] "cL/h" [] "cL/d" [],
    "dL" = 1.0, 10.0; "dl" "deciliter" "decilitre"; "dL/s" [] "dL/min" [] "dL/h" [] "dL/d" [],
    "hL" = 100.0, 1.0; "hl" "hectoliter" "hectolitre"; "hL/s" [] "hL/min" [] "hL/h" [] "hL/d" [],
    "qt" = GALLON_L, 4.0; "qt" "qts" "quart" "quarts" "usqt"; "qt/s" [] "qt/min" [] "qt/h" [] "qt/d" [],
    "US pt" = GALLON_L, 8.0; "uspt" "uspint" "uspints"; "US pt/s" [] "US pt/min" [] "US pt/h" [] "US pt/d" [],
    "US fl oz" = GALLON_L, 128.0; "floz" "usfloz" "fluidounce" "fluidounces" "usfluidounces";
        "US fl oz/s" [] "US fl oz/min" [] "US fl oz/h" [] "US fl oz/d" [],
    "in3" = GALLON_L, 231.0; "in3" "cuin" "cubicinch" "cubicinches"; "in3/s" [] "in3/min" [] "in3/h" [] "in3/d" [],
}

units! { PRESSURES, Pressure:
    "kPa" = 1.0, 1.0; "kpa" "kpag" "kpagauge" "kilopascal",
    "Pa" = 1.0, 1000.0; "pa" "pascal",
    "hPa" = 1.0, 10.0; "hpa",
    "MPa" = 1000.0, 1.0; "mpa" "mpag" "megapascal",
    "bar" = 100.0, 1.0; "bar" "bars" "barg" "bargauge" "bares" "bar\u{fc}" "bar\u{fc}berdruck",
    "mbar" = 1.0, 10.0; "mbar" "mb" "mbarg" "millibar",
    "psi" = PSI_KPA, 1.0; "psi" "psig" "psigauge" "lb/in2" "lbs/in2" "lbf/in2" "lb/sqin" "lbs/sqin" "poundspersquareinch" "pounds/squareinch" "lb" "lbs" "pound" "pounds" "#",
    "kg/cm2" = 98.0665, 1.0; "kg/cm2" "kgf/cm2" "kp/cm2" "kgs/cm2" "kg/cm2g" "kg/sqcm" "kg" "kgcm2" "ksc" "kilos",
    "atm" = 101.325, 1.0; "atm" "atmosphere" "atmospheres" "atm\u{f3}sferas",
    "mH2O" = 9.80665, 1.0; "mh2o" "mwater" "mofwater" "mwc" "mws" "mwg" "mca" "mce" "mwsg" "metersofwater" "metresofwater" "meterwassers\u{e4}ule" "mhead" "mofhead",
    "ftH2O" = 0.3048 * 9.80665, 1.0; "fth2o" "ftwater" "ftofwater" "feetofwater" "feetwater" "footofwater" "fthead" "ftofhead" "feethead" "feetofhead",
    "cmH2O" = 0.098_066_5, 1.0; "cmh2o" "cmwater" "cmofwater",
    "inH2O" = 0.0254 * 9.80665, 1.0; "inh2o" "inwater" "inofwater" "inwc",
    // SP 811: conventional millimetre of mercury 133.322 387 415 Pa, inch of mercury 25.4 of them.
    "mmHg" = 133.322_387_415, 1000.0; "mmhg" "torr",
    "inHg" = 133.322_387_415 * 25.4, 1000.0; "inhg",
}

static TEMPERATURES: &[Unit] = &[
    ratio(
        Kind::Temperature,
        "C",
        1.0,
        1.0,
        &[
            "c",
            "degc",
            "celsius",
            "degreesc",
            "degreescelsius",
            "degcelsius",
            "centigrade",
            "gradc",
            "gradcelsius",
            "gradosc",
            "gradoscelsius",
            "cent",
            "cels",
        ],
    ),
    Unit {
        symbol: "F",
        kind: Kind::Temperature,
        scale: Scale::Affine {
            offset: 32.0,
            divisor: 1.8,
        },
        spellings: &[
            "f",
            "degf",
            "fahrenheit",
            "degreesf",
            "degreesfahrenheit",
            "degfahrenheit",
            "fahr",
        ],
    },
    Unit {
        symbol: "K",
        kind: Kind::Temperature,
        scale: Scale::Affine {
            offset: 273.15,
            divisor: 1.0,
        },
        spellings: &["k", "kelvin", "degk"],
    },
];

units! { TEMPERATURE_DIFFERENCES, TemperatureDifference:
    "C" = 1.0, 1.0; "c" "k" "degc" "celsius" "kelvin" "degreesc" "degreescelsius",
    "F" = 1.0, 1.8; "f" "degf" "fahrenheit" "degreesf" "degreesfahrenheit" "r",
}

units! { AREAS, Area:
    "m2" = 1.0, 1.0; "m2" "sqm" "sqmeter" "sqmeters" "qm" "squaremeters" "squaremetres",
    "cm2" = 1.0, 10_000.0; "cm2" "sqcm",
    "ft2" = 0.3048 * 0.3048, 1.0; "ft2" "sqft" "sf" "squarefeet" "squarefoot",
    "in2" = 0.0254 * 0.0254, 1.0; "in2" "sqin" "squareinches",
}

units! { LENGTHS, Length:
    "m" = 1.0, 1.0; "m" "meter" "meters" "metre" "metres" "metro" "metros",
    "cm" = 1.0, 100.0; "cm",
    "mm" = 1.0, 1000.0; "mm",
    "ft" = 0.3048, 1.0; "ft" "foot" "feet" "'",
    "in" = 0.0254, 1.0; "in" "inch" "inches" "\"",
}

/// A month is a twelfth of a year, a year 365.25 days.
macro_rules! times {
    ($name:ident, $kind:ident, $num:expr, $den:expr, $m:literal) => {
        static $name: &[Unit] = &[
            ratio(
                Kind::$kind,
                "d",
                86_400.0 * $num,
                $den,
                &[
                    "d",
                    "day",
                    "days",
                    "tag",
                    "tage",
                    "tagen",
                    "dia",
                    "dias",
                    "d\u{ed}a",
                    "d\u{ed}as",
                    "jour",
                    "jours",
                ],
            ),
            ratio(
                Kind::$kind,
                "h",
                3600.0 * $num,
                $den,
                &[
                    "h", "hr", "hrs", "hour", "hours", "std", "stunde", "stunden", "hora", "horas", "heure",
                    "heures",
                ],
            ),
            ratio(
                Kind::$kind,
                "min",
                60.0 * $num,
                $den,
                &[
                    "min", "mins", "minute", "minutes", "minuten", "minuto", "minutos", "mn", $m,
                ],
            ),
            ratio(
                Kind::$kind,
                "s",
                $num,
                $den,
                &[
                    "s", "sec", "secs", "second", "seconds", "sek", "sekunde", "sekunden", "seg", "segs",
                    "segundo", "segundos", "seconde", "secondes",
                ],
            ),
            ratio(
                Kind::$kind,
                "weeks",
                604_800.0 * $num,
                $den,
                &[
                    "week", "weeks", "wk", "wks", "w", "woche", "wochen", "semana", "semanas", "semaine",
                    "semaines",
                ],
            ),
            ratio(
                Kind::$kind,
                "months",
                2_629_800.0 * $num,
                $den,
                &[
                    "month", "months", "mo", "mos", "mth", "mths", "monat", "monate", "monaten", "mes",
                    "meses", "mois",
                ],
            ),
            ratio(
                Kind::$kind,
                "years",
                31_557_600.0 * $num,
                $den,
                &[
                    "year",
                    "years",
                    "yr",
                    "yrs",
                    "y",
                    "a",
                    "jahr",
                    "jahre",
                    "jahren",
                    "a\u{f1}o",
                    "a\u{f1}os",
                    "an",
                    "ans",
                ],
            ),
        ];
    };
}
times!(DURATIONS, Duration, 1.0, 86_400.0, "'");
times!(MINUTES, Minutes, 1.0, 60.0, "m");
times!(HOURS, Hours, 1.0, 3600.0, "m");

units! { FRACTIONS, Fraction:
    "%" = 1.0, 100.0; "%" "percent" "pct" "prozent" "porciento",
    "per mille" = 1.0, 1000.0; "\u{2030}" "/mille" "/mil",
}
units! { TURBIDITIES, Turbidity: "NTU" = 1.0, 1.0; "ntu" "fnu" "ftu" "tu/f" "te/f", }
units! { SILT_DENSITIES, SiltDensity: "%/min" = 1.0, 1.0; "%/min" "sdi" "sdi15" "percent/min", }

pub(crate) fn units(kind: Kind) -> &'static [Unit] {
    match kind {
        Kind::Flow => FLOWS,
        Kind::Volume => VOLUMES,
        Kind::Pressure => PRESSURES,
        Kind::Temperature => TEMPERATURES,
        Kind::TemperatureDifference => TEMPERATURE_DIFFERENCES,
        Kind::Salt => SALTS,
        Kind::Concentration => CONCENTRATIONS,
        Kind::AsCaco3 => HARDNESSES,
        Kind::Conductivity => CONDUCTIVITIES,
        Kind::Area => AREAS,
        Kind::Length => LENGTHS,
        Kind::Duration => DURATIONS,
        Kind::Minutes => MINUTES,
        Kind::Hours => HOURS,
        Kind::Fraction => FRACTIONS,
        Kind::Turbidity => TURBIDITIES,
        Kind::SiltDensity => SILT_DENSITIES,
        Kind::ExchangeCapacity => CAPACITIES,
        Kind::CapacityPerVolume => CAPACITIES_PER_VOLUME,
        Kind::Number => &[],
    }
}
