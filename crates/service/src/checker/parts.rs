//! Housings and parts: opened on relieved water, handled as asked, closed with greased seals, leak-checked.

use super::Rule;
use super::hand::Hand;
use super::rules::Walk;
use super::water::Water;
use crate::card::{Action, Step};
use crate::work::Work;

impl Walk<'_> {
    pub(super) fn open_housing(&mut self, n: usize, id: &str) {
        if !self.parts.contains_key(id) {
            return self.find(n, Rule::Names, format!("the unit has no housing {id}"));
        }
        if !self.hand.plugged.is_empty() {
            self.find(n, Rule::Pump, format!("{id} is opened with a pump plugged in"));
        }
        if !self.relieved(id) {
            self.find(n, Rule::Pressure, format!("{id} can be under pressure"));
        }
        if !self.hand.open.insert(id.to_owned()) {
            self.find(n, Rule::Sense, format!("{id} is open already"));
        }
        let whole = self.card.work.iter().any(|work| work.part().is_none());
        if !whole && !self.card.work.iter().any(|work| work.part() == Some(id)) {
            self.find(n, Rule::Sense, format!("nothing is to be done at {id}"));
        }
        if let Some(part) = self.parts.get_mut(id) {
            part.opened.push(n);
        }
        if self.carbon_stage(id) {
            self.dusty.insert(id.to_owned());
        }
    }

    pub(super) fn close_housing(&mut self, n: usize, id: &str) {
        if !self.hand.open.remove(id) {
            return self.find(n, Rule::Sense, format!("{id} is not open"));
        }
        let since = self
            .parts
            .get(id)
            .and_then(|part| part.opened.last().copied())
            .unwrap_or(0);
        let greased = self
            .parts
            .get(id)
            .is_some_and(|part| part.greased.iter().any(|at| *at > since));
        if !greased {
            self.find(n, Rule::Part, format!("the seals of {id} were not greased"));
        }
        let out = self.hand.out.contains(id)
            || self
                .parts
                .get(id)
                .is_some_and(|part| part.removed.len() > part.inserted.len());
        if out && !self.sanitising() && !self.laying_up() {
            self.find(n, Rule::Part, format!("{id} is closed with nothing in it"));
        }
        if let Some(part) = self.parts.get_mut(id) {
            part.closed.push(n);
        }
    }

    pub(super) fn part(&mut self, n: usize, id: &str, action: Action) {
        let Some(part) = self.parts.get_mut(id) else {
            return self.find(
                n,
                Rule::Names,
                format!("the unit has no part {id} with a housing"),
            );
        };
        let out = part.removed.len() > part.inserted.len();
        let commission = self.card.work == [Work::Commission];
        let problem = match action {
            Action::Remove => {
                part.removed.push(n);
                out.then_some("is out already")
            }
            Action::Insert => {
                part.inserted.push(n);
                (!(out || commission && part.inserted.len() == 1)).then_some("is in already")
            }
            _ => {
                part.washed.push(n);
                (!out).then_some("is still in its housing")
            }
        };
        if self.net.is_element(id) {
            match action {
                Action::Remove => {
                    self.hand.out.insert(id.to_owned());
                }
                Action::Insert => {
                    self.hand.out.remove(id);
                    self.fresh.insert(id.to_owned());
                    (self.flushed, self.discarded) = (false, false);
                }
                _ => {}
            }
        }
        if action == Action::Insert && self.unit.permeate.polish.iter().any(|item| item.id == id) {
            self.unpurged.insert(id.to_owned());
        }
        if let Some(problem) = problem {
            self.find(n, Rule::Part, format!("{id} {problem}"));
        }
        if !self.hand.open.contains(id) {
            self.find(n, Rule::Part, format!("the housing of {id} is closed"));
        }
        if action == Action::Insert
            && self.oxidant.is_some()
            && (self.net.is_element(id) || self.carbon_stage(id))
        {
            self.find(
                n,
                Rule::Chemical,
                format!("{id} goes in while chlorine is in the unit"),
            );
        }
    }

    pub(super) fn look_or_grease(&mut self, n: usize, target: &str, step: &Step) {
        let seals = target.strip_prefix("seals:");
        let id = seals.unwrap_or(target);
        if !self.parts.contains_key(id) {
            return self.find(n, Rule::Names, format!("the unit has no {target}"));
        }
        let open = self.hand.open.contains(id);
        let seen = self.seen_under_pressure(id);
        let (clock, laying_up) = (self.clock, self.laying_up());
        let Some(part) = self.parts.get_mut(id) else {
            return;
        };
        let out = part.removed.len() > part.inserted.len();
        match (step.action, seals.is_some()) {
            (Action::Grease, true) => {
                part.greased.push(n);
                if !open {
                    self.find(n, Rule::Part, format!("the housing of {id} is closed"));
                }
            }
            (Action::Grease, false) => self.find(n, Rule::Names, "seals are greased, not parts"),
            (_, true) if open => {}
            (_, true) => part.leak_checks.push((n, clock, seen)),
            (_, false) => {
                part.looked_at.push(n);
                if !open || (!out && !laying_up) {
                    self.find(
                        n,
                        Rule::Part,
                        format!("{id} is looked at while it stands in its housing"),
                    );
                }
            }
        }
    }

    /// Whether a leak would show now: under pressure, or, where the line is open to the air in service,
    /// with the feed on as in service.
    fn seen_under_pressure(&self, id: &str) -> bool {
        if !self.relieved(id) {
            return true;
        }
        let service = Hand::in_service(&self.net);
        let place = self.net.inside(id);
        let never = place.is_some_and(|place| {
            let mut shut = service.clone();
            if let Some(valve) = shut.valves.get_mut("tank_valve") {
                *valve = false;
            }
            [&service, &shut]
                .iter()
                .all(|hand| !Water::in_service(&self.net, hand).loaded.contains(&place))
        });
        never && self.hand == service
    }
}
