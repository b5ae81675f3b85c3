//! The way home where Newton's method does not arrive: three nested searches, each of which cannot fail.
//!
//! 1. At fixed ionic strength, H+ and (where it is the unknown) carbonate, the ligand balances are the gradient of a
//!    convex function, which damped Newton steps always bring down.
//! 2. At fixed ionic strength the alkalinity is a continuous function of the one unknown left (ln of carbonate's or of
//!    H+'s activity): bisection.
//! 3. The ionic strength of the species less the assumed one is continuous, positive at nothing and negative at more than
//!    all ions can make: bisection.

use crate::database::{CO3, H, LIGANDS};
use crate::error::Error;
use crate::problem::{Carbonate, Problem, State};
use crate::solver::{Sums, WATER_ACTIVITY_SLOPE};

/// ln of the least and of the greatest activity of carbonate that is looked at, and of H+.
const CARBONATE_RANGE: (f64, f64) = (-150.0, 7.0);
const HYDROGEN_RANGE: (f64, f64) = (-46.0, 5.0);

/// Solves a problem by bracketing.
pub(crate) fn solve(problem: &Problem, sums: &mut Sums) -> Result<State, Error> {
    let mut state = problem.start();
    let (mut low, mut high) = (1e-9_f64.ln(), problem.most_ionic_strength().ln());
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        state.ionic_strength = middle.exp();
        at_ionic_strength(problem, &mut state, sums)?;
        state.water_activity = (1.0 - WATER_ACTIVITY_SLOPE * sums.solutes).max(0.3);
        if sums.ionic_strength > state.ionic_strength {
            low = middle;
        } else {
            high = middle;
        }
        if high - low < 1e-13 {
            break;
        }
    }
    Ok(state)
}

/// The alkalinity's unknown at a fixed ionic strength.
fn at_ionic_strength(problem: &Problem, state: &mut State, sums: &mut Sums) -> Result<(), Error> {
    let (unknown, (mut low, mut high), rising) = match problem.carbonate {
        Carbonate::PhWithoutCarbon(_) => {
            ligands(problem, state, None, sums);
            return Ok(());
        }
        Carbonate::Ph(_) => (CO3, CARBONATE_RANGE, true),
        Carbonate::Co2Activity(_) | Carbonate::TotalCarbon(_) => (H, HYDROGEN_RANGE, false),
    };
    let mut least = 0.0;
    for (end, is_low) in [(low, true), (high, false)] {
        set(problem, state, unknown, end);
        ligands(problem, state, Some(unknown), sums);
        let too_much = sums.alkalinity > problem.alkalinity;
        if is_low {
            least = sums.alkalinity;
        }
        if too_much == (is_low == rising) {
            return Err(match problem.carbonate {
                Carbonate::Ph(ph) if is_low => Error::AlkalinityTooLow {
                    ph,
                    read: problem.alkalinity * crate::constituent::ALKALINITY_MG_PER_MEQ * 1e3,
                    least: least * crate::constituent::ALKALINITY_MG_PER_MEQ * 1e3,
                },
                _ => Error::NoEquilibrium { field: "alkalinity" },
            });
        }
    }
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        set(problem, state, unknown, middle);
        ligands(problem, state, Some(unknown), sums);
        if (sums.alkalinity > problem.alkalinity) == rising {
            high = middle;
        } else {
            low = middle;
        }
        if high - low < 1e-13 {
            break;
        }
    }
    Ok(())
}

fn set(problem: &Problem, state: &mut State, unknown: usize, value: f64) {
    state.ln_activity[unknown] = value;
    problem.follow(state);
}

