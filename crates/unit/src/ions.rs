//! The element with several ions: the same film and friction, each ion with its own B, and a neutral permeate.
//!
//! ```text
//! B_i  = B r_i exp(-z_i psi)
//! t_i  = B_i E/(J + B_i E)                        local passage of ion i, E = exp(J/k)
//! J    = A (dP - pi(wall) + pi(permeate))
//! 0    = sum(z_i N_i (1 - (Q_out/Q_in)^t_i))      what a segment passes is neutral
//! ```
//!
//! Two unknowns per segment, the flux J and the potential psi. A rising psi holds cations back and lets anions through, so
//! the charge passed falls with psi and has one zero. What passes is taken from what comes, so every ion is conserved.
//! (`model.md` 2.)

use crate::element::{Channel, Membrane, Surroundings};
use crate::film::{REST, TRANSFER_EXPONENT};
use crate::ionic_feed::{Class, IonicFeed, MOST, OsmoticCurve};

/// A stream of ions: mol/L times m3/s, in the order of the feed's classes.
pub(crate) type Amounts = [f64; MOST];

/// The feed side at one place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct IonicStream {
    /// Water, m3/s.
    pub(crate) flow: f64,
    pub(crate) amounts: Amounts,
    /// Pa.
    pub(crate) pressure: f64,
}

/// What leaves an element.
#[derive(Clone, Copy, Debug)]
pub(crate) struct IonicPassage {
    pub(crate) out: IonicStream,
    pub(crate) permeate: f64,
    pub(crate) permeate_amounts: Amounts,
    pub(crate) drop: f64,
    /// `C_m/C_b` of the sum of solutes, mean weighted by flux.
    pub(crate) polarisation: f64,
    /// Concentrations at the membrane at the concentrate end, mol/L.
    pub(crate) wall: Amounts,
}

/// A segment: what is the same for every trial of its unknowns.
struct Segment<'a> {
    classes: &'a [Class],
    osmotic: &'a OsmoticCurve,
    area: f64,
    water: f64,
    salt: f64,
    inertia: f64,
    viscous: f64,
    permeate_pressure: f64,
    flow: f64,
    pressure: f64,
    transfer: f64,
    amounts: &'a Amounts,
}

/// The two residuals of a segment and their derivatives by J and psi.
#[derive(Clone, Copy, Debug, Default)]
struct Trial {
    flux: f64,
    flux_by: [f64; 2],
    charge: f64,
    charge_by: [f64; 2],
    /// Equivalents passed, both signs.
    passed: f64,
}

/// A segment solved.
#[derive(Clone, Copy, Debug)]
struct Solved {
    flux: f64,
    psi: f64,
}

