//! A day of fill and draw: what is really available, how salty, how much goes to drain, what it costs in energy.

use crate::accepted::Accepted;
use crate::error::PredictError;
use crate::hydraulics::StageLaw;
use crate::model::{Model, Setting};
use crate::parameters::Parameters;
use crate::plan::{Shutoff, Unit};
use crate::rating::{KPA, L_H};
use crate::standstill::Standstill;
use crate::steady::SHUTOFF_SHARE;
use crate::tank::TankLaw;
use crate::workspace::Workspace;

/// What is drawn from the tank in each hour of the day, L.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Demand {
    /// Litres in each hour from midnight.
    pub hourly_l: [f64; 24],
}

impl Demand {
    /// The same all day long.
    pub fn even(litres_per_day: f64) -> Self {
        Self {
            hourly_l: [litres_per_day / 24.0; 24],
        }
    }

    /// Evenly between two hours of the day (0 to 24); over midnight where `to` is not after `from`.
    pub fn between(litres_per_day: f64, from_hour: usize, to_hour: usize) -> Self {
        let inside = |hour: usize| {
            if from_hour < to_hour {
                (from_hour..to_hour).contains(&hour)
            } else {
                hour >= from_hour || hour < to_hour
            }
        };
        let hours = (0..24).filter(|h| inside(*h)).count().max(1) as f64;
        Self {
            hourly_l: std::array::from_fn(|h| if inside(h) { litres_per_day / hours } else { 0.0 }),
        }
    }

    /// All of the day, L.
    pub fn litres_per_day(&self) -> f64 {
        self.hourly_l.iter().sum()
    }
}

/// What a cycle needs beyond the unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CycleOptions {
    /// Litres between the float's stop and its start. Default 2 (common practice, no source).
    pub float_band_l: f64,
    /// Electrical efficiency of the pump. Default 0.5, as in `reference/check-values.md` 12.10 (common practice).
    pub pump_efficiency: f64,
}

impl Default for CycleOptions {
    fn default() -> Self {
        Self {
            float_band_l: 2.0,
            pump_efficiency: 0.5,
        }
    }
}

/// A day once every day is like the one before.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Day {
    /// Permeate that the unit could make if it ran all day against an empty tank, L.
    pub capacity_l: f64,
    /// Permeate made, L.
    pub made_l: f64,
    /// Drawn and delivered, L.
    pub delivered_l: f64,
    /// Asked for and not there, L.
    pub short_l: f64,
    /// Permeate that ran over, L: only without a shut-off.
    pub overflow_l: f64,
    /// Concentrate to drain, L.
    pub drain_l: f64,
    /// Feed used, L.
    pub feed_l: f64,
    /// Hours that the unit ran.
    pub running_h: f64,
    /// How often it started.
    pub starts: u32,
    /// Electricity for the pump, kWh; 0 without a pump.
    pub energy_kwh: f64,
    /// Water in the tank at the end of the day less that at its beginning, L: a float's band does not care for midnight.
    pub tank_change_l: f64,
    /// Least water in the tank, L.
    pub lowest_l: f64,
    /// Hours in which an empty tank fills while nothing is drawn; none where the tank's pressure ends the permeate first.
    pub fill_h: Option<f64>,
    /// The longest standstill, h; 0 where the unit never stops.
    pub standstill_h: f64,
    /// Dissolved salt of the first permeate after it, mg/L.
    pub first_tds_mg_l: f64,
    /// Litres from then on until the permeate is within a tenth of what it will be, and the minutes that they take.
    pub settling_l: f64,
    /// See `settling_l`.
    pub settling_min: f64,
    /// Mean dissolved salt of what the membranes gave to the tank, first litres included, mg/L.
    pub made_tds_mg_l: f64,
    /// Mean dissolved salt of what was delivered, mg/L.
    pub delivered_tds_mg_l: f64,
    /// Dissolved salt of the permeate once the unit has run for long, against an empty tank, mg/L.
    pub steady_tds_mg_l: f64,
}

