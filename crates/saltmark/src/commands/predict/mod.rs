//! `predict`: what this unit should make now, in its present state.

mod day;
mod drawing;
mod judgement;
mod request;
mod sweep;
mod sweep_picture;
mod swept;

use std::path::{Path, PathBuf};

use casefile::{Document, Fault, Invalid};
use serde_json::{Map, Value, json};
use unit::{Conditions, Model, Parameters, PredictError, Prediction, Segments, Workspace};
use water::Mineral;
use wear::composition::{Range, Ranges, ranges};
use wear::expectation::{Spread, spread};

use crate::args;
use crate::failure::Failure;
use crate::input;
use crate::output::Answer;
use crate::present::{significant, wrapped};
use day::Cycle;
use request::Request;

/// What the options ask for.
#[derive(Debug, Default)]
pub(crate) struct Asked {
    water: Option<Document>,
    temperature: Option<String>,
    inlet_pressure: Option<String>,
    permeate_pressure: Option<String>,
    sweep: Option<String>,
    day: Option<String>,
    plot: Option<PathBuf>,
}

impl Asked {
    /// The options, with the water's file read.
    pub(crate) fn new(args: &args::Predict) -> Result<Self, Failure> {
        Ok(Self {
            water: args
                .water
                .as_deref()
                .map(|file| input::document(Some(file)))
                .transpose()?,
            temperature: args.temperature.clone(),
            inlet_pressure: args.inlet_pressure.clone(),
            permeate_pressure: args.permeate_pressure.clone(),
            sweep: args.sweep.clone(),
            day: args.day.clone(),
            plot: args.plot.clone(),
        })
    }
}

pub(crate) fn answer(document: &Document, asked: &Asked) -> Result<Answer, Failure> {
    let request = Request::read(document, asked)?;
    let ready = Ready::of(&request).map_err(|error| failed(&request.file, &error))?;
    match &request.sweep {
        Some(sweep) => swept::answer(&request, &ready, sweep, asked.plot.as_deref()),
        None => {
            let mut expected = ready
                .expect(&request, &request.conditions)
                .map_err(|error| failed(&request.file, &error))?;
            let day = Cycle::of(&request, &ready, &expected).and_then(|found| {
                // The prediction stands without it: a tank's own pressure may leave no permeate.
                found
                    .map_err(|error| {
                        let warnings = &mut expected.prediction.warnings;
                        warnings.push(format!("no day of fill and draw can be computed: {error}"));
                    })
                    .ok()
            });
            let mut json = fields(&expected);
            json.insert("day".to_owned(), day.as_ref().map_or(Value::Null, Cycle::fields));
            Ok(Answer {
                json: Value::Object(json),
                text: text(&request, &expected, day.as_ref()),
                warnings: request.warnings.clone(),
            })
        }
    }
}

/// A unit made ready for any number of conditions.
struct Ready {
    model: Model,
    parameters: Parameters,
}

/// What a unit should make, and how far that may be off.
struct Expected {
    prediction: Prediction,
    spread: Spread,
    /// Where of the feed only the salt content is known.
    ranges: Option<Ranges>,
}

impl Ready {
    fn of(request: &Request) -> Result<Self, PredictError> {
        let model = Model::new(&request.unit, Segments::default())?;
        let parameters = model.in_state(&request.conditions.state)?;
        Ok(Self { model, parameters })
    }

    fn expect(&self, request: &Request, conditions: &Conditions) -> Result<Expected, PredictError> {
        let mut workspace = Workspace::new();
        let (unit, water) = (&request.unit, &request.water);
        let prediction = self
            .model
            .predict(unit, water, &self.parameters, conditions, &mut workspace)?;
        let ids: Vec<&str> = unit.membranes.elements.iter().map(|e| e.id.as_str()).collect();
        let spread = spread(
            &self.model,
            &self.parameters,
            conditions,
            &ids,
            &prediction,
            &mut workspace,
        );
        let ranges = ranges(
            &self.model,
            &self.parameters,
            conditions,
            water.analysis(),
            &prediction,
            spread,
            &mut workspace,
        );
        Ok(Expected {
            prediction,
            spread,
            ranges,
        })
    }
}

