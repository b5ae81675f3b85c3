//! The unit as built: stages in flow order, membranes, restrictor, permeate side, and what is asked of it.
//!
//! Every number is in the base unit of its quantity and says so in its name: `_l_h` litres per hour,
//! `_kpa` kilopascal (gauge), `_c` degrees Celsius, `_mg_l` milligrams per litre, `_d` days.

use std::collections::BTreeMap;

use jiff::civil::Date;

/// A whole unit, in flow order from the inlet to the tank and the drain.
#[derive(Clone, Debug, PartialEq)]
pub struct Unit {
    /// Name in commands, addresses and labels; unique in a ledger.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// First day in service.
    pub commissioned: Option<Date>,
    /// IANA name of the zone in which times without a zone are read. Default `UTC`.
    pub time_zone: String,
    /// Whether a shut-off valve stands before the first stage.
    pub inlet_valve: bool,
    /// What the feed passes before the membranes, in flow order.
    pub stages: Vec<Stage>,
    /// The membrane elements and how they are joined.
    pub membranes: Membranes,
    /// The way to drain.
    pub concentrate: Concentrate,
    /// The way to the tank.
    pub permeate: Permeate,
    /// What is asked of the unit.
    pub need: Need,
    /// Litres of permeate really drawn in a day, where no totaliser says it.
    pub use_permeate_l_d: Option<f64>,
    /// The instruments its readings are taken with.
    pub instruments: Instruments,
    /// When a part counts as worn.
    pub limits: Limits,
}

/// One thing that the feed passes before the membranes.
#[derive(Clone, Debug, PartialEq)]
pub struct Stage {
    /// Unique in the unit; names the part everywhere.
    pub id: String,
    /// What it is.
    pub kind: StageKind,
    /// Pressure drop when clean; none where not given.
    pub clean_drop: Option<CleanDrop>,
    /// A valve of its own at the housing's inlet.
    pub inlet_valve: bool,
    /// When it is worn.
    pub limit: StageLimit,
}

/// What a stage is, with what only that kind has.
#[derive(Clone, Debug, PartialEq)]
pub enum StageKind {
    /// Cartridge that holds particles back.
    Sediment {
        /// Thrown away or washed.
        media: SedimentMedia,
    },
    /// Cartridge or bed that takes oxidants out.
    Carbon {
        /// Plain or catalytic carbon.
        media: CarbonMedia,
        /// Volume of the bed, litres.
        bed_volume_l: Option<f64>,
        /// What it is stated to treat.
        capacity: Option<CarbonCapacity>,
        /// Litres to run to drain before it may feed the membranes.
        rinse_l: Option<f64>,
    },
    /// Exchanges hardness for sodium.
    Softener {
        /// Equivalents of hardness between regenerations.
        capacity_eq: Option<f64>,
        /// Hardness that passes when sound, mg/L as `CaCO3`.
        hardness_out_mg_l_caco3: Option<f64>,
    },
    /// Doses a scale inhibitor.
    Antiscalant,
    /// Booster pump; its pressure falls in a straight line with its flow.
    Pump {
        /// Flow at no added pressure, L/h.
        open_flow_l_h: f64,
        /// Pressure added at no flow, kPa.
        shutoff_kpa: f64,
    },
    /// Holds the pressure after it at or below a set value.
    Regulator {
        /// Set pressure, kPa.
        set_kpa: f64,
    },
    /// Anything else in line with a housing.
    Other,
}

/// Media of a sediment stage.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SedimentMedia {
    /// Spun depth cartridge, discarded.
    Spun,
    /// Pleated surface cartridge, washable.
    Pleated,
}

/// Media of a carbon stage.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CarbonMedia {
    /// Plain activated carbon.
    Activated,
    /// Catalytic carbon, for chloramine.
    Catalytic,
}

