//! Newton's method on the few unknown activities of a water.
//!
//! Given the activities of the free ligands and of H+, every constituent of which a species holds at most one follows at
//! once (see [`crate::database`]): `a = T/S` with `S` the sum of its species per unit of activity. What remains unknown is
//! the logarithm of the activity of carbonate (or of H+), sulfate, phosphate, fluoride, of chloride and nitrate where iron
//! or manganese binds them, and of the ionic strength: three to eight numbers. With rho and kappa the powers of the
//! unknowns in the balance and in the species,
//!
//! ```text
//! F_r  = sum_i m_i rho_ir - T_r
//! J_rk = sum_i m_i rho_ir kappa_ik - sum_groups T <rho_r> <kappa_k>
//! ```
//!
//! where <> is the mean over a group's species. The sums run over the products of activities that the species share, not
//! over the species. Nothing is allocated. A start that Newton cannot bring home goes to [`crate::fallback`], which
//! brackets.

use crate::constants;
use crate::database::{CLASSES, CO3, DATABASE, FORMS, GROUPS, H, LIGANDS, ROOM, SPECIES};
use crate::problem::{Active, GROUP_SIZE, NOWHERE, Problem, State, WIDTH};

/// Most unknowns: seven activities and the ionic strength.
const UNKNOWNS: usize = LIGANDS + 1;
/// Water activity: `a_w` = 1 - 0.017 x (sum of the molalities of all solutes) (as PHREEQC; `reference/water-cases.README.md`).
pub(crate) const WATER_ACTIVITY_SLOPE: f64 = 0.017;

/// What a solution leaves in the logarithms; where six fluorides share a complex a hundred times that in a total.
pub(crate) const FINE: f64 = 1e-10;
/// The same where four digits are enough.
pub(crate) const COARSE: f64 = 1e-4;

/// A solved water.
#[derive(Clone, Debug)]
pub(crate) struct Solved {
    pub state: State,
    pub molality: [f64; SPECIES],
    /// Activity of each group's bare species; 0 where there is none.
    pub group_activity: [f64; GROUPS],
    pub co2_activity: f64,
    pub iterations: u32,
}

/// Sums over the species at a state.
pub(crate) struct Sums {
    pub jacobian: [[f64; WIDTH]; WIDTH],
    pub residual: [f64; WIDTH],
    pub scale: [f64; WIDTH],
    /// Row scales and exchanges of the factored Jacobian.
    factor_scale: [f64; WIDTH],
    pivots: [usize; WIDTH],
    pub ionic_strength: f64,
    pub solutes: f64,
    /// Alkalinity of the species.
    pub alkalinity: f64,
    /// The convex function whose gradient the ligand balances are (at fixed ionic strength), for the fall-back.
    pub merit: f64,
}

impl Sums {
    pub(crate) fn new() -> Self {
        Self {
            jacobian: [[0.0; WIDTH]; WIDTH],
            residual: [0.0; WIDTH],
            scale: [1.0; WIDTH],
            factor_scale: [1.0; WIDTH],
            pivots: [0; WIDTH],
            ionic_strength: 0.0,
            solutes: 0.0,
            alkalinity: 0.0,
            merit: 0.0,
        }
    }
}

/// What the species are per unit of their group's activity.
struct Factors<'c> {
    k: &'c [f64; ROOM],
    product: [f64; FORMS],
    /// 1/gamma by class.
    gamma: [f64; CLASSES],
    /// What a mole of a class adds to the sums by form.
    each: [[f64; 4]; CLASSES],
}

impl Factors<'_> {
    #[inline(always)]
    fn of(&self, s: &Active) -> f64 {
        self.k[usize::from(s.species) % ROOM]
            * self.gamma[usize::from(s.class) % CLASSES]
            * self.product[usize::from(s.form) % FORMS]
    }
}

/// `sum += m each`.
#[inline(always)]
fn add(sum: &mut [f64; 4], m: f64, each: &[f64; 4]) {
    for (sum, each) in sum.iter_mut().zip(each) {
        *sum += m * each;
    }
}

/// The species of a list of templates.
#[inline(always)]
fn species(list: &[u8]) -> impl Iterator<Item = &'static Active> + Clone + '_ {
    let templates = &DATABASE.templates;
    list.iter().map(|i| &templates[usize::from(*i) % ROOM])
}