/// Minutes of a day, and days until one is like the other.
const MINUTES: usize = 1440;
const MOST_DAYS: usize = 60;
/// The unit still runs just below the pressure at which its shut-off closes.
const JUST_BELOW: f64 = 1.0 - 1e-6;
/// A permeate has settled when its salt is within this share of what it will be (from memory: what a reading is worth).
const SETTLED: f64 = 0.1;
/// Tank pressures at which the unit is solved; between them flows are straight.
const PRESSURES: usize = 9;

/// The unit at one permeate pressure; rates per hour.
#[derive(Clone, Copy, Debug, Default)]
struct At {
    pressure_kpa: f64,
    permeate_l_h: f64,
    concentrate_l_h: f64,
    tds_mg_l: f64,
    pump_kw: f64,
}

/// A day's cycle of a unit with these parameters in these conditions, the demand being the same every day.
///
/// Steps of one minute; within each the permeate side and the tank are mixed by their closed solutions. An open tank gives
/// permeate pressure 0 (plus lift) until the float closes, a pressurised one the pressure of its air; a pressure shut-off
/// closes at 2/3 of the feed pressure. Days are repeated until the tank ends a day as it began it.
///
/// # Errors
///
/// As [`Model::solve`] with an empty tank; `unit.permeate.tank` without a volume; a demand that is negative or no number.
pub fn day(
    unit: &Unit,
    model: &Model,
    parameters: &Parameters,
    setting: &Setting,
    demand: &Demand,
    options: &CycleOptions,
    workspace: &mut Workspace,
) -> Result<Day, PredictError> {
    let tank = TankLaw::of(unit, options.float_band_l)?;
    check(demand, options)?;
    let empty = Setting {
        permeate_pressure_kpa: tank.pressure_kpa(0.0),
        ..*setting
    };
    let first = model.solve(parameters, &empty, workspace)?;
    // A shut-off sees the feed pressure at its own moment: with less flow the stages lose less.
    let mut feed_pressure = first.membrane_pressure_kpa;
    if tank.precharge_kpa.is_some() && tank.shutoff == Shutoff::Pressure {
        for _ in 0..6 {
            let closing = Setting {
                permeate_pressure_kpa: SHUTOFF_SHARE * feed_pressure * JUST_BELOW,
                ..*setting
            };
            match model.solve(parameters, &closing, workspace) {
                Ok(point) => feed_pressure = point.membrane_pressure_kpa,
                Err(_) => break,
            }
        }
    }
    let (stop, start) = tank.stop_and_start_l(feed_pressure);
    let table = table(model, parameters, &empty, &tank, stop, options, workspace)?;
    let mut sides = Standstill::of(model, parameters, &empty, workspace)?;
    let steady = table.first().copied().unwrap_or_default();

    let mut state = TankState {
        water_l: stop,
        tank_mg_l: steady.tds_mg_l,
        side_mg_l: steady.tds_mg_l,
        running: tank.shutoff == Shutoff::None,
        standing_h: 0.0,
    };
    let mut day = Day::default();
    for _ in 0..MOST_DAYS {
        let begin = state;
        day = one_day(&tank, (stop, start), &table, &mut sides, demand, &mut state);
        let moved = (state.water_l - begin.water_l).abs() / tank.volume_l
            + (state.tank_mg_l - begin.tank_mg_l).abs() / setting.feed_mg_l;
        // A thousandth of the tank and of the feed's salt.
        if moved < 1e-3 {
            break;
        }
    }
    day.capacity_l = 24.0 * steady.permeate_l_h;
    day.steady_tds_mg_l = steady.tds_mg_l;
    day.fill_h = fill_h(&tank, stop, &table);
    // Against an empty tank, as a reading with the tank's line taken off is.
    sides.permeate_mg_l = steady.tds_mg_l;
    day.first_tds_mg_l = sides.after_standing(steady.tds_mg_l, day.standstill_h);
    day.settling_min = sides.minutes_to_settle(day.standstill_h, SETTLED);
    day.settling_l = day.settling_min / 60.0 * sides.permeate_flow_l_h;
    Ok(day)
}

