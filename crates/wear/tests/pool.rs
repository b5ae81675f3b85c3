//! Pooled lives against lifelines, and the local linear trend against statsmodels; both run beside the test.

use std::process::Command;
use std::sync::LazyLock;

use proptest::prelude::*;
use serde_json::Value;
use wear::forecast::pool::{Ending, PastLife, PastLives, PoolPrior, Pooled, pool};
use wear::forecast::trend::{LocalTrend, Seen, TrendState};
use wear::forecast::{Prior, Severity};

static REFERENCE: LazyLock<Value> = LazyLock::new(|| {
    let python = std::env::var("SALTMARK_PYTHON")
        .expect("SALTMARK_PYTHON names a Python with lifelines: run the tests by `cargo xtask test`");
    let output = Command::new(python)
        .arg(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/pool.py"))
        .env("OMP_NUM_THREADS", "1")
        .output()
        .expect("the Python of SALTMARK_PYTHON runs");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    serde_json::from_slice(&output.stdout).expect("one JSON document")
});

fn numbers(value: &Value) -> Vec<f64> {
    value
        .as_array()
        .unwrap()
        .iter()
        .filter_map(Value::as_f64)
        .collect()
}

fn lives(of: &Value) -> Vec<PastLife> {
    let severities = of
        .get("severity")
        .map_or_else(|| vec![1.0; numbers(&of["length"]).len()], numbers);
    let ended = numbers(&of["ended"]);
    numbers(&of["length"])
        .into_iter()
        .zip(ended)
        .zip(severities)
        .map(|((length, ended), severity)| PastLife {
            length,
            ending: if ended > 0.5 {
                Ending::AtLimit
            } else {
                Ending::Before
            },
            severity,
        })
        .collect()
}

fn assert_near(name: &str, own: f64, theirs: f64, tolerance: f64) {
    assert!((own - theirs).abs() < tolerance, "{name}: {own} and {theirs}");
}

/// 1e-4: the optimiser of lifelines stops at about that.
const POOLED: f64 = 1e-4;

#[test]
fn val_lognormal_lives_with_censoring_equal_lifelines() {
    // lifelines 0.30.3, LogNormalFitter on its data set `waltons`: 163 lives, 7 of them censored.
    let theirs = &REFERENCE["waltons"];
    let found = pool(&lives(theirs), &PoolPrior::flat((0.0, 1e-9))).unwrap();
    assert_near("mu", found.mu, theirs["mu"].as_f64().unwrap(), POOLED);
    assert_near("sigma", found.sigma, theirs["sigma"].as_f64().unwrap(), POOLED);
    assert_near(
        "ln likelihood",
        found.ln_likelihood,
        theirs["ln_likelihood"].as_f64().unwrap(),
        POOLED,
    );
}

#[test]
fn val_lives_by_severity_equal_lifelines() {
    // lifelines 0.30.3, LogNormalAFTFitter on its data set `rossi`: 432 lives, 318 of them censored; ln(age/25)
    // stands for ln severity, with the opposite sign.
    let theirs = &REFERENCE["rossi"];
    let found = pool(&lives(theirs), &PoolPrior::flat((0.0, 1e6))).unwrap();
    assert_near("mu", found.mu, theirs["mu"].as_f64().unwrap(), POOLED);
    assert_near("beta", -found.beta, theirs["slope"].as_f64().unwrap(), POOLED);
    assert_near("sigma", found.sigma, theirs["sigma"].as_f64().unwrap(), POOLED);
    assert_near(
        "ln likelihood",
        found.ln_likelihood,
        theirs["ln_likelihood"].as_f64().unwrap(),
        POOLED,
    );
    // 1e-3: both are curvatures at an optimum found to 1e-4.
    assert_near(
        "sd of mu",
        found.covariance[0][0].sqrt(),
        theirs["sd_of_mu"].as_f64().unwrap(),
        1e-3,
    );
}

#[test]
fn val_local_linear_trend_equals_statsmodels_on_the_nile() {
    // statsmodels 0.15.0, UnobservedComponents(level="lltrend") with these variances and this known start.
    let theirs = &REFERENCE["nile"];
    let variances = numbers(&theirs["variances"]);
    let (start, covariance) = (numbers(&theirs["start"]), numbers(&theirs["covariance"]));
    let trend = LocalTrend {
        level_variance: variances[1],
        slope_variance: variances[2],
    };
    let start = TrendState {
        mean: [start[0], start[1]],
        covariance: [[covariance[0], 0.0], [0.0, covariance[1]]],
    };
    let seen: Vec<Seen> = numbers(&theirs["series"])
        .into_iter()
        .enumerate()
        .map(|(i, value)| Seen {
            step: if i == 0 { 0.0 } else { 1.0 },
            value,
            noise: variances[0],
        })
        .collect();
    let filtered = trend.filter(&start, &seen);
    let smoothed = trend.smooth(&filtered, &seen);
    // 1e-6 relative: the same recursions in another order of sums.
    let near =
        |name: &str, own: f64, theirs: f64| assert_near(name, own, theirs, 1e-6 * (1.0 + theirs.abs()));
    near(
        "ln likelihood",
        filtered.ln_likelihood,
        theirs["ln_likelihood"].as_f64().unwrap(),
    );
    assert_eq!(seen.len(), 100);
    for (name, own) in [("filtered", &filtered.filtered), ("smoothed", &smoothed)] {
        for (own, theirs) in own.iter().zip(theirs[name].as_array().unwrap()) {
            let theirs = numbers(theirs);
            near(name, own.mean[0], theirs[0]);
            near(name, own.mean[1], theirs[1]);
        }
    }
    for i in 0..2 {
        let last = numbers(&theirs["filtered_covariance"][i]);
        let first = numbers(&theirs["smoothed_covariance"][i]);
        for j in 0..2 {
            near("last filtered", filtered.filtered[99].covariance[i][j], last[j]);
            near("first smoothed", smoothed[0].covariance[i][j], first[j]);
        }
    }
}

#[test]
fn regress_no_past_life_leaves_the_prior_as_it_is() {
    let prior = Prior::default();
    assert_eq!(prior.informed(&PastLives::default(), Severity::TYPICAL), prior);
    // And the pool of none is as wide as the prior said; 1e-3: its spread's own median is taken, not its mean.
    let none = pool(&[], &PoolPrior::of(0.6, 0.8)).unwrap();
    let (mean, sd) = none.to_come(1.0);
    assert_near("mean", mean, 0.6f64.ln(), 1e-6);
    assert_near("sd", sd, 0.8, 1e-3);
}

#[test]
fn regress_other_units_narrow_the_prior_and_move_it() {
    let one = |length: f64, ending: Ending, severity: f64| PastLife {
        length,
        ending,
        severity,
    };
    let filters = vec![
        one(0.30, Ending::AtLimit, 1.0),
        one(0.33, Ending::Fitted(0.1), 1.0),
        one(0.27, Ending::AtLimit, 1.0),
        one(0.20, Ending::Before, 1.0),
        one(0.31, Ending::AtLimit, 1.0),
    ];
    let past = PastLives {
        filters,
        ..PastLives::default()
    };
    let prior = Prior::default();
    let informed = prior.informed(&past, Severity::TYPICAL);
    assert!(informed.filter_rate_sd < 0.7 * prior.filter_rate_sd);
    assert!((0.25..0.45).contains(&informed.filter_life_years), "{informed:?}");
    assert_eq!(informed.membrane_rates, prior.membrane_rates);
    // On a feed twice as bad it is shorter, and less well known.
    let worse = prior.informed(
        &past,
        Severity {
            filters: 2.0,
            membranes: 1.0,
            scaling: 0.0,
        },
    );
    assert!(worse.filter_life_years < 0.7 * informed.filter_life_years);
    assert!(worse.filter_rate_sd > informed.filter_rate_sd);
}

#[test]
fn regress_nothing_to_be_found_is_none() {
    let censored = PastLife {
        length: 2.0,
        ending: Ending::Before,
        severity: 1.0,
    };
    let flat = PoolPrior::flat((0.0, 1e-9));
    assert_eq!(pool(&[], &flat), None);
    assert_eq!(pool(&[censored; 4], &flat), None);
    assert_eq!(
        pool(
            &[PastLife {
                ending: Ending::AtLimit,
                ..censored
            }; 3],
            &flat
        ),
        None
    );
}

proptest! {
    #[test]
    fn prop_any_lives_give_a_finite_pool(
        lives in prop::collection::vec((prop::num::f64::ANY, 0u8..3, prop::num::f64::ANY), 0..20)
    ) {
        let lives: Vec<PastLife> = lives
            .into_iter()
            .map(|(length, ending, severity)| PastLife {
                length,
                ending: match ending {
                    0 => Ending::AtLimit,
                    1 => Ending::Before,
                    _ => Ending::Fitted(severity.abs()),
                },
                severity,
            })
            .collect();
        if let Some(Pooled { mu, beta, sigma, .. }) = pool(&lives, &PoolPrior::of(0.6, 0.8)) {
            prop_assert!(mu.is_finite() && beta.is_finite() && sigma > 0.0);
        }
    }
}