/// What the unit crate says against a unit: a wrong value is the input's fault, a condition without a solution is not.
pub(super) fn failed(file: &str, error: &PredictError) -> Failure {
    let fault = |path: &str, read: String, accepted: String| {
        Failure::Input(Invalid {
            file: file.to_owned(),
            faults: vec![Fault {
                path: path.to_owned(),
                read: read.into(),
                accepted: accepted.into(),
            }],
        })
    };
    match error {
        PredictError::Input {
            field,
            read,
            accepted,
        } => fault(field, read.to_string(), accepted.to_string()),
        PredictError::NoElements => fault(
            "unit.membranes.elements",
            "nothing".to_owned(),
            "one to eight elements".to_owned(),
        ),
        PredictError::UnknownPart { field, id, known } => fault(field, format!("{id:?}"), known.clone()),
        PredictError::Rating {
            field,
            flow_l_h,
            most_l_h,
            ..
        } => fault(
            field,
            format!(
                "{} L/h, a rating that no membrane can meet ({error})",
                significant(*flow_l_h, 3)
            ),
            format!(
                "a flow below {} L/h at the other values of the rating",
                significant(*most_l_h, 3)
            ),
        ),
        other => {
            let mut sentence = other.to_string();
            let mut source = std::error::Error::source(other);
            while let Some(cause) = source {
                sentence.push_str(&format!(": {cause}"));
                source = cause.source();
            }
            Failure::Impossible(format!("{file}: {sentence}"))
        }
    }
}

/// A prediction as data, as the contract has it.
fn fields(expected: &Expected) -> Map<String, Value> {
    let Expected {
        prediction,
        spread,
        ranges,
    } = expected;
    let point = &prediction.point;
    let elements: Vec<Value> = prediction
        .elements
        .iter()
        .map(|(id, element)| {
            json!({
                "id": id,
                "permeate_flow_l_h": element.permeate_flow_l_h,
                "feed_flow_l_h": element.feed_flow_l_h,
                "flux_l_m2_h": element.flux_l_m2_h,
                "polarisation": element.polarisation,
                "permeate_tds_mg_l": element.permeate_tds_mg_l,
                "feed_pressure_kpa": element.feed_pressure_kpa,
                "concentrate_pressure_kpa": element.concentrate_pressure_kpa,
            })
        })
        .collect();
    let ions: Map<String, Value> = prediction
        .solutes
        .iter()
        .map(|solute| {
            let both = json!({
                "permeate_mg_l": solute.permeate_mg_l,
                "concentrate_mg_l": solute.concentrate_mg_l,
            });
            (solute.solute.name().to_owned(), both)
        })
        .collect();
    let saturation: Map<String, Value> = Mineral::ALL
        .into_iter()
        .zip(prediction.saturation_at_wall)
        .map(|(mineral, si)| (mineral.name().to_owned(), json!(si)))
        .collect();
    let pressures: Map<String, Value> = prediction
        .pressure_after_kpa
        .iter()
        .map(|(id, kpa)| (id.clone(), json!(kpa)))
        .collect();
    let resins: Vec<Value> = prediction
        .resins
        .iter()
        .map(|resin| {
            json!({
                "id": resin.id,
                "cations_eq_l": resin.cations_eq_l,
                "anions_eq_l": resin.anions_eq_l,
                "co2_eq_l": resin.co2_eq_l,
                "lasts_l": resin.lasts_l,
            })
        })
        .collect();
    let mut fields = Map::new();
    let mut put = |name: &str, value: Value| fields.insert(name.to_owned(), value);
    put("permeate_flow_l_h", json!(point.permeate_flow_l_h));
    put(
        "permeate_flow_l_h_sd",
        json!(point.permeate_flow_l_h * spread.permeate_flow),
    );
    put("concentrate_flow_l_h", json!(point.concentrate_flow_l_h));
    put("feed_flow_l_h", json!(point.feed_flow_l_h));
    put("recovery", json!(point.recovery));
    put("membrane_pressure_kpa", json!(point.membrane_pressure_kpa));
    put("concentrate_pressure_kpa", json!(point.concentrate_pressure_kpa));
    put("permeate_pressure_kpa", json!(point.permeate_pressure_kpa));
    put("permeate_tds_mg_l", json!(point.permeate_tds_mg_l));
    put(
        "permeate_conductivity_us_cm",
        json!(prediction.permeate_conductivity_us_cm),
    );
    put("permeate_ph", json!(prediction.permeate_ph));
    put("concentrate_tds_mg_l", json!(point.concentrate_tds_mg_l));
    put("salt_passage", json!(point.salt_passage));
    put(
        "salt_passage_sd",
        json!(point.salt_passage * spread.permeate_salt),
    );
    put("net_driving_pressure_kpa", json!(point.net_driving_pressure_kpa));
    put("pressure_after_kpa", Value::Object(pressures));
    put("elements", Value::from(elements));
    put("ions", Value::Object(ions));
    put("saturation_at_wall", Value::Object(saturation));
    put("resins", Value::from(resins));
    put("range", json!(ranges.map(|ranges| range_fields(&ranges))));
    put("assumed", json!(prediction.assumed));
    put("warnings", json!(prediction.warnings));
    fields
}

