//! Units for the tests: a builder, and random ones.
#![allow(dead_code, reason = "each test file uses a part of it")]

use std::collections::BTreeMap;

use proptest::prelude::*;
use unit::{
    Arrangement, CarbonMedia, Concentrate, Element, ElementSize, Instruments, Limits, Membranes, Need,
    Permeate, Polish, PolishKind, Rating, Restrictor, RestrictorKind, SedimentMedia, Shutoff, Stage,
    StageKind, StageLimit, Tank, TankKind, Unit,
};

use service::Work;

pub(crate) fn sediment() -> StageKind {
    StageKind::Sediment {
        media: SedimentMedia::Spun,
    }
}

pub(crate) fn pleated() -> StageKind {
    StageKind::Sediment {
        media: SedimentMedia::Pleated,
    }
}

pub(crate) fn carbon() -> StageKind {
    StageKind::Carbon {
        media: CarbonMedia::Catalytic,
        bed_volume_l: Some(1.4),
        capacity: None,
        rinse_l: Some(40.0),
    }
}

pub(crate) fn pump() -> StageKind {
    StageKind::Pump {
        open_flow_l_h: 144.0,
        shutoff_kpa: 414.0,
    }
}

pub(crate) fn regulator() -> StageKind {
    StageKind::Regulator { set_kpa: 400.0 }
}

pub(crate) fn softener() -> StageKind {
    StageKind::Softener {
        capacity_eq: None,
        hardness_out_mg_l_caco3: None,
    }
}

pub(crate) fn stage(id: &str, kind: StageKind) -> Stage {
    Stage {
        id: id.to_owned(),
        kind,
        clean_drop: None,
        inlet_valve: false,
        limit: StageLimit::default(),
    }
}

