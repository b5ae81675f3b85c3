//! The steady state: the feed flow at which the concentrate pressure drives exactly the concentrate through the restrictor.
//!
//! Series: one unknown, the feed flow Q. What comes out of the last element less what the restrictor takes at its pressure
//! rises with Q from below 0, so there is exactly one root and it is bracketed. Parallel: the feed flow of each element and
//! the common concentrate pressure, by Newton's method on a matrix shaped like an arrow; where that does not arrive, by
//! three such bracketed roots, one inside the other.

use crate::element::{Membrane, Passage, Surroundings, pass};
use crate::error::PredictError;
use crate::film::{Osmotic, Stream};
use crate::fluid::Fluid;
use crate::model::{Frame, Model, Setting};
use crate::number::{Dual, Number};
use crate::parameters::Parameters;
use crate::plan::{Arrangement, Shutoff};
use crate::point::{ElementPoint, OperatingPoint, point};
use crate::root::rising_root;
use crate::workspace::Workspace;

/// Relative step of the feed flow at which a state counts as steady.
const TOLERANCE: f64 = 1e-10;

/// Segments of the first search, which only finds where to look and how steeply the balance rises there.
const COARSE: usize = 1;

impl Model {
    /// The operating point of the unit with these parameters in these conditions.
    ///
    /// Answers are within 1e-9 of the discrete equations' own solution and do not depend on what the workspace held before.
    /// No allocation once the workspace has seen a unit of this size.
    pub fn solve(
        &self,
        parameters: &Parameters,
        setting: &Setting,
        workspace: &mut Workspace,
    ) -> Result<OperatingPoint, PredictError> {
        self.solve_with(&OneSalt, parameters, setting, workspace)
    }

    pub(crate) fn solve_with(
        &self,
        transport: &impl Transport,
        parameters: &Parameters,
        setting: &Setting,
        workspace: &mut Workspace,
    ) -> Result<OperatingPoint, PredictError> {
        let frame = self.frame(parameters, setting)?;
        workspace.prepare(self);
        workspace.membranes.clear();
        workspace
            .membranes
            .extend((0..self.elements.len()).map(|i| frame.membrane(i)));
        frame.check_head()?;
        let solved = match self.arrangement {
            Arrangement::Parallel if self.elements.len() > 1 => frame
                .parallel(transport, workspace)
                .or_else(|| frame.parallel_nested(transport, workspace)),
            _ => frame.series(transport, workspace),
        };
        let Some(feed) = solved else {
            return Err(self.why_unsolved(workspace));
        };
        frame.after_stages(feed, workspace);
        let found = point(&frame, workspace)?;
        frame.check_point(&found)?;
        Ok(found)
    }

    /// The one condition that is known to have no solution is a parallel row in which an element keeps no concentrate:
    /// water would have to flow into it from both ends.
    fn why_unsolved(&self, workspace: &Workspace) -> PredictError {
        let recovery = |e: &ElementPoint| e.permeate_flow / e.in_flow;
        let mut ids = self.element_ids.iter().zip(&workspace.elements);
        match ids.find(|(_, e)| recovery(e) > 0.999) {
            Some((id, e)) => PredictError::RunsDry {
                element: id.clone(),
                recovery: recovery(e),
            },
            None => PredictError::Unsolved {
                what: "flow through membranes and restrictor",
            },
        }
    }
}

/// How salt passes the elements: as one salt, or as ions. The searches are the same, and both leave each element's state in
/// the workspace.
pub(crate) trait Transport {
    /// Whether one salt's own slopes are this transport's too.
    const ONE_SALT: bool;

    /// Concentrate flow and pressure of the last element of a series.
    fn series(&self, frame: &Frame<'_>, flow: f64, workspace: &mut Workspace) -> (f64, f64);

    /// Concentrate flow and drop of one element of a parallel row at its feed flow and the common feed pressure.
    fn branch(
        &self,
        frame: &Frame<'_>,
        i: usize,
        flow: f64,
        pressure: f64,
        workspace: &mut Workspace,
    ) -> Option<(f64, f64)>;

    /// Gives element `i` the state of its twin `j`.
    fn copy(&self, i: usize, j: usize, workspace: &mut Workspace) {
        if let Some(element) = workspace.elements.get(j).copied()
            && let Some(place) = workspace.elements.get_mut(i)
        {
            *place = element;
        }
    }
}

/// All salt as one.
pub(crate) struct OneSalt;

impl Transport for OneSalt {
    const ONE_SALT: bool = true;

    fn series(&self, frame: &Frame<'_>, flow: f64, workspace: &mut Workspace) -> (f64, f64) {
        let last = frame.through(flow, frame.around.segments, workspace);
        (last.out.flow, last.out.pressure)
    }

