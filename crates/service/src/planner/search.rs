//! Shortest way to relieved water: Dijkstra's algorithm over valves, float, permeate tube and waiting.

use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap};

use super::plumbing::{Plumbing, Set, ValveKind, bit};
use super::pressure::{State, Turn};

/// What must hold at the end of the search.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Goal {
    /// Segments that must be without pressure.
    pub(super) relieved: Set,
    /// A permeate tube that must be off.
    pub(super) tube_off: Option<usize>,
}

/// One move of the search.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Move {
    pub(super) turn: Turn,
    pub(super) minutes: u32,
    /// The permeate tube comes off while it may still be under pressure, as the means of relief.
    pub(super) under_pressure: bool,
}

/// A step costs 10, a minute 1, a tube taken off under pressure 25 more: a technician would rather turn a
/// valve than pull a tube, and rather pull a tube on relieved water.
const STEP: u32 = 10;
const UNDER_PRESSURE: u32 = 25;

/// Most states that are looked at. The moves are few and the graph small: a full search stays far below it.
const MOST_STATES: usize = 20_000;

/// The cheapest moves from `start` (pumps unplugged) to the goal; none where there are none.
pub(super) fn relieve(plumbing: &Plumbing, start: &State, goal: Goal) -> Option<Vec<Move>> {
    let mut states = vec![(start.clone(), None::<(usize, Move)>)];
    let mut best: HashMap<State, u32> = HashMap::from([(start.clone(), 0)]);
    let mut queue = BinaryHeap::from([Reverse((0_u32, 0_usize))]);
    while let Some(Reverse((cost, index))) = queue.pop() {
        let state = states.get(index)?.0.clone();
        if best.get(&state).is_some_and(|known| *known < cost) {
            continue;
        }
        if reached_goal(&state, goal) {
            return Some(path(&states, index));
        }
        if states.len() > MOST_STATES {
            return None;
        }
        for step in moves(plumbing, &state, goal) {
            let mut next = state.clone();
            next.turn(plumbing, step.turn, step.minutes);
            if next.spills(plumbing) || next.running(plumbing) != 0 {
                continue;
            }
            let extra = if step.under_pressure { UNDER_PRESSURE } else { 0 };
            let total = cost + STEP + step.minutes + extra;
            if best.get(&next).is_none_or(|known| total < *known) {
                best.insert(next.clone(), total);
                states.push((next, Some((index, step))));
                queue.push(Reverse((total, states.len() - 1)));
            }
        }
    }
    None
}

fn reached_goal(state: &State, goal: Goal) -> bool {
    state.pressure & goal.relieved == 0 && goal.tube_off.is_none_or(|tube| state.off & bit(tube) != 0)
}

fn path(states: &[(State, Option<(usize, Move)>)], mut index: usize) -> Vec<Move> {
    let mut moves = Vec::new();
    while let Some((_, Some((before, step)))) = states.get(index) {
        moves.push(*step);
        index = *before;
    }
    moves.reverse();
    moves
}

/// What a hand may do next. Turning a valve back is no move: it never brings anything to rest.
fn moves(plumbing: &Plumbing, state: &State, goal: Goal) -> Vec<Move> {
    let quick = |turn| Move {
        turn,
        minutes: 0,
        under_pressure: false,
    };
    let mut moves = Vec::new();
    let is_open = |valve: usize| state.open_valves & bit(valve) != 0;
    if let Some(valve) = plumbing.feed_valve().filter(|valve| is_open(*valve)) {
        moves.push(quick(Turn::Valve(valve, false)));
    }
    if let Some(valve) = plumbing.valve(ValveKind::Flush).filter(|valve| !is_open(*valve)) {
        moves.push(quick(Turn::Valve(valve, true)));
    }
    if let Some(valve) = plumbing.valve(ValveKind::Tank).filter(|valve| is_open(*valve)) {
        moves.push(quick(Turn::Valve(valve, false)));
    }
    if plumbing.float && !state.float_pressed {
        moves.push(quick(Turn::Float(true)));
    }
    let first = plumbing.permeate_tubes().next();
    for tube in goal
        .tube_off
        .into_iter()
        .chain(first.filter(|tube| goal.tube_off != Some(*tube)))
    {
        if state.off & bit(tube) == 0
            && let Some(under_pressure) = may_take_off(plumbing, state, tube)
        {
            moves.push(Move {
                turn: Turn::Tube(tube, false),
                minutes: 0,
                under_pressure,
            });
        }
    }
    if let Some(minutes) = state.next_relief() {
        moves.push(Move {
            turn: Turn::Nothing,
            minutes,
            under_pressure: false,
        });
    }
    moves
}

/// Whether this tube may come off: on relieved water, or (a permeate tube, everything isolated) as the means
/// of relief, which the answer then says.
pub(super) fn may_take_off(plumbing: &Plumbing, state: &State, tube: usize) -> Option<bool> {
    let tube = plumbing.tubes.get(tube)?;
    if state.plugged != 0 {
        return None;
    }
    let mut water = bit(tube.node);
    if tube.leads_to != plumbing.tank {
        water |= bit(tube.leads_to);
    }
    if state.pressure & water == 0 {
        return Some(false);
    }
    (tube.permeate && state.isolated(plumbing, water)).then_some(true)
}
