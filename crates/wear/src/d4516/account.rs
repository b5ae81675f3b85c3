//! How a standardised value was computed, step by step, for whoever wants to check or to learn it.

use account::{Account, Equation, Measure, Origin, symbol};
use reading::{Field, Reading};

use super::{Complete, DENSITY, VISCOSITY_25_PA_S, viscosity_pa_s};
use crate::complete::{Completion, Estimated, feed_us_cm, permeate_us_cm};
use crate::standardise::{History, Standardisation, StandardisedReading};

const D4516: &str = "ASTM D4516";

/// `Y = Q_p / (Q_p + Q_c)`.
const RECOVERY: Equation = Equation {
    name: "recovery",
    formula: "Y = Q_p / (Q_p + Q_c)",
    symbols: &[
        symbol("Y", "recovery", Measure::Share),
        symbol("Q_p", "permeate-flow", Measure::Flow),
        symbol("Q_c", "concentrate-flow", Measure::Flow),
    ],
    source: D4516,
};

/// Concentration by the water's own ratio.
const FEED_SALT: Equation = Equation {
    name: "feed-salt",
    formula: "C_f = r * κ_f",
    symbols: &[
        symbol("C_f", "feed-salt", Measure::Concentration),
        symbol("r", "salt-per-conductivity", Measure::Number),
        symbol("κ_f", "feed-conductivity", Measure::Conductivity),
    ],
    source: "PHREEQC 3.8.6, phreeqc.dat (Parkhurst and Appelo 2013): the ratio of this water",
};

/// Concentration of the permeate, without what carbon dioxide conducts.
const PERMEATE_SALT: Equation = Equation {
    name: "permeate-salt",
    formula: "C_p = r * (κ_p - κ_CO2)",
    symbols: &[
        symbol("C_p", "permeate-salt", Measure::Concentration),
        symbol("r", "salt-per-conductivity", Measure::Number),
        symbol("κ_p", "permeate-conductivity", Measure::Conductivity),
        symbol("κ_CO2", "gas-conductivity", Measure::Conductivity),
    ],
    source: "PHREEQC 3.8.6, phreeqc.dat (Parkhurst and Appelo 2013): ratio and carbon dioxide of this water",
};

/// Mean concentration on the feed side.
const FEED_SIDE: Equation = Equation {
    name: "feed-side",
    formula: "C_fb = C_f * ln(1 / (1 - Y)) / Y",
    symbols: &[
        symbol("C_fb", "feed-side-salt", Measure::Concentration),
        symbol("C_f", "feed-salt", Measure::Concentration),
        symbol("Y", "recovery", Measure::Share),
    ],
    source: D4516,
};

/// Osmotic pressure on the feed side.
const FEED_OSMOTIC: Equation = Equation {
    name: "feed-osmotic",
    formula: "π_fb = a * C_fb * (T + 273.15) / (1000 - b * C_fb / 1000)",
    symbols: &[
        symbol("π_fb", "feed-osmotic", Measure::Pressure),
        symbol("C_fb", "feed-side-salt", Measure::Concentration),
        symbol("T", "temperature", Measure::Temperature),
        symbol("a", "osmotic-slope", Measure::Number),
        symbol("b", "osmotic-curve", Measure::Number),
    ],
    source: "ASTM D4516 for sodium chloride; other waters: PHREEQC 3.8.6, or 0.038 kPa per uS/cm where only the \
             conductivity is known (12 %)",
};

/// Osmotic pressure of the permeate.
const PERMEATE_OSMOTIC: Equation = Equation {
    name: "permeate-osmotic",
    formula: "π_p = a * C_p * (T + 273.15) / (1000 - b * C_p / 1000)",
    symbols: &[
        symbol("π_p", "permeate-osmotic", Measure::Pressure),
        symbol("C_p", "permeate-salt", Measure::Concentration),
        symbol("T", "temperature", Measure::Temperature),
        symbol("a", "osmotic-slope", Measure::Number),
        symbol("b", "osmotic-curve", Measure::Number),
    ],
    source: FEED_OSMOTIC.source,
};

