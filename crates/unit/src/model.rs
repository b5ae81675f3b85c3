//! The unit made ready for computing: ratings identified once, then any number of operating points.

use crate::accepted::Accepted;
use crate::check::{check_parameters, check_setting, check_unit};
use crate::element::{Channel, Membrane, Surroundings};
use crate::error::PredictError;
use crate::film::Osmotic;
use crate::fluid::Fluid;
use crate::hydraulics::{GRAVITY, RestrictorLaw, StageLaw, exponents};
use crate::parameters::{Layout, OF_UNIT, Parameter, Parameters};
use crate::plan::{Arrangement, Restrictor, Shutoff, Unit};
use crate::rating::{KPA, L_H, MG_L, Permeability, identify, sodium_chloride};
use crate::state::State;

/// How finely the channel of an element is cut.
///
/// The scheme is of second order, and exact where the local salt passage is constant. Measured against an adaptive
/// integration at 1e-10 over forty random units of all sizes (`tests/val_scipy.rs`), the largest departure in any flow,
/// pressure or concentration, rating included, is 0.4 % with 3 segments, 0.06 % with 8 and 0.0004 % with 100; the worst is
/// one element at a recovery of 0.5, and up to 0.35 three segments already give 0.12 %.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Segments(pub usize);

impl Segments {
    /// Three: for a search over many states, within 0.5 %.
    pub const FAST: Self = Self(3);
}

impl Default for Segments {
    /// Eight: the fewest that keep 0.1 % on every unit tried.
    fn default() -> Self {
        Self(8)
    }
}

/// What the one salt of a feed does to osmotic pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OsmoticLaw {
    /// Sodium chloride by ASTM D4516.
    SodiumChloride,
    /// In proportion to the concentration: kPa per mg/L at 25 C, and to absolute temperature.
    Proportional(f64),
}

/// The conditions of one operating point, with the feed as one salt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setting {
    /// Feed temperature, C; 0 to 60.
    pub temperature_c: f64,
    /// Pressure before the first stage, kPa.
    pub inlet_pressure_kpa: f64,
    /// Pressure of the permeate at the tank, kPa; the lift is added to it.
    pub permeate_pressure_kpa: f64,
    /// Dissolved salt of the feed, mg/L.
    pub feed_mg_l: f64,
    /// Its osmotic pressure.
    pub osmotic: OsmoticLaw,
}

impl Setting {
    /// A sodium chloride feed and an open permeate side.
    pub fn new(temperature_c: f64, inlet_pressure_kpa: f64, feed_mg_l: f64) -> Self {
        Self {
            temperature_c,
            inlet_pressure_kpa,
            permeate_pressure_kpa: 0.0,
            feed_mg_l,
            osmotic: OsmoticLaw::SodiumChloride,
        }
    }
}

/// One element as identified.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Rated {
    pub(crate) channel: Channel,
    pub(crate) permeability: Permeability,
    pub(crate) temperature_c: f64,
}

/// A unit made ready for computing. Nothing in it changes any more; all that wears is in [`Parameters`].
#[derive(Clone, Debug)]
pub struct Model {
    pub(crate) elements: Vec<Rated>,
    pub(crate) arrangement: Arrangement,
    pub(crate) stages: Vec<StageLaw>,
    pub(crate) restrictor: Restrictor,
    pub(crate) lift_m: f64,
    pub(crate) segments: usize,
    pub(crate) shutoff: Shutoff,
    pub(crate) parameters: Parameters,
    pub(crate) element_ids: Vec<String>,
    pub(crate) stage_ids: Vec<String>,
}