/// Hours from an empty tank to the shut-off with nothing drawn.
fn fill_h(tank: &TankLaw, stop_l: f64, table: &[At]) -> Option<f64> {
    /// Slices of the water in the tank, each at the pressure of its middle.
    const SLICES: u32 = 200;
    let slice = stop_l / f64::from(SLICES);
    let mut hours = 0.0;
    for i in 0..SLICES {
        let at = between(table, tank.pressure_kpa(slice * (f64::from(i) + 0.5)));
        if !(at.permeate_l_h > 0.0) {
            return None;
        }
        hours += slice / at.permeate_l_h;
    }
    Some(hours)
}

fn check(demand: &Demand, options: &CycleOptions) -> Result<(), PredictError> {
    for (hour, litres) in demand.hourly_l.iter().enumerate() {
        if !(0.0..=1e6).contains(litres) {
            return Err(PredictError::Input {
                field: format!("demand in hour {hour}"),
                read: *litres,
                accepted: Accepted::Draw,
            });
        }
    }
    if !(options.pump_efficiency > 0.0 && options.pump_efficiency <= 1.0) {
        return Err(PredictError::Input {
            field: "pump efficiency".to_owned(),
            read: options.pump_efficiency,
            accepted: Accepted::FractionUpToOne,
        });
    }
    Ok(())
}

/// The unit at the pressures between an empty and a full tank.
fn table(
    model: &Model,
    parameters: &Parameters,
    empty: &Setting,
    tank: &TankLaw,
    stop_l: f64,
    options: &CycleOptions,
    workspace: &mut Workspace,
) -> Result<Vec<At>, PredictError> {
    let low = empty.permeate_pressure_kpa;
    let high = if tank.precharge_kpa.is_some() {
        tank.pressure_kpa(stop_l) * JUST_BELOW
    } else {
        low
    };
    let count = if high > low { PRESSURES } else { 1 };
    let mut table = Vec::with_capacity(count);
    for i in 0..count {
        let pressure_kpa = low + (high - low) * i as f64 / (count.max(2) - 1) as f64;
        let setting = Setting {
            permeate_pressure_kpa: pressure_kpa,
            ..*empty
        };
        match model.solve(parameters, &setting, workspace) {
            Ok(point) => table.push(At {
                pressure_kpa,
                permeate_l_h: point.permeate_flow_l_h,
                concentrate_l_h: point.concentrate_flow_l_h,
                tds_mg_l: point.permeate_tds_mg_l,
                pump_kw: pump_kw(model, parameters, empty, point.feed_flow_l_h, workspace)
                    / options.pump_efficiency,
            }),
            // Where the tank's pressure ends the permeate before its shut-off does, the unit runs to drain and makes nothing.
            Err(PredictError::ShutOff { .. } | PredictError::NoPermeate { .. }) if i > 0 => {
                let mut last = table.last().copied().unwrap_or_default();
                last.pressure_kpa = pressure_kpa;
                last.permeate_l_h = 0.0;
                table.push(last);
            }
            Err(other) => return Err(other),
        }
    }
    Ok(table)
}

/// Power that the pumps put into the water, kW.
fn pump_kw(
    model: &Model,
    parameters: &Parameters,
    setting: &Setting,
    feed_l_h: f64,
    workspace: &Workspace,
) -> f64 {
    let flow = feed_l_h / L_H;
    let mut before = setting.inlet_pressure_kpa;
    let mut watts = 0.0;
    for (i, (law, after)) in model
        .stages
        .iter()
        .zip(workspace.stage_pressures_kpa())
        .enumerate()
    {
        if matches!(law, StageLaw::Pump { .. }) {
            let behind = law.behind(before * KPA, flow, 1.0, parameters.of_stage(i));
            watts += flow * (behind.pressure - before * KPA);
        }
        before = *after;
    }
    watts / 1e3
}