impl<'c> Problem<'c> {
    #[inline(always)]
    fn factors(&self, state: &State) -> Factors<'c> {
        let mut f = Factors {
            k: &self.constants.k,
            product: [0.0; FORMS],
            gamma: [0.0; CLASSES],
            each: [[0.0; 4]; CLASSES],
        };
        let mut slope = [0.0; CLASSES];
        self.constants
            .activity(state.ionic_strength, self.n_classes, &mut f.gamma, &mut slope);
        let classes = f.each.iter_mut().zip(slope).zip(self.constants.half_z2);
        for ((each, d), z) in classes.take(self.n_classes) {
            *each = [1.0, z, d, z * d];
        }
        let mut activity = [0.0; LIGANDS];
        constants::exp_each(&state.ln_activity, &mut activity);
        // Powers 0 to 6 of each ligand; the last row stands for no ligand.
        let mut ligand = [[1.0; 8]; 8];
        for (row, a) in ligand.iter_mut().zip(activity) {
            let (a2, a3) = (a * a, a * a * a);
            *row = [1.0, a, a2, a3, a2 * a2, a2 * a3, a3 * a3, 1.0];
        }
        // Powers -4 to 4.
        let both = |a: f64| {
            let (i, a2) = (1.0 / a, a * a);
            let i2 = i * i;
            let mut p = [1.0; 16];
            [p[0], p[1], p[2], p[3], p[4], p[5], p[6], p[7], p[8]] =
                [i2 * i2, i2 * i, i2, i, 1.0, a, a2, a2 * a, a2 * a2];
            p
        };
        let (hydrogen, water) = (both(activity[H]), both(state.water_activity));
        for form in &self.forms[..self.n_forms] {
            f.product[usize::from(form.form) % FORMS] = ligand[usize::from(form.ligand) % 8]
                [usize::from(form.power) % 8]
                * hydrogen[usize::from(form.hydrogen) % 16]
                * water[usize::from(form.water) % 16];
        }
        f
    }

    /// Species and balances at a state; the Jacobian and the merit where they are asked for.
    #[inline(always)]
    pub(crate) fn evaluate<const JACOBIAN: bool, const MERIT: bool>(&self, state: &State, sums: &mut Sums) {
        let n = self.n.min(WIDTH - 1);
        let last = n - 1;
        let f = self.factors(state);
        let (powers, hydrogens) = (&DATABASE.powers, self.hydrogen());

        // By form: moles of its species, their z^2/2, d(-ln gamma)/dI, and the product of the two.
        let mut by_form = [[0.0; 4]; FORMS];
        let mut merit = 0.0;
        for s in species(&self.active[..self.n_groupless]) {
            let m = f.of(s);
            add(
                &mut by_form[usize::from(s.form) % FORMS],
                m,
                &f.each[usize::from(s.class) % CLASSES],
            );
            if MERIT {
                merit += m;
            }
        }
        let jacobian = &mut sums.jacobian;
        if JACOBIAN {
            for row in jacobian.iter_mut().take(n) {
                *row = [0.0; WIDTH];
            }
        }
        let h = self.column[H] % WIDTH;
        let alkalinity_row = self.alkalinity_row % WIDTH;
        let mut share = [0.0; GROUP_SIZE];
        for group in &self.groups[..self.n_groups] {
            let members = species(&self.active[group.start..group.end]);
            let mut sum = 0.0;
            for (s, share) in members.clone().zip(share.iter_mut()) {
                *share = f.of(s);
                sum += *share;
            }
            if MERIT {
                merit += group.total * sum.ln();
            }
            let free = group.total / sum;
            if !JACOBIAN {
                for (s, share) in members.zip(share) {
                    let each = &f.each[usize::from(s.class) % CLASSES];
                    add(&mut by_form[usize::from(s.form) % FORMS], share * free, each);
                }
                continue;
            }
            // Sums of rho and kappa over the group.
            let mut rho = [0.0; WIDTH];
            let mut kappa = [0.0; WIDTH];
            let (mut hydrogen, mut alkalinity, mut whole) = (0.0, 0.0, [0.0; 4]);
            for (s, share) in members.zip(share) {
                let m = share * free;
                let each = &f.each[usize::from(s.class) % CLASSES];
                let form = usize::from(s.form) % FORMS;
                add(&mut by_form[form], m, each);
                add(&mut whole, m, each);
                let p = m * s.power;
                rho[usize::from(self.rows[usize::from(s.ligand) % 8]) % WIDTH] += p;
                kappa[usize::from(self.columns[usize::from(s.ligand) % 8]) % WIDTH] += p;
                hydrogen += m * hydrogens[form];
                alkalinity += m * s.alkalinity;
            }
            let [_, charge, by, _] = whole;
            rho[alkalinity_row] += alkalinity;
            rho[last] += charge;
            kappa[h] += hydrogen;
            kappa[last] += by;
            let inverse = 1.0 / group.total;
            for (row, rho) in jacobian[..n].iter_mut().zip(rho) {
                if rho != 0.0 {
                    let f = rho * inverse;
                    // All eight columns: a fixed count is done two at a time.
                    for (j, kappa) in row[..UNKNOWNS].iter_mut().zip(&kappa[..UNKNOWNS]) {
                        *j -= f * kappa;
                    }
                }
            }
        }

        let mut residual = [0.0; WIDTH];
        let mut alkalinity = 0.0;
        let mut alkalinity_scale = 0.0;
        let mut total = [0.0; 4];
        for form in &self.forms[..self.n_forms] {
            let i = usize::from(form.form) % FORMS;
            let [m, z, d, _] = by_form[i];
            add(&mut total, 1.0, &by_form[i]);
            let l = usize::from(form.ligand) % 8;
            let (r, c) = (
                usize::from(self.rows[l]) % WIDTH,
                usize::from(self.columns[l]) % WIDTH,
            );
            let (p, hydrogen, a) = (powers.ligand[i], hydrogens[i], powers.alkalinity[i]);
            let by_ligand = m * p;
            let of_alkalinity = m * a;
            residual[r] += by_ligand;
            alkalinity += of_alkalinity;
            alkalinity_scale += of_alkalinity.abs();
            if !JACOBIAN {
                continue;
            }
            jacobian[r][c] += by_ligand * p;
            jacobian[r][h] += by_ligand * hydrogen;
            jacobian[r][last] += d * p;
            jacobian[alkalinity_row][c] += of_alkalinity * p;
            jacobian[alkalinity_row][h] += of_alkalinity * hydrogen;
            jacobian[alkalinity_row][last] += d * a;
            jacobian[last][c] += z * p;
            jacobian[last][h] += z * hydrogen;
        }
        let [solutes, ionic_strength, _, by_ionic_strength] = total;
        sums.scale = [1.0; WIDTH];
        for l in 1..LIGANDS {
            let r = self.column[l] % WIDTH;
            if r != NOWHERE && self.totals[l] > 0.0 {
                if MERIT {
                    merit -= self.totals[l] * state.ln_activity[l];
                }
                residual[r] -= self.totals[l];
                sums.scale[r] = self.totals[l];
            }
        }
        if alkalinity_row != NOWHERE {
            residual[alkalinity_row] = alkalinity - self.alkalinity;
            sums.scale[alkalinity_row] = alkalinity_scale.max(self.alkalinity.abs());
        }
        residual[last] = ionic_strength - state.ionic_strength;
        sums.scale[last] = state.ionic_strength;
        if JACOBIAN {
            jacobian[last][last] += by_ionic_strength;
            // The unknown is ln I.
            for row in &mut jacobian[..n] {
                row[last] *= state.ionic_strength;
            }
            jacobian[last][last] -= state.ionic_strength;
        }
        sums.residual = residual;
        sums.ionic_strength = ionic_strength;
        sums.solutes = solutes;
        sums.alkalinity = alkalinity;
        sums.merit = merit;
    }

    /// Moves the unknowns by a step, no logarithm by more than 3.
    #[inline(always)]
    fn step(&self, state: &mut State, step: &[f64; WIDTH]) -> f64 {
        let largest = step[..self.n].iter().fold(0.0_f64, |a, s| a.max(s.abs()));
        let factor = if largest > 3.0 { 3.0 / largest } else { 1.0 };
        for (a, c) in state.ln_activity.iter_mut().zip(self.column) {
            if c != NOWHERE {
                *a += factor * step[c % WIDTH];
            }
        }
        state.ionic_strength *= (factor * step[(self.n - 1) % WIDTH]).exp();
        self.follow(state);
        // A NaN is lost in `max`.
        if step[..self.n].iter().any(|s| s.is_nan()) {
            f64::NAN
        } else {
            largest
        }
    }

    /// Newton from `state` until no logarithm is expected to move by more than `left`; whether it arrived, and in how many
    /// steps.
    #[inline(always)]
    pub(crate) fn newton(&self, state: &mut State, sums: &mut Sums, left: f64) -> Option<u32> {
        const MOST: u32 = 40;
        /// After a step as small as this the Jacobian has hardly changed.
        const REUSE: f64 = 0.03;
        let (mut before, mut last) = (f64::INFINITY, f64::INFINITY);
        for iteration in 1..=MOST {
            let reuse = last < REUSE && last < 0.1 * before;
            if reuse {
                self.evaluate::<false, false>(state, sums);
            } else {
                self.evaluate::<true, false>(state, sums);
                factor(sums, self.n)?;
            }
            let water = (1.0 - WATER_ACTIVITY_SLOPE * sums.solutes).max(0.3);
            let step = resolve(sums, self.n);
            let moved = (water - state.water_activity).abs();
            state.water_activity = water;
            let largest = self.step(state, &step);
            if !largest.is_finite() || state.ionic_strength > self.most_ionic_strength() {
                return None;
            }
            // What the next step would be: quadratic convergence, or linear with the rate just seen.
            let next = if reuse {
                largest * largest / last
            } else {
                largest * largest
            };
            if next < left && moved < 100.0 * left {
                return Some(iteration);
            }
            (before, last) = (last, largest);
        }
        None
    }

    /// What the species are at a state.
    #[inline(always)]
    pub(crate) fn solved(&self, state: &State, iterations: u32) -> Solved {
        let db = &*DATABASE;
        let f = self.factors(state);
        let mut out = Solved {
            state: *state,
            molality: [0.0; SPECIES],
            group_activity: [0.0; GROUPS],
            co2_activity: 0.0,
            iterations,
        };
        if self.column[CO3] != NOWHERE || self.open.is_some() {
            out.co2_activity = self.constants.k[db.co2] * f.product[db.species[db.co2].form % FORMS];
        }
        for s in species(&self.active[..self.n_groupless]) {
            out.molality[usize::from(s.species) % SPECIES] = f.of(s);
        }
        for group in &self.groups[..self.n_groups] {
            let members = species(&self.active[group.start..group.end]);
            let mut share = [0.0; GROUP_SIZE];
            let mut sum = 0.0;
            for (s, share) in members.clone().zip(share.iter_mut()) {
                *share = f.of(s);
                sum += *share;
            }
            let free = group.total / sum;
            for (s, share) in members.zip(share) {
                out.molality[usize::from(s.species) % SPECIES] = share * free;
            }
            if group.index < GROUPS {
                out.group_activity[group.index] = free;
            } else {
                out.state.ln_activity[(group.index - GROUPS) % LIGANDS] = free.ln();
            }
        }
        out
    }
}