/// Net driving pressure.
const DRIVING: Equation = Equation {
    name: "driving",
    formula: "NDP = P_m - dP / 2 - P_p - π_fb + π_p",
    symbols: &[
        symbol("NDP", "driving-pressure", Measure::Pressure),
        symbol("P_m", "membrane-pressure", Measure::Pressure),
        symbol("dP", "channel-drop", Measure::Pressure),
        symbol("P_p", "permeate-pressure", Measure::Pressure),
        symbol("π_fb", "feed-osmotic", Measure::Pressure),
        symbol("π_p", "permeate-osmotic", Measure::Pressure),
    ],
    source: D4516,
};

/// Temperature correction.
const TEMPERATURE_FACTOR: Equation = Equation {
    name: "temperature-factor",
    formula: "TCF = c ^ (T - 25)",
    symbols: &[
        symbol("TCF", "temperature-factor", Measure::Number),
        symbol("c", "temperature-coefficient", Measure::Number),
        symbol("T", "temperature", Measure::Temperature),
    ],
    source: "ASTM D4516: 1.03 per degree by default, known to 0.003",
};

/// Standardised permeate flow.
const STANDARD_FLOW: Equation = Equation {
    name: "standard-flow",
    formula: "Q_std = Q_p * NDP_s / (NDP * TCF)",
    symbols: &[
        symbol("Q_std", "standard-flow", Measure::Flow),
        symbol("Q_p", "permeate-flow", Measure::Flow),
        symbol("NDP_s", "baseline-driving", Measure::Pressure),
        symbol("NDP", "driving-pressure", Measure::Pressure),
        symbol("TCF", "temperature-factor", Measure::Number),
    ],
    source: D4516,
};

/// Permeate flow against when the membranes were new.
const RELATIVE_FLOW: Equation = Equation {
    name: "relative-flow",
    formula: "q = Q_std / Q_s",
    symbols: &[
        symbol("q", "relative-flow", Measure::Share),
        symbol("Q_std", "standard-flow", Measure::Flow),
        symbol("Q_s", "baseline-flow", Measure::Flow),
    ],
    source: D4516,
};

/// Standardised salt passage.
const STANDARD_SALT: Equation = Equation {
    name: "standard-salt",
    formula: "SP_std = C_p / C_f * Q_p / Q_s / TCF * C_fbs / C_fb * C_f / C_fs",
    symbols: &[
        symbol("SP_std", "standard-salt", Measure::Share),
        symbol("C_p", "permeate-salt", Measure::Concentration),
        symbol("C_f", "feed-salt", Measure::Concentration),
        symbol("Q_p", "permeate-flow", Measure::Flow),
        symbol("Q_s", "baseline-flow", Measure::Flow),
        symbol("TCF", "temperature-factor", Measure::Number),
        symbol("C_fb", "feed-side-salt", Measure::Concentration),
        symbol("C_fbs", "baseline-feed-side", Measure::Concentration),
        symbol("C_fs", "baseline-feed", Measure::Concentration),
    ],
    source: D4516,
};

/// Salt passage against when the membranes were new.
const RELATIVE_SALT: Equation = Equation {
    name: "relative-salt",
    formula: "s = SP_std / SP_s",
    symbols: &[
        symbol("s", "relative-salt", Measure::Share),
        symbol("SP_std", "standard-salt", Measure::Share),
        symbol("SP_s", "baseline-salt", Measure::Share),
    ],
    source: D4516,
};

/// Standardised pressure drop.
const STANDARD_DROP: Equation = Equation {
    name: "standard-drop",
    formula: "dP_std = dP * φ_s / φ",
    symbols: &[
        symbol("dP_std", "standard-drop", Measure::Pressure),
        symbol("dP", "channel-drop", Measure::Pressure),
        symbol("φ_s", "baseline-friction", Measure::Number),
        symbol("φ", "friction", Measure::Number),
    ],
    source: "Guillen and Hoek, Chem. Eng. J. 149 (2009) 221 (from memory): friction of a spacer-filled channel",
};

