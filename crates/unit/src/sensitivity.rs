//! Exact derivatives of an operating point by every condition and parameter.
//!
//! Each element is marched once in dual numbers, which gives the derivatives of its concentrate by its feed, its pressures
//! and its own properties; the chain rule joins elements and stages, and the implicit function theorem does the rest: at
//! the steady state F(Q, theta) = 0, so `dQ/dtheta = -F_theta/F_Q`.

use crate::element::{Membrane, Surroundings, pass};
use crate::error::PredictError;
use crate::film::Stream;
use crate::fluid::Fluid;
use crate::hydraulics::GRAVITY;
use crate::model::{Frame, Model, Setting, osmotic};
use crate::number::Dual;
use crate::parameters::{CONDITIONS, Input, Layout, Parameter, Parameters};
use crate::plan::Arrangement;
use crate::point::OperatingPoint;
use crate::rating::{KPA, L_H, MG_L};
use crate::steady::{Arrow, Row};
use crate::workspace::Workspace;

/// What derivatives are of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Output {
    /// Feed, L/h.
    FeedFlow,
    /// Permeate, L/h.
    PermeateFlow,
    /// Concentrate, L/h.
    ConcentrateFlow,
    /// At the first membrane, kPa.
    MembranePressure,
    /// Before the restrictor, kPa.
    ConcentratePressure,
    /// Salt of the permeate, mg/L.
    PermeateConcentration,
    /// `C_p/C_f`.
    SaltPassage,
    /// Pressure after a stage, kPa.
    PressureAfter(usize),
    /// Permeate of an element, L/h.
    ElementPermeateFlow(usize),
    /// Salt of an element's permeate, mg/L.
    ElementPermeateConcentration(usize),
}

const OF_UNIT: usize = 7;

/// A table of derivatives: outputs by inputs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sensitivities {
    columns: usize,
    stages: usize,
    elements: usize,
    layout: Option<Layout>,
    table: Vec<f64>,
    // Tangents of the membrane pressure, of a stream (flow, salt, pressure) and of the elements' concentrates.
    pressure: Vec<f64>,
    stream: Vec<[f64; 3]>,
    branches: Vec<[f64; 3]>,
    permeates: Vec<[f64; 2]>,
}

impl Sensitivities {
    fn row(&self, output: Output) -> Option<usize> {
        Some(match output {
            Output::FeedFlow => 0,
            Output::PermeateFlow => 1,
            Output::ConcentrateFlow => 2,
            Output::MembranePressure => 3,
            Output::ConcentratePressure => 4,
            Output::PermeateConcentration => 5,
            Output::SaltPassage => 6,
            Output::PressureAfter(i) => (i < self.stages).then_some(OF_UNIT + i)?,
            Output::ElementPermeateFlow(i) => (i < self.elements).then_some(OF_UNIT + self.stages + 2 * i)?,
            Output::ElementPermeateConcentration(i) => {
                (i < self.elements).then_some(OF_UNIT + self.stages + 2 * i + 1)?
            }
        })
    }

    /// d output/d input in the units of both; none where the unit has no such part or nothing was solved yet.
    pub fn get(&self, output: Output, input: Input) -> Option<f64> {
        let column = self.layout.as_ref()?.input(input)?;
        self.of(output)?.get(column).copied()
    }

    /// d output by every input: first the four conditions in [`Input`]'s order, then [`Parameters::values`].
    pub fn of(&self, output: Output) -> Option<&[f64]> {
        let row = self.row(output)?;
        self.table.get(row * self.columns..(row + 1) * self.columns)
    }

    /// d output by every parameter, in the order of [`Parameters::values`].
    pub fn by_parameters(&self, output: Output) -> Option<&[f64]> {
        self.of(output)?.get(CONDITIONS..)
    }

    fn prepare(&mut self, model: &Model) {
        let layout = &model.parameters.layout;
        if self.layout.as_ref() != Some(layout) {
            self.layout = Some(layout.clone());
        }
        self.columns = CONDITIONS + layout.len();
        self.stages = model.stages.len();
        self.elements = model.elements.len();
        let rows = OF_UNIT + self.stages + 2 * self.elements;
        let fill = |v: &mut Vec<f64>, n: usize| {
            v.clear();
            v.resize(n, 0.0);
        };
        fill(&mut self.table, rows * self.columns);
        // One column more: the feed flow.
        fill(&mut self.pressure, self.columns + 1);
        self.stream.clear();
        self.stream.resize(self.columns + 1, [0.0; 3]);
        self.branches.clear();
        self.branches.resize((self.columns + 1) * self.elements, [0.0; 3]);
        self.permeates.clear();
        self.permeates
            .resize((self.columns + 1) * self.elements, [0.0; 2]);
    }
}

