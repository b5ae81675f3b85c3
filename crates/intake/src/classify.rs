//! From a heading's words to what the column holds, given the unit.

use quantity::Kind;
use reading::Field;
use unit::{PolishKind, StageKind, Unit};

use crate::Taken;
use crate::heading::Heading;
use crate::pressure::pressure;
use crate::target::Target;
use crate::words::Notions;

/// A first opinion on one column.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Guess {
    pub(crate) target: Target,
    /// How a bucket is timed, where the column is one.
    pub(crate) bucket: Option<Bucket>,
    /// Another column may take the place if it fits better: this one then becomes the alternative, or nothing.
    pub(crate) alternative: Option<Target>,
    /// What was taken for granted, to be said.
    pub(crate) assumed: Option<Taken>,
    /// Lower gives way to higher.
    pub(crate) strength: u8,
}

/// How a column of bucket readings is made a flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Bucket {
    /// The cell is the time in which this many litres ran.
    Time {
        /// Litres.
        volume_l: f64,
        /// Whether a bare number is minutes, not seconds.
        minutes: bool,
    },
    /// The cell is the volume that ran in this many seconds.
    Volume {
        /// Seconds.
        seconds: f64,
    },
}

impl Guess {
    pub(crate) fn new(target: Target, strength: u8) -> Self {
        Self {
            target,
            bucket: None,
            alternative: None,
            assumed: None,
            strength,
        }
    }

    pub(crate) fn field(field: Field, strength: u8) -> Self {
        Self::new(Target::Field(field), strength)
    }

    pub(crate) fn assuming(mut self, assumed: Taken) -> Self {
        self.assumed = Some(assumed);
        self
    }

    pub(crate) fn or(mut self, alternative: Target) -> Self {
        self.alternative = Some(alternative);
        self
    }
}

/// The quantity a heading speaks of, by its words, else by its unit.
fn quantity(heading: &Heading) -> Option<Kind> {
    use Notions as N;
    let n = heading.notions;
    let unit = heading.unit_kind;
    let by_word = if n.has(N::CHLORINE) {
        Some(Kind::Concentration)
    } else if n.has(N::HARDNESS) {
        Some(Kind::AsCaco3)
    } else if n.has(N::TEMPERATURE) {
        Some(Kind::Temperature)
    } else if n.has(N::PRESSURE) {
        Some(Kind::Pressure)
    } else if n.has(N::TDS) {
        Some(Kind::Salt)
    } else if n.has(N::CONDUCTIVITY) {
        Some(Kind::Conductivity)
    } else if n.has(N::FLOW) {
        Some(Kind::Flow)
    } else {
        None
    };
    match (by_word, unit) {
        // `Pressure (ppm)` is nothing; `Production L/day` and `flow gal` follow the unit.
        (None | Some(Kind::Salt | Kind::Conductivity), Some(Kind::Concentration)) => Some(Kind::Salt),
        (Some(Kind::Salt | Kind::Conductivity), Some(Kind::Conductivity)) => Some(Kind::Conductivity),
        (Some(Kind::Concentration), Some(Kind::Concentration)) => Some(Kind::Concentration),
        (Some(Kind::AsCaco3), Some(Kind::Concentration | Kind::AsCaco3)) => Some(Kind::AsCaco3),
        (Some(word), None) => Some(word),
        (Some(word), Some(unit)) if word == unit => Some(word),
        (Some(Kind::Flow), Some(Kind::Volume)) => Some(Kind::Volume),
        (Some(_), Some(unit @ (Kind::Flow | Kind::Pressure | Kind::Conductivity | Kind::Temperature))) => {
            Some(unit)
        }
        (Some(_), Some(_)) => None,
        (None, Some(unit @ (Kind::Minutes | Kind::Hours))) => (!n.has(N::TIME)).then_some(unit),
        (None, unit) => unit,
    }
}

