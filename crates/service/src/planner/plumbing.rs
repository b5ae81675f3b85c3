//! The plumbing of a unit as a graph of segments, and what stands between them.

use unit::{Arrangement, Shutoff, StageKind, TankKind, Unit};

/// A set of segments or tubes, one bit each.
pub(super) type Set = u128;

/// Most segments that a graph can hold.
pub(super) const MOST_SEGMENTS: usize = 128;

/// How water passes between two segments.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Gate {
    /// Freely, both ways.
    Plain,
    /// Freely forwards; backwards slowly and only from a source (check valve, stopped pump).
    Forward,
    /// Freely while the permeate line is relieved; as a way out, not at all while it is not.
    Shutoff,
    /// Slowly, both ways, through a membrane.
    Membrane,
    /// Slowly, through the restrictor.
    Restrictor,
}

/// A way between two segments.
#[derive(Clone, Copy, Debug)]
pub(super) struct Link {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) gate: Gate,
    /// Holds only while this tube is on.
    pub(super) tube: Option<usize>,
    /// Holds only while this valve is open.
    pub(super) valve: Option<usize>,
    /// Holds only while the float is pressed.
    pub(super) float: bool,
}

/// A valve that a hand turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum ValveKind {
    Inlet,
    Stage(usize),
    Flush,
    Tank,
}

/// A tube between two components.
#[derive(Clone, Debug)]
pub(super) struct Tube {
    /// `A>B`.
    pub(super) name: String,
    /// Its own segment.
    pub(super) node: usize,
    /// The segment it leads into, for a tube that can be taken off.
    pub(super) leads_to: usize,
    /// Whether it carries permeate.
    pub(super) permeate: bool,
}

/// What a housing holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Holds {
    Stage(usize),
    Element(usize),
    Polish(usize),
}

/// Something with a cap or a bowl.
#[derive(Clone, Debug)]
pub(super) struct Housing {
    pub(super) id: String,
    pub(super) holds: Holds,
    /// Its inside; an element's feed side.
    pub(super) node: usize,
    /// Tubes that lead into it.
    pub(super) fed_by: Vec<usize>,
    /// Tubes that leave it on the feed side (a polish item's on the permeate side).
    pub(super) feeds: Vec<usize>,
}

/// A booster pump.
#[derive(Clone, Debug)]
pub(super) struct Pump {
    pub(super) id: String,
    /// The segment it pushes into.
    pub(super) outlet: usize,
}

/// The whole graph. Segments without a name are joints that no one can see.
#[derive(Clone, Debug)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a part that the unit has or has not"
)]
pub(super) struct Plumbing {
    pub(super) names: Vec<Option<String>>,
    pub(super) links: Vec<Link>,
    pub(super) valves: Vec<(ValveKind, String)>,
    pub(super) tubes: Vec<Tube>,
    pub(super) housings: Vec<Housing>,
    pub(super) pumps: Vec<Pump>,
    /// Where the supply stands.
    pub(super) mains: usize,
    /// The tank; none of its own pressure where it is open.
    pub(super) tank: usize,
    pub(super) tank_pressurised: bool,
    /// An open tank, or nothing that holds the permeate back.
    pub(super) tank_open: bool,
    pub(super) float: bool,
    pub(super) shutoff: bool,
    pub(super) restrictor_inlet: usize,
    pub(super) drain_tube: usize,
    /// The permeate side of all elements.
    pub(super) permeate: usize,
    /// Segments after the check valve.
    pub(super) permeate_line: Set,
}

pub(super) fn bit(index: usize) -> Set {
    if index < MOST_SEGMENTS { 1 << index } else { 0 }
}

impl Plumbing {
    /// The graph of this unit; none where it has more segments than a set can hold.
    pub(super) fn of(unit: &Unit) -> Option<Self> {
        let plumbing = Builder::build(unit);
        (plumbing.names.len() <= MOST_SEGMENTS).then_some(plumbing)
    }

    pub(super) fn valve(&self, kind: ValveKind) -> Option<usize> {
        self.valves.iter().position(|(other, _)| *other == kind)
    }

    /// The valve that shuts off the most: the inlet's, else the first that a stage has.
    pub(super) fn feed_valve(&self) -> Option<usize> {
        self.valve(ValveKind::Inlet).or_else(|| {
            self.valves
                .iter()
                .position(|(kind, _)| matches!(kind, ValveKind::Stage(_)))
        })
    }

    pub(super) fn housing(&self, id: &str) -> Option<usize> {
        self.housings.iter().position(|housing| housing.id == id)
    }

