//! The pages, one idea a module.

pub(crate) mod corrections;
pub(crate) mod customers;
pub(crate) mod drawing;
pub(crate) mod due;
pub(crate) mod events;
pub(crate) mod found;
pub(crate) mod how;
pub(crate) mod log;
pub(crate) mod notes;
pub(crate) mod reading_form;
pub(crate) mod readings;
pub(crate) mod sites;
pub(crate) mod unit;
pub(crate) mod verdict;
pub(crate) mod water;
pub(crate) mod who;
pub(crate) mod words;
