//! A new unit, with its site, its customer and its water, in one go.

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use ledger::payload::{CustomerDescribed, NoteWritten, SiteDescribed, UnitDescribed, WaterAnalysed};
use ledger::{Entry, Payload, Subject};
use maud::{Markup, html};

use super::built::{self, Built};
use super::form::{self as plan, Form};
use super::typical::{Assumed, Source};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::{self, Entry as Typed, Faults};
use crate::frame::layout::{self, Page};
use crate::frame::link;
use crate::show::sites::new_id;
use crate::show::water_form;

/// The form, with what is usual in it.
pub(crate) fn ask(ask: &Ask<'_>, _held: &[String]) -> Response {
    let mut typed = Fields::default();
    typed.set("site", ask.query.get("site"));
    typed.set("customer", ask.query.get("customer"));
    typed.set("count", "1");
    typed.set("commissioned", today(ask));
    typed.set("time_zone", usual_zone(ask).unwrap_or_default());
    page(ask, &typed, &Faults::default(), None)
}

fn today(ask: &Ask<'_>) -> String {
    let zone = usual_zone(ask).and_then(|name| TimeZone::get(&name).ok());
    let now = zone.unwrap_or(TimeZone::UTC).to_datetime(ask.now());
    now.date().to_string()
}

/// The zone of the unit that was put in last.
fn usual_zone(ask: &Ask<'_>) -> Option<String> {
    let described = ask.state.unit_ids().filter_map(|id| {
        let history = ask.state.unit(id)?;
        let last = history.descriptions.last()?;
        Some((last.at, last.what.unit.time_zone.clone()))
    });
    described.max_by_key(|(at, _)| *at).map(|(_, zone)| zone)
}

fn page(ask: &Ask<'_>, typed: &Fields, faults: &Faults, looked_over: Option<&Built>) -> Response {
    let say = ask.say;
    let title = say.say("plan-new-title");
    let form = Form { ask, typed, faults };
    let body = html! {
        h1 { (title) }
        p { (say.say("plan-new-about")) }
        (faults.summary(ask, |name| plan::label(ask, name)))
        form method="post" action="/units/new" {
            (form::hidden_id(ask))
            @if let Some(built) = looked_over {
                section.asked {
                    h2 { (say.say("plan-look-title")) }
                    (plan::assumed(ask, &built.assumed))
                    p { button.first name="do" value="keep" { (say.say("plan-keep")) } }
                }
                h2 { (say.say("plan-change-title")) }
            }
            (form.line("name", Typed::Line, String::new(), true))
            (site(&form))
            (form.line("commissioned", Typed::Date, String::new(), true))
            (form.label())
            (form.stages())
            (form.ways())
            (form.need())
            fieldset {
                legend { (say.say("plan-water-title")) }
                p { (say.say("plan-water-about")) }
                (water_form::fields(ask, "water.", typed, faults))
            }
            details open[faults.of("time_zone").is_some()] {
                summary { (say.say("plan-more")) }
                (form.line("time_zone", Typed::Line, say.say("plan-zone-hint"), false))
            }
            p { button.first name="do" value="look" { (say.say("plan-look")) } }
        }
    };
    Page {
        above: vec![("/sites".to_owned(), say.say("nav-sites"))],
        status: if faults.is_empty() { 200 } else { 422 },
        ..Page::new(&title, "/sites", body)
    }
    .answer(ask)
}

/// Where it stands: a site that is known, or a new one.
fn site(form: &Form<'_, '_>) -> Markup {
    let ask = form.ask;
    let sites: Vec<(String, String)> = ask
        .state
        .site_ids()
        .filter_map(|id| {
            let site = &ask.state.site(id)?.described.as_ref()?.what;
            Some((
                id.to_owned(),
                format!("{} {}", site.name, site.place).trim().to_owned(),
            ))
        })
        .collect();
    let customers: Vec<(String, String)> = ask
        .state
        .customer_ids()
        .filter_map(|id| {
            let customer = ask.state.customer(id)?.described.as_ref()?;
            Some((id.to_owned(), customer.what.name.clone()))
        })
        .collect();
    let new = ["site_name", "site_place", "customer_name"];
    let open = sites.is_empty()
        || new
            .iter()
            .any(|name| !form.typed.get(name).is_empty() || form.faults.of(name).is_some());
    html! {
        @if !sites.is_empty() {
            (form::select(ask, "site", &plan::label(ask, "site"), &sites, form.typed, form.faults))
        }
        details open[open] {
            summary { (ask.say.say("plan-site-new")) }
            (form.line("site_name", Typed::Line, String::new(), false))
            (form.line("site_place", Typed::Line, String::new(), false))
            @if !customers.is_empty() {
                (form::select(ask, "customer", &plan::label(ask, "customer"), &customers, form.typed, form.faults))
            }
            (form.line("customer_name", Typed::Line, String::new(), false))
        }
    }
}

