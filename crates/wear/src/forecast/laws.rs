//! The plant's laws at one reading, with their exact derivatives.
//!
//! Each derivative stands below the law it belongs to; a test compares them with central differences. Most are zero,
//! which is why they are written out and not carried along with every operation.

use water::properties::{density_kg_m3, viscosity_pa_s};

use super::plant::{
    BACK, BY_CHANNEL, BY_RESTRICTOR, BY_SALT, BY_STAGES, BY_WATER, CARBON_DIOXIDE, CHANNEL, CONCENTRATE,
    CONCENTRATE_FLOW, DIRECTIONS, EXPONENT, FEED_SALT, FILM, INLET, LAWS, MEMBRANE, PERMEATE_FLOW,
    PERMEATE_SALT, PUMP, Plant, RESTRICTOR, ROWS, Rated, SALT, STAGE, STAGES, StageLaw, TEMPERATURE, WARMTH,
    WATER,
};
use crate::hydraulics as plumbing;

/// Salt diffusivity of sodium chloride at 25 C, m2/s (`model.md` 2).
const DIFFUSIVITY_25: f64 = 1.61e-9;
/// Sherwood's number over (u `d_h` / D)^0.36 (`model.md` 2).
const SHERWOOD: (f64, f64) = (0.46, 0.36);
/// L/h in a m3/s.
const L_H: f64 = 3.6e6;

/// What the laws say: values that are zero where they hold, and derivatives.
#[derive(Clone, Debug)]
pub(super) struct Laws {
    pub(super) value: [f64; ROWS],
    pub(super) slope: [[f64; DIRECTIONS]; ROWS],
    /// The laws, and after them the gauges between the stages.
    pub(super) count: usize,
}

impl Default for Laws {
    fn default() -> Self {
        Self {
            value: [0.0; ROWS],
            slope: [[0.0; DIRECTIONS]; ROWS],
            count: 0,
        }
    }
}

/// Viscosity between whole degrees by Hermite's cubics: within 1e-8 of the function, at a fraction of its cost.
#[derive(Clone, Debug)]
pub(super) struct Viscosity {
    /// Value and derivative at each degree, Pa s and Pa s/C.
    table: Vec<(f64, f64)>,
    pub(super) at_25: f64,
}

impl Viscosity {
    /// Coldest and warmest of the table, C.
    const SPAN: (i32, i32) = (-3, 61);

    pub(super) fn new() -> Self {
        const STEP: f64 = 0.02;
        let node = |t: i32| {
            let t = f64::from(t);
            let slope = (viscosity_pa_s(t + STEP) - viscosity_pa_s(t - STEP)) / (2.0 * STEP);
            (viscosity_pa_s(t), slope)
        };
        Self {
            table: (Self::SPAN.0..=Self::SPAN.1).map(node).collect(),
            at_25: viscosity_pa_s(25.0),
        }
    }

    /// Viscosity over that at 25 C, and its derivative.
    pub(super) fn relative(&self, t: f64) -> (f64, f64) {
        let place = t - f64::from(Self::SPAN.0);
        let low = place.floor();
        let s = place - low;
        let nodes = (low >= 0.0)
            .then_some(low as usize)
            .and_then(|low| self.table.get(low..low.saturating_add(2)));
        let (mu, slope) = match nodes {
            Some([(a, da), (b, db)]) => {
                let (across, s2) = (b - a, s * s);
                let (c2, c3) = (3.0 * across - 2.0 * da - db, da + db - 2.0 * across);
                (
                    a + s * da + s2 * (c2 + s * c3),
                    da + s * (2.0 * c2 + 3.0 * s * c3),
                )
            }
            _ => {
                const STEP: f64 = 0.02;
                let (low, high) = (viscosity_pa_s(t - STEP), viscosity_pa_s(t + STEP));
                (f64::midpoint(low, high), (high - low) / (2.0 * STEP))
            }
        };
        (mu / self.at_25, slope / self.at_25)
    }
}

/// Natural logarithm and its derivative; values are kept off zero, where a law has no solution anyway.
fn ln(x: f64) -> (f64, f64) {
    let x = x.max(1e-9);
    (x.ln(), 1.0 / x)
}

