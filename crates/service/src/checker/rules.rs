//! Walks through a card and holds every step against the rules.

use std::collections::{BTreeMap, BTreeSet};

use unit::{StageKind, Unit};

use super::hand::Hand;
use super::network::{Kind, Need, Network, Place};
use super::water::{Water, live, threatened};
use super::whole;
use super::{Finding, Rule};
use crate::card::{Action, JobCard, Step};
use crate::work::Work;

/// One part's story so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Part {
    /// Steps, by number, at which each thing was done to it.
    pub(super) opened: Vec<usize>,
    pub(super) closed: Vec<usize>,
    pub(super) greased: Vec<usize>,
    pub(super) removed: Vec<usize>,
    pub(super) inserted: Vec<usize>,
    pub(super) washed: Vec<usize>,
    pub(super) looked_at: Vec<usize>,
    pub(super) rinsed: Vec<usize>,
    /// Leak checks: step, minutes since the start, whether it could be seen under pressure.
    pub(super) leak_checks: Vec<(usize, u32, bool)>,
}

/// Where the walk stands.
pub(super) struct Walk<'a> {
    pub(super) unit: &'a Unit,
    pub(super) card: &'a JobCard,
    pub(super) net: Network,
    pub(super) hand: Hand,
    pub(super) water: Water,
    pub(super) parts: BTreeMap<String, Part>,
    pub(super) findings: Vec<Finding>,
    /// Minutes since the start.
    pub(super) clock: u32,
    /// Carbons handled and not yet rinsed.
    pub(super) dusty: BTreeSet<String>,
    /// Elements put in, or bathed, and not yet flushed and their permeate discarded.
    pub(super) fresh: BTreeSet<String>,
    /// Polishing items put in whose first water has not gone to drain yet.
    pub(super) unpurged: BTreeSet<String>,
    /// The last readings were taken with the unit as in service.
    pub(super) read_in_service: bool,
    pub(super) flushed: bool,
    pub(super) discarded: bool,
    /// Chlorine is in the unit; whether it has been flushed and discarded since.
    pub(super) oxidant: Option<(bool, bool)>,
    pub(super) dosed: Vec<(usize, String)>,
    pub(super) soaked: Vec<(usize, String)>,
    /// Tubes that are off with water on them, and whether a step has caught it yet.
    pub(super) running: BTreeMap<String, bool>,
}

pub(super) fn check(unit: &Unit, card: &JobCard) -> Vec<Finding> {
    let net = Network::new(unit);
    let hand = Hand::in_service(&net);
    let water = Water::in_service(&net, &hand);
    let parts = net
        .housings()
        .map(|id| (id.to_owned(), Part::default()))
        .collect();
    let mut walk = Walk {
        unit,
        card,
        net,
        hand,
        water,
        parts,
        findings: Vec::new(),
        clock: 0,
        dusty: BTreeSet::new(),
        fresh: BTreeSet::new(),
        unpurged: BTreeSet::new(),
        read_in_service: false,
        flushed: false,
        discarded: false,
        oxidant: None,
        dosed: Vec::new(),
        soaked: Vec::new(),
        running: BTreeMap::new(),
    };
    for (index, step) in card.steps.iter().enumerate() {
        walk.step(index + 1, step);
    }
    whole::end(&mut walk);
    walk.findings
}

/// Whether a tube may come off: `true` where only as the means of relief.
pub(super) fn may_disconnect(
    net: &Network,
    hand: &Hand,
    water: &Water,
    tube: &str,
) -> Result<bool, &'static str> {
    let Some(place) = net.tube(tube) else {
        return Err("there is no such tube");
    };
    if tube == "restrictor>drain" {
        return Err("the drain line stays on");
    }
    if !hand.plugged.is_empty() {
        return Err("a pump is plugged in");
    }
    // The port behind it opens too; the tank's own port only where nothing shuts it.
    let mut opened = vec![place];
    for way in net.ways.iter().filter(|way| way.start == place) {
        if !matches!(net.places.get(way.end), Some(Place::Tank)) {
            opened.push(way.end);
        }
    }
    if opened.iter().all(|place| !water.loaded.contains(place)) {
        return Ok(false);
    }
    if !net.is_permeate_tube(tube) {
        return Err("it can be under pressure");
    }
    let threatened = threatened(net, hand);
    if opened.iter().any(|place| threatened.contains(place)) {
        return Err("a source that is not isolated can reach it");
    }
    Ok(true)
}

