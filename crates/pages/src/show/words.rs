//! What parts, limits and days are called.

use jiff::Timestamp;
use jiff::tz::TimeZone;
use maud::Markup;
use unit::{PolishKind, StageKind, Unit};
use wear::forecast::{HORIZON_D, PartForecast, Quantiles};
use wear::lives::after;

use super::how::Named;
use crate::frame::ask::Ask;
use crate::frame::figure::figure;

/// The key of what a part is; none where only its own name tells.
fn part_key(unit: &Unit, id: &str) -> Option<&'static str> {
    if let Some(stage) = unit.stage(id) {
        return match stage.kind {
            StageKind::Sediment { .. } => Some("part-sediment"),
            StageKind::Carbon { .. } => Some("part-carbon"),
            StageKind::Softener { .. } => Some("part-softener"),
            StageKind::Antiscalant => Some("part-antiscalant"),
            StageKind::Pump { .. } => Some("part-pump"),
            StageKind::Regulator { .. } => Some("part-regulator"),
            StageKind::Other => None,
        };
    }
    if unit.element(id).is_some() {
        return Some("part-membrane");
    }
    let polish = unit.permeate.polish.iter().find(|polish| polish.id == id);
    match polish.map(|polish| polish.kind) {
        Some(PolishKind::MixedBed) => Some("part-mixed-bed"),
        Some(PolishKind::Carbon) => Some("part-polish-carbon"),
        Some(PolishKind::Remineraliser) => Some("part-remineraliser"),
        Some(PolishKind::Uv) => Some("part-uv"),
        None if id == "restrictor" => Some("part-restrictor"),
        None => None,
    }
}

/// What pictures put in by themselves.
pub(crate) fn of_pictures(ask: &Ask<'_>) -> chart::Words {
    chart::Words::of(|word| ask.say.say(&format!("chart-{}", word.name())))
}

/// What people call a part: "sediment filter", "membrane 2"; with its own name where several are of a kind.
pub(crate) fn part(ask: &Ask<'_>, unit: &Unit, id: &str) -> String {
    let own = id.replace(['-', '_'], " ");
    let Some(key) = part_key(unit, id) else { return own };
    let alike: Vec<&str> = unit
        .part_ids()
        .filter(|other| part_key(unit, other) == Some(key))
        .collect();
    let kind = ask.say.say(key);
    let place = alike.iter().position(|other| *other == id);
    match place {
        Some(place) if alike.len() > 1 && key == "part-membrane" => format!("{kind} {}", place + 1),
        Some(_) if alike.len() > 1 => format!("{kind} ({own})"),
        _ => kind,
    }
}

/// A part as the subject of a sentence: "The carbon filter", but "Membrane 2".
fn subject(ask: &Ask<'_>, unit: &Unit, id: &str) -> String {
    let name = part(ask, unit, id);
    if unit.element(id).is_some() && unit.membranes.elements.len() > 1 {
        name
    } else {
        the(ask, &name)
    }
}

/// A name with its article where the language has one for it.
fn the(ask: &Ask<'_>, name: &str) -> String {
    let mut letters = name.chars();
    let first = letters.next();
    let rest = letters.as_str();
    // "UV lamp" keeps its capitals.
    let small = match first {
        Some(first) if rest.starts_with(char::is_lowercase) => format!("{}{rest}", first.to_lowercase()),
        _ => name.to_owned(),
    };
    ask.say
        .with("the-part", &[("name", name.into()), ("small", small.into())])
}

/// Parts that are due, soonest first; membranes that are due together are one.
pub(crate) struct Due<'a> {
    /// The parts.
    pub(crate) parts: Vec<&'a PartForecast>,
    /// Days.
    pub(crate) in_d: Quantiles,
}

