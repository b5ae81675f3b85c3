//! Reading the data files: tables whose cells are parted by `|`, and the equations in them.

use crate::database::LogK;

/// A row of a table, its cells by their column's heading.
pub(crate) struct Row<'a> {
    pub head: &'a [&'static str],
    pub cells: Vec<&'static str>,
}

impl Row<'_> {
    pub(crate) fn text(&self, column: &str) -> Result<&'static str, String> {
        let i = self
            .head
            .iter()
            .position(|h| *h == column)
            .ok_or_else(|| format!("no column {column}"))?;
        self.cells
            .get(i)
            .copied()
            .ok_or_else(|| format!("short row {:?}", self.cells))
    }

    pub(crate) fn number(&self, column: &str) -> Result<f64, String> {
        let text = self.text(column)?;
        if text.is_empty() {
            return Ok(0.0);
        }
        text.parse()
            .map_err(|_| format!("{column}: {text} in {:?}", self.cells.first()))
    }

    pub(crate) fn numbers<const N: usize>(&self, columns: [&str; N]) -> Result<[f64; N], String> {
        let mut out = [0.0; N];
        for (o, c) in out.iter_mut().zip(columns) {
            *o = self.number(c)?;
        }
        Ok(out)
    }

    /// `-analytic` where there is one, else `log_k` and `delta_h` by van 't Hoff from 298.15 K.
    pub(crate) fn log_k(&self) -> Result<LogK, String> {
        /// Gas constant of PHREEQC, kJ/(mol K).
        const R_KJ: f64 = 8.314_7e-3;
        let analytic = self.numbers(["a1", "a2", "a3", "a4", "a5", "a6"])?;
        if analytic.iter().any(|a| *a != 0.0) {
            return Ok(analytic);
        }
        let kj = self.number("delta_h")?
            * if self.text("delta_h_unit")? == "kcal" {
                4.184
            } else {
                1.0
            };
        let slope = kj / (std::f64::consts::LN_10 * R_KJ);
        Ok([self.number("log_k")? + slope / 298.15, 0.0, -slope, 0.0, 0.0, 0.0])
    }
}

/// The headings of a table, and its rows.
type Table = (Vec<&'static str>, Vec<Vec<&'static str>>);

/// Rows of a table whose cells are parted by `|`.
pub(crate) fn rows(text: &'static str) -> Result<Table, String> {
    let mut lines = text.lines();
    let head = lines.next().ok_or("empty file")?.split('|').collect();
    Ok((head, lines.map(|l| l.split('|').collect()).collect()))
}

/// The terms of one side of an equation.
pub(crate) fn terms(side: &str) -> impl Iterator<Item = (i32, &str)> {
    side.split(" + ").filter_map(|term| {
        let mut words = term.split_whitespace();
        let first = words.next()?;
        match words.next() {
            Some(name) => Some((first.parse().ok()?, name)),
            None => Some((1, first)),
        }
    })
}
