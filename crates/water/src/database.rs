//! The chemical constants: `data/species.csv` and `data/minerals.csv`, read once.
//!
//! `reference/scripts/water_data.py` writes the files from PHREEQC's databases.
//! A row is a row of PHREEQC's phreeqc.dat, number by number, with its source. Reactions are resolved here to the master
//! species, so that every species is one product of activities:
//!
//! ```text
//! m = K a(group) a(ligand)^p a(H+)^h a(H2O)^w / gamma
//! ```
//!
//! A *group* is a constituent of which a species never holds more than one (every cation, silica, boron): given the
//! others its free activity follows at once. No species of this chemistry holds two different ligands.

use std::sync::LazyLock;

use crate::problem::Active;
use crate::table::{Row, rows, terms};

/// Number of aqueous species.
pub(crate) const SPECIES: usize = 92;
/// Room for the species, and for those of a ligand that is solved as a group; a power of two.
pub(crate) const ROOM: usize = 128;
/// Number of ligands, H+ first.
pub(crate) const LIGANDS: usize = 7;
/// Number of groups.
pub(crate) const GROUPS: usize = 11;
/// Most distinct pairs of activity parameters; a power of two, so that an index can be masked instead of checked.
pub(crate) const CLASSES: usize = 32;
/// Most distinct products of activities; a power of two too.
pub(crate) const FORMS: usize = 32;
/// Number of minerals, and of gases after them.
pub(crate) const PHASES: usize = 8;

/// Ligands by index.
pub(crate) const H: usize = 0;
pub(crate) const CO3: usize = 1;
pub(crate) const SO4: usize = 2;
pub(crate) const PO4: usize = 3;
pub(crate) const F: usize = 4;
pub(crate) const CL: usize = 5;
pub(crate) const NO3: usize = 6;
/// No ligand; also no group.
pub(crate) const NONE: usize = 255;

const LIGAND_NAMES: [&str; LIGANDS] = ["H+", "CO3-2", "SO4-2", "PO4-3", "F-", "Cl-", "NO3-"];
/// In the order of [`crate::Constituent`].
const GROUP_NAMES: [&str; GROUPS] = [
    "Ca+2", "Mg+2", "Na+", "K+", "Sr+2", "Ba+2", "Fe+2", "Mn+2", "NH4+", "H4SiO4", "H3BO3",
];
const PHASE_NAMES: [&str; PHASES] = [
    "calcite",
    "aragonite",
    "gypsum",
    "barite",
    "celestite",
    "fluorite",
    "amorphous_silica",
    "co2_gas",
];

/// log10 K = a1 + a2 T + a3/T + a4 log10 T + a5/T^2 + a6 T^2.
pub(crate) type LogK = [f64; 6];

/// One product of activities, shared by all species that differ in their group only.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Form {
    pub ligand: usize,
    pub power: i32,
    pub hydrogen: i32,
    pub water: i32,
    /// Equivalents of alkalinity per mole.
    pub alkalinity: i32,
}

/// The forms' powers by index. `hydrogen_open` is the power of H+ where carbonate follows from it at a fixed CO2.
pub(crate) struct FormPowers {
    pub ligand: [f64; FORMS],
    pub hydrogen: [f64; FORMS],
    pub hydrogen_open: [f64; FORMS],
    pub alkalinity: [f64; FORMS],
}

/// Parameters of the activity coefficient, with the charge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Activity {
    /// Extended Debye-Hückel with ion size a and b.
    Extended { charge_squared: f64, a: f64, b: f64 },
    /// Davies.
    Davies { charge_squared: f64 },
}

/// Transport and volume parameters, as in phreeqc.dat.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Transport {
    /// Tracer diffusion coefficient at 25 C, m2/s, its temperature coefficient, a, a2, viscosity exponent, a3.
    pub dw: [f64; 6],
    /// Apparent molar volume a1-a4, W, a0, i1-i4.
    pub vm: [f64; 10],
    /// Jones-Dole b0, b1, b2, d1, d2, d3, tan.
    pub viscosity: [f64; 7],
    /// Whether a size or viscosity parameter was given at all.
    pub has_volume: bool,
}

