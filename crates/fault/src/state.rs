//! What is not known of a unit, its instruments and its water, as one vector.

use nalgebra::{DMatrix, DVector};
use unit::{Model, Parameter, StageKind, TankKind, Unit};

use crate::gaussian::Gaussian;

/// One component of the state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Unknown {
    /// A parameter of the unit's model, in its own unit.
    Of(Parameter),
    /// What a gauge at this place reads too much in every reading, kPa.
    Gauge(Place),
    /// ln of what the meter held into the feed reads too much in every reading.
    FeedMeter,
    /// ln of what the meter held into the permeate reads too much in every reading.
    PermeateMeter,
    /// ln of what the bucket shows too much in every reading.
    Bucket,
    /// Conductivity that carbon dioxide gives the permeate, uS/cm.
    CarbonDioxide,
    /// Pressure before the first stage, kPa.
    InletPressure,
    /// Feed temperature, C.
    Temperature,
    /// ln of the feed's dissolved salt, mg/L.
    Feed,
    /// Permeate pressure at the tank, kPa.
    PermeatePressure,
}

/// Where a gauge sits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Place {
    Inlet,
    Membrane,
    Concentrate,
    Permeate,
    /// After a stage.
    After(usize),
}

/// Spreads of new parts about their ratings (`model.md` 2 for A, B, the coefficient and mass transfer; the others are
/// common practice, no source). All but the first are of logarithms. What all elements of a unit share comes first.
mod new {
    pub(super) const COEFFICIENT: f64 = 0.003;
    pub(super) const TRANSFER: f64 = 0.25;
    pub(super) const A: (f64, f64) = (0.09, 0.04);
    pub(super) const B: (f64, f64) = (0.27, 0.13);
    pub(super) const DROP: (f64, f64) = (0.15, 0.05);
    pub(super) const RESTRICTOR: f64 = 0.08;
    pub(super) const STAGE: f64 = 0.20;
    pub(super) const PUMP_PRESSURE: f64 = 0.05;
    pub(super) const PUMP_FLOW: f64 = 0.05;
    pub(super) const REGULATOR: f64 = 0.08;
}

/// Ordinary wear in a year that is no fault yet: mean and spread of logarithms (common practice, no source).
mod year {
    pub(super) const A: (f64, f64) = (-0.03, 0.035);
    pub(super) const A_OWN: f64 = 0.015;
    pub(super) const B: (f64, f64) = (0.03, 0.06);
    pub(super) const B_OWN: f64 = 0.03;
    pub(super) const DROP: (f64, f64) = (0.05, 0.08);
    pub(super) const STAGE: (f64, f64) = (0.15, 0.25);
    pub(super) const RESTRICTOR: f64 = 0.03;
    pub(super) const PUMP: f64 = 0.02;
}

/// Which unknown stands where.
#[derive(Clone, Debug)]
pub(crate) struct Layout {
    pub(crate) unknowns: Vec<Unknown>,
}

impl Layout {
    /// The unknowns of a unit.
    pub(crate) fn new(unit: &Unit, model: &Model) -> Self {
        let mut unknowns = vec![
            Unknown::Of(Parameter::TemperatureCoefficient),
            Unknown::Of(Parameter::MassTransfer),
            Unknown::Of(Parameter::Restrictor),
        ];
        for i in 0..model.elements() {
            unknowns.push(Unknown::Of(Parameter::WaterPermeability(i)));
            unknowns.push(Unknown::Of(Parameter::SaltPermeability(i)));
            unknowns.push(Unknown::Of(Parameter::ElementDrop(i)));
        }
        for (i, stage) in unit.stages.iter().enumerate() {
            match stage.kind {
                StageKind::Pump { .. } => {
                    unknowns.push(Unknown::Of(Parameter::PumpPressure(i)));
                    unknowns.push(Unknown::Of(Parameter::PumpFlow(i)));
                }
                StageKind::Regulator { .. } => unknowns.push(Unknown::Of(Parameter::RegulatorPressure(i))),
                _ => unknowns.push(Unknown::Of(Parameter::StageDrop(i))),
            }
        }
        for place in [Place::Inlet, Place::Membrane, Place::Concentrate, Place::Permeate] {
            unknowns.push(Unknown::Gauge(place));
        }
        unknowns.extend((0..unit.stages.len()).map(|i| Unknown::Gauge(Place::After(i))));
        unknowns.extend([
            Unknown::FeedMeter,
            Unknown::PermeateMeter,
            Unknown::Bucket,
            Unknown::CarbonDioxide,
            Unknown::InletPressure,
            Unknown::Temperature,
            Unknown::Feed,
            Unknown::PermeatePressure,
        ]);
        Self { unknowns }
    }