/// Factors the Jacobian in place, rows scaled, with partial pivoting. None where it is singular.
#[inline(always)]
pub(crate) fn factor(sums: &mut Sums, n: usize) -> Option<()> {
    let n = n.min(WIDTH - 1);
    let a = &mut sums.jacobian;
    for ((row, scale), inverse) in a.iter_mut().zip(sums.scale).zip(&mut sums.factor_scale).take(n) {
        *inverse = 1.0 / scale;
        for v in &mut row[..n] {
            *v *= *inverse;
        }
    }
    for i in 0..n {
        let mut pivot = i;
        for r in i + 1..n {
            if a[r][i].abs() > a[pivot][i].abs() {
                pivot = r;
            }
        }
        if a[pivot][i].is_nan() || a[pivot][i].abs() < 1e-300 {
            return None;
        }
        sums.pivots[i] = pivot;
        if pivot != i {
            a.swap(i, pivot);
        }
        let top = a[i];
        let inverse = 1.0 / top[i];
        for row in &mut a[i + 1..n] {
            let f = row[i] * inverse;
            row[i] = f;
            if f != 0.0 {
                for (v, t) in row[i + 1..n].iter_mut().zip(&top[i + 1..n]) {
                    *v -= f * t;
                }
            }
        }
    }
    Some(())
}