fn between(table: &[At], pressure_kpa: f64) -> At {
    let at = |i: usize| table.get(i).copied().unwrap_or_default();
    let above = table.iter().position(|row| row.pressure_kpa >= pressure_kpa);
    match above {
        None => at(table.len().saturating_sub(1)),
        Some(0) => at(0),
        Some(i) => {
            let (a, b) = (at(i - 1), at(i));
            let x = (pressure_kpa - a.pressure_kpa) / (b.pressure_kpa - a.pressure_kpa);
            let mix = |a: f64, b: f64| a + x * (b - a);
            At {
                pressure_kpa,
                permeate_l_h: mix(a.permeate_l_h, b.permeate_l_h),
                concentrate_l_h: mix(a.concentrate_l_h, b.concentrate_l_h),
                tds_mg_l: mix(a.tds_mg_l, b.tds_mg_l),
                pump_kw: mix(a.pump_kw, b.pump_kw),
            }
        }
    }
}

/// The tank and the permeate side at one moment.
#[derive(Clone, Copy, Debug)]
struct TankState {
    water_l: f64,
    tank_mg_l: f64,
    side_mg_l: f64,
    running: bool,
    /// Since it stopped.
    standing_h: f64,
}

fn one_day(
    tank: &TankLaw,
    (stop, start): (f64, f64),
    table: &[At],
    sides: &mut Standstill,
    demand: &Demand,
    state: &mut TankState,
) -> Day {
    let hours = 24.0 / MINUTES as f64;
    let begin_l = state.water_l;
    let mut day = Day {
        lowest_l: state.water_l,
        ..Day::default()
    };
    let (mut made_mg, mut delivered_mg) = (0.0, 0.0);
    for minute in 0..MINUTES {
        let wanted = demand.hourly_l.get(minute * 24 / MINUTES).copied().unwrap_or(0.0) * hours;
        if !state.running && state.water_l <= start {
            state.running = true;
            day.starts += 1;
        }
        let (mut made, mut made_tds) = (0.0, 0.0);
        let mut standing = hours;
        if state.running {
            let at = between(table, tank.pressure_kpa(state.water_l));
            sides.permeate_mg_l = at.tds_mg_l;
            made = at.permeate_l_h * hours;
            let mut share = 1.0;
            if tank.shutoff != Shutoff::None && state.water_l + made - wanted >= stop {
                // The valve closes within the minute.
                share = ((stop + wanted - state.water_l) / made.max(1e-12)).clamp(0.0, 1.0);
                state.running = false;
            }
            made *= share;
            standing = hours * (1.0 - share);
            made_tds = sides.mean_of_litres(state.side_mg_l, made);
            state.side_mg_l = sides.after_litres(state.side_mg_l, made);
            day.drain_l += at.concentrate_l_h * hours * share;
            day.running_h += hours * share;
            day.energy_kwh += at.pump_kw * hours * share;
        }
        state.side_mg_l = sides.after_standing(state.side_mg_l, standing);
        state.standing_h = if standing < hours {
            standing
        } else {
            state.standing_h + standing
        };
        day.standstill_h = day.standstill_h.max(state.standing_h);
        day.made_l += made;
        made_mg += made * made_tds;
        let held = state.water_l + made;
        if held > 0.0 {
            state.tank_mg_l = (state.water_l * state.tank_mg_l + made * made_tds) / held;
        }
        let given = wanted.min(held);
        day.delivered_l += given;
        delivered_mg += given * state.tank_mg_l;
        day.short_l += wanted - given;
        state.water_l = held - given;
        if state.water_l > stop {
            day.overflow_l += state.water_l - stop;
            state.water_l = stop;
        }
        day.lowest_l = day.lowest_l.min(state.water_l);
    }
    day.tank_change_l = state.water_l - begin_l;
    day.feed_l = day.made_l + day.drain_l;
    day.made_tds_mg_l = if day.made_l > 0.0 {
        made_mg / day.made_l
    } else {
        0.0
    };
    day.delivered_tds_mg_l = if day.delivered_l > 0.0 {
        delivered_mg / day.delivered_l
    } else {
        0.0
    };
    day
}
