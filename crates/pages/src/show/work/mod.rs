//! Do the work: choose the parts, read the card, go through it step by step, prove it, write it down.
//!
//! What is under way stands in the ledger, mark by mark, so that it is left and taken up again on any device.

mod begin;
mod choose;
mod finish;
mod once;
pub(crate) mod print;
mod proof;
mod steps;

use account::Account;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use ledger::payload::{WorkMark, WorkMarked};
use ledger::state::{Effective, Work as UnderWay};
use ledger::{EventId, Kind, Payload, UnitHistory};
use maud::{Markup, html};
use serde_json::{Value, json};
use service::{Action, JobCard, Site, Work, job_card};
use unit::Unit;

use super::{found, words};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::language::Language;
use crate::frame::layout;
use crate::frame::link;

pub(crate) use begin::{begin, card};
pub(crate) use choose::{choose, has_housing};
pub(crate) use steps::{go_on, show};

/// The language of the card.
pub(crate) fn language(ask: &Ask<'_>) -> service::Language {
    match ask.say {
        Language::English => service::Language::English,
        Language::German => service::Language::German,
    }
}

/// What is known of the place: the highest supply pressure that was ever read there.
fn site(ask: &Ask<'_>, known: &UnitHistory) -> Site {
    let pressures = known
        .readings()
        .iter()
        .filter_map(|reading| reading.get(reading::Field::InletPressure));
    Site {
        inlet_pressure_kpa: pressures.reduce(f64::max),
        language: language(ask),
        ..Site::default()
    }
}

/// The works of an address or a form: `change:carbon`, `sanitise`; what is none is left out.
fn works<'a>(asked: impl Iterator<Item = &'a str>) -> Vec<Work> {
    asked
        .filter_map(|text| {
            let (name, part) = text
                .split_once(':')
                .map_or((text, None), |(name, part)| (name, Some(part)));
            Work::from_name(name, part)
        })
        .collect()
}

/// A work on the whole unit by its name, in words.
pub(crate) fn named(ask: &Ask<'_>, unit: &Unit, name: &str) -> Option<String> {
    Some(title(ask, unit, &[Work::from_name(name, None)?]))
}

/// How what a reading should be after a work under way was computed: in the conditions of the last reading.
pub(crate) fn proof_accounts(
    ask: &Ask<'_>,
    known: &UnitHistory,
    unit: &Unit,
    work: EventId,
    field: &str,
) -> Option<Vec<Account>> {
    let under_way = known.works().into_iter().find(|one| one.id == work)?;
    proof::accounts(ask, unit, &from_ledger(&under_way.items)?, field)
}

/// A work as it stands in an address.
fn in_address(work: &Work) -> String {
    match work.part() {
        Some(part) => format!("{}:{part}", work.name()),
        None => work.name().to_owned(),
    }
}

/// A work as it stands in the ledger.
fn in_ledger(work: &Work) -> Value {
    match (work, work.part()) {
        (Work::Change { part }, _) => json!(part),
        (_, Some(part)) => json!({"do": work.name(), "part": part}),
        (_, None) => json!({"do": work.name()}),
    }
}

/// The works of a beginning in the ledger; none where they are of a newer program.
fn from_ledger(items: &[Value]) -> Option<Vec<Work>> {
    let document = serde_json::Map::from_iter([("work".to_owned(), Value::Array(items.to_vec()))]);
    let faults = casefile::Faults::new();
    let read = casefile::work(&casefile::Table::new(&document, "", &faults), "work");
    faults.settle("", read).ok()
}

/// "Change: carbon filter, membrane 2. Wash: sediment filter."
fn title(ask: &Ask<'_>, unit: &Unit, works: &[Work]) -> String {
    let mut said: Vec<String> = Vec::new();
    for name in ["change", "wash", "inspect"] {
        let parts: Vec<String> = works
            .iter()
            .filter(|work| work.name() == name)
            .filter_map(|work| Some(words::part(ask, unit, work.part()?)))
            .collect();
        if !parts.is_empty() {
            let values = [("parts", ask.say.list(&parts).into())];
            said.push(ask.say.with(&format!("work-{name}"), &values));
        }
    }
    for work in works.iter().filter(|work| work.part().is_none()) {
        let key = format!("work-{}", work.name().replace('_', "-"));
        said.push(ask.say.say(&key));
    }
    said.join(". ")
}

/// Whether an entry has a line in a log: of a work only its beginning and its end, not every step.
pub(crate) fn has_line(one: &Effective<'_>) -> bool {
    if one.entry.payload.kind() != Kind::Work {
        return true;
    }
    match one.payload.as_ref().map(|payload| payload.decode()) {
        Some(Ok(Payload::Work(marked))) => {
            matches!(marked.mark, WorkMark::Begun { .. } | WorkMark::Ended { .. })
        }
        _ => true,
    }
}

