//! What the fourteen units are like and what happens to them. Days are counted back from now.

use reading::EventKind;

/// Someone who writes in the ledger, on a device.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hand {
    /// Ines, on her phone.
    Ines,
    /// Ines, at the workshop's desk.
    Desk,
    /// Tobias, on his phone.
    Tobias,
}

impl Hand {
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Ines | Self::Desk => "Ines",
            Self::Tobias => "Tobias",
        }
    }

    pub(crate) fn device(self) -> &'static str {
        match self {
            Self::Ines => "Ines' phone",
            Self::Desk => "workshop desk",
            Self::Tobias => "Tobias' phone",
        }
    }
}

/// The units of measure in which readings are typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum System {
    /// psi, F, a timed jug, uS/cm.
    Us,
    /// psi, F, a timed jug, ppm at half the conductivity.
    UsPpm,
    /// bar, C, a timed jug, uS/cm.
    Metric,
    /// kPa, C, L/h, uS/cm, as bare numbers.
    Base,
}

/// What one takes on the way round a unit; temperature and permeate flow are always taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Take {
    Inlet,
    Membrane,
    Concentrate,
    ConcentrateFlow,
    Feed,
    Permeate,
    Total,
    Hours,
    ChlorineIn,
    ChlorineOut,
    TotalChlorineOut,
    HardnessOut,
    Stages,
    Elements,
    Polish,
}

/// How much is drawn through the year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Draw {
    Steady,
    Summer,
    /// A tenth in winter.
    SummerOnly,
}

/// How fast things wear, all else being equal.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Rates {
    /// Days at mean use until a new sediment cartridge reaches its limit of pressure drop.
    pub(crate) sediment_d: f64,
    /// Days at mean use until new carbon lets 0.1 mg/L of oxidant pass.
    pub(crate) carbon_d: f64,
    /// Growth of the fouling layer's resistance in a year, of the membrane's own.
    pub(crate) fouling: f64,
    /// Rise of salt permeability in a year by age alone.
    pub(crate) salt: f64,
}

/// What goes wrong, and how much.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Trouble {
    /// The restrictor passes more, by this much in a year.
    RestrictorWorn(f64),
    /// The restrictor closes, by this much in a year.
    RestrictorBlocked(f64),
    /// Scale on the tail element: loss of water and rise of salt permeability in a year.
    Scale(f64, f64),
    /// Conductance of the leak of this element's core seal, of its own.
    CoreSeal(usize, f64),
    /// The pump has lost this share of its pressure.
    PumpWeak(f64),
    /// The supply has lost this share of its pressure.
    SupplyLow(f64),
}

/// A trouble from one day to another.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fault {
    pub(crate) from_d: i64,
    /// 0 where it is still there.
    pub(crate) until_d: i64,
    pub(crate) trouble: Trouble,
}

/// Something that is done on a visit, between two readings.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Work {
    pub(crate) day: i64,
    pub(crate) kind: EventKind,
    pub(crate) part: Option<&'static str>,
    pub(crate) note: &'static str,
}

/// What the pen slips on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Slip {
    /// The decimal point of the jug's seconds.
    Decimal,
    /// Feed and permeate conductivity change places.
    Swapped,
    /// The pressure before the membranes is read off the wrong gauge.
    WrongGauge,
}

/// A slip on the first reading after this day.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Slipped {
    pub(crate) day: i64,
    pub(crate) slip: Slip,
    /// Who saw it, and how many days later.
    pub(crate) seen: Option<(Hand, i64)>,
}

/// How a log on paper or in a spreadsheet is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Style {
    /// Commas, month first, US units, ppm.
    MonthFirst,
    /// Semicolons, decimal comma, day first, bar.
    Comma,
    /// Tabs, year first, metric.
    Tabs,
}

/// A log that someone else kept and that was read in.
#[derive(Clone, Copy, Debug)]
pub(crate) struct KeptLog {
    /// Its last day.
    pub(crate) until_d: i64,
    /// The day on which it was read in.
    pub(crate) imported_d: i64,
    pub(crate) every_d: i64,
    pub(crate) style: Style,
    pub(crate) file: &'static str,
    /// Lines that are no readings, each after so many rows.
    pub(crate) strays: &'static [(usize, &'static str)],
}

/// A unit and its story.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Scenario {
    pub(crate) id: &'static str,
    pub(crate) file: &'static str,
    pub(crate) site: &'static str,
    /// Commissioned so many days ago.
    pub(crate) age_d: i64,
    /// Mean pressure of the supply, kPa.
    pub(crate) inlet_kpa: f64,
    pub(crate) draw: Draw,
    pub(crate) hand: Hand,
    pub(crate) every_d: i64,
    pub(crate) system: System,
    pub(crate) takes: &'static [Take],
    pub(crate) log: Option<KeptLog>,
    pub(crate) rates: Rates,
    pub(crate) faults: &'static [Fault],
    pub(crate) works: &'static [Work],
    pub(crate) slips: &'static [Slipped],
    pub(crate) notes: &'static [(i64, &'static str)],
}
