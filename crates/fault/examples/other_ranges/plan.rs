//! A unit drawn at random: sizes, pump, stages, tank. Simulated.

use unit::{
    Arrangement, CarbonMedia, CleanDrop, Concentrate, Element, ElementSize, Instruments, Limits, Membranes,
    Need, Permeate, Rating, Restrictor, RestrictorKind, SedimentMedia, Shutoff, Stage, StageKind, StageLimit,
    Tank, TankKind, Unit,
};

use crate::dice::Dice;

fn stage(id: &str, kind: StageKind, drop: Option<CleanDrop>) -> Stage {
    Stage {
        id: id.to_owned(),
        kind,
        clean_drop: drop,
        inlet_valve: false,
        limit: StageLimit::default(),
    }
}

/// A unit that makes sense: a restrictor for a recovery of 12 to 55 %, a pump that can do it.
pub fn unit(dice: &mut Dice, feed_mg_l: f64) -> Unit {
    let size = dice.of(&ElementSize::ALL);
    let n = if size == ElementSize::S4040 {
        dice.of(&[1, 2])
    } else {
        dice.of(&[1, 1, 2, 2, 3, 4])
    };
    let pump = feed_mg_l > 1200.0 || dice.chance(0.6);
    let at = if feed_mg_l > 1200.0 {
        1000.0
    } else {
        dice.of(&[345.0, 414.0, 689.0])
    };
    let rated = Rating {
        flow_l_h: size.typical_area_m2() * dice.within(16.0, 34.0),
        rejection: dice.within(0.94, 0.99),
        pressure_kpa: at,
        temperature_c: 25.0,
        tds_mg_l: dice.of(&[250.0, 500.0, 1000.0]),
        recovery: dice.of(&[0.15, 0.15, 0.2]),
    };
    let permeate = rated.flow_l_h * f64::from(n);
    let recovery = dice.within(0.12, 0.55);
    let concentrate = permeate * (1.0 - recovery) / recovery;
    let feed = permeate + concentrate;
    let drop = |dice: &mut Dice| {
        Some(CleanDrop {
            pressure_kpa: dice.log_within(1.0, 20.0),
            flow_l_h: feed,
        })
    };
    let mut stages = Vec::new();
    if dice.chance(0.9) {
        let media = dice.of(&[SedimentMedia::Spun, SedimentMedia::Pleated]);
        let drop = drop(dice);
        stages.push(stage("sediment", StageKind::Sediment { media }, drop));
    }
    if dice.chance(0.85) {
        let media = dice.of(&[CarbonMedia::Activated, CarbonMedia::Catalytic]);
        let carbon = StageKind::Carbon {
            media,
            bed_volume_l: None,
            capacity: None,
            rinse_l: None,
        };
        let drop = drop(dice);
        stages.push(stage("carbon", carbon, drop));
    }
    if pump {
        let booster = StageKind::Pump {
            open_flow_l_h: feed * dice.within(1.4, 4.0),
            shutoff_kpa: at * dice.within(0.7, 1.4),
        };
        stages.push(stage("booster", booster, None));
    }
    let element = |i: i32| Element {
        id: format!("membrane-{}", i + 1),
        size,
        area_m2: None,
        rated,
    };
    Unit {
        id: "drawn".to_owned(),
        name: String::new(),
        commissioned: None,
        time_zone: "UTC".to_owned(),
        inlet_valve: true,
        stages,
        membranes: Membranes {
            temperature_coefficient: None,
            arrangement: if dice.chance(0.75) {
                Arrangement::Series
            } else {
                Arrangement::Parallel
            },
            elements: (0..n).map(element).collect(),
        },
        concentrate: Concentrate {
            restrictor: Restrictor {
                flow_l_h: concentrate,
                at_kpa: at,
                kind: dice.of(&[RestrictorKind::Capillary, RestrictorKind::Orifice]),
                exponent: None,
            },
            flush_valve: dice.chance(0.5),
        },
        permeate: Permeate {
            check_valve: true,
            shutoff: Shutoff::Float,
            tank: Some(Tank {
                kind: if dice.chance(0.15) {
                    TankKind::Pressurised { precharge_kpa: 50.0 }
                } else {
                    TankKind::Open
                },
                volume_l: Some(400.0),
                valve: false,
            }),
            lift_m: if dice.chance(0.3) {
                dice.within(0.5, 3.0)
            } else {
                0.0
            },
            polish: Vec::new(),
        },
        need: Need::default(),
        use_permeate_l_d: None,
        instruments: Instruments::default(),
        limits: Limits::default(),
    }
}
