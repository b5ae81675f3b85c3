//! Each cause as a perturbation of the unit's model, from just beyond the noise to gross.
//!
//! What a cause does is the contract's (section 6); the ranges of severity are common practice, no source. Severity is even in
//! the logarithm of the factor it works by.

use unit::{Arrangement, Parameter, StageKind, Unit};

use crate::cause::Cause;
use crate::observable::{Observable, Readings};
use crate::predict::Fixed;
use crate::state::{Place, Unknown};

/// One severity of one cause.
#[derive(Clone, Debug, Default)]
pub(crate) struct Node {
    /// Added to the state's mean.
    pub(crate) shifts: Vec<(Unknown, f64)>,
    /// Standard deviation added to the state.
    pub(crate) spreads: Vec<(Unknown, f64)>,
    /// Parameters that a sound unit has at none.
    pub(crate) fixed: Vec<Fixed>,
    /// Added to what one instrument should read.
    pub(crate) misread: f64,
    /// ln of how often it is met, against the mean of its hypothesis' severities.
    pub(crate) ln_often: f64,
}

/// A cause at one part, over its severities.
#[derive(Clone, Debug)]
pub(crate) struct Hypothesis {
    pub(crate) cause: Cause,
    /// The part, where it is a part's; the instrument of a meter fault.
    pub(crate) part: Option<String>,
    /// Share of the cause's own prior.
    pub(crate) share: f64,
    /// The observable whose instrument is wrong.
    pub(crate) instrument: Option<Observable>,
    /// In order of severity.
    pub(crate) nodes: Vec<Node>,
    /// Whether neighbouring nodes are one continuous range.
    pub(crate) continuous: bool,
}

/// How the present conditions stand, as far as severities are measured by them.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Scale {
    /// Usual inlet pressure, kPa.
    pub(crate) inlet_kpa: f64,
    /// Usual pressure at the membranes, kPa.
    pub(crate) membrane_kpa: f64,
    /// Usual feed flow, L/h.
    pub(crate) feed_l_h: f64,
}

/// Severities per cause, in its usual range.
const NODES: usize = 12;
/// Severities beyond it, up to where a part has all but failed: rare, but then not to be taken for something else.
const FAR: usize = 2;
/// How often each of those is met, against one of the usual range (common practice, no source).
const FAR_OFTEN: f64 = 0.3;

/// Midpoints of equal steps from `low` to `high`.
fn steps(low: f64, high: f64, count: usize) -> impl Iterator<Item = f64> {
    (0..count).map(move |i| low + (high - low) * (i as f64 + 0.5) / count as f64)
}

/// The usual range, and thinly what is beyond it.
fn range(low: f64, high: f64, far: f64) -> impl Iterator<Item = f64> {
    steps(low, high, NODES).chain(steps(high, far, FAR))
}

fn log_range(low: f64, high: f64, far: f64) -> impl Iterator<Item = f64> {
    range(low.ln(), high.ln(), far.ln()).map(f64::exp)
}

fn shift(unknown: Unknown, by: f64) -> Node {
    Node {
        shifts: vec![(unknown, by)],
        ..Node::default()
    }
}

impl Hypothesis {
    /// No feed: weighed apart, since nothing flows that the model could solve.
    pub(crate) fn no_feed() -> Self {
        Self::one(Cause::NoFeed)
    }

    fn one(cause: Cause) -> Self {
        Self::over(cause, None, vec![Node::default()])
    }

    fn over(cause: Cause, part: Option<&str>, mut nodes: Vec<Node>) -> Self {
        let far = nodes.len().saturating_sub(NODES);
        let whole = (nodes.len() - far) as f64 + FAR_OFTEN * far as f64;
        let mean = whole / nodes.len().max(1) as f64;
        for (i, node) in nodes.iter_mut().enumerate() {
            let often = if i < NODES { 1.0 } else { FAR_OFTEN };
            node.ln_often = (often / mean).ln();
        }
        Self {
            cause,
            part: part.map(str::to_owned),
            share: 1.0,
            instrument: None,
            continuous: nodes.len() > 1,
            nodes,
        }
    }

    fn shared(mut self, share: f64) -> Self {
        self.share = share;
        self
    }
}

