//! A unit: its verdict, the unit as built, its history, where the litres went.

use chart::{DESK_PX, PHONE_PX};
use evaluation::Evaluation;
use evaluation::picture::Words;
use jiff::tz::TimeZone;
use ledger::UnitHistory;
use ledger::state::Origin;
use maud::{Markup, html};
use unit::Unit;
use wear::{Estimate, History, StandardisedReading};

use super::drawing::Drawing;
use super::how::Named;
use super::{found, readings, trouble, verdict, words, work};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::figure::figure;
use crate::frame::layout::{self, Page};
use crate::frame::link;

/// The unit's other pages: what was done or seen is written down, what is known is looked up, what it is is changed.
const ALSO: [(&str, &str); 8] = [
    ("events/new", "to-event"),
    ("notes/new", "to-note"),
    ("log", "to-log"),
    ("water", "to-water"),
    ("labels", "to-labels"),
    ("import", "to-import"),
    ("limits", "to-limits"),
    ("plan", "to-plan"),
];

/// Rows of the table beside the chart.
const ROWS: usize = 12;

/// The page.
pub(crate) fn show(ask: &Ask<'_>, held: &[String]) -> Response {
    let (known, unit) = match found::unit(ask, held) {
        Ok(found) => found,
        Err(nothing) => return nothing,
    };
    let say = ask.say;
    let as_of = ask.today();
    let (Some(whole), Some(history)) = (ask.whole(&unit.id), ask.history(&unit.id)) else {
        return layout::not_found(ask);
    };
    let evaluation = &whole.evaluation;
    let expected = whole.expected(&history);
    let reading_at = expected.map(|expected| expected.reading_at);
    let zone = casefile::time_zone(unit);
    let drawing = Drawing {
        ask,
        unit,
        parts: &evaluation.parts,
        as_of,
        expected,
        reading: history
            .readings
            .iter()
            .rev()
            .find(|reading| Some(reading.at) == reading_at),
    };
    let place = words::place(ask, &unit.id);
    let below = |rest: &str| link::below_unit(&unit.id, rest);
    let body = html! {
        h1 { (unit.name) }
        p.faint {
            @if let Some(site) = &known.site { a href=(link::path(&["sites", site])) { (if place.is_empty() { site } else { &place }) } }
        }
        @if let Some(retired) = &known.retired { p.late { (say.with("unit-retired", &[("day", ask.day(retired.at, &zone).into())])) } }
        (work::under_way(ask, known, unit, false))
        p.verdict { (verdict::sentence(ask, unit, evaluation)) }
        ul.doing {
            li { a.button.first href=(below("readings/new")) { (say.say("to-readings")) } }
            li { a.button href=(below("work")) { (say.say("work-title")) } }
            li { a.button href=(below(trouble::PAGE)) { (say.say("trouble-title")) } }
        }
        ul.also {
            @for (rest, key) in ALSO { li { a href=(below(rest)) { (say.say(key)) } } }
        }
        h2 { (say.say("advice-title")) }
        (verdict::advice(ask, unit, evaluation))
        h2 { (say.say("due-title")) }
        @let due = words::due(unit, &evaluation.parts, f64::INFINITY);
        @if due.is_empty() { p { (say.say("due-nothing-known")) } }
        ul { @for one in &due { li { (words::due_figure(ask, unit, one, as_of)) } } }
        h2 { (say.say("drawing-title")) }
        @match expected {
            Some(expected) => { p { (say.with("drawing-about", &[("day", ask.day(expected.reading_at, &zone).into())])) } }
            None => { p { (say.say("drawing-no-model")) } }
        }
        (drawing.show())
        h2 { (say.say("history-title")) }
        (chart(ask, known, unit, evaluation))
        (table(ask, known, unit, evaluation))
        (doubts(ask, known, unit, evaluation, &zone))
        @if let Some(explanation) = &evaluation.explanation {
            h2 { (say.say("litres-title")) }
            (verdict::litres(ask, unit, explanation))
        }
    };
    Page {
        above: vec![("/".to_owned(), say.say("nav-due"))],
        ..Page::new(&unit.name, "", body)
    }
    .answer(ask)
}

/// The chart, in the width of a telephone or of a desk. It is a picture of its own, so that a page needs no style in it.
fn chart(ask: &Ask<'_>, known: &UnitHistory, unit: &Unit, evaluation: &Evaluation) -> Markup {
    let say = ask.say;
    let address = link::below_unit(&unit.id, "history.svg");
    // Each panel opens to the newest value in it.
    let newest = |value: fn(&StandardisedReading) -> Option<Estimate>| {
        let readings = evaluation.standardisation.readings.iter();
        let pairs = readings.zip(known.reading_origins()).rev();
        pairs
            .filter(|(one, _)| value(one).is_some())
            .map(|(_, origin)| origin.entry.to_string())
            .next()
    };
    let panels = [
        (
            Named::FLOW,
            "chart-flow",
            newest(|one| one.relative_permeate_flow),
        ),
        (Named::SALT, "chart-salt", newest(|one| one.relative_salt_passage)),
        (
            Named::DROP,
            "chart-drop",
            newest(|one| one.relative_pressure_drop),
        ),
    ];
    html! {
        @if evaluation.standardisation.readings.is_empty() { p { (say.say("history-none")) } }
        @else {
            p { (say.say("history-about")) }
            figure {
                picture {
                    source media="(max-width: 40rem)" srcset={ (address) "?wide=phone" };
                    img src=(address) width="920" height="640" alt=(say.with("history-alt", &[("name", unit.name.as_str().into())]));
                }
                figcaption {
                    (say.say("how-these"))
                    ul { @for (name, key, entry) in &panels { @if let Some(entry) = entry { li { (figure(&unit.id, name, entry, say.say(key))) } } } }
                }
            }
        }
    }
}

