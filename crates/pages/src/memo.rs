//! What was evaluated stays evaluated until something changes.
//!
//! Evaluating a unit takes some fifty milliseconds and a page has fifteen. The shell owns one [`Memo`] beside its state,
//! hands it to every request, and calls [`Memo::warm`] while nothing else is to be done.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};

use evaluation::Evaluation;
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use ledger::State;
use water::Analysis;
use wear::History;
use wear::forecast::PartForecast;
use wear::verdict::Verdict;

use crate::chemistry::{self, Chemistry};
use crate::expected::{self, Expected};
use crate::kept::Answers;
use crate::told::Told;

/// How many whole evaluations are kept; of all other units only what the first page says of them.
const WHOLE: usize = 64;

/// Evaluations that were made, by unit. Shared by all threads of a shell; none waits for another's evaluation.
#[derive(Debug, Default)]
pub struct Memo {
    kept: Mutex<Kept>,
    /// Answers that are given again as they are.
    pub(crate) answers: Answers,
}

#[derive(Debug, Default)]
struct Kept {
    units: BTreeMap<String, Remembered>,
    /// What the units tell each other.
    told: Option<Arc<Told>>,
    /// Grows with each use; the evaluation that was used longest ago is dropped first.
    uses: u64,
    /// Grows whenever another digest is known.
    digests: u64,
}

#[derive(Debug)]
struct Remembered {
    key: Key,
    digest: Arc<Digest>,
    whole: Option<Arc<Whole>>,
    used: u64,
}

/// All that is computed of a unit.
#[derive(Debug)]
pub(crate) struct Whole {
    /// The evaluation.
    pub(crate) evaluation: Evaluation,
    expected: OnceLock<Option<Expected>>,
    chemistry: OnceLock<Option<Chemistry>>,
}

impl Whole {
    /// What the model says stands at each point.
    pub(crate) fn expected(&self, history: &History<'_>) -> Option<&Expected> {
        let make = || expected::of(history, &self.evaluation);
        self.expected.get_or_init(make).as_ref()
    }

    /// What the feed's analysis comes to; none where there is none.
    pub(crate) fn chemistry(&self, history: &History<'_>) -> Option<&Chemistry> {
        self.chemistry.get_or_init(|| chemistry::of(history)).as_ref()
    }
}

/// What an evaluation is a function of.
#[derive(Clone, Debug, PartialEq)]
struct Key {
    history: u64,
    water: Option<Analysis>,
    day: Date,
    /// What other units tell.
    others: u64,
}

/// What the first page says of a unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Digest {
    /// The verdict in words.
    pub verdict: Verdict,
    /// When each part is due.
    pub parts: Vec<PartForecast>,
    /// The time that counted as now.
    pub as_of: Timestamp,
    /// How many of its readings are in doubt.
    pub doubtful: usize,
}

/// The end of this day, UTC: all evaluations of a day are made as of it, so that they are the same whoever asks when.
pub(crate) fn end_of_day(now: Timestamp) -> Timestamp {
    let date = TimeZone::UTC.to_datetime(now).date();
    TimeZone::UTC.to_timestamp(date.at(23, 59, 59, 0)).unwrap_or(now)
}

/// Unit and feed as they stand, with what was read and done by the end of the day; none where the unit was never described.
pub(crate) fn history<'a>(state: &'a State, unit: &str, as_of: Timestamp) -> Option<History<'a>> {
    let known = state.unit(unit)?;
    Some(History {
        unit: known.unit()?,
        water: state.water_at(unit, as_of),
        readings: known.readings_until(as_of),
        events: known.events_until(as_of),
    })
}

impl Memo {
    /// Nothing evaluated yet.
    pub fn new() -> Self {
        Self::default()
    }

    fn kept(&self) -> MutexGuard<'_, Kept> {
        // The map is whole between any two statements of this module, also where a thread died that held it.
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// What the units of a ledger tell each other as of this day: worked out once for each state of the ledger, and only of
    /// units that have changed.
    fn told(&self, state: &State, now: Timestamp) -> Arc<Told> {
        let (as_of, ledger) = (end_of_day(now), state.fingerprint());
        let before = self.kept().told.clone();
        if let Some(told) = &before
            && (told.ledger, told.as_of) == (ledger, as_of)
        {
            return Arc::clone(told);
        }
        // Away from the lock: nobody waits for it, and who asks at the same time finds the same.
        let told = Arc::new(Told::of(state, as_of, before.as_deref()));
        self.kept().told = Some(Arc::clone(&told));
        told
    }

