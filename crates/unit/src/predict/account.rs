//! How each figure of a prediction hangs together with the others.
//!
//! The steady state is found by search; what is told here are the laws that all of its numbers satisfy at once.

use account::{Account, Equation, Measure, Origin, symbol};

use super::{Conditions, Prediction};
use crate::hydraulics::exponents;
use crate::plan::{Stage, StageKind, Unit};
use water::properties::viscosity_pa_s;

const BALANCE: &str = "what goes in comes out";
const ELEMENT: &str = "solution and diffusion with film theory, segment by segment; Guillen and Hoek, Chem. Eng. J. 149 \
                       (2009) 221 (from memory)";

/// Feed flow.
const FEED_FLOW: Equation = Equation {
    name: "feed-flow",
    formula: "Q_f = Q_p + Q_c",
    symbols: &[
        symbol("Q_f", "feed-flow", Measure::Flow),
        symbol("Q_p", "permeate-flow", Measure::Flow),
        symbol("Q_c", "concentrate-flow", Measure::Flow),
    ],
    source: BALANCE,
};

/// Pressure behind a filter.
const BEHIND_FILTER: Equation = Equation {
    name: "behind-filter",
    formula: "P_b = P_a - dP_0 * Q_f / Q_0 * μ",
    symbols: &[
        symbol("P_b", "pressure-behind", Measure::Pressure),
        symbol("P_a", "pressure-before", Measure::Pressure),
        symbol("dP_0", "clean-drop", Measure::Pressure),
        symbol("Q_f", "feed-flow", Measure::Flow),
        symbol("Q_0", "clean-drop-flow", Measure::Flow),
        symbol("μ", "relative-viscosity", Measure::Number),
    ],
    source: "Darcy: laminar flow through a porous bed; viscosity of water by IAPWS SR6-08",
};

/// Pressure behind a stage that takes none.
const BEHIND_OPEN: Equation = Equation {
    name: "behind-open",
    formula: "P_b = P_a",
    symbols: &[
        symbol("P_b", "pressure-behind", Measure::Pressure),
        symbol("P_a", "pressure-before", Measure::Pressure),
    ],
    source: "no clean drop is stated for it",
};

/// Pressure behind a pump.
const BEHIND_PUMP: Equation = Equation {
    name: "behind-pump",
    formula: "P_b = P_a + max(0, P_0 * (1 - Q_f / Q_0))",
    symbols: &[
        symbol("P_b", "pressure-behind", Measure::Pressure),
        symbol("P_a", "pressure-before", Measure::Pressure),
        symbol("P_0", "pump-shutoff", Measure::Pressure),
        symbol("Q_f", "feed-flow", Measure::Flow),
        symbol("Q_0", "pump-open", Measure::Flow),
    ],
    source: "the pump's label: a straight curve from shut-off to open flow (common practice, no source)",
};

/// Pressure behind a regulator.
const BEHIND_REGULATOR: Equation = Equation {
    name: "behind-regulator",
    formula: "P_b = min(P_a, P_0)",
    symbols: &[
        symbol("P_b", "pressure-behind", Measure::Pressure),
        symbol("P_a", "pressure-before", Measure::Pressure),
        symbol("P_0", "set-pressure", Measure::Pressure),
    ],
    source: "what a regulator does",
};

/// Permeate of an element.
const ELEMENT_FLOW: Equation = Equation {
    name: "element-flow",
    formula: "Q_e = J * S",
    symbols: &[
        symbol("Q_e", "element-flow", Measure::Flow),
        symbol("J", "flux", Measure::Flux),
        symbol("S", "membrane-area", Measure::Area),
    ],
    source: ELEMENT,
};

/// Permeate of all elements.
const PERMEATE_FLOW: Equation = Equation {
    name: "permeate-flow",
    formula: "Q_p = sum(Q_e)",
    symbols: &[
        symbol("Q_p", "permeate-flow", Measure::Flow),
        symbol("Q_e", "element-flow", Measure::Flow),
    ],
    source: BALANCE,
};

