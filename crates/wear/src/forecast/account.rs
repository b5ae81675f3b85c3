//! How it was computed when a part is due, how much of its life is used, and how loaded a stage is.

use account::{Account, Equation, Measure, Origin, symbol};
use jiff::Timestamp;
use unit::StageKind;

use super::crossing::FUTURES;
use super::sediment::{drops, stage_load};
use super::{Limit, PartForecast};
use crate::lives::{commissioned, days, new_at};
use crate::standardise::{History, Standardisation};

const BY_SIMULATION: &str =
    "docs/forecast.md: many equally likely courses, drawn from what the readings leave possible";

/// Due by the calendar.
const DUE_BY_AGE: Equation = Equation {
    name: "due-by-age",
    formula: "t = max(0, t_L - a)",
    symbols: &[
        symbol("t", "due-in", Measure::Days),
        symbol("t_L", "age-limit", Measure::Days),
        symbol("a", "age", Measure::Days),
    ],
    source: "the limit of the part; for carbon a year where none is given (common practice, no source: growth in the bed)",
};

/// The symbols of every part that is due by the first crossing of a limit.
const CROSSING: &[account::Symbol] = &[
    symbol("t", "due-in", Measure::Days),
    symbol("t_i", "due-in-course", Measure::Days),
    symbol("N", "courses", Measure::Number),
    symbol("a", "age", Measure::Days),
    symbol("u", "life-used", Measure::Share),
    symbol("x_L", "limit-share", Measure::Share),
    symbol("dP_L", "limit-drop", Measure::Pressure),
    symbol("V_L", "limit-volume", Measure::Volume),
    symbol("C_L", "limit-chlorine", Measure::Concentration),
    symbol("Q_L", "limit-need", Measure::Volume),
];

macro_rules! crossing {
    ($name:ident, $key:literal, $about:literal) => {
        #[doc = $about]
        const $name: Equation = Equation {
            name: $key,
            formula: "t = middle(t_i)",
            symbols: CROSSING,
            source: BY_SIMULATION,
        };
    };
}

crossing!(
    DUE_BY_MANY,
    "due-by-many",
    "Due by age, or sooner by another limit."
);
crossing!(DUE_BY_VOLUME, "due-by-volume", "Due by the water treated.");
crossing!(DUE_BY_DROP, "due-by-drop", "Due by a stage's pressure drop.");
crossing!(
    DUE_BY_CHLORINE,
    "due-by-chlorine",
    "Due by the chlorine that passes."
);
crossing!(DUE_BY_FLOW, "due-by-flow", "Due by lost permeate flow.");
crossing!(DUE_BY_SALT, "due-by-salt", "Due by risen salt passage.");
crossing!(
    DUE_BY_CHANNEL,
    "due-by-channel",
    "Due by the drop along the membranes."
);
crossing!(DUE_BY_NEED, "due-by-need", "Due by what is asked of the unit.");

/// Life used by the calendar.
const USED_BY_AGE: Equation = Equation {
    name: "used-by-age",
    formula: "u = a / t_L",
    symbols: &[
        symbol("u", "life-used", Measure::Share),
        symbol("a", "age", Measure::Days),
        symbol("t_L", "age-limit", Measure::Days),
    ],
    source: DUE_BY_AGE.source,
};

/// Life used, of the limit that is met first.
const USED: Equation = Equation {
    name: "used",
    formula: "u = middle(x_i / x_L)",
    symbols: &[
        symbol("u", "life-used", Measure::Share),
        symbol("x_i", "way-gone", Measure::Number),
        symbol("x_L", "way-to-limit", Measure::Number),
        symbol("N", "courses", Measure::Number),
        symbol("t", "due-in", Measure::Days),
        symbol("a", "age", Measure::Days),
    ],
    source: BY_SIMULATION,
};

/// What a stage takes away now.
const LOAD: Equation = Equation {
    name: "load",
    formula: "dP = median(dP_i)",
    symbols: &[
        symbol("dP", "stage-drop", Measure::Pressure),
        symbol("dP_i", "stage-drop-read", Measure::Pressure),
        symbol("dP_0", "stage-drop-clean", Measure::Pressure),
        symbol("dP_L", "limit-drop", Measure::Pressure),
    ],
    source: "gauges before and after, carried to the reference flow and 25 C by the law of laminar flow through a \
             porous bed (Darcy): drop in proportion to flow and viscosity",
};

/// All equations of this module.
pub const EQUATIONS: [&Equation; 12] = [
    &DUE_BY_AGE,
    &DUE_BY_MANY,
    &DUE_BY_VOLUME,
    &DUE_BY_DROP,
    &DUE_BY_CHLORINE,
    &DUE_BY_FLOW,
    &DUE_BY_SALT,
    &DUE_BY_CHANNEL,
    &DUE_BY_NEED,
    &USED_BY_AGE,
    &USED,
    &LOAD,
];

fn age_d(history: &History<'_>, part: &str, as_of: Timestamp) -> f64 {
    let start = commissioned(history.unit, history.readings, history.events);
    let new = new_at(part, start, history.events, as_of).unwrap_or(as_of);
    days(new, as_of).max(0.0)
}

