//! Pictures of readings, forecasts and sweeps as SVG: values in, a `String` out.
//!
//! The same values give the same bytes, so one picture serves a page, a file and a PDF. Text stays text.
//! There is no script and nothing is fetched. Colour is never the only carrier: every colour comes with a
//! word or a shape. One statement of uncertainty holds throughout: bars, shading and brackets are the range
//! in which eight of ten fall (p10 to p90).
//!
//! Nothing that a caller hands in can break a picture. Values that are not numbers are left out and said to
//! be left out; text is escaped; what has no room is moved, cut with an ellipsis or put into a note below.
//!
//! Architecture invariant: knows nothing of water, units or wear. No clock, no file, no global.
#![deny(clippy::disallowed_methods)]

// The simulated pictures of the tests and the gallery name this crate as others do.
#[cfg(test)]
extern crate self as chart;

mod canvas;
#[cfg(test)]
mod checks;
mod geometry;
pub mod history;
pub mod lines;
mod marker;
mod number;
mod options;
pub mod palette;
mod place;
mod scale;
mod sheet;
mod text;
mod thin;
mod time;
mod words;

pub use history::{Due, Fan, History, Mark, Panel, Point, history};
pub use lines::{Axis, Level, Lines, Region, Series, lines};
pub use options::{DESK_PX, Options, PHONE_PX, Theme};
pub use scale::Scale;
pub use words::{Word, Words};
