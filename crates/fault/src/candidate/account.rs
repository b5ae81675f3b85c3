//! How the chance of a cause was computed.

use account::{Account, Equation, Measure, Origin, symbol};

use super::{Candidate, candidates_of};
use crate::cause::Cause;
use crate::circumstances::feed_chlorine;
use crate::diagnose::Workings;
use crate::frequency::frequency;
use crate::gaussian::ln_sum;
use crate::observable::gives_nothing;
use crate::signs::{ln_chemistry, ln_nothing, ln_observed};

const BAYES: &str = "Bayes' theorem; Jaynes, Probability Theory (2003), chapter 4";

/// One cause among all.
pub(crate) const CHANCE: Equation = Equation {
    name: "chance",
    formula: "P = w / sum(w_i)",
    symbols: &[
        symbol("P", "chance", Measure::Share),
        symbol("w", "cause-weight", Measure::Number),
        symbol("w_i", "cause-weight-each", Measure::Number),
    ],
    source: BAYES,
};

/// All causes that have no line of their own.
const REST: Equation = Equation {
    name: "chance-rest",
    formula: "P_r = 1 - sum(P)",
    symbols: &[
        symbol("P_r", "chance-rest", Measure::Share),
        symbol("P", "chance", Measure::Share),
    ],
    source: "all causes together are certain",
};

/// How often it is met times how well it fits.
const WEIGHT: Equation = Equation {
    name: "cause-weight",
    formula: "w = f * L",
    symbols: &[
        symbol("w", "cause-weight", Measure::Number),
        symbol("f", "cause-frequency", Measure::Share),
        symbol("L", "cause-fit", Measure::Number),
    ],
    source: BAYES,
};

/// Before anything is read.
const FREQUENCY: Equation = Equation {
    name: "cause-frequency",
    formula: "f = s * g / sum(g_i)",
    symbols: &[
        symbol("f", "cause-frequency", Measure::Share),
        symbol("g", "frequency-weight", Measure::Number),
        symbol("g_i", "frequency-weight-each", Measure::Number),
        symbol("s", "frequency-parts", Measure::Share),
    ],
    source: "common practice, no source; held against simulated cases (docs/diagnose.md)",
};

/// How likely it is that just this was read, seen and found.
const FIT: Equation = Equation {
    name: "cause-fit",
    formula: "L = exp(l_v + l_c + l_o + l_t - l_b)",
    symbols: &[
        symbol("L", "cause-fit", Measure::Number),
        symbol("l_v", "fit-values", Measure::Number),
        symbol("l_c", "fit-chemistry", Measure::Number),
        symbol("l_o", "fit-observed", Measure::Number),
        symbol("l_t", "fit-looks", Measure::Number),
        symbol("l_b", "fit-best", Measure::Number),
    ],
    source: BAYES,
};

/// Over the parts that may be at fault.
const VALUES: Equation = Equation {
    name: "fit-values",
    formula: "l_v = ln(sum(s_k * exp(l_k)))",
    symbols: &[
        symbol("l_v", "fit-values", Measure::Number),
        symbol("s_k", "part-share", Measure::Share),
        symbol("l_k", "part-fit", Measure::Number),
    ],
    source: BAYES,
};

/// Over how bad it may be.
const SEVERITIES: Equation = Equation {
    name: "part-fit",
    formula: "l_k = ln(sum(exp(l_j)) / n)",
    symbols: &[
        symbol("l_k", "part-fit", Measure::Number),
        symbol("l_j", "severity-fit", Measure::Number),
        symbol("n", "severities", Measure::Number),
    ],
    source: BAYES,
};

/// One severity.
const SEVERITY: Equation = Equation {
    name: "severity-fit",
    formula: "l_j = ln(0.95 * exp(-M / 2) + 0.05 * exp(-M / 18) / 3 ^ N) - D / 2 + o + a",
    symbols: &[
        symbol("l_j", "severity-fit", Measure::Number),
        symbol("M", "misfit", Measure::Number),
        symbol("N", "values-read", Measure::Number),
        symbol("D", "spread-of-values", Measure::Number),
        symbol("o", "severity-often", Measure::Number),
        symbol("a", "fit-again", Measure::Number),
    ],
    source: "normal errors; one reading in twenty is taken to be three times as uncertain as its instrument says (common \
             practice, no source)",
};