fn age_limit_d(history: &History<'_>, part: &str) -> Option<f64> {
    let polish = history.unit.permeate.polish.iter().find(|one| one.id == part);
    if let Some(polish) = polish {
        return polish.age_limit_d;
    }
    let stage = history.unit.stage(part)?;
    match stage.kind {
        StageKind::Carbon { .. } => Some(stage.limit.age_d.unwrap_or(super::carbon::USUAL_AGE_D)),
        _ => stage.limit.age_d,
    }
}

/// How it was computed when a part is due; none where it has no limit.
pub fn of_due(history: &History<'_>, part: &PartForecast, as_of: Timestamp) -> Option<Vec<Account>> {
    let (limit, due) = part.limit.zip(part.due_in_d)?;
    let age = age_d(history, &part.id, as_of);
    let age_limit = age_limit_d(history, &part.id);
    let certain = due.p90 - due.p10 < 1e-9;
    if let Some(age_limit) = age_limit.filter(|_| limit == Limit::Age && certain) {
        let account = Account::of(&DUE_BY_AGE, due.p50)
            .with("t_L", age_limit, Origin::Described)
            .with("a", age, Origin::Read);
        return Some(vec![account]);
    }
    let stage = history.unit.stage(&part.id);
    let limits = &history.unit.limits;
    let share = |share: f64| (Some(("x_L", share)), Origin::Described);
    let (equation, (bound, origin)) = match limit {
        Limit::Age => (&DUE_BY_MANY, (None, Origin::Described)),
        Limit::Volume => {
            let capacity = stage.and_then(|stage| match &stage.kind {
                StageKind::Carbon {
                    capacity: Some(capacity),
                    ..
                } => Some(("V_L", capacity.volume_l)),
                _ => None,
            });
            (&DUE_BY_VOLUME, (capacity, Origin::Described))
        }
        Limit::PressureDrop => {
            let drop = stage.and_then(|stage| stage.limit.pressure_drop_kpa);
            (&DUE_BY_DROP, (drop.map(|drop| ("dP_L", drop)), Origin::Described))
        }
        Limit::FreeChlorineOut => {
            let chlorine = stage.and_then(|stage| stage.limit.free_chlorine_out_mg_l);
            (
                &DUE_BY_CHLORINE,
                (chlorine.map(|c| ("C_L", c)), Origin::Described),
            )
        }
        Limit::PermeateFlowDrop => (&DUE_BY_FLOW, share(limits.permeate_flow_drop)),
        Limit::SaltPassageRise => (&DUE_BY_SALT, share(limits.salt_passage_rise)),
        Limit::PressureDropRise => (&DUE_BY_CHANNEL, share(limits.pressure_drop_rise)),
        Limit::Need => {
            let litres = history.unit.need.permeate_l_d;
            (
                &DUE_BY_NEED,
                (litres.map(|litres| ("Q_L", litres)), Origin::Described),
            )
        }
    };
    let mut account = Account::of(equation, due.p50)
        .between(due.p10, due.p90)
        .with("N", FUTURES as f64, Origin::Constant)
        .with("a", age, Origin::Read);
    if let Some((sign, value)) = bound {
        account = account.with(sign, value, origin);
    }
    if let Some(used) = part.used_fraction {
        account = account.with("u", used.p50, Origin::Learned);
    }
    Some(vec![account])
}

/// How it was computed how much of a part's life is used.
pub fn of_used(history: &History<'_>, part: &PartForecast, as_of: Timestamp) -> Option<Vec<Account>> {
    let used = part.used_fraction?;
    let (age, limit) = (age_d(history, &part.id, as_of), age_limit_d(history, &part.id));
    if let Some(limit) = limit.filter(|_| part.limit == Some(Limit::Age)) {
        let account = Account::of(&USED_BY_AGE, used.p50)
            .with("a", age, Origin::Read)
            .with("t_L", limit, Origin::Described);
        return Some(vec![account]);
    }
    let mut account = Account::of(&USED, used.p50)
        .between(used.p10, used.p90)
        .with("N", FUTURES as f64, Origin::Constant)
        .with("a", age, Origin::Read);
    if let Some(due) = part.due_in_d {
        account = account.with("t", due.p50, Origin::Solved);
    }
    let mut all = vec![account];
    all.extend(of_due(history, part, as_of).unwrap_or_default());
    Some(all)
}

/// How it was computed how loaded a stage is.
pub fn of_load(
    history: &History<'_>,
    standardisation: &Standardisation,
    part: &str,
    as_of: Timestamp,
) -> Option<Vec<Account>> {
    let stage = history.unit.stage(part)?;
    let load = stage_load(history, standardisation, stage, as_of)?;
    let mut account = Account::of(&LOAD, load.drop_kpa).give(load.sd_kpa);
    for drop in drops(history, standardisation, stage, as_of) {
        account = account.with("dP_i", drop, Origin::Read);
    }
    let account = account.with("dP_0", load.clean_kpa, Origin::Described).with(
        "dP_L",
        load.limit_kpa,
        Origin::Described,
    );
    Some(vec![account])
}
