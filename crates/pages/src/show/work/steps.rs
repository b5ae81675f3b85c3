//! The card step by step, one thing at a time.

use ledger::Payload;
use ledger::payload::{WorkMark, WorkMarked};
use ledger::state::Work as UnderWay;
use maud::{Markup, html};
use service::{Action, Step, Work};
use unit::Unit;

use super::super::{found, words};
use super::begin::{above, acknowledge};
use super::{Job, address, finish, job, print, title};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::form::{self, Entry, Faults};
use crate::frame::layout::{self, Page};
use crate::frame::link;

/// What is to be done now, or the step that the address asks to see.
pub(crate) fn show(ask: &Ask<'_>, held: &[String]) -> Response {
    match job(ask, held) {
        Ok(job) => page(ask, &job, &Faults::default()),
        Err(other) => other,
    }
}

fn page(ask: &Ask<'_>, job: &Job<'_>, faults: &Faults) -> Response {
    if job.under_way.ended.is_some() {
        return ended(ask, job.unit, &job.under_way, &job.works, Some(job));
    }
    let last = u32::try_from(job.card.steps.len()).unwrap_or(u32::MAX);
    let now = job.now().min(last);
    let asked = ask.query.get("step").parse::<u32>().unwrap_or(now);
    let shown = asked.clamp(1, last);
    if shown >= job.end() {
        // Reading and writing down are one page: they are written in one go.
        return if now >= job.end() {
            finish::page(ask, job, None, faults)
        } else {
            step(ask, job, now, faults)
        };
    }
    step(ask, job, shown, faults)
}

fn step(ask: &Ask<'_>, job: &Job<'_>, shown: u32, faults: &Faults) -> Response {
    let say = ask.say;
    let Some(step) = job.step(shown) else {
        return layout::not_found(ask);
    };
    let (now, end) = (job.now(), job.end());
    let whole = title(ask, job.unit, &job.works);
    let number = say.with(
        "work-step",
        &[("step", shown.into()), ("n", job.card.steps.len().into())],
    );
    let address = address(job.unit, job.under_way.id);
    let to = |n: u32| format!("{address}?step={n}");
    let body = html! {
        p.small { (whole) }
        h1 { (number) " \u{b7} " (say.say(&format!("phase-{}", step.phase.name()))) }
        progress max=(end) value=(now.min(end)) aria-label=(say.with("work-done-of", &[("done", (now - 1).into()), ("n", job.card.steps.len().into())])) {}
        (faults.summary(ask, |_| say.say("work-read-label")))
        @if shown != now {
            p role="status" {
                @if shown < now { span.well { (say.say("work-is-done")) } } @else { span.late { (say.say("work-not-yet")) } }
                " " a href=(address) { (say.with("work-to-now", &[("step", now.into())])) }
            }
        }
        @if shown == now {
            form method="post" action=(address) {
                (form::hidden_id(ask))
                input type="hidden" name="step" value=(shown);
                (what(ask, job, step, true, faults))
                (press(ask, job, step))
            }
        } @else {
            (what(ask, job, step, false, faults))
            @if shown < now { (undo(ask, &address, shown)) }
        }
        nav aria-label=(say.say("work-steps")) {
            ul.doing {
                @if shown > 1 { li { a.button rel="prev" href=(to(shown - 1)) { (say.say("work-back")) } } }
                @if shown < end { li { a.button rel="next" href=(to(shown + 1)) { (say.say("work-ahead")) } } }
            }
        }
        (leave(ask, job, &address))
    };
    Page {
        above: above(ask, job.unit),
        status: if faults.is_empty() { 200 } else { 422 },
        ..Page::new(&number, "", body)
    }
    .answer(ask)
}