/// Litres that a carbon stage is stated to treat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CarbonCapacity {
    /// Litres.
    pub volume_l: f64,
    /// Litres of what.
    pub of: CapacityOf,
    /// Recovery at which the supplier counted litres of permeate.
    pub recovery: Option<f64>,
    /// Oxidant of the feed for which it is stated, mg/L as Cl2.
    pub oxidant_mg_l: Option<f64>,
}

/// Which water a capacity counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CapacityOf {
    /// All that passes the stage.
    Feed,
    /// What the membranes make of it.
    Permeate,
}

/// Pressure drop of a clean stage at one flow and 25 C.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CleanDrop {
    /// Pressure drop, kPa.
    pub pressure_kpa: f64,
    /// At this flow, L/h.
    pub flow_l_h: f64,
}

/// When a stage counts as worn.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StageLimit {
    /// Pressure drop at the reference feed flow and 25 C, kPa.
    pub pressure_drop_kpa: Option<f64>,
    /// Days in service.
    pub age_d: Option<f64>,
    /// Free chlorine after it, mg/L.
    pub free_chlorine_out_mg_l: Option<f64>,
}

/// The membrane elements.
#[derive(Clone, Debug, PartialEq)]
pub struct Membranes {
    /// Factor on permeability per degree; 1.03 where not stated (ASTM D4516).
    pub temperature_coefficient: Option<f64>,
    /// How the elements are joined.
    pub arrangement: Arrangement,
    /// In flow order (series) or side by side (parallel); one to eight.
    pub elements: Vec<Element>,
}

/// How elements are joined on the feed side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Arrangement {
    /// The concentrate of one feeds the next.
    Series,
    /// All take the same feed; concentrates join at the restrictor.
    Parallel,
}

/// One membrane element.
#[derive(Clone, Debug, PartialEq)]
pub struct Element {
    /// Unique in the unit.
    pub id: String,
    /// Size code (diameter in tenths of an inch, length in inches) with its typical geometry.
    pub size: ElementSize,
    /// Membrane area, m2, where it is known better than the size tells.
    pub area_m2: Option<f64>,
    /// What its label says it does.
    pub rated: Rating,
}

impl Element {
    /// Membrane area, m2: the stated one, else the typical one of the size.
    pub fn area_m2(&self) -> f64 {
        self.area_m2.unwrap_or(self.size.typical_area_m2())
    }
}

/// Size codes with a known typical geometry (areas and lengths from memory: typical).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ElementSize {
    /// 1.8 x 12 in.
    S1812,
    /// 2.0 x 12 in.
    S2012,
    /// 3.0 x 12 in.
    S3012,
    /// 2.5 x 21 in.
    S2521,
    /// 4.0 x 21 in.
    S4021,
    /// 2.5 x 40 in.
    S2540,
    /// 4.0 x 40 in.
    S4040,
}

impl ElementSize {
    /// All sizes, smallest first.
    pub const ALL: [Self; 7] = [
        Self::S1812,
        Self::S2012,
        Self::S3012,
        Self::S2521,
        Self::S4021,
        Self::S2540,
        Self::S4040,
    ];

    /// The code as it stands on a label.
    pub fn code(self) -> &'static str {
        match self {
            Self::S1812 => "1812",
            Self::S2012 => "2012",
            Self::S3012 => "3012",
            Self::S2521 => "2521",
            Self::S4021 => "4021",
            Self::S2540 => "2540",
            Self::S4040 => "4040",
        }
    }

    /// The size of a code, if it is known.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|size| size.code() == code)
    }

    /// Typical membrane area, m2 (from memory: typical; `model.md` 2).
    pub fn typical_area_m2(self) -> f64 {
        match self {
            Self::S1812 => 0.46,
            Self::S2012 => 0.74,
            Self::S3012 => 1.9,
            Self::S2521 => 1.1,
            Self::S4021 => 3.3,
            Self::S2540 => 2.6,
            Self::S4040 => 7.9,
        }
    }

    /// Active length of the feed channel, m (from memory: typical; `model.md` 2).
    pub fn active_length_m(self) -> f64 {
        match self {
            Self::S1812 | Self::S2012 | Self::S3012 => 0.25,
            Self::S2521 | Self::S4021 => 0.45,
            Self::S2540 | Self::S4040 => 0.90,
        }
    }
}

