//! The card as it grows: each step changes the state and leaves its line behind.

use unit::Unit;

use super::plumbing::{Plumbing, Set, bit};
use super::pressure::{State, Turn};
use crate::card::{Action, Phase, Step};
use crate::dose::Doses;
use crate::error::CardError;
use crate::texts::{Language, Texts};

/// Why a plan stopped.
#[derive(Debug)]
pub(super) enum Stop {
    /// No safe order with the plumbing as it is.
    NoOrder,
    /// A fault of the built-in files.
    Card(CardError),
}

impl From<CardError> for Stop {
    fn from(error: CardError) -> Self {
        Self::Card(error)
    }
}

/// One step to be written.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line<'a> {
    pub(super) phase: Phase,
    pub(super) action: Action,
    pub(super) target: Option<&'a str>,
    pub(super) turn: Turn,
    pub(super) minutes: Option<u32>,
    /// Key of the wording.
    pub(super) key: &'a str,
    pub(super) values: &'a [(&'a str, &'a str)],
    pub(super) cautions: &'a [&'a str],
}

impl<'a> Line<'a> {
    pub(super) fn new(phase: Phase, action: Action, target: &'a str, turn: Turn, key: &'a str) -> Self {
        let target = Some(target);
        Self {
            phase,
            action,
            target,
            turn,
            minutes: None,
            key,
            values: &[],
            cautions: &[],
        }
    }

    pub(super) fn values(self, values: &'a [(&'a str, &'a str)]) -> Self {
        Self { values, ..self }
    }

    pub(super) fn cautions(self, cautions: &'a [&'a str]) -> Self {
        Self { cautions, ..self }
    }

    pub(super) fn minutes(self, minutes: u32) -> Self {
        Self {
            minutes: Some(minutes),
            ..self
        }
    }
}

/// A card under way.
pub(super) struct Draft<'a> {
    pub(super) unit: &'a Unit,
    pub(super) plumbing: &'a Plumbing,
    pub(super) texts: &'static Texts,
    pub(super) doses: &'static Doses,
    pub(super) state: State,
    pub(super) steps: Vec<Step>,
    pub(super) pressurised: Vec<Vec<String>>,
    /// Housings opened, in the order of their first opening.
    pub(super) opened: Vec<usize>,
}

impl<'a> Draft<'a> {
    pub(super) fn new(unit: &'a Unit, plumbing: &'a Plumbing, language: Language) -> Result<Self, Stop> {
        Ok(Self {
            unit,
            plumbing,
            texts: Texts::load(language)?,
            doses: Doses::load()?,
            state: State::in_service(plumbing),
            steps: Vec::new(),
            pressurised: Vec::new(),
            opened: Vec::new(),
        })
    }

    /// Writes a step and makes its change.
    pub(super) fn step(&mut self, line: Line<'_>) -> Result<(), Stop> {
        self.state
            .turn(self.plumbing, line.turn, line.minutes.unwrap_or(0));
        if self.state.spills(self.plumbing) {
            return Err(Stop::NoOrder);
        }
        let wording = self.texts.step(line.key, line.values)?;
        let mut cautions = Vec::new();
        for id in line.cautions {
            cautions.push(self.texts.caution(id)?);
        }
        self.steps.push(Step {
            n: u32::try_from(self.steps.len())
                .unwrap_or(u32::MAX)
                .saturating_add(1),
            phase: line.phase,
            action: line.action,
            target: line.target.map(str::to_owned),
            text: wording.text,
            why: wording.why,
            minutes: line.minutes,
            caution: (!cautions.is_empty()).then(|| cautions.join(" ")),
            check: wording.check,
        });
        self.pressurised.push(self.state.pressurised(self.plumbing));
        Ok(())
    }

    pub(super) fn is_off(&self, tube: usize) -> bool {
        self.state.off & bit(tube) != 0
    }

    pub(super) fn valve_open(&self, valve: usize) -> bool {
        self.state.open_valves & bit(valve) != 0
    }

    pub(super) fn under_pressure(&self, set: Set) -> bool {
        self.state.pressure & set != 0
    }

    /// Names of a tube: its own, and what it is taken off from.
    pub(super) fn tube_name(&self, tube: usize) -> String {
        let tube = self.plumbing.tubes.get(tube);
        tube.map(|tube| tube.name.clone()).unwrap_or_default()
    }
}
