//! One unit of measure, and finding it by any of its spellings.

use crate::{Context, Error, Kind, table, text};

/// A unit of one kind of quantity.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// How we write it.
    pub symbol: &'static str,
    /// What it measures.
    pub kind: Kind,
    /// How it becomes the base unit.
    pub(crate) scale: Scale,
    /// What else people write, as [`text::unit_key`]s.
    pub(crate) spellings: &'static [&'static str],
}

/// How a value becomes the base unit's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Scale {
    /// `base = value * numerator / denominator`; the two apart, so that exact definitions stay exact.
    Ratio(f64, f64),
    /// `base = (value - offset) / divisor`.
    Affine { offset: f64, divisor: f64 },
    /// `base = numerator / value`: resistivity.
    Inverse(f64),
    /// ppm of a salt meter: `base = value / factor`, in uS/cm.
    MeterPpm,
    /// mmol/L: times the molar mass, or the charge times 50.04 for `CaCO3`.
    Moles,
    /// meq/L: times the equivalent mass.
    Equivalents,
}

impl Unit {
    /// The value in the base unit of [`Self::kind`].
    ///
    /// # Errors
    /// Where the context lacks what the unit needs (a meter's factor, a constituent), where the value is
    /// impossible (below absolute zero, resistivity 0), or where the result is beyond any number.
    pub fn to_base(&self, value: f64, context: &Context) -> Result<f64, Error> {
        let base = match self.scale {
            // The base unit itself: no rounding at all.
            Scale::Ratio(numerator, denominator) if numerator.to_bits() == denominator.to_bits() => value,
            Scale::Ratio(numerator, denominator) => value * numerator / denominator,
            Scale::Affine { offset, divisor } => (value - offset) / divisor,
            Scale::Inverse(numerator) => {
                if value <= 0.0 {
                    return Err(self.impossible(value, "a resistivity is above 0"));
                }
                numerator / value
            }
            Scale::MeterPpm => match context.meter_factor {
                Some(factor) => value / factor,
                None => {
                    return Err(Error::NoMeterFactor {
                        text: format!("{value} {}", self.symbol),
                        at_05: crate::format::number(value / 0.5, 6),
                        at_07: crate::format::number(value / 0.7, 6),
                    });
                }
            },
            Scale::Moles => value * self.milligrams_per_millimole(value, context)?,
            Scale::Equivalents => value * self.milligrams_per_milliequivalent(value, context)?,
        };
        if !base.is_finite() {
            return Err(self.impossible(value, "it is beyond any number"));
        }
        if self.kind == Kind::Temperature && base < -273.15 {
            return Err(self.impossible(value, "it is below absolute zero (-273.15 C)"));
        }
        Ok(base)
    }

    /// The value in this unit of a value in the base unit; none where the context lacks what the unit
    /// needs, or the result is beyond any number.
    pub fn from_base(&self, base: f64, context: &Context) -> Option<f64> {
        let value = match self.scale {
            Scale::Ratio(numerator, denominator) if numerator.to_bits() == denominator.to_bits() => base,
            Scale::Ratio(numerator, denominator) => base * denominator / numerator,
            Scale::Affine { offset, divisor } => base * divisor + offset,
            Scale::Inverse(numerator) => numerator / base,
            Scale::MeterPpm => base * context.meter_factor?,
            Scale::Moles => base / self.milligrams_per_millimole(base, context).ok()?,
            Scale::Equivalents => base / self.milligrams_per_milliequivalent(base, context).ok()?,
        };
        value.is_finite().then_some(value)
    }

    /// Whether it is the ppm of a salt meter, whose base value is a conductivity (uS/cm) even where the
    /// kind is [`Kind::Salt`].
    pub fn is_meter_ppm(&self) -> bool {
        self.scale == Scale::MeterPpm
    }

    /// Whether values in it need nothing but the number.
    pub fn needs_no_context(&self) -> bool {
        matches!(
            self.scale,
            Scale::Ratio(..) | Scale::Affine { .. } | Scale::Inverse(_)
        )
    }