/// All equations of this module.
pub(crate) const EQUATIONS: [&Equation; 8] = [
    &CHANCE,
    &REST,
    &WEIGHT,
    &FREQUENCY,
    &FIT,
    &VALUES,
    &SEVERITIES,
    &SEVERITY,
];

/// A ln that can be shown: nothing is less likely than this.
const LEAST: f64 = -1e6;
/// A ln this near to nothing is what rounding left of it.
const ROUNDED: f64 = 1e-12;
/// What is less than this part of the greatest is not listed: a sum does not show it.
const LISTED: f64 = 1e-9;

/// What each cause weighs against the best fit of all, in the order of the causes; and ln of that best fit.
pub(crate) fn weights(candidates: &[Candidate]) -> (Vec<f64>, f64) {
    let fit = |cause: Cause| {
        let of = || candidates_of(candidates, cause);
        ln_sum(of().map(|one| one.ln_weight)) - of().map(|one| one.chance).sum::<f64>().ln()
    };
    let fits = Cause::ALL.iter().map(|cause| fit(*cause));
    let best = fits
        .filter(|fit| fit.is_finite())
        .fold(f64::NEG_INFINITY, f64::max);
    let weights = Cause::ALL
        .iter()
        .map(|cause| (ln_sum(candidates_of(candidates, *cause).map(|one| one.ln_weight)) - best).exp());
    (weights.collect(), best)
}

/// Those that a sum shows, the greatest first.
pub(crate) fn listed(values: &[f64]) -> Vec<f64> {
    let most = values.iter().copied().fold(0.0, f64::max);
    let mut listed: Vec<f64> = values
        .iter()
        .copied()
        .filter(|one| *one > LISTED * most)
        .collect();
    listed.sort_by(|a, b| b.total_cmp(a));
    listed
}

/// How the chance of a cause was computed; none where it can't be there.
pub(crate) fn of_chance(of: &Workings<'_, '_>, cause: Cause) -> Option<Vec<Account>> {
    let (weights, best) = weights(of.candidates);
    let at = Cause::ALL.iter().position(|one| *one == cause)?;
    let weight = *weights.get(at)?;
    let probability = of.causes.iter().find(|one| one.cause == cause)?.probability;
    let mut all = of_weight(of, cause, weight, best)?;
    let mut account = Account::of(&CHANCE, probability).from("w", all.first()?);
    for one in listed(&weights) {
        account = account.with("w_i", one, Origin::Computed(&WEIGHT));
    }
    all.insert(0, account);
    Some(all)
}

/// How the chance of all causes behind the first so many was computed.
pub(crate) fn of_rest(of: &Workings<'_, '_>, shown: usize) -> Option<Vec<Account>> {
    let rest: f64 = of.causes.iter().skip(shown).map(|one| one.probability).sum();
    let mut account = Account::of(&REST, rest);
    for one in of.causes.iter().take(shown) {
        account = account.with("P", one.probability, Origin::Computed(&CHANCE));
    }
    let mut all = vec![account];
    all.extend(of_chance(of, of.causes.get(shown)?.cause)?);
    Some(all)
}

/// A ln as it is shown.
fn shown(ln: f64) -> f64 {
    if ln.abs() < ROUNDED { 0.0 } else { ln.max(LEAST) }
}

