//! The pages, one idea a module.

pub(crate) mod corrections;
pub(crate) mod customers;
pub(crate) mod drawing;
pub(crate) mod due;
pub(crate) mod events;
pub(crate) mod found;
pub(crate) mod how;
pub(crate) mod import;
pub(crate) mod log;
pub(crate) mod notes;
pub(crate) mod photographs;
pub(crate) mod plan;
pub(crate) mod reading_form;
pub(crate) mod readings;
pub(crate) mod settings;
pub(crate) mod sites;
pub(crate) mod told;
pub(crate) mod trouble;
pub(crate) mod unit;
pub(crate) mod verdict;
pub(crate) mod water;
pub(crate) mod water_form;
pub(crate) mod who;
pub(crate) mod words;
pub(crate) mod work;

use crate::frame::ask::Ask;

/// Marks sentences of the domain crates, which are English.
pub(crate) fn english(ask: &Ask<'_>) -> Option<&'static str> {
    (ask.say.tag() != "en").then_some("en")
}
