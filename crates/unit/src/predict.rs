//! The whole answer for a unit on a water: what it makes, of what, and what is to be said about it.

mod account;

pub use account::{EQUATIONS, Spot, of_prediction};
use water::{Basis, Mineral, Speciation, Water, operations};

use crate::error::PredictError;
use crate::ionic_feed::IonicFeed;
use crate::ionic_point::SoluteConcentration;
use crate::model::{Model, Segments, Setting};
use crate::parameters::Parameters;
use crate::plan::{PolishKind, StageKind, Unit};
use crate::point::{ElementPoint, OperatingPoint};
use crate::solute::Solute;
use crate::state::State;
use crate::workspace::Workspace;

/// The conditions of a prediction.
#[derive(Clone, Debug, PartialEq)]
pub struct Conditions {
    /// Feed temperature, C; 0 to 60.
    pub temperature_c: f64,
    /// Pressure before the first stage, kPa.
    pub inlet_pressure_kpa: f64,
    /// Pressure of the permeate at the tank, kPa; the lift is added to it. 0 for an open tank.
    pub permeate_pressure_kpa: f64,
    /// What wear has done so far.
    pub state: State,
}

/// How long a polishing resin lasts on a permeate.
#[derive(Clone, Debug, PartialEq)]
pub struct ResinLoad {
    /// Id of the polishing item.
    pub id: String,
    /// Cations, eq per litre of permeate.
    pub cations_eq_l: f64,
    /// Anions with CO2, silica and boron, eq per litre of permeate.
    pub anions_eq_l: f64,
    /// CO2's part of them, eq per litre of permeate.
    pub co2_eq_l: f64,
    /// Litres of permeate until the first of the two resins is used up; none where volume or capacity is not stated.
    pub lasts_l: Option<f64>,
}

/// What a unit makes of a water.
#[derive(Clone, Debug)]
pub struct Prediction {
    /// Flows, pressures, dissolved solids.
    pub point: OperatingPoint,
    /// Each element by its id, in flow order.
    pub elements: Vec<(String, ElementPoint)>,
    /// Pressure after each stage, kPa, by its id, in flow order.
    pub pressure_after_kpa: Vec<(String, f64)>,
    /// Conductivity of the permeate at 25 C, uS/cm, before any polishing.
    pub permeate_conductivity_us_cm: f64,
    /// pH of the permeate; none where only the salt content is known.
    pub permeate_ph: Option<f64>,
    /// Each solute; of the one salt, sodium and chloride.
    pub solutes: Vec<SoluteConcentration>,
    /// The permeate, the concentrate and the water at the tail element's wall, where the feed is known as ions.
    pub waters: Option<PredictedWaters>,
    /// Saturation indices at the tail element's wall in the order of [`Mineral::ALL`]; none where an ion is missing.
    pub saturation_at_wall: [Option<f64>; 7],
    /// Load on each mixed bed.
    pub resins: Vec<ResinLoad>,
    /// What was taken for granted, in sentences.
    pub assumed: Vec<String>,
    /// What the reader must know, in sentences.
    pub warnings: Vec<String>,
}

/// The waters of a prediction as the chemistry has them.
#[derive(Clone, Debug)]
pub struct PredictedWaters {
    /// The feed as it reaches the membranes.
    pub feed: Speciation,
    /// The permeate in equilibrium with the CO2 that passed.
    pub permeate: Speciation,
    /// The concentrate; carbon is conserved.
    pub concentrate: Speciation,
    /// The water at the wall; none where it is beyond the chemistry.
    pub wall: Option<Speciation>,
}

/// Hardness that a sound softener lets through where its `hardness_out` is not stated, mg/L as `CaCO3` (common practice,
/// no source).
const SOFTENED_MG_L_CACO3: f64 = 5.0;

/// What this unit makes of this water in these conditions.
///
/// Where the ions are known (an analysis or a field kit) each is followed; else the one salt is sodium chloride. For many
/// points of one unit make a [`Model`] once and use [`Model::solve`], [`Model::sensitivities`] or [`Model::solve_ions`].
///
/// # Errors
///
/// The first value that no physics can use, with its field; a rating that no A and B meet; the condition that has no
/// solution. See [`PredictError`].
pub fn predict(
    unit: &Unit,
    water: &Water,
    conditions: &Conditions,
    segments: Segments,
    workspace: &mut Workspace,
) -> Result<Prediction, PredictError> {
    let model = Model::new(unit, segments)?;
    let parameters = model.in_state(&conditions.state)?;
    model.predict(unit, water, &parameters, conditions, workspace)
}

