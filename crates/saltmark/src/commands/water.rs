//! `water`: the chemistry of a water, and of its concentrate.

use std::path::{Path, PathBuf};

use casefile::{Document, Fault, Faults, Invalid, Table};
use chart::{Axis, Level, Lines, Options, Scale, Series};
use serde_json::{Map, Value, json};
use unit::{StageKind, Unit};
use water::{Assessment, Error, Mineral, Report, Said, Treatment, Water, concentrate, report};

use crate::failure::Failure;
use crate::output::Answer;
use crate::output_file;
use crate::present::{Columns, significant, wrapped};

/// What is asked of the water.
pub(crate) struct Asked {
    /// Recovery of the concentrate.
    pub(crate) recovery: Option<f64>,
    /// Salt passage of the concentrate; 0 where none is given.
    pub(crate) salt_passage: Option<f64>,
    /// Where to draw saturation against recovery.
    pub(crate) plot: Option<PathBuf>,
}

pub(crate) fn answer(document: &Document, asked: &Asked) -> Result<Answer, Failure> {
    check_options(asked)?;
    let (analysis, unit, mut warnings) = read(document)?;
    let water = Water::complete(&analysis).map_err(|errors| Failure::Input(impossible(document, &errors)))?;
    let treatment = treatment(unit.as_ref(), &mut warnings);
    let salt_passage = asked.salt_passage.unwrap_or(0.0);
    let report =
        report(&water, asked.recovery, salt_passage, &treatment).map_err(|error| failed(document, &error))?;
    if let Some(file) = &asked.plot {
        output_file::write(file, picture(&water, &report, salt_passage, asked.recovery))?;
    }
    warnings.extend(told(&report.warnings));
    let json = json(&water, &report);
    let text = text(&water, &report, asked, asked.plot.as_deref());
    Ok(Answer { json, text, warnings })
}

fn check_options(asked: &Asked) -> Result<(), Failure> {
    let fractions = [
        ("--recovery", asked.recovery, 0.95, "a fraction from 0 to 0.95"),
        (
            "--salt-passage",
            asked.salt_passage,
            1.0,
            "a fraction from 0 to 1",
        ),
    ];
    for (option, value, most, accepted) in fractions {
        if value.is_some_and(|value| !(0.0..=most).contains(&value)) {
            let read = value.map_or_else(String::new, |value| value.to_string());
            return Err(Failure::field("the command line", option, read, accepted));
        }
    }
    Ok(())
}

/// The analysis, and the unit where the document has one, which says what stands before the membranes.
fn read(document: &Document) -> Result<(water::Analysis, Option<Unit>, Vec<String>), Failure> {
    let faults = Faults::new();
    let top = Table::new(&document.tree, "", &faults);
    let water = top
        .required_table("water", "a table with the analysis")
        .and_then(casefile::water_analysis);
    let unit = top.table("unit").and_then(casefile::unit_plan);
    let warnings = faults.warnings();
    Ok((faults.settle(&document.file, water)?, unit, warnings))
}

/// What the analysis makes impossible, as faults of the document.
pub(super) fn impossible(document: &Document, errors: &[Error]) -> Invalid {
    let faults = errors
        .iter()
        .map(|error| {
            let text = error.to_string();
            let read = text
                .strip_prefix(&format!("{}: ", error.field()))
                .unwrap_or(&text)
                .to_owned();
            let accepted = match error {
                Error::OutOfRange {
                    least, most, unit, ..
                } => format!("{least} to {most} {unit}"),
                Error::NotANumber { .. } => "a number".to_owned(),
                _ => "values that can stand together in one water".to_owned(),
            };
            let path = match error.field() {
                "water" => "water".to_owned(),
                field => format!("water.{field}"),
            };
            Fault {
                path,
                read: read.into(),
                accepted: accepted.into(),
            }
        })
        .collect();
    Invalid {
        file: document.file.clone(),
        faults,
    }
}

