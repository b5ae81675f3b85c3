//! Among all that can be done at this unit with usual tools, the test that tells most of the cause per minute of work.

use nalgebra::{DMatrix, DVector};
use unit::StageKind;

use crate::Case;
use crate::catalogue::{Test, catalogue, minutes};
use crate::cause::Cause;
use crate::diagnose::{Candidate, NextTest, feed_chlorine};
use crate::gaussian::{Innovation, Linear, ln_sum};
use crate::information::{Branch, Outcomes};
use crate::observable::{Observable, Readings};
use crate::predict::Predictor;
use crate::signs::{chance_observed, ln_chlorine, spent_range};
use crate::state::{SHARED, Unknown};
use crate::test_words;

/// What a severity would show of everything that can be read.
struct Outlook {
    cause: usize,
    weight: f64,
    /// All observables about the most likely state.
    linear: Linear,
    /// Spread of each after this reading, without the next reading's own error.
    gain: DMatrix<f64>,
    reduction: DMatrix<f64>,
    /// ln of permeate flow with the line taken off, over that before.
    freed: f64,
}

/// Severities less probable than this say nothing about the next test.
const FAINT: f64 = 1e-3;
/// A test must promise this many bits to be worth making.
const WORTH_BITS: f64 = 0.02;

/// The outlooks of all severities that still count.
fn outlooks(
    predictor: &mut Predictor<'_>,
    candidates: &[Candidate],
    read: &Readings,
    all: &[Observable],
) -> Vec<Outlook> {
    let whole = ln_sum(candidates.iter().map(|one| one.ln_weight));
    let mut found: Vec<(usize, Outlook)> = Vec::new();
    for (number, candidate) in candidates.iter().enumerate() {
        let cause = candidate.hypothesis.cause;
        let Some(index) = Cause::ALL.iter().position(|one| *one == cause) else {
            continue;
        };
        let weight = (candidate.ln_weight - whole).exp();
        // A copy needs its original, however faint that is.
        let copied = copied(candidates, whole, number);
        if !loud(weight) && !copied {
            continue;
        }
        // What moves the flows alike is looked at once.
        if let Some(other) = candidate.like {
            let of_other: f64 = found
                .iter()
                .filter(|(of, _)| *of == other)
                .map(|(_, outlook): &(usize, Outlook)| outlook.weight)
                .sum();
            let copies: Vec<(usize, Outlook)> = found
                .iter()
                .filter(|(of, _)| *of == other && of_other > 0.0)
                .map(|(_, outlook)| {
                    let weight = outlook.weight / of_other * weight;
                    (number, outlook.with(index, weight))
                })
                .collect();
            found.extend(copies);
            continue;
        }
        let source = candidate;
        let terms: Vec<f64> = source
            .nodes
            .iter()
            .map(|node| node.as_ref().map_or(f64::NEG_INFINITY, |w| w.ln_evidence))
            .collect();
        let sum = ln_sum(terms);
        for (node, weighed) in source.hypothesis.nodes.iter().zip(&source.nodes) {
            let Some(weighed) = weighed else { continue };
            let share = (weighed.ln_evidence - sum).exp();
            let weight = weight * share;
            let needed = loud(weight) || (copied && share > 0.02);
            if !needed {
                continue;
            }
            let Some(linear) = predictor.linear(&weighed.state, &node.fixed, all) else {
                continue;
            };
            let Some(mut innovation) = Innovation::new(&weighed.linear, &weighed.prior, &read.noise) else {
                continue;
            };
            if let Some(within) = &weighed.within {
                innovation = innovation.widened(within);
            }
            let gain = &linear.slope * &weighed.prior.covariance;
            let reduction = innovation.explained(&linear.slope);
            let freed = freed(predictor, &linear, all);
            let outlook = Outlook {
                cause: index,
                weight,
                linear,
                gain,
                reduction,
                freed,
            };
            found.push((number, outlook));
        }
    }
    found.into_iter().map(|(_, outlook)| outlook).collect()
}

/// ln of the permeate flow without the pressure at the tank, over that with it, on the straight line.
fn freed(predictor: &Predictor<'_>, linear: &Linear, all: &[Observable]) -> f64 {
    let row = all.iter().position(|one| *one == Observable::PermeateFlow);
    let column = predictor.layout.index(Unknown::PermeatePressure);
    match (row, column) {
        (Some(row), Some(column)) => {
            (-linear.slope[(row, column)] * linear.at[column].max(0.0)).clamp(-0.1, 2.0)
        }
        _ => 0.0,
    }
}