impl Model {
    /// [`predict`] with the unit made ready and its parameters given in place of `conditions.state`.
    pub fn predict(
        &self,
        unit: &Unit,
        water: &Water,
        parameters: &Parameters,
        conditions: &Conditions,
        workspace: &mut Workspace,
    ) -> Result<Prediction, PredictError> {
        let mut assumed: Vec<String> = water.assumed().iter().map(ToString::to_string).collect();
        let mut warnings: Vec<String> = water.warnings().iter().map(ToString::to_string).collect();
        let ionic = water.basis() != Basis::SodiumChloride;
        let mut prediction = if ionic {
            let before = softened(unit, water, &mut assumed)?;
            let feed = IonicFeed::new(&before, conditions.temperature_c)?;
            let setting = Self::ionic_setting(
                &feed,
                conditions.inlet_pressure_kpa,
                conditions.permeate_pressure_kpa,
            );
            let found = self.ionic_point(parameters, &setting, &feed, workspace)?;
            let co2 = found.solutes.iter().find(|s| s.solute == Solute::CarbonDioxide);
            let co2 = co2.map_or(0.0, |s| s.permeate_mg_l / s.solute.molar_mass_g_mol() / 1e3);
            Prediction {
                resins: resins(unit, found.resin_load_eq_l(), co2),
                saturation_at_wall: found.saturation_at_wall(),
                permeate_conductivity_us_cm: found.permeate_conductivity_us_cm,
                permeate_ph: (found.permeate.carbon_mol_kg() > 0.0).then(|| found.permeate.ph()),
                point: found.point,
                solutes: found.solutes,
                waters: Some(PredictedWaters {
                    feed: feed.speciation().clone(),
                    permeate: found.permeate,
                    concentrate: found.concentrate,
                    wall: found.wall,
                }),
                elements: Vec::new(),
                pressure_after_kpa: Vec::new(),
                assumed,
                warnings: Vec::new(),
            }
        } else {
            let mut setting = Setting::new(
                conditions.temperature_c,
                conditions.inlet_pressure_kpa,
                water.tds_mg_l(),
            );
            setting.permeate_pressure_kpa = conditions.permeate_pressure_kpa;
            let point = self.solve(parameters, &setting, workspace)?;
            warnings.push(
                "only the feed's salt content is known, taken as sodium chloride: on hard water that overstates the permeate's salt"
                    .to_owned(),
            );
            let mol = point.permeate_tds_mg_l / SODIUM_CHLORIDE_G_MOL / 1e3;
            Prediction {
                resins: resins(unit, (mol, mol), 0.0),
                saturation_at_wall: Mineral::ALL.map(|_| None),
                permeate_conductivity_us_cm: one_salt_conductivity(water, point.permeate_tds_mg_l),
                permeate_ph: None,
                solutes: one_salt(&setting, &point, workspace),
                point,
                waters: None,
                elements: Vec::new(),
                pressure_after_kpa: Vec::new(),
                assumed,
                warnings: Vec::new(),
            }
        };
        prediction.elements = self
            .element_ids
            .iter()
            .cloned()
            .zip(workspace.elements().iter().copied())
            .collect();
        prediction.pressure_after_kpa = self
            .stage_ids
            .iter()
            .cloned()
            .zip(workspace.stage_pressures_kpa().iter().copied())
            .collect();
        warn(unit, &prediction, &mut warnings);
        prediction.warnings = warnings;
        Ok(prediction)
    }
}