/// What could not be computed of a water that is possible: asked too much, or beyond the model.
fn failed(document: &Document, error: &Error) -> Failure {
    Failure::Impossible(format!("{}: {error}", document.file))
}

/// What the unit's stages do against scale.
fn treatment(unit: Option<&Unit>, warnings: &mut Vec<String>) -> Treatment {
    let Some(unit) = unit else {
        return Treatment::default();
    };
    let mut treatment = Treatment::default();
    for stage in &unit.stages {
        match stage.kind {
            StageKind::Antiscalant => treatment.antiscalant = true,
            // 5 mg/L as CaCO3 where the softener does not say: common practice, no source.
            StageKind::Softener {
                hardness_out_mg_l_caco3,
                ..
            } => {
                treatment.softener_hardness_out_mg_l_caco3 = Some(hardness_out_mg_l_caco3.unwrap_or(5.0));
            }
            _ => {}
        }
    }
    for (name, si) in &unit.limits.saturation {
        match Mineral::from_name(name) {
            Some(mineral) => treatment.allowed.push((mineral, *si)),
            None => warnings.push(format!(
                "unit.limits.saturation.{name}: no such mineral, not used"
            )),
        }
    }
    treatment
}

fn assessment_json(one: &Assessment) -> Map<String, Value> {
    let saturation: Map<String, Value> = Mineral::ALL
        .into_iter()
        .zip(one.saturation)
        .map(|(mineral, si)| (mineral.name().to_owned(), json!(si)))
        .collect();
    let mut fields = Map::new();
    let mut put = |name: &str, value: Value| fields.insert(name.to_owned(), value);
    put("ph", json!(one.ph));
    put("ionic_strength_mol_kg", json!(one.ionic_strength_mol_kg));
    put("charge_balance_percent", json!(one.charge_balance_percent));
    put("tds_mg_l", json!(one.tds_mg_l));
    put("conductivity_us_cm", json!(one.conductivity_us_cm));
    put("osmotic_pressure_kpa", json!(one.osmotic_pressure_kpa));
    put("hardness_mg_l_caco3", json!(one.hardness_mg_l_caco3));
    put("alkalinity_mg_l_caco3", json!(one.alkalinity_mg_l_caco3));
    put("co2_mg_l", json!(one.co2_mg_l));
    put("saturation", Value::Object(saturation));
    put("langelier_index", json!(one.langelier_index));
    put("stiff_davis_index", json!(one.stiff_davis_index));
    put("ccpp_mg_l_caco3", json!(one.ccpp_mg_l_caco3));
    fields
}

fn json(water: &Water, report: &Report) -> Value {
    let mut fields = assessment_json(&report.water);
    let working: Vec<Value> = report
        .working_limits
        .iter()
        .map(|limit| {
            json!({
                "mineral": limit.mineral.name(),
                "recovery": limit.recovery,
                "allowed_si": limit.allowed_si,
                "low": limit.likely.map(|(low, _)| low),
                "high": limit.likely.map(|(_, high)| high),
            })
        })
        .collect();
    let limits: Vec<Value> = report
        .recovery_limits
        .iter()
        .map(|limit| json!({"mineral": limit.mineral.name(), "recovery": limit.recovery}))
        .collect();
    let threats: Vec<Value> = water
        .threats()
        .iter()
        .map(|threat| {
            json!({
                "field": threat.field,
                "read": threat.read,
                "limit": threat.limit,
                "stage": threat.stage,
                "sentence": threat.sentence,
                "source": threat.source,
            })
        })
        .collect();
    let mut put = |name: &str, value: Value| fields.insert(name.to_owned(), value);
    put("working_limits", Value::from(working));
    put("recovery_limits", Value::from(limits));
    put("assumed", json!(told(water.assumed())));
    put("warnings", json!(told(&report.warnings)));
    put("sentences", json!(told(&report.sentences)));
    put("threats", Value::from(threats));
    if let Some(dense) = &report.concentrate {
        put("concentrate", Value::Object(assessment_json(dense)));
    }
    Value::Object(fields)
}

