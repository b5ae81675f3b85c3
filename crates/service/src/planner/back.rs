//! Back into service: clearing the membranes and the polishing, leak check, readings.

use super::draft::{Draft, Line, Stop};
use super::plumbing::{ValveKind, bit};
use super::pressure::Turn;
use crate::card::{Action, Phase};

/// How the membranes are cleared before their water is used.
#[derive(Clone, Copy, Debug)]
pub(super) struct Clearing {
    pub(super) flush_minutes: u32,
    pub(super) flush_why: &'static str,
    pub(super) discard_minutes: u32,
    pub(super) discard_why: &'static str,
    pub(super) preservative: bool,
}

impl Draft<'_> {
    /// Back into service, with the membranes and the polishing cleared where they were touched.
    pub(super) fn return_to_service(
        &mut self,
        clearing: Option<Clearing>,
        polish: &[usize],
    ) -> Result<(), Stop> {
        let first = self.plumbing.permeate_tubes().next().ok_or(Stop::NoOrder)?;
        let last = self.plumbing.permeate_tubes().next_back().ok_or(Stop::NoOrder)?;
        let keep =
            if clearing.is_some() { bit(first) } else { 0 } | if polish.is_empty() { 0 } else { bit(last) };
        let permeate: Vec<usize> = self.plumbing.permeate_tubes().collect();
        self.put_feed_back(0)?;
        for tube in &permeate {
            if keep & bit(*tube) != 0 {
                self.take_off(*tube, "disconnect_permeate")?;
            }
        }
        for tube in &permeate {
            if keep & bit(*tube) == 0 {
                self.put_back(*tube, Phase::Close, "reconnect")?;
            }
        }
        if let Some(clearing) = clearing {
            self.flush(clearing)?;
        }
        self.open_feed(Phase::Flush, "open_feed")?;
        self.close_flush(Phase::Flush, "close_flush")?;
        let pumps: Vec<String> = self.plumbing.pumps.iter().map(|pump| pump.id.clone()).collect();
        for (index, id) in pumps.iter().enumerate() {
            self.step(
                Line::new(
                    Phase::Flush,
                    Action::PlugIn,
                    id,
                    Turn::Pump(index, true),
                    "plug_in",
                )
                .values(&[("id", id)])
                .cautions(&["pump_plug"]),
            )?;
        }
        if let Some(clearing) = clearing {
            self.discard(clearing)?;
            self.put_back(first, Phase::Flush, "reconnect_running")?;
        }
        if !polish.is_empty() {
            let ids: Vec<&str> = polish
                .iter()
                .filter_map(|index| self.plumbing.housings.get(*index))
                .map(|h| h.id.as_str())
                .collect();
            let ids = ids.join(self.texts.word("and")?);
            self.step(
                Line::new(
                    Phase::Flush,
                    Action::DiscardPermeate,
                    "membranes",
                    Turn::Nothing,
                    "discard_polish",
                )
                .values(&[("id", &ids), ("minutes", &self.doses.discard.polish.to_string())])
                .minutes(self.doses.discard.polish),
            )?;
            self.put_back(last, Phase::Flush, "reconnect_running")?;
        }
        if let Some(valve) = self
            .plumbing
            .valve(ValveKind::Tank)
            .filter(|valve| !self.valve_open(*valve))
        {
            let turn = Turn::Valve(valve, true);
            self.step(Line::new(
                Phase::Flush,
                Action::Open,
                "tank_valve",
                turn,
                "open_tank",
            ))?;
        }
        self.release_float(Phase::Flush)
    }

    /// Feed over the membranes to drain. The permeate tube is off already.
    fn flush(&mut self, clearing: Clearing) -> Result<(), Stop> {
        let valve = self.plumbing.valve(ValveKind::Flush);
        self.open_flush(Phase::Flush)?;
        self.open_feed(Phase::Flush, "open_feed_flush")?;
        let (key, caution) = match valve {
            Some(_) => ("flush_valve", "flush_flow"),
            None => ("flush_restrictor", "flush_restrictor"),
        };
        let both = [caution, "preservative"];
        let cautions = if clearing.preservative {
            &both[..]
        } else {
            &both[..1]
        };
        self.step(
            Line::new(
                Phase::Flush,
                Action::FlushToDrain,
                "membranes",
                Turn::Nothing,
                key,
            )
            .values(&[
                ("minutes", &clearing.flush_minutes.to_string()),
                ("reason", self.texts.word(clearing.flush_why)?),
            ])
            .minutes(clearing.flush_minutes)
            .cautions(cautions),
        )
    }

    fn discard(&mut self, clearing: Clearing) -> Result<(), Stop> {
        self.step(
            Line::new(
                Phase::Flush,
                Action::DiscardPermeate,
                "membranes",
                Turn::Nothing,
                "discard",
            )
            .values(&[
                ("minutes", &clearing.discard_minutes.to_string()),
                ("reason", self.texts.word(clearing.discard_why)?),
            ])
            .minutes(clearing.discard_minutes)
            .cautions(&["discard_permeate"]),
        )
    }

    pub(super) fn open_flush(&mut self, phase: Phase) -> Result<(), Stop> {
        match self
            .plumbing
            .valve(ValveKind::Flush)
            .filter(|valve| !self.valve_open(*valve))
        {
            Some(valve) => self.step(Line::new(
                phase,
                Action::Open,
                "flush_valve",
                Turn::Valve(valve, true),
                "open_flush",
            )),
            None => Ok(()),
        }
    }

    pub(super) fn close_flush(&mut self, phase: Phase, key: &str) -> Result<(), Stop> {
        match self
            .plumbing
            .valve(ValveKind::Flush)
            .filter(|valve| self.valve_open(*valve))
        {
            Some(valve) => self.step(Line::new(
                phase,
                Action::Close,
                "flush_valve",
                Turn::Valve(valve, false),
                key,
            )),
            None => Ok(()),
        }
    }

    /// Leak check, again after ten minutes, readings, record.
    pub(super) fn prove(&mut self, first: &str) -> Result<(), Stop> {
        let ids: Vec<String> = self
            .opened
            .iter()
            .filter_map(|index| self.plumbing.housings.get(*index))
            .map(|housing| housing.id.clone())
            .collect();
        let inspect = |draft: &mut Self, key: &str| -> Result<(), Stop> {
            for id in &ids {
                let target = format!("seals:{id}");
                draft.step(
                    Line::new(Phase::Prove, Action::Inspect, &target, Turn::Nothing, key)
                        .values(&[("id", id)]),
                )?;
            }
            Ok(())
        };
        // Where permeate runs freely into an open tank, only the tank's valve lets a leak show.
        let unloaded = self.opened.iter().any(|index| {
            self.plumbing
                .housings
                .get(*index)
                .is_some_and(|h| !self.under_pressure(self.plumbing.inside(h)))
        });
        let tank_valve = self.plumbing.valve(ValveKind::Tank).filter(|_| unloaded);
        if let Some(valve) = tank_valve {
            let turn = Turn::Valve(valve, false);
            self.step(Line::new(
                Phase::Prove,
                Action::Close,
                "tank_valve",
                turn,
                "close_tank_leak",
            ))?;
        }
        inspect(self, first)?;
        let nothing = Line {
            phase: Phase::Prove,
            action: Action::Wait,
            target: None,
            turn: Turn::Nothing,
            minutes: Some(10),
            key: "wait_leak",
            values: &[],
            cautions: &[],
        };
        self.step(nothing)?;
        inspect(self, "inspect_seals_again")?;
        if let Some(valve) = tank_valve {
            let turn = Turn::Valve(valve, true);
            self.step(Line::new(
                Phase::Prove,
                Action::Open,
                "tank_valve",
                turn,
                "open_tank",
            ))?;
        }
        self.step(Line {
            action: Action::Read,
            minutes: None,
            key: "read",
            ..nothing
        })?;
        self.step(Line {
            phase: Phase::Record,
            action: Action::Record,
            minutes: None,
            key: "record",
            ..nothing
        })
    }
}
