//! Specific conductance of a speciated water from the diffusion coefficients of its ions.
//!
//! Each ion's equivalent conductivity falls from its limiting value by relaxation and electrophoresis (Debye, Onsager and
//! Falkenhagen, with the ion's own size), or by an exponential law where the constants say so:
//!
//! ```text
//! D     = D25 exp(d/T - d/298.15) mu25/mu                        tracer diffusion coefficient
//! L0    = |z| F^2 D/(R 298.15 K)                                 limiting equivalent conductivity
//! L     = (L0 - B2 |z| sqrt(I)/(1 + ka)) (1 - B1 sqrt(I)/(1 + ka)^2) (mu0/mu)^v
//! ka    = B a (1 + V(I) - V(0))^a2 sqrt(I)                       (H+: a (1 + I)^a2)
//! or D  = D exp(-a A |z| sqrt(I)/(1 + B a2 sqrt(I)/(1 + I^a3))) (mu0/mu)^v
//! ```
//!
//! B1 and B2 are the relaxation and electrophoretic terms of the whole mixture, with the mean charge and mobility of its
//! cations and anions. Source: the equations of PHREEQC's public-domain source (`calc_SC`), which names Appelo (2017), Cement
//! and Concrete Research 101, 102; the paper itself was not read. The correction of the anions' size (0.126) and the parts
//! of the ionic strength are PHREEQC's. Parameters: PHREEQC 3.8.6 (Parkhurst and Appelo 2013, Techniques and Methods 6-A43), whose `-dw`, `-Vm` and `-viscosity` parameters `data/species.csv` holds.
//! The viscosity of the solution is Jones and Dole's with those parameters; its square-root term, 0.006 sqrt(I), is from memory, and
//! its quadratic term is shortened: within 0.04 % of PHREEQC's viscosity for sodium chloride at 0.1 and 0.5 mol/kg, by hand.

use crate::constants::Constants;
use crate::database::{DATABASE, SPECIES};
use crate::properties::{self, GAS_CONSTANT, ZERO_CELSIUS_K};
use crate::speciation::Speciation;

const FARADAY: f64 = 96_485.332_12;
const ELEMENTARY_CHARGE: f64 = 1.602_176_634e-19;
const VACUUM_PERMITTIVITY: f64 = 8.854_187_812_8e-12;
const BOLTZMANN: f64 = 1.380_649e-23;
const AVOGADRO: f64 = 6.022_140_76e23;

/// Which law an ion's conductivity follows.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Law {
    /// None: a neutral species, or one whose diffusion coefficient is not known.
    None,
    Onsager {
        a: f64,
        a2: f64,
        hydrogen: bool,
        viscosity: f64,
    },
    Exponential {
        a: f64,
        a2: f64,
        a3: f64,
        viscosity: f64,
    },
}

/// Transport constants of every species at one temperature.
#[derive(Clone, Debug)]
pub struct Conductivity {
    temperature_c: f64,
    b: f64,
    a: f64,
    dielectric: f64,
    viscosity_pa_s: f64,
    density_kg_l: f64,
    volume_slope: f64,
    /// Those species that carry, take room or thicken.
    ions: Vec<Ion>,
}

#[derive(Clone, Copy, Debug)]
struct Ion {
    species: usize,
    law: Law,
    charge: f64,
    /// Tracer diffusion coefficient at the temperature, m2/s.
    diffusion: f64,
    /// Apparent molar volume at infinite dilution, L/mol, and what it gains with the ionic strength, cm3/mol.
    volume: f64,
    volume_size: f64,
    volume_gain: f64,
    volume_power: f64,
    /// Jones-Dole B, kg/mol.
    viscosity_b: f64,
    viscosity_d: f64,
    viscosity_power: f64,
}

