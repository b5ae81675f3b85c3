//! Standardised performance (ASTM D4516, `model.md` 4): one reading at a time, in a form that a loop over
//! columns runs at the speed of the memory.
//!
//! ```text
//! Y      = Q_p / (Q_p + Q_c)                         recovery
//! C_fb   = C_f ln(1/(1 - Y)) / Y                     average feed-side concentration
//! NDP    = P_m - dP/2 - P_p - pi(C_fb) + pi(C_p)     net driving pressure
//! TCF    = c^(T - 25)                                temperature correction, c = 1.03 by default
//! Q_std  = Q_p NDP_s / (NDP TCF)
//! SP_std = (C_p/C_f) (Q_p/Q_s) (1/TCF) (C_fb,s/C_fb) (C_f/C_f,s)
//! dP_std = dP phi(Q_fc,s, 25) / phi(Q_fc, T),  Q_fc = Q_c + Q_p/2
//! phi    = 0.42 u^2 + 189.3 (nu/d_h) u               the channel's friction (Guillen & Hoek 2009)
//! ```
//!
//! The standard deviations are the first-order ones of these very equations: temperature and flows enter
//! several terms at once, so the terms are summed with their signs before they are squared.

#![expect(
    clippy::inline_always,
    reason = "a call inside the loop over columns would cost it its vectors"
)]

mod account;

pub use account::{EQUATIONS, Quantity, of_reading};

use crate::vector_math::{exp, ln};

/// What one reading says, complete. L/h, C, kPa (gauge), mg/L.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Complete {
    /// Permeate flow, L/h, above 0.
    pub permeate_l_h: f64,
    /// Concentrate flow, L/h, above 0.
    pub concentrate_l_h: f64,
    /// Feed temperature, C.
    pub temperature_c: f64,
    /// Pressure at the first membrane's feed, kPa.
    pub membrane_kpa: f64,
    /// Pressure drop from feed to concentrate, kPa.
    pub drop_kpa: f64,
    /// Permeate pressure, kPa.
    pub back_kpa: f64,
    /// Feed concentration, mg/L.
    pub feed_mg_l: f64,
    /// Permeate concentration, mg/L.
    pub permeate_mg_l: f64,
    /// One standard deviation of the driving pressure `P_m - dP/2 - P_p`, kPa, made anew by this reading.
    pub driving_sd_kpa: f64,
    /// One standard deviation of the drop, kPa.
    pub drop_sd_kpa: f64,
    /// Relative standard deviation of the permeate flow.
    pub permeate_flow_sd: f64,
    /// Relative standard deviation of the concentrate flow.
    pub concentrate_flow_sd: f64,
    /// Relative part of the feed concentration's standard deviation.
    pub feed_relative_sd: f64,
    /// Absolute part of it, mg/L.
    pub feed_sd_mg_l: f64,
    /// Relative part of the permeate concentration's standard deviation.
    pub permeate_relative_sd: f64,
    /// Absolute part of it, mg/L.
    pub permeate_sd_mg_l: f64,
    /// One standard deviation of the temperature, C.
    pub temperature_sd_c: f64,
}

/// What is the same for all readings of a unit: its membranes' channel, its salt, and the reference.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reference {
    /// ln of the factor on permeability per degree.
    pub ln_temperature_coefficient: f64,
    /// pi = `osmotic_slope` C (T + 273.15) / (1000 - `osmotic_curve` C / 1000), kPa with C in mg/L.
    pub osmotic_slope: f64,
    /// See `osmotic_slope`; 1 for sodium chloride by ASTM D4516, 0 for a straight rule.
    pub osmotic_curve: f64,
    /// Cross-section of the feed channel, all elements side by side, m2 (porosity x height x width).
    pub channel_m2: f64,
    /// Hydraulic diameter of the channel, m.
    pub hydraulic_diameter_m: f64,
    /// `NDP_s`, kPa.
    pub driving_kpa: f64,
    /// `Q_s`, the baseline's standardised permeate flow, L/h.
    pub permeate_l_h: f64,
    /// `C_f,s`, mg/L.
    pub feed_mg_l: f64,
    /// `C_fb,s`, mg/L.
    pub feed_side_mg_l: f64,
    /// `Q_fc,s`, L/h.
    pub channel_l_h: f64,
}

