//! One table of a document, read field by field.

use std::cell::RefCell;
use std::collections::BTreeSet;

use quantity::{Context, Kind};
use serde_json::{Map, Value};

use crate::Faults;
use crate::accepted::{Accepted, Read};
use crate::document::shown;

/// The values that a field accepts, in its base unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    low: f64,
    high: f64,
    low_open: bool,
}

impl Range {
    /// From `low` to `high`, both accepted.
    pub const fn closed(low: f64, high: f64) -> Self {
        Self {
            low,
            high,
            low_open: false,
        }
    }

    /// Above 0 and at most `high`.
    pub const fn above_zero(high: f64) -> Self {
        Self {
            low: 0.0,
            high,
            low_open: true,
        }
    }

    /// Whether the value is accepted.
    pub fn holds(self, value: f64) -> bool {
        value.is_finite()
            && value <= self.high
            && if self.low_open {
                value > self.low
            } else {
                value >= self.low
            }
    }

    /// The lowest value, none where it is any above 0; and the highest.
    pub fn bounds(self) -> (Option<f64>, f64) {
        ((!self.low_open).then_some(self.low), self.high)
    }

    pub(crate) fn words(self, base_unit: &str) -> String {
        let unit = if base_unit.is_empty() {
            String::new()
        } else {
            format!(" {base_unit}")
        };
        if self.low_open {
            format!("above {} and at most {}{unit}", self.low, self.high)
        } else {
            format!("{} to {}{unit}", self.low, self.high)
        }
    }
}

/// A table being read. Fields not asked for are reported as unknown by [`Table::finish`].
pub struct Table<'a> {
    fields: &'a Map<String, Value>,
    path: String,
    faults: &'a Faults,
    known: RefCell<BTreeSet<&'static str>>,
}

impl<'a> Table<'a> {
    /// A table at this path of a document.
    pub fn new(fields: &'a Map<String, Value>, path: &str, faults: &'a Faults) -> Self {
        Self {
            fields,
            path: path.to_owned(),
            faults,
            known: RefCell::new(BTreeSet::new()),
        }
    }

