//! What may differ between the unit as rated and the unit as it is, as one flat vector.

/// One thing that wear, faults or chance may change. Elements and stages are counted from 0 in flow order.
///
/// "ln" marks the logarithm of a factor: 0 as new.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Parameter {
    /// Factor on permeability per degree C; 1.03 where the unit does not say.
    TemperatureCoefficient,
    /// ln of the mass transfer coefficient's factor. A and B stay as identified.
    MassTransfer,
    /// ln of the restrictor's flow at a given drop.
    Restrictor,
    /// Exponent n of the restrictor's flow on its pressure drop.
    RestrictorExponent,
    /// Exponent m of the restrictor's flow on mu(25 C)/mu(T).
    RestrictorViscosityExponent,
    /// ln of an element's water permeability A.
    WaterPermeability(usize),
    /// ln of an element's salt permeability B.
    SaltPermeability(usize),
    /// ln of an element's pressure drop.
    ElementDrop(usize),
    /// Fraction of an element's feed that passes round it (brine seal), 0 to 0.99.
    ElementBypass(usize),
    /// Conductance from an element's feed end into its permeate (core tube's seals), in parts of the water conductance
    /// A x area that it is rated for; 0 or more.
    ElementLeak(usize),
    /// ln of a stage's pressure drop.
    StageDrop(usize),
    /// ln of a pump's pressure at no flow.
    PumpPressure(usize),
    /// ln of a pump's flow at no added pressure.
    PumpFlow(usize),
    /// ln of a regulator's set pressure.
    RegulatorPressure(usize),
}

/// What a prediction depends on: a condition or a [`Parameter`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Input {
    /// Inlet pressure, kPa.
    InletPressure,
    /// Feed temperature, C.
    Temperature,
    /// Feed concentration, mg/L.
    FeedConcentration,
    /// Permeate pressure, kPa.
    PermeatePressure,
    /// A parameter, in its own unit.
    Parameter(Parameter),
}

/// Conditions come first among the inputs.
pub(crate) const CONDITIONS: usize = 4;
/// Parameters of the whole unit, elements' parameters each, stages' parameters each.
pub(crate) const OF_UNIT: usize = 5;
pub(crate) const PER_ELEMENT: usize = 5;
pub(crate) const PER_STAGE: usize = 2;

/// What a stage does to pressure, as far as its parameters go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum StageSort {
    Drop,
    Pump,
    Regulator,
}

/// Where each parameter stands in the vector.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Layout {
    pub(crate) elements: usize,
    pub(crate) stages: Vec<StageSort>,
}

impl Layout {
    pub(crate) fn len(&self) -> usize {
        OF_UNIT + PER_ELEMENT * self.elements + PER_STAGE * self.stages.len()
    }

    pub(crate) fn element(element: usize) -> usize {
        OF_UNIT + PER_ELEMENT * element
    }

    pub(crate) fn stage(&self, stage: usize) -> usize {
        OF_UNIT + PER_ELEMENT * self.elements + PER_STAGE * stage
    }

    pub(crate) fn index(&self, parameter: Parameter) -> Option<usize> {
        let element = |i: usize, k: usize| (i < self.elements).then(|| Self::element(i) + k);
        let stage = |i: usize, sort: StageSort, k: usize| {
            (self.stages.get(i) == Some(&sort)).then(|| self.stage(i) + k)
        };
        match parameter {
            Parameter::TemperatureCoefficient => Some(0),
            Parameter::MassTransfer => Some(1),
            Parameter::Restrictor => Some(2),
            Parameter::RestrictorExponent => Some(3),
            Parameter::RestrictorViscosityExponent => Some(4),
            Parameter::WaterPermeability(i) => element(i, 0),
            Parameter::SaltPermeability(i) => element(i, 1),
            Parameter::ElementDrop(i) => element(i, 2),
            Parameter::ElementBypass(i) => element(i, 3),
            Parameter::ElementLeak(i) => element(i, 4),
            Parameter::StageDrop(i) => stage(i, StageSort::Drop, 0),
            Parameter::PumpPressure(i) => stage(i, StageSort::Pump, 0),
            Parameter::PumpFlow(i) => stage(i, StageSort::Pump, 1),
            Parameter::RegulatorPressure(i) => stage(i, StageSort::Regulator, 0),
        }
    }

    pub(crate) fn input(&self, input: Input) -> Option<usize> {
        match input {
            Input::InletPressure => Some(0),
            Input::Temperature => Some(1),
            Input::FeedConcentration => Some(2),
            Input::PermeatePressure => Some(3),
            Input::Parameter(parameter) => self.index(parameter).map(|i| i + CONDITIONS),
        }
    }
}

/// The values of all parameters of one unit; made by `Model::parameters`.
#[derive(Clone, Debug, PartialEq)]
pub struct Parameters {
    pub(crate) layout: Layout,
    pub(crate) values: Vec<f64>,
}

impl Parameters {
    /// The value of a parameter; none where the unit has no such part.
    pub fn get(&self, parameter: Parameter) -> Option<f64> {
        self.values.get(self.layout.index(parameter)?).copied()
    }

    /// Sets a parameter and says whether the unit has it.
    #[must_use]
    pub fn set(&mut self, parameter: Parameter, value: f64) -> bool {
        let place = self.layout.index(parameter).and_then(|i| self.values.get_mut(i));
        match place {
            Some(place) => {
                *place = value;
                true
            }
            None => false,
        }
    }

    /// Where a parameter stands in [`Parameters::values`]; none where the unit has no such part.
    pub fn index(&self, parameter: Parameter) -> Option<usize> {
        self.layout.index(parameter)
    }

    /// All values.
    pub fn values(&self) -> &[f64] {
        &self.values
    }

    /// All values, to be changed.
    pub fn values_mut(&mut self) -> &mut [f64] {
        &mut self.values
    }

    /// Makes these values those of `other` without allocating, where both are of the same unit.
    pub fn copy_from(&mut self, other: &Self) {
        if self.layout != other.layout {
            self.layout.clone_from(&other.layout);
        }
        self.values.clone_from(&other.values);
    }

    pub(crate) fn of_unit(&self) -> OfUnit {
        let v = |i: usize| self.values.get(i).copied().unwrap_or(f64::NAN);
        OfUnit {
            coefficient: v(0),
            transfer: v(1),
            restrictor: v(2),
            exponent: v(3),
            viscosity_exponent: v(4),
        }
    }

    /// ln A, ln B, ln drop, bypass, leak of an element.
    pub(crate) fn of_element(&self, element: usize) -> [f64; PER_ELEMENT] {
        self.block(Layout::element(element))
    }

    /// The two values of a stage.
    pub(crate) fn of_stage(&self, stage: usize) -> [f64; PER_STAGE] {
        self.block(self.layout.stage(stage))
    }

    fn block<const N: usize>(&self, at: usize) -> [f64; N] {
        let mut block = [f64::NAN; N];
        for (to, from) in block.iter_mut().zip(self.values.iter().skip(at)) {
            *to = *from;
        }
        block
    }
}

/// Parameters of the whole unit.
#[derive(Clone, Copy, Debug)]
pub(crate) struct OfUnit {
    pub(crate) coefficient: f64,
    pub(crate) transfer: f64,
    pub(crate) restrictor: f64,
    pub(crate) exponent: f64,
    pub(crate) viscosity_exponent: f64,
}
