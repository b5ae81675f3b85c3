//! Any bytes are a log or an error.
#![no_main]

use std::collections::BTreeMap;
use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use unit::{
    Arrangement, CarbonMedia, Concentrate, Element, ElementSize, Instruments, Limits, Membranes, Need, Permeate, Rating,
    Restrictor, RestrictorKind, SedimentMedia, Shutoff, Stage, StageKind, StageLimit, Unit,
};

static UNIT: LazyLock<Unit> = LazyLock::new(|| {
    let stage = |id: &str, kind| Stage {
        id: id.to_owned(),
        kind,
        clean_drop: None,
        inlet_valve: false,
        limit: StageLimit::default(),
    };
    let rated = Rating {
        flow_l_h: 28.0,
        rejection: 0.97,
        pressure_kpa: 448.0,
        temperature_c: 25.0,
        tds_mg_l: 500.0,
        recovery: 0.15,
    };
    let element = |id: &str| Element { id: id.to_owned(), size: ElementSize::S2012, area_m2: None, rated };
    Unit {
        id: "fuzz".to_owned(),
        name: "Fuzz".to_owned(),
        commissioned: None,
        time_zone: "UTC".to_owned(),
        inlet_valve: true,
        stages: vec![
            stage("sediment", StageKind::Sediment { media: SedimentMedia::Spun }),
            stage(
                "carbon",
                StageKind::Carbon { media: CarbonMedia::Catalytic, bed_volume_l: None, capacity: None, rinse_l: None },
            ),
        ],
        membranes: Membranes {
            temperature_coefficient: None,
            arrangement: Arrangement::Series,
            elements: vec![element("membrane-1"), element("membrane-2")],
        },
        concentrate: Concentrate {
            restrictor: Restrictor { flow_l_h: 54.0, at_kpa: 413.0, kind: RestrictorKind::Capillary, exponent: None },
            flush_valve: true,
        },
        permeate: Permeate { check_valve: true, shutoff: Shutoff::Float, tank: None, lift_m: 0.0, polish: Vec::new() },
        need: Need::default(),
        use_permeate_l_d: None,
        instruments: Instruments::default(),
        limits: Limits { saturation: BTreeMap::new(), ..Limits::default() },
    }
});

fuzz_target!(|data: &[u8]| {
    if let Ok(log) = intake::read(data, &intake::Options::new(&UNIT)) {
        for reading in &log.readings {
            for field in reading::Field::ALL {
                assert!(reading.get(*field).is_none_or(f64::is_finite));
            }
        }
    }
});