    fn branch(
        &self,
        frame: &Frame<'_>,
        i: usize,
        flow: f64,
        pressure: f64,
        workspace: &mut Workspace,
    ) -> Option<(f64, f64)> {
        let passage = frame.branch(i, flow, pressure, frame.around.segments, workspace)?;
        Some((passage.out.flow, passage.drop))
    }
}

/// A sheet's surroundings in numbers with derivatives, all of them zero.
pub(crate) fn lift_surroundings<N: Number>(around: &Surroundings<f64>, segments: usize) -> Surroundings<N> {
    Surroundings {
        fluid: Fluid {
            viscosity: N::constant(around.fluid.viscosity),
            density: N::constant(around.fluid.density),
            diffusion: N::constant(around.fluid.diffusion),
            kelvin: N::constant(around.fluid.kelvin),
            relative_viscosity: N::constant(around.fluid.relative_viscosity),
        },
        osmotic: Osmotic {
            per_concentration: N::constant(around.osmotic.per_concentration),
            crowding: around.osmotic.crowding,
        },
        permeate_pressure: N::constant(around.permeate_pressure),
        segments,
    }
}

/// A membrane in numbers with derivatives, all of them zero.
pub(crate) fn lift_membrane<N: Number>(membrane: &Membrane<f64>) -> Membrane<N> {
    Membrane {
        water: N::constant(membrane.water),
        salt: N::constant(membrane.salt),
        drop: N::constant(membrane.drop),
        transfer: N::constant(membrane.transfer),
        bypass: N::constant(membrane.bypass),
        leak: N::constant(membrane.leak),
    }
}

impl Frame<'_> {
    /// Whether anything can flow at all, and permeate with it.
    fn check_head(&self) -> Result<(), PredictError> {
        let (still, _) = self.membrane_pressure(0.0);
        if still <= 0.0 {
            return Err(PredictError::NoFlow {
                inlet_pressure_kpa: self.setting.inlet_pressure_kpa,
                membrane_pressure_kpa: still / 1e3,
                pump: self.has_pump(),
            });
        }
        self.check_driving(still)
    }

    fn check_driving(&self, membrane_pressure: f64) -> Result<(), PredictError> {
        let osmotic = self.around.osmotic.pressure(self.concentration);
        let needed = osmotic + self.around.permeate_pressure;
        if membrane_pressure <= needed {
            return Err(PredictError::NoPermeate {
                membrane_pressure_kpa: membrane_pressure / 1e3,
                permeate_pressure_kpa: self.around.permeate_pressure / 1e3,
                osmotic_kpa: osmotic / 1e3,
                needed_kpa: needed / 1e3,
                pump: self.has_pump(),
            });
        }
        Ok(())
    }

    fn check_point(&self, point: &OperatingPoint) -> Result<(), PredictError> {
        self.check_driving(point.membrane_pressure_kpa * 1e3)?;
        let permeate = self.around.permeate_pressure / 1e3;
        if self.model.shutoff == Shutoff::Pressure && permeate >= SHUTOFF_SHARE * point.membrane_pressure_kpa
        {
            return Err(PredictError::ShutOff {
                permeate_pressure_kpa: permeate,
                feed_pressure_kpa: point.membrane_pressure_kpa,
            });
        }
        Ok(())
    }

    fn has_pump(&self) -> bool {
        use crate::hydraulics::StageLaw;
        self.model
            .stages
            .iter()
            .any(|law| matches!(law, StageLaw::Pump { .. }))
    }

    /// Feed flow to start from: every element at its whole area's flux under nine tenths of the net pressure, no march.
    fn guess(&self, workspace: &Workspace) -> f64 {
        let conductance: f64 = self
            .model
            .elements
            .iter()
            .zip(&workspace.membranes)
            .map(|(rated, membrane)| rated.channel.area * membrane.water + membrane.leak)
            .sum();
        let against = self.around.permeate_pressure + self.around.osmotic.pressure(self.concentration);
        let start = self.restrictor.flow(self.inlet.max(1e3)).0 + 0.8 * conductance * self.inlet.max(1e3);
        rising_root(
            |q| {
                let (p, dp) = self.membrane_pressure(q);
                let (r, dr) = self.restrictor.flow(p);
                let head = (p - against).max(0.0);
                let slope = if head > 0.0 { 0.9 * conductance * dp } else { 0.0 };
                (q - r - 0.9 * conductance * head, 1.0 - dr * dp - slope)
            },
            start,
            1e-3,
        )
        .unwrap_or(start)
    }