/// What an element's label promises, on sodium chloride.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rating {
    /// Permeate flow, L/h.
    pub flow_l_h: f64,
    /// 1 - `C_p/C_f`.
    pub rejection: f64,
    /// Feed pressure, kPa.
    pub pressure_kpa: f64,
    /// Feed temperature, C.
    pub temperature_c: f64,
    /// Feed NaCl, mg/L.
    pub tds_mg_l: f64,
    /// Recovery; 0.15 where the label does not say.
    pub recovery: f64,
}

/// The way to drain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Concentrate {
    /// What holds the membranes under pressure.
    pub restrictor: Restrictor,
    /// A valve round the restrictor, for flushing.
    pub flush_valve: bool,
}

/// A restriction in the concentrate line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Restrictor {
    /// Flow at `at_kpa` and 25 C, L/h.
    pub flow_l_h: f64,
    /// Pressure drop at which the flow is stated, kPa.
    pub at_kpa: f64,
    /// What it is.
    pub kind: RestrictorKind,
    /// Exponent of flow on pressure drop, in place of the kind's own.
    pub exponent: Option<f64>,
}

/// Kinds of restrictor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RestrictorKind {
    /// A length of fine tube.
    Capillary,
    /// A small hole.
    Orifice,
}

/// The way to the tank.
#[derive(Clone, Debug, PartialEq)]
pub struct Permeate {
    /// Whether a check valve stands where the elements' permeate joins.
    pub check_valve: bool,
    /// What stops the unit when the tank is full.
    pub shutoff: Shutoff,
    /// The tank.
    pub tank: Option<Tank>,
    /// Height from the membranes up to the tank's inlet, m.
    pub lift_m: f64,
    /// What the permeate passes after the membranes, in flow order.
    pub polish: Vec<Polish>,
}

/// What stops the unit when the tank is full.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shutoff {
    /// A float valve in an open tank.
    Float,
    /// A valve in the feed that closes at 2/3 of the feed pressure.
    Pressure,
    /// Nothing.
    None,
}

/// A permeate tank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tank {
    /// Open to the air or holding an air charge.
    pub kind: TankKind,
    /// Whole volume, litres.
    pub volume_l: Option<f64>,
    /// A valve at its inlet.
    pub valve: bool,
}

/// Kinds of tank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TankKind {
    /// Open to the air.
    Open,
    /// With a bladder and an air charge.
    Pressurised {
        /// Air pressure when empty of water, kPa.
        precharge_kpa: f64,
    },
}

/// Something the permeate passes after the membranes.
#[derive(Clone, Debug, PartialEq)]
pub struct Polish {
    /// Unique in the unit.
    pub id: String,
    /// What it is.
    pub kind: PolishKind,
    /// Volume of resin, litres.
    pub resin_volume_l: Option<f64>,
    /// Equivalents per litre of resin.
    pub capacity_eq_l: Option<f64>,
    /// Days in service.
    pub age_limit_d: Option<f64>,
}

/// Kinds of polishing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PolishKind {
    /// Mixed-bed ion exchange.
    MixedBed,
    /// Carbon, for taste.
    Carbon,
    /// Dissolves minerals back.
    Remineraliser,
    /// Ultraviolet lamp.
    Uv,
}

/// What is asked of the unit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Need {
    /// Litres of permeate in a day.
    pub permeate_l_d: Option<f64>,
    /// Dissolved salt it may have, mg/L.
    pub permeate_tds_max_mg_l: Option<f64>,
    /// Feed temperature in the coldest week, C.
    pub coldest_feed_c: Option<f64>,
    /// Feed temperature in the warmest week, C.
    pub warmest_feed_c: Option<f64>,
}

