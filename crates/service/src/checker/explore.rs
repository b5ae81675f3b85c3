//! Every state that safe hands can bring a unit into: the proof that a refusal is right.

use std::collections::BTreeSet;

use unit::Unit;

use super::hand::Hand;
use super::network::{Network, Place};
use super::rules::{may_disconnect, outflow};
use super::water::Water;

/// What can be reached by safe moves from a unit in service.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Reach {
    /// Housings that can be opened.
    pub housings: BTreeSet<String>,
    /// Tubes that can be taken off.
    pub tubes: BTreeSet<String>,
    /// Whether every state was looked at.
    pub complete: bool,
    /// How many states were looked at.
    pub states: usize,
}

impl Reach {
    /// Whether some permeate tube can be taken off.
    pub fn permeate_tube(&self, unit: &Unit) -> bool {
        let net = Network::new(unit);
        self.tubes.iter().any(|tube| net.is_permeate_tube(tube))
    }
}

/// Looks at every state that valves, pumps, float, tubes, housings and waiting can safely reach, each of them
/// both ways, up to `most` states.
///
/// Housings and tubes that can be opened are opened one after the other, never two of them at once where one
/// would be enough, so the answer tells of each housing whether it can be opened at all.
pub fn explore(unit: &Unit, most: usize) -> Reach {
    let net = Network::new(unit);
    let hand = Hand::in_service(&net);
    let water = Water::in_service(&net, &hand);
    let mut reach = Reach {
        complete: true,
        ..Reach::default()
    };
    let mut seen = BTreeSet::from([(hand.clone(), water.clone())]);
    let mut queue = vec![(hand, water)];
    while let Some((hand, water)) = queue.pop() {
        note(&net, &hand, &water, &mut reach);
        for (next, minutes) in moves(&net, &hand, &water) {
            let after = water.after(&net, &next, minutes);
            if outflow(&net, &next).is_some() {
                continue;
            }
            let state = (next, after);
            if seen.contains(&state) {
                continue;
            }
            if seen.len() >= most {
                reach.complete = false;
                continue;
            }
            seen.insert(state.clone());
            queue.push(state);
        }
    }
    reach.states = seen.len();
    reach
}

fn note(net: &Network, hand: &Hand, water: &Water, reach: &mut Reach) {
    if !hand.plugged.is_empty() {
        return;
    }
    let permeate = net.find(&Place::Permeate);
    for id in net.housings() {
        let quiet = |place: Option<usize>| place.is_some_and(|place| !water.loaded.contains(&place));
        if quiet(net.inside(id)) && (!net.is_element(id) || quiet(permeate)) {
            reach.housings.insert(id.to_owned());
        }
    }
    for tube in net.tubes() {
        if may_disconnect(net, hand, water, tube).is_ok() {
            reach.tubes.insert(tube.to_owned());
        }
    }
}

fn moves(net: &Network, hand: &Hand, water: &Water) -> Vec<(Hand, u32)> {
    let mut moves = Vec::new();
    let mut push = |change: &dyn Fn(&mut Hand), minutes: u32| {
        let mut next = hand.clone();
        change(&mut next);
        moves.push((next, minutes));
    };
    for valve in &net.valves {
        push(
            &|next| {
                if let Some(open) = next.valves.get_mut(valve) {
                    *open = !*open;
                }
            },
            0,
        );
    }
    if !hand.plugged.is_empty() {
        push(&|next| next.plugged.clear(), 0);
    }
    if net.float {
        push(&|next| next.float_down = !next.float_down, 0);
    }
    for minutes in [2, 10] {
        push(&|_| {}, minutes);
    }
    if hand.plugged.is_empty() {
        let permeate = net.find(&Place::Permeate);
        for id in net.housings().filter(|id| !hand.open.contains(*id)) {
            let quiet = |place: Option<usize>| place.is_some_and(|place| !water.loaded.contains(&place));
            if quiet(net.inside(id)) && (!net.is_element(id) || quiet(permeate)) {
                push(
                    &|next| {
                        next.open.insert(id.to_owned());
                    },
                    0,
                );
            }
        }
        for tube in net.tubes().filter(|tube| !hand.off.contains(*tube)) {
            if may_disconnect(net, hand, water, tube).is_ok() {
                push(
                    &|next| {
                        next.off.insert(tube.to_owned());
                    },
                    0,
                );
            }
        }
    }
    moves
}
