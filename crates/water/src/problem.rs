//! The equations of one water: which species take part, and which activities are unknown.

use crate::constants::Constants;
use crate::constituent::{Composition, Constituent};
use crate::database::{
    CL, CLASSES, CO3, DATABASE, F, FORMS, Form, GROUPS, H, LIGANDS, NO3, NONE, PO4, ROOM, SO4, SPECIES,
};
use crate::solver::WATER_ACTIVITY_SLOPE;

/// Room for the unknowns; a power of two, so that an index can be masked instead of checked.
pub(crate) const WIDTH: usize = 16;
/// Row and column that stand for "not an unknown".
pub(crate) const NOWHERE: usize = WIDTH - 1;
/// Room for the species of one group.
pub(crate) const GROUP_SIZE: usize = 16;

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

/// A species as the solver takes it.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Active {
    /// Power of the ligand, and equivalents of alkalinity.
    pub power: f64,
    pub alkalinity: f64,
    pub class: u8,
    pub form: u8,
    pub species: u8,
    /// 7 for none.
    pub ligand: u8,
}

/// A product of activities that occurs, by its slots in the table of powers.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct ActiveForm {
    pub form: u8,
    pub ligand: u8,
    pub power: u8,
    pub hydrogen: u8,
    pub water: u8,
}

#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Group {
    pub start: usize,
    pub end: usize,
    pub total: f64,
    /// The group, or `GROUPS` + the ligand that is solved as one.
    pub index: usize,
}

/// The state of a water: enough to start a neighbour from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct State {
    pub ln_activity: [f64; LIGANDS],
    pub ionic_strength: f64,
    pub water_activity: f64,
}

