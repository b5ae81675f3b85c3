//! Which places are under pressure (contract 7, "Pressure"), to the safe side.

use std::collections::BTreeSet;

use super::hand::Hand;
use super::network::{Kind, Network, Place, Way};

/// Minutes that trapped water takes through the restrictor and through a membrane.
const THROTTLE_MINUTES: u32 = 2;
const SKIN_MINUTES: u32 = 10;

type Places = BTreeSet<usize>;

/// The pressures, and how long slow ways out have been open.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Water {
    /// Places above atmospheric.
    pub(super) loaded: Places,
    /// For trapped places with a slow way out: minutes it takes, minutes it has had.
    draining: Vec<(usize, u32, u32)>,
}

impl Water {
    /// Before the first step: everything under pressure that can be.
    pub(super) fn in_service(net: &Network, hand: &Hand) -> Self {
        let all = Self {
            loaded: (0..net.places.len()).collect(),
            draining: Vec::new(),
        };
        all.after(net, hand, 0)
    }

    /// The pressures after the hand has done something and `minutes` have passed.
    pub(super) fn after(&self, net: &Network, hand: &Hand, minutes: u32) -> Self {
        let scene = Scene::new(net, hand);
        let live = scene.live();
        let line_loaded = |places: &Places| net.permeate_line.iter().any(|place| places.contains(place));
        let mut quiet = !line_loaded(&self.loaded);
        // If the permeate line comes under pressure in this very step, nothing leaves through the shut-off.
        if quiet && line_loaded(&scene.fed(&live, &scene.airy(true, &live))) {
            quiet = false;
        }
        let first = self.once(&scene, minutes, quiet, &live);
        if !quiet && !line_loaded(&first.loaded) {
            // The line has come to rest: the shut-off opens, with no time passed since.
            return first.once(&scene, 0, true, &live);
        }
        first
    }

    fn once(&self, scene: &Scene<'_>, minutes: u32, quiet: bool, live: &Places) -> Self {
        let airy = scene.airy(quiet, live);
        let fed = scene.fed(live, &airy);
        let costs = scene.escape(quiet, &airy, &fed);
        let mut next = Self {
            loaded: fed.clone(),
            draining: Vec::new(),
        };
        for place in self.loaded.difference(&fed).filter(|place| !airy.contains(place)) {
            let Some(cost) = costs.get(*place).copied().flatten() else {
                next.loaded.insert(*place);
                continue;
            };
            let before = self
                .draining
                .iter()
                .find(|(own, needs, _)| own == place && *needs == cost);
            let passed = before.map_or(0, |(_, _, passed)| *passed).saturating_add(minutes);
            if passed < cost {
                next.loaded.insert(*place);
                next.draining.push((*place, cost, passed));
            }
        }
        next
    }
}

/// What mains, plugged-in pumps and a pressurised tank reach through open ways.
pub(super) fn live(net: &Network, hand: &Hand) -> Places {
    Scene::new(net, hand).live()
}

/// What any source could reach by any way, let out or not.
pub(super) fn threatened(net: &Network, hand: &Hand) -> Places {
    let scene = Scene::new(net, hand);
    scene.fed(&scene.live(), &Places::new())
}

/// A network as the hand has left it: which ways are there.
struct Scene<'a> {
    net: &'a Network,
    hand: &'a Hand,
    /// Per way: there while the permeate line is quiet, and while it is not.
    there: Vec<(bool, bool)>,
}

impl<'a> Scene<'a> {
    fn new(net: &'a Network, hand: &'a Hand) -> Self {
        let there = net
            .ways
            .iter()
            .map(|way| (hand.allows(way, true), hand.allows(way, false)))
            .collect();
        Self { net, hand, there }
    }

    /// The ways that are there.
    fn ways(&self, quiet: bool) -> impl Iterator<Item = &'a Way> + '_ {
        let there = self
            .there
            .iter()
            .map(move |(calm, loaded)| if quiet { *calm } else { *loaded });
        self.net
            .ways
            .iter()
            .zip(there)
            .filter(|(_, there)| *there)
            .map(|(way, _)| way)
    }

