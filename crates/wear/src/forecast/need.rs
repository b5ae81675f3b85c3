//! What is asked of the unit, week by week through the year: the first week in which worn membranes can't do it.

use jiff::{SignedDuration, Timestamp};
use reading::Field;
use unit::Unit;

use super::crossing::{FUTURES, normal};
use super::evidence::Evidence;
use super::laws::Laws;
use super::plant::{
    CONCENTRATE, CONCENTRATE_FLOW, DIRECTIONS, INLET, MEMBRANE, PERMEATE_FLOW, PERMEATE_SALT, Plant, READ,
    Rated, SALT, TEMPERATURE, WATER,
};
use super::posterior::{DRIFT, USE};
use super::{Basis, Candidate, HORIZON_D, Limit, Quantiles, Scene, Spread};
use crate::lives::days;
use crate::robust::median;
use crate::season::Season;
use crate::standardise::History;

/// Weeks of a year.
const WEEKS: usize = 52;
/// Days of one of them.
const WEEK_D: f64 = 365.25 / 52.0;
/// Days of readings from which a season is learned rather than taken as stated.
const LEARNED_D: f64 = 330.0;

/// What the unit makes in each week of the year that begins now, in its most probable state.
#[derive(Clone, Debug)]
pub(super) struct Demand {
    /// ln of the flow that it must make, L/h, in 24 hours a day.
    ln_flow: Option<f64>,
    /// ln of the salt that the permeate may have, mg/L.
    ln_salt: Option<f64>,
    weeks: Vec<Week>,
}

/// One week's ln flow and ln salt, with derivatives by ln A and ln B.
#[derive(Clone, Copy, Debug)]
struct Week {
    flow: f64,
    flow_by_water: f64,
    salt: f64,
    salt_by_water: f64,
    salt_by_salt: f64,
}

impl Demand {
    /// None where nothing is asked of the unit, or its laws have no solution.
    pub(super) fn of(
        history: &History<'_>,
        as_of: Timestamp,
        plant: &Plant,
        rated: Rated,
        state: &[f64; DIRECTIONS],
        evidence: &[Evidence],
    ) -> Option<Self> {
        let need = &history.unit.need;
        let ln_flow = need
            .permeate_l_d
            .filter(|litres| *litres > 0.0)
            .map(|litres| (litres / 24.0).ln());
        let ln_salt = need.permeate_tds_max_mg_l.filter(|mg_l| *mg_l > 0.0).map(f64::ln);
        if ln_flow.is_none() && ln_salt.is_none() {
            return None;
        }
        let season = season(history.unit, history, as_of)?;
        // The usual conditions: medians of what the readings were smoothed to.
        let mut usual = *state;
        for f in 0..READ {
            let mut values: Vec<f64> = evidence.iter().map(|one| one.guess[f]).collect();
            usual[f] = median(&mut values)?;
        }
        let weeks: Option<Vec<Week>> = (0..WEEKS)
            .map(|week| {
                let seconds = (week as f64 + 0.5) * WEEK_D * 86_400.0;
                let at = as_of
                    .checked_add(SignedDuration::from_secs(seconds as i64))
                    .ok()?;
                let mut now = usual;
                now[TEMPERATURE] = season.at(at).clamp(0.5, 45.0);
                let solved = solve(plant, rated, &now)?;
                let moved = |direction: usize| {
                    let mut moved = solved;
                    moved[direction] += 0.1;
                    solve(plant, rated, &moved)
                };
                let (by_water, by_salt) = (moved(WATER)?, moved(SALT)?);
                let slope = |of: usize, moved: &[f64; DIRECTIONS]| (moved[of] - solved[of]) / 0.1;
                Some(Week {
                    flow: solved[PERMEATE_FLOW],
                    flow_by_water: slope(PERMEATE_FLOW, &by_water),
                    salt: solved[PERMEATE_SALT],
                    salt_by_water: slope(PERMEATE_SALT, &by_water),
                    salt_by_salt: slope(PERMEATE_SALT, &by_salt),
                })
            })
            .collect();
        Some(Self {
            ln_flow,
            ln_salt,
            weeks: weeks?,
        })
    }

    /// The same some days later: the year begins at another week.
    pub(super) fn later(&self, d: f64) -> Self {
        let mut later = self.clone();
        later.weeks.rotate_left((d.max(0.0) / WEEK_D) as usize % WEEKS);
        later
    }

    /// Whether the unit does what is asked in this week, with ln A and ln B so far from their most probable values.
    fn is_met(&self, week: usize, water: f64, salt: f64) -> bool {
        let Some(one) = self.weeks.get(week % WEEKS) else {
            return true;
        };
        let makes = one.flow + one.flow_by_water * water;
        let holds = one.salt + one.salt_by_water * water + one.salt_by_salt * salt;
        self.ln_flow.is_none_or(|need| makes >= need) && self.ln_salt.is_none_or(|most| holds <= most)
    }
}

impl Demand {
    /// Share of the way from new to failing in this week that membranes worn so far have gone, where the most
    /// probable have gone `mean`.
    fn used(&self, week: usize, mean: [f64; 3], worn: &[f64; 3]) -> f64 {
        let Some(one) = self.weeks.get(week) else {
            return 0.0;
        };
        let share = |lost: f64, room: f64| if room > 1e-3 { (lost / room).max(0.0) } else { 0.0 };
        let flow = self.ln_flow.map_or(0.0, |need| {
            share(
                one.flow_by_water * worn[0],
                one.flow + one.flow_by_water * mean[0] - need,
            )
        });
        let salt = self.ln_salt.map_or(0.0, |most| {
            let risen = |worn: &[f64; 3]| one.salt_by_salt * worn[1] - one.salt_by_water * worn[0];
            share(risen(worn), most - (one.salt - risen(&mean)))
        });
        flow.max(salt)
    }
}

