//! What `water` has to say of an analysis, and why it has no answer, in the reader's language.

use quantity::Kind;
use water::{CHECKED_IONIC_STRENGTH_MOL_KG, Error, Keep, Made, Met, Mineral, Said, Threat, times_over};

use super::water_form::{kind, label};
use crate::frame::ask::Ask;

fn mineral(ask: &Ask<'_>, mineral: Mineral) -> String {
    ask.say
        .say(&format!("mineral-{}", mineral.name().replace('_', "-")))
}

/// The names of fields of an analysis, with commas.
fn fields(ask: &Ask<'_>, names: &[&str]) -> String {
    names
        .iter()
        .map(|name| label(ask, name))
        .collect::<Vec<_>>()
        .join(", ")
}

/// Numbers of two digits after the point, or of as many as tell them apart.
fn apart(ask: &Ask<'_>, a: f64, b: f64) -> (String, String) {
    let digits = water::decimals_apart(a, b, 2);
    let write = |value: f64| ask.say.number(&format!("{value:.digits$}"));
    (write(a), write(b))
}

/// Something to say of a water, as whole sentences.
pub(crate) fn words(ask: &Ask<'_>, said: &Said) -> String {
    match said {
        Said::OnlySalt { .. }
        | Said::Limit { .. }
        | Said::Treatments { .. }
        | Said::SilicaStays { .. }
        | Said::NotJudged(_)
        | Said::Threat(_) => finding(ask, said),
        Said::StrongConcentrate { .. }
        | Said::Strong { .. }
        | Said::Unbalanced { .. }
        | Said::Conductivity { .. }
        | Said::Hardness { .. }
        | Said::TdsRatio { .. }
        | Said::Tds { .. }
        | Said::AlkalinityRaised { .. } => warning(ask, said),
        _ => assumption(ask, said),
    }
}

fn finding(ask: &Ask<'_>, said: &Said) -> String {
    let say = ask.say;
    match said {
        Said::OnlySalt { tds_mg_l } => {
            let salt = ask.measures.show(Kind::Concentration, *tds_mg_l);
            say.with("water-said-only-salt", &[("salt", salt.into())])
        }
        Said::Limit {
            at,
            softened,
            antiscalant,
            keep,
        } => {
            let with = say.say(match (softened, antiscalant) {
                (true, true) => "water-with-both",
                (true, false) => "water-with-softener",
                (false, true) => "water-with-antiscalant",
                (false, false) => "water-with-neither",
            });
            let values = [("with", with.into()), ("keep", kept_below(ask, *keep).into())];
            let limit = say.with("water-said-limit", &values);
            let Some(at) = at else { return limit };
            let percent = say.percent(at.recovery);
            let state = match at.worst {
                Some((worst, si)) => say.with(
                    "water-said-at",
                    &[
                        ("percent", percent.into()),
                        ("mineral", mineral(ask, worst).into()),
                        ("times", say.number(&times_over(si)).into()),
                    ],
                ),
                None => say.with("water-said-at-free", &[("percent", percent.into())]),
            };
            format!("{state} {limit}")
        }
        Said::Treatments {
            antiscalant,
            softener,
        } => {
            let one = |key: &str, free: &str, first: &Option<(Mineral, f64)>| match first {
                Some((first, recovery)) => say.with(
                    key,
                    &[
                        ("mineral", mineral(ask, *first).into()),
                        ("percent", say.percent(*recovery).into()),
                    ],
                ),
                None => say.say(free),
            };
            let antiscalant = one(
                "water-said-antiscalant",
                "water-said-antiscalant-free",
                antiscalant,
            );
            let softener = one("water-said-softener", "water-said-softener-free", softener);
            format!("{antiscalant} {softener}")
        }
        Said::SilicaStays { recovery } => say.with(
            "water-said-silica-stays",
            &[("percent", say.percent(*recovery).into())],
        ),
        Said::NotJudged(names) => say.with("water-said-not-judged", &[("fields", fields(ask, names).into())]),
        Said::Threat(one) => threat(ask, one),
        _ => String::new(),
    }
}

