//! What speaks for a cause and against it, in words.

use fault::{Fact, Ranked, Reason};
use maud::{Markup, html};
use reading::{Field, Observed};
use unit::Unit;

use super::asked::Asked;
use super::wording;
use crate::frame::ask::Ask;
use crate::frame::figure::{Piece, said};
use crate::show::how::Named;
use crate::show::{reading_form, words};

/// So many of each are named.
const NAMED: usize = 5;
/// A likelihood that many times another's is as good as certain; more is not to be believed of a model.
const MOST_TIMES: f64 = 1000.0;

/// Both lists.
pub(super) fn reasons(ask: &Ask<'_>, unit: &Unit, asked: &Asked, one: &Ranked) -> Markup {
    let say = ask.say;
    let told = |positive: bool| -> Vec<Markup> {
        one.reasons
            .iter()
            .enumerate()
            .filter(|(_, reason)| (reason.bits > 0.0) == positive)
            .take(NAMED)
            .map(|(number, reason)| {
                let of = format!("{}.{number}", one.cause.name());
                sentence(ask, unit, reason, &|name, text| {
                    asked.figure(unit, name, &of, text)
                })
            })
            .collect()
    };
    let (speaks, against) = (told(true), told(false));
    html! {
        @for (key, told) in [("trouble-for", &speaks), ("trouble-against", &against)] {
            @if !told.is_empty() {
                p { strong { (say.say(key)) } }
                ul { @for words in told { li { (words) } } }
            }
        }
        @if speaks.is_empty() && against.is_empty() { p { (say.say("trouble-no-reasons")) } }
    }
}

/// "Membrane pressure: 5.1 bar read, 5.0 bar to expect. 12 times as likely with this cause as with any other."
fn sentence(ask: &Ask<'_>, unit: &Unit, reason: &Reason, figure: &dyn Fn(&str, String) -> Markup) -> Markup {
    let say = ask.say;
    let times = reason.bits.abs().exp2();
    let (key, times) = match (reason.bits > 0.0, times) {
        (true, times) if times >= MOST_TIMES => ("trouble-times-most", MOST_TIMES),
        (false, times) if times >= MOST_TIMES => ("trouble-times-least", MOST_TIMES),
        (true, times) => ("trouble-times-more", times),
        (false, times) => ("trouble-times-less", times),
    };
    let digits = if times < 10.0 {
        format!("{times:.1}")
    } else {
        format!("{times:.0}")
    };
    let times = figure(Named::WEIGHT, say.number(&digits));
    html! { (fact(ask, unit, &reason.fact, figure)) " " (say.rich(key, vec![("times", times.into())])) }
}

fn observed(ask: &Ask<'_>, observed: Observed) -> String {
    ask.say
        .say(&format!("observed-{}", observed.name().replace('_', "-")))
}

fn fact(ask: &Ask<'_>, unit: &Unit, fact: &Fact, figure: &dyn Fn(&str, String) -> Markup) -> Markup {
    let say = ask.say;
    let words = match fact {
        Fact::Read {
            field,
            part,
            kind,
            read,
            expected,
        } => {
            let mut values: Vec<(&str, Piece)> = vec![
                ("field", label(ask, unit, field, part.as_deref()).into()),
                ("read", said(ask.measures.show(*kind, *read)).into()),
            ];
            return match expected {
                Some(expected) => {
                    let expected = figure(Named::TO_EXPECT, ask.measures.show(*kind, *expected));
                    values.push(("expected", expected.into()));
                    say.rich("trouble-fact-expected", values)
                }
                None => say.rich("trouble-fact-read", values),
            };
        }
        Fact::Observed(one) => say.with("trouble-fact-observed", &[("what", observed(ask, *one).into())]),
        Fact::Denied(one) => say.with("trouble-fact-denied", &[("what", observed(ask, *one).into())]),
        Fact::Looked { test, found } => {
            let yes = test.yes_finds() == Some(*found);
            let answer = say.say(if yes { "yes" } else { "no" });
            say.with(
                "trouble-fact-looked",
                &[
                    ("question", wording::text(ask, unit, test).into()),
                    ("answer", answer.into()),
                ],
            )
        }
        Fact::ReadAgain => say.say("trouble-fact-again"),
        Fact::NoWater => say.say("trouble-fact-no-water"),
        Fact::Circumstances => say.say("trouble-fact-circumstances"),
    };
    html! { (words) }
}

fn label(ask: &Ask<'_>, unit: &Unit, field: &str, part: Option<&str>) -> String {
    let name = part.map_or_else(|| field.to_owned(), |part| format!("{field}.{part}"));
    if let Some(spot) = reading_form::spots(ask, unit)
        .into_iter()
        .find(|spot| spot.name == name)
    {
        return spot.label;
    }
    Field::from_name(field).map_or(name, |field| words::field(ask, field))
}
