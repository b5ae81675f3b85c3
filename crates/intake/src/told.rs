//! What there is to say of a log, without its language: [`Told`] shows itself in English, and a page words it for its
//! reader.

use std::fmt;

use quantity::Kind;
use reading::EventKind;

use crate::Order;
use crate::date_order::Why;

/// Something that was taken for granted, left out or not understood.
#[derive(Clone, Debug, PartialEq)]
pub enum Told {
    /// A quotation mark is never closed; the marks are ordinary characters.
    UnclosedMark,
    /// Other sheets look like logs too; only one is read.
    OtherSheets {
        /// Their names.
        others: Vec<String>,
        /// The one that is read.
        chosen: String,
    },
    /// A line below holds new headings.
    NewHeadings {
        /// The line.
        line: u32,
    },
    /// How the numbers of dates are read, and why.
    Dates {
        /// The order.
        order: Order,
        /// What decided it.
        why: Why,
    },
    /// No row names a time of day.
    NoTimes,
    /// So many rows name no time of day.
    WithoutTime(usize),
    /// So many rows name a time but no day.
    WithoutDay(usize),
    /// Times of fills stand in the workbook as hours and minutes.
    FillsInHours,
    /// A value below a limit is read as half of it.
    HalfLimit {
        /// As written.
        text: String,
        /// The column.
        heading: String,
        /// The value, mg/L.
        value_mg_l: f64,
    },
    /// A remark without a date follows the reading above it.
    Undated {
        /// Its line.
        line: u32,
        /// As written.
        text: String,
    },
    /// The ppm of a salt meter whose factor nobody says.
    UnstatedFactor {
        /// The column.
        heading: String,
        /// What it is taken as.
        factor: f64,
    },
    /// A salt content without a unit is a meter's ppm.
    MeterPpm {
        /// The column.
        heading: String,
    },
    /// The unit of a column, told by the size of its numbers.
    UnitBySize {
        /// The column.
        heading: String,
        /// The unit.
        unit: &'static str,
    },
    /// What a column without a place is taken for.
    Taken {
        /// The column.
        heading: String,
        /// What for.
        what: Taken,
    },
    /// A column holds the dates, though its heading does not say so.
    DateColumn {
        /// Counted from 1.
        column: usize,
    },
    /// A column is read as something else, since another one is what it seemed to be.
    ReadAs {
        /// The column.
        heading: String,
        /// The field it is read as.
        field: String,
        /// The other column.
        other: String,
        /// What that is.
        other_field: String,
    },
    /// The mapping says that the column is not read.
    MappedAway,
    /// A heading that nothing is known of.
    NotRecognised,
    /// What is written as the column's unit is none.
    NoSuchUnit {
        /// As written.
        unit: String,
        /// What it would have to measure.
        kind: Kind,
    },
    /// Nothing stands in the column but its heading.
    OnlyHeading,
    /// Neither heading nor numbers tell the unit.
    UnitUnknown {
        /// The field.
        field: String,
    },
    /// The column says the same as another in another unit.
    SameAs {
        /// The other column.
        heading: String,
    },
    /// The field is read from another column.
    ReadFrom {
        /// The field.
        field: String,
        /// That column.
        heading: String,
    },
    /// The headings stand there again.
    HeadingsAgain,
    /// The headings of another table.
    OtherHeadings,
    /// A row of another table.
    OfAnotherTable {
        /// The line of its headings.
        line: u32,
    },
    /// A date that is none.
    NoSuchDate {
        /// As written.
        text: String,
    },
    /// A date and nothing else.
    OnlyDate,
    /// A remark and nothing else.
    OnlyRemark,
    /// An average, a total.
    Summary,
    /// A row without a date.
    NoDate,
    /// A formula whose result is not in the file.
    Formula,
    /// A date or a time where a number is wanted.
    DateForNumber,
    /// No duration.
    NotADuration,
    /// A fill in no time.
    FillInNoTime,
    /// Not the time of a fill.
    NotAFill,
    /// Not a time of day.
    NotAClock,
    /// A remark does not say which of several parts.
    WhichPart {
        /// The parts' ids.
        parts: Vec<String>,
        /// What was done.
        done: EventKind,
    },
    /// Not between the dates of its neighbours.
    OutOfOrder,
    /// Not a quantity.
    Quantity(quantity::Error),
}

