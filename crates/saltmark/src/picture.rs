//! From a unit's standardised history to its picture.
use jiff::Timestamp;
use wear::forecast::PartForecast;
use wear::{History, Standardisation};

pub(crate) fn history(_h: &History<'_>, _s: &Standardisation, _p: &[PartForecast], _t: Timestamp) -> String {
    String::new()
}
