//! Water at one temperature, with what the channel needs of it.

use water::properties::{density_kg_m3, viscosity_pa_s};

use crate::number::Number;

/// 0 C in kelvin.
pub(crate) const ZERO_CELSIUS_K: f64 = 273.15;

/// Diffusion coefficient of NaCl at 25 C, m2/s (`model.md` 2).
const NACL_DIFFUSION_25_M2_S: f64 = 1.61e-9;

/// Water at one temperature.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fluid<N> {
    /// Dynamic viscosity, Pa s.
    pub(crate) viscosity: N,
    /// Density, kg/m3.
    pub(crate) density: N,
    /// Diffusion coefficient of NaCl, m2/s.
    pub(crate) diffusion: N,
    /// Absolute temperature, K.
    pub(crate) kelvin: N,
    /// Viscosity over that at 25 C.
    pub(crate) relative_viscosity: N,
}

impl<N: Number> Fluid<N> {
    /// Water at this temperature, C. Diffusion scales with T/mu (Stokes-Einstein).
    pub(crate) fn at(temperature: N) -> Self {
        let t = temperature.value();
        let viscosity = temperature.chain(viscosity_pa_s(t), viscosity_slope(t));
        let density = temperature.chain(density_kg_m3(t), density_slope(t));
        let kelvin = temperature + ZERO_CELSIUS_K;
        let relative_viscosity = viscosity * (1.0 / viscosity_pa_s(25.0));
        let diffusion = kelvin / relative_viscosity * (NACL_DIFFUSION_25_M2_S / (ZERO_CELSIUS_K + 25.0));
        Self {
            viscosity,
            density,
            diffusion,
            kelvin,
            relative_viscosity,
        }
    }
}

/// Derivative of [`viscosity_pa_s`] by temperature, Pa s/K: of IAPWS SR6-08(2011), equation 8.
fn viscosity_slope(temperature_c: f64) -> f64 {
    let t = (temperature_c + ZERO_CELSIUS_K) / 300.0;
    let terms = [(280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.45903, -40.0)];
    1e-6 / 300.0 * terms.iter().map(|(a, b)| a * b * t.powf(b - 1.0)).sum::<f64>()
}

/// Derivative of [`density_kg_m3`] by temperature, kg/(m3 K): of IAPWS SR6-08(2011), equation 2.
fn density_slope(temperature_c: f64) -> f64 {
    let t = temperature_c + ZERO_CELSIUS_K;
    let (alpha, beta) = (10.0 / (593.0 - t), 10.0 / (t - 232.0));
    let a = [
        (6.744_584_46e3, 4),
        (-2.225_216_04e5, 5),
        (1.002_312_47e8, 7),
        (-1.635_521_18e9, 8),
        (8.322_996_58e9, 9),
    ];
    let b = [
        (5.785_452_92e-3, 1),
        (-1.531_956_65e-2, 2),
        (3.113_378_59e-2, 3),
        (-4.235_462_41e-2, 4),
        (3.387_135_07e-2, 5),
        (-1.199_467_61e-2, 6),
    ];
    // d(alpha^n)/dT = n alpha^(n+1)/10 K, d(beta^m)/dT = -m beta^(m+1)/10 K.
    let slope: f64 = a
        .iter()
        .map(|(c, n)| c * f64::from(*n) * alpha.powi(n + 1))
        .sum::<f64>()
        - b.iter()
            .map(|(c, m)| c * f64::from(*m) * beta.powi(m + 1))
            .sum::<f64>();
    let rho = density_kg_m3(temperature_c);
    -rho * rho * 461.518_05 / 1e5 * slope
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_slopes_are_those_of_the_water_crate() {
        for t in [0.5, 4.0, 15.0, 25.0, 45.0] {
            let h = 1e-3;
            let mu = (viscosity_pa_s(t + h) - viscosity_pa_s(t - h)) / (2.0 * h);
            let rho = (density_kg_m3(t + h) - density_kg_m3(t - h)) / (2.0 * h);
            // Central differences of step 1e-3 err by h^2 and by rounding: 1e-8 of the viscosity, 1e-9 of the density.
            assert!((viscosity_slope(t) - mu).abs() < 1e-8 * viscosity_pa_s(t), "{t}");
            assert!((density_slope(t) - rho).abs() < 1e-9 * density_kg_m3(t), "{t}");
        }
    }
}
