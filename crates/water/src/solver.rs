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
//! where <> is the mean over a group's species. Nothing is allocated. A start that Newton cannot bring home goes to
//! [`crate::fallback`], which brackets.

use crate::constants::{self, Constants};
use crate::constituent::{Composition, Constituent};
use crate::database::{
    CL, CLASSES, CO3, DATABASE, F, FORMS, GROUPS, H, LIGANDS, NO3, NONE, PO4, SO4, SPECIES,
};

/// Most unknowns: seven activities and the ionic strength.
pub(crate) const UNKNOWNS: usize = LIGANDS + 1;
/// Row and column that stand for "not an unknown".
const NOWHERE: usize = UNKNOWNS;
const WIDTH: usize = UNKNOWNS + 1;
/// Room for the species of one group.
pub(crate) const GROUP_SIZE: usize = 16;
/// Water activity: a_w = 1 - 0.017 x (sum of the molalities of all solutes) (Garrels and Christ 1965, as PHREEQC).
pub(crate) const WATER_ACTIVITY_SLOPE: f64 = 0.017;

/// What settles the carbonate of a water besides its alkalinity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Carbonate {
    /// The pH, -log10 of the activity of H+.
    Ph(f64),
    /// The activity of dissolved CO2.
    Co2Activity(f64),
    /// All carbonate and CO2 together, mol/kg.
    TotalCarbon(f64),
    /// The pH, and no carbonate at all: the alkalinity is what follows.
    PhWithoutCarbon(f64),
}

#[derive(Clone, Copy, Debug, Default)]
struct Active {
    k: f64,
    half_z2: f64,
    class: u8,
    form: u8,
    species: u8,
}

#[derive(Clone, Copy, Debug, Default)]
struct Group {
    start: usize,
    end: usize,
    total: f64,
    /// The group, or `GROUPS` + the ligand that is solved as one.
    index: usize,
}

/// Where a form's powers go in the equations.
#[derive(Clone, Copy, Debug, Default)]
struct View {
    row: usize,
    column: usize,
    power: f64,
    hydrogen: f64,
    alkalinity: f64,
}

/// The state of a water: enough to start a neighbour from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct State {
    pub ln_activity: [f64; LIGANDS],
    pub ionic_strength: f64,
    pub water_activity: f64,
}

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

/// The equations of one water.
pub(crate) struct Problem<'c> {
    pub constants: &'c Constants,
    pub carbonate: Carbonate,
    active: [Active; SPECIES],
    groups: [Group; GROUPS + 2],
    n_active: usize,
    n_groupless: usize,
    n_groups: usize,
    /// Total of each ligand that is an unknown of its own balance; 0 where absent.
    pub totals: [f64; LIGANDS],
    pub alkalinity: f64,
    /// Column of each ligand's unknown.
    column: [usize; LIGANDS + 1],
    alkalinity_row: usize,
    /// Column of the ionic strength: the last.
    pub n: usize,
    /// Whether carbonate follows from H+ at a fixed activity of CO2, and ln of a(CO3) a(H)^2 / a(H2O) then.
    open: Option<f64>,
    /// Rough sum of solutes and ionic strength, for the start.
    solutes: f64,
    rough_ionic_strength: f64,
    views: [View; FORMS],
}

/// Sums over the species at a state.
pub(crate) struct Sums {
    pub jacobian: [[f64; WIDTH]; WIDTH],
    pub residual: [f64; WIDTH],
    pub scale: [f64; WIDTH],
    pub ionic_strength: f64,
    pub solutes: f64,
    /// Alkalinity of the species.
    pub alkalinity: f64,
    /// The convex function whose gradient the ligand balances are (at fixed ionic strength), for the fall-back.
    pub merit: f64,
}