    fn milligrams_per_millimole(&self, value: f64, context: &Context) -> Result<f64, Error> {
        let Some(ion) = context.ion else {
            return Err(if self.kind == Kind::AsCaco3 {
                Error::AmbiguousUnit {
                    text: format!("{value} {}", self.symbol),
                    unit: self.symbol.to_owned(),
                    first: format!(
                        "{} mg/L as CaCO3 (moles of calcium and magnesium)",
                        crate::format::number(value * crate::CACO3_G_MOL, 6)
                    ),
                    second: format!(
                        "{} mg/L as CaCO3 (moles of bicarbonate)",
                        crate::format::number(value * crate::CACO3_G_MOL / 2.0, 6)
                    ),
                }
            } else {
                self.needs_constituent(value)
            });
        };
        Ok(match self.kind {
            Kind::AsCaco3 => f64::from(ion.charge) * crate::CACO3_G_MOL / 2.0,
            _ => ion.molar_mass_g_mol,
        })
    }

    fn milligrams_per_milliequivalent(&self, value: f64, context: &Context) -> Result<f64, Error> {
        if self.kind == Kind::AsCaco3 {
            return Ok(crate::CACO3_G_MOL / 2.0);
        }
        match context.ion {
            Some(ion) if ion.charge > 0 => Ok(ion.molar_mass_g_mol / f64::from(ion.charge)),
            _ => Err(self.needs_constituent(value)),
        }
    }

    fn needs_constituent(&self, value: f64) -> Error {
        Error::NeedsConstituent {
            text: format!("{value} {}", self.symbol),
            unit: self.symbol.to_owned(),
        }
    }

    fn impossible(&self, value: f64, why: &'static str) -> Error {
        Error::Impossible {
            text: format!("{value} {}", self.symbol).trim().to_owned(),
            why,
        }
    }
}

/// All units of a kind; empty for a plain number.
pub fn units(kind: Kind) -> &'static [Unit] {
    table::units(kind)
}

/// The unit of this kind that a text names, as in a heading: `psi`, `L/min`, `µS/cm`, `[mg/l]`.
pub fn find_unit(kind: Kind, text: &str) -> Option<&'static Unit> {
    find_by_key(kind, &text::unit_key(text))
}

pub(crate) fn find_by_key(kind: Kind, key: &str) -> Option<&'static Unit> {
    if key.is_empty() {
        return None;
    }
    let listed = units(kind).iter().find(|unit| unit.spellings.contains(&key));
    if listed.is_some() || kind != Kind::Flow {
        return listed;
    }
    // A flow is any volume in any time: `ml / min`, `gal/day`, `l/Std`.
    let (volume, time) = key.split_once('/')?;
    let volume = table::VOLUMES
        .iter()
        .position(|unit| unit.spellings.contains(&volume))?;
    let time = table::FLOW_TIMES.iter().position(|names| names.contains(&time))?;
    units(Kind::Flow).get(volume * table::FLOW_TIMES.len() + time)
}

/// The two meanings of a unit that has two.
pub(crate) fn ambiguous(kind: Kind, key: &str) -> Option<(&'static str, &'static str)> {
    Some(match (kind, key) {
        (Kind::Salt | Kind::Concentration, "ppt") => {
            ("parts per thousand (g/L)", "parts per trillion (ng/L)")
        }
        (Kind::Conductivity, "ec") => ("mS/cm", "uS/cm"),
        (Kind::AsCaco3, "\u{b0}" | "deg" | "degrees" | "grad" | "grados") => {
            ("dH (17.8 mg/L as CaCO3)", "fH (10 mg/L as CaCO3)")
        }
        (Kind::Temperature, "\u{b0}" | "deg" | "degrees" | "grad" | "grados") => ("C", "F"),
        (Kind::Duration, "m") => ("min", "months"),
        _ => return None,
    })
}

/// The kind that a unit does measure, where it is not the one wanted.
pub(crate) fn other_kind(kind: Kind, key: &str) -> Option<Kind> {
    Kind::ALL
        .into_iter()
        .filter(|&other| other != kind)
        .find(|&other| find_by_key(other, key).is_some())
}
