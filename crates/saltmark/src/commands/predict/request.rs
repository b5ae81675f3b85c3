//! What is asked: a unit, its water and the conditions, options before the file.

use casefile::{ConditionName, Document, Faults, Invalid, Table, condition};
use unit::{Conditions, Unit};
use water::{Analysis, Water};

use super::Asked;
use super::day::{self, Hours};
use super::sweep::Sweep;
use crate::commands::water::impossible;
use crate::failure::Failure;

/// A whole request.
pub(super) struct Request {
    /// The case file's name.
    pub(super) file: String,
    pub(super) unit: Unit,
    pub(super) water: Water,
    /// Those of a sweep at its first point.
    pub(super) conditions: Conditions,
    pub(super) sweep: Option<Sweep>,
    /// When the permeate is drawn; all day where it is not said.
    pub(super) day: Option<Hours>,
    /// What was taken for granted here.
    pub(super) assumed: Vec<String>,
    /// Oddities of the documents that stopped nothing.
    pub(super) warnings: Vec<String>,
}

/// Where faults were found, document by document.
#[derive(Default)]
struct Wrong(Vec<Invalid>);

impl Wrong {
    /// Keeps the faults of a document and gives its oddities.
    fn take(&mut self, file: &str, faults: &Faults) -> Vec<String> {
        if let Err(invalid) = faults.settle(file, Some(())) {
            self.0.push(invalid);
        }
        faults.warnings()
    }
}

impl Request {
    /// Reads everything and lists every fault of every document and option.
    pub(super) fn read(document: &Document, asked: &Asked) -> Result<Self, Failure> {
        let mut wrong = Wrong::default();
        let typed = Faults::new();
        let option = |name: ConditionName, option: &str, text: Option<&String>| {
            let read = condition(name, text?);
            read.map_err(|(read, accepted)| typed.add(option, read, accepted))
                .ok()
        };
        let temperature = option(
            ConditionName::Temperature,
            "--temperature",
            asked.temperature.as_ref(),
        );
        let inlet = option(
            ConditionName::InletPressure,
            "--inlet-pressure",
            asked.inlet_pressure.as_ref(),
        );
        let permeate = option(
            ConditionName::PermeatePressure,
            "--permeate-pressure",
            asked.permeate_pressure.as_ref(),
        );
        let sweep = asked.sweep.as_ref().and_then(|text| {
            let read = Sweep::parse(text);
            read.map_err(|(read, accepted)| typed.add("--sweep", read, accepted))
                .ok()
        });
        let day = asked.day.as_ref().and_then(|text| {
            let read = Hours::parse(text);
            read.map_err(|(read, accepted)| typed.add("--day", read, accepted))
                .ok()
        });
        wrong.take("the command line", &typed);

        let faults = Faults::new();
        let top = Table::new(&document.tree, "", &faults);
        let unit = top
            .required_table("unit", "a table that describes the unit")
            .and_then(casefile::unit_plan);
        let mut table = top
            .table("conditions")
            .map(|table| casefile::conditions(table, unit.as_ref()))
            .unwrap_or_default();
        let own = match &asked.water {
            Some(_) => None,
            None => top
                .required_table("water", "a table with the analysis, or the option --water FILE")
                .and_then(casefile::water_analysis),
        };
        if let Some(unit) = unit.as_ref().filter(|_| asked.day.is_some()) {
            day::ask(unit, &faults);
        }
        table.temperature_c = temperature.or(table.temperature_c);
        table.inlet_pressure_kpa = inlet.or(table.inlet_pressure_kpa);
        table.permeate_pressure_kpa = permeate.or(table.permeate_pressure_kpa);

        let mut more = Vec::new();
        let analysis = asked.water.as_ref().map_or(own, |file| {
            let faults = Faults::new();
            let read = Table::new(&file.tree, "", &faults)
                .required_table("water", "a table with the analysis")
                .and_then(casefile::water_analysis);
            more = wrong.take(&file.file, &faults);
            read
        });
        let mut assumed = Vec::new();
        if let Some(sweep) = &sweep {
            sweep.begin(&mut table);
        }
        complete(
            document,
            asked,
            &mut table,
            analysis.as_ref(),
            &faults,
            &mut assumed,
        );
        let mut warnings = wrong.take(&document.file, &faults);
        warnings.extend(more);
        let water = analysis.and_then(|mut analysis| {
            // The conditions say how warm this water is; over a range of temperatures none of them does.
            let swept = sweep
                .as_ref()
                .is_some_and(|sweep| sweep.name == ConditionName::Temperature);
            if !swept {
                analysis.temperature_c = analysis.temperature_c.or(table.temperature_c);
            }
            let of = asked.water.as_ref().unwrap_or(document);
            Water::complete(&analysis)
                .map_err(|errors| wrong.0.push(impossible(of, &errors)))
                .ok()
        });
        let whole = unit.zip(water).zip(table.complete());
        match whole {
            Some(((unit, water), conditions)) if wrong.0.is_empty() => Ok(Self {
                file: document.file.clone(),
                unit,
                water,
                conditions,
                sweep,
                day,
                assumed,
                warnings,
            }),
            _ => Err(Failure::Inputs(wrong.0)),
        }
    }
}

/// Fills in what may be, and notes what is missing; a value that was wrong is no missing one.
fn complete(
    document: &Document,
    asked: &Asked,
    table: &mut casefile::ConditionsTable,
    analysis: Option<&Analysis>,
    faults: &Faults,
    assumed: &mut Vec<String>,
) {
    let given = |name: &str, option: Option<&String>| {
        let conditions = document.tree.get("conditions");
        let written = conditions
            .and_then(|table| table.get(name))
            .is_some_and(|value| !value.is_null());
        option.is_some() || written || conditions.is_some_and(|table| !table.is_object() && !table.is_null())
    };
    if table.temperature_c.is_none() && !given("temperature", asked.temperature.as_ref()) {
        match analysis.and_then(|analysis| analysis.temperature_c) {
            Some(own) if (0.0..=60.0).contains(&own) => {
                table.temperature_c = Some(own);
                assumed.push(format!("no temperature was given: the water's own, {own} C"));
            }
            _ => faults.add(
                "conditions.temperature",
                "nothing",
                "the feed's temperature, there, in the water or as --temperature: 0 to 60 C",
            ),
        }
    }
    if table.inlet_pressure_kpa.is_none() && !given("inlet_pressure", asked.inlet_pressure.as_ref()) {
        faults.add(
            "conditions.inlet_pressure",
            "nothing",
            "the pressure before the first stage, there or as --inlet-pressure: 0 to 20000 kPa",
        );
    }
}
