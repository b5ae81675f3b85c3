//! The state of a unit under work, and which of its segments are under pressure in it.
//!
//! Contract 7, "Pressure", to the safe side: a pressure shut-off never isolates, a plugged-in pump always
//! pushes, and a slow source arrives at once.

use super::plumbing::{Gate, Link, Plumbing, Set, bit};

/// Minutes for water to come to rest through the restrictor and through a membrane.
const RESTRICTOR_MINUTES: u32 = 2;
const MEMBRANE_MINUTES: u32 = 10;

/// Everything that a step can change.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) struct State {
    /// Valves that are open.
    pub(super) open_valves: Set,
    /// Pumps that are plugged in.
    pub(super) plugged: Set,
    pub(super) float_pressed: bool,
    /// Tubes taken off.
    pub(super) off: Set,
    /// Segments whose housing is open.
    pub(super) open: Set,
    /// Elements' segments whose element lies outside: feed and permeate meet there.
    pub(super) bare: Set,
    /// Segments under pressure.
    pub(super) pressure: Set,
    /// For each segment with a slow way out: how long that takes, and how long it has been open.
    slow: Vec<(u32, u32)>,
}

/// One change of the state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Turn {
    Valve(usize, bool),
    Pump(usize, bool),
    Float(bool),
    Tube(usize, bool),
    Housing(usize, bool),
    Bare(usize, bool),
    Nothing,
}

impl State {
    /// In service, tank full, everything under pressure that can be.
    pub(super) fn in_service(plumbing: &Plumbing) -> Self {
        let mut state = Self {
            open_valves: plumbing
                .valves
                .iter()
                .enumerate()
                .filter(|(_, (kind, _))| *kind != super::plumbing::ValveKind::Flush)
                .fold(0, |set, (index, _)| set | bit(index)),
            plugged: (0..plumbing.pumps.len()).fold(0, |set, index| set | bit(index)),
            float_pressed: false,
            off: 0,
            open: 0,
            bare: 0,
            pressure: (0..plumbing.names.len()).fold(0, |set, node| set | bit(node)),
            slow: vec![(0, 0); plumbing.names.len()],
        };
        state.settle(plumbing, 0);
        state
    }

    /// Makes a change and lets `minutes` pass after it.
    pub(super) fn turn(&mut self, plumbing: &Plumbing, turn: Turn, minutes: u32) {
        let put = |set: &mut Set, index: usize, on: bool| {
            if on {
                *set |= bit(index);
            } else {
                *set &= !bit(index);
            }
        };
        match turn {
            Turn::Valve(valve, open) => put(&mut self.open_valves, valve, open),
            Turn::Pump(pump, plugged) => put(&mut self.plugged, pump, plugged),
            Turn::Float(pressed) => self.float_pressed = pressed,
            Turn::Tube(tube, on) => put(&mut self.off, tube, !on),
            Turn::Housing(node, open) => put(&mut self.open, node, open),
            Turn::Bare(node, bare) => put(&mut self.bare, node, bare),
            Turn::Nothing => {}
        }
        self.settle(plumbing, minutes);
    }

    /// Whether a link's tube is on, its valve open and its float pressed.
    fn stands(&self, link: &Link) -> bool {
        link.tube.is_none_or(|tube| self.off & bit(tube) == 0)
            && link.valve.is_none_or(|valve| self.open_valves & bit(valve) != 0)
            && (!link.float || self.float_pressed)
    }

    /// Segments that a source reaches through open ways; a pressure shut-off counts as open.
    pub(super) fn reached(&self, plumbing: &Plumbing) -> Set {
        let mut set = bit(plumbing.mains);
        if plumbing.tank_pressurised {
            set |= bit(plumbing.tank);
        }
        for (index, pump) in plumbing.pumps.iter().enumerate() {
            if self.plugged & bit(index) != 0 {
                set |= bit(pump.outlet);
            }
        }
        self.spread(plumbing, set, 0, |link| {
            let free = matches!(link.gate, Gate::Plain | Gate::Shutoff)
                || (link.gate == Gate::Membrane && self.bare & bit(link.from) != 0);
            (free || link.gate == Gate::Forward, free)
        })
    }

