//! A unit as built: put in from an element's label and what one sees, or described anew.

mod alter;
mod built;
mod document;
mod form;
mod limits;
mod new;
mod parts;
mod typical;

pub(crate) use alter::{alter, rewrite};
pub(crate) use limits::{limits, set_limits};
pub(crate) use new::{ask, write};
