//! The water of a unit: what was analysed, what it does against recovery, and the recovery to keep below.

use casefile::{Faults as DocumentFaults, Table};
use chart::{Axis, DESK_PX, Level, Lines, Options, PHONE_PX, Scale, Series};
use ledger::payload::{WaterAnalysed, water_document};
use ledger::{Payload, Subject};
use maud::{Markup, html};
use quantity::Kind;
use serde_json::{Map, Value};
use unit::Unit;
use water::{Mineral, Report};

use super::how::Named;
use super::{found, reading_form};
use crate::Response;
use crate::chemistry::Chemistry;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::figure::figure;
use crate::frame::form::{self, Entry, Faults};
use crate::frame::layout::{self, Page};
use crate::frame::link;
use crate::memo::{end_of_day, history};

/// What a field kit gives, then the rest of an analysis: names in the document, with the kind of each.
const KIT: [(&str, Kind); 5] = [
    ("conductivity", Kind::Conductivity),
    ("hardness", Kind::AsCaco3),
    ("alkalinity", Kind::AsCaco3),
    ("ph", Kind::Number),
    ("temperature", Kind::Temperature),
];
const REST: [(&str, Kind); 21] = [
    ("tds", Kind::Concentration),
    ("calcium", Kind::Concentration),
    ("magnesium", Kind::Concentration),
    ("sodium", Kind::Concentration),
    ("potassium", Kind::Concentration),
    ("chloride", Kind::Concentration),
    ("sulfate", Kind::Concentration),
    ("nitrate", Kind::Concentration),
    ("silica", Kind::Concentration),
    ("iron", Kind::Concentration),
    ("manganese", Kind::Concentration),
    ("strontium", Kind::Concentration),
    ("barium", Kind::Concentration),
    ("fluoride", Kind::Concentration),
    ("ammonium", Kind::Concentration),
    ("boron", Kind::Concentration),
    ("phosphate", Kind::Concentration),
    ("free_chlorine", Kind::Concentration),
    ("chloramine", Kind::Concentration),
    ("turbidity", Kind::Number),
    ("sdi", Kind::Number),
];

fn label(ask: &Ask<'_>, name: &str) -> String {
    match name {
        "at" => ask.say.say("when"),
        "name" => ask.say.say("water-name"),
        _ => ask.say.say(&format!("water-{}", name.replace('_', "-"))),
    }
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
    let whole = ask.memo.whole(ask.state, &unit.id, ask.now());
    let history = history(ask.state, &unit.id, end_of_day(ask.now()));
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
            Some(Chemistry { report: Err(sentences), .. }) => {
                p.verdict { (say.say("water-impossible")) }
                ul lang=[english(ask)] { @for sentence in sentences { li { (sentence) } } }
            }
            Some(Chemistry { report: Ok(report), assumed, .. }) => { (answer(ask, unit, report, assumed)) }
        }
        @if let Some(last) = analysed.iter().rev().find(|water| water.at <= ask.now()).or(analysed.first()) {
            h2 { (say.say("water-analysis")) }
            p { (ask.day(last.at, &zone)) " " a href=(link::entry(last.origin.entry)) { (say.say("to-correct")) } }
            dl.said {
                @for (name, value) in water_document(&last.what) {
                    @if let Some(value) = value.as_f64() {
                        @let kind = KIT.iter().chain(&REST).find(|(other, _)| *other == name).map_or(Kind::Concentration, |(_, kind)| *kind);
                        dt { (label(ask, &name)) } dd { (ask.measures.show(kind, value)) }
                    }
                }
            }
        }
        h2 { (say.say("water-new")) }
        p { (say.say("water-new-about")) }
        (faults.summary(ask, |name| label(ask, name)))
        form method="post" action=(link::below_unit(&unit.id, "water")) {
            (form::hidden_id(ask))
            (fields(ask, typed, faults))
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

/// Marks sentences of the domain crates, which are English.
fn english(ask: &Ask<'_>) -> Option<&'static str> {
    (ask.say.tag() != "en").then_some("en")
}

fn answer(ask: &Ask<'_>, unit: &Unit, report: &Report, assumed: &[String]) -> Markup {
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
                ul lang=[english(ask)] { @for sentence in report.sentences.iter().chain(&report.warnings).chain(assumed) { li { (sentence) } } }
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
    let whole = ask.memo.whole(ask.state, &unit.id, ask.now());
    let history = history(ask.state, &unit.id, end_of_day(ask.now()));
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
    layout::svg(chart::lines(&lines, &Options::wide(width)))
}

fn fields(ask: &Ask<'_>, typed: &Fields, faults: &Faults) -> Markup {
    let say = ask.say;
    let one = |name: &'static str, kind: Kind| {
        let field = form::Field {
            name,
            label: label(ask, name),
            hint: String::new(),
            unit: match name {
                "turbidity" => "NTU",
                "sdi" => "%/min",
                _ => ask.measures.sign(kind),
            },
            entry: Entry::Value,
            required: false,
        };
        field.show(ask, typed, faults)
    };
    let line = |name: &'static str, entry: Entry, required: bool| {
        let label = label(ask, name);
        form::Field {
            name,
            label,
            hint: String::new(),
            unit: "",
            entry,
            required,
        }
        .show(ask, typed, faults)
    };
    let open = REST
        .iter()
        .any(|(name, _)| !typed.get(name).is_empty() || faults.of(name).is_some());
    html! {
        (line("at", Entry::Time, true))
        (line("name", Entry::Line, false))
        fieldset { legend { (say.say("water-kit")) } div.desk-two { @for (name, kind) in KIT { (one(name, kind)) } } }
        details open[open] { summary { (say.say("water-rest")) } div.desk-two { @for (name, kind) in REST { (one(name, kind)) } } }
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
    let mut document: Map<String, Value> = Map::new();
    let name = ask.sent.get("name");
    if !name.is_empty() {
        document.insert("name".to_owned(), name.into());
    }
    for (name, kind) in KIT.into_iter().chain(REST) {
        let text = ask.sent.get(name);
        if !text.is_empty() {
            let text = if kind == Kind::Number {
                text.to_owned()
            } else {
                ask.measures.with_unit(kind, text)
            };
            document.insert(name.to_owned(), text.into());
        }
    }
    let found = DocumentFaults::new();
    let analysis = casefile::water_analysis(Table::new(&document, "water", &found));
    let field = |path: &str| path.strip_prefix("water.").unwrap_or(path).to_owned();
    match found.settle("", analysis) {
        Err(invalid) => faults.document(ask, &invalid.faults, field),
        Ok(analysis) => {
            for error in water::Water::complete(&analysis).err().unwrap_or_default() {
                let name = match error.field() {
                    "water" => "conductivity",
                    field => field,
                };
                faults.add(name, error.to_string());
            }
        }
    }
    if !faults.is_empty() {
        return page(ask, unit, &ask.sent, &faults);
    }
    let of = Subject::unit(&unit.id);
    let entry = ask.entry("water", at, &Payload::Water(WaterAnalysed { of, document }));
    ask.keep(vec![entry], &link::below_unit(&unit.id, "water"))
}
