//! The normal equations under one of Hermia's laws, from readings that were linearised once.
#![expect(
    clippy::inline_always,
    reason = "all of the loop has to be compiled for the vectors that were found"
)]

use super::course::Courses;
use super::fit::prior;
use super::hypotheses::{Plain, Stage, Told};
use super::local::{Directions, Entry};
use super::plant::{READ, STAGE, STAGES};
use super::unknowns::Unknowns;

/// Normal equations under one law, of whose matrix only the upper triangle is kept.
pub(super) struct Normal {
    n: usize,
    pub(super) matrix: Vec<f64>,
    pub(super) right: Vec<f64>,
    pub(super) cost: f64,
    /// How far the unknowns have moved from where the readings were linearised.
    moved: Vec<f64>,
}

/// Readings of one stretch of time hang on the same unknowns: what they say is summed in small tables, whose rows the
/// processor adds several numbers at a time, and which then go to where the unknowns stand.
#[derive(Default)]
struct Stretch {
    /// Number of the list of other unknowns.
    list: usize,
    /// How far those have moved.
    moved: Vec<f64>,
    /// Unknowns of the stages that load up, each with a row of what it shares with the others.
    loading: Vec<usize>,
    shared: Vec<f64>,
    /// What the dirt's unevenness takes off what the others share, the upper triangle of a square by rows; and whether it
    /// takes anything.
    uneven: Vec<f64>,
    is_uneven: bool,
    right: Vec<f64>,
    /// What one stage's unevenness shares with the others.
    column: Vec<f64>,
}

impl Stretch {
    /// For readings that hang on these unknowns.
    fn begin(&mut self, list: usize, others: &[usize], entries: &[Entry], moved: &[f64]) {
        self.list = list;
        let m = others.len();
        for (of, size) in [
            (&mut self.shared, entries.len() * m),
            (&mut self.uneven, m * m),
            (&mut self.right, m),
        ] {
            of.clear();
            of.resize(size, 0.0);
        }
        self.is_uneven = false;
        self.loading.clear();
        self.loading.extend(entries.iter().map(|entry| entry.unknown));
        self.moved.clear();
        self.moved.extend(others.iter().map(|unknown| moved[*unknown]));
    }

    fn is_of(&self, list: usize, entries: &[Entry]) -> bool {
        let own = self.loading.iter().copied();
        self.list == list && own.eq(entries.iter().map(|entry| entry.unknown))
    }
}

/// What all readings say under a law, at `x`: added to `normal`, compiled for the widest vectors of the processor.
pub(super) struct All<'a> {
    pub(super) normal: &'a mut Normal,
    pub(super) courses: &'a Courses<'a>,
    pub(super) x: &'a [f64],
    pub(super) told: &'a [Told<'a>],
    pub(super) lists: &'a [Vec<usize>],
    pub(super) now: &'a mut Directions,
}

impl pulp::NullaryFnOnce for All<'_> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        let mut stretch: Option<Stretch> = None;
        for told in self.told {
            let Some(others) = self.lists.get(told.others) else {
                continue;
            };
            self.now.set_loading(self.courses, self.x, told.one);
            let entries = &self.now.entries[self.now.loading..];
            let alike = stretch.as_ref().is_some_and(|s| s.is_of(told.others, entries));
            let own = stretch.get_or_insert_default();
            if !alike {
                self.normal.take(own, self.lists);
                own.begin(told.others, others, entries, &self.normal.moved);
            }
            self.normal.add(&told.stages, self.now, own);
        }
        if let Some(own) = &stretch {
            self.normal.take(own, self.lists);
        }
    }
}

