//! Settings: units of measure and language of a person; instruments and limits by unit; backup, restore, export.

use std::collections::BTreeMap;

use ledger::Payload;
use ledger::payload::SettingsChosen;
use maud::{Markup, html};
use quantity::Kind;

use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::{self, Entry, Faults};
use crate::frame::language::Language;
use crate::frame::layout::{self, Page};
use crate::frame::link;
use crate::frame::measure::{KINDS, setting};
use crate::memo::in_service;
use crate::{Place, Response};

/// The tables that can be taken out as CSV, with the keys of what they are called.
const TABLES: [(&str, &str); 5] = [
    ("readings", "export-readings"),
    ("events", "export-events"),
    ("units", "export-units"),
    ("waters", "export-waters"),
    ("set_aside", "export-set-aside"),
];

/// The page.
pub(crate) fn show(ask: &Ask<'_>, _held: &[String]) -> Response {
    page(ask, &filled(ask), &Faults::default(), 200)
}

/// What the person here has chosen.
fn filled(ask: &Ask<'_>) -> Fields {
    let mut typed = Fields::default();
    let person = ask.state.person(ask.at.person);
    let chosen = |name: &str| person.and_then(|person| person.settings.get(name)?.what.as_str());
    typed.set("units", chosen("units").unwrap_or_default());
    typed.set("language", chosen("language").unwrap_or_default());
    for name in KINDS.iter().filter_map(|(kind, _)| setting(*kind)) {
        typed.set(&name, chosen(&name).unwrap_or_default());
    }
    typed
}

fn kind_label(ask: &Ask<'_>, kind: Kind) -> String {
    ask.say.say(match kind {
        Kind::Flow => "kind-flow",
        Kind::Volume => "kind-volume",
        Kind::Pressure => "kind-pressure",
        Kind::Temperature => "kind-temperature",
        Kind::Conductivity => "kind-conductivity",
        _ => "kind-hardness",
    })
}

fn page(ask: &Ask<'_>, typed: &Fields, faults: &Faults, status: u16) -> Response {
    let say = ask.say;
    let title = say.say("nav-settings");
    let restored = ask.query.get("restored").parse::<u64>().ok();
    let body = html! {
        h1 { (title) }
        @if let Some(entries) = restored {
            p role="status" { span.well { (say.say("restored-title")) } " " (say.with("restored", &[("n", entries.to_string().into())])) }
        }
        @if ask.query.get("saved") == "yes" { p role="status" { span.well { (say.say("saved")) } } }
        (faults.summary(ask, |name| label(ask, name)))
        (person(ask, typed, faults))
        h2 { (say.say("settings-units-title")) }
        p { (say.say("settings-units-about")) }
        details { summary { (say.say("settings-units-each")) } ul.plain {
            @for unit in in_service(ask.state).filter_map(|id| ask.state.unit(id)?.unit()) {
                li { a href=(link::below_unit(&unit.id, "limits")) { (unit.name) } }
            }
        } }
        (records(ask, typed, faults))
    };
    Page {
        status,
        ..Page::new(&title, "/settings", body)
    }
    .answer(ask)
}

fn label(ask: &Ask<'_>, name: &str) -> String {
    if let Some((kind, _)) = KINDS
        .iter()
        .find(|(kind, _)| setting(*kind).as_deref() == Some(name))
    {
        return kind_label(ask, *kind);
    }
    ask.say.say(match name {
        "units" => "settings-measures",
        "language" => "settings-language",
        _ => "restore-file",
    })
}

/// Units of measure and language.
fn person(ask: &Ask<'_>, typed: &Fields, faults: &Faults) -> Markup {
    let say = ask.say;
    let systems = [("metric", "measures-metric"), ("us", "measures-us")];
    let systems = systems.map(|(name, key)| (name.to_owned(), say.say(key)));
    let languages =
        Language::ALL.map(|language| (language.tag().to_owned(), language.say("language-own-name")));
    let kinds = KINDS
        .iter()
        .filter_map(|(kind, _)| Some((*kind, setting(*kind)?)));
    let own = |kind: Kind| -> Vec<(String, String)> {
        let fitting = quantity::units(kind)
            .iter()
            .filter(|unit| unit.needs_no_context());
        fitting
            .map(|unit| (unit.symbol.to_owned(), unit.symbol.to_owned()))
            .collect()
    };
    let is_open = kinds.clone().any(|(_, name)| !typed.get(&name).is_empty());
    html! {
        h2 { (say.say("settings-person-title")) }
        @if ask.at.person.is_empty() {
            p { (say.say("settings-nobody")) " " a href="/who" { (say.say("who-nobody")) } }
        } @else {
            p { (say.with("settings-person", &[("name", ask.at.person.into())])) " " a href="/who" { (say.say("settings-not-me")) } }
            form method="post" action="/settings" {
                (form::hidden_id(ask))
                (form::select(ask, "units", &label(ask, "units"), &systems, typed, faults))
                (form::select(ask, "language", &label(ask, "language"), &languages, typed, faults))
                details open[is_open] {
                    summary { (say.say("settings-own-units")) }
                    p { (say.say("settings-own-units-about")) }
                    div.desk-two {
                        @for (kind, name) in kinds { (form::select(ask, &name, &kind_label(ask, kind), &own(kind), typed, faults)) }
                    }
                }
                p { button.first { (say.say("save")) } }
            }
        }
    }
}

