//! A file that says what the columns are, for logs that cannot be told by their headings.

use std::collections::BTreeMap;

use quantity::Decimal;
use serde::Deserialize;
use unit::Unit;

use crate::date_order::Order;
use crate::target::Target;

/// What the columns of a log are, said outright. TOML or JSON:
///
/// ```toml
/// [columns]                            # the heading as it stands in the file = the field
/// "When" = "date"
/// "A" = "permeate_flow"
/// "B" = {field = "inlet_pressure", unit = "psi"}
/// "C" = {field = "concentrate_flow", unit = "1 L in s"}   # a timed bucket: seconds for 1 L
/// "Job" = "note"
/// "Invoice" = "ignore"
///
/// [table]                              # optional, each of them
/// header_line = 4                      # counted from 1; a sheet's row in a workbook
/// sheet = "2024"
/// delimiter = ";"                      # or "tab"
/// decimal = ","
/// date_order = "day first"             # "month first", "year first"
/// ```
///
/// Fields are those of a reading (`feed_temperature`, `inlet_pressure`, `membrane_pressure` ...), with
/// `pressure_after.ID`, `chlorine_after.ID`, `conductivity_after.ID`, `element_permeate_conductivity.ID`, and
/// `date`, `time`, `note`, `by`, `ignore`. Headings that are not named are recognised as always.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mapping {
    /// By heading.
    pub columns: BTreeMap<String, MappedColumn>,
    /// Line of the headings, counted from 1.
    pub header_line: Option<u32>,
    /// Name of the sheet.
    pub sheet: Option<String>,
    /// Delimiter.
    pub delimiter: Option<u8>,
    /// Decimal sign.
    pub decimal: Option<Decimal>,
    /// Order of the numbers in a date.
    pub date_order: Option<Order>,
}

/// What one column is.
#[derive(Clone, Debug, PartialEq)]
pub struct MappedColumn {
    /// Name of the field; checked against the unit when a log is read.
    pub field: String,
    /// Unit of its bare numbers, or a bucket (`500 mL in s`).
    pub unit: Option<String>,
}

/// Why a mapping cannot be followed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum MappingError {
    /// Neither TOML nor JSON of the right shape.
    #[error("it cannot be read: {0}")]
    Syntax(String),
    /// A value that is not accepted.
    #[error("`table.{field}` is `{read}`; accepted is {accepted}")]
    Value {
        /// Which.
        field: &'static str,
        /// What was read.
        read: String,
        /// What is accepted.
        accepted: &'static str,
    },
    /// No such field, or no such part in the unit.
    #[error("`columns.\"{heading}\"` is `{read}`, which is no field; accepted are {accepted}")]
    Field {
        /// The heading.
        heading: String,
        /// What was read.
        read: String,
        /// What is accepted.
        accepted: String,
    },
    /// A unit that does not fit its field.
    #[error("`columns.\"{heading}\"`: the unit `{read}` is not known for {field}; accepted are {accepted}")]
    Unit {
        /// The heading.
        heading: String,
        /// The field.
        field: String,
        /// What was read.
        read: String,
        /// What is accepted.
        accepted: &'static str,
    },
    /// Headings that the log has not.
    #[error("the log has no heading {}; its headings are {}", missing.join(", "), found.join(", "))]
    NoSuchHeading {
        /// Those that are missing.
        missing: Vec<String>,
        /// Those that are there.
        found: Vec<String>,
    },
    /// Two headings for one field.
    #[error("`{first}` and `{second}` are both mapped to {field}")]
    Twice {
        /// The first heading.
        first: String,
        /// The second.
        second: String,
        /// The field.
        field: String,
    },
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    columns: BTreeMap<String, ColumnFile>,
    #[serde(default)]
    table: TableFile,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum ColumnFile {
    Field(String),
    WithUnit(WithUnit),
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WithUnit {
    field: String,
    unit: Option<String>,
}

#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct TableFile {
    header_line: Option<u32>,
    sheet: Option<String>,
    delimiter: Option<String>,
    decimal: Option<String>,
    date_order: Option<String>,
}