/// One aqueous species.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Species {
    pub name: &'static str,
    pub charge: i32,
    pub group: usize,
    pub form: usize,
    /// The form with the ligand taken out, for a ligand that is solved as a group.
    pub form_as_group: usize,
    pub class: usize,
    pub transport: Transport,
}

/// The constants of the chemistry.
pub(crate) struct Database {
    /// ln K of each species, coefficient by coefficient of [`LogK`], so that a temperature's constants are one loop.
    pub ln_k: [[f64; SPECIES]; 6],
    /// Species without a group first, then group by group.
    pub species: [Species; SPECIES],
    /// The species as the solver takes them, then chloride's and nitrate's as those of groups.
    pub templates: [Active; ROOM],
    /// Which templates are those of chloride and of nitrate as groups.
    pub chloride_group: std::ops::Range<usize>,
    pub nitrate_group: std::ops::Range<usize>,
    /// First species of each group, of the groupless before them, and the end.
    pub starts: [usize; GROUPS + 2],
    pub forms: Vec<Form>,
    /// The powers of the forms as the solver's sums take them.
    pub powers: FormPowers,
    pub classes: Vec<Activity>,
    /// Of the minerals and of CO2 gas.
    pub phases: [LogK; PHASES],
    /// Activity of CO2(aq) from that of CO3-2: the species CO2.
    pub co2: usize,
    pub bicarbonate: usize,
}

/// The one database. It is a constant: the files are part of the program, and a test reads them all.
pub(crate) static DATABASE: LazyLock<Database> = LazyLock::new(|| match read() {
    Ok(database) => database,
    Err(fault) => unreachable!("the data files of the chemistry are part of the program: {fault}"),
});

/// Powers of the masters in a species: groups, ligands, water.
#[derive(Clone, Copy, Default)]
struct Powers {
    groups: [i32; GROUPS],
    ligands: [i32; LIGANDS],
    water: i32,
}

