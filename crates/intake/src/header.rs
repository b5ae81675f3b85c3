//! Finding the row of headings among titles, remarks and data.

use std::collections::BTreeSet;

use quantity::Kind;
use unit::Unit;

use crate::cells::cells_kind;
use crate::classify::classify;
use crate::date;
use crate::date_order::{Order, numbers};
use crate::grid::{Cell, Grid, Tag};
use crate::heading::{analyse, unit_kind};
use crate::mapping::Mapping;
use crate::target::Target;

/// Rows among which the headings are looked for.
const SEARCHED: usize = 80;

/// Where the headings stand and what they read, a units row beneath and a row of groups above joined to them.
#[derive(Clone, Debug, Default)]
pub(crate) struct Header {
    /// The row of the grid that holds the headings themselves.
    pub(crate) row: usize,
    /// The first row below all headings.
    pub(crate) data: usize,
    /// One text per column.
    pub(crate) texts: Vec<String>,
    /// How many different things are recognised in it.
    pub(crate) score: usize,
}

/// Whether a cell is a number or a date, hence no heading.
pub(crate) fn is_value(cell: Cell<'_>) -> bool {
    match cell.tag {
        Tag::Number | Tag::DateTime | Tag::Clock | Tag::Formula => true,
        Tag::Across => false,
        Tag::Text => {
            numbers(cell.text).is_some()
                || quantity::parse_number(cell.text, quantity::Decimal::Comma).is_some()
                || quantity::parse_number(cell.text, quantity::Decimal::Point).is_some()
                || (cell.text.contains(':') && date::clock(cell.text).is_some())
                || cell.text.starts_with(|c: char| c.is_ascii_digit()) && is_measured(cell)
        }
    }
}

/// `58 psi`, `500 mL in 57 s`, `8 Jan 2024`: a value with its unit. A volume alone (`500 mL`) heads a column.
fn is_measured(cell: Cell<'_>) -> bool {
    let context = quantity::Context {
        meter_factor: Some(0.5),
        ..quantity::Context::default()
    };
    let kinds = [
        Kind::Flow,
        Kind::Pressure,
        Kind::Temperature,
        Kind::Conductivity,
        Kind::Salt,
        Kind::AsCaco3,
    ];
    matches!(
        date::parse(cell, Order::DayFirst),
        Some(date::When::Day(_) | date::When::Moment(_))
    ) || kinds
        .into_iter()
        .any(|kind| quantity::parse(kind, cell.text, &context).is_ok())
}

/// Whether a row could be headings: two cells at least, none a number or a date.
fn is_heading_row(grid: &Grid, row: usize) -> bool {
    let mut filled = 0;
    for cell in grid.cells(row) {
        if cell.text.is_empty() {
            continue;
        }
        // `2024` or `1` among headings is a year or a number of something; more than one value is data.
        if is_value(cell) || cell.text.len() > 120 {
            return false;
        }
        filled += 1;
    }
    filled >= 2
}

fn texts(grid: &Grid, row: usize, columns: usize, fill: bool) -> Vec<String> {
    let mut carried = "";
    (0..columns)
        .map(|column| {
            let cell = grid.cell(row, column);
            if !cell.text.is_empty() {
                carried = cell.text;
            } else if !fill {
                carried = "";
            }
            carried.split_whitespace().collect::<Vec<_>>().join(" ")
        })
        .collect()
}

/// How many different things a row of headings names; mapped ones count double.
fn score(grid: &Grid, data: usize, texts: &[String], unit: &Unit, mapping: Option<&Mapping>) -> usize {
    let mut targets = BTreeSet::new();
    let mut mapped = 0;
    let mut doubled = 0;
    for (column, text) in texts.iter().enumerate().filter(|(_, text)| !text.is_empty()) {
        if mapping.is_some_and(|mapping| mapping.find(text).is_some()) {
            mapped += 1;
            continue;
        }
        let heading = analyse(text);
        let guess = classify(&heading, None, unit).or_else(|| {
            // "Inlet" over cells like `58 psi`.
            if heading.notions.is_empty() {
                None
            } else {
                classify(&heading, cells_kind(grid, data, column), unit)
            }
        });
        if let Some(guess) = guess {
            let note = matches!(guess.target, Target::Note | Target::By);
            if !targets.insert(guess.target) && !note {
                doubled += 1;
            }
        }
    }
    let date = usize::from(targets.contains(&Target::Date));
    // Saturates: a row of the same word over and over is worth nothing.
    (2 * targets.len() + date + 4 * mapped).saturating_sub(doubled)
}

