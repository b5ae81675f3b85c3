//! Everything that was read, fused: the most probable unknowns and how well they are known.
//!
//! Each reading's true values must satisfy the laws of [`Plant`]; its instruments show them with errors. Linearised
//! at the present guess, a reading says `G_x dx = -r` with covariance `S = G_z R G_z' + Q`: its instruments' errors
//! R, carried through the laws, and what the laws leave out, Q. A few rounds of Gauss and Newton find the most
//! probable unknowns; the last normal matrix is the inverse of their covariance (Laplace). An instrument whose
//! reading is far off gets a larger error in the next round, as Student's distribution with four degrees of
//! freedom asks for, so that a wild value does not move the rest.
#![expect(
    clippy::inline_always,
    reason = "all of the loop has to be compiled for the vectors that were found"
)]

use super::course::Courses;
use super::evidence::Evidence;
use super::laws::Laws;
use super::linear::Cholesky;
use super::local::{Directions, Local, Summed, White};
use super::plant::{Plant, READ, Rated};
use super::stride::Stride;
use super::unknowns::Unknowns;

/// Readings beyond which a fit looks at some of them first: they say nearly what all do.
pub(super) const ENOUGH: usize = 100;

/// Rounds of Gauss and Newton over some or all readings.
struct Look {
    /// Over how many.
    readings: usize,
    /// Rounds at least and at most.
    least: usize,
    most: usize,
    /// What a step may still promise, in -2 ln of probability for each unknown, and how long it may be, in the prior's
    /// deviations, for no more to be taken.
    gain: f64,
    far: f64,
}

/// As many rounds as it takes.
const ALL: Look = Look {
    readings: usize::MAX,
    least: 6,
    most: 16,
    gain: f64::INFINITY,
    far: 0.03,
};
/// Of many readings few as often as it takes, more, then all: what they say besides is mostly learnt in one step.
const MANY: [Look; 3] = [
    Look {
        readings: 60,
        least: 4,
        most: 14,
        gain: 0.1,
        far: f64::INFINITY,
    },
    Look {
        readings: 120,
        least: 1,
        most: 3,
        gain: 1.0,
        far: f64::INFINITY,
    },
    Look {
        least: 1,
        most: 3,
        gain: 10.0,
        far: f64::INFINITY,
        ..ALL
    },
];
/// Rounds from here on doubt what is far off: before the unknowns have come near, every reading would look wild.
const ROBUST_FROM: usize = 3;
/// No unknown moves more than so many of its prior's deviations in a round: the first ones start far off.
const MOST: f64 = 2.0;
/// Degrees of freedom of Student's distribution.
const FREEDOM: f64 = 4.0;
/// Readings that an instrument's stated error counts for, against the scatter that it shows.
const STATED_COUNTS: f64 = 12.0;

/// The fitted unknowns.
#[derive(Clone, Debug)]
pub(super) struct Fit {
    pub(super) x: Vec<f64>,
    /// Of the inverse covariance.
    pub(super) precision: Cholesky,
    /// Factors on the instruments' stated errors, by their scatter.
    pub(super) scale: [f64; READ],
    /// The prior's standard deviations, of which those of what wanders were found by how far it does.
    pub(super) sd: Vec<f64>,
    /// -2 ln of the probability density of readings and unknowns where they were last looked at, but for a constant.
    density: f64,
}

impl Fit {
    /// -2 ln of the probability of the readings on this summit, but for a constant.
    pub(super) fn cost(&self) -> f64 {
        self.density + self.precision.ln_determinant()
    }
}

/// How many of its standard deviations a value read may be off, and the range of the values, in the order of
/// what can be read. A slip of the pen is off by hundreds: held nearer, it would pull on all else.
const RANGE: [(f64, f64, f64); READ] = [
    (300.0, 10.0, 5e3),
    (300.0, 20.0, 1e4),
    (300.0, 10.0, 1e4),
    (100.0, -5.0, 15.0),
    (100.0, -5.0, 15.0),
    (30.0, -2.0, 60.0),
    (100.0, -2.0, 12.0),
    (100.0, -5.0, 12.0),
    (20.0, -50.0, 5e3),
];
/// By how much the variance of what is far off grows at most.
const MOST_DOUBT: f64 = 1e5;

/// Adds the prior to the normal equations; its cost.
pub(super) fn prior(
    unknowns: &Unknowns,
    sd: &[f64],
    x: &[f64],
    matrix: &mut [f64],
    right: &mut [f64],
) -> f64 {
    let n = x.len();
    let mut cost = 0.0;
    for i in 0..n {
        let weight = 1.0 / (sd[i] * sd[i]);
        let off = unknowns.mean[i] - x[i];
        matrix[i * n + i] += weight;
        right[i] += weight * off;
        cost += weight * off * off - weight.ln();
    }
    cost
}

/// Fits all unknowns to all readings.
pub(super) fn fit(plant: &Plant, rated: &[Rated], courses: &Courses<'_>, evidence: &mut [Evidence]) -> Fit {
    pulp::Arch::new().dispatch(Whole {
        plant,
        rated,
        courses,
        evidence,
    })
}

/// What [`fit`] is called with.
struct Whole<'a> {
    plant: &'a Plant,
    rated: &'a [Rated],
    courses: &'a Courses<'a>,
    evidence: &'a mut [Evidence],
}

