//! Choose the parts: those that are due are chosen.

use maud::{Markup, html};
use service::Work;
use unit::{SedimentMedia, StageKind, Unit};
use wear::forecast::PartForecast;

use super::super::{found, words};
use super::under_way;
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::layout::{self, Page};
use crate::frame::link;

/// A part that is due within so many days is chosen: nobody comes back for it three weeks later (common practice, no
/// source).
const CHOSEN_D: f64 = 30.0;

/// The form.
pub(crate) fn choose(ask: &Ask<'_>, held: &[String]) -> Response {
    let (known, unit) = match found::unit(ask, held) {
        Ok(found) => found,
        Err(nothing) => return nothing,
    };
    let Some(whole) = ask.memo.whole(ask.state, &unit.id, ask.now()) else {
        return layout::not_found(ask);
    };
    let say = ask.say;
    let title = say.say("work-title");
    let parts: Vec<&str> = unit.part_ids().filter(|id| has_housing(unit, id)).collect();
    let body = html! {
        h1 { (title) }
        (under_way(ask, known, unit, false))
        p { (say.say("work-about")) }
        form method="get" action=(link::below_unit(&unit.id, "work/card")) {
            fieldset.choices {
                legend { (say.say("work-which")) }
                @for id in &parts { (part(ask, unit, id, &whole.evaluation.parts)) }
            }
            p { button.first { (say.say("work-to-card")) } }
            details {
                summary { (say.say("work-other")) }
                fieldset.choices {
                    legend { (say.say("work-only-look")) }
                    @for id in &parts { (choice(&format!("inspect:{id}"), false, &words::part(ask, unit, id), &html! {})) }
                }
                p { button { (say.say("work-to-card")) } }
            }
        }
        details {
            summary { (say.say("work-whole")) }
            p { (say.say("work-whole-about")) }
            ul.doing {
                @for work in [Work::Sanitise, Work::Descale, Work::Clean, Work::Commission, Work::LayUp] {
                    li {
                        a.button href={ (link::below_unit(&unit.id, "work/card")) "?w=" (work.name()) } {
                            (say.say(&format!("work-{}", work.name().replace('_', "-"))))
                        }
                    }
                }
            }
        }
    };
    Page {
        above: found::above(ask, unit),
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

/// Whether it is a part that a card can be about: a pump is serviced by its maker's book.
pub(crate) fn has_housing(unit: &Unit, id: &str) -> bool {
    let pump = unit
        .stage(id)
        .is_some_and(|stage| matches!(stage.kind, StageKind::Pump { .. }));
    !pump && unit.part_ids().any(|part| part == id)
}

/// A part with what is usually done to it, and when it is due.
fn part(ask: &Ask<'_>, unit: &Unit, id: &str, forecasts: &[PartForecast]) -> Markup {
    let due = words::due(unit, forecasts, f64::INFINITY);
    let due = due.iter().find(|due| due.parts.iter().any(|part| part.id == id));
    // A page that found the part at fault leads here with its name.
    let asked = ask.query.all("part").any(|part| part == id);
    let chosen = asked || due.is_some_and(|due| due.in_d.p50 <= CHOSEN_D);
    let name = words::part(ask, unit, id);
    let washable = unit.stage(id).is_some_and(|stage| {
        matches!(
            stage.kind,
            StageKind::Sediment {
                media: SedimentMedia::Pleated
            }
        )
    });
    let when = html! {
        @if let Some(due) = due {
            span.small.late[due.in_d.p50 <= 0.0] {
                @if due.in_d.p50 <= 0.0 { (ask.say.say("work-due-now")) }
                @else { (ask.say.with("work-due", &[("day", words::day_after(ask, ask.now(), due.in_d.p50, &casefile::time_zone(unit)).into())])) }
            }
        }
    };
    let says = |key: &str| ask.say.with(key, &[("parts", name.as_str().into())]);
    html! {
        @if washable {
            (choice(&format!("wash:{id}"), chosen, &says("work-wash"), &when))
            (choice(&format!("change:{id}"), false, &says("work-change"), &html! {}))
        } @else {
            (choice(&format!("change:{id}"), chosen, &says("work-change"), &when))
        }
    }
}

fn choice(value: &str, chosen: bool, name: &str, more: &Markup) -> Markup {
    html! {
        label.choice {
            input type="checkbox" name="w" value=(value) checked[chosen];
            span { (name) " " (more) }
        }
    }
}
