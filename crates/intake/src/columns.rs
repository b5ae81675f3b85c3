//! From headings to columns: the mapping first, then the first opinions weighed against each other.

use quantity::{Context, Decimal, Kind, find_unit};
use reading::{EventKind, Field};
use unit::{Meter, MeterScale, Unit};

use crate::cells::{cells_kind, find_unnamed, sample};
use crate::classify::{Bucket, Guess, classify};
use crate::date_order::Order;
use crate::grid::Grid;
use crate::header::Header;
use crate::heading::{Heading, analyse};
use crate::infer::{Family, unit_of};
use crate::mapping::{Mapping, MappingError};
use crate::settle::{drop_double_displays, settle};
use crate::target::Target;
use crate::{Error, IgnoredColumn, Taken, Told};

/// Rows from which habits are told.
pub(crate) const SAMPLE: usize = 20_000;

/// One column that is read.
#[derive(Clone, Debug)]
pub(crate) struct Column {
    pub(crate) index: usize,
    pub(crate) heading: String,
    pub(crate) target: Target,
    pub(crate) kind: Option<Kind>,
    pub(crate) unit: Option<&'static quantity::Unit>,
    pub(crate) bucket: Option<Bucket>,
    /// The unit as it is shown.
    pub(crate) unit_text: String,
    pub(crate) context: Context,
    /// Relative spread of the meter's factor where it is not stated.
    pub(crate) factor_sd: f64,
    /// What a tick in it says was done: a column headed "sediment changed".
    pub(crate) done: Vec<(EventKind, String)>,
}

/// All columns of a log.
#[derive(Clone, Debug, Default)]
pub(crate) struct Columns {
    pub(crate) read: Vec<Column>,
    pub(crate) ignored: Vec<IgnoredColumn>,
    pub(crate) assumed: Vec<Told>,
    pub(crate) family: Family,
    /// How many headings are in another language than English.
    pub(crate) foreign: usize,
    pub(crate) date_order: Option<Order>,
}

/// What one column may be, before the others are heard.
pub(crate) struct Candidate {
    pub(crate) index: usize,
    pub(crate) heading: Heading,
    pub(crate) guess: Guess,
    pub(crate) mapped_unit: Option<String>,
    pub(crate) mapped: bool,
}

/// Decides what every column is.
pub(crate) fn resolve(
    grid: &Grid,
    header: &Header,
    unit: &Unit,
    mapping: Option<&Mapping>,
    decimal: Decimal,
) -> Result<Columns, Error> {
    let mut columns = Columns::default();
    let mut candidates = first_opinions(grid, header, unit, mapping, &mut columns)?;
    find_unnamed(grid, header, &mut candidates, &mut columns);
    settle(grid, header, &mut candidates, &mut columns, decimal)?;
    let line = grid.line(header.row);
    if !candidates
        .iter()
        .any(|candidate| candidate.guess.target == Target::Date)
    {
        let found: Vec<String> = header
            .texts
            .iter()
            .filter(|text| !text.is_empty())
            .cloned()
            .collect();
        let first = found.first().cloned().unwrap_or_default();
        return Err(Error::NoDate {
            line,
            mapping: format!("[columns]; {first:?} = \"date\""),
            found,
        });
    }
    // Units that are stated say what family the missing ones belong to.
    for candidate in &candidates {
        if let (Some(kind), Some(text)) = (candidate.guess.target.kind(), candidate.heading.unit.as_deref())
            && let Some(unit) = find_unit(kind, text)
        {
            columns.family.count(unit);
        }
    }
    for candidate in candidates {
        add_column(grid, header, unit, decimal, candidate, &mut columns)?;
    }
    drop_double_displays(&mut columns);
    columns.read.sort_by_key(|column| column.index);
    Ok(columns)
}

