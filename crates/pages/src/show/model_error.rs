//! Why the model of a unit has no answer, in the reader's language.

use quantity::Kind;
use unit::{PredictError, Unit};

use super::{water_said, words};
use crate::frame::ask::Ask;

/// Why there is none.
pub(crate) fn words(ask: &Ask<'_>, unit: Option<&Unit>, error: &PredictError) -> String {
    let say = ask.say;
    let pressure = |kpa: f64| ask.measures.show(Kind::Pressure, kpa);
    let named = |id: &str| unit.map_or_else(|| id.to_owned(), |unit| words::part(ask, unit, id));
    match error {
        PredictError::Input {
            field,
            read,
            accepted,
        } => {
            let read = say.number(&read.to_string());
            let values = [
                ("field", field.as_str().into()),
                ("read", read.into()),
                ("accepted", self::accepted(ask, *accepted).into()),
            ];
            say.with("model-input", &values)
        }
        PredictError::NoElements => say.say("model-no-membranes"),
        PredictError::UnknownPart { id, known, .. } => {
            let values = [("id", id.as_str().into()), ("known", known.as_str().into())];
            say.with("model-unknown-part", &values)
        }
        PredictError::Rating {
            flow_l_h,
            rejection,
            pressure_kpa,
            tds_mg_l,
            recovery,
            osmotic_kpa,
            most_l_h,
            ..
        } => {
            let flow = |l_h: f64| ask.measures.show(Kind::Flow, l_h);
            let rejection = say.number(&format!("{:.1}", 100.0 * rejection));
            let values = [
                ("flow", flow(*flow_l_h).into()),
                ("most", flow(most_l_h.max(0.0)).into()),
                ("pressure", pressure(*pressure_kpa).into()),
                ("salt", ask.measures.show(Kind::Concentration, *tds_mg_l).into()),
                ("rejection", rejection.into()),
                ("recovery", say.percent(*recovery).into()),
                ("osmotic", pressure(*osmotic_kpa).into()),
            ];
            say.with("plan-wrong-rating", &values)
        }
        PredictError::NoFlow {
            inlet_pressure_kpa,
            membrane_pressure_kpa,
            pump,
        } => {
            let key = if *pump {
                "model-no-flow-pump"
            } else {
                "model-no-flow"
            };
            let values = [
                ("membranes", pressure(*membrane_pressure_kpa).into()),
                ("inlet", pressure(*inlet_pressure_kpa).into()),
            ];
            say.with(key, &values)
        }
        PredictError::NoPermeate {
            membrane_pressure_kpa,
            permeate_pressure_kpa,
            osmotic_kpa,
            needed_kpa,
            pump,
        } => {
            let key = if *pump {
                "model-no-permeate-pump"
            } else {
                "model-no-permeate"
            };
            let values = [
                ("needed", pressure(*needed_kpa).into()),
                ("osmotic", pressure(*osmotic_kpa).into()),
                ("permeate", pressure(*permeate_pressure_kpa).into()),
                ("membranes", pressure(*membrane_pressure_kpa).into()),
            ];
            say.with(key, &values)
        }
        PredictError::ShutOff {
            permeate_pressure_kpa,
            feed_pressure_kpa,
        } => {
            let values = [
                ("permeate", pressure(*permeate_pressure_kpa).into()),
                ("feed", pressure(*feed_pressure_kpa).into()),
            ];
            say.with("model-shut-off", &values)
        }
        PredictError::RunsDry { element, recovery } => {
            let values = [
                ("element", named(element).into()),
                ("percent", say.percent(*recovery).into()),
            ];
            say.with("model-runs-dry", &values)
        }
        PredictError::Water(error) => {
            let why = water_said::wrong(ask, error);
            say.with("model-water", &[("why", why.into())])
        }
        PredictError::Unsolved { what } => say.with("model-unsolved", &[("what", (*what).into())]),
        // A newer kind of error: that there is none is said.
        _ => say.say("drawing-no-model"),
    }
}

/// What the equations accept.
pub(super) fn accepted(ask: &Ask<'_>, accepted: unit::Accepted) -> String {
    ask.say.say(&format!("model-accepts-{}", accepted.name()))
}
