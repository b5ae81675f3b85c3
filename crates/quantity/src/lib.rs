//! Units of measure: parsing what people write, and writing it for them.
//!
//! A field takes a bare number in its base unit, or a text with a unit: `"58 psi"`, `"17 gpg"`,
//! `"350 ppm @0.5"`, `"500 mL in 62 s"`. What can be read in two ways is refused with both readings
//! named; nothing is guessed.
//!
//! ```
//! use quantity::{Context, Kind, parse};
//! let flow = parse(Kind::Flow, "500 mL in 60 s", &Context::default())?;
//! assert_eq!(flow.value, 30.0); // L/h
//! # Ok::<(), quantity::Error>(())
//! ```
//!
//! Architecture invariant: nothing here knows what water is. Nothing here panics on any input.
#![deny(clippy::disallowed_methods)]

mod error;
mod format;
mod kind;
mod number;
mod parse;
mod table;
mod text;
mod time;
mod unit;

pub use error::Error;
pub use format::{format, format_rounded, round_significant};
pub use kind::Kind;
pub use number::{Decimal, parse_number};
pub use parse::{Form, Parsed, parse, parse_in};
pub use unit::{Unit, find_unit, units};

/// What a quantity is read with, beside its text.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Context {
    /// ppm per uS/cm of the meter that showed a bare `ppm` of salt; above 0, in practice 0.5 to 0.7.
    pub meter_factor: Option<f64>,
    /// How a number with a comma or a point is read.
    pub decimal: Decimal,
    /// The constituent that is measured, for `mmol/L`, `meq/L`, `as N`, `as CaCO3`.
    pub ion: Option<Ion>,
}

/// What is needed to turn moles and equivalents of one constituent into its mass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ion {
    /// Formula without charge, as in `mg/L as NO3`.
    pub formula: &'static str,
    /// Molar mass, g/mol.
    pub molar_mass_g_mol: f64,
    /// Magnitude of the charge (equivalents per mole); 0 for a neutral species.
    pub charge: u8,
    /// Element by which analysts also state it, with its atomic mass, g/mol: `("N", 14.007)` for nitrate.
    pub element: Option<(&'static str, f64)>,
}

impl Ion {
    /// Hardness: one mole of calcium or magnesium counts as one of `CaCO3` (100.0869 g/mol, IUPAC 2013
    /// standard atomic masses).
    pub const HARDNESS: Self = Self {
        formula: "CaCO3",
        molar_mass_g_mol: CACO3_G_MOL,
        charge: 2,
        element: None,
    };
    /// Alkalinity: one mole of acid taken up is one equivalent; stated as bicarbonate or as `CaCO3`.
    pub const ALKALINITY: Self = Self {
        formula: "HCO3",
        molar_mass_g_mol: 61.0168,
        charge: 1,
        element: None,
    };
}

/// Molar mass of `CaCO3`, g/mol (IUPAC 2013 standard atomic masses: 40.078 + 12.011 + 3 x 15.999).
pub(crate) const CACO3_G_MOL: f64 = 100.086;