    /// Segments that a source reaches through any way, slow ones too, unless in `vented`.
    pub(super) fn seeped(&self, plumbing: &Plumbing, reached: Set, vented: Set) -> Set {
        self.spread(plumbing, reached, vented, |_| (true, true))
    }

    /// Grows `set` along the links, forwards or backwards as `passes` says, never into `barred`.
    fn spread(
        &self,
        plumbing: &Plumbing,
        mut set: Set,
        barred: Set,
        passes: impl Fn(&Link) -> (bool, bool),
    ) -> Set {
        loop {
            let before = set;
            for link in plumbing.links.iter().filter(|link| self.stands(link)) {
                let (forward, backward) = passes(link);
                let (from, to) = (bit(link.from), bit(link.to));
                if forward && set & from != 0 {
                    set |= to & !barred;
                }
                if backward && set & to != 0 {
                    set |= from & !barred;
                }
            }
            if set == before {
                return set;
            }
        }
    }

    /// Segments that are open to the air themselves.
    fn to_the_air(&self, plumbing: &Plumbing, shut: bool) -> Set {
        let mut air = bit(plumbing.drain_tube) | self.open;
        if plumbing.tank_open {
            air |= bit(plumbing.tank);
        }
        for (index, tube) in plumbing.tubes.iter().enumerate() {
            if self.off & bit(index) != 0 {
                air |= bit(tube.node);
            }
        }
        for link in &plumbing.links {
            let off = link.tube.is_some_and(|tube| self.off & bit(tube) != 0);
            let valve = link.valve.is_none_or(|valve| self.open_valves & bit(valve) != 0);
            let port = link.gate == Gate::Plain || (link.gate == Gate::Shutoff && !shut);
            if off && valve && port && link.to != plumbing.tank {
                air |= bit(link.to);
            }
        }
        air
    }

    /// Segments with an open way to the air that does not lead through `blocked`.
    fn vented(&self, plumbing: &Plumbing, air: Set, shut: bool, blocked: Set) -> Set {
        let mut set = air & !blocked;
        loop {
            let before = set;
            for link in plumbing.links.iter().filter(|link| self.stands(link)) {
                let free = link.gate == Gate::Plain || (link.gate == Gate::Shutoff && !shut);
                let (from, to) = (bit(link.from), bit(link.to));
                if (free || link.gate == Gate::Forward) && set & to != 0 {
                    set |= from & !blocked;
                }
                if free && set & from != 0 {
                    set |= to & !blocked;
                }
            }
            if set == before {
                return set;
            }
        }
    }

    /// Minutes that trapped water needs through the slow ways, per segment; none where there is no way.
    fn slow_ways(&self, plumbing: &Plumbing, vented: Set, shut: bool, blocked: Set) -> Vec<Option<u32>> {
        let mut cost: Vec<Option<u32>> = (0..plumbing.names.len())
            .map(|node| (vented & bit(node) != 0).then_some(0))
            .collect();
        loop {
            let mut changed = false;
            for link in plumbing.links.iter().filter(|link| self.stands(link)) {
                let (minutes, backward) = match link.gate {
                    Gate::Shutoff if shut => continue,
                    Gate::Plain | Gate::Shutoff => (0, true),
                    Gate::Forward => (0, false),
                    Gate::Membrane => (MEMBRANE_MINUTES, true),
                    Gate::Restrictor => (RESTRICTOR_MINUTES, false),
                };
                let mut relax = |at: usize, via: usize| {
                    let Some(Some(beyond)) = cost.get(via).copied() else {
                        return;
                    };
                    if blocked & bit(at) != 0 {
                        return;
                    }
                    let through = beyond.saturating_add(minutes);
                    if let Some(known) = cost.get_mut(at)
                        && known.is_none_or(|known| through < known)
                    {
                        *known = Some(through);
                        changed = true;
                    }
                };
                relax(link.from, link.to);
                if backward {
                    relax(link.to, link.from);
                }
            }
            if !changed {
                return cost;
            }
        }
    }

