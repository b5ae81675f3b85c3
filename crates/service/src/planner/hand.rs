//! The steps of the hand at one housing.

use unit::{CarbonMedia, PolishKind, SedimentMedia, StageKind};

use super::draft::{Draft, Line, Stop};
use super::plumbing::{Holds, Set, bit};
use super::pressure::Turn;
use super::search::may_take_off;
use crate::card::{Action, Phase};

/// What is done at a housing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Do {
    /// Old part out, new part in.
    Change,
    /// Out, washed, in.
    Wash,
    /// Out, looked at, in.
    Inspect,
    /// First part in.
    Commission,
    /// Part out, housing closed empty; it comes back later (sanitising).
    Empty,
    /// Part in again (sanitising).
    Refill,
    /// Part out for good, housing drained and closed (laying up).
    Drain,
}

/// A housing and what is done there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Job {
    pub(super) housing: usize,
    pub(super) what: Do,
}

impl Draft<'_> {
    /// One housing after the other, so that no two parts or tubes are swapped.
    ///
    /// Feed tubes in `leave_off` stay off after it. `dose` is the housing that gets the bleach before it closes.
    pub(super) fn work_on(&mut self, jobs: &[Job], leave_off: Set, dose: Option<usize>) -> Result<(), Stop> {
        for job in jobs {
            let Some(housing) = self.plumbing.housings.get(job.housing) else {
                return Err(Stop::NoOrder);
            };
            let feed_tube = match housing.holds {
                Holds::Element(_) => housing.fed_by.first().copied(),
                _ => None,
            };
            if let Some(tube) = feed_tube
                && may_take_off(self.plumbing, &self.state, tube) == Some(false)
            {
                self.take_off(tube, "disconnect_feed")?;
            }
            self.open_housing(*job)?;
            self.change(*job)?;
            if dose == Some(job.housing) {
                self.dose_bleach(job.housing)?;
            }
            self.close_housing(job.housing)?;
            if let Some(tube) = feed_tube.filter(|tube| leave_off & bit(*tube) == 0) {
                self.put_back(tube, Phase::Close, "reconnect")?;
            }
        }
        Ok(())
    }

    fn open_housing(&mut self, job: Job) -> Result<(), Stop> {
        let Some(housing) = self.plumbing.housings.get(job.housing) else {
            return Err(Stop::NoOrder);
        };
        if self.under_pressure(self.plumbing.inside(housing)) {
            return Err(Stop::NoOrder);
        }
        let key = match (job.what, housing.holds) {
            (Do::Commission, _) => "commission_open",
            (_, Holds::Stage(_)) => "open_housing_stage",
            (_, Holds::Element(_)) => "open_housing_element",
            (_, Holds::Polish(_)) => "open_housing_polish",
        };
        let lamp = self.is_lamp(housing.holds);
        let cautions: &[&str] = if lamp {
            &["lamp", "stop_if_tight"]
        } else {
            &["stop_if_tight"]
        };
        if !self.opened.contains(&job.housing) {
            self.opened.push(job.housing);
        }
        let turn = Turn::Housing(housing.node, true);
        self.step(
            Line::new(Phase::Open, Action::OpenHousing, &housing.id, turn, key)
                .values(&[("id", &housing.id)])
                .cautions(cautions),
        )
    }

    fn close_housing(&mut self, index: usize) -> Result<(), Stop> {
        let Some(housing) = self.plumbing.housings.get(index) else {
            return Err(Stop::NoOrder);
        };
        let key = match housing.holds {
            Holds::Element(_) => "close_housing_element",
            _ => "close_housing_stage",
        };
        let turn = Turn::Housing(housing.node, false);
        self.step(
            Line::new(Phase::Close, Action::CloseHousing, &housing.id, turn, key)
                .values(&[("id", &housing.id)]),
        )
    }

    fn change(&mut self, job: Job) -> Result<(), Stop> {
        let Some(housing) = self.plumbing.housings.get(job.housing) else {
            return Err(Stop::NoOrder);
        };
        let (id, holds, node) = (housing.id.as_str(), housing.holds, housing.node);
        if matches!(
            job.what,
            Do::Change | Do::Wash | Do::Inspect | Do::Empty | Do::Drain
        ) {
            let regulator = self.is_regulator(holds);
            let turn = match holds {
                Holds::Element(_) => Turn::Bare(node, true),
                _ => Turn::Nothing,
            };
            let (action, key) = match (job.what, holds) {
                (Do::Drain, _) if regulator => (Action::Inspect, "drain_regulator"),
                (Do::Drain, _) if self.is_lamp(holds) => (Action::Remove, "remove_lamp"),
                (Do::Drain, _) => (Action::Remove, "drain_bowl"),
                (_, Holds::Stage(_)) if regulator => (Action::Remove, "remove_regulator"),
                (Do::Change, Holds::Stage(_)) if self.is_spun(holds) => (Action::Remove, "remove_spun"),
                (_, Holds::Stage(_)) => (Action::Remove, "remove_stage"),
                (Do::Change, Holds::Element(_)) => (Action::Remove, "remove_element"),
                (_, Holds::Element(_)) => (Action::Remove, "remove_element_keep"),
                (_, Holds::Polish(_)) if self.is_lamp(holds) => (Action::Remove, "remove_lamp"),
                (_, Holds::Polish(_)) => (Action::Remove, "remove_polish"),
            };
            self.step(Line::new(Phase::Change, action, id, turn, key).values(&[("id", id)]))?;
        }
        match job.what {
            Do::Wash => self.wash(id, holds)?,
            Do::Inspect => {
                self.step(
                    Line::new(Phase::Change, Action::Inspect, id, Turn::Nothing, "inspect_part")
                        .values(&[("id", id)]),
                )?;
            }
            Do::Refill => {
                self.step(
                    Line::new(Phase::Change, Action::Inspect, id, Turn::Nothing, "empty_again")
                        .values(&[("id", id)]),
                )?;
            }
            _ => {}
        }
        self.grease(id, holds)?;
        if matches!(
            job.what,
            Do::Change | Do::Wash | Do::Inspect | Do::Commission | Do::Refill
        ) {
            self.insert(id, holds, node, job.what)?;
        }
        Ok(())
    }

    fn wash(&mut self, id: &str, holds: Holds) -> Result<(), Stop> {
        let (key, cautions): (_, &[&str]) = match holds {
            _ if self.is_pleated(holds) => ("wash_pleated", &[]),
            Holds::Element(_) => ("wash_other", &["membrane_not_washable"]),
            _ => ("wash_other", &["spun_not_washable"]),
        };
        self.step(
            Line::new(Phase::Change, Action::Wash, id, Turn::Nothing, key)
                .values(&[("id", id)])
                .cautions(cautions),
        )
    }

    fn grease(&mut self, id: &str, holds: Holds) -> Result<(), Stop> {
        let key = match holds {
            Holds::Element(_) => "grease_element",
            _ => "grease_stage",
        };
        let target = format!("seals:{id}");
        self.step(
            Line::new(Phase::Change, Action::Grease, &target, Turn::Nothing, key)
                .values(&[("id", id)])
                .cautions(&["no_petroleum"]),
        )
    }

    fn insert(&mut self, id: &str, holds: Holds, node: usize, what: Do) -> Result<(), Stop> {
        let (key, turn) = match holds {
            _ if self.is_regulator(holds) => ("insert_regulator", Turn::Nothing),
            Holds::Stage(_) if self.is_carbon(holds) => ("insert_carbon", Turn::Nothing),
            Holds::Stage(_) => ("insert_stage", Turn::Nothing),
            Holds::Element(_) => ("insert_element", Turn::Bare(node, false)),
            Holds::Polish(_) if self.is_lamp(holds) => ("insert_lamp", Turn::Nothing),
            Holds::Polish(_) => ("insert_polish", Turn::Nothing),
        };
        let element = matches!(holds, Holds::Element(_));
        let new = match what {
            Do::Wash => "washed",
            Do::Inspect => "same",
            Do::Refill if element => "same",
            _ => "new",
        };
        let cautions: &[&str] = if element && new == "new" {
            &["preservative"]
        } else {
            &[]
        };
        self.step(
            Line::new(Phase::Change, Action::Insert, id, turn, key)
                .values(&[("id", id), ("new", self.texts.word(new)?)])
                .cautions(cautions),
        )
    }

    /// Bleach into the open, empty housing.
    fn dose_bleach(&mut self, index: usize) -> Result<(), Stop> {
        let Some(housing) = self.plumbing.housings.get(index) else {
            return Err(Stop::NoOrder);
        };
        let dose = self.doses.bleach(self.unit);
        let target = match housing.holds {
            Holds::Element(_) => "membranes",
            _ => housing.id.as_str(),
        };
        let values = [
            ("id", housing.id.clone()),
            ("amount", format!("{:.0} mL", dose.amount)),
            ("volume", format!("{:.1}", dose.volume_l)),
            (
                "strength",
                format!("{:.0}", self.doses.sanitise.free_chlorine_mg_l),
            ),
        ];
        let values: Vec<(&str, &str)> = values
            .iter()
            .map(|(name, value)| (*name, value.as_str()))
            .collect();
        self.step(
            Line::new(Phase::Rinse, Action::Dose, target, Turn::Nothing, "oxidant_dose")
                .values(&values)
                .cautions(&["oxidant_out", "bleach"]),
        )
    }

    fn kind(&self, holds: Holds) -> Option<&StageKind> {
        match holds {
            Holds::Stage(index) => self.unit.stages.get(index).map(|stage| &stage.kind),
            _ => None,
        }
    }

    pub(super) fn is_regulator(&self, holds: Holds) -> bool {
        matches!(self.kind(holds), Some(StageKind::Regulator { .. }))
    }

    pub(super) fn is_carbon(&self, holds: Holds) -> bool {
        matches!(self.kind(holds), Some(StageKind::Carbon { .. }))
    }

    fn is_spun(&self, holds: Holds) -> bool {
        matches!(
            self.kind(holds),
            Some(StageKind::Sediment {
                media: SedimentMedia::Spun
            })
        )
    }

    fn is_pleated(&self, holds: Holds) -> bool {
        matches!(
            self.kind(holds),
            Some(StageKind::Sediment {
                media: SedimentMedia::Pleated
            })
        )
    }

    pub(super) fn is_lamp(&self, holds: Holds) -> bool {
        match holds {
            Holds::Polish(index) => self
                .unit
                .permeate
                .polish
                .get(index)
                .is_some_and(|item| item.kind == PolishKind::Uv),
            _ => false,
        }
    }

    /// Name of the part in the list to carry.
    pub(super) fn part_words(&self, holds: Holds) -> Result<String, Stop> {
        let (key, media, size) = match holds {
            Holds::Stage(_) => match self.kind(holds) {
                Some(StageKind::Sediment {
                    media: SedimentMedia::Spun,
                }) => ("sediment", "spun", ""),
                Some(StageKind::Sediment {
                    media: SedimentMedia::Pleated,
                }) => ("sediment", "pleated", ""),
                Some(StageKind::Carbon {
                    media: CarbonMedia::Activated,
                    ..
                }) => ("carbon", "activated", ""),
                Some(StageKind::Carbon {
                    media: CarbonMedia::Catalytic,
                    ..
                }) => ("carbon", "catalytic", ""),
                Some(StageKind::Softener { .. }) => ("softener", "", ""),
                Some(StageKind::Antiscalant) => ("antiscalant", "", ""),
                Some(StageKind::Regulator { .. }) => ("regulator", "", ""),
                _ => ("other", "", ""),
            },
            Holds::Element(index) => {
                let size = self
                    .unit
                    .membranes
                    .elements
                    .get(index)
                    .map_or("", |element| element.size.code());
                ("element", "", size)
            }
            Holds::Polish(index) => match self.unit.permeate.polish.get(index).map(|item| item.kind) {
                Some(PolishKind::MixedBed) => ("mixed_bed", "", ""),
                Some(PolishKind::Carbon) => ("polish_carbon", "", ""),
                Some(PolishKind::Uv) => ("uv", "", ""),
                _ => ("remineraliser", "", ""),
            },
        };
        let media = if media.is_empty() {
            ""
        } else {
            self.texts.word(media)?
        };
        Ok(self.texts.part(key, &[("media", media), ("size", size)])?)
    }
}
