//! For a person at a terminal: tables in columns, dates, numbers with as many digits as they are worth.

use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};
use jiff::Timestamp;
use jiff::tz::TimeZone;

/// Rows under headings, columns as wide as they need; numbers to the right.
pub(crate) struct Columns {
    headings: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Columns {
    /// A table with these headings.
    pub(crate) fn new(headings: &[&str]) -> Self {
        Self {
            headings: headings.iter().map(|heading| (*heading).to_owned()).collect(),
            rows: Vec::new(),
        }
    }

    /// One more row.
    pub(crate) fn row(&mut self, cells: Vec<String>) {
        self.rows.push(cells);
    }

    /// As text.
    pub(crate) fn text(&self) -> String {
        let width = |text: &str| text.chars().count();
        let mut widths: Vec<usize> = self.headings.iter().map(|heading| width(heading)).collect();
        for row in &self.rows {
            for (column, cell) in row.iter().enumerate() {
                if let Some(widest) = widths.get_mut(column) {
                    *widest = (*widest).max(width(cell));
                }
            }
        }
        let numeric: Vec<bool> = (0..self.headings.len())
            .map(|column| {
                self.rows.iter().filter_map(|row| row.get(column)).all(|cell| {
                    cell.is_empty()
                        || cell == "-"
                        || cell.starts_with(|c: char| c.is_ascii_digit() || c == '+' || c == '-')
                })
            })
            .collect();
        let line = |cells: Vec<&str>| {
            let mut line = String::from(" ");
            for (column, cell) in cells.iter().enumerate() {
                let pad = widths[column].saturating_sub(width(cell));
                line.push(' ');
                if numeric[column] {
                    line.push_str(&" ".repeat(pad));
                    line.push_str(cell);
                } else {
                    line.push_str(cell);
                    line.push_str(&" ".repeat(pad));
                }
                line.push(' ');
            }
            line.truncate(line.trim_end().len());
            line.push('\n');
            line
        };
        let bold = anstyle::Style::new().bold();
        let mut text = format!(
            "{bold}{}{bold:#}\n",
            line(self.headings.iter().map(String::as_str).collect()).trim_end()
        );
        for row in &self.rows {
            text.push_str(&line(row.iter().map(String::as_str).collect()));
        }
        text
    }
}

/// A number with so many significant digits, without an exponent.
pub(crate) fn significant(value: f64, digits: i32) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".to_owned();
    }
    let wanted = f64::from(digits) - 1.0 - value.abs().log10().floor();
    let decimals = (0..12usize)
        .find(|decimals| *decimals as f64 >= wanted)
        .unwrap_or(12);
    format!("{value:.decimals$}")
}

/// A ratio as a change in percent: "+12 %".
pub(crate) fn change(ratio: f64) -> String {
    // Adding zero takes the sign off a zero.
    format!("{:+.0} %", (100.0 * (ratio - 1.0)).round() + 0.0)
}

/// A day in a zone: "2025-01-14".
pub(crate) fn day(at: Timestamp, zone: &TimeZone) -> String {
    zone.to_datetime(at).date().to_string()
}

/// "1 reading", "2 readings".
pub(crate) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// Progress in parts of a thousand, shown as [`progress`] is.
pub(crate) fn share(what: &str) -> ProgressBar {
    let bar = progress(what);
    bar.set_length(1000);
    if let Ok(style) = ProgressStyle::with_template(&format!("{{spinner}} {{percent}} % {what}, {{elapsed}}"))
    {
        bar.set_style(style);
    }
    bar
}

/// Progress on standard error, shown only on a terminal and only after a second.
pub(crate) fn progress(what: &str) -> ProgressBar {
    let bar = ProgressBar::no_length();
    if let Ok(style) =
        ProgressStyle::with_template(&format!("{{spinner}} {{pos}} {what}, {{per_sec}}, {{elapsed}}"))
    {
        bar.set_style(style);
    }
    bar.enable_steady_tick(Duration::from_secs(1));
    bar
}

/// Lines of at most a hundred characters, the later ones indented by as much as the mark takes.
pub(crate) fn wrapped(text: &str, mark: &str) -> String {
    const WIDTH: usize = 98;
    let indent = " ".repeat(mark.len());
    let mut lines = String::new();
    let mut line = mark.to_owned();
    let mut length = mark.len();
    let mut fresh = true;
    for word in text.split_whitespace() {
        let width = word.chars().count();
        if !fresh && length + 1 + width > WIDTH {
            lines.push_str(&line);
            lines.push('\n');
            line.clone_from(&indent);
            length = indent.len();
            fresh = true;
        }
        if !fresh {
            line.push(' ');
            length += 1;
        }
        line.push_str(word);
        length += width;
        fresh = false;
    }
    lines.push_str(&line);
    lines.push('\n');
    lines
}
