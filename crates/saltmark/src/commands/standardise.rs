//! `standardise`: each reading corrected to the reference conditions.

use casefile::Document;
use jiff::tz::TimeZone;
use serde_json::{Map, Value, json};
use wear::doubts::Doubt;
use wear::standardise::DROP_TOO_SMALL;
use wear::{Estimate, Standardisation, StandardisedReading, standardise};

use crate::case::Case;
use crate::failure::Failure;
use crate::output::Answer;
use crate::present::{Columns, change, day, significant};

pub(crate) fn answer(document: &Document) -> Result<Answer, Failure> {
    let case = Case::read(document)?;
    let standardisation = standardise(&case.history());
    let json = json!({
        "readings": standardisation.readings.iter().map(|one| reading_json(one, &standardisation)).collect::<Vec<_>>(),
        "reference": reference_json(&standardisation),
        "baseline_at": baseline_at(&standardisation),
        "assumed": standardisation.assumed,
    });
    Ok(Answer {
        json,
        text: text(&case, &standardisation),
        warnings: case.warnings,
    })
}

/// When the baseline of the last life stands; null where there is none.
fn baseline_at(standardisation: &Standardisation) -> Value {
    let baseline = standardisation.baselines.iter().rev().flatten().next();
    baseline.map_or(Value::Null, |baseline| Value::from(baseline.at.to_string()))
}

/// The reference of the last life.
pub(crate) fn reference_json(standardisation: &Standardisation) -> Value {
    let Some(baseline) = standardisation.baselines.iter().rev().flatten().next() else {
        return Value::Null;
    };
    let reference = &baseline.reference;
    let concentrate = reference.channel_l_h - baseline.permeate.0 / 2.0;
    json!({
        "temperature_c": 25.0,
        "membrane_pressure_kpa": baseline.membrane_kpa,
        "net_driving_pressure_kpa": reference.driving_kpa,
        "feed_tds_mg_l": reference.feed_mg_l,
        "feed_side_tds_mg_l": reference.feed_side_mg_l,
        "permeate_flow_l_h": baseline.permeate.0,
        "concentrate_flow_l_h": concentrate,
        "salt_passage": baseline.salt_passage.map(|(passage, _)| passage),
        "pressure_drop_kpa": baseline.drop.map(|(drop, _)| drop),
        "baseline_temperature_c": baseline.temperature_c,
        "baseline_readings": baseline.readings,
    })
}

/// One standardised reading as data.
pub(crate) fn reading_json(one: &StandardisedReading, standardisation: &Standardisation) -> Value {
    let mut fields = Map::new();
    fields.insert("at".to_owned(), Value::from(one.at.to_string()));
    let mut put = |name: &str, estimate: Option<Estimate>| {
        fields.insert(name.to_owned(), json!(estimate.map(|estimate| estimate.value)));
        fields.insert(format!("{name}_sd"), json!(estimate.map(|estimate| estimate.sd)));
    };
    put("permeate_flow_l_h", one.permeate_flow);
    put("salt_passage", one.salt_passage);
    put("pressure_drop_kpa", one.pressure_drop);
    put("relative_permeate_flow", one.relative_permeate_flow);
    put("relative_salt_passage", one.relative_salt_passage);
    put("relative_pressure_drop", one.relative_pressure_drop);
    let raw = one.standardised;
    fields.insert(
        "net_driving_pressure_kpa".to_owned(),
        json!(raw.map(|raw| raw.driving_kpa)),
    );
    fields.insert("recovery".to_owned(), json!(raw.map(|raw| raw.recovery)));
    let too_small = one.pressure_drop.is_some()
        && standardisation
            .baseline_of(one)
            .is_some_and(|baseline| baseline.drop.is_none());
    if too_small {
        fields.insert(
            "relative_pressure_drop_reason".to_owned(),
            Value::from(DROP_TOO_SMALL),
        );
    }
    let estimated: Vec<Value> = one
        .estimated()
        .iter()
        .map(|estimated| json!({"field": estimated.field.name(), "value": estimated.value, "sd": estimated.sd}))
        .collect();
    fields.insert("estimated".to_owned(), Value::from(estimated));
    let missing: Vec<&str> = one.missing.iter().map(|field| field.name()).collect();
    fields.insert("missing".to_owned(), json!(missing));
    let doubts: Vec<Value> = one.doubts.iter().map(doubt_json).collect();
    fields.insert("doubts".to_owned(), Value::from(doubts));
    Value::Object(fields)
}

