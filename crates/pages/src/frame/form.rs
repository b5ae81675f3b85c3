//! Forms: what is typed is kept, and what is wrong is said beside it.

use casefile::Fault;
use maud::{Markup, html};

use super::ask::Ask;
use super::fields::Fields;
use super::quantities;

/// What is wrong with one field.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Wrong {
    /// The field.
    pub(crate) name: String,
    /// In words.
    pub(crate) words: String,
}

/// What is wrong with a form.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Faults(Vec<Wrong>);

impl Faults {
    /// Whether nothing is wrong.
    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Adds what is wrong with a field.
    pub(crate) fn add(&mut self, name: &str, words: String) {
        if self.of(name).is_none() {
            self.0.push(Wrong {
                name: name.to_owned(),
                words,
            });
        }
    }

    /// Adds what a document's reader found; `field` gives the field for a path in the document.
    pub(crate) fn document(&mut self, ask: &Ask<'_>, faults: &[Fault], field: impl Fn(&str) -> String) {
        for fault in faults {
            self.add(&field(&fault.path), quantities::in_document(ask, fault));
        }
    }

    /// What is wrong with a field.
    pub(crate) fn of(&self, name: &str) -> Option<&str> {
        self.0
            .iter()
            .find(|wrong| wrong.name == name)
            .map(|wrong| wrong.words.as_str())
    }

    /// The list above a form, each with a link to its field.
    pub(crate) fn summary(&self, ask: &Ask<'_>, label: impl Fn(&str) -> String) -> Markup {
        html! {
            @if !self.0.is_empty() {
                div.wrong-list role="alert" tabindex="-1" {
                    h2 { (ask.say.with("wrong-title", &[("n", self.0.len().into())])) }
                    ul {
                        @for wrong in &self.0 {
                            li { a href={ "#" (field_id(&wrong.name)) } { (label(&wrong.name)) ": " (wrong.words) } }
                        }
                    }
                }
            }
        }
    }
}

/// The id of a field's element.
pub(crate) fn field_id(name: &str) -> String {
    let plain = name.chars().map(|c| {
        if c.is_ascii_alphanumeric() || c == '-' {
            c
        } else {
            '_'
        }
    });
    format!("f-{}", plain.collect::<String>())
}

/// How a field is typed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Entry {
    /// Words in one line.
    Line,
    /// A value with or without a unit: a keyboard with digits, point and letters.
    Value,
    /// A flow: a value, or a timed fill with the stopwatch beside it.
    Fill,
    /// Day and time.
    Time,
    /// A day.
    Date,
    /// A file of the device.
    File,
    /// Words in several lines.
    Text,
}

/// A field.
pub(crate) struct Field<'a> {
    /// Name in the form.
    pub(crate) name: &'a str,
    /// Its label.
    pub(crate) label: String,
    /// What helps to fill it in: what is accepted, the last value.
    pub(crate) hint: String,
    /// The unit of a bare number.
    pub(crate) unit: &'a str,
    /// How it is typed.
    pub(crate) entry: Entry,
    /// Whether it may not be empty.
    pub(crate) required: bool,
}

impl Field<'_> {
    /// The field with what was typed and what is wrong with it.
    pub(crate) fn show(&self, ask: &Ask<'_>, typed: &Fields, faults: &Faults) -> Markup {
        let id = field_id(self.name);
        let (hint, error) = (format!("{id}-hint"), format!("{id}-error"));
        let wrong = faults.of(self.name);
        let described = match (wrong.is_some(), self.hint.is_empty()) {
            (true, true) => Some(error.clone()),
            (true, false) => Some(format!("{error} {hint}")),
            (false, false) => Some(hint.clone()),
            (false, true) => None,
        };
        let invalid = wrong.map(|_| "true");
        let value = typed.get(self.name);
        html! {
            div.field data-fill=[(self.entry == Entry::Fill).then_some("")]
                data-start=[(self.entry == Entry::Fill).then(|| ask.say.say("stopwatch-start"))]
                data-stop=[(self.entry == Entry::Fill).then(|| ask.say.say("stopwatch-stop"))]
                data-again=[(self.entry == Entry::Fill).then(|| ask.say.say("stopwatch-again"))] {
                label for=(id) {
                    (self.label)
                    @if !self.required && self.entry == Entry::Line { span.faint { " " (ask.say.say("optional")) } }
                }
                @if let Some(words) = wrong { p.wrong id=(error) { (words) } }
                @match self.entry {
                    Entry::Text => {
                        textarea id=(id) name=(self.name) rows="3" aria-describedby=[described] aria-invalid=[invalid] required[self.required] { (value) }
                    }
                    Entry::Time => {
                        input id=(id) name=(self.name) type="datetime-local" value=(value) aria-describedby=[described] aria-invalid=[invalid] required[self.required];
                    }
                    Entry::Date => {
                        input id=(id) name=(self.name) type="date" value=(value) aria-describedby=[described] aria-invalid=[invalid] required[self.required];
                    }
                    // What was chosen cannot be put into a form again: a browser does not let a page do that.
                    Entry::File => {
                        input id=(id) name=(self.name) type="file" aria-describedby=[described] aria-invalid=[invalid];
                    }
                    _ => {
                        span.with-unit {
                            input id=(id) name=(self.name) type="text" value=(value) autocomplete="off" spellcheck=[(self.entry != Entry::Line).then_some("false")]
                                aria-describedby=[described] aria-invalid=[invalid] required[self.required];
                            @if !self.unit.is_empty() { span.unit { (self.unit) } }
                        }
                    }
                }
                @if !self.hint.is_empty() { p.hint id=(hint) { (self.hint) } }
            }
        }
    }
}

/// A choice of one of several: values and words.
pub(crate) fn select(
    ask: &Ask<'_>,
    name: &str,
    label: &str,
    choices: &[(String, String)],
    typed: &Fields,
    faults: &Faults,
) -> Markup {
    let id = field_id(name);
    let error = format!("{id}-error");
    let wrong = faults.of(name);
    let chosen = typed.get(name);
    html! {
        div.field {
            label for=(id) { (label) }
            @if let Some(words) = wrong { p.wrong id=(error) { (words) } }
            select id=(id) name=(name) aria-describedby=[wrong.map(|_| error.as_str())] aria-invalid=[wrong.map(|_| "true")] {
                option value="" selected[chosen.is_empty()] { (ask.say.say("choose")) }
                @for (value, words) in choices {
                    option value=(value) selected[value == chosen] { (words) }
                }
            }
        }
    }
}

/// Something that is so or not: a box to tick.
pub(crate) fn checkbox(name: &str, label: &str, value: &str, typed: &Fields) -> Markup {
    html! {
        p.tick {
            label {
                input type="checkbox" name=(name) value=(value) checked[typed.all(name).any(|chosen| chosen == value)];
                " " (label)
            }
        }
    }
}

/// The hidden id of a form: the one it came with, so that a form corrected and sent again is the same form.
pub(crate) fn hidden_id(ask: &Ask<'_>) -> Markup {
    html! { input type="hidden" name="form" value=(ask.form_id()); }
}

/// The largest text that a field may hold, characters.
const LONGEST: usize = 4000;

/// Refuses an empty or an endless text.
pub(crate) fn required(ask: &Ask<'_>, faults: &mut Faults, name: &str) {
    let text = ask.sent.get(name);
    if text.is_empty() {
        faults.add(name, ask.say.say("wrong-empty"));
    } else if text.chars().count() > LONGEST {
        faults.add(name, ask.say.say("wrong-long"));
    }
}