impl Conductivity {
    /// The transport constants at `temperature_c`, held within [`crate::TEMPERATURE_RANGE_C`].
    pub fn at(temperature_c: f64) -> Self {
        let constants = Constants::at(temperature_c);
        let temperature_c = constants.temperature_c();
        let t = temperature_c + ZERO_CELSIUS_K;
        let mu = properties::viscosity_pa_s(temperature_c);
        let born = properties::dielectric_pressure(temperature_c);
        let chloride = DATABASE.species.iter().position(|s| s.name == "Cl-").unwrap_or(0);
        let volume_at = |i: usize| {
            let v = &DATABASE.species[i].transport.vm;
            let (p, d) = (2600.0 + 1.013_25, t - 228.0);
            41.84 * (0.1 * v[0] + 100.0 * v[1] / p + v[2] / d + 1e4 * v[3] / p / d - v[4] * born.born)
        };
        let chloride_volume = volume_at(chloride);
        let ion = |i: usize| {
            let s = &DATABASE.species[i];
            let [dw, dw_t, a, a2, viscosity, a3] = s.transport.dw;
            let law = if s.charge == 0 || dw <= 0.0 {
                Law::None
            } else if a3 != 0.0 && a3 > -5.01 && a3 < 4.99 {
                Law::Exponential {
                    a: if a == 0.0 { 1.6 } else { a },
                    a2: if a2 == 0.0 { 4.73 } else { a2 },
                    a3,
                    viscosity,
                }
            } else {
                Law::Onsager {
                    a: if a == 0.0 { 3.5 } else { a },
                    a2,
                    hydrogen: s.name == "H+",
                    viscosity,
                }
            };
            let [b0, b1, b2, d1, d2, d3, tan] = s.transport.viscosity;
            let v = &s.transport.vm;
            let volume = volume_at(i);
            // The volume of the anions weighs on the viscosity (the `tan` of the constants).
            let anion = if s.charge < 0 && tan != 0.0 {
                2.0 - tan * volume / chloride_volume
            } else {
                1.0
            };
            Ion {
                species: i,
                law,
                charge: f64::from(s.charge),
                diffusion: dw * (dw_t / t - dw_t / 298.15).exp() * properties::viscosity_pa_s(25.0) / mu,
                volume: if s.transport.has_volume {
                    volume * 1e-3
                } else {
                    0.0
                },
                volume_size: v[5],
                volume_gain: v[6] + v[7] / (t - 228.0) + v[8] * (t - 228.0),
                volume_power: v[9],
                viscosity_b: anion * (b0 + b1 * (-b2 * temperature_c).exp()),
                viscosity_d: anion * d1 * (-d2 * temperature_c).exp(),
                viscosity_power: d3,
            }
        };
        let ions = (0..SPECIES)
            .map(ion)
            .filter(|i| i.law != Law::None || i.volume != 0.0 || i.viscosity_b != 0.0)
            .collect();
        Self {
            temperature_c,
            b: constants.debye_huckel.b,
            a: constants.debye_huckel.a,
            dielectric: born.dielectric,
            viscosity_pa_s: mu,
            density_kg_l: properties::density_kg_m3(temperature_c) / 1e3,
            volume_slope: born.volume_slope,
            ions,
        }
    }

    /// The temperature, C.
    pub fn temperature_c(&self) -> f64 {
        self.temperature_c
    }

