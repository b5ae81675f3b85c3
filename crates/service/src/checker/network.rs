//! The checker's own picture of a unit: places that hold water and ways between them.

use unit::{Arrangement, Shutoff, StageKind, TankKind, Unit};

/// What a way does to water.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// A free passage.
    Pipe,
    /// Free from start to end; from end to start only as seepage from a live source.
    NonReturn,
    /// Seepage in both directions.
    Skin,
    /// Seepage out to drain.
    Throttle,
}

/// What has to hold for a way to be there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Need {
    /// This valve open.
    Valve(String),
    /// This tube on.
    Tube(String),
    /// The float held down.
    Float,
    /// The permeate line without pressure; counts only for water on its way out.
    QuietPermeate,
}

#[derive(Clone, Debug)]
pub(super) struct Way {
    pub(super) start: usize,
    pub(super) end: usize,
    pub(super) kind: Kind,
    pub(super) needs: Vec<Need>,
}

/// What lives in a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// A tube, `A>B`.
    Tube(String),
    /// The inside of a stage or a polishing item.
    Inside(String),
    /// The feed side of an element.
    Feed(String),
    /// The permeate side of all elements.
    Permeate,
    /// A joint with no name of its own: behind the inlet valve, behind a pump, before the restrictor.
    Joint(String),
    /// The supply.
    Mains,
    /// The tank.
    Tank,
}

#[derive(Clone, Debug)]
pub(super) struct Network {
    pub(super) places: Vec<Place>,
    pub(super) ways: Vec<Way>,
    /// Names of all valves, in flow order.
    pub(super) valves: Vec<String>,
    /// Ids of pumps with the place they push into.
    pub(super) pumps: Vec<(String, usize)>,
    pub(super) float: bool,
    pub(super) tank_holds_pressure: bool,
    pub(super) tank_is_open: bool,
    /// Places after the check valve, up to the tank.
    pub(super) permeate_line: Vec<usize>,
}

impl Network {
    pub(super) fn new(unit: &Unit) -> Self {
        let tank = unit.permeate.tank.map(|tank| tank.kind);
        let tank_holds_pressure = matches!(tank, Some(TankKind::Pressurised { .. }));
        let float = unit.permeate.shutoff == Shutoff::Float && !tank_holds_pressure;
        let mut net = Self {
            places: Vec::new(),
            ways: Vec::new(),
            valves: Vec::new(),
            pumps: Vec::new(),
            float,
            tank_holds_pressure,
            tank_is_open: float || matches!(tank, Some(TankKind::Open)),
            permeate_line: Vec::new(),
        };
        net.lay_feed(unit);
        net.lay_permeate(unit);
        net
    }

    pub(super) fn find(&self, place: &Place) -> Option<usize> {
        self.places.iter().position(|other| other == place)
    }

    pub(super) fn tube(&self, name: &str) -> Option<usize> {
        self.places
            .iter()
            .position(|place| matches!(place, Place::Tube(tube) if tube == name))
    }

    /// The inside of a housing: a stage's or polishing item's own, an element's feed side.
    pub(super) fn inside(&self, id: &str) -> Option<usize> {
        self.places.iter().position(|place| match place {
            Place::Inside(own) | Place::Feed(own) => own == id,
            _ => false,
        })
    }

    pub(super) fn is_element(&self, id: &str) -> bool {
        self.places
            .iter()
            .any(|place| matches!(place, Place::Feed(own) if own == id))
    }

    pub(super) fn is_permeate_tube(&self, name: &str) -> bool {
        self.tube(name)
            .is_some_and(|tube| self.permeate_line.contains(&tube))
    }

    /// Ids of everything with a housing, in flow order.
    pub(super) fn housings(&self) -> impl Iterator<Item = &str> {
        self.places.iter().filter_map(|place| match place {
            Place::Inside(id) | Place::Feed(id) => Some(id.as_str()),
            _ => None,
        })
    }

    pub(super) fn tubes(&self) -> impl Iterator<Item = &str> {
        self.places.iter().filter_map(|place| match place {
            Place::Tube(name) => Some(name.as_str()),
            _ => None,
        })
    }

    fn place(&mut self, place: Place) -> usize {
        if let Some(known) = self.find(&place) {
            return known;
        }
        self.places.push(place);
        self.places.len() - 1
    }

    fn way(&mut self, start: usize, end: usize, kind: Kind, needs: Vec<Need>) {
        self.ways.push(Way {
            start,
            end,
            kind,
            needs,
        });
    }

