//! The evidence for each hypothesis: the likelihood of what was read, integrated over severity and all that is not known.

use nalgebra::DVector;

use crate::gaussian::{Gaussian, Innovation, Linear, ln_sum};
use crate::hypothesis::{Hypothesis, Node};
use crate::observable::{Observable, Readings};
use crate::outlook::Outlook;
use crate::predict::Predictor;
use crate::state::{Place, Unknown};

/// One severity of one hypothesis against what was read.
pub(crate) struct Weighed {
    /// ln of its likelihood, and of how often it is met against the others of its hypothesis.
    pub(crate) ln_evidence: f64,
    /// The latter alone.
    pub(crate) ln_often: f64,
    /// The state before this reading.
    pub(crate) prior: Gaussian,
    /// The most likely state given this reading.
    pub(crate) state: DVector<f64>,
    /// The taken observables about the state.
    pub(crate) linear: Linear,
    /// How much the observables move to either side within the node's share of the range.
    pub(crate) within: Option<DVector<f64>>,
    /// Residual at the prior's mean.
    pub(crate) residual: DVector<f64>,
    /// What the residual was expected to be, without `within`.
    plain: Innovation,
    /// What it would show of everything that can be read, where that was worked out already.
    pub(crate) outlook: Option<Outlook>,
}

impl Weighed {
    /// What the residual was expected to be, with all that the node's share of the range adds.
    pub(crate) fn innovation(&self) -> Innovation {
        let plain = self.plain.clone();
        match &self.within {
            Some(within) => plain.widened(within),
            None => plain,
        }
    }
}

/// How far within its step a node reaches, in steps: neighbours melt into one another.
const REACH: f64 = 0.42;
/// Nodes within this of the best are computed again about their own most likely state.
const NEAR: f64 = 9.0;

/// Everything that a hypothesis is weighed with.
pub(crate) struct Scales<'a> {
    pub(crate) prior: &'a Gaussian,
    pub(crate) read: &'a Readings,
}

/// The state before the reading, as a node would have it.
pub(crate) fn shifted(predictor: &Predictor<'_>, prior: &Gaussian, node: &Node) -> Gaussian {
    let mut state = prior.clone();
    for (unknown, by) in &node.shifts {
        if let Some(i) = predictor.layout.index(*unknown) {
            state.mean[i] += by;
        }
    }
    for (unknown, sd) in &node.spreads {
        if let Some(i) = predictor.layout.index(*unknown) {
            state.covariance_mut()[(i, i)] += sd * sd;
        }
    }
    state
}

/// Rows of observables that depend on the conditions alone, so that the first look is about the right conditions.
fn of_conditions(observable: Observable) -> bool {
    matches!(
        observable,
        Observable::Temperature
            | Observable::FeedConductivity
            | Observable::Pressure(Place::Inlet | Place::Permeate)
    )
}

/// The conditions as their own instruments read them, from the state before.
pub(crate) fn with_conditions(
    predictor: &Predictor<'_>,
    prior: &Gaussian,
    read: &Readings,
    except: Option<Observable>,
) -> DVector<f64> {
    let rows: Vec<usize> = (0..read.observables.len())
        .filter(|i| {
            read.observables
                .get(*i)
                .is_some_and(|one| of_conditions(*one) && Some(*one) != except)
        })
        .collect();
    let chosen = read.rows(&rows);
    let Some(linear) = conditions_linear(predictor, prior, &chosen) else {
        return prior.mean.clone();
    };
    let residual = linear.residual(&chosen.values, &prior.mean);
    Innovation::new(&linear, prior, &chosen.noise)
        .map_or_else(|| prior.mean.clone(), |s| s.mean(prior, &residual))
}