/// Where a source runs out of the unit at a place that no one leads to a bucket.
pub(super) fn outflow(net: &Network, hand: &Hand) -> Option<String> {
    if hand.open.is_empty() && hand.off.is_empty() {
        return None;
    }
    let live = live(net, hand);
    for id in &hand.open {
        if net.inside(id).is_some_and(|place| live.contains(&place)) {
            return Some(format!("water is let on to the open housing {id}"));
        }
    }
    let port = net
        .ways
        .iter()
        .find(|way| way.kind == Kind::Pipe && hand.is_port(way, true) && live.contains(&way.end))?;
    let tube = port.needs.iter().find_map(|need| match need {
        Need::Tube(tube) => Some(tube.as_str()),
        _ => None,
    });
    Some(format!(
        "water runs out of the open port of {}",
        tube.unwrap_or("a tube")
    ))
}

impl Walk<'_> {
    pub(super) fn find(&mut self, step: usize, rule: Rule, text: impl Into<String>) {
        self.findings.push(Finding {
            step,
            rule,
            text: text.into(),
        });
    }

    pub(super) fn sanitising(&self) -> bool {
        self.card.work == [Work::Sanitise]
    }

    pub(super) fn laying_up(&self) -> bool {
        self.card.work == [Work::LayUp]
    }

    pub(super) fn carbon_stage(&self, id: &str) -> bool {
        self.unit
            .stage(id)
            .is_some_and(|stage| matches!(stage.kind, StageKind::Carbon { .. }))
    }

    pub(super) fn relieved(&self, id: &str) -> bool {
        let quiet = |place: Option<usize>| place.is_some_and(|place| !self.water.loaded.contains(&place));
        quiet(self.net.inside(id)) && (!self.net.is_element(id) || quiet(self.net.find(&Place::Permeate)))
    }

    fn step(&mut self, n: usize, step: &Step) {
        if usize::try_from(step.n) != Ok(n) {
            self.find(n, Rule::Form, format!("it is numbered {}", step.n));
        }
        if step.text.is_empty() || step.why.is_empty() {
            self.find(n, Rule::Form, "it does not say what to do and why");
        }
        let target = step.target.as_deref().unwrap_or_default();
        match step.action {
            Action::Open | Action::Close => self.valve(n, target, step.action == Action::Open),
            Action::Unplug | Action::PlugIn => self.pump(n, target, step.action == Action::PlugIn),
            Action::PressFloat | Action::ReleaseFloat => {
                self.float(n, target, step.action == Action::PressFloat);
            }
            Action::Disconnect => self.disconnect(n, target, step),
            Action::Reconnect => self.reconnect(n, target),
            Action::OpenHousing => self.open_housing(n, target),
            Action::CloseHousing => self.close_housing(n, target),
            Action::Remove | Action::Insert | Action::Wash => self.part(n, target, step.action),
            Action::Inspect | Action::Grease => self.look_or_grease(n, target, step),
            Action::RinseToDrain => self.rinse(n, target, step),
            Action::FlushToDrain => self.flush(n, target, step),
            Action::DiscardPermeate => self.discard(n, target, step),
            Action::Dose => self.dose(n, target),
            Action::Soak => self.soak(n, target, step),
            Action::Wait | Action::Read | Action::Record => {
                if step.target.is_some() {
                    self.find(n, Rule::Names, "waiting, reading and recording have no target");
                }
                if step.action == Action::Read {
                    self.read_in_service = self.hand == Hand::in_service(&self.net);
                }
                if step.action == Action::Wait && step.minutes.unwrap_or(0) == 0 {
                    self.find(n, Rule::Form, "it waits no time");
                }
            }
        }
        let minutes = step.minutes.unwrap_or(0);
        self.clock = self.clock.saturating_add(minutes);
        let before = self.water.clone();
        self.water = before.after(&self.net, &self.hand, minutes);
        if minutes > 0 && step.check.is_none() && before.loaded.len() > self.water.loaded.len() {
            self.find(
                n,
                Rule::Form,
                "waiting is the relief here and it does not say how to see that it worked",
            );
        }
        if let Some(text) = outflow(&self.net, &self.hand) {
            self.find(n, Rule::Spill, text);
        }
        self.catch(n, step);
        self.feeding(n);
        self.report(n);
    }

    fn valve(&mut self, n: usize, name: &str, open: bool) {
        match self.hand.valves.get_mut(name) {
            None => self.find(n, Rule::Names, format!("the unit has no valve {name}")),
            Some(state) if *state == open => self.find(n, Rule::Sense, format!("{name} stands so already")),
            Some(state) => *state = open,
        }
    }

    fn pump(&mut self, n: usize, id: &str, plug_in: bool) {
        if !self.net.pumps.iter().any(|(own, _)| own == id) {
            return self.find(n, Rule::Names, format!("the unit has no pump {id}"));
        }
        let changed = if plug_in {
            self.hand.plugged.insert(id.to_owned())
        } else {
            self.hand.plugged.remove(id)
        };
        if !changed {
            self.find(n, Rule::Sense, format!("{id} stands so already"));
        }
        if plug_in {
            if !self.hand.open.is_empty() {
                self.find(n, Rule::Pump, "a housing is still open");
            }
            if self.hand.off.iter().any(|tube| !self.net.is_permeate_tube(tube)) {
                self.find(n, Rule::Pump, "a feed tube is still off");
            }
        }
    }

    fn float(&mut self, n: usize, target: &str, down: bool) {
        if target != "float_valve" || !self.net.float {
            return self.find(n, Rule::Names, format!("the unit has no {target}"));
        }
        if self.hand.float_down == down {
            self.find(n, Rule::Sense, "the float stands so already");
        }
        self.hand.float_down = down;
    }

    fn disconnect(&mut self, n: usize, target: &str, step: &Step) {
        let tube = target.strip_prefix("tube:").unwrap_or_default();
        if self.hand.off.contains(tube) {
            return self.find(n, Rule::Sense, format!("{tube} is off already"));
        }
        match may_disconnect(&self.net, &self.hand, &self.water, tube) {
            Ok(false) => {}
            Ok(true) if step.caution.is_some() => {}
            Ok(true) => self.find(
                n,
                Rule::Pressure,
                format!("{tube} comes off under pressure without a caution"),
            ),
            Err(why) if self.net.tube(tube).is_none() => {
                return self.find(n, Rule::Names, format!("{target}: {why}"));
            }
            Err(why) if !self.hand.plugged.is_empty() => self.find(n, Rule::Pump, format!("{tube}: {why}")),
            Err(why) => self.find(n, Rule::Pressure, format!("{tube} may not come off: {why}")),
        }
        self.hand.off.insert(tube.to_owned());
    }

    fn reconnect(&mut self, n: usize, target: &str) {
        let tube = target.strip_prefix("tube:").unwrap_or_default();
        if !self.hand.off.remove(tube) {
            self.find(n, Rule::Sense, format!("{target} is not off"));
        }
    }

    fn report(&mut self, n: usize) {
        let Some(said) = self.card.pressurised_after.get(n - 1) else {
            return;
        };
        let permeate = self
            .net
            .find(&Place::Permeate)
            .is_some_and(|place| self.water.loaded.contains(&place));
        let mut wrong = Vec::new();
        for (index, place) in self.net.places.iter().enumerate() {
            let loaded = self.water.loaded.contains(&index);
            let (name, must, left_out) = match place {
                Place::Tube(name) => (name, loaded, self.hand.off.contains(name)),
                Place::Inside(id) => (id, loaded, self.hand.open.contains(id)),
                Place::Feed(id) => (id, loaded || permeate, self.hand.open.contains(id)),
                _ => continue,
            };
            let named = said.contains(name);
            if named && left_out {
                wrong.push(format!("{name} is open to the air and named as under pressure"));
            } else if !named && must && !left_out {
                wrong.push(format!("{name} can be under pressure and is not named"));
            }
        }
        for name in said {
            let known = self.net.tube(name).is_some() || self.net.inside(name).is_some();
            if !known {
                wrong.push(format!("there is no segment {name}"));
            }
        }
        for text in wrong {
            self.find(n, Rule::Report, text);
        }
    }

    pub(super) fn left_dusty(&self) -> Vec<String> {
        self.dusty.iter().cloned().collect()
    }

    pub(super) fn uncaught(&self) -> bool {
        self.running.values().any(|caught| !caught)
    }
}