impl Mapping {
    /// Reads a mapping: JSON where the text begins with `{`, else TOML.
    ///
    /// # Errors
    /// [`MappingError`], naming the field, what was read and what is accepted.
    pub fn parse(text: &str) -> Result<Self, MappingError> {
        let text = text.trim_start_matches('\u{feff}');
        let file: File = if text.trim_start().starts_with('{') {
            serde_json::from_str(text).map_err(|error| MappingError::Syntax(error.to_string()))?
        } else {
            toml::from_str(text).map_err(|error| MappingError::Syntax(error.to_string()))?
        };
        let columns = file.columns.into_iter().map(|(heading, column)| {
            let column = match column {
                ColumnFile::Field(field) => MappedColumn { field, unit: None },
                ColumnFile::WithUnit(WithUnit { field, unit }) => MappedColumn { field, unit },
            };
            (heading, column)
        });
        let table = file.table;
        let value = |field, read: &str, accepted| MappingError::Value {
            field,
            read: read.to_owned(),
            accepted,
        };
        let delimiter = table.delimiter.map(|text| match text.as_str() {
            "tab" | "\t" => Ok(b'\t'),
            ";" | "semicolon" => Ok(b';'),
            "," | "comma" => Ok(b','),
            "|" | "pipe" => Ok(b'|'),
            other => Err(value("delimiter", other, "one of \",\" \";\" \"|\" \"tab\"")),
        });
        let decimal = table.decimal.map(|text| match text.as_str() {
            "." | "point" => Ok(Decimal::Point),
            "," | "comma" => Ok(Decimal::Comma),
            other => Err(value("decimal", other, "\".\" or \",\"")),
        });
        let date_order = table.date_order.map(|text| {
            Order::from_name(&text).ok_or_else(|| {
                value(
                    "date_order",
                    &text,
                    "\"day first\", \"month first\" or \"year first\"",
                )
            })
        });
        Ok(Self {
            columns: columns.collect(),
            header_line: table.header_line,
            sheet: table.sheet,
            delimiter: delimiter.transpose()?,
            decimal: decimal.transpose()?,
            date_order: date_order.transpose()?,
        })
    }

    /// What a heading is mapped to, compared without regard to case and spaces.
    pub(crate) fn find(&self, heading: &str) -> Option<(&str, &MappedColumn)> {
        let key = |text: &str| {
            text.split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
                .to_lowercase()
        };
        let wanted = key(heading);
        if wanted.is_empty() {
            return None;
        }
        self.columns
            .iter()
            .find(|(name, _)| key(name) == wanted)
            .map(|(name, column)| (name.as_str(), column))
    }
}

impl MappedColumn {
    /// The target that it names.
    pub(crate) fn target(&self, heading: &str, unit: &Unit) -> Result<Target, MappingError> {
        Target::from_name(&self.field, unit).ok_or_else(|| MappingError::Field {
            heading: heading.to_owned(),
            read: self.field.clone(),
            accepted: field_names(unit),
        })
    }
}

/// All field names of a unit, for messages.
fn field_names(unit: &Unit) -> String {
    let mut names: Vec<String> = ["date", "time", "note", "by", "ignore"].map(str::to_owned).into();
    names.extend(reading::Field::ALL.iter().map(|field| field.name().to_owned()));
    names.extend(
        unit.stages
            .iter()
            .map(|stage| format!("pressure_after.{}", stage.id)),
    );
    names.extend(
        unit.stages
            .iter()
            .map(|stage| format!("chlorine_after.{}", stage.id)),
    );
    names.extend(
        unit.permeate
            .polish
            .iter()
            .map(|item| format!("conductivity_after.{}", item.id)),
    );
    names.extend(
        unit.membranes
            .elements
            .iter()
            .map(|element| format!("element_permeate_conductivity.{}", element.id)),
    );
    names.join(", ")
}

/// The beginning of a mapping file for these headings, for error messages.
pub(crate) fn example(headings: &[String]) -> String {
    let quoted = |text: &str| format!("{text:?}");
    let mut lines = vec!["[columns]".to_owned()];
    let mut fields = ["date", "permeate_flow", "permeate_conductivity"].into_iter();
    for heading in headings.iter().filter(|heading| !heading.is_empty()).take(3) {
        lines.push(format!(
            "{} = \"{}\"",
            quoted(heading),
            fields.next().unwrap_or("ignore")
        ));
    }
    lines.join("; ")
}
