//! What is printed of a work and of a unit: the card, the plain card for a customer, labels. Here it is said what stands on the
//! paper; the server, which has the writer of PDF, puts it there.

use evaluation::days;
use maud::{Markup, html};
use service::{
    CustomerCard, CustomerRefusal, HousingNote, JobCard, Work, customer_card, housing_notes, job_card,
};
use unit::Unit;

use super::super::{found, words};
use super::begin::{above, refused};
use super::{in_address, language, proof, site, works};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::form;
use crate::frame::layout::{self, Page};
use crate::frame::link;
use crate::memo::end_of_day;

/// The papers, as addresses name them.
const PAPERS: [(&str, &str); 2] = [("a4", "paper-a4"), ("letter", "paper-letter")];
/// The sheets of labels by paper: width and height of a label in millimetres.
const SHEETS: [(&str, &str); 6] = [
    ("a4", "99x68"),
    ("a4", "99x38"),
    ("a4", "63x38"),
    ("letter", "102x85"),
    ("letter", "102x51"),
    ("letter", "67x25"),
];
/// The most labels of a sheet that may be used already.
const MOST_USED: usize = 29;

/// What is to be printed.
#[derive(Clone, Debug)]
pub struct ToPrint {
    /// Name of the paper: `a4` or `letter`.
    pub paper: String,
    /// The language of what is printed.
    pub language: service::Language,
    /// What the unit is called.
    pub unit: String,
    /// Its id.
    pub id: String,
    /// Where it stands; empty where nobody said.
    pub site: String,
    /// Today at the unit, as ISO 8601 writes it.
    pub day: String,
    /// Address of the unit's page, for the QR code.
    pub address: String,
    /// What of it.
    pub what: Printable,
}

/// What can be printed of a unit.
#[derive(Clone, Debug)]
pub enum Printable {
    /// The card of a work.
    Card(Box<JobCard>),
    /// The plain card of a work for a customer.
    Customer(CustomerCard),
    /// Labels.
    Labels {
        /// Name of the sheet; the paper's first where none is named.
        sheet: Option<String>,
        /// Labels of the first sheet that are used already.
        skip: usize,
        /// Whether the labels' edges are drawn.
        edges: bool,
        /// Whether the unit's own label is among them.
        own: bool,
        /// The housings', each with its days.
        housings: Vec<(HousingNote, days::PartDays)>,
    },
}

/// What an address `/print/WHAT/UNIT` asks to print, or the page that says why it is not.
#[expect(
    clippy::result_large_err,
    reason = "the page that says why is made once, and sent"
)]
pub(crate) fn asked(ask: &Ask<'_>, what: &str, id: &str) -> Result<ToPrint, Response> {
    let (known, unit) = found::unit(ask, &[id.to_owned()])?;
    let site = site(ask, known);
    let works = works(ask.query.all("w"));
    let what = match what {
        "card" => {
            let card = job_card(unit, &works, &site).map_err(|error| refused(ask, unit, &works, &error))?;
            let expected = proof::expected(ask, unit, &works, None).unwrap_or_default();
            Printable::Card(Box::new(card.expecting(&expected)))
        }
        "customer" => {
            let card = customer_card(unit, &works, &site).map_err(|error| match error {
                CustomerRefusal::Card(error) => refused(ask, unit, &works, &error),
                CustomerRefusal::NotForCustomers(reasons) => not_for_customers(ask, unit, &reasons),
            })?;
            Printable::Customer(card)
        }
        "labels" => {
            let parts: Vec<&str> = ask.query.all("part").collect();
            let own = ask.query.get("own") == "yes";
            let notes = if own && parts.is_empty() {
                Vec::new()
            } else {
                housing_notes(unit, &parts, &site).map_err(|error| refused(ask, unit, &[], &error))?
            };
            Printable::Labels {
                sheet: Some(ask.query.get("size").to_owned()).filter(|size| !size.is_empty()),
                skip: ask.query.get("skip").trim().parse().unwrap_or(0),
                edges: ask.query.get("edges") == "yes",
                own,
                housings: with_days(ask, unit, notes),
            }
        }
        _ => return Err(layout::not_found(ask)),
    };
    let paper = ask.query.get("paper");
    Ok(ToPrint {
        paper: if paper.is_empty() { PAPERS[0].0 } else { paper }.to_owned(),
        language: language(ask),
        unit: if unit.name.is_empty() {
            &unit.id
        } else {
            &unit.name
        }
        .clone(),
        id: unit.id.clone(),
        site: words::place(ask, &unit.id),
        day: casefile::time_zone(unit)
            .to_datetime(ask.now())
            .date()
            .to_string(),
        address: format!("{}{}", ask.request.own_origin, link::unit(&unit.id)),
        what,
    })
}

fn with_days(ask: &Ask<'_>, unit: &Unit, notes: Vec<HousingNote>) -> Vec<(HousingNote, days::PartDays)> {
    let as_of = end_of_day(ask.now());
    let whole = ask.memo.whole(ask.state, &unit.id, ask.now());
    let events = ask.state.unit(&unit.id).map(|known| known.events_until(as_of));
    let zone = casefile::time_zone(unit);
    let days = |part: &str| {
        let forecasts = whole.as_ref().map_or(&[][..], |whole| &whole.evaluation.parts);
        days::of_part(unit, part, events.unwrap_or_default(), forecasts, as_of, &zone)
    };
    notes
        .into_iter()
        .map(|note| {
            let days = days(&note.part);
            (note, days)
        })
        .collect()
}