/// What is due within so many days by the middle of its range.
pub(crate) fn due<'a>(unit: &Unit, parts: &'a [PartForecast], within_d: f64) -> Vec<Due<'a>> {
    let mut found: Vec<Due<'a>> = Vec::new();
    for part in parts {
        let Some(in_d) = part.due_in_d.filter(|due| due.p50 < within_d) else {
            continue;
        };
        let together = found.iter_mut().find(|other| {
            unit.element(&part.id).is_some()
                && other.in_d == in_d
                && other
                    .parts
                    .iter()
                    .all(|one| unit.element(&one.id).is_some() && one.limit == part.limit)
        });
        match together {
            Some(group) => group.parts.push(part),
            None => found.push(Due {
                parts: vec![part],
                in_d,
            }),
        }
    }
    found.sort_by(|a, b| a.in_d.p50.total_cmp(&b.in_d.p50));
    found
}

/// "The carbon filter is due between 3 March 2027 and 24 March 2027, most likely 12 March 2027, because of its age."
pub(crate) fn due_sentence(ask: &Ask<'_>, unit: &Unit, due: &Due<'_>, as_of: Timestamp) -> String {
    let all = due.parts.len() == unit.membranes.elements.len();
    let many = due.parts.len();
    let name = match due.parts.as_slice() {
        [one] => subject(ask, unit, &one.id),
        _ if all => the(ask, &ask.say.say("part-membranes")),
        some => {
            let names: Vec<String> = some.iter().map(|one| part(ask, unit, &one.id)).collect();
            ask.say.list(&names)
        }
    };
    let limit = due.parts.first().and_then(|one| one.limit);
    let reason = limit.map_or_else(String::new, |limit| {
        ask.say.say(&format!("limit-{}", limit.name().replace('_', "-")))
    });
    let in_d = &due.in_d;
    let zone = casefile::time_zone(unit);
    let date = |d: f64| day_after(ask, as_of, d, &zone);
    let until = |d: f64| {
        if d >= HORIZON_D {
            ask.say.say("beyond-ten-years")
        } else {
            date(d)
        }
    };
    let values = [
        ("part", name.into()),
        ("n", many.into()),
        ("reason", reason.into()),
        ("middle", until(in_d.p50).into()),
        ("last", until(in_d.p90).into()),
        ("first", date(in_d.p10).into()),
    ];
    let key = if in_d.p50 <= 0.0 {
        "due-now"
    } else if in_d.p10 >= HORIZON_D {
        "due-never"
    } else if in_d.p90 - in_d.p10 < 2.0 {
        "due-on"
    } else if in_d.p10 < 1.0 {
        "due-until"
    } else {
        "due-between"
    };
    ask.say.with(key, &values)
}

/// The same, opening to how it was computed.
pub(crate) fn due_figure(ask: &Ask<'_>, unit: &Unit, due: &Due<'_>, as_of: Timestamp) -> Markup {
    let part = due.parts.first().map_or("", |part| part.id.as_str());
    figure(&unit.id, Named::DUE, part, due_sentence(ask, unit, due, as_of))
}

/// A day so many days later.
pub(crate) fn day_after(ask: &Ask<'_>, at: Timestamp, d: f64, zone: &TimeZone) -> String {
    ask.day(after(at, d.clamp(0.0, 1e6)), zone)
}

/// What an event is called.
pub(crate) fn event(ask: &Ask<'_>, kind: reading::EventKind) -> String {
    ask.say.say(&format!("event-{}", kind.name().replace('_', "-")))
}

/// What a field of a reading is called.
pub(crate) fn field(ask: &Ask<'_>, field: reading::Field) -> String {
    ask.say.say(&format!("field-{}", field.name().replace('_', "-")))
}

/// The name of a unit with where it stands.
pub(crate) fn place(ask: &Ask<'_>, unit: &str) -> String {
    let site = ask
        .state
        .unit(unit)
        .and_then(|known| known.site.as_deref())
        .and_then(|site| ask.state.site(site)?.described.as_ref());
    site.map_or_else(String::new, |site| {
        let site = &site.what;
        [site.name.as_str(), site.place.as_str()]
            .into_iter()
            .filter(|text| !text.is_empty())
            .collect::<Vec<_>>()
            .join(", ")
    })
}