/// Salt of an element's permeate.
const ELEMENT_SALT: Equation = Equation {
    name: "element-salt",
    formula: "C_e = SP_e * C_i",
    symbols: &[
        symbol("C_e", "element-salt", Measure::Concentration),
        symbol("SP_e", "element-salt-passage", Measure::Share),
        symbol("C_i", "element-feed-salt", Measure::Concentration),
        symbol("β", "polarisation", Measure::Number),
        symbol("J", "flux", Measure::Flux),
    ],
    source: ELEMENT,
};

/// Conductivity of the permeate.
const PERMEATE_CONDUCTIVITY: Equation = Equation {
    name: "permeate-conductivity",
    formula: "κ_p = k * C_p",
    symbols: &[
        symbol("κ_p", "permeate-conductivity", Measure::Conductivity),
        symbol("k", "conductivity-per-salt", Measure::Number),
        symbol("C_p", "permeate-salt", Measure::Concentration),
    ],
    source: "PHREEQC 3.8.6, phreeqc.dat (Parkhurst and Appelo 2013): of the ions that passed, and the carbon dioxide",
};

/// Pressure of the concentrate.
const CONCENTRATE_PRESSURE: Equation = Equation {
    name: "concentrate-pressure",
    formula: "P_c = P_m - dP",
    symbols: &[
        symbol("P_c", "concentrate-pressure", Measure::Pressure),
        symbol("P_m", "membrane-pressure", Measure::Pressure),
        symbol("dP", "channel-drop", Measure::Pressure),
    ],
    source: "Guillen and Hoek, Chem. Eng. J. 149 (2009) 221 (from memory): friction of a spacer-filled channel",
};

/// Flow through the restrictor.
const CONCENTRATE_FLOW: Equation = Equation {
    name: "restrictor",
    formula: "Q_c = Q_r * (P_c / P_r) ^ n / μ ^ m",
    symbols: &[
        symbol("Q_c", "concentrate-flow", Measure::Flow),
        symbol("Q_r", "restrictor-flow", Measure::Flow),
        symbol("P_c", "concentrate-pressure", Measure::Pressure),
        symbol("P_r", "restrictor-pressure", Measure::Pressure),
        symbol("n", "restrictor-exponent", Measure::Number),
        symbol("μ", "relative-viscosity", Measure::Number),
        symbol("m", "viscosity-exponent", Measure::Number),
    ],
    source: "Blasius: turbulent flow in a fine tube, n = 4/7 and m = 1/7; an orifice n = 1/2 and m = 0; or as stated",
};

/// Salt of the concentrate.
const CONCENTRATE_SALT: Equation = Equation {
    name: "concentrate-salt",
    formula: "C_c = (Q_f * C_f - Q_p * C_p) / Q_c + G",
    symbols: &[
        symbol("C_c", "concentrate-salt", Measure::Concentration),
        symbol("Q_f", "feed-flow", Measure::Flow),
        symbol("C_f", "feed-salt", Measure::Concentration),
        symbol("Q_p", "permeate-flow", Measure::Flow),
        symbol("C_p", "permeate-salt", Measure::Concentration),
        symbol("Q_c", "concentrate-flow", Measure::Flow),
        symbol("G", "carbonate-shift", Measure::Concentration),
    ],
    source: BALANCE,
};

/// Recovery.
const PREDICTED_RECOVERY: Equation = Equation {
    name: "predicted-recovery",
    formula: "Y = Q_p / Q_f",
    symbols: &[
        symbol("Y", "recovery", Measure::Share),
        symbol("Q_p", "permeate-flow", Measure::Flow),
        symbol("Q_f", "feed-flow", Measure::Flow),
    ],
    source: "ASTM D4516",
};

/// All equations of this module.
pub const EQUATIONS: [&Equation; 13] = [
    &FEED_FLOW,
    &BEHIND_FILTER,
    &BEHIND_OPEN,
    &BEHIND_PUMP,
    &BEHIND_REGULATOR,
    &ELEMENT_FLOW,
    &PERMEATE_FLOW,
    &ELEMENT_SALT,
    &PERMEATE_CONDUCTIVITY,
    &CONCENTRATE_PRESSURE,
    &CONCENTRATE_FLOW,
    &CONCENTRATE_SALT,
    &PREDICTED_RECOVERY,
];