impl Plant {
    /// The laws at a reading's values and a unit's: each is zero where they hold. `between[i]` asks for the pressure
    /// after stage `i`; the rows after the laws are those, in order of the stages.
    pub(super) fn laws(&self, at: &[f64; DIRECTIONS], rated: Rated, between: &[f64], out: &mut Laws) {
        let t = at[TEMPERATURE];
        let (relative, relative_t) = self.viscosity.relative(t);
        let ln_relative_t = relative_t / relative;
        let (permeate, concentrate) = (at[PERMEATE_FLOW].exp(), at[CONCENTRATE_FLOW].exp());
        let feed = permeate + concentrate;
        let mean = concentrate + permeate * 0.5;
        let (membrane, end) = (at[MEMBRANE], at[CONCENTRATE]);
        for row in &mut out.slope[..LAWS] {
            row.fill(0.0);
        }

        // ln Q_c = ln Q_r + n ln(P_c/P_r) - m ln(mu/mu_25)
        let (head, by_end) = ln(end / self.restrictor_at_kpa);
        let exponent = at[EXPONENT] + self.exponent;
        out.value[BY_RESTRICTOR] =
            at[CONCENTRATE_FLOW] - at[RESTRICTOR] - self.restrictor_ln_l_h - exponent * head
                + self.viscosity_exponent * relative.max(1e-9).ln();
        let row = &mut out.slope[BY_RESTRICTOR];
        row[CONCENTRATE_FLOW] = 1.0;
        row[RESTRICTOR] = -1.0;
        row[EXPONENT] = -head;
        row[CONCENTRATE] = -exponent * by_end / self.restrictor_at_kpa;
        row[TEMPERATURE] = self.viscosity_exponent * ln_relative_t;

        // P_m - P_c = (0.42 u^2 + 189.3 mu u/(rho d_h)) rho L/(2 d_h)
        let d_h = plumbing::hydraulic_diameter_m();
        let to_velocity = 1.0 / L_H / self.channel_m2;
        let velocity = mean * to_velocity;
        let rho = density_kg_m3(t);
        let laminar = 189.3 * self.viscosity.at_25 / (rho * d_h);
        let scale = at[CHANNEL].exp() * rho * self.length_m / (2.0 * d_h) / 1000.0;
        let drop = (velocity * velocity * 0.42 + laminar * relative * velocity) * scale;
        let drop_by_velocity = (0.84 * velocity + laminar * relative) * scale;
        out.value[BY_CHANNEL] = membrane - end - drop;
        let row = &mut out.slope[BY_CHANNEL];
        row[MEMBRANE] = 1.0;
        row[CONCENTRATE] = -1.0;
        row[CHANNEL] = -drop;
        row[PERMEATE_FLOW] = -drop_by_velocity * 0.5 * permeate * to_velocity;
        row[CONCENTRATE_FLOW] = -drop_by_velocity * concentrate * to_velocity;
        row[TEMPERATURE] = -laminar * relative_t * velocity * scale;

        self.stage_laws(
            at,
            (feed, permeate, concentrate),
            (relative, relative_t),
            between,
            out,
        );

        // The feed's salt at the mean recovery; at the wall by film theory.
        let recovery = permeate / feed;
        let (ln_rest, by_rest) = ln(1.0 - recovery);
        let log_mean = -ln_rest / recovery;
        let log_mean_by_recovery = (by_rest - log_mean) / recovery;
        let bulk = at[FEED_SALT].exp() * log_mean;
        let bulk_by_recovery = bulk / log_mean * log_mean_by_recovery;
        let recovery_by_ln = recovery * (1.0 - recovery);
        let read = at[PERMEATE_SALT].exp();
        // Carbon dioxide is no salt; but some of what the meter shows always is.
        let offset = at[CARBON_DIOXIDE] * self.ratio;
        let (salt, salt_by_read, salt_by_offset) = if offset > 0.8 * read {
            (0.2 * read, 0.2 * read, 0.0)
        } else {
            (read - offset, read, -self.ratio)
        };
        let kelvin = t + 273.15;
        let diffusivity = kelvin * (DIFFUSIVITY_25 / 298.15) / relative;
        let transfer =
            (velocity * d_h / diffusivity).max(1e-9).powf(SHERWOOD.1) * diffusivity * (SHERWOOD.0 / d_h);
        let film = permeate / L_H / self.area_m2 / (transfer * at[FILM].exp());
        let polarisation = film.exp();
        let wall = salt + (bulk - salt) * polarisation;
        let over = (bulk - salt) * polarisation;
        // Derivatives of the wall's salt by the directions that enter it.
        let by_film = over * film;
        let by_bulk = polarisation;
        let (mean_p, mean_c) = (0.5 * permeate / mean, concentrate / mean);
        let mut wall_by = [0.0; DIRECTIONS];
        wall_by[PERMEATE_FLOW] =
            by_film * (1.0 - SHERWOOD.1 * mean_p) + by_bulk * bulk_by_recovery * recovery_by_ln;
        wall_by[CONCENTRATE_FLOW] =
            -by_film * SHERWOOD.1 * mean_c - by_bulk * bulk_by_recovery * recovery_by_ln;
        wall_by[TEMPERATURE] = -by_film * (1.0 - SHERWOOD.1) * (1.0 / kelvin - ln_relative_t);
        wall_by[FILM] = -by_film;
        wall_by[FEED_SALT] = by_bulk * bulk;
        wall_by[PERMEATE_SALT] = (1.0 - polarisation) * salt_by_read;
        wall_by[CARBON_DIOXIDE] = (1.0 - polarisation) * salt_by_offset;

        // Q_p = A TCF(T) (mean pressure - back pressure - osmotic pressures)
        let (osmotic_wall, by_wall, wall_t) = self.osmotic(wall, kelvin);
        let (osmotic_salt, by_salt, salt_t) = self.osmotic(salt, kelvin);
        let net = (membrane + end) * 0.5 - at[BACK] - osmotic_wall + osmotic_salt;
        let (ln_net, by_net) = ln(net);
        let coefficient = at[WARMTH] + self.ln_coefficient;
        let warmth = (t - 25.0) * coefficient;
        out.value[BY_WATER] = at[PERMEATE_FLOW] - at[WATER] - warmth - ln_net - rated.water.ln();
        let (ln_salt, by_ln_salt) = ln(salt);
        let (ln_force, by_force) = ln(wall - salt);
        out.value[BY_SALT] = ln_salt + at[PERMEATE_FLOW] - at[SALT] - warmth - ln_force - rated.salt.ln();
        for direction in [
            PERMEATE_FLOW,
            CONCENTRATE_FLOW,
            TEMPERATURE,
            FILM,
            FEED_SALT,
            PERMEATE_SALT,
            CARBON_DIOXIDE,
        ] {
            out.slope[BY_WATER][direction] = by_net * by_wall * wall_by[direction];
            out.slope[BY_SALT][direction] = -by_force * wall_by[direction];
        }
        let row = &mut out.slope[BY_WATER];
        row[MEMBRANE] = -0.5 * by_net;
        row[CONCENTRATE] = -0.5 * by_net;
        row[BACK] = by_net;
        row[PERMEATE_FLOW] += 1.0;
        row[TEMPERATURE] += by_net * (wall_t - salt_t) - coefficient;
        row[PERMEATE_SALT] -= by_net * by_salt * salt_by_read;
        row[CARBON_DIOXIDE] -= by_net * by_salt * salt_by_offset;
        row[WATER] = -1.0;
        row[WARMTH] = -(t - 25.0);
        // Q_p C_p = B TCF(T) (C_wall - C_p)
        let row = &mut out.slope[BY_SALT];
        row[PERMEATE_FLOW] += 1.0;
        row[TEMPERATURE] -= coefficient;
        row[PERMEATE_SALT] += (by_ln_salt + by_force) * salt_by_read;
        row[CARBON_DIOXIDE] += (by_ln_salt + by_force) * salt_by_offset;
        row[SALT] = -1.0;
        row[WARMTH] = -(t - 25.0);
    }

