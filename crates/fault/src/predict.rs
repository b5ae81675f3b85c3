//! What would be read at a unit in some state, and how it moves with the state.

use nalgebra::{DMatrix, DVector};
use unit::{Input, Model, OsmoticLaw, Output, Parameter, Parameters, Setting, Workspace};
use wear::salt::Salt;

use crate::gaussian::Linear;
use crate::observable::Observable;
use crate::state::{Layout, Place, Unknown};

/// A parameter set aside from the state: leaks and bypasses are none in a sound unit.
pub(crate) type Fixed = (Parameter, f64);

/// Predicts readings of one unit.
pub(crate) struct Predictor<'a> {
    pub(crate) model: &'a Model,
    pub(crate) layout: &'a Layout,
    pub(crate) salt: &'a Salt,
    workspace: Workspace,
    parameters: Parameters,
    /// The derivatives' column of each component of the state, known from the first operating point on.
    columns: Vec<Option<usize>>,
    /// Operating points computed so far.
    pub(crate) solved: usize,
}

/// What of the model a component of the state is; none for the instruments.
fn input(unknown: Unknown) -> Option<Input> {
    Some(match unknown {
        Unknown::Of(parameter) => Input::Parameter(parameter),
        Unknown::InletPressure => Input::InletPressure,
        Unknown::Temperature => Input::Temperature,
        Unknown::PermeatePressure => Input::PermeatePressure,
        Unknown::Feed => Input::FeedConcentration,
        _ => return None,
    })
}

impl<'a> Predictor<'a> {
    pub(crate) fn new(model: &'a Model, layout: &'a Layout, salt: &'a Salt) -> Self {
        Self {
            model,
            layout,
            salt,
            workspace: Workspace::new(),
            parameters: model.parameters(),
            columns: Vec::new(),
            solved: 0,
        }
    }

    fn osmotic(&self) -> OsmoticLaw {
        if self.salt.osmotic_curve > 0.0 {
            OsmoticLaw::SodiumChloride
        } else {
            // pi = slope C (T + 273.15)/1000, and the law is stated per mg/L at 25 C.
            OsmoticLaw::Proportional((self.salt.osmotic_slope * 298.15 / 1000.0).clamp(0.0, 1.0))
        }
    }

    fn setting(&self, state: &DVector<f64>) -> Option<Setting> {
        let value = |unknown| self.layout.index(unknown).and_then(|i| state.get(i)).copied();
        Some(Setting {
            temperature_c: value(Unknown::Temperature)?.clamp(0.1, 59.9),
            inlet_pressure_kpa: value(Unknown::InletPressure)?.clamp(0.0, 9e4),
            permeate_pressure_kpa: value(Unknown::PermeatePressure)?.clamp(-50.0, 9e4),
            feed_mg_l: value(Unknown::Feed)?.exp().clamp(0.1, 4.9e4),
            osmotic: self.osmotic(),
        })
    }

    /// The model's parameters in a state.
    fn place(&mut self, state: &DVector<f64>, fixed: &[Fixed]) {
        self.parameters = self.model.parameters();
        for (unknown, value) in self.layout.unknowns.iter().zip(state.iter()) {
            if let Unknown::Of(parameter) = *unknown {
                let bounded = match parameter {
                    Parameter::TemperatureCoefficient => value.clamp(0.95, 1.15),
                    _ => value.clamp(-12.0, 12.0),
                };
                let _has = self.parameters.set(parameter, bounded);
            }
        }
        for (parameter, value) in fixed {
            let _has = self.parameters.set(*parameter, *value);
        }
    }

    /// Permeate flow in a state, L/h; none where none flows.
    pub(crate) fn permeate_flow(&mut self, state: &DVector<f64>) -> Option<f64> {
        let setting = self.setting(state)?;
        self.place(state, &[]);
        self.solved += 1;
        self.model
            .solve(&self.parameters, &setting, &mut self.workspace)
            .ok()
            .map(|point| point.permeate_flow_l_h)
    }

    /// Feed flow and pressure at the membranes in a state, L/h and kPa.
    pub(crate) fn feed_flow_and_pressure(&mut self, state: &DVector<f64>) -> Option<(f64, f64)> {
        let setting = self.setting(state)?;
        self.place(state, &[]);
        self.solved += 1;
        self.model
            .solve(&self.parameters, &setting, &mut self.workspace)
            .ok()
            .map(|point| (point.feed_flow_l_h, point.membrane_pressure_kpa))
    }