/// What a column without a place is taken for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Taken {
    /// The water in the bucket is permeate.
    BucketOfPermeate,
    /// A totaliser counts permeate.
    TotalOfPermeate,
    /// The feed is as warm as the water measured.
    AsWarm,
    /// A flow is the permeate's.
    FlowOfPermeate,
    /// A salt reading is the permeate's.
    SaltOfPermeate,
    /// Chlorine is measured after the carbon.
    ChlorineAfterCarbon,
    /// Hardness is measured after the softener.
    HardnessAfterSoftener,
    /// The pressure at the filters is before them.
    BeforeFilters,
    /// A pressure is the membranes', since there is a pump.
    PressureOfMembranes,
    /// A pressure is the inlet's.
    PressureOfInlet,
    /// The pressure after the last stage is the membranes'.
    LastIsMembranes,
}

impl Taken {
    /// All of them.
    pub const ALL: [Self; 11] = [
        Self::BucketOfPermeate,
        Self::TotalOfPermeate,
        Self::AsWarm,
        Self::FlowOfPermeate,
        Self::SaltOfPermeate,
        Self::ChlorineAfterCarbon,
        Self::HardnessAfterSoftener,
        Self::BeforeFilters,
        Self::PressureOfMembranes,
        Self::PressureOfInlet,
        Self::LastIsMembranes,
    ];

    /// Its name in messages.
    pub fn name(self) -> &'static str {
        match self {
            Self::BucketOfPermeate => "bucket",
            Self::TotalOfPermeate => "total",
            Self::AsWarm => "warm",
            Self::FlowOfPermeate => "flow",
            Self::SaltOfPermeate => "salt",
            Self::ChlorineAfterCarbon => "chlorine",
            Self::HardnessAfterSoftener => "hardness",
            Self::BeforeFilters => "filters",
            Self::PressureOfMembranes => "pumped",
            Self::PressureOfInlet => "inlet",
            Self::LastIsMembranes => "last",
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::BeforeFilters => "the pressure at the filters is taken to be before them",
            Self::PressureOfMembranes => {
                "a pressure without a place is taken to be the membranes', since the unit has a pump"
            }
            Self::PressureOfInlet => "a pressure without a place is taken to be the inlet's",
            Self::LastIsMembranes => {
                "the pressure after the last stage is taken as the membranes': nothing stands between"
            }
            Self::BucketOfPermeate => "the water in the bucket is taken to be permeate",
            Self::TotalOfPermeate => "a totaliser without a place is taken to count permeate",
            Self::AsWarm => "the feed is taken to be as warm as the water measured",
            Self::FlowOfPermeate => "a flow without a place is taken to be the permeate's",
            Self::SaltOfPermeate => "a salt reading without a place is taken to be the permeate's",
            Self::ChlorineAfterCarbon => "chlorine without a place is taken to be measured after the carbon",
            Self::HardnessAfterSoftener => {
                "hardness without a place is taken to be measured after the softener"
            }
        }
    }
}

impl Told {
    /// What a row that was set aside was said to be: as it stands in a ledger, back from its English words.
    pub fn of_reason(words: &str) -> Option<Self> {
        let fixed = [
            Self::HeadingsAgain,
            Self::OtherHeadings,
            Self::OnlyDate,
            Self::OnlyRemark,
            Self::Summary,
            Self::NoDate,
        ];
        if let Some(told) = fixed.into_iter().find(|told| told.to_string() == words) {
            return Some(told);
        }
        if let Some(line) = words.strip_prefix("it belongs to another table, with its headings in line ") {
            return Some(Self::OfAnotherTable {
                line: line.parse().ok()?,
            });
        }
        let text = words
            .strip_prefix("the date `")?
            .strip_suffix("` cannot be read")?;
        Some(Self::NoSuchDate {
            text: text.to_owned(),
        })
    }
}

fn rows_name(rows: usize) -> String {
    if rows == 1 {
        "one row names".to_owned()
    } else {
        format!("{rows} rows name")
    }
}