fn of_weight(of: &Workings<'_, '_>, cause: Cause, weight: f64, best: f64) -> Option<Vec<Account>> {
    let mine: Vec<&Candidate> = candidates_of(of.candidates, cause).collect();
    let chance: f64 = mine.iter().map(|one| one.chance).sum();
    if chance <= 0.0 {
        return None;
    }
    let each: Vec<f64> = Cause::ALL.iter().map(|one| frequency(*one, of.of)).collect();
    let own = frequency(cause, of.of);
    let mut frequency = Account::of(&FREQUENCY, chance)
        .with("g", own, Origin::Constant)
        .with("s", chance * each.iter().sum::<f64>() / own, Origin::Described);
    for one in listed(&each) {
        frequency = frequency.with("g_i", one, Origin::Constant);
    }
    // ln_hydraulic holds what was read again as well.
    let values = shown(ln_sum(mine.iter().map(|one| one.chance.ln() + one.ln_hydraulic)) - chance.ln());
    let case = of.case;
    let chemistry = shown(ln_chemistry(cause, case.reading, case.unit, feed_chlorine(case)));
    let nothing = if gives_nothing(case.reading) {
        ln_nothing(cause)
    } else {
        0.0
    };
    let observed = shown(ln_observed(cause, &case.reading.observed) + nothing);
    let whole = ln_sum(mine.iter().map(|one| one.ln_weight)) - chance.ln();
    let looks = if of.findings.is_empty() {
        0.0
    } else {
        shown(whole - values - chemistry - observed)
    };
    let fit = Account::of(&FIT, weight / chance)
        .with("l_v", values, Origin::Computed(&VALUES))
        .with("l_c", chemistry, Origin::Solved)
        .with("l_o", observed, Origin::Solved)
        .with("l_t", looks, Origin::Solved)
        .with("l_b", best, Origin::Solved);
    let account = Account::of(&WEIGHT, weight).from("f", &frequency).from("L", &fit);
    let mut all = vec![account, frequency];
    // Where nothing that was read is possible under any cause only the frequencies speak: nothing fits better than another.
    if whole > LEAST {
        all.push(fit);
        all.extend(of_values(of, &mine, chance, values).unwrap_or_default());
    }
    Some(all)
}

fn of_values(of: &Workings<'_, '_>, mine: &[&Candidate], chance: f64, values: f64) -> Option<Vec<Account>> {
    let mut account = Account::of(&VALUES, values);
    for one in mine {
        account = account.with("s_k", one.chance / chance, Origin::Constant).with(
            "l_k",
            shown(one.ln_hydraulic),
            Origin::Computed(&SEVERITIES),
        );
    }
    let best = mine.iter().max_by(|a, b| a.ln_weight.total_cmp(&b.ln_weight))?;
    let nodes = match best.like.and_then(|i| of.candidates.get(i)) {
        Some(original) => &original.nodes,
        None => &best.nodes,
    };
    let mut all = vec![account];
    let Some(severity) = nodes
        .iter()
        .flatten()
        .max_by(|a, b| a.ln_evidence.total_cmp(&b.ln_evidence))
    else {
        // No feed: each value stands for itself, and there is no severity.
        return Some(all);
    };
    let mut severities =
        Account::of(&SEVERITIES, shown(best.ln_hydraulic)).with("n", nodes.len() as f64, Origin::Constant);
    let mut fits: Vec<f64> = nodes.iter().flatten().map(|one| one.ln_evidence).collect();
    fits.sort_by(|a, b| b.total_cmp(a));
    for one in fits.iter().filter(|one| **one > severity.ln_evidence - 25.0) {
        severities = severities.with("l_j", *one, Origin::Computed(&SEVERITY));
    }
    all.push(severities);
    let innovation = severity.innovation();
    let count = severity.residual.len() as f64;
    let spread = innovation.ln_determinant() + count * std::f64::consts::TAU.ln();
    let again = shown(severity.ln_evidence - innovation.ln_density(&severity.residual) - severity.ln_often);
    let account = Account::of(&SEVERITY, severity.ln_evidence)
        .with("M", innovation.square(&severity.residual), Origin::Solved)
        .with("N", count, Origin::Read)
        .with("D", spread, Origin::Solved)
        .with("o", severity.ln_often, Origin::Constant)
        .with("a", again, Origin::Solved);
    all.push(account);
    Some(all)
}
