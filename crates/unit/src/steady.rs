//! The steady state: the feed flow at which the concentrate pressure drives exactly the concentrate through the restrictor.
//!
//! Series: one unknown, the feed flow Q. What comes out of the last element less what the restrictor takes at its pressure
//! rises with Q from below 0, so there is exactly one root and it is bracketed. Parallel: see `parallel`.

use crate::element::{Membrane, Passage, Surroundings, pass};
use crate::error::PredictError;
use crate::film::{Osmotic, Stream};
use crate::fluid::Fluid;
use crate::model::{Frame, Model, Setting};
use crate::number::{Dual, Number};
use crate::parameters::Parameters;
use crate::plan::{Arrangement, Shutoff};
use crate::point::{ElementPoint, OperatingPoint, point};
use crate::root::{Secant, rising_root};
use crate::workspace::Workspace;

/// Relative step of the feed flow at which a state counts as steady.
pub(crate) const TOLERANCE: f64 = 1e-10;

/// Segments of the first search, which only finds where to look and how steeply the balance rises there.
pub(crate) const COARSE: usize = 1;

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
                .or_else(|| frame.at_the_edge(transport, workspace)),
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
        match ids.find(|(_, e)| recovery(e) > DRY) {
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

/// Recovery of an element of a parallel row beyond which it counts as dry where no steady state is found by Newton's method.
const DRY: f64 = 0.99;

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

    /// A row that Newton's method does not solve: by bracketing, which always ends but takes its time. Where an element
    /// keeps no concentrate for one salt already, the ions are not asked.
    fn at_the_edge<T: Transport>(&self, transport: &T, workspace: &mut Workspace) -> Option<f64> {
        if T::ONE_SALT {
            return self.parallel_nested(transport, workspace);
        }
        self.parallel_nested(&OneSalt, workspace)?;
        if workspace
            .elements
            .iter()
            .any(|e| e.permeate_flow > DRY * e.in_flow)
        {
            return None;
        }
        self.parallel_nested(transport, workspace)
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
    pub(crate) fn guess(&self, workspace: &Workspace) -> f64 {
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

    pub(crate) fn series<T: Transport>(&self, transport: &T, workspace: &mut Workspace) -> Option<f64> {
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
        let mut secant = Secant::default();
        rising_root(
            |q| {
                let (flow, pressure) = transport.series(self, q, workspace);
                let value = flow - self.restrictor.flow(pressure).0;
                slope = secant.slope(q, value, slope);
                (value, slope)
            },
            near,
            TOLERANCE,
        )
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
