//! Every hypothesis with the evidence for it.

mod account;

use crate::Case;
use crate::calibrate::Calibrated;
use crate::cause::Cause;
use crate::circumstances::{Circumstances, feed_chlorine};
use crate::frequency::frequency;
use crate::gaussian::{Gaussian, ln_normal, ln_sum};
use crate::hypothesis::{Hypothesis, Scale, hypotheses};
use crate::observable::{Observable, Readings, gives_nothing};
use crate::predict::Predictor;
use crate::signs::{ln_chemistry, ln_nothing, ln_observed};
use crate::state::{Place, Unknown};
use crate::weigh::{Scales, Weighed, ln_evidence, weigh};

pub(crate) use account::{EQUATIONS, listed, of_chance, of_rest, weights};

/// A hypothesis with the evidence for it.
pub(crate) struct Candidate {
    pub(crate) hypothesis: Hypothesis,
    /// Its severities as weighed; none where another candidate's stand for them.
    pub(crate) nodes: Vec<Option<Weighed>>,
    /// The candidate that has the same likelihood of flows and pressures.
    pub(crate) like: Option<usize>,
    /// Its share of all causes before anything is read.
    pub(crate) chance: f64,
    /// ln of the likelihood of flows, pressures and conductivities.
    pub(crate) ln_hydraulic: f64,
    /// What further readings with other instruments have added to it.
    pub(crate) ln_further: f64,
    /// ln of frequency times likelihood of everything.
    pub(crate) ln_weight: f64,
}

/// All that can be wrong, weighed.
pub(crate) fn candidates(
    case: &Case<'_>,
    of: &Circumstances<'_>,
    predictor: &mut Predictor<'_>,
    calibrated: &Calibrated,
    (read, scale): (&Readings, &Scale),
) -> Vec<Candidate> {
    let whole: f64 = Cause::ALL.iter().map(|cause| frequency(*cause, of)).sum();
    let nothing = gives_nothing(case.reading);
    let scales = Scales {
        prior: &calibrated.now,
        read,
    };
    let mut best = f64::NEG_INFINITY;
    let mut found: Vec<Candidate> = Vec::new();
    for hypothesis in hypotheses(case.unit, read, scale) {
        let chance = frequency(hypothesis.cause, of) / whole * hypothesis.share;
        if chance <= 0.0 {
            continue;
        }
        let like = found
            .iter()
            .position(|other| same_hydraulics(&other.hypothesis, &hypothesis));
        let (nodes, ln_hydraulic) = if let Some(other) = like.and_then(|i| found.get(i)) {
            (Vec::new(), other.ln_hydraulic)
        } else {
            let nodes = weigh(predictor, &hypothesis, &scales, &mut best);
            let ln = ln_evidence(&nodes);
            (nodes, ln)
        };
        found.push(candidate(
            case,
            hypothesis,
            nodes,
            like,
            (chance, ln_hydraulic),
            nothing,
        ));
    }
    let chance = frequency(Cause::NoFeed, of) / whole;
    let ln_hydraulic = ln_no_feed(predictor, &calibrated.now, read, scale);
    found.push(candidate(
        case,
        Hypothesis::no_feed(),
        Vec::new(),
        None,
        (chance, ln_hydraulic),
        nothing,
    ));
    found
}

/// Those of one cause.
pub(crate) fn candidates_of(
    candidates: &[Candidate],
    cause: Cause,
) -> impl Iterator<Item = &Candidate> + Clone {
    candidates.iter().filter(move |one| one.hypothesis.cause == cause)
}

/// A reading with less than this ln of a likelihood under every cause is none; frequencies would be lost in its rounding.
const IMPOSSIBLE: f64 = -1e10;

/// Where nothing that was read is possible under any cause, only the frequencies speak.
pub(crate) fn else_by_frequency(candidates: &mut [Candidate]) {
    if candidates.iter().all(|one| one.ln_weight < IMPOSSIBLE) {
        for one in candidates {
            one.ln_weight = one.chance.ln();
        }
    }
}