/// The step `-J^-1 F` by a factored Jacobian.
#[inline(always)]
pub(crate) fn resolve(sums: &Sums, n: usize) -> [f64; WIDTH] {
    let n = n.min(WIDTH - 1);
    let a = &sums.jacobian;
    let mut b = [0.0; WIDTH];
    for ((b, f), s) in b.iter_mut().zip(sums.residual).zip(sums.factor_scale).take(n) {
        *b = -f * s;
    }
    // Rows were exchanged whole, with what stood left of the diagonal.
    for i in 0..n {
        b.swap(i, sums.pivots[i] % WIDTH);
    }
    for (i, row) in a.iter().enumerate().take(n) {
        let below: f64 = row[..i].iter().zip(&b[..i]).map(|(l, b)| l * b).sum();
        b[i] -= below;
    }
    for (i, row) in a.iter().enumerate().take(n).rev() {
        let above: f64 = row[i + 1..n].iter().zip(&b[i + 1..n]).map(|(u, b)| u * b).sum();
        b[i] = (b[i] - above) / row[i];
    }
    b
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::database::NONE;

    #[test]
    fn no_group_is_larger_than_its_room() {
        let db = &*DATABASE;
        assert!(db.starts.windows(2).skip(1).all(|w| w[1] - w[0] <= GROUP_SIZE));
        let last = db.starts.last().copied().unwrap_or(NONE);
        assert!(SPECIES - last <= GROUP_SIZE);
        assert!(
            db.forms
                .iter()
                .all(|f| f.power <= 6 && f.hydrogen.abs() <= 4 && f.water.abs() <= 4)
        );
    }
}