    /// Brings the pressures up to date after a change and `minutes`.
    fn settle(&mut self, plumbing: &Plumbing, minutes: u32) {
        let reached = self.reached(plumbing);
        let before = self.pressure;
        let mut shut = plumbing.shutoff && before & plumbing.permeate_line != 0;
        let mut minutes = minutes;
        for _ in 0..3 {
            let air = self.to_the_air(plumbing, shut);
            let vented = self.vented(plumbing, air, shut, reached);
            let sourced = self.seeped(plumbing, reached, vented);
            if plumbing.shutoff && !shut && sourced & plumbing.permeate_line != 0 {
                shut = true;
                continue;
            }
            let trapped = self.pressure & !sourced;
            let ways = self.slow_ways(plumbing, vented, shut, sourced);
            let mut held = 0;
            for (node, way) in ways.iter().enumerate() {
                let Some(clock) = self.slow.get_mut(node) else {
                    continue;
                };
                match way {
                    Some(0) => *clock = (0, 0),
                    Some(needs) if trapped & bit(node) != 0 => {
                        if clock.0 != *needs {
                            *clock = (*needs, 0);
                        }
                        clock.1 = clock.1.saturating_add(minutes);
                        if clock.1 < *needs {
                            held |= bit(node);
                        } else {
                            *clock = (0, 0);
                        }
                    }
                    _ => {
                        *clock = (0, 0);
                        held |= trapped & bit(node);
                    }
                }
            }
            self.pressure = sourced | held;
            let relieved = self.pressure & plumbing.permeate_line == 0;
            if shut && relieved {
                // The line has just been relieved: the shut-off opens, and what stands before it begins to vent.
                shut = false;
                minutes = 0;
                continue;
            }
            break;
        }
    }

    /// Shortest further wait after which something trapped comes to rest.
    pub(super) fn next_relief(&self) -> Option<u32> {
        self.slow
            .iter()
            .filter(|(needs, _)| *needs > 0)
            .map(|(needs, passed)| needs - passed)
            .min()
    }

    /// Whether no source could push into `set` by any way, slow ones and vented ones included.
    pub(super) fn isolated(&self, plumbing: &Plumbing, set: Set) -> bool {
        self.plugged == 0 && self.seeped(plumbing, self.reached(plumbing), 0) & set == 0
    }

    /// Whether a source runs out of an open housing or out of a port whose tube is off.
    pub(super) fn spills(&self, plumbing: &Plumbing) -> bool {
        let reached = self.reached(plumbing);
        if reached & self.open != 0 {
            return true;
        }
        plumbing.links.iter().any(|link| {
            link.tube.is_some_and(|tube| self.off & bit(tube) != 0)
                && link.gate != Gate::Forward
                && link.valve.is_none_or(|valve| self.open_valves & bit(valve) != 0)
                && reached & bit(link.to) != 0
        })
    }

    /// Tubes that are off and have a source on them.
    pub(super) fn running(&self, plumbing: &Plumbing) -> Set {
        let reached = self.reached(plumbing);
        plumbing
            .tubes
            .iter()
            .enumerate()
            .filter(|(index, tube)| self.off & bit(*index) != 0 && reached & bit(tube.node) != 0)
            .fold(0, |set, (index, _)| set | bit(index))
    }

    /// Names of the segments under pressure, in flow order; open housings and tubes off are left out.
    pub(super) fn pressurised(&self, plumbing: &Plumbing) -> Vec<String> {
        let mut set = self.pressure;
        if set & bit(plumbing.restrictor_inlet) != 0 {
            // Water on its way out still stands above atmospheric in the first of the drain line.
            set |= bit(plumbing.drain_tube);
        }
        for housing in &plumbing.housings {
            if plumbing.inside(housing) & set != 0 {
                set |= bit(housing.node);
            }
        }
        set &= !self.open;
        for (index, tube) in plumbing.tubes.iter().enumerate() {
            if self.off & bit(index) != 0 {
                set &= !bit(tube.node);
            }
        }
        plumbing
            .names
            .iter()
            .enumerate()
            .filter(|(node, _)| set & bit(*node) != 0)
            .filter_map(|(_, name)| name.clone())
            .collect()
    }
}
