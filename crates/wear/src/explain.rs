//! Where the litres went: the change of permeate flow between two readings, split into causes.
//!
//! ```text
//! ln(Q2/Q1) = ln(TCF2/TCF1) + ln(NDP2/NDP1) + ln(A2/A1)
//! ```
//!
//! The middle term is shared out among the terms of the driving pressure by their Shapley values (Shapley,
//! Contributions to the Theory of Games II, 1953): each term's share is its mean contribution over all orders
//! in which the terms could have changed, so that no order is preferred and the shares add up exactly.

mod account;

use reading::{Field, Reading};

pub use account::{EQUATIONS, of_cause, of_change};

use crate::complete::{Completion, GAUGE_OFFSET_SHARE, THERMOMETER_OFFSET_SHARE, gauge_sd_kpa};
use crate::hydraulics as plumbing;
use crate::standardise::{History, Standardisation, TEMPERATURE_COEFFICIENT_SD};

/// What can change a unit's permeate flow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// Colder or warmer water.
    Temperature,
    /// Supply pressure.
    InletPressure,
    /// What the stages before the membranes take.
    Prefilters,
    /// What the booster adds.
    Pump,
    /// Pressure on the permeate side.
    PermeateBackPressure,
    /// Saltier or fresher feed, higher or lower recovery.
    OsmoticPressure,
    /// The membranes and their channel.
    Membrane,
}

impl Cause {
    /// All, in the contract's order.
    pub const ALL: [Self; 7] = [
        Self::Temperature,
        Self::InletPressure,
        Self::Prefilters,
        Self::Pump,
        Self::PermeateBackPressure,
        Self::OsmoticPressure,
        Self::Membrane,
    ];

    /// Its name in answers.
    pub fn name(self) -> &'static str {
        match self {
            Self::Temperature => "temperature",
            Self::InletPressure => "inlet_pressure",
            Self::Prefilters => "prefilters",
            Self::Pump => "pump",
            Self::PermeateBackPressure => "permeate_back_pressure",
            Self::OsmoticPressure => "osmotic_pressure",
            Self::Membrane => "membrane",
        }
    }

    /// What one would say changed, by the direction of the share.
    fn words(self, ratio: f64) -> &'static str {
        let less = ratio < 1.0;
        match self {
            Self::Temperature if less => "colder water",
            Self::Temperature => "warmer water",
            Self::InletPressure if less => "lower supply pressure",
            Self::InletPressure => "higher supply pressure",
            Self::Prefilters if less => "the filters before the membranes",
            Self::Prefilters => "freer filters before the membranes",
            Self::Pump if less => "less lift from the pump",
            Self::Pump => "more lift from the pump",
            Self::PermeateBackPressure if less => "pressure on the permeate line",
            Self::PermeateBackPressure => "less pressure on the permeate line",
            Self::OsmoticPressure if less => "saltier water at the membranes",
            Self::OsmoticPressure => "fresher water at the membranes",
            Self::Membrane => "the membranes",
        }
    }
}

/// One cause's share.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factor {
    /// Which.
    pub cause: Cause,
    /// Factor on the flow; the product over all causes is the total.
    pub ratio: f64,
    /// One standard deviation of the ratio.
    pub sd: f64,
}

/// The change between two readings.
#[derive(Clone, Debug, PartialEq)]
pub struct Explanation {
    /// Index of the earlier reading.
    pub from: usize,
    /// Index of the later reading.
    pub to: usize,
    /// `Q2/Q1`.
    pub total_ratio: f64,
    /// One for each cause, in the contract's order.
    pub factors: Vec<Factor>,
    /// In one sentence.
    pub sentence: String,
}

/// Why there is no explanation.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ExplainError {
    /// A reading lacks what the split needs.
    #[error("the reading of {at} has no usable {}", fields(.missing))]
    Incomplete {
        /// Its time.
        at: jiff::Timestamp,
        /// What it lacks.
        missing: Vec<Field>,
    },
    /// There is no such reading.
    #[error("there is no reading number {0}")]
    NoReading(usize),
}

fn fields(missing: &[Field]) -> String {
    if missing.is_empty() {
        return "driving pressure (osmotic pressure exceeds the pressure)".to_owned();
    }
    missing
        .iter()
        .map(|field| field.name())
        .collect::<Vec<_>>()
        .join(", ")
}

/// The terms of the driving pressure of one reading, kPa, in the order of [`TERMS`]; their sum is NDP.
type Terms = [f64; 6];
const TERMS: [Cause; 6] = [
    Cause::InletPressure,
    Cause::Prefilters,
    Cause::Pump,
    Cause::PermeateBackPressure,
    Cause::OsmoticPressure,
    Cause::Membrane,
];

