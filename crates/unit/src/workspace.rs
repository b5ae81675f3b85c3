//! Scratch memory, so that a solution after the first allocates nothing.

use crate::element::Membrane;
use crate::ionic_point::IonicElement;
use crate::model::Model;
use crate::number::{Dual, Number};
use crate::point::ElementPoint;
use crate::sensitivity::Sensitivities;
use crate::steady::Row;

/// Scratch memory of [`Model::solve`] and [`Model::sensitivities`], and where they leave the details.
///
/// One per thread; any unit may use it.
#[derive(Clone, Debug, Default)]
pub struct Workspace {
    pub(crate) membranes: Vec<Membrane<f64>>,
    pub(crate) elements: Vec<ElementPoint>,
    pub(crate) flows: Vec<f64>,
    pub(crate) rows: Vec<Row>,
    /// Pa.
    pub(crate) membrane_pressure: f64,
    /// Pa; of a parallel row.
    pub(crate) concentrate_pressure: f64,
    /// kPa.
    pub(crate) stage_pressures: Vec<f64>,
    pub(crate) sensitivities: Sensitivities,
    /// What ions do in each element, where they were asked for.
    pub(crate) ionic: Vec<IonicElement>,
}

impl Workspace {
    /// An empty one.
    pub fn new() -> Self {
        Self::default()
    }

    /// The elements at the point solved last, in flow order.
    pub fn elements(&self) -> &[ElementPoint] {
        &self.elements
    }

    /// Pressure after each stage at the point solved last, kPa.
    pub fn stage_pressures_kpa(&self) -> &[f64] {
        &self.stage_pressures
    }

    /// Derivatives at the point that [`Model::sensitivities`] solved last.
    pub fn sensitivities(&self) -> &Sensitivities {
        &self.sensitivities
    }

    pub(crate) fn prepare(&mut self, model: &Model) {
        let count = model.elements.len();
        self.elements.resize(count, ElementPoint::NONE);
        self.rows.resize(
            count,
            Row {
                flow: Dual::constant(0.0),
                drop: Dual::constant(0.0),
            },
        );
        self.ionic.resize(count, IonicElement::NONE);
        self.stage_pressures.resize(model.stages.len(), 0.0);
    }
}