/// Conditions and their instruments without the unit's model.
fn conditions_linear(predictor: &Predictor<'_>, prior: &Gaussian, read: &Readings) -> Option<Linear> {
    let layout = predictor.layout;
    let mut slope = nalgebra::DMatrix::zeros(read.observables.len(), layout.len());
    let mut value = DVector::zeros(read.observables.len());
    for (row, observable) in read.observables.iter().enumerate() {
        let (unknowns, constant) = match observable {
            Observable::Temperature => (vec![Unknown::Temperature], 0.0),
            Observable::FeedConductivity => (
                vec![Unknown::Feed, Unknown::FeedMeter],
                -predictor.salt.ratio.ln(),
            ),
            Observable::Pressure(place) => {
                let condition = if *place == Place::Inlet {
                    Unknown::InletPressure
                } else {
                    Unknown::PermeatePressure
                };
                (vec![condition, Unknown::Gauge(*place)], 0.0)
            }
            _ => (Vec::new(), 0.0),
        };
        value[row] = constant;
        for unknown in unknowns {
            let i = layout.index(unknown)?;
            slope[(row, i)] = 1.0;
            value[row] += prior.mean.get(i)?;
        }
    }
    Some(Linear {
        at: prior.mean.clone(),
        value,
        slope,
    })
}

/// Weighs one node about a given state.
pub(crate) fn weigh_plain(
    predictor: &mut Predictor<'_>,
    node: &Node,
    prior: Gaussian,
    about: &DVector<f64>,
    read: &Readings,
) -> Option<Weighed> {
    let linear = predictor.linear(about, &node.fixed, &read.observables)?;
    let residual = linear.residual(&read.values, &prior.mean);
    let innovation = Innovation::new(&linear, &prior, &read.noise)?;
    let ln_evidence = innovation.ln_density(&residual) + node.ln_often;
    let state = innovation.mean(&prior, &residual);
    Some(Weighed {
        ln_evidence,
        ln_often: node.ln_often,
        prior,
        state,
        linear,
        within: None,
        residual,
        plain: innovation,
        outlook: None,
    })
}

/// Weighs all nodes of a hypothesis; none for a node where no water would flow.
pub(crate) fn weigh(
    predictor: &mut Predictor<'_>,
    hypothesis: &Hypothesis,
    scales: &Scales<'_>,
    best_so_far: &mut f64,
) -> Vec<Option<Weighed>> {
    if let Some(instrument) = hypothesis.instrument {
        return weigh_instrument(predictor, hypothesis, instrument, scales);
    }
    let read = scales.read;
    let mut nodes: Vec<Option<Weighed>> = hypothesis
        .nodes
        .iter()
        .map(|node| {
            let prior = shifted(predictor, scales.prior, node);
            let about = with_conditions(predictor, &prior, read, None);
            weigh_plain(predictor, node, prior, &about, read)
        })
        .collect();
    widen(hypothesis, &mut nodes);
    let best = ln_sum_of(&nodes).max(*best_so_far);
    let mut again = false;
    for (node, weighed) in hypothesis.nodes.iter().zip(&mut nodes) {
        let Some(first) = weighed else { continue };
        if first.ln_evidence < best - NEAR {
            continue;
        }
        // The state may not run far on the first straight line.
        let about = between(&first.linear.at, &first.state);
        if let Some(second) = weigh_plain(predictor, node, first.prior.clone(), &about, read) {
            *first = second;
            again = true;
        }
    }
    if again {
        widen(hypothesis, &mut nodes);
    }
    *best_so_far = best_so_far.max(ln_sum_of(&nodes));
    nodes
}

/// The new point of linearisation: towards the most likely state, by no more than the straight line is good for.
pub(crate) fn between(at: &DVector<f64>, target: &DVector<f64>) -> DVector<f64> {
    let mut about = at.clone();
    for i in 0..about.len() {
        let (from, to) = (at[i], target[i]);
        // Logarithms and pressures alike: a step of 1 or of half the value.
        let most = 1.0_f64.max(0.5 * from.abs());
        about[i] = from + (to - from).clamp(-most, most);
    }
    about
}

fn ln_sum_of(nodes: &[Option<Weighed>]) -> f64 {
    let terms: Vec<f64> = nodes
        .iter()
        .map(|node| node.as_ref().map_or(f64::NEG_INFINITY, |w| w.ln_evidence))
        .collect();
    ln_sum(terms) - (nodes.len().max(1) as f64).ln()
}