    /// Marches all elements in series from the feed flow `q`; leaves each element's state behind.
    fn through<N: Number>(&self, q: N, segments: usize, workspace: &mut Workspace) -> Passage<N> {
        let (p, slope) = self.membrane_pressure(q.value());
        let around = lift_surroundings::<N>(&self.around, segments);
        let mut stream = Stream {
            flow: q,
            salt: q * self.concentration,
            pressure: q.chain(p, slope),
        };
        workspace.membrane_pressure = p;
        let mut last = Passage {
            out: stream,
            permeate: N::constant(0.0),
            permeate_salt: N::constant(0.0),
            drop: N::constant(0.0),
            polarisation: 1.0,
            wall: self.concentration,
        };
        for ((rated, membrane), element) in self
            .model
            .elements
            .iter()
            .zip(&workspace.membranes)
            .zip(&mut workspace.elements)
        {
            last = pass(&rated.channel, &lift_membrane(membrane), &around, &stream);
            *element = ElementPoint::of(&stream, &last, rated.channel.area);
            stream = last.out;
        }
        last
    }

    fn series<T: Transport>(&self, transport: &T, workspace: &mut Workspace) -> Option<f64> {
        let guess = self.guess(workspace);
        let fine = self.around.segments;
        let first = if fine > 2 * COARSE || !T::ONE_SALT {
            COARSE
        } else {
            fine
        };
        let mut slope = f64::NAN;
        let near = rising_root(
            |q| {
                let last = self.through(Dual::<1>::variable(q, 0), first, workspace);
                let (r, dr) = self.restrictor.flow(last.out.pressure.value);
                slope = last.out.flow.slope[0] - dr * last.out.pressure.slope[0];
                (last.out.flow.value - r, slope)
            },
            guess,
            if first == fine && T::ONE_SALT {
                TOLERANCE
            } else {
                1e-4
            },
        )?;
        if first == fine && T::ONE_SALT {
            return Some(near);
        }
        // The coarse slope is good enough for the first step, the secant for the others.
        let mut before: Option<(f64, f64)> = None;
        rising_root(
            |q| {
                let (flow, pressure) = transport.series(self, q, workspace);
                let value = flow - self.restrictor.flow(pressure).0;
                if let Some((q0, value0)) = before {
                    let secant = (value - value0) / (q - q0);
                    if secant.is_finite() && secant > 0.0 {
                        slope = secant;
                    }
                }
                before = Some((q, value));
                (value, slope)
            },
            near,
            TOLERANCE,
        )
    }

    /// One element of a parallel row at the feed flow `q` and the pressure `p`.
    fn branch<N: Number>(
        &self,
        i: usize,
        q: N,
        p: N,
        segments: usize,
        workspace: &mut Workspace,
    ) -> Option<Passage<N>> {
        let rated = self.model.elements.get(i)?;
        let membrane = workspace.membranes.get(i)?;
        let stream = Stream {
            flow: q,
            salt: q * self.concentration,
            pressure: p,
        };
        let around = lift_surroundings(&self.around, segments);
        let passage = pass(&rated.channel, &lift_membrane(membrane), &around, &stream);
        *workspace.elements.get_mut(i)? = ElementPoint::of(&stream, &passage, rated.channel.area);
        Some(passage)
    }

    /// All elements of a parallel row at their flows; with slopes, or with those that are there already.
    fn row<T: Transport>(
        &self,
        transport: &T,
        p: f64,
        slopes: Option<usize>,
        workspace: &mut Workspace,
    ) -> Option<()> {
        for i in 0..self.model.elements.len() {
            let q = *workspace.flows.get(i)?;
            // Equal elements at equal flows are marched once.
            let twin = (0..i).find(|&j| {
                workspace.flows.get(j) == Some(&q)
                    && self.model.elements.get(j) == self.model.elements.get(i)
                    && workspace.membranes.get(j) == workspace.membranes.get(i)
            });
            if let Some(j) = twin {
                transport.copy(i, j, workspace);
                let row = *workspace.rows.get(j)?;
                *workspace.rows.get_mut(i)? = row;
            } else if let Some(segments) = slopes {
                let passage = self.branch(
                    i,
                    Dual::<2>::variable(q, 0),
                    Dual::variable(p, 1),
                    segments,
                    workspace,
                )?;
                *workspace.rows.get_mut(i)? = Row {
                    flow: passage.out.flow,
                    drop: passage.drop,
                };
            } else {
                let (flow, drop) = transport.branch(self, i, q, p, workspace)?;
                let row = workspace.rows.get_mut(i)?;
                row.flow.value = flow;
                row.drop.value = drop;
            }
        }
        Some(())
    }

