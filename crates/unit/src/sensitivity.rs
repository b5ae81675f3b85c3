//! Exact derivatives of an operating point by every condition and parameter.
//!
//! Each element is marched once in dual numbers, which gives the derivatives of its concentrate by its feed, its pressures
//! and its own properties; the chain rule joins elements and stages, and the implicit function theorem does the rest: at
//! the steady state F(Q, theta) = 0, so `dQ/dtheta = -F_theta/F_Q`.

use crate::model::Model;
use crate::parameters::{CONDITIONS, Input, Layout};

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
    pub(crate) columns: usize,
    pub(crate) stages: usize,
    pub(crate) elements: usize,
    pub(crate) layout: Option<Layout>,
    pub(crate) table: Vec<f64>,
    // Tangents of the membrane pressure, of a stream (flow, salt, pressure) and of the elements' concentrates.
    pub(crate) pressure: Vec<f64>,
    pub(crate) stream: Vec<[f64; 3]>,
    pub(crate) branches: Vec<[f64; 3]>,
    pub(crate) permeates: Vec<[f64; 2]>,
}

impl Sensitivities {
    pub(crate) fn row(&self, output: Output) -> Option<usize> {
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

    /// d output by every input: first the four conditions in [`Input`]'s order, then [`Parameters::values`](crate::Parameters::values).
    pub fn of(&self, output: Output) -> Option<&[f64]> {
        let row = self.row(output)?;
        self.table.get(row * self.columns..(row + 1) * self.columns)
    }

    /// Where an input stands in the rows of [`Sensitivities::of`]; none where the unit has no such part or nothing was
    /// solved yet.
    pub fn column(&self, input: Input) -> Option<usize> {
        self.layout.as_ref()?.input(input)
    }

    /// d output by every parameter, in the order of [`Parameters::values`](crate::Parameters::values).
    pub fn by_parameters(&self, output: Output) -> Option<&[f64]> {
        self.of(output)?.get(CONDITIONS..)
    }

    pub(crate) fn prepare(&mut self, model: &Model) {
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