    /// The permeate tubes in flow order.
    pub(super) fn permeate_tubes(&self) -> impl DoubleEndedIterator<Item = usize> + '_ {
        self.tubes
            .iter()
            .enumerate()
            .filter(|(_, tube)| tube.permeate)
            .map(|(index, _)| index)
    }

    /// What has to be without pressure before this housing may be opened.
    pub(super) fn inside(&self, housing: &Housing) -> Set {
        match housing.holds {
            Holds::Element(_) => bit(housing.node) | bit(self.permeate),
            _ => bit(housing.node),
        }
    }
}

struct Builder {
    plumbing: Plumbing,
}

impl Builder {
    fn build(unit: &Unit) -> Plumbing {
        let mut builder = Self {
            plumbing: Plumbing {
                names: Vec::new(),
                links: Vec::new(),
                valves: Vec::new(),
                tubes: Vec::new(),
                housings: Vec::new(),
                pumps: Vec::new(),
                mains: 0,
                tank: 0,
                tank_pressurised: false,
                tank_open: false,
                float: false,
                shutoff: unit.permeate.shutoff == Shutoff::Pressure,
                restrictor_inlet: 0,
                drain_tube: 0,
                permeate: 0,
                permeate_line: 0,
            },
        };
        let outlets = builder.stages(unit);
        builder.elements(unit, outlets);
        builder.permeate_side(unit);
        builder.plumbing
    }

    fn node(&mut self, name: Option<String>) -> usize {
        self.plumbing.names.push(name);
        self.plumbing.names.len() - 1
    }

    fn link(&mut self, from: usize, to: usize, gate: Gate) -> &mut Link {
        let index = self.plumbing.links.len();
        self.plumbing.links.push(Link {
            from,
            to,
            gate,
            tube: None,
            valve: None,
            float: false,
        });
        &mut self.plumbing.links[index]
    }

    fn valve(&mut self, kind: ValveKind, name: String) -> usize {
        self.plumbing.valves.push((kind, name));
        self.plumbing.valves.len() - 1
    }

    /// A tube from the segment `from`, named `a>b`, leading into `to` through `gate`.
    fn tube(
        &mut self,
        a: &str,
        b: &str,
        from: usize,
        to: usize,
        gate: Gate,
        permeate: bool,
    ) -> (usize, usize) {
        let name = format!("{a}>{b}");
        let node = self.node(Some(name.clone()));
        let tube = self.plumbing.tubes.len();
        self.plumbing.tubes.push(Tube {
            name,
            node,
            leads_to: to,
            permeate,
        });
        self.link(from, node, Gate::Plain);
        self.link(node, to, gate).tube = Some(tube);
        (tube, self.plumbing.links.len() - 1)
    }

    /// All stages; answers the last one's name and outlet.
    fn stages(&mut self, unit: &Unit) -> (String, usize, Option<usize>) {
        let mains = self.node(None);
        self.plumbing.mains = mains;
        let inlet = self.node(None);
        self.link(mains, inlet, Gate::Plain);
        if unit.inlet_valve {
            let valve = self.valve(ValveKind::Inlet, "inlet_valve".to_owned());
            if let Some(link) = self.plumbing.links.last_mut() {
                link.valve = Some(valve);
            }
        }
        let (mut name, mut outlet, mut housing) = ("inlet".to_owned(), inlet, None);
        for (index, stage) in unit.stages.iter().enumerate() {
            let pump = matches!(stage.kind, StageKind::Pump { .. });
            let inside = self.node((!pump).then(|| stage.id.clone()));
            let gate = if pump { Gate::Forward } else { Gate::Plain };
            let (tube, link) = self.tube(&name, &stage.id, outlet, inside, gate, false);
            if stage.inlet_valve {
                let valve = self.valve(ValveKind::Stage(index), format!("{}.inlet_valve", stage.id));
                self.plumbing.links[link].valve = Some(valve);
            }
            self.leaves(housing, tube);
            if pump {
                self.plumbing.pumps.push(Pump {
                    id: stage.id.clone(),
                    outlet: inside,
                });
                housing = None;
            } else {
                housing = Some(self.plumbing.housings.len());
                self.plumbing.housings.push(Housing {
                    id: stage.id.clone(),
                    holds: Holds::Stage(index),
                    node: inside,
                    fed_by: vec![tube],
                    feeds: Vec::new(),
                });
            }
            (name, outlet) = (stage.id.clone(), inside);
        }
        (name, outlet, housing)
    }

    fn leaves(&mut self, housing: Option<usize>, tube: usize) {
        if let Some(housing) = housing.and_then(|index| self.plumbing.housings.get_mut(index)) {
            housing.feeds.push(tube);
        }
    }