/// The feed's temperature: learned from a year of readings, else as the site states it, else as far as it is known.
fn season(unit: &Unit, history: &History<'_>, as_of: Timestamp) -> Option<Season> {
    let points: Vec<(Timestamp, f64)> = history
        .readings
        .iter()
        .filter(|reading| reading.at <= as_of)
        .filter_map(|reading| Some((reading.at, reading.get(Field::FeedTemperature)?)))
        .collect();
    let whole = points
        .first()
        .zip(points.last())
        .map_or(0.0, |(first, last)| days(first.0, last.0));
    let stated = unit.need.coldest_feed_c.zip(unit.need.warmest_feed_c);
    match stated {
        Some((coldest, warmest)) if whole < LEARNED_D => Some(Season::from_extremes(coldest, warmest)),
        _ => Season::fit(&points),
    }
}

/// The steady state at these conditions and with these properties, by Newton's method on the laws.
fn solve(plant: &Plant, rated: Rated, start: &[f64; DIRECTIONS]) -> Option<[f64; DIRECTIONS]> {
    const FREE: [usize; 5] = [
        MEMBRANE,
        CONCENTRATE,
        PERMEATE_FLOW,
        CONCENTRATE_FLOW,
        PERMEATE_SALT,
    ];
    let mut at = *start;
    let mut laws = Laws::default();
    for _ in 0..40 {
        plant.laws(&at, rated, &[], &mut laws);
        let mut matrix = [[0.0; 6]; 5];
        for (i, row) in matrix.iter_mut().enumerate() {
            for (entry, free) in row.iter_mut().zip(FREE) {
                *entry = laws.slope[i][free];
            }
            row[5] = -laws.value[i];
        }
        let step = eliminate(matrix)?;
        let mut size: f64 = 0.0;
        for (free, step) in FREE.into_iter().zip(step) {
            let most = if free <= CONCENTRATE {
                0.3 * at[free].abs().max(10.0)
            } else {
                0.5
            };
            let step = step.clamp(-most, most);
            at[free] += step;
            if free <= CONCENTRATE {
                at[free] = at[free].max(1.0);
            }
            size = size.max(
                (step
                    / if free <= CONCENTRATE {
                        at[INLET].abs().max(100.0)
                    } else {
                        1.0
                    })
                .abs(),
            );
        }
        if size < 1e-9 {
            return at.iter().all(|x| x.is_finite()).then_some(at);
        }
    }
    None
}

/// Gauss's elimination with pivots.
fn eliminate(mut a: [[f64; 6]; 5]) -> Option<[f64; 5]> {
    for column in 0..5 {
        let pivot = (column..5).max_by(|i, j| a[*i][column].abs().total_cmp(&a[*j][column].abs()))?;
        if !(a[pivot][column].abs() > 1e-14) {
            return None;
        }
        a.swap(column, pivot);
        for row in column + 1..5 {
            let factor = a[row][column] / a[column][column];
            for k in column..6 {
                a[row][k] -= factor * a[column][k];
            }
        }
    }
    let mut x = [0.0; 5];
    for row in (0..5).rev() {
        let known: f64 = (row + 1..5).map(|k| a[row][k] * x[k]).sum();
        x[row] = (a[row][5] - known) / a[row][row];
    }
    Some(x)
}

/// When worn membranes first fail the need. A week in which new ones would fail it too is the unit's size, not its
/// wear, and does not count.
pub(super) fn by_need(scene: &Scene<'_>) -> Option<Candidate> {
    let posterior = scene.posterior;
    let demand = posterior.demand.as_ref()?;
    let mean = posterior.mean_worn;
    let failable: Vec<bool> = (0..WEEKS)
        .map(|week| demand.is_met(week, mean[0], -mean[1]))
        .collect();
    let due = Spread::each(|future| {
        let state = &posterior.membranes[future];
        let sd = scene.prior.bend_sd;
        let drift: [f64; 2] = std::array::from_fn(|i| (sd * normal(future, DRIFT + i)).exp());
        let per_day =
            posterior.clock.to_come_l(365.25, normal(future, USE)) / posterior.clock.year_l / 365.25;
        let weeks = (HORIZON_D / WEEK_D) as usize;
        let fails = |week: &usize| {
            let years = *week as f64 * WEEK_D * per_day;
            let water = mean[0] - state.worn_after(0, drift[0] * years);
            let salt = state.worn_after(1, drift[1] * years) - mean[1];
            failable[week % WEEKS] && !demand.is_met(*week, water, salt)
        };
        (0..weeks)
            .find(fails)
            .map_or(HORIZON_D, |week| week as f64 * WEEK_D)
    });
    let used = (0..FUTURES).map(|future| {
        let state = &posterior.membranes[future];
        let weeks = (0..WEEKS).filter(|week| failable[*week]);
        weeks
            .map(|week| demand.used(week, mean, &state.worn))
            .fold(0.0, f64::max)
    });
    Some(Candidate {
        limit: Limit::Need,
        basis: if posterior.membranes_were_read {
            Basis::Readings
        } else {
            Basis::Feed
        },
        used: Quantiles::of(used),
        due,
    })
}
