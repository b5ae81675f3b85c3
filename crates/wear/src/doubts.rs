//! Readings at odds with the others of their unit: what they would be if corrected, and why.
//!
//! Each reading is looked at from several sides (its standardised flow and salt passage against their
//! neighbours, its feed, its temperature against the season, its pressures and its concentrate flow against
//! the unit's habit). One that stands out is tried with every slip of the pen that people make; a slip that
//! brings all sides back in line is named. Nothing is corrected.

mod account;
mod neighbours;
mod slips;

use reading::{Field, Reading};

use crate::baseline::Baseline;
use crate::complete::{Learned, complete, feed_us_cm, permeate_us_cm};
use crate::d4516::standardise_one;
use crate::hydraulics as plumbing;
use crate::salt::Salt;
use crate::season::Season;
use crate::standardise::{History, StandardisedReading};
pub use account::{EQUATIONS, of_suggestion};
use neighbours::{Expected, neighbours};
use slips::{CONDUCTIVITY_SLIPS, SWAPPED, TEN_HIGH, TEN_LOW, slips};

/// One value at odds with the others.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubt {
    /// Which.
    pub field: Field,
    /// As read, in its base unit.
    pub read: f64,
    /// What would fit, in its base unit; none where no slip explains it.
    pub suggested: Option<f64>,
    /// Why, in words.
    pub reason: &'static str,
}

impl Doubt {
    /// Whether the permeate flow can't be built upon.
    pub fn touches_flow(&self) -> bool {
        matches!(
            self.field,
            Field::PermeateFlow
                | Field::FeedTemperature
                | Field::InletPressure
                | Field::MembranePressure
                | Field::ConcentratePressure
                | Field::PermeatePressure
                | Field::ConcentrateFlow
        )
    }

    /// Whether the salt passage can't be built upon.
    pub fn touches_salt(&self) -> bool {
        matches!(
            self.field,
            Field::PermeateFlow
                | Field::FeedTemperature
                | Field::FeedConductivity
                | Field::PermeateConductivity
                | Field::FeedTds
                | Field::PermeateTds
        )
    }
}

/// What the doubts are judged by.
pub struct Context<'a> {
    /// The unit with its readings.
    pub history: &'a History<'a>,
    /// How conductivities were read.
    pub salt: &'a Salt,
    /// What the readings taught.
    pub learned: &'a Learned,
    /// A first pass over the readings.
    pub readings: &'a [StandardisedReading],
    /// With these baselines.
    pub baselines: &'a [Option<Baseline>],
}

/// Sides from which a reading is looked at.
const SIDES: usize = 9;
const FLOW: usize = 0;
const PASSAGE: usize = 1;
const FEED: usize = 2;
const TEMPERATURE: usize = 3;
const RESTRICTOR: usize = 4;
const INLET: usize = 5;
const MEMBRANE: usize = 6;
const CONCENTRATE: usize = 7;
const PERMEATE: usize = 8;

/// Standard deviation that each side has at the least: what an honest reading scatters.
const FLOOR: [f64; SIDES] = [0.05, 0.09, 0.10, 1.5, 0.05, 0.07, 0.08, 0.04, 0.15];
/// Standard deviations off at which a side is worth a look, and at which nothing honest explains it.
const SUSPICIOUS: f64 = 4.0;
const IMPOSSIBLE: f64 = 7.0;
/// One in some hundred readings has any one slip: twice the negative logarithm of that chance.
const SLIP_COST: f64 = 12.0;
/// A side counts no more than this many squared standard deviations, so that none drowns the others.
const CAP: f64 = 64.0;

type Sides = [Option<f64>; SIDES];

