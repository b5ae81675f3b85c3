//! An operating point with the feed as ions: what each of them does, and the waters that result.

use water::{Constituent, Mineral, Speciation};

use crate::error::PredictError;
use crate::ionic_feed::{IonicFeed, MOST};
use crate::ions::{Amounts, IonicPassage, IonicStream, pass_ions};
use crate::model::{Frame, Model, OsmoticLaw, Setting};
use crate::parameters::Parameters;
use crate::plan::Arrangement;
use crate::point::{ElementPoint, OperatingPoint};
use crate::rating::{KPA, L_H, MG_L};
use crate::solute::Solute;
use crate::steady::Transport;
use crate::workspace::Workspace;

/// Ions of one element; mol/L times m3/s, in the order of the feed's classes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct IonicElement {
    pub(crate) permeate: Amounts,
    pub(crate) out: Amounts,
    pub(crate) wall: Amounts,
}

impl IonicElement {
    pub(crate) const NONE: Self = Self {
        permeate: [0.0; MOST],
        out: [0.0; MOST],
        wall: [0.0; MOST],
    };
}

/// One solute at an operating point, mg/L.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SoluteConcentration {
    /// The solute.
    pub solute: Solute,
    /// In the feed of the membranes.
    pub feed_mg_l: f64,
    /// In the permeate.
    pub permeate_mg_l: f64,
    /// In the concentrate.
    pub concentrate_mg_l: f64,
    /// At the membrane where the last concentrate leaves.
    pub wall_mg_l: f64,
    /// Charge number with which it passed.
    pub charge: f64,
}

/// What the ions of a feed do at an operating point.
#[derive(Clone, Debug)]
pub struct IonicPoint {
    /// Flows, pressures and dissolved solids.
    pub point: OperatingPoint,
    /// Each solute of the feed, as it passed: bicarbonate, carbonate and CO2 before they find a new equilibrium.
    pub solutes: Vec<SoluteConcentration>,
    /// The permeate in equilibrium with the CO2 that passed.
    pub permeate: Speciation,
    /// Its conductivity at 25 C, uS/cm.
    pub permeate_conductivity_us_cm: f64,
    /// The concentrate in equilibrium; carbon is conserved.
    pub concentrate: Speciation,
    /// The water at the membrane of the tail element where the concentrate leaves; none where it is beyond the chemistry.
    pub wall: Option<Speciation>,
}

impl IonicPoint {
    /// Saturation indices at the tail element's wall, in the order of [`Mineral::ALL`].
    pub fn saturation_at_wall(&self) -> [Option<f64>; 7] {
        Mineral::ALL.map(|mineral| self.wall.as_ref()?.saturation_index(mineral))
    }
}

/// Transport of the ions of a feed.
pub(crate) struct Ionic<'a> {
    pub(crate) feed: &'a IonicFeed,
}

