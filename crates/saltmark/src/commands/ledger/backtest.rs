//! `backtest`: what was forecast before each real change in the ledger, against what happened.

use serde_json::{Value, json};
use wear::History;
use wear::backtest::{Assumptions, Backtest, Change, Cost, LEADS_D, Others, Score, backtest};

use super::{known_unit, open, state};
use crate::args::Backtest as Args;
use crate::failure::Failure;
use crate::output::{Answer, print};
use crate::present::{Columns, progress, wrapped};

pub(crate) fn run(args: &Args) -> Result<(), Failure> {
    let store = open(&args.place)?;
    let state = state(&store)?;
    let file = store.path().display().to_string();
    for id in &args.unit_id {
        known_unit(&state, &file, id)?;
    }
    let asked = |id: &str| args.unit_id.is_empty() || args.unit_id.iter().any(|one| one == id);
    let histories: Vec<History<'_>> = state
        .unit_ids()
        .filter(|id| asked(id))
        .filter_map(|id| {
            let history = state.unit(id)?;
            let last = history.readings().last()?.at;
            Some(History {
                unit: history.unit()?,
                water: state.water_at(id, last),
                readings: history.readings(),
                events: history.events(),
            })
        })
        .collect();
    let bar = progress("units");
    bar.inc(histories.len() as u64);
    let assumptions = Assumptions::default();
    let replayed = backtest(&histories, Others::Told, &assumptions);
    bar.finish_and_clear();
    let answer = Answer {
        json: document(&replayed, &assumptions),
        text: text(&replayed, &assumptions),
        warnings: Vec::new(),
    };
    print(&answer, args.json)
}

fn text(replayed: &Backtest, assumptions: &Assumptions) -> String {
    let mut text = wrapped(&replayed.sentence, "");
    text.push('\n');
    let mut leads = Columns::new(&[
        "parts",
        "days before",
        "due",
        "in range",
        "median off",
        "early",
        "outlived",
    ]);
    let everything = ("all together", &replayed.scores);
    let kinds = replayed
        .by_kind
        .iter()
        .map(|(kind, scores)| (kind.words(), scores));
    for (words, scores) in std::iter::once(everything).chain(kinds) {
        for score in scores.iter().filter(|score| score.due + score.early > 0) {
            leads.row(vec![
                words.to_owned(),
                format!("{:.0}", score.lead_d),
                score.due.to_string(),
                score
                    .coverage()
                    .map_or_else(String::new, |share| format!("{:.0} %", 100.0 * share)),
                score
                    .median_error_d
                    .map_or_else(String::new, |off| format!("{off:.0} d")),
                score.early.to_string(),
                score.outlived.to_string(),
            ]);
        }
    }
    text.push_str(&format!(
        "\nWhat was told before each change, against what happened\n{}",
        leads.text()
    ));
    let mut costs = Columns::new(&[
        "changed",
        "changes",
        "days early",
        "days late",
        "litres lost",
        "cost",
    ]);
    for (words, cost) in [
        ("as it was", &replayed.as_made),
        ("by the calendar", &replayed.by_calendar),
        ("on the likely day", &replayed.by_forecast),
    ] {
        costs.row(vec![
            words.to_owned(),
            cost.changes.to_string(),
            format!("{:.0}", cost.early_d),
            format!("{:.0}", cost.late_d),
            format!("{:.0}", cost.litres),
            format!("{:.0}", cost.money),
        ]);
    }
    text.push_str(&format!("\nWhat early and late changes cost\n{}", costs.text()));
    let assumed = format!(
        "Assumed: a calendar of {:.0}, {:.0} and {:.0} days and prices of {:.0}, {:.0} and {:.0} for filters, carbon and \
         membranes, {} a litre. What would have been due is told by the same readings in hindsight.",
        assumptions.calendar_d.filter,
        assumptions.calendar_d.carbon,
        assumptions.calendar_d.membranes,
        assumptions.price.filter,
        assumptions.price.carbon,
        assumptions.price.membranes,
        assumptions.litre_price,
    );
    text.push_str(&format!("\n{}\n", wrapped(&assumed, "")));
    text
}

fn document(replayed: &Backtest, assumptions: &Assumptions) -> Value {
    let scores = |scores: &[Score; 3]| scores.iter().map(score).collect::<Vec<_>>();
    json!({
        "sentence": replayed.sentence,
        "scores": scores(&replayed.scores),
        "by_kind": replayed.by_kind.iter()
            .map(|(kind, of)| json!({"kind": kind.words(), "scores": scores(of)}))
            .collect::<Vec<_>>(),
        "cost": {
            "as_made": cost(&replayed.as_made),
            "by_calendar": cost(&replayed.by_calendar),
            "by_forecast": cost(&replayed.by_forecast),
        },
        "assumed": {
            "calendar_d": [assumptions.calendar_d.filter, assumptions.calendar_d.carbon, assumptions.calendar_d.membranes],
            "price": [assumptions.price.filter, assumptions.price.carbon, assumptions.price.membranes],
            "litre_price": assumptions.litre_price,
        },
        "changes": replayed.changes.iter().map(change).collect::<Vec<_>>(),
    })
}

fn score(score: &Score) -> Value {
    json!({
        "lead_d": score.lead_d,
        "due": score.due,
        "coverage": score.coverage(),
        "median_error_d": score.median_error_d,
        "early": score.early,
        "outlived": score.outlived,
    })
}

fn cost(cost: &Cost) -> Value {
    json!({
        "changes": cost.changes,
        "early_d": cost.early_d,
        "late_d": cost.late_d,
        "litres": cost.litres,
        "money": cost.money,
    })
}

fn change(change: &Change) -> Value {
    let told = LEADS_D.iter().zip(&change.told).filter_map(|(lead, told)| {
        let told = told.as_ref()?;
        Some(json!({"lead_d": lead, "p10": told.p10, "p50": told.p50, "p90": told.p90}))
    });
    json!({
        "unit": change.unit,
        "part": change.part,
        "kind": change.kind.words(),
        "at": change.at.to_string(),
        "age_d": change.age_d,
        "used_fraction": change.used_fraction,
        "was_due": change.was_due(),
        "due_age_d": change.due_age_d,
        "told": told.collect::<Vec<_>>(),
    })
}