impl pulp::NullaryFnOnce for Whole<'_> {
    type Output = Fit;

    #[inline(always)]
    fn call(self) -> Fit {
        widely(self.plant, self.rated, self.courses, self.evidence)
    }
}

/// [`fit`], compiled for the widest vectors of the processor.
#[inline(always)]
fn widely(plant: &Plant, rated: &[Rated], courses: &Courses<'_>, evidence: &mut [Evidence]) -> Fit {
    let unknowns = courses.unknowns;
    let n = unknowns.mean.len();
    let mut found = Fit {
        x: unknowns.start.clone(),
        precision: Cholesky::identity(n),
        scale: [1.0; READ],
        sd: unknowns.sd.clone(),
        density: f64::INFINITY,
    };
    let looks: &[Look] = if evidence.len() > ENOUGH { &MANY } else { &[ALL] };
    let (mut look, mut since) = (0, 0);
    let (mut directions, mut laws) = (Directions::default(), Laws::default());
    let mut summed = Summed::default();
    let mut stride = Stride::default();
    // Each reading as it was linearised last.
    let mut whites = vec![White::default(); evidence.len()];
    let mut local = Local::default();
    for round in 0..looks.iter().map(|look| look.most).sum() {
        let Some(now) = looks.get(look) else { break };
        let (mut matrix, mut right) = (vec![0.0; n * n], vec![0.0; n]);
        let mut density = prior(unknowns, &found.sd, &found.x, &mut matrix, &mut right);
        let mut scatter = Scatter::default();
        let robust = round >= ROBUST_FROM;
        let each = evidence.len().div_ceil(now.readings).max(1);
        for (one, white) in evidence.iter_mut().zip(&mut whites).step_by(each) {
            directions.set(courses, &found.x, one);
            if white.is_set() {
                update(white, &directions, one, &found.scale, robust, &mut scatter);
            } else if round > 0 && white.set(plant, rated, &directions, one, &found.scale, true, &mut laws) {
                // Readings that were not looked at so far start from their own first guesses.
                let mut aside = Scatter::default();
                update(white, &directions, one, &found.scale, robust, &mut aside);
            }
            if !white.set(plant, rated, &directions, one, &found.scale, true, &mut laws) {
                continue;
            }
            white.local(&mut local);
            density += local.cost;
            summed.add(&local, &directions.entries, &mut matrix, &mut right);
        }
        summed.flush(&mut matrix, &mut right);
        let Some(precision) = Cholesky::of(matrix, n) else {
            break;
        };
        found.precision = precision;
        found.density = density;
        let step = found.precision.solve(&right);
        let gain: f64 = step.iter().zip(&right).map(|(a, b)| a * b).sum();
        let step = stride.of(step, &unknowns.sd, round > ROBUST_FROM);
        let mut far: f64 = 0.0;
        for i in 0..n {
            let most = MOST * unknowns.sd[i].max(0.5 * (unknowns.mean[i] - found.x[i]).abs());
            found.x[i] += step[i].clamp(-most, most);
            far = far.max((step[i] / unknowns.sd[i]).abs());
        }
        unknowns.loosen(&found.x, &mut found.sd);
        if round > ROBUST_FROM {
            scatter.rescale(&mut found.scale);
        }
        since += 1;
        let is_close = gain < now.gain * n as f64 && far < now.far;
        if (is_close && since >= now.least) || since == now.most {
            (look, since) = (look + 1, 0);
        }
    }
    found
}

/// How far the instruments scatter, against their stated errors.
#[derive(Default)]
pub(super) struct Scatter {
    squares: [f64; READ],
    shares: [f64; READ],
}

impl Scatter {
    /// Factors by the scatter seen, and by the stated errors for as much as they count.
    fn rescale(&self, scale: &mut [f64; READ]) {
        for f in 0..READ {
            let seen = self.squares[f] * scale[f] * scale[f];
            let variance = (seen + STATED_COUNTS) / (self.shares[f] + STATED_COUNTS);
            scale[f] = variance.sqrt().clamp(0.3, 2.0);
        }
    }
}

/// Moves a reading's true values to the most probable ones, and its instruments' errors with them.
#[inline(always)]
pub(super) fn update(
    white: &White,
    now: &Directions,
    one: &mut Evidence,
    scale: &[f64; READ],
    robust: bool,
    scatter: &mut Scatter,
) {
    let (errors, shares) = white.errors(&now.value);
    for f in 0..READ {
        // What the laws make of a hopeless reading must not leave the range in which they hold.
        let (far, low, high) = RANGE[f];
        let error = errors[f].clamp(-far * one.sd[f], far * one.sd[f]);
        one.guess[f] = (one.read[f] - now.offset(f, one) - error).clamp(low, high);
        if one.was_read[f] {
            let share = shares[f];
            let sd = one.sd[f] * scale[f];
            let z2 = error * error / (sd * sd * share).max(1e-12);
            if robust {
                one.doubt[f] =
                    ((FREEDOM + z2) / (FREEDOM + 1.0)).clamp(1.0, MOST_DOUBT) * share + (1.0 - share);
            }
            if share > 0.05 {
                scatter.squares[f] += share * (z2 / one.doubt[f]).min(4.0);
                scatter.shares[f] += share;
            }
        }
    }
}