/// Directions of an element's dual numbers.
const ELEMENT_DIRECTIONS: usize = 11;
const FLOW: usize = 0;
const SALT: usize = 1;
const PRESSURE: usize = 2;
const PERMEATE_PRESSURE: usize = 3;
const LN_A: usize = 4;
const LN_B: usize = 5;
const LN_DROP: usize = 6;
const LN_TRANSFER: usize = 7;
const TEMPERATURE: usize = 8;
const BYPASS: usize = 9;
const LEAK: usize = 10;

type Element = Dual<ELEMENT_DIRECTIONS>;

/// Derivatives of an element's concentrate: flow, salt, pressure.
struct Jacobian {
    out: [[f64; ELEMENT_DIRECTIONS]; 3],
}

impl Model {
    /// [`Model::solve`], and the derivatives of its answer by every condition and parameter, left in
    /// [`Workspace::sensitivities`].
    pub fn sensitivities(
        &self,
        parameters: &Parameters,
        setting: &Setting,
        workspace: &mut Workspace,
    ) -> Result<OperatingPoint, PredictError> {
        let found = self.solve(parameters, setting, workspace)?;
        let frame = self.frame(parameters, setting)?;
        let mut s = std::mem::take(&mut workspace.sensitivities);
        s.prepare(self);
        let done = frame.differentiate(&found, workspace, &mut s);
        workspace.sensitivities = s;
        done.ok_or(PredictError::Unsolved {
            what: "derivatives at the steady state",
        })?;
        Ok(found)
    }
}

