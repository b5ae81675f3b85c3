//! How saturation and the recovery to keep below were computed.

use account::{Account, Equation, Measure, Origin, symbol};

use super::Mineral;
use crate::{LikelyLimit, Speciation};

/// Saturation index.
const SATURATION: Equation = Equation {
    name: "saturation",
    formula: "SI = L_IAP - L_K",
    symbols: &[
        symbol("SI", "saturation-index", Measure::Number),
        symbol("L_IAP", "activity-product", Measure::Number),
        symbol("L_K", "solubility-product", Measure::Number),
        symbol("T", "temperature", Measure::Temperature),
    ],
    source: "PHREEQC 3.8.6, phreeqc.dat (Parkhurst and Appelo 2013, USGS Techniques and Methods 6-A43)",
};

/// Saturation index allowed in the concentrate.
const ALLOWED: Equation = Equation {
    name: "allowed",
    formula: "SI_a = SI_0",
    symbols: &[
        symbol("SI_a", "allowed-index", Measure::Number),
        symbol("SI_0", "usual-index", Measure::Number),
    ],
    source: "calcite +0.5, +1.8 with an antiscalant, the others 0 (common practice, no source); or the unit's own limit",
};

/// Recovery to keep below.
const KEEP_BELOW: Equation = Equation {
    name: "keep-below",
    formula: "R = 1 - 1 / F",
    symbols: &[
        symbol("R", "keep-below", Measure::Share),
        symbol("F", "concentration-factor", Measure::Number),
        symbol("SI_a", "allowed-index", Measure::Number),
    ],
    source: "ASTM D3739: ions and alkalinity F times as many, the activity of carbon dioxide as in the feed",
};

/// All equations of this module.
pub const EQUATIONS: [&Equation; 3] = [&SATURATION, &ALLOWED, &KEEP_BELOW];

/// How a mineral's saturation index in a water was computed; none where an ion of it is missing.
pub fn of_saturation(water: &Speciation, mineral: Mineral) -> Option<Vec<Account>> {
    let index = water.saturation_index(mineral)?;
    let product = mineral.log_ion_activity_product(water)?;
    let account = Account::of(&SATURATION, index)
        .with("L_IAP", product, Origin::Analysed)
        .with("L_K", product - index, Origin::Constant)
        .with("T", water.temperature_c(), Origin::Analysed);
    Some(vec![account])
}

/// How the index allowed for a mineral was settled.
pub fn of_allowed(limit: &LikelyLimit) -> Vec<Account> {
    vec![Account::of(&ALLOWED, limit.allowed_si).with("SI_0", limit.allowed_si, Origin::Constant)]
}

/// How the recovery to keep below was computed; none where none is found.
pub fn of_limit(limit: &LikelyLimit) -> Option<Vec<Account>> {
    let recovery = limit.recovery?;
    let allowed = of_allowed(limit);
    let mut account = Account::of(&KEEP_BELOW, recovery)
        .with("F", 1.0 / (1.0 - recovery), Origin::Solved)
        .from("SI_a", allowed.first()?);
    if let Some((low, high)) = limit.likely {
        account = account.between(low, high);
    }
    Some([vec![account], allowed].concat())
}