/// A reading carried over to the reference.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Standardised {
    /// `Q_std`, L/h.
    pub permeate_l_h: f64,
    /// `SP_std`.
    pub salt_passage: f64,
    /// `dP_std`, kPa.
    pub drop_kpa: f64,
    /// NDP of the reading itself, kPa.
    pub driving_kpa: f64,
    /// Y of the reading itself.
    pub recovery: f64,
    /// `C_fb` of the reading itself, mg/L.
    pub feed_side_mg_l: f64,
    /// Relative standard deviation of `Q_std` from what the instruments do anew each time.
    pub permeate_sd: f64,
    /// Relative standard deviation of `SP_std` from what the instruments do anew each time.
    pub salt_passage_sd: f64,
    /// Standard deviation of `dP_std`, kPa.
    pub drop_sd_kpa: f64,
}

impl Reference {
    /// Osmotic pressure by this unit's rule, kPa.
    pub fn osmotic_kpa(&self, c_mg_l: f64, kelvin: f64) -> f64 {
        self.osmotic_slope * c_mg_l * kelvin / (1000.0 - self.osmotic_curve * c_mg_l / 1000.0)
    }

    /// 1 / (1000 - curve C / 1000) of two concentrations.
    #[inline(always)]
    fn osmotic_rest(&self, a_mg_l: f64, b_mg_l: f64) -> (f64, f64) {
        let rest = |c: f64| 1000.0 - self.osmotic_curve * 0.001 * c;
        reciprocals(rest(a_mg_l), rest(b_mg_l))
    }

    /// phi(Q, T) without the factor that cancels: its inertial and its viscous part.
    #[inline(always)]
    fn friction(&self, flow_l_h: f64, viscosity_m2_s: f64) -> (f64, f64) {
        let u = flow_l_h * (1.0 / (3.6e6 * self.channel_m2));
        (
            0.42 * u * u,
            189.3 / self.hydraulic_diameter_m * viscosity_m2_s * u,
        )
    }
}

/// Coefficients of (1 + z)^-0.1 (binomial series), for |z| < 0.15: the first term left out is under 2e-16.
const TENTH_ROOT: [f64; 16] = [
    1.0,
    -0.1,
    0.055,
    -0.0385,
    0.0298375,
    -0.02446675,
    0.0207967375,
    -0.01812287125,
    0.016084048234375,
    -0.0144756434109375,
    0.013172835503953125,
    -0.012095058053629688,
    0.01118792869960746,
    -0.010413379789634638,
    0.009743948231729553,
    -0.00915931133782578,
];

/// Viscosity of water at 0.1 `MPa`, Pa s, for -15 to 70 C (IAPWS SR6-08).
///
/// The same equation as `water::properties` (a test holds the two together). Its powers of T/300 K, -1.9, -7.7,
/// -19.6 and -40, are the 19th, 77th, 196th and 400th of one -0.1st; the rounding errors of 400 factors stay
/// under 1e-13.
#[inline(always)]
fn viscosity_pa_s(kelvin: f64) -> f64 {
    let z = kelvin * (1.0 / 300.0) - 1.0;
    let mut x = 0.0;
    for coefficient in TENTH_ROOT.iter().rev() {
        x = x * z + coefficient;
    }
    let x2 = x * x;
    let x4 = x2 * x2;
    let x8 = x4 * x4;
    let x16 = x8 * x8;
    let x32 = x16 * x16;
    let x64 = x32 * x32;
    let x128 = x64 * x64;
    let x256 = x128 * x128;
    1e-6 * (280.68 * (x16 * x2 * x)
        + 511.45 * (x64 * x8 * x4 * x)
        + 61.131 * (x128 * x64 * x4)
        + 0.459_03 * (x256 * x128 * x16))
}

/// 1/a and 1/b by one division, for values whose product neither overflows nor vanishes.
#[inline(always)]
fn reciprocals(a: f64, b: f64) -> (f64, f64) {
    let per_both = 1.0 / (a * b);
    (b * per_both, a * per_both)
}

/// That equation at 25 C, Pa s.
const VISCOSITY_25_PA_S: f64 = 0.000_889_996_773_678_783;
/// Density of the water in the friction law's kinematic viscosity, kg/m3; it moves `dP_std` by under 0.1 %
/// between 0 and 45 C, so one value serves.
const DENSITY: f64 = 998.0;