    /// Lays a tube and its connection at the far end.
    fn lay(&mut self, near: (&str, usize), far: (&str, usize), kind: Kind, mut needs: Vec<Need>) -> usize {
        let name = format!("{}>{}", near.0, far.0);
        let tube = self.place(Place::Tube(name.clone()));
        self.way(near.1, tube, Kind::Pipe, Vec::new());
        needs.push(Need::Tube(name));
        self.way(tube, far.1, kind, needs);
        tube
    }

    fn lay_feed(&mut self, unit: &Unit) {
        let mains = self.place(Place::Mains);
        let tap = self.place(Place::Joint("inlet".to_owned()));
        let mut needs = Vec::new();
        if unit.inlet_valve {
            self.valves.push("inlet_valve".to_owned());
            needs.push(Need::Valve("inlet_valve".to_owned()));
        }
        self.way(mains, tap, Kind::Pipe, needs);
        let mut near = ("inlet".to_owned(), tap);
        for stage in &unit.stages {
            let mut needs = Vec::new();
            if stage.inlet_valve {
                let valve = format!("{}.inlet_valve", stage.id);
                self.valves.push(valve.clone());
                needs.push(Need::Valve(valve));
            }
            let (far, kind) = if matches!(stage.kind, StageKind::Pump { .. }) {
                let far = self.place(Place::Joint(stage.id.clone()));
                self.pumps.push((stage.id.clone(), far));
                (far, Kind::NonReturn)
            } else {
                (self.place(Place::Inside(stage.id.clone())), Kind::Pipe)
            };
            self.lay((&near.0, near.1), (&stage.id, far), kind, needs);
            near = (stage.id.clone(), far);
        }
        let pilot = if unit.permeate.shutoff == Shutoff::Pressure {
            vec![Need::QuietPermeate]
        } else {
            Vec::new()
        };
        let permeate = self.place(Place::Permeate);
        let restrictor = self.place(Place::Joint("restrictor".to_owned()));
        match unit.membranes.arrangement {
            Arrangement::Series => {
                for (index, element) in unit.membranes.elements.iter().enumerate() {
                    let feed = self.place(Place::Feed(element.id.clone()));
                    let needs = if index == 0 { pilot.clone() } else { Vec::new() };
                    self.lay((&near.0, near.1), (&element.id, feed), Kind::Pipe, needs);
                    self.way(feed, permeate, Kind::Skin, Vec::new());
                    near = (element.id.clone(), feed);
                }
                self.lay(
                    (&near.0, near.1),
                    ("restrictor", restrictor),
                    Kind::Pipe,
                    Vec::new(),
                );
            }
            Arrangement::Parallel => {
                for element in &unit.membranes.elements {
                    let feed = self.place(Place::Feed(element.id.clone()));
                    self.lay((&near.0, near.1), (&element.id, feed), Kind::Pipe, pilot.clone());
                    self.way(feed, permeate, Kind::Skin, Vec::new());
                    self.lay(
                        (&element.id, feed),
                        ("restrictor", restrictor),
                        Kind::Pipe,
                        Vec::new(),
                    );
                }
            }
        }
        let drain = self.place(Place::Tube("restrictor>drain".to_owned()));
        self.way(restrictor, drain, Kind::Throttle, Vec::new());
        if unit.concentrate.flush_valve {
            self.valves.push("flush_valve".to_owned());
            self.way(
                restrictor,
                drain,
                Kind::Pipe,
                vec![Need::Valve("flush_valve".to_owned())],
            );
        }
    }

    fn lay_permeate(&mut self, unit: &Unit) {
        let permeate = self.place(Place::Permeate);
        let tank = self.place(Place::Tank);
        let mut names: Vec<&str> = unit.permeate.polish.iter().map(|item| item.id.as_str()).collect();
        names.push("tank");
        let mut near = ("membranes", permeate);
        for name in names {
            let mut needs = Vec::new();
            let far = if name == "tank" {
                if unit.permeate.tank.is_some_and(|tank| tank.valve) {
                    self.valves.push("tank_valve".to_owned());
                    needs.push(Need::Valve("tank_valve".to_owned()));
                }
                if self.float {
                    needs.push(Need::Float);
                }
                tank
            } else {
                self.place(Place::Inside(name.to_owned()))
            };
            let tube = self.lay(near, (name, far), Kind::Pipe, needs);
            if near.0 == "membranes"
                && unit.permeate.check_valve
                && let Some(way) = self.ways.iter_mut().find(|way| way.end == tube)
            {
                way.kind = Kind::NonReturn;
            }
            self.permeate_line.push(tube);
            if far != tank {
                self.permeate_line.push(far);
            }
            near = (name, far);
        }
    }
}