/// Whether a weight counts; one that is no number does not.
fn loud(weight: f64) -> bool {
    weight > FAINT
}

/// Whether another candidate that counts has the same flows as this one.
fn copied(candidates: &[Candidate], whole: f64, number: usize) -> bool {
    candidates
        .iter()
        .any(|one| one.like == Some(number) && loud((one.ln_weight - whole).exp()))
}

impl Outlook {
    /// The same under another cause.
    fn with(&self, cause: usize, weight: f64) -> Self {
        Self {
            cause,
            weight,
            linear: self.linear.clone(),
            gain: self.gain.clone(),
            reduction: self.reduction.clone(),
            freed: self.freed,
        }
    }

    /// Mean and standard deviation of a straight combination of observables, with this noise.
    fn value(&self, rows: &[(usize, f64)], noise: f64, other_instrument: &[usize]) -> (f64, f64) {
        let mut direction = DVector::zeros(self.linear.slope.ncols());
        let mut mean = 0.0;
        for (row, weight) in rows {
            mean += weight * self.linear.value[*row];
            for (i, slope) in self.linear.slope.row(*row).iter().enumerate() {
                direction[i] += weight * slope;
            }
        }
        // P' J' = P J' - the part that the reading has explained; rows of `gain` are J P.
        let combined = |of: &DMatrix<f64>| {
            let mut sum = DVector::zeros(of.ncols());
            for (row, weight) in rows {
                for (i, x) in of.row(*row).iter().enumerate() {
                    sum[i] += weight * x;
                }
            }
            sum
        };
        // Another instrument brings an offset of its own: take the old one's out.
        for column in other_instrument {
            mean -= direction[*column] * self.linear.at[*column];
            direction[*column] = 0.0;
        }
        let variance = (combined(&self.gain) - combined(&self.reduction)).dot(&direction);
        (mean, (variance.max(0.0) + noise).sqrt())
    }
}

