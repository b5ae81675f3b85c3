//! What every page stands in: addresses, forms, language, units of measure, the layout.

pub(crate) mod ask;
pub(crate) mod assets;
pub(crate) mod fields;
pub(crate) mod figure;
pub(crate) mod form;
pub(crate) mod formula;
pub(crate) mod language;
pub(crate) mod layout;
pub(crate) mod link;
pub(crate) mod measure;
pub(crate) mod quantities;
pub(crate) mod router;
