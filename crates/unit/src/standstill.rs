//! What happens while no water is drawn: salt goes on diffusing, and the first litres carry it. (`model.md` 2.)

use crate::error::PredictError;
use crate::model::{Model, Setting};
use crate::parameters::Parameters;
use crate::rating::L_H;
use crate::workspace::Workspace;

/// Permeate held per membrane area, L/m2 (from memory; `model.md` 2).
pub const HELD_L_M2: f64 = 0.25;

/// The permeate side of a unit's membranes as one stirred volume.
///
/// ```text
/// standing:  dC/dt = B (C_f - C)/v          v = 0.25 L/m2
/// running:   dC/dt = Q_p (C_p - C)/(v area)
/// ```
///
/// B is the mean over the area. Both have closed solutions, so any time step is exact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standstill {
    /// Dissolved salt of the feed, mg/L: what the permeate side tends to while nothing is drawn.
    pub feed_mg_l: f64,
    /// Dissolved salt of the permeate once the unit has run, mg/L.
    pub permeate_mg_l: f64,
    /// Permeate flow while it runs, L/h.
    pub permeate_flow_l_h: f64,
    /// Volume of the permeate side, L.
    pub held_l: f64,
    /// Share of the difference to the feed that goes in an hour, 1/h.
    pub diffusion_1_h: f64,
}

impl Standstill {
    /// Of a unit at an operating point.
    pub fn of(
        model: &Model,
        parameters: &Parameters,
        setting: &Setting,
        workspace: &mut Workspace,
    ) -> Result<Self, PredictError> {
        let point = model.solve(parameters, setting, workspace)?;
        let (mut area, mut salt) = (0.0, 0.0);
        for (rated, membrane) in model.elements.iter().zip(&workspace.membranes) {
            area += rated.channel.area;
            salt += rated.channel.area * membrane.salt;
        }
        let held_l = HELD_L_M2 * area;
        Ok(Self {
            feed_mg_l: setting.feed_mg_l,
            permeate_mg_l: point.permeate_tds_mg_l,
            permeate_flow_l_h: point.permeate_flow_l_h,
            held_l,
            diffusion_1_h: salt * L_H / held_l,
        })
    }

    /// Concentration on the permeate side after standing, mg/L, from `start_mg_l`.
    pub fn after_standing(&self, start_mg_l: f64, hours: f64) -> f64 {
        self.feed_mg_l + (start_mg_l - self.feed_mg_l) * (-self.diffusion_1_h * hours.max(0.0)).exp()
    }

    /// Concentration of what comes out after `litres` of permeate since the start, mg/L, from `start_mg_l`.
    pub fn after_litres(&self, start_mg_l: f64, litres: f64) -> f64 {
        self.permeate_mg_l + (start_mg_l - self.permeate_mg_l) * (-litres.max(0.0) / self.held_l).exp()
    }

    /// Mean concentration of the first `litres` since the start, mg/L.
    pub fn mean_of_litres(&self, start_mg_l: f64, litres: f64) -> f64 {
        let x = litres.max(0.0) / self.held_l;
        if x < 1e-9 {
            return start_mg_l;
        }
        self.permeate_mg_l - (start_mg_l - self.permeate_mg_l) * (-x).exp_m1() / x
    }

    /// What a meter held into the permeate finds after the unit stood for `standing_hours` and then ran for
    /// `running_minutes`, mg/L.
    pub fn reading(&self, standing_hours: f64, running_minutes: f64) -> f64 {
        let start = self.after_standing(self.permeate_mg_l, standing_hours);
        self.after_litres(start, self.permeate_flow_l_h * running_minutes / 60.0)
    }

    /// Minutes of running until the permeate is within `share` of what it will be, after standing for `standing_hours`.
    pub fn minutes_to_settle(&self, standing_hours: f64, share: f64) -> f64 {
        let excess = self.after_standing(self.permeate_mg_l, standing_hours) - self.permeate_mg_l;
        let ratio = excess / (share.max(1e-9) * self.permeate_mg_l);
        if ratio <= 1.0 {
            return 0.0;
        }
        60.0 * ratio.ln() * self.held_l / self.permeate_flow_l_h
    }
}