/// A place in the unit of which a prediction says something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spot<'a> {
    /// Feed flow.
    FeedFlow,
    /// Pressure after this stage.
    After(&'a str),
    /// Pressure before the membranes.
    Membranes,
    /// Permeate flow.
    PermeateFlow,
    /// Conductivity of the permeate.
    PermeateConductivity,
    /// Pressure before the restrictor.
    ConcentratePressure,
    /// Flow to drain.
    ConcentrateFlow,
    /// Salt of the concentrate.
    ConcentrateSalt,
    /// Recovery.
    Recovery,
    /// Permeate of this element.
    ElementFlow(&'a str),
    /// Salt of this element's permeate.
    ElementSalt(&'a str),
}

/// How the figure at a spot was computed; none where the unit has no such spot.
pub fn of_prediction(
    unit: &Unit,
    conditions: &Conditions,
    prediction: &Prediction,
    spot: Spot<'_>,
) -> Option<Vec<Account>> {
    let told = Told {
        unit,
        conditions,
        prediction,
    };
    let point = &prediction.point;
    Some(match spot {
        Spot::FeedFlow => vec![told.feed_flow()],
        Spot::After(id) => vec![told.behind(unit.stages.iter().position(|stage| stage.id == id)?)?],
        Spot::Membranes => match unit.stages.len().checked_sub(1) {
            Some(last) => vec![told.behind(last)?],
            None => {
                let account = Account::of(&BEHIND_OPEN, point.membrane_pressure_kpa);
                vec![account.with("P_a", conditions.inlet_pressure_kpa, Origin::Read)]
            }
        },
        Spot::PermeateFlow => told.permeate_flow(),
        Spot::PermeateConductivity => {
            let us_cm = prediction.permeate_conductivity_us_cm;
            let account = Account::of(&PERMEATE_CONDUCTIVITY, us_cm);
            vec![
                account
                    .with("k", us_cm / point.permeate_tds_mg_l, Origin::Solved)
                    .with("C_p", point.permeate_tds_mg_l, Origin::Solved),
            ]
        }
        Spot::ConcentratePressure => vec![told.concentrate_pressure()],
        Spot::ConcentrateFlow => vec![told.concentrate_flow(), told.concentrate_pressure()],
        Spot::ConcentrateSalt => vec![told.concentrate_salt()?],
        Spot::Recovery => {
            let account = Account::of(&PREDICTED_RECOVERY, point.recovery);
            let all = told.permeate_flow();
            let account = account
                .from("Q_p", all.first()?)
                .with("Q_f", point.feed_flow_l_h, Origin::Solved);
            [vec![account], all].concat()
        }
        Spot::ElementFlow(id) => vec![told.element_flow(id)?],
        Spot::ElementSalt(id) => {
            let (_, element) = prediction.elements.iter().find(|(other, _)| other == id)?;
            let (salt, feed) = (element.permeate_tds_mg_l, element.feed_tds_mg_l);
            let account = Account::of(&ELEMENT_SALT, salt)
                .with("SP_e", salt / feed, Origin::Solved)
                .with("C_i", feed, Origin::Solved)
                .with("β", element.polarisation, Origin::Solved)
                .with("J", element.flux_l_m2_h, Origin::Solved);
            vec![account, told.element_flow(id)?]
        }
    })
}

struct Told<'a> {
    unit: &'a Unit,
    conditions: &'a Conditions,
    prediction: &'a Prediction,
}

impl Told<'_> {
    fn relative_viscosity(&self) -> f64 {
        viscosity_pa_s(self.conditions.temperature_c) / viscosity_pa_s(25.0)
    }

    fn feed_flow(&self) -> Account {
        let point = &self.prediction.point;
        Account::of(&FEED_FLOW, point.feed_flow_l_h)
            .with("Q_p", point.permeate_flow_l_h, Origin::Solved)
            .with("Q_c", point.concentrate_flow_l_h, Origin::Solved)
    }

    fn behind(&self, index: usize) -> Option<Account> {
        let after = &self.prediction.pressure_after_kpa;
        let stage: &Stage = self.unit.stages.get(index)?;
        let (_, behind) = after.get(index)?;
        let before = match index.checked_sub(1) {
            Some(previous) => (after.get(previous)?.1, Origin::Solved),
            None => (self.conditions.inlet_pressure_kpa, Origin::Read),
        };
        let flow = self.prediction.point.feed_flow_l_h;
        let account = |equation| Account::of(equation, *behind).with("P_a", before.0, before.1);
        Some(match (stage.kind.clone(), stage.clean_drop) {
            (
                StageKind::Pump {
                    open_flow_l_h,
                    shutoff_kpa,
                },
                _,
            ) => account(&BEHIND_PUMP)
                .with("P_0", shutoff_kpa, Origin::Described)
                .with("Q_f", flow, Origin::Solved)
                .with("Q_0", open_flow_l_h, Origin::Described),
            (StageKind::Regulator { set_kpa }, _) => {
                account(&BEHIND_REGULATOR).with("P_0", set_kpa, Origin::Described)
            }
            (_, Some(drop)) => {
                let factor = self.conditions.state.drop.get(&stage.id).copied().unwrap_or(1.0);
                account(&BEHIND_FILTER)
                    .with("dP_0", factor * drop.pressure_kpa, Origin::Described)
                    .with("Q_f", flow, Origin::Solved)
                    .with("Q_0", drop.flow_l_h, Origin::Described)
                    .with("μ", self.relative_viscosity(), Origin::Constant)
            }
            (_, None) => account(&BEHIND_OPEN),
        })
    }

    fn element_flow(&self, id: &str) -> Option<Account> {
        let (_, element) = self.prediction.elements.iter().find(|(other, _)| other == id)?;
        let area = self.unit.element(id)?.area_m2();
        let account = Account::of(&ELEMENT_FLOW, element.permeate_flow_l_h)
            .with("J", element.flux_l_m2_h, Origin::Solved)
            .with("S", area, Origin::Described);
        Some(account)
    }

    fn permeate_flow(&self) -> Vec<Account> {
        let mut total = Account::of(&PERMEATE_FLOW, self.prediction.point.permeate_flow_l_h);
        let mut all = Vec::new();
        for (id, _) in &self.prediction.elements {
            if let Some(one) = self.element_flow(id) {
                total = total.from("Q_e", &one);
                all.push(one);
            }
        }
        all.insert(0, total);
        all
    }

    fn concentrate_pressure(&self) -> Account {
        let point = &self.prediction.point;
        let (membrane, concentrate) = (point.membrane_pressure_kpa, point.concentrate_pressure_kpa);
        Account::of(&CONCENTRATE_PRESSURE, concentrate)
            .with("P_m", membrane, Origin::Solved)
            .with("dP", membrane - concentrate, Origin::Solved)
    }

    fn concentrate_flow(&self) -> Account {
        let restrictor = &self.unit.concentrate.restrictor;
        let (n, m) = exponents(restrictor);
        let factor = self.conditions.state.restrictor.unwrap_or(1.0);
        Account::of(&CONCENTRATE_FLOW, self.prediction.point.concentrate_flow_l_h)
            .with("Q_r", factor * restrictor.flow_l_h, Origin::Described)
            .from("P_c", &self.concentrate_pressure())
            .with("P_r", restrictor.at_kpa, Origin::Described)
            .with("n", n, Origin::Constant)
            .with("μ", self.relative_viscosity(), Origin::Constant)
            .with("m", m, Origin::Constant)
    }

    fn concentrate_salt(&self) -> Option<Account> {
        let point = &self.prediction.point;
        let feed = self.prediction.elements.first()?.1.feed_tds_mg_l;
        let balance = (point.feed_flow_l_h * feed - point.permeate_flow_l_h * point.permeate_tds_mg_l)
            / point.concentrate_flow_l_h;
        let account = Account::of(&CONCENTRATE_SALT, point.concentrate_tds_mg_l)
            .with("Q_f", point.feed_flow_l_h, Origin::Solved)
            .with("C_f", feed, Origin::Analysed)
            .with("Q_p", point.permeate_flow_l_h, Origin::Solved)
            .with("C_p", point.permeate_tds_mg_l, Origin::Solved)
            .with("Q_c", point.concentrate_flow_l_h, Origin::Solved)
            .with("G", point.concentrate_tds_mg_l - balance, Origin::Solved);
        Some(account)
    }
}
