//! The fields of an analysis, and the document that was typed into them.

use casefile::{Faults as DocumentFaults, Table};
use maud::{Markup, html};
use quantity::Kind;
use serde_json::{Map, Value};

use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::{self, Entry, Faults};

/// What a field kit gives: names in the document, with the kind of each.
const KIT: [(&str, Kind); 5] = [
    ("conductivity", Kind::Conductivity),
    ("hardness", Kind::AsCaco3),
    ("alkalinity", Kind::AsCaco3),
    ("ph", Kind::Number),
    ("temperature", Kind::Temperature),
];
/// The rest of an analysis.
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

/// The kind of a field of an analysis.
pub(crate) fn kind(name: &str) -> Kind {
    let mut all = KIT.iter().chain(&REST);
    all.find(|(other, _)| *other == name)
        .map_or(Kind::Concentration, |(_, kind)| *kind)
}

/// The label of a field of an analysis.
pub(crate) fn label(ask: &Ask<'_>, name: &str) -> String {
    match name {
        "at" => ask.say.say("when"),
        "name" => ask.say.say("water-name"),
        _ => ask.say.say(&format!("water-{}", name.replace('_', "-"))),
    }
}

/// The fields, the field kit's in sight. `prefix` stands before each name in the form: a form may hold other things too.
pub(crate) fn fields(ask: &Ask<'_>, prefix: &str, typed: &Fields, faults: &Faults) -> Markup {
    let say = ask.say;
    let one = |name: &str, kind: Kind| {
        let field = form::Field {
            name: &format!("{prefix}{name}"),
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
    let name = form::Field {
        name: &format!("{prefix}name"),
        label: label(ask, "name"),
        hint: String::new(),
        unit: "",
        entry: Entry::Line,
        required: false,
    };
    let open = REST.iter().any(|(name, _)| {
        let name = format!("{prefix}{name}");
        !typed.get(&name).is_empty() || faults.of(&name).is_some()
    });
    html! {
        (name.show(ask, typed, faults))
        fieldset { legend { (say.say("water-kit")) } div.desk-two { @for (name, kind) in KIT { (one(name, kind)) } } }
        details open[open] { summary { (say.say("water-rest")) } div.desk-two { @for (name, kind) in REST { (one(name, kind)) } } }
    }
}

/// The analysis that was typed, checked; empty where nothing was.
pub(crate) fn read(ask: &Ask<'_>, prefix: &str) -> Map<String, Value> {
    let sent = |name: &str| ask.sent.get(&format!("{prefix}{name}"));
    let mut document: Map<String, Value> = Map::new();
    for (name, kind) in KIT.into_iter().chain(REST) {
        let text = sent(name);
        if !text.is_empty() {
            let text = if kind == Kind::Number {
                text.to_owned()
            } else {
                ask.measures.with_unit(kind, text)
            };
            document.insert(name.to_owned(), text.into());
        }
    }
    if !document.is_empty() && !sent("name").is_empty() {
        document.insert("name".to_owned(), sent("name").into());
    }
    document
}

/// Says what is wrong with an analysis beside its fields.
pub(crate) fn check(ask: &Ask<'_>, prefix: &str, document: &Map<String, Value>, faults: &mut Faults) {
    let found = DocumentFaults::new();
    let analysis = casefile::water_analysis(Table::new(document, "water", &found));
    let field = |path: &str| format!("{prefix}{}", path.strip_prefix("water.").unwrap_or(path));
    match found.settle("", analysis) {
        Err(invalid) => {
            // Nothing at all that tells what is in it.
            let (nothing, rest): (Vec<_>, Vec<_>) = invalid
                .faults
                .into_iter()
                .partition(|fault| fault.read == casefile::Read::Nothing);
            for fault in &nothing {
                faults.add(&field(&fault.path), ask.say.say("water-wrong-nothing"));
            }
            faults.document(ask, &rest, field);
        }
        Ok(analysis) => {
            for error in water::Water::complete(&analysis).err().unwrap_or_default() {
                let name = match error.field() {
                    "water" => "conductivity",
                    field => field,
                };
                faults.add(&format!("{prefix}{name}"), super::water_said::wrong(ask, &error));
            }
        }
    }
}