fn warn(unit: &Unit, prediction: &Prediction, warnings: &mut Vec<String>) {
    let point = &prediction.point;
    if point.net_driving_pressure_kpa < 0.1 * point.membrane_pressure_kpa {
        warnings.push(format!(
            "little pressure is left to drive the membranes: {:.0} of {:.0} kPa",
            point.net_driving_pressure_kpa, point.membrane_pressure_kpa
        ));
    }
    for (id, pressure) in &prediction.pressure_after_kpa {
        if *pressure < 0.0 {
            let digits = water::decimals_apart(-pressure, 0.0, 0);
            warnings.push(format!(
                "after {id} the pressure would be {pressure:.digits$} kPa, below the air's: a pump behind it draws air or cavitates"
            ));
        }
    }
    for (id, element) in &prediction.elements {
        let recovery = element.permeate_flow_l_h / element.feed_flow_l_h;
        if recovery > 0.5 {
            warnings.push(format!(
                "{id} passes {:.0} % of its feed as permeate: little is left to sweep it clean",
                100.0 * recovery
            ));
        }
    }
    if prediction
        .waters
        .as_ref()
        .is_some_and(|waters| waters.wall.is_none())
    {
        warnings.push("the water at the tail element's wall is beyond the chemistry".to_owned());
    }
    let antiscalant = unit.stages.iter().any(|s| s.kind == StageKind::Antiscalant);
    let treatment = water::Treatment {
        antiscalant,
        softener_hardness_out_mg_l_caco3: softener(unit).map(|(out, _)| out),
        allowed: unit
            .limits
            .saturation
            .iter()
            .filter_map(|(name, si)| Some((Mineral::from_name(name)?, *si)))
            .collect(),
    };
    if let Some(waters) = &prediction.waters {
        for mineral in Mineral::ALL {
            let limit = treatment.allowed_si(mineral);
            let found = waters.concentrate.saturation_index(mineral);
            if let Some((limit, si)) = limit.zip(found)
                && si > limit
            {
                let digits = water::decimals_apart(si, limit, 2);
                warnings.push(format!(
                    "{} in the concentrate: saturation index {si:+.digits$}, allowed {limit:+.digits$}; scale is to be expected at this recovery",
                    mineral.title()
                ));
            }
        }
    }
}

/// Hardness after the last softener, mg/L as `CaCO3`, and whether it was stated; None where there is no softener.
fn softener(unit: &Unit) -> Option<(f64, bool)> {
    unit.stages.iter().rev().find_map(|stage| match stage.kind {
        StageKind::Softener {
            hardness_out_mg_l_caco3,
            ..
        } => Some((
            hardness_out_mg_l_caco3.unwrap_or(SOFTENED_MG_L_CACO3),
            hardness_out_mg_l_caco3.is_some(),
        )),
        _ => None,
    })
}

/// The water as it reaches the membranes.
fn softened(unit: &Unit, water: &Water, assumed: &mut Vec<String>) -> Result<Speciation, PredictError> {
    let Some((out, stated)) = softener(unit) else {
        return Ok(water.speciation().clone());
    };
    if !stated {
        assumed.push(format!(
            "the softener's hardness_out was not given: taken as {out:.0} mg/L as CaCO3, common practice"
        ));
    }
    Ok(operations::soften(water.speciation(), out)?)
}

fn resins(unit: &Unit, (cations_eq_l, anions_eq_l): (f64, f64), co2_eq_l: f64) -> Vec<ResinLoad> {
    let beds = unit
        .permeate
        .polish
        .iter()
        .filter(|polish| polish.kind == PolishKind::MixedBed);
    beds.map(|bed| {
        let capacity = bed
            .resin_volume_l
            .zip(bed.capacity_eq_l)
            .map(|(volume, per_litre)| volume * per_litre);
        let most = cations_eq_l.max(anions_eq_l);
        ResinLoad {
            id: bed.id.clone(),
            cations_eq_l,
            anions_eq_l,
            co2_eq_l,
            lasts_l: capacity.filter(|_| most > 0.0).map(|capacity| capacity / most),
        }
    })
    .collect()
}

/// Sodium chloride, g/mol: by the atomic masses of phreeqc.dat.
const SODIUM_CHLORIDE_G_MOL: f64 = 58.4428;

fn one_salt_conductivity(water: &Water, permeate_tds_mg_l: f64) -> f64 {
    let ratio = water.tds_per_us_cm();
    if ratio > 0.0 {
        permeate_tds_mg_l / ratio
    } else {
        0.0
    }
}

fn one_salt(setting: &Setting, point: &OperatingPoint, workspace: &Workspace) -> Vec<SoluteConcentration> {
    use water::Constituent::{Chloride, Sodium};
    let wall = workspace
        .elements()
        .iter()
        .map(|e| e.wall_tds_mg_l)
        .fold(0.0, f64::max);
    [(Sodium, 1.0), (Chloride, -1.0)]
        .into_iter()
        .map(|(constituent, charge)| {
            let share = constituent.molar_mass_g_mol() / SODIUM_CHLORIDE_G_MOL;
            SoluteConcentration {
                solute: Solute::Of(constituent),
                feed_mg_l: setting.feed_mg_l * share,
                permeate_mg_l: point.permeate_tds_mg_l * share,
                concentrate_mg_l: point.concentrate_tds_mg_l * share,
                wall_mg_l: wall * share,
                charge,
            }
        })
        .collect()
}
