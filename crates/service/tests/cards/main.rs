//! Job cards on random units, mutated, and as a technician would read them.

mod common;
mod mutate;
mod random;
