//! Tests of the ledger through what it offers.

mod common;
mod frozen;
mod import;
mod laws;
mod state;
