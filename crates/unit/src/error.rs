//! What keeps a unit from being computed.

use crate::accepted::Accepted;

/// Why a unit has no prediction.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PredictError {
    /// A value of the unit, the feed or the conditions that no physics can use.
    #[error("{field} is {read}; accepted is {accepted}")]
    Input {
        /// Path of the field, as in a case file.
        field: String,
        /// What was read.
        read: f64,
        /// What is accepted.
        accepted: Accepted,
    },
    /// The unit has no membranes.
    #[error("unit.membranes.elements is empty; a unit has one to eight elements")]
    NoElements,
    /// `conditions.state` names a part that the unit does not have.
    #[error("{field} names \"{id}\", which is not a part of this unit with such a state; it has {known}")]
    UnknownPart {
        /// Path of the field.
        field: &'static str,
        /// The name that was read.
        id: String,
        /// The names that would do.
        known: String,
    },
    /// No water permeability gives the rated flow.
    #[error(
        "{field}: no membrane can meet this rating: at {pressure_kpa:.0} kPa on {tds_mg_l:.0} mg/L with a rejection of \
         {rejection} and a recovery of {recovery} even a perfectly permeable one makes {most_l_h:.1} L/h, not \
         {flow_l_h:.1}: osmotic pressure at the membrane ({osmotic_kpa:.0} kPa in the feed) takes up the rest"
    )]
    Rating {
        /// Path of the rating.
        field: String,
        /// Rated flow, L/h.
        flow_l_h: f64,
        /// Rated rejection.
        rejection: f64,
        /// Rated pressure, kPa.
        pressure_kpa: f64,
        /// Rated feed, mg/L.
        tds_mg_l: f64,
        /// Rated recovery.
        recovery: f64,
        /// Osmotic pressure of that feed, kPa.
        osmotic_kpa: f64,
        /// The most that could be made, L/h.
        most_l_h: f64,
    },
    /// Nothing pushes water into the unit.
    #[error(
        "no water flows: the membranes are at {membrane_pressure_kpa:.0} kPa with no flow at all (inlet \
         {inlet_pressure_kpa:.0} kPa{}); a pressure above 0 is needed",
        if *pump { ", pump included" } else { "" }
    )]
    NoFlow {
        /// Pressure at the inlet, kPa.
        inlet_pressure_kpa: f64,
        /// Pressure at the membranes with no flow, kPa.
        membrane_pressure_kpa: f64,
        /// Whether a pump helps.
        pump: bool,
    },
    /// The pressure at the membranes does not overcome what stands against it.
    #[error(
        "no permeate: {} reach the {needed_kpa:.0} kPa at the membranes above which this water gives permeate \
         (osmotic pressure {osmotic_kpa:.0} kPa and permeate pressure {permeate_pressure_kpa:.0} kPa); it is \
         {membrane_pressure_kpa:.0} kPa",
        if *pump { "the pump cannot" } else { "the inlet pressure does not" }
    )]
    NoPermeate {
        /// Pressure at the membranes, kPa.
        membrane_pressure_kpa: f64,
        /// Permeate pressure with the lift, kPa.
        permeate_pressure_kpa: f64,
        /// Osmotic pressure of the feed, kPa.
        osmotic_kpa: f64,
        /// Their sum, kPa.
        needed_kpa: f64,
        /// Whether the unit has a pump.
        pump: bool,
    },
    /// The pressure shut-off is closed.
    #[error(
        "the pressure shut-off is closed: permeate at {permeate_pressure_kpa:.0} kPa is at or above 2/3 of the feed's \
         {feed_pressure_kpa:.0} kPa"
    )]
    ShutOff {
        /// Permeate pressure, kPa.
        permeate_pressure_kpa: f64,
        /// Pressure where the valve stands, kPa.
        feed_pressure_kpa: f64,
    },
    /// An element of a parallel row passes all of its feed.
    #[error(
        "element {element} of the parallel row would pass all of its feed as permeate and draw on its neighbours' \
         concentrate ({recovery:.6} of it is permeate): its permeability and the others' are too far apart, or the \
         restrictor lets almost nothing through"
    )]
    RunsDry {
        /// Its id.
        element: String,
        /// Permeate over feed.
        recovery: f64,
    },
    /// The water cannot be computed.
    #[error("water: the chemistry has no answer")]
    Water(#[from] water::Error),
    /// The equations were not solved; a fault of this program.
    #[error("the steady state of this unit was not found ({what}); please report the unit")]
    Unsolved {
        /// Which equations.
        what: &'static str,
    },
}