/// Lets each node of a continuous range reach half way to its neighbours.
fn widen(hypothesis: &Hypothesis, nodes: &mut [Option<Weighed>]) {
    if !hypothesis.continuous {
        return;
    }
    let residuals: Vec<Option<DVector<f64>>> = nodes
        .iter()
        .map(|node| node.as_ref().map(|weighed| weighed.residual.clone()))
        .collect();
    let residual = |i: Option<usize>| i.and_then(|i| residuals.get(i)).and_then(Option::as_ref);
    for (i, node) in nodes.iter_mut().enumerate() {
        let Some(weighed) = node else { continue };
        let (before, after) = (residual(i.checked_sub(1)), residual(i.checked_add(1)));
        let direction = match (before, after) {
            (Some(a), Some(b)) => (b - a) * 0.5,
            (Some(a), None) => &weighed.residual - a,
            (None, Some(b)) => b - &weighed.residual,
            (None, None) => continue,
        } * REACH;
        weighed.within = Some(direction);
        let innovation = weighed.innovation();
        weighed.ln_evidence = innovation.ln_density(&weighed.residual) + weighed.ln_often;
        weighed.state = innovation.mean(&weighed.prior, &weighed.residual);
    }
}

/// A meter fault: the unit is sound, one instrument is off by some factor, the others are consistent.
fn weigh_instrument(
    predictor: &mut Predictor<'_>,
    hypothesis: &Hypothesis,
    instrument: Observable,
    scales: &Scales<'_>,
) -> Vec<Option<Weighed>> {
    let read = scales.read;
    let nothing = || hypothesis.nodes.iter().map(|_| None).collect();
    let Some(row) = read.index(instrument) else {
        return nothing();
    };
    let others: Vec<usize> = (0..read.observables.len()).filter(|i| *i != row).collect();
    let rest = read.rows(&others);
    let mut about = with_conditions(predictor, scales.prior, read, Some(instrument));
    let mut linear = None;
    for _ in 0..2 {
        let Some(found) = predictor.linear(&about, &[], &read.observables) else {
            break;
        };
        let part = found.rows(&others);
        let residual = part.residual(&rest.values, &scales.prior.mean);
        if let Some(innovation) = Innovation::new(&part, scales.prior, &rest.noise) {
            about = between(&found.at, &innovation.mean(scales.prior, &residual));
        }
        linear = Some(found);
    }
    let Some(linear) = linear else {
        return nothing();
    };
    let Some(innovation) = Innovation::new(&linear, scales.prior, &read.noise) else {
        return nothing();
    };
    let plain = linear.residual(&read.values, &scales.prior.mean);
    let expected = read.values[row] - plain[row];
    let mut direction = DVector::zeros(plain.len());
    // Half a step of severity, so that the range is covered without gaps.
    let scale = match instrument {
        Observable::Pressure(_) => expected.abs().max(30.0),
        _ => 1.0,
    };
    direction[row] = match instrument {
        Observable::Temperature => 1.5,
        _ => 0.06 * scale,
    };
    let widened = innovation.clone().widened(&direction);
    hypothesis
        .nodes
        .iter()
        .map(|node| {
            let mut residual = plain.clone();
            residual[row] -= match instrument {
                Observable::Pressure(_) => scale * node.misread.exp_m1(),
                _ => node.misread,
            };
            Some(Weighed {
                ln_evidence: widened.ln_density(&residual) + node.ln_often,
                ln_often: node.ln_often,
                prior: scales.prior.clone(),
                state: widened.mean(scales.prior, &residual),
                linear: linear.clone(),
                within: Some(direction.clone()),
                residual,
                plain: innovation.clone(),
                outlook: None,
            })
        })
        .collect()
}

/// ln of the evidence of a whole hypothesis: the mean over its severities.
pub(crate) fn ln_evidence(nodes: &[Option<Weighed>]) -> f64 {
    ln_sum_of(nodes)
}
