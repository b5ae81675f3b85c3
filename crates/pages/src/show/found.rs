//! Finding what an address names.

use ledger::UnitHistory;
use unit::Unit;

use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::{layout, link};

/// The unit that an address names, or the page that says there is none.
#[expect(
    clippy::result_large_err,
    reason = "the page that says there is none is made once, and sent"
)]
pub(crate) fn unit<'a>(ask: &Ask<'a>, held: &[String]) -> Result<(&'a UnitHistory, &'a Unit), Response> {
    held.first()
        .and_then(|id| ask.state.unit(id))
        .and_then(|known| Some((known, known.unit()?)))
        .ok_or_else(|| layout::not_found(ask))
}

/// The steps above a page of a unit.
pub(crate) fn above(ask: &Ask<'_>, unit: &Unit) -> Vec<(String, String)> {
    vec![
        ("/".to_owned(), ask.say.say("nav-due")),
        (link::unit(&unit.id), unit.name.clone()),
    ]
}
