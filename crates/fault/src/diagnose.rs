//! From a reading to ranked causes.

use std::fmt;

use jiff::Timestamp;
use unit::{CleanDrop, Model, PolishKind, PredictError, Segments, StageKind, Unit};
use wear::salt::Salt;

use crate::advice::{Advice, advice};
use crate::calibrate::{Calibrated, calibrate, elements_at};
use crate::candidate::{Candidate, candidates, candidates_of, else_by_frequency, ln_no_feed_each};
use crate::catalogue::{Test, catalogue};
use crate::cause::Cause;
use crate::circumstances::{Circumstances, Known, circumstances};
use crate::conditions::{Change, changes, explained};
use crate::evidence::{Finding, count, read_again};
use crate::gaussian::ln_sum;
use crate::hypothesis::Scale;
use crate::next_test::{Promise, ranked_tests};
use crate::observable::Readings;
use crate::outlook::Rows;
use crate::pairs::pairs;
use crate::predict::Predictor;
use crate::reasons::{Reason, reasons};
use crate::state::{Layout, Unknown};
use crate::test_to_make::TestToMake;
use crate::weigh::Scales;
use crate::{Case, words};

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
    /// What speaks for it and against it, the strongest first; of causes that still count.
    pub reasons: Vec<Reason>,
}

impl Ranked {
    /// What it is, what to do about it and what happens if it is left, in English.
    pub fn sentence(&self) -> String {
        words::about(self.cause, self.part.as_deref())
    }

    /// What to do about it, how soon, and what happens if it is left.
    pub fn advice(&self) -> Advice {
        advice(self.cause)
    }
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
    /// What to do, and what each result would mean.
    pub test: TestToMake,
    /// Expected information on the cause, bits.
    pub expected_information_bits: f64,
}

/// What a reader should know of the baseline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Warning {
    /// By the baseline's own pressures no water would flow; it is left out.
    BaselineImpossible {
        /// When it was read.
        at: Timestamp,
    },
    /// It is at odds with what the unit is rated for.
    BaselineOdd {
        /// When it was read.
        at: Timestamp,
    },
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::BaselineImpossible { at } => write!(
                f,
                "The baseline of {at} can't be what this unit made: by its own pressures no water would flow. It is left out."
            ),
            Self::BaselineOdd { at } => write!(
                f,
                "The baseline of {at} is at odds with what the unit is rated for; check it, or the unit's data."
            ),
        }
    }
}

/// What is wrong, and what to test next.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnosis {
    /// What the conditions alone make of the permeate flow, against the baseline; none where either is unknown.
    pub explained_by_conditions: Option<f64>,
    /// What each condition on its own makes of the permeate flow, the greatest change first; those that were read.
    pub changes: Vec<Change>,
    /// The permeate flow against the baseline's, as read.
    pub flow_ratio: Option<f64>,
    /// Every cause, most probable first.
    pub causes: Vec<Ranked>,
    /// Pairs that explain it better, most probable first.
    pub pairs: Vec<Pair>,
    /// The test to make next; none where nothing would tell more.
    pub next_test: Option<NextTest>,
    /// What a reader should know besides.
    pub warnings: Vec<Warning>,
}

