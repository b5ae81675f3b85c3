//! The verdict on a unit, in the reader's words: what changed, what of it is the membranes', what is due first.
//!
//! It is put together from the parts that `wear` hands out. What `wear` advises is handed out as English sentences only
//! ([`wear::verdict::Verdict::advice`]); they are marked as English where the page is in another language.

use evaluation::Evaluation;
use maud::{Markup, html};
use unit::Unit;
use wear::Estimate;
use wear::explain::Explanation;
use wear::forecast::HORIZON_D;
use wear::verdict::standing;

use super::words;
use crate::frame::ask::Ask;

/// Whether a ratio differs from 1 by more than its uncertainty and by more than a hundredth.
fn told(ratio: f64, sd: f64) -> bool {
    ratio > 0.0 && ratio.ln().abs() > (1.5 * sd / ratio).max(0.01)
}

fn change(ask: &Ask<'_>, ratio: f64) -> String {
    ask.say.percent((ratio - 1.0).abs())
}

/// What changed between the first sound reading of these membranes and the last.
fn changed(ask: &Ask<'_>, unit: &Unit, evaluation: &Evaluation, explanation: &Explanation) -> String {
    let zone = casefile::time_zone(unit);
    let readings = &evaluation.standardisation.readings;
    let from = readings.get(explanation.from).map(|one| ask.day(one.at, &zone));
    let to = readings.get(explanation.to).map(|one| ask.day(one.at, &zone));
    let key = match explanation.total_ratio {
        ratio if (ratio - 1.0).abs() < 0.01 => "verdict-same",
        ratio if ratio < 1.0 => "verdict-less",
        _ => "verdict-more",
    };
    let head = ask.say.with(
        key,
        &[
            ("percent", change(ask, explanation.total_ratio).into()),
            ("from", from.unwrap_or_default().into()),
            ("to", to.unwrap_or_default().into()),
        ],
    );
    let mut causes: Vec<(f64, String)> = explanation
        .factors
        .iter()
        .filter(|factor| told(factor.ratio, factor.sd))
        .map(|factor| (factor.ratio.ln().abs(), cause(ask, factor.cause, factor.ratio)))
        .collect();
    causes.sort_by(|a, b| b.0.total_cmp(&a.0));
    if causes.is_empty() {
        return format!("{head} {}", ask.say.say("verdict-no-cause"));
    }
    let causes: Vec<String> = causes.into_iter().map(|(_, words)| words).collect();
    let causes = ask.say.list(&causes);
    format!(
        "{head} {}",
        ask.say.with("verdict-causes", &[("causes", causes.into())])
    )
}

/// "colder water 18 % less".
fn cause(ask: &Ask<'_>, cause: wear::explain::Cause, ratio: f64) -> String {
    let way = if ratio < 1.0 { "less" } else { "more" };
    let name = ask
        .say
        .say(&format!("cause-{}-{way}", cause.name().replace('_', "-")));
    let percent = change(ask, ratio);
    ask.say.with(
        &format!("cause-{way}"),
        &[("cause", name.into()), ("percent", percent.into())],
    )
}

/// What the membranes let through at equal conditions, against when they were new.
fn membranes(ask: &Ask<'_>, evaluation: &Evaluation) -> Option<String> {
    let standing = standing(&evaluation.standardisation);
    let words = |estimate: Option<Estimate>, what: &str| {
        let estimate = estimate.filter(|e| told(e.value, e.sd))?;
        let way = match estimate.value {
            ratio if ratio >= 2.0 => "times",
            ratio if ratio < 1.0 => "less",
            _ => "more",
        };
        let times = ask.say.number(&format!("{:.1}", estimate.value));
        Some(ask.say.with(
            &format!("{what}-{way}"),
            &[
                ("percent", change(ask, estimate.value).into()),
                ("times", times.into()),
            ],
        ))
    };
    let said: Vec<String> = [
        words(standing.water, "let-water"),
        words(standing.salt, "let-salt"),
    ]
    .into_iter()
    .flatten()
    .collect();
    if said.is_empty() {
        return standing.water.map(|_| ask.say.say("verdict-as-new"));
    }
    let what = ask.say.list(&said);
    Some(ask.say.with("verdict-membranes", &[("what", what.into())]))
}

/// The verdict as one paragraph.
pub(crate) fn sentence(ask: &Ask<'_>, unit: &Unit, evaluation: &Evaluation) -> String {
    let mut sentences = vec![match &evaluation.explanation {
        Some(explanation) => changed(ask, unit, evaluation, explanation),
        None => ask.say.say("verdict-unknown"),
    }];
    sentences.extend(membranes(ask, evaluation));
    let due = words::due(unit, &evaluation.parts, HORIZON_D);
    sentences.extend(
        due.first()
            .map(|first| words::due_sentence(ask, unit, first, evaluation.as_of)),
    );
    sentences.join(" ")
}

/// What `wear` advises. Its sentences are English.
pub(crate) fn advice(ask: &Ask<'_>, evaluation: &Evaluation) -> Markup {
    html! {
        ul lang=[(ask.say.tag() != "en").then_some("en")] {
            @for advice in &evaluation.verdict.advice { li { (advice) } }
        }
    }
}

/// Where the litres went: a row for each cause.
pub(crate) fn litres(ask: &Ask<'_>, explanation: &Explanation) -> Markup {
    let say = ask.say;
    html! {
        div.wide tabindex="0" role="region" aria-label=(say.say("litres-title")) {
            table {
                caption { (say.say("litres-caption")) }
                thead { tr { th scope="col" { (say.say("litres-cause")) } th.number scope="col" { (say.say("litres-share")) } th.number scope="col" { (say.say("litres-give")) } } }
                tbody {
                    @for factor in &explanation.factors {
                        @let way = if factor.ratio < 1.0 { "less" } else { "more" };
                        tr {
                            th scope="row" { (say.say(&format!("cause-{}-{way}", factor.cause.name().replace('_', "-")))) }
                            td.number { (signed(ask, factor.ratio)) }
                            td.number { (say.with("give", &[("percent", say.percent(factor.sd).into())])) }
                        }
                    }
                    tr {
                        th scope="row" { (say.say("litres-total")) }
                        td.number { (signed(ask, explanation.total_ratio)) }
                        td {}
                    }
                }
            }
        }
    }
}

/// "−18 %".
fn signed(ask: &Ask<'_>, ratio: f64) -> String {
    let change = 100.0 * (ratio - 1.0);
    let sign = match change {
        change if change < -0.5 => "\u{2212}",
        change if change > 0.5 => "+",
        _ => "",
    };
    format!("{sign}{}", ask.say.percent(change.abs() / 100.0))
}
