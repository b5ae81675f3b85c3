//! Which address is answered by what. To add a page, add a line here and a function in `show`.

use super::ask::Ask;
use super::{assets, layout};
use crate::show::{
    corrections, customers, due, events, how, import, log, notes, plan, readings, settings, sites, trouble,
    unit, water, who, work,
};
use crate::{Method, Response};

/// Answers a request to an address; the segments that stand for `*` come with it, decoded.
type Answer = fn(&Ask<'_>, &[String]) -> Response;

/// An address, what reads it, and what writes to it.
struct Route(&'static str, Option<Answer>, Option<Answer>);

const ROUTES: &[Route] = &[
    Route("/", Some(due::show), None),
    Route("/settings", Some(settings::show), Some(settings::write)),
    // The server answers these itself; only a worker asks for them here.
    Route("/backup", Some(settings::needs_network), None),
    Route("/restore", None, Some(settings::needs_network)),
    Route("/export/*", Some(settings::needs_network), None),
    Route("/print/*/*", Some(settings::needs_network), None),
    Route("/who", Some(who::show), Some(who::say)),
    // Before the address of a unit: no unit has this id.
    Route("/units/new", Some(plan::ask), Some(plan::write)),
    Route("/units/*", Some(unit::show), None),
    Route("/units/*/import", Some(import::ask), Some(import::write)),
    Route("/units/*/limits", Some(plan::limits), Some(plan::set_limits)),
    Route("/units/*/plan", Some(plan::alter), Some(plan::rewrite)),
    Route("/units/*/history.svg", Some(unit::picture), None),
    Route("/units/*/how/*", Some(how::show), None),
    Route("/units/*/how/*/*", Some(how::show), None),
    Route("/units/*/log", Some(log::show), None),
    Route("/units/*/water", Some(water::show), Some(water::write)),
    Route("/units/*/saturation.svg", Some(water::picture), None),
    Route(
        "/units/*/readings/new",
        Some(readings::ask),
        Some(readings::write),
    ),
    Route("/units/*/readings/*", Some(readings::saved), None),
    Route("/units/*/trouble", Some(trouble::show), Some(trouble::write)),
    Route("/units/*/labels", Some(work::print::labels), None),
    Route("/units/*/work", Some(work::choose), Some(work::begin)),
    // Before the address of a work: no entry has this id.
    Route("/units/*/work/card", Some(work::card), None),
    Route("/units/*/work/*", Some(work::show), Some(work::go_on)),
    Route("/units/*/events/new", Some(events::ask), Some(events::write)),
    Route("/units/*/notes/new", Some(notes::ask), Some(notes::write)),
    Route("/entries/*", Some(corrections::show), Some(corrections::write)),
    Route("/sites", Some(sites::list), None),
    Route("/sites/new", Some(sites::ask), Some(sites::write)),
    Route("/sites/*", Some(sites::show), Some(sites::rewrite)),
    Route("/customers", Some(customers::list), None),
    Route("/customers/new", Some(customers::ask), Some(customers::write)),
    Route("/customers/*", Some(customers::show), Some(customers::rewrite)),
];

/// The segments of a path that stand for the `*` of a pattern; none where it does not fit.
fn fit(pattern: &str, path: &str) -> Option<Vec<String>> {
    let mut held = Vec::new();
    let (mut wanted, mut given) = (pattern.split('/'), path.split('/'));
    loop {
        match (wanted.next(), given.next()) {
            (None, None) => return Some(held),
            (Some("*"), Some(segment)) if !segment.is_empty() => {
                held.push(super::link::decoded(segment, false));
            }
            (Some(wanted), Some(given)) if wanted == given => {}
            _ => return None,
        }
    }
}

/// Answers a request.
pub(crate) fn answer(ask: &Ask<'_>) -> Response {
    if let Some(asset) = assets::find(ask.request.path) {
        return asset;
    }
    let found = ROUTES
        .iter()
        .find_map(|route| Some((route, fit(route.0, ask.request.path)?)));
    let Some((Route(_, read, write), held)) = found else {
        return layout::not_found(ask);
    };
    match (ask.request.method, read, write) {
        (Method::Get, Some(read), _) => read(ask, &held),
        (Method::Post, _, Some(write)) => match ask.refusal() {
            None => write(ask, &held),
            Some(refusal) => refusal,
        },
        _ => layout::not_that_way(ask),
    }
}