pub(crate) fn element(id: &str, size: ElementSize) -> Element {
    Element {
        id: id.to_owned(),
        size,
        area_m2: None,
        rated: Rating {
            flow_l_h: 28.0,
            rejection: 0.97,
            pressure_kpa: 448.0,
            temperature_c: 25.0,
            tds_mg_l: 500.0,
            recovery: 0.15,
        },
    }
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

pub(crate) fn open_tank() -> Tank {
    Tank {
        kind: TankKind::Open,
        volume_l: Some(400.0),
        valve: false,
    }
}

pub(crate) fn pressurised_tank(valve: bool) -> Tank {
    Tank {
        kind: TankKind::Pressurised { precharge_kpa: 48.0 },
        volume_l: Some(12.0),
        valve,
    }
}

/// Sediment, carbon, pump, two 2012 elements in series, flush valve, float in an open tank.
pub(crate) fn glasshouse() -> Unit {
    Unit {
        id: "north-house".to_owned(),
        name: "North glasshouse".to_owned(),
        commissioned: None,
        time_zone: "UTC".to_owned(),
        inlet_valve: true,
        stages: vec![
            stage("sediment", sediment()),
            stage("carbon", carbon()),
            stage("booster", pump()),
        ],
        membranes: Membranes {
            temperature_coefficient: None,
            arrangement: Arrangement::Series,
            elements: vec![
                element("membrane-1", ElementSize::S2012),
                element("membrane-2", ElementSize::S2012),
            ],
        },
        concentrate: Concentrate {
            restrictor: Restrictor {
                flow_l_h: 54.0,
                at_kpa: 414.0,
                kind: RestrictorKind::Capillary,
                exponent: None,
            },
            flush_valve: true,
        },
        permeate: Permeate {
            check_valve: true,
            shutoff: Shutoff::Float,
            tank: Some(open_tank()),
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

/// Sediment, carbon, one 1812 element, pressurised tank, pressure shut-off, taste carbon; no flush valve.
pub(crate) fn cafe() -> Unit {
    let mut unit = glasshouse();
    "cafe".clone_into(&mut unit.id);
    unit.stages = vec![stage("sediment", sediment()), stage("carbon", carbon())];
    unit.membranes.elements = vec![element("membrane", ElementSize::S1812)];
    unit.concentrate.flush_valve = false;
    unit.permeate.shutoff = Shutoff::Pressure;
    unit.permeate.tank = Some(pressurised_tank(true));
    unit.permeate.polish = vec![polish("taste", PolishKind::Carbon)];
    unit
}

/// The work of these words: `change:ID`, `wash:ID`, `inspect:ID`, or a work of its own.
pub(crate) fn work(words: &[&str]) -> Vec<Work> {
    words
        .iter()
        .map(|word| {
            let (name, part) = word
                .split_once(':')
                .map_or((*word, None), |(name, part)| (name, Some(part)));
            Work::from_name(name, part).unwrap_or_else(|| panic!("no work {word}"))
        })
        .collect()
}

fn any_stage_kind() -> impl Strategy<Value = StageKind> {
    prop_oneof![
        3 => Just(sediment()),
        1 => Just(pleated()),
        4 => Just(carbon()),
        2 => Just(pump()),
        1 => Just(softener()),
        1 => Just(StageKind::Antiscalant),
        1 => Just(regulator()),
        1 => Just(StageKind::Other),
    ]
}

fn any_polish_kind() -> impl Strategy<Value = PolishKind> {
    prop_oneof![
        Just(PolishKind::MixedBed),
        Just(PolishKind::Carbon),
        Just(PolishKind::Remineraliser),
        Just(PolishKind::Uv)
    ]
}

fn any_tank() -> impl Strategy<Value = Option<Tank>> {
    prop_oneof![
        3 => any::<bool>().prop_map(|valve| Some(Tank { valve, ..open_tank() })),
        4 => any::<bool>().prop_map(|valve| Some(pressurised_tank(valve))),
        1 => Just(None),
    ]
}

/// Any unit with up to these numbers of stages, elements and polishing items (from simulated plumbing).
pub(crate) fn any_unit(stages: usize, elements: usize, items: usize) -> impl Strategy<Value = Unit> {
    let sides = (
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        prop::bool::weighted(0.7),
    );
    let shutoff = prop_oneof![Just(Shutoff::Float), Just(Shutoff::Pressure), Just(Shutoff::None)];
    (
        prop::collection::vec((any_stage_kind(), prop::bool::weighted(0.25)), 0..=stages),
        1..=elements,
        prop::collection::vec(any_polish_kind(), 0..=items),
        sides,
        shutoff,
        any_tank(),
    )
        .prop_map(
            |(kinds, elements, items, (parallel, flush, check, inlet), shutoff, tank)| {
                let mut unit = glasshouse();
                "any".clone_into(&mut unit.id);
                unit.inlet_valve = inlet;
                unit.stages = kinds
                    .into_iter()
                    .enumerate()
                    .map(|(index, (kind, valve))| Stage {
                        inlet_valve: valve,
                        ..stage(&format!("stage-{}", index + 1), kind)
                    })
                    .collect();
                unit.membranes.arrangement = if parallel {
                    Arrangement::Parallel
                } else {
                    Arrangement::Series
                };
                unit.membranes.elements = (1..=elements)
                    .map(|n| element(&format!("membrane-{n}"), ElementSize::S2012))
                    .collect();
                unit.concentrate.flush_valve = flush;
                unit.permeate.check_valve = check;
                unit.permeate.shutoff = shutoff;
                unit.permeate.tank = tank;
                unit.permeate.polish = items
                    .into_iter()
                    .enumerate()
                    .map(|(index, kind)| polish(&format!("polish-{}", index + 1), kind))
                    .collect();
                unit
            },
        )
}

/// Ids of the parts that can be worked on.
pub(crate) fn workable(unit: &Unit) -> Vec<String> {
    unit.part_ids()
        .filter(|id| {
            !unit
                .stage(id)
                .is_some_and(|stage| matches!(stage.kind, StageKind::Pump { .. }))
        })
        .map(str::to_owned)
        .collect()
}

/// Any work that this unit can be asked for.
pub(crate) fn any_work(unit: &Unit) -> BoxedStrategy<Vec<Work>> {
    let parts = workable(unit);
    let count = parts.len();
    let some = (
        prop::sample::subsequence(parts, 1..=count.min(4)),
        prop::collection::vec(0..4_u8, 4),
    )
        .prop_map(|(parts, what)| {
            parts
                .into_iter()
                .zip(what)
                .map(|(part, what)| match what {
                    0 => Work::Wash { part },
                    1 => Work::Inspect { part },
                    _ => Work::Change { part },
                })
                .collect::<Vec<_>>()
        });
    let whole = prop::sample::select(vec![
        Work::Sanitise,
        Work::Descale,
        Work::Clean,
        Work::Commission,
        Work::LayUp,
    ])
    .prop_map(|work| vec![work]);
    prop_oneof![4 => some, 1 => whole].boxed()
}

/// Any unit with any work.
pub(crate) fn any_case(stages: usize, elements: usize, items: usize) -> BoxedStrategy<(Unit, Vec<Work>)> {
    any_unit(stages, elements, items)
        .prop_flat_map(|unit| {
            let work = any_work(&unit);
            (Just(unit), work)
        })
        .boxed()
}

/// How many cases a property looks at: `SALTMARK_CASES`, else what the test says for this build.
pub(crate) fn cases(debug: u32, release: u32) -> u32 {
    #[expect(
        clippy::disallowed_methods,
        reason = "a test may be asked for more by its environment"
    )]
    let asked = std::env::var("SALTMARK_CASES")
        .ok()
        .and_then(|text| text.parse().ok());
    asked.unwrap_or(if cfg!(debug_assertions) { debug } else { release })
}
