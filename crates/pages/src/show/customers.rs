//! Customers: whose sites they are.

use ledger::Payload;
use ledger::payload::CustomerDescribed;
use maud::html;

use super::sites::new_id;
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::{self, Entry, Faults};
use crate::frame::layout::{self, Page};
use crate::frame::link;

/// All customers.
pub(crate) fn list(ask: &Ask<'_>, _held: &[String]) -> Response {
    let title = ask.say.say("nav-customers");
    let body = html! {
        h1 { (title) }
        ul.doing { li { a.button href="/customers/new" { (ask.say.say("customer-new")) } } }
        ul.plain {
            @for id in ask.state.customer_ids() {
                @if let Some(customer) = described(ask, id) {
                    li { a.name href=(link::path(&["customers", id])) { (customer.name) } @if !customer.phone.is_empty() { p { (customer.phone) } } }
                }
            }
        }
    };
    Page::new(&title, "/customers", body).answer(ask)
}

fn described<'a>(ask: &Ask<'a>, id: &str) -> Option<&'a CustomerDescribed> {
    Some(&ask.state.customer(id)?.described.as_ref()?.what)
}

/// One customer, with the form to describe them anew.
pub(crate) fn show(ask: &Ask<'_>, held: &[String]) -> Response {
    let Some((id, customer)) = held.first().and_then(|id| Some((id, described(ask, id)?))) else {
        return layout::not_found(ask);
    };
    let mut typed = Fields::default();
    typed.set("name", customer.name.as_str());
    typed.set("phone", customer.phone.as_str());
    typed.set("email", customer.email.as_str());
    typed.set("address", customer.address.as_str());
    page(ask, Some(id), &typed, &Faults::default())
}

/// The empty form.
pub(crate) fn ask(ask: &Ask<'_>, _held: &[String]) -> Response {
    page(ask, None, &Fields::default(), &Faults::default())
}

fn label(ask: &Ask<'_>, name: &str) -> String {
    ask.say.say(match name {
        "phone" => "customer-phone",
        "email" => "customer-email",
        "address" => "customer-address",
        _ => "name",
    })
}

fn page(ask: &Ask<'_>, id: Option<&str>, typed: &Fields, faults: &Faults) -> Response {
    let say = ask.say;
    let customer = id.and_then(|id| Some((id, described(ask, id)?)));
    let title = customer.map_or_else(|| say.say("customer-new"), |(_, customer)| customer.name.clone());
    let action = id.map_or_else(
        || "/customers/new".to_owned(),
        |id| link::path(&["customers", id]),
    );
    let field = |name: &'static str, entry: Entry, required: bool| {
        let label = label(ask, name);
        let hint = String::new();
        form::Field {
            name,
            label,
            hint,
            unit: "",
            entry,
            required,
        }
        .show(ask, typed, faults)
    };
    let sites = ask.state.site_ids().filter_map(|site| {
        let described = ask.state.site(site)?.described.as_ref()?;
        (described.what.customer.as_deref() == id && id.is_some())
            .then_some((site, described.what.name.as_str()))
    });
    let body = html! {
        h1 { (title) }
        @if let Some((id, customer)) = customer {
            @for text in [&customer.phone, &customer.email, &customer.address] { @if !text.is_empty() { p { (text) } } }
            h2 { (say.say("nav-sites")) }
            ul { @for (site, name) in sites { li { a href=(link::path(&["sites", site])) { (name) } } } }
            ul.doing {
                li { a.button href={ "/sites/new?customer=" (link::encoded(id)) } { (say.say("site-new")) } }
                li { a.button href={ "/units/new?customer=" (link::encoded(id)) } { (say.say("to-unit-new")) } }
            }
            h2 { (say.say("describe-anew")) }
        }
        (faults.summary(ask, |name| label(ask, name)))
        form method="post" action=(action) {
            (form::hidden_id(ask))
            (field("name", Entry::Line, true))
            (field("phone", Entry::Line, false))
            (field("email", Entry::Line, false))
            (field("address", Entry::Text, false))
            p { button.first { (say.say("save")) } }
        }
    };
    Page {
        above: vec![("/customers".to_owned(), say.say("nav-customers"))],
        status: if faults.is_empty() { 200 } else { 422 },
        ..Page::new(&title, "/customers", body)
    }
    .answer(ask)
}

/// Writes a new customer down.
pub(crate) fn write(ask: &Ask<'_>, _held: &[String]) -> Response {
    let entry = ask.entry_id("customer");
    // The same form again: it is there already, under the id that it was given first.
    if let Some(Ok(Payload::Customer(customer))) = ask.state.entry(entry).map(|entry| entry.payload.decode())
    {
        return layout::see(&link::path(&["customers", &customer.customer]));
    }
    let id = new_id(ask.sent.get("name"), entry, |id| ask.state.customer(id).is_some());
    keep(ask, None, &id)
}

/// Writes down what is now known of a customer.
pub(crate) fn rewrite(ask: &Ask<'_>, held: &[String]) -> Response {
    match held.first().filter(|id| described(ask, id).is_some()) {
        Some(id) => keep(ask, Some(id), id),
        None => layout::not_found(ask),
    }
}

fn keep(ask: &Ask<'_>, known: Option<&str>, id: &str) -> Response {
    let mut faults = Faults::default();
    form::required(ask, &mut faults, "name");
    for name in ["phone", "email", "address"] {
        if ask.sent.get(name).chars().count() > 4000 {
            faults.add(name, ask.say.say("wrong-long"));
        }
    }
    if !faults.is_empty() {
        return page(ask, known, &ask.sent, &faults);
    }
    let customer = CustomerDescribed {
        customer: id.to_owned(),
        name: ask.sent.get("name").to_owned(),
        phone: ask.sent.get("phone").to_owned(),
        email: ask.sent.get("email").to_owned(),
        address: ask.sent.get("address").to_owned(),
    };
    let entry = ask.entry("customer", ask.now(), &Payload::Customer(customer));
    ask.keep(vec![entry], &link::path(&["customers", id]))
}
