//! Random units, from a stream of numbers in 0..1: tame ones that a shop could sell, and wild ones.

use unit::{
    Arrangement, CleanDrop, Element, ElementSize, Rating, Restrictor, RestrictorKind, SedimentMedia, Setting,
    StageKind, State, Unit,
};

/// Numbers in 0..1 from a seed (splitmix64, public domain algorithm by S. Vigna).
pub struct Draw(pub u64);

impl Draw {
    /// The next number.
    pub fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Evenly between the two.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }

    /// Evenly in the logarithm.
    pub fn scale(&mut self, low: f64, high: f64) -> f64 {
        self.between(low.ln(), high.ln()).exp()
    }

    /// True with this chance.
    pub fn chance(&mut self, p: f64) -> bool {
        self.next() < p
    }

    /// A whole number under `n`.
    pub fn below(&mut self, n: usize) -> usize {
        ((self.next() * n as f64) as usize).min(n - 1)
    }
}

/// A unit with its conditions and its state, of the kind that is sold: simulated.
pub fn tame(draw: &mut Draw) -> (Unit, Setting, State) {
    let size = ElementSize::ALL[draw.below(7)];
    let area = size.typical_area_m2();
    let pressure = draw.scale(350.0, 1500.0);
    // 15 to 40 L/(m2 h) at the rating.
    let rated = Rating {
        flow_l_h: area * draw.between(15.0, 40.0),
        rejection: draw.between(0.93, 0.995),
        pressure_kpa: pressure,
        temperature_c: 25.0,
        tds_mg_l: draw.scale(200.0, 2000.0),
        recovery: draw.between(0.08, 0.3),
    };
    let count = 1 + draw.below(4);
    let elements: Vec<Element> = (0..count)
        .map(|i| Element {
            id: format!("membrane-{}", i + 1),
            size,
            area_m2: None,
            rated,
        })
        .collect();
    let arrangement = if draw.chance(0.5) {
        Arrangement::Series
    } else {
        Arrangement::Parallel
    };
    let capacity = rated.flow_l_h * count as f64;
    let recovery = draw.between(0.12, 0.6);
    let restrictor = Restrictor {
        flow_l_h: capacity * (1.0 / recovery - 1.0),
        at_kpa: pressure,
        kind: if draw.chance(0.5) {
            RestrictorKind::Capillary
        } else {
            RestrictorKind::Orifice
        },
        exponent: draw.chance(0.2).then(|| 0.5 + 0.2 * recovery),
    };
    let feed = capacity / recovery;
    let mut stages = vec![super::stage(
        "sediment",
        StageKind::Sediment {
            media: SedimentMedia::Spun,
        },
        Some(CleanDrop {
            pressure_kpa: draw.scale(2.0, 20.0),
            flow_l_h: feed * draw.between(0.7, 2.0),
        }),
    )];
    let inlet = if draw.chance(0.4) {
        stages.push(super::stage(
            "booster",
            StageKind::Pump {
                open_flow_l_h: feed * draw.between(2.0, 4.0),
                shutoff_kpa: pressure,
            },
            None,
        ));
        draw.between(200.0, 400.0)
    } else {
        pressure * draw.between(0.6, 1.2)
    };
    if draw.chance(0.15) {
        stages.push(super::stage(
            "regulator",
            StageKind::Regulator {
                set_kpa: pressure * 0.9,
            },
            None,
        ));
    }
    let mut unit = super::unit(stages, arrangement, elements, restrictor);
    if draw.chance(0.3) {
        unit.membranes.temperature_coefficient = Some(draw.between(1.024, 1.036));
    }
    let mut setting = Setting::new(draw.between(3.0, 30.0), inlet, draw.scale(80.0, 2500.0));
    if draw.chance(0.3) {
        setting.permeate_pressure_kpa = draw.between(5.0, 80.0);
    }
    let mut state = State::default();
    if draw.chance(0.5) {
        for element in &unit.membranes.elements {
            state
                .permeability
                .insert(element.id.clone(), draw.between(0.5, 1.1));
            state
                .salt_permeability
                .insert(element.id.clone(), draw.scale(0.9, 5.0));
            state.drop.insert(element.id.clone(), draw.scale(1.0, 4.0));
        }
        state.drop.insert("sediment".to_owned(), draw.scale(1.0, 4.0));
        state.restrictor = Some(draw.between(0.6, 1.4));
    }
    (unit, setting, state)
}

/// Anything at all: every number may be off by orders of magnitude, and now and then is no number.
pub fn wild(draw: &mut Draw) -> (Unit, Setting, State) {
    let (mut unit, mut setting, mut state) = tame(draw);
    let mut spoil = |draw: &mut Draw, x: &mut f64| {
        if draw.chance(0.35) {
            *x *= draw.scale(1e-3, 1e3);
        } else if draw.chance(0.02) {
            *x = [0.0, -1.0, f64::NAN, f64::INFINITY, 1e300][draw.below(5)];
        }
    };
    for element in &mut unit.membranes.elements {
        let mut area = element.area_m2();
        spoil(draw, &mut area);
        element.area_m2 = Some(area);
        let r = &mut element.rated;
        for x in [&mut r.flow_l_h, &mut r.pressure_kpa, &mut r.tds_mg_l] {
            spoil(draw, x);
        }
        if draw.chance(0.3) {
            r.rejection = draw.between(0.0, 1.0);
            r.recovery = draw.between(0.0, 1.0);
        }
    }
    let r = &mut unit.concentrate.restrictor;
    spoil(draw, &mut r.flow_l_h);
    spoil(draw, &mut r.at_kpa);
    for stage in &mut unit.stages {
        if let Some(drop) = &mut stage.clean_drop {
            spoil(draw, &mut drop.pressure_kpa);
            spoil(draw, &mut drop.flow_l_h);
        }
        match &mut stage.kind {
            StageKind::Pump {
                open_flow_l_h,
                shutoff_kpa,
            } => {
                spoil(draw, open_flow_l_h);
                spoil(draw, shutoff_kpa);
            }
            StageKind::Regulator { set_kpa } => spoil(draw, set_kpa),
            _ => {}
        }
    }
    for x in [
        &mut setting.inlet_pressure_kpa,
        &mut setting.permeate_pressure_kpa,
        &mut setting.feed_mg_l,
        &mut setting.temperature_c,
    ] {
        spoil(draw, x);
    }
    for x in state
        .permeability
        .values_mut()
        .chain(state.salt_permeability.values_mut())
        .chain(state.drop.values_mut())
    {
        spoil(draw, x);
    }
    if let Some(x) = &mut state.restrictor {
        spoil(draw, x);
    }
    (unit, setting, state)
}