/// Pressure drop against when the membranes were new.
const RELATIVE_DROP: Equation = Equation {
    name: "relative-drop",
    formula: "d = dP_std / dP_s",
    symbols: &[
        symbol("d", "relative-drop", Measure::Share),
        symbol("dP_std", "standard-drop", Measure::Pressure),
        symbol("dP_s", "baseline-drop", Measure::Pressure),
    ],
    source: D4516,
};

/// All equations of this module.
pub const EQUATIONS: [&Equation; 14] = [
    &RECOVERY,
    &FEED_SALT,
    &PERMEATE_SALT,
    &FEED_SIDE,
    &FEED_OSMOTIC,
    &PERMEATE_OSMOTIC,
    &DRIVING,
    &TEMPERATURE_FACTOR,
    &STANDARD_FLOW,
    &RELATIVE_FLOW,
    &STANDARD_SALT,
    &RELATIVE_SALT,
    &STANDARD_DROP,
    &RELATIVE_DROP,
];

/// A standardised value of a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Permeate flow.
    Flow,
    /// Salt passage.
    Salt,
    /// Pressure drop along the membranes.
    Drop,
}

/// How a reading's value against the baseline was computed, from the end to what was read; none where there is none.
pub fn of_reading(
    history: &History<'_>,
    standardisation: &Standardisation,
    index: usize,
    quantity: Quantity,
) -> Option<Vec<Account>> {
    let one = standardisation.readings.get(index)?;
    let told = Told {
        standardisation,
        reading: history.readings.get(index)?,
        one,
        completion: one.completion.as_ref()?,
        complete: &one.completion.as_ref()?.complete,
    };
    match quantity {
        Quantity::Flow => told.flow(),
        Quantity::Salt => told.salt(),
        Quantity::Drop => told.drop(),
    }
}

/// One reading with what was made of it.
struct Told<'a> {
    standardisation: &'a Standardisation,
    reading: &'a Reading,
    one: &'a StandardisedReading,
    completion: &'a Completion,
    complete: &'a Complete,
}