/// The first opinion; none where the heading says nothing that is known. `cells` is what the cells' own units
/// measure, where they have them.
pub(crate) fn classify(heading: &Heading, cells: Option<Kind>, unit: &Unit) -> Option<Guess> {
    use Notions as N;
    let n = heading.notions;
    if heading.text.is_empty() {
        return None;
    }
    if n.has(N::DERIVED.with(N::OTHER).with(N::AIR)) {
        return None;
    }
    if let Some(guess) = bucket(heading) {
        return Some(guess);
    }
    let quantity = quantity(heading).or_else(|| {
        (!n.has(N::NOTE.with(N::DATE).with(N::BY)))
            .then_some(cells)
            .flatten()
    });
    let numeric = quantity.is_some();
    if n.has(N::RUNNING) && !numeric_other_than_time(quantity) {
        let field = if n.has(N::HOURS) || quantity == Some(Kind::Hours) {
            Field::RunningHours
        } else {
            Field::RunningFor
        };
        return Some(Guess::field(field, 3));
    }
    if n.has(N::HOURS) && !numeric_other_than_time(quantity) {
        return Some(Guess::field(Field::RunningHours, 2));
    }
    if !numeric && n.has(N::DATE) && !n.has(N::NOTE) {
        return Some(Guess::new(Target::Date, if n.has(N::TIME) { 4 } else { 3 }));
    }
    if !numeric && heading.date_order.is_some() && n.is_empty() {
        return Some(Guess::new(Target::Date, 2));
    }
    if !numeric && n.has(N::TIME) {
        return Some(Guess::new(Target::Time, 3));
    }
    if !numeric && n.has(N::NOTE) {
        return Some(Guess::new(Target::Note, 3));
    }
    if !numeric && n.has(N::BY) && n.without(N::BY.with(N::FOREIGN)).is_empty() {
        return Some(Guess::new(Target::By, 2));
    }
    if n.has(N::TOTAL)
        && !n.has(N::CHLORINE)
        && matches!(quantity, None | Some(Kind::Volume | Kind::Flow))
        && heading.unit_kind != Some(Kind::Flow)
    {
        return Some(total(n));
    }
    match quantity? {
        Kind::Temperature => temperature(n),
        Kind::Pressure => pressure(heading, unit),
        Kind::Flow => flow(n),
        Kind::Salt => salt(heading, unit, true),
        Kind::Conductivity => salt(heading, unit, false),
        Kind::Concentration => chlorine(heading, unit),
        Kind::AsCaco3 => hardness(n, unit),
        Kind::Volume => (n.has(N::FEED.with(N::PERMEATE).with(N::RO).with(N::WATER))).then(|| Guess {
            strength: 1,
            ..total(n)
        }),
        _ => None,
    }
}

fn numeric_other_than_time(quantity: Option<Kind>) -> bool {
    quantity.is_some_and(|kind| !matches!(kind, Kind::Hours | Kind::Minutes))
}

/// `500 mL in (sec)`, `Drain 1 L in (sec)`, `seconds per 500 ml`, `mL in 30 s`.
fn bucket(heading: &Heading) -> Option<Guess> {
    use Notions as N;
    let n = heading.notions;
    let timed = n.has(
        N::TIMED
            .with(N::TIME)
            .with(N::IN)
            .with(N::FLOW)
            .with(N::PERMEATE)
            .with(N::CONCENTRATE)
            .with(N::RO),
    );
    let bucket = match (heading.volume_l, heading.time_s, heading.unit_kind) {
        (Some(volume_l), None, Some(Kind::Minutes)) => {
            let minutes = heading
                .unit
                .as_deref()
                .and_then(|unit| quantity::find_unit(Kind::Minutes, unit));
            Bucket::Time {
                volume_l,
                minutes: minutes.is_some_and(|unit| unit.symbol == "min"),
            }
        }
        (Some(volume_l), None, None) if timed => Bucket::Time {
            volume_l,
            minutes: false,
        },
        (None, Some(seconds), Some(Kind::Volume)) => Bucket::Volume { seconds },
        _ => return None,
    };
    let field = if n.has(N::CONCENTRATE) {
        Field::ConcentrateFlow
    } else {
        Field::PermeateFlow
    };
    if n.has(N::FEED) && !n.has(N::CONCENTRATE.with(N::PERMEATE)) {
        return None;
    }
    let plain = !n.has(N::CONCENTRATE.with(N::PERMEATE).with(N::RO).with(N::OUT));
    let guess = Guess {
        bucket: Some(bucket),
        ..Guess::field(field, if plain { 2 } else { 3 })
    };
    Some(if plain {
        guess.assuming(Taken::BucketOfPermeate)
    } else {
        guess
    })
}

fn total(n: Notions) -> Guess {
    use Notions as N;
    if n.has(N::FEED.with(N::LINE).with(N::IN)) {
        Guess::field(Field::FeedTotal, 3)
    } else if n.has(N::PERMEATE.with(N::RO).with(N::OUT)) {
        Guess::field(Field::PermeateTotal, 3)
    } else {
        Guess::field(Field::PermeateTotal, 1)
            .or(Target::Field(Field::FeedTotal))
            .assuming(Taken::TotalOfPermeate)
    }
}

fn temperature(n: Notions) -> Option<Guess> {
    use Notions as N;
    if n.has(N::TANK) {
        return None;
    }
    let elsewhere = n.has(N::PERMEATE.with(N::CONCENTRATE).with(N::RO).with(N::OUT));
    let guess = Guess::field(Field::FeedTemperature, if elsewhere { 1 } else { 3 });
    Some(if elsewhere {
        guess.assuming(Taken::AsWarm)
    } else {
        guess
    })
}

fn flow(n: Notions) -> Option<Guess> {
    use Notions as N;
    if n.has(N::CONCENTRATE) {
        return Some(Guess::field(Field::ConcentrateFlow, 3));
    }
    if n.has(N::FEED.with(N::LINE)) && !n.has(N::PERMEATE) {
        return None;
    }
    if n.has(N::PERMEATE.with(N::RO).with(N::OUT)) {
        return Some(Guess::field(Field::PermeateFlow, 3));
    }
    if n.has(N::IN.with(N::MEMBRANE).with(N::FILTER)) {
        return None;
    }
    Some(Guess::field(Field::PermeateFlow, 1).assuming(Taken::FlowOfPermeate))
}

