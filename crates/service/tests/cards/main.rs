//! Job cards on random units, mutated, and as a technician would read them.

mod common;
mod doses;
mod examples;
mod mutate;
mod proof;
mod random;
mod reach;
