//! The permeate tank: how much it holds, at what pressure, and when the unit stops. (`model.md` 3.)

use crate::accepted::Accepted;
use crate::error::PredictError;
use crate::plan::{Shutoff, TankKind, Unit};
use crate::steady::SHUTOFF_SHARE;

/// One standard atmosphere, kPa.
pub const ATMOSPHERE_KPA: f64 = 101.325;

/// Share of the feed pressure at which a pressure shut-off opens again (common practice, no source).
const REOPEN_SHARE: f64 = 0.5;

/// A tank with its shut-off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TankLaw {
    /// Whole volume, L.
    pub volume_l: f64,
    /// Air pressure when empty of water, kPa; none for an open tank.
    pub precharge_kpa: Option<f64>,
    /// What stops the unit.
    pub shutoff: Shutoff,
    /// Litres between the float's stop and its start.
    pub float_band_l: f64,
}

impl TankLaw {
    /// The tank of a unit. `float_band_l`: litres between the float's stop and start.
    ///
    /// # Errors
    ///
    /// `unit.permeate.tank` where there is none or its volume is not stated.
    pub fn of(unit: &Unit, float_band_l: f64) -> Result<Self, PredictError> {
        let volume = unit.permeate.tank.and_then(|tank| tank.volume_l);
        let Some((tank, volume_l)) = unit
            .permeate
            .tank
            .zip(volume)
            .filter(|(_, v)| *v > 0.0 && *v < 1e7)
        else {
            return Err(PredictError::Input {
                field: "unit.permeate.tank.volume".to_owned(),
                read: volume.unwrap_or(0.0),
                accepted: Accepted::Tank,
            });
        };
        let precharge_kpa = match tank.kind {
            TankKind::Open => None,
            TankKind::Pressurised { precharge_kpa } => Some(precharge_kpa),
        };
        if let Some(precharge) = precharge_kpa
            && !(0.0..=1e4).contains(&precharge)
        {
            return Err(PredictError::Input {
                field: "unit.permeate.tank.precharge".to_owned(),
                read: precharge,
                accepted: Accepted::TankPressure,
            });
        }
        Ok(Self {
            volume_l,
            precharge_kpa,
            shutoff: unit.permeate.shutoff,
            float_band_l: float_band_l.clamp(0.0, volume_l),
        })
    }

    /// Permeate pressure with `water_l` in it, kPa: `(P_0 + P_atm) V_t/(V_t - V) - P_atm` (Boyle), 0 for an open tank.
    pub fn pressure_kpa(&self, water_l: f64) -> f64 {
        match self.precharge_kpa {
            None => 0.0,
            Some(precharge) => {
                let air = (self.volume_l - water_l.max(0.0)).max(1e-6 * self.volume_l);
                (precharge + ATMOSPHERE_KPA) * self.volume_l / air - ATMOSPHERE_KPA
            }
        }
    }

    /// Water in it at a pressure, L; nothing below the precharge.
    pub fn water_at_l(&self, pressure_kpa: f64) -> f64 {
        match self.precharge_kpa {
            None => self.volume_l,
            Some(precharge) => {
                let filled =
                    self.volume_l * (1.0 - (precharge + ATMOSPHERE_KPA) / (pressure_kpa + ATMOSPHERE_KPA));
                filled.clamp(0.0, self.volume_l)
            }
        }
    }

    /// Water at which the unit stops, and at which it starts again, L, for a feed pressure at the shut-off.
    pub fn stop_and_start_l(&self, feed_pressure_kpa: f64) -> (f64, f64) {
        match self.shutoff {
            Shutoff::Pressure => (
                self.water_at_l(SHUTOFF_SHARE * feed_pressure_kpa),
                self.water_at_l(REOPEN_SHARE * feed_pressure_kpa),
            ),
            // Without a shut-off a full tank overflows and the unit runs on.
            Shutoff::Float | Shutoff::None => (self.volume_l, self.volume_l - self.float_band_l),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_bladder_tank() {
        // `reference/check-values.md` 12.11: 11 L, precharge 0.5 bar, to 2.8 bar: 6.634760 L; with 5 L 1.761042 bar.
        let tank = TankLaw {
            volume_l: 11.0,
            precharge_kpa: Some(50.0),
            shutoff: Shutoff::Pressure,
            float_band_l: 0.0,
        };
        // 1e-6: the tolerance stated there.
        assert!((tank.water_at_l(280.0) - 6.634_760).abs() < 1e-6 * 6.6);
        assert!((tank.pressure_kpa(5.0) - 176.104_2).abs() < 1e-4);
        // Back and forth, and the shut-off at 2/3 of 420 kPa is that very 280 kPa.
        assert!((tank.pressure_kpa(tank.water_at_l(233.0)) - 233.0).abs() < 1e-9);
        assert!((tank.stop_and_start_l(420.0).0 - tank.water_at_l(280.0)).abs() < 1e-9);
    }
}