/// The ligand balances at fixed ionic strength, H+ and `fixed`: damped Newton on a convex function.
fn ligands(problem: &Problem, state: &mut State, fixed: Option<usize>, sums: &mut Sums) {
    let mut columns = [(0, 0); LIGANDS];
    let mut n = 0;
    for l in 0..LIGANDS {
        if Some(l) != fixed
            && l != H
            && let Some(c) = problem.column_of(l)
        {
            columns[n] = (l, c);
            n += 1;
        }
    }
    let columns = &columns[..n];
    // From above, whatever the last search left behind.
    problem.restart_ligands(state);
    problem.evaluate::<true>(state, sums);
    for _ in 0..200 {
        let mut reduced = Sums::new();
        let mut largest = 0.0_f64;
        for (i, (_, r)) in columns.iter().enumerate() {
            reduced.residual[i] = sums.residual[*r];
            reduced.scale[i] = sums.scale[*r];
            largest = largest.max((sums.residual[*r] / sums.scale[*r]).abs());
            for (j, (_, c)) in columns.iter().enumerate() {
                reduced.jacobian[i][j] = sums.jacobian[*r][*c];
            }
            // Keeps the matrix regular where a balance hardly depends on its own unknown.
            reduced.jacobian[i][i] += 1e-12 * sums.scale[*r];
        }
        if largest < 1e-13 {
            return;
        }
        let Some(step) = crate::solver::eliminate(&mut reduced, n) else {
            return;
        };
        let size = step[..n].iter().fold(0.0_f64, |a, s| a.max(s.abs()));
        let mut factor = if size > 5.0 { 5.0 / size } else { 1.0 };
        let (before, merit) = (*state, sums.merit);
        let slope: f64 = step[..n]
            .iter()
            .zip(columns)
            .map(|(s, (_, r))| s * sums.residual[*r])
            .sum();
        loop {
            *state = before;
            for (s, (l, _)) in step.iter().zip(columns) {
                state.ln_activity[*l] += factor * s;
            }
            problem.evaluate::<true>(state, sums);
            // Below 1e-14 of the merit its difference is rounding.
            if sums.merit <= merit + 1e-4 * factor * slope + 1e-14 * merit.abs() || factor < 1e-10 {
                break;
            }
            factor *= 0.5;
        }
        if size < 1e-14 {
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::constants::Constants;
    use crate::constituent::{Composition, Constituent};

    #[test]
    fn prop_bracketing_finds_what_newton_finds() {
        // An identity between two solvers, over every way to settle the carbonate; 1e-8 is Newton's own last step.
        let mut c = Composition {
            alkalinity_eq_kg: 4.2e-3,
            ..Composition::default()
        };
        for (i, m) in Constituent::ALL.into_iter().zip([
            2.2e-3, 8e-4, 4e-3, 1e-4, 1e-5, 1e-6, 2e-4, 1e-5, 5e-5, 4e-4, 1e-4, 2.5e-3, 1.4e-3, 3e-4, 5e-5,
            1e-5,
        ]) {
            c[i] = m;
        }
        let k = Constants::at(12.0);
        for carbonate in [
            Carbonate::Ph(7.3),
            Carbonate::Co2Activity(6e-4),
            Carbonate::TotalCarbon(4.6e-3),
            Carbonate::PhWithoutCarbon(8.0),
        ] {
            let problem = Problem::new(&k, &c, carbonate);
            let mut sums = Sums::new();
            let mut newton = problem.start();
            assert!(
                problem
                    .newton(&mut newton, &mut sums, crate::solver::SMALL_STEP)
                    .is_some(),
                "{carbonate:?}"
            );
            let bracketed = solve(&problem, &mut sums).expect("a bracket closes");
            assert!(
                (newton.ionic_strength / bracketed.ionic_strength - 1.0).abs() < 1e-8,
                "{carbonate:?}"
            );
            for l in 0..LIGANDS {
                if problem.column_of(l).is_some() {
                    let d = newton.ln_activity[l] - bracketed.ln_activity[l];
                    assert!(d.abs() < 1e-8, "{carbonate:?} ligand {l}: {d}");
                }
            }
        }
    }

    #[test]
    fn an_impossible_ph_names_the_alkalinity_that_it_needs() {
        let k = Constants::at(25.0);
        let c = Composition::default().with_alkalinity_mg_l_caco3(5.0);
        let problem = Problem::new(&k, &c, Carbonate::Ph(11.5));
        let fault = solve(&problem, &mut Sums::new());
        // 10^-2.5 eq/kg of hydroxide over its activity coefficient.
        assert!(
            matches!(fault, Err(Error::AlkalinityTooLow { least, .. }) if (150.0..200.0).contains(&least)),
            "{fault:?}"
        );
    }
}