/// Looks the form over, or writes the unit down.
pub(crate) fn write(ask: &Ask<'_>, _held: &[String]) -> Response {
    let entry = ask.entry_id("unit");
    // The same form again: it is there already, under the id that it was given first.
    if let Some(Ok(Payload::Unit(unit))) = ask.state.entry(entry).map(|entry| entry.payload.decode()) {
        return layout::see(&link::unit(&unit.unit));
    }
    let mut faults = Faults::default();
    form::required(ask, &mut faults, "name");
    for name in [
        "site_name",
        "site_place",
        "customer_name",
        "time_zone",
        "water.name",
    ] {
        if ask.sent.get(name).chars().count() > 4000 {
            faults.add(name, ask.say.say("wrong-long"));
        }
    }
    let id = new_id(ask.sent.get("name"), entry, |id| ask.state.unit(id).is_some());
    let mut built = built::read(ask, &id, None, &mut faults);
    if ask.sent.get("time_zone").is_empty() {
        built.assumed.push(Assumed {
            what: plan::label(ask, "time_zone"),
            value: "UTC".to_owned(),
            source: Source::Practice,
        });
    } else if Some(ask.sent.get("time_zone")) == usual_zone(ask).as_deref() {
        built.assumed.push(Assumed {
            what: plan::label(ask, "time_zone"),
            value: ask.sent.get("time_zone").to_owned(),
            source: Source::Ledger,
        });
    }
    let water = water_form::read(ask, "water.");
    if !water.is_empty() {
        water_form::check(ask, "water.", &water, &mut faults);
    }
    let since = since(ask, &built, &mut faults);
    let (site, mut entries) = place(ask, &mut faults);
    if !faults.is_empty() {
        return page(ask, &ask.sent, &faults, None);
    }
    if ask.sent.get("do") != "keep" {
        return page(ask, &ask.sent, &faults, Some(&built));
    }
    let described = UnitDescribed {
        unit: id.clone(),
        site,
        installed: true,
        document: built.document,
    };
    entries.push(ask.entry("unit", since, &Payload::Unit(described)));
    if !water.is_empty() {
        let of = Subject::unit(&id);
        let analysed = Payload::Water(WaterAnalysed { of, document: water });
        entries.push(ask.entry("water", since, &analysed));
    }
    if !built.assumed.is_empty() {
        let note = NoteWritten {
            of: Subject::unit(&id),
            text: said(ask, &built.assumed),
        };
        entries.push(ask.entry("assumed", ask.now(), &Payload::Note(note)));
    }
    ask.keep(entries, &link::unit(&id))
}

/// What was filled in, as a remark: whoever reads the log later can tell it from what was seen.
pub(super) fn said(ask: &Ask<'_>, assumed: &[Assumed]) -> String {
    let items: Vec<String> = assumed
        .iter()
        .map(|one| format!("{}: {} ({})", one.what, one.value, ask.say.say(one.source.key())))
        .collect();
    ask.say
        .with("plan-assumed-note", &[("list", items.join("; ").into())])
}

/// The beginning of its first day in service.
fn since(ask: &Ask<'_>, built: &Built, faults: &mut Faults) -> Timestamp {
    let Some(unit) = &built.unit else { return ask.now() };
    let Some(day) = unit.commissioned else {
        faults.add("commissioned", ask.say.say("wrong-empty"));
        return ask.now();
    };
    let at = begin(day, &casefile::time_zone(unit)).unwrap_or(ask.now());
    if wear::lives::days(ask.now(), at) > 1.5 {
        faults.add("commissioned", ask.say.say("wrong-future"));
    }
    at
}

fn begin(day: Date, zone: &TimeZone) -> Option<Timestamp> {
    zone.to_timestamp(day.at(0, 0, 0, 0)).ok()
}

/// Where it stands, and what has to be written down of that first.
fn place(ask: &Ask<'_>, faults: &mut Faults) -> (Option<String>, Vec<Entry>) {
    let sent = |name: &str| ask.sent.get(name);
    let (known, name) = (sent("site"), sent("site_name"));
    if !known.is_empty() {
        if ask.state.site(known).is_none() {
            faults.add("site", ask.say.say("wrong-choice"));
        }
        if !name.is_empty() {
            faults.add("site_name", ask.say.say("plan-wrong-two-sites"));
        }
        return (Some(known.to_owned()), Vec::new());
    }
    if name.is_empty() {
        for field in ["site_place", "customer_name"] {
            if !sent(field).is_empty() {
                faults.add("site_name", ask.say.say("wrong-empty"));
            }
        }
        return (None, Vec::new());
    }
    let mut entries = Vec::new();
    let mut customer = sent("customer").to_owned();
    if !customer.is_empty() && ask.state.customer(&customer).is_none() {
        faults.add("customer", ask.say.say("wrong-choice"));
    }
    if customer.is_empty() && !sent("customer_name").is_empty() {
        let name = sent("customer_name");
        let id = ask.entry_id("customer");
        customer = new_id(name, id, |id| ask.state.customer(id).is_some());
        let described = CustomerDescribed {
            customer: customer.clone(),
            name: name.to_owned(),
            ..CustomerDescribed::default()
        };
        entries.push(ask.entry("customer", ask.now(), &Payload::Customer(described)));
    }
    let site = new_id(name, ask.entry_id("site"), |id| ask.state.site(id).is_some());
    let described = SiteDescribed {
        site: site.clone(),
        customer: (!customer.is_empty()).then_some(customer),
        name: name.to_owned(),
        place: sent("site_place").to_owned(),
        access: String::new(),
    };
    entries.push(ask.entry("site", ask.now(), &Payload::Site(described)));
    (Some(site), entries)
}
