//! When each part will be due, with its uncertainty.
//!
//! A part is due at the first crossing of any of its limits. All that was read is fused into one estimate of the
//! unit's unknowns ([`mod@fit`]), its parts' states and rates among them; many equally likely futures run from
//! there on the volume clock. `docs/forecast.md` says what is assumed.

mod account;
mod carbon;
mod clock;
mod course;
mod crossing;
mod drift;
mod evidence;
mod exposure;
mod fan;
mod fit;
mod fitted;
mod forecaster;
pub mod hermia;
mod hypotheses;
mod laws;
mod linear;
mod local;
mod membranes;
mod need;
mod normal;
mod past;
mod plant;
pub mod pool;
mod posterior;
mod prior;
mod resin;
mod restart;
mod scaling;
mod sediment;
mod severity;
mod shown;
mod stride;
mod timeline;
pub mod trend;
mod unknowns;

use jiff::Timestamp;
use unit::{StageKind, Unit};

use crate::lives::{after, days, new_at};
use crate::standardise::{History, Standardisation};
use posterior::Posterior;

pub use account::{EQUATIONS, of_due, of_load, of_used};
pub use crossing::Spread;
pub use fan::{Fan, FanPoint};
pub use forecaster::Forecaster;
pub use past::{behind, past_lives, tellers};
pub use prior::Prior;
pub use sediment::{Load, stage_load};
pub use severity::Severity;

/// A date beyond this many days is no date.
pub const HORIZON_D: f64 = 3652.5;

/// Which limit is met first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// Days in service.
    Age,
    /// Litres treated.
    Volume,
    /// Pressure drop of a stage.
    PressureDrop,
    /// Free chlorine after the carbon.
    FreeChlorineOut,
    /// Fall of standardised permeate flow.
    PermeateFlowDrop,
    /// Rise of standardised salt passage.
    SaltPassageRise,
    /// Rise of standardised feed-to-concentrate drop.
    PressureDropRise,
    /// What is asked of the unit.
    Need,
}

impl Limit {
    /// Its name in answers.
    pub fn name(self) -> &'static str {
        match self {
            Self::Age => "age",
            Self::Volume => "volume",
            Self::PressureDrop => "pressure_drop",
            Self::FreeChlorineOut => "free_chlorine_out",
            Self::PermeateFlowDrop => "permeate_flow_drop",
            Self::SaltPassageRise => "salt_passage_rise",
            Self::PressureDropRise => "pressure_drop_rise",
            Self::Need => "need",
        }
    }

    /// What it is in a sentence: "for ...".
    fn words(self) -> &'static str {
        match self {
            Self::Age => "its age",
            Self::Volume => "the water it has treated",
            Self::PressureDrop => "its pressure drop",
            Self::FreeChlorineOut => "the chlorine that passes it",
            Self::PermeateFlowDrop => "lost permeate flow",
            Self::SaltPassageRise => "salt passage",
            Self::PressureDropRise => "the drop along the membranes",
            Self::Need => "what is asked of the unit",
        }
    }
}

/// What a forecast stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// The part's own readings.
    Readings,
    /// The feed it treats.
    Feed,
    /// The calendar.
    Age,
}

impl Basis {
    /// Its name in answers.
    pub fn name(self) -> &'static str {
        match self {
            Self::Readings => "readings",
            Self::Feed => "feed",
            Self::Age => "age",
        }
    }
}

/// 10 %, 50 % and 90 % quantiles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantiles {
    /// One in ten is below.
    pub p10: f64,
    /// Half are below.
    pub p50: f64,
    /// Nine in ten are below.
    pub p90: f64,
}

impl Quantiles {
    /// Of equally likely values.
    fn of(values: impl Iterator<Item = f64>) -> Self {
        let mut values: Vec<f64> = values.collect();
        let n = values.len();
        // Selected one within the other, which is all the order that three of them need.
        let mut at = |tenths: usize, until: usize| {
            let place = n * tenths / 10;
            let some = values.get_mut(..until.min(n)).filter(|some| place < some.len());
            some.map_or(0.0, |some| *some.select_nth_unstable_by(place, f64::total_cmp).1)
        };
        let p90 = at(9, n);
        let p50 = at(5, n * 9 / 10);
        let p10 = at(1, n * 5 / 10);
        Self { p10, p50, p90 }
    }
}