fn first_opinions(
    grid: &Grid,
    header: &Header,
    unit: &Unit,
    mapping: Option<&Mapping>,
    columns: &mut Columns,
) -> Result<Vec<Candidate>, Error> {
    let mut candidates: Vec<Candidate> = Vec::new();
    let mut used = Vec::new();
    for (index, text) in header.texts.iter().enumerate() {
        if text.is_empty() {
            continue;
        }
        let own = grid.cell(header.row, index).text;
        let heading = analyse(text);
        columns.date_order = columns.date_order.or(heading.date_order);
        if let Some((name, column)) =
            mapping.and_then(|mapping| mapping.find(own).or_else(|| mapping.find(text)))
        {
            used.push(name.to_owned());
            let target = column.target(name, unit)?;
            if target == Target::Ignored {
                columns.ignored.push(IgnoredColumn {
                    heading: text.clone(),
                    reason: Told::MappedAway,
                });
                continue;
            }
            if let Some(first) = candidates
                .iter()
                .find(|c| c.mapped && c.guess.target == target && target != Target::Note)
            {
                return Err(MappingError::Twice {
                    first: first.heading.text.clone(),
                    second: text.clone(),
                    field: target.name(),
                }
                .into());
            }
            let guess = Guess {
                target,
                bucket: None,
                alternative: None,
                assumed: None,
                strength: 9,
            };
            candidates.push(Candidate {
                index,
                heading,
                guess,
                mapped_unit: column.unit.clone(),
                mapped: true,
            });
            continue;
        }
        columns.foreign += usize::from(heading.notions.has(crate::words::Notions::FOREIGN));
        let ticked = Guess {
            target: Target::Note,
            bucket: None,
            alternative: None,
            assumed: None,
            strength: 2,
        };
        let guess = classify(&heading, cells_kind(grid, header.data, index), unit)
            .or_else(|| (!crate::remark::events(text, unit).events.is_empty()).then_some(ticked));
        match guess {
            Some(guess) => candidates.push(Candidate {
                index,
                heading,
                guess,
                mapped_unit: None,
                mapped: false,
            }),
            None => columns.ignored.push(IgnoredColumn {
                heading: text.clone(),
                reason: Told::NotRecognised,
            }),
        }
    }
    if let Some(mapping) = mapping {
        let missing: Vec<String> = mapping
            .columns
            .keys()
            .filter(|name| !used.contains(name))
            .map(|name| format!("`{name}`"))
            .collect();
        if !missing.is_empty() {
            let found = header
                .texts
                .iter()
                .filter(|text| !text.is_empty())
                .cloned()
                .collect();
            return Err(MappingError::NoSuchHeading { missing, found }.into());
        }
    }
    Ok(candidates)
}

