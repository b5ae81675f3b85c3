//! Answers that are given again as they are while nothing changes that they are made from.
//!
//! An answer is a function of the entries, the day, what was evaluated of the units, the address, and who asks where in which
//! language. All of that is in the key. What looks at anything else (the time of day, the device, random bytes) goes through
//! [`crate::frame::ask::Ask`], which says so, and is never kept.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use jiff::civil::Date;
use jiff::tz::TimeZone;
use ledger::State;

use crate::{Circumstances, Method, Place, Request, Response};

/// The most that is kept, in bytes of answers and addresses.
const MOST_BYTES: usize = 8_000_000;
/// What an answer takes beside its body and its address: headers, the map's own.
const BESIDE: usize = 1_000;

/// What all answers that are kept were made from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Ground {
    entries: u64,
    /// Grows whenever another evaluation is known.
    pub(crate) evaluated: u64,
    day: Date,
}

impl Ground {
    pub(crate) fn new(state: &State, evaluated: u64, circumstances: &Circumstances<'_>) -> Self {
        Self {
            entries: state.fingerprint(),
            evaluated,
            day: TimeZone::UTC.to_datetime(circumstances.now).date(),
        }
    }
}

/// What is asked, and who asks where in which language.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Key {
    path: String,
    query: String,
    accept_language: String,
    person: String,
    /// Entries in the outbox; none on the server.
    waiting: Option<usize>,
}

impl Key {
    /// None for what writes.
    pub(crate) fn new(request: &Request<'_>, circumstances: &Circumstances<'_>) -> Option<Self> {
        (request.method == Method::Get).then(|| Self {
            path: request.path.to_owned(),
            query: request.query.to_owned(),
            accept_language: request.accept_language.to_owned(),
            person: circumstances.person.to_owned(),
            waiting: match circumstances.place {
                Place::Server => None,
                Place::Field { waiting } => Some(waiting),
            },
        })
    }

    fn bytes(&self) -> usize {
        self.path.len() + self.query.len() + self.accept_language.len() + self.person.len()
    }
}

/// Answers by what is asked, all of them made from one ground.
#[derive(Debug, Default)]
pub(crate) struct Answers {
    kept: Mutex<Kept>,
}

#[derive(Debug, Default)]
struct Kept {
    ground: Option<Ground>,
    answers: BTreeMap<Key, Answer>,
    bytes: usize,
    /// Grows with each use; the answer that was given longest ago is dropped first.
    uses: u64,
}

#[derive(Debug)]
struct Answer {
    response: Arc<Response>,
    bytes: usize,
    used: u64,
}

impl Answers {
    fn kept(&self) -> MutexGuard<'_, Kept> {
        // Each statement under this lock leaves the map whole.
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The answer that was given to this before, if it still holds.
    pub(crate) fn find(&self, ground: Ground, key: &Key) -> Option<Arc<Response>> {
        let mut kept = self.kept();
        if kept.ground != Some(ground) {
            return None;
        }
        kept.uses += 1;
        let uses = kept.uses;
        let found = kept.answers.get_mut(key)?;
        found.used = uses;
        Some(Arc::clone(&found.response))
    }

    /// Keeps an answer that was made from this ground.
    pub(crate) fn keep(&self, ground: Ground, key: Key, response: &Response) {
        let bytes = key.bytes() + response.body.len() + BESIDE;
        if bytes > MOST_BYTES / 4 {
            return;
        }
        let mut kept = self.kept();
        if kept.ground != Some(ground) {
            *kept = Kept {
                ground: Some(ground),
                ..Kept::default()
            };
        }
        while kept.bytes + bytes > MOST_BYTES {
            let oldest = kept.answers.iter().min_by_key(|(_, answer)| answer.used);
            let Some(oldest) = oldest.map(|(key, _)| key.clone()) else {
                break;
            };
            if let Some(dropped) = kept.answers.remove(&oldest) {
                kept.bytes = kept.bytes.saturating_sub(dropped.bytes);
            }
        }
        kept.uses += 1;
        let answer = Answer {
            response: Arc::new(response.clone()),
            bytes,
            used: kept.uses,
        };
        kept.bytes += bytes;
        if let Some(before) = kept.answers.insert(key, answer) {
            kept.bytes = kept.bytes.saturating_sub(before.bytes);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Answers, BESIDE, Ground, Key, MOST_BYTES};
    use crate::Response;

    fn key(number: usize) -> Key {
        Key {
            path: format!("/{number}"),
            query: String::new(),
            accept_language: String::new(),
            person: String::new(),
            waiting: None,
        }
    }

    #[test]
    fn regress_what_is_kept_is_bounded_and_the_oldest_goes_first() {
        let answers = Answers::default();
        let ground = Ground {
            entries: 1,
            evaluated: 1,
            day: jiff::civil::date(2026, 11, 20),
        };
        let page = Response::page(200, "x".repeat(99_000));
        for number in 0..500 {
            answers.keep(ground, key(number), &page);
            // The first is asked for all the time.
            assert!(answers.find(ground, &key(0)).is_some(), "{number}");
        }
        let kept = answers.kept();
        let summed: usize = kept.answers.values().map(|answer| answer.bytes).sum();
        assert_eq!(kept.bytes, summed);
        assert!(summed <= MOST_BYTES && summed > MOST_BYTES - 2 * (99_000 + BESIDE));
        assert!(kept.answers.contains_key(&key(499)) && !kept.answers.contains_key(&key(1)));
        drop(kept);

        let large = Response::page(200, "x".repeat(MOST_BYTES / 2));
        answers.keep(ground, key(1_000), &large);
        assert!(answers.find(ground, &key(1_000)).is_none());
        let other = Ground {
            evaluated: 2,
            ..ground
        };
        assert!(answers.find(other, &key(0)).is_none());
        answers.keep(other, key(3), &page);
        assert!(answers.find(ground, &key(0)).is_none() && answers.find(other, &key(3)).is_some());
    }
}
