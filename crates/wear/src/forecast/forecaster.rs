//! A forecast that can be asked more than once.

use jiff::Timestamp;
use unit::StageKind;

use super::fan::{Fan, fans};
use super::posterior::Posterior;
use super::prior::Prior;
use super::{PartForecast, Scene, carbon, membranes, sediment};
use crate::lives::commissioned;
use crate::standardise::{History, Standardisation};

/// What the readings of one unit leave possible, as of one time: the answers are read from it.
pub struct Forecaster<'a> {
    history: History<'a>,
    as_of: Timestamp,
    start: Option<Timestamp>,
    prior: Prior,
    posterior: Posterior,
}

impl<'a> Forecaster<'a> {
    /// Fits a unit's history up to `as_of`; what came later is not looked at.
    pub fn new(
        history: &History<'a>,
        standardisation: &Standardisation,
        as_of: Timestamp,
        prior: &Prior,
    ) -> Self {
        let start = commissioned(history.unit, history.readings, history.events);
        Self {
            history: *history,
            as_of,
            start,
            prior: prior.clone(),
            posterior: Posterior::of(history, standardisation, as_of, start, prior),
        }
    }

    fn scene(&self) -> Scene<'_> {
        Scene {
            history: &self.history,
            as_of: self.as_of,
            start: self.start,
            prior: &self.prior,
            posterior: &self.posterior,
        }
    }

    /// The forecast of every part of the unit.
    pub fn parts(&self) -> Vec<PartForecast> {
        let scene = self.scene();
        let unit = self.history.unit;
        let mut parts = Vec::new();
        for (index, stage) in unit.stages.iter().enumerate() {
            let candidates = match &stage.kind {
                StageKind::Carbon { capacity, .. } => {
                    carbon::candidates(&scene, index, stage, capacity.as_ref())
                }
                StageKind::Pump { .. } => Vec::new(),
                _ => sediment::candidates(&scene, index, stage),
            };
            parts.push(scene.settle(&stage.id, candidates));
        }
        // The membranes are due together: what is found for one holds for all.
        let mut together = None;
        for element in &unit.membranes.elements {
            let first =
                together.get_or_insert_with(|| scene.settle(&element.id, membranes::candidates(&scene)));
            parts.push(scene.again(first, &element.id));
        }
        for polish in &unit.permeate.polish {
            let candidates = polish.age_limit_d.map(|limit| scene.by_age(&polish.id, limit));
            parts.push(scene.settle(&polish.id, candidates.into_iter().collect()));
        }
        parts
    }

    /// What each limited quantity will show in the days to come, if its part is left alone.
    pub fn fans(&self, until_d: f64) -> Vec<Fan> {
        fans(&self.scene(), until_d)
    }
}
