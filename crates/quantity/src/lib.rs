//! Units of measure: parsing what people write, and writing it for them.
//!
//! Architecture invariant: nothing here knows what water is.
#![deny(clippy::disallowed_methods)]