/// Ranges as data.
fn range_fields(ranges: &Ranges) -> Value {
    let both = |range: Range| json!({"low": range.low, "high": range.high});
    json!({
        "permeate_flow_l_h": both(ranges.permeate_flow_l_h),
        "permeate_tds_mg_l": both(ranges.permeate_tds_mg_l),
        "permeate_conductivity_us_cm": both(ranges.permeate_conductivity_us_cm),
    })
}

/// For a person: a sentence, the day, the unit as it stands, what to know.
fn text(request: &Request, expected: &Expected, day: Option<&Cycle>) -> String {
    let prediction = &expected.prediction;
    let mut text = wrapped(&judgement::sentence(request, expected), "");
    if let Some(day) = day {
        text.push('\n');
        text.push_str(&wrapped(&day.sentence(), ""));
    }
    text.push('\n');
    text.push_str(&drawing::unit(request, prediction));
    let mut notes = String::new();
    for resin in &prediction.resins {
        let lasts = resin.lasts_l.map_or_else(String::new, |litres| {
            // To two digits: no resin's life is better known.
            let litres = quantity::round_significant(litres, 2);
            format!(" lasts about {} L of this permeate", judgement::litres(litres))
        });
        let gas = if resin.anions_eq_l > 0.0 {
            100.0 * resin.co2_eq_l / resin.anions_eq_l
        } else {
            0.0
        };
        let sentence = format!(
            "The mixed bed `{}`{lasts}: carbon dioxide is {gas:.0} % of what its anion part takes up.",
            resin.id
        );
        notes.push_str(&wrapped(&sentence, ""));
    }
    notes.push_str(&remarks(
        &prediction.warnings,
        &request.assumed,
        &prediction.assumed,
    ));
    if !notes.is_empty() {
        text.push('\n');
        text.push_str(&notes);
    }
    text
}

/// Warnings, and what was taken for granted.
fn remarks<'a>(
    warnings: impl IntoIterator<Item = &'a String>,
    assumed: impl IntoIterator<Item = &'a String>,
    by_the_water: impl IntoIterator<Item = &'a String>,
) -> String {
    let mut text = String::new();
    for warning in warnings {
        text.push_str(&wrapped(warning, "Warning: "));
    }
    for sentence in assumed.into_iter().chain(by_the_water) {
        text.push_str(&wrapped(sentence, "Assumed: "));
    }
    text
}

/// Where the picture went.
fn drawn(file: &Path) -> String {
    format!("Drawn: {}\n", file.display())
}