    /// Specific conductance of a water that was speciated at this temperature, uS/cm.
    pub fn us_cm(&self, water: &Speciation) -> f64 {
        let ionic_strength = water.ionic_strength_mol_kg();
        let root = ionic_strength.sqrt();
        let ln_i = ionic_strength.ln();
        // A millionth of the ions carries nothing that a meter could see.
        let least = 1e-6 * ionic_strength;
        let molality = water.molalities();
        let (mut m_plus, mut m_minus, mut eq_plus, mut eq_minus, mut flow_plus, mut flow_minus) =
            (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
        let mut volume = 1.0 / self.density_kg_l;
        let mut thickening = 0.006 * root;
        for ion in &self.ions {
            let m = molality[ion.species % SPECIES];
            if m < least {
                continue;
            }
            volume += m * ion.volume;
            thickening += ion.viscosity_b * m;
            // Of a dilute solution the quadratic term is nothing.
            if ion.viscosity_d != 0.0 && m > 1e-4 {
                thickening += ion.viscosity_d * m * (ion.viscosity_power * ln_i).exp();
            }
            if ion.law == Law::None {
                continue;
            }
            let eq = m * ion.charge.abs();
            if ion.charge > 0.0 {
                m_plus += m;
                eq_plus += eq;
                flow_plus += eq * ion.diffusion;
            } else {
                m_minus += m;
                eq_minus += eq;
                flow_minus += eq * ion.diffusion;
            }
        }
        if m_plus <= 0.0 || m_minus <= 0.0 {
            return 0.0;
        }
        let (z_plus, z_minus) = (eq_plus / m_plus, eq_minus / m_minus);
        let (u_plus, u_minus) = (flow_plus / m_plus, flow_minus / m_minus);
        let t_plus = u_plus / (u_plus + u_minus);
        let q = 1.0 / ((t_plus / z_plus + (1.0 - t_plus) / z_minus) * (z_plus + z_minus));
        let kelvin = self.temperature_c + ZERO_CELSIUS_K;
        let e2 = ELEMENTARY_CHARGE * ELEMENTARY_CHARGE / (6.0 * std::f64::consts::PI);
        let per_m = self.b * 1e10;
        let relaxation = e2 / (2.0 * VACUUM_PERMITTIVITY * self.dielectric * BOLTZMANN * kelvin) * q
            / (1.0 + q.sqrt())
            * per_m
            * z_plus
            * z_minus;
        // 1e4: S m2 to S cm2.
        let electrophoresis = e2 * AVOGADRO / self.viscosity_pa_s * per_m * 1e4;
        // Each sign's part in the ionic strength, as if of charge numbers 1 and 2 only.
        let i_plus = 3.0 * m_plus * (z_plus - 1.0) + m_plus;
        let i_minus = 3.0 * m_minus * (z_minus - 1.0) + m_minus;
        let to_limit = 1e4 * FARADAY * FARADAY / (GAS_CONSTANT * 298.15);
        let ln_thinning = -(1.0 + thickening).ln();

        let mut onsager = 0.0;
        let mut exponential = 0.0;
        for ion in &self.ions {
            let m = molality[ion.species % SPECIES];
            if m < least {
                continue;
            }
            let z = ion.charge.abs();
            match ion.law {
                Law::None => {}
                Law::Exponential { a, a2, a3, viscosity } => {
                    let ka = self.b * a2 * root / (1.0 + (a3 * ln_i).exp());
                    let factor = (-a * self.a * z * root / (1.0 + ka) + viscosity * ln_thinning).exp();
                    exponential += m * z * z * ion.diffusion * factor;
                }
                Law::Onsager {
                    mut a,
                    mut a2,
                    hydrogen,
                    viscosity,
                } => {
                    if ion.charge < 0.0 {
                        a -= 0.126 * z * (z_plus - 1.0);
                        a2 += 0.126 * z * (z_plus - 1.0);
                    }
                    let swelling = if a2 == 0.0 {
                        1.0
                    } else if hydrogen {
                        (1.0 + ionic_strength).powf(a2)
                    } else {
                        let gain = 0.5 * z * z * self.volume_slope * root
                            / (1.0 + ion.volume_size * self.b * root)
                            + ion.volume_gain * (ion.volume_power * ln_i).exp();
                        if gain > -1.0 {
                            (1.0 + gain).powf(a2).max(1.0)
                        } else {
                            1.0
                        }
                    };
                    let ka = 1.0 + self.b * a * swelling * root;
                    let limit = ion.diffusion * to_limit * z;
                    let mut l =
                        (limit - electrophoresis * z * root / ka) * (1.0 - relaxation * root / (ka * ka));
                    if viscosity != 0.0 {
                        l *= (viscosity * ln_thinning).exp();
                    }
                    let share = if ion.charge > 0.0 {
                        i_plus / eq_plus
                    } else {
                        i_minus / eq_minus
                    };
                    onsager += l * m * z * z / share;
                }
            }
        }
        // S cm2/eq to uS/cm, mol/kg to mol/L by the volume of 1 kg of water with its solutes.
        let us_cm = 1e3 / (volume * volume) * onsager + 1e3 * to_limit * exponential;
        us_cm.max(0.0)
    }
}

/// Specific conductance at 25 C of the same water: its constituents, alkalinity and carbon at 25 C, uS/cm.
///
/// `fine` where it is compared with itself, as in the search for a root; else to four digits.
///
/// # Errors
///
/// As [`crate::speciate`].
pub(crate) fn at_25_c(water: &Speciation, fine: bool) -> Result<f64, crate::Error> {
    let (constants, conductivity) = reference();
    let carbon = crate::Carbonate::TotalCarbon(water.carbon_mol_kg());
    let at_25_c = if fine {
        constants.speciate(water.composition(), carbon, Some(water))?
    } else {
        constants.speciate_coarsely(water.composition(), carbon, water)?
    };
    Ok(conductivity.us_cm(&at_25_c))
}

/// The constants at 25 C, to which every conductivity is referred.
pub(crate) fn reference() -> &'static (Constants, Conductivity) {
    static REFERENCE: std::sync::LazyLock<(Constants, Conductivity)> =
        std::sync::LazyLock::new(|| (Constants::at(25.0), Conductivity::at(25.0)));
    &REFERENCE
}
