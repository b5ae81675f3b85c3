//! What a column's cells say where its heading does not.

use quantity::{Decimal, Kind};

use crate::Told;
use crate::classify::Guess;
use crate::columns::{Candidate, Columns};
use crate::date;
use crate::date_order::{Order, numbers};
use crate::grid::{Grid, Tag};
use crate::header::Header;
use crate::heading::{Heading, unit_kind};
use crate::target::Target;

/// What the units in a column's own cells measure, where most cells have one.
pub(crate) fn cells_kind(grid: &Grid, data: usize, column: usize) -> Option<Kind> {
    let mut counts: Vec<(Kind, usize)> = Vec::new();
    let mut filled = 0;
    for row in (data..grid.len()).take(60) {
        let cell = grid.cell(row, column);
        if cell.is_blank() || cell.tag != Tag::Text {
            continue;
        }
        filled += 1;
        let number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | ' ' | '-' | '\u{a0}');
        let unit = cell.text.trim_start_matches(number).trim();
        if unit.is_empty() || unit.len() == cell.text.len() || unit.len() > 24 {
            continue;
        }
        let kind = if unit.contains('@') {
            Some(Kind::Conductivity)
        } else if [" in ", " en ", "/"].iter().any(|word| unit.contains(word)) && unit.contains(number) {
            Some(Kind::Flow)
        } else {
            unit_kind(&unit.replace(' ', ""), true)
        };
        let Some(kind) = kind else { continue };
        match counts.iter_mut().find(|(known, _)| *known == kind) {
            Some((_, count)) => *count += 1,
            None => counts.push((kind, 1)),
        }
    }
    let &(kind, count) = counts.iter().max_by_key(|(_, count)| *count)?;
    if count * 2 <= filled {
        return None;
    }
    Some(if kind == Kind::Concentration {
        Kind::Salt
    } else {
        kind
    })
}

/// Columns without a heading: one of dates where no other is, and text beside the table.
pub(crate) fn find_unnamed(
    grid: &Grid,
    header: &Header,
    candidates: &mut Vec<Candidate>,
    columns: &mut Columns,
) {
    let mut has_date = candidates
        .iter()
        .any(|candidate| candidate.guess.target == Target::Date);
    let rows = header.data..grid.len().min(header.data + 200);
    for index in 0..grid.columns() {
        if candidates.iter().any(|candidate| candidate.index == index) {
            continue;
        }
        let unnamed = header.texts.get(index).is_none_or(String::is_empty);
        let (mut filled, mut dates, mut words) = (0_usize, 0_usize, 0_usize);
        for row in rows.clone() {
            let cell = grid.cell(row, index);
            if cell.is_blank() {
                continue;
            }
            filled += 1;
            let date = cell.tag == Tag::DateTime
                || numbers(cell.text).is_some()
                || cell.tag == Tag::Text
                    && matches!(
                        date::parse(cell, Order::DayFirst),
                        Some(date::When::Day(_) | date::When::Moment(_))
                    );
            dates += usize::from(date);
            words += usize::from(
                cell.tag == Tag::Text && cell.text.chars().filter(|c| c.is_alphabetic()).count() > 2,
            );
        }
        let heading = Heading {
            text: header.texts.get(index).cloned().unwrap_or_default(),
            ..Heading::default()
        };
        let mut push = |target: Target| {
            let guess = Guess {
                target,
                bucket: None,
                alternative: None,
                assumed: None,
                strength: 1,
            };
            candidates.push(Candidate {
                index,
                heading: heading.clone(),
                guess,
                mapped_unit: None,
                mapped: false,
            });
        };
        if !has_date && dates >= 2 && dates * 10 >= filled * 7 {
            columns.assumed.push(Told::DateColumn { column: index + 1 });
            columns
                .ignored
                .retain(|ignored| unnamed || ignored.heading != heading.text);
            push(Target::Date);
            has_date = true;
            continue;
        }
        if unnamed && words > 0 && words * 2 > filled {
            push(Target::Note);
        }
    }
}

/// The numbers of a column.
pub(crate) fn sample(grid: &Grid, header: &Header, column: usize, decimal: Decimal) -> Vec<f64> {
    (header.data..grid.len())
        .take(2000)
        .filter_map(|row| {
            let cell = grid.cell(row, column);
            let decimal = if cell.tag == Tag::Number {
                Decimal::Point
            } else {
                decimal
            };
            quantity::parse_number(cell.text, decimal)
        })
        .collect()
}
