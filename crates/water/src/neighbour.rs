//! Where a water starts from, given a neighbour's solution: another composition, another temperature.
//!
//! A start changes how soon Newton's method arrives, never where.

use crate::constituent::{Composition, Constituent};
use crate::database::{CL, CO3, DATABASE, F, FORMS, H, LIGANDS, NO3, PO4, ROOM, SO4, SPECIES};
use crate::problem::{Carbonate, Problem, State};
use crate::speciation::Speciation;

/// Powers of H+ in a form: -4 to 4.
const POWERS: usize = 9;

impl Speciation {
    /// Where a neighbouring water starts from. None where this one says nothing of an unknown.
    pub(crate) fn start_for(
        &self,
        problem: &Problem,
        composition: &Composition,
        carbonate: Carbonate,
    ) -> Option<State> {
        let own = self.composition();
        let alkalinity = composition.alkalinity_eq_kg / own.alkalinity_eq_kg;
        let mut ratio = [1.0; LIGANDS];
        match carbonate {
            Carbonate::TotalCarbon(total) => {
                let same = problem
                    .constants
                    .temperature_c()
                    .total_cmp(&self.temperature_c())
                    .is_eq();
                let carbon = if same {
                    self.carbon_mol_kg()
                } else {
                    let carbon;
                    (ratio, carbon) = self.at_another_temperature(problem);
                    carbon
                };
                ratio[CO3] *= total / carbon;
            }
            // Bicarbonate goes as the alkalinity, and H+ as CO2 over bicarbonate.
            Carbonate::Co2Activity(co2) => ratio[H] = co2 / self.co2_activity() / alkalinity,
            Carbonate::Ph(_) | Carbonate::PhWithoutCarbon(_) => ratio[CO3] = alkalinity,
        }
        for (l, c) in [
            (SO4, Constituent::Sulfate),
            (PO4, Constituent::Phosphate),
            (F, Constituent::Fluoride),
            (CL, Constituent::Chloride),
            (NO3, Constituent::Nitrate),
        ] {
            ratio[l] *= composition[c] / own[c];
        }
        let size = |c: &Composition| {
            let ions = Constituent::ALL
                .iter()
                .map(|i| c[*i] * f64::from(i.charge() * i.charge()));
            ions.sum::<f64>() + c.alkalinity_eq_kg.abs()
        };
        let ionic = size(composition) / size(own);
        problem.start_from(
            self.state(),
            &ratio,
            if ionic.is_finite() && ionic > 0.0 {
                ionic
            } else {
                1.0
            },
        )
    }

    /// By what the activities of the ligands change where nothing but the temperature does, all totals kept, and the carbon
    /// of this water, mol/kg.
    ///
    /// Bicarbonate stays nearly what it is, and so do the cations; what has more or less hydrogen than bicarbonate and
    /// water then goes as `kappa r` or `kappa/r`, with kappa the ratio of the formation constants and r that of the
    /// activity of H+. The balance of hydrogen, `A r - B/r = A0 - B0`, gives r, and each ligand's own balance the rest.
    fn at_another_temperature(&self, problem: &Problem) -> ([f64; LIGANDS], f64) {
        let db = &*DATABASE;
        let (k, own, molality) = (&problem.constants.k, self.k(), self.molalities());
        // By form, here and there.
        let (mut here, mut there) = ([0.0; FORMS], [0.0; FORMS]);
        for template in problem.active() {
            let (form, i) = (usize::from(template.form) % FORMS, usize::from(template.species));
            let m = molality[i % SPECIES];
            here[form] += m;
            there[form] += m * k[i % ROOM] / own[i % SPECIES];
        }
        let kappa_bicarbonate = k[db.bicarbonate % ROOM] / own[db.bicarbonate % SPECIES];
        // Per carbon of a form, which is at most two.
        let per_carbon = powers(1.0 / kappa_bicarbonate);
        let (mut acid, mut base, mut left) = (0.0, 0.0, 0.0);
        for (i, form) in problem.forms() {
            let carbon = if form.ligand == CO3 { form.power } else { 0 };
            let excess = form.hydrogen - carbon;
            if form.ligand == PO4 || excess == 0 {
                continue;
            }
            let weight = f64::from(excess);
            left += weight * here[i];
            let there = weight * there[i] * of(&per_carbon, carbon);
            if excess > 0 {
                acid += there;
            } else {
                base -= there;
            }
        }
        // The positive root, by the one of its two forms that does not cancel.
        let root = (left * left + 4.0 * acid * base).sqrt();
        let r = if left > 0.0 {
            (left + root) / (2.0 * acid)
        } else {
            2.0 * base / (root - left)
        };
        // The carbonate that keeps bicarbonate, until the balance of carbon corrects it.
        let keeping = 1.0 / (kappa_bicarbonate * r);
        let (per_hydrogen, per_carbon) = (powers(r), powers(keeping));
        let (mut before, mut after) = ([0.0; LIGANDS], [0.0; LIGANDS]);
        for (i, form) in problem.forms() {
            if form.ligand < LIGANDS {
                let carbon = if form.ligand == CO3 { form.power } else { 0 };
                let power = f64::from(form.power);
                before[form.ligand] += power * here[i];
                after[form.ligand] +=
                    power * there[i] * of(&per_hydrogen, form.hydrogen) * of(&per_carbon, carbon);
            }
        }
        let mut ratio = [1.0; LIGANDS];
        for ((ratio, before), after) in ratio.iter_mut().zip(before).zip(after) {
            if after > 0.0 {
                *ratio = before / after;
            }
        }
        ratio[H] = r;
        ratio[CO3] *= keeping;
        (ratio, before[CO3])
    }
}

/// The powers -4 to 4 of a ratio: no form has more hydrogen or less.
fn powers(ratio: f64) -> [f64; POWERS] {
    let (i, r2) = (1.0 / ratio, ratio * ratio);
    let i2 = i * i;
    [i2 * i2, i2 * i, i2, i, 1.0, ratio, r2, r2 * ratio, r2 * r2]
}

fn of(powers: &[f64; POWERS], power: i32) -> f64 {
    usize::try_from(power + 4)
        .ok()
        .and_then(|i| powers.get(i))
        .copied()
        .unwrap_or(1.0)
}
