//! What is wrong: from the telephone call's five questions, over one test at a time, to one cause and what to do about it.

mod asked;
mod causes;
mod facts;
mod figures;
mod keep;
mod question;
mod standing;
mod wording;

use fault::DiagnoseError;
use fault::interview::{End, InterviewError, Standing, Step};
use maud::{Markup, html};
use reading::Observed;
use unit::{StageKind, Unit};

use super::{found, model_error, words};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::layout::{self, Page};
use crate::frame::link;

pub(crate) use asked::PAGE;
use asked::{AT, Asked, FROM, SKIP};
pub(super) use figures::accounts;
pub(crate) use keep::write;
use standing::Interview;

/// What the customer can say on the telephone, in the order in which one asks.
const CALL: [Observed; 5] = [
    Observed::TankNeverFull,
    Observed::RunsToDrainWhenFull,
    Observed::PumpSilent,
    Observed::Leak,
    Observed::UsesMore,
];

/// A reading so many days old or younger still shows how the unit is (common practice, no source).
const FRESH_D: f64 = 2.0;

/// The page.
pub(crate) fn show(ask: &Ask<'_>, held: &[String]) -> Response {
    let unit = match found::unit(ask, held) {
        Ok((_, unit)) => unit,
        Err(nothing) => return nothing,
    };
    let asked = Asked::read(ask, unit, &ask.query);
    if asked.at.is_none() {
        return page(ask, unit, 200, call(ask, unit, &asked));
    }
    if asked.faults.is_empty() && asked.strange.is_empty() && !asked.is_settled(&ask.query) {
        return layout::see(&asked.address(unit, asked.again.as_deref()));
    }
    let interview = Interview::of(ask, unit, &asked);
    let status = if asked.faults.is_empty() { 200 } else { 422 };
    let body = match interview.standing(&asked) {
        Ok(standing) => in_course(ask, unit, &asked, &interview, &standing),
        Err(error) => html! {
            h1 { (ask.say.say("trouble-title")) }
            p { (ask.say.say("trouble-no-model")) }
            @if let InterviewError::Diagnose(DiagnoseError::Unit(why)) = &error { p.small { (model_error::words(ask, Some(unit), why)) } }
        },
    };
    page(ask, unit, status, body)
}

fn page(ask: &Ask<'_>, unit: &Unit, status: u16, body: Markup) -> Response {
    Page {
        above: found::above(ask, unit),
        status,
        ..Page::new(&ask.say.say("trouble-title"), "", body)
    }
    .answer(ask)
}

/// The telephone call: five questions at once, since each costs a word.
fn call(ask: &Ask<'_>, unit: &Unit, asked: &Asked) -> Markup {
    let say = ask.say;
    let pump = unit
        .stages
        .iter()
        .any(|stage| matches!(stage.kind, StageKind::Pump { .. }));
    let last = ask.state.unit(&unit.id).and_then(|known| {
        let until = known.readings_until(ask.now());
        let last = until.last()?;
        Some((
            last.at,
            known.reading_origins().get(until.len().checked_sub(1)?)?.entry,
        ))
    });
    let chosen = asked.from.or_else(|| {
        let (at, entry) = last?;
        (wear::lives::days(at, ask.now()) <= FRESH_D).then_some(entry)
    });
    let zone = casefile::time_zone(unit);
    html! {
        h1 { (say.say("trouble-title")) }
        p { (say.say("trouble-about")) }
        form method="get" action=(link::below_unit(&unit.id, PAGE)) {
            input type="hidden" name=(AT) value=(asked::now(ask));
            @if let Some((at, entry)) = last {
                (choice(&say.say("trouble-from"), FROM, &[
                    (entry.to_string(), say.with("trouble-from-last", &[("day", ask.moment(at, &zone).into())])),
                    (String::new(), say.say("trouble-from-none")),
                ], &chosen.map_or_else(String::new, |entry| entry.to_string())))
            }
            @for observed in CALL.iter().filter(|one| pump || **one != Observed::PumpSilent) {
                @let name = format!("observed.{}", observed.name());
                (choice(&wording::asked(ask, &name), &name, &[
                    ("yes".to_owned(), say.say("yes")),
                    ("no".to_owned(), say.say("no")),
                    (SKIP.to_owned(), say.say("trouble-not-known")),
                ], SKIP))
            }
            p { button.first { (say.say("trouble-begin")) } }
        }
    }
}

