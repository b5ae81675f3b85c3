//! The water of a unit: what was analysed, what it does against recovery, and the recovery to keep below.

use chart::{Axis, DESK_PX, Level, Lines, Options, PHONE_PX, Scale, Series};
use ledger::payload::{WaterAnalysed, water_document};
use ledger::{Payload, Subject};
use maud::{Markup, html};
use unit::Unit;
use water::{Mineral, Report, Said};

use super::how::Named;
use super::{found, reading_form, water_form, water_said, words};
use crate::Response;
use crate::chemistry::Chemistry;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::figure::figure;
use crate::frame::form::{self, Entry, Faults};
use crate::frame::layout::{self, Page};
use crate::frame::link;

fn label(ask: &Ask<'_>, name: &str) -> String {
    water_form::label(ask, name)
}

/// The page.
pub(crate) fn show(ask: &Ask<'_>, held: &[String]) -> Response {
    let unit = match found::unit(ask, held) {
        Ok((_, unit)) => unit,
        Err(nothing) => return nothing,
    };
    let mut typed = Fields::default();
    typed.set("at", reading_form::local(ask.now(), &casefile::time_zone(unit)));
    page(ask, unit, &typed, &Faults::default())
}

fn page(ask: &Ask<'_>, unit: &Unit, typed: &Fields, faults: &Faults) -> Response {
    let say = ask.say;
    let whole = ask.whole(&unit.id);
    let history = ask.history(&unit.id);
    let chemistry = whole
        .as_ref()
        .zip(history.as_ref())
        .and_then(|(whole, history)| whole.chemistry(history));
    let title = say.with("water-title", &[("name", unit.name.as_str().into())]);
    let zone = casefile::time_zone(unit);
    let analysed = ask.state.waters(&unit.id);
    let body = html! {
        h1 { (title) }
        @match chemistry {
            None => { p.verdict { (say.say("water-none")) } }
            Some(Chemistry { report: Err(errors), .. }) => {
                p.verdict { (say.say("water-impossible")) }
                ul { @for error in errors { li { (water_said::wrong(ask, error)) } } }
            }
            Some(Chemistry { report: Ok(report), assumed, .. }) => { (answer(ask, unit, report, assumed)) }
        }
        @if let Some(last) = analysed.iter().rev().find(|water| water.at <= ask.now()).or(analysed.first()) {
            h2 { (say.say("water-analysis")) }
            p { (ask.day(last.at, &zone)) " " a href=(link::entry(last.origin.entry)) { (say.say("to-correct")) } }
            dl.said {
                @for (name, value) in water_document(&last.what) {
                    @if let Some(value) = value.as_f64() {
                        dt { (label(ask, &name)) } dd { (ask.measures.show(water_form::kind(&name), value)) }
                    }
                }
            }
        }
        h2 { (say.say("water-new")) }
        p { (say.say("water-new-about")) }
        (faults.summary(ask, |name| label(ask, name)))
        form method="post" action=(link::below_unit(&unit.id, "water")) {
            (form::hidden_id(ask))
            (when(ask).show(ask, typed, faults))
            (water_form::fields(ask, "", typed, faults))
            p { button.first { (say.say("save")) } }
        }
    };
    Page {
        above: found::above(ask, unit),
        status: if faults.is_empty() { 200 } else { 422 },
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

fn answer(ask: &Ask<'_>, unit: &Unit, report: &Report, assumed: &[Said]) -> Markup {
    let say = ask.say;
    let first = report
        .working_limits
        .iter()
        .filter_map(|limit| Some((limit.mineral, limit.recovery?)))
        .min_by(|a, b| a.1.total_cmp(&b.1));
    let mineral = |mineral: Mineral| say.say(&format!("mineral-{}", mineral.name().replace('_', "-")));
    let computed = Mineral::ALL
        .into_iter()
        .zip(report.water.saturation)
        .find_map(|(mineral, index)| index.map(|_| mineral));
    let address = link::below_unit(&unit.id, "saturation.svg");
    let opens = |text: Option<String>, name: &str, of: Mineral| match text {
        Some(text) => figure(&unit.id, name, of.name(), text),
        None => html! { "\u{2013}" },
    };
    let index = |value: f64| say.number(&format!("{value:+.2}"));
    html! {
        p.verdict {
            @match first {
                Some((first, recovery)) => { (say.rich("water-keep-below", vec![("percent", figure(&unit.id, Named::KEEP_BELOW, first.name(), say.percent(recovery)).into()), ("mineral", mineral(first).into())])) }
                None => { (say.say("water-no-limit")) }
            }
        }
        details {
            summary { (say.say("water-words")) }
            div.opens {
                ul { @for said in report.sentences.iter().chain(&report.warnings).chain(assumed) { li { (water_said::words(ask, said)) } } }
                @if let Some((first, _)) = first { p { (figure(&unit.id, Named::KEEP_BELOW, first.name(), say.say("how-these"))) } }
                @else if let Some(one) = computed { p { (figure(&unit.id, Named::SATURATION, one.name(), say.say("how-these"))) } }
            }
        }
        h2 { (say.say("saturation-title")) }
        p { (say.say("saturation-about")) }
        figure { picture {
            source media="(max-width: 40rem)" srcset={ (address) "?wide=phone" };
            img src=(address) width="920" height="560" alt=(say.say("saturation-alt"));
        } }
        div.wide tabindex="0" role="region" aria-label=(say.say("saturation-title")) { table {
            caption { (say.say("saturation-caption")) }
            thead { tr {
                th scope="col" { (say.say("mineral")) } th.number scope="col" { (say.say("saturation-feed")) }
                th.number scope="col" { (say.say("saturation-allowed")) } th.number scope="col" { (say.say("saturation-below")) }
            } }
            tbody {
                @for (place, one) in Mineral::ALL.into_iter().enumerate() {
                    @let limit = report.working_limits.iter().find(|limit| limit.mineral == one);
                    tr {
                        th scope="row" { (mineral(one)) }
                        td.number { (opens(report.water.saturation.get(place).copied().flatten().map(index), Named::SATURATION, one)) }
                        td.number { (opens(limit.map(|limit| index(limit.allowed_si)), Named::ALLOWED, one)) }
                        td.number { (opens(limit.and_then(|limit| limit.recovery).map(|recovery| say.percent(recovery)), Named::KEEP_BELOW, one)) }
                    }
                }
            }
        } }
    }
}

/// Saturation against recovery as SVG.
pub(crate) fn picture(ask: &Ask<'_>, held: &[String]) -> Response {
    let unit = match found::unit(ask, held) {
        Ok((_, unit)) => unit,
        Err(nothing) => return nothing,
    };
    let whole = ask.whole(&unit.id);
    let history = ask.history(&unit.id);
    let chemistry = whole
        .as_ref()
        .zip(history.as_ref())
        .and_then(|(whole, history)| whole.chemistry(history));
    let Some(chemistry) = chemistry else {
        return layout::not_found(ask);
    };
    let say = ask.say;
    let mineral = |mineral: Mineral| say.say(&format!("mineral-{}", mineral.name().replace('_', "-")));
    let series = Mineral::ALL.into_iter().enumerate().map(|(index, one)| Series {
        name: mineral(one),
        points: chemistry
            .curve
            .iter()
            .filter_map(|(r, si)| Some((100.0 * r, (*si.get(index)?)?)))
            .collect(),
        band: Vec::new(),
    });
    let mut limits: Vec<(f64, Vec<String>)> = Vec::new();
    if let Ok(report) = &chemistry.report {
        for limit in report
            .working_limits
            .iter()
            .filter(|limit| limit.recovery.is_some())
        {
            match limits
                .iter_mut()
                .find(|(si, _)| (*si - limit.allowed_si).abs() < 1e-9)
            {
                Some((_, names)) => names.push(mineral(limit.mineral)),
                None => limits.push((limit.allowed_si, vec![mineral(limit.mineral)])),
            }
        }
    }
    let lines = Lines {
        title: say.say("saturation-title"),
        subtitle: String::new(),
        x: Axis {
            title: say.say("recovery"),
            unit: "%".to_owned(),
            scale: Scale::Linear,
            range: Some((0.0, 92.0)),
        },
        y: Axis {
            title: say.say("saturation-index"),
            unit: "log10".to_owned(),
            scale: Scale::Linear,
            range: None,
        },
        series: series.filter(|series| !series.points.is_empty()).collect(),
        limits: limits
            .into_iter()
            .map(|(value, names)| Level {
                value,
                label: say.with("saturation-allowed-for", &[("minerals", names.join(", ").into())]),
            })
            .collect(),
        marks: Vec::new(),
        regions: Vec::new(),
    };
    let width = if ask.query.get("wide") == "phone" {
        PHONE_PX
    } else {
        DESK_PX
    };
    let options = Options {
        words: words::of_pictures(ask),
        ..Options::wide(width)
    };
    layout::svg(chart::lines(&lines, &options))
}

fn when(ask: &Ask<'_>) -> form::Field<'static> {
    form::Field {
        name: "at",
        label: label(ask, "at"),
        hint: String::new(),
        unit: "",
        entry: Entry::Time,
        required: true,
    }
}

/// Writes an analysis down.
pub(crate) fn write(ask: &Ask<'_>, held: &[String]) -> Response {
    let unit = match found::unit(ask, held) {
        Ok((_, unit)) => unit,
        Err(nothing) => return nothing,
    };
    let mut faults = Faults::default();
    let at = reading_form::time(ask, &casefile::time_zone(unit), &mut faults);
    let document = water_form::read(ask, "");
    water_form::check(ask, "", &document, &mut faults);
    if !faults.is_empty() {
        return page(ask, unit, &ask.sent, &faults);
    }
    let of = Subject::unit(&unit.id);
    let entry = ask.entry("water", at, &Payload::Water(WaterAnalysed { of, document }));
    ask.keep(vec![entry], &link::below_unit(&unit.id, "water"))
}
