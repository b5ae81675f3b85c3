//! Osmotic pressure by the osmotic coefficient of Pitzer's equations.
//!
//! ```text
//! pi = R T rho phi sum m
//! sum m (phi - 1) = 2 [ -A I^1.5/(1 + 1.2 sqrt I) + sum_c sum_a m_c m_a (B_ca + Z C_ca)
//!                       + sum_(c<c') m_c m_c' (Phi_cc' + sum_a m_a psi_cc'a) + sum_(a<a') m_a m_a' (Phi_aa' + sum_c m_c psi_aa'c) ]
//! B = b0 + b1 exp(-a1 sqrt I) + b2 exp(-a2 sqrt I) ,  C = C0/(2 sqrt|z_c z_a|) ,  Z = sum m |z|
//! Phi = theta + E + I E'      (E: mixing of unlike charges of one sign, Pitzer 1975)
//! ```
//!
//! a1 = 2 (1.4 between divalent ions), a2 = 12. Sources: Pitzer (1991), Activity Coefficients in Electrolyte Solutions, 2nd
//! ed., ch. 3; parameters and their temperature functions: PHREEQC's pitzer.dat (`data/pitzer.csv`). Ions without
//! parameters of their own count as their likes: barium as calcium, iron and manganese as magnesium, ammonium as potassium,
//! nitrate and fluoride as chloride, phosphate as sulfate, the anions of silica and boron as bicarbonate. Silica and boric
//! acid count as ideal solutes, dissolved gases not at all (they pass the membrane).

use std::sync::LazyLock;

use crate::constituent::Constituent as C;
use crate::properties::{self, GAS_CONSTANT, ZERO_CELSIUS_K};
use crate::speciation::Speciation;

const CATIONS: [&str; 5] = ["Ca+2", "Mg+2", "Sr+2", "Na+", "K+"];
const ANIONS: [&str; 4] = ["SO4-2", "CO3-2", "Cl-", "HCO3-"];
const CATION_CHARGE: [f64; 5] = [2.0, 2.0, 2.0, 1.0, 1.0];
const ANION_CHARGE: [f64; 4] = [2.0, 2.0, 1.0, 1.0];
const NC: usize = CATIONS.len();
const NA: usize = ANIONS.len();
const REFERENCE_K: f64 = 298.15;

/// One parameter and its six temperature coefficients.
struct Parameter {
    kind: &'static str,
    /// Cations and anions, by index.
    cations: Vec<usize>,
    anions: Vec<usize>,
    p: [f64; 6],
}

static PARAMETERS: LazyLock<Vec<Parameter>> = LazyLock::new(|| {
    include_str!("../data/pitzer.csv")
        .lines()
        .skip(1)
        .map(|line| {
            let mut cells = line.split('|');
            let kind = cells.next().unwrap_or_default();
            let ions = cells.next().unwrap_or_default();
            let find = |names: &[&str]| {
                ions.split(' ')
                    .filter_map(|i| names.iter().position(|n| *n == i))
                    .collect()
            };
            let mut p = [0.0; 6];
            for (p, cell) in p.iter_mut().zip(cells) {
                *p = cell.parse().unwrap_or(0.0);
            }
            Parameter {
                kind,
                cations: find(&CATIONS),
                anions: find(&ANIONS),
                p,
            }
        })
        .collect()
});

/// Pitzer's parameters at one temperature.
#[derive(Clone, Debug)]
pub struct OsmoticModel {
    /// R T rho, kPa kg/mol.
    pressure_per_molality: f64,
    a: f64,
    b0: [[f64; NA]; NC],
    b1: [[f64; NA]; NC],
    b2: [[f64; NA]; NC],
    c: [[f64; NA]; NC],
    theta_c: [[f64; NC]; NC],
    theta_a: [[f64; NA]; NA],
    psi_c: [[[f64; NA]; NC]; NC],
    psi_a: [[[f64; NC]; NA]; NA],
}

impl OsmoticModel {
    /// The parameters at `temperature_c`.
    pub fn at(temperature_c: f64) -> Self {
        let t =
            temperature_c.clamp(crate::TEMPERATURE_RANGE_C.0, crate::TEMPERATURE_RANGE_C.1) + ZERO_CELSIUS_K;
        let basis = [
            1.0,
            1.0 / t - 1.0 / REFERENCE_K,
            (t / REFERENCE_K).ln(),
            t - REFERENCE_K,
            t * t - REFERENCE_K * REFERENCE_K,
            1.0 / (t * t) - 1.0 / (REFERENCE_K * REFERENCE_K),
        ];
        let mut m = Self {
            pressure_per_molality: GAS_CONSTANT * t * properties::density_kg_m3(temperature_c) / 1e3,
            a: properties::debye_huckel(temperature_c).a * std::f64::consts::LN_10 / 3.0,
            b0: [[0.0; NA]; NC],
            b1: [[0.0; NA]; NC],
            b2: [[0.0; NA]; NC],
            c: [[0.0; NA]; NC],
            theta_c: [[0.0; NC]; NC],
            theta_a: [[0.0; NA]; NA],
            psi_c: [[[0.0; NA]; NC]; NC],
            psi_a: [[[0.0; NC]; NA]; NA],
        };
        for p in PARAMETERS.iter() {
            let value: f64 = p.p.iter().zip(basis).map(|(p, b)| p * b).sum();
            match (p.kind, p.cations.as_slice(), p.anions.as_slice()) {
                ("b0", &[c], &[a]) => m.b0[c][a] = value,
                ("b1", &[c], &[a]) => m.b1[c][a] = value,
                ("b2", &[c], &[a]) => m.b2[c][a] = value,
                ("c0", &[c], &[a]) => m.c[c][a] = value / (2.0 * (CATION_CHARGE[c] * ANION_CHARGE[a]).sqrt()),
                ("theta", &[c, d], &[]) => {
                    m.theta_c[c][d] = value;
                    m.theta_c[d][c] = value;
                }
                ("theta", &[], &[a, b]) => {
                    m.theta_a[a][b] = value;
                    m.theta_a[b][a] = value;
                }
                ("psi", &[c, d], &[a]) => {
                    m.psi_c[c][d][a] = value;
                    m.psi_c[d][c][a] = value;
                }
                ("psi", &[c], &[a, b]) => {
                    m.psi_a[a][b][c] = value;
                    m.psi_a[b][a][c] = value;
                }
                _ => {}
            }
        }
        m
    }