fn kept_below(ask: &Ask<'_>, keep: Keep) -> String {
    let say = ask.say;
    match keep {
        Keep::Nowhere(first) => say.with("water-keep-nowhere", &[("mineral", mineral(ask, first).into())]),
        Keep::Below {
            mineral: first,
            recovery,
            likely,
        } => {
            let mut values = vec![
                ("percent", say.percent(recovery).into()),
                ("mineral", mineral(ask, first).into()),
            ];
            let Some((low, high)) = likely else {
                return say.with("water-keep-about", &values);
            };
            values.extend([
                ("low", say.percent(low).into()),
                ("high", say.percent(high).into()),
            ]);
            say.with("water-keep-likely", &values)
        }
        Keep::Free => say.say("water-keep-free"),
    }
}

fn threat(ask: &Ask<'_>, threat: &Threat) -> String {
    let say = ask.say;
    let value = |value: f64| match threat.unit {
        "mg/L" => ask.measures.show(Kind::Concentration, value),
        unit => format!("{}\u{a0}{unit}", say.number(&value.to_string())),
    };
    let time = threat.doubled_after_h.map_or_else(String::new, |hours| {
        let (key, n) = if hours < 200.0 {
            ("water-hours", hours)
        } else {
            ("water-days", hours / 24.0)
        };
        say.with(key, &[("n", format!("{n:.0}").into())])
    });
    let key = format!("water-threat-{}", threat.field.replace('_', "-"));
    let values = [
        ("read", value(threat.read).into()),
        ("limit", value(threat.limit).into()),
        ("time", time.into()),
    ];
    say.with(&key, &values)
}

fn warning(ask: &Ask<'_>, said: &Said) -> String {
    let say = ask.say;
    let show = |kind: Kind, value: f64| ask.measures.show(kind, value);
    let strong = |key: &str, mol_kg: f64| {
        let (strength, most) = apart(ask, mol_kg, CHECKED_IONIC_STRENGTH_MOL_KG);
        say.with(key, &[("strength", strength.into()), ("most", most.into())])
    };
    match said {
        Said::StrongConcentrate { mol_kg } => strong("water-said-strong-concentrate", *mol_kg),
        Said::Strong { mol_kg } => strong("water-said-strong", *mol_kg),
        Said::Unbalanced { percent } => {
            let key = if *percent > 0.0 {
                "water-said-cations"
            } else {
                "water-said-anions"
            };
            let digits = water::decimals_apart(percent.abs(), 5.0, 1);
            let percent = say.number(&format!("{:.digits$}", percent.abs()));
            say.with(key, &[("percent", percent.into())])
        }
        Said::Conductivity {
            by,
            made_us_cm,
            read_us_cm,
        } => {
            let key = match by {
                Made::ByIons => "water-said-made-by-ions",
                Made::ByKit => "water-said-made-by-kit",
                Made::ByGiven => "water-said-made-by-given",
            };
            let values = [
                ("made", show(Kind::Conductivity, *made_us_cm).into()),
                ("read", show(Kind::Conductivity, *read_us_cm).into()),
            ];
            say.with(key, &values)
        }
        Said::Hardness { read, made } => {
            let values = [
                ("read", show(Kind::AsCaco3, *read).into()),
                ("made", show(Kind::AsCaco3, *made).into()),
            ];
            say.with("water-said-hardness", &values)
        }
        Said::TdsRatio { tds_mg_l, us_cm } => {
            let values = [
                ("tds", show(Kind::Concentration, *tds_mg_l).into()),
                ("conductivity", show(Kind::Conductivity, *us_cm).into()),
                ("ratio", say.number(&format!("{:.2}", tds_mg_l / us_cm)).into()),
            ];
            say.with("water-said-tds-ratio", &values)
        }
        Said::Tds { read, whole, residue } => {
            let values = [
                ("read", show(Kind::Concentration, *read).into()),
                ("whole", show(Kind::Concentration, *whole).into()),
                ("residue", show(Kind::Concentration, *residue).into()),
            ];
            say.with("water-said-tds", &values)
        }
        Said::AlkalinityRaised { read, ph, least } => {
            let values = [
                ("read", show(Kind::AsCaco3, *read).into()),
                ("ph", say.number(&ph.to_string()).into()),
                ("least", show(Kind::AsCaco3, *least).into()),
            ];
            say.with("water-said-alkalinity-raised", &values)
        }
        _ => String::new(),
    }
}