/// All that can be wrong with this unit and that its readings might show.
pub(crate) fn hypotheses(unit: &Unit, read: &Readings, scale: &Scale) -> Vec<Hypothesis> {
    let mut all = Vec::new();
    for cause in [
        Cause::Sound,
        Cause::CarbonSpent,
        Cause::ShutoffLeaking,
        Cause::TankPrechargeLost,
        Cause::SoftenerExhausted,
        Cause::ResinExhausted,
        Cause::DemandUp,
    ] {
        // The model's flows and pressures do not move; chlorine, hardness and complaints tell these apart.
        all.push(Hypothesis::one(cause));
    }
    all.push(Hypothesis::over(
        Cause::InletPressureLow,
        None,
        range(-0.12, -1.1, -2.0)
            .map(|x| shift(Unknown::InletPressure, scale.inlet_kpa * x.exp_m1()))
            .collect(),
    ));
    stages(unit, scale, &mut all);
    elements(unit, &mut all);
    let restrictor = Unknown::Of(Parameter::Restrictor);
    let restricted = |low, high, far| {
        range(low, high, far)
            .map(|x| shift(restrictor, x))
            .collect::<Vec<_>>()
    };
    all.push(Hypothesis::over(
        Cause::RestrictorBlocked,
        None,
        restricted(-0.15, -1.7, -3.0),
    ));
    all.push(Hypothesis::over(
        Cause::RestrictorWorn,
        None,
        restricted(0.15, 1.5, 2.3),
    ));
    all.push(Hypothesis::over(
        Cause::PermeateBackPressure,
        None,
        log_range(0.06, 0.6, 0.85)
            .map(|x| Node {
                shifts: vec![(Unknown::PermeatePressure, x * scale.membrane_kpa)],
                spreads: vec![(Unknown::PermeatePressure, 3.0)],
                ..Node::default()
            })
            .collect(),
    ));
    for (low, high, far, share) in [(0.2, 1.2, 2.0, 0.65), (-0.2, -1.0, -2.0, 0.35)] {
        let nodes = range(low, high, far).map(|x| shift(Unknown::Feed, x)).collect();
        all.push(Hypothesis::over(Cause::FeedChanged, None, nodes).shared(share));
    }
    meters(read, &mut all);
    all
}

fn stages(unit: &Unit, scale: &Scale, all: &mut Vec<Hypothesis>) {
    let count = |is: fn(&StageKind) -> bool| unit.stages.iter().filter(|s| is(&s.kind)).count().max(1) as f64;
    let sediments = count(|kind| matches!(kind, StageKind::Sediment { .. }));
    let carbons = count(|kind| matches!(kind, StageKind::Carbon { .. }));
    let pumps = count(|kind| matches!(kind, StageKind::Pump { .. }));
    for (i, stage) in unit.stages.iter().enumerate() {
        let (cause, share) = match stage.kind {
            StageKind::Sediment { .. } => (Cause::SedimentBlocked, 1.0 / sediments),
            StageKind::Carbon { .. } => (Cause::CarbonBlocked, 1.0 / carbons),
            StageKind::Pump { .. } => {
                let nodes = range(-0.10, -1.2, -2.6)
                    .map(|x| Node {
                        shifts: vec![(Unknown::Of(Parameter::PumpPressure(i)), x)],
                        // A worn pump loses some of its flow too.
                        spreads: vec![(Unknown::Of(Parameter::PumpFlow(i)), 0.1 * x.abs())],
                        ..Node::default()
                    })
                    .collect();
                all.push(Hypothesis::over(Cause::PumpWeak, Some(&stage.id), nodes).shared(1.0 / pumps));
                continue;
            }
            _ => continue,
        };
        let clean = stage
            .clean_drop
            .map_or(1.0, |drop| drop.pressure_kpa * scale.feed_l_h / drop.flow_l_h)
            .max(1e-3);
        // The added resistance takes this share of the usual inlet pressure at the usual flow.
        let nodes = log_range(0.07, 1.2, 4.0)
            .map(|share| {
                let factor = 1.0 + share * scale.inlet_kpa / clean;
                shift(Unknown::Of(Parameter::StageDrop(i)), factor.ln())
            })
            .collect();
        all.push(Hypothesis::over(cause, Some(&stage.id), nodes).shared(share));
    }
}