/// One of several, each a large target.
fn choice(legend: &str, name: &str, choices: &[(String, String)], chosen: &str) -> Markup {
    html! {
        fieldset.choice {
            legend { (legend) }
            @for (value, words) in choices {
                label { input type="radio" name=(name) value=(value) checked[value == chosen]; " " (words) }
            }
        }
    }
}

/// Where it stands, what comes next, what may be the cause, what was said, and the way to keep it.
fn in_course(
    ask: &Ask<'_>,
    unit: &Unit,
    asked: &Asked,
    interview: &Interview<'_>,
    standing: &Standing,
) -> Markup {
    let say = ask.say;
    let diagnosis = &standing.diagnosis;
    let over = match &standing.step {
        Step::End(End::BeyondDoubt) => Some("trouble-beyond-doubt"),
        Step::End(End::NothingMoreHelps) => Some("trouble-nothing-more"),
        Step::Ask(_) => None,
    };
    html! {
        h1 { (say.say("trouble-title")) }
        (asked.faults.summary(ask, |name| wording::short(ask, unit, name)))
        @if let Some(sentence) = causes::conditions(ask, unit, asked, diagnosis) { p.verdict { (sentence) } }
        p.verdict { (causes::verdict(ask, unit, asked, diagnosis)) }
        (question::next(ask, unit, asked, interview, standing))
        @if let Some(key) = over.filter(|_| asked.faults.is_empty() && asked.again.is_none()) {
            h2 { (say.say("trouble-end-title")) }
            p { (say.say(key)) }
            (causes::what_to_do(ask, unit, diagnosis))
        }
        (causes::ranked(ask, unit, asked, diagnosis))
        @for warning in &diagnosis.warnings { p.small { (wording::warning(ask, unit, warning)) } }
        @for key in &asked.strange { p.small { (say.with("trouble-strange", &[("name", key.as_str().into())])) } }
        (said(ask, unit, asked))
        (keep::offer(ask, unit, asked, interview, standing))
        @if asked.from.is_some() || !asked.said.is_empty() {
            p { a href=(link::below_unit(&unit.id, PAGE)) { (say.say("trouble-anew")) } }
        }
    }
}

/// Every answer, with the way to change it.
fn said(ask: &Ask<'_>, unit: &Unit, asked: &Asked) -> Markup {
    let say = ask.say;
    let zone = casefile::time_zone(unit);
    let from = asked.from.and_then(|from| {
        let known = ask.state.unit(&unit.id)?;
        let place = known.reading_origins().iter().position(|one| one.entry == from)?;
        Some((from, known.readings().get(place)?.at))
    });
    html! {
        @if from.is_some() || !asked.said.is_empty() {
            h2 { (say.say("trouble-said-title")) }
            dl.said {
                @if let Some((entry, at)) = from {
                    dt { (say.say("trouble-from")) }
                    dd { a href=(link::entry(entry)) { (ask.moment(at, &zone)) } }
                }
                @for one in &asked.said {
                    dt { (wording::short(ask, unit, &one.key)) }
                    dd {
                        (wording::answer(ask, one)) " "
                        a href=(asked.address(unit, Some(&one.key))) aria-label=(say.with("trouble-change-label", &[("name", wording::short(ask, unit, &one.key).into())])) { (say.say("trouble-change")) }
                    }
                }
            }
        }
    }
}

/// What a part is called, where there is one.
fn part(ask: &Ask<'_>, unit: &Unit, id: Option<&str>) -> Option<String> {
    id.map(|id| match reading::Field::from_name(id) {
        // A meter fault's part is the field that it reads.
        Some(field) => words::field(ask, field),
        None => words::part(ask, unit, id),
    })
}
