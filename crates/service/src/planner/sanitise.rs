//! Sanitising: chlorine through the empty housings, between two openings.

use super::draft::{Draft, Line, Stop};
use super::hand::{Do, Job};
use super::plumbing::{Holds, ValveKind};
use super::pressure::Turn;
use crate::card::{Action, Phase};

impl Draft<'_> {
    /// Chlorine through the empty housings, between two openings.
    pub(super) fn sanitise(&mut self) -> Result<(), Stop> {
        let mut housings: Vec<usize> = (0..self.plumbing.housings.len())
            .filter(|index| {
                self.plumbing
                    .housings
                    .get(*index)
                    .is_some_and(|housing| !self.is_regulator(housing.holds) && !self.is_lamp(housing.holds))
            })
            .collect();
        let all = housings.clone();
        // The bleach goes in last, when every element and every carbon lies outside.
        let dose = if housings.is_empty() {
            return Err(Stop::NoOrder);
        } else {
            housings.remove(0)
        };
        housings.push(dose);
        let empty: Vec<Job> = housings
            .iter()
            .map(|housing| Job {
                housing: *housing,
                what: Do::Empty,
            })
            .collect();
        let refill: Vec<Job> = all
            .iter()
            .map(|housing| Job {
                housing: *housing,
                what: Do::Refill,
            })
            .collect();
        let last = self.plumbing.permeate_tubes().next_back().ok_or(Stop::NoOrder)?;

        self.isolate()?;
        self.relieve_for(&empty, Some(last))?;
        let others: Vec<usize> = self
            .plumbing
            .permeate_tubes()
            .filter(|tube| *tube != last)
            .collect();
        self.work_on(&empty, 0, Some(dose))?;
        for tube in &others {
            self.put_back(*tube, Phase::Close, "reconnect")?;
        }
        self.run_bleach(dose)?;
        self.relieve_for(&refill, Some(last))?;
        let carbons: Vec<usize> = all
            .iter()
            .copied()
            .filter(|index| {
                self.plumbing
                    .housings
                    .get(*index)
                    .is_some_and(|h| self.is_carbon(h.holds))
            })
            .collect();
        let polish: Vec<usize> = all
            .iter()
            .copied()
            .filter(|index| {
                self.plumbing
                    .housings
                    .get(*index)
                    .is_some_and(|h| matches!(h.holds, Holds::Polish(_)))
            })
            .collect();
        self.work_on(&refill, self.outlets_of_last(&carbons), None)?;
        self.rinse_carbons(&carbons)?;
        self.return_to_service(Some(self.clearing(false)), &polish)?;
        self.prove("inspect_seals")
    }

    /// Fills with chlorinated water, lets it stand, rinses it out of feed and permeate side.
    fn run_bleach(&mut self, dose: usize) -> Result<(), Stop> {
        let Some(housing) = self.plumbing.housings.get(dose) else {
            return Err(Stop::NoOrder);
        };
        let target = match housing.holds {
            Holds::Element(_) => "membranes",
            _ => housing.id.as_str(),
        };
        let table = &self.doses.sanitise;
        let (strength, least) = (
            format!("{:.0}", table.free_chlorine_mg_l),
            format!("{:.0}", table.least_at_end_mg_l),
        );
        let soak = table.soak_minutes;
        let run = self.doses.discard.polish;
        let (soak_text, run_text) = (soak.to_string(), run.to_string());
        let line = |action, key, minutes| {
            Line::new(Phase::Rinse, action, "membranes", Turn::Nothing, key).minutes(minutes)
        };
        let limits = [
            ("strength", strength.as_str()),
            ("least", least.as_str()),
            ("minutes", &soak_text),
        ];
        let running = [("minutes", run_text.as_str())];
        self.open_flush()?;
        self.open_feed(Phase::Rinse, "open_feed")?;
        self.step(
            line(Action::FlushToDrain, "oxidant_fill", 1)
                .values(&limits)
                .cautions(&["bleach"]),
        )?;
        self.close_feed(Phase::Rinse, "close_feed_again")?;
        self.step(
            Line::new(Phase::Rinse, Action::Soak, target, Turn::Nothing, "oxidant_soak")
                .minutes(soak)
                .values(&limits),
        )?;
        self.open_feed(Phase::Rinse, "open_feed")?;
        let flush = [if self.plumbing.valve(ValveKind::Flush).is_some() {
            "flush_flow"
        } else {
            "flush_restrictor"
        }];
        self.step(
            line(Action::FlushToDrain, "oxidant_flush", run)
                .values(&running)
                .cautions(&flush),
        )?;
        self.step(line(Action::DiscardPermeate, "oxidant_discard", run).values(&running))?;
        self.close_feed(Phase::Rinse, "close_feed_again")
    }
}