/// The step: its caution first, then what to do, what to see, why.
fn what(ask: &Ask<'_>, job: &Job<'_>, step: &Step, now: bool, faults: &Faults) -> Markup {
    let say = ask.say;
    let index = usize::try_from(step.n).unwrap_or(usize::MAX);
    let relieved = |index: usize| {
        index
            .checked_sub(1)
            .and_then(|index| job.card.pressurised_after.get(index))
            .is_some_and(Vec::is_empty)
    };
    html! {
        @if let Some(caution) = &step.caution {
            section.danger {
                h2 { (say.say("work-caution")) }
                p.step { (caution) }
                @if now { (acknowledge(ask, "seen", &say.say("work-caution-read"), faults)) }
            }
        }
        p.step { (step.text) }
        @if let Some(check) = &step.check {
            section.see { h2 { (say.say("work-see")) } p.step { (check) } }
        }
        @if step.minutes.is_some() { (timer(ask, job, step)) }
        @if relieved(index) && !relieved(index - 1) { p { span.well { (say.say("work-relieved")) } } }
        p.small { (say.say("work-why")) " " (step.why) }
        @if now && matches!(step.action, Action::Remove | Action::Inspect) && step.phase == service::Phase::Change {
            (form::Field {
                name: "note",
                label: say.say("work-what-seen"),
                hint: say.say("work-what-seen-hint"),
                unit: "",
                entry: Entry::Text,
                required: false,
            }.show(ask, &ask.sent, faults))
        }
    }
}

/// When the waiting began and when it is over. The script shows how long that still is; it goes by the clock, so that it goes
/// on while the telephone sleeps.
fn timer(ask: &Ask<'_>, job: &Job<'_>, step: &Step) -> Markup {
    let say = ask.say;
    let minutes = step.minutes.unwrap_or(0);
    let clock = |at: jiff::Timestamp| job.zone.to_datetime(at).strftime("%H:%M:%S").to_string();
    html! {
        @match (job.under_way.waits.get(&step.n), job.over_at(step.n)) {
            (Some(begun), Some(over)) => {
                p.step.timer data-until=(over.as_millisecond()) data-now=(ask.now().as_millisecond()) data-over=(say.say("work-time-over")) role="timer" {
                    @if over <= ask.now() { (say.say("work-time-over")) }
                    @else { (say.with("work-waiting", &[("begun", clock(*begun).into()), ("over", clock(over).into())])) }
                }
            }
            _ => { p { (say.with("work-takes", &[("minutes", minutes.into())])) } }
        }
    }
}

/// The button of the step.
fn press(ask: &Ask<'_>, job: &Job<'_>, step: &Step) -> Markup {
    let say = ask.say;
    let begun = job.under_way.waits.contains_key(&step.n);
    html! {
        @if step.minutes.is_some() && !begun {
            p { button.first name="do" value="wait" { (say.say("work-start-waiting")) } }
        } @else {
            p { button.first name="do" value="done" {
                @if step.check.is_some() { (say.say("work-done-and-seen")) } @else { (say.say("work-done")) }
            } }
        }
    }
}

fn undo(ask: &Ask<'_>, address: &str, step: u32) -> Markup {
    html! {
        form method="post" action=(address) {
            (form::hidden_id(ask))
            input type="hidden" name="step" value=(step);
            p { button name="do" value="undo" { (ask.say.say("work-undo")) } }
        }
    }
}

/// Leaving it for later, and giving it up.
pub(super) fn leave(ask: &Ask<'_>, job: &Job<'_>, address: &str) -> Markup {
    let say = ask.say;
    html! {
        (print::links(ask, job.unit, &job.works))
        details {
            summary { (say.say("work-leave")) }
            p { (say.say("work-leave-about")) }
            p { a.button href=(link::unit(&job.unit.id)) { (say.say("to-unit")) } }
            form method="post" action=(address) {
                (form::hidden_id(ask))
                (acknowledge(ask, "sure", &say.say("work-give-up-sure"), &Faults::default()))
                p { button name="do" value="give-up" { (say.say("work-give-up")) } }
            }
        }
    }
}