/// The standardised history as SVG.
pub(crate) fn picture(ask: &Ask<'_>, held: &[String]) -> Response {
    let unit = match found::unit(ask, held) {
        Ok((_, unit)) => unit,
        Err(nothing) => return nothing,
    };
    let known = (ask.whole(&unit.id), ask.history(&unit.id));
    let (Some(whole), Some(history)) = known else {
        return layout::not_found(ask);
    };
    let width = if ask.query.get("wide") == "phone" {
        PHONE_PX
    } else {
        DESK_PX
    };
    layout::svg(draw(ask, &whole.evaluation, &history, width))
}

fn draw(ask: &Ask<'_>, evaluation: &Evaluation, history: &History<'_>, width_px: f64) -> String {
    let say = ask.say;
    let due = words::due(history.unit, &evaluation.parts, f64::INFINITY);
    let membranes = due.iter().find(|due| {
        let element = |part: &&wear::forecast::PartForecast| history.unit.element(&part.id).is_some();
        due.parts.iter().any(element)
    });
    let words = Words {
        flow: say.say("chart-flow"),
        salt: say.say("chart-salt"),
        drop: say.say("chart-drop"),
        of_new: say.say("chart-of-new"),
        limit: say.say("chart-limit"),
        due: say.say("chart-due"),
        event: Box::new(|unit, part, kind| {
            format!("{}: {}", words::part(ask, unit, part), words::event(ask, kind))
        }),
        subtitle: Some(membranes.map_or_else(String::new, |due| {
            words::due_sentence(ask, history.unit, due, evaluation.as_of)
        })),
        own: words::of_pictures(ask),
        width_px,
    };
    evaluation.picture(history, &words)
}

/// Every reading that is in doubt, with what would fit and the way to correct it.
fn doubts(
    ask: &Ask<'_>,
    known: &UnitHistory,
    unit: &Unit,
    evaluation: &Evaluation,
    zone: &TimeZone,
) -> Markup {
    let readings = evaluation
        .standardisation
        .readings
        .iter()
        .zip(known.reading_origins());
    let doubtful: Vec<_> = readings.filter(|(one, _)| !one.doubts.is_empty()).collect();
    html! {
        @if !doubtful.is_empty() {
            h3 { (ask.say.say("doubts-title")) }
            ul {
                @for (one, origin) in doubtful.iter().rev() {
                    li {
                        a href=(link::entry(origin.entry)) { (ask.day(one.at, zone)) } ": "
                        @for doubt in &one.doubts { (readings::doubt(ask, unit, origin.entry, doubt)) " " }
                    }
                }
            }
        }
    }
}

/// The last readings as a table.
fn table(ask: &Ask<'_>, known: &UnitHistory, unit: &Unit, evaluation: &Evaluation) -> Markup {
    let say = ask.say;
    let zone = casefile::time_zone(unit);
    let of_new = |estimate: Option<Estimate>, name: &str, origin: &Origin| match estimate {
        Some(one) => {
            let text = say.with(
                "of-new",
                &[
                    ("percent", say.percent(one.value).into()),
                    ("give", format!("{:.0}", 100.0 * one.sd).into()),
                ],
            );
            figure(&unit.id, name, &origin.entry.to_string(), text)
        }
        None => html! { "\u{2013}" },
    };
    let rows: Vec<_> = evaluation
        .standardisation
        .readings
        .iter()
        .zip(known.reading_origins())
        .rev()
        .take(ROWS)
        .collect();
    html! {
        @if !evaluation.standardisation.readings.is_empty() {
            div.wide tabindex="0" role="region" aria-label=(say.say("history-caption")) {
                table {
                    caption { (say.say("history-caption")) }
                    thead { tr {
                        th scope="col" { (say.say("day")) }
                        th.number scope="col" { (say.say("history-flow")) }
                        th.number scope="col" { (say.say("history-salt")) }
                        th scope="col" { (say.say("history-doubts")) }
                    } }
                    tbody {
                        @for (one, origin) in &rows {
                            tr {
                                th scope="row" { (ask.day(one.at, &zone)) }
                                td.number { (of_new(one.relative_permeate_flow, Named::FLOW, origin)) }
                                td.number { (of_new(one.relative_salt_passage, Named::SALT, origin)) }
                                td {
                                    @for doubt in &one.doubts { (words::field(ask, doubt.field)) " " }
                                    @if one.relative_permeate_flow.is_none() && !one.missing.is_empty() {
                                        span.faint {
                                            (say.say("missing")) " "
                                            (say.list(&one.missing.iter().map(|field| words::field(ask, *field)).collect::<Vec<_>>()))
                                        }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}