impl Told<'_> {
    /// Where a field's value came from, with its standard deviation where it was filled in.
    fn origin(&self, field: Field) -> (Origin, Option<f64>) {
        let estimated = &self.completion.estimated;
        let filled = |one: &&Estimated| one.field == field;
        match estimated.iter().find(filled) {
            Some(one) => (Origin::Estimated, Some(one.sd)),
            None => (Origin::Read, None),
        }
    }

    fn with(
        &self,
        account: Account,
        sign: &'static str,
        value: f64,
        field: Field,
        sd: Option<f64>,
    ) -> Account {
        let (origin, filled) = self.origin(field);
        match filled.or(sd) {
            Some(sd) => account.with_sd(sign, value, sd, origin),
            None => account.with(sign, value, origin),
        }
    }

    fn permeate(&self, account: Account) -> Account {
        let (q, sd) = (self.complete.permeate_l_h, self.complete.permeate_flow_sd);
        self.with(account, "Q_p", q, Field::PermeateFlow, Some(q * sd))
    }

    fn temperature(&self, account: Account) -> Account {
        let t = self.complete.temperature_c;
        let sd = Some(self.complete.temperature_sd_c);
        self.with(account, "T", t, Field::FeedTemperature, sd)
    }

    fn recovery(&self) -> Option<Account> {
        let account = Account::of(&RECOVERY, self.one.standardised?.recovery);
        let (q, sd) = (self.complete.concentrate_l_h, self.complete.concentrate_flow_sd);
        Some(self.with(
            self.permeate(account),
            "Q_c",
            q,
            Field::ConcentrateFlow,
            Some(q * sd),
        ))
    }

    fn feed_salt(&self) -> Account {
        let c = self.complete.feed_mg_l;
        let ratio = self.standardisation.salt.ratio;
        let read = feed_us_cm(self.reading, &self.standardisation.salt).is_some();
        let origin = if read { Origin::Read } else { Origin::Learned };
        let sd = c * self.complete.feed_relative_sd;
        Account::of(&FEED_SALT, c)
            .give(sd)
            .with("r", ratio, Origin::Analysed)
            .with_sd("κ_f", c / ratio, sd / ratio, origin)
    }

    fn permeate_salt(&self) -> Account {
        let c = self.complete.permeate_mg_l;
        let ratio = self.standardisation.salt.ratio;
        let sd = c * self.complete.permeate_relative_sd;
        let account = Account::of(&PERMEATE_SALT, c)
            .give(sd)
            .with("r", ratio, Origin::Analysed);
        match permeate_us_cm(self.reading, &self.standardisation.salt) {
            Some(us_cm) => account.with_sd("κ_p", us_cm, sd / ratio, Origin::Read).with(
                "κ_CO2",
                us_cm - c / ratio,
                Origin::Analysed,
            ),
            // Not read: a middling membrane's, which the driving pressure hardly feels.
            None => account
                .with_sd("κ_p", c / ratio, sd / ratio, Origin::Estimated)
                .with("κ_CO2", 0.0, Origin::Analysed),
        }
    }

    fn feed_side(&self, recovery: &Account, feed: &Account) -> Option<Account> {
        let account = Account::of(&FEED_SIDE, self.one.standardised?.feed_side_mg_l);
        Some(account.from("C_f", feed).from("Y", recovery))
    }

    /// The driving pressure and all below it.
    fn driving(&self) -> Option<[Account; 7]> {
        let salt = &self.standardisation.salt;
        let kelvin = self.complete.temperature_c + 273.15;
        let reference = self.standardisation.baseline_of(self.one)?.reference;
        let (recovery, feed, permeate) = (self.recovery()?, self.feed_salt(), self.permeate_salt());
        let feed_side = self.feed_side(&recovery, &feed)?;
        let osmotic = |equation, sign, of: &Account| {
            let kpa = reference.osmotic_kpa(of.value, kelvin);
            let account = Account::of(equation, kpa)
                .give(kpa * salt.osmotic_sd)
                .from(sign, of);
            self.temperature(account)
                .with("a", reference.osmotic_slope, Origin::Analysed)
                .with("b", reference.osmotic_curve, Origin::Constant)
        };
        let on_feed = osmotic(&FEED_OSMOTIC, "C_fb", &feed_side);
        let on_permeate = osmotic(&PERMEATE_OSMOTIC, "C_p", &permeate);
        let mut account = Account::of(&DRIVING, self.one.standardised?.driving_kpa)
            .give(self.complete.driving_sd_kpa.hypot(on_feed.sd.unwrap_or(0.0)));
        account = self.with(
            account,
            "P_m",
            self.complete.membrane_kpa,
            Field::MembranePressure,
            None,
        );
        let (drop, drop_sd) = (self.complete.drop_kpa, self.complete.drop_sd_kpa);
        let drop_origin = if self.completion.has_drop {
            Origin::Read
        } else {
            Origin::Estimated
        };
        account = account.with_sd("dP", drop, drop_sd, drop_origin);
        account = self.with(
            account,
            "P_p",
            self.complete.back_kpa,
            Field::PermeatePressure,
            None,
        );
        let account = account.from("π_fb", &on_feed).from("π_p", &on_permeate);
        Some([account, on_feed, on_permeate, feed_side, recovery, feed, permeate])
    }

    fn temperature_factor(&self) -> Option<Account> {
        let baseline = self.standardisation.baseline_of(self.one)?;
        let ln = baseline.reference.ln_temperature_coefficient;
        let tcf = (ln * (self.complete.temperature_c - 25.0)).exp();
        let account = Account::of(&TEMPERATURE_FACTOR, tcf).with_sd(
            "c",
            ln.exp(),
            crate::standardise::TEMPERATURE_COEFFICIENT_SD,
            Origin::Described,
        );
        Some(self.temperature(account))
    }

    fn flow(&self) -> Option<Vec<Account>> {
        let baseline = self.standardisation.baseline_of(self.one)?;
        let (relative, standard) = (self.one.relative_permeate_flow?, self.one.permeate_flow?);
        let driving = self.driving()?;
        let factor = self.temperature_factor()?;
        let account = Account::of(&STANDARD_FLOW, standard.value).give(standard.sd);
        let standard = self
            .permeate(account)
            .with("NDP_s", baseline.reference.driving_kpa, Origin::Baseline)
            .from("NDP", driving.first()?)
            .from("TCF", &factor);
        let (middle, sd) = baseline.permeate;
        let relative = Account::of(&RELATIVE_FLOW, relative.value)
            .give(relative.sd)
            .from("Q_std", &standard)
            .with_sd("Q_s", middle, middle * sd, Origin::Baseline);
        let mut all = vec![relative, standard];
        let [head, rest @ ..] = driving;
        all.push(head);
        all.push(factor);
        all.extend(rest);
        Some(all)
    }

    fn salt(&self) -> Option<Vec<Account>> {
        let baseline = self.standardisation.baseline_of(self.one)?;
        let (relative, standard) = (self.one.relative_salt_passage?, self.one.salt_passage?);
        let (passage, passage_sd) = baseline.salt_passage?;
        let (recovery, feed, permeate) = (self.recovery()?, self.feed_salt(), self.permeate_salt());
        let feed_side = self.feed_side(&recovery, &feed)?;
        let factor = self.temperature_factor()?;
        let reference = &baseline.reference;
        let account = Account::of(&STANDARD_SALT, standard.value)
            .give(standard.sd)
            .from("C_p", &permeate)
            .from("C_f", &feed);
        let standard = self
            .permeate(account)
            .with("Q_s", reference.permeate_l_h, Origin::Baseline)
            .from("TCF", &factor)
            .from("C_fb", &feed_side)
            .with("C_fbs", reference.feed_side_mg_l, Origin::Baseline)
            .with("C_fs", reference.feed_mg_l, Origin::Baseline);
        let relative = Account::of(&RELATIVE_SALT, relative.value)
            .give(relative.sd)
            .from("SP_std", &standard)
            .with_sd("SP_s", passage, passage * passage_sd, Origin::Baseline);
        Some(vec![
            relative, standard, permeate, feed, feed_side, recovery, factor,
        ])
    }

    fn drop(&self) -> Option<Vec<Account>> {
        let baseline = self.standardisation.baseline_of(self.one)?;
        let (relative, standard) = (self.one.relative_pressure_drop?, self.one.pressure_drop?);
        let (drop, drop_sd) = baseline.drop?;
        let reference = &baseline.reference;
        let friction = |flow_l_h: f64, viscosity: f64| {
            let (inertial, viscous) = reference.friction(flow_l_h, viscosity / DENSITY);
            inertial + viscous
        };
        let channel = self.complete.concentrate_l_h + 0.5 * self.complete.permeate_l_h;
        let now = friction(channel, viscosity_pa_s(self.complete.temperature_c + 273.15));
        let then = friction(reference.channel_l_h, VISCOSITY_25_PA_S);
        let standard = Account::of(&STANDARD_DROP, standard.value)
            .give(standard.sd)
            .with_sd(
                "dP",
                self.complete.drop_kpa,
                self.complete.drop_sd_kpa,
                Origin::Read,
            )
            .with("φ_s", then, Origin::Baseline)
            .with("φ", now, Origin::Solved);
        let relative = Account::of(&RELATIVE_DROP, relative.value)
            .give(relative.sd)
            .from("dP_std", &standard)
            .with_sd("dP_s", drop, drop_sd, Origin::Baseline);
        Some(vec![relative, standard])
    }
}