/// What became of a work that ended. Its card may not hold any more: the part that a step was about is then not told.
pub(super) fn ended(
    ask: &Ask<'_>,
    unit: &Unit,
    work: &UnderWay,
    works: &[Work],
    job: Option<&Job<'_>>,
) -> Response {
    let say = ask.say;
    let title = title(ask, unit, works);
    let zone = casefile::time_zone(unit);
    let body = html! {
        h1 data-kept=(work.id) { (title) }
        @if let Some((at, finished)) = work.ended {
            @let when = ask.moment(at, &zone);
            p.verdict { (say.with(if finished { "work-finished" } else { "work-given-up" }, &[("when", when.into())])) }
        }
        @if !work.notes.is_empty() {
            h2 { (say.say("work-what-seen")) }
            ul {
                @for (n, note) in &work.notes {
                    li {
                        @if let Some(part) = job.and_then(|job| job.part_of(*n)) { (words::part(ask, unit, part)) ": " }
                        (note)
                    }
                }
            }
        }
        ul.doing {
            li { a.button.first href=(link::unit(&unit.id)) { (say.say("to-unit")) } }
            li { a.button href=(link::below_unit(&unit.id, "log")) { (say.say("to-log")) } }
        }
    };
    Page {
        above: above(ask, unit),
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

/// Writes a mark down: waiting begun, a step done or not done after all, given up, or the end.
pub(crate) fn go_on(ask: &Ask<'_>, held: &[String]) -> Response {
    if ask.sent.get("do") == "give-up" {
        return give_up(ask, held);
    }
    let job = match job(ask, held) {
        Ok(job) => job,
        Err(other) => return other,
    };
    if job.under_way.ended.is_some() {
        return page(ask, &job, &Faults::default());
    }
    if matches!(ask.sent.get("do"), "judge" | "finish") {
        return finish::write(ask, &job);
    }
    let say = ask.say;
    let address = address(job.unit, job.under_way.id);
    let n = ask.sent.get("step").parse::<u32>().unwrap_or(0);
    let now = job.now();
    if ask.sent.get("do") == "undo" {
        return if (1..now).contains(&n) {
            ask.keep(
                vec![job.mark(ask, "undo", WorkMark::Undone { step: n })],
                &address,
            )
        } else {
            layout::see(&address)
        };
    }
    // Another device was faster, or the form is an old one: what stands is shown, and nothing is skipped.
    let Some(step) = job.step(n).filter(|step| n == now && step.n < job.end()) else {
        return layout::see(&address);
    };
    let mut faults = Faults::default();
    if step.caution.is_some() && ask.sent.get("seen") != "yes" {
        faults.add("seen", say.say("work-read-caution-first"));
    }
    let note = ask.sent.get("note");
    if note.chars().count() > 4000 {
        faults.add("note", say.say("wrong-long"));
    }
    let over = job.over_at(n);
    let mark = match (ask.sent.get("do"), step.minutes, over) {
        ("wait", Some(_), None) => WorkMark::Waiting { step: n },
        ("done", Some(_), None) => {
            faults.add("seen", say.say("work-wait-first"));
            WorkMark::Waiting { step: n }
        }
        ("done", Some(_), Some(over)) if over > ask.now() => {
            let over = job.zone.to_datetime(over).strftime("%H:%M:%S").to_string();
            faults.add("seen", say.with("work-not-over", &[("over", over.into())]));
            WorkMark::Waiting { step: n }
        }
        ("done", ..) => WorkMark::Done {
            step: n,
            note: note.to_owned(),
        },
        _ => return layout::see(&address),
    };
    if !faults.is_empty() {
        return page(ask, &job, &faults);
    }
    ask.keep(vec![job.mark(ask, "mark", mark)], &address)
}

/// Gives a work up; also one whose card no longer holds.
fn give_up(ask: &Ask<'_>, held: &[String]) -> Response {
    let (known, unit) = match found::unit(ask, held) {
        Ok(found) => found,
        Err(nothing) => return nothing,
    };
    let id = held.get(1).and_then(|id| id.parse::<ledger::EventId>().ok());
    let works = known.works();
    let Some(work) = works.iter().find(|work| Some(work.id) == id) else {
        return layout::not_found(ask);
    };
    if work.ended.is_some() || ask.sent.get("sure") != "yes" {
        return layout::see(&address(unit, work.id));
    }
    let marked = WorkMarked {
        unit: unit.id.clone(),
        work: Some(work.id),
        mark: WorkMark::Ended { finished: false },
    };
    let entry = ask.entry("give-up", ask.now(), &Payload::Work(marked));
    ask.keep(vec![entry], &link::unit(&unit.id))
}