/// The header of a grid; none where no row names two things.
pub(crate) fn find(grid: &Grid, unit: &Unit, mapping: Option<&Mapping>) -> Option<Header> {
    let columns = grid.columns();
    let wanted = mapping.and_then(|mapping| mapping.header_line);
    let rows = 0..grid.len().min(SEARCHED);
    let rows: Vec<usize> = match wanted {
        Some(line) => vec![grid.row_of_line(line)?],
        None => rows.filter(|&row| is_heading_row(grid, row)).collect(),
    };
    let mut best: Option<Header> = None;
    let mut consider = |row: usize, mut texts: Vec<String>| {
        let data = with_units(grid, row + 1, &mut texts);
        let score = score(grid, data, &texts, unit, mapping);
        if best.as_ref().is_none_or(|best| score > best.score) {
            best = Some(Header {
                row,
                data,
                texts,
                score,
            });
        }
    };
    for &row in &rows {
        consider(row, texts(grid, row, columns, false));
    }
    // Two rows that are headings together: groups above ("Pressure" over "In" and "Out"), words broken in two.
    for &row in &rows {
        let below = row + 1;
        if wanted.is_some() || !is_heading_row(grid, below) || grid.line(below) != grid.line(row) + 1 {
            continue;
        }
        for fill in [false, true] {
            let upper = texts(grid, row, columns, fill);
            let lower = texts(grid, below, columns, false);
            let joined = upper
                .iter()
                .zip(&lower)
                .enumerate()
                .map(|(column, (upper, lower))| {
                    // A group reaches over what needs it, and not over its neighbours: "Notes", "Temp C".
                    let own = !grid.cell(row, column).text.is_empty();
                    let alone = classify(&analyse(lower), None, unit);
                    if upper == lower || !own && alone.is_some_and(|guess| guess.strength >= 3) {
                        lower.clone()
                    } else {
                        format!("{upper} {lower}").trim().to_owned()
                    }
                })
                .collect();
            consider(below, joined);
        }
    }
    best.filter(|best| best.score >= 4 || wanted.is_some())
}

/// Adds a row of units beneath to the headings above it; the first row of data.
fn with_units(grid: &Grid, below: usize, texts: &mut [String]) -> usize {
    if !is_units_row(grid, below) {
        return below;
    }
    for (column, text) in texts.iter_mut().enumerate() {
        let unit = grid.cell(below, column).text.trim_matches(['(', ')', '[', ']']);
        if !unit.is_empty() && !matches!(unit, "-" | "--") {
            *text = if text.is_empty() {
                format!("({unit})")
            } else {
                format!("{text} ({unit})")
            };
        }
    }
    below + 1
}

/// A row beneath the headings of which most cells are units.
fn is_units_row(grid: &Grid, row: usize) -> bool {
    let mut units = 0;
    let mut others = 0;
    for cell in grid.cells(row).filter(|cell| !cell.is_blank()) {
        let text = cell.text.trim_matches(['(', ')', '[', ']']);
        let heading = analyse(&format!("({text})"));
        let is_unit = unit_kind(text, true).is_some()
            || heading.date_order.is_some()
            || (heading.unit.is_some() && heading.notions.is_empty() && heading.unknown_words == 0);
        if is_value(cell) {
            return false;
        }
        if is_unit {
            units += 1;
        } else if !matches!(text, "-" | "--" | "text" | "yyyy-mm-dd" | "hh:mm") {
            others += 1;
        }
    }
    units >= 2 && units > others
}

/// Whether a row repeats the headings, cell for cell.
pub(crate) fn repeats(grid: &Grid, row: usize, header: &Header) -> bool {
    let mut filled = 0;
    let mut cells = grid.cells(row).enumerate().filter(|(_, cell)| !cell.is_blank());
    cells.all(|(column, cell)| {
        filled += 1;
        // The headings may be in two rows, of which either is repeated.
        (header.row.saturating_sub(1)..header.data)
            .any(|original| cell.text.eq_ignore_ascii_case(grid.cell(original, column).text))
    }) && filled >= 2
}

/// The header that a row below the first table makes.
pub(crate) fn at(grid: &Grid, row: usize) -> Header {
    let mut texts = texts(grid, row, grid.columns().max(grid.width(row)), false);
    let data = with_units(grid, row + 1, &mut texts);
    Header {
        row,
        data,
        texts,
        score: 0,
    }
}

/// Whether a row below begins another table: it holds as many headings as make one.
pub(crate) fn begins_another(grid: &Grid, row: usize, unit: &Unit) -> bool {
    is_heading_row(grid, row) && {
        let texts = texts(grid, row, grid.width(row), false);
        score(grid, row + 1, &texts, unit, None) >= 8
    }
}