impl Normal {
    /// The prior, and what moves as it was linearised.
    pub(super) fn of(unknowns: &Unknowns, plain: &Plain, x: &[f64], then: &[f64]) -> Self {
        let n = x.len();
        let mut matrix = plain.matrix.clone();
        let mut right = vec![0.0; n];
        let mut cost = plain.cost + prior(unknowns, &unknowns.sd, x, &mut matrix, &mut right);
        let moved: Vec<f64> = x.iter().zip(then).map(|(x, then)| x - then).collect();
        let mut pull = vec![0.0; n];
        for i in 0..n {
            let row = &plain.matrix[i * n + i..(i + 1) * n];
            pull[i] += dot(row, &moved[i..]);
            let own = moved[i];
            if own != 0.0 {
                for (pull, by) in pull[i + 1..].iter_mut().zip(&row[1..]) {
                    *pull += by * own;
                }
            }
        }
        for i in 0..n {
            cost += moved[i] * (pull[i] - 2.0 * plain.right[i]);
            right[i] += plain.right[i] - pull[i];
        }
        Self {
            n,
            matrix,
            right,
            cost,
            moved,
        }
    }

    fn put(&mut self, i: usize, j: usize, value: f64) {
        self.matrix[i.min(j) * self.n + i.max(j)] += value;
    }

    /// What a stretch of readings says.
    fn take(&mut self, stretch: &Stretch, lists: &[Vec<usize>]) {
        let Some(others) = lists.get(stretch.list).filter(|_| !stretch.right.is_empty()) else {
            return;
        };
        for (unknown, right) in others.iter().zip(&stretch.right) {
            self.right[*unknown] += right;
        }
        for (unknown, shared) in stretch
            .loading
            .iter()
            .zip(stretch.shared.chunks_exact(others.len()))
        {
            for (other, value) in others.iter().zip(shared) {
                self.put(*unknown, *other, *value);
            }
        }
        if !stretch.is_uneven {
            return;
        }
        // The others stand in ascending order: each row goes into one row of the matrix.
        for (k, (unknown, row)) in others
            .iter()
            .zip(stretch.uneven.chunks_exact(others.len()))
            .enumerate()
        {
            let into = &mut self.matrix[unknown * self.n..(unknown + 1) * self.n];
            for (other, value) in others[k..].iter().zip(&row[k..]) {
                into[*other] += value;
            }
        }
    }

