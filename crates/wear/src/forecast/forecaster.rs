//! A forecast that can be asked more than once.

use jiff::Timestamp;
use reading::Reading;
use unit::StageKind;

use super::fan::{Fan, fans};
use super::fitted::Fitted;
use super::posterior::Posterior;
use super::prior::Prior;
use super::{PartForecast, Scene, carbon, membranes, resin, sediment};
use crate::lives::{commissioned, days};
use crate::standardise::{History, Standardisation};

/// Readings that are added one by one before all are looked at again.
const MOST_ADDED: usize = 8;
/// Days after a fit until which readings are added to it.
const LATEST_D: f64 = 60.0;

/// What the readings of one unit leave possible, as of one time: the answers are read from it.
pub struct Forecaster<'a> {
    history: History<'a>,
    as_of: Timestamp,
    start: Option<Timestamp>,
    prior: Prior,
    fitted: Fitted,
    posterior: Posterior,
    /// When the days of the fit are counted from, and how many readings were added to it since.
    origin: Timestamp,
    added: usize,
    /// How many doubts there were of the readings that went in.
    doubts: usize,
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
        let fitted = Fitted::of(history, standardisation, as_of, start, prior);
        let posterior = Posterior::of(&fitted, 0.0, fitted.clock.clone());
        Self {
            history: *history,
            as_of,
            start,
            prior: prior.clone(),
            posterior,
            fitted,
            origin: as_of,
            added: 0,
            doubts: doubts(standardisation, history.readings.len()),
        }
    }

    /// The same unit after one more reading: `history` is the one that was fitted with that reading at its end, and
    /// `as_of` not before it.
    ///
    /// What was known is kept and the reading added to it, at a small part of the work. The answer is that of
    /// [`Self::new`] to within three tenths of the spread from p10 to p90 that it tells, mostly within a tenth. Where it might not be (another event or an
    /// earlier reading in between, a reading at odds with the rest or with its slip mended, a long step, much added
    /// already), all readings are fitted anew.
    #[must_use]
    pub fn with_reading<'b>(
        &self,
        history: &History<'b>,
        standardisation: &Standardisation,
        as_of: Timestamp,
    ) -> Forecaster<'b> {
        self.go_on(history, standardisation, as_of)
            .unwrap_or_else(|| Forecaster::new(history, standardisation, as_of, &self.prior))
    }

    /// None where all readings are to be fitted anew.
    fn go_on<'b>(
        &self,
        history: &History<'b>,
        standardisation: &Standardisation,
        as_of: Timestamp,
    ) -> Option<Forecaster<'b>> {
        let before = self.history.readings.len();
        let (reading, told) = (
            history.readings.get(before)?,
            standardisation.readings.get(before)?,
        );
        let newest = self.history.readings.last();
        let same = history.readings.len() == before + 1
            && history.unit == self.history.unit
            && history.events == self.history.events
            && alike(history.readings.get(..before)?, self.history.readings)
            && newest.is_none_or(|newest| newest.at <= reading.at && newest.at <= self.as_of)
            && self.as_of <= reading.at
            && reading.at <= as_of
            && told.doubts.is_empty()
            && doubts(standardisation, before) == self.doubts
            && history.events.last().is_none_or(|event| event.at <= self.as_of);
        let now_d = days(self.origin, as_of);
        let enough = self.added < MOST_ADDED && now_d < LATEST_D && before >= MOST_ADDED;
        if !(same && enough) {
            return None;
        }
        let mut fitted = self.fitted.clone();
        fitted.add(
            history.unit,
            standardisation,
            reading,
            days(self.origin, reading.at),
        )?;
        let clock = fitted.clock_at(history, as_of);
        let posterior = Posterior::of(&fitted, now_d, clock);
        Some(Forecaster {
            history: *history,
            as_of,
            start: self.start,
            prior: self.prior.clone(),
            fitted,
            posterior,
            origin: self.origin,
            added: self.added + 1,
            doubts: self.doubts,
        })
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
            parts.push(scene.settle(&polish.id, resin::candidates(&scene, polish)));
        }
        parts
    }

    /// How many readings were added since all were last looked at.
    pub fn added(&self) -> usize {
        self.added
    }

    /// Litres of permeate that the unit makes in a usual day.
    pub fn usual_l_d(&self) -> f64 {
        self.posterior.clock.usual_l_d
    }

    /// What each limited quantity will show in the days to come, if its part is left alone.
    pub fn fans(&self, until_d: f64) -> Vec<Fan> {
        fans(&self.scene(), until_d)
    }
}

/// Whether they are the same readings; where they stand at the same place they need not be looked at.
fn alike(a: &[Reading], b: &[Reading]) -> bool {
    std::ptr::eq(a, b) || a == b
}

/// Doubts of the first readings.
fn doubts(standardisation: &Standardisation, readings: usize) -> usize {
    let first = standardisation.readings.iter().take(readings);
    first.map(|one| one.doubts.len()).sum()
}