    /// Where the faults go.
    pub fn faults(&self) -> &'a Faults {
        self.faults
    }

    /// The path of one of its fields.
    pub fn path(&self, name: &str) -> String {
        if self.path.is_empty() {
            name.to_owned()
        } else {
            format!("{}.{name}", self.path)
        }
    }

    /// The value of a field; none where it is missing or null.
    pub fn value(&self, name: &'static str) -> Option<&'a Value> {
        self.known.borrow_mut().insert(name);
        self.fields.get(name).filter(|value| !value.is_null())
    }

    fn fault(&self, name: &str, read: impl Into<Read>, accepted: impl Into<Accepted>) {
        self.faults.add(&self.path(name), read, accepted);
    }

    fn missing(&self, name: &str, accepted: impl Into<Accepted>) {
        self.fault(name, Read::Nothing, accepted);
    }

    /// A quantity in its base unit, from a bare number or from text with a unit.
    pub fn quantity(&self, name: &'static str, kind: Kind, range: Range) -> Option<f64> {
        let value = self.value(name)?;
        let parsed = quantity_of(value, kind, range, &Context::default());
        parsed
            .map_err(|(read, accepted)| self.fault(name, read, accepted))
            .ok()
    }

    /// A quantity that has to be there.
    pub fn required_quantity(&self, name: &'static str, kind: Kind, range: Range) -> Option<f64> {
        if self.value(name).is_none() {
            self.missing(name, Accepted::Quantity { kind, range });
        }
        self.quantity(name, kind, range)
    }

    /// Text; an empty one counts as given.
    pub fn text(&self, name: &'static str) -> Option<&'a str> {
        let value = self.value(name)?;
        let text = value.as_str();
        if text.is_none() {
            self.fault(name, shown(value), Accepted::Text);
        }
        text
    }

    /// Text that has to be there and may not be empty.
    pub fn required_text(&self, name: &'static str) -> Option<&'a str> {
        if self.value(name).is_none() {
            self.missing(name, Accepted::Text);
            return None;
        }
        let text = self.text(name)?;
        if text.trim().is_empty() {
            self.fault(name, "empty text", Accepted::Text);
            return None;
        }
        Some(text)
    }

    /// `true` or `false`.
    pub fn flag(&self, name: &'static str) -> Option<bool> {
        let value = self.value(name)?;
        let flag = value.as_bool();
        if flag.is_none() {
            self.fault(name, shown(value), Accepted::Flag);
        }
        flag
    }

    /// One of a few words.
    pub fn choice<T: Copy>(&self, name: &'static str, choices: &[(&'static str, T)]) -> Option<T> {
        let value = self.value(name)?;
        // A size code may be written as a number.
        let text = match value {
            Value::String(text) => text.clone(),
            Value::Number(number) => number.to_string(),
            _ => String::new(),
        };
        let found = choices
            .iter()
            .find(|(word, _)| *word == text)
            .map(|(_, choice)| *choice);
        if found.is_none() {
            self.fault(name, shown(value), words(choices));
        }
        found
    }

    /// One of a few words that has to be there.
    pub fn required_choice<T: Copy>(&self, name: &'static str, choices: &[(&'static str, T)]) -> Option<T> {
        if self.value(name).is_none() {
            self.missing(name, words(choices));
        }
        self.choice(name, choices)
    }

    /// A table inside this one.
    pub fn table(&self, name: &'static str) -> Option<Table<'a>> {
        let value = self.value(name)?;
        match value.as_object() {
            Some(fields) => Some(Table::new(fields, &self.path(name), self.faults)),
            None => {
                self.fault(name, shown(value), "a table");
                None
            }
        }
    }

    /// A table that has to be there.
    pub fn required_table(&self, name: &'static str, what: &str) -> Option<Table<'a>> {
        if self.value(name).is_none() {
            self.missing(name, what.to_owned());
        }
        self.table(name)
    }

    /// A list of tables; empty where it is missing.
    pub fn tables(&self, name: &'static str) -> Vec<Table<'a>> {
        let Some(value) = self.value(name) else {
            return Vec::new();
        };
        let Some(items) = value.as_array() else {
            self.fault(name, shown(value), "a list of tables");
            return Vec::new();
        };
        let mut tables = Vec::with_capacity(items.len());
        for (index, item) in items.iter().enumerate() {
            let path = format!("{}[{index}]", self.path(name));
            match item.as_object() {
                Some(fields) => tables.push(Table::new(fields, &path, self.faults)),
                None => self.faults.add(&path, shown(item), "a table"),
            }
        }
        tables
    }

    /// Every field of this table as a quantity, by name: for tables whose fields are part ids.
    pub fn quantities_by_name(&self, kind: Kind, range: Range) -> Vec<(String, f64)> {
        let mut quantities = Vec::new();
        for (name, value) in self.fields {
            if value.is_null() {
                continue;
            }
            match quantity_of(value, kind, range, &Context::default()) {
                Ok(number) => quantities.push((name.clone(), number)),
                Err((read, accepted)) => self.fault(name, read, accepted),
            }
        }
        quantities
    }

    /// Warns of fields that nobody asked for, with the nearest name that exists.
    pub fn finish(self) {
        let known = self.known.borrow();
        for name in self.fields.keys().filter(|name| !known.contains(name.as_str())) {
            let path = self.path(name);
            let near = known
                .iter()
                .filter(|known| near(name, known))
                .min_by_key(|known| known.len());
            let hint = near.map_or_else(String::new, |near| format!(" (did you mean `{near}`?)"));
            self.faults.warn(format!("{path}: unknown field, not used{hint}"));
        }
    }
}

/// Reads one value as a quantity; the error is what was read and what is accepted.
pub(crate) fn quantity_of(
    value: &Value,
    kind: Kind,
    range: Range,
    context: &Context,
) -> Result<f64, (Read, Accepted)> {
    let accepted = Accepted::Quantity { kind, range };
    let number = match value {
        Value::Number(number) => number.as_f64().unwrap_or(f64::NAN),
        Value::String(text) => match quantity::parse(kind, text, context) {
            Ok(parsed) => parsed.value,
            Err(error) => {
                let (text, error) = (text.clone(), Box::new(error));
                return Err((Read::NoQuantity { text, error }, accepted));
            }
        },
        other => return Err((shown(other).into(), accepted)),
    };
    if range.holds(number) {
        Ok(number)
    } else {
        Err((shown(value).into(), accepted))
    }
}

fn words<T>(choices: &[(&'static str, T)]) -> Accepted {
    Accepted::OneOf(choices.iter().map(|(word, _)| *word).collect())
}

/// Whether two names differ by at most two edits.
fn near(a: &str, b: &str) -> bool {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().take(64).collect(), b.chars().take(64).collect());
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.iter().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, cb) in b.iter().enumerate() {
            let next = (diagonal + usize::from(ca != cb))
                .min(row[j] + 1)
                .min(row[j + 1] + 1);
            diagonal = row[j + 1];
            row[j + 1] = next;
        }
    }
    row[b.len()] <= 2
}