/// Carries one reading over to the reference.
///
/// Valid for flows and concentrations above 0, NDP above 0 and 0 to 50 C; the caller sees to it
/// (`standardise`), since a test in here would cost the loop its vectors. Quotients are formed once and used
/// as factors: a division costs as much as ten products.
#[inline(always)]
pub fn standardise_one(reading: &Complete, reference: &Reference) -> Standardised {
    let square = |x: f64| x * x;
    let a = reference.ln_temperature_coefficient;
    let (q, qc) = (reading.permeate_l_h, reading.concentrate_l_h);
    let (cf, cp) = (reading.feed_mg_l, reading.permeate_mg_l);
    let kelvin = reading.temperature_c + 273.15;
    let per_tcf = exp(-a * (reading.temperature_c - 25.0));
    let feed = q + qc;
    let (per_q, per_feed) = reciprocals(q, feed);
    let y = q * per_feed;
    // C_fb = C_f L / Y with L = ln(1/(1 - Y)).
    let l = -ln(qc * per_feed);
    let mean_factor = l * feed * per_q;
    let (per_l, per_cf) = reciprocals(l, cf);
    let feed_side = cf * mean_factor;

    let (rest_feed, rest_permeate) = reference.osmotic_rest(feed_side, cp);
    let pi_feed_per_kelvin = reference.osmotic_slope * feed_side * rest_feed;
    let pi_permeate_per_kelvin = reference.osmotic_slope * cp * rest_permeate;
    let pi_difference_per_kelvin = pi_feed_per_kelvin - pi_permeate_per_kelvin;
    let driving =
        reading.membrane_kpa - reading.drop_kpa * 0.5 - reading.back_kpa - pi_difference_per_kelvin * kelvin;
    let per_driving = 1.0 / driving;

    let permeate = q * reference.driving_kpa * per_driving * per_tcf;
    // (C_p/C_f) (Q_p/Q_s) (1/TCF) (C_fb,s/C_fb) (C_f/C_f,s), in which one C_f cancels.
    let passage_scale = reference.feed_side_mg_l / (reference.permeate_l_h * reference.feed_mg_l);
    let salt_passage = cp * q * y * per_tcf * passage_scale * per_l * per_cf;
    let channel = qc + q * 0.5;
    let nu = viscosity_pa_s(kelvin) * (1.0 / DENSITY);
    let (inertial, viscous) = reference.friction(channel, nu);
    let (inertial_s, viscous_s) = reference.friction(reference.channel_l_h, VISCOSITY_25_PA_S / DENSITY);
    let (per_phi, per_channel) = reciprocals(inertial + viscous, channel);
    let to_reference = (inertial_s + viscous_s) * per_phi;
    let by_viscosity = viscous * per_phi;
    let by_flow = 2.0 - by_viscosity;

    // e = d ln C_fb / d ln Q_p = -d ln C_fb / d ln Q_c; d ln pi / d ln C is a thousand times the rest.
    let e = y * per_l - qc * per_feed;
    let w = pi_feed_per_kelvin * kelvin * 1000.0 * rest_feed * per_driving;
    let wp = pi_permeate_per_kelvin * kelvin * 1000.0 * rest_permeate * per_driving;
    let by_kelvin = pi_difference_per_kelvin * per_driving;
    let flow_variance = square(reading.permeate_flow_sd);
    let concentrate_variance = square(reading.concentrate_flow_sd);
    let temperature_variance = square(reading.temperature_sd_c);
    let feed_variance = square(reading.feed_relative_sd) + square(reading.feed_sd_mg_l * per_cf);
    let permeate_relative = reading.permeate_sd_mg_l / cp;
    let permeate_variance = square(reading.permeate_relative_sd) + square(permeate_relative);
    let variance = square(1.0 + w * e) * flow_variance
        + square(w * e) * concentrate_variance
        + square(w) * feed_variance
        + square(wp) * permeate_variance
        + square(by_kelvin - a) * temperature_variance
        + square(reading.driving_sd_kpa * per_driving);
    let passage_variance = permeate_variance
        + square(1.0 - e) * flow_variance
        + square(e) * concentrate_variance
        + feed_variance
        + square(a) * temperature_variance;
    // Viscosity falls about 2.4 % per degree.
    let half_permeate = q * 0.5 * per_channel;
    let drop_variance = square(to_reference * reading.drop_sd_kpa)
        + square(to_reference * reading.drop_kpa)
            * (square(by_flow * half_permeate) * flow_variance
                + square(by_flow * (1.0 - half_permeate)) * concentrate_variance
                + square(by_viscosity * 0.024) * temperature_variance);

    Standardised {
        permeate_l_h: permeate,
        salt_passage,
        drop_kpa: reading.drop_kpa * to_reference,
        driving_kpa: driving,
        recovery: y,
        feed_side_mg_l: feed_side,
        permeate_sd: variance.sqrt(),
        salt_passage_sd: passage_variance.sqrt(),
        drop_sd_kpa: drop_variance.sqrt(),
    }
}