/// The equations of one water.
pub(crate) struct Problem<'c> {
    pub constants: &'c Constants,
    pub carbonate: Carbonate,
    /// The templates of the species that take part.
    pub active: [u8; ROOM],
    pub groups: [Group; GROUPS + 2],
    pub forms: [ActiveForm; FORMS],
    n_active: usize,
    /// A bit for each form that occurs, and how many classes do.
    used: u32,
    pub n_classes: usize,
    /// Row and column of each ligand; 7 stands for none.
    pub rows: [u8; 8],
    pub columns: [u8; 8],
    pub n_groupless: usize,
    pub n_groups: usize,
    pub n_forms: usize,
    /// Total of each ligand that is an unknown of its own balance; 0 where absent.
    pub totals: [f64; LIGANDS],
    pub alkalinity: f64,
    /// Column of each ligand's unknown.
    pub column: [usize; LIGANDS],
    pub alkalinity_row: usize,
    /// Number of unknowns, the ionic strength last.
    pub n: usize,
    /// Where carbonate follows from H+ at a fixed activity of CO2: ln of a(CO3) a(H)^2/a(H2O).
    pub open: Option<f64>,
    /// Rough sum of solutes and ionic strength, for the start.
    solutes: f64,
    rough_ionic_strength: f64,
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "at most 92 species, 32 forms, 32 classes and 16 unknowns, and powers from -4 to 6"
)]
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
        let ph_known = matches!(carbonate, Carbonate::Ph(_) | Carbonate::PhWithoutCarbon(_));
        let mut n = 0;
        let mut column = [NOWHERE; LIGANDS];
        for (l, is_unknown) in [
            (H, !ph_known),
            (CO3, carbon && open.is_none()),
            (SO4, present[SO4]),
            (PO4, present[PO4]),
            (F, present[F]),
            (CL, present[CL] && !chloride_alone),
            (NO3, present[NO3] && !nitrate_alone),
        ] {
            if is_unknown {
                column[l] = n;
                n += 1;
            }
        }
        let alkalinity_row = match carbonate {
            Carbonate::Ph(_) => column[CO3],
            Carbonate::PhWithoutCarbon(_) => NOWHERE,
            _ => column[H],
        };

        let mut problem = Self {
            constants,
            carbonate,
            active: [0; ROOM],
            groups: [Group::default(); GROUPS + 2],
            forms: [ActiveForm::default(); FORMS],
            n_active: 0,
            used: 0,
            n_classes: 0,
            rows: [NOWHERE as u8; 8],
            columns: [NOWHERE as u8; 8],
            n_groupless: 0,
            n_groups: 0,
            n_forms: 0,
            totals,
            alkalinity: composition.alkalinity_eq_kg,
            column,
            alkalinity_row,
            n: n + 1,
            open,
            solutes: composition.alkalinity_eq_kg.abs(),
            rough_ionic_strength: 0.5 * composition.alkalinity_eq_kg.abs(),
        };
        for c in Constituent::ALL {
            let charge = f64::from(c.charge());
            problem.solutes += composition[c];
            problem.rough_ionic_strength += 0.5 * charge * charge * composition[c];
        }
        problem.rough_ionic_strength = problem.rough_ionic_strength.max(1e-7);

        for (l, c) in column.iter().enumerate() {
            problem.columns[l] = *c as u8;
            // At a known pH the alkalinity takes the place of the balance of carbon.
            if !(l == CO3 && ph_known) {
                problem.rows[l] = *c as u8;
            }
        }
        // Chloride and nitrate that nothing binds are solved as groups, and are no ligands.
        let lone = [
            (CL, chloride_alone && present[CL], &db.chloride_group),
            (NO3, nitrate_alone && present[NO3], &db.nitrate_group),
        ];
        let mut ligands = [true; 8];
        ligands[..LIGANDS].copy_from_slice(&present);
        for (l, alone, _) in lone {
            ligands[l] &= !alone;
        }
        problem.add(db.starts[0]..db.starts[1], ligands);
        problem.n_groupless = problem.n_active;
        for (g, constituent) in Constituent::ALL.iter().take(GROUPS).enumerate() {
            let total = composition[*constituent];
            if total > 0.0 {
                let start = problem.n_active;
                problem.add(
                    db.starts[g + 1]..db.starts.get(g + 2).copied().unwrap_or(SPECIES),
                    ligands,
                );
                problem.close_group(start, total, g);
            }
        }
        for (l, alone, range) in lone {
            if alone {
                let start = problem.n_active;
                problem.add(range.clone(), [true; 8]);
                problem.close_group(start, totals[l], GROUPS + l);
                problem.totals[l] = 0.0;
            }
        }
        for (i, form) in db.forms.iter().enumerate().take(FORMS) {
            if problem.used & (1 << i) != 0 {
                problem.forms[problem.n_forms] = ActiveForm {
                    form: i as u8,
                    ligand: if form.ligand == NONE {
                        LIGANDS as u8
                    } else {
                        form.ligand as u8
                    },
                    power: form.power as u8,
                    hydrogen: (form.hydrogen + 4) as u8,
                    water: (form.water + 4) as u8,
                };
                problem.n_forms += 1;
            }
        }
        problem
    }

    /// Adds the species of a range of templates whose ligand is there.
    fn add(&mut self, range: std::ops::Range<usize>, ligands: [bool; 8]) {
        let start = range.start;
        let templates = DATABASE.templates.get(range).unwrap_or_default();
        for (i, template) in (start..).zip(templates) {
            if ligands[usize::from(template.ligand) % 8] {
                self.used |= 1 << (template.form % FORMS as u8);
                self.n_classes = self.n_classes.max(usize::from(template.class) + 1);
                self.active[self.n_active % ROOM] = i as u8;
                self.n_active += 1;
            }
        }
    }

    fn close_group(&mut self, start: usize, total: f64, index: usize) {
        self.groups[self.n_groups % (GROUPS + 2)] = Group {
            start,
            end: self.n_active,
            total,
            index,
        };
        self.n_groups += 1;
    }

    /// The species that take part.
    pub(crate) fn active(&self) -> impl Iterator<Item = &'static Active> {
        let templates = &DATABASE.templates;
        self.active[..self.n_active]
            .iter()
            .map(|i| &templates[usize::from(*i) % ROOM])
    }

    /// The forms that occur, with their index.
    pub(crate) fn forms(&self) -> impl Iterator<Item = (usize, &'static Form)> {
        let forms = &DATABASE.forms;
        self.forms[..self.n_forms].iter().filter_map(|active| {
            let i = usize::from(active.form) % FORMS;
            forms.get(i).map(|form| (i, form))
        })
    }

    /// Power of H+ in each form, carbonate's own H+ with it where carbonate follows from H+.
    pub(crate) fn hydrogen(&self) -> &'static [f64; FORMS] {
        let powers = &DATABASE.powers;
        if self.open.is_some() {
            &powers.hydrogen_open
        } else {
            &powers.hydrogen
        }
    }

    /// Whether a ligand's activity is an unknown, and which.
    pub(crate) fn column_of(&self, ligand: usize) -> Option<usize> {
        (self.column[ligand] != NOWHERE).then_some(self.column[ligand])
    }

    /// Bounds of the ionic strength, whatever the state.
    pub(crate) fn most_ionic_strength(&self) -> f64 {
        10.0 * (self.rough_ionic_strength + self.solutes) + 1.0
    }

    /// Carbonate's activity where it follows from H+.
    #[inline(always)]
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
        c.activity(ionic_strength, self.n_classes, &mut gamma, &mut slope);
        // Bicarbonate, carbonate and CO2 per unit activity of carbonate.
        let mut bicarbonate = 0.0;
        let mut carbonate = 0.0;
        let mut co2 = 0.0;
        for s in self.active[..self.n_groupless]
            .iter()
            .map(|i| &db.templates[usize::from(*i) % ROOM])
        {
            let form = db.forms[usize::from(s.form)];
            if form.ligand == CO3 && form.power == 1 {
                let per = c.k[usize::from(s.species) % ROOM] * gamma[usize::from(s.class) % CLASSES];
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
        self.protonate(&mut state, &gamma);
        state
    }

    /// Sets the ligands whose totals are known to what they are beside H+ alone: never below what they are among cations.
    fn protonate(&self, state: &mut State, gamma: &[f64; CLASSES]) {
        let db = &*DATABASE;
        let h = state.ln_activity[H].exp();
        let mut per = [0.0; LIGANDS];
        for s in self.active[..self.n_groupless]
            .iter()
            .map(|i| &db.templates[usize::from(*i) % ROOM])
        {
            let form = db.forms[usize::from(s.form) % FORMS];
            if form.ligand != NONE && form.power == 1 {
                let k = self.constants.k[usize::from(s.species) % ROOM];
                per[form.ligand] += k * gamma[usize::from(s.class) % CLASSES] * h.powi(form.hydrogen);
            }
        }
        for l in [CO3, SO4, PO4, F, CL, NO3] {
            if self.column[l] != NOWHERE && self.totals[l] > 0.0 {
                state.ln_activity[l] = (self.totals[l] / per[l]).ln();
            }
        }
    }

    /// The ligands of a state as [`Self::protonate`] sets them, at the state's H+ and ionic strength.
    pub(crate) fn restart_ligands(&self, state: &mut State) {
        let (mut gamma, mut slope) = ([0.0; CLASSES], [0.0; CLASSES]);
        self.constants
            .activity(state.ionic_strength, self.n_classes, &mut gamma, &mut slope);
        self.protonate(state, &gamma);
    }

    /// Start from a neighbour's state, each activity moved by its ratio. None where that says nothing of an unknown.
    pub(crate) fn start_from(&self, warm: &State, ratio: &[f64; LIGANDS], ionic_ratio: f64) -> Option<State> {
        let mut state = *warm;
        for ((a, ratio), column) in state.ln_activity.iter_mut().zip(ratio).zip(self.column) {
            if column != NOWHERE {
                let usable = *ratio > 0.0 && ratio.is_finite() && *a > -45.0;
                *a = usable.then(|| *a + ratio.ln())?;
            }
        }
        state.ionic_strength = (warm.ionic_strength * ionic_ratio).max(1e-9);
        if let Carbonate::Ph(ph) | Carbonate::PhWithoutCarbon(ph) = self.carbonate {
            state.ln_activity[H] = -ph * std::f64::consts::LN_10;
        }
        self.follow(&mut state);
        Some(state)
    }
}
