//! How it was computed how much a test tells.

use account::{Account, Equation, Measure, Origin, symbol};

use super::Outcomes;

const SHANNON: &str = "Shannon, A Mathematical Theory of Communication (1948)";

/// What a test is expected to tell.
const INFORMATION: Equation = Equation {
    name: "information",
    formula: "I = S * (H - H_a)",
    symbols: &[
        symbol("I", "information", Measure::Number),
        symbol("S", "share-looked-at", Measure::Share),
        symbol("H", "doubt", Measure::Number),
        symbol("H_a", "doubt-after", Measure::Number),
    ],
    source: "Lindley, On a Measure of the Information Provided by an Experiment (1956)",
};

/// How open it is now.
const DOUBT: Equation = Equation {
    name: "doubt",
    formula: "H = -sum(p_i * ln(p_i)) / ln(2)",
    symbols: &[
        symbol("H", "doubt", Measure::Number),
        symbol("p_i", "chance-looked-at", Measure::Share),
    ],
    source: SHANNON,
};

/// How open it will be.
const AFTER: Equation = Equation {
    name: "doubt-after",
    formula: "H_a = sum(q_j * H_j)",
    symbols: &[
        symbol("H_a", "doubt-after", Measure::Number),
        symbol("q_j", "chance-of-outcome", Measure::Share),
        symbol("H_j", "doubt-after-outcome", Measure::Number),
    ],
    source: SHANNON,
};

/// All equations of this module.
pub(crate) const EQUATIONS: [&Equation; 3] = [&INFORMATION, &DOUBT, &AFTER];

/// Chances less than this are not listed: they leave no doubt that a sum shows.
const LISTED: f64 = 1e-12;

fn entropy(chances: impl Iterator<Item = f64>) -> f64 {
    -chances
        .filter(|one| *one > 0.0)
        .map(|one| one * one.log2())
        .sum::<f64>()
}

/// How the expected information of these outcomes was computed; none where they tell of no cause.
pub(crate) fn accounts(outcomes: &Outcomes) -> Option<Vec<Account>> {
    let share: f64 = outcomes.chance.iter().sum();
    if share <= 0.0 {
        return None;
    }
    let mut chances: Vec<f64> = outcomes.chance.iter().map(|one| one / share).collect();
    let cells = outcomes.table.iter().map(Vec::len).max().unwrap_or(0);
    let mut after = Vec::new();
    for cell in 0..cells {
        let joint: Vec<f64> = chances
            .iter()
            .zip(&outcomes.table)
            .map(|(chance, row)| chance * row.get(cell).copied().unwrap_or(0.0))
            .collect();
        let any: f64 = joint.iter().sum();
        if any > LISTED {
            after.push((any, entropy(joint.iter().map(|one| one / any))));
        }
    }
    let before = entropy(chances.iter().copied());
    chances.retain(|one| *one > LISTED);
    chances.sort_by(|a, b| b.total_cmp(a));
    let mut doubt = Account::of(&DOUBT, before);
    for one in chances {
        doubt = doubt.with("p_i", one, Origin::Solved);
    }
    let mut doubt_after = Account::of(&AFTER, after.iter().map(|(chance, doubt)| chance * doubt).sum());
    for (chance, doubt) in after {
        doubt_after = doubt_after
            .with("q_j", chance, Origin::Solved)
            .with("H_j", doubt, Origin::Solved);
    }
    let account = Account::of(&INFORMATION, outcomes.bits())
        .with("S", share, Origin::Solved)
        .from("H", &doubt)
        .from("H_a", &doubt_after);
    Some(vec![account, doubt, doubt_after])
}
