//! What conditions explain, the causes as they rank, and what to do about the first.

use fault::{Diagnosis, Ranked, Urgency};
use maud::{Markup, html};
use unit::Unit;

use super::{facts, part, wording};
use crate::frame::ask::Ask;
use crate::frame::link;
use crate::show::work;

/// A change less than this is not told: no bucket shows it.
const TOLD: f64 = 0.01;
/// Causes less probable than this stand together in one line; so do those after so many.
const WORTH_A_LINE: f64 = 0.02;
const LINES: usize = 6;
/// A cause less probable than this is not acted on without one more test (common practice, no source).
const LIKELY: f64 = 0.6;
/// Above this the second cause need not be named with the first.
const CLEAR: f64 = 0.9;
/// Below this the first cause is one of several, and is not called the likeliest (common practice, no source).
const STANDS_OUT: f64 = 0.2;

/// "26 % less", "4 % more".
fn less_or_more(ask: &Ask<'_>, ratio: f64) -> String {
    let percent = ask.say.percent((ratio - 1.0).abs());
    let key = match ratio {
        ratio if (ratio - 1.0).abs() < 0.005 => "trouble-the-same",
        ratio if ratio < 1.0 => "trouble-less",
        _ => "trouble-more",
    };
    ask.say.with(key, &[("percent", percent.into())])
}

/// What changed since the baseline, and what the conditions make of it by themselves.
pub(super) fn conditions(ask: &Ask<'_>, diagnosis: &Diagnosis) -> Option<String> {
    let say = ask.say;
    let told: Vec<String> = diagnosis
        .changes
        .iter()
        .filter(|one| (one.ratio - 1.0).abs() >= TOLD)
        .map(|one| {
            let way = if one.ratio < 1.0 { "less" } else { "more" };
            let condition = say.say(&format!(
                "trouble-condition-{}-{way}",
                one.condition.name().replace('_', "-")
            ));
            let much = less_or_more(ask, one.ratio);
            say.with(
                "trouble-condition",
                &[("condition", condition.into()), ("much", much.into())],
            )
        })
        .collect();
    let explained = match (told.as_slice(), diagnosis.explained_by_conditions) {
        ([], Some(_)) => Some(say.say("trouble-conditions-nothing")),
        ([], None) => None,
        ([_], _) | (_, None) => Some(told.join(", ")),
        (_, Some(all)) => Some(say.with(
            "trouble-conditions-together",
            &[
                ("each", told.join(", ").into()),
                ("all", less_or_more(ask, all).into()),
            ],
        )),
    };
    let made = diagnosis.flow_ratio.map(|ratio| less_or_more(ask, ratio));
    match (made, explained) {
        (Some(made), Some(explained)) => Some(say.with(
            "trouble-made-explained",
            &[("made", made.into()), ("explained", explained.into())],
        )),
        (Some(made), None) => Some(say.with("trouble-made", &[("made", made.into())])),
        (None, Some(explained)) => Some(say.with("trouble-explained", &[("explained", explained.into())])),
        (None, None) => None,
    }
}

/// "the membrane is fouled (membrane 2)".
fn named(ask: &Ask<'_>, unit: &Unit, one: &Ranked) -> String {
    let is = wording::is(ask, one.cause.name());
    // "The sediment filter is blocked (sediment filter)" would say it twice.
    match part(ask, unit, one.part.as_deref()) {
        Some(part) if !is.to_lowercase().contains(&part.to_lowercase()) => format!("{is} ({part})"),
        _ => is,
    }
}

/// What it most likely is.
pub(super) fn verdict(ask: &Ask<'_>, unit: &Unit, diagnosis: &Diagnosis) -> String {
    let say = ask.say;
    let Some(first) = diagnosis.causes.first() else {
        return String::new();
    };
    let mut values = vec![
        ("first", named(ask, unit, first).into()),
        ("chance", say.percent(first.probability).into()),
    ];
    if first.probability < STANDS_OUT {
        return say.with("trouble-verdict-open", &values);
    }
    let second = diagnosis
        .causes
        .get(1)
        .filter(|second| second.probability >= WORTH_A_LINE);
    match second.filter(|_| first.probability < CLEAR) {
        Some(second) => {
            values.push(("second", named(ask, unit, second).into()));
            values.push(("other", say.percent(second.probability).into()));
            say.with("trouble-verdict-two", &values)
        }
        None => say.with("trouble-verdict", &values),
    }
}

/// The causes as they rank, each with what speaks for it and against it.
pub(super) fn ranked(ask: &Ask<'_>, unit: &Unit, diagnosis: &Diagnosis) -> Markup {
    let say = ask.say;
    let shown: Vec<&Ranked> = diagnosis
        .causes
        .iter()
        .filter(|one| one.probability >= WORTH_A_LINE)
        .take(LINES)
        .collect();
    let rest: f64 = diagnosis
        .causes
        .iter()
        .skip(shown.len())
        .map(|one| one.probability)
        .sum();
    html! {
        h2 { (say.say("trouble-causes-title")) }
        @for one in &shown {
            details.cause {
                summary {
                    (wording::capitalised(&named(ask, unit, one))) ": "
                    (wording::probability(ask, one.probability)) ", " (say.percent(one.probability))
                }
                (facts::reasons(ask, unit, one))
                p { strong { (say.say("trouble-do")) } " " (wording::of_cause(ask, "do", one.cause.name())) }
                p { strong { (say.say("trouble-left")) } " " (wording::of_cause(ask, "left", one.cause.name())) }
            }
        }
        @if rest >= 0.005 { p { (say.with("trouble-rest", &[("chance", say.percent(rest).into())])) } }
        @for pair in &diagnosis.pairs {
            @let [a, b] = pair.causes.map(|cause| wording::is(ask, cause.name()));
            p { (say.with("trouble-pair", &[("first", a.into()), ("second", b.into()), ("chance", say.percent(pair.probability).into())])) }
        }
    }
}

/// What to do about the first cause, its part, how soon, and what happens if it is left.
pub(super) fn what_to_do(ask: &Ask<'_>, unit: &Unit, diagnosis: &Diagnosis) -> Markup {
    let say = ask.say;
    let Some(first) = diagnosis.causes.first() else {
        return html! {};
    };
    let cause = first.cause.name();
    let urgency = first.advice().urgency;
    // Work is done on parts with a housing; the part of a meter fault is none, and for a pump or a restrictor there is no card.
    let work = first
        .part
        .as_deref()
        .filter(|id| urgency != Urgency::None && work::has_housing(unit, id))
        .map(|id| (id, link::below_unit(&unit.id, "work")));
    html! {
        @if first.probability < LIKELY { p { (say.say("trouble-unsure")) } }
        dl.said {
            dt { (say.say("trouble-cause")) } dd { (wording::capitalised(&wording::is(ask, cause))) }
            dt { (say.say("trouble-do")) } dd { (wording::of_cause(ask, "do", cause)) }
            @if let Some(part) = part(ask, unit, first.part.as_deref()) { dt { (say.say("trouble-part")) } dd { (part) } }
            dt { (say.say("trouble-urgency")) } dd { (say.say(&format!("trouble-urgency-{}", urgency.name().replace('_', "-")))) }
            dt { (say.say("trouble-left")) } dd { (wording::of_cause(ask, "left", cause)) }
        }
        @if let Some((id, address)) = work {
            p { a.button.first href={ (address) "?part=" (link::encoded(id)) } { (say.say("trouble-to-work")) } }
        }
    }
}
