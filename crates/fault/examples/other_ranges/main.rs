//! How well the diagnosis holds on units, feeds, instruments and severities other than those of `reference/practice`.
//!
//!     cargo run --release -p fault --example other_ranges -- [COUNT] [SEED] [LEAST] [MOST] [BAD]
//!
//! LEAST and MOST bound the severities (0 just beyond the noise, 1 gross; usually all of it), BAD is how many times as bad as
//! stated the instruments are in one case of five (2).
//!
//! Simulated with this project's own unit model, so it shows whether the probabilities are right where the model is, not
//! whether the model is. Causes are drawn as often as the diagnosis takes them to be met. Prints tables.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    unreachable_pub,
    missing_docs,
    reason = "an experiment prints and stops at the first fault"
)]

mod dice;
mod draw;
mod faults;
mod plan;

use fault::{Case, Cause, diagnose};

use dice::Dice;
use draw::{Drawn, draw};

/// What was said of one case.
struct Said {
    drawn: Drawn,
    probabilities: Vec<(Cause, f64)>,
}

impl Said {
    fn rank(&self) -> usize {
        let is = |one: &(Cause, f64)| one.0 == self.drawn.cause;
        self.probabilities.iter().position(is).unwrap()
    }

    fn of(&self, cause: Cause) -> f64 {
        self.probabilities.iter().find(|one| one.0 == cause).unwrap().1
    }
}

/// Expected calibration error as `score.py` has it: ten bins of equal count over the three most probable of each case.
fn calibration(said: &[&Said]) -> f64 {
    let mut pairs: Vec<(f64, bool)> = said
        .iter()
        .flat_map(|one| {
            one.probabilities[..3]
                .iter()
                .map(|(c, p)| (*p, *c == one.drawn.cause))
        })
        .collect();
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let n = pairs.len();
    (0..10)
        .map(|i| {
            let bin = &pairs[i * n / 10..(i + 1) * n / 10];
            let said: f64 = bin.iter().map(|one| one.0).sum();
            let met = bin.iter().filter(|one| one.1).count() as f64;
            (said - met).abs() / n as f64
        })
        .sum()
}

/// One line: how often the first is right, how sure it was on average, how often among three, and the error.
fn line(name: &str, said: &[&Said]) {
    let n = said.len() as f64;
    if said.len() < 15 {
        return;
    }
    let top = |k: usize| said.iter().filter(|one| one.rank() < k).count() as f64 / n;
    let sure = said.iter().map(|one| one.probabilities[0].1).sum::<f64>() / n;
    let ln = said
        .iter()
        .map(|one| one.of(one.drawn.cause).max(1e-12).ln())
        .sum::<f64>()
        / n;
    println!(
        "{name:34} {:5}  first {:.3}  said {sure:.3}  three {:.3}  error {:.3}  ln {ln:.3}",
        said.len(),
        top(1),
        top(3),
        calibration(said)
    );
}

