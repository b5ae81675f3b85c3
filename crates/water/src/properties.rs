//! Physical properties of water, and the osmotic pressure where only a salt content is known.
//!
//! Every function takes degrees Celsius and is defined for every finite input: outside a correlation's range the
//! nearest end of the range is used, so that a wild reading gives a tame number instead of a wild one.

/// 0 C in kelvin.
pub(crate) const ZERO_CELSIUS_K: f64 = 273.15;

/// Molar gas constant, J/(mol K) (exact, SI 2019).
pub(crate) const GAS_CONSTANT: f64 = 8.314_462_618_153_24;

/// Absolute temperature within the range of IAPWS SR6-08, 253.15 K to 383.15 K.
fn kelvin(temperature_c: f64) -> f64 {
    (temperature_c + ZERO_CELSIUS_K).clamp(253.15, 383.15)
}

/// Dynamic viscosity of water at 100 kPa, Pa s.
///
/// ```text
/// mu = 1e-6 sum_i a_i (T/300 K)^b_i
/// ```
///
/// Range -20 C to 110 C, uncertainty 1 % (0.1 % above 0 C). Source: IAPWS SR6-08(2011), equation 8 and table 8.
pub fn viscosity_pa_s(temperature_c: f64) -> f64 {
    let t = kelvin(temperature_c) / 300.0;
    1e-6 * (280.68 * t.powf(-1.9) + 511.45 * t.powf(-7.7) + 61.131 * t.powf(-19.6) + 0.45903 * t.powi(-40))
}

/// Density of water at 100 kPa, kg/m3.
///
/// The specific volume is the pressure derivative of the Gibbs energy,
///
/// ```text
/// v = (R Tr/p0) (a5 + sum_(i=6..10) a_i alpha^n_i + sum_(i=5..10) b_i beta^m_i)
/// Tr = 10 K, alpha = Tr/(593 K - T), beta = Tr/(T - 232 K), R = 461.51805 J/(kg K), p0 = 100 kPa
/// ```
///
/// Range -20 C to 110 C, uncertainty 0.0001 % near 20 C. Source: IAPWS SR6-08(2011), equation 2 and table 1.
pub fn density_kg_m3(temperature_c: f64) -> f64 {
    const R: f64 = 461.518_05;
    const TR: f64 = 10.0;
    const P0: f64 = 1e5;
    let t = kelvin(temperature_c);
    let alpha = TR / (593.0 - t);
    let beta = TR / (t - 232.0);
    let a = 1.937_631_57e-2
        + alpha.powi(4)
            * (6.744_584_46e3
                + alpha
                    * (-2.225_216_04e5
                        + alpha
                            * alpha
                            * (1.002_312_47e8 + alpha * (-1.635_521_18e9 + alpha * 8.322_996_58e9))));
    let b = beta
        * (5.785_452_92e-3
            + beta
                * (-1.531_956_65e-2
                    + beta
                        * (3.113_378_59e-2
                            + beta
                                * (-4.235_462_41e-2 + beta * (3.387_135_07e-2 + beta * -1.199_467_61e-2)))));
    P0 / (R * TR * (a + b))
}

/// Static dielectric constant of water at 100 kPa, relative to vacuum.
///
/// ```text
/// eps = sum_i a_i (T/300 K)^b_i
/// ```
///
/// Range -20 C to 110 C. Source: IAPWS SR6-08(2011), equation 10 and table 8.
pub fn dielectric_constant(temperature_c: f64) -> f64 {
    let t = kelvin(temperature_c) / 300.0;
    -43.7527 * t.powf(-0.05) + 299.504 * t.powf(-1.47) - 399.364 * t.powf(-2.11) + 221.327 * t.powf(-2.31)
}

/// The two constants of the Debye-Hückel equation at 1 atm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DebyeHuckel {
    /// A for logarithms to base 10, (kg/mol)^0.5.
    pub a: f64,
    /// B, (kg/mol)^0.5 per ångström of ion size.
    pub b: f64,
}

/// The Debye-Hückel constants of water at 1 atm.
///
/// ```text
/// l = q^2/(4 pi eps0 eps k T)          in cm: 1.671008e-3/(eps T)
/// B = sqrt(8 pi N l rho/1000)          rho in g/cm3
/// A = B l/(2 ln 10)
/// ```
///
/// The dielectric constant here is that of Bradley and Pitzer (1979), J. Phys. Chem. 83, 1599, at 1 atm, because the
/// activity parameters of the chemistry's database were fitted with it (Parkhurst and Appelo 2013, Techniques and
/// Methods 6-A43). It differs from IAPWS SR6-08 by less than 0.05 %.
pub fn debye_huckel(temperature_c: f64) -> DebyeHuckel {
    let l = bjerrum_cm(dielectric_pressure(temperature_c).dielectric, temperature_c);
    let b = inverse_debye_cm(l, temperature_c);
    DebyeHuckel {
        a: b * l / (2.0 * std::f64::consts::LN_10),
        b: b / 1e8,
    }
}

