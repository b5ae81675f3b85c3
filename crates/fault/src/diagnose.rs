//! From a reading to ranked causes.

use reading::Field;
use unit::{CleanDrop, Model, PredictError, Segments, StageKind, Unit};
use wear::lives::{days, new_at};
use wear::salt::Salt;

use crate::Case;
use crate::calibrate::{Calibrated, calibrate};
use crate::cause::Cause;
use crate::frequency::{Circumstances, frequency};
use crate::gaussian::{Gaussian, ln_normal, ln_sum};
use crate::hypothesis::{Hypothesis, Scale, hypotheses};
use crate::next_test::next_test;
use crate::observable::{Observable, Readings, gives_nothing};
use crate::pairs::pairs;
use crate::predict::Predictor;
use crate::signs::{ln_chemistry, ln_nothing, ln_observed};
use crate::state::{Layout, Place, Unknown};
use crate::weigh::{Scales, Weighed, ln_evidence, weigh, with_conditions};

/// Why there is no diagnosis.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum DiagnoseError {
    /// The unit has no model.
    #[error("the unit can't be computed")]
    Unit(#[from] PredictError),
}

/// A cause with its probability.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranked {
    /// The cause.
    pub cause: Cause,
    /// Its part where it is a part's; the instrument's field for a meter fault.
    pub part: Option<String>,
    /// From 0 to 1; all causes together 1.
    pub probability: f64,
    /// What it is, what to do about it and what happens if it is left.
    pub sentence: String,
}

/// Two causes at once that explain it better than any one.
#[derive(Clone, Debug, PartialEq)]
pub struct Pair {
    /// The two.
    pub causes: [Cause; 2],
    /// Against every single cause and every other pair, 0 to 1.
    pub probability: f64,
}

/// The test that tells most per minute of work.
#[derive(Clone, Debug, PartialEq)]
pub struct NextTest {
    /// What to do, by name.
    pub action: &'static str,
    /// The field it is entered in, where it has one.
    pub field: Option<&'static str>,
    /// Expected information on the cause, bits.
    pub expected_information_bits: f64,
    /// How to do it, what each result would mean, and what to mind.
    pub sentence: String,
}

/// What is wrong, and what to test next.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnosis {
    /// What the conditions alone make of the permeate flow, against the baseline; none where either is unknown.
    pub explained_by_conditions: Option<f64>,
    /// The permeate flow against the baseline's, as read.
    pub flow_ratio: Option<f64>,
    /// Every cause, most probable first.
    pub causes: Vec<Ranked>,
    /// Pairs that explain it better, most probable first.
    pub pairs: Vec<Pair>,
    /// The test to make next; none where nothing would tell more.
    pub next_test: Option<NextTest>,
    /// What a reader should know besides.
    pub warnings: Vec<String>,
}

impl Diagnosis {
    /// What comes first, in sentences: what changed, what the conditions make of it, and what it most likely is.
    pub fn summary(&self) -> String {
        crate::words::summary(self)
    }
}

/// Clean drop of a cartridge for which none is stated: 5 kPa at the feed flow that the labels suggest (common practice, no
/// source).
const USUAL_CLEAN_DROP_KPA: f64 = 5.0;

/// The unit with a usual clean drop where a cartridge has none stated: one that can't be blocked can't be suspected.
fn with_drops(unit: &Unit) -> Unit {
    let mut unit = unit.clone();
    let rated: f64 = unit.membranes.elements.iter().map(|e| e.rated.flow_l_h).sum();
    let flow_l_h = (rated + unit.concentrate.restrictor.flow_l_h).max(1.0);
    for stage in &mut unit.stages {
        let cartridge = matches!(stage.kind, StageKind::Sediment { .. } | StageKind::Carbon { .. });
        let none = stage.clean_drop.is_none_or(|drop| drop.pressure_kpa <= 0.0);
        if cartridge && none {
            stage.clean_drop = Some(CleanDrop {
                pressure_kpa: USUAL_CLEAN_DROP_KPA,
                flow_l_h,
            });
        }
    }
    unit
}

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
    /// ln of frequency times likelihood of everything.
    pub(crate) ln_weight: f64,
}

