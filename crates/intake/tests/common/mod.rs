//! The units of the logs in `reference/field-logs`, built by hand from the files beside them.
#![allow(dead_code, reason = "each test file uses a part of it")]

use std::collections::BTreeMap;

use intake::{Log, Options, Target};
use unit::{
    Arrangement, CarbonMedia, CleanDrop, Concentrate, Element, ElementSize, Instruments, Limits, Membranes,
    Need, Permeate, Polish, PolishKind, Rating, Restrictor, RestrictorKind, SedimentMedia, Shutoff, Stage,
    StageKind, StageLimit, Unit,
};

/// L/h in a US gallon a day: 3.785411784/24 (NIST SP 811).
pub(crate) const GPD: f64 = 3.785_411_784 / 24.0;
/// kPa in a psi (NIST SP 811).
pub(crate) const PSI: f64 = 6.894_757_293_168_361;

pub(crate) fn stage(id: &str, kind: StageKind) -> Stage {
    Stage {
        id: id.to_owned(),
        kind,
        clean_drop: Some(CleanDrop {
            pressure_kpa: 1.1 * PSI,
            flow_l_h: 227.1,
        }),
        inlet_valve: false,
        limit: StageLimit::default(),
    }
}

pub(crate) fn sediment(id: &str) -> Stage {
    stage(
        id,
        StageKind::Sediment {
            media: SedimentMedia::Spun,
        },
    )
}

pub(crate) fn carbon(id: &str) -> Stage {
    stage(
        id,
        StageKind::Carbon {
            media: CarbonMedia::Catalytic,
            bed_volume_l: Some(1.4),
            capacity: None,
            rinse_l: Some(40.0),
        },
    )
}

pub(crate) fn pump(id: &str) -> Stage {
    stage(
        id,
        StageKind::Pump {
            open_flow_l_h: 144.0,
            shutoff_kpa: 413.0,
        },
    )
}

pub(crate) fn polish(id: &str, kind: PolishKind) -> Polish {
    Polish {
        id: id.to_owned(),
        kind,
        resin_volume_l: None,
        capacity_eq_l: None,
        age_limit_d: None,
    }
}

/// A unit with sediment and carbon before `count` elements of this rating (gpd).
pub(crate) fn unit_of(count: usize, gpd: f64, restrictor_ml_min: f64) -> Unit {
    Unit {
        id: "test".to_owned(),
        name: "Test".to_owned(),
        commissioned: None,
        time_zone: "UTC".to_owned(),
        inlet_valve: true,
        stages: vec![sediment("sediment"), carbon("carbon")],
        membranes: Membranes {
            temperature_coefficient: None,
            arrangement: Arrangement::Series,
            elements: (1..=count)
                .map(|n| Element {
                    id: format!("membrane-{n}"),
                    size: ElementSize::S2012,
                    area_m2: None,
                    rated: Rating {
                        flow_l_h: gpd * GPD,
                        rejection: 0.97,
                        pressure_kpa: 65.0 * PSI,
                        temperature_c: 25.0,
                        tds_mg_l: 500.0,
                        recovery: 0.15,
                    },
                })
                .collect(),
        },
        concentrate: Concentrate {
            restrictor: Restrictor {
                flow_l_h: restrictor_ml_min * 0.06,
                at_kpa: 60.0 * PSI,
                kind: RestrictorKind::Capillary,
                exponent: None,
            },
            flush_valve: true,
        },
        permeate: Permeate {
            check_valve: true,
            shutoff: Shutoff::Float,
            tank: None,
            lift_m: 0.0,
            polish: Vec::new(),
        },
        need: Need::default(),
        use_permeate_l_d: None,
        instruments: Instruments::default(),
        limits: Limits {
            saturation: BTreeMap::new(),
            ..Limits::default()
        },
    }
}

pub(crate) fn potting_shed() -> Unit {
    unit_of(2, 180.0, 900.0)
}

pub(crate) fn weir_cafe() -> Unit {
    unit_of(1, 350.0, 1400.0)
}

pub(crate) fn salt_barn() -> Unit {
    unit_of(4, 100.0, 2400.0)
}

/// Reads a text with a unit, or says why it cannot be read.
#[track_caller]
pub(crate) fn read(text: &str, unit: &Unit) -> Log {
    match intake::read(text.as_bytes(), &Options::new(unit)) {
        Ok(log) => log,
        Err(error) => panic!("{error}"),
    }
}

/// Fields by heading, in file order: `(heading, field, unit)`.
pub(crate) fn columns(log: &Log) -> Vec<(String, String, String)> {
    log.columns
        .iter()
        .map(|column| (column.heading.clone(), column.field(), column.unit.clone()))
        .collect()
}

/// The field of a heading; empty where it was not read.
pub(crate) fn field_of(log: &Log, heading: &str) -> String {
    log.columns
        .iter()
        .find(|column| column.heading == heading)
        .map(intake::ReadColumn::field)
        .unwrap_or_default()
}

pub(crate) fn name(target: &Target) -> String {
    target.name()
}