fn bjerrum_cm(dielectric: f64, temperature_c: f64) -> f64 {
    1.671_008e-3 / (dielectric * kelvin(temperature_c))
}

fn inverse_debye_cm(bjerrum_cm: f64, temperature_c: f64) -> f64 {
    const AVOGADRO: f64 = 6.022_52e23;
    (8.0 * std::f64::consts::PI * AVOGADRO * bjerrum_cm * density_kg_m3(temperature_c) / 1e6).sqrt()
}

/// The dielectric constant of Bradley and Pitzer at 1 atm and what its pressure derivative gives.
pub(crate) struct DielectricPressure {
    pub(crate) dielectric: f64,
    /// The Born function (d eps/d p)/eps^2, 1/bar.
    pub(crate) born: f64,
    /// Debye-Hückel limiting slope of the apparent molar volume, (cm3/mol)(kg/mol)^0.5.
    pub(crate) volume_slope: f64,
}

/// Bradley and Pitzer (1979), J. Phys. Chem. 83, 1599; the volume slope as Pitzer, Peiper and Busey (1984), J. Phys. Chem.
/// Ref. Data 13, 1, with the compressibility of water of IAPWS SR6-08 near 25 C (its change over 0-45 C is without effect).
pub(crate) fn dielectric_pressure(temperature_c: f64) -> DielectricPressure {
    const ATMOSPHERE_BAR: f64 = 1.013_25;
    const COMPRESSIBILITY_PER_BAR: f64 = 4.524_6e-5;
    let t = kelvin(temperature_c);
    let at_1000_bar = 342.79 * (t * (-5.0866e-3 + t * 9.4690e-7)).exp();
    let c = -2.0525 + 3115.9 / (t - 182.89);
    let b = -8032.5 + 4.2142e6 / t + 2.1417 * t;
    let dielectric = at_1000_bar + c * ((b + ATMOSPHERE_BAR) / (b + 1e3)).ln();
    let slope = c / (b + ATMOSPHERE_BAR);
    let l = bjerrum_cm(dielectric, temperature_c);
    let b_angstrom = inverse_debye_cm(l, temperature_c) / 1e8;
    // R in cm3 bar/(mol K), l in angstrom.
    let volume_slope =
        b_angstrom * l * 1e8 * GAS_CONSTANT * 10.0 * t * (slope / dielectric - COMPRESSIBILITY_PER_BAR / 3.0);
    DielectricPressure {
        dielectric,
        born: slope / (dielectric * dielectric),
        volume_slope,
    }
}

/// Osmotic pressure of a sodium chloride solution by the relation of ASTM D4516, kPa.
///
/// ```text
/// pi = 0.2654 C (T + 273.15)/(1000 - C/1000)      C in mg/L, to 20 000 mg/L
/// ```
///
/// For element ratings, and for feeds of which nothing but a salt content is known. Source: ASTM D4516, as restated in
/// `reference/check-values.md` F3 (from memory there, confirmed by its psi form). The concentration is held between
/// 0 and 200 000 mg/L.
pub fn nacl_osmotic_pressure_kpa(concentration_mg_l: f64, temperature_c: f64) -> f64 {
    let c = concentration_mg_l.clamp(0.0, 200_000.0);
    0.2654 * c * (temperature_c + ZERO_CELSIUS_K) / (1000.0 - c / 1000.0)
}

/// Standard deviation of [`conductivity_osmotic_pressure_kpa`], as a fraction of it.
///
/// Source: PHREEQC over calcium bicarbonate to sodium chloride waters (model, section 1); sulfate waters lie lower.
pub const CONDUCTIVITY_OSMOTIC_PRESSURE_SD: f64 = 0.12;

/// Osmotic pressure of a natural water of which only the conductivity at 25 C is known, kPa.
///
/// ```text
/// pi = 0.038 kPa per uS/cm x (T + 273.15)/298.15
/// ```
///
/// Standard deviation [`CONDUCTIVITY_OSMOTIC_PRESSURE_SD`]. Source: as there.
pub fn conductivity_osmotic_pressure_kpa(conductivity_us_cm: f64, temperature_c: f64) -> f64 {
    0.038 * conductivity_us_cm * (temperature_c + ZERO_CELSIUS_K) / 298.15
}

#[cfg(test)]
mod tests {
    use super::*;