/// What moves no flow and no pressure has the likelihood of a sound unit, and a seal leaks alike whoever left it so.
fn same_hydraulics(a: &Hypothesis, b: &Hypothesis) -> bool {
    let still = |one: &Hypothesis| {
        matches!(
            one.cause,
            Cause::Sound
                | Cause::CarbonSpent
                | Cause::ShutoffLeaking
                | Cause::TankPrechargeLost
                | Cause::SoftenerExhausted
                | Cause::ResinExhausted
                | Cause::DemandUp
        )
    };
    let seal = |one: &Hypothesis| matches!(one.cause, Cause::CoreSealLeak | Cause::SealAfterWork);
    (still(a) && still(b)) || (seal(a) && seal(b) && a.part == b.part)
}

fn candidate(
    case: &Case<'_>,
    hypothesis: Hypothesis,
    nodes: Vec<Option<Weighed>>,
    like: Option<usize>,
    (chance, ln_hydraulic): (f64, f64),
    nothing: bool,
) -> Candidate {
    let cause = hypothesis.cause;
    let mut ln_weight = chance.ln()
        + ln_hydraulic
        + ln_chemistry(cause, case.reading, case.unit, feed_chlorine(case))
        + ln_observed(cause, &case.reading.observed);
    if nothing {
        ln_weight += ln_nothing(cause);
    }
    if ln_weight.is_nan() {
        ln_weight = f64::NEG_INFINITY;
    }
    Candidate {
        hypothesis,
        nodes,
        like,
        chance,
        ln_hydraulic,
        ln_further: 0.0,
        ln_weight,
    }
}

/// ln of the likelihood of a reading where no feed comes: pressures low behind what is shut, no flow.
pub(crate) fn ln_no_feed(predictor: &Predictor<'_>, now: &Gaussian, read: &Readings, scale: &Scale) -> f64 {
    ln_no_feed_each(predictor, now, read, scale).iter().sum()
}

/// The same of each value.
pub(crate) fn ln_no_feed_each(
    predictor: &Predictor<'_>,
    now: &Gaussian,
    read: &Readings,
    scale: &Scale,
) -> Vec<f64> {
    let mut each = Vec::with_capacity(read.observables.len());
    for (i, observable) in read.observables.iter().enumerate() {
        let (value, noise) = (read.values[i], read.noise[i]);
        let marginal = |unknown: Unknown, offset: f64| {
            predictor.layout.index(unknown).map_or(0.0, |i| {
                ln_normal(
                    value - now.mean[i] - offset,
                    (now.covariance()[(i, i)] + noise).sqrt(),
                )
            })
        };
        // Low: anywhere up to three tenths of the usual pressure, blurred by the gauge.
        let low = |usual: f64| {
            let most = 0.3 * usual;
            let over = (value - most).max(-value).max(0.0);
            -most.ln() - 0.5 * over * over / (4.0 * noise.max(1.0))
        };
        each.push(match observable {
            Observable::Temperature => marginal(Unknown::Temperature, 0.0),
            Observable::FeedConductivity => marginal(Unknown::Feed, -predictor.salt.ratio.ln()),
            Observable::Pressure(Place::Inlet) => ln_sum([
                0.5_f64.ln() + low(scale.inlet_kpa),
                0.5_f64.ln() + ln_normal(value - scale.inlet_kpa, 0.15 * scale.inlet_kpa),
            ]),
            Observable::Pressure(Place::Permeate) => ln_normal(value, noise.sqrt() + 5.0),
            Observable::Pressure(_) => low(scale.membrane_kpa),
            // A flow, or water to hold a meter into, there is none.
            Observable::PermeateFlow | Observable::ConcentrateFlow => -20.0,
            Observable::PermeateConductivity | Observable::ElementPermeate(_) => ln_normal(value, 2.0) - 2.0,
        });
    }
    each
}