/// Backup, restore, export.
fn records(ask: &Ask<'_>, typed: &Fields, faults: &Faults) -> Markup {
    let say = ask.say;
    let file = form::Field {
        name: "backup",
        label: label(ask, "backup"),
        hint: say.say("restore-hint"),
        unit: "",
        entry: Entry::File,
        required: false,
    };
    html! {
        h2 { (say.say("backup-title")) }
        @if matches!(ask.at.place, Place::Field { .. }) { p { (say.say("needs-network")) } }
        p { (say.say("backup-about")) }
        ul.doing { li { a.button.first href="/backup" { (say.say("backup-go")) } } }
        h2 { (say.say("restore-title")) }
        p { (say.say("restore-about")) }
        form method="post" action="/restore" enctype="multipart/form-data" {
            (file.show(ask, typed, faults))
            p { button { (say.say("restore-go")) } }
        }
        h2 { (say.say("export-title")) }
        p { (say.say("export-about")) }
        ul.plain {
            li { a href="/export/ledger.xlsx" { (say.say("export-workbook")) } }
            @for (table, key) in TABLES { li { a href=(format!("/export/{table}.csv")) { (say.say(key)) } } }
            li { a href="/export/ledger.jsonl" { (say.say("export-log")) } }
        }
    }
}

/// Writes a person's choices down: those that changed.
pub(crate) fn write(ask: &Ask<'_>, _held: &[String]) -> Response {
    let mut faults = Faults::default();
    if ask.at.person.is_empty() {
        return layout::see("/who");
    }
    let before = filled(ask);
    let mut set = BTreeMap::new();
    let mut choose = |name: &str, is_known: &dyn Fn(&str) -> bool| {
        let text = ask.sent.get(name);
        if !text.is_empty() && !is_known(text) {
            faults.add(name, ask.say.say("wrong-choice"));
        }
        if text != before.get(name) {
            let value = if text.is_empty() {
                serde_json::Value::Null
            } else {
                text.into()
            };
            set.insert(name.to_owned(), value);
        }
    };
    choose("units", &|text| matches!(text, "metric" | "us"));
    choose("language", &|text| {
        Language::of_tag(text).is_some_and(|language| language.tag() == text)
    });
    for (kind, _) in KINDS {
        let known = |text: &str| {
            let found = quantity::find_unit(kind, text);
            found.is_some_and(|unit| unit.symbol == text && unit.needs_no_context())
        };
        if let Some(name) = setting(kind) {
            choose(&name, &known);
        }
    }
    if !faults.is_empty() {
        return page(ask, &ask.sent, &faults, 422);
    }
    let chosen = SettingsChosen {
        person: ask.at.person.to_owned(),
        set,
    };
    let entries = if chosen.set.is_empty() {
        Vec::new()
    } else {
        vec![ask.entry("settings", ask.now(), &Payload::Settings(chosen))]
    };
    ask.keep(entries, "/settings?saved=yes")
}

/// What only the server can do, asked of the worker: it holds entries, not the ledger's file.
pub(crate) fn needs_network(ask: &Ask<'_>, _held: &[String]) -> Response {
    layout::message(ask, 503, "needs-network-title", "needs-network")
}

/// Why a backup did not take the ledger's place. The ledger is as it was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotRestored {
    /// No file was sent.
    Nothing,
    /// What was sent is no ledger.
    NotALedger,
    /// A ledger of a newer program.
    Newer {
        /// Its version.
        found: u32,
        /// The newest version that is read here.
        ours: u32,
    },
    /// A file that ends too early.
    CutOff {
        /// Its length, bytes.
        found: u64,
        /// The length that it says it has, bytes.
        expected: u64,
    },
    /// A file whose content is broken.
    Damaged,
    /// Another program keeps the ledger from being replaced.
    Busy,
    /// No room is left for it.
    Full,
    /// More than is taken, bytes.
    TooLarge {
        /// The most that is taken, bytes.
        most: u64,
    },
    /// Anything else; the shell knows more.
    Failed,
}

/// The page that says so, beside the field.
pub(crate) fn not_restored(ask: &Ask<'_>, why: NotRestored) -> Response {
    let say = ask.say;
    let count = |n: u64| n.to_string();
    let (status, words) = match why {
        NotRestored::Nothing => (422, say.say("restore-nothing")),
        NotRestored::NotALedger => (422, say.say("restore-no-ledger")),
        NotRestored::Newer { found, ours } => {
            let values = [
                ("found", found.to_string().into()),
                ("ours", ours.to_string().into()),
            ];
            (422, say.with("restore-newer", &values))
        }
        NotRestored::CutOff { found, expected } => {
            let values = [
                ("found", count(found).into()),
                ("expected", count(expected).into()),
            ];
            (422, say.with("restore-cut-off", &values))
        }
        NotRestored::Damaged => (422, say.say("restore-damaged")),
        NotRestored::Busy => (503, say.say("restore-busy")),
        NotRestored::Full => (507, say.say("restore-full")),
        NotRestored::TooLarge { most } => {
            let most = (most / 1_000_000).to_string();
            (413, say.with("restore-too-large", &[("most", most.into())]))
        }
        NotRestored::Failed => (500, say.say("restore-failed")),
    };
    let mut faults = Faults::default();
    faults.add("backup", words);
    page(ask, &filled(ask), &faults, status)
}
