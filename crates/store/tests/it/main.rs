//! Tests of the stores through what they offer.

mod contract;
mod files;
mod full;
mod imports;
mod kill;
mod partial;
