//! Mixed-bed resin after the membranes: the ions and the carbon dioxide that it has taken up, and its age.
//!
//! What a litre of permeate carries, in equivalents, is what `predict` makes of the feed: its ions carried to what the
//! permeate's meter reads, its carbon dioxide as it passes the membranes freely. The bed ends with whichever of its two
//! resins is used up first. What the membranes will let through later, they let through to the resin.

use reading::{Field, Reading};
use statrs::function::erf::erfc;
use unit::{Conditions, Polish, PolishKind, Segments, State, Workspace, predict};
use water::{Analysis, Water};

use super::crossing::{FUTURES, inverse_normal, normal};
use super::posterior::{DRIFT, USE};
use super::{Basis, Candidate, Limit, Quantiles, Scene, Spread};
use crate::robust::median;

/// Standard deviation of ln of a bed's working capacity against what is stated (common practice, no source: it hangs on
/// the regeneration and on how evenly the bed is filled).
const CAPACITY_SD: f64 = 0.15;
/// Standard deviation of ln of the ions' part of the load: where the permeate was read (the meter, and which ions make up
/// what it reads), and where only the model tells (`model.md` 2: new elements 0.30, and the ions' own ratios).
const IONS_READ_SD: f64 = 0.15;
const IONS_SD: f64 = 0.4;
/// The same of carbon dioxide, which goes by the feed's pH: a tenth of a pH is a quarter of it.
const CARBON_DIOXIDE_SD: f64 = 0.25;
/// Carbon dioxide of a permeate where nothing is known of the feed, eq/L: 13 mg/L (common practice, no source), and the
/// standard deviation of its ln.
const CARBON_DIOXIDE_UNKNOWN: (f64, f64) = (0.3e-3, 0.7);
/// A bed that lets through more than this share of the conductivity before it, and more than so many uS/cm, is used up; one
/// that lets through less has life left (common practice, no source).
const PASSES: (f64, f64) = (0.2, 2.0);
/// g/mol of sodium chloride, by the atomic masses of phreeqc.dat.
const SODIUM_CHLORIDE_G_MOL: f64 = 58.4428;

/// Stream of the futures' own chances.
const CAPACITY: usize = 9;

pub(super) fn candidates(scene: &Scene<'_>, polish: &Polish) -> Vec<Candidate> {
    let age = polish.age_limit_d.map(|limit| scene.by_age(&polish.id, limit));
    let of_resin = (polish.kind == PolishKind::MixedBed).then_some(polish);
    let load = of_resin.and_then(|polish| by_load(scene, polish));
    let read = of_resin.and_then(|polish| by_conductivity(scene, polish));
    age.into_iter().chain(load).chain(read).collect()
}

/// What a litre of permeate carries.
#[derive(Clone, Copy, Debug)]
struct Load {
    /// Cations; anions without what is passed as carbon dioxide, eq/L.
    ions_eq_l: (f64, f64),
    /// Standard deviation of their ln.
    ions_sd: f64,
    /// Carbon dioxide, eq/L, which the anion resin takes up.
    carbon_dioxide_eq_l: f64,
    /// Standard deviation of its ln.
    carbon_dioxide_sd: f64,
}

impl Load {
    /// Of the resin that is used up first, eq/L, where ions are so many times.
    fn eq_l(&self, ions: f64) -> f64 {
        (ions * self.ions_eq_l.0).max(ions * self.ions_eq_l.1 + self.carbon_dioxide_eq_l)
    }

    /// Standard deviation of its ln.
    fn sd(&self) -> f64 {
        let whole = self.eq_l(1.0);
        let carbon_dioxide = if self.ions_eq_l.0 >= whole {
            0.0
        } else {
            self.carbon_dioxide_eq_l
        };
        let ions = whole - carbon_dioxide;
        (ions * self.ions_sd).hypot(carbon_dioxide * self.carbon_dioxide_sd) / whole
    }
}

/// The readings of this bed, since it was new.
fn of_bed<'a>(scene: &Scene<'a>, polish: &Polish) -> Vec<&'a Reading> {
    let new_at = scene.new_at(&polish.id);
    let all = scene.history.readings.iter();
    all.filter(|reading| reading.at > new_at && reading.at <= scene.as_of)
        .collect()
}