    fn parallel<T: Transport>(&self, transport: &T, workspace: &mut Workspace) -> Option<f64> {
        let count = self.model.elements.len();
        let share = self.guess(workspace) / count as f64;
        workspace.flows.clear();
        workspace.flows.resize(count, share);
        let fine = self.around.segments;
        let mut common = None;
        if fine > 2 * COARSE || !T::ONE_SALT {
            self.parallel_newton(transport, &mut common, Some(COARSE), 1e-4, workspace)?;
            let found = self.parallel_newton(transport, &mut common, None, TOLERANCE, workspace);
            if found.is_some() || !T::ONE_SALT {
                return found;
            }
        }
        self.parallel_newton(transport, &mut common, Some(fine), TOLERANCE, workspace)
    }

    /// Newton's method on the flows of a row. With `slopes` one salt is marched in so many segments and the slopes are its
    /// own; without, the slopes found last serve every step.
    fn parallel_newton<T: Transport>(
        &self,
        transport: &T,
        common: &mut Option<f64>,
        slopes: Option<usize>,
        tolerance: f64,
        workspace: &mut Workspace,
    ) -> Option<f64> {
        let count = self.model.elements.len();
        for _ in 0..if slopes.is_some() { 40 } else { 15 } {
            let total: f64 = workspace.flows.iter().sum();
            let (p, slope) = self.membrane_pressure(total);
            workspace.membrane_pressure = p;
            self.row(transport, p, slopes, workspace)?;
            let drop = *common.get_or_insert_with(|| {
                workspace.rows.iter().map(|row| row.drop.value).sum::<f64>() / count as f64
            });
            let pc = p - drop;
            let (r, dr) = self.restrictor.flow(pc);
            let out: f64 = workspace.rows.iter().map(|row| row.flow.value).sum();
            let arrow = Arrow::of(&workspace.rows, slope, dr);
            let gap = |i: usize| {
                workspace
                    .rows
                    .get(i)
                    .map_or(f64::NAN, |row| drop - row.drop.value)
            };
            let step = arrow.solve(&workspace.rows, gap, out - r);
            let mut size = (step.pressure / pc.abs().max(1.0)).abs();
            let mut damping: f64 = 1.0;
            for (i, q) in workspace.flows.iter().enumerate() {
                let dq = arrow.flow_step(&workspace.rows, i, gap(i), &step);
                size = size.max((dq / q).abs());
                // A flow may at most fall to a third or treble in one step.
                damping = damping
                    .min(0.67 * q / (-dq).max(1e-300))
                    .min(2.0 * q / dq.max(1e-300));
            }
            if !size.is_finite() {
                return None;
            }
            if size <= tolerance {
                workspace.concentrate_pressure = pc;
                return Some(total);
            }
            for (i, q) in workspace.flows.iter_mut().enumerate() {
                *q += damping * arrow.flow_step(&workspace.rows, i, gap(i), &step);
            }
            *common = Some(drop + damping * (slope * step.total - step.pressure));
        }
        None
    }

    /// The same by three bracketed roots: total flow, drop over the elements, flow of one element.
    fn parallel_nested<T: Transport>(&self, transport: &T, workspace: &mut Workspace) -> Option<f64> {
        let count = self.model.elements.len();
        let guess = self.guess(workspace);
        workspace.flows.clear();
        workspace.flows.resize(count, guess / count as f64);
        let mut drop_guess = 1e3;
        let mut lost = false;
        let feed = rising_root(
            |total| {
                let (p, _) = self.membrane_pressure(total);
                workspace.membrane_pressure = p;
                let drop = rising_root(
                    |drop| {
                        let (mut sum, mut slope) = (0.0, 0.0);
                        for i in 0..count {
                            let start = workspace.flows.get(i).copied().unwrap_or(1e-6);
                            let mut by_flow = f64::NAN;
                            let q = rising_root(
                                |q| {
                                    // One salt's slope is near enough for ions too.
                                    let dual = self.branch(
                                        i,
                                        Dual::<1>::variable(q, 0),
                                        Dual::constant(p),
                                        self.around.segments,
                                        workspace,
                                    );
                                    let Some(dual) = dual else {
                                        return (f64::NAN, f64::NAN);
                                    };
                                    by_flow = dual.drop.slope[0];
                                    let lost = if T::ONE_SALT {
                                        Some(dual.drop.value)
                                    } else {
                                        transport.branch(self, i, q, p, workspace).map(|found| found.1)
                                    };
                                    (lost.unwrap_or(f64::NAN) - drop, by_flow)
                                },
                                start,
                                1e-12,
                            );
                            let Some(q) = q else {
                                lost = true;
                                continue;
                            };
                            if let Some(flow) = workspace.flows.get_mut(i) {
                                *flow = q;
                            }
                            sum += q;
                            slope += 1.0 / by_flow;
                        }
                        (sum - total, slope)
                    },
                    drop_guess,
                    1e-11,
                );
                let Some(drop) = drop else {
                    lost = true;
                    return (f64::NAN, f64::NAN);
                };
                drop_guess = drop;
                workspace.concentrate_pressure = p - drop;
                let out: f64 = workspace.elements.iter().map(|e| e.out_flow).sum();
                (out - self.restrictor.flow(p - drop).0, f64::NAN)
            },
            guess,
            TOLERANCE,
        );
        if lost { None } else { feed }
    }