    /// These observables as a straight function of the state about `at`; none where no water would flow.
    pub(crate) fn linear(
        &mut self,
        at: &DVector<f64>,
        fixed: &[Fixed],
        observables: &[Observable],
    ) -> Option<Linear> {
        let setting = self.setting(at)?;
        self.place(at, fixed);
        self.solved += 1;
        let point = self
            .model
            .sensitivities(&self.parameters, &setting, &mut self.workspace)
            .ok()?;
        let sensitivities = self.workspace.sensitivities();
        let (rows, columns) = (observables.len(), self.layout.len());
        let mut value = DVector::zeros(rows);
        let mut slope = DMatrix::zeros(rows, columns);
        if self.columns.is_empty() {
            let column = |unknown: &Unknown| sensitivities.column(input(*unknown)?);
            self.columns = self.layout.unknowns.iter().map(column).collect();
        }
        let feed = self.layout.index(Unknown::Feed);
        let state = |unknown: Unknown| self.layout.index(unknown).and_then(|i| at.get(i)).copied();
        for (row, observable) in observables.iter().enumerate() {
            // The quantity itself, its output, what multiplies the output's derivatives, and what else moves it.
            let (shown, output, scale, direct): (f64, Option<Output>, f64, Vec<(Unknown, f64)>) =
                match *observable {
                    Observable::Temperature => (
                        state(Unknown::Temperature)?,
                        None,
                        0.0,
                        vec![(Unknown::Temperature, 1.0)],
                    ),
                    Observable::FeedConductivity => (
                        state(Unknown::Feed)? - self.salt.ratio.ln() + state(Unknown::FeedMeter)?,
                        None,
                        0.0,
                        vec![(Unknown::Feed, 1.0), (Unknown::FeedMeter, 1.0)],
                    ),
                    Observable::PermeateFlow => {
                        let flow = point.permeate_flow_l_h.max(1e-6);
                        (
                            flow.ln() + state(Unknown::Bucket)?,
                            Some(Output::PermeateFlow),
                            1.0 / flow,
                            vec![(Unknown::Bucket, 1.0)],
                        )
                    }
                    Observable::ConcentrateFlow => {
                        let flow = point.concentrate_flow_l_h.max(1e-6);
                        (
                            flow.ln() + state(Unknown::Bucket)?,
                            Some(Output::ConcentrateFlow),
                            1.0 / flow,
                            vec![(Unknown::Bucket, 1.0)],
                        )
                    }
                    Observable::PermeateConductivity | Observable::ElementPermeate(_) => {
                        let (salt, output) = match *observable {
                            Observable::ElementPermeate(i) => (
                                self.workspace.elements().get(i)?.permeate_tds_mg_l,
                                Output::ElementPermeateConcentration(i),
                            ),
                            _ => (point.permeate_tds_mg_l, Output::PermeateConcentration),
                        };
                        let us_cm = (salt / self.salt.ratio + state(Unknown::CarbonDioxide)?).max(0.2);
                        (
                            us_cm.ln() + state(Unknown::PermeateMeter)?,
                            Some(output),
                            1.0 / (self.salt.ratio * us_cm),
                            vec![
                                (Unknown::PermeateMeter, 1.0),
                                (Unknown::CarbonDioxide, 1.0 / us_cm),
                            ],
                        )
                    }
                    Observable::Pressure(place) => {
                        let offset = state(Unknown::Gauge(place))?;
                        let mut direct = vec![(Unknown::Gauge(place), 1.0)];
                        let (pressure, output) = match place {
                            Place::Inlet => {
                                direct.push((Unknown::InletPressure, 1.0));
                                (state(Unknown::InletPressure)?, None)
                            }
                            Place::Permeate => {
                                direct.push((Unknown::PermeatePressure, 1.0));
                                (point.permeate_pressure_kpa, None)
                            }
                            Place::Membrane => (point.membrane_pressure_kpa, Some(Output::MembranePressure)),
                            Place::Concentrate => {
                                (point.concentrate_pressure_kpa, Some(Output::ConcentratePressure))
                            }
                            Place::After(i) => (
                                *self.workspace.stage_pressures_kpa().get(i)?,
                                Some(Output::PressureAfter(i)),
                            ),
                        };
                        (pressure + offset, output, 1.0, direct)
                    }
                };
            *value.get_mut(row)? = shown;
            if let Some(output) = output {
                let derivatives = sensitivities.of(output)?;
                for (column, input) in self.columns.iter().enumerate() {
                    let Some(derivative) = input.and_then(|i| derivatives.get(i)) else {
                        continue;
                    };
                    // The state holds ln of the feed.
                    let by_state = if Some(column) == feed {
                        setting.feed_mg_l
                    } else {
                        1.0
                    };
                    *slope.get_mut((row, column))? += scale * by_state * derivative;
                }
            }
            for (unknown, derivative) in direct {
                if let Some(column) = self.layout.index(unknown) {
                    *slope.get_mut((row, column))? += derivative;
                }
            }
        }
        let finite = value.iter().chain(slope.iter()).all(|x| x.is_finite());
        finite.then(|| Linear {
            at: at.clone(),
            value,
            slope,
        })
    }
}
