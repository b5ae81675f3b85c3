//! One place on a membrane: solution-diffusion through it, film theory before it.
//!
//! ```text
//! J   = A (dP - (pi(C_m) - pi(C_p)))       water flux, m/s
//! J_s = B (C_m - C_p),  C_p = J_s/J        salt flux, kg/(m2 s)
//! (C_m - C_p)/(C_b - C_p) = exp(J/k) = E   film theory
//! ```
//!
//! Eliminating `C_m` leaves closed forms in the flux alone,
//!
//! ```text
//! t   = C_p/C_b = B E/(J + B E)            local salt passage
//! C_m = C_b E (J + B)/(J + B E)
//! ```
//!
//! so that zero flux gives `C_p = C_m = C_b`, and the first equation becomes one equation in J whose left side less its
//! right side rises without end: there is exactly one flux for every positive pressure difference. (`model.md` 2.)

use crate::number::Number;

/// Osmotic pressure as a function of concentration: `pi = k c/(1 - x c)`, Pa and kg/m3.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Osmotic<N> {
    /// k, Pa m3/kg.
    pub(crate) per_concentration: N,
    /// x, m3/kg: 0.001 in ASTM D4516's relation for NaCl, 0 where the pressure is in proportion.
    pub(crate) crowding: f64,
}

/// Concentration past which the osmotic pressure goes on in a straight line, kg/m3: the relation has a pole beyond.
const STRAIGHT_FROM_KG_M3: f64 = 200.0;

impl<N: Number> Osmotic<N> {
    /// Osmotic pressure, Pa.
    #[inline]
    pub(crate) fn pressure(self, c: N) -> N {
        let over = c.value() - STRAIGHT_FROM_KG_M3;
        if over > 0.0 {
            let free = 1.0 - self.crowding * STRAIGHT_FROM_KG_M3;
            return self.per_concentration
                * ((c - STRAIGHT_FROM_KG_M3) * (1.0 / (free * free)) + STRAIGHT_FROM_KG_M3 / free);
        }
        self.per_concentration * c / (-(c * self.crowding) + 1.0)
    }
}

impl Osmotic<f64> {
    /// d pi/dc, Pa m3/kg.
    #[inline]
    fn slope(self, c: f64) -> f64 {
        let free = 1.0 - self.crowding * c.min(STRAIGHT_FROM_KG_M3);
        self.per_concentration / (free * free)
    }
}

/// exp(J/k) is held at the exponential of this: the wall is past any solubility long before.
const MOST_POLARISED: f64 = 250.0;

/// What the membrane and the water at one segment are.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sheet<N> {
    /// Membrane area of a segment, m2.
    pub(crate) area: f64,
    /// Water permeability A at the water's temperature, m/(s Pa).
    pub(crate) water: N,
    /// Salt permeability B at the water's temperature, m/s.
    pub(crate) salt: N,
    /// Pressure drop of a segment = inertia Q^2 + viscous Q, Pa.
    pub(crate) inertia: N,
    /// See `inertia`.
    pub(crate) viscous: N,
    /// Osmotic pressure.
    pub(crate) osmotic: Osmotic<N>,
    /// Permeate pressure, Pa.
    pub(crate) permeate_pressure: N,
}

/// The feed side of a channel at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Stream<N> {
    /// Water, m3/s.
    pub(crate) flow: N,
    /// Salt, kg/s.
    pub(crate) salt: N,
    /// Pressure, Pa.
    pub(crate) pressure: N,
}

/// Where a segment begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Start<N> {
    /// Water, m3/s.
    pub(crate) flow: N,
    /// Salt, kg/s.
    pub(crate) salt: N,
    /// Pressure, Pa.
    pub(crate) pressure: N,
    /// Mass transfer coefficient at this flow, m/s. It goes with Q^0.36.
    pub(crate) transfer: N,
}

/// A segment at an assumed flux; see [`Sheet::at`].
#[derive(Clone, Copy, Debug)]
pub(crate) struct Place<N> {
    /// What the flux exceeds A times its driving pressure by, m/s.
    pub(crate) residual: N,
    /// ln(`Q_out/Q_in`).
    pub(crate) log_flow: N,
    /// Local salt passage `C_p/C_b`.
    pub(crate) passage: N,
    /// `C_m/C_b`.
    pub(crate) polarisation: N,
    /// Pressure lost over the segment, Pa.
    pub(crate) drop: N,
    /// Mass transfer coefficient at the segment's end over that at its beginning.
    pub(crate) transfer_ratio: N,
}