fn told(said: &[Said]) -> Vec<String> {
    said.iter().map(ToString::to_string).collect()
}

fn text(water: &Water, report: &Report, asked: &Asked, plot: Option<&Path>) -> String {
    let bold = anstyle::Style::new().bold();
    let head = |text: &str| format!("\n{bold}{text}{bold:#}\n");
    let mut sentences = report.sentences.iter();
    let mut text = sentences
        .next()
        .map_or_else(String::new, |first| wrapped(&first.to_string(), ""));
    text.push('\n');
    text.push_str(&table(report, asked.recovery));
    text.push_str(&head("Recovery to keep below"));
    let mut limits = Columns::new(&["mineral", "saturated at", "keep below", "where its index is"]);
    for limit in &report.recovery_limits {
        let percent = |recovery: Option<f64>| {
            recovery.map_or_else(|| "-".to_owned(), |r| format!("{:.0} %", 100.0 * r))
        };
        let working = report
            .working_limits
            .iter()
            .find(|working| working.mineral == limit.mineral);
        limits.row(vec![
            limit.mineral.name().replace('_', " "),
            percent(limit.recovery),
            working.map_or_else(|| "-".to_owned(), |working| percent(working.recovery)),
            working.map_or_else(String::new, |working| format!("{:+.1}", working.allowed_si)),
        ]);
    }
    text.push_str(&limits.text());
    let rest: Vec<&Said> = sentences.collect();
    if !rest.is_empty() {
        text.push_str(&head("What else to know"));
        for sentence in rest {
            text.push_str(&wrapped(&sentence.to_string(), "- "));
        }
    }
    if !water.assumed().is_empty() {
        text.push_str(&head("Assumed"));
        for sentence in water.assumed() {
            text.push_str(&wrapped(&sentence.to_string(), "- "));
        }
    }
    if let Some(file) = plot {
        text.push_str(&format!("\nThe picture is in {}\n", file.display()));
    }
    text
}

/// The water beside its concentrate.
fn table(report: &Report, recovery: Option<f64>) -> String {
    let water = &report.water;
    let dense = report.concentrate.as_ref();
    let heading = recovery.map(|recovery| format!("at {:.0} %", 100.0 * recovery));
    let headings: Vec<&str> = ["", "feed"]
        .into_iter()
        .chain(heading.as_deref())
        .chain(["in"])
        .collect();
    let mut columns = Columns::new(&headings);
    let mut row = |name: &str, value: fn(&Assessment) -> Option<f64>, decimals: Option<usize>, unit: &str| {
        let shown = |one: &Assessment| {
            value(one).map_or_else(
                || "-".to_owned(),
                |value| {
                    decimals.map_or_else(|| significant(value, 3), |decimals| format!("{value:.decimals$}"))
                },
            )
        };
        let cells = [name.to_owned(), shown(water)]
            .into_iter()
            .chain(dense.map(shown))
            .chain([unit.to_owned()]);
        columns.row(cells.collect());
    };
    row("pH", |one| Some(one.ph), Some(2), "");
    row("dissolved", |one| Some(one.tds_mg_l), None, "mg/L");
    row(
        "conductivity at 25 C",
        |one| Some(one.conductivity_us_cm),
        None,
        "uS/cm",
    );
    row(
        "osmotic pressure",
        |one| Some(one.osmotic_pressure_kpa),
        None,
        "kPa",
    );
    row(
        "hardness",
        |one| Some(one.hardness_mg_l_caco3),
        None,
        "mg/L as CaCO3",
    );
    row(
        "alkalinity",
        |one| Some(one.alkalinity_mg_l_caco3),
        None,
        "mg/L as CaCO3",
    );
    row("carbon dioxide", |one| one.co2_mg_l, None, "mg/L");
    row(
        "charge balance",
        |one| Some(one.charge_balance_percent),
        Some(1),
        "%",
    );
    row(
        "ionic strength",
        |one| Some(one.ionic_strength_mol_kg),
        None,
        "mol/kg",
    );
    row("saturation: calcite", |one| one.saturation[0], Some(2), "log10");
    row("aragonite", |one| one.saturation[1], Some(2), "log10");
    row("gypsum", |one| one.saturation[2], Some(2), "log10");
    row("barite", |one| one.saturation[3], Some(2), "log10");
    row("celestite", |one| one.saturation[4], Some(2), "log10");
    row("fluorite", |one| one.saturation[5], Some(2), "log10");
    row("amorphous silica", |one| one.saturation[6], Some(2), "log10");
    row("Langelier index", |one| one.langelier_index, Some(2), "");
    row("Stiff & Davis index", |one| one.stiff_davis_index, Some(2), "");
    row(
        "would precipitate",
        |one| one.ccpp_mg_l_caco3,
        Some(1),
        "mg/L as CaCO3",
    );
    columns.text()
}

