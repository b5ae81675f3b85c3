//! Records brought in: a reading log as a file or pasted, looked over, then kept.

mod columns;
mod preview;
mod sent;

use intake::{Error, Log};
use ledger::import::{ImportPlan, Writer, log_file, plan_import};
use maud::{Markup, html};
use unit::Unit;

use super::{found, told};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::{self, Entry, Faults};
use crate::frame::layout::Page;
use crate::frame::link;

use columns::Column;
use sent::Sent;

/// A log that was looked over.
struct Looked {
    sent: Sent,
    columns: Vec<Column>,
    recognised: Vec<Column>,
    read: Result<(Log, ImportPlan), Error>,
}

/// The empty form.
pub(crate) fn ask(ask: &Ask<'_>, held: &[String]) -> Response {
    match found::unit(ask, held) {
        Ok((_, unit)) => page(ask, unit, &Fields::default(), &Faults::default(), None),
        Err(nothing) => nothing,
    }
}

/// Looks a log over, or keeps it.
pub(crate) fn write(ask: &Ask<'_>, held: &[String]) -> Response {
    let unit = match found::unit(ask, held) {
        Ok((_, unit)) => unit,
        Err(nothing) => return nothing,
    };
    let mut faults = Faults::default();
    let Some(sent) = sent::log(ask, &mut faults) else {
        return page(ask, unit, &ask.sent, &faults, None);
    };
    let looked = look(ask, unit, sent);
    match &looked.read {
        Err(error) => faults.add("log", told::error(ask, error)),
        Ok((_, plan)) if ask.sent.get("do") == "keep" => {
            return ask.keep(plan.entries.clone(), &link::below_unit(&unit.id, "log"));
        }
        Ok(_) => {}
    }
    page(ask, unit, &ask.sent, &faults, Some(&looked))
}

fn look(ask: &Ask<'_>, unit: &Unit, sent: Sent) -> Looked {
    let mut options = intake::Options::new(unit);
    let alone = intake::read(&sent.bytes, &options);
    let recognised = match &alone {
        Ok(log) => columns::of_log(log),
        Err(error) => columns::of_error(error),
    };
    options.mapping = columns::chosen(&ask.sent);
    let read = if options.mapping.is_some() {
        intake::read(&sent.bytes, &options)
    } else {
        alone
    };
    let columns = match &read {
        Ok(log) => columns::of_log(log),
        Err(error) => {
            let named = columns::of_error(error);
            if named.is_empty() {
                recognised.clone()
            } else {
                named
            }
        }
    };
    let read = read.map(|log| {
        let plan = plan(ask, unit, &sent, log.clone());
        (log, plan)
    });
    Looked {
        sent,
        columns,
        recognised,
        read,
    }
}

fn plan(ask: &Ask<'_>, unit: &Unit, sent: &Sent, log: Log) -> ImportPlan {
    let file = log_file(&sent.name, &sent.bytes, log);
    let by = if ask.at.person.is_empty() {
        "?"
    } else {
        ask.at.person
    };
    let writer = Writer {
        now: ask.now(),
        by: by.into(),
        device: ask.device().into(),
    };
    let mut ids = std::iter::once(ask.entry_id("import"));
    // The one id that is asked for is there.
    plan_import(ask.state, &unit.id, &file, &mut ids, &writer).unwrap_or_default()
}

fn page(ask: &Ask<'_>, unit: &Unit, typed: &Fields, faults: &Faults, looked: Option<&Looked>) -> Response {
    let say = ask.say;
    let title = say.with("import-title", &[("name", unit.name.as_str().into())]);
    let label = |name: &str| {
        say.say(match name {
            "pasted" => "import-pasted",
            _ => "import-file",
        })
    };
    let line = |name: &'static str, label: String, hint: String, entry: Entry| {
        form::Field {
            name,
            label,
            hint,
            unit: "",
            entry,
            required: false,
        }
        .show(ask, typed, faults)
    };
    let is_carried = looked.is_some_and(|looked| looked.sent.carried().is_some());
    let body = html! {
        h1 { (title) }
        p { (say.say("import-about")) }
        (faults.summary(ask, label))
        form method="post" action=(link::below_unit(&unit.id, "import")) enctype="multipart/form-data" {
            (form::hidden_id(ask))
            @if let Some(looked) = looked { (looked_over(ask, unit, looked, is_carried)) }
            @if !is_carried || faults.of("log").is_some() {
                (line("log", say.say("import-file"), say.say("import-file-hint"), Entry::File))
            }
            @if looked.is_none() { (line("pasted", say.say("import-pasted"), say.say("import-pasted-hint"), Entry::Text)) }
            @if looked.is_some() { (how(ask, typed, faults)) }
            p { button class=[(!is_keepable(looked)).then_some("first")] name="do" value="look" {
                (say.say(if looked.is_some() { "import-look-again" } else { "plan-look" }))
            } }
        }
        @if looked.is_some() { p { a href=(link::below_unit(&unit.id, "import")) { (say.say("import-another")) } } }
    };
    Page {
        above: found::above(ask, unit),
        status: if faults.is_empty() { 200 } else { 422 },
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

fn is_keepable(looked: Option<&Looked>) -> bool {
    looked.is_some_and(|looked| matches!(&looked.read, Ok((_, plan)) if !plan.entries.is_empty()))
}

/// What was found in a log, the button that keeps it, and the choice of columns.
fn looked_over(ask: &Ask<'_>, unit: &Unit, looked: &Looked, is_carried: bool) -> Markup {
    let say = ask.say;
    html! {
        @if let Some(carried) = looked.sent.carried() {
            input type="hidden" name="carried" value=(carried);
            input type="hidden" name="carried_name" value=(looked.sent.name);
        }
        h2 { (looked.sent.name) }
        @if let Ok((log, plan)) = &looked.read {
            (preview::show(ask, unit, plan, log))
            @if plan.entries.is_empty() { p { (say.say("import-nothing-new")) } }
            @else {
                @if !is_carried { p { (say.say("import-choose-again")) } }
                p { button.first name="do" value="keep" { (say.say("import-keep")) } }
            }
        }
        @if !looked.columns.is_empty() {
            h2 { (say.say("import-columns")) }
            (columns::table(ask, unit, &looked.columns, &looked.recognised))
        }
    }
}

/// How the file is to be read, where it was read wrongly.
fn how(ask: &Ask<'_>, typed: &Fields, faults: &Faults) -> Markup {
    let say = ask.say;
    let orders = [
        ("day", "order-day"),
        ("month", "order-month"),
        ("year", "order-year"),
    ];
    let orders = orders.map(|(name, key)| (name.to_owned(), say.say(key)));
    let line = |name: &'static str, key: &str| {
        form::Field {
            name,
            label: say.say(key),
            hint: String::new(),
            unit: "",
            entry: Entry::Line,
            required: false,
        }
        .show(ask, typed, faults)
    };
    let used = ["date_order", "header_line", "sheet"]
        .iter()
        .any(|name| !typed.get(name).is_empty());
    html! {
        details open[used] {
            summary { (say.say("import-how")) }
            (form::select(ask, "date_order", &say.say("import-order"), &orders, typed, faults))
            (line("header_line", "import-header-line"))
            (line("sheet", "import-sheet"))
        }
    }
}