/// One doubt as data.
pub(crate) fn doubt_json(doubt: &Doubt) -> Value {
    json!({
        "field": doubt.field.name(),
        "read": doubt.read,
        "suggested": doubt.suggested,
        "reason": doubt.reason,
    })
}

fn text(case: &Case, standardisation: &Standardisation) -> String {
    let zone = casefile::time_zone(&case.unit);
    let usable = standardisation
        .readings
        .iter()
        .filter(|one| one.flow_is_sound())
        .count();
    let mut text = match standardisation.last_sound() {
        None => format!(
            "None of the {} readings could be standardised.\n",
            standardisation.readings.len()
        ),
        Some((_, last)) => format!(
            "Standardised, the last usable reading ({}) makes {} against the baseline{}; {usable} of {} readings are usable.\n",
            day(last.at, &zone),
            last.relative_permeate_flow
                .map_or_else(|| "-".to_owned(), |e| change(e.value)),
            last.relative_salt_passage.map_or_else(String::new, |e| format!(
                ", with {} salt passage",
                change(e.value)
            )),
            standardisation.readings.len(),
        ),
    };
    text.push('\n');
    text.push_str(&table(standardisation, &zone));
    for sentence in &standardisation.assumed {
        text.push_str(&format!("\nAssumed: {sentence}"));
    }
    if !standardisation.assumed.is_empty() {
        text.push('\n');
    }
    text
}

/// The standardised readings in columns.
pub(crate) fn table(standardisation: &Standardisation, zone: &TimeZone) -> String {
    let mut columns = Columns::new(&[
        "date",
        "flow L/h at 25 C",
        "of baseline",
        "+-",
        "salt passage",
        "of baseline",
        "+-",
        "remarks",
    ]);
    for one in &standardisation.readings {
        let value = |estimate: Option<Estimate>, digits| {
            estimate.map_or_else(|| "-".to_owned(), |estimate| significant(estimate.value, digits))
        };
        let percent = |estimate: Option<Estimate>| {
            estimate.map_or_else(
                || ("-".to_owned(), "-".to_owned()),
                |estimate| {
                    (
                        format!("{:.0} %", 100.0 * estimate.value),
                        format!("{:.0}", 100.0 * estimate.sd),
                    )
                },
            )
        };
        let (flow, flow_sd) = percent(one.relative_permeate_flow);
        let (salt, salt_sd) = percent(one.relative_salt_passage);
        columns.row(vec![
            day(one.at, zone),
            value(one.permeate_flow, 3),
            flow,
            flow_sd,
            value(one.salt_passage, 2),
            salt,
            salt_sd,
            remarks(one),
        ]);
    }
    columns.text()
}

fn remarks(one: &StandardisedReading) -> String {
    let mut remarks: Vec<String> = one
        .doubts
        .iter()
        .map(|doubt| format!("doubt: {} ({})", words(doubt.field.name()), doubt.reason))
        .collect();
    if !one.missing.is_empty() {
        let missing: Vec<String> = one.missing.iter().map(|field| words(field.name())).collect();
        remarks.push(format!("no {}", missing.join(", ")));
    }
    if !one.settled {
        remarks.push("too soon after the start".to_owned());
    }
    remarks.join("; ")
}

/// A field's name as words.
pub(crate) fn words(name: &str) -> String {
    name.replace('_', " ")
}
