//! Among all that can be done at this unit with usual tools, the test that tells most of the cause per minute of work.

mod account;

use unit::{StageKind, Unit};

use crate::Case;
use crate::candidate::Candidate;
use crate::catalogue::{Test, minutes};
use crate::cause::Cause;
use crate::circumstances::feed_chlorine;
use crate::information::{Branch, Outcomes};
use crate::observable::{Observable, Readings};
use crate::outlook::{Outlook, Rows, outlooks};
use crate::predict::Predictor;
use crate::signs::{chance_observed, ln_chlorine, spent_range};
use crate::state::SHARED;

pub(crate) use account::{EQUATIONS, of_information, of_shown};

/// A test must promise this many bits to be worth making.
const WORTH_BITS: f64 = 0.02;
/// A question costs the customer a word: it is worth asking for less.
const WORTH_ASKING_BITS: f64 = 0.004;

/// How likely a test that has two outcomes is to find what it looks for under a cause; none where a value is read.
///
/// How often a look finds what it looks for is common practice, no source.
pub(crate) fn chance_found(test: Test, unit: &Unit, cause: Cause) -> Option<f64> {
    Some(match test {
        Test::FlushValve => match cause {
            Cause::RestrictorWorn => 0.5,
            _ => 0.01,
        },
        Test::Restrictor => match cause {
            Cause::RestrictorBlocked => 0.85,
            Cause::MembraneScaled => 0.3,
            _ => 0.05,
        },
        Test::Cartridge(i) => {
            let sediment = matches!(
                unit.stages.get(i).map(|stage| &stage.kind),
                Some(StageKind::Sediment { .. })
            );
            match (cause, sediment) {
                (Cause::SedimentBlocked, true) => 0.95,
                (Cause::CarbonBlocked, false) => 0.6,
                (_, true) => 0.25,
                (_, false) => 0.1,
            }
        }
        Test::RunOn => match cause {
            Cause::JustStarted => 0.95,
            _ => 0.04,
        },
        Test::Ask(observed) => chance_observed(observed, cause),
        _ => return None,
    })
}

/// Variance of a value's own error when it is read with an instrument that was not used before.
pub(crate) fn fresh_noise(case: &Case<'_>, observable: Observable, level: f64) -> f64 {
    // The whole error is new: its shared part comes from another instrument.
    noise_of(case, observable, level) / (1.0 - SHARED)
}

/// Variance of a flow's ln when it is timed once more into the same vessel, against the time before.
pub(crate) fn freed_sd(unit: &Unit) -> f64 {
    (2.0 * (1.0 - SHARED)).sqrt() * unit.instruments.bucket_error + 0.005
}

/// Variance that is new in a reading about this level, as the observable is compared.
fn noise_of(case: &Case<'_>, observable: Observable, level: f64) -> f64 {
    let us_cm = if observable.logarithmic() {
        level.exp()
    } else {
        level
    };
    observable.noise(&case.unit.instruments, us_cm, case.reading.meter_factor_sd)
}

/// The outcomes of a test under each cause.
fn outcomes(test: Test, case: &Case<'_>, outlooks: &[Outlook], rows: &Rows) -> Outcomes {
    let count = Cause::COUNT;
    let mut chance = vec![0.0; count];
    for outlook in outlooks {
        if let Some(sum) = chance.get_mut(outlook.cause) {
            *sum += outlook.weight;
        }
    }
    let reading = |rows: &[(usize, f64)], noise: &dyn Fn(f64) -> f64| {
        let branches: Vec<Branch> = outlooks
            .iter()
            .map(|outlook| {
                let level: f64 = rows.first().map_or(0.0, |(row, _)| outlook.linear.value[*row]);
                let (mean, sd) = outlook.value(rows, noise(level));
                Branch {
                    cause: outlook.cause,
                    weight: outlook.weight,
                    mean,
                    sd,
                }
            })
            .collect();
        Outcomes::of_reading(&branches, count)
    };
    let question = |yes: &dyn Fn(Cause) -> f64| {
        Outcomes::of_question(chance.clone(), |i| {
            Cause::ALL.get(i).map_or(0.0, |cause| yes(*cause))
        })
    };
    match test {
        Test::Read(observable) => match rows.of(observable) {
            Some(row) => reading(&[(row, 1.0)], &|level| noise_of(case, observable, level)),
            None => Outcomes::default(),
        },
        Test::Again(observable) => match rows.again(observable) {
            Some(row) => reading(&[(row, 1.0)], &|level| fresh_noise(case, observable, level)),
            None => Outcomes::default(),
        },
        Test::Probe(i) => {
            let (own, whole) = (
                rows.of(Observable::ElementPermeate(i)),
                rows.of(Observable::PermeateConductivity),
            );
            match own.zip(whole) {
                // The same meter held into both: its factor cancels.
                Some((own, whole)) => reading(&[(own, 1.0), (whole, -1.0)], &|level| {
                    2.0 * noise_of(case, Observable::ElementPermeate(i), level)
                }),
                None => Outcomes::default(),
            }
        }
        Test::Chlorine => chlorine_outcomes(case, chance),
        Test::Hardness => question(&|cause| {
            if cause == Cause::SoftenerExhausted {
                0.95
            } else {
                0.05
            }
        }),
        Test::Resin(_) => question(&|cause| {
            if cause == Cause::ResinExhausted {
                0.95
            } else {
                0.03
            }
        }),
        Test::FreePermeate => {
            let branches: Vec<Branch> = outlooks
                .iter()
                .map(|outlook| Branch {
                    cause: outlook.cause,
                    weight: outlook.weight,
                    mean: outlook.freed,
                    sd: freed_sd(case.unit),
                })
                .collect();
            Outcomes::of_reading(&branches, count)
        }
        Test::FlushValve | Test::Restrictor | Test::Cartridge(_) | Test::RunOn | Test::Ask(_) => {
            question(&|cause| chance_found(test, case.unit, cause).unwrap_or(0.5))
        }
    }
}