impl Ionic<'_> {
    fn stream(&self, flow: f64, pressure: f64) -> IonicStream {
        let mut amounts = [0.0; MOST];
        for (amount, s) in amounts.iter_mut().zip(&self.feed.classes) {
            *amount = s.feed * flow;
        }
        IonicStream {
            flow,
            amounts,
            pressure,
        }
    }

    /// Mass of salt in a stream, kg/s: gases do not count.
    fn mass(&self, amounts: &Amounts) -> f64 {
        let solids = self
            .feed
            .classes
            .iter()
            .zip(amounts)
            .filter(|(class, _)| class.solid());
        solids.map(|(class, n)| n * class.molar_mass).sum()
    }

    fn keep(
        &self,
        frame: &Frame<'_>,
        i: usize,
        feed: &IonicStream,
        passage: &IonicPassage,
        workspace: &mut Workspace,
    ) -> Option<()> {
        let area = frame.model.elements.get(i)?.channel.area;
        let feed_tds = self.mass(&feed.amounts) / feed.flow * MG_L;
        let permeate_salt = self.mass(&passage.permeate_amounts);
        *workspace.elements.get_mut(i)? = ElementPoint {
            feed_flow_l_h: feed.flow * L_H,
            permeate_flow_l_h: passage.permeate * L_H,
            flux_l_m2_h: passage.permeate * L_H / area,
            polarisation: passage.polarisation,
            feed_tds_mg_l: feed_tds,
            permeate_tds_mg_l: if passage.permeate > 0.0 {
                permeate_salt / passage.permeate * MG_L
            } else {
                feed_tds
            },
            wall_tds_mg_l: self.mass(&passage.wall) * MG_L,
            feed_pressure_kpa: feed.pressure / KPA,
            concentrate_pressure_kpa: passage.out.pressure / KPA,
            permeate_flow: passage.permeate,
            permeate_salt,
            in_flow: feed.flow,
            out_flow: passage.out.flow,
            out_salt: self.mass(&passage.out.amounts),
        };
        *workspace.ionic.get_mut(i)? = IonicElement {
            permeate: passage.permeate_amounts,
            out: passage.out.amounts,
            wall: passage.wall,
        };
        Some(())
    }

    fn element(
        &self,
        frame: &Frame<'_>,
        i: usize,
        stream: &IonicStream,
        workspace: &mut Workspace,
    ) -> Option<IonicPassage> {
        let rated = frame.model.elements.get(i)?;
        let membrane = workspace.membranes.get(i)?;
        let passage = pass_ions(&rated.channel, membrane, &frame.around, self.feed, stream);
        self.keep(frame, i, stream, &passage, workspace)?;
        Some(passage)
    }
}

impl Transport for Ionic<'_> {
    const ONE_SALT: bool = false;

    fn series(&self, frame: &Frame<'_>, flow: f64, workspace: &mut Workspace) -> (f64, f64) {
        let (p, _) = frame.membrane_pressure(flow);
        workspace.membrane_pressure = p;
        let mut stream = self.stream(flow, p);
        for i in 0..frame.model.elements.len() {
            match self.element(frame, i, &stream, workspace) {
                Some(passage) => stream = passage.out,
                None => return (f64::NAN, f64::NAN),
            }
        }
        (stream.flow, stream.pressure)
    }

    fn branch(
        &self,
        frame: &Frame<'_>,
        i: usize,
        flow: f64,
        pressure: f64,
        workspace: &mut Workspace,
    ) -> Option<(f64, f64)> {
        let passage = self.element(frame, i, &self.stream(flow, pressure), workspace)?;
        Some((passage.out.flow, passage.drop))
    }

    fn copy(&self, i: usize, j: usize, workspace: &mut Workspace) {
        let twin = workspace
            .elements
            .get(j)
            .copied()
            .zip(workspace.ionic.get(j).copied());
        if let Some((element, ionic)) = twin
            && let Some(place) = workspace.elements.get_mut(i)
            && let Some(ions) = workspace.ionic.get_mut(i)
        {
            *place = element;
            *ions = ionic;
        }
    }
}

impl Model {
    /// The setting of a feed of ions, for [`Model::solve_ions`] and as near as one salt comes to it for [`Model::solve`] and
    /// [`Model::sensitivities`].
    pub fn ionic_setting(feed: &IonicFeed, inlet_pressure_kpa: f64, permeate_pressure_kpa: f64) -> Setting {
        let at_25 = 298.15 / (feed.temperature_c + 273.15);
        Setting {
            temperature_c: feed.temperature_c,
            inlet_pressure_kpa,
            permeate_pressure_kpa,
            feed_mg_l: feed.tds_mg_l,
            osmotic: OsmoticLaw::Proportional(feed.osmotic_pressure_kpa() / feed.tds_mg_l * at_25),
        }
    }

    /// The operating point with the feed as ions; `setting` by [`Model::ionic_setting`]. Details stay in the workspace and
    /// [`Model::ionic_point`] makes waters of them. No allocation once the workspace has seen a unit of this size.
    pub fn solve_ions(
        &self,
        parameters: &Parameters,
        setting: &Setting,
        feed: &IonicFeed,
        workspace: &mut Workspace,
    ) -> Result<OperatingPoint, PredictError> {
        self.solve_with(&Ionic { feed }, parameters, setting, workspace)
    }