impl Frame<'_> {
    /// Temperature's derivatives of the relative viscosity and of the lift's pressure.
    fn by_temperature(&self) -> (f64, f64) {
        let fluid = Fluid::at(Dual::<1>::variable(self.setting.temperature_c, 0));
        (
            fluid.relative_viscosity.slope[0],
            fluid.density.slope[0] * GRAVITY * self.model.lift_m,
        )
    }

    fn jacobian(&self, i: usize, workspace: &Workspace, lift_by_t: f64) -> Option<Jacobian> {
        let rated = self.model.elements.get(i)?;
        let membrane = workspace.membranes.get(i)?;
        let element = workspace.elements.get(i)?;
        let factor = |value: f64, direction: usize| {
            let mut x = Element::variable(value, direction);
            if let Some(slope) = x.slope.get_mut(direction) {
                *slope = value;
            }
            x
        };
        let of_unit = self.parameters.of_unit();
        let fluid = Fluid::at(Element::variable(self.setting.temperature_c, TEMPERATURE));
        // Permeabilities and lift follow the temperature too.
        let warm = |mut x: Element| {
            x.slope[TEMPERATURE] = x.value * of_unit.coefficient.ln();
            x
        };
        let mut permeate_pressure = Element::variable(self.around.permeate_pressure, PERMEATE_PRESSURE);
        permeate_pressure.slope[TEMPERATURE] = lift_by_t;
        let around = Surroundings {
            fluid,
            osmotic: osmotic(self.setting.osmotic, &fluid),
            permeate_pressure,
            segments: self.around.segments,
        };
        let membrane = Membrane {
            water: warm(factor(membrane.water, LN_A)),
            salt: warm(factor(membrane.salt, LN_B)),
            drop: factor(membrane.drop, LN_DROP),
            transfer: factor(membrane.transfer, LN_TRANSFER),
            bypass: Element::variable(membrane.bypass, BYPASS),
            leak: Element::variable(membrane.leak, LEAK),
        };
        let feed = Stream {
            flow: Element::variable(element.in_flow, FLOW),
            salt: Element::variable(element.in_flow * element.feed_tds_mg_l / MG_L, SALT),
            pressure: Element::variable(element.feed_pressure_kpa * KPA, PRESSURE),
        };
        let passage = pass(&rated.channel, &membrane, &around, &feed);
        Some(Jacobian {
            out: [
                passage.out.flow.slope,
                passage.out.salt.slope,
                passage.out.pressure.slope,
            ],
        })
    }

    /// What each input does to an element directly: (column, direction, weight).
    fn direct(&self, i: usize) -> Option<[(usize, usize, f64); 10]> {
        let layout = &self.parameters.layout;
        let rated = self.model.elements.get(i)?;
        let of_unit = self.parameters.of_unit();
        let column = |parameter| layout.input(Input::Parameter(parameter));
        let by_coefficient = (self.setting.temperature_c - rated.temperature_c) / of_unit.coefficient;
        let coefficient = column(Parameter::TemperatureCoefficient)?;
        Some([
            (layout.input(Input::Temperature)?, TEMPERATURE, 1.0),
            (layout.input(Input::PermeatePressure)?, PERMEATE_PRESSURE, 1.0),
            (coefficient, LN_A, by_coefficient),
            (coefficient, LN_B, by_coefficient),
            (column(Parameter::MassTransfer)?, LN_TRANSFER, 1.0),
            (column(Parameter::WaterPermeability(i))?, LN_A, 1.0),
            (column(Parameter::SaltPermeability(i))?, LN_B, 1.0),
            (column(Parameter::ElementDrop(i))?, LN_DROP, 1.0),
            (column(Parameter::ElementBypass(i))?, BYPASS, 1.0),
            (
                column(Parameter::ElementLeak(i))?,
                LEAK,
                rated.permeability.water * rated.channel.area,
            ),
        ])
    }

    /// Tangents of the pressures behind the stages at a fixed flow; the column after the last is the flow's.
    fn stage_tangents(&self, flow: f64, viscosity_by_t: f64, s: &mut Sensitivities) -> Option<()> {
        let layout = &self.parameters.layout;
        let flow_column = s.columns;
        s.pressure.fill(0.0);
        *s.pressure.get_mut(layout.input(Input::InletPressure)?)? = 1.0;
        let temperature = layout.input(Input::Temperature)?;
        let mut pressure = self.inlet;
        let viscosity = self.around.fluid.relative_viscosity;
        for (i, law) in self.model.stages.iter().enumerate() {
            let behind = law.behind(pressure, flow, viscosity, self.parameters.of_stage(i));
            for p in &mut s.pressure {
                *p *= behind.by_pressure;
            }
            *s.pressure.get_mut(flow_column)? += behind.by_flow;
            *s.pressure.get_mut(temperature)? += behind.by_viscosity * viscosity_by_t;
            let own = CONDITIONS + layout.stage(i);
            *s.pressure.get_mut(own)? += behind.by_value[0];
            *s.pressure.get_mut(own + 1)? += behind.by_value[1];
            pressure = behind.pressure;
            let row = s.row(Output::PressureAfter(i))?;
            // The flow's own part is added when the flow's derivatives are known; it waits in the pressure's last column.
            for (to, from) in s
                .table
                .iter_mut()
                .skip(row * s.columns)
                .zip(&s.pressure)
                .take(s.columns)
            {
                *to = *from;
            }
            s.stream.get_mut(i)?[0] = *s.pressure.get(flow_column)?;
        }
        Some(())
    }

    fn differentiate(
        &self,
        found: &OperatingPoint,
        workspace: &mut Workspace,
        s: &mut Sensitivities,
    ) -> Option<()> {
        let layout = &self.parameters.layout;
        let feed = found.feed_flow_l_h / L_H;
        let (viscosity_by_t, lift_by_t) = self.by_temperature();
        // Slopes of stage pressures by flow, at most as many as there are columns.
        self.stage_tangents(feed, viscosity_by_t, s)?;
        let stage_slopes: [f64; MOST_STAGES] = {
            let mut slopes = [0.0; MOST_STAGES];
            for (to, from) in slopes.iter_mut().zip(&s.stream) {
                *to = from[0];
            }
            slopes
        };
        let concentration_column = layout.input(Input::FeedConcentration)?;
        let flow_column = s.columns;
        let pressure_by_flow = *s.pressure.get(flow_column)?;
        // The restrictor: its own tangents at a fixed pressure, and its slope.
        let pc = found.concentrate_pressure_kpa * KPA;
        let (r, dr) = self.restrictor.flow(pc);
        let of_unit = self.parameters.of_unit();
        let viscosity = self.around.fluid.relative_viscosity;
        let own = |column: usize| -> f64 {
            let is = |parameter| layout.input(Input::Parameter(parameter)) == Some(column);
            if r <= 0.0 {
                0.0
            } else if is(Parameter::Restrictor) {
                r
            } else if is(Parameter::RestrictorExponent) {
                r * (pc / self.restrictor.at).ln()
            } else if is(Parameter::RestrictorViscosityExponent) {
                -r * viscosity.ln()
            } else if layout.input(Input::Temperature) == Some(column) {
                -r * of_unit.viscosity_exponent / viscosity * viscosity_by_t
            } else {
                0.0
            }
        };
        let count = self.model.elements.len();
        let width = s.columns + 1;
        if self.model.arrangement == Arrangement::Parallel && count > 1 {
            for i in 0..count {
                let j = self.jacobian(i, workspace, lift_by_t)?;
                let c = self.concentration;
                let at_own = |row: &[f64; ELEMENT_DIRECTIONS]| row[FLOW] + c * row[SALT];
                *workspace.rows.get_mut(i)? = Row {
                    flow: Dual {
                        value: 0.0,
                        slope: [at_own(&j.out[0]), j.out[0][PRESSURE]],
                    },
                    drop: Dual {
                        value: 0.0,
                        slope: [-at_own(&j.out[2]), 1.0 - j.out[2][PRESSURE]],
                    },
                };
                let in_flow = workspace.elements.get(i)?.in_flow;
                for column in 0..s.columns {
                    let p = *s.pressure.get(column)?;
                    let salt = if column == concentration_column {
                        in_flow
                    } else {
                        0.0
                    };
                    *s.branches.get_mut(i * width + column)? =
                        std::array::from_fn(|k| j.out[k][PRESSURE] * p + j.out[k][SALT] * salt);
                }
                // The own flow's column.
                *s.branches.get_mut(i * width + flow_column)? = std::array::from_fn(|k| at_own(&j.out[k]));
                for (column, direction, weight) in self.direct(i)? {
                    let branch = s.branches.get_mut(i * width + column)?;
                    for (to, row) in branch.iter_mut().zip(&j.out) {
                        *to += weight * row.get(direction)?;
                    }
                }
                // Salt out by the feed pressure, for the total flow's part.
                s.stream.get_mut(i)?[1] = j.out[1][PRESSURE];
            }
            let arrow = Arrow::of(&workspace.rows, pressure_by_flow, dr);
            for column in 0..s.columns {
                let branch =
                    |i: usize, k: usize| s.branches.get(i * width + column).map_or(f64::NAN, |b| b[k]);
                let rest = (0..count).map(|i| branch(i, 0)).sum::<f64>() - own(column);
                let step = arrow.solve(&workspace.rows, |i| branch(i, 2), rest);
                let d_pressure = pressure_by_flow * step.total;
                let (mut water, mut salt, mut out) = (0.0, 0.0, 0.0);
                for i in 0..count {
                    let dq = arrow.flow_step(&workspace.rows, i, branch(i, 2), &step);
                    let row = workspace.rows.get(i)?;
                    let by_own = *s.branches.get(i * width + flow_column)?;
                    let d_out = branch(i, 0) + by_own[0] * dq + row.flow.slope[1] * d_pressure;
                    let d_salt = branch(i, 1) + by_own[1] * dq + s.stream.get(i)?[1] * d_pressure;
                    let salt_in = self.concentration * dq
                        + if column == concentration_column {
                            workspace.elements.get(i)?.in_flow
                        } else {
                            0.0
                        };
                    *s.permeates.get_mut(i * width + column)? = [dq - d_out, salt_in - d_salt];
                    water += dq - d_out;
                    salt += salt_in - d_salt;
                    out += d_out;
                }
                s.finish(
                    column,
                    found,
                    self,
                    &Totals {
                        feed: step.total,
                        permeate: water,
                        salt,
                        out,
                        concentrate_pressure: step.pressure,
                        membrane_pressure: *s.pressure.get(column)? + d_pressure,
                        stage_slopes: &stage_slopes,
                    },
                )?;
            }
        } else {
            for (column, t) in s.stream.iter_mut().enumerate() {
                *t = [0.0, 0.0, s.pressure.get(column).copied().unwrap_or(0.0)];
            }
            *s.stream.get_mut(flow_column)? = [1.0, self.concentration, pressure_by_flow];
            s.stream.get_mut(concentration_column)?[1] = feed;
            for i in 0..count {
                let j = self.jacobian(i, workspace, lift_by_t)?;
                let direct = self.direct(i)?;
                for column in 0..width {
                    let before = *s.stream.get(column)?;
                    let mut after: [f64; 3] = std::array::from_fn(|k| {
                        j.out[k][FLOW] * before[0]
                            + j.out[k][SALT] * before[1]
                            + j.out[k][PRESSURE] * before[2]
                    });
                    for (at, direction, weight) in direct {
                        if at == column {
                            for (to, row) in after.iter_mut().zip(&j.out) {
                                *to += weight * row.get(direction)?;
                            }
                        }
                    }
                    *s.permeates.get_mut(i * width + column)? = [before[0] - after[0], before[1] - after[1]];
                    *s.stream.get_mut(column)? = after;
                }
            }
            let by_flow = *s.stream.get(flow_column)?;
            let slope = by_flow[0] - dr * by_flow[2];
            for column in 0..s.columns {
                let t = *s.stream.get(column)?;
                let dq = -(t[0] - dr * t[2] - own(column)) / slope;
                let (mut water, mut salt) = (0.0, 0.0);
                for i in 0..count {
                    let by_flow = *s.permeates.get(i * width + flow_column)?;
                    let own = s.permeates.get_mut(i * width + column)?;
                    own[0] += by_flow[0] * dq;
                    own[1] += by_flow[1] * dq;
                    water += own[0];
                    salt += own[1];
                }
                s.finish(
                    column,
                    found,
                    self,
                    &Totals {
                        feed: dq,
                        permeate: water,
                        salt,
                        out: t[0] + by_flow[0] * dq,
                        concentrate_pressure: t[2] + by_flow[2] * dq,
                        membrane_pressure: *s.pressure.get(column)? + pressure_by_flow * dq,
                        stage_slopes: &stage_slopes,
                    },
                )?;
            }
        }
        s.scale_elements(workspace)
    }
}

