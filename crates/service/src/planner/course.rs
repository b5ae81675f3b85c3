//! The parts of a procedure that every work shares: isolate, relieve, rinse, return to service, prove.

use super::draft::{Draft, Line, Stop};
use super::plumbing::{Holds, Set, ValveKind, bit};
use super::pressure::Turn;
use super::search::{Goal, may_take_off, relieve};
use crate::card::{Action, Phase};

impl Draft<'_> {
    /// Pumps off, feed shut wherever that can be done.
    pub(super) fn isolate(&mut self) -> Result<(), Stop> {
        let pumps: Vec<String> = self.plumbing.pumps.iter().map(|pump| pump.id.clone()).collect();
        for (index, id) in pumps.iter().enumerate() {
            self.step(
                Line::new(
                    Phase::Isolate,
                    Action::Unplug,
                    id,
                    Turn::Pump(index, false),
                    "unplug",
                )
                .values(&[("id", id)])
                .cautions(&["pump_plug"]),
            )?;
        }
        self.close_feed(Phase::Isolate, "close_feed")
    }

    pub(super) fn close_feed(&mut self, phase: Phase, key: &str) -> Result<(), Stop> {
        let Some((valve, name)) = self.feed_valve() else {
            return Ok(());
        };
        if !self.valve_open(valve) {
            return Ok(());
        }
        let words = self.texts.valve(&name)?;
        self.step(
            Line::new(phase, Action::Close, &name, Turn::Valve(valve, false), key)
                .values(&[("valve", &words)]),
        )
    }

    pub(super) fn open_feed(&mut self, phase: Phase, key: &str) -> Result<(), Stop> {
        let Some((valve, name)) = self.feed_valve() else {
            return Ok(());
        };
        if self.valve_open(valve) {
            return Ok(());
        }
        let words = self.texts.valve(&name)?;
        self.step(
            Line::new(phase, Action::Open, &name, Turn::Valve(valve, true), key)
                .values(&[("valve", &words)])
                .cautions(&["open_slowly"]),
        )
    }

    fn feed_valve(&self) -> Option<(usize, String)> {
        let valve = self.plumbing.feed_valve()?;
        Some((valve, self.plumbing.valves.get(valve)?.1.clone()))
    }

    /// Searches the way to relieved water and writes it down.
    pub(super) fn relieve(&mut self, goal: Goal) -> Result<(), Stop> {
        let moves = relieve(self.plumbing, &self.state, goal).ok_or(Stop::NoOrder)?;
        let fed = !self.state.isolated(self.plumbing, self.plumbing.permeate_line);
        for step in moves {
            match step.turn {
                Turn::Valve(valve, open) => self.relief_valve(valve, open)?,
                Turn::Float(_) => {
                    let key = if fed { "press_float_fed" } else { "press_float" };
                    self.step(Line::new(
                        Phase::Relieve,
                        Action::PressFloat,
                        "float_valve",
                        step.turn,
                        key,
                    ))?;
                }
                Turn::Tube(tube, _) => self.take_off_permeate(tube, step.under_pressure)?,
                _ => {
                    let minutes = step.minutes.to_string();
                    let key = if step.minutes <= 2 {
                        "wait_restrictor"
                    } else {
                        "wait_membrane"
                    };
                    self.step(Line {
                        phase: Phase::Relieve,
                        action: Action::Wait,
                        target: None,
                        turn: Turn::Nothing,
                        minutes: Some(step.minutes),
                        key,
                        values: &[("minutes", &minutes)],
                        cautions: &["relief_by_waiting"],
                    })?;
                }
            }
        }
        self.let_float_go_if_idle()
    }

    fn relief_valve(&mut self, valve: usize, open: bool) -> Result<(), Stop> {
        let Some((kind, name)) = self.plumbing.valves.get(valve).cloned() else {
            return Err(Stop::NoOrder);
        };
        let turn = Turn::Valve(valve, open);
        match (kind, open) {
            (ValveKind::Flush, true) => self.step(Line::new(
                Phase::Relieve,
                Action::Open,
                &name,
                turn,
                "open_flush_relief",
            )),
            (ValveKind::Tank, false) => self.step(Line::new(
                Phase::Isolate,
                Action::Close,
                &name,
                turn,
                "close_tank",
            )),
            _ => {
                let words = self.texts.valve(&name)?;
                let action = if open { Action::Open } else { Action::Close };
                self.step(
                    Line::new(Phase::Isolate, action, &name, turn, "close_feed").values(&[("valve", &words)]),
                )
            }
        }
    }

    /// Lets the float go again where nothing can build pressure up behind it.
    fn let_float_go_if_idle(&mut self) -> Result<(), Stop> {
        if !self.state.float_pressed || !self.state.isolated(self.plumbing, self.plumbing.permeate_line) {
            return Ok(());
        }
        let mut after = self.state.clone();
        after.turn(self.plumbing, Turn::Float(false), 0);
        if after.pressure == self.state.pressure {
            let phase = self.steps.last().map_or(Phase::Relieve, |step| step.phase);
            self.release_float(phase)
        } else {
            Ok(())
        }
    }

    pub(super) fn release_float(&mut self, phase: Phase) -> Result<(), Stop> {
        if !self.state.float_pressed {
            return Ok(());
        }
        self.step(Line::new(
            phase,
            Action::ReleaseFloat,
            "float_valve",
            Turn::Float(false),
            "release_float",
        ))
    }

    fn take_off_permeate(&mut self, tube: usize, under_pressure: bool) -> Result<(), Stop> {
        let name = self.tube_name(tube);
        let target = format!("tube:{name}");
        let (way, far) = (self.texts.tube(&name)?, self.texts.far_end(&name)?);
        let (phase, key, cautions): (_, _, &[&str]) = if under_pressure {
            (Phase::Relieve, "relieve_tube", &["tube_under_pressure"])
        } else {
            (Phase::Open, "disconnect_permeate", &[])
        };
        self.step(
            Line::new(phase, Action::Disconnect, &target, Turn::Tube(tube, false), key)
                .values(&[("tube", &way), ("far", &far)])
                .cautions(cautions),
        )
    }

    /// Takes a tube off on relieved water; a permeate tube also as the means of relief.
    pub(super) fn take_off(&mut self, tube: usize, key: &str) -> Result<(), Stop> {
        if self.is_off(tube) {
            return Ok(());
        }
        let under_pressure = may_take_off(self.plumbing, &self.state, tube).ok_or(Stop::NoOrder)?;
        if under_pressure || self.plumbing.tubes.get(tube).is_some_and(|tube| tube.permeate) {
            return self.take_off_permeate(tube, under_pressure);
        }
        let name = self.tube_name(tube);
        let target = format!("tube:{name}");
        let (way, far) = (self.texts.tube(&name)?, self.texts.far_end(&name)?);
        self.step(
            Line::new(
                Phase::Open,
                Action::Disconnect,
                &target,
                Turn::Tube(tube, false),
                key,
            )
            .values(&[("tube", &way), ("far", &far)]),
        )
    }

    pub(super) fn put_back(&mut self, tube: usize, phase: Phase, key: &str) -> Result<(), Stop> {
        if !self.is_off(tube) {
            return Ok(());
        }
        let name = self.tube_name(tube);
        let target = format!("tube:{name}");
        let (way, far) = (self.texts.tube(&name)?, self.texts.far_end(&name)?);
        self.step(
            Line::new(phase, Action::Reconnect, &target, Turn::Tube(tube, true), key)
                .values(&[("tube", &way), ("far", &far)]),
        )
    }

    /// Puts every feed tube back but those in `except`.
    pub(super) fn put_feed_back(&mut self, except: Set) -> Result<(), Stop> {
        for tube in 0..self.plumbing.tubes.len() {
            let permeate = self.plumbing.tubes.get(tube).is_some_and(|tube| tube.permeate);
            if !permeate && except & bit(tube) == 0 {
                self.put_back(tube, Phase::Close, "reconnect")?;
            }
        }
        Ok(())
    }

    /// Rinses each carbon to drain, its own outlet tubes off, before anything behind it gets water.
    pub(super) fn rinse_carbons(&mut self, carbons: &[usize]) -> Result<(), Stop> {
        for housing in carbons {
            let Some(housing) = self.plumbing.housings.get(*housing) else {
                return Err(Stop::NoOrder);
            };
            let Holds::Stage(stage) = housing.holds else {
                continue;
            };
            let Some(stage) = self.unit.stages.get(stage) else {
                return Err(Stop::NoOrder);
            };
            let outlets = housing.feeds.iter().fold(0, |set, tube| set | bit(*tube));
            self.put_feed_back(outlets)?;
            for tube in &housing.feeds {
                self.take_off(*tube, "disconnect_for_rinse")?;
            }
            self.open_feed(Phase::Rinse, "open_feed_rinse")?;
            let litres = self.doses.rinse_l(stage);
            let minutes = self.doses.rinse_minutes(litres);
            let litres = format!("{litres:.0}");
            self.step(
                Line::new(
                    Phase::Rinse,
                    Action::RinseToDrain,
                    &housing.id,
                    Turn::Nothing,
                    "rinse",
                )
                .values(&[("id", &housing.id), ("litres", &litres)])
                .minutes(minutes),
            )?;
            self.close_feed(Phase::Rinse, "close_feed_again")?;
        }
        self.put_feed_back(0)
    }
}