impl Model {
    /// Checks the unit and identifies A and B of each element from its rating, by the element model itself.
    pub fn new(unit: &Unit, segments: Segments) -> Result<Self, PredictError> {
        check_unit(unit)?;
        let count = segments.0.clamp(1, 1000);
        let mut elements: Vec<Rated> = Vec::with_capacity(unit.membranes.elements.len());
        for (i, element) in unit.membranes.elements.iter().enumerate() {
            let channel = Channel {
                area: element.area_m2(),
                length: element.size.active_length_m(),
            };
            // Equal elements are identified once.
            let twin = unit
                .membranes
                .elements
                .iter()
                .zip(&elements)
                .find(|(other, rated)| other.rated == element.rated && rated.channel == channel);
            let permeability = match twin {
                Some((_, rated)) => rated.permeability,
                None => identify(
                    &channel,
                    &element.rated,
                    count,
                    &format!("unit.membranes.elements[{i}].rated"),
                )?,
            };
            elements.push(Rated {
                channel,
                permeability,
                temperature_c: element.rated.temperature_c,
            });
        }
        let stages: Vec<StageLaw> = unit.stages.iter().map(StageLaw::of).collect();
        let layout = Layout {
            elements: elements.len(),
            stages: stages.iter().map(StageLaw::sort).collect(),
        };
        let mut values = vec![0.0; layout.len()];
        let (n, m) = exponents(&unit.concentrate.restrictor);
        let of_unit: [f64; OF_UNIT] = [unit.temperature_coefficient(), 0.0, 0.0, n, m];
        for (to, from) in values.iter_mut().zip(of_unit) {
            *to = from;
        }
        Ok(Self {
            elements,
            arrangement: unit.membranes.arrangement,
            stages,
            restrictor: unit.concentrate.restrictor,
            lift_m: unit.permeate.lift_m,
            segments: count,
            shutoff: unit.permeate.shutoff,
            parameters: Parameters { layout, values },
            element_ids: unit.membranes.elements.iter().map(|e| e.id.clone()).collect(),
            stage_ids: unit.stages.iter().map(|s| s.id.clone()).collect(),
        })
    }

    /// The parameters of the unit as rated.
    pub fn parameters(&self) -> Parameters {
        self.parameters.clone()
    }

    /// How many elements it has.
    pub fn elements(&self) -> usize {
        self.elements.len()
    }

    /// Segments per element.
    pub fn segments(&self) -> Segments {
        Segments(self.segments)
    }

    /// Water permeability A at 25 C of an element as rated, m/(s Pa), and its salt permeability B, m/s.
    pub fn permeability_25(&self, element: usize) -> Option<(f64, f64)> {
        let rated = self.elements.get(element)?;
        let coefficient = self.parameters.of_unit().coefficient;
        let tcf = coefficient.powf(25.0 - rated.temperature_c);
        Some((rated.permeability.water * tcf, rated.permeability.salt * tcf))
    }

    /// The parameters of a unit in this state. A part that the unit has not is an error.
    pub fn in_state(&self, state: &State) -> Result<Parameters, PredictError> {
        let mut parameters = self.parameters();
        let of = |ids: &[String], id: &str| ids.iter().position(|x| x == id);
        let unknown = |field: &'static str, id: &str, known: Vec<&str>| PredictError::UnknownPart {
            field,
            id: id.to_owned(),
            known: known.join(", "),
        };
        let elements = || self.element_ids.iter().map(String::as_str);
        let factor = |field: String, factor: f64| {
            if factor.is_finite() && (1e-6..=1e6).contains(&factor) {
                Ok(factor.ln())
            } else {
                Err(PredictError::Input {
                    field,
                    read: factor,
                    accepted: Accepted::State,
                })
            }
        };
        for (id, value) in &state.permeability {
            let field = "conditions.state.permeability";
            let i = of(&self.element_ids, id).ok_or_else(|| unknown(field, id, elements().collect()))?;
            let ln = factor(format!("{field}.{id}"), *value)?;
            let _ = parameters.set(Parameter::WaterPermeability(i), ln);
        }
        for (id, value) in &state.salt_permeability {
            let field = "conditions.state.salt_permeability";
            let i = of(&self.element_ids, id).ok_or_else(|| unknown(field, id, elements().collect()))?;
            let ln = factor(format!("{field}.{id}"), *value)?;
            let _ = parameters.set(Parameter::SaltPermeability(i), ln);
        }
        for (id, value) in &state.drop {
            let field = "conditions.state.drop";
            let ln = factor(format!("{field}.{id}"), *value)?;
            let known = if let Some(i) = of(&self.element_ids, id) {
                parameters.set(Parameter::ElementDrop(i), ln)
            } else if let Some(i) = of(&self.stage_ids, id) {
                parameters.set(Parameter::StageDrop(i), ln)
            } else {
                false
            };
            if !known {
                let stages = self
                    .stage_ids
                    .iter()
                    .zip(&self.stages)
                    .filter(|(_, law)| matches!(law, StageLaw::Drop { .. }))
                    .map(|(id, _)| id.as_str());
                return Err(unknown(field, id, elements().chain(stages).collect()));
            }
        }
        if let Some(value) = state.restrictor {
            let ln = factor("conditions.state.restrictor".to_owned(), value)?;
            let _ = parameters.set(Parameter::Restrictor, ln);
        }
        Ok(parameters)
    }

    /// What is the same along one operating point.
    pub(crate) fn frame<'a>(
        &'a self,
        parameters: &'a Parameters,
        setting: &Setting,
    ) -> Result<Frame<'a>, PredictError> {
        check_setting(setting)?;
        check_parameters(self, parameters)?;
        let fluid = Fluid::<f64>::at(setting.temperature_c);
        let of_unit = parameters.of_unit();
        let permeate_pressure = setting.permeate_pressure_kpa * KPA + fluid.density * GRAVITY * self.lift_m;
        Ok(Frame {
            model: self,
            parameters,
            around: Surroundings {
                fluid,
                osmotic: osmotic(setting.osmotic, &fluid),
                permeate_pressure,
                segments: self.segments,
            },
            setting: *setting,
            inlet: setting.inlet_pressure_kpa * KPA,
            concentration: setting.feed_mg_l / MG_L,
            restrictor: RestrictorLaw {
                flow: self.restrictor.flow_l_h / L_H
                    * of_unit.restrictor.exp()
                    * fluid.relative_viscosity.powf(-of_unit.viscosity_exponent),
                at: self.restrictor.at_kpa * KPA,
                exponent: of_unit.exponent,
            },
        })
    }
}

