//! A day of fill and draw, where the unit has a tank and something is drawn from it.

use casefile::Faults;
use serde_json::{Value, json};
use unit::{CycleOptions, Day, Demand, Parameter, PredictError, StageKind, Unit, Workspace};
use wear::expectation::setting;

use super::judgement::litres;
use super::request::Request;
use super::{Expected, Ready};
use crate::present::significant;

/// Between which hours of the day the permeate is drawn: "7..19".
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Hours {
    from: usize,
    to: usize,
}

impl Hours {
    /// Reads "7..19", over midnight where the second is the smaller; else what was read and what is accepted.
    pub(super) fn parse(text: &str) -> Result<Self, (String, String)> {
        let wrong = || {
            (
                format!("{text:?}"),
                "two whole hours of the day, such as 7..19: 0 to 24, not the same".to_owned(),
            )
        };
        let (from, to) = text.split_once("..").ok_or_else(wrong)?;
        let hour = |text: &str| text.trim().parse::<usize>().ok().filter(|hour| *hour <= 24);
        let (from, to) = hour(from).zip(hour(to)).ok_or_else(wrong)?;
        if from % 24 == to % 24 {
            return Err(wrong());
        }
        Ok(Self {
            from: from % 24,
            to: if to == 0 { 24 } else { to },
        })
    }

    fn demand(self, litres_per_day: f64) -> Demand {
        Demand::between(litres_per_day, self.from, self.to)
    }
}

/// Says what a unit lacks for the day that was asked for.
pub(super) fn ask(unit: &Unit, faults: &Faults) {
    if unit.permeate.tank.and_then(|tank| tank.volume_l).is_none() {
        faults.add(
            "unit.permeate.tank.volume",
            "nothing",
            "the tank's volume, for --day",
        );
    }
    if unit.need.permeate_l_d.or(unit.use_permeate_l_d).is_none() {
        faults.add(
            "unit.need.permeate_per_day",
            "nothing",
            "the litres of a day, there or as unit.use.permeate_per_day, for --day",
        );
    }
}

/// What is asked of a day.
#[derive(Clone, Copy, Debug)]
pub(super) struct Asked {
    litres: f64,
    /// Whether it is what is really drawn, and not what is needed.
    is_use: bool,
    hours: Option<Hours>,
}

/// A day, and what was asked of it.
pub(super) struct Cycle {
    asked: Asked,
    volume_l: f64,
    has_pump: bool,
    day: Day,
}

impl Asked {
    /// The need, else the use; None where the unit has no tank of a stated volume or nothing is drawn.
    pub(super) fn of(request: &Request) -> Option<(Self, f64)> {
        let unit = &request.unit;
        let volume = unit.permeate.tank.and_then(|tank| tank.volume_l)?;
        let (litres, is_use) = match unit.need.permeate_l_d {
            Some(litres) => (litres, false),
            None => (unit.use_permeate_l_d?, true),
        };
        let hours = request.day;
        Some((
            Self {
                litres,
                is_use,
                hours,
            },
            volume,
        ))
    }
}

impl Cycle {
    /// The day's cycle in the conditions of a prediction. The tank's pressure takes the place of theirs.
    ///
    /// The cycle follows one salt: its permeability is moved until it passes what the prediction says of all ions.
    pub(super) fn of(
        request: &Request,
        ready: &Ready,
        expected: &Expected,
    ) -> Option<Result<Self, PredictError>> {
        let (asked, volume_l) = Asked::of(request)?;
        let found = Self::found(request, ready, expected, &asked);
        Some(found.map(|day| {
            Self {
                asked,
                volume_l,
                has_pump: request
                    .unit
                    .stages
                    .iter()
                    .any(|stage| matches!(stage.kind, StageKind::Pump { .. })),
                day,
            }
        }))
    }

    fn found(
        request: &Request,
        ready: &Ready,
        expected: &Expected,
        asked: &Asked,
    ) -> Result<Day, PredictError> {
        let mut workspace = Workspace::new();
        let setting = setting(&request.conditions, &expected.prediction);
        let mut parameters = ready.parameters.clone();
        let wanted = expected.prediction.point.permeate_tds_mg_l;
        for _ in 0..4 {
            let point = ready.model.solve(&parameters, &setting, &mut workspace)?;
            let step = (wanted / point.permeate_tds_mg_l).ln();
            if !step.is_finite() {
                break;
            }
            for i in 0..request.unit.membranes.elements.len() {
                let place = parameters.index(Parameter::SaltPermeability(i));
                if let Some(value) = place.and_then(|i| parameters.values_mut().get_mut(i)) {
                    *value += step;
                }
            }
        }
        let demand = match asked.hours {
            Some(hours) => hours.demand(asked.litres),
            None => Demand::even(asked.litres),
        };
        unit::day(
            &request.unit,
            &ready.model,
            &parameters,
            &setting,
            &demand,
            &CycleOptions::default(),
            &mut workspace,
        )
    }