    /// `P_m` is the inlet pressure less each stage's drop, plus the pump's rise.
    fn stage_laws(
        &self,
        at: &[f64; DIRECTIONS],
        (feed, permeate, concentrate): (f64, f64, f64),
        (relative, relative_t): (f64, f64),
        between: &[f64],
        out: &mut Laws,
    ) {
        out.count = LAWS;
        let mut pressure = at[INLET];
        let mut by_inlet = 1.0;
        let (mut by_feed, mut by_t, mut by_pump) = (0.0, 0.0, 0.0);
        let mut by_slot = [0.0; STAGES];
        let put = |row: &mut [f64; DIRECTIONS], by: (f64, f64, f64, f64), slots: &[f64; STAGES]| {
            row[INLET] = by.0;
            row[PERMEATE_FLOW] = by.1 * permeate;
            row[CONCENTRATE_FLOW] = by.1 * concentrate;
            row[TEMPERATURE] = by.2;
            row[PUMP] = by.3;
            row[STAGE..].copy_from_slice(slots);
        };
        for (i, stage) in self.stages.iter().enumerate() {
            match *stage {
                StageLaw::Drop { resistance, slot } => {
                    let mut per_flow = relative * resistance;
                    let mut by_relative = feed * resistance;
                    if let Some(by) = slot.and_then(|slot| by_slot.get_mut(slot)) {
                        let more = at[STAGE + slot.unwrap_or(0)].exp();
                        per_flow *= more;
                        by_relative *= more;
                        *by -= feed * per_flow;
                    }
                    pressure -= feed * per_flow;
                    by_feed -= per_flow;
                    by_t -= by_relative * relative_t;
                }
                StageLaw::Pump {
                    open_l_h,
                    shutoff_kpa,
                } => {
                    let share = 1.0 - feed / open_l_h;
                    if share > 0.0 {
                        let most = at[PUMP].exp() * shutoff_kpa;
                        pressure += share * most;
                        by_pump += share * most;
                        by_feed -= most / open_l_h;
                    }
                }
                StageLaw::Regulator { set_kpa } => {
                    if pressure > set_kpa {
                        pressure = set_kpa;
                        (by_inlet, by_feed, by_t, by_pump) = (0.0, 0.0, 0.0, 0.0);
                        by_slot = [0.0; STAGES];
                    }
                }
            }
            let read = between.get(i).copied().unwrap_or(f64::NAN);
            if read.is_finite() && out.count < ROWS {
                let row = &mut out.slope[out.count];
                row.fill(0.0);
                put(row, (by_inlet, by_feed, by_t, by_pump), &by_slot);
                out.value[out.count] = pressure - read;
                out.count += 1;
            }
        }
        out.value[BY_STAGES] = pressure - at[MEMBRANE];
        let row = &mut out.slope[BY_STAGES];
        put(row, (by_inlet, by_feed, by_t, by_pump), &by_slot);
        row[MEMBRANE] = -1.0;
    }