impl Context<'_> {
    /// The sides of one reading, under whatever hypothesis it carries.
    fn sides(&self, reading: &Reading, life: usize) -> Sides {
        let mut sides = self.sides_as_read(reading);
        self.standardised_sides(reading, life, &mut sides);
        sides
    }

    /// Those that are read off the reading itself.
    fn sides_as_read(&self, reading: &Reading) -> Sides {
        let mut sides: Sides = [None; SIDES];
        let unit = self.history.unit;
        let t = reading.get(Field::FeedTemperature);
        let ln = |value: Option<f64>| value.filter(|value| *value > 0.0).map(f64::ln);
        let inlet = ln(reading.get(Field::InletPressure));
        let membrane = ln(reading.get(Field::MembranePressure));
        let concentrate = ln(reading.get(Field::ConcentratePressure));
        let feed = ln(feed_us_cm(reading, self.salt));
        sides[FEED] = feed;
        sides[TEMPERATURE] = t;
        sides[INLET] = inlet;
        sides[MEMBRANE] = membrane.zip(inlet).map(|(m, i)| m - i).or(membrane);
        sides[CONCENTRATE] = concentrate.zip(membrane).map(|(c, m)| c - m);
        sides[PERMEATE] = ln(permeate_us_cm(reading, self.salt))
            .zip(feed)
            .map(|(p, f)| p - f);
        let pressure = reading
            .get(Field::ConcentratePressure)
            .or(reading.get(Field::MembranePressure));
        let pressure = pressure.or(reading.get(Field::InletPressure));
        if let (Some(pressure), Some(flow), Some(t)) = (pressure, ln(reading.get(Field::ConcentrateFlow)), t)
        {
            sides[RESTRICTOR] =
                ln(Some(plumbing::restrictor_flow_l_h(unit, pressure, t))).map(|law| flow - law);
        }
        sides
    }

    /// Those that take the standardised reading.
    fn standardised_sides(&self, reading: &Reading, life: usize, sides: &mut Sides) {
        let unit = self.history.unit;
        let Some(baseline) = self.baselines.get(life).and_then(Option::as_ref) else {
            return;
        };
        if let Ok(completion) = complete(unit, self.salt, self.learned, reading) {
            let one = standardise_one(&completion.complete, &baseline.reference);
            if one.driving_kpa > 0.0 {
                sides[FLOW] = Some(one.permeate_l_h.ln());
                if completion.has_permeate {
                    sides[PASSAGE] = Some(one.salt_passage.ln());
                }
            }
        }
    }
}

/// Finds the doubts: index of the reading, and what is doubtful in it.
pub fn find(context: &Context<'_>) -> Vec<(usize, Doubt)> {
    let readings = context.history.readings;
    let sides: Vec<Sides> = readings
        .iter()
        .zip(context.readings)
        .map(|(reading, one)| context.sides(reading, one.life))
        .collect();
    let temperatures: Vec<_> = readings
        .iter()
        .filter_map(|r| r.get(Field::FeedTemperature).map(|t| (r.at, t)))
        .collect();
    let season = Season::fit(&temperatures);
    // Which readings have each side, so that a side that few have is not looked for in all of them.
    let held: [Vec<(usize, f64)>; SIDES] = std::array::from_fn(|side| {
        let values = sides.iter().enumerate();
        values
            .filter_map(|(index, sides)| sides[side].map(|value| (index, value)))
            .collect()
    });
    let mut found = Vec::new();
    for index in 0..readings.len() {
        let expected = expectations(context, &held, season.as_ref(), index);
        let as_read = score(&sides[index], &expected);
        if as_read.worst < SUSPICIOUS {
            continue;
        }
        found.extend(
            explain(context, &expected, index, &as_read)
                .into_iter()
                .map(|doubt| (index, doubt)),
        );
    }
    found
}

/// How far a reading is off, over all its sides.
struct Score {
    sum: f64,
    worst: f64,
    worst_side: usize,
    /// Whether the worst side is judged by readings before and after.
    between: bool,
}

fn score(sides: &Sides, expected: &[Option<Expected>; SIDES]) -> Score {
    let mut score = Score {
        sum: 0.0,
        worst: 0.0,
        worst_side: FLOW,
        between: false,
    };
    for side in 0..SIDES {
        let (Some(value), Some(expected)) = (sides[side], expected[side]) else {
            continue;
        };
        let z = ((value - expected.value) / expected.sd).abs();
        score.sum += (z * z).min(CAP);
        if z > score.worst {
            score.worst = z;
            score.worst_side = side;
            score.between = expected.between;
        }
    }
    score
}

fn expectations(
    context: &Context<'_>,
    held: &[Vec<(usize, f64)>; SIDES],
    season: Option<&Season>,
    index: usize,
) -> [Option<Expected>; SIDES] {
    let mut expected = [None; SIDES];
    let one = &context.readings[index];
    for (side, slot) in expected.iter_mut().enumerate() {
        if side == TEMPERATURE {
            *slot = season.map(|season| Expected {
                value: season.at(one.at),
                sd: season.sd_c.max(FLOOR[TEMPERATURE]),
                between: true,
            });
            continue;
        }
        let by_life = matches!(side, FLOW | PASSAGE | PERMEATE);
        *slot = neighbours(context, &held[side], index, side, by_life);
        // With too few neighbours the labels say what a new membrane does, widely.
        if slot.is_none()
            && let Some(baseline) = context.baselines.get(one.life).and_then(Option::as_ref)
        {
            let prior = match side {
                FLOW => Some((baseline.permeate.0.ln(), 0.3)),
                PASSAGE => baseline.salt_passage.map(|(passage, _)| (passage.ln(), 0.6)),
                _ => None,
            };
            *slot = prior.map(|(value, sd)| Expected {
                value,
                sd,
                between: false,
            });
        }
    }
    expected
}

