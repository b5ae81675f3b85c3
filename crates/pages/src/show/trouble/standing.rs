//! The interview behind the page: the unit with its history, forecast and feed, as the command line would look at them.

use std::cell::RefCell;

use account::Account;
use fault::interview::{InterviewError, Opens, Standing, interview_where};
use fault::{Case, Figure, Known};
use jiff::Timestamp;
use reading::Reading;
use service::{Language, Reach, SafeWay, safe_way};
use unit::Unit;
use wear::History;

use super::asked::{Asked, now};
use crate::frame::ask::Ask;
use crate::memo::{end_of_day, history};
use crate::show::work;

/// What an interview is about.
pub(super) struct Interview<'a> {
    unit: &'a Unit,
    history: Option<History<'a>>,
    known: Known,
    /// What it begins with.
    pub(super) reading: Reading,
    language: Language,
    ways: RefCell<Vec<(Opens, Option<SafeWay>)>>,
}

impl<'a> Interview<'a> {
    /// An interview with what is known of its unit.
    pub(super) fn of(ask: &Ask<'a>, unit: &'a Unit, asked: &Asked) -> Self {
        let at = asked.at.unwrap_or_else(|| now(ask));
        let begun = asked.from.and_then(|from| {
            let known = ask.state.unit(&unit.id)?;
            let place = known.reading_origins().iter().position(|one| one.entry == from)?;
            known.readings().get(place).cloned()
        });
        let whole = ask.memo.whole(ask.state, &unit.id, ask.now());
        let parts = whole.iter().flat_map(|whole| &whole.evaluation.parts);
        Self {
            unit,
            history: history(ask.state, &unit.id, end_of_day(ask.now())),
            known: Known {
                used_fraction: parts
                    .filter_map(|part| Some((part.id.clone(), part.used_fraction?.p50)))
                    .collect(),
            },
            reading: begun.unwrap_or_else(|| Reading::new(at)),
            language: work::language(ask),
            ways: RefCell::new(Vec::new()),
        }
    }

    /// Readings before this one: it is no history of itself, and neither is what was kept of this interview.
    fn before(&self, at: Timestamp) -> &[Reading] {
        let readings = self.history.as_ref().map_or(&[][..], |history| history.readings);
        readings
            .get(..readings.partition_point(|one| one.at < at))
            .unwrap_or_default()
    }

    /// Where it stands after these answers.
    pub(super) fn standing(&self, asked: &Asked) -> Result<Standing, InterviewError> {
        interview_where(&self.case(), &self.known, &asked.answers(), |opens| {
            // Permeate may be sampled without taking anything off; for all else a safe way there has to be.
            matches!(opens, Opens::ElementPermeate(_)) || self.has_way(opens)
        })
    }

    /// How a figure of it was computed; none where it has no such figure.
    pub(super) fn accounts(
        &self,
        asked: &Asked,
        figure: Figure<'_>,
    ) -> Result<Option<Vec<Account>>, InterviewError> {
        fault::accounts(&self.case(), &self.known, &asked.answers(), figure)
    }

    fn case(&self) -> Case<'_> {
        Case {
            unit: self.unit,
            water: self.history.as_ref().and_then(|history| history.water),
            reading: &self.reading,
            baseline: None,
            readings: self.before(self.reading.at),
            events: self.history.as_ref().map_or(&[][..], |history| history.events),
        }
    }

    fn has_way(&self, opens: &Opens) -> bool {
        self.with_way(opens, |way| way.is_some())
    }

    /// The safe way to what a test has to open; each is planned once.
    pub(super) fn with_way<T>(&self, opens: &Opens, then: impl FnOnce(Option<&SafeWay>) -> T) -> T {
        let mut ways = self.ways.borrow_mut();
        if ways.iter().all(|(other, _)| other != opens) {
            let way = safe_way(self.unit, &reach(opens), self.language).ok();
            ways.push((opens.clone(), way));
        }
        then(
            ways.iter()
                .find(|(other, _)| other == opens)
                .and_then(|(_, way)| way.as_ref()),
        )
    }
}

fn reach(opens: &Opens) -> Reach {
    match opens {
        Opens::Housing(part) => Reach::Housing(part.clone()),
        Opens::Restrictor => Reach::Restrictor,
        Opens::PermeateLine => Reach::PermeateLine,
        Opens::ElementPermeate(_) => Reach::ElementPermeate,
    }
}