/// Exponent of the mass transfer coefficient on the flow (Guillen and Hoek, Chem. Eng. J. 149 (2009) 221; from memory).
pub(crate) const TRANSFER_EXPONENT: f64 = 0.36;

impl<N: Number> Sheet<N> {
    /// The segment behind `start` if water passes its membrane at the flux `j`.
    ///
    /// The segment's own state is that of its middle, by the geometric mean of both ends: with the local passage `t` held,
    /// `Q_out = Q_in e^L`, `C_out = C_in e^((t-1) L)` is the exact solution, and the channel never runs dry.
    #[inline]
    pub(crate) fn at(&self, start: &Start<N>, j: N) -> Place<N> {
        let l = (-(j / start.flow) * self.area).ln_1p();
        let flow = start.flow * (l * 0.5).exp();
        let drop = (self.inertia * flow + self.viscous) * flow;
        let pressure = start.pressure - self.permeate_pressure - drop * 0.5;
        let to_middle = (l * (0.5 * TRANSFER_EXPONENT)).exp();
        let x = j / (start.transfer * to_middle);
        let e = if x.value() < MOST_POLARISED {
            x.exp()
        } else {
            N::constant(MOST_POLARISED.exp())
        };
        let be = self.salt * e;
        let inverse = N::constant(1.0) / (j + be);
        let passage = be * inverse;
        let polarisation = e * (j + self.salt) * inverse;
        let bulk = start.salt / start.flow * ((passage - 1.0) * l * 0.5).exp();
        let back = self.osmotic.pressure(bulk * polarisation) - self.osmotic.pressure(bulk * passage);
        Place {
            residual: j - self.water * (pressure - back),
            log_flow: l,
            passage,
            polarisation,
            drop,
            transfer_ratio: to_middle * to_middle,
        }
    }
}

impl Sheet<f64> {
    /// The residual of [`Sheet::at`] and its derivative by the flux: the same equations, differentiated by hand, because
    /// this is the innermost loop.
    #[inline]
    pub(crate) fn residual(&self, start: &Start<f64>, j: f64) -> (f64, f64) {
        let y = j * self.area / start.flow;
        let l = (-y).ln_1p();
        let dl = -self.area / (start.flow * (1.0 - y));
        let flow = start.flow * (1.0 - y).sqrt();
        let pressure =
            start.pressure - self.permeate_pressure - 0.5 * (self.inertia * flow + self.viscous) * flow;
        let d_pressure = -0.25 * (2.0 * self.inertia * flow + self.viscous) * flow * dl;
        let k = start.transfer * (0.5 * TRANSFER_EXPONENT * l).exp();
        let mut x = j / k;
        let mut dx = 1.0 / k - 0.5 * TRANSFER_EXPONENT * x * dl;
        if x >= MOST_POLARISED {
            (x, dx) = (MOST_POLARISED, 0.0);
        }
        let e = x.exp();
        let be = self.salt * e;
        let inverse = 1.0 / (j + be);
        let t = be * inverse;
        let dt = t * inverse * (j * dx - 1.0);
        let bulk = start.salt / start.flow * (0.5 * (t - 1.0) * l).exp();
        let d_ln_bulk = 0.5 * (dt * l + (t - 1.0) * dl);
        let wall = bulk * e * (j + self.salt) * inverse;
        let d_wall = wall * (d_ln_bulk + dx + 1.0 / (j + self.salt) - (1.0 + be * dx) * inverse);
        let permeate = bulk * t;
        let d_permeate = permeate * d_ln_bulk + bulk * dt;
        let back = self.osmotic.pressure(wall) - self.osmotic.pressure(permeate);
        let d_back = self.osmotic.slope(wall) * d_wall - self.osmotic.slope(permeate) * d_permeate;
        (
            j - self.water * (pressure - back),
            1.0 - self.water * (d_pressure - d_back),
        )
    }

