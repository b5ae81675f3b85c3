//! The fields of a unit as built, with what they are called.

use quantity::Kind;

/// A value of the document: its path, its kind, the key of its label.
pub(super) type Spot = (&'static str, Kind, &'static str);

/// A choice of the document: its path, the key of its label, its words with the keys of what they are called.
pub(super) struct Choice {
    pub(super) path: &'static str,
    pub(super) key: &'static str,
    pub(super) words: &'static [(&'static str, &'static str)],
}

/// What an element's label says.
pub(super) const LABEL: &[Spot] = &[
    ("membranes.elements.rated.flow", Kind::Flow, "plan-rated-flow"),
    (
        "membranes.elements.rated.rejection",
        Kind::Fraction,
        "plan-rated-rejection",
    ),
    (
        "membranes.elements.rated.pressure",
        Kind::Pressure,
        "plan-rated-pressure",
    ),
    (
        "membranes.elements.rated.tds",
        Kind::Concentration,
        "plan-rated-tds",
    ),
    (
        "membranes.elements.rated.temperature",
        Kind::Temperature,
        "plan-rated-temperature",
    ),
    (
        "membranes.elements.rated.recovery",
        Kind::Fraction,
        "plan-rated-recovery",
    ),
    ("membranes.elements.area", Kind::Area, "plan-area"),
];
/// Those of a label that have to be there.
pub(super) const OF_EVERY_LABEL: usize = 4;

/// What is asked of a pump and of a pressure regulator.
pub(super) const PUMP: &[Spot] = &[
    ("stages.open_flow", Kind::Flow, "plan-pump-open-flow"),
    ("stages.shutoff_pressure", Kind::Pressure, "plan-pump-shutoff"),
    ("stages.set_pressure", Kind::Pressure, "plan-regulator-pressure"),
];

/// The way to drain.
pub(super) const DRAIN: &[Spot] = &[
    ("concentrate.restrictor.flow", Kind::Flow, "plan-restrictor-flow"),
    ("concentrate.restrictor.at", Kind::Pressure, "plan-restrictor-at"),
];

/// The way to the tank.
pub(super) const TANK: &[Spot] = &[
    ("permeate.tank.volume", Kind::Volume, "plan-tank-volume"),
    ("permeate.tank.precharge", Kind::Pressure, "plan-tank-precharge"),
    ("permeate.lift", Kind::Length, "plan-lift"),
];

/// What is asked of it, and what it lives with.
pub(super) const NEED: &[Spot] = &[
    ("need.permeate_per_day", Kind::Volume, "plan-need-volume"),
    ("need.permeate_tds_max", Kind::Concentration, "plan-need-salt"),
    ("need.coldest_feed", Kind::Temperature, "plan-coldest"),
    ("need.warmest_feed", Kind::Temperature, "plan-warmest"),
    ("use.permeate_per_day", Kind::Volume, "plan-use"),
];

/// The size on an element's label.
pub(super) const SIZE: Choice = Choice {
    path: "membranes.elements.size",
    key: "plan-size",
    words: &[
        ("1812", "size-1812"),
        ("2012", "size-2012"),
        ("3012", "size-3012"),
        ("2521", "size-2521"),
        ("4021", "size-4021"),
        ("2540", "size-2540"),
        ("4040", "size-4040"),
    ],
};
pub(super) const ARRANGEMENT: Choice = Choice {
    path: "membranes.arrangement",
    key: "plan-arrangement",
    words: &[("series", "drawing-series"), ("parallel", "drawing-parallel")],
};
pub(super) const RESTRICTOR: Choice = Choice {
    path: "concentrate.restrictor.kind",
    key: "plan-restrictor-kind",
    words: &[
        ("capillary", "restrictor-capillary"),
        ("orifice", "restrictor-orifice"),
    ],
};
pub(super) const TANK_KIND: Choice = Choice {
    path: "permeate.tank.kind",
    key: "plan-tank",
    words: &[
        ("open", "drawing-tank-open"),
        ("pressurised", "drawing-tank-pressurised"),
    ],
};
pub(super) const SHUTOFF: Choice = Choice {
    path: "permeate.shutoff",
    key: "plan-shutoff",
    words: &[
        ("float", "drawing-shutoff-float"),
        ("pressure", "drawing-shutoff-pressure"),
        ("none", "drawing-shutoff-none"),
    ],
};

/// What is there or not.
pub(super) const INLET_VALVE: (&str, &str) = ("inlet.valve", "plan-inlet-valve");
pub(super) const FLUSH_VALVE: (&str, &str) = ("concentrate.flush_valve", "plan-flush-valve");
pub(super) const CHECK_VALVE: (&str, &str) = ("permeate.check_valve", "plan-check-valve");
pub(super) const TANK_VALVE: (&str, &str) = ("permeate.tank.valve", "plan-tank-valve");

/// The most elements in a unit (the contract's).
pub(super) const MOST_ELEMENTS: usize = 8;
/// The most stages that the form has room for.
pub(super) const MOST_STAGES: usize = 7;

/// What can stand before the membranes: the word of the form, kind and media in the document, the id of the first of them,
/// the key of what it is called.
pub(super) struct StageWord {
    pub(super) word: &'static str,
    pub(super) kind: &'static str,
    pub(super) media: Option<&'static str>,
    pub(super) key: &'static str,
}

const fn stage(
    word: &'static str,
    kind: &'static str,
    media: Option<&'static str>,
    key: &'static str,
) -> StageWord {
    StageWord {
        word,
        kind,
        media,
        key,
    }
}

pub(super) const STAGES: &[StageWord] = &[
    stage("spun", "sediment", Some("spun"), "stage-spun"),
    stage("pleated", "sediment", Some("pleated"), "stage-pleated"),
    stage("carbon", "carbon", Some("activated"), "stage-carbon"),
    stage("catalytic", "carbon", Some("catalytic"), "stage-catalytic"),
    stage("softener", "softener", None, "part-softener"),
    stage("antiscalant", "antiscalant", None, "part-antiscalant"),
    stage("pump", "pump", None, "part-pump"),
    stage("regulator", "regulator", None, "part-regulator"),
    stage("other", "other", None, "stage-other"),
];

/// The field of the stage at this place.
pub(super) fn slot(place: usize) -> String {
    format!("stages.{place}")
}
