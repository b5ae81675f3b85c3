//! What stands before and after the membranes: stages, pump, regulator, restrictor. (`model.md` 3.)

use crate::parameters::StageSort;
use crate::plan::{Restrictor, RestrictorKind, Stage, StageKind};
use crate::rating::{KPA, L_H};

/// Standard gravity, m/s2.
pub(crate) const GRAVITY: f64 = 9.806_65;

/// A stage as the water feels it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum StageLaw {
    /// dP = resistance Q mu(T)/mu(25 C), Pa s/m3.
    Drop { resistance: f64 },
    /// dP = -shutoff (1 - Q/open), not above 0; Pa and m3/s.
    Pump { shutoff: f64, open: f64 },
    /// The pressure behind it is at most this, Pa.
    Regulator { set: f64 },
}

impl StageLaw {
    pub(crate) fn of(stage: &Stage) -> Self {
        match stage.kind {
            StageKind::Pump {
                open_flow_l_h,
                shutoff_kpa,
            } => Self::Pump {
                shutoff: shutoff_kpa * KPA,
                open: open_flow_l_h / L_H,
            },
            StageKind::Regulator { set_kpa } => Self::Regulator { set: set_kpa * KPA },
            _ => Self::Drop {
                resistance: stage
                    .clean_drop
                    .map_or(0.0, |drop| drop.pressure_kpa * KPA / (drop.flow_l_h / L_H)),
            },
        }
    }

    pub(crate) fn sort(&self) -> StageSort {
        match self {
            Self::Drop { .. } => StageSort::Drop,
            Self::Pump { .. } => StageSort::Pump,
            Self::Regulator { .. } => StageSort::Regulator,
        }
    }

    /// Pressure behind the stage and its derivatives.
    #[inline]
    pub(crate) fn behind(
        &self,
        pressure: f64,
        flow: f64,
        relative_viscosity: f64,
        values: [f64; 2],
    ) -> Behind {
        match *self {
            Self::Drop { resistance } => {
                let r = resistance * values[0].exp();
                let drop = r * relative_viscosity * flow;
                Behind {
                    pressure: pressure - drop,
                    by_pressure: 1.0,
                    by_flow: -r * relative_viscosity,
                    by_viscosity: -r * flow,
                    by_value: [-drop, 0.0],
                }
            }
            Self::Pump { shutoff, open } => {
                let (shutoff, open) = (shutoff * values[0].exp(), open * values[1].exp());
                let added = shutoff * (1.0 - flow / open);
                if added > 0.0 {
                    Behind {
                        pressure: pressure + added,
                        by_pressure: 1.0,
                        by_flow: -shutoff / open,
                        by_viscosity: 0.0,
                        by_value: [added, shutoff * flow / open],
                    }
                } else {
                    Behind::open(pressure)
                }
            }
            Self::Regulator { set } => {
                let set = set * values[0].exp();
                if pressure > set {
                    Behind {
                        pressure: set,
                        by_pressure: 0.0,
                        by_flow: 0.0,
                        by_viscosity: 0.0,
                        by_value: [set, 0.0],
                    }
                } else {
                    Behind::open(pressure)
                }
            }
        }
    }
}

/// Pressure behind a stage and its derivatives by the pressure before it, the flow, the relative viscosity and the
/// stage's own values.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Behind {
    pub(crate) pressure: f64,
    pub(crate) by_pressure: f64,
    pub(crate) by_flow: f64,
    pub(crate) by_viscosity: f64,
    pub(crate) by_value: [f64; 2],
}

impl Behind {
    fn open(pressure: f64) -> Self {
        Self {
            pressure,
            by_pressure: 1.0,
            by_flow: 0.0,
            by_viscosity: 0.0,
            by_value: [0.0, 0.0],
        }
    }
}

/// Exponents n and m of a restrictor's law `Q = Q_r (dP/P_r)^n (mu(25 C)/mu(T))^m`.
///
/// A capillary at these flows is turbulent (Blasius, f ~ Re^-1/4): n = 4/7, m = 1/7. An orifice: n = 1/2, m = 0. A stated
/// exponent n brings m = 2n - 1, which is what dimensional analysis asks of any tube law.
pub(crate) fn exponents(restrictor: &Restrictor) -> (f64, f64) {
    match (restrictor.exponent, restrictor.kind) {
        (Some(n), _) => (n, 2.0 * n - 1.0),
        (None, RestrictorKind::Capillary) => (4.0 / 7.0, 1.0 / 7.0),
        (None, RestrictorKind::Orifice) => (0.5, 0.0),
    }
}

/// The restrictor as it is today and at today's viscosity: `Q = flow (p/at)^n`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RestrictorLaw {
    /// Flow at `at`, m3/s.
    pub(crate) flow: f64,
    /// Pa.
    pub(crate) at: f64,
    pub(crate) exponent: f64,
}

impl RestrictorLaw {
    /// Flow to drain at this pressure before the restrictor, m3/s, and its derivative. None flows backwards.
    pub(crate) fn flow(&self, pressure: f64) -> (f64, f64) {
        if pressure <= 0.0 {
            return (0.0, 0.0);
        }
        let q = self.flow * (pressure / self.at).powf(self.exponent);
        (q, self.exponent * q / pressure)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use water::properties::viscosity_pa_s;

    #[test]
    fn val_turbulent_fine_tube() {
        // `reference/check-values.md` 12.13: Q/Q_r at x = dP/P_r and T; tolerance: the digits printed there.
        let law = |t: f64| {
            let restrictor = Restrictor {
                flow_l_h: 54.0,
                at_kpa: 414.0,
                kind: RestrictorKind::Capillary,
                exponent: None,
            };
            let (n, m) = exponents(&restrictor);
            RestrictorLaw {
                flow: (viscosity_pa_s(25.0) / viscosity_pa_s(t)).powf(m),
                at: 1.0,
                exponent: n,
            }
        };
        for (x, t, ratio) in [
            (0.5, 25.0, 0.672_950),
            (0.8, 25.0, 0.880_284),
            (1.2, 25.0, 1.109_804),
            (1.0, 5.0, 0.926_543),
            (1.0, 15.0, 0.965_549),
            (1.0, 35.0, 1.030_924),
        ] {
            // 2e-5: the table's viscosity is IAPWS R12-08, ours SR6-08 (5e-4 apart, to the power 1/7).
            assert!(
                (law(t).flow(x).0 - ratio).abs() < 2e-5,
                "{x} {t}: {}",
                law(t).flow(x).0
            );
        }
    }

    #[test]
    fn val_orifice_by_its_area() {
        // `reference/check-values.md` 12.08: Cd 0.61, 1 mm, 5 bar, 25 C give 0.910360 L/min; a restrictor stated by
        // that flow at 5 bar must follow the same root law at 2 bar.
        let at = |bar: f64| {
            0.61 * std::f64::consts::PI / 4.0 * 1e-6 * (2.0 * bar * 1e5 / 997.047_6_f64).sqrt() * 6e4
        };
        assert!((at(5.0) - 0.910_360).abs() < 1e-5);
        let restrictor = Restrictor {
            flow_l_h: 0.910_360 * 60.0,
            at_kpa: 500.0,
            kind: RestrictorKind::Orifice,
            exponent: None,
        };
        let (n, m) = exponents(&restrictor);
        let law = RestrictorLaw {
            flow: restrictor.flow_l_h,
            at: 5e5,
            exponent: n,
        };
        assert!(m == 0.0);
        // The six digits of the stated flow.
        assert!((law.flow(2e5).0 / 60.0 / at(2.0) - 1.0).abs() < 2e-6);
    }
}