/// One part's forecast.
#[derive(Clone, Debug, PartialEq)]
pub struct PartForecast {
    /// The part.
    pub id: String,
    /// The limit met first; none where the part has none.
    pub limit: Option<Limit>,
    /// Days from `as_of`; [`HORIZON_D`] and more count as never. None where the part has no limit.
    pub due_in_d: Option<Quantiles>,
    /// Share of its life used.
    pub used_fraction: Option<Quantiles>,
    /// Chance of being due within 30, 90 and 180 days.
    pub chance_within: [f64; 3],
    /// What it stands on.
    pub basis: Basis,
    /// In words.
    pub sentence: String,
}

/// What one limit of a part says.
struct Candidate {
    limit: Limit,
    basis: Basis,
    due: Spread,
    used: Quantiles,
}

/// The forecast of every part of a unit.
///
/// Readings and events after `as_of` are not looked at.
pub fn forecast(
    history: &History<'_>,
    standardisation: &Standardisation,
    as_of: Timestamp,
) -> Vec<PartForecast> {
    let prior = Prior::of(history.unit, history.water, &pool::PastLives::default());
    forecast_with(history, standardisation, as_of, &prior)
}

/// [`forecast`] with what is known of units of this kind.
pub fn forecast_with(
    history: &History<'_>,
    standardisation: &Standardisation,
    as_of: Timestamp,
    prior: &Prior,
) -> Vec<PartForecast> {
    Forecaster::new(history, standardisation, as_of, prior).parts()
}

/// What all parts' forecasts look at.
struct Scene<'a> {
    history: &'a History<'a>,
    as_of: Timestamp,
    start: Option<Timestamp>,
    prior: &'a Prior,
    posterior: &'a Posterior,
}

impl Scene<'_> {
    fn unit(&self) -> &Unit {
        self.history.unit
    }

    /// When the part was last new.
    fn new_at(&self, part: &str) -> Timestamp {
        new_at(part, self.start, self.history.events, self.as_of).unwrap_or(self.as_of)
    }

    /// Days that the part has served.
    fn age_d(&self, part: &str) -> f64 {
        days(self.new_at(part), self.as_of).max(0.0)
    }

    /// Due by the calendar: known to the day.
    fn by_age(&self, part: &str, limit_d: f64) -> Candidate {
        let age = self.age_d(part);
        let used = age / limit_d;
        let due = Spread::certain((limit_d - age).max(0.0));
        let used = Quantiles {
            p10: used,
            p50: used,
            p90: used,
        };
        Candidate {
            limit: Limit::Age,
            basis: Basis::Age,
            due,
            used,
        }
    }

    /// The same of another part that shares its fate.
    fn again(&self, part: &PartForecast, id: &str) -> PartForecast {
        let told = part.limit.zip(part.due_in_d);
        PartForecast {
            id: id.to_owned(),
            sentence: told.map_or_else(
                || part.sentence.clone(),
                |(limit, due)| self.sentence(id, limit, &due),
            ),
            ..part.clone()
        }
    }

    /// The first of the limits to be met, over all that could happen.
    fn settle(&self, id: &str, candidates: Vec<Candidate>) -> PartForecast {
        let due = Spread::first_of(candidates.iter().map(|candidate| &candidate.due));
        let first = Spread::mostly_first(candidates.iter().map(|candidate| &candidate.due))
            .and_then(|first| candidates.into_iter().nth(first));
        let (Some(due), Some(first)) = (due, first) else {
            return PartForecast {
                id: id.to_owned(),
                limit: None,
                due_in_d: None,
                used_fraction: None,
                chance_within: [0.0; 3],
                basis: Basis::Age,
                sentence: format!("The {} has no limit to be due by.", part_words(self.unit(), id)),
            };
        };
        let quantiles = due.quantiles();
        PartForecast {
            id: id.to_owned(),
            limit: Some(first.limit),
            due_in_d: Some(quantiles),
            used_fraction: Some(first.used),
            chance_within: [30.0, 90.0, 180.0].map(|within| due.chance_within(within)),
            basis: first.basis,
            sentence: self.sentence(id, first.limit, &quantiles),
        }
    }
}

