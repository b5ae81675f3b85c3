//! The pages, asked for as a browser asks: tests are named by the address they ask for.
#![expect(clippy::disallowed_methods, reason = "a test reads the project's own files")]

mod every_page;
mod figures;
mod forms;
mod frame;
mod german;
mod html;
mod import;
mod kept;
mod messages;
mod never_panics;
mod photographs;
mod plan;
mod settings;
mod site;
mod trouble;
mod unit_pages;
mod work;
