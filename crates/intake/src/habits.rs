//! How a log is written, as found.

use quantity::Decimal;

use crate::Told;
use crate::date_order::Order;

/// How the hours of the day are counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clock {
    /// With AM and PM.
    Twelve,
    /// 0 to 24.
    TwentyFour,
}

/// How a log is written.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Habits {
    /// Of text; none for a workbook.
    pub encoding: Option<&'static str>,
    /// Of text; none for a workbook.
    pub delimiter: Option<&'static str>,
    /// The sheet that was read; none for text.
    pub sheet: Option<String>,
    /// Line of the headings, counted from 1.
    pub header_line: u32,
    /// The decimal sign.
    pub decimal: Decimal,
    /// The order of dates written in numbers; none where dates are cells of their own or written in words.
    pub date_order: Option<Order>,
    /// None where no time of day is named.
    pub clock: Option<Clock>,
    pub(crate) remarks: Vec<Told>,
}

impl Habits {
    /// What was found, a sentence each, for a person.
    pub fn sentences(&self) -> Vec<String> {
        let mut sentences = Vec::new();
        if let (Some(encoding), Some(delimiter)) = (self.encoding, self.delimiter) {
            sentences.push(format!("Text in {encoding}, cells separated by a {delimiter}."));
        }
        if let Some(sheet) = &self.sheet {
            sentences.push(format!("Workbook, sheet `{sheet}`."));
        }
        sentences.push(format!("Headings in line {}.", self.header_line));
        sentences.push(match self.decimal {
            Decimal::Comma => "Decimal comma.".to_owned(),
            Decimal::Point | Decimal::Strict => "Decimal point.".to_owned(),
        });
        if let Some(order) = self.date_order {
            sentences.push(format!("Dates written {}.", order.name()));
        }
        match self.clock {
            Some(Clock::Twelve) => sentences.push("Clock of 12 hours.".to_owned()),
            Some(Clock::TwentyFour) => sentences.push("Clock of 24 hours.".to_owned()),
            None => {}
        }
        sentences
    }
}
