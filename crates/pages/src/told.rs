//! What the units of a ledger tell each other: how long filters lasted that have their lives behind them.

use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::Timestamp;
use ledger::State;
use reading::{Event, Reading};
use unit::Unit;
use water::Analysis;
use wear::History;
use wear::forecast::pool::{Ending, PastLife, PastLives};
use wear::forecast::{behind, past_lives, tellers};

use crate::memo::history;

/// What all units tell as of one day.
#[derive(Debug)]
pub(crate) struct Told {
    /// State of the ledger, and time, that they are of.
    pub(crate) ledger: u64,
    pub(crate) as_of: Timestamp,
    units: BTreeMap<String, Arc<One>>,
    /// Sum of all units' numbers.
    all: u64,
}

/// What one unit tells, and what it stands on: its history up to the last change.
#[derive(Debug)]
struct One {
    unit: Unit,
    water: Option<Analysis>,
    readings: Vec<Reading>,
    events: Vec<Event>,
    lives: PastLives,
    /// A number that changes with `lives`.
    number: u64,
}

impl One {
    fn of(history: &History<'_>, at: Timestamp) -> Self {
        let lives = past_lives(history, at);
        Self {
            unit: history.unit.clone(),
            water: history.water.cloned(),
            readings: history.readings.to_vec(),
            events: history.events.to_vec(),
            number: number(&lives),
            lives,
        }
    }

    fn stands_on(&self, history: &History<'_>) -> bool {
        self.unit == *history.unit
            && self.water.as_ref() == history.water
            && self.readings == history.readings
            && self.events == history.events
    }
}

impl Told {
    /// Of all units, taking over what was found before where it still stands on the same.
    pub(crate) fn of(state: &State, as_of: Timestamp, before: Option<&Self>) -> Self {
        let histories = state
            .unit_ids()
            .filter_map(|id| Some((id, history(state, id, as_of)?)));
        let mut units = BTreeMap::new();
        let mut all = 0_u64;
        for (id, history) in tellers(histories, as_of) {
            let Some((cut, at)) = behind(&history, as_of) else {
                continue;
            };
            let kept = before
                .and_then(|told| told.units.get(id))
                .filter(|one| one.stands_on(&cut));
            let one = kept.cloned().unwrap_or_else(|| Arc::new(One::of(&cut, at)));
            all = all.wrapping_add(one.number);
            units.insert(id.to_owned(), one);
        }
        Self {
            ledger: state.fingerprint(),
            as_of,
            units,
            all,
        }
    }

    /// A number that changes when what all others tell this unit does.
    pub(crate) fn others(&self, unit: &str) -> u64 {
        let own = self.units.get(unit).map_or(0, |one| one.number);
        self.all.wrapping_sub(own)
    }

    /// What all others tell this unit. Its own earlier lives are in its own readings.
    pub(crate) fn to(&self, unit: &str) -> PastLives {
        let mut lives = PastLives::default();
        for (id, one) in &self.units {
            if id != unit {
                lives.add(&one.lives);
            }
        }
        lives
    }
}

/// A number of some lives: FNV-1a over their bits (Fowler, Noll & Vo; from memory), 0 of none.
fn number(lives: &PastLives) -> u64 {
    if lives.is_empty() {
        return 0;
    }
    let mut hash = 0xCBF2_9CE4_8422_2325_u64;
    for (kind, all) in [&lives.filters, &lives.water, &lives.salt]
        .into_iter()
        .enumerate()
    {
        for life in all {
            let (ending, sd) = match life.ending {
                Ending::AtLimit => (0, 0.0),
                Ending::Before => (1, 0.0),
                Ending::Fitted(sd) => (2, sd),
            };
            let PastLife { length, severity, .. } = *life;
            let words = [
                kind as u64,
                ending,
                sd.to_bits(),
                length.to_bits(),
                severity.to_bits(),
            ];
            for byte in words.iter().flat_map(|word| word.to_le_bytes()) {
                hash = (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01B3);
            }
        }
    }
    hash
}
