//! What conditions explain, the causes as they rank, and what to do about the first.

use fault::{Cause, Diagnosis, Ranked, Urgency};
use fluent_bundle::FluentValue;
use maud::{Markup, html};
use unit::Unit;

use super::asked::Asked;
use super::figures::ALL_CONDITIONS;
use super::{facts, part, wording};
use crate::frame::ask::Ask;
use crate::frame::figure::Piece;
use crate::frame::link;
use crate::show::how::Named;
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

/// "26 % less", "4 % more"; `name` and `of` are its account's.
fn less_or_more(
    ask: &Ask<'_>,
    (unit, asked): (&Unit, &Asked),
    ratio: f64,
    (name, of): (&str, &str),
) -> Markup {
    let percent = ask.say.percent((ratio - 1.0).abs());
    let key = match ratio {
        ratio if (ratio - 1.0).abs() < 0.005 => "trouble-the-same",
        ratio if ratio < 1.0 => "trouble-less",
        _ => "trouble-more",
    };
    let words = ask.say.with(key, &[("percent", percent.into())]);
    asked.figure(unit, name, of, words)
}

/// What changed since the baseline, and what the conditions make of it by themselves.
pub(super) fn conditions(ask: &Ask<'_>, unit: &Unit, asked: &Asked, diagnosis: &Diagnosis) -> Option<Markup> {
    let say = ask.say;
    let of = (unit, asked);
    let told: Vec<Markup> = diagnosis
        .changes
        .iter()
        .filter(|one| (one.ratio - 1.0).abs() >= TOLD)
        .map(|one| {
            let way = if one.ratio < 1.0 { "less" } else { "more" };
            let condition = say.say(&format!(
                "trouble-condition-{}-{way}",
                one.condition.name().replace('_', "-")
            ));
            let much = less_or_more(ask, of, one.ratio, (Named::CONDITION, one.condition.name()));
            say.rich(
                "trouble-condition",
                vec![("condition", condition.into()), ("much", much.into())],
            )
        })
        .collect();
    let each = || html! { @for (at, one) in told.iter().enumerate() { @if at > 0 { ", " } (one) } };
    let explained = match (told.as_slice(), diagnosis.explained_by_conditions) {
        ([], Some(_)) => Some(html! { (say.say("trouble-conditions-nothing")) }),
        ([], None) => None,
        ([_], _) | (_, None) => Some(each()),
        (_, Some(all)) => Some(say.rich(
            "trouble-conditions-together",
            vec![
                ("each", each().into()),
                (
                    "all",
                    less_or_more(ask, of, all, (Named::CONDITION, ALL_CONDITIONS)).into(),
                ),
            ],
        )),
    };
    let made = diagnosis
        .flow_ratio
        .map(|ratio| less_or_more(ask, of, ratio, (Named::MADE, "")));
    match (made, explained) {
        (Some(made), Some(explained)) => Some(say.rich(
            "trouble-made-explained",
            vec![("made", made.into()), ("explained", explained.into())],
        )),
        (Some(made), None) => Some(say.rich("trouble-made", vec![("made", made.into())])),
        (None, Some(explained)) => Some(say.rich("trouble-explained", vec![("explained", explained.into())])),
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

/// The chance of a cause.
fn chance(ask: &Ask<'_>, unit: &Unit, asked: &Asked, one: &Ranked) -> Markup {
    let percent = ask.say.percent(one.probability);
    asked.figure(unit, Named::CHANCE, one.cause.name(), percent)
}

/// What it most likely is.
pub(super) fn verdict(ask: &Ask<'_>, unit: &Unit, asked: &Asked, diagnosis: &Diagnosis) -> Markup {
    let named = |one: &Ranked| Piece::from(named(ask, unit, one));
    verdict_of(diagnosis, named, |one| chance(ask, unit, asked, one).into())
        .map_or_else(|| html! {}, |(key, values)| ask.say.rich(key, values))
}

/// The same as plain text.
pub(super) fn verdict_text(ask: &Ask<'_>, unit: &Unit, diagnosis: &Diagnosis) -> String {
    let named = |one: &Ranked| FluentValue::from(named(ask, unit, one));
    verdict_of(diagnosis, named, |one| ask.say.percent(one.probability).into())
        .map_or_else(String::new, |(key, values)| ask.say.with(key, &values))
}

/// The verdict's text with what is put into it; none where there is no cause.
fn verdict_of<T>(
    diagnosis: &Diagnosis,
    named: impl Fn(&Ranked) -> T,
    chance: impl Fn(&Ranked) -> T,
) -> Option<(&'static str, Vec<(&'static str, T)>)> {
    let first = diagnosis.causes.first()?;
    let mut values = vec![("first", named(first)), ("chance", chance(first))];
    if first.probability < STANDS_OUT {
        return Some(("trouble-verdict-open", values));
    }
    let second = diagnosis
        .causes
        .get(1)
        .filter(|second| second.probability >= WORTH_A_LINE);
    Some(match second.filter(|_| first.probability < CLEAR) {
        Some(second) => {
            values.push(("second", named(second)));
            values.push(("other", chance(second)));
            ("trouble-verdict-two", values)
        }
        None => ("trouble-verdict", values),
    })
}

/// The causes as they rank, each with what speaks for it and against it.
pub(super) fn ranked(ask: &Ask<'_>, unit: &Unit, asked: &Asked, diagnosis: &Diagnosis) -> Markup {
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
                // A link within what opens and closes would be two controls in one.
                p { (say.rich("trouble-chance", vec![("chance", chance(ask, unit, asked, one).into())])) }
                (facts::reasons(ask, unit, asked, one))
                p { strong { (say.say("trouble-do")) } " " (wording::of_cause(ask, "do", one.cause.name())) }
                p { strong { (say.say("trouble-left")) } " " (wording::of_cause(ask, "left", one.cause.name())) }
            }
        }
        @if rest >= 0.005 {
            @let chance = asked.figure(unit, Named::CHANCE_REST, &shown.len().to_string(), say.percent(rest));
            p { (say.rich("trouble-rest", vec![("chance", chance.into())])) }
        }
        @for pair in &diagnosis.pairs {
            @let [a, b] = pair.causes.map(|cause| wording::is(ask, cause.name()));
            @let of = pair.causes.map(Cause::name).join(".");
            @let chance = asked.figure(unit, Named::CHANCE_PAIR, &of, say.percent(pair.probability));
            p { (say.rich("trouble-pair", vec![("first", a.into()), ("second", b.into()), ("chance", chance.into())])) }
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