/// A mark in the words of the log.
pub(crate) fn said(ask: &Ask<'_>, marked: &WorkMarked) -> String {
    let known = ask.state.unit(&marked.unit);
    let named = |items: &[Value]| {
        let unit = known.and_then(UnitHistory::unit)?;
        Some(title(ask, unit, &from_ledger(items)?))
    };
    let begun = || {
        let works = known?.works();
        let work = works.into_iter().find(|work| Some(work.id) == marked.work)?;
        named(&work.items)
    };
    let (key, work) = match &marked.mark {
        WorkMark::Begun { items, .. } => ("said-work-begun", named(items)),
        WorkMark::Ended { finished: true } => ("said-work-finished", begun()),
        WorkMark::Ended { finished: false } => ("said-work-given-up", begun()),
        _ => return ask.say.say("said-work-mark"),
    };
    ask.say.with(key, &[("work", work.unwrap_or_default().into())])
}

/// The address of a work under way.
fn address(unit: &Unit, work: EventId) -> String {
    link::below_unit(&unit.id, &format!("work/{work}"))
}

/// A work under way with its card.
struct Job<'a> {
    known: &'a UnitHistory,
    unit: &'a Unit,
    under_way: UnderWay,
    works: Vec<Work>,
    card: JobCard,
    zone: TimeZone,
}

impl Job<'_> {
    /// The number of the first step of the end: from there on only reading and writing down are left.
    fn end(&self) -> u32 {
        let tail = self
            .card
            .steps
            .iter()
            .rev()
            .take_while(|step| matches!(step.action, Action::Read | Action::Record))
            .count();
        u32::try_from(self.card.steps.len().saturating_sub(tail) + 1).unwrap_or(u32::MAX)
    }

    /// The step to be done now.
    fn now(&self) -> u32 {
        self.under_way.done.saturating_add(1)
    }

    fn step(&self, n: u32) -> Option<&service::Step> {
        self.card.steps.iter().find(|step| step.n == n)
    }

    /// The part that a step is about; its seals are the part's.
    fn part_of(&self, n: u32) -> Option<&str> {
        let target = self.step(n)?.target.as_deref()?;
        let part = target.strip_prefix("seals:").unwrap_or(target);
        self.unit.part_ids().any(|id| id == part).then_some(part)
    }

    /// When the waiting time of a step is over, where it was begun.
    fn over_at(&self, n: u32) -> Option<Timestamp> {
        let minutes = self.step(n)?.minutes?;
        let begun = self.under_way.waits.get(&n)?;
        begun
            .checked_add(jiff::SignedDuration::from_mins(i64::from(minutes)))
            .ok()
    }

    /// The entry of a mark.
    fn mark(&self, ask: &Ask<'_>, which: &str, mark: WorkMark) -> ledger::Entry {
        let marked = WorkMarked {
            unit: self.unit.id.clone(),
            work: Some(self.under_way.id),
            mark,
        };
        ask.entry(which, ask.now(), &Payload::Work(marked))
    }
}

/// The work that an address names, or the page that says why it can't be gone on with.
#[expect(
    clippy::result_large_err,
    reason = "the page that says there is none is made once, and sent"
)]
fn job<'a>(ask: &Ask<'a>, held: &[String]) -> Result<Job<'a>, Response> {
    let (known, unit) = found::unit(ask, held)?;
    let id: Option<EventId> = held.get(1).and_then(|id| id.parse().ok());
    let under_way = known
        .works()
        .into_iter()
        .find(|work| Some(work.id) == id)
        .ok_or_else(|| layout::not_found(ask))?;
    let works = from_ledger(&under_way.items).unwrap_or_default();
    let same = job_card(unit, &works, &site(ask, known))
        .ok()
        .filter(|card| card.fingerprint() == under_way.card);
    match same {
        Some(card) => Ok(Job {
            known,
            unit,
            works,
            card,
            zone: casefile::time_zone(unit),
            under_way,
        }),
        None if under_way.ended.is_some() => Err(steps::ended(ask, unit, &under_way, &works, None)),
        None => Err(begin::no_longer(ask, unit, &under_way)),
    }
}

/// The works of a unit that are under way, each with the way back to it.
pub(crate) fn under_way(ask: &Ask<'_>, known: &UnitHistory, unit: &Unit, named: bool) -> Markup {
    let zone = casefile::time_zone(unit);
    html! {
        @for work in known.works_under_way() {
            @let title = title(ask, unit, &from_ledger(&work.items).unwrap_or_default());
            section.asked {
                h2 { (ask.say.say("work-under-way")) }
                p {
                    @if named { (unit.name) ": " }
                    (title) ". "
                    (ask.say.with("work-begun", &[("when", ask.moment(work.begun_at, &zone).into()), ("by", work.by.as_str().into()), ("n", work.done.into())]))
                }
                p { a.button.first href=(address(unit, work.id)) { (ask.say.say("work-go-on")) } }
            }
        }
    }
}
