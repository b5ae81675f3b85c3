//! The project's own tasks: `cargo xtask demo | test | bench`.
fn main() {}