    /// What one reading says of its loading stages, and through them of all else.
    ///
    /// With `t` the derivatives of a stage's direction, `j` the information it shares with the other unknowns and `g`
    /// that with itself, its part is `j t' + t j' + g t t'`; the dirt's unevenness takes `w p p'` off, where
    /// `p = j + g t` (Sherman and Morrison).
    #[inline(always)]
    fn add(&mut self, stages: &[Stage], now: &Directions, stretch: &mut Stretch) {
        let mut left = [0.0; STAGES];
        let mut pull = [0.0; STAGES];
        let mut by = [0.0; STAGES];
        for (i, stage) in stages.iter().enumerate() {
            by[i] = now.value[STAGE - READ + stage.slot] - stage.value;
        }
        for (i, stage) in stages.iter().enumerate() {
            let across = dot(&stage.across, &stretch.moved);
            let own: f64 = stage.with.iter().zip(by).map(|(with, by)| with * by).sum();
            left[i] = stage.right - across - own;
            pull[i] = left[i];
            self.cost += by[i] * (2.0 * across + own - 2.0 * stage.right);
            for (right, across) in stretch.right.iter_mut().zip(&stage.across) {
                *right -= across * by[i];
            }
        }
        // Columns of the stages: information with each other, and how the earlier ones' unevenness enters.
        let mut columns: [[f64; STAGES]; STAGES] = [[0.0; STAGES]; STAGES];
        for (column, stage) in columns.iter_mut().zip(stages) {
            *column = stage.with;
        }
        // Share of each stage's column in the column as it stands after the earlier ones were loosened.
        let mut mixed = [[0.0; STAGES]; STAGES];
        for (i, row) in mixed.iter_mut().enumerate() {
            row[i] = 1.0;
        }
        let mut weights = [0.0; STAGES];
        for i in 0..stages.len() {
            let variance = now.uneven[stages[i].slot].powi(2);
            let whole = 1.0 + variance * columns[i][i];
            weights[i] = variance / whole;
            self.cost += whole.ln() - weights[i] * left[i] * left[i];
            for k in i + 1..stages.len() {
                let share = weights[i] * columns[k][i];
                for l in 0..STAGES {
                    columns[k][l] -= share * columns[i][l];
                    mixed[k][l] -= share * mixed[i][l];
                }
                left[k] -= share * left[i];
            }
        }
        let entries = &now.entries[now.loading..];
        let m = stretch.right.len();
        let index_of = |local: usize| stages.iter().position(|stage| STAGE - READ + stage.slot == local);
        // Information between stages a and b after loosening, and what each stage's j contributes to another's t.
        let mut own = [[0.0; STAGES]; STAGES];
        let mut cross = [[0.0; STAGES]; STAGES];
        for a in 0..stages.len() {
            for b in 0..stages.len() {
                own[a][b] = stages[a].with[b];
                cross[a][b] = if a == b { 1.0 } else { 0.0 };
                for i in 0..stages.len() {
                    own[a][b] -= weights[i] * columns[i][a] * columns[i][b];
                    cross[a][b] -= weights[i] * columns[i][a] * mixed[i][b];
                }
            }
        }
        for a in 0..stages.len() {
            for i in 0..stages.len() {
                pull[a] -= weights[i] * columns[i][a] * left[i];
            }
        }
        for (e, entry) in entries.iter().enumerate() {
            let Some(a) = index_of(entry.local) else { continue };
            self.right[entry.unknown] += entry.slope * pull[a];
            for (b, stage) in stages.iter().enumerate() {
                let share = entry.slope * cross[a][b];
                if share != 0.0 {
                    let row = &mut stretch.shared[e * m..(e + 1) * m];
                    for (shared, across) in row.iter_mut().zip(&stage.across) {
                        *shared += share * across;
                    }
                }
            }
            for other in &entries[..=e] {
                let Some(b) = index_of(other.local) else { continue };
                let each = entry.slope * other.slope * own[a][b];
                let twice = entry.unknown == other.unknown && !std::ptr::eq(entry, other);
                self.put(
                    entry.unknown,
                    other.unknown,
                    if twice { 2.0 * each } else { each },
                );
            }
        }
        for i in 0..stages.len() {
            // Where the dirt's unevenness is far below what the gauges see it changes nothing of the others.
            if weights[i] * columns[i][i] < 1e-3 {
                continue;
            }
            stretch.is_uneven = true;
            stretch.column.clear();
            stretch.column.resize(m, 0.0);
            for (stage, share) in stages.iter().zip(mixed[i]) {
                if share != 0.0 {
                    for (column, across) in stretch.column.iter_mut().zip(&stage.across) {
                        *column += share * across;
                    }
                }
            }
            for (k, by) in stretch.column.iter().enumerate() {
                let share = weights[i] * by;
                stretch.right[k] -= share * left[i];
                let row = &mut stretch.uneven[k * m + k..(k + 1) * m];
                for (uneven, also) in row.iter_mut().zip(&stretch.column[k..]) {
                    *uneven -= share * also;
                }
            }
        }
    }
}

/// The sum of products, in eight sums side by side.
#[inline(always)]
fn dot(a: &[f64], b: &[f64]) -> f64 {
    const SUMS: usize = 8;
    let mut sums = [0.0; SUMS];
    let (a_most, a_rest) = a.as_chunks::<SUMS>();
    let (b_most, b_rest) = b.as_chunks::<SUMS>();
    for (a, b) in a_most.iter().zip(b_most) {
        for (sum, (a, b)) in sums.iter_mut().zip(a.iter().zip(b)) {
            *sum += a * b;
        }
    }
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(a, b)| a * b).sum();
    sums.iter().sum::<f64>() + rest
}