    /// t C, rho kg/m3, mu mPa s, eps: IAPWS-95, R12-08 and R8-97 at 101.325 kPa (`reference/check-values.md` 3.01-3.10).
    const IAPWS: [(f64, f64, f64, f64); 10] = [
        (0.0, 999.8431, 1.791_756, 87.903_45),
        (5.0, 999.9666, 1.518_173, 85.915_51),
        (10.0, 999.7025, 1.305_900, 83.974_53),
        (15.0, 999.1026, 1.137_568, 82.077_54),
        (20.0, 998.2071, 1.001_596, 80.222_64),
        (25.0, 997.0476, 0.890_022, 78.408_48),
        (30.0, 995.6495, 0.797_222, 76.634_01),
        (35.0, 994.0333, 0.719_126, 74.898_33),
        (40.0, 992.2164, 0.652_729, 73.200_61),
        (45.0, 990.2129, 0.595_769, 71.540_10),
    ];

    #[test]
    fn val_iapws_density_viscosity_dielectric_constant() {
        for (t, rho, mu, eps) in IAPWS {
            // 100 kPa is not 101.325 kPa: 6e-7 relative in density.
            assert!(
                (density_kg_m3(t) - rho).abs() < 2e-3,
                "density at {t} C: {}",
                density_kg_m3(t)
            );
            // SR6-08 follows R12-08 to 5e-4 relative in this range.
            let mu_here = viscosity_pa_s(t) * 1e3;
            assert!((mu_here / mu - 1.0).abs() < 5e-4, "viscosity at {t} C: {mu_here}");
            // SR6-08 departs from R8-97 by up to 0.034 in this range.
            assert!(
                (dielectric_constant(t) - eps).abs() < 0.035,
                "eps at {t} C: {}",
                dielectric_constant(t)
            );
        }
    }

    #[test]
    fn val_sr6_08_in_another_code() {
        // PyPI iapws 1.5.5, _Liquid(298.15) and _Liquid(273.15), which is SR6-08(2011) in another's code.
        // Tolerance: rounding of the last digits.
        for (t, v, mu, eps) in [
            (
                25.0,
                1.002_961_732_556_789e-3,
                8.899_967_736_787_83e-4,
                78.375_217_905_778_07,
            ),
            (
                0.0,
                1.000_157_641_601_802_7e-3,
                1.791_782_429_834_175_9e-3,
                87.927_393_149_762_74,
            ),
            (
                45.0,
                1.009_884_408_627_655e-3,
                5.957_788_268_993_122e-4,
                71.536_010_217_727_3,
            ),
        ] {
            assert!(
                (1.0 / density_kg_m3(t) / v - 1.0).abs() < 1e-12,
                "volume at {t} C"
            );
            assert!((viscosity_pa_s(t) / mu - 1.0).abs() < 1e-12, "viscosity at {t} C");
            assert!(
                (dielectric_constant(t) / eps - 1.0).abs() < 1e-12,
                "dielectric constant at {t} C"
            );
        }
    }

    #[test]
    fn val_phreeqc_debye_huckel_constants() {
        // PHREEQC 3.8.6 (`reference/water-cases.README.md`), 1 atm; tolerance: the digits printed there.
        let table = [
            (0.01, 0.49084, 0.32462),
            (5.0, 0.49424, 0.32538),
            (10.0, 0.49786, 0.32615),
            (15.0, 0.50170, 0.32692),
            (20.0, 0.50576, 0.32770),
            (25.0, 0.51002, 0.32849),
            (30.0, 0.51451, 0.32930),
            (35.0, 0.51920, 0.33012),
            (40.0, 0.52412, 0.33095),
            (45.0, 0.52924, 0.33180),
        ];
        for (t, a, b) in table {
            let here = debye_huckel(t);
            assert!((here.a - a).abs() < 1.1e-5, "A at {t} C: {}", here.a);
            assert!((here.b - b).abs() < 1.1e-5, "B at {t} C: {}", here.b);
        }
    }

    #[test]
    fn val_d4516_sodium_chloride_osmotic_pressure() {
        // `reference/check-values.md` 2.01-2.22, column F3, bar; tolerance: the digits printed.
        for (t, c, bar) in [
            (5.0, 250.0, 0.18460),
            (5.0, 35000.0, 26.77446),
            (15.0, 2000.0, 1.53257),
            (25.0, 500.0, 0.39584),
            (25.0, 20000.0, 16.14878),
            (35.0, 10000.0, 8.26091),
        ] {
            assert!((nacl_osmotic_pressure_kpa(c, t) / 100.0 - bar).abs() < 1e-5);
        }
    }

    #[test]
    fn prop_wild_temperatures_give_finite_properties() {
        for t in [-1e300, -300.0, -20.0, 0.0, 110.0, 1e300] {
            assert!(density_kg_m3(t) > 900.0 && density_kg_m3(t) < 1001.0);
            assert!(viscosity_pa_s(t) > 0.0 && viscosity_pa_s(t) < 0.01);
            assert!(debye_huckel(t).a.is_finite());
        }
    }
}
