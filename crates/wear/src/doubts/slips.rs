//! The slips of the pen that people make, by what they were writing down.

use reading::{Field, Reading};

/// A slip of the pen: which field it touches, and what the value should have been.
pub(super) struct Slip {
    pub(super) field: Field,
    pub(super) factor: f64,
    pub(super) reason: &'static str,
}

pub(super) const TEN_HIGH: &str = "ten times too high: a slipped decimal point";
pub(super) const TEN_LOW: &str = "ten times too low: a slipped decimal point";

/// Slips of a flow: factor from what was read to what was meant.
const FLOW_SLIPS: [(f64, &str); 10] = [
    (0.1, TEN_HIGH),
    (10.0, TEN_LOW),
    (3.785_411_784, "gallons entered where litres were meant"),
    (1.0 / 3.785_411_784, "litres entered where gallons were meant"),
    (
        6.340_129,
        "litres per hour entered where gallons per day were meant",
    ),
    (
        1.0 / 6.340_129,
        "gallons per day entered where litres per hour were meant",
    ),
    (60.0, "per minute entered where per hour was meant"),
    (1.0 / 60.0, "per hour entered where per minute was meant"),
    (0.01, "a hundred times too high: a slipped decimal point"),
    (100.0, "a hundred times too low: a slipped decimal point"),
];
/// Slips of a conductivity.
pub(super) const CONDUCTIVITY_SLIPS: [(f64, &str); 8] = [
    (0.1, TEN_HIGH),
    (10.0, TEN_LOW),
    (
        2.0,
        "a reading in ppm (0.5 of the conductivity) entered as conductivity",
    ),
    (
        1.0 / 0.7,
        "a reading in ppm (0.7 of the conductivity) entered as conductivity",
    ),
    (0.5, "a conductivity entered as ppm (0.5 of it)"),
    (0.7, "a conductivity entered as ppm (0.7 of it)"),
    (1000.0, "millisiemens entered where microsiemens were meant"),
    (0.001, "microsiemens entered where millisiemens were meant"),
];
/// Slips of a pressure.
const PRESSURE_SLIPS: [(f64, &str); 8] = [
    (0.1, TEN_HIGH),
    (10.0, TEN_LOW),
    (14.503_774, "bar entered where psi were meant"),
    (1.0 / 14.503_774, "psi entered where bar were meant"),
    (6.894_757, "psi entered where kPa were meant"),
    (1.0 / 6.894_757, "kPa entered where psi were meant"),
    (100.0, "bar entered where kPa were meant"),
    (0.01, "kPa entered where bar were meant"),
];

pub(super) const SWAPPED: &str = "feed and permeate look swapped";

/// Fields that slip alike, and the factors by which they do.
type Family = (&'static [Field], &'static [(f64, &'static str)]);

/// Every single-field slip of a reading.
pub(super) fn slips(reading: &Reading) -> Vec<Slip> {
    let families: [Family; 3] = [
        (&[Field::PermeateFlow, Field::ConcentrateFlow], &FLOW_SLIPS),
        (
            &[
                Field::FeedConductivity,
                Field::PermeateConductivity,
                Field::FeedTds,
                Field::PermeateTds,
            ],
            &CONDUCTIVITY_SLIPS,
        ),
        (
            &[
                Field::InletPressure,
                Field::MembranePressure,
                Field::ConcentratePressure,
            ],
            &PRESSURE_SLIPS,
        ),
    ];
    let mut slips = Vec::new();
    for (fields, factors) in families {
        for &field in fields.iter().filter(|field| reading.get(**field).is_some()) {
            slips.extend(factors.iter().map(|&(factor, reason)| Slip {
                field,
                factor,
                reason,
            }));
        }
    }
    slips
}
