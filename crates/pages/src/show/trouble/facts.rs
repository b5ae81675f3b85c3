//! What speaks for a cause and against it, in words.

use fault::{Fact, Ranked, Reason};
use maud::{Markup, html};
use reading::{Field, Observed};
use unit::Unit;

use super::wording;
use crate::frame::ask::Ask;
use crate::show::{reading_form, words};

/// So many of each are named.
const NAMED: usize = 5;
/// A likelihood that many times another's is as good as certain; more is not to be believed of a model.
const MOST_TIMES: f64 = 1000.0;

/// Both lists.
pub(super) fn reasons(ask: &Ask<'_>, unit: &Unit, one: &Ranked) -> Markup {
    let say = ask.say;
    let told = |positive: bool| -> Vec<String> {
        one.reasons
            .iter()
            .filter(|reason| (reason.bits > 0.0) == positive)
            .take(NAMED)
            .map(|reason| sentence(ask, unit, reason))
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
fn sentence(ask: &Ask<'_>, unit: &Unit, reason: &Reason) -> String {
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
    let weight = say.with(key, &[("times", say.number(&digits).into())]);
    format!("{} {weight}", fact(ask, unit, &reason.fact))
}

fn observed(ask: &Ask<'_>, observed: Observed) -> String {
    ask.say
        .say(&format!("observed-{}", observed.name().replace('_', "-")))
}

fn fact(ask: &Ask<'_>, unit: &Unit, fact: &Fact) -> String {
    let say = ask.say;
    match fact {
        Fact::Read {
            field,
            part,
            kind,
            read,
            expected,
        } => {
            let mut values = vec![
                ("field", label(ask, unit, field, part.as_deref()).into()),
                ("read", ask.measures.show(*kind, *read).into()),
            ];
            match expected {
                Some(expected) => {
                    values.push(("expected", ask.measures.show(*kind, *expected).into()));
                    say.with("trouble-fact-expected", &values)
                }
                None => say.with("trouble-fact-read", &values),
            }
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
    }
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
