//! Where water and chemicals run: rinsing, flushing, discarding, dosing, and what must not get where.

use std::collections::BTreeSet;

use unit::StageKind;

use super::Rule;
use super::network::Place;
use super::rules::Walk;
use super::water::live;
use crate::card::{Action, Step};

impl Walk<'_> {
    fn elements_fed(&self) -> (bool, bool) {
        let live = live(&self.net, &self.hand);
        let mut fed = self
            .net
            .places
            .iter()
            .enumerate()
            .filter(|(_, place)| matches!(place, Place::Feed(_)));
        let any = fed.clone().any(|(index, _)| live.contains(&index));
        (any, fed.all(|(index, _)| live.contains(&index)))
    }

    fn permeate_tube_off(&self) -> bool {
        self.hand.off.iter().any(|tube| self.net.is_permeate_tube(tube))
    }

    fn feed_tube_off(&self) -> bool {
        self.hand.off.iter().any(|tube| !self.net.is_permeate_tube(tube))
    }

    fn timed(&mut self, n: usize, step: &Step) {
        if step.minutes.unwrap_or(0) == 0 {
            self.find(n, Rule::Rinse, "it runs no time");
        }
    }

    pub(super) fn rinse(&mut self, n: usize, id: &str, step: &Step) {
        self.timed(n, step);
        let housing = self.unit.stage(id).is_some() && self.net.inside(id).is_some();
        let Some(inside) = self.net.inside(id).filter(|_| housing) else {
            return self.find(n, Rule::Names, format!("the unit has no stage {id} to rinse"));
        };
        let live = live(&self.net, &self.hand);
        let outlets: Vec<String> = self
            .net
            .ways
            .iter()
            .filter(|way| way.start == inside)
            .filter_map(|way| match self.net.places.get(way.end) {
                Some(Place::Tube(tube)) => Some(tube.clone()),
                _ => None,
            })
            .collect();
        let ready = live.contains(&inside)
            && self.hand.open.is_empty()
            && outlets.iter().all(|tube| self.hand.off.contains(tube));
        if !ready {
            self.find(
                n,
                Rule::Rinse,
                format!("feed does not run through {id} to drain, and to drain only"),
            );
            return;
        }
        if let Some(part) = self.parts.get_mut(id) {
            part.rinsed.push(n);
        }
        self.dusty.remove(id);
    }

    pub(super) fn flush(&mut self, n: usize, target: &str, step: &Step) {
        self.timed(n, step);
        if target != "membranes" {
            return self.find(n, Rule::Names, format!("{target} is not flushed"));
        }
        let valve =
            !self.net.valves.iter().any(|valve| valve == "flush_valve") || self.hand.is_open("flush_valve");
        if !self.elements_fed().1 || !valve || self.feed_tube_off() || !self.hand.open.is_empty() {
            return self.find(
                n,
                Rule::Rinse,
                "feed does not run over every membrane to drain with the flush valve open",
            );
        }
        if let Some(oxidant) = self.oxidant.as_mut() {
            oxidant.0 = self.soaked.iter().any(|(at, _)| *at < n);
        }
        let waits = self
            .card
            .steps
            .iter()
            .skip(n)
            .take_while(|step| step.action == Action::Wait);
        let minutes = waits.fold(step.minutes.unwrap_or(0), |sum, wait| {
            sum.saturating_add(wait.minutes.unwrap_or(0))
        });
        if !self.fresh.is_empty() && self.hand.out.is_empty() {
            if (30..=60).contains(&minutes) {
                self.flushed = true;
            } else {
                self.find(
                    n,
                    Rule::Element,
                    format!("new membranes are flushed {minutes} minutes, not 30 to 60"),
                );
            }
        }
        self.clear_fresh();
    }

    pub(super) fn discard(&mut self, n: usize, target: &str, step: &Step) {
        self.timed(n, step);
        if target != "membranes" {
            return self.find(n, Rule::Names, format!("there is no permeate of {target}"));
        }
        let empty = !self.hand.out.is_empty();
        let shut = empty || !self.hand.is_open("flush_valve");
        let (any, all) = self.elements_fed();
        let fed = if empty { any } else { all };
        if !self.permeate_tube_off() || !fed || !shut || self.feed_tube_off() || !self.hand.open.is_empty() {
            return self.find(
                n,
                Rule::Rinse,
                "permeate does not run to drain: a permeate tube off, feed on, flush valve closed",
            );
        }
        let off = |tube: &usize| matches!(self.net.places.get(*tube), Some(Place::Tube(name)) if self.hand.off.contains(name));
        let tubes: Vec<usize> = self
            .net
            .permeate_line
            .iter()
            .copied()
            .filter(|place| matches!(self.net.places.get(*place), Some(Place::Tube(_))))
            .collect();
        let only_last_off = tubes.last().is_some_and(off) && !tubes.iter().rev().skip(1).any(off);
        if only_last_off {
            self.unpurged.clear();
        }
        if let Some(oxidant) = self.oxidant.as_mut() {
            oxidant.1 = self.soaked.iter().any(|(at, _)| *at < n);
        }
        if self.oxidant == Some((true, true)) {
            self.oxidant = None;
        }
        if !self.fresh.is_empty() && !empty {
            if step.minutes.unwrap_or(0) >= 30 {
                self.discarded = true;
            } else {
                self.find(
                    n,
                    Rule::Element,
                    "the permeate of new membranes is discarded less than 30 minutes",
                );
            }
        }
        self.clear_fresh();
    }

    fn clear_fresh(&mut self) {
        if self.flushed && self.discarded {
            self.fresh.clear();
        }
    }

    pub(super) fn dose(&mut self, n: usize, target: &str) {
        self.dosed.push((n, target.to_owned()));
        if self.elements_fed().0 {
            self.find(
                n,
                Rule::Chemical,
                "the chemical goes in while feed is on the membranes",
            );
        }
        if self.sanitising() {
            let elements_in = self
                .net
                .housings()
                .any(|id| self.net.is_element(id) && !self.hand.out.contains(id));
            let carbon_in = self.unit.stages.iter().any(|stage| {
                matches!(stage.kind, StageKind::Carbon { .. })
                    && self
                        .parts
                        .get(&stage.id)
                        .is_none_or(|part| part.removed.len() <= part.inserted.len())
            });
            if elements_in || carbon_in {
                self.find(
                    n,
                    Rule::Chemical,
                    "chlorine goes in while a membrane or carbon is in the unit",
                );
            }
            if target == "membranes" {
                if self.hand.open.is_empty() {
                    self.find(n, Rule::Chemical, "no housing is open to dose into");
                }
            } else if self
                .parts
                .get(target)
                .is_none_or(|part| part.removed.len() <= part.inserted.len())
            {
                self.find(
                    n,
                    Rule::Chemical,
                    format!("the cartridge of {target} is still in it"),
                );
            } else if !self.hand.open.contains(target) {
                self.find(n, Rule::Chemical, format!("{target} is not open to dose into"));
            }
            self.oxidant = Some((false, false));
            return;
        }
        if target != "membranes" || !self.feed_tube_off() || !self.permeate_tube_off() {
            self.find(
                n,
                Rule::Chemical,
                "the bath needs the feed tube and a permeate tube off, and goes into the membranes",
            );
        }
        if !self.laying_up() {
            self.fresh = self
                .net
                .housings()
                .filter(|id| self.net.is_element(id))
                .map(str::to_owned)
                .collect();
            (self.flushed, self.discarded) = (false, false);
        }
    }

    pub(super) fn soak(&mut self, n: usize, target: &str, step: &Step) {
        self.timed(n, step);
        if !self.dosed.iter().any(|(_, dosed)| dosed == target) {
            self.find(n, Rule::Chemical, format!("nothing was dosed into {target}"));
        }
        if self.elements_fed().0 {
            self.find(
                n,
                Rule::Chemical,
                "the chemical is washed on while it should stand",
            );
        }
        self.soaked.push((n, target.to_owned()));
    }

    /// Every tube that is off with water on it belongs to a rinse.
    pub(super) fn catch(&mut self, n: usize, step: &Step) {
        let live = live(&self.net, &self.hand);
        let permeate_runs = self.elements_fed().0;
        let now: BTreeSet<String> = self
            .hand
            .off
            .iter()
            .filter(|tube| {
                let on = self.net.tube(tube).is_some_and(|place| live.contains(&place));
                on || (permeate_runs && self.net.is_permeate_tube(tube))
            })
            .cloned()
            .collect();
        let rinsing = matches!(
            step.action,
            Action::RinseToDrain | Action::FlushToDrain | Action::DiscardPermeate
        );
        let flush_goes_on = step.action == Action::Wait
            && self
                .card
                .steps
                .iter()
                .take(n)
                .rev()
                .find(|step| step.action != Action::Wait)
                .is_some_and(|step| step.action == Action::FlushToDrain);
        let turning = matches!(
            step.action,
            Action::Open
                | Action::Close
                | Action::PlugIn
                | Action::Unplug
                | Action::PressFloat
                | Action::ReleaseFloat
                | Action::Disconnect
                | Action::Reconnect
        );
        if !now.is_empty() && !rinsing && !turning && !flush_goes_on {
            self.find(
                n,
                Rule::Spill,
                "water runs from a tube that is off and nothing is being rinsed",
            );
        }
        let ended: Vec<String> = self
            .running
            .iter()
            .filter(|(tube, _)| !now.contains(*tube))
            .map(|(tube, _)| tube.clone())
            .collect();
        for tube in ended {
            if self.running.remove(&tube) == Some(false) {
                self.find(
                    n,
                    Rule::Spill,
                    format!("{tube} was off with water on it and nothing was rinsed"),
                );
            }
        }
        for tube in now {
            let caught = self.running.entry(tube).or_insert(false);
            *caught |= rinsing;
        }
    }

    /// What reaches the elements, and where their water goes.
    pub(super) fn feeding(&mut self, n: usize) {
        let live = live(&self.net, &self.hand);
        let reached = self
            .fresh
            .iter()
            .any(|id| self.net.inside(id).is_some_and(|place| live.contains(&place)));
        if !self.dusty.is_empty() && self.elements_fed().0 && self.hand.out.is_empty() {
            let dusty = self.dusty.iter().cloned().collect::<Vec<_>>().join(", ");
            self.find(
                n,
                Rule::Carbon,
                format!("{dusty} feeds a membrane and has not been rinsed to drain"),
            );
        }
        let tank_shut = self.hand.valves.get("tank_valve").is_some_and(|open| !open);
        if reached && !self.permeate_tube_off() && !tank_shut {
            self.find(
                n,
                Rule::Element,
                "the first water of a membrane can reach the tank",
            );
        }
        let element_in = self
            .net
            .housings()
            .any(|id| self.net.is_element(id) && !self.hand.out.contains(id));
        if self.oxidant.is_some() && self.elements_fed().0 && element_in {
            self.find(n, Rule::Chemical, "chlorine reaches a membrane");
        }
    }
}