    /// Follows ways from `from`, forwards and backwards as `follows` says, never into `barred`.
    fn flood(
        &self,
        from: Places,
        barred: &Places,
        quiet: bool,
        follows: impl Fn(&Way) -> (bool, bool),
    ) -> Places {
        let mut next_to: Vec<Vec<usize>> = vec![Vec::new(); self.net.places.len()];
        for way in self.ways(quiet) {
            let (forward, backward) = follows(way);
            for (here, there, passes) in [(way.start, way.end, forward), (way.end, way.start, backward)] {
                if passes && let Some(list) = next_to.get_mut(here) {
                    list.push(there);
                }
            }
        }
        let mut found = from;
        let mut queue: Vec<usize> = found.iter().copied().collect();
        while let Some(place) = queue.pop() {
            for there in next_to.get(place).into_iter().flatten() {
                if !barred.contains(there) && found.insert(*there) {
                    queue.push(*there);
                }
            }
        }
        found
    }

    /// What sources reach through open ways. A pressure shut-off is no shut-off valve: it counts as open here.
    fn live(&self) -> Places {
        let mut sources = Places::new();
        for (index, place) in self.net.places.iter().enumerate() {
            if *place == Place::Mains || (*place == Place::Tank && self.net.tank_holds_pressure) {
                sources.insert(index);
            }
        }
        let plugged = self
            .net
            .pumps
            .iter()
            .filter(|(id, _)| self.hand.plugged.contains(id));
        sources.extend(plugged.map(|(_, outlet)| *outlet));
        self.flood(sources, &Places::new(), true, |way| match way.kind {
            Kind::Pipe => (true, true),
            Kind::NonReturn => (true, false),
            // An empty membrane housing holds nothing back.
            Kind::Skin => {
                let place = self.net.places.get(way.start);
                let empty = matches!(place, Some(Place::Feed(id)) if self.hand.out.contains(id));
                (empty, empty)
            }
            Kind::Throttle => (false, false),
        })
    }

    /// What sources reach by seeping too, where nothing lets it out to the air.
    fn fed(&self, live: &Places, airy: &Places) -> Places {
        self.flood(live.clone(), airy, true, |_| (true, true))
    }

    /// Places with an open way to the air that no source stands in.
    fn airy(&self, quiet: bool, live: &Places) -> Places {
        let mut air = Places::new();
        for (index, place) in self.net.places.iter().enumerate() {
            let open = match place {
                Place::Tube(name) => name == "restrictor>drain" || self.hand.off.contains(name),
                Place::Inside(id) | Place::Feed(id) => self.hand.open.contains(id),
                Place::Tank => self.net.tank_is_open,
                _ => false,
            };
            if open {
                air.insert(index);
            }
        }
        for way in &self.net.ways {
            let tank = matches!(self.net.places.get(way.end), Some(Place::Tank));
            if way.kind == Kind::Pipe && !tank && self.hand.is_port(way, quiet) {
                air.insert(way.end);
            }
        }
        air.retain(|place| !live.contains(place));
        // Water leaves towards the air: against the direction of this search.
        self.flood(air, live, quiet, |way| match way.kind {
            Kind::Pipe => (true, true),
            Kind::NonReturn => (false, true),
            Kind::Skin | Kind::Throttle => (false, false),
        })
    }

    /// Minutes that each place needs through the slow ways to the air; none where there is no way at all.
    fn escape(&self, quiet: bool, airy: &Places, fed: &Places) -> Vec<Option<u32>> {
        let mut towards: Vec<Vec<(usize, u32)>> = vec![Vec::new(); self.net.places.len()];
        for way in self.ways(quiet) {
            let (out, back) = match way.kind {
                Kind::Pipe => (Some(0), Some(0)),
                Kind::NonReturn => (Some(0), None),
                Kind::Skin => (Some(SKIN_MINUTES), Some(SKIN_MINUTES)),
                Kind::Throttle => (Some(THROTTLE_MINUTES), None),
            };
            for (outlet, inlet, minutes) in [(way.end, way.start, out), (way.start, way.end, back)] {
                if let (Some(minutes), Some(list)) = (minutes, towards.get_mut(outlet)) {
                    list.push((inlet, minutes));
                }
            }
        }
        let mut cost: Vec<Option<u32>> = vec![None; self.net.places.len()];
        let mut todo: BTreeSet<(u32, usize)> = airy.iter().map(|place| (0, *place)).collect();
        while let Some((minutes, place)) = todo.pop_first() {
            match cost.get_mut(place) {
                Some(known) if known.is_none() => *known = Some(minutes),
                _ => continue,
            }
            for (inlet, extra) in towards.get(place).into_iter().flatten() {
                if !fed.contains(inlet) {
                    todo.insert((minutes.saturating_add(*extra), *inlet));
                }
            }
        }
        cost
    }
}
