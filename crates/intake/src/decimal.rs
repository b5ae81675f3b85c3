//! Which sign a log's decimals have.

use quantity::Decimal;

use crate::grid::{Grid, Tag};
use crate::header::Header;

/// The decimal sign of the numbers below the headings.
pub(crate) fn of(grid: &Grid, header: &Header, delimiter: Option<u8>) -> Decimal {
    let (mut commas, mut points, mut three_after_point, mut three_after_comma) =
        (0_usize, 0_usize, 0_usize, 0_usize);
    for row in (header.data..grid.len()).take(crate::columns::SAMPLE) {
        for cell in grid.cells(row) {
            if cell.tag != Tag::Text {
                continue;
            }
            let digits = cell.text.trim_start_matches(['-', '+']);
            // A number, with or without a unit; two or more signs of one kind are a date or thousands.
            let end = digits
                .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
                .unwrap_or(digits.len());
            let number = digits.get(..end).unwrap_or("").trim_end_matches(['.', ',']);
            match (number.matches(',').count(), number.matches('.').count()) {
                (1, 0) => match number.split_once(',').map(|(whole, after)| (whole, after.len())) {
                    Some((whole, 3)) if whole != "0" && whole.len() <= 3 => three_after_comma += 1,
                    _ => commas += 1,
                },
                (0, 1) => match number.split_once('.').map(|(whole, after)| (whole, after.len())) {
                    Some((whole, 3)) if whole != "0" && whole.len() <= 3 => three_after_point += 1,
                    _ => points += 1,
                },
                (1, 1) if number.rfind(',') > number.rfind('.') => commas += 1,
                (1, 1) => points += 1,
                _ => {}
            }
        }
    }
    // Only groups of three: a semicolon between cells leaves the comma for decimals.
    let groups_only = commas == points && three_after_comma + three_after_point > 0;
    if commas > points || (groups_only && delimiter == Some(b';')) {
        Decimal::Comma
    } else {
        Decimal::Point
    }
}
