//! Setting up what the tasks need and a fresh machine lacks: a Python with the reference libraries, and
//! cargo subcommands. Everything goes inside the repository, apart from Debian's own packages.

use std::path::PathBuf;
use std::process::Command;

use crate::process::{self, Failure, Result};
use crate::repo::Repo;

/// The oldest Python that the pinned packages accept, as a Python tuple and for people.
const OLDEST_PYTHON: (&str, &str) = ("(3, 11)", "3.11");

const REQUIREMENTS: &str = "xtask/requirements.txt";

/// Names the Python to compare with. Set by the tasks; if a person sets it, that Python is used as it is.
const PYTHON_VARIABLE: &str = "SALTMARK_PYTHON";

/// A Python with the packages of `xtask/requirements.txt`, made in `.venv` if missing.
pub(crate) fn python(repo: &Repo) -> Result<PathBuf> {
    if let Some(given) = std::env::var_os(PYTHON_VARIABLE) {
        let python = PathBuf::from(given);
        let wrong = wrong_packages(repo, &python)?;
        if wrong.is_empty() {
            return Ok(python);
        }
        let python = python.display();
        return Err(format!(
            "{PYTHON_VARIABLE} is {python}, where these differ from {REQUIREMENTS}:\n{wrong}\nUnset it to have .venv made."
        )
        .into());
    }

    let python = repo.path(".venv/bin/python");
    if wrong_packages(repo, &python).is_ok_and(|wrong| wrong.is_empty()) {
        return Ok(python);
    }
    if !python_runs(&python) {
        println!("making .venv");
        ensure_system_python()?;
        process::run(repo.command("python3").args(["-m", "venv", "--clear", ".venv"]))?;
    }
    println!("installing {REQUIREMENTS} into .venv");
    let mut install = repo.command(&python);
    install.args([
        "-m",
        "pip",
        "install",
        "--quiet",
        "--disable-pip-version-check",
        "--use-pep517",
    ]);
    process::run(install.args(["--requirement", REQUIREMENTS])).map_err(|failure| {
        format!("{failure}\nThe packages of {REQUIREMENTS} are missing, and were not installed.")
    })?;
    let wrong = wrong_packages(repo, &python)?;
    if wrong.is_empty() {
        Ok(python)
    } else {
        Err(format!("after installing, still wrong:\n{wrong}").into())
    }
}

/// Lets a test or benchmark find the Python, and lets nothing else on this machine change what it computes.
pub(crate) fn with_python(repo: &Repo, command: &mut Command) -> Result {
    command.env(PYTHON_VARIABLE, python(repo)?);
    for name in [
        "PYTHONPATH",
        "PYTHONHOME",
        "OPENBLAS_CORETYPE",
        "OPENBLAS_L2_SIZE",
    ] {
        command.env_remove(name);
    }
    Ok(())
}

fn wrong_packages(repo: &Repo, python: &PathBuf) -> Result<String> {
    let mut command = repo.command(python);
    command.args(["-c", include_str!("packages.py"), REQUIREMENTS]);
    let output = process::quietly(&mut command)?;
    if !output.status.success() {
        let message = String::from_utf8_lossy(&output.stderr).into_owned();
        return Err(format!("{} could not look at its packages:\n{message}", python.display()).into());
    }
    Ok(String::from_utf8_lossy(&output.stdout).trim().to_owned())
}

fn python_runs(python: &PathBuf) -> bool {
    let probe = process::quietly(Command::new(python).args(["-m", "pip", "--version"]));
    probe.is_ok_and(|output| output.status.success())
}

/// Makes sure that `python3 -m venv` works, by Debian's packages where this may be done.
fn ensure_system_python() -> Result {
    if can_make_environments() {
        return Ok(());
    }
    let missing = format!(
        "Python {} or newer with its venv module is missing",
        OLDEST_PYTHON.1
    );
    install_debian_packages(&["python3", "python3-venv"])
        .map_err(|failure| format!("{missing}: {failure}"))?;
    if can_make_environments() {
        Ok(())
    } else {
        Err(missing.into())
    }
}

/// Whether `python3` is new enough, and has what Debian splits off into python3-venv.
fn can_make_environments() -> bool {
    let program = format!(
        "import ensurepip, sys, venv; sys.exit(sys.version_info < {})",
        OLDEST_PYTHON.0
    );
    let probe = process::quietly(Command::new("python3").args(["-c", &program]));
    probe.is_ok_and(|output| output.status.success())
}

