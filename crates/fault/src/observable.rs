//! What can be read at a unit, and how far each value can be trusted.

use nalgebra::DVector;
use reading::{Field, Reading};
use unit::{Instruments, Unit};
use wear::salt::Salt;

use crate::state::{Place, SHARED};

/// Something that can be read and that the unit's model predicts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Observable {
    /// kPa.
    Pressure(Place),
    /// ln of L/h.
    PermeateFlow,
    /// ln of L/h.
    ConcentrateFlow,
    /// ln of uS/cm.
    FeedConductivity,
    /// ln of uS/cm.
    PermeateConductivity,
    /// C.
    Temperature,
    /// ln of uS/cm, of one element's permeate.
    ElementPermeate(usize),
}

impl Observable {
    /// All of a unit, in the order in which one walks round it.
    pub(crate) fn all(unit: &Unit) -> Vec<Self> {
        let mut all = vec![
            Self::Temperature,
            Self::Pressure(Place::Inlet),
            Self::Pressure(Place::Membrane),
            Self::Pressure(Place::Concentrate),
            Self::Pressure(Place::Permeate),
            Self::PermeateFlow,
            Self::ConcentrateFlow,
            Self::FeedConductivity,
            Self::PermeateConductivity,
        ];
        all.extend((0..unit.stages.len()).map(|i| Self::Pressure(Place::After(i))));
        all.extend((0..unit.membranes.elements.len()).map(Self::ElementPermeate));
        all
    }

    /// The field it is read in.
    pub(crate) fn field(self) -> &'static str {
        match self {
            Self::Pressure(Place::Inlet) => Field::InletPressure.name(),
            Self::Pressure(Place::Membrane) => Field::MembranePressure.name(),
            Self::Pressure(Place::Concentrate) => Field::ConcentratePressure.name(),
            Self::Pressure(Place::Permeate) => Field::PermeatePressure.name(),
            Self::Pressure(Place::After(_)) => "pressure_after",
            Self::PermeateFlow => Field::PermeateFlow.name(),
            Self::ConcentrateFlow => Field::ConcentrateFlow.name(),
            Self::FeedConductivity => Field::FeedConductivity.name(),
            Self::PermeateConductivity => Field::PermeateConductivity.name(),
            Self::Temperature => Field::FeedTemperature.name(),
            Self::ElementPermeate(_) => "element_permeate_conductivity",
        }
    }

    /// Whether its logarithm is what is compared.
    pub(crate) fn logarithmic(self) -> bool {
        !matches!(self, Self::Pressure(_) | Self::Temperature)
    }

    /// Variance that is new in every reading; of ln for flows and conductivities, about this conductivity.
    pub(crate) fn noise(self, instruments: &Instruments, us_cm: f64, factor_sd: f64) -> f64 {
        let fresh = |sd: f64| (1.0 - SHARED) * sd * sd;
        match self {
            // A permeate gauge rests at zero and reads no less.
            Self::Pressure(_) => fresh(instruments.gauge_error_kpa),
            Self::Temperature => instruments.thermometer_error_c * instruments.thermometer_error_c,
            Self::PermeateFlow | Self::ConcentrateFlow => fresh(instruments.bucket_error),
            Self::FeedConductivity | Self::PermeateConductivity | Self::ElementPermeate(_) => {
                let meter = if self == Self::FeedConductivity {
                    instruments.feed_meter
                } else {
                    instruments.permeate_meter
                };
                let absolute = (meter.absolute_error_us_cm + 0.3 * step_us_cm(&meter)) / us_cm.max(0.5);
                fresh(meter.relative_error) + absolute * absolute + factor_sd * factor_sd
            }
        }
    }
}

/// A meter's smallest step as conductivity, uS/cm.
fn step_us_cm(meter: &unit::Meter) -> f64 {
    if meter.scale.is_some() {
        meter.step / meter.factor.unwrap_or(0.5).max(0.1)
    } else {
        meter.step
    }
}

/// What was read, ready to be compared.
#[derive(Clone, Debug)]
pub(crate) struct Readings {
    pub(crate) observables: Vec<Observable>,
    pub(crate) values: DVector<f64>,
    pub(crate) noise: DVector<f64>,
}

/// Flows under this many L/h are none.
const NO_FLOW_L_H: f64 = 1e-3;

impl Readings {
    /// What a reading says of the things that the model predicts. Values of zero where only a positive one can be
    /// compared are left out.
    pub(crate) fn of(reading: &Reading, unit: &Unit, salt: &Salt) -> Self {
        let mut found: Vec<(Observable, f64, f64)> = Vec::new();
        let instruments = &unit.instruments;
        let mut push = |observable: Observable, value: f64, factor_sd: f64| {
            if !value.is_finite() {
                return;
            }
            let noise = observable.noise(instruments, value, factor_sd);
            if observable.logarithmic() {
                if value > NO_FLOW_L_H {
                    found.push((observable, value.ln(), noise));
                }
            } else {
                found.push((observable, value, noise));
            }
        };
        for observable in Observable::all(unit) {
            let value = match observable {
                Observable::Pressure(Place::After(i)) => unit
                    .stages
                    .get(i)
                    .and_then(|stage| reading.pressure_after_kpa.get(&stage.id))
                    .copied(),
                Observable::ElementPermeate(i) => unit
                    .membranes
                    .elements
                    .get(i)
                    .and_then(|element| reading.element_permeate_us_cm.get(&element.id))
                    .copied(),
                Observable::FeedConductivity => {
                    conductivity(reading, Field::FeedConductivity, Field::FeedTds, salt)
                }
                Observable::PermeateConductivity => {
                    conductivity(reading, Field::PermeateConductivity, Field::PermeateTds, salt)
                }
                other => Field::from_name(other.field()).and_then(|field| reading.get(field)),
            };
            if let Some(value) = value {
                push(observable, value, reading.meter_factor_sd);
            }
        }
        Self {
            observables: found.iter().map(|one| one.0).collect(),
            values: DVector::from_iterator(found.len(), found.iter().map(|one| one.1)),
            noise: DVector::from_iterator(found.len(), found.iter().map(|one| one.2)),
        }
    }

    /// Where an observable stands.
    pub(crate) fn index(&self, observable: Observable) -> Option<usize> {
        self.observables.iter().position(|one| *one == observable)
    }

    /// Some of them.
    pub(crate) fn rows(&self, rows: &[usize]) -> Self {
        Self {
            observables: rows
                .iter()
                .filter_map(|row| self.observables.get(*row))
                .copied()
                .collect(),
            values: self.values.select_rows(rows),
            noise: self.noise.select_rows(rows),
        }
    }
}

fn conductivity(reading: &Reading, direct: Field, tds: Field, salt: &Salt) -> Option<f64> {
    reading
        .get(direct)
        .or_else(|| reading.get(tds).map(|tds| tds / salt.ratio))
}

/// Whether the unit plainly gives nothing.
pub(crate) fn gives_nothing(reading: &Reading) -> bool {
    reading
        .get(Field::PermeateFlow)
        .is_some_and(|flow| flow <= NO_FLOW_L_H)
}