/// Gives a candidate its unit and adds it, or says why not.
fn add_column(
    grid: &Grid,
    header: &Header,
    unit: &Unit,
    decimal: Decimal,
    candidate: Candidate,
    columns: &mut Columns,
) -> Result<(), Error> {
    let Candidate {
        index,
        heading,
        guess,
        mapped_unit,
        ..
    } = candidate;
    let mut target = guess.target;
    let mut column = Column {
        index,
        heading: heading.text.clone(),
        target: target.clone(),
        kind: target.kind(),
        unit: None,
        bucket: guess.bucket,
        unit_text: String::new(),
        context: Context {
            decimal,
            ion: Some(quantity::Ion::HARDNESS),
            ..Context::default()
        },
        factor_sd: 0.0,
        done: Vec::new(),
    };
    let Some(kind) = column.kind else {
        if column.target == Target::Note {
            column.done = crate::remark::events(&heading.text, unit).events;
        }
        columns.read.push(column);
        return Ok(());
    };
    let mut stated = heading.unit.clone();
    if let Some(text) = mapped_unit {
        let parts = analyse(&text);
        match (parts.volume_l, parts.unit_kind, kind) {
            (Some(volume_l), Some(Kind::Minutes), Kind::Flow) => {
                let minutes = parts
                    .unit
                    .as_deref()
                    .and_then(|unit| find_unit(Kind::Minutes, unit))
                    .is_some_and(|u| u.symbol == "min");
                column.bucket = Some(Bucket::Time { volume_l, minutes });
            }
            _ if find_unit(kind, &text).is_none() => {
                return Err(MappingError::Unit {
                    heading: heading.text,
                    field: target.name(),
                    read: text,
                    accepted: kind.accepted(),
                }
                .into());
            }
            _ => {}
        }
        stated = Some(text);
    }
    if let Some(bucket) = column.bucket {
        column.unit_text = match bucket {
            Bucket::Time { volume_l, minutes } => {
                format!("{} in {}", litres(volume_l), if minutes { "min" } else { "s" })
            }
            Bucket::Volume { seconds } => format!("{} in {seconds} s", stated.as_deref().unwrap_or("mL")),
        };
        if let Bucket::Volume { .. } = bucket {
            column.unit = stated.as_deref().and_then(|text| find_unit(Kind::Volume, text));
        }
        say(columns, &heading, guess.assumed);
        columns.read.push(column);
        return Ok(());
    }
    column.unit = stated.as_deref().and_then(|text| find_unit(kind, text));
    let has_own = cells_kind(grid, header.data, index).is_some();
    if column.unit.is_none() && !has_own {
        if kind == Kind::Salt && stated.is_none() {
            column.unit = find_unit(Kind::Salt, "ppm");
            columns.assumed.push(Told::MeterPpm {
                heading: heading.text.clone(),
            });
        } else {
            let values = sample(grid, header, index, decimal);
            let inferred = unit_of(&target, kind, &values, columns.family, unit);
            let Some(inferred) = inferred.filter(|_| stated.is_none()) else {
                let reason = match stated {
                    Some(unit) => Told::NoSuchUnit { unit, kind },
                    None if values.is_empty() => Told::OnlyHeading,
                    None => Told::UnitUnknown { field: target.name() },
                };
                columns.ignored.push(IgnoredColumn {
                    heading: heading.text,
                    reason,
                });
                return Ok(());
            };
            // The base units of hour meters and clocks go without saying.
            if !matches!(kind, Kind::Hours) {
                columns.assumed.push(Told::UnitBySize {
                    heading: heading.text.clone(),
                    unit: inferred.symbol,
                });
            }
            column.unit = Some(inferred);
        }
    }
    let meter = if target.is_permeate_side() {
        &unit.instruments.permeate_meter
    } else {
        &unit.instruments.feed_meter
    };
    if matches!(kind, Kind::Salt | Kind::Conductivity) {
        let (factor, sd) = factor_of(meter);
        column.context.meter_factor = Some(factor);
        column.factor_sd = sd;
        if column.unit.is_some_and(quantity::Unit::is_meter_ppm) {
            // What the meter measured is a conductivity; its display is another way to write it.
            target = match target {
                Target::Field(Field::FeedTds) => Target::Field(Field::FeedConductivity),
                Target::Field(Field::PermeateTds) => Target::Field(Field::PermeateConductivity),
                other => other,
            };
            if sd > 0.0 {
                columns.assumed.push(unstated_factor(&heading.text, factor));
            }
        }
    }
    column.kind = Some(kind);
    column.target = target;
    column.unit_text = column
        .unit
        .map_or_else(String::new, |unit| unit.symbol.to_owned());
    if let Some(unit) = column.unit {
        columns.family.count(unit);
    }
    say(columns, &heading, guess.assumed);
    columns.read.push(column);
    Ok(())
}

/// What is taken for granted of a salt meter's ppm.
pub(crate) fn unstated_factor(heading: &str, factor: f64) -> Told {
    Told::UnstatedFactor {
        heading: heading.to_owned(),
        factor,
    }
}

fn say(columns: &mut Columns, heading: &Heading, assumed: Option<Taken>) {
    if let Some(what) = assumed {
        columns.assumed.push(Told::Taken {
            heading: heading.text.clone(),
            what,
        });
    }
}

fn litres(volume_l: f64) -> String {
    if volume_l < 1.0 {
        format!("{} mL", (volume_l * 1e5).round() / 100.0)
    } else {
        format!("{} L", (volume_l * 1e4).round() / 1e4)
    }
}

/// The factor of a meter's ppm, with its relative spread where it is not stated. A bare ppm is 0.5 of the
/// conductivity, up to 0.7 (`contract.md` 2): half of ln(0.7/0.5) as one standard deviation. A NaCl scale lies near
/// 0.5, a natural-water scale near 0.7 (common practice, no source).
fn factor_of(meter: &Meter) -> (f64, f64) {
    match (meter.factor, meter.scale) {
        (Some(factor), _) => (factor, 0.0),
        (None, Some(MeterScale::NaCl)) => (0.5, 0.05),
        (None, Some(MeterScale::NaturalWater)) => (0.7, 0.1),
        (None, _) => (0.5, (0.7_f64 / 0.5).ln() / 2.0),
    }
}
