//! The question that comes next: how it is done, what each result would mean, what to mind, the safe way, and its form.

use fault::interview::{Expects, Opens, Question, Standing, Step};
use maud::{Markup, html};
use quantity::round_significant;
use unit::Unit;

use super::asked::{Asked, PAGE, SKIP, sign};
use super::standing::Interview;
use super::wording;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::{self, Entry};
use crate::frame::link;
use crate::show::how::Named;
use crate::show::reading_form;

/// The next question: the one that is put again, the one whose answer was wrong, or the most telling one.
pub(super) fn next(
    ask: &Ask<'_>,
    unit: &Unit,
    asked: &Asked,
    interview: &Interview<'_>,
    standing: &Standing,
) -> Markup {
    let say = ask.say;
    let wrong = asked.typed.iter().next().map(|(key, _)| key);
    let again = wrong
        .or(asked.again.as_deref())
        .and_then(|key| Question::by_key(unit, key).ok());
    let question = match (&again, &standing.step) {
        (Some(question), _) => question,
        (None, Step::Ask(question)) => question.as_ref(),
        (None, Step::End(_)) => return html! {},
    };
    let test = &question.test;
    let shows = |cause: fault::Cause, text: String| {
        let of = format!("{}.{}", cause.name(), question.key);
        asked.figure(unit, Named::TEST_SHOWS, &of, text)
    };
    let means = means(ask, &wording::meaning(ask, unit, test, &shows));
    // What is put again was not chosen for what it tells.
    let tells = again.is_none().then(|| {
        let bits = round_significant(question.expected_information_bits, 2).to_string();
        let bits = asked.figure(unit, Named::TELLS, &question.key, say.number(&bits));
        say.rich("trouble-tells", vec![("bits", bits.into())])
    });
    let minutes = format!("{:.0}", test.minutes());
    html! {
        section.asked {
            h2 { (say.say("trouble-next-title")) }
            @if again.is_none() {
                @for opens in &standing.left_out { p.small { (left_out(ask, unit, opens)) } }
            }
            @if test.observed().is_none() {
                p { (wording::how(ask, unit, &question.key, test)) " " span.faint { (say.with("trouble-minutes", &[("n", minutes.into())])) } }
            }
            @if let Some(caution) = wording::caution(ask, test) { p.late { (caution) } }
            @if let Some(opens) = &test.opens() { (safe_way(ask, interview, opens)) }
            // What a word would mean is of use once the question was read; what a value would mean, before it is typed.
            @if test.observed().is_none() { (means) }
            (form(ask, unit, asked, question))
            @if test.observed().is_some() { (means) }
            @if let Some(tells) = tells { p.small { (tells) } }
        }
    }
}

/// What each result would mean.
fn means(ask: &Ask<'_>, meaning: &[Markup]) -> Markup {
    html! {
        @match meaning {
            [] => {}
            [one] => { p { (one) } }
            several => {
                p { (ask.say.say("trouble-to-expect")) }
                ul { @for one in several { li { (one) } } }
            }
        }
    }
}

fn form(ask: &Ask<'_>, unit: &Unit, asked: &Asked, question: &Question) -> Markup {
    let say = ask.say;
    let key = question.key.as_str();
    let text = wording::text(ask, unit, &question.test);
    html! {
        form method="get" action=(link::below_unit(&unit.id, PAGE)) {
            @for (name, value) in asked.pairs().iter().filter(|(name, _)| name != key) {
                input type="hidden" name=(name) value=(value);
            }
            @match question.expects {
                Expects::YesOrNo => {
                    p.question { (text) }
                    @if let Some(words) = asked.faults.of(key) { p.wrong { (words) } }
                    p.answers {
                        button.first name=(key) value="yes" { (say.say("yes")) }
                        button.first name=(key) value="no" { (say.say("no")) }
                        button name=(key) value=(SKIP) { (say.say("trouble-skip")) }
                    }
                }
                Expects::Quantity { kind, .. } => {
                    @let typed = typed(asked, key);
                    (form::Field {
                        name: key,
                        label: text,
                        hint: hint(ask, unit, key, kind == quantity::Kind::Flow),
                        unit: sign(ask, kind),
                        entry: if kind == quantity::Kind::Flow { Entry::Fill } else { Entry::Value },
                        required: false,
                    }.show(ask, &typed, &asked.faults))
                    p.answers {
                        button.first { (say.say("trouble-go-on")) }
                        // The last of two values of one name counts: what was typed is passed over too.
                        button name=(key) value=(SKIP) { (say.say("trouble-skip")) }
                    }
                }
            }
        }
    }
}

/// What was typed before into the field of a question that is put again.
fn typed(asked: &Asked, key: &str) -> Fields {
    let mut typed = asked.typed.clone();
    if typed.get(key).is_empty()
        && let Some(said) = asked.said.iter().find(|one| one.key == key && one.text != SKIP)
    {
        typed.set(key, said.text.clone());
    }
    typed
}

/// The last value of what is asked for.
fn hint(ask: &Ask<'_>, unit: &Unit, key: &str, fill: bool) -> String {
    let field = match key {
        "permeate_flow_free" => "permeate_flow",
        other => other.strip_prefix("again.").unwrap_or(other),
    };
    let known = ask.state.unit(&unit.id);
    let readings = known.map_or(&[][..], |known| known.readings_until(ask.now()));
    let zone = casefile::time_zone(unit);
    let last = reading_form::spots(ask, unit)
        .iter()
        .find(|spot| spot.name == field)
        .and_then(|spot| reading_form::last_value(ask, spot, readings, &zone))
        .unwrap_or_default();
    if fill {
        [ask.say.say("fill-hint"), last].join("\n")
    } else {
        last
    }
}

/// The steps to what has to be opened, and what to do at their end.
fn safe_way(ask: &Ask<'_>, interview: &Interview<'_>, opens: &Opens) -> Markup {
    let say = ask.say;
    interview.with_way(opens, |way| {
        html! {
            @if let Some(way) = way {
                details open[!matches!(opens, Opens::ElementPermeate(_))] {
                    summary { (say.say("trouble-safe-way")) }
                    @if let Some(first) = &way.first { p { (first) } }
                    ol {
                        @for step in &way.steps {
                            li {
                                @if let Some(caution) = &step.caution { span.late { (caution) } br; }
                                (step.text)
                                @if let Some(minutes) = step.minutes { " " span.faint { (say.with("trouble-wait", &[("n", minutes.into())])) } }
                                @if let Some(check) = &step.check { br; span.small { (say.say("trouble-see")) " " (check) } }
                            }
                        }
                    }
                    p { (way.then) }
                }
            }
        }
    })
}

/// A test that would tell more, and that nobody may make here.
fn left_out(ask: &Ask<'_>, unit: &Unit, opens: &Opens) -> String {
    let what = match opens {
        Opens::Housing(part) | Opens::ElementPermeate(part) => crate::show::words::part(ask, unit, part),
        Opens::Restrictor => ask.say.say("part-restrictor"),
        Opens::PermeateLine => ask.say.say("trouble-permeate-line"),
    };
    ask.say.with("trouble-left-out", &[("part", what.into())])
}
