//! What the equations need of a unit, its parameters and its conditions; each fault by its field.

use crate::accepted::Accepted;
use crate::differentiate::MOST_STAGES;
use crate::error::PredictError;
use crate::model::{Model, OsmoticLaw, Setting};
use crate::parameters::{Parameter, Parameters};
use crate::plan::{StageKind, Unit};

fn fault(field: String, read: f64, accepted: Accepted) -> PredictError {
    PredictError::Input {
        field,
        read,
        accepted,
    }
}

/// What the equations need of a unit.
pub(crate) fn check_unit(unit: &Unit) -> Result<(), PredictError> {
    let positive = |x: f64, most: f64| x > 0.0 && x <= most;
    let elements = &unit.membranes.elements;
    if elements.is_empty() {
        return Err(PredictError::NoElements);
    }
    if elements.len() > 8 {
        return Err(fault(
            "unit.membranes.elements".to_owned(),
            elements.len() as f64,
            Accepted::Elements,
        ));
    }
    for (i, element) in elements.iter().enumerate() {
        if !positive(element.area_m2(), 1e3) {
            return Err(fault(
                format!("unit.membranes.elements[{i}].area"),
                element.area_m2(),
                Accepted::Area,
            ));
        }
    }
    if unit.stages.len() > MOST_STAGES {
        return Err(fault(
            "unit.stages".to_owned(),
            unit.stages.len() as f64,
            Accepted::Stages,
        ));
    }
    for (i, stage) in unit.stages.iter().enumerate() {
        let field = |name: &str| format!("unit.stages[{i}].{name}");
        match stage.kind {
            StageKind::Pump {
                open_flow_l_h,
                shutoff_kpa,
            } => {
                if !positive(open_flow_l_h, 1e6) {
                    return Err(fault(field("open_flow"), open_flow_l_h, Accepted::Flow));
                }
                if !(0.0..=1e5).contains(&shutoff_kpa) {
                    return Err(fault(field("shutoff_pressure"), shutoff_kpa, Accepted::Pressure));
                }
            }
            StageKind::Regulator { set_kpa } if !positive(set_kpa, 1e5) => {
                return Err(fault(
                    field("set_pressure"),
                    set_kpa,
                    Accepted::PressureAboveNothing,
                ));
            }
            _ => {}
        }
        if let Some(drop) = stage.clean_drop {
            if !(0.0..=1e5).contains(&drop.pressure_kpa) {
                return Err(fault(
                    field("clean_drop.pressure"),
                    drop.pressure_kpa,
                    Accepted::Pressure,
                ));
            }
            if !positive(drop.flow_l_h, 1e6) {
                return Err(fault(field("clean_drop.flow"), drop.flow_l_h, Accepted::Flow));
            }
        }
    }
    let restrictor = &unit.concentrate.restrictor;
    if !positive(restrictor.flow_l_h, 1e6) {
        return Err(fault(
            "unit.concentrate.restrictor.flow".to_owned(),
            restrictor.flow_l_h,
            Accepted::Flow,
        ));
    }
    if !positive(restrictor.at_kpa, 1e5) {
        return Err(fault(
            "unit.concentrate.restrictor.at".to_owned(),
            restrictor.at_kpa,
            Accepted::PressureAboveNothing,
        ));
    }
    if !(-100.0..=100.0).contains(&unit.permeate.lift_m) {
        return Err(fault(
            "unit.permeate.lift".to_owned(),
            unit.permeate.lift_m,
            Accepted::Lift,
        ));
    }
    Ok(())
}

/// What the equations need of the conditions.
pub(crate) fn check_setting(setting: &Setting) -> Result<(), PredictError> {
    if !(0.0..=60.0).contains(&setting.temperature_c) {
        return Err(fault(
            "conditions.temperature".to_owned(),
            setting.temperature_c,
            Accepted::Temperature,
        ));
    }
    if !(0.0..=1e5).contains(&setting.inlet_pressure_kpa) {
        return Err(fault(
            "conditions.inlet_pressure".to_owned(),
            setting.inlet_pressure_kpa,
            Accepted::Pressure,
        ));
    }
    if !(-100.0..=1e5).contains(&setting.permeate_pressure_kpa) {
        return Err(fault(
            "conditions.permeate_pressure".to_owned(),
            setting.permeate_pressure_kpa,
            Accepted::PermeatePressure,
        ));
    }
    if !(setting.feed_mg_l > 0.0 && setting.feed_mg_l <= 5e4) {
        return Err(fault(
            "water.tds".to_owned(),
            setting.feed_mg_l,
            Accepted::Concentration,
        ));
    }
    if let OsmoticLaw::Proportional(ratio) = setting.osmotic
        && !(0.0..=1.0).contains(&ratio)
    {
        return Err(fault(
            "osmotic pressure per mg/L".to_owned(),
            ratio,
            Accepted::OsmoticPressure,
        ));
    }
    Ok(())
}

fn wrong(field: String, read: f64, accepted: Accepted) -> Result<(), PredictError> {
    Err(fault(field, read, accepted))
}

/// What the equations need of a unit's parameters.
pub(crate) fn check_parameters(model: &Model, parameters: &Parameters) -> Result<(), PredictError> {
    if parameters.layout != model.parameters.layout {
        return wrong(
            "parameters".to_owned(),
            parameters.values.len() as f64,
            Accepted::OwnParameters,
        );
    }
    let of_unit = parameters.of_unit();
    if !(0.9..=1.2).contains(&of_unit.coefficient) {
        return wrong(
            "unit.membranes.temperature_coefficient".to_owned(),
            of_unit.coefficient,
            Accepted::TemperatureCoefficient,
        );
    }
    if !(0.05..=2.0).contains(&of_unit.exponent) {
        return wrong(
            "unit.concentrate.restrictor.exponent".to_owned(),
            of_unit.exponent,
            Accepted::Exponent,
        );
    }
    for i in 0..model.elements.len() {
        let [_, _, _, bypass, leak] = parameters.of_element(i);
        if !(0.0..=0.99).contains(&bypass) {
            return wrong(format!("bypass of element {i}"), bypass, Accepted::Bypass);
        }
        if !(0.0..=1e3).contains(&leak) {
            return wrong(format!("leak of element {i}"), leak, Accepted::Leak);
        }
    }
    for (i, value) in parameters.values.iter().enumerate() {
        if !(value.is_finite() && value.abs() <= 1e3) || (i != 0 && value.abs() > 40.0 && !is_leak(model, i))
        {
            return wrong(format!("parameter {i}"), *value, Accepted::Parameter);
        }
    }
    Ok(())
}

fn is_leak(model: &Model, index: usize) -> bool {
    (0..model.elements.len()).any(|i| model.parameters.layout.index(Parameter::ElementLeak(i)) == Some(index))
}
