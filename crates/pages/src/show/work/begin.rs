//! The card before the first step: what to know, what to have at hand, what to carry; and the beginning.

use ledger::Payload;
use ledger::payload::{WorkMark, WorkMarked};
use ledger::state::Work as UnderWay;
use maud::{Markup, html};
use service::{Action, CardError, JobCard, Work, job_card};
use unit::Unit;

use super::super::how::Named;
use super::super::{found, words};
use super::{address, in_address, in_ledger, print, site, title, works};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::figure::figure;
use crate::frame::form::{self, Faults};
use crate::frame::layout::Page;
use crate::frame::link;

/// The card of the works that the address names.
pub(crate) fn card(ask: &Ask<'_>, held: &[String]) -> Response {
    page(ask, held, &works(ask.query.all("w")), &Faults::default())
}

fn page(ask: &Ask<'_>, held: &[String], works: &[Work], faults: &Faults) -> Response {
    let (known, unit) = match found::unit(ask, held) {
        Ok(found) => found,
        Err(nothing) => return nothing,
    };
    let card = match job_card(unit, works, &site(ask, known)) {
        Ok(card) => card,
        Err(error) => return refused(ask, unit, works, &error),
    };
    let say = ask.say;
    let title = title(ask, unit, works);
    let body = html! {
        h1 { (title) }
        (faults.summary(ask, |_| say.say("work-read-label")))
        (at_a_glance(ask, unit, &card, works))
        form method="post" action=(link::below_unit(&unit.id, "work")) {
            (form::hidden_id(ask))
            @for work in works { input type="hidden" name="w" value=(in_address(work)); }
            (acknowledge(ask, "read", &say.say("work-read-cautions"), faults))
            p { button.first { (say.say("work-begin")) } }
        }
        details {
            summary { (say.with("work-all-steps", &[("n", card.steps.len().into())])) }
            div.opens {
                ol { @for step in &card.steps { li { (step.text) } } }
                (doses(ask, unit, &card, works))
            }
        }
        (print::links(ask, unit, works))
    };
    Page {
        above: above(ask, unit),
        status: if faults.is_empty() { 200 } else { 422 },
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

/// The steps above a page of the work.
pub(super) fn above(ask: &Ask<'_>, unit: &Unit) -> Vec<(String, String)> {
    let mut above = found::above(ask, unit);
    above.push((link::below_unit(&unit.id, "work"), ask.say.say("work-title")));
    above
}

/// Cautions, tools, parts.
fn at_a_glance(ask: &Ask<'_>, unit: &Unit, card: &JobCard, works: &[Work]) -> Markup {
    let say = ask.say;
    let waiting: u32 = card.steps.iter().filter_map(|step| step.minutes).sum();
    html! {
        p.verdict { (say.with("work-how-long", &[("n", card.steps.len().into()), ("minutes", waiting.into())])) }
        section.danger {
            h2 { (say.say("work-before")) }
            ul { @for caution in &card.cautions { li { (caution) } } }
        }
        h2 { (say.say("work-tools")) }
        ul { @for tool in &card.tools { li { (tool) } } }
        @if !card.parts.is_empty() {
            h2 { (say.say("work-carry")) }
            div.opens {
                ul {
                    @for part in &card.parts {
                        li {
                            (part.count) " \u{d7} " (part.what)
                            @if part.id != unit.id { " (" (words::part(ask, unit, &part.id)) ")" }
                        }
                    }
                }
                (doses(ask, unit, card, works))
            }
        }
    }
}

/// The ways to how the card's doses and volumes were computed; nothing where it has none.
fn doses(ask: &Ask<'_>, unit: &Unit, card: &JobCard, works: &[Work]) -> Markup {
    let doses = works
        .iter()
        .filter(|work| service::of_dose(unit, work.name()).is_ok_and(|accounts| !accounts.is_empty()))
        .map(|work| {
            (
                Named::DOSE,
                work.name(),
                title(ask, unit, std::slice::from_ref(work)),
            )
        });
    let mut rinsed: Vec<&str> = Vec::new();
    let steps = card
        .steps
        .iter()
        .filter(|step| step.action == Action::RinseToDrain);
    for stage in steps.filter_map(|step| step.target.as_deref()) {
        let told = service::of_rinse(unit, stage).is_ok_and(|accounts| !accounts.is_empty());
        if told && !rinsed.contains(&stage) {
            rinsed.push(stage);
        }
    }
    let rinses = rinsed
        .into_iter()
        .map(|stage| (Named::RINSE, stage, words::part(ask, unit, stage)));
    let all: Vec<(&str, &str, String)> = doses.chain(rinses).collect();
    html! {
        @if !all.is_empty() {
            p.small {
                (ask.say.say("work-how-doses"))
                @for (name, of, words) in &all { " " (figure(&unit.id, name, of, words)) }
            }
        }
    }
}

/// A box that has to be ticked: what it says can't be overlooked.
pub(super) fn acknowledge(ask: &Ask<'_>, name: &str, words: &str, faults: &Faults) -> Markup {
    let id = form::field_id(name);
    let error = format!("{id}-error");
    let wrong = faults.of(name);
    html! {
        @if let Some(words) = wrong { p.wrong id=(error) { (words) } }
        label.choice for=(id) {
            input id=(id) type="checkbox" name=(name) value="yes" required checked[ask.sent.get(name) == "yes"]
                aria-invalid=[wrong.map(|_| "true")] aria-describedby=[wrong.map(|_| error.as_str())];
            span { (words) }
        }
    }
}

/// Why there is no card, and the way back.
pub(super) fn refused(ask: &Ask<'_>, unit: &Unit, works: &[Work], error: &CardError) -> Response {
    let say = ask.say;
    let title = say.say("work-refused");
    let body = html! {
        h1 { (title) }
        section.danger {
            @match error {
                CardError::Impossible { sentence, .. } => { p { (sentence) } p { (say.say("work-refused-why")) } }
                _ if works.is_empty() => { p { (say.say("work-nothing-chosen")) } }
                CardError::Input(_) => { p { (say.say("work-not-together")) } }
                other => { p { (say.with("work-unproved", &[("why", other.to_string().into())])) } }
            }
        }
        p { a.button.first href=(link::below_unit(&unit.id, "work")) { (say.say("work-choose-again")) } }
    };
    Page {
        above: above(ask, unit),
        status: 422,
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

/// The card of a work under way is not the one it was begun with.
pub(super) fn no_longer(ask: &Ask<'_>, unit: &Unit, under_way: &UnderWay) -> Response {
    let say = ask.say;
    let title = say.say("work-no-longer-title");
    let body = html! {
        h1 { (title) }
        section.danger { p { (say.with("work-no-longer", &[("n", under_way.done.into())])) } }
        p { a.button.first href=(link::below_unit(&unit.id, "work")) { (say.say("work-choose-again")) } }
        form method="post" action=(address(unit, under_way.id)) {
            (form::hidden_id(ask))
            (acknowledge(ask, "sure", &say.say("work-give-up-sure"), &Faults::default()))
            p { button name="do" value="give-up" { (say.say("work-give-up")) } }
        }
    };
    Page {
        above: above(ask, unit),
        status: 409,
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

/// Begins.
pub(crate) fn begin(ask: &Ask<'_>, held: &[String]) -> Response {
    let (known, unit) = match found::unit(ask, held) {
        Ok(found) => found,
        Err(nothing) => return nothing,
    };
    let works = works(ask.sent.all("w"));
    let card = match job_card(unit, &works, &site(ask, known)) {
        Ok(card) => card,
        Err(error) => return refused(ask, unit, &works, &error),
    };
    if ask.sent.get("read") != "yes" {
        let mut faults = Faults::default();
        faults.add("read", ask.say.say("work-read-first"));
        return page(ask, held, &works, &faults);
    }
    let marked = WorkMarked {
        unit: unit.id.clone(),
        work: None,
        mark: WorkMark::Begun {
            items: works.iter().map(in_ledger).collect(),
            card: card.fingerprint(),
        },
    };
    let entry = ask.entry("work", ask.now(), &Payload::Work(marked));
    let then = address(unit, entry.id);
    ask.keep(vec![entry], &then)
}
