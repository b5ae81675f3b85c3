//! Puts the pages as WebAssembly into the binary, where `cargo xtask` has built them.
//!
//! They are looked for in the folder that `SALTMARK_FIELD_DIR` names, else in `target/field`. Where they are not
//! built the binary serves the pages without a worker, and says so when it starts.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn main() -> io::Result<()> {
    println!("cargo::rerun-if-env-changed=SALTMARK_FIELD_DIR");
    println!("cargo::rerun-if-env-changed=CARGO_TARGET_DIR");
    println!("cargo::rerun-if-changed=build.rs");
    let folder = folder();
    // Cargo can watch only what is there.
    fs::create_dir_all(&folder)?;
    println!("cargo::rerun-if-changed={}", folder.display());

    let mut files = Vec::new();
    for entry in fs::read_dir(&folder)? {
        let path = entry?.path();
        if path.is_file() {
            files.push(path);
        }
    }
    files.sort();
    let mut table = String::from("&[\n");
    for path in &files {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let _ = writeln!(
            table,
            "    ({name:?}, include_bytes!({:?}).as_slice()),",
            path.display().to_string()
        );
    }
    table.push_str("]\n");
    let out = PathBuf::from(env::var_os("OUT_DIR").unwrap_or_default());
    fs::write(out.join("field_files.rs"), table)
}

fn folder() -> PathBuf {
    if let Some(given) = env::var_os("SALTMARK_FIELD_DIR") {
        return given.into();
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let target =
        env::var_os("CARGO_TARGET_DIR").map_or_else(|| root.join("target"), |given| root.join(given));
    target.join("field")
}