    /// How many there are.
    pub(crate) fn len(&self) -> usize {
        self.unknowns.len()
    }

    /// Where one stands.
    pub(crate) fn index(&self, unknown: Unknown) -> Option<usize> {
        self.unknowns.iter().position(|one| *one == unknown)
    }

    /// Where all of them stand that satisfy a condition.
    pub(crate) fn all(&self, is: impl Fn(Unknown) -> bool) -> Vec<usize> {
        (0..self.unknowns.len())
            .filter(|i| self.unknowns.get(*i).is_some_and(|unknown| is(*unknown)))
            .collect()
    }
}

/// Half of an instrument's variance is alike in every reading, half is new each time (common practice, no source).
pub(crate) const SHARED: f64 = 0.5;

/// Usual supply pressure where nobody read it, kPa, and the spread of one site's from another's (common practice, no
/// source).
const USUAL_INLET_KPA: (f64, f64) = (300.0, 110.0);
/// Usual feed temperature where nobody read it, C (common practice, no source).
const USUAL_TEMPERATURE_C: (f64, f64) = (14.0, 6.0);
/// Spread of ln of a site's feed from one visit to the next, and of its supply pressure (common practice, no source).
const FEED_DRIFT: f64 = 0.05;
const INLET_DRIFT: f64 = 0.07;

/// What the tank holds against the permeate: mean and spread, kPa.
fn permeate_pressure(unit: &Unit) -> (f64, f64) {
    match unit.permeate.tank.map(|tank| tank.kind) {
        // Anywhere between empty and the shut-off.
        Some(TankKind::Pressurised { precharge_kpa }) => (precharge_kpa + 60.0, 50.0),
        _ => (0.0, 2.0),
    }
}

/// The state of a unit as rated on its first day: nothing read yet.
pub(crate) fn as_rated(unit: &Unit, model: &Model, layout: &Layout, feed: (f64, f64)) -> Gaussian {
    let n = layout.len();
    let mut mean = DVector::zeros(n);
    let mut covariance = DMatrix::zeros(n, n);
    let parameters = model.parameters();
    let instruments = &unit.instruments;
    let shared = |sd: f64| SHARED * sd * sd;
    let square = |sd: f64| sd * sd;
    for (i, unknown) in layout.unknowns.iter().enumerate() {
        let (center, variance) = match *unknown {
            Unknown::Of(parameter) => {
                let sd = match parameter {
                    Parameter::TemperatureCoefficient => new::COEFFICIENT,
                    Parameter::MassTransfer => new::TRANSFER,
                    Parameter::Restrictor => new::RESTRICTOR,
                    Parameter::WaterPermeability(_) => new::A.1,
                    Parameter::SaltPermeability(_) => new::B.1,
                    Parameter::ElementDrop(_) => new::DROP.1,
                    Parameter::StageDrop(_) => new::STAGE,
                    Parameter::PumpPressure(_) => new::PUMP_PRESSURE,
                    Parameter::PumpFlow(_) => new::PUMP_FLOW,
                    Parameter::RegulatorPressure(_) => new::REGULATOR,
                    _ => 0.0,
                };
                (parameters.get(parameter).unwrap_or(0.0), square(sd))
            }
            Unknown::Gauge(_) => (0.0, shared(instruments.gauge_error_kpa)),
            Unknown::FeedMeter => (0.0, shared(instruments.feed_meter.relative_error)),
            Unknown::PermeateMeter => (0.0, shared(instruments.permeate_meter.relative_error)),
            Unknown::Bucket => (0.0, shared(instruments.bucket_error)),
            // 0 to 3 uS/cm, the same in every reading of a unit (`model.md` 1); its mean is in B already.
            Unknown::CarbonDioxide => (0.0, 1.0),
            Unknown::InletPressure => (USUAL_INLET_KPA.0, square(USUAL_INLET_KPA.1)),
            Unknown::Temperature => (USUAL_TEMPERATURE_C.0, square(USUAL_TEMPERATURE_C.1)),
            Unknown::Feed => (feed.0.max(1e-3).ln(), square(feed.1)),
            Unknown::PermeatePressure => {
                let (center, sd) = permeate_pressure(unit);
                (center, square(sd))
            }
        };
        mean[i] = center;
        covariance[(i, i)] = variance;
    }
    for (is, sd) in element_groups(new::A.0, new::B.0, new::DROP.0) {
        add_common(&mut covariance, &layout.all(is), sd);
    }
    Gaussian::new(mean, covariance)
}

