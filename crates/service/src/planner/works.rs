//! The course of each work.

use unit::{Arrangement, Unit};

use super::back::Clearing;
use super::draft::{Draft, Line, Stop};
use super::hand::{Do, Job};
use super::plumbing::{Holds, Plumbing, Set, bit};
use super::pressure::Turn;
use super::search::Goal;
use crate::card::{Action, Phase};
use crate::texts::Language;
use crate::work::Work;

/// Why is flushed, and why permeate is discarded: names of words.
const NEW: (&str, &str) = ("flush_new", "discard_new");
const REFIT: (&str, &str) = ("flush_refit", "discard_refit");
const CHEMICAL: (&str, &str) = ("flush_chemical", "discard_chemical");

/// The whole procedure for this work on this plumbing.
pub(super) fn draft<'a>(
    unit: &'a Unit,
    plumbing: &'a Plumbing,
    work: &[Work],
    language: Language,
) -> Result<Draft<'a>, Stop> {
    let mut draft = Draft::new(unit, plumbing, language)?;
    match work {
        [Work::Sanitise] => draft.sanitise()?,
        [Work::Descale] => draft.bathe("descale_dose", "citric_acid")?,
        [Work::Clean] => draft.bathe("clean_dose", "alkali")?,
        [Work::Commission] => {
            let all: Vec<Job> = (0..plumbing.housings.len())
                .map(|housing| Job {
                    housing,
                    what: Do::Commission,
                })
                .collect();
            draft.parts(&all)?;
        }
        [Work::LayUp] => draft.lay_up()?,
        parts => {
            let jobs = jobs(plumbing, parts)?;
            draft.parts(&jobs)?;
        }
    }
    Ok(draft)
}

/// The jobs in flow order.
fn jobs(plumbing: &Plumbing, work: &[Work]) -> Result<Vec<Job>, Stop> {
    let mut jobs = Vec::new();
    for item in work {
        let what = match item {
            Work::Wash { .. } => Do::Wash,
            Work::Inspect { .. } => Do::Inspect,
            _ => Do::Change,
        };
        let housing = item
            .part()
            .and_then(|part| plumbing.housing(part))
            .ok_or(Stop::NoOrder)?;
        jobs.push(Job { housing, what });
    }
    jobs.sort_by_key(|job| job.housing);
    Ok(jobs)
}