/// A chlorine test in steps of its colour chart, mg/L.
const CHLORINE_STEPS: [f64; 8] = [0.025, 0.075, 0.125, 0.2, 0.35, 0.6, 1.0, 2.0];

fn chlorine_outcomes(case: &Case<'_>, chance: Vec<f64>) -> Outcomes {
    let range = spent_range(case.unit, feed_chlorine(case));
    let row = |spent: bool| -> Vec<f64> {
        let mut cells = Vec::new();
        let mut low = 0.0;
        for high in CHLORINE_STEPS {
            // The density over the cell by ten midpoints.
            let width = (high - low) / 10.0;
            let mass: f64 = (0..10)
                .map(|i| ln_chlorine(low + width * (f64::from(i) + 0.5), spent, range).exp() * width)
                .sum();
            cells.push(mass);
            low = high;
        }
        let sum: f64 = cells.iter().sum();
        if sum > 0.0 {
            for cell in &mut cells {
                *cell /= sum;
            }
        }
        cells
    };
    let (spent, good) = (row(true), row(false));
    let table = Cause::ALL
        .iter()
        .map(|cause| match cause {
            Cause::CarbonSpent => spent.clone(),
            Cause::MembraneOxidised => spent
                .iter()
                .zip(&good)
                .map(|(s, g)| 0.15 * s + 0.85 * g)
                .collect(),
            _ => good.clone(),
        })
        .collect();
    Outcomes { chance, table }
}

/// A fixed cost of any test at the unit, minutes: to think, to walk, to write down (common practice, no source). A question
/// has none.
const OVERHEAD_MIN: f64 = 2.0;

/// Where nothing has been measured yet, somebody has still to get there, minutes (common practice, no source): what the
/// customer can say is asked first, and may save the drive.
const DRIVE_MIN: f64 = 30.0;

/// What a test costs beside its own work, minutes.
fn overhead_min(test: Test, read: &Readings) -> f64 {
    match test {
        Test::Ask(_) => 0.0,
        _ if read.observables.is_empty() => OVERHEAD_MIN + DRIVE_MIN,
        _ => OVERHEAD_MIN,
    }
}

/// A test, what it promises, and what the likeliest causes would have it show.
#[derive(Clone, Debug)]
pub(crate) struct Promise {
    pub(crate) test: Test,
    /// Expected information on the cause, bits.
    pub(crate) bits: f64,
    /// In the observable's own unit, likeliest cause first.
    pub(crate) expected: Vec<(Cause, f64)>,
}

/// What each of these tests promises, best per minute first; those that promise too little are left out.
pub(crate) fn ranked_tests(
    case: &Case<'_>,
    predictor: &mut Predictor<'_>,
    candidates: &[Candidate],
    (read, rows): (&Readings, &Rows),
    tests: Vec<Test>,
) -> Vec<Promise> {
    let outlooks = outlooks(predictor, candidates, rows);
    let worth = |test| match test {
        Test::Ask(_) => WORTH_ASKING_BITS,
        _ => WORTH_BITS,
    };
    let mut promises: Vec<Promise> = tests
        .into_iter()
        .map(|test| Promise {
            test,
            bits: outcomes(test, case, &outlooks, rows).bits(),
            expected: Vec::new(),
        })
        .filter(|one| one.bits >= worth(one.test))
        .collect();
    let rate = |one: &Promise| one.bits / (minutes(one.test) + overhead_min(one.test, read));
    promises.sort_by(|a, b| rate(b).total_cmp(&rate(a)));
    for one in &mut promises {
        one.expected = expected(one.test, &outlooks, rows);
    }
    promises
}

/// What a test reads, and its row; none where it reads no value of the model.
fn shown_in(test: Test, rows: &Rows) -> Option<(Observable, usize)> {
    let observable = match test {
        Test::Read(observable) | Test::Again(observable) => observable,
        Test::Probe(i) => Observable::ElementPermeate(i),
        Test::FreePermeate => Observable::PermeateFlow,
        _ => return None,
    };
    let again = matches!(test, Test::Again(_))
        .then(|| rows.again(observable))
        .flatten();
    Some((observable, again.or_else(|| rows.of(observable))?))
}

/// What one severity would have a test show, as its observable is compared.
fn shown_by(test: Test, outlook: &Outlook, row: usize) -> f64 {
    let extra = if test == Test::FreePermeate {
        outlook.freed
    } else {
        0.0
    };
    outlook.linear.value[row] + extra
}

/// What the likeliest causes would have the test show, in its own unit.
fn expected(test: Test, outlooks: &[Outlook], rows: &Rows) -> Vec<(Cause, f64)> {
    let Some((observable, row)) = shown_in(test, rows) else {
        return Vec::new();
    };
    let mut found: Vec<(Cause, f64, f64)> = Vec::new();
    for (i, cause) in Cause::ALL.iter().enumerate() {
        let (mut sum, mut weight) = (0.0, 0.0);
        for outlook in outlooks.iter().filter(|outlook| outlook.cause == i) {
            sum += outlook.weight * shown_by(test, outlook, row);
            weight += outlook.weight;
        }
        if weight > 0.03 {
            let mean = sum / weight;
            found.push((
                *cause,
                if observable.logarithmic() {
                    mean.exp()
                } else {
                    mean
                },
                weight,
            ));
        }
    }
    found.sort_by(|a, b| b.2.total_cmp(&a.2));
    found
        .into_iter()
        .take(3)
        .map(|(cause, value, _)| (cause, value))
        .collect()
}
