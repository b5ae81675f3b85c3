//! The verdict on a unit, in the reader's words: what changed, what of it is the membranes', what is due first.
//!
//! It is put together from the parts that `wear` hands out; its own sentences are for the command line.

use evaluation::Evaluation;
use maud::{Markup, html};
use quantity::Kind;
use unit::Unit;
use wear::Estimate;
use wear::explain::Explanation;
use wear::forecast::HORIZON_D;
use wear::verdict::{About, standing};

use super::how::Named;
use super::words;
use crate::frame::ask::Ask;
use crate::frame::figure::figure;

/// Whether a ratio differs from 1 by more than its uncertainty and by more than a hundredth.
fn told(ratio: f64, sd: f64) -> bool {
    ratio > 0.0 && ratio.ln().abs() > (1.5 * sd / ratio).max(0.01)
}

fn change(ask: &Ask<'_>, ratio: f64) -> String {
    ask.say.percent((ratio - 1.0).abs())
}

/// What changed between the first sound reading of these membranes and the last.
fn changed(ask: &Ask<'_>, unit: &Unit, evaluation: &Evaluation, explanation: &Explanation) -> Markup {
    let zone = casefile::time_zone(unit);
    let readings = &evaluation.standardisation.readings;
    let from = readings.get(explanation.from).map(|one| ask.day(one.at, &zone));
    let to = readings.get(explanation.to).map(|one| ask.day(one.at, &zone));
    let key = match explanation.total_ratio {
        ratio if (ratio - 1.0).abs() < 0.01 => "verdict-same",
        ratio if ratio < 1.0 => "verdict-less",
        _ => "verdict-more",
    };
    let percent = figure(&unit.id, Named::CHANGE, "", change(ask, explanation.total_ratio));
    let head = ask.say.rich(
        key,
        vec![
            ("percent", percent.into()),
            ("from", from.unwrap_or_default().into()),
            ("to", to.unwrap_or_default().into()),
        ],
    );
    let mut causes: Vec<(f64, Markup)> = explanation
        .factors
        .iter()
        .filter(|factor| told(factor.ratio, factor.sd))
        .map(|factor| {
            (
                factor.ratio.ln().abs(),
                cause(ask, unit, factor.cause, factor.ratio),
            )
        })
        .collect();
    causes.sort_by(|a, b| b.0.total_cmp(&a.0));
    if causes.is_empty() {
        return html! { (head) " " (ask.say.say("verdict-no-cause")) };
    }
    let causes = ask
        .say
        .rich_list(causes.into_iter().map(|(_, words)| words).collect());
    html! { (head) " " (ask.say.rich("verdict-causes", vec![("causes", causes.into())])) }
}

/// "colder water 18 % less".
fn cause(ask: &Ask<'_>, unit: &Unit, cause: wear::explain::Cause, ratio: f64) -> Markup {
    let way = if ratio < 1.0 { "less" } else { "more" };
    let name = ask
        .say
        .say(&format!("cause-{}-{way}", cause.name().replace('_', "-")));
    let percent = figure(&unit.id, Named::CAUSE, cause.name(), change(ask, ratio));
    ask.say.rich(
        &format!("cause-{way}"),
        vec![("cause", name.into()), ("percent", percent.into())],
    )
}

/// What the membranes let through at equal conditions, against when they were new.
fn membranes(ask: &Ask<'_>, unit: &Unit, evaluation: &Evaluation) -> Option<Markup> {
    let standing = standing(&evaluation.standardisation);
    let words = |estimate: Option<Estimate>, what: &str| {
        let estimate = estimate.filter(|e| told(e.value, e.sd))?;
        let way = match estimate.value {
            ratio if ratio >= 2.0 => "times",
            ratio if ratio < 1.0 => "less",
            _ => "more",
        };
        let opens = |text: String| {
            let of = what.strip_prefix("let-").unwrap_or(what);
            figure(&unit.id, Named::STANDING, of, text)
        };
        let times = ask.say.number(&format!("{:.1}", estimate.value));
        Some(ask.say.rich(
            &format!("{what}-{way}"),
            vec![
                ("percent", opens(change(ask, estimate.value)).into()),
                ("times", opens(times).into()),
            ],
        ))
    };
    let said: Vec<Markup> = [
        words(standing.water, "let-water"),
        words(standing.salt, "let-salt"),
    ]
    .into_iter()
    .flatten()
    .collect();
    if said.is_empty() {
        let as_new = ask.say.say("verdict-as-new");
        return standing
            .water
            .map(|_| figure(&unit.id, Named::STANDING, "water", as_new));
    }
    let what = ask.say.rich_list(said);
    Some(ask.say.rich("verdict-membranes", vec![("what", what.into())]))
}