impl fmt::Display for Told {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnclosedMark => {
                f.write_str("a quotation mark is never closed: the marks are read as ordinary characters")
            }
            Self::OtherSheets { others, chosen } => {
                let others: Vec<String> = others.iter().map(|name| format!("`{name}`")).collect();
                write!(
                    f,
                    "the sheets {} look like logs too; only `{chosen}` is read (name the sheet to read another)",
                    others.join(", ")
                )
            }
            Self::NewHeadings { line } => write!(
                f,
                "line {line} holds new headings: the rows below it are read by them"
            ),
            Self::Dates { order, why } => write!(f, "dates are read {}: {}", order.name(), why.words()),
            Self::NoTimes => f.write_str("the log names no times of day: noon is taken"),
            Self::WithoutTime(rows) => write!(f, "{} no time of day: noon is taken", rows_name(*rows)),
            Self::WithoutDay(rows) => write!(
                f,
                "{} a time but no day: the day of the row above is taken",
                rows_name(*rows)
            ),
            Self::FillsInHours => f.write_str(
                "times of fills that the workbook holds as hours and minutes are read as minutes and seconds",
            ),
            Self::HalfLimit {
                text,
                heading,
                value_mg_l,
            } => write!(f, "`{text}` in `{heading}` is read as {value_mg_l} mg/L"),
            Self::Undated { line, text } => write!(
                f,
                "line {line} (`{text}`) has no date: it is taken to follow the reading above it"
            ),
            Self::UnstatedFactor { heading, factor } => write!(
                f,
                "`{heading}` is a salt meter's ppm without its factor: it is taken as {factor} of the conductivity, and may be up to 0.7"
            ),
            Self::MeterPpm { heading } => write!(
                f,
                "`{heading}` names no unit: its numbers are read as the ppm of a salt meter"
            ),
            Self::UnitBySize { heading, unit } => write!(
                f,
                "`{heading}` names no unit: by the size of its numbers it is read in {unit}"
            ),
            Self::Taken { heading, what } => write!(f, "`{heading}`: {}", what.words()),
            Self::DateColumn { column } => write!(
                f,
                "column {column} holds the dates, though its heading does not say so"
            ),
            Self::ReadAs {
                heading,
                field,
                other,
                other_field,
            } => write!(
                f,
                "`{heading}` is read as {field}, since `{other}` is the {other_field}"
            ),
            Self::MappedAway => f.write_str("the mapping says so"),
            Self::NotRecognised => f.write_str("not recognised as anything that is read"),
            Self::NoSuchUnit { unit, kind } => write!(f, "`{unit}` is no unit of {}", kind.name()),
            Self::OnlyHeading => f.write_str("nothing but its heading"),
            Self::UnitUnknown { field } => write!(
                f,
                "it names no unit for {field}, and its numbers do not tell which"
            ),
            Self::SameAs { heading } => write!(f, "it says the same as `{heading}` in another unit"),
            Self::ReadFrom { field, heading } => write!(f, "{field} is read from `{heading}`"),
            Self::HeadingsAgain => f.write_str("the headings again"),
            Self::OtherHeadings => f.write_str("the headings of another table"),
            Self::OfAnotherTable { line } => {
                write!(f, "it belongs to another table, with its headings in line {line}")
            }
            Self::NoSuchDate { text } => write!(f, "the date `{text}` cannot be read"),
            Self::OnlyDate => f.write_str("only a date"),
            Self::OnlyRemark => f.write_str("only a remark"),
            Self::Summary => f.write_str("a summary of other rows, not a reading"),
            Self::NoDate => f.write_str("no date"),
            Self::Formula => f.write_str("a formula whose result is not stored in the file"),
            Self::DateForNumber => f.write_str("a date or a time where a number is wanted"),
            Self::NotADuration => f.write_str("not a duration"),
            Self::FillInNoTime => f.write_str("a fill takes a time above 0"),
            Self::NotAFill => {
                f.write_str("not the time of a fill: accepted are seconds, 71 s, 1:11, 1 min 11 s")
            }
            Self::NotAClock => f.write_str("not a time of day; noon is taken"),
            Self::WhichPart { parts, done } => write!(
                f,
                "which of {} was {} is not said; no event is made of it",
                parts.join(", "),
                done.name()
            ),
            Self::OutOfOrder => f.write_str(
                "out of order: not between the dates of the lines above and below; taken as it stands",
            ),
            Self::Quantity(error) => error.fmt(f),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Told;

    #[test]
    fn regress_reasons_come_back_from_their_words() {
        let aside = [
            Told::HeadingsAgain,
            Told::OtherHeadings,
            Told::OfAnotherTable { line: 12 },
            Told::NoSuchDate {
                text: "32.13.".to_owned(),
            },
            Told::OnlyDate,
            Told::OnlyRemark,
            Told::Summary,
            Told::NoDate,
        ];
        for told in aside {
            assert_eq!(Told::of_reason(&told.to_string()), Some(told));
        }
        assert_eq!(Told::of_reason("in words of a newer program"), None);
    }
}
