//! The pages, asked for as a browser asks: tests are named by the address they ask for.
#![expect(clippy::disallowed_methods, reason = "a test reads the project's own files")]

mod every_page;
mod figures;
mod forms;
mod frame;
mod html;
mod messages;
mod never_panics;
mod site;
mod unit_pages;