    fn after_stages(&self, flow: f64, workspace: &mut Workspace) {
        let viscosity = self.around.fluid.relative_viscosity;
        let mut pressure = self.inlet;
        for (i, (law, after)) in self
            .model
            .stages
            .iter()
            .zip(&mut workspace.stage_pressures)
            .enumerate()
        {
            pressure = law
                .behind(pressure, flow, viscosity, self.parameters.of_stage(i))
                .pressure;
            *after = pressure / 1e3;
        }
    }
}

/// A pressure shut-off closes at this share of the feed pressure (practice; `model.md` 3).
pub(crate) const SHUTOFF_SHARE: f64 = 2.0 / 3.0;

/// Concentrate flow and drop of one element of a parallel row; directions: its own feed flow, the common feed pressure.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Row {
    pub(crate) flow: Dual<2>,
    pub(crate) drop: Dual<2>,
}

impl Row {
    /// Slopes of the concentrate pressure: a and b of [`Arrow`].
    fn pressure(&self) -> [f64; 2] {
        [-self.drop.slope[0], 1.0 - self.drop.slope[1]]
    }
}

/// The linear equations of a parallel row,
///
/// ```text
/// a_i dQ_i + b_i s sum(dQ) - dP_c            = -R_i      the concentrate pressure of element i
/// sum(c_i dQ_i) + sum(d_i) s sum(dQ) - r dP_c = -R_0      what the restrictor takes
/// ```
///
/// with a, b the slopes of an element's concentrate pressure by its flow and by the feed pressure, c, d those of its
/// concentrate flow, s the slope of the feed pressure by the total flow, r the restrictor's.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Arrow {
    s: f64,
    r: f64,
    by_a: f64,
    b_by_a: f64,
    c_by_a: f64,
    cb_by_a: f64,
    d: f64,
}

/// Step of total flow and of the common concentrate pressure.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ArrowStep {
    pub(crate) total: f64,
    pub(crate) pressure: f64,
}

impl Arrow {
    pub(crate) fn of(rows: &[Row], s: f64, r: f64) -> Self {
        let mut arrow = Self {
            s,
            r,
            by_a: 0.0,
            b_by_a: 0.0,
            c_by_a: 0.0,
            cb_by_a: 0.0,
            d: 0.0,
        };
        for row in rows {
            let [a, b] = row.pressure();
            let [c, d] = row.flow.slope;
            arrow.by_a += 1.0 / a;
            arrow.b_by_a += b / a;
            arrow.c_by_a += c / a;
            arrow.cb_by_a += c * b / a;
            arrow.d += d;
        }
        arrow
    }

    pub(crate) fn solve(&self, rows: &[Row], gap: impl Fn(usize) -> f64, rest: f64) -> ArrowStep {
        let (mut gap_by_a, mut c_gap_by_a) = (0.0, 0.0);
        for (i, row) in rows.iter().enumerate() {
            let g = gap(i) / row.pressure()[0];
            gap_by_a += g;
            c_gap_by_a += row.flow.slope[0] * g;
        }
        // sum(dQ) = alpha dP_c - beta.
        let whole = 1.0 + self.s * self.b_by_a;
        let (alpha, beta) = (self.by_a / whole, gap_by_a / whole);
        let through = self.s * (self.d - self.cb_by_a);
        let pressure = (-rest + c_gap_by_a + beta * through) / (self.c_by_a + alpha * through - self.r);
        ArrowStep {
            total: alpha * pressure - beta,
            pressure,
        }
    }

    pub(crate) fn flow_step(&self, rows: &[Row], i: usize, gap: f64, step: &ArrowStep) -> f64 {
        rows.get(i).map_or(f64::NAN, |row| {
            let [a, b] = row.pressure();
            (step.pressure - gap - b * self.s * step.total) / a
        })
    }
}