/// Splits the change of flow between two readings of one unit, by index.
///
/// # Errors
/// A reading that lacks temperature, flow or every pressure, or whose driving pressure is not above 0.
pub fn explain(
    history: &History<'_>,
    standardisation: &Standardisation,
    from: usize,
    to: usize,
) -> Result<Explanation, ExplainError> {
    let first = side(history, standardisation, from)?;
    let second = side(history, standardisation, to)?;
    let total = second.flow / first.flow;
    let ln_coefficient = history.unit.temperature_coefficient().ln();
    let degrees = second.temperature - first.temperature;
    let shares = shapley(&first.terms, &second.terms);

    let mut factors: Vec<Factor> = Vec::with_capacity(7);
    let temperature = (ln_coefficient * degrees).exp();
    let instruments = &history.unit.instruments;
    let thermometer = instruments.thermometer_error_c * (1.0 - THERMOMETER_OFFSET_SHARE).sqrt();
    let coefficient = degrees * TEMPERATURE_COEFFICIENT_SD / history.unit.temperature_coefficient();
    let read_twice = std::f64::consts::SQRT_2;
    let by_reading = ln_coefficient * thermometer * read_twice;
    let temperature_sd = by_reading.hypot(coefficient);
    factors.push(Factor {
        cause: Cause::Temperature,
        ratio: temperature,
        sd: temperature * temperature_sd,
    });
    let gauge = gauge_sd_kpa(history.unit);
    let driving = f64::midpoint(first.driving(), second.driving());
    for (term, cause) in TERMS.into_iter().enumerate() {
        if cause == Cause::Membrane {
            continue;
        }
        let ratio = shares[term].exp();
        let kpa = match cause {
            Cause::InletPressure if first.inlet_read && second.inlet_read => gauge * read_twice,
            Cause::InletPressure => 0.0,
            Cause::Prefilters => first.drop_sd.hypot(second.drop_sd),
            Cause::Pump => 0.1 * (second.terms[term] - first.terms[term]).abs(),
            Cause::PermeateBackPressure => first.back_sd.hypot(second.back_sd),
            _ => standardisation.salt.osmotic_sd * (second.terms[term] - first.terms[term]).abs(),
        };
        factors.push(Factor {
            cause,
            ratio,
            sd: ratio * kpa / driving,
        });
    }
    // The channel's own drop counts with the membrane, and the membrane is what remains, so that the product
    // is the total to the last digit.
    let others: f64 = factors.iter().map(|factor| factor.ratio.ln()).sum();
    let ratio = (total.ln() - others).exp();
    let flows = instruments.bucket_error * read_twice;
    let driving_sd = first.driving_sd.hypot(second.driving_sd) / driving;
    let offset = instruments.gauge_error_kpa * GAUGE_OFFSET_SHARE.sqrt();
    let offset_left = offset * (1.0 / first.driving() - 1.0 / second.driving()).abs();
    let sd = flows.hypot(driving_sd).hypot(temperature_sd).hypot(offset_left);
    factors.push(Factor {
        cause: Cause::Membrane,
        ratio,
        sd: ratio * sd,
    });
    let sentence = sentence(total, &factors);
    Ok(Explanation {
        from,
        to,
        total_ratio: total,
        factors,
        sentence,
    })
}

/// One reading as the split sees it.
struct Side {
    flow: f64,
    temperature: f64,
    terms: Terms,
    inlet_read: bool,
    drop_sd: f64,
    back_sd: f64,
    driving_sd: f64,
}

impl Side {
    fn driving(&self) -> f64 {
        self.terms.iter().sum()
    }
}

fn side(
    history: &History<'_>,
    standardisation: &Standardisation,
    index: usize,
) -> Result<Side, ExplainError> {
    let (Some(one), Some(reading)) = (standardisation.readings.get(index), history.readings.get(index))
    else {
        return Err(ExplainError::NoReading(index));
    };
    let incomplete = || ExplainError::Incomplete {
        at: one.at,
        missing: one.missing.clone(),
    };
    let completion = one.completion.as_ref().ok_or_else(incomplete)?;
    let side = terms(history, standardisation, reading, completion);
    if side.driving() > 0.0 {
        Ok(side)
    } else {
        Err(ExplainError::Incomplete {
            at: one.at,
            missing: Vec::new(),
        })
    }
}

