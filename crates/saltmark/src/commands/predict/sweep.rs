//! A range of one condition, as it is written: `temperature=4..28/2`.

use casefile::{ConditionName, ConditionsTable};
use quantity::{Context, Kind, Unit as Measure, find_unit, parse};
use unit::Conditions;

use super::judgement::plain;

/// Points where no step is given.
const POINTS: usize = 13;
/// More rows than anyone reads.
const MOST_POINTS: usize = 1000;
/// What a sweep is written like.
const WRITTEN: &str = "temperature, inlet_pressure or permeate_pressure and a rising range, such as temperature=4..28, \
                       temperature=4..28/2 or inlet_pressure=30psi..80psi";

/// A condition and the values that it takes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Sweep {
    pub(super) name: ConditionName,
    /// The unit in which both ends were written, or the base unit.
    pub(super) symbol: &'static str,
    /// As shown, and in the base unit.
    pub(super) values: Vec<(f64, f64)>,
}

impl Sweep {
    /// Reads `CONDITION=FROM..TO[/STEP]`; the error is what was read and what is accepted.
    pub(super) fn parse(text: &str) -> Result<Self, (String, String)> {
        let wrong = |why: &str| {
            let why = if why.is_empty() {
                String::new()
            } else {
                format!(" ({why})")
            };
            (format!("{text:?}{why}"), WRITTEN.to_owned())
        };
        let (name, range) = text.split_once('=').ok_or_else(|| wrong(""))?;
        let name = match name.trim() {
            "temperature" => ConditionName::Temperature,
            "inlet_pressure" => ConditionName::InletPressure,
            "permeate_pressure" => ConditionName::PermeatePressure,
            other => return Err(wrong(&format!("{other:?} can't be swept"))),
        };
        let (from, rest) = range.split_once("..").ok_or_else(|| wrong("no range"))?;
        let (to, step) = match rest.split_once('/') {
            Some((to, step)) => (to, Some(step)),
            None => (rest, None),
        };
        let kind = match name {
            ConditionName::Temperature => Kind::Temperature,
            ConditionName::InletPressure | ConditionName::PermeatePressure => Kind::Pressure,
        };
        let measure = one_unit(kind, from, to).map_err(|why| wrong(&why))?;
        let end = |end: &str| -> Result<(f64, f64), (String, String)> {
            let base = casefile::condition(name, end.trim())
                .map_err(|(read, accepted)| (format!("{read} in {text:?}"), accepted))?;
            let shown = measure.map_or(Some(base), |unit| unit.from_base(base, &Context::default()));
            Ok((shown.unwrap_or(base), base))
        };
        let ((first, low), (last, high)) = (end(from)?, end(to)?);
        if low >= high {
            return Err(wrong("the range doesn't rise"));
        }
        let base = |shown: f64| match measure {
            Some(unit) => unit.to_base(shown, &Context::default()).unwrap_or(shown),
            None => shown,
        };
        let shown: Vec<f64> = match step {
            None => {
                let way = (last - first) / (POINTS - 1) as f64;
                (0..POINTS)
                    .map(|i| {
                        if i + 1 == POINTS {
                            last
                        } else {
                            first + way * i as f64
                        }
                    })
                    .collect()
            }
            Some(step) => {
                let step = step_of(kind, step.trim(), measure).map_err(|why| wrong(&why))?;
                // A hair more, so that a last step that rounding made too long still counts.
                let steps = ((last - first) / step * (1.0 + 1e-9)).floor();
                if steps < 1.0 {
                    return Err(wrong("the step is longer than the range"));
                }
                if steps >= MOST_POINTS as f64 {
                    return Err(wrong(&format!("more than {MOST_POINTS} points")));
                }
                (0..MOST_POINTS)
                    .map(|i| i as f64)
                    .take_while(|i| *i <= steps)
                    .map(|i| (first + step * i).min(last))
                    .collect()
            }
        };
        Ok(Self {
            name,
            symbol: measure.map_or(kind.base_unit(), |unit| unit.symbol),
            values: shown.into_iter().map(|shown| (shown, base(shown))).collect(),
        })
    }