impl Draft<'_> {
    /// Parts changed, washed, looked at, or put in for the first time.
    fn parts(&mut self, jobs: &[Job]) -> Result<(), Stop> {
        let holding = |draft: &Self, test: fn(Holds) -> bool| -> Vec<Job> {
            let mut found = jobs.to_vec();
            found.retain(|job| {
                draft
                    .plumbing
                    .housings
                    .get(job.housing)
                    .is_some_and(|h| test(h.holds))
            });
            found
        };
        let elements = holding(self, |holds| matches!(holds, Holds::Element(_)));
        let polish: Vec<usize> = holding(self, |holds| matches!(holds, Holds::Polish(_)))
            .iter()
            .map(|job| job.housing)
            .collect();
        let carbons: Vec<usize> = jobs
            .iter()
            .map(|job| job.housing)
            .filter(|index| {
                self.plumbing
                    .housings
                    .get(*index)
                    .is_some_and(|h| self.is_carbon(h.holds))
            })
            .collect();
        self.isolate()?;
        self.relieve_for(
            jobs,
            (!elements.is_empty())
                .then(|| self.plumbing.permeate_tubes().next())
                .flatten(),
        )?;
        self.work_on(jobs, self.outlets_of_last(&carbons), None)?;
        self.rinse_carbons(&carbons)?;
        let fresh = elements
            .iter()
            .any(|job| matches!(job.what, Do::Change | Do::Commission));
        let clearing = (!elements.is_empty()).then(|| self.clearing(fresh));
        self.return_to_service(clearing, &polish)?;
        self.prove("inspect_seals")
    }

    /// Tubes that stay off until the first carbon has been rinsed: its outlets.
    pub(super) fn outlets_of_last(&self, carbons: &[usize]) -> Set {
        carbons
            .first()
            .and_then(|index| self.plumbing.housings.get(*index))
            .map_or(0, |housing| {
                housing.feeds.iter().fold(0, |set, tube| set | bit(*tube))
            })
    }

    pub(super) fn clearing(&self, fresh: bool) -> Clearing {
        let ((flush_why, discard_why), flush_minutes, discard_minutes) = if fresh {
            (NEW, self.doses.flush.new, self.doses.discard.new)
        } else {
            (REFIT, self.doses.flush.refit, self.doses.discard.refit)
        };
        Clearing {
            flush_minutes,
            flush_why,
            discard_minutes,
            discard_why,
            preservative: fresh,
        }
    }

    /// Relieves what these jobs open, and the feed tubes of their elements where that can be done too.
    pub(super) fn relieve_for(&mut self, jobs: &[Job], tube_off: Option<usize>) -> Result<(), Stop> {
        let (mut insides, mut tubes) = (0, 0);
        for job in jobs {
            let Some(housing) = self.plumbing.housings.get(job.housing) else {
                return Err(Stop::NoOrder);
            };
            insides |= self.plumbing.inside(housing);
            if matches!(housing.holds, Holds::Element(_)) {
                for tube in &housing.fed_by {
                    tubes |= self.plumbing.tubes.get(*tube).map_or(0, |tube| bit(tube.node));
                }
            }
        }
        let with_tubes = self.relieve(Goal {
            relieved: insides | tubes,
            tube_off,
        });
        match with_tubes {
            Err(Stop::NoOrder) if tubes != 0 => self.relieve(Goal {
                relieved: insides,
                tube_off,
            }),
            other => other,
        }
    }

    /// The tubes through which feed enters the membranes.
    fn entry_tubes(&self) -> Vec<usize> {
        let parallel = self.unit.membranes.arrangement == Arrangement::Parallel;
        self.plumbing
            .housings
            .iter()
            .filter(|housing| match housing.holds {
                Holds::Element(index) => parallel || index == 0,
                _ => false,
            })
            .flat_map(|housing| housing.fed_by.iter().copied())
            .collect()
    }

    /// Relieves the membranes and takes their entry tubes and the permeate tube off.
    fn free_membranes(&mut self, also: Set) -> Result<Vec<usize>, Stop> {
        let entry = self.entry_tubes();
        let mut relieved = also;
        for housing in self
            .plumbing
            .housings
            .iter()
            .filter(|h| matches!(h.holds, Holds::Element(_)))
        {
            relieved |= self.plumbing.inside(housing);
        }
        for tube in &entry {
            relieved |= self.plumbing.tubes.get(*tube).map_or(0, |tube| bit(tube.node));
        }
        let first = self.plumbing.permeate_tubes().next();
        self.relieve(Goal {
            relieved,
            tube_off: first,
        })?;
        for tube in &entry {
            self.take_off(*tube, "disconnect_for_dose")?;
        }
        self.open_flush(Phase::Rinse)?;
        Ok(entry)
    }

    /// Descaling or cleaning: a bath pumped in at the open feed port, never tied to the supply.
    fn bathe(&mut self, key: &str, caution: &str) -> Result<(), Stop> {
        let (dose, bath) = if key == "descale_dose" {
            (self.doses.citric_acid(self.unit), &self.doses.descale)
        } else {
            (self.doses.sodium_carbonate(self.unit), &self.doses.clean)
        };
        self.isolate()?;
        let entry = self.free_membranes(0)?;
        let far = self.ports(&entry)?;
        let values = [
            ("grams", format!("{:.0}", dose.amount)),
            ("litres", format!("{:.0}", dose.volume_l)),
            ("far", far),
            ("minutes", bath.circulate_minutes.to_string()),
            ("low", format!("{:.1}", bath.ph_low)),
            ("high", format!("{:.1}", bath.ph_high)),
            ("renew", format!("{:.1}", bath.ph_renew.unwrap_or(bath.ph_high))),
        ];
        let values: Vec<(&str, &str)> = values
            .iter()
            .map(|(name, value)| (*name, value.as_str()))
            .collect();
        self.step(
            Line::new(Phase::Rinse, Action::Dose, "membranes", Turn::Nothing, key)
                .values(&values)
                .minutes(bath.circulate_minutes)
                .cautions(&[caution]),
        )?;
        let minutes = bath.soak_minutes.to_string();
        self.step(
            Line::new(Phase::Rinse, Action::Soak, "membranes", Turn::Nothing, "soak")
                .values(&[("minutes", &minutes)])
                .minutes(bath.soak_minutes),
        )?;
        let (flush_why, discard_why) = CHEMICAL;
        self.return_to_service(
            Some(Clearing {
                flush_minutes: self.doses.flush.chemical,
                flush_why,
                discard_minutes: self.doses.discard.chemical,
                discard_why,
                preservative: false,
            }),
            &[],
        )?;
        // Nothing was unscrewed, but tubes were off at these housings.
        self.opened = (0..self.plumbing.housings.len())
            .filter(|index| {
                self.plumbing
                    .housings
                    .get(*index)
                    .is_some_and(|h| matches!(h.holds, Holds::Element(_)))
            })
            .collect();
        self.prove("inspect_tubes")
    }

    fn ports(&self, tubes: &[usize]) -> Result<String, Stop> {
        let ends = tubes
            .iter()
            .map(|tube| self.texts.far_end(&self.tube_name(*tube)));
        let names = ends.collect::<Result<Vec<String>, _>>()?;
        Ok(names.join(self.texts.word("then_of")?))
    }

    /// Isolated, drained, preservative in the elements.
    fn lay_up(&mut self) -> Result<(), Stop> {
        let nothing = Line {
            phase: Phase::Prove,
            action: Action::Read,
            target: None,
            turn: Turn::Nothing,
            minutes: None,
            key: "read_before",
            values: &[],
            cautions: &[],
        };
        self.step(nothing)?;
        self.isolate()?;
        let drained: Vec<Job> = (0..self.plumbing.housings.len())
            .filter(|index| {
                self.plumbing
                    .housings
                    .get(*index)
                    .is_some_and(|h| !matches!(h.holds, Holds::Element(_)))
            })
            .map(|housing| Job {
                housing,
                what: Do::Drain,
            })
            .collect();
        let insides = self
            .plumbing
            .housings
            .iter()
            .fold(0, |set, housing| set | self.plumbing.inside(housing));
        let entry = self.free_membranes(insides)?;
        let dose = self.doses.metabisulfite(self.unit);
        let far = self.ports(&entry)?;
        let values = [
            ("grams", format!("{:.0}", dose.amount)),
            ("litres", format!("{:.0}", dose.volume_l)),
            ("far", far),
            ("low", format!("{:.1}", self.doses.preserve.ph_low)),
        ];
        let values: Vec<(&str, &str)> = values
            .iter()
            .map(|(name, value)| (*name, value.as_str()))
            .collect();
        self.step(
            Line::new(
                Phase::Rinse,
                Action::Dose,
                "membranes",
                Turn::Nothing,
                "preserve_dose",
            )
            .values(&values)
            .cautions(&["bisulfite"]),
        )?;
        self.close_flush(Phase::Rinse, "close_flush_lay_up")?;
        self.work_on(&drained, 0, None)?;
        self.put_feed_back(0)?;
        let permeate: Vec<usize> = self.plumbing.permeate_tubes().collect();
        for tube in permeate {
            self.put_back(tube, Phase::Close, "reconnect")?;
        }
        self.release_float(Phase::Close)?;
        let days = self.doses.preserve.renew_days.to_string();
        if self.under_pressure(insides) {
            return Err(Stop::NoOrder);
        }
        self.step(Line {
            phase: Phase::Record,
            action: Action::Record,
            key: "record_lay_up",
            values: &[("days", &days)],
            ..nothing
        })
    }
}