/// What the permeate carries to this bed.
fn load(scene: &Scene<'_>, polish: &Polish) -> Option<Load> {
    let usual = |readings: &[&Reading], field: Field| {
        let mut values: Vec<f64> = readings.iter().filter_map(|reading| reading.get(field)).collect();
        median(&mut values)
    };
    let own = of_bed(scene, polish);
    let before = scene.history.readings.iter();
    let all: Vec<&Reading> = before.filter(|reading| reading.at <= scene.as_of).collect();
    let read = usual(&own, Field::PermeateConductivity).or_else(|| usual(&all, Field::PermeateConductivity));
    let predicted = scene.history.water.and_then(|water| {
        let temperature_c = usual(&all, Field::FeedTemperature)
            .or(water.temperature_c)
            .unwrap_or(15.0);
        let inlet_kpa = usual(&all, Field::InletPressure).unwrap_or(scene.posterior.usual_inlet_kpa);
        of_feed(scene, water, polish, temperature_c, inlet_kpa)
    });
    match (predicted, read) {
        (Some((load, us_cm)), Some(read)) if us_cm > 0.0 && read > 0.0 => {
            // The meter shows what the membranes of this unit let through now.
            let by = (read / us_cm).clamp(0.05, 20.0);
            Some(Load {
                ions_eq_l: (by * load.ions_eq_l.0, by * load.ions_eq_l.1),
                ions_sd: IONS_READ_SD,
                ..load
            })
        }
        (Some((load, _)), _) => Some(load),
        (None, Some(read)) if read > 0.0 => {
            let mol_l = read * scene.posterior.salt_ratio / SODIUM_CHLORIDE_G_MOL / 1e3;
            Some(Load {
                ions_eq_l: (mol_l, mol_l),
                ions_sd: IONS_SD,
                carbon_dioxide_eq_l: CARBON_DIOXIDE_UNKNOWN.0,
                carbon_dioxide_sd: CARBON_DIOXIDE_UNKNOWN.1,
            })
        }
        _ => None,
    }
}

/// What `predict` makes of the feed: the load, and the permeate's conductivity, uS/cm.
fn of_feed(
    scene: &Scene<'_>,
    water: &Analysis,
    polish: &Polish,
    temperature_c: f64,
    inlet_pressure_kpa: f64,
) -> Option<(Load, f64)> {
    let water = Water::complete(water).ok()?;
    let conditions = Conditions {
        temperature_c,
        inlet_pressure_kpa,
        permeate_pressure_kpa: 0.0,
        state: State::default(),
    };
    let made = predict(
        scene.unit(),
        &water,
        &conditions,
        Segments::default(),
        &mut Workspace::new(),
    )
    .ok()?;
    let bed = made.resins.iter().find(|bed| bed.id == polish.id)?;
    // Of one salt nothing tells the carbon dioxide.
    let (carbon_dioxide_eq_l, carbon_dioxide_sd) = if made.waters.is_some() {
        (bed.co2_eq_l, CARBON_DIOXIDE_SD)
    } else {
        CARBON_DIOXIDE_UNKNOWN
    };
    let load = Load {
        ions_eq_l: (bed.cations_eq_l, (bed.anions_eq_l - bed.co2_eq_l).max(0.0)),
        ions_sd: IONS_SD,
        carbon_dioxide_eq_l,
        carbon_dioxide_sd,
    };
    Some((load, made.permeate_conductivity_us_cm))
}

/// Whether the bed still holds what comes to it, in a reading before and after it.
fn holds(reading: &Reading, polish: &Polish) -> Option<bool> {
    let after = *reading.conductivity_after_us_cm.get(&polish.id)?;
    let before = reading.get(Field::PermeateConductivity)?;
    Some(after <= (PASSES.0 * before).max(PASSES.1))
}