fn terms(
    history: &History<'_>,
    standardisation: &Standardisation,
    reading: &Reading,
    completion: &Completion,
) -> Side {
    let unit = history.unit;
    let complete = &completion.complete;
    let salt = &standardisation.salt;
    let feed = complete.permeate_l_h + complete.concentrate_l_h;
    let rise = plumbing::pumps_rise_kpa(unit, feed);
    let clean = plumbing::stages_drop_kpa(unit, feed, complete.temperature_c);
    let inlet = reading.get(Field::InletPressure);
    // Without an inlet gauge nothing can be told apart before the membranes: the stages are taken as clean.
    let inlet_kpa = inlet.unwrap_or(complete.membrane_kpa + clean - rise);
    let drop = inlet_kpa + rise - complete.membrane_kpa;
    let kelvin = complete.temperature_c + 273.15;
    let y = complete.permeate_l_h / feed;
    let pi = |c: f64| salt.osmotic_slope * c * kelvin / (1000.0 - salt.osmotic_curve * c / 1000.0);
    let osmotic = pi(complete.feed_mg_l * -(1.0 - y).ln() / y) - pi(complete.permeate_mg_l);
    let gauge = gauge_sd_kpa(unit);
    let membrane_read = reading.get(Field::MembranePressure).is_some();
    Side {
        flow: complete.permeate_l_h,
        temperature: complete.temperature_c,
        terms: [
            inlet_kpa,
            -drop,
            rise,
            -complete.back_kpa,
            -osmotic,
            -complete.drop_kpa / 2.0,
        ],
        inlet_read: inlet.is_some(),
        drop_sd: if membrane_read {
            gauge * std::f64::consts::SQRT_2
        } else {
            complete.driving_sd_kpa
        },
        back_sd: if reading.get(Field::PermeatePressure).is_some() {
            gauge
        } else {
            1.0
        },
        driving_sd: complete.driving_sd_kpa,
    }
}

/// The share of each term in ln(NDP2/NDP1).
///
/// Where some mixture of old and new terms leaves no driving pressure (it can, when a pump replaces supply
/// pressure), its logarithm is taken at a thousandth of the smaller NDP: the shares still add up exactly.
fn shapley(from: &Terms, to: &Terms) -> Terms {
    const N: usize = TERMS.len();
    let floor = 1e-3 * from.iter().sum::<f64>().min(to.iter().sum());
    let mut values = [0.0; 1 << N];
    for (set, value) in values.iter_mut().enumerate() {
        let sum: f64 = (0..N)
            .map(|i| if set >> i & 1 == 1 { to[i] } else { from[i] })
            .sum();
        *value = sum.max(floor).ln();
    }
    let factorial = |n: usize| (1..=n).map(|k| k as f64).product::<f64>();
    let mut shares = [0.0; N];
    for (i, share) in shares.iter_mut().enumerate() {
        for set in (0..1usize << N).filter(|set| set >> i & 1 == 0) {
            let size = set.count_ones() as usize;
            let weight = factorial(size) * factorial(N - size - 1) / factorial(N);
            *share += weight * (values[set | 1 << i] - values[set]);
        }
    }
    shares
}

/// A share as people say it: percent of the flow, without a sign.
fn percent(ratio: f64) -> String {
    format!("{:.0} %", (100.0 * (ratio - 1.0)).abs())
}

/// "Makes 29 % less than at the baseline. On their own: colder water 24 %, the membranes 3 %."
fn sentence(total: f64, factors: &[Factor]) -> String {
    let change = 100.0 * (total - 1.0);
    let head = if change.abs() < 0.5 {
        "Makes as much as when new.".to_owned()
    } else {
        format!(
            "Makes {} {} than when new.",
            percent(total),
            if change < 0.0 { "less" } else { "more" }
        )
    };
    // Shares under half a percent, and under half their own uncertainty, are not worth a word.
    let mut told: Vec<&Factor> = factors
        .iter()
        .filter(|factor| (factor.ratio - 1.0).abs() >= 0.005 && (factor.ratio - 1.0).abs() >= 0.5 * factor.sd)
        .collect();
    if told.is_empty() {
        return format!("{head} Nothing has changed beyond what the instruments can tell.");
    }
    told.sort_by(|a, b| b.ratio.ln().abs().total_cmp(&a.ratio.ln().abs()));
    // Where all goes one way, "less" or "more" has been said; else each cause says its own.
    let one_way = change.abs() > 0.5 && told.iter().all(|factor| (factor.ratio < 1.0) == (change < 0.0));
    let tail: Vec<String> = told
        .iter()
        .map(|factor| {
            let way = match (one_way, factor.ratio < 1.0) {
                (true, _) => "",
                (false, true) => " less",
                (false, false) => " more",
            };
            format!(
                "{} {}{way}",
                factor.cause.words(factor.ratio),
                percent(factor.ratio)
            )
        })
        .collect();
    let tail = tail.join(", ");
    format!("{head} On their own: {tail}.")
}