    /// As data.
    pub(super) fn fields(&self) -> Value {
        let (asked, day) = (&self.asked, &self.day);
        json!({
            "demand_l": asked.litres,
            "demand_hours": asked.hours.map(|hours| [hours.from, hours.to]),
            "capacity_l": day.capacity_l,
            "delivered_l": day.delivered_l,
            "short_l": day.short_l,
            "made_l": day.made_l,
            "overflow_l": day.overflow_l,
            "drain_l": day.drain_l,
            "feed_l": day.feed_l,
            "running_d": day.running_h / 24.0,
            "starts": day.starts,
            "energy_kwh": day.energy_kwh,
            "fill_d": day.fill_h.map(|hours| hours / 24.0),
            "lowest_l": day.lowest_l,
            "made_tds_mg_l": day.made_tds_mg_l,
            "delivered_tds_mg_l": day.delivered_tds_mg_l,
            "standstill": {
                "longest_d": day.standstill_h / 24.0,
                "first_tds_mg_l": day.first_tds_mg_l,
                "settled_tds_mg_l": day.steady_tds_mg_l,
                "settles_after_l": day.settling_l,
                "settles_after_minutes": day.settling_min,
            },
        })
    }

    /// In words.
    pub(super) fn sentence(&self) -> String {
        let (asked, day) = (&self.asked, &self.day);
        let drawn = match asked.hours {
            Some(Hours { from, to }) => format!("between {from} and {to} h"),
            None => "evenly".to_owned(),
        };
        let kind = if asked.is_use { "used" } else { "needed" };
        let there = if day.short_l > 0.001 * asked.litres {
            format!(
                "{} L are there and {} L short",
                litres(day.delivered_l),
                litres(day.short_l)
            )
        } else {
            "all are there".to_owned()
        };
        let mut said = vec![format!(
            "A day: of the {} L {kind}, drawn {drawn}, {there}, with {} mg/L of salt.",
            litres(asked.litres),
            significant(day.delivered_tds_mg_l, 2),
        )];
        let energy = if self.has_pump {
            format!(", takes {} kWh for the pump", significant(day.energy_kwh, 2))
        } else {
            String::new()
        };
        let starts = match day.starts {
            0 => String::new(),
            1 => ", started once".to_owned(),
            n => format!(", started {n} times"),
        };
        said.push(format!(
            "The unit runs {} of the 24 hours{starts}{energy} and sends {} L to drain.",
            significant(day.running_h, 2),
            litres(day.drain_l),
        ));
        if day.overflow_l > 0.5 {
            said.push(format!(
                "{} L run over: nothing stops it when the tank is full.",
                litres(day.overflow_l)
            ));
        }
        said.push(match day.fill_h {
            Some(hours) => format!(
                "The empty tank of {} L takes {} to fill.",
                litres(self.volume_l),
                hours_in_words(hours)
            ),
            None => {
                "The tank never fills: its pressure ends the permeate before the shut-off closes.".to_owned()
            }
        });
        if day.standstill_h > 0.0 {
            let after = if day.settling_min > 0.0 {
                format!(
                    "the first {} L, {} minutes of running, carry it out; a reading taken before then says nothing of the membranes",
                    significant(day.settling_l, 2),
                    litres(day.settling_min.ceil())
                )
            } else {
                "which no reading would notice".to_owned()
            };
            said.push(format!(
                "While it stands, at most {}, salt diffuses into the permeate, up to {} mg/L against {} in steady running: {after}.",
                hours_in_words(day.standstill_h),
                significant(day.first_tds_mg_l, 2),
                significant(day.steady_tds_mg_l, 2),
            ));
        }
        said.join(" ")
    }
}

/// Hours to two digits, short times in minutes.
fn hours_in_words(hours: f64) -> String {
    if hours < 1.5 {
        format!("{} minutes", litres(60.0 * hours))
    } else {
        format!("{} hours", significant(hours, 2))
    }
}