/// The verdict as one paragraph.
pub(crate) fn sentence(ask: &Ask<'_>, unit: &Unit, evaluation: &Evaluation) -> Markup {
    let mut sentences = vec![match &evaluation.explanation {
        Some(explanation) => changed(ask, unit, evaluation, explanation),
        None => html! { (ask.say.say("verdict-unknown")) },
    }];
    sentences.extend(membranes(ask, unit, evaluation));
    let due = words::due(unit, &evaluation.parts, HORIZON_D);
    sentences.extend(
        due.first()
            .map(|first| words::due_figure(ask, unit, first, evaluation.as_of)),
    );
    html! { @for (at, sentence) in sentences.iter().enumerate() { @if at > 0 { " " } (sentence) } }
}

/// What `wear` advises.
pub(crate) fn advice(ask: &Ask<'_>, unit: &Unit, evaluation: &Evaluation) -> Markup {
    html! { ul { @for about in &evaluation.verdict.about { li { (advised(ask, unit, evaluation, about)) } } } }
}

fn advised(ask: &Ask<'_>, unit: &Unit, evaluation: &Evaluation, about: &About) -> Markup {
    let say = ask.say;
    let pressure = |kpa: f64| ask.measures.show_roughly(Kind::Pressure, kpa);
    match about {
        About::Due(part) => {
            let due = words::due(unit, &evaluation.parts, HORIZON_D);
            let of = due.iter().find(|due| due.parts.iter().any(|one| one.id == *part));
            // It is due within the same time as `wear` looks ahead.
            of.map_or_else(Markup::default, |due| {
                words::due_figure(ask, unit, due, evaluation.as_of)
            })
        }
        About::Load { stage, load: None } => {
            let part = words::part(ask, unit, stage);
            html! { (say.with("advice-load-unknown", &[("part", part.into())])) }
        }
        About::Load {
            stage,
            load: Some(load),
        } => {
            let key = if load.is_told() {
                "advice-load"
            } else {
                "advice-load-unclear"
            };
            let drop_kpa = load.drop_kpa.max(0.0);
            let (drop, give) = ask.measures.show_about(Kind::Pressure, drop_kpa, load.sd_kpa);
            let values = [
                ("part", words::part(ask, unit, stage).into()),
                ("drop", drop.into()),
                ("give", give.into()),
                ("clean", pressure(load.clean_kpa).into()),
                ("limit", pressure(load.limit_kpa).into()),
            ];
            figure(&unit.id, Named::LOAD, stage, say.with(key, &values))
        }
        About::Chlorine {
            carbon,
            since,
            limit_mg_l,
        } => {
            let values = [
                ("day", ask.day(*since, &casefile::time_zone(unit)).into()),
                (
                    "limit",
                    ask.measures.show(Kind::Concentration, *limit_mg_l).into(),
                ),
            ];
            let words = say.with("advice-chlorine", &values);
            match carbon {
                // When that carbon is due opens to what passed it.
                Some(carbon) => figure(&unit.id, Named::DUE, carbon, words),
                None => html! { (words) },
            }
        }
        About::Looks(looks) => html! { (say.say(&format!("advice-looks-{}", looks.name()))) },
        About::LeftOut(readings) => html! { (say.with("advice-left-out", &[("n", (*readings).into())])) },
        About::Old(days) => {
            html! { (say.with("advice-old", &[("days", format!("{days:.0}").into())])) }
        }
        About::Nothing => html! { (say.say("advice-nothing")) },
    }
}