/// The most stages that a unit may have.
pub(crate) const MOST_STAGES: usize = 16;

/// Derivatives of the whole unit by one input, SI units.
struct Totals<'a> {
    feed: f64,
    permeate: f64,
    salt: f64,
    out: f64,
    concentrate_pressure: f64,
    membrane_pressure: f64,
    stage_slopes: &'a [f64; MOST_STAGES],
}

/// What one unit of an input is in SI: its column's factor.
fn unit_of(column: usize) -> f64 {
    match column {
        // Pressures in kPa, the concentration in mg/L.
        0 | 3 => KPA,
        2 => 1.0 / MG_L,
        _ => 1.0,
    }
}

impl Sensitivities {
    fn put(&mut self, output: Output, column: usize, value: f64) -> Option<()> {
        let row = self.row(output)?;
        *self.table.get_mut(row * self.columns + column)? = value;
        Some(())
    }

    fn finish(
        &mut self,
        column: usize,
        found: &OperatingPoint,
        frame: &Frame<'_>,
        t: &Totals<'_>,
    ) -> Option<()> {
        let unit = unit_of(column);
        let permeate = found.permeate_flow_l_h / L_H;
        let concentration = found.permeate_tds_mg_l / MG_L;
        let d_concentration = (t.salt - concentration * t.permeate) / permeate;
        let feed = frame.concentration;
        let d_feed = if frame.parameters.layout.input(Input::FeedConcentration) == Some(column) {
            1.0
        } else {
            0.0
        };
        let d_passage = (d_concentration - concentration / feed * d_feed) / feed;
        self.put(Output::FeedFlow, column, t.feed * unit * L_H)?;
        self.put(Output::PermeateFlow, column, t.permeate * unit * L_H)?;
        self.put(Output::ConcentrateFlow, column, t.out * unit * L_H)?;
        self.put(Output::MembranePressure, column, t.membrane_pressure * unit / KPA)?;
        self.put(
            Output::ConcentratePressure,
            column,
            t.concentrate_pressure * unit / KPA,
        )?;
        self.put(
            Output::PermeateConcentration,
            column,
            d_concentration * unit * MG_L,
        )?;
        self.put(Output::SaltPassage, column, d_passage * unit)?;
        for i in 0..self.stages {
            let row = self.row(Output::PressureAfter(i))?;
            let slope = t.stage_slopes.get(i).copied().unwrap_or(f64::NAN);
            let cell = self.table.get_mut(row * self.columns + column)?;
            *cell = (*cell + slope * t.feed) * unit / KPA;
        }
        Some(())
    }

    fn scale_elements(&mut self, workspace: &Workspace) -> Option<()> {
        for (i, element) in workspace.elements.iter().enumerate() {
            for column in 0..self.columns {
                let [water, salt] = *self.permeates.get(i * (self.columns + 1) + column)?;
                let unit = unit_of(column);
                let concentration = element.permeate_tds_mg_l / MG_L;
                let d = if element.permeate_flow > 0.0 {
                    (salt - concentration * water) / element.permeate_flow
                } else {
                    0.0
                };
                self.put(Output::ElementPermeateFlow(i), column, water * unit * L_H)?;
                self.put(Output::ElementPermeateConcentration(i), column, d * unit * MG_L)?;
            }
        }
        Some(())
    }
}
