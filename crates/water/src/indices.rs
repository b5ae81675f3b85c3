//! Indices of calcium carbonate that are formulas, for comparison with other people's reports.
//!
//! Saturation and CCPP by equilibration are the better measures; see [`crate::Speciation::saturation_index`].

use crate::constituent::{Composition, Constituent};
use crate::properties::ZERO_CELSIUS_K;

/// Langelier index by Standard Methods 2330 B, simplified.
///
/// ```text
/// LSI = pH - pHs ,  pHs = pK2 - pKs + p[Ca] + p[HCO3] + 5 pfm
/// pfm = A (sqrt I/(1 + sqrt I) - 0.3 I) ,  A = 1.82e6 (E T)^-1.5 ,  E = 60954/(T + 116) - 68.937
/// I = TDS/40000
/// ```
///
/// K2 and Ks of Plummer and Busenberg (1982), Geochim. Cosmochim. Acta 46, 1011. `tds_mg_l` with bicarbonate whole. For
/// fresh waters to 10 000 mg/L. None without calcium or alkalinity. Source: Standard Methods 2330 B
/// (`reference/check-values.md` section 5; form from memory there, confirmed on 424 river waters in its 5.23).
pub fn langelier_index(composition: &Composition, temperature_c: f64, ph: f64, tds_mg_l: f64) -> Option<f64> {
    let (calcium, alkalinity) = (composition[Constituent::Calcium], composition.alkalinity_eq_kg);
    if calcium <= 0.0 || alkalinity <= 0.0 {
        return None;
    }
    let t = temperature_c + ZERO_CELSIUS_K;
    let log_t = t.log10();
    let pk2 = 107.8871 + 0.032_528_49 * t - 5_151.79 / t - 38.925_61 * log_t + 563_713.9 / (t * t);
    let pks = 171.9065 + 0.077_993 * t - 2_839.319 / t - 71.595 * log_t;
    let dielectric = 60_954.0 / (t + 116.0) - 68.937;
    let a = 1.82e6 * (dielectric * t).powf(-1.5);
    let ionic_strength = (tds_mg_l / 40_000.0).max(0.0);
    let root = ionic_strength.sqrt();
    let pfm = a * (root / (1.0 + root) - 0.3 * ionic_strength);
    let phs = pk2 - pks - calcium.log10() - alkalinity.log10() + 5.0 * pfm;
    Some(ph - phs)
}

/// Stiff and Davis index by ASTM D4582, for waters above 10 000 mg/L.
///
/// ```text
/// SDI = pH - pCa - pAlk - K
/// K = 2.022 exp((ln I + 7.544)^2/102.6) - 0.0002 t^2 + 0.00097 t + 0.262     I below 1.2
/// K = -0.1 I - 0.0002 t^2 + 0.00097 t + 3.887                                I from 1.2
/// ```
///
/// I = sum m z^2/2 of the analysis, t in C. K is a fit from memory to the standard's chart (`reference/check-values.md` 5.07).
/// None without calcium or alkalinity.
pub fn stiff_davis_index(composition: &Composition, temperature_c: f64, ph: f64) -> Option<f64> {
    let (calcium, alkalinity) = (composition[Constituent::Calcium], composition.alkalinity_eq_kg);
    if calcium <= 0.0 || alkalinity <= 0.0 {
        return None;
    }
    Some(
        ph + calcium.log10() + alkalinity.log10()
            - stiff_davis_k(analytical_ionic_strength(composition), temperature_c),
    )
}

fn stiff_davis_k(ionic_strength: f64, t: f64) -> f64 {
    let of_temperature = -0.0002 * t * t + 0.000_97 * t;
    if ionic_strength < 1.2 {
        let x = ionic_strength.ln() + 7.544;
        2.022 * (x * x / 102.6).exp() + of_temperature + 0.262
    } else {
        -0.1 * ionic_strength + of_temperature + 3.887
    }
}

/// Ionic strength of an analysis with every ion free, alkalinity as bicarbonate, mol/kg.
fn analytical_ionic_strength(composition: &Composition) -> f64 {
    let mut sum = composition.alkalinity_eq_kg;
    for c in Constituent::ALL {
        let z = f64::from(c.charge());
        sum += composition[c] * z * z;
    }
    0.5 * sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_langelier_of_standard_methods() {
        // `reference/check-values.md` 5.02, LSI SM: pH, t, Ca and alkalinity as CaCO3, TDS; tolerance 2e-4 as stated there.
        for (ph, t, calcium, alkalinity, tds, lsi) in [
            (7.5, 25.0, 150.0, 34.0, 320.0, -0.5447),
            (7.4, 25.0, 29.966_88, 29.525_737, 90.8, -1.3163),
            (7.2, 15.0, 274.6964, 319.862_15, 707.4, 0.1644),
            (7.2, 25.0, 274.6964, 319.862_15, 707.4, 0.3088),
            (7.5, 25.0, 349.6136, 262.4510, 2197.0, 0.471),
            (7.3, 25.0, 799.1168, 213.241_44, 2116.0, 0.5457),
        ] {
            // The table's rows divide by 100.087 g/mol and 50.0435 g/eq.
            let mut c = Composition {
                alkalinity_eq_kg: alkalinity / 50_043.5,
                ..Composition::default()
            };
            c[Constituent::Calcium] = calcium / 100_087.0;
            let here = langelier_index(&c, t, ph, tds);
            assert!(
                here.is_some_and(|i| (i - lsi).abs() < 2e-4),
                "{here:?} against {lsi}"
            );
        }
    }

    #[test]
    fn val_stiff_and_davis_k() {
        // `reference/check-values.md` 5.07 at 25 C; tolerance: the digits printed.
        for (i, k) in [(0.2, 3.0113), (0.5, 3.3561), (0.7, 3.5066), (1.0, 3.6824)] {
            assert!(
                (stiff_davis_k(i, 25.0) - k).abs() < 1e-4,
                "I {i}: {}",
                stiff_davis_k(i, 25.0)
            );
        }
    }
}