impl<'c> Problem<'c> {
    pub(crate) fn new(constants: &'c Constants, composition: &Composition, carbonate: Carbonate) -> Self {
        let db = &*DATABASE;
        let mut totals = [0.0; LIGANDS];
        totals[SO4] = composition[Constituent::Sulfate];
        totals[PO4] = composition[Constituent::Phosphate];
        totals[F] = composition[Constituent::Fluoride];
        totals[CL] = composition[Constituent::Chloride];
        totals[NO3] = composition[Constituent::Nitrate];
        let manganese = composition[Constituent::Manganese] > 0.0;
        let chloride_alone = !manganese && composition[Constituent::Iron] <= 0.0;
        let nitrate_alone = !manganese;
        let mut open = None;
        let carbon = match carbonate {
            Carbonate::Ph(_) => true,
            Carbonate::Co2Activity(a) => {
                open = (a > 0.0).then(|| a.ln() - constants.k[db.co2].ln());
                a > 0.0
            }
            Carbonate::TotalCarbon(c) => {
                totals[CO3] = c;
                c > 0.0
            }
            Carbonate::PhWithoutCarbon(_) => false,
        };
        let present: [bool; LIGANDS] = std::array::from_fn(|l| match l {
            H => true,
            CO3 => carbon,
            _ => totals[l] > 0.0,
        });

        // The unknowns, in a fixed order.
        let mut n = 0;
        let mut column = [NOWHERE; LIGANDS + 1];
        let mut unknown = |l: usize, n: &mut usize| {
            column[l] = *n;
            *n += 1;
        };
        let ph_known = matches!(carbonate, Carbonate::Ph(_) | Carbonate::PhWithoutCarbon(_));
        if !ph_known {
            unknown(H, &mut n);
        }
        if carbon && open.is_none() {
            unknown(CO3, &mut n);
        }
        for l in [SO4, PO4, F] {
            if present[l] {
                unknown(l, &mut n);
            }
        }
        if present[CL] && !chloride_alone {
            unknown(CL, &mut n);
        }
        if present[NO3] && !nitrate_alone {
            unknown(NO3, &mut n);
        }
        let alkalinity_row = match carbonate {
            Carbonate::Ph(_) => column[CO3],
            Carbonate::PhWithoutCarbon(_) => NOWHERE,
            _ => column[H],
        };

        let mut views = [View {
            row: NOWHERE,
            column: NOWHERE,
            ..View::default()
        }; FORMS];
        for (view, form) in views.iter_mut().zip(&db.forms) {
            let is_carbonate = form.ligand == CO3;
            if form.ligand != NONE {
                view.column = column[form.ligand];
                view.row = if is_carbonate && ph_known {
                    NOWHERE
                } else {
                    view.column
                };
                view.power = f64::from(form.power);
            }
            let carried = if open.is_some() && is_carbonate {
                2 * form.power
            } else {
                0
            };
            view.hydrogen = f64::from(form.hydrogen - carried);
            view.alkalinity = form.alkalinity;
        }

        let mut active = [Active::default(); SPECIES];
        let mut n_active = 0;
        let mut add = |i: usize, as_group: bool, n_active: &mut usize| {
            let s = &db.species[i];
            let form = if as_group { s.form_as_group } else { s.form };
            let charge = f64::from(s.charge);
            #[expect(
                clippy::cast_possible_truncation,
                reason = "at most 92 species, 64 forms and 48 classes"
            )]
            {
                active[*n_active] = Active {
                    k: constants.k[i],
                    half_z2: 0.5 * charge * charge,
                    class: s.class as u8,
                    form: form as u8,
                    species: i as u8,
                };
            }
            *n_active += 1;
        };
        let holds = |i: usize| {
            let l = db.forms[db.species[i].form].ligand;
            l == NONE || present[l]
        };
        let is_lone = |i: usize| {
            let l = db.forms[db.species[i].form].ligand;
            (l == CL && chloride_alone) || (l == NO3 && nitrate_alone)
        };
        for i in db.starts[0]..db.starts[1] {
            if holds(i) && !is_lone(i) {
                add(i, false, &mut n_active);
            }
        }
        let n_groupless = n_active;
        let mut groups = [Group::default(); GROUPS + 2];
        let mut n_groups = 0;
        for (g, constituent) in Constituent::ALL.iter().take(GROUPS).enumerate() {
            let total = composition[*constituent];
            if total <= 0.0 {
                continue;
            }
            let start = n_active;
            for i in db.starts[g + 1]..db.starts.get(g + 2).copied().unwrap_or(SPECIES) {
                if holds(i) {
                    add(i, false, &mut n_active);
                }
            }
            groups[n_groups] = Group {
                start,
                end: n_active,
                total,
                index: g,
            };
            n_groups += 1;
        }
        for (l, lone) in [(CL, chloride_alone), (NO3, nitrate_alone)] {
            if lone && present[l] {
                let start = n_active;
                for i in db.starts[0]..db.starts[1] {
                    if db.forms[db.species[i].form].ligand == l {
                        add(i, true, &mut n_active);
                    }
                }
                groups[n_groups] = Group {
                    start,
                    end: n_active,
                    total: totals[l],
                    index: GROUPS + l,
                };
                n_groups += 1;
                totals[l] = 0.0;
            }
        }

        let mut solutes = composition.alkalinity_eq_kg.abs();
        let mut rough = 0.5 * composition.alkalinity_eq_kg.abs();
        for c in Constituent::ALL {
            let charge = f64::from(c.charge());
            solutes += composition[c];
            rough += 0.5 * charge * charge * composition[c];
        }
        Self {
            constants,
            carbonate,
            active,
            groups,
            n_active,
            n_groupless,
            n_groups,
            totals,
            alkalinity: composition.alkalinity_eq_kg,
            column,
            alkalinity_row,
            n: n + 1,
            open,
            solutes,
            rough_ionic_strength: rough.max(1e-7),
            views,
        }
    }

    /// Whether a ligand's activity is an unknown, and which.
    pub(crate) fn column_of(&self, ligand: usize) -> Option<usize> {
        (self.column[ligand] != NOWHERE).then(|| self.column[ligand])
    }

    /// Bounds of the ionic strength, whatever the state.
    pub(crate) fn most_ionic_strength(&self) -> f64 {
        10.0 * (self.rough_ionic_strength + self.solutes) + 1.0
    }

    /// Carbonate's activity where it follows from H+.
    pub(crate) fn follow(&self, state: &mut State) {
        if let Some(open) = self.open {
            state.ln_activity[CO3] = open - 2.0 * state.ln_activity[H] + state.water_activity.ln();
        }
    }

    /// A start from the protonation of the ligands alone.
    pub(crate) fn start(&self) -> State {
        let db = &*DATABASE;
        let c = self.constants;
        let ionic_strength = self.rough_ionic_strength;
        let mut state = State {
            ln_activity: [-46.0; LIGANDS],
            ionic_strength,
            water_activity: (1.0 - WATER_ACTIVITY_SLOPE * self.solutes).max(0.5),
        };
        let (mut gamma, mut slope) = ([0.0; CLASSES], [0.0; CLASSES]);
        c.activity(ionic_strength, &mut gamma, &mut slope);
        // Bicarbonate, carbonate and CO2 per unit activity of carbonate.
        let mut bicarbonate = 0.0;
        let mut carbonate = 0.0;
        let mut co2 = 0.0;
        for s in &self.active[..self.n_groupless] {
            let form = db.forms[usize::from(s.form)];
            if form.ligand == CO3 && form.power == 1 {
                let per = s.k * gamma[usize::from(s.class)];
                match form.hydrogen {
                    0 => carbonate = per,
                    1 => bicarbonate = per,
                    _ => co2 = per,
                }
            }
        }
        let alkalinity = self.alkalinity.max(1e-7);
        let ln_h = match self.carbonate {
            Carbonate::Ph(ph) | Carbonate::PhWithoutCarbon(ph) => -ph * std::f64::consts::LN_10,
            Carbonate::Co2Activity(_) => match self.open {
                // alk = b x/h + 2 c x/h^2 with x = a(CO3) h^2.
                Some(open) => {
                    let x = open.exp();
                    let b = bicarbonate * x;
                    ((b + (b * b + 8.0 * alkalinity * carbonate * x).sqrt()) / (2.0 * alkalinity)).ln()
                }
                None => -7.0 * std::f64::consts::LN_10,
            },
            Carbonate::TotalCarbon(total) => {
                if total > 0.0 && alkalinity < 2.0 * total {
                    // alk (co2 h^2 + b h + c) = total (b h + 2 c).
                    let a = alkalinity * co2;
                    let b = bicarbonate * (alkalinity - total);
                    let c = carbonate * (alkalinity - 2.0 * total);
                    ((-b + (b * b - 4.0 * a * c).sqrt()) / (2.0 * a)).ln()
                } else {
                    let hydroxide = (self.alkalinity - 2.0 * total).max(1e-7);
                    (1e-14 / hydroxide).ln()
                }
            }
        };
        let ln_h = ln_h.clamp(-34.0, 2.0);
        state.ln_activity[H] = ln_h;
        let h = ln_h.exp();
        match self.carbonate {
            Carbonate::Ph(_) => {
                let rest = (alkalinity - 1e-14 / h + h).max(0.05 * alkalinity);
                state.ln_activity[CO3] = (rest / (bicarbonate * h + 2.0 * carbonate)).ln();
            }
            Carbonate::TotalCarbon(total) if total > 0.0 => {
                state.ln_activity[CO3] = (total / (co2 * h * h + bicarbonate * h + carbonate)).ln();
            }
            _ => self.follow(&mut state),
        }
        let mut per = [0.0; LIGANDS];
        for s in &self.active[..self.n_groupless] {
            let form = db.forms[usize::from(s.form)];
            if form.ligand != NONE && form.power == 1 && form.ligand != CO3 {
                per[form.ligand] += s.k * gamma[usize::from(s.class)] * h.powi(form.hydrogen);
            }
        }
        for l in [SO4, PO4, F, CL, NO3] {
            if self.column[l] != NOWHERE {
                state.ln_activity[l] = (self.totals[l] / per[l]).ln();
            }
        }
        state
    }

    /// Start from a neighbour's state, moved in proportion to the totals.
    pub(crate) fn start_from(&self, warm: &State, ratio: &[f64; LIGANDS], ionic_ratio: f64) -> State {
        let mut state = *warm;
        let cold = self.start();
        for l in 1..LIGANDS {
            if self.column[l] == NOWHERE {
                continue;
            }
            if ratio[l] > 0.0 && ratio[l].is_finite() && warm.ln_activity[l] > -45.0 {
                state.ln_activity[l] = warm.ln_activity[l] + ratio[l].ln();
            } else {
                state.ln_activity[l] = cold.ln_activity[l];
            }
        }
        state.ionic_strength = (warm.ionic_strength * ionic_ratio).max(1e-9);
        match self.carbonate {
            Carbonate::Ph(ph) | Carbonate::PhWithoutCarbon(ph) => {
                state.ln_activity[H] = -ph * std::f64::consts::LN_10;
            }
            Carbonate::Co2Activity(_) => state.ln_activity[H] = cold.ln_activity[H],
            Carbonate::TotalCarbon(_) => {}
        }
        self.follow(&mut state);
        state
    }

    /// Species, balances and Jacobian at a state.
    pub(crate) fn evaluate(&self, state: &State, sums: &mut Sums) {
        let n = self.n;
        let last = n - 1;
        let mut activity = [0.0; LIGANDS];
        constants::exp_each(&state.ln_activity, &mut activity);
        let mut product = [0.0; FORMS];
        constants::forms(&activity, state.water_activity, &mut product);
        let (mut gamma, mut slope) = ([0.0; CLASSES], [0.0; CLASSES]);
        self.constants
            .activity(state.ionic_strength, &mut gamma, &mut slope);

        let mut moles = [0.0; FORMS];
        let mut charges = [0.0; FORMS];
        let mut slopes = [0.0; FORMS];
        let (mut ionic_strength, mut by_ionic_strength, mut solutes, mut merit) = (0.0, 0.0, 0.0, 0.0);
        for s in &self.active[..self.n_groupless] {
            let (form, class) = (usize::from(s.form) % FORMS, usize::from(s.class) % CLASSES);
            let m = s.k * gamma[class] * product[form];
            let d = slope[class];
            moles[form] += m;
            charges[form] += m * s.half_z2;
            slopes[form] += m * d;
            ionic_strength += m * s.half_z2;
            by_ionic_strength += m * s.half_z2 * d;
            solutes += m;
            merit += m;
        }
        let jacobian = &mut sums.jacobian;
        for row in jacobian.iter_mut().take(n) {
            row[..n].fill(0.0);
        }
        for group in &self.groups[..self.n_groups] {
            let members = &self.active[group.start..group.end];
            let mut share = [0.0; GROUP_SIZE];
            let mut sum = 0.0;
            for (s, share) in members.iter().zip(share.iter_mut()) {
                *share = s.k * gamma[usize::from(s.class) % CLASSES] * product[usize::from(s.form) % FORMS];
                sum += *share;
            }
            merit += group.total * sum.ln();
            let free = group.total / sum;
            solutes += group.total;
            // Means of rho and kappa over the group, times its total.
            let mut rho = [0.0; WIDTH];
            let mut kappa = [0.0; WIDTH];
            let (mut hydrogen, mut alkalinity, mut charge, mut by) = (0.0, 0.0, 0.0, 0.0);
            for (s, share) in members.iter().zip(share.iter()) {
                let (form, class) = (usize::from(s.form) % FORMS, usize::from(s.class) % CLASSES);
                let m = share * free;
                let d = slope[class];
                let z = m * s.half_z2;
                moles[form] += m;
                charges[form] += z;
                slopes[form] += m * d;
                by_ionic_strength += z * d;
                let view = &self.views[form];
                rho[view.row] += m * view.power;
                kappa[view.column] += m * view.power;
                hydrogen += m * view.hydrogen;
                alkalinity += m * view.alkalinity;
                charge += z;
                by += m * d;
            }
            ionic_strength += charge;
            rho[self.alkalinity_row] += alkalinity;
            rho[last] += charge;
            kappa[self.column[H]] += hydrogen;
            kappa[last] += by;
            let inverse = 1.0 / group.total;
            for (row, rho) in jacobian.iter_mut().zip(rho).take(n) {
                let f = rho * inverse;
                for (j, kappa) in row.iter_mut().zip(kappa).take(n) {
                    *j -= f * kappa;
                }
            }
        }

        let mut residual = [0.0; WIDTH];
        let mut alkalinity = 0.0;
        let mut alkalinity_scale = 0.0;
        let h = self.column[H];
        let a = self.alkalinity_row;
        for (i, view) in self.views.iter().enumerate().take(DATABASE.forms.len()) {
            let m = moles[i];
            if m == 0.0 {
                continue;
            }
            let (r, c) = (view.row, view.column);
            let by_ligand = m * view.power;
            residual[r] += by_ligand;
            let of_alkalinity = m * view.alkalinity;
            alkalinity += of_alkalinity;
            alkalinity_scale += of_alkalinity.abs();
            jacobian[r][c] += by_ligand * view.power;
            jacobian[r][h] += by_ligand * view.hydrogen;
            jacobian[r][last] += slopes[i] * view.power;
            jacobian[a][c] += of_alkalinity * view.power;
            jacobian[a][h] += of_alkalinity * view.hydrogen;
            jacobian[a][last] += slopes[i] * view.alkalinity;
            jacobian[last][c] += charges[i] * view.power;
            jacobian[last][h] += charges[i] * view.hydrogen;
        }
        jacobian[last][last] += by_ionic_strength;
        sums.scale = [1.0; WIDTH];
        for l in 1..LIGANDS {
            let r = self.column[l];
            if r != NOWHERE && self.totals[l] > 0.0 {
                merit -= self.totals[l] * state.ln_activity[l];
                residual[r] -= self.totals[l];
                sums.scale[r] = self.totals[l];
            }
        }
        if a != NOWHERE {
            residual[a] = alkalinity - self.alkalinity;
            sums.scale[a] = alkalinity_scale.max(self.alkalinity.abs());
        }
        residual[last] = ionic_strength - state.ionic_strength;
        sums.scale[last] = state.ionic_strength;
        // The unknown is ln I.
        for row in jacobian.iter_mut().take(n) {
            row[last] *= state.ionic_strength;
        }
        jacobian[last][last] -= state.ionic_strength;
        sums.residual = residual;
        sums.ionic_strength = ionic_strength;
        sums.solutes = solutes;
        sums.alkalinity = alkalinity;
        sums.merit = merit;
    }

    /// Moves the unknowns by a step, no logarithm by more than 3.
    pub(crate) fn step(&self, state: &mut State, step: &[f64; WIDTH]) -> f64 {
        let largest = step[..self.n].iter().fold(0.0_f64, |a, s| a.max(s.abs()));
        let factor = if largest > 3.0 { 3.0 / largest } else { 1.0 };
        for l in 0..LIGANDS {
            let c = self.column[l];
            if c != NOWHERE {
                state.ln_activity[l] += factor * step[c];
            }
        }
        state.ionic_strength *= (factor * step[self.n - 1]).exp();
        self.follow(state);
        largest
    }

    /// Newton from `state`; whether it arrived, and in how many steps.
    pub(crate) fn newton(&self, state: &mut State, sums: &mut Sums) -> Option<u32> {
        const MOST: u32 = 40;
        // The step after one this small is below 1e-12: quadratic convergence.
        const SMALL: f64 = 1e-6;
        for iteration in 1..=MOST {
            self.evaluate(state, sums);
            let water = (1.0 - WATER_ACTIVITY_SLOPE * sums.solutes).max(0.3);
            let step = eliminate(sums, self.n)?;
            let moved = (water - state.water_activity).abs();
            state.water_activity = water;
            let largest = self.step(state, &step);
            if !largest.is_finite() || state.ionic_strength > self.most_ionic_strength() {
                return None;
            }
            if largest < SMALL && moved < 1e-8 {
                return Some(iteration);
            }
        }
        None
    }

    /// What the species are at a state.
    pub(crate) fn solved(&self, state: &State, iterations: u32) -> Solved {
        let mut activity = [0.0; LIGANDS];
        constants::exp_each(&state.ln_activity, &mut activity);
        let mut product = [0.0; FORMS];
        constants::forms(&activity, state.water_activity, &mut product);
        let (mut gamma, mut slope) = ([0.0; CLASSES], [0.0; CLASSES]);
        self.constants
            .activity(state.ionic_strength, &mut gamma, &mut slope);
        let db = &*DATABASE;
        let mut out = Solved {
            state: *state,
            molality: [0.0; SPECIES],
            group_activity: [0.0; GROUPS],
            co2_activity: 0.0,
            iterations,
        };
        if self.column[CO3] != NOWHERE || self.open.is_some() {
            out.co2_activity = self.constants.k[db.co2] * product[db.species[db.co2].form];
        }
        let molality =
            |s: &Active| s.k * gamma[usize::from(s.class) % CLASSES] * product[usize::from(s.form) % FORMS];
        for s in &self.active[..self.n_groupless] {
            out.molality[usize::from(s.species) % SPECIES] = molality(s);
        }
        for group in &self.groups[..self.n_groups] {
            let members = &self.active[group.start..group.end];
            let mut sum = 0.0;
            for s in members {
                let share = molality(s);
                out.molality[usize::from(s.species) % SPECIES] = share;
                sum += share;
            }
            let free = group.total / sum;
            for s in members {
                out.molality[usize::from(s.species) % SPECIES] *= free;
            }
            if group.index < GROUPS {
                out.group_activity[group.index] = free;
            } else {
                out.state.ln_activity[group.index - GROUPS] = free.ln();
            }
        }
        out
    }

    /// How many species take part.
    #[cfg(test)]
    pub(crate) fn species(&self) -> usize {
        self.n_active
    }
}