impl Diagnosis {
    /// What comes first, in English sentences: what changed, what the conditions make of it, and what it most likely is.
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

/// Ranks the causes of a reading and finds the next test.
///
/// Never fails on what was read: values that contradict everything leave the causes at their frequencies. An error is a unit
/// that no physics can compute.
pub fn diagnose(case: &Case<'_>) -> Result<Diagnosis, DiagnoseError> {
    diagnose_knowing(case, &Known::default())
}

/// The same with what others have worked out of the unit, which makes some causes more frequent than others.
pub fn diagnose_knowing(case: &Case<'_>, known: &Known) -> Result<Diagnosis, DiagnoseError> {
    Ok(examine(case, known, &[], |_| true)?.0)
}

/// Everything that a diagnosis was made from, while it is at hand.
pub(crate) struct Workings<'w, 'm> {
    pub(crate) case: &'w Case<'w>,
    pub(crate) of: &'w Circumstances<'w>,
    pub(crate) predictor: &'w mut Predictor<'m>,
    pub(crate) calibrated: &'w Calibrated,
    pub(crate) scale: &'w Scale,
    pub(crate) read: &'w Readings,
    pub(crate) rows: &'w Rows,
    pub(crate) candidates: &'w [Candidate],
    pub(crate) findings: &'w [Finding],
    pub(crate) causes: &'w [Ranked],
    pub(crate) promises: &'w [Promise],
}

/// A diagnosis with what further tests have shown, and what the tests of which `offered` says yes promise, best first.
pub(crate) fn examine(
    case: &Case<'_>,
    known: &Known,
    findings: &[Finding],
    offered: impl Fn(Test) -> bool,
) -> Result<(Diagnosis, Vec<Promise>), DiagnoseError> {
    examine_and(case, known, findings, &offered, &mut |_| ())
}

/// The same; `tell` is shown its workings.
pub(crate) fn examine_and(
    case: &Case<'_>,
    known: &Known,
    findings: &[Finding],
    offered: &dyn Fn(Test) -> bool,
    tell: &mut dyn FnMut(Workings<'_, '_>),
) -> Result<(Diagnosis, Vec<Promise>), DiagnoseError> {
    let mut unit = with_drops(case.unit);
    unit.membranes.elements = elements_at(case, case.reading.at);
    let plan = case.unit;
    let case = &Case { unit: &unit, ..*case };
    let model = Model::new(&unit, Segments::FAST)?;
    let layout = Layout::new(&unit, &model);
    let salt = Salt::of(case.water);
    let mut predictor = Predictor::new(&model, &layout, &salt);
    let feed = feed_prior(&salt);
    let calibrated = calibrate(case, plan, &mut predictor, feed);
    let read = Readings::of(case.reading, &unit, &salt);
    let scale = scale(&mut predictor, &calibrated, &unit);
    let of = circumstances(case, known, &predictor, scale.inlet_kpa);
    let mut candidates = candidates(case, &of, &mut predictor, &calibrated, (&read, &scale));
    let rows = Rows::new(&unit, &read, &read_again(findings));
    let now = (&calibrated.now, &read, &scale);
    count(findings, case, &mut predictor, &mut candidates, &rows, now);
    else_by_frequency(&mut candidates);
    let mut causes = rank(&candidates, &unit);
    let no_feed = ln_no_feed_each(&predictor, &calibrated.now, &read, &scale);
    reasons(case, &of, &candidates, (&read, &no_feed), findings, &mut causes);
    let scales = Scales {
        prior: &calibrated.now,
        read: &read,
    };
    let pairs = pairs(case, &mut predictor, &candidates, &scales, findings);
    let tests = catalogue(case, &read).into_iter().filter(|test| offered(*test));
    let promises = ranked_tests(case, &mut predictor, &candidates, (&read, &rows), tests.collect());
    let (explained, ratio) = explained(case, &mut predictor, &calibrated, &read);
    tell(Workings {
        case,
        of: &of,
        predictor: &mut predictor,
        calibrated: &calibrated,
        scale: &scale,
        read: &read,
        rows: &rows,
        candidates: &candidates,
        findings,
        causes: &causes,
        promises: &promises,
    });
    let diagnosis = Diagnosis {
        explained_by_conditions: explained,
        changes: changes(case, &mut predictor, &calibrated, &read),
        flow_ratio: ratio,
        causes,
        pairs,
        next_test: promises.first().map(|first| to_make(first, &unit)),
        warnings: calibrated.warnings,
    };
    Ok((diagnosis, promises))
}

/// The best test.
fn to_make(promise: &Promise, unit: &Unit) -> NextTest {
    NextTest {
        test: TestToMake::new(promise.test, unit, &promise.expected),
        expected_information_bits: promise.bits,
    }
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

/// The probability of each cause, most probable first, with its most probable part.
fn rank(candidates: &[Candidate], unit: &Unit) -> Vec<Ranked> {
    let whole = ln_sum(candidates.iter().map(|one| one.ln_weight));
    let mut ranked: Vec<Ranked> = Cause::ALL
        .iter()
        .map(|cause| {
            let of_cause = || candidates_of(candidates, *cause);
            let ln = ln_sum(of_cause().map(|one| one.ln_weight));
            let part = of_cause()
                .max_by(|a, b| a.ln_weight.total_cmp(&b.ln_weight))
                .and_then(|one| one.hypothesis.part.clone())
                .or_else(|| only_part(*cause, unit));
            let probability = (ln - whole).exp();
            Ranked {
                cause: *cause,
                probability: if probability.is_finite() { probability } else { 0.0 },
                part,
                reasons: Vec::new(),
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

/// The part of a cause that only one part of a unit can have.
fn only_part(cause: Cause, unit: &Unit) -> Option<String> {
    let last = |is: fn(&StageKind) -> bool| {
        unit.stages
            .iter()
            .rev()
            .find(|stage| is(&stage.kind))
            .map(|stage| stage.id.clone())
    };
    match cause {
        Cause::CarbonSpent => last(|kind| matches!(kind, StageKind::Carbon { .. })),
        Cause::SoftenerExhausted => last(|kind| matches!(kind, StageKind::Softener { .. })),
        Cause::ResinExhausted => unit
            .permeate
            .polish
            .iter()
            .find(|one| one.kind == PolishKind::MixedBed)
            .map(|one| one.id.clone()),
        Cause::MembraneOxidised if unit.membranes.elements.len() == 1 => {
            unit.membranes.elements.first().map(|one| one.id.clone())
        }
        _ => None,
    }
}