type Member = fn(Unknown) -> bool;

fn element_groups(a: f64, b: f64, drop: f64) -> [(Member, f64); 3] {
    [
        (
            |unknown| matches!(unknown, Unknown::Of(Parameter::WaterPermeability(_))),
            a,
        ),
        (
            |unknown| matches!(unknown, Unknown::Of(Parameter::SaltPermeability(_))),
            b,
        ),
        (
            |unknown| matches!(unknown, Unknown::Of(Parameter::ElementDrop(_))),
            drop,
        ),
    ]
}

/// A spread that these components share.
fn add_common(covariance: &mut DMatrix<f64>, members: &[usize], sd: f64) {
    for &i in members {
        for &j in members {
            covariance[(i, j)] += sd * sd;
        }
    }
}

/// The state so many years later: ordinary wear, and another day's conditions.
pub(crate) fn later(unit: &Unit, layout: &Layout, before: &Gaussian, years: f64) -> Gaussian {
    let years = if years.is_finite() {
        years.clamp(0.0, 5.0)
    } else {
        1.0
    };
    // Wear varies from one part to another, less with time than a steady rate would have it.
    let root = years.sqrt();
    let mut state = before.clone();
    for (i, unknown) in layout.unknowns.iter().enumerate() {
        let (shift, sd) = match *unknown {
            Unknown::Of(Parameter::WaterPermeability(_)) => (year::A.0 * root, year::A_OWN * root),
            Unknown::Of(Parameter::SaltPermeability(_)) => (year::B.0 * root, year::B_OWN * root),
            Unknown::Of(Parameter::ElementDrop(_)) => (year::DROP.0 * root, 0.02 * root),
            // A cartridge lasts a year or so; more would be its fault.
            Unknown::Of(Parameter::StageDrop(_)) => {
                (year::STAGE.0 * root.min(1.0), year::STAGE.1 * root.min(1.0))
            }
            Unknown::Of(Parameter::Restrictor) => (0.0, year::RESTRICTOR * root),
            Unknown::Of(Parameter::PumpPressure(_) | Parameter::PumpFlow(_)) => (0.0, year::PUMP * root),
            Unknown::InletPressure => (0.0, INLET_DRIFT * before.mean[i].abs()),
            Unknown::Feed => (0.0, FEED_DRIFT),
            Unknown::Temperature | Unknown::PermeatePressure => {
                let (center, sd) = if *unknown == Unknown::Temperature {
                    USUAL_TEMPERATURE_C
                } else {
                    permeate_pressure(unit)
                };
                state.mean[i] = center;
                state.covariance_mut().row_mut(i).fill(0.0);
                state.covariance_mut().column_mut(i).fill(0.0);
                (0.0, sd)
            }
            _ => (0.0, 0.0),
        };
        state.mean[i] += shift;
        state.covariance_mut()[(i, i)] += sd * sd;
    }
    for (is, sd) in element_groups(year::A.1 * root, year::B.1 * root, year::DROP.1 * root) {
        add_common(state.covariance_mut(), &layout.all(is), sd);
    }
    state
}
