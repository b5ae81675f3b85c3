//! The valley: customers, sites and waters from the data file.

use casefile::{Document, Faults, Table};
use serde_json::{Map, Value};
use unit::Unit;
use water::Analysis;

use crate::Error;

const VALLEY: &[u8] = include_bytes!("../data/valley.toml");

/// The whole data file.
#[derive(Debug)]
pub(crate) struct Valley {
    tree: Map<String, Value>,
}

/// A record of the data file: a customer or a site.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Record<'a>(&'a Map<String, Value>);

impl<'a> Record<'a> {
    /// A text of it; empty where it has none.
    pub(crate) fn text(self, name: &str) -> &'a str {
        self.0.get(name).and_then(Value::as_str).unwrap_or_default()
    }
}

impl Valley {
    pub(crate) fn read() -> Result<Self, Error> {
        let tree = Document::read("valley.toml", VALLEY)?.tree;
        Ok(Self { tree })
    }

    fn records(&self, name: &str) -> impl Iterator<Item = Record<'_>> {
        let list = self.tree.get(name).and_then(Value::as_array);
        list.into_iter()
            .flatten()
            .filter_map(Value::as_object)
            .map(Record)
    }

    pub(crate) fn customers(&self) -> impl Iterator<Item = Record<'_>> {
        self.records("customers")
    }

    pub(crate) fn sites(&self) -> impl Iterator<Item = Record<'_>> {
        self.records("sites")
    }

    /// The document of the water that a site gets.
    pub(crate) fn water_of(&self, site: &str) -> Option<&Map<String, Value>> {
        let record = self.sites().find(|record| record.text("id") == site)?;
        self.tree.get("waters")?.get(record.text("water"))?.as_object()
    }
}

/// The analysis of a document.
pub(crate) fn analysis(document: &Map<String, Value>) -> Result<Analysis, Error> {
    let faults = Faults::new();
    let water = casefile::water_analysis(Table::new(document, "water", &faults));
    Ok(faults.settle("valley.toml", water)?)
}

/// A unit's document, with the day on which it was commissioned, and the unit itself.
pub(crate) fn unit(file: &str, commissioned: &str) -> Result<(Map<String, Value>, Unit), Error> {
    let tree = Document::read("unit.toml", file.as_bytes())?.tree;
    let mut document = tree
        .get("unit")
        .and_then(Value::as_object)
        .cloned()
        .unwrap_or_default();
    document.insert("commissioned".to_owned(), commissioned.into());
    let faults = Faults::new();
    let unit = casefile::unit_plan(Table::new(&document, "unit", &faults));
    let unit = faults.settle("unit.toml", unit)?;
    Ok((document, unit))
}
