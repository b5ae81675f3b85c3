//! The whole verdict on one unit: its readings standardised, the change explained, its parts forecast, the
//! answer in words, and the picture of it. The command line and the pages say the same because both ask here.
//!
//! Architecture invariant: values in, values out; nothing is decided here that is not decided in `wear`.
#![deny(clippy::disallowed_methods)]

pub mod days;
pub mod picture;

use jiff::Timestamp;
use wear::explain::{Explanation, explain};
use wear::forecast::pool::PastLives;
use wear::forecast::{Fan, Forecaster, PartForecast, Prior};
use wear::verdict::{Verdict, verdict};
use wear::{History, Standardisation, standardise};

/// What a unit's history comes to at one time.
#[derive(Clone, Debug)]
pub struct Evaluation {
    /// The time that counted as now.
    pub as_of: Timestamp,
    /// The readings, standardised.
    pub standardisation: Standardisation,
    /// Where the litres went between the first sound reading of the membranes' life and the last; none
    /// where there are no two.
    pub explanation: Option<Explanation>,
    /// When each part is due, in flow order.
    pub parts: Vec<PartForecast>,
    /// The membranes' course ahead, for each limit on it.
    pub fans: Vec<Fan>,
    /// The answer in words.
    pub verdict: Verdict,
}

impl Evaluation {
    /// Evaluates a history, with what the parts of other units did in lives that they have behind them: a ledger's, or none.
    /// The same history, time and lives give the same evaluation.
    pub fn of(history: &History<'_>, as_of: Timestamp, others: &PastLives) -> Self {
        let standardisation = standardise(history);
        let explanation = standardisation.last_sound().and_then(|(last, one)| {
            let baseline = standardisation.baseline_reading(one.life)?;
            explain(history, &standardisation, baseline, last).ok()
        });
        let forecaster = Forecaster::new(
            history,
            &standardisation,
            as_of,
            &Prior::of(history.unit, history.water, others),
        );
        let parts = forecaster.parts();
        let fans = forecaster.fans(picture::ahead_d(history, &parts));
        let verdict = verdict(history, &standardisation, explanation.as_ref(), &parts, as_of);
        Self {
            as_of,
            standardisation,
            explanation,
            parts,
            fans,
            verdict,
        }
    }

    /// The standardised history as SVG.
    pub fn picture(&self, history: &History<'_>, words: &picture::Words<'_>) -> String {
        picture::history(history, self, words)
    }
}