    /// Osmotic pressure of a speciated water, kPa.
    pub fn kpa(&self, water: &Speciation) -> f64 {
        self.pressure_per_molality * self.osmolality(water)
    }

    /// The osmotic coefficient times the sum of the solutes' molalities, mol/kg.
    pub fn osmolality(&self, water: &Speciation) -> f64 {
        let c = water.composition();
        let (bicarbonate, carbonate) = water.bicarbonate_carbonate_mol_kg();
        let other = water.other_anions_mol_kg();
        let cations = [
            c[C::Calcium] + c[C::Barium],
            c[C::Magnesium] + c[C::Iron] + c[C::Manganese],
            c[C::Strontium],
            c[C::Sodium],
            c[C::Potassium] + c[C::Ammonium],
        ];
        let anions = [
            c[C::Sulfate] + c[C::Phosphate],
            carbonate,
            c[C::Chloride] + c[C::Nitrate] + c[C::Fluoride],
            bicarbonate + other,
        ];
        let neutral = (c[C::Silica] + c[C::Boron] - other).max(0.0);
        self.of_ions(&cations, &anions) + neutral
    }

    fn of_ions(&self, mc: &[f64; NC], ma: &[f64; NA]) -> f64 {
        let (mut sum, mut ionic_strength, mut z) = (0.0, 0.0, 0.0);
        for (m, charge) in mc.iter().zip(CATION_CHARGE).chain(ma.iter().zip(ANION_CHARGE)) {
            sum += m;
            z += m * charge;
            ionic_strength += 0.5 * m * charge * charge;
        }
        if ionic_strength <= 0.0 {
            return sum;
        }
        let root = ionic_strength.sqrt();
        let (e2, e14, e12) = ((-2.0 * root).exp(), (-1.4 * root).exp(), (-12.0 * root).exp());
        let mut excess = -self.a * ionic_strength * root / (1.0 + 1.2 * root);
        for c in 0..NC {
            if mc[c] == 0.0 {
                continue;
            }
            for a in 0..NA {
                let e1 = if CATION_CHARGE[c] * ANION_CHARGE[a] > 3.0 {
                    e14
                } else {
                    e2
                };
                let b = self.b0[c][a] + self.b1[c][a] * e1 + self.b2[c][a] * e12;
                excess += mc[c] * ma[a] * (b + z * self.c[c][a]);
            }
        }
        let mixing = self.mixing(ionic_strength);
        for c in 0..NC {
            for d in c + 1..NC {
                let unlike = if (CATION_CHARGE[c] - CATION_CHARGE[d]).abs() < 0.5 {
                    0.0
                } else {
                    mixing
                };
                let ternary: f64 = (0..NA).map(|a| ma[a] * self.psi_c[c][d][a]).sum();
                excess += mc[c] * mc[d] * (self.theta_c[c][d] + unlike + ternary);
            }
        }
        for a in 0..NA {
            for b in a + 1..NA {
                let unlike = if (ANION_CHARGE[a] - ANION_CHARGE[b]).abs() < 0.5 {
                    0.0
                } else {
                    mixing
                };
                let ternary: f64 = (0..NC).map(|c| mc[c] * self.psi_a[a][b][c]).sum();
                excess += ma[a] * ma[b] * (self.theta_a[a][b] + unlike + ternary);
            }
        }
        sum + 2.0 * excess
    }

    /// E + I E' of a univalent and a divalent ion of one sign.
    ///
    /// J(x) = x/(4 + 4.581 x^-0.7237 exp(-0.0120 x^0.528)) (Pitzer 1975, J. Solution Chem. 4, 249, equation 47).
    fn mixing(&self, ionic_strength: f64) -> f64 {
        let j = |x: f64| {
            let p = 4.581 * x.powf(-0.7237) * (-0.0120 * x.powf(0.528)).exp();
            let dp = p * (-0.7237 / x - 0.0120 * 0.528 * x.powf(-0.472));
            let value = x / (4.0 + p);
            (value, x * (1.0 / (4.0 + p) - x * dp / ((4.0 + p) * (4.0 + p))))
        };
        let x = 6.0 * self.a * ionic_strength.sqrt();
        let ((j12, d12), (j11, d11), (j22, d22)) = (j(2.0 * x), j(x), j(4.0 * x));
        let e = 2.0 / (4.0 * ionic_strength) * (j12 - 0.5 * j11 - 0.5 * j22);
        let slope = 2.0 / (8.0 * ionic_strength) * (d12 - 0.5 * d11 - 0.5 * d22) - e;
        e + slope
    }
}