fn address(what: &str, unit: &Unit, query: &[(&str, &str)]) -> String {
    let query: Vec<String> = query
        .iter()
        .map(|(name, value)| format!("{name}={}", link::encoded(value)))
        .collect();
    format!("{}?{}", link::path(&["print", what, &unit.id]), query.join("&"))
}

/// The links to the printed cards of a work; the customer's only where the work is one for a customer.
pub(super) fn links(ask: &Ask<'_>, unit: &Unit, works: &[Work]) -> Markup {
    let Some(known) = ask.state.unit(&unit.id) else {
        return html! {};
    };
    let for_customers = customer_card(unit, works, &site(ask, known)).is_ok();
    let named: Vec<String> = works.iter().map(in_address).collect();
    let to = |what: &str, paper: &str| {
        let mut query: Vec<(&str, &str)> = named.iter().map(|work| ("w", work.as_str())).collect();
        query.push(("paper", paper));
        address(what, unit, &query)
    };
    html! {
        details {
            summary { (ask.say.say("print-title")) }
            p { (ask.say.say("print-about")) }
            ul {
                @for (what, key) in [("card", "print-card"), ("customer", "print-customer")] {
                    @if what == "card" || for_customers {
                        @for (paper, name) in PAPERS {
                            li { a href=(to(what, paper)) { (ask.say.say(key)) " (" (ask.say.say(name)) ")" } }
                        }
                    }
                }
                li { a href=(link::below_unit(&unit.id, "labels")) { (ask.say.say("to-labels")) } }
            }
        }
    }
}

/// The page that asks which labels are wanted, on which sheet.
pub(crate) fn labels(ask: &Ask<'_>, held: &[String]) -> Response {
    let (_, unit) = match found::unit(ask, held) {
        Ok(found) => found,
        Err(nothing) => return nothing,
    };
    let say = ask.say;
    let title = say.say("to-labels");
    let skip = form::field_id("skip");
    let body = html! {
        h1 { (title) }
        p { (say.say("labels-about")) }
        @for (paper, name) in PAPERS {
            h2 { (say.say(name)) }
            form method="get" action=(link::path(&["print", "labels", &unit.id])) {
                input type="hidden" name="paper" value=(paper);
                fieldset {
                    legend { (say.say("labels-size")) }
                    @for (index, (_, size)) in SHEETS.iter().filter(|(of, _)| *of == paper).enumerate() {
                        label.choice {
                            input type="radio" name="size" value=(size) checked[index == 0];
                            span { (size.replace('x', " \u{d7} ")) " mm" }
                        }
                    }
                }
                fieldset {
                    legend { (say.say("labels-which")) }
                    label.choice { input type="checkbox" name="own" value="yes" checked; span { (say.say("labels-own")) } }
                    @for part in unit.part_ids().filter(|id| super::has_housing(unit, id)) {
                        label.choice { input type="checkbox" name="part" value=(part) checked; span { (words::part(ask, unit, part)) } }
                    }
                }
                @let id = format!("{skip}-{paper}");
                p {
                    label for=(id) { (say.say("labels-skip")) }
                    input id=(id) type="number" name="skip" value="0" min="0" max=(MOST_USED) inputmode="numeric";
                }
                label.choice { input type="checkbox" name="edges" value="yes"; span { (say.say("labels-edges")) } }
                p { button.first { (say.say("labels-print")) } }
            }
        }
    };
    Page {
        above: found::above(ask, unit),
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

/// A customer must not do this work alone: each reason a sentence.
fn not_for_customers(ask: &Ask<'_>, unit: &Unit, reasons: &[String]) -> Response {
    let title = ask.say.say("print-not-for-customers");
    let body = html! {
        h1 { (title) }
        ul { @for reason in reasons { li { (reason) } } }
        p { a.button.first href=(link::below_unit(&unit.id, "work")) { (ask.say.say("work-choose-again")) } }
    };
    Page {
        above: above(ask, unit),
        status: 422,
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

/// Why nothing was printed of what was asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotPrinted {
    /// A label has no room for what must stand on it; the sheets that have.
    NoRoom {
        /// The unit or part whose label it is.
        of: String,
        /// The label asked for.
        label: String,
        /// The sheets that have room for all, as `SIZE PAPER`.
        roomy: Vec<String>,
    },
    /// There is no such paper or sheet, or more labels of it are said to be used than it has.
    Unknown,
    /// The address is too long for a QR code.
    Address,
}

/// The page that says why.
pub(crate) fn not_printed(ask: &Ask<'_>, why: &NotPrinted) -> Response {
    match why {
        NotPrinted::NoRoom { of, label, roomy } => {
            let title = ask.say.say("print-no-room-title");
            let size = label.replace('x', " \u{d7} ");
            let body = html! {
                h1 { (title) }
                p { (ask.say.with("print-no-room", &[("of", of.as_str().into()), ("label", size.into())])) }
                @if !roomy.is_empty() {
                    p { (ask.say.say("print-roomy")) }
                    ul { @for one in roomy { li { (one.replace('x', " \u{d7} ")) } } }
                }
            };
            Page {
                status: 422,
                ..Page::new(&title, "", body)
            }
            .answer(ask)
        }
        NotPrinted::Unknown => layout::message(ask, 422, "print-unknown-title", "print-unknown"),
        NotPrinted::Address => layout::message(ask, 422, "print-unknown-title", "print-address"),
    }
}