fn salt(heading: &Heading, unit: &Unit, as_tds: bool) -> Option<Guess> {
    use Notions as N;
    let n = heading.notions;
    let field = |feed: bool, strength| {
        Guess::field(
            match (feed, as_tds) {
                (true, true) => Field::FeedTds,
                (true, false) => Field::FeedConductivity,
                (false, true) => Field::PermeateTds,
                (false, false) => Field::PermeateConductivity,
            },
            strength,
        )
    };
    if n.has(N::CONCENTRATE) {
        return None;
    }
    if n.has(N::RESIN) {
        let resin =
            |kinds: fn(PolishKind) -> bool| unit.permeate.polish.iter().rfind(|item| kinds(item.kind));
        if n.has(N::BEFORE) || (n.has(N::IN) && !n.has(N::OUT)) {
            return Some(field(false, 3));
        }
        let item = resin(|kind| kind == PolishKind::MixedBed).or_else(|| unit.permeate.polish.last())?;
        return Some(Guess::new(Target::ConductivityAfter(item.id.clone()), 3));
    }
    if n.has(N::MEMBRANE)
        && !n.has(N::FEED.with(N::BEFORE))
        && let Some(number) = heading.number
    {
        let element = unit.membranes.elements.get(number.checked_sub(1)?)?;
        return Some(if unit.membranes.elements.len() == 1 {
            field(false, 3)
        } else {
            Guess::new(Target::ElementPermeate(element.id.clone()), 3)
        });
    }
    if n.has(N::TANK) && !n.has(N::PERMEATE.with(N::RO).with(N::FEED)) {
        return None;
    }
    if n.has(N::FEED.with(N::LINE)) {
        return Some(field(true, 3));
    }
    if n.has(N::PERMEATE) {
        return Some(field(false, 3));
    }
    if n.has(N::BEFORE) {
        return Some(field(true, 3));
    }
    if n.has(N::AFTER.with(N::OUT)) {
        return Some(if n.has(N::FILTER) && !n.has(N::MEMBRANE.with(N::RO)) {
            field(true, 2)
        } else {
            field(false, 3)
        });
    }
    if n.has(N::IN) {
        let other = field(false, 1).target;
        return Some(if heading.leading_in {
            field(true, 2).or(other)
        } else {
            field(true, 3)
        });
    }
    if n.has(N::RO.with(N::MEMBRANE)) {
        return Some(field(false, 2));
    }
    Some(field(false, 1).assuming(Taken::SaltOfPermeate))
}

fn chlorine(heading: &Heading, unit: &Unit) -> Option<Guess> {
    use Notions as N;
    let n = heading.notions;
    let total = n.has(N::TOTAL) && !n.has(N::FREE);
    let pick = |free, all, strength| Guess::field(if total { all } else { free }, strength);
    let feed = |strength| pick(Field::FeedFreeChlorine, Field::FeedTotalChlorine, strength);
    let out = |strength| pick(Field::FreeChlorineOut, Field::TotalChlorineOut, strength);
    if n.has(N::CARBON) && n.has(N::BEFORE.with(N::IN)) && !n.has(N::AFTER.with(N::OUT)) {
        return Some(feed(3));
    }
    let carbons: Vec<_> = unit
        .stages
        .iter()
        .filter(|stage| matches!(stage.kind, StageKind::Carbon { .. }))
        .collect();
    if n.has(N::CARBON)
        && let Some(number) = heading.number
        && let Some(stage) = number.checked_sub(1).and_then(|index| carbons.get(index))
        && number < carbons.len()
        && !total
    {
        return Some(Guess::new(Target::ChlorineAfter(stage.id.clone()), 3));
    }
    if n.has(
        N::CARBON
            .with(N::AFTER)
            .with(N::OUT)
            .with(N::FILTER)
            .with(N::MEMBRANE),
    ) {
        return Some(out(3));
    }
    if n.has(N::PERMEATE.with(N::CONCENTRATE).with(N::RO)) {
        return None;
    }
    if n.has(N::FEED.with(N::LINE).with(N::BEFORE).with(N::IN)) {
        return Some(feed(3));
    }
    Some(out(1).assuming(Taken::ChlorineAfterCarbon))
}

fn hardness(n: Notions, unit: &Unit) -> Option<Guess> {
    use Notions as N;
    if n.has(N::SOFTENER.with(N::AFTER).with(N::OUT)) && !n.has(N::BEFORE.with(N::FEED)) {
        return Some(Guess::field(Field::HardnessOut, 3));
    }
    let softened = unit
        .stages
        .iter()
        .any(|stage| matches!(stage.kind, StageKind::Softener { .. }));
    let placed = n.has(
        N::FEED
            .with(N::LINE)
            .with(N::BEFORE)
            .with(N::PERMEATE)
            .with(N::RO)
            .with(N::CONCENTRATE),
    );
    if softened && !placed {
        let guess = Guess::field(Field::HardnessOut, 1);
        return Some(guess.assuming(Taken::HardnessAfterSoftener));
    }
    None
}