/// The outcomes of a test under each cause.
fn outcomes(
    test: Test,
    case: &Case<'_>,
    predictor: &Predictor<'_>,
    outlooks: &[Outlook],
    all: &[Observable],
) -> Outcomes {
    let unit = case.unit;
    let count = Cause::COUNT;
    let row = |observable: Observable| all.iter().position(|one| *one == observable);
    let mut chance = vec![0.0; count];
    for outlook in outlooks {
        if let Some(sum) = chance.get_mut(outlook.cause) {
            *sum += outlook.weight;
        }
    }
    let reading = |rows: &[(usize, f64)], noise: &dyn Fn(f64) -> f64, fresh: &[usize]| {
        let branches: Vec<Branch> = outlooks
            .iter()
            .map(|outlook| {
                let level: f64 = rows.first().map_or(0.0, |(row, _)| outlook.linear.value[*row]);
                let (mean, sd) = outlook.value(rows, noise(level), fresh);
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
    let noise_of = |observable: Observable, level: f64| {
        let us_cm = if observable.logarithmic() {
            level.exp()
        } else {
            level
        };
        observable.noise(&unit.instruments, us_cm, case.reading.meter_factor_sd)
    };
    match test {
        Test::Read(observable) => match row(observable) {
            Some(row) => reading(&[(row, 1.0)], &|level| noise_of(observable, level), &[]),
            None => Outcomes::default(),
        },
        Test::Again(observable) => match row(observable) {
            Some(row) => {
                let offsets: Vec<usize> = [match observable {
                    Observable::Pressure(place) => Some(Unknown::Gauge(place)),
                    Observable::FeedConductivity => Some(Unknown::FeedMeter),
                    Observable::PermeateConductivity => Some(Unknown::PermeateMeter),
                    Observable::PermeateFlow | Observable::ConcentrateFlow => Some(Unknown::Bucket),
                    _ => None,
                }
                .and_then(|unknown| predictor.layout.index(unknown))]
                .into_iter()
                .flatten()
                .collect();
                // The whole error is new: its shared part comes from another instrument.
                reading(
                    &[(row, 1.0)],
                    &|level| noise_of(observable, level) / (1.0 - SHARED),
                    &offsets,
                )
            }
            None => Outcomes::default(),
        },
        Test::Probe(i) => {
            let (own, whole) = (
                row(Observable::ElementPermeate(i)),
                row(Observable::PermeateConductivity),
            );
            match own.zip(whole) {
                // The same meter held into both: its factor cancels.
                Some((own, whole)) => reading(
                    &[(own, 1.0), (whole, -1.0)],
                    &|level| 2.0 * noise_of(Observable::ElementPermeate(i), level),
                    &[],
                ),
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
        Test::FreePermeate => {
            let bucket = unit.instruments.bucket_error;
            let branches: Vec<Branch> = outlooks
                .iter()
                .map(|outlook| Branch {
                    cause: outlook.cause,
                    weight: outlook.weight,
                    mean: outlook.freed,
                    sd: (2.0 * (1.0 - SHARED)).sqrt() * bucket + 0.005,
                })
                .collect();
            Outcomes::of_reading(&branches, count)
        }
        // How often a look finds what it looks for is common practice, no source.
        Test::FlushValve => question(&|cause| match cause {
            Cause::RestrictorWorn => 0.5,
            _ => 0.01,
        }),
        Test::Restrictor => question(&|cause| match cause {
            Cause::RestrictorBlocked => 0.85,
            Cause::MembraneScaled => 0.3,
            _ => 0.05,
        }),
        Test::Cartridge(i) => {
            let sediment = matches!(
                unit.stages.get(i).map(|stage| &stage.kind),
                Some(StageKind::Sediment { .. })
            );
            question(&|cause| match (cause, sediment) {
                (Cause::SedimentBlocked, true) => 0.95,
                (Cause::CarbonBlocked, false) => 0.6,
                (_, true) => 0.25,
                (_, false) => 0.1,
            })
        }
        Test::RunOn => question(&|cause| match cause {
            Cause::JustStarted => 0.95,
            _ => 0.04,
        }),
        Test::Ask(observed) => question(&|cause| chance_observed(observed, cause)),
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

/// A fixed cost of any test, minutes: to think, to walk, to write down (common practice, no source).
const OVERHEAD_MIN: f64 = 2.0;

/// A test, what it promises in bits, and what the likeliest causes would have it show.
pub(crate) type Promise = (Test, f64, Vec<(Cause, f64)>);

/// What each test promises, best per minute first.
pub(crate) fn ranked_tests(
    case: &Case<'_>,
    predictor: &mut Predictor<'_>,
    candidates: &[Candidate],
    read: &Readings,
) -> Vec<Promise> {
    let all = Observable::all(case.unit);
    let outlooks = outlooks(predictor, candidates, read, &all);
    let mut tests: Vec<Promise> = catalogue(case, read)
        .into_iter()
        .map(|test| {
            let bits = outcomes(test, case, predictor, &outlooks, &all).bits();
            (test, bits, expected(test, &outlooks, &all))
        })
        .filter(|(_, bits, _)| *bits >= WORTH_BITS)
        .collect();
    let rate = |one: &Promise| one.1 / (minutes(one.0) + OVERHEAD_MIN);
    tests.sort_by(|a, b| rate(b).total_cmp(&rate(a)));
    tests
}

/// What the likeliest causes would have the test show, in its own unit.
fn expected(test: Test, outlooks: &[Outlook], all: &[Observable]) -> Vec<(Cause, f64)> {
    let observable = match test {
        Test::Read(observable) | Test::Again(observable) => observable,
        Test::Probe(i) => Observable::ElementPermeate(i),
        Test::FreePermeate => Observable::PermeateFlow,
        _ => return Vec::new(),
    };
    let Some(row) = all.iter().position(|one| *one == observable) else {
        return Vec::new();
    };
    let mut found: Vec<(Cause, f64, f64)> = Vec::new();
    for (i, cause) in Cause::ALL.iter().enumerate() {
        let (mut sum, mut weight) = (0.0, 0.0);
        for outlook in outlooks.iter().filter(|outlook| outlook.cause == i) {
            let extra = if test == Test::FreePermeate {
                outlook.freed
            } else {
                0.0
            };
            sum += outlook.weight * (outlook.linear.value[row] + extra);
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

/// The best test, in words.
pub(crate) fn next_test(
    case: &Case<'_>,
    predictor: &mut Predictor<'_>,
    candidates: &[Candidate],
    read: &Readings,
) -> Option<NextTest> {
    let tests = ranked_tests(case, predictor, candidates, read);
    let (test, bits, expected) = tests.first()?;
    Some(NextTest {
        action: test_words::action(*test),
        field: test_words::field(*test),
        expected_information_bits: *bits,
        sentence: test_words::sentence(*test, case.unit, expected),
    })
}