    /// Drop of the channel at the label, kPa.
    pub(super) fn drop_kpa(&self, velocity: f64, relative_viscosity: f64, t: f64) -> f64 {
        let rho = density_kg_m3(t);
        let d_h = plumbing::hydraulic_diameter_m();
        let laminar = 189.3 * self.viscosity.at_25 / (rho * d_h);
        (velocity * velocity * 0.42 + laminar * relative_viscosity * velocity) * rho * self.length_m
            / (2.0 * d_h)
            / 1000.0
    }

    /// Mass transfer coefficient, m/s.
    pub(super) fn transfer(&self, velocity: f64, relative_viscosity: f64, t: f64) -> f64 {
        let d_h = plumbing::hydraulic_diameter_m();
        let diffusivity = (t + 273.15) * (DIFFUSIVITY_25 / 298.15) / relative_viscosity;
        (velocity * d_h / diffusivity).max(1e-9).powf(SHERWOOD.1) * diffusivity * (SHERWOOD.0 / d_h)
    }

    /// Osmotic pressure, kPa, and its derivatives by salt and by temperature.
    pub(super) fn osmotic(&self, salt: f64, kelvin: f64) -> (f64, f64, f64) {
        let under = 1000.0 - salt * self.osmotic_curve / 1000.0;
        let each = kelvin * self.osmotic_slope / under;
        let all = salt * each;
        (
            all,
            each + all * self.osmotic_curve / 1000.0 / under,
            all / kelvin,
        )
    }
}