    /// The name of what is swept, as in a case file.
    pub(super) fn field(&self) -> &'static str {
        match self.name {
            ConditionName::Temperature => "temperature",
            ConditionName::InletPressure => "inlet_pressure",
            ConditionName::PermeatePressure => "permeate_pressure",
        }
    }

    pub(super) fn title(&self) -> &'static str {
        match self.name {
            ConditionName::Temperature => "Feed temperature",
            ConditionName::InletPressure => "Inlet pressure",
            ConditionName::PermeatePressure => "Permeate pressure",
        }
    }

    /// Lets conditions stand at the first point, so that nothing seems to be missing.
    pub(super) fn begin(&self, table: &mut ConditionsTable) {
        let first = self.values.first().map(|(_, base)| *base);
        match self.name {
            ConditionName::Temperature => table.temperature_c = first,
            ConditionName::InletPressure => table.inlet_pressure_kpa = first,
            ConditionName::PermeatePressure => table.permeate_pressure_kpa = first,
        }
    }

    pub(super) fn conditions(&self, others: &Conditions, base: f64) -> Conditions {
        let mut conditions = others.clone();
        match self.name {
            ConditionName::Temperature => conditions.temperature_c = base,
            ConditionName::InletPressure => conditions.inlet_pressure_kpa = base,
            ConditionName::PermeatePressure => conditions.permeate_pressure_kpa = base,
        }
        conditions
    }

    pub(super) fn shown(&self, value: f64) -> String {
        format!("{} {}", plain(value), self.symbol)
    }
}

/// The unit in which both ends are written; none for the base unit. Where only one end has a unit and the other would mean
/// something else without it, nothing is guessed.
fn one_unit(kind: Kind, from: &str, to: &str) -> Result<Option<&'static Measure>, String> {
    let read = |text: &str| parse(kind, text.trim(), &Context::default()).ok();
    // What can't be read at all is said where it is read in earnest.
    let Some((a, b)) = read(from).zip(read(to)) else {
        return Ok(None);
    };
    match (a.unit, b.unit) {
        (Some(a), Some(b)) => Ok((a == b).then_some(a)),
        (None, None) => Ok(None),
        (Some(unit), None) => same(unit, b.value, to),
        (None, Some(unit)) => same(unit, a.value, from),
    }
}

/// A bare number beside a unit: fine where both readings are the same.
fn same(unit: &'static Measure, bare: f64, text: &str) -> Result<Option<&'static Measure>, String> {
    match unit.to_base(bare, &Context::default()) {
        Ok(base) if base.to_bits() == bare.to_bits() => Ok(Some(unit)),
        _ => Err(format!(
            "is {0:?} {0} {1} or {0} {2}? both ends need their unit",
            text.trim(),
            unit.symbol,
            unit.kind.base_unit()
        )),
    }
}

/// A step in the unit that the range is shown in.
fn step_of(kind: Kind, text: &str, measure: Option<&'static Measure>) -> Result<f64, String> {
    let kind = if kind == Kind::Temperature {
        Kind::TemperatureDifference
    } else {
        kind
    };
    let parsed = parse(kind, text, &Context::default()).map_err(|error| error.to_string())?;
    let span = measure.and_then(|unit| find_unit(kind, unit.symbol));
    let step = match (parsed.unit, span) {
        (None, Some(span)) => {
            same(span, parsed.value, text)?;
            parsed.value
        }
        (_, Some(span)) => span
            .from_base(parsed.value, &Context::default())
            .unwrap_or(f64::NAN),
        (_, None) => parsed.value,
    };
    if step > 0.0 {
        Ok(step)
    } else {
        Err("a step is above 0".to_owned())
    }
}