    /// [`Model::solve_ions`], and the permeate, the concentrate and the water at the wall as the chemistry has them.
    pub fn ionic_point(
        &self,
        parameters: &Parameters,
        setting: &Setting,
        feed: &IonicFeed,
        workspace: &mut Workspace,
    ) -> Result<IonicPoint, PredictError> {
        let mut point = self.solve_ions(parameters, setting, feed, workspace)?;
        let count = feed.solutes.len();
        let ionic = &workspace.ionic;
        let sum = |of: fn(&IonicElement) -> &Amounts| -> Amounts {
            let mut total = [0.0; MOST];
            for element in ionic {
                for (to, from) in total.iter_mut().zip(of(element)) {
                    *to += from;
                }
            }
            total
        };
        let parallel = self.arrangement == Arrangement::Parallel && self.elements.len() > 1;
        let permeate = feed.expand(&sum(|e| &e.permeate).map(|n| n / point.permeate_flow_l_h * L_H));
        let last = ionic.last().copied().unwrap_or(IonicElement::NONE);
        let out = if parallel { sum(|e| &e.out) } else { last.out };
        let concentrate = feed.expand(&out.map(|n| n / point.concentrate_flow_l_h * L_H));
        // In a parallel row the wall is that of the element that concentrates most.
        let wall = workspace
            .elements
            .iter()
            .zip(ionic)
            .max_by(|a, b| a.0.wall_tds_mg_l.total_cmp(&b.0.wall_tds_mg_l))
            .map_or(last.wall, |(_, ions)| ions.wall);
        let wall = feed.expand(&wall);
        let solutes: Vec<SoluteConcentration> = feed
            .solutes
            .iter()
            .zip(permeate.iter().zip(concentrate).zip(wall))
            .map(|(s, ((permeate, concentrate), wall))| {
                let mg = s.solute.molar_mass_g_mol() * 1e3;
                SoluteConcentration {
                    solute: s.solute,
                    feed_mg_l: s.feed * mg,
                    permeate_mg_l: permeate * mg,
                    concentrate_mg_l: concentrate * mg,
                    wall_mg_l: wall * mg,
                    charge: s.charge,
                }
            })
            .collect();
        // Hydroxide, borate and silicate stay on the feed side with the alkalinity that they are.
        let other = feed.other_alkalinity();
        let permeate = feed.water_of(permeate.get(..count).unwrap_or(&permeate), 0.0)?;
        let kept = other / (1.0 - point.recovery);
        let concentrate = feed.water_of(concentrate.get(..count).unwrap_or(&concentrate), kept)?;
        let wall = feed.water_of(wall.get(..count).unwrap_or(&wall), kept).ok();
        let permeate_conductivity_us_cm = permeate.conductivity_us_cm()?;
        point.permeate_tds_mg_l = water::tds_mg_l(&permeate);
        point.concentrate_tds_mg_l = water::tds_mg_l(&concentrate);
        point.salt_passage = point.permeate_tds_mg_l / feed.tds_mg_l;
        Ok(IonicPoint {
            point,
            solutes,
            permeate,
            permeate_conductivity_us_cm,
            concentrate,
            wall,
        })
    }
}

impl IonicPoint {
    /// Equivalents of cations and of anions in a litre of permeate, as a mixed bed has to take them up: CO2, silica and
    /// boron are taken up by the anion resin as bicarbonate, silicate and borate.
    pub fn resin_load_eq_l(&self) -> (f64, f64) {
        let (mut cations, mut anions) = (0.0, 0.0);
        for s in &self.solutes {
            let mol = s.permeate_mg_l / s.solute.molar_mass_g_mol() / 1e3;
            match s.solute {
                Solute::CarbonDioxide | Solute::Of(Constituent::Silica | Constituent::Boron) => anions += mol,
                Solute::Ammonia => cations += mol,
                _ if s.charge > 0.0 => cations += s.charge * mol,
                _ => anions -= s.charge * mol,
            }
        }
        (cations, anions)
    }
}