/// When its capacity is used up.
fn by_load(scene: &Scene<'_>, polish: &Polish) -> Option<Candidate> {
    let capacity_eq = polish.resin_volume_l? * polish.capacity_eq_l?;
    let load = load(scene, polish)?;
    let (posterior, clock) = (scene.posterior, &scene.posterior.clock);
    let age_d = scene.age_d(&polish.id);
    let made_l = clock.made_l(-age_d, 0.0);
    // A bed that was seen to hold had at least the capacity that it had used by then.
    let held = of_bed(scene, polish)
        .into_iter()
        .rev()
        .find(|one| holds(one, polish) == Some(true));
    let held_l = held.map(|one| {
        let ago = crate::lives::days(one.at, scene.as_of).max(0.0);
        clock.made_l(-age_d, -ago)
    });
    // Litres that the bed lasts at today's load, as the clock counts them: their ln is normal, cut off below what it held.
    let now = load.eq_l(1.0);
    let lasts_l = capacity_eq / now;
    let sd = CAPACITY_SD.hypot(load.sd()).hypot(clock.scale_sd);
    let least = held_l.map_or(f64::NEG_INFINITY, |held| (held.max(1e-9) / lasts_l).ln() / sd);
    let one = |future: usize| {
        let whole_l = lasts_l * (sd * above(least, normal(future, CAPACITY))).exp();
        let left_l = (whole_l - made_l).max(0.0);
        // The load to come grows with what the membranes let through: the mean of now and the end, which is where it goes.
        let mut mean = now;
        for _ in 0..3 {
            let years = left_l * now / mean / clock.year_l;
            let grown = posterior.membranes.get(future).map_or(1.0, |state| {
                let drift = (scene.prior.bend_sd * normal(future, DRIFT + 1)).exp();
                (state.worn_after(1, drift * years) - state.worn[1]).exp()
            });
            mean = f64::midpoint(now, load.eq_l(grown.clamp(1.0, 20.0)));
        }
        let day = clock.days_to(left_l * now / mean, normal(future, USE));
        (day, made_l / whole_l)
    };
    let futures: Vec<(f64, f64)> = (0..FUTURES).map(one).collect();
    Some(Candidate {
        limit: Limit::Volume,
        basis: if of_bed(scene, polish).is_empty() {
            Basis::Feed
        } else {
            Basis::Readings
        },
        used: Quantiles::of(futures.iter().map(|(_, used)| *used)),
        due: Spread::each(|future| futures.get(future).map_or(super::HORIZON_D, |(day, _)| *day)),
    })
}

/// A standard normal value above `least`, as probable among those as `z` is among all.
fn above(least: f64, z: f64) -> f64 {
    let below = |x: f64| 0.5 * erfc(-x / std::f64::consts::SQRT_2);
    if least < -6.0 {
        return z;
    }
    let start = below(least);
    if start > 1.0 - 1e-9 {
        return least;
    }
    inverse_normal(start + (1.0 - start) * below(z)).max(least)
}

/// Due now where the last two readings show that it no longer holds; one alone may be a slip.
fn by_conductivity(scene: &Scene<'_>, polish: &Polish) -> Option<Candidate> {
    let told: Vec<bool> = of_bed(scene, polish)
        .into_iter()
        .filter_map(|reading| holds(reading, polish))
        .collect();
    let last_two = told.get(told.len().checked_sub(2)?..)?;
    last_two.iter().all(|holds| !holds).then(|| Candidate {
        limit: Limit::Volume,
        basis: Basis::Readings,
        due: Spread::certain(0.0),
        used: Quantiles {
            p10: 1.0,
            p50: 1.0,
            p90: 1.0,
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_a_normal_cut_off_below() {
        // The median of a standard normal above 0 is 0.6745 (its upper quartile), above 1 it is 1.4096 (SciPy,
        // truncnorm(1, inf).median()); 1e-6: erfc and its inverse.
        assert!((above(0.0, 0.0) - 0.674_489_750).abs() < 1e-6);
        assert!((above(1.0, 0.0) - 1.409_608_709).abs() < 1e-6);
        assert!((above(f64::NEG_INFINITY, 0.7) - 0.7).abs() < 1e-12);
        assert!(above(9.0, -3.0) >= 9.0);
    }
}