impl Segment<'_> {
    fn trial(&self, j: f64, psi: f64) -> Trial {
        let y = j * self.area / self.flow;
        let l = (-y).ln_1p();
        let dl = -self.area / (self.flow * (1.0 - y));
        let root = (1.0 - y).sqrt();
        let flow = self.flow * root;
        let pressure =
            self.pressure - self.permeate_pressure - 0.5 * (self.inertia * flow + self.viscous) * flow;
        let d_pressure = -0.25 * (2.0 * self.inertia * flow + self.viscous) * flow * dl;
        let k = self.transfer * (0.5 * TRANSFER_EXPONENT * l).exp();
        let (x, dx) = polarised(j / k, 1.0 / k - 0.5 * TRANSFER_EXPONENT * j / k * dl);
        let e = x.exp();
        let charge_factor = Boltzmann::at(psi);
        let (mut wall, mut permeate) = (0.0, 0.0);
        let (mut wall_by, mut permeate_by) = ([0.0; 2], [0.0; 2]);
        let mut trial = Trial::default();
        for (s, &amount) in self.classes.iter().zip(self.amounts) {
            if !s.solid() {
                continue;
            }
            let b = self.salt * s.ratio * charge_factor.of(s.charge);
            let inverse = 1.0 / (j + b * e);
            let t = b * e * inverse;
            let held = j * inverse;
            let by = [t * inverse * (j * dx - 1.0), -s.charge * t * held];
            // Half of the way in the exponent gives the middle, the whole gives the end; little passes, so it is kept apart.
            let share = -(t * l).exp_m1();
            let end = 1.0 - share;
            let half = end.sqrt();
            if s.charge != 0.0 {
                let passed = share * amount;
                trial.charge += s.charge * passed;
                trial.passed += s.charge.abs() * passed;
                let slope = -s.charge * end * amount;
                trial.charge_by[0] += slope * (by[0] * l + t * dl);
                trial.charge_by[1] += slope * by[1] * l;
            }
            let bulk = amount / self.flow * half / root;
            let at_wall = bulk * e * (j + b) * inverse;
            let in_permeate = bulk * t;
            let bulk_by = [0.5 * (by[0] * l + (t - 1.0) * dl), 0.5 * by[1] * l];
            wall += at_wall;
            permeate += in_permeate;
            let in_film = 1.0 / (j + b);
            wall_by[0] += at_wall * (bulk_by[0] + dx + in_film - (1.0 + b * e * dx) * inverse);
            wall_by[1] += at_wall * (bulk_by[1] - s.charge * b * (in_film - e * inverse));
            permeate_by[0] += in_permeate * bulk_by[0] + bulk * by[0];
            permeate_by[1] += in_permeate * bulk_by[1] + bulk * by[1];
        }
        let (pi_wall, slope_wall) = self.osmotic.at(wall);
        let (pi_permeate, slope_permeate) = self.osmotic.at(permeate);
        trial.flux = j - self.water * (pressure - pi_wall + pi_permeate);
        trial.flux_by = [
            1.0 - self.water * (d_pressure - slope_wall * wall_by[0] + slope_permeate * permeate_by[0]),
            self.water * (slope_wall * wall_by[1] - slope_permeate * permeate_by[1]),
        ];
        trial
    }

    /// Newton's method on both unknowns, the flux kept within its bounds; where it does not arrive, halving of the flux
    /// with the potential solved within.
    fn solve(&self, guess: Solved) -> Option<Solved> {
        let head = self.pressure - self.permeate_pressure;
        if head.is_nan() || head <= 0.0 || self.flow <= 0.0 {
            return None;
        }
        let dry = self.flow / self.area * (1.0 - REST);
        let high = (self.water * head).min(dry);
        let mut j = if guess.flux > 0.0 && guess.flux < high {
            guess.flux
        } else {
            0.7 * high
        };
        let mut psi = guess.psi;
        for _ in 0..40 {
            let t = self.trial(j, psi);
            let [a, b] = t.flux_by;
            let [c, d] = t.charge_by;
            let det = a * d - b * c;
            let mut dj = (b * t.charge - d * t.flux) / det;
            let mut dpsi = (c * t.flux - a * t.charge) / det;
            if t.passed <= 0.0 {
                // Nothing charged passes: there is no potential.
                dj = -t.flux / a;
                dpsi = 0.0;
            }
            if !dj.is_finite() || !dpsi.is_finite() {
                break;
            }
            let small = dj.abs() <= 1e-6 * j.min(dry - j) && dpsi.abs() <= 1e-6;
            dpsi = dpsi.clamp(-2.0, 2.0);
            let next = j + dj;
            j = if next <= 0.0 {
                0.3 * j
            } else if next >= high {
                0.5 * (j + high)
            } else {
                next
            };
            psi += dpsi;
            if small {
                // What is left of the charge is of second order in this step.
                return Some(Solved { flux: j, psi });
            }
        }
        let (mut low, mut high) = (0.0, high);
        for _ in 0..200 {
            j = 0.5 * (low + high);
            psi = self.neutral(j, psi);
            if self.trial(j, psi).flux > 0.0 {
                high = j;
            } else {
                low = j;
            }
            if high - low <= 1e-14 * high {
                break;
            }
        }
        Some(Solved {
            flux: j,
            psi: self.neutral(j, psi),
        })
    }

    /// The potential at which what passes at this flux is neutral, to rounding.
    fn neutral(&self, j: f64, start: f64) -> f64 {
        let (mut low, mut high) = (-60.0, 60.0);
        let mut psi = start.clamp(-59.0, 59.0);
        for _ in 0..100 {
            let t = self.trial(j, psi);
            if t.charge.abs() <= 1e-13 * t.passed {
                break;
            }
            if t.charge > 0.0 {
                low = psi;
            } else {
                high = psi;
            }
            let next = psi - t.charge / t.charge_by[1];
            let done = (next - psi).abs() < 1e-13;
            psi = if next > low && next < high {
                next
            } else {
                0.5 * (low + high)
            };
            if done {
                break;
            }
        }
        psi
    }
}

/// J/k and its derivative, held where the wall is past any solubility.
fn polarised(x: f64, dx: f64) -> (f64, f64) {
    const MOST_POLARISED: f64 = 250.0;
    if x < MOST_POLARISED {
        (x, dx)
    } else {
        (MOST_POLARISED, 0.0)
    }
}

/// exp(-z psi) for the whole charges at one potential.
struct Boltzmann {
    psi: f64,
    up: f64,
}

impl Boltzmann {
    fn at(psi: f64) -> Self {
        Self {
            psi,
            up: (-psi).exp(),
        }
    }

