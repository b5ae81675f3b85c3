//! The unit as built, in flow order, with each part's life used and what the model says stands behind it.

use maud::{Markup, html};
use quantity::Kind;
use reading::{Field, Reading};
use unit::{Arrangement, Shutoff, StageKind, TankKind, Unit};
use wear::forecast::{HORIZON_D, PartForecast};

use super::how::Named;
use super::words;
use crate::expected::Expected;
use crate::frame::ask::Ask;
use crate::frame::figure::{figure, said};

/// What is drawn.
pub(crate) struct Drawing<'a> {
    pub(crate) ask: &'a Ask<'a>,
    pub(crate) unit: &'a Unit,
    pub(crate) parts: &'a [PartForecast],
    pub(crate) as_of: jiff::Timestamp,
    pub(crate) expected: Option<&'a Expected>,
    /// The reading whose conditions the model was given.
    pub(crate) reading: Option<&'a Reading>,
}

impl Drawing<'_> {
    /// The list.
    pub(crate) fn show(&self) -> Markup {
        let say = self.ask.say;
        html! {
            ol.flow {
                li { div.part.open {
                    h3 { (say.say("drawing-feed")) }
                    @if let Some(expected) = self.expected {
                        p {
                            (self.said(Kind::Temperature, expected.temperature_c)) " \u{b7} "
                            (self.said(Kind::Pressure, expected.inlet_kpa)) " \u{b7} "
                            (self.expected("feed-flow", Kind::Flow, expected.prediction.point.feed_flow_l_h))
                        }
                    }
                    @if self.unit.inlet_valve { p.small { (say.say("drawing-valve")) } }
                } }
                @for stage in &self.unit.stages {
                    li { div.part {
                        h3 { (words::part(self.ask, self.unit, &stage.id)) }
                        @if let StageKind::Pump { shutoff_kpa, .. } = stage.kind {
                            p.small { (say.rich("drawing-pump", vec![("pressure", self.said(Kind::Pressure, shutoff_kpa).into())])) }
                        }
                        (self.life(&stage.id))
                        (self.after_stage(&stage.id))
                    } }
                }
                li { div.part {
                    h3 { (say.say("part-membranes")) }
                    @if self.unit.membranes.elements.len() > 1 {
                        p.small { (say.say(match self.unit.membranes.arrangement { Arrangement::Series => "drawing-series", Arrangement::Parallel => "drawing-parallel" })) }
                    }
                    @if let Some(expected) = self.expected {
                        p { (say.say("drawing-at-membranes")) " " (self.read_or("membrane-pressure", Field::MembranePressure, Kind::Pressure, expected.prediction.point.membrane_pressure_kpa)) }
                    }
                    @for element in &self.unit.membranes.elements {
                        h3 { (words::part(self.ask, self.unit, &element.id)) " " span.faint { (element.size.code()) } }
                        (self.life(&element.id))
                        @if let Some(point) = self.element(&element.id) {
                            p.small { (say.rich("drawing-element", vec![
                                ("flow", self.expected(&format!("element-flow.{}", element.id), Kind::Flow, point.permeate_flow_l_h).into()),
                                ("salt", self.expected(&format!("element-salt.{}", element.id), Kind::Concentration, point.permeate_tds_mg_l).into()),
                            ])) }
                        }
                    }
                } }
                li { div.branches {
                    div { h3 { (say.say("drawing-permeate-side")) } (self.permeate()) }
                    div { h3 { (say.say("drawing-concentrate-side")) } (self.concentrate()) }
                } }
            }
        }
    }

    fn permeate(&self) -> Markup {
        let say = self.ask.say;
        let permeate = &self.unit.permeate;
        html! {
            ol.branch {
                li { div.part.open {
                    h3 { (say.say("drawing-permeate")) }
                    @if let Some(expected) = self.expected {
                        p { (self.read_or("permeate-flow", Field::PermeateFlow, Kind::Flow, expected.prediction.point.permeate_flow_l_h)) }
                        p { (self.read_or("permeate-conductivity", Field::PermeateConductivity, Kind::Conductivity, expected.prediction.permeate_conductivity_us_cm)) }
                    }
                    @if permeate.check_valve { p.small { (say.say("drawing-check-valve")) } }
                } }
                @for polish in &permeate.polish {
                    li { div.part { h3 { (words::part(self.ask, self.unit, &polish.id)) } (self.life(&polish.id)) } }
                }
                li { div.part.open {
                    @match permeate.tank {
                        Some(tank) => {
                            h3 { (say.say(match tank.kind { TankKind::Open => "drawing-tank-open", TankKind::Pressurised { .. } => "drawing-tank-pressurised" })) }
                            @if let Some(litres) = tank.volume_l { p { (self.said(Kind::Volume, litres)) } }
                        }
                        None => { h3 { (say.say("drawing-no-tank")) } }
                    }
                    p.small { (say.say(match permeate.shutoff { Shutoff::Float => "drawing-shutoff-float", Shutoff::Pressure => "drawing-shutoff-pressure", Shutoff::None => "drawing-shutoff-none" })) }
                } }
            }
        }
    }

    fn concentrate(&self) -> Markup {
        let say = self.ask.say;
        html! {
            ol.branch {
                li { div.part {
                    h3 { (say.say("part-restrictor")) }
                    @if let Some(expected) = self.expected {
                        @let point = &expected.prediction.point;
                        p { (self.read_or("concentrate-pressure", Field::ConcentratePressure, Kind::Pressure, point.concentrate_pressure_kpa)) }
                        p { (self.read_or("concentrate-flow", Field::ConcentrateFlow, Kind::Flow, point.concentrate_flow_l_h)) }
                    }
                    @if self.unit.concentrate.flush_valve { p.small { (say.say("drawing-flush-valve")) } }
                } }
                li { div.part.open {
                    h3 { (say.say("drawing-drain")) }
                    @if let Some(expected) = self.expected {
                        @let point = &expected.prediction.point;
                        p { (self.expected("concentrate-salt", Kind::Concentration, point.concentrate_tds_mg_l)) }
                        p.small { (say.rich("drawing-recovery", vec![("percent", self.figure("recovery", say.percent(point.recovery)).into())])) }
                    }
                } }
            }
        }
    }

    fn element(&self, id: &str) -> Option<&unit::ElementPoint> {
        let elements = &self.expected?.prediction.elements;
        elements
            .iter()
            .find(|(other, _)| other == id)
            .map(|(_, point)| point)
    }

    fn after_stage(&self, id: &str) -> Markup {
        let after = self.expected.and_then(|expected| {
            let after = &expected.prediction.pressure_after_kpa;
            after.iter().find(|(other, _)| other == id).map(|(_, kpa)| *kpa)
        });
        let read = self
            .reading
            .and_then(|reading| reading.pressure_after_kpa.get(id).copied());
        html! { @if let Some(kpa) = after { p { (self.ask.say.say("drawing-after")) " " (self.both(&format!("after.{id}"), Kind::Pressure, kpa, read)) } } }
    }

    fn read_or(&self, spot: &str, field: Field, kind: Kind, expected: f64) -> Markup {
        self.both(
            spot,
            kind,
            expected,
            self.reading.and_then(|reading| reading.get(field)),
        )
    }

    /// What the model says, and what was read where it was.
    fn both(&self, spot: &str, kind: Kind, expected: f64, read: Option<f64>) -> Markup {
        let say = self.ask.say;
        let expected = ("expected", self.expected(spot, kind, expected).into());
        match read {
            Some(read) => {
                let read = ("read", self.said(kind, read).into());
                say.rich("drawing-both", vec![expected, read])
            }
            None => say.rich("drawing-expected", vec![expected]),
        }
    }

    /// A value as it was read or described.
    fn said(&self, kind: Kind, value: f64) -> Markup {
        said(self.ask.measures.show(kind, value))
    }

    /// What the model says at a spot.
    fn expected(&self, spot: &str, kind: Kind, value: f64) -> Markup {
        self.figure(spot, self.ask.measures.show(kind, value))
    }

    fn figure(&self, spot: &str, text: String) -> Markup {
        figure(&self.unit.id, Named::EXPECTED, spot, text)
    }

    /// How much of a part's life is used, and when it is due.
    fn life(&self, id: &str) -> Markup {
        let say = self.ask.say;
        let part = self.parts.iter().find(|part| part.id == id);
        let used = part
            .and_then(|part| part.used_fraction)
            .map(|used| 100.0 * used.p50.clamp(0.0, 1.0));
        let due = part.and_then(|part| part.due_in_d);
        html! {
            @if let Some(used) = used {
                @let words = say.with("life-used", &[("percent", say.percent(used / 100.0).into())]);
                p {
                    (figure(&self.unit.id, Named::USED, id, &words))
                    @if let Some(due) = due {
                        @if due.p50 <= 0.0 { ", " span.late { (figure(&self.unit.id, Named::DUE, id, say.say("life-now"))) } }
                        @else if due.p50 < HORIZON_D {
                            @let day = words::day_after(self.ask, self.as_of, due.p50, &casefile::time_zone(self.unit));
                            ", " (figure(&self.unit.id, Named::DUE, id, say.with("life-until", &[("day", day.into())])))
                        }
                    }
                }
                meter min="0" max="100" low="80" high="95" optimum="0" value=(format!("{used:.0}")) aria-label=(words) {}
            }
        }
    }
}
