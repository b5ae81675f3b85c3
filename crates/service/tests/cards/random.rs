//! Every card passes the checker, or is refused for a reason that an exhaustive search confirms.

use std::cell::Cell;

use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed, TestRunner};
use service::checker::{check, explore};
use service::{CardError, Missing, Site, Work, job_card, plan};
use unit::Unit;

use crate::common::{any_case, cases};

fn config(cases: u32) -> Config {
    // A fixed seed: the same units on every machine; `SALTMARK_CASES` asks for more of them.
    Config {
        cases,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(0x5a17),
        ..Config::default()
    }
}

fn run(
    strategy: &BoxedStrategy<(Unit, Vec<Work>)>,
    cases: u32,
    test: impl Fn(&Unit, &[Work]) -> Result<(), TestCaseError>,
) {
    let outcome = TestRunner::new(config(cases)).run(strategy, |(unit, work)| test(&unit, &work));
    if let Err(error) = outcome {
        panic!("{error}");
    }
}

/// With these valves added there is a card.
fn helped(unit: &Unit, work: &[Work], missing: &[Missing]) -> bool {
    let mut better = unit.clone();
    for missing in missing {
        match missing {
            Missing::InletValve => better.inlet_valve = true,
            Missing::TankValve => {
                if let Some(tank) = better.permeate.tank.as_mut() {
                    tank.valve = true;
                }
            }
        }
    }
    job_card(&better, work, &Site::default()).is_ok()
}

#[test]
fn prop_every_card_passes_the_checker_or_is_refused_by_name() {
    let (given, refused) = (Cell::new(0_u32), Cell::new(0_u32));
    let total = cases(1_000, 10_000);
    run(&any_case(6, 4, 2), total, |unit, work| {
        match plan(unit, work, &Site::default()) {
            Ok(card) => {
                given.set(given.get() + 1);
                let findings = check(unit, &card);
                prop_assert!(findings.is_empty(), "{findings:#?}\n{:#?}", card.steps);
            }
            Err(CardError::Impossible { missing, sentence }) => {
                refused.set(refused.get() + 1);
                prop_assert!(!missing.is_empty(), "{sentence}");
                for name in [Missing::InletValve, Missing::TankValve] {
                    prop_assert_eq!(
                        sentence.contains(name.name()),
                        missing.contains(&name),
                        "{}",
                        sentence
                    );
                }
                prop_assert!(helped(unit, work, &missing), "{sentence}");
                // Nothing is named that is not needed.
                for left_out in &missing {
                    let rest: Vec<Missing> = missing.iter().copied().filter(|m| m != left_out).collect();
                    prop_assert!(!helped(unit, work, &rest), "{sentence}");
                }
            }
            Err(error) => prop_assert!(false, "{error}"),
        }
        Ok(())
    });
    // Simulated plumbing: both kinds of answer must be common, or the property shows little.
    assert!(
        given.get() * 2 > total && refused.get() * 20 > total,
        "{} given, {} refused",
        given.get(),
        refused.get()
    );
}

/// What must be reachable for this work, told by the work alone.
fn obstacles(unit: &Unit, work: &[Work], reach: &service::checker::Reach) -> Vec<String> {
    let all = || -> Vec<String> { reachable_ids(unit) };
    let (housings, permeate) = match work {
        [Work::Commission | Work::LayUp | Work::Sanitise] => (all(), true),
        [Work::Descale | Work::Clean] => (
            unit.membranes
                .elements
                .iter()
                .map(|element| element.id.clone())
                .collect(),
            true,
        ),
        parts => {
            let ids: Vec<String> = parts.iter().filter_map(Work::part).map(str::to_owned).collect();
            let element = ids.iter().any(|id| unit.element(id).is_some());
            (ids, element)
        }
    };
    let mut obstacles: Vec<String> = housings
        .into_iter()
        .filter(|id| !reach.housings.contains(id))
        .collect();
    if permeate && !reach.permeate_tube(unit) {
        obstacles.push("no permeate tube can come off".to_owned());
    }
    obstacles
}

fn reachable_ids(unit: &Unit) -> Vec<String> {
    crate::common::workable(unit)
}

#[test]
#[expect(clippy::print_stdout, reason = "how many refusals were confirmed")]
fn prop_a_refusal_is_confirmed_by_exhaustive_search() {
    let (confirmed, incomplete) = (Cell::new(0_u32), Cell::new(0_u32));
    run(&any_case(3, 2, 1), cases(100, 3_000), |unit, work| {
        let refused = match job_card(unit, work, &Site::default()) {
            Ok(_) => return Ok(()),
            Err(CardError::Impossible { .. }) => true,
            Err(error) => return Err(TestCaseError::fail(error.to_string())),
        };
        let reach = explore(unit, 20_000);
        if !reach.complete {
            incomplete.set(incomplete.get() + 1);
            return Ok(());
        }
        let obstacles = obstacles(unit, work, &reach);
        prop_assert!(
            refused && !obstacles.is_empty(),
            "refused, yet all of it can be reached: {reach:?}"
        );
        confirmed.set(confirmed.get() + 1);
        Ok(())
    });
    println!("{} confirmed, {} too large", confirmed.get(), incomplete.get());
    assert!(
        confirmed.get() > 4 * incomplete.get(),
        "{} {}",
        confirmed.get(),
        incomplete.get()
    );
}
