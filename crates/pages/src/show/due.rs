//! The first page: who needs a visit and why, soonest first; what came in; search by name and place.

use std::sync::Arc;

use jiff::SignedDuration;
use jiff::tz::TimeZone;
use ledger::state::Effective;
use ledger::{Entry, Subject};
use maud::{Markup, html};
use unit::Unit;

use super::words::{self, Due};
use super::{log, work};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::layout::Page;
use crate::frame::link;
use crate::memo::{Digest, in_service};

/// How many units a part of the list names before it says how many more there are.
const NAMED: usize = 60;
/// Days of the parts of the list.
const SOON_D: f64 = 30.0;
const LATER_D: f64 = 90.0;
/// A reading older than this many days is no ground to decide on (common practice, no source).
const OLD_D: f64 = 90.0;

/// A unit on the list.
struct Row<'a> {
    unit: &'a Unit,
    digest: Option<(Arc<Digest>, bool)>,
}

impl Row<'_> {
    fn first_d(&self) -> f64 {
        self.digest.as_ref().map_or(f64::INFINITY, |(digest, _)| {
            let due = digest.parts.iter().filter_map(|part| part.due_in_d);
            due.map(|due| due.p50).fold(f64::INFINITY, f64::min)
        })
    }
}

/// The page.
pub(crate) fn show(ask: &Ask<'_>, _held: &[String]) -> Response {
    let say = ask.say;
    let wanted = ask.query.get("q");
    let mut rows: Vec<Row<'_>> = in_service(ask.state)
        .filter(|id| wanted.is_empty() || matches(ask, id, wanted))
        .filter_map(|id| {
            Some(Row {
                unit: ask.state.unit(id)?.unit()?,
                digest: ask.memo.digest(ask.state, id, ask.today()),
            })
        })
        .collect();
    rows.sort_by(|a, b| {
        a.first_d()
            .total_cmp(&b.first_d())
            .then_with(|| a.unit.id.cmp(&b.unit.id))
    });
    let (known, waiting): (Vec<_>, Vec<_>) = rows.iter().partition(|row| row.digest.is_some());
    let now = known.iter().filter(|row| row.first_d() <= 0.0);
    let soon = known
        .iter()
        .filter(|row| row.first_d() > 0.0 && row.first_d() <= SOON_D);
    let later = known
        .iter()
        .filter(|row| row.first_d() > SOON_D && row.first_d() <= LATER_D);
    let rest = known.iter().filter(|row| row.first_d() > LATER_D);
    let parts: [(&str, Vec<&Row<'_>>); 5] = [
        ("due-now-title", now.copied().collect()),
        ("due-soon-title", soon.copied().collect()),
        ("due-later-title", later.copied().collect()),
        ("due-rest-title", rest.copied().collect()),
        ("due-waiting-title", waiting),
    ];
    let count = |key: usize| parts.get(key).map_or(0, |(_, rows)| rows.len());
    let title = say.say("nav-due");
    let headline = say.with(
        "due-headline",
        &[
            ("now", count(0).into()),
            ("soon", count(1).into()),
            ("all", rows.len().into()),
        ],
    );
    let body = html! {
        h1 { (title) }
        @if wanted.is_empty() && rows.is_empty() { p { (say.say("due-empty")) } }
        @else if wanted.is_empty() { p.verdict { (headline) } }
        form.search action="/" method="get" role="search" {
            div { label for="q" { (say.say("search")) } input #q type="search" name="q" value=(wanted); }
            button { (say.say("search-go")) }
        }
        @if !wanted.is_empty() {
            p role="status" { (say.with("search-found", &[("n", rows.len().into()), ("words", wanted.into())])) " " a href="/" { (say.say("search-all")) } }
        }
        @for row in &rows {
            @if let Some(known) = ask.state.unit(&row.unit.id) { (work::under_way(ask, known, row.unit, true)) }
        }
        @for (key, rows) in &parts {
            @if !rows.is_empty() {
                h2 { (say.say(key)) }
                @if *key == "due-waiting-title" { p { (say.say("due-waiting")) } }
                ul.plain { @for row in rows.iter().take(NAMED) { li { (entry(ask, row)) } } }
                @if rows.len() > NAMED { p { (say.with("due-more", &[("n", (rows.len() - NAMED).into())])) } }
            }
        }
        @if wanted.is_empty() {
            (came_in(ask))
            ul.doing { li { a.button href="/units/new" { (say.say("to-unit-new")) } } }
        }
    };
    Page::new(&title, "/", body).answer(ask)
}

/// Whether all words stand in the names of a unit, its site, its place or its customer.
fn matches(ask: &Ask<'_>, id: &str, wanted: &str) -> bool {
    let known = ask.state.unit(id);
    let name = known
        .and_then(|known| known.unit())
        .map_or("", |unit| unit.name.as_str());
    let site = known.and_then(|known| ask.state.site(known.site.as_deref()?));
    let site = site
        .and_then(|site| site.described.as_ref())
        .map(|site| &site.what);
    let customer = site
        .and_then(|site| ask.state.customer(site.customer.as_deref()?)?.described.as_ref())
        .map_or("", |customer| customer.what.name.as_str());
    let (site_name, place) = site.map_or(("", ""), |site| (site.name.as_str(), site.place.as_str()));
    let text = [id, name, site_name, place, customer].join(" ").to_lowercase();
    wanted
        .to_lowercase()
        .split_whitespace()
        .all(|word| text.contains(word))
}

fn entry(ask: &Ask<'_>, row: &Row<'_>) -> Markup {
    let say = ask.say;
    let place = words::place(ask, &row.unit.id);
    html! {
        a.name href=(link::unit(&row.unit.id)) { (row.unit.name) }
        @if !place.is_empty() { " " span.faint { (place) } }
        @if let Some((digest, holds)) = &row.digest {
            @let due = words::due(row.unit, &digest.parts, LATER_D);
            @for one in &due { p { (due_words(ask, row.unit, one, digest)) } }
            @if row.first_d() <= SOON_D { p { a.button href=(link::below_unit(&row.unit.id, "work")) aria-label=(say.with("work-at", &[("unit", row.unit.name.as_str().into())])) { (say.say("work-title")) } } }
            @if due.is_empty() {
                @if let Some(first) = words::due(row.unit, &digest.parts, f64::INFINITY).first() {
                    p { (words::due_figure(ask, row.unit, first, digest.as_of)) }
                } @else { p { (say.say("due-nothing-known")) } }
            }
            @if digest.doubtful > 0 { p.small { (say.with("doubtful", &[("n", digest.doubtful.into())])) } }
            (age(ask, &row.unit.id))
            @if !holds { p.small { (say.say("due-stale")) } }
        }
    }
}

fn due_words(ask: &Ask<'_>, unit: &Unit, due: &Due<'_>, digest: &Digest) -> Markup {
    let sentence = words::due_figure(ask, unit, due, digest.as_of);
    html! { @if due.in_d.p50 <= 0.0 { span.late { (sentence) } } @else { (sentence) } }
}

/// Says so where the last reading is old.
fn age(ask: &Ask<'_>, id: &str) -> Markup {
    let last = ask
        .state
        .unit(id)
        .and_then(|known| known.readings_until(ask.today()).last());
    // From the day of the reading to this one.
    let days = last.map(|last| wear::lives::days(last.at, ask.today()).floor());
    html! {
        @match days {
            Some(days) if days > OLD_D => { p.small { (ask.say.with("reading-old", &[("n", format!("{days:.0}").into())])) } }
            Some(_) => {}
            None => { p.small { (ask.say.say("reading-none")) } }
        }
    }
}

/// What was written down today and in the seven days before, newest first.
fn came_in(ask: &Ask<'_>) -> Markup {
    let since = ask
        .today()
        .checked_sub(SignedDuration::from_hours(8 * 24))
        .unwrap_or(ask.today());
    let mut recent: Vec<&Entry> = ask
        .state
        .entries()
        .filter(|entry| entry.written_at > since && matches!(entry.payload.subject(), Some(Subject::Unit(_))))
        .collect();
    recent.sort_by_key(|entry| std::cmp::Reverse((entry.written_at, entry.id)));
    let shown: Vec<Effective<'_>> = recent
        .iter()
        .filter_map(|entry| ask.state.effective(entry.id))
        .filter(work::has_line)
        .take(12)
        .collect();
    html! {
        h2 { (ask.say.say("came-in-title")) }
        @if shown.is_empty() { p { (ask.say.say("came-in-nothing")) } }
        ul.plain.said { @for one in &shown { li { (log::line(ask, one, &TimeZone::UTC, true)) } } }
    }
}
