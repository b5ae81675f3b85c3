//! Logs that someone kept in a spreadsheet of their own.

use std::fmt::Write;

use jiff::civil::DateTime;

use crate::measure::Measured;
use crate::scenario::{KeptLog, Style};
use crate::typed::{bar, fahrenheit, psi, seconds, vessel_ml};

/// A log that grows row by row.
#[derive(Clone, Debug)]
pub(crate) struct Sheet {
    log: KeptLog,
    text: String,
    rows: usize,
    /// The jugs, mL: the same all the time.
    vessels: Option<(f64, f64)>,
}

impl Sheet {
    pub(crate) fn new(log: KeptLog) -> Self {
        Self {
            log,
            text: String::new(),
            rows: 0,
            vessels: None,
        }
    }

    pub(crate) fn log(&self) -> &KeptLog {
        &self.log
    }

    pub(crate) fn bytes(&self) -> &[u8] {
        self.text.as_bytes()
    }

    fn line(&mut self, cells: &[String]) {
        let between = match self.log.style {
            Style::MonthFirst => ",",
            Style::Comma => ";",
            Style::Tabs => "\t",
        };
        self.text.push_str(&cells.join(between));
        self.text.push_str("\r\n");
    }

    fn headings(&mut self, vessels: (f64, f64)) {
        let timed = |what: &str, ml: f64| {
            if ml < 1000.0 {
                format!("{ml:.0} mL {what} in s")
            } else {
                format!("{:.0} L {what} in s", ml / 1000.0)
            }
        };
        let (product, drain) = (timed("product", vessels.0), timed("drain", vessels.1));
        let headings: [&str; 8] = match self.log.style {
            Style::MonthFirst => [
                "Date",
                "Water temp (F)",
                "Inlet psi",
                "Membrane psi",
                &product,
                &drain,
                "Feed ppm",
                "Product ppm",
            ],
            Style::Comma => [
                "Date",
                "Water C",
                "Inlet bar",
                "Membrane bar",
                &product,
                &drain,
                "Feed uS/cm",
                "Product uS/cm",
            ],
            Style::Tabs => [
                "Date",
                "Water C",
                "Inlet kPa",
                "Membrane kPa",
                "Product L/h",
                "Drain L/h",
                "Feed uS/cm",
                "Product uS/cm",
            ],
        };
        let mut cells: Vec<String> = headings.map(str::to_owned).to_vec();
        cells.push("Remarks".to_owned());
        self.line(&cells);
    }

    /// Writes a row, and what stands below it that is no reading.
    pub(crate) fn row(&mut self, at: DateTime, read: &Measured, remark: &str) {
        let vessels = match self.vessels {
            Some(vessels) => vessels,
            None => {
                let vessels = (vessel_ml(read.permeate_l_h), vessel_ml(read.concentrate_l_h));
                self.headings(vessels);
                *self.vessels.insert(vessels)
            }
        };
        let timed = |ml: f64, flow: f64| format!("{:.0}", seconds(ml, flow));
        let (product, drain) = (
            timed(vessels.0, read.permeate_l_h),
            timed(vessels.1, read.concentrate_l_h),
        );
        let one = |value: f64| format!("{value:.1}");
        let whole = |value: f64| format!("{value:.0}");
        let mut cells = match self.log.style {
            Style::MonthFirst => vec![
                at.strftime("%m/%d/%Y").to_string(),
                fahrenheit(read.temperature_c),
                psi(read.inlet_kpa),
                psi(read.membrane_kpa),
                product,
                drain,
                whole(0.5 * read.feed_us_cm),
                whole(0.5 * read.permeate_us_cm),
            ],
            Style::Comma => [
                at.strftime("%d.%m.%Y").to_string(),
                one(read.temperature_c).replace('.', ","),
                bar(read.inlet_kpa).replace('.', ","),
                bar(read.membrane_kpa).replace('.', ","),
                product,
                drain,
                whole(read.feed_us_cm),
                one(read.permeate_us_cm).replace('.', ","),
            ]
            .to_vec(),
            Style::Tabs => vec![
                at.strftime("%Y-%m-%d").to_string(),
                one(read.temperature_c),
                whole(read.inlet_kpa),
                whole(read.membrane_kpa),
                one(read.permeate_l_h),
                one(read.concentrate_l_h),
                whole(read.feed_us_cm),
                one(read.permeate_us_cm),
            ],
        };
        cells.push(remark.to_owned());
        self.line(&cells);
        self.rows += 1;
        for (after, stray) in self.log.strays {
            if *after == self.rows {
                // A line of text always has room for more.
                let _written = write!(self.text, "{stray}\r\n");
            }
        }
    }
}