fn elements(unit: &Unit, all: &mut Vec<Hypothesis>) {
    let elements = &unit.membranes.elements;
    let n = elements.len();
    let id = |i: usize| elements.get(i).map(|element| element.id.as_str());
    let a = |i| Unknown::Of(Parameter::WaterPermeability(i));
    let b = |i| Unknown::Of(Parameter::SaltPermeability(i));
    let drop = |i| Unknown::Of(Parameter::ElementDrop(i));
    let even = 1.0 / n.max(1) as f64;
    let fouled = |i: usize| -> Vec<Node> {
        range(0.15, 1.1, 2.0)
            .map(|x| Node {
                shifts: vec![(a(i), -x), (drop(i), 0.3 + 0.8 * x)],
                spreads: vec![(b(i), 0.06), (drop(i), 0.25)],
                ..Node::default()
            })
            .collect()
    };
    let scaled = |i: usize| -> Vec<Node> {
        range(0.2, 1.6, 2.4)
            .map(|x| Node {
                shifts: vec![(a(i), -x), (b(i), 0.15 + 0.85 * x), (drop(i), 0.75 * x)],
                spreads: vec![
                    (b(i), 0.25),
                    (drop(i), 0.2),
                    // What scales the tail may begin on the restrictor.
                    (Unknown::Of(Parameter::Restrictor), 0.04),
                ],
                ..Node::default()
            })
            .collect()
    };
    let parallel = unit.membranes.arrangement == Arrangement::Parallel;
    for i in 0..n {
        // In series particles stay on the first element and scale begins on the last; side by side all are alike.
        let (lead, tail) = match (parallel, n) {
            (true, _) | (_, 1) => (even, even),
            _ => {
                let other = 0.1 / (n as f64 - 1.0);
                (
                    if i == 0 { 0.9 } else { other },
                    if i + 1 == n { 0.9 } else { other },
                )
            }
        };
        if lead >= 0.2 {
            all.push(Hypothesis::over(Cause::MembraneFouled, id(i), fouled(i)).shared(lead));
        }
        if tail >= 0.2 {
            all.push(Hypothesis::over(Cause::MembraneScaled, id(i), scaled(i)).shared(tail));
        }
        let leaks: Vec<Node> = log_range(0.008, 0.4, 1.0)
            .map(|leak| Node {
                fixed: vec![(Parameter::ElementLeak(i), leak)],
                ..Node::default()
            })
            .collect();
        all.push(Hypothesis::over(Cause::CoreSealLeak, id(i), leaks.clone()).shared(even));
        all.push(Hypothesis::over(Cause::SealAfterWork, id(i), leaks).shared(even));
        let bypasses = range(0.2, 0.9, 0.98)
            .map(|share| Node {
                fixed: vec![(Parameter::ElementBypass(i), share)],
                ..Node::default()
            })
            .collect();
        all.push(Hypothesis::over(Cause::BrineSealBypass, id(i), bypasses).shared(even));
    }
    let every = |(low, high, far): (f64, f64, f64), permeability: f64, own: f64| -> Vec<Node> {
        range(low, high, far)
            .map(|x| {
                let mut node = Node::default();
                for i in 0..n {
                    node.shifts.push((b(i), x));
                    node.shifts.push((a(i), permeability * x));
                    node.spreads.push((b(i), own * x));
                    node.spreads.push((a(i), 0.05 * x));
                }
                node
            })
            .collect()
    };
    // A = A_0 (B/B_0)^0.1 (`model.md` 5).
    all.push(Hypothesis::over(
        Cause::MembraneOxidised,
        None,
        every((0.35, 2.0, 3.0), 0.1, 0.1),
    ));
    // Salt that came through while the unit stood still, or preservative.
    all.push(Hypothesis::over(
        Cause::JustStarted,
        None,
        every((0.15, 2.0, 3.0), 0.0, 0.1),
    ));
}

fn meters(read: &Readings, all: &mut Vec<Hypothesis>) {
    let count = read.observables.len().max(1) as f64;
    for observable in &read.observables {
        let nodes: Vec<Node> = match observable {
            Observable::Temperature => steps(-12.0, 12.0, 8).map(misread).collect(),
            Observable::Pressure(_) => {
                // A gauge goes wrong by a factor; the predictor turns it into kPa.
                steps(0.14, 0.9, 8).flat_map(|x| [-x, x]).map(misread).collect()
            }
            _ => steps(0.14, 1.1, 8).flat_map(|x| [-x, x]).map(misread).collect(),
        };
        // A gauge of many places is one of several alike; those at one stage or element count as one.
        let share = match observable {
            Observable::Pressure(Place::After(_)) | Observable::ElementPermeate(_) => 0.3,
            _ => 1.0,
        };
        all.push(Hypothesis {
            cause: Cause::MeterFault,
            part: Some(observable.field().to_owned()),
            share: share / count,
            instrument: Some(*observable),
            nodes,
            continuous: false,
        });
    }
}

fn misread(by: f64) -> Node {
    Node {
        misread: by,
        ..Node::default()
    }
}