impl Scene<'_> {
    /// When the part is due, in words; of the need with what is asked.
    fn sentence(&self, id: &str, limit: Limit, due: &Quantiles) -> String {
        let name = part_words(self.unit(), id);
        let plain = due_sentence(&name, false, limit, due, self.as_of);
        let asked = self
            .unit()
            .need
            .permeate_l_d
            .filter(|_| limit == Limit::Need && due.p50 < HORIZON_D);
        match asked {
            Some(litres) if due.p50 > 0.0 => format!(
                "{plain} It will do until then, but from about {} the unit can't make {litres:.0} L a day.",
                day_words(self.as_of, due.p50)
            ),
            _ => plain,
        }
    }
}

/// "The sediment filter is due between 3 March and 24 March, most likely 12 March, for its pressure drop."
pub fn due_sentence(name: &str, plural: bool, limit: Limit, due: &Quantiles, as_of: Timestamp) -> String {
    let (is, words) = if plural {
        ("are", limit.words().replace("its", "their"))
    } else {
        ("is", limit.words().to_owned())
    };
    // "Membrane 2", but "the carbon filter".
    let subject = match name.strip_prefix("membrane ") {
        Some(number) => format!("Membrane {number}"),
        None => format!("The {name}"),
    };
    if due.p50 <= 0.0 {
        return format!("{subject} {is} due now, for {words}.");
    }
    if due.p10 >= HORIZON_D {
        return format!("{subject} {is} not due within ten years.");
    }
    let date = |d: f64| day_words(as_of, d);
    let until = |d: f64| {
        if d >= HORIZON_D {
            "beyond ten years".to_owned()
        } else {
            date(d)
        }
    };
    if due.p90 - due.p10 < 2.0 {
        return format!("{subject} {is} due on {}, for {words}.", date(due.p50));
    }
    let earliest = if due.p10 < 1.0 {
        "now".to_owned()
    } else {
        date(due.p10)
    };
    format!(
        "{subject} {is} due between {earliest} and {}, most likely {}, for {words}.",
        until(due.p90),
        until(due.p50)
    )
}

/// What people call a part: "sediment filter", "membrane 2"; with its id where there are several of a kind.
pub fn part_words(unit: &Unit, id: &str) -> String {
    let words = id.replace(['-', '_'], " ");
    let Some(stage) = unit.stage(id) else { return words };
    let kind = match stage.kind {
        StageKind::Sediment { .. } => "sediment filter",
        StageKind::Carbon { .. } => "carbon filter",
        StageKind::Softener { .. } => "softener",
        StageKind::Antiscalant => "antiscalant stage",
        StageKind::Pump { .. } => "pump",
        StageKind::Regulator { .. } => "pressure regulator",
        StageKind::Other => return words,
    };
    let alike = unit
        .stages
        .iter()
        .filter(|other| std::mem::discriminant(&other.kind) == std::mem::discriminant(&stage.kind));
    if alike.count() > 1 {
        format!("{kind} {words:?}")
    } else {
        kind.to_owned()
    }
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// A day this many days after `as_of`, in words: "12 March 2025".
pub fn day_words(as_of: Timestamp, d: f64) -> String {
    let at = after(as_of, d.clamp(0.0, 1e6));
    let date = jiff::tz::TimeZone::UTC.to_datetime(at).date();
    let month = usize::try_from(date.month())
        .ok()
        .and_then(|month| MONTHS.get(month.saturating_sub(1)));
    format!(
        "{} {} {}",
        date.day(),
        month.copied().unwrap_or_default(),
        date.year()
    )
}