/// Ranks the causes of a reading and finds the next test.
///
/// Never fails on what was read: values that contradict everything leave the causes at their frequencies. An error is a unit
/// that no physics can compute.
pub fn diagnose(case: &Case<'_>) -> Result<Diagnosis, DiagnoseError> {
    let unit = with_drops(case.unit);
    let case = &Case { unit: &unit, ..*case };
    let model = Model::new(&unit, Segments::FAST)?;
    let layout = Layout::new(&unit, &model);
    let salt = Salt::of(case.water);
    let mut predictor = Predictor::new(&model, &layout, &salt);
    let feed = feed_prior(&salt);
    let calibrated = calibrate(case, &mut predictor, feed);
    let read = Readings::of(case.reading, &unit, &salt);
    let scale = scale(&mut predictor, &calibrated, &unit);
    let candidates = candidates(case, &mut predictor, &calibrated, &read, &scale);
    let causes = rank(&candidates);
    let scales = Scales {
        prior: &calibrated.now,
        read: &read,
    };
    let pairs = pairs(case, &mut predictor, &candidates, &scales);
    let next_test = next_test(case, &mut predictor, &candidates, &read);
    let (explained, ratio) = explained(case, &mut predictor, &calibrated, &read);
    Ok(Diagnosis {
        explained_by_conditions: explained,
        flow_ratio: ratio,
        causes,
        pairs,
        next_test,
        warnings: calibrated.warnings,
    })
}

/// The feed before anybody reads it: mg/L, and the spread of its logarithm.
fn feed_prior(salt: &Salt) -> (f64, f64) {
    match salt.feed_us_cm {
        Some(us_cm) => (us_cm * salt.ratio, 0.10),
        None => (250.0, 0.8),
    }
}

/// What severities are measured by.
fn scale(predictor: &mut Predictor<'_>, calibrated: &Calibrated, unit: &Unit) -> Scale {
    let inlet = predictor
        .layout
        .index(Unknown::InletPressure)
        .map_or(300.0, |i| calibrated.then.mean[i])
        .max(20.0);
    let rated: f64 = unit.membranes.elements.iter().map(|e| e.rated.flow_l_h).sum();
    let (feed_l_h, membrane_kpa) = predictor
        .feed_flow_and_pressure(&calibrated.then.mean)
        .unwrap_or((rated + unit.concentrate.restrictor.flow_l_h, inlet));
    Scale {
        inlet_kpa: inlet,
        membrane_kpa,
        feed_l_h,
    }
}

fn circumstances<'a>(case: &Case<'a>) -> Circumstances<'a> {
    let used = |is: fn(&StageKind) -> bool| {
        case.unit
            .stages
            .iter()
            .filter(|stage| is(&stage.kind))
            .filter_map(|stage| {
                // Age counts only where somebody recorded changes: a unit without a record changes its filters too.
                let at = new_at(&stage.id, None, case.events, case.reading.at)?;
                Some(days(at, case.reading.at) / stage.limit.age_d.unwrap_or(365.0).max(1.0))
            })
            .reduce(f64::max)
    };
    Circumstances {
        unit: case.unit,
        water: case.water,
        feed_chlorine_mg_l: feed_chlorine(case),
        sediment_used: used(|kind| matches!(kind, StageKind::Sediment { .. })),
        carbon_used: used(|kind| matches!(kind, StageKind::Carbon { .. })),
        running_min: case.reading.get(Field::RunningFor),
    }
}

/// Chlorine of the feed, mg/L: as read, else as analysed.
pub(crate) fn feed_chlorine(case: &Case<'_>) -> Option<f64> {
    let read = case
        .reading
        .get(Field::FeedFreeChlorine)
        .or_else(|| case.reading.get(Field::FeedTotalChlorine));
    read.or_else(|| {
        let water = case.water?;
        match (water.free_chlorine_mg_l, water.chloramine_mg_l) {
            (None, None) => None,
            (free, bound) => Some(free.unwrap_or(0.0) + bound.unwrap_or(0.0)),
        }
    })
}

