//! The fourteen stories. Intervals, lives and faults are invented; they are meant to be ordinary ones.

mod lower;
mod upper;

use crate::scenario::{Fault, Hand, Slip, Slipped, Take, Trouble, Work};

pub(crate) use lower::LOWER;
pub(crate) use upper::UPPER;

const fn work(day: i64, kind: reading::EventKind, part: Option<&'static str>, note: &'static str) -> Work {
    Work {
        day,
        kind,
        part,
        note,
    }
}

const fn fault(from_d: i64, until_d: i64, trouble: Trouble) -> Fault {
    Fault {
        from_d,
        until_d,
        trouble,
    }
}

const fn slip(day: i64, slip: Slip, seen: Option<(Hand, i64)>) -> Slipped {
    Slipped { day, slip, seen }
}

const USUAL: &[Take] = &[
    Take::Inlet,
    Take::Membrane,
    Take::ConcentrateFlow,
    Take::Feed,
    Take::Permeate,
    Take::ChlorineOut,
];
const FEW: &[Take] = &[Take::Inlet, Take::Feed, Take::Permeate];
const GAUGES: &[Take] = &[
    Take::Inlet,
    Take::Stages,
    Take::Membrane,
    Take::Concentrate,
    Take::ConcentrateFlow,
    Take::Feed,
    Take::Permeate,
    Take::ChlorineIn,
    Take::ChlorineOut,
];
const BORE: &[Take] = &[
    Take::Inlet,
    Take::Stages,
    Take::Membrane,
    Take::Concentrate,
    Take::ConcentrateFlow,
    Take::Feed,
    Take::Permeate,
];