    fn elements(&mut self, unit: &Unit, (last, outlet, last_housing): (String, usize, Option<usize>)) {
        let gate = if self.plumbing.shutoff {
            Gate::Shutoff
        } else {
            Gate::Plain
        };
        let permeate = self.node(None);
        let restrictor_inlet = self.node(None);
        let parallel = unit.membranes.arrangement == Arrangement::Parallel;
        let (mut name, mut outlet, mut feeder, mut gate) = (last, outlet, last_housing, gate);
        let count = unit.membranes.elements.len();
        for (index, element) in unit.membranes.elements.iter().enumerate() {
            let inside = self.node(Some(element.id.clone()));
            let (tube, _) = self.tube(&name, &element.id, outlet, inside, gate, false);
            self.leaves(feeder, tube);
            self.link(inside, permeate, Gate::Membrane);
            let housing = self.plumbing.housings.len();
            self.plumbing.housings.push(Housing {
                id: element.id.clone(),
                holds: Holds::Element(index),
                node: inside,
                fed_by: vec![tube],
                feeds: Vec::new(),
            });
            if parallel || index + 1 == count {
                let (tube, _) = self.tube(
                    &element.id,
                    "restrictor",
                    inside,
                    restrictor_inlet,
                    Gate::Plain,
                    false,
                );
                self.leaves(Some(housing), tube);
            }
            if !parallel {
                (name, outlet, feeder, gate) = (element.id.clone(), inside, Some(housing), Gate::Plain);
            }
        }
        let drain = self.node(Some("restrictor>drain".to_owned()));
        self.link(restrictor_inlet, drain, Gate::Restrictor);
        if unit.concentrate.flush_valve {
            let valve = self.valve(ValveKind::Flush, "flush_valve".to_owned());
            self.link(restrictor_inlet, drain, Gate::Plain).valve = Some(valve);
        }
        self.plumbing.permeate = permeate;
        self.plumbing.restrictor_inlet = restrictor_inlet;
        self.plumbing.drain_tube = drain;
    }

    fn permeate_side(&mut self, unit: &Unit) {
        let plumbing = &mut self.plumbing;
        let kind = unit.permeate.tank.map(|tank| tank.kind);
        plumbing.tank_pressurised = matches!(kind, Some(TankKind::Pressurised { .. }));
        // A float valve belongs to an open tank; at a pressurised one it could not work and nothing relies on it.
        plumbing.float = unit.permeate.shutoff == Shutoff::Float && !plumbing.tank_pressurised;
        // Without a tank nobody knows what the line ends in: to the safe side, in something that is shut.
        plumbing.tank_open = matches!(kind, Some(TankKind::Open)) || plumbing.float;
        let check = if unit.permeate.check_valve {
            Gate::Forward
        } else {
            Gate::Plain
        };
        let (mut name, mut outlet) = ("membranes".to_owned(), self.plumbing.permeate);
        let first_new = self.plumbing.names.len();
        let mut first_link = Some(check);
        for (index, item) in unit.permeate.polish.iter().enumerate() {
            let inside = self.node(Some(item.id.clone()));
            let (tube, link) = self.tube(&name, &item.id, outlet, inside, Gate::Plain, true);
            self.behind_check(&mut first_link, link);
            if let Some(before) = index.checked_sub(1) {
                let before = self
                    .plumbing
                    .housings
                    .iter()
                    .position(|h| h.holds == Holds::Polish(before));
                self.leaves(before, tube);
            }
            self.plumbing.housings.push(Housing {
                id: item.id.clone(),
                holds: Holds::Polish(index),
                node: inside,
                fed_by: vec![tube],
                feeds: Vec::new(),
            });
            (name, outlet) = (item.id.clone(), inside);
        }
        let tank = self.node(None);
        let (tube, link) = self.tube(&name, "tank", outlet, tank, Gate::Plain, true);
        self.behind_check(&mut first_link, link);
        let last = unit.permeate.polish.len().checked_sub(1);
        let last = self
            .plumbing
            .housings
            .iter()
            .position(|housing| Some(housing.holds) == last.map(Holds::Polish));
        self.leaves(last, tube);
        if unit.permeate.tank.is_some_and(|tank| tank.valve) {
            let valve = self.valve(ValveKind::Tank, "tank_valve".to_owned());
            self.plumbing.links[link].valve = Some(valve);
        }
        self.plumbing.links[link].float = self.plumbing.float;
        self.plumbing.tank = tank;
        for node in first_new..self.plumbing.names.len() {
            if node != tank {
                self.plumbing.permeate_line |= bit(node);
            }
        }
    }

    /// Puts the check valve before the first permeate tube.
    fn behind_check(&mut self, gate: &mut Option<Gate>, tube_link: usize) {
        let before = tube_link
            .checked_sub(1)
            .and_then(|index| self.plumbing.links.get_mut(index));
        if let (Some(gate), Some(link)) = (gate.take(), before) {
            link.gate = gate;
        }
    }
}
