//! Directions of change under each cause, against published trouble-shooting signs.
#![allow(clippy::unwrap_used, reason = "a test stops at the first fault")]

use unit::{
    Arrangement, CleanDrop, Concentrate, Element, ElementSize, Instruments, Limits, Membranes, Model, Need,
    Permeate, Rating, Restrictor, RestrictorKind, SedimentMedia, Segments, Shutoff, Stage, StageKind,
    StageLimit, Unit,
};
use wear::salt::Salt;

use crate::cause::Cause;
use crate::hypothesis::{Hypothesis, Scale, hypotheses};
use crate::observable::{Observable, Readings};
use crate::predict::Predictor;
use crate::state::{Layout, Place, Unknown, as_rated};
use crate::weigh::{Scales, ln_evidence, shifted, weigh};

/// An invented unit: sediment, carbon, pump, two long elements in series.
pub(crate) fn unit() -> Unit {
    let stage = |id: &str, kind: StageKind, drop: bool| Stage {
        id: id.to_owned(),
        kind,
        clean_drop: drop.then_some(CleanDrop {
            pressure_kpa: 10.0,
            flow_l_h: 500.0,
        }),
        inlet_valve: false,
        limit: StageLimit::default(),
    };
    let element = |id: &str| Element {
        id: id.to_owned(),
        size: ElementSize::S2540,
        area_m2: None,
        rated: Rating {
            flow_l_h: 110.0,
            rejection: 0.98,
            pressure_kpa: 1000.0,
            temperature_c: 25.0,
            tds_mg_l: 1000.0,
            recovery: 0.15,
        },
    };
    Unit {
        id: "signs".to_owned(),
        name: String::new(),
        commissioned: None,
        time_zone: "UTC".to_owned(),
        inlet_valve: true,
        stages: vec![
            stage(
                "sediment",
                StageKind::Sediment {
                    media: SedimentMedia::Spun,
                },
                true,
            ),
            stage(
                "carbon",
                StageKind::Carbon {
                    media: unit::CarbonMedia::Activated,
                    bed_volume_l: None,
                    capacity: None,
                    rinse_l: None,
                },
                true,
            ),
            stage(
                "booster",
                StageKind::Pump {
                    open_flow_l_h: 1500.0,
                    shutoff_kpa: 900.0,
                },
                false,
            ),
        ],
        membranes: Membranes {
            temperature_coefficient: None,
            arrangement: Arrangement::Series,
            elements: vec![element("membrane-1"), element("membrane-2")],
        },
        concentrate: Concentrate {
            restrictor: Restrictor {
                flow_l_h: 250.0,
                at_kpa: 700.0,
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
        limits: Limits::default(),
    }
}

/// Change of each observable from sound to the middle severity: ln for flows and conductivities, kPa for pressures.
struct Change {
    permeate: f64,
    concentrate: f64,
    conductivity: f64,
    membrane: f64,
    channel_drop: f64,
    stages_drop: f64,
}

fn change(cause: Cause, part: Option<&str>) -> Change {
    let unit = unit();
    let model = Model::new(&unit, Segments::FAST).unwrap();
    let layout = Layout::new(&unit, &model);
    let salt = Salt::of(None);
    let mut predictor = Predictor::new(&model, &layout, &salt);
    let mut prior = as_rated(&unit, &model, &layout, (400.0, 0.1));
    prior.mean[layout.index(Unknown::Temperature).unwrap()] = 15.0;
    let none = Readings::of(&reading::Reading::new(jiff::Timestamp::UNIX_EPOCH), &unit, &salt);
    let (feed_l_h, membrane_kpa) = predictor.feed_flow_and_pressure(&prior.mean).unwrap();
    let scale = Scale {
        inlet_kpa: 300.0,
        membrane_kpa,
        feed_l_h,
    };
    let observables = [
        Observable::PermeateFlow,
        Observable::ConcentrateFlow,
        Observable::PermeateConductivity,
        Observable::Pressure(Place::Membrane),
        Observable::Pressure(Place::Concentrate),
        Observable::Pressure(Place::Inlet),
        Observable::Pressure(Place::After(1)),
    ];
    let found: Hypothesis = hypotheses(&unit, &none, &scale)
        .into_iter()
        .find(|one| one.cause == cause && (part.is_none() || one.part.as_deref() == part))
        .unwrap();
    let node = &found.nodes[found.nodes.len() / 2];
    let sound = predictor.linear(&prior.mean, &[], &observables).unwrap().value;
    let state = shifted(&predictor, &prior, node);
    let ill = predictor
        .linear(&state.mean, &node.fixed, &observables)
        .unwrap()
        .value;
    let by = |i: usize| ill[i] - sound[i];
    Change {
        permeate: by(0),
        concentrate: by(1),
        conductivity: by(2),
        membrane: by(3),
        channel_drop: by(3) - by(4),
        stages_drop: by(5) - by(6),
    }
}

/// ln of the evidence of one permeate flow, ln L/h, or of its conductivity, ln uS/cm, under a hypothesis.
fn integral(hypothesis: &Hypothesis, observable: Observable, from: f64, to: f64) -> f64 {
    const STEPS: usize = 70;
    let unit = unit();
    let model = Model::new(&unit, Segments::FAST).unwrap();
    let layout = Layout::new(&unit, &model);
    let salt = Salt::of(None);
    let mut predictor = Predictor::new(&model, &layout, &salt);
    let mut prior = as_rated(&unit, &model, &layout, (400.0, 0.1));
    // Conditions as somebody has read them: the density of what is left is that of the unit and of the severity.
    for (unknown, mean, sd) in [
        (Unknown::Temperature, 15.0, 1.0),
        (Unknown::InletPressure, 300.0, 10.0),
    ] {
        let i = layout.index(unknown).unwrap();
        prior.mean[i] = mean;
        prior.covariance_mut()[(i, i)] = sd * sd;
    }
    let width = (to - from) / STEPS as f64;
    let mut sum = 0.0;
    for i in 0..STEPS {
        let value = from + width * (i as f64 + 0.5);
        let read = Readings {
            observables: vec![observable],
            values: vec![value].into(),
            noise: vec![observable.noise(&unit.instruments, value.exp(), 0.0)].into(),
        };
        let scales = Scales {
            prior: &prior,
            read: &read,
        };
        let mut best = f64::NEG_INFINITY;
        sum += width * ln_evidence(&weigh(&mut predictor, hypothesis, &scales, &mut best)).exp();
    }
    sum
}

#[test]
fn val_likelihood_of_every_cause_integrates_to_one() {
    // By the definition of a density, over all that one instrument may show. The unit's model is a straight line only near
    // where it is taken: 0.3 % of the flow's. A meter's error is taken at what it shows, and grows towards pure water, where
    // the density is stretched by it: 15 % of the conductivity's, the most where the feed has lost its salt.
    let unit = unit();
    let read = Readings::of(
        &reading::Reading::new(jiff::Timestamp::UNIX_EPOCH),
        &unit,
        &Salt::of(None),
    );
    let scale = Scale {
        inlet_kpa: 300.0,
        membrane_kpa: 1000.0,
        feed_l_h: 500.0,
    };
    for hypothesis in hypotheses(&unit, &read, &scale) {
        for (observable, from, to, tolerance) in [
            (Observable::PermeateFlow, -1.0, 8.0, 0.003),
            (Observable::PermeateConductivity, -2.0, 9.0, 0.15),
        ] {
            let sum = integral(&hypothesis, observable, from, to);
            assert!(
                (sum - 1.0).abs() < tolerance,
                "{:?} {observable:?} {sum}",
                hypothesis.cause
            );
        }
    }
}

#[test]
fn val_directions_of_change_are_those_of_published_tables() {
    // `reference/signs-of-faults.json` names the document of each row, or says that there is none.
    let file: serde_json::Value =
        serde_json::from_str(include_str!("../../../reference/signs-of-faults.json")).unwrap();
    let (mut published, mut derived, mut told) = (0, 0, 0);
    for sign in file["signs"].as_array().unwrap() {
        let text = |name: &str| sign[name].as_str().unwrap();
        let cause = Cause::from_name(text("cause")).unwrap();
        let found = change(cause, None);
        let by = match text("what") {
            "permeate_flow" => found.permeate,
            "concentrate_flow" => found.concentrate,
            "permeate_conductivity" => found.conductivity,
            "membrane_pressure" => found.membrane,
            "channel_drop" => found.channel_drop,
            "stages_drop" => found.stages_drop,
            other => panic!("{other}"),
        };
        // A hundredth of a flow or a conductivity, or of a kPa, is beyond the model's own rounding; a tenth is what a bucket
        // or a meter may just show.
        let holds = match text("way") {
            "up" => by > 0.01,
            "down" => by < -0.01,
            "little" => by.abs() < 0.1,
            other => panic!("{other}"),
        };
        assert!(holds, "{sign}: {by}");
        assert_eq!(
            text("says").is_empty(),
            text("source") == "common practice, no source",
            "{sign}"
        );
        // What follows from an equation is no document's word on the cause, and is counted apart.
        let follows = sign["derived"].as_bool().unwrap_or(false);
        told += 1;
        derived += usize::from(follows);
        published += usize::from(!follows && !text("says").is_empty());
    }
    assert!(
        told >= 31 && published >= 18 && derived >= 12,
        "{published} {derived} {told}"
    );
}

#[test]
fn val_signs_of_common_practice() {
    // All of these: common practice, no source; they are the contract's own table (section 6).
    // Scale lets more salt pass than dirt does: raw conductivity rises with dirt only as the flow falls.
    let (scaled, fouled) = (
        change(Cause::MembraneScaled, None),
        change(Cause::MembraneFouled, None),
    );
    assert!(fouled.conductivity > 0.0 && fouled.conductivity < scaled.conductivity);
    // Oxidation is told by its salt; the water is a little more.
    let oxidised = change(Cause::MembraneOxidised, None);
    assert!(oxidised.permeate < 0.3 && oxidised.conductivity > 0.5);
    // A loaded cartridge takes its pressure from the membranes.
    for cause in [Cause::SedimentBlocked, Cause::CarbonBlocked] {
        let found = change(cause, None);
        assert!(found.stages_drop > 20.0 && found.membrane < -20.0);
    }
    // Less drop gives the tail more pressure, less cross-flow more polarisation: at this salt they nearly cancel, and the
    // flow moves by less than the bucket shows.
    let bypass = change(Cause::BrineSealBypass, None);
    assert!(bypass.permeate.abs() < 0.05, "{}", bypass.permeate);
    let low = change(Cause::InletPressureLow, None);
    assert!(low.stages_drop <= 0.0);
}