/// Saturation of each mineral against recovery, with what is allowed of each.
fn picture(water: &Water, report: &Report, salt_passage: f64, recovery: Option<f64>) -> String {
    let feed = water.speciation();
    let recoveries: Vec<f64> = (0..=46).map(|step| f64::from(step) * 0.02).collect();
    // A concentrate beyond the chemistry's range ends the lines there.
    let dense: Vec<(f64, [Option<f64>; 7])> = recoveries
        .into_iter()
        .map_while(|r| concentrate(feed, r, salt_passage).ok().map(|dense| (r, dense)))
        .map(|(r, dense)| (r, Mineral::ALL.map(|mineral| dense.saturation_index(mineral))))
        .collect();
    let series = Mineral::ALL
        .into_iter()
        .enumerate()
        .map(|(i, mineral)| Series {
            name: mineral.name().replace('_', " "),
            points: dense
                .iter()
                .filter_map(|(r, si)| Some((100.0 * r, (*si.get(i)?)?)))
                .collect(),
            band: Vec::new(),
        })
        .filter(|series| !series.points.is_empty())
        .collect();
    let mut levels: Vec<(f64, Vec<&str>)> = Vec::new();
    for limit in report
        .working_limits
        .iter()
        .filter(|limit| limit.recovery.is_some())
    {
        match levels
            .iter_mut()
            .find(|(si, _)| (*si - limit.allowed_si).abs() < 1e-9)
        {
            Some((_, names)) => names.push(limit.mineral.name()),
            None => levels.push((limit.allowed_si, vec![limit.mineral.name()])),
        }
    }
    let limits = levels
        .into_iter()
        .map(|(value, names)| {
            let names = names.join(", ").replace('_', " ");
            Level {
                value,
                label: format!("allowed: {names}"),
            }
        })
        .collect();
    let marks = recovery
        .map(|recovery| Level {
            value: 100.0 * recovery,
            label: format!("{:.0} % asked for", 100.0 * recovery),
        })
        .into_iter()
        .collect();
    let name = if water.name().is_empty() {
        "Water"
    } else {
        water.name()
    };
    let lines = Lines {
        title: format!("{name}: saturation against recovery"),
        subtitle: report
            .sentences
            .first()
            .map(ToString::to_string)
            .unwrap_or_default(),
        x: Axis {
            title: "Recovery".to_owned(),
            unit: "%".to_owned(),
            scale: Scale::Linear,
            range: Some((0.0, 92.0)),
        },
        y: Axis {
            title: "Saturation index".to_owned(),
            unit: "log10".to_owned(),
            scale: Scale::Linear,
            range: None,
        },
        series,
        limits,
        marks,
        regions: Vec::new(),
    };
    chart::lines(&lines, &Options::default())
}
