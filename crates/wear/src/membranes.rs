//! What the unit's model expects of its membranes in the conditions of a baseline: the baseline's prior.

use std::cell::OnceCell;

use unit::{IonicFeed, Model, OsmoticLaw, Parameter, Segments, Setting, Shutoff, Unit, Workspace};
use water::{Analysis, Speciation, Water};

use crate::d4516::{Complete, Reference};
use crate::hydraulics as plumbing;

/// ln of an element's water and salt permeability against its rating.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Factors {
    /// Of A.
    pub water: f64,
    /// Of B.
    pub salt: f64,
}

/// The membranes of a unit, made ready when they are first asked for: most baselines stand on readings alone.
#[derive(Debug)]
pub struct Membranes<'a> {
    unit: &'a Unit,
    feed: Option<&'a Analysis>,
    ready: OnceCell<Option<Ready>>,
}

#[derive(Debug)]
struct Ready {
    model: Model,
    /// The feed where it is known as ions.
    ions: Option<Speciation>,
}

impl<'a> Membranes<'a> {
    /// The membranes of a unit on its feed.
    pub fn of(unit: &'a Unit, feed: Option<&'a Analysis>) -> Self {
        Self {
            unit,
            feed,
            ready: OnceCell::new(),
        }
    }

    fn ready(&self) -> Option<&Ready> {
        let make = || {
            // The baseline's pressures are those at the membranes: nothing stands before them, nothing above.
            let mut bare = self.unit.clone();
            bare.stages.clear();
            bare.permeate.lift_m = 0.0;
            bare.permeate.shutoff = Shutoff::None;
            let model = Model::new(&bare, Segments::default()).ok()?;
            let known = self.feed.filter(|feed| !feed.is_one_salt());
            let ions = known
                .and_then(|feed| Water::complete(feed).ok())
                .map(|water| water.speciation().clone());
            Some(Ready { model, ions })
        };
        self.ready.get_or_init(make).as_ref()
    }

    /// What these membranes should do where a reading like `middle` was taken: its temperature, its pressures, its feed, and
    /// a restrictor that passes its concentrate at its concentrate pressure. None where the model has no answer.
    pub fn expected(
        &self,
        middle: &Complete,
        reference: &Reference,
        elements: &[Factors],
    ) -> Option<Complete> {
        let Ready { model, ions } = self.ready()?;
        let t = middle.temperature_c;
        let mut parameters = model.parameters();
        let mut all_known = parameters.set(
            Parameter::TemperatureCoefficient,
            reference.ln_temperature_coefficient.exp(),
        );
        for (i, factors) in elements.iter().enumerate() {
            all_known &= parameters.set(Parameter::WaterPermeability(i), factors.water);
            all_known &= parameters.set(Parameter::SaltPermeability(i), factors.salt);
        }
        let labelled = plumbing::restrictor_flow_l_h(self.unit, middle.membrane_kpa - middle.drop_kpa, t);
        all_known &= parameters.set(Parameter::Restrictor, (middle.concentrate_l_h / labelled).ln());
        let osmotic = if reference.osmotic_curve > 0.0 {
            OsmoticLaw::SodiumChloride
        } else {
            OsmoticLaw::Proportional(reference.osmotic_slope * 298.15 / 1000.0)
        };
        let setting = Setting {
            temperature_c: t,
            inlet_pressure_kpa: middle.membrane_kpa,
            permeate_pressure_kpa: middle.back_kpa,
            feed_mg_l: middle.feed_mg_l,
            osmotic,
        };
        let mut workspace = Workspace::new();
        let point = model
            .solve(&parameters, &setting, &mut workspace)
            .ok()
            .filter(|_| all_known)?;
        // How much of the salt passes is the ions' own matter.
        let by_ions = ions.as_ref().and_then(|ions| {
            let feed = IonicFeed::new(ions, t).ok()?;
            let setting = Model::ionic_setting(&feed, middle.membrane_kpa, middle.back_kpa);
            model
                .solve_ions(&parameters, &setting, &feed, &mut workspace)
                .ok()
        });
        let passage = by_ions.map_or(point.salt_passage, |point| point.salt_passage);
        Some(Complete {
            permeate_l_h: point.permeate_flow_l_h,
            concentrate_l_h: point.concentrate_flow_l_h,
            temperature_c: t,
            membrane_kpa: point.membrane_pressure_kpa,
            drop_kpa: point.membrane_pressure_kpa - point.concentrate_pressure_kpa,
            back_kpa: middle.back_kpa,
            feed_mg_l: middle.feed_mg_l,
            permeate_mg_l: middle.feed_mg_l * passage,
            ..Complete::default()
        })
    }
}