    fn key(&self, state: &State, unit: &str, now: Timestamp) -> Option<Key> {
        let as_of = end_of_day(now);
        Some(Key {
            history: state.unit(unit)?.fingerprint(),
            water: state.water_at(unit, as_of).cloned(),
            day: TimeZone::UTC.to_datetime(as_of).date(),
            others: self.told(state, now).others(unit),
        })
    }

    /// Grows whenever something else is known of a unit than before: what [`Memo::digest`] says is the same while it stays.
    pub(crate) fn digests(&self) -> u64 {
        self.kept().digests
    }

    /// The evaluation of a unit as of this day; none where the unit was never described.
    pub(crate) fn whole(&self, state: &State, unit: &str, now: Timestamp) -> Option<Arc<Whole>> {
        let key = self.key(state, unit, now)?;
        {
            let mut kept = self.kept();
            kept.uses += 1;
            let uses = kept.uses;
            if let Some(found) = kept.units.get_mut(unit).filter(|found| found.key == key)
                && let Some(whole) = &found.whole
            {
                found.used = uses;
                return Some(Arc::clone(whole));
            }
        }
        let as_of = end_of_day(now);
        let others = self.told(state, now).to(unit);
        let whole = Arc::new(Whole {
            evaluation: Evaluation::of(&history(state, unit, as_of)?, as_of, &others),
            expected: OnceLock::new(),
            chemistry: OnceLock::new(),
        });
        self.kept().keep(unit, key, &whole);
        Some(whole)
    }

    /// What is known of a unit without evaluating it, and whether it still holds.
    pub fn digest(&self, state: &State, unit: &str, now: Timestamp) -> Option<(Arc<Digest>, bool)> {
        // Nothing is worked out for a unit of which nothing is kept: the first page is answered before all are read.
        self.kept().units.get(unit)?;
        let key = self.key(state, unit, now)?;
        let kept = self.kept();
        let found = kept.units.get(unit)?;
        Some((Arc::clone(&found.digest), found.key == key))
    }

    /// Evaluates the first unit whose evaluation is missing or no longer holds, and says how many are left: the shell calls
    /// it, away from any request, after each change and at the start of each day, until it says 0.
    pub fn warm(&self, state: &State, now: Timestamp) -> usize {
        let stale: Vec<&str> = in_service(state)
            .filter(|unit| self.digest(state, unit, now).is_none_or(|(_, holds)| !holds))
            .collect();
        if let Some(unit) = stale.first() {
            let whole = self.whole(state, unit, now);
            if let Some((whole, history)) = whole.zip(history(state, unit, end_of_day(now))) {
                whole.expected(&history);
                whole.chemistry(&history);
            }
        }
        stale.len().saturating_sub(1)
    }
}

/// The units that stand somewhere in service: described and not retired.
pub(crate) fn in_service(state: &State) -> impl Iterator<Item = &str> {
    state.unit_ids().filter(|id| {
        state
            .unit(id)
            .is_some_and(|known| known.unit().is_some() && known.retired.is_none())
    })
}

impl Kept {
    fn keep(&mut self, unit: &str, key: Key, whole: &Arc<Whole>) {
        let evaluation = &whole.evaluation;
        let doubts = evaluation.standardisation.readings.iter();
        let digest = Arc::new(Digest {
            verdict: evaluation.verdict.clone(),
            parts: evaluation.parts.clone(),
            as_of: evaluation.as_of,
            doubtful: doubts.filter(|one| !one.doubts.is_empty()).count(),
        });
        let whole = Some(Arc::clone(whole));
        let used = self.uses;
        // An evaluation is a function of its key.
        if self.units.get(unit).is_none_or(|before| before.key != key) {
            self.digests += 1;
        }
        let remembered = Remembered {
            key,
            digest,
            whole,
            used,
        };
        self.units.insert(unit.to_owned(), remembered);
        let whole = self.units.values().filter(|kept| kept.whole.is_some());
        if whole.count() > WHOLE {
            let longest_ago = self.units.values_mut().filter(|kept| kept.whole.is_some());
            if let Some(oldest) = longest_ago.min_by_key(|kept| kept.used) {
                oldest.whole = None;
            }
        }
    }
}
