//! Sites: where units stand.

use ledger::payload::SiteDescribed;
use ledger::{EventId, Payload};
use maud::{Markup, html};

use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::{self, Entry, Faults};
use crate::frame::layout::{self, Page};
use crate::frame::link;

/// All sites.
pub(crate) fn list(ask: &Ask<'_>, _held: &[String]) -> Response {
    let title = ask.say.say("nav-sites");
    let body = html! {
        h1 { (title) }
        ul.doing {
            li { a.button href="/sites/new" { (ask.say.say("site-new")) } }
            li { a.button href="/units/new" { (ask.say.say("to-unit-new")) } }
        }
        ul.plain {
            @for id in ask.state.site_ids() {
                @if let Some(site) = described(ask, id) {
                    li { a.name href=(link::path(&["sites", id])) { (site.name) } " " span.faint { (site.place) } (units(ask, id)) }
                }
            }
        }
    };
    Page::new(&title, "/sites", body).answer(ask)
}

fn described<'a>(ask: &Ask<'a>, id: &str) -> Option<&'a SiteDescribed> {
    Some(&ask.state.site(id)?.described.as_ref()?.what)
}

/// The units at a site.
fn units(ask: &Ask<'_>, site: &str) -> Markup {
    let units: Vec<_> = ask
        .state
        .unit_ids()
        .filter_map(|id| ask.state.unit(id))
        .filter(|known| known.site.as_deref() == Some(site))
        .filter_map(|known| known.unit())
        .collect();
    html! { @if !units.is_empty() { ul { @for unit in units { li { a href=(link::unit(&unit.id)) { (unit.name) } } } } } }
}

/// One site, with the form to describe it anew.
pub(crate) fn show(ask: &Ask<'_>, held: &[String]) -> Response {
    let Some((id, site)) = held.first().and_then(|id| Some((id, described(ask, id)?))) else {
        return layout::not_found(ask);
    };
    let mut typed = Fields::default();
    typed.set("name", site.name.as_str());
    typed.set("place", site.place.as_str());
    typed.set("access", site.access.as_str());
    typed.set("customer", site.customer.as_deref().unwrap_or_default());
    page(ask, Some(id), &typed, &Faults::default())
}

/// The empty form.
pub(crate) fn ask(ask: &Ask<'_>, _held: &[String]) -> Response {
    let mut typed = Fields::default();
    typed.set("customer", ask.query.get("customer"));
    page(ask, None, &typed, &Faults::default())
}

fn label(ask: &Ask<'_>, name: &str) -> String {
    ask.say.say(match name {
        "place" => "site-place",
        "access" => "site-access",
        "customer" => "site-customer",
        _ => "name",
    })
}

fn page(ask: &Ask<'_>, id: Option<&str>, typed: &Fields, faults: &Faults) -> Response {
    let say = ask.say;
    let site = id.and_then(|id| Some((id, described(ask, id)?)));
    let title = site.map_or_else(|| say.say("site-new"), |(_, site)| site.name.clone());
    let action = id.map_or_else(|| "/sites/new".to_owned(), |id| link::path(&["sites", id]));
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
    let customers: Vec<(String, String)> = ask
        .state
        .customer_ids()
        .filter_map(|id| {
            let customer = ask.state.customer(id)?.described.as_ref()?;
            Some((id.to_owned(), customer.what.name.clone()))
        })
        .collect();
    let body = html! {
        h1 { (title) }
        @if let Some((id, site)) = site {
            @if !site.place.is_empty() { p { (site.place) } }
            @if !site.access.is_empty() { p { (say.with("site-way-in", &[("access", site.access.as_str().into())])) } }
            @if let Some(customer) = &site.customer {
                @if let Some((_, name)) = customers.iter().find(|(id, _)| id == customer) { p { a href=(link::path(&["customers", customer])) { (name) } } }
            }
            h2 { (say.say("site-units")) }
            (units(ask, id))
            ul.doing { li { a.button href={ "/units/new?site=" (link::encoded(id)) } { (say.say("to-unit-new")) } } }
            h2 { (say.say("describe-anew")) }
        }
        (faults.summary(ask, |name| label(ask, name)))
        form method="post" action=(action) {
            (form::hidden_id(ask))
            (field("name", Entry::Line, true))
            (field("place", Entry::Line, false))
            (field("access", Entry::Text, false))
            (form::select(ask, "customer", &label(ask, "customer"), &customers, typed, faults))
            p { button.first { (say.say("save")) } }
        }
    };
    Page {
        above: vec![("/sites".to_owned(), say.say("nav-sites"))],
        status: if faults.is_empty() { 200 } else { 422 },
        ..Page::new(&title, "/sites", body)
    }
    .answer(ask)
}

/// Writes a new site down.
pub(crate) fn write(ask: &Ask<'_>, _held: &[String]) -> Response {
    let entry = ask.entry_id("site");
    // The same form again: it is there already, under the id that it was given first.
    if let Some(Ok(Payload::Site(site))) = ask.state.entry(entry).map(|entry| entry.payload.decode()) {
        return layout::see(&link::path(&["sites", &site.site]));
    }
    let id = new_id(ask.sent.get("name"), entry, |id| ask.state.site(id).is_some());
    keep(ask, None, &id)
}

/// Writes down what is now known of a site.
pub(crate) fn rewrite(ask: &Ask<'_>, held: &[String]) -> Response {
    match held.first().filter(|id| described(ask, id).is_some()) {
        Some(id) => keep(ask, Some(id), id),
        None => layout::not_found(ask),
    }
}

fn keep(ask: &Ask<'_>, known: Option<&str>, id: &str) -> Response {
    let mut faults = Faults::default();
    form::required(ask, &mut faults, "name");
    let customer = ask.sent.get("customer");
    if !customer.is_empty() && ask.state.customer(customer).is_none() {
        faults.add("customer", ask.say.say("wrong-choice"));
    }
    for name in ["place", "access"] {
        if ask.sent.get(name).chars().count() > 4000 {
            faults.add(name, ask.say.say("wrong-long"));
        }
    }
    if !faults.is_empty() {
        return page(ask, known, &ask.sent, &faults);
    }
    let site = SiteDescribed {
        site: id.to_owned(),
        customer: (!customer.is_empty()).then(|| customer.to_owned()),
        name: ask.sent.get("name").to_owned(),
        place: ask.sent.get("place").to_owned(),
        access: ask.sent.get("access").to_owned(),
    };
    let entry = ask.entry("site", ask.now(), &Payload::Site(site));
    ask.keep(vec![entry], &link::path(&["sites", id]))
}

/// An id made of a name: small letters, digits and hyphens, with a tail of the entry's own where it is taken. `new` is the
/// address of the form.
pub(crate) fn new_id(name: &str, entry: EventId, taken: impl Fn(&str) -> bool) -> String {
    let mut id = String::new();
    for c in name.to_lowercase().chars().take(40) {
        match c {
            'a'..='z' | '0'..='9' => id.push(c),
            _ if !id.is_empty() && !id.ends_with('-') => id.push('-'),
            _ => {}
        }
    }
    let id = id.trim_end_matches('-').to_owned();
    if id.is_empty() || id == "new" || taken(&id) {
        let [.., a, b, c, d] = entry.tail();
        let tail = format!("{a:02x}{b:02x}{c:02x}{d:02x}");
        return format!("{id}-{tail}").trim_start_matches('-').to_owned();
    }
    id
}