fn assumption(ask: &Ask<'_>, said: &Said) -> String {
    let say = ask.say;
    match said {
        Said::TemperatureTaken { celsius } => {
            let temperature = ask.measures.show(Kind::Temperature, *celsius);
            say.with("water-said-temperature", &[("temperature", temperature.into())])
        }
        Said::PhTaken(ph) => say.with("water-said-ph", &[("ph", say.number(&format!("{ph:.1}")).into())]),
        Said::PhNotUsed => say.say("water-said-ph-not-used"),
        Said::HardnessSplit(share) => say.with(
            "water-said-hardness-split",
            &[("percent", say.percent(*share).into())],
        ),
        Said::FromHardness { given, other } => say.with(
            "water-said-from-hardness",
            &[
                ("given", label(ask, given).into()),
                ("other", label(ask, other).into()),
            ],
        ),
        Said::SaltAlone => say.say("water-said-salt-alone"),
        Said::MagnesiumTaken => say.say("water-said-magnesium"),
        Said::CalciumTaken => say.say("water-said-calcium"),
        Said::AlkalinityTaken(ratio) => say.with(
            "water-said-alkalinity",
            &[("ratio", say.number(&format!("{ratio:.2}")).into())],
        ),
        Said::HardnessTaken => say.say("water-said-hardness-taken"),
        Said::HardnessOfCations => say.say("water-said-hardness-of-cations"),
        Said::FilledIn { fields: names, met } => {
            let key = match met {
                Met::Charges => "water-said-filled",
                Met::Conductivity => "water-said-filled-conductivity",
                Met::Tds => "water-said-filled-tds",
            };
            say.with(key, &[("fields", fields(ask, names).into())])
        }
        Said::LessChloride { share, field } => {
            let key = if *field == "tds" {
                "water-said-less-chloride-tds"
            } else {
                "water-said-less-chloride"
            };
            say.with(key, &[("percent", say.percent(*share).into())])
        }
        _ => String::new(),
    }
}

/// Why there is no answer for an analysis.
pub(crate) fn wrong(ask: &Ask<'_>, error: &Error) -> String {
    let say = ask.say;
    let number = |value: f64| say.number(&value.to_string());
    let named = |field: &str| label(ask, field);
    match error {
        Error::NotANumber { field, read } => say.with(
            "water-wrong-number",
            &[("field", named(field).into()), ("read", number(*read).into())],
        ),
        Error::OutOfRange {
            field,
            read,
            least,
            most,
            unit,
        } => {
            let show = |value: f64| match kind(field) {
                Kind::Number => format!("{}\u{a0}{unit}", number(value)).trim_end().to_owned(),
                kind => ask.measures.show(kind, value),
            };
            let values = [
                ("field", named(field).into()),
                ("read", show(*read).into()),
                ("least", show(*least).into()),
                ("most", show(*most).into()),
            ];
            say.with("water-wrong-range", &values)
        }
        Error::AlkalinityTooLow { ph, read, least } => {
            let values = [
                ("read", ask.measures.show(Kind::AsCaco3, *read).into()),
                ("ph", number(*ph).into()),
                ("least", ask.measures.show(Kind::AsCaco3, *least).into()),
            ];
            say.with("water-wrong-alkalinity", &values)
        }
        Error::TooMuchCarbonDioxide {
            ph,
            alkalinity,
            co2_mg_l,
        } => {
            let gas = ask.measures.show(Kind::Concentration, *co2_mg_l);
            let values = [
                ("ph", number(*ph).into()),
                ("alkalinity", ask.measures.show(Kind::AsCaco3, *alkalinity).into()),
                ("gas", gas.into()),
            ];
            say.with("water-wrong-carbon-dioxide", &values)
        }
        Error::TooSalty { field, read, most } => {
            let (read, most) = apart(ask, *read, *most);
            let values = [
                ("field", named(field).into()),
                ("read", read.into()),
                ("most", most.into()),
            ];
            say.with("water-wrong-salty", &values)
        }
        Error::NothingGiven => say.say("water-wrong-nothing"),
        Error::BelowCarbonDioxide { read, floor } => {
            let values = [
                ("read", ask.measures.show(Kind::Conductivity, *read).into()),
                ("floor", ask.measures.show(Kind::Conductivity, *floor).into()),
            ];
            say.with("water-wrong-permeate", &values)
        }
        Error::NoEquilibrium { field } => {
            say.with("water-wrong-equilibrium", &[("field", named(field).into())])
        }
        _ => say.say("water-impossible"),
    }
}
