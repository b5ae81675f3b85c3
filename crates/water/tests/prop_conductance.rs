//! The conductance at 25 C stops early; here it is held against the same speciation brought to its end.
mod common;

use water::{Carbonate, Conductivity, Constants};

/// Simulated waters, 0.5 to 44.5 C. PHREEQC's own conductance is the reference of `val_phreeqc` (3 %).
#[test]
fn prop_conductance_is_that_of_the_finished_speciation() {
    let (constants, conductivity) = (Constants::at(25.0), Conductivity::at(25.0));
    let mut worst = 0.0_f64;
    for w in common::invented(11, 2000, 0.4) {
        let Ok(water) = Constants::at(w.temperature_c).speciate(&w.composition, Carbonate::Ph(w.ph), None)
        else {
            continue;
        };
        let fine = constants
            .speciate(
                &w.composition,
                Carbonate::TotalCarbon(water.carbon_mol_kg()),
                None,
            )
            .expect("a water that was solved");
        let fine = conductivity.us_cm(&fine);
        let quick = water.conductivity_us_cm().expect("a water that was solved");
        worst = worst.max((quick / fine - 1.0).abs());
    }
    // The solver stops where it expects no logarithm to move by more than 1e-4.
    assert!(worst < 1e-4, "{worst:e}");
}
