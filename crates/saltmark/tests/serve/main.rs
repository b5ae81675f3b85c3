//! `saltmark serve`, the real program, over real connections.

mod browser;
mod guard;
mod kill;
mod print;
mod records;
mod start;