    /// The flux of the segment behind `start`, m/s. `guess` only saves work.
    ///
    /// Newton's method inside a bracket that always holds the one root; a step that would leave it is halved, so it ends.
    /// No flux where the pressure does not exceed the permeate's; all of the water where nothing holds it back.
    pub(crate) fn flux(&self, start: &Start<f64>, guess: f64) -> Flux {
        let head = start.pressure - self.permeate_pressure;
        if head.is_nan() || head <= 0.0 || start.flow <= 0.0 {
            return Flux::None;
        }
        let (mut low, mut high) = (0.0, self.water * head);
        let dry = start.flow / self.area * (1.0 - REST);
        if high >= dry {
            high = dry;
            if self.residual(start, dry).0 <= 0.0 {
                return Flux::All;
            }
        }
        let mut j = if guess > low && guess < high {
            guess
        } else {
            0.7 * high
        };
        for _ in 0..200 {
            let (residual, d) = self.residual(start, j);
            if residual > 0.0 {
                high = j;
            } else {
                low = j;
            }
            let next = j - residual / d;
            // The error left is of second order in this step; where little water is left it counts by that.
            if (next - j).abs() <= 1e-6 * j.min(dry - j) {
                return Flux::Free(next);
            }
            j = if next > low && next < high {
                next
            } else {
                0.5 * (low + high)
            };
            if high - low <= 1e-15 * high {
                break;
            }
        }
        Flux::Free(j)
    }
}

/// A flux, m/s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Flux {
    /// The root of the residual.
    Free(f64),
    /// Nothing drives it.
    None,
    /// Nothing holds the water back: all of it passes, but for [`REST`].
    All,
}