/// What is the same along one operating point; SI units.
pub(crate) struct Frame<'a> {
    pub(crate) model: &'a Model,
    pub(crate) parameters: &'a Parameters,
    pub(crate) around: Surroundings<f64>,
    pub(crate) setting: Setting,
    /// Pa.
    pub(crate) inlet: f64,
    /// kg/m3.
    pub(crate) concentration: f64,
    pub(crate) restrictor: RestrictorLaw,
}

impl Frame<'_> {
    /// Pressure at the membranes at this feed flow, and its derivative. Falls with the flow.
    pub(crate) fn membrane_pressure(&self, flow: f64) -> (f64, f64) {
        let viscosity = self.around.fluid.relative_viscosity;
        let (mut pressure, mut slope) = (self.inlet, 0.0);
        for (i, law) in self.model.stages.iter().enumerate() {
            let behind = law.behind(pressure, flow, viscosity, self.parameters.of_stage(i));
            slope = slope * behind.by_pressure + behind.by_flow;
            pressure = behind.pressure;
        }
        (pressure, slope)
    }

    /// Element `i` at the water's temperature.
    pub(crate) fn membrane(&self, i: usize) -> Membrane<f64> {
        let of_unit = self.parameters.of_unit();
        let [ln_a, ln_b, ln_drop, bypass, leak] = self.parameters.of_element(i);
        let (permeability, channel, rated_at) = match self.model.elements.get(i) {
            Some(rated) => (rated.permeability, rated.channel, rated.temperature_c),
            None => (
                Permeability {
                    water: f64::NAN,
                    salt: f64::NAN,
                },
                Channel {
                    area: f64::NAN,
                    length: f64::NAN,
                },
                f64::NAN,
            ),
        };
        // exp(ln x + (T - T_r) ln c): the rating's own temperature is where A and B are known.
        let warmth = (self.setting.temperature_c - rated_at) * of_unit.coefficient.ln();
        Membrane {
            water: permeability.water * (ln_a + warmth).exp(),
            salt: permeability.salt * (ln_b + warmth).exp(),
            drop: ln_drop.exp(),
            transfer: of_unit.transfer.exp(),
            bypass,
            leak: leak * permeability.water * channel.area,
        }
    }
}

/// The osmotic law at a temperature.
pub(crate) fn osmotic<N: crate::number::Number>(law: OsmoticLaw, fluid: &Fluid<N>) -> Osmotic<N> {
    match law {
        OsmoticLaw::SodiumChloride => sodium_chloride(fluid),
        OsmoticLaw::Proportional(kpa_per_mg_l) => Osmotic {
            per_concentration: fluid.kelvin * (kpa_per_mg_l * KPA * MG_L / 298.15),
            crowding: 0.0,
        },
    }
}