impl Sums {
    pub(crate) fn new() -> Self {
        Self {
            jacobian: [[0.0; WIDTH]; WIDTH],
            residual: [0.0; WIDTH],
            scale: [1.0; WIDTH],
            ionic_strength: 0.0,
            solutes: 0.0,
            alkalinity: 0.0,
            merit: 0.0,
        }
    }
}

/// The Newton step `-J^-1 F`, rows scaled, by elimination with partial pivoting. None where the matrix is singular.
pub(crate) fn eliminate(sums: &Sums, n: usize) -> Option<[f64; WIDTH]> {
    let mut a = sums.jacobian;
    let mut b = sums.residual;
    for i in 0..n {
        let s = 1.0 / sums.scale[i];
        for v in &mut a[i][..n] {
            *v *= s;
        }
        b[i] *= -s;
    }
    for i in 0..n {
        let mut pivot = i;
        for r in i + 1..n {
            if a[r][i].abs() > a[pivot][i].abs() {
                pivot = r;
            }
        }
        // Written so that NaN is refused too.
        if !(a[pivot][i].abs() > 1e-300) {
            return None;
        }
        a.swap(i, pivot);
        b.swap(i, pivot);
        let (above, below) = a.split_at_mut(i + 1);
        let top = &above[i];
        let inverse = 1.0 / top[i];
        for (r, row) in below.iter_mut().enumerate().take(n - i - 1) {
            let f = row[i] * inverse;
            for (v, t) in row[i + 1..n].iter_mut().zip(&top[i + 1..n]) {
                *v -= f * t;
            }
            b[i + 1 + r] -= f * b[i];
        }
    }
    for i in (0..n).rev() {
        let mut x = b[i];
        for k in i + 1..n {
            x -= a[i][k] * b[k];
        }
        b[i] = x / a[i][i];
    }
    Some(b)
}