/// The doubts of one reading that stands out.
fn explain(
    context: &Context<'_>,
    expected: &[Option<Expected>; SIDES],
    index: usize,
    as_read: &Score,
) -> Vec<Doubt> {
    let reading = &context.history.readings[index];
    let life = context.readings[index].life;
    let original = context.sides(reading, life);
    let mut best: Option<(f64, Vec<Doubt>)> = None;
    let mut consider = |corrected: &Reading, doubts: Vec<Doubt>, cost: f64| {
        let mut sides = context.sides_as_read(corrected);
        // What these leave no hope for needs no standardising: the other sides only add.
        let so_far = score(&sides, expected);
        let least = best.as_ref().map_or(as_read.sum, |(least, _)| *least);
        if so_far.worst >= SUSPICIOUS || so_far.sum + cost >= least {
            return;
        }
        context.standardised_sides(corrected, life, &mut sides);
        // A correction after which the reading makes no sense at all (no driving pressure left) is none.
        if sides
            .iter()
            .zip(&original)
            .any(|(after, before)| after.is_none() && before.is_some())
        {
            return;
        }
        let after = score(&sides, expected);
        let sum = after.sum + cost;
        if after.worst < SUSPICIOUS
            && sum < as_read.sum
            && best.as_ref().is_none_or(|(least, _)| sum < *least)
        {
            best = Some((sum, doubts));
        }
    };
    for slip in slips(reading) {
        let Some(read) = reading.get(slip.field) else {
            continue;
        };
        let suggested = read * slip.factor;
        let corrected = reading.clone().with(slip.field, suggested);
        let doubt = Doubt {
            field: slip.field,
            read,
            suggested: Some(suggested),
            reason: slip.reason,
        };
        consider(&corrected, vec![doubt], SLIP_COST);
    }
    if let Some(read) = reading.get(Field::FeedTemperature) {
        let other_scale = [
            ((read - 32.0) / 1.8, "Fahrenheit entered where Celsius was meant"),
            (read * 1.8 + 32.0, "Celsius entered where Fahrenheit was meant"),
            (read / 10.0, TEN_HIGH),
            (read * 10.0, TEN_LOW),
        ];
        for (suggested, reason) in other_scale {
            let corrected = reading.clone().with(Field::FeedTemperature, suggested);
            let doubt = Doubt {
                field: Field::FeedTemperature,
                read,
                suggested: Some(suggested),
                reason,
            };
            consider(&corrected, vec![doubt], SLIP_COST);
        }
    }
    for (feed, permeate) in [
        (Field::FeedConductivity, Field::PermeateConductivity),
        (Field::FeedTds, Field::PermeateTds),
    ] {
        if let (Some(f), Some(p)) = (reading.get(feed), reading.get(permeate)) {
            let swapped = reading.clone().with(feed, p).with(permeate, f);
            let doubts = vec![
                Doubt {
                    field: feed,
                    read: f,
                    suggested: Some(p),
                    reason: SWAPPED,
                },
                Doubt {
                    field: permeate,
                    read: p,
                    suggested: Some(f),
                    reason: SWAPPED,
                },
            ];
            consider(&swapped, doubts, SLIP_COST);
            // One meter set to ppm shows both wrong.
            for (factor, reason) in [
                CONDUCTIVITY_SLIPS[2],
                CONDUCTIVITY_SLIPS[3],
                CONDUCTIVITY_SLIPS[4],
            ] {
                let both = reading.clone().with(feed, f * factor).with(permeate, p * factor);
                let doubts = vec![
                    Doubt {
                        field: feed,
                        read: f,
                        suggested: Some(f * factor),
                        reason,
                    },
                    Doubt {
                        field: permeate,
                        read: p,
                        suggested: Some(p * factor),
                        reason,
                    },
                ];
                consider(&both, doubts, SLIP_COST);
            }
        }
    }
    if let Some((_, doubts)) = best {
        return doubts;
    }
    if as_read.worst < IMPOSSIBLE || !as_read.between {
        return Vec::new();
    }
    odd_one(reading, as_read.worst_side).into_iter().collect()
}

/// A value that is at odds with the others and that no slip explains.
fn odd_one(reading: &Reading, side: usize) -> Option<Doubt> {
    let field = match side {
        FLOW => Field::PermeateFlow,
        PASSAGE | PERMEATE => Field::PermeateConductivity,
        FEED => Field::FeedConductivity,
        TEMPERATURE => Field::FeedTemperature,
        RESTRICTOR => Field::ConcentrateFlow,
        INLET => Field::InletPressure,
        MEMBRANE => Field::MembranePressure,
        _ => Field::ConcentratePressure,
    };
    let read = reading.get(field)?;
    Some(Doubt {
        field,
        read,
        suggested: None,
        reason: "at odds with the readings before and after it",
    })
}