fn tables(all: &[Said]) {
    let pick = |is: &dyn Fn(&Drawn) -> bool| all.iter().filter(|one| is(&one.drawn)).collect::<Vec<_>>();
    for (name, full) in [("full", true), ("sparse", false)] {
        let of = |what: &str, is: &dyn Fn(&Drawn) -> bool| {
            line(
                &format!("{name}, {what}"),
                &pick(&|d| d.full == full && d.wild <= 1.0 && is(d)),
            );
        };
        of("all", &|_| true);
        let pumped = |d: &Drawn| d.unit.stages.iter().any(|s| s.id == "booster");
        of("pump", &pumped);
        of("no pump", &|d| !pumped(d));
        for n in 1..=4 {
            of(&format!("{n} elements"), &|d| {
                d.unit.membranes.elements.len() == n
            });
        }
        of("parallel", &|d| {
            d.unit.membranes.arrangement == unit::Arrangement::Parallel
        });
        of("baseline", &|d| d.baseline.is_some());
        of("no baseline", &|d| d.baseline.is_none());
        let salt = |d: &Drawn| d.water.as_ref().and_then(|w| w.tds_mg_l).unwrap_or(0.0);
        of("under 400 mg/L", &|d| salt(d) < 400.0);
        of("over 1500 mg/L", &|d| salt(d) > 1500.0);
        of("mild", &|d| d.severity < 0.3);
        of("gross", &|d| d.severity > 0.7);
        line(
            &format!("{name}, instruments worse than stated"),
            &pick(&|d| d.full == full && d.wild > 1.0),
        );
    }
    println!(
        "\ncause: cases, its mean probability over all cases against its share, how often first, what it is taken for"
    );
    for full in [true, false] {
        let group = pick(&|d| d.full == full && d.wild <= 1.0);
        let n = group.len() as f64;
        println!("{}", if full { "full" } else { "sparse" });
        for cause in Cause::ALL {
            let own: Vec<&&Said> = group.iter().filter(|one| one.drawn.cause == *cause).collect();
            let said = group.iter().map(|one| one.of(*cause)).sum::<f64>() / n;
            if own.is_empty() && said < 0.002 {
                continue;
            }
            let first = own.iter().filter(|one| one.rank() == 0).count() as f64 / own.len().max(1) as f64;
            let mut mistaken: Vec<(&str, usize)> = Vec::new();
            for one in own.iter().filter(|one| one.rank() > 0) {
                let name = one.probabilities[0].0.name();
                match mistaken.iter_mut().find(|other| other.0 == name) {
                    Some(found) => found.1 += 1,
                    None => mistaken.push((name, 1)),
                }
            }
            mistaken.sort_by_key(|one| std::cmp::Reverse(one.1));
            mistaken.truncate(4);
            let share = own.len() as f64 / n;
            let name = cause.name();
            println!(
                "  {name:23} {:4}  said {said:.3} share {share:.3}  first {first:.2}  {mistaken:?}",
                own.len()
            );
        }
    }
    println!("\nsaid of the first, against how often it was right");
    for full in [true, false] {
        for bin in 0..10 {
            let (low, high) = (f64::from(bin) / 10.0, f64::from(bin + 1) / 10.0);
            let of: Vec<&Said> = all
                .iter()
                .filter(|one| one.drawn.full == full && one.drawn.wild <= 1.0)
                .filter(|one| (low..high).contains(&one.probabilities[0].1))
                .collect();
            if of.len() > 10 {
                let right = of.iter().filter(|one| one.rank() == 0).count() as f64 / of.len() as f64;
                let said = of.iter().map(|one| one.probabilities[0].1).sum::<f64>() / of.len() as f64;
                println!("  full {full:5} {:4}  said {said:.2}  right {right:.2}", of.len());
            }
        }
    }
}

fn main() {
    let number = |i: usize, usual: u64| {
        std::env::args()
            .nth(i)
            .and_then(|x| x.parse().ok())
            .unwrap_or(usual)
    };
    let real = |i: usize, usual: f64| {
        std::env::args()
            .nth(i)
            .and_then(|x| x.parse().ok())
            .unwrap_or(usual)
    };
    let (count, seed) = (number(1, 1500), number(2, 1));
    let severities = (real(3, 0.0), real(4, 1.0));
    let bad = real(5, 2.0);
    let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
    let mut all = Vec::new();
    while (all.len() as u64) < count {
        let full = dice.chance(0.5);
        let wild = if dice.chance(0.2) { bad } else { 1.0 };
        let Some(drawn) = draw(&mut dice, full, wild, severities) else {
            continue;
        };
        let case = Case {
            unit: &drawn.unit,
            water: drawn.water.as_ref(),
            reading: &drawn.reading,
            baseline: drawn.baseline.as_ref(),
            readings: &[],
            events: &[],
        };
        let found = diagnose(&case).unwrap();
        let probabilities = found
            .causes
            .iter()
            .map(|one| (one.cause, one.probability))
            .collect();
        all.push(Said { drawn, probabilities });
    }
    tables(&all);
}
