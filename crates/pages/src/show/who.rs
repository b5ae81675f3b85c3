//! Who is at this device.

use maud::html;

use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::{self, Entry, Faults};
use crate::frame::layout::{Page, see};

/// The form.
pub(crate) fn show(ask: &Ask<'_>, _held: &[String]) -> Response {
    let mut typed = Fields::default();
    typed.set("person", ask.at.person);
    page(ask, &typed, &Faults::default())
}

fn page(ask: &Ask<'_>, typed: &Fields, faults: &Faults) -> Response {
    let say = ask.say;
    let title = say.say("who-title");
    let field = form::Field {
        name: "person",
        label: say.say("who-name"),
        hint: say.say("who-hint"),
        unit: "",
        entry: Entry::Line,
        required: true,
    };
    let body = html! {
        h1 { (title) }
        (faults.summary(ask, |_| say.say("who-name")))
        form method="post" action="/who" {
            (form::hidden_id(ask))
            (field.show(ask, typed, faults))
            p { button.first { (say.say("save")) } }
        }
    };
    Page {
        status: if faults.is_empty() { 200 } else { 422 },
        ..Page::new(&title, "/who", body)
    }
    .answer(ask)
}

/// Remembers the name on this device.
pub(crate) fn say(ask: &Ask<'_>, _held: &[String]) -> Response {
    let mut faults = Faults::default();
    form::required(ask, &mut faults, "person");
    let person = ask.sent.get("person");
    if person.chars().count() > 80 || person.chars().any(char::is_control) {
        faults.add("person", ask.say.say("wrong-long"));
    }
    if !faults.is_empty() {
        return page(ask, &ask.sent, &faults);
    }
    Response {
        person: Some(person.to_owned()),
        ..see("/")
    }
}