/// Share of the water that is left where nothing holds it back.
pub(crate) const REST: f64 = 1e-9;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::number::Dual;

    /// Litres per hour and square metre, in m/s.
    const LMH: f64 = 1e-3 / 3600.0;

    /// Solution-diffusion with film theory at one point: an unending channel, so that the bulk does not change.
    fn point(a: f64, b: f64, bar: f64, feed: f64, k: f64) -> (f64, f64, f64) {
        // pi = 2 c R T, NaCl 58.443 g/mol, 25 C: as in the check values.
        let rt = 8.314_462_618 * 298.15;
        let flow = 1.0;
        let sheet = Sheet {
            area: 1e-9,
            water: a * LMH / 1e5,
            salt: b * LMH,
            inertia: 0.0,
            viscous: 0.0,
            osmotic: Osmotic {
                per_concentration: 2.0 * rt / 0.058_443,
                crowding: 0.0,
            },
            permeate_pressure: 0.0,
        };
        let start = Start {
            flow,
            salt: flow * feed / 1e3,
            pressure: bar * 1e5,
            transfer: k * LMH,
        };
        let Flux::Free(j) = sheet.flux(&start, 0.0) else {
            panic!("a pressure of {bar} bar drives a flux");
        };
        let place = sheet.at(&start, j);
        (j / LMH, feed * place.passage, feed * place.polarisation)
    }

    #[test]
    fn val_closed_points_of_solution_diffusion_and_film() {
        // `reference/check-values.md` 8.06-8.09 (J in LMH, c_p and c_m in mg/L; the last has no film to speak of).
        for (a, b, bar, feed, k, j, cp, cm) in [
            (
                3.0,
                0.25,
                8.0,
                1000.0,
                80.0,
                20.751_999,
                15.374_714,
                1_291.598_886,
            ),
            (3.0, 0.25, 8.0, 1000.0, 1e9, 21.484_266, 11.502_574, 1000.0),
            (1.5, 0.10, 10.3, 2000.0, 100.0, 12.589_322, 17.856_954, 2_265.926),
            (4.0, 0.5, 4.0, 300.0, 60.0, 14.752_317, 12.461_948, 380.147),
        ] {
            let (j_here, cp_here, cm_here) = point(a, b, bar, feed, k);
            // 1e-5: the tolerance stated there; the molar mass behind the table is rounded likewise.
            assert!((j_here / j - 1.0).abs() < 1e-5, "J {j_here} for {j}");
            assert!((cp_here / cp - 1.0).abs() < 1e-5, "C_p {cp_here} for {cp}");
            assert!((cm_here / cm - 1.0).abs() < 1e-5, "C_m {cm_here} for {cm}");
        }
    }

    #[test]
    fn val_spiegler_kedem_without_coupling_is_solution_diffusion() {
        // R = s(1 - F)/(1 - sF), F = exp(-(1 - s)J/P_s): `reference/check-values.md` 8.10, where it gives 0.9873897.
        let spiegler_kedem = |s: f64, ps: f64, j: f64| {
            let f = (-(1.0 - s) * j / ps).exp();
            s * (1.0 - f) / (1.0 - s * f)
        };
        assert!((spiegler_kedem(0.995, 0.2, 20.0) - 0.987_389_7).abs() < 1e-6);
        // As s goes to 1 it must meet what this module gives with no film; the rest is of the order of 1 - s.
        let (j, cp, _) = point(3.0, 0.2, 8.0, 1000.0, 1e12);
        assert!((spiegler_kedem(1.0 - 1e-7, 0.2, j) - (1.0 - cp / 1000.0)).abs() < 1e-5);
    }

    #[test]
    fn val_limits_of_flux() {
        // Zero flux gives C_p = C_f (closed form); tolerance: first order in the little flux there is.
        let (j, cp, cm) = point(3.0, 0.25, 1e-6, 1000.0, 80.0);
        assert!(j > 0.0 && j < 1e-5);
        assert!((cp / 1000.0 - 1.0).abs() < 1e-4 && (cm / 1000.0 - 1.0).abs() < 1e-4);
        // With k infinite the passage falls towards 0 as pressure grows: B/(J + B).
        let mut last = 1.0;
        for bar in [2.0, 10.0, 100.0, 1e3, 1e4] {
            let (j, cp, _) = point(3.0, 0.25, bar, 1000.0, 1e12);
            assert!(cp < last * 1000.0);
            last = cp / 1000.0;
            assert!((last - 0.25 / (j + 0.25)).abs() < 1e-9);
        }
        assert!(last < 1e-5);
        // With k finite it is least where J = k: d ln t/dJ = (1 - t)(1/k - 1/J).
        let passage = |bar: f64| point(3.0, 0.25, bar, 1000.0, 20.0);
        let mut at = (0.0, f64::INFINITY);
        for i in 1..4000 {
            let (j, cp, _) = passage(f64::from(i) * 0.01);
            if cp < at.1 {
                at = (j, cp);
            }
        }
        // Steps of 0.01 bar move J by up to 0.03 LMH.
        assert!((at.0 - 20.0).abs() < 0.05, "minimum at {} LMH", at.0);
        assert!(passage(60.0).1 > 1.05 * at.1);
    }

    #[test]
    fn prop_hand_derivative_is_the_equations_own() {
        let sheet = Sheet {
            area: 0.02,
            water: 1e-11,
            salt: 1e-7,
            inertia: 2e9,
            viscous: 3e6,
            osmotic: Osmotic {
                per_concentration: 7.9e4,
                crowding: 1e-3,
            },
            permeate_pressure: 2e4,
        };
        let start = Start {
            flow: 2e-5,
            salt: 2e-5,
            pressure: 5e5,
            transfer: 2e-5,
        };
        let lift = |x: f64| Dual::<1>::constant(x);
        let dual = Sheet {
            area: sheet.area,
            water: lift(sheet.water),
            salt: lift(sheet.salt),
            inertia: lift(sheet.inertia),
            viscous: lift(sheet.viscous),
            osmotic: Osmotic {
                per_concentration: lift(sheet.osmotic.per_concentration),
                crowding: 1e-3,
            },
            permeate_pressure: lift(sheet.permeate_pressure),
        };
        let dual_start = Start {
            flow: lift(start.flow),
            salt: lift(start.salt),
            pressure: lift(start.pressure),
            transfer: lift(start.transfer),
        };
        for j in [1e-7, 3e-6, 1e-5, 5e-5, 4e-4] {
            let (f, d) = sheet.residual(&start, j);
            let here = dual.at(&dual_start, Dual::variable(j, 0)).residual;
            // Rounding only; the flux itself is the scale of the residual.
            assert!((f - here.value).abs() < 1e-12 * (j + f.abs()));
            assert!((d / here.slope[0] - 1.0).abs() < 1e-10);
        }
    }
}