fn read() -> Result<Database, String> {
    let (head, table) = rows(include_str!("../data/species.csv"))?;
    let mut known: Vec<(&str, Powers, LogK)> = vec![(
        "H2O",
        Powers {
            water: 1,
            ..Powers::default()
        },
        [0.0; 6],
    )];
    let mut forms = Vec::new();
    let mut classes = Vec::new();
    let mut species: Vec<Species> = Vec::new();
    let form_index = |form: Form, forms: &mut Vec<Form>| {
        forms.iter().position(|f| *f == form).unwrap_or_else(|| {
            forms.push(form);
            forms.len() - 1
        })
    };
    for cells in table {
        let row = Row { head: &head, cells };
        let name = row.text("name")?;
        let equation = row.text("equation")?;
        let mut powers = Powers::default();
        let mut log_k = row.log_k()?;
        if let Some(g) = GROUP_NAMES.iter().position(|n| *n == name) {
            powers.groups[g] = 1;
            log_k = [0.0; 6];
        } else if let Some(l) = LIGAND_NAMES.iter().position(|n| *n == name) {
            powers.ligands[l] = 1;
            log_k = [0.0; 6];
        } else {
            let (left, right) = equation
                .split_once(" = ")
                .ok_or_else(|| format!("no equation: {equation}"))?;
            let signed = terms(left)
                .map(|t| (t.0, t.1))
                .chain(terms(right).map(|t| (-t.0, t.1)));
            for (count, term) in signed.filter(|t| t.1 != name) {
                let (_, p, k) = known
                    .iter()
                    .find(|k| k.0 == term)
                    .ok_or_else(|| format!("{name} before {term}"))?;
                for (a, b) in powers.groups.iter_mut().zip(p.groups) {
                    *a += count * b;
                }
                for (a, b) in powers.ligands.iter_mut().zip(p.ligands) {
                    *a += count * b;
                }
                powers.water += count * p.water;
                for (a, b) in log_k.iter_mut().zip(k) {
                    *a += f64::from(count) * b;
                }
            }
        }
        known.push((name, powers, log_k));

        let mut holds = powers.groups.iter().enumerate().filter(|g| *g.1 != 0);
        let group = holds.next();
        if holds.next().is_some() || group.is_some_and(|g| *g.1 != 1) {
            return Err(format!("{name} holds two groups"));
        }
        let mut holds = powers.ligands.iter().enumerate().skip(1).filter(|l| *l.1 != 0);
        let ligand = holds.next();
        if holds.next().is_some() {
            return Err(format!("{name} holds two ligands"));
        }
        let hydrogen = powers.ligands[H];
        let form = Form {
            ligand: ligand.map_or(NONE, |l| l.0),
            power: ligand.map_or(0, |l| *l.1),
            hydrogen,
            water: powers.water,
            alkalinity: 2 * (powers.ligands[CO3] + powers.ligands[PO4]) - hydrogen,
        };
        let charge = row.number("charge")?;
        let charge_squared = charge * charge;
        let activity = if row.text("gamma_b")?.is_empty() && charge_squared > 0.0 {
            Activity::Davies { charge_squared }
        } else if row.text("gamma_b")?.is_empty() {
            Activity::Extended {
                charge_squared,
                a: 0.0,
                b: 0.1,
            }
        } else {
            Activity::Extended {
                charge_squared,
                a: row.number("gamma_a")?,
                b: row.number("gamma_b")?,
            }
        };
        let class = classes.iter().position(|c| *c == activity).unwrap_or_else(|| {
            classes.push(activity);
            classes.len() - 1
        });
        #[expect(
            clippy::cast_possible_truncation,
            reason = "a charge number is a small whole number"
        )]
        species.push(Species {
            name,
            charge: charge as i32,
            group: group.map_or(NONE, |g| g.0),
            form: form_index(form, &mut forms),
            form_as_group: if [CL, NO3].contains(&form.ligand) && group.is_none() {
                form_index(
                    Form {
                        ligand: NONE,
                        power: 0,
                        ..form
                    },
                    &mut forms,
                )
            } else {
                form_index(form, &mut forms)
            },
            class,
            transport: Transport {
                dw: row.numbers(["dw", "dw_t", "dw_a", "dw_a2", "dw_visc", "dw_a3"])?,
                vm: row.numbers([
                    "vm_a1", "vm_a2", "vm_a3", "vm_a4", "vm_w", "vm_a0", "vm_i1", "vm_i2", "vm_i3", "vm_i4",
                ])?,
                viscosity: row.numbers([
                    "visc_b0", "visc_b1", "visc_b2", "visc_d1", "visc_d2", "visc_d3", "visc_tan",
                ])?,
                has_volume: !row.text("vm_a1")?.is_empty(),
            },
        });
    }
    // The classes of the main constituents first, so that a water without the others needs no more than those.
    let rarity = |s: &Species| {
        let of_group = match s.group {
            NONE | 0 | 1 | 2 | 3 => 0,
            9 => 1,
            4 | 5 => 2,
            _ => 3,
        };
        let of_ligand = match forms[s.form].ligand {
            NONE | CO3 | SO4 | CL => 0,
            NO3 => 1,
            F => 2,
            _ => 3,
        };
        of_group.max(of_ligand)
    };
    let mut order: Vec<usize> = (0..classes.len()).collect();
    order.sort_by_key(|c| {
        species
            .iter()
            .filter(|s: &&Species| s.class == *c)
            .map(rarity)
            .min()
    });
    let classes: Vec<Activity> = order.iter().map(|c| classes[*c]).collect();
    for s in &mut species {
        s.class = order.iter().position(|c| *c == s.class).unwrap_or(0);
    }
    // Groupless species first: NONE wraps round to 0.
    species.sort_by_key(|s| s.group.wrapping_add(1) & 0xff);
    let mut ln_k = [[0.0; SPECIES]; 6];
    for (i, s) in species.iter().enumerate().take(SPECIES) {
        let (_, _, log_k) = known
            .iter()
            .find(|k| k.0 == s.name)
            .ok_or_else(|| format!("no {}", s.name))?;
        for (row, a) in ln_k.iter_mut().zip(log_k) {
            row[i] = a * std::f64::consts::LN_10;
        }
    }
    let mut starts = [0; GROUPS + 2];
    for (g, start) in starts.iter_mut().enumerate() {
        *start = species
            .iter()
            .take_while(|s| (s.group.wrapping_add(1) & 0xff) < g)
            .count();
    }
    let find = |name: &str| {
        species
            .iter()
            .position(|s| s.name == name)
            .ok_or_else(|| format!("no {name}"))
    };
    let (co2, bicarbonate) = (find("CO2")?, find("HCO3-")?);

    let (head, table) = rows(include_str!("../data/minerals.csv"))?;
    let mut phases = [[0.0; 6]; PHASES];
    for cells in table {
        let row = Row { head: &head, cells };
        let name = row.text("mineral")?;
        let i = PHASE_NAMES
            .iter()
            .position(|p| *p == name)
            .ok_or_else(|| format!("unknown mineral {name}"))?;
        phases[i] = row.log_k()?;
    }
    if forms.len() > FORMS || classes.len() > CLASSES {
        return Err(format!("{} forms, {} classes", forms.len(), classes.len()));
    }
    let by_form = |f: &dyn Fn(&Form) -> i32| {
        let mut out = [0.0; FORMS];
        for (o, form) in out.iter_mut().zip(&forms) {
            *o = f64::from(f(form));
        }
        out
    };
    let powers = FormPowers {
        ligand: by_form(&|f| f.power),
        hydrogen: by_form(&|f| f.hydrogen),
        hydrogen_open: by_form(&|f| f.hydrogen - if f.ligand == CO3 { 2 * f.power } else { 0 }),
        alkalinity: by_form(&|f| f.alkalinity),
    };
    #[expect(
        clippy::cast_possible_truncation,
        reason = "at most 92 species, 32 forms, 32 classes and 7 ligands"
    )]
    let template = |i: usize, s: &Species, form: usize| {
        let Form { ligand, .. } = forms[form];
        Active {
            power: powers.ligand[form],
            alkalinity: powers.alkalinity[form],
            class: s.class as u8,
            form: form as u8,
            species: i as u8,
            ligand: if ligand == NONE {
                LIGANDS as u8
            } else {
                ligand as u8
            },
        }
    };
    let mut templates = [Active::default(); ROOM];
    for (i, s) in species.iter().enumerate() {
        templates[i] = template(i, s, s.form);
    }
    let mut n_templates = species.len();
    let mut as_group = |ligand: usize| {
        let start = n_templates;
        for (i, s) in species.iter().enumerate() {
            if s.group == NONE && forms[s.form].ligand == ligand {
                templates[n_templates] = template(i, s, s.form_as_group);
                n_templates += 1;
            }
        }
        start..n_templates
    };
    let (chloride_group, nitrate_group) = (as_group(CL), as_group(NO3));
    let count = species.len();
    let species: [Species; SPECIES] = species.try_into().map_err(|_| format!("{count} species"))?;
    Ok(Database {
        ln_k,
        species,
        templates,
        chloride_group,
        nitrate_group,
        starts,
        forms,
        powers,
        classes,
        phases,
        co2,
        bicarbonate,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_has_a_source() {
        for text in [
            include_str!("../data/species.csv"),
            include_str!("../data/minerals.csv"),
            include_str!("../data/pitzer.csv"),
            include_str!("../data/threats.csv"),
            include_str!("../data/typical.csv"),
        ] {
            let (head, table) = rows(text).expect("a table");
            assert_eq!(head.last(), Some(&"source"));
            for cells in table {
                assert_eq!(cells.len(), head.len(), "{cells:?}");
                assert!(
                    !cells.last().expect("a cell").trim().is_empty(),
                    "no source: {cells:?}"
                );
            }
        }
    }

    #[test]
    fn charge_and_mass_are_conserved_by_every_reaction() {
        // An identity: the charge of a species is that of the masters that it is made of.
        let charges = [1, -2, -2, -3, -1, -1, -1];
        let groups = [2, 2, 1, 1, 2, 2, 2, 2, 1, 0, 0];
        let db = &*DATABASE;
        for s in &db.species {
            let form = db.forms[s.form];
            let ligand = if form.ligand == NONE {
                0
            } else {
                charges[form.ligand] * form.power
            };
            let group = if s.group == NONE { 0 } else { groups[s.group] };
            assert_eq!(s.charge, group + ligand + form.hydrogen, "{}", s.name);
        }
    }
}
