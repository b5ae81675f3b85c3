//! Who is what where several columns claim one target.

use std::collections::BTreeMap;

use quantity::{Context, Decimal, Kind, find_unit};
use reading::Field;

use crate::columns::{Candidate, Column, Columns};
use crate::grid::Grid;
use crate::header::Header;
use crate::target::Target;
use crate::{Error, IgnoredColumn, Told};

/// Settles who is what where several columns claim one target.
pub(crate) fn settle(
    grid: &Grid,
    header: &Header,
    candidates: &mut Vec<Candidate>,
    columns: &mut Columns,
    decimal: Decimal,
) -> Result<(), Error> {
    // Strong claims first; the rest takes its alternative, or gives way.
    let mut order: Vec<usize> = (0..candidates.len()).collect();
    order.sort_by_key(|&at| {
        candidates
            .get(at)
            .map(|c| (std::cmp::Reverse(c.guess.strength), c.index))
    });
    let mut taken: BTreeMap<Target, usize> = BTreeMap::new();
    let mut dropped: Vec<usize> = Vec::new();
    for at in order {
        let Some(candidate) = candidates.get(at) else {
            continue;
        };
        let target = candidate.guess.target.clone();
        if target == Target::Note {
            continue;
        }
        let Some(&holder) = taken.get(&target) else {
            taken.insert(target, at);
            continue;
        };
        let Some(first) = candidates.get(holder) else {
            continue;
        };
        let plain = matches!(target, Target::Date | Target::Time | Target::By);
        let weaker = candidate.guess.strength < first.guess.strength;
        let same = !plain && agree(grid, header, first, candidate, decimal);
        if let Some(alternative) = candidate.guess.alternative.clone()
            && !same
            && !taken.contains_key(&alternative)
        {
            columns.assumed.push(Told::ReadAs {
                heading: candidate.heading.text.clone(),
                field: alternative.name(),
                other: first.heading.text.clone(),
                other_field: target.name(),
            });
            taken.insert(alternative.clone(), at);
            if let Some(candidate) = candidates.get_mut(at) {
                candidate.guess.target = alternative;
                candidate.guess.assumed = None;
            }
            continue;
        }
        if !(weaker || plain || same) {
            let (a, b) = (first.heading.text.clone(), candidate.heading.text.clone());
            let names = [a.clone(), b.clone()];
            return Err(Error::TwoColumns {
                line: grid.line(header.row),
                mapping: format!(
                    "[columns]; {:?} = \"{}\"; {:?} = \"ignore\"",
                    names[0],
                    target.name(),
                    names[1]
                ),
                first: a,
                second: b,
                field: target.name(),
            });
        }
        let reason = if same {
            Told::SameAs {
                heading: first.heading.text.clone(),
            }
        } else {
            Told::ReadFrom {
                field: target.name(),
                heading: first.heading.text.clone(),
            }
        };
        columns.ignored.push(IgnoredColumn {
            heading: candidate.heading.text.clone(),
            reason,
        });
        dropped.push(at);
    }
    let mut at = 0;
    candidates.retain(|_| {
        at += 1;
        !dropped.contains(&(at - 1))
    });
    Ok(())
}

/// Whether two columns hold the same values in different units.
pub(crate) fn agree(
    grid: &Grid,
    header: &Header,
    first: &Candidate,
    second: &Candidate,
    decimal: Decimal,
) -> bool {
    let Some(kind) = first.guess.target.kind() else {
        return false;
    };
    let unit = |candidate: &Candidate| {
        candidate
            .heading
            .unit
            .as_deref()
            .and_then(|text| find_unit(kind, text))
    };
    let (Some(one), Some(other)) = (unit(first), unit(second)) else {
        return false;
    };
    if one.symbol == other.symbol {
        return false;
    }
    let context = Context {
        decimal,
        ..Context::default()
    };
    let (mut both, mut alike) = (0_usize, 0_usize);
    for row in (header.data..grid.len()).take(500) {
        let value = |candidate: &Candidate, unit| {
            quantity::parse_in(kind, grid.cell(row, candidate.index).text, Some(unit), &context)
                .ok()
                .map(|p| p.value)
        };
        if let (Some(a), Some(b)) = (value(first, one), value(second, other)) {
            both += 1;
            // Rounded to a figure or two in the converted column.
            alike += usize::from((a - b).abs() <= 0.05 * a.abs().max(b.abs()));
        }
    }
    both > 0 && alike * 10 >= both * 8
}

/// A meter that shows both uS/cm and ppm was read once: the ppm column gives way.
pub(crate) fn drop_double_displays(columns: &mut Columns) {
    for field in [Field::FeedConductivity, Field::PermeateConductivity] {
        let of_field = |column: &Column| column.target == Target::Field(field);
        if columns.read.iter().filter(|column| of_field(column)).count() < 2 {
            continue;
        }
        let Some(kept) = columns
            .read
            .iter()
            .find(|c| of_field(c) && c.kind == Some(Kind::Conductivity))
        else {
            continue;
        };
        let (index, name) = (kept.index, kept.heading.clone());
        let (gone, read) = std::mem::take(&mut columns.read)
            .into_iter()
            .partition::<Vec<_>, _>(|c| of_field(c) && c.index != index);
        columns.read = read;
        for column in gone {
            columns
                .assumed
                .retain(|told| !told.to_string().contains(&format!("`{}`", column.heading)));
            columns.ignored.push(IgnoredColumn {
                heading: column.heading,
                reason: Told::ReadFrom {
                    field: field.name().to_owned(),
                    heading: name.clone(),
                },
            });
        }
    }
}