    #[inline]
    fn of(&self, charge: f64) -> f64 {
        if charge == 0.0 {
            1.0
        } else if charge == 1.0 {
            self.up
        } else if charge == -1.0 {
            1.0 / self.up
        } else if charge == 2.0 {
            self.up * self.up
        } else if charge == -2.0 {
            1.0 / (self.up * self.up)
        } else {
            (-charge * self.psi).exp()
        }
    }
}

/// What an element makes of its feed of ions; leak and bypass as in `element::pass`.
pub(crate) fn pass_ions(
    channel: &Channel,
    membrane: &Membrane<f64>,
    around: &Surroundings<f64>,
    ionic: &IonicFeed,
    feed: &IonicStream,
) -> IonicPassage {
    let count = ionic.classes.len();
    let segments = around.segments.max(1) as f64;
    let step = channel.length / segments;
    let (inertia, viscous) = channel.friction(&around.fluid);
    let (inertia, viscous) = (inertia * membrane.drop * step, viscous * membrane.drop * step);
    let area = channel.area / segments;
    let head = (feed.pressure - around.permeate_pressure).max(0.0);
    let leaked = (membrane.leak * head).min(0.9 * feed.flow);
    let leaked_share = leaked / feed.flow;
    let round_share = (1.0 - leaked_share) * membrane.bypass;
    let in_share = 1.0 - leaked_share - round_share;
    let mut flow = feed.flow * in_share;
    let mut amounts = feed.amounts.map(|a| a * in_share);
    let mut permeate = leaked;
    let mut permeate_amounts = feed.amounts.map(|a| a * leaked_share);
    let mut transfer = channel.transfer(&around.fluid) * membrane.transfer * flow.powf(TRANSFER_EXPONENT);
    let mut drop = 0.0;
    let (mut weighted, mut weight) = (0.0, 0.0);
    let mut wall = [0.0; MOST];
    let mut solved = Solved { flux: 0.0, psi: 0.0 };
    let mut before = solved;
    for i in 0..around.segments.max(1) {
        let segment = Segment {
            classes: &ionic.classes,
            osmotic: &ionic.osmotic,
            area,
            water: membrane.water,
            salt: membrane.salt,
            inertia,
            viscous,
            permeate_pressure: around.permeate_pressure,
            flow,
            pressure: feed.pressure - drop,
            transfer,
            amounts: &amounts,
        };
        let guess = Solved {
            flux: if i > 1 {
                2.0 * solved.flux - before.flux
            } else {
                solved.flux
            },
            psi: if i > 1 {
                2.0 * solved.psi - before.psi
            } else {
                solved.psi
            },
        };
        before = solved;
        solved = segment.solve(guess).unwrap_or(Solved { flux: 0.0, psi: 0.0 });
        let j = solved.flux;
        let l = (-j * area / flow).ln_1p();
        let middle = flow * (0.5 * l).exp();
        let to_middle = (0.5 * TRANSFER_EXPONENT * l).exp();
        let e = polarised(j / (transfer * to_middle), 0.0).0.exp();
        let factor = Boltzmann::at(solved.psi);
        drop += (inertia * middle + viscous) * middle;
        let out_flow = flow - j * area;
        permeate += j * area;
        let (mut at_wall, mut in_bulk) = (0.0, 0.0);
        for (((s, amount), passed), wall) in ionic
            .classes
            .iter()
            .zip(&mut amounts)
            .zip(&mut permeate_amounts)
            .zip(&mut wall)
        {
            let (t, polarisation) = if !s.solid() {
                (1.0, 1.0)
            } else {
                let b = membrane.salt * s.ratio * factor.of(s.charge);
                (b * e / (j + b * e), e * (j + b) / (j + b * e))
            };
            let through = -*amount * (t * l).exp_m1();
            *passed += through;
            *amount -= through;
            *wall = *amount / out_flow * polarisation;
            if s.solid() {
                at_wall += *wall;
                in_bulk += *amount / out_flow;
            }
        }
        flow = out_flow;
        transfer *= to_middle * to_middle;
        if in_bulk > 0.0 {
            weighted += j * at_wall / in_bulk;
            weight += j;
        }
    }
    for (amount, fed) in amounts.iter_mut().zip(feed.amounts).take(count) {
        *amount += fed * round_share;
    }
    IonicPassage {
        out: IonicStream {
            flow: flow + feed.flow * round_share,
            amounts,
            pressure: feed.pressure - drop,
        },
        permeate,
        permeate_amounts,
        drop,
        polarisation: if weight > 0.0 { weighted / weight } else { 1.0 },
        wall,
    }
}