/// Where the litres went: a row for each cause.
pub(crate) fn litres(ask: &Ask<'_>, unit: &Unit, explanation: &Explanation) -> Markup {
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
                            td.number { (figure(&unit.id, Named::CAUSE, factor.cause.name(), signed(ask, factor.ratio))) }
                            td.number { (figure(&unit.id, Named::CAUSE, factor.cause.name(), say.with("give", &[("percent", say.percent(factor.sd).into())]))) }
                        }
                    }
                    tr {
                        th scope="row" { (say.say("litres-total")) }
                        td.number { (figure(&unit.id, Named::CHANGE, "", signed(ask, explanation.total_ratio))) }
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

#[cfg(test)]
mod tests {
    use maud::html;
    use wear::forecast::Load;
    use wear::verdict::{About, Looks};

    use super::advised;
    use crate::fixture::with_quillmere;

    /// What is advised of Fern house (simulated), as text.
    fn told(language: &str, abouts: &[About]) -> Vec<String> {
        with_quillmere(language, |ask| {
            let unit = ask.state.unit("fern-house").unwrap().unit().unwrap();
            let whole = ask.whole("fern-house").unwrap();
            let words = |about| html! { (advised(ask, unit, &whole.evaluation, about)) }.into_string();
            let text = |markup: String| -> String {
                let pieces = markup
                    .split('<')
                    .map(|piece| piece.rsplit('>').next().unwrap_or(""));
                pieces.collect()
            };
            abouts.iter().map(|about| text(words(about))).collect()
        })
    }

    #[test]
    fn regress_each_piece_of_advice_is_worded_in_german() {
        let stage = "sediment".to_owned();
        let load = |drop_kpa| {
            Some(Load {
                drop_kpa,
                sd_kpa: 8.57,
                clean_kpa: 6.894_757,
                limit_kpa: 68.947_57,
            })
        };
        let abouts = [
            About::Load {
                stage: stage.clone(),
                load: load(1.63),
            },
            About::Load {
                stage: stage.clone(),
                load: load(41.37),
            },
            About::Load { stage, load: None },
            About::Chlorine {
                carbon: None,
                since: "2026-03-12T12:00:00Z".parse().unwrap(),
                limit_mg_l: 0.1,
            },
            About::LeftOut(1),
            About::LeftOut(2),
            About::Old(120.4),
            About::Nothing,
        ];
        let german = [
            "Sedimentfilter: wie voll, das sagen diese Manometer nicht. Der Druckabfall liest sich als 0,02\u{a0}bar, auf \
             0,09\u{a0}bar genau; sauber sind es 0,069\u{a0}bar, und die Grenze ist 0,69\u{a0}bar.",
            "Sedimentfilter: nimmt 0,41\u{a0}bar, auf 0,09\u{a0}bar genau, von 0,69\u{a0}bar erlaubten; sauber sind es \
             0,069\u{a0}bar.",
            "Sedimentfilter: wie voll, lässt sich nicht sagen. Seit dem Neuzustand gibt es keine Ablesung mit einem \
             Manometer davor, einem dahinter und beiden Strömen.",
            "Seit dem 12. März 2026 geht Chlor durch die Kohle (über 0,1\u{a0}mg/L): zuerst die Kohle wechseln, dahinter \
             messen, und erst dann neue Membranen einsetzen, sonst gehen sie wie die alten zugrunde.",
            "Eine Ablesung widerspricht den anderen und bleibt außer Betracht: in der Liste der Zweifel ansehen.",
            "2 Ablesungen widersprechen den anderen und bleiben außer Betracht: in der Liste der Zweifel ansehen.",
            "Die letzte brauchbare Ablesung ist 120 Tage alt: erst eine neue nehmen, dann entscheiden.",
            "Vor der nächsten Ablesung ist nichts zu tun.",
        ];
        assert_eq!(told("de", &abouts), german);
    }

    #[test]
    fn regress_every_look_has_words_of_its_own_in_each_language() {
        let abouts = Looks::ALL.map(About::Looks);
        let (english, german) = (told("en", &abouts), told("de", &abouts));
        for (place, (english, german)) in english.iter().zip(&german).enumerate() {
            assert!(
                english
                    .split_whitespace()
                    .any(|word| word == "the" || word == "a"),
                "{english}"
            );
            let words = ["die", "das", "der", "ein", "wird", "zeigt"];
            assert!(
                german.split([' ', ',', ':']).any(|word| words.contains(&word)),
                "{german}"
            );
            assert!(
                !german.contains(" the ") && !german.starts_with("advice-"),
                "{german}"
            );
            assert_eq!(
                place,
                told("de", &abouts)
                    .iter()
                    .position(|other| other == german)
                    .unwrap()
            );
        }
    }
}