fn candidates(
    case: &Case<'_>,
    predictor: &mut Predictor<'_>,
    calibrated: &Calibrated,
    read: &Readings,
    scale: &Scale,
) -> Vec<Candidate> {
    let of = circumstances(case);
    let whole: f64 = Cause::ALL.iter().map(|cause| frequency(*cause, &of)).sum();
    let nothing = gives_nothing(case.reading);
    let scales = Scales {
        prior: &calibrated.now,
        read,
    };
    let mut best = f64::NEG_INFINITY;
    let mut found: Vec<Candidate> = Vec::new();
    for hypothesis in hypotheses(case.unit, read, scale) {
        let chance = frequency(hypothesis.cause, &of) / whole * hypothesis.share;
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
    let chance = frequency(Cause::NoFeed, &of) / whole;
    let ln_hydraulic = ln_no_feed(predictor, &calibrated.now, read, scale);
    found.push(candidate(
        case,
        Hypothesis::no_feed(),
        Vec::new(),
        None,
        (chance, ln_hydraulic),
        nothing,
    ));
    // Where nothing that was read is possible under any cause, only the frequencies speak.
    if found.iter().all(|one| one.ln_weight == f64::NEG_INFINITY) {
        for one in &mut found {
            one.ln_weight = one.chance.ln();
        }
    }
    found
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
        ln_weight,
    }
}

/// ln of the likelihood of a reading where no feed comes: pressures low behind what is shut, no flow.
fn ln_no_feed(predictor: &Predictor<'_>, now: &Gaussian, read: &Readings, scale: &Scale) -> f64 {
    let mut total = 0.0;
    for (i, observable) in read.observables.iter().enumerate() {
        let (value, noise) = (read.values[i], read.noise[i]);
        let marginal = |unknown: Unknown, offset: f64| {
            predictor.layout.index(unknown).map_or(0.0, |i| {
                ln_normal(
                    value - now.mean[i] - offset,
                    (now.covariance[(i, i)] + noise).sqrt(),
                )
            })
        };
        // Low: anywhere up to three tenths of the usual pressure, blurred by the gauge.
        let low = |usual: f64| {
            let most = 0.3 * usual;
            let over = (value - most).max(-value).max(0.0);
            -most.ln() - 0.5 * over * over / (4.0 * noise.max(1.0))
        };
        total += match observable {
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
        };
    }
    total
}

/// The probability of each cause, most probable first, with its most probable part.
fn rank(candidates: &[Candidate]) -> Vec<Ranked> {
    let whole = ln_sum(candidates.iter().map(|one| one.ln_weight));
    let mut ranked: Vec<Ranked> = Cause::ALL
        .iter()
        .map(|cause| {
            let of_cause = || candidates.iter().filter(|one| one.hypothesis.cause == *cause);
            let ln = ln_sum(of_cause().map(|one| one.ln_weight));
            let part = of_cause()
                .max_by(|a, b| a.ln_weight.total_cmp(&b.ln_weight))
                .and_then(|one| one.hypothesis.part.clone());
            let probability = (ln - whole).exp();
            Ranked {
                cause: *cause,
                probability: if probability.is_finite() { probability } else { 0.0 },
                sentence: crate::words::about(*cause, part.as_deref()),
                part,
            }
        })
        .collect();
    let sum: f64 = ranked.iter().map(|one| one.probability).sum();
    for one in &mut ranked {
        one.probability /= sum;
    }
    ranked.sort_by(|a, b| {
        b.probability
            .total_cmp(&a.probability)
            .then(a.cause.cmp(&b.cause))
    });
    ranked
}

/// What the conditions alone make of the flow, and what was made, both against the baseline.
fn explained(
    case: &Case<'_>,
    predictor: &mut Predictor<'_>,
    calibrated: &Calibrated,
    read: &Readings,
) -> (Option<f64>, Option<f64>) {
    let baselines = crate::calibrate::baselines(case);
    let Some(first) = baselines.first() else {
        return (None, None);
    };
    let ratio = case
        .reading
        .get(Field::PermeateFlow)
        .zip(first.get(Field::PermeateFlow))
        .filter(|(_, then)| *then > 0.0)
        .map(|(now, then)| now / then);
    let today = with_conditions(predictor, &calibrated.now, read, None);
    let mut state = calibrated.then.mean.clone();
    for unknown in [Unknown::Temperature, Unknown::InletPressure, Unknown::Feed] {
        if let Some(i) = predictor.layout.index(unknown) {
            state[i] = today[i];
        }
    }
    let known = case.reading.get(Field::FeedTemperature).is_some();
    let explained = predictor
        .permeate_flow(&state)
        .zip(predictor.permeate_flow(&calibrated.then.mean))
        .map(|(now, then)| now / then)
        .filter(|_| known);
    (explained, ratio)
}