/// Installs packages of the system, if this is a Debian and we may.
pub(crate) fn install_debian_packages(packages: &[&str]) -> Result {
    let by_hand = || {
        Failure::from(format!(
            "install it by hand (on Debian: apt-get install {})",
            packages.join(" ")
        ))
    };
    let is_root = process::quietly(Command::new("id").arg("-u")).is_ok_and(|output| output.stdout == b"0\n");
    let has_apt = process::quietly(Command::new("apt-get").arg("--version")).is_ok();
    if !is_root || !has_apt {
        return Err(by_hand());
    }
    println!("installing {} by apt-get", packages.join(" "));
    process::run(Command::new("apt-get").args(["update", "--quiet"]))
        .and_then(|()| {
            let mut install = Command::new("apt-get");
            install.env("DEBIAN_FRONTEND", "noninteractive");
            process::run(
                install
                    .args(["install", "--yes", "--quiet", "--no-install-recommends"])
                    .args(packages),
            )
        })
        .map_err(|failure| format!("{failure}; {}", by_hand()).into())
}

/// Makes sure that printed documents can be read back.
pub(crate) fn ensure_poppler() -> Result {
    let is_there = ["pdftotext", "pdftoppm", "pdfinfo"].iter().all(|program| {
        process::quietly(Command::new(program).arg("-v")).is_ok_and(|output| output.status.success())
    });
    if is_there {
        return Ok(());
    }
    install_debian_packages(&["poppler-utils"])
        .map_err(|failure| format!("the tests of printed documents need poppler-utils: {failure}").into())
}

/// What Debian packages to build for WebAssembly, where rustup has not installed the target.
const DEBIAN_WASM: [&str; 4] = ["rustc-web", "cargo-web", "rust-web-src", "lld-22"];

const DEBIAN_LINKER: &str = "/usr/bin/wasm-ld-22";

/// Makes sure that Debian's compiler can build for WebAssembly, and gives its linker.
pub(crate) fn ensure_debian_wasm() -> Result<&'static str> {
    let is_there = || {
        ["/usr/bin/cargo", "/usr/bin/rustc", DEBIAN_LINKER]
            .iter()
            .all(|program| std::path::Path::new(program).is_file())
    };
    if !is_there() {
        install_debian_packages(&DEBIAN_WASM).map_err(|failure| {
            format!(
                "nothing here builds for WebAssembly: {failure}; or: rustup target add wasm32-unknown-unknown"
            )
        })?;
    }
    if is_there() {
        Ok(DEBIAN_LINKER)
    } else {
        Err(format!("after installing, {DEBIAN_LINKER} or Debian's compiler is still missing").into())
    }
}

/// A cargo subcommand at a version that is known to work.
pub(crate) struct CargoTool {
    name: &'static str,
    version: &'static str,
    features: &'static [&'static str],
}

impl CargoTool {
    /// Licences, bans and sources of dependencies. Its default features only serve advisories from a server.
    pub(crate) const DENY: Self = Self {
        name: "cargo-deny",
        version: "0.20.2",
        features: &["--no-default-features"],
    };
    /// Fuzzing with libFuzzer.
    pub(crate) const FUZZ: Self = Self {
        name: "cargo-fuzz",
        version: "0.13.2",
        features: &[],
    };
}

/// The tool's program in `target/tools`, built there if missing.
pub(crate) fn cargo_tool(repo: &Repo, tool: &CargoTool) -> Result<PathBuf> {
    let folder = repo.target("tools");
    let program = folder.join("bin").join(tool.name);
    let found = process::quietly(Command::new(&program).arg("--version"));
    let expected = format!("{} {}", tool.name, tool.version);
    if found.is_ok_and(|output| String::from_utf8_lossy(&output.stdout).trim() == expected) {
        return Ok(program);
    }

    println!("installing {expected} into {}", repo.relative(&folder).display());
    let build = folder.join("build");
    let mut install = repo.cargo();
    // Unoptimised, it is built in half the time and still answers in a second.
    install
        .args(["install", "--quiet", "--locked", "--profile", "dev"])
        .env("CARGO_PROFILE_DEV_DEBUG", "0");
    install.arg("--root").arg(&folder).arg("--target-dir").arg(&build);
    install
        .args(tool.features)
        .args([tool.name, "--version", tool.version]);
    process::run(&mut install)
        .map_err(|failure| format!("{failure}\n{expected} is missing, and was not installed."))?;
    std::fs::remove_dir_all(&build)
        .map_err(|error| format!("{} could not be removed: {error}", build.display()))?;
    Ok(program)
}
