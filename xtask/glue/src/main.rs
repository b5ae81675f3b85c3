//! `field-glue FILE.wasm FOLDER`: what `cargo xtask` calls to write the JavaScript side of the pages as
//! WebAssembly, for a service worker (`no_modules`: a classic script).
#![expect(clippy::print_stderr, reason = "a task reports to the terminal")]

use std::process::ExitCode;

use wasm_bindgen_cli_support::Bindgen;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let [input, folder] = words.as_slice() else {
        eprintln!("Usage: field-glue FILE.wasm FOLDER");
        return ExitCode::from(2);
    };
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(input)
        .out_name("field")
        .typescript(false)
        .remove_name_section(true)
        .remove_producers_section(true);
    let written = bindgen
        .no_modules(true)
        .and_then(|bindgen| bindgen.generate(folder));
    match written {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("field-glue: {error:#}");
            ExitCode::FAILURE
        }
    }
}