/// The instruments that readings are taken with; one standard deviation each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Instruments {
    /// Meter held into the feed.
    pub feed_meter: Meter,
    /// Meter held into the permeate.
    pub permeate_meter: Meter,
    /// Pressure gauges: error, kPa.
    pub gauge_error_kpa: f64,
    /// Pressure gauges: full scale, kPa.
    pub gauge_full_scale_kpa: Option<f64>,
    /// Thermometer: error, C.
    pub thermometer_error_c: f64,
    /// Flow by bucket and watch: relative error.
    pub bucket_error: f64,
}

impl Default for Instruments {
    /// Common practice, no source (`model.md` 4).
    fn default() -> Self {
        Self {
            feed_meter: Meter::default(),
            permeate_meter: Meter::default(),
            gauge_error_kpa: 7.0,
            gauge_full_scale_kpa: None,
            thermometer_error_c: 0.5,
            bucket_error: 0.025,
        }
    }
}

/// A pocket meter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meter {
    /// What a ppm display is ppm of; none where the display is conductivity or nobody said.
    pub scale: Option<MeterScale>,
    /// ppm per uS/cm, where stated.
    pub factor: Option<f64>,
    /// Smallest step of the display, in its own unit; 0 where not stated.
    pub step: f64,
    /// Relative error of one reading.
    pub relative_error: f64,
    /// Absolute error of one reading, uS/cm.
    pub absolute_error_us_cm: f64,
    /// When it was last checked against a standard.
    pub checked: Option<Date>,
}

impl Default for Meter {
    /// Common practice, no source (`model.md` 4): 2 % + 1 uS/cm.
    fn default() -> Self {
        Self {
            scale: None,
            factor: None,
            step: 0.0,
            relative_error: 0.02,
            absolute_error_us_cm: 1.0,
            checked: None,
        }
    }
}

/// What a ppm display is ppm of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MeterScale {
    /// Conductivity times a fixed factor.
    Conductivity,
    /// Sodium chloride.
    NaCl,
    /// A natural-water mixture.
    NaturalWater,
}

/// When the membranes count as worn, and what the concentrate may carry.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// Fall of standardised permeate flow, of the baseline.
    pub permeate_flow_drop: f64,
    /// Rise of standardised salt passage, of the baseline.
    pub salt_passage_rise: f64,
    /// Rise of standardised feed-to-concentrate pressure drop, of the baseline.
    pub pressure_drop_rise: f64,
    /// Saturation index allowed in the concentrate, by mineral, where it differs from practice.
    pub saturation: BTreeMap<String, f64>,
}

impl Default for Limits {
    /// Common practice, no source (`contract.md` 4).
    fn default() -> Self {
        Self {
            permeate_flow_drop: 0.20,
            salt_passage_rise: 0.50,
            pressure_drop_rise: 0.50,
            saturation: BTreeMap::new(),
        }
    }
}

impl Unit {
    /// The stage with this id.
    pub fn stage(&self, id: &str) -> Option<&Stage> {
        self.stages.iter().find(|stage| stage.id == id)
    }

    /// The element with this id.
    pub fn element(&self, id: &str) -> Option<&Element> {
        self.membranes.elements.iter().find(|element| element.id == id)
    }

    /// Ids of all parts: stages, elements, polishing, in flow order.
    pub fn part_ids(&self) -> impl Iterator<Item = &str> {
        let stages = self.stages.iter().map(|stage| stage.id.as_str());
        let elements = self.membranes.elements.iter().map(|element| element.id.as_str());
        let polish = self.permeate.polish.iter().map(|polish| polish.id.as_str());
        stages.chain(elements).chain(polish)
    }

    /// Factor on permeability per degree (ASTM D4516's 1.03 where the unit does not say).
    pub fn temperature_coefficient(&self) -> f64 {
        self.membranes.temperature_coefficient.unwrap_or(1.03)
    }
}
