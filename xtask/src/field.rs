//! The pages as WebAssembly, and the worker's one script: `cargo xtask field`. The server's build script puts them
//! into the binary.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};

use crate::arguments::Arguments;
use crate::process::{self, Result};
use crate::repo::Repo;
use crate::tools;

/// The largest WebAssembly that is accepted, compressed, in bytes.
const LARGEST_COMPRESSED: u64 = 2_000_000;

const TARGET: &str = "wasm32-unknown-unknown";

pub(crate) fn run(repo: &Repo, arguments: Arguments) -> Result<ExitCode> {
    arguments.finish()?;
    build(repo)?;
    Ok(ExitCode::SUCCESS)
}

/// Builds what is not up to date, into `target/field`.
pub(crate) fn build(repo: &Repo) -> Result {
    let wasm = compile(repo)?;
    let glue = glue(repo, &wasm)?;
    let read = |path: &Path| fs::read(path).map_err(|error| format!("{}: {error}", path.display()));

    let compiled = glue.join("field_bg.wasm");
    let hash = process::stdout_of(repo.command("sha256sum").arg(&compiled))?;
    let name = format!("field-{}.wasm", hash.get(..16).unwrap_or_default());
    let compressed = process::quietly(repo.command("gzip").args(["-9nc"]).arg(&compiled))?.stdout;
    let size = compressed.len() as u64;
    println!(
        "the pages as WebAssembly have {size} bytes compressed; at most {LARGEST_COMPRESSED} are accepted"
    );
    if size == 0 || size > LARGEST_COMPRESSED {
        return Err("the pages as WebAssembly are too large, or were not compressed".into());
    }

    let script = read(&repo.path("crates/field/web/worker.js"))?;
    let glue = read(&glue.join("field.js"))?;
    let mut worker = Vec::new();
    let head = "'use strict';\nconst makeGlue = () => {\n";
    for part in [head.as_bytes(), &glue, b"\nreturn wasm_bindgen;\n};\n", &script] {
        worker.extend_from_slice(part);
    }
    let folder = repo.target("field");
    // The version is a hash of all that the worker is made of.
    let draft = repo.target("field-draft.js");
    write_bytes(&draft, &worker)?;
    let version = process::stdout_of(repo.command("sha256sum").arg(&draft))?;
    let version = version.get(..16).unwrap_or_default();
    let constants = format!("const VERSION = {version:?};\nconst WASM = \"/field/{name}\";\n");
    let at = head.find("const").unwrap_or_default();
    worker.splice(at..at, constants.bytes());

    let files: [_; FILES] = [
        ("worker.js".to_owned(), worker),
        (format!("{name}.gz"), compressed),
    ];
    update(&folder, &files)
}

/// How many files the worker is made of.
pub(crate) const FILES: usize = 2;

/// The files that were built last.
pub(crate) fn files(repo: &Repo) -> Result<Vec<PathBuf>> {
    let folder = repo.target("field");
    let failed = |error: std::io::Error| format!("{}: {error}", folder.display());
    let mut files = Vec::with_capacity(FILES);
    for entry in fs::read_dir(&folder).map_err(failed)? {
        files.push(entry.map_err(failed)?.path());
    }
    files.sort();
    Ok(files)
}

/// Writes these files and nothing else into a folder; what is the same already keeps its time, so that nothing is
/// built again for it.
fn update(folder: &Path, files: &[(String, Vec<u8>)]) -> Result {
    let failed = |path: &Path, error: std::io::Error| format!("{}: {error}", path.display());
    fs::create_dir_all(folder).map_err(|error| failed(folder, error))?;
    for entry in fs::read_dir(folder).map_err(|error| failed(folder, error))? {
        let path = entry.map_err(|error| failed(folder, error))?.path();
        let is_ours = files.iter().any(|(name, _)| path.ends_with(name));
        if !is_ours {
            fs::remove_file(&path).map_err(|error| failed(&path, error))?;
        }
    }
    for (name, bytes) in files {
        let path = folder.join(name);
        if !fs::read(&path).is_ok_and(|there| there == *bytes) {
            write_bytes(&path, bytes)?;
        }
    }
    Ok(())
}

fn write_bytes(path: &Path, bytes: &[u8]) -> Result {
    fs::write(path, bytes).map_err(|error| format!("{} could not be written: {error}", path.display()).into())
}

/// Compiles the crate `field`, with the toolchain's own target where it is installed, else with Debian's.
fn compile(repo: &Repo) -> Result<PathBuf> {
    let folder = repo.target("wasm");
    let installed = process::quietly(Command::new("rustup").args(["target", "list", "--installed"]));
    let has_target = installed.is_ok_and(|output| {
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        text.lines().any(|line| line == TARGET)
    });
    let mut cargo = if has_target {
        repo.cargo()
    } else {
        let linker = tools::ensure_debian_wasm()?;
        let mut cargo = repo.cargo_at("/usr/bin/cargo");
        // Debian packages the standard library as source; building it is an unstable option, which this lets the
        // stable compiler take.
        cargo
            .env("RUSTC_BOOTSTRAP", "1")
            .env("RUSTC", "/usr/bin/rustc")
            .env_remove("RUSTUP_TOOLCHAIN")
            .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", linker);
        cargo
    };
    cargo.arg("build");
    if !has_target {
        cargo.args(["-Z", "build-std=std,panic_abort"]);
    }
    cargo.args([
        "--quiet",
        "--locked",
        "--package",
        "field",
        "--profile",
        "web",
        "--target",
        TARGET,
    ]);
    cargo.arg("--target-dir").arg(&folder);
    process::run(&mut cargo)?;
    Ok(folder.join(TARGET).join("web/field.wasm"))
}

/// Writes the JavaScript side of it.
fn glue(repo: &Repo, wasm: &Path) -> Result<PathBuf> {
    let folder = repo.emptied_target_folder("field-glue")?;
    let mut command = repo.cargo();
    command.args(["run", "--quiet", "--locked", "--package", "field-glue", "--"]);
    process::run(command.arg(wasm).arg(&folder))?;
    Ok(folder)
}
