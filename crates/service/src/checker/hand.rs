//! What the hand has done so far: valves, pumps, float, tubes, housings.

use std::collections::{BTreeMap, BTreeSet};

use super::network::{Need, Network, Way};

/// The unit as the hand has left it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Hand {
    /// Each valve: open or not.
    pub(super) valves: BTreeMap<String, bool>,
    /// Pumps that are plugged in.
    pub(super) plugged: BTreeSet<String>,
    pub(super) float_down: bool,
    /// Tubes that are off.
    pub(super) off: BTreeSet<String>,
    /// Housings that are open.
    pub(super) open: BTreeSet<String>,
    /// Elements that lie outside.
    pub(super) out: BTreeSet<String>,
}

impl Hand {
    pub(super) fn in_service(net: &Network) -> Self {
        Self {
            valves: net
                .valves
                .iter()
                .map(|valve| (valve.clone(), valve != "flush_valve"))
                .collect(),
            plugged: net.pumps.iter().map(|(id, _)| id.clone()).collect(),
            float_down: false,
            off: BTreeSet::new(),
            open: BTreeSet::new(),
            out: BTreeSet::new(),
        }
    }

    pub(super) fn is_open(&self, valve: &str) -> bool {
        self.valves.get(valve).copied().unwrap_or(false)
    }

    /// Whether the way is there. `quiet`: the permeate line is without pressure, or it does not matter.
    pub(super) fn allows(&self, way: &Way, quiet: bool) -> bool {
        way.needs.iter().all(|need| match need {
            Need::Valve(valve) => self.is_open(valve),
            Need::Tube(tube) => !self.off.contains(tube),
            Need::Float => self.float_down,
            Need::QuietPermeate => quiet,
        })
    }

    /// Whether a way ends in an open port: its tube is off, and what else it needs holds.
    pub(super) fn is_port(&self, way: &Way, quiet: bool) -> bool {
        way.needs
            .iter()
            .any(|need| matches!(need, Need::Tube(tube) if self.off.contains(tube)))
            && way.needs.iter().all(|need| match need {
                Need::Valve(valve) => self.is_open(valve),
                Need::QuietPermeate => quiet,
                Need::Tube(_) | Need::Float => true,
            })
    }
}
