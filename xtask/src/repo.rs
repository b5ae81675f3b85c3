//! Where things are in the repository, and the programs built from it.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::field;
use crate::process::{self, Result};

/// The repository on this machine.
pub(crate) struct Repo {
    root: PathBuf,
    target: PathBuf,
}

impl Repo {
    /// Finds the repository that this program was started from.
    pub(crate) fn open() -> Result<Self> {
        // Cargo sets the variable at run time; the value at build time is stale once a clone is moved.
        let manifest = std::env::var_os("CARGO_MANIFEST_DIR")
            .map_or_else(|| PathBuf::from(env!("CARGO_MANIFEST_DIR")), PathBuf::from);
        let root = manifest
            .parent()
            .ok_or("xtask stands in no repository")?
            .to_owned();
        let target =
            std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root.join("target"), |dir| root.join(dir));
        Ok(Self { root, target })
    }

    /// The folder that everything is in.
    pub(crate) fn root(&self) -> &Path {
        &self.root
    }

    /// A path inside the repository.
    pub(crate) fn path(&self, relative: &str) -> PathBuf {
        self.root.join(relative)
    }

    /// A path inside the build folder, usually `target`.
    pub(crate) fn target(&self, relative: &str) -> PathBuf {
        self.target.join(relative)
    }

    /// A folder inside the build folder with nothing in it, so that nothing old passes for new.
    pub(crate) fn emptied_target_folder(&self, relative: &str) -> Result<PathBuf> {
        let folder = self.target(relative);
        let emptied = match fs::remove_dir_all(&folder) {
            Err(error) if error.kind() != ErrorKind::NotFound => Err(error),
            _ => fs::create_dir_all(&folder),
        };
        emptied.map_err(|error| format!("{} could not be emptied: {error}", folder.display()))?;
        Ok(folder)
    }

    /// A path as a person at the root would type it.
    pub(crate) fn relative<'a>(&self, path: &'a Path) -> &'a Path {
        path.strip_prefix(&self.root).unwrap_or(path)
    }

    /// A command that starts at the root.
    pub(crate) fn command(&self, program: impl AsRef<std::ffi::OsStr>) -> Command {
        let mut command = Command::new(program);
        command.current_dir(&self.root);
        command
    }

    /// The cargo that started this program.
    pub(crate) fn cargo(&self) -> Command {
        self.cargo_at(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
    }

    /// Another cargo.
    pub(crate) fn cargo_at(&self, program: impl AsRef<std::ffi::OsStr>) -> Command {
        let mut command = self.command(program);
        // Set by `cargo run` for this package; other packages' build scripts must not see them.
        for (name, _) in std::env::vars_os() {
            if name.to_string_lossy().starts_with("CARGO_PKG_") {
                command.env_remove(name);
            }
        }
        command
            .env_remove("CARGO_MANIFEST_DIR")
            .env_remove("CARGO_MANIFEST_PATH");
        command
    }

    /// Whether the workspace has this crate.
    pub(crate) fn has_crate(&self, name: &str) -> bool {
        self.path("crates").join(name).join("Cargo.toml").is_file()
    }

    /// Builds the release binary with the pages as WebAssembly in it, unless it is up to date, and gives its path.
    pub(crate) fn release_binary(&self) -> Result<PathBuf> {
        if self.has_crate("field") {
            field::build(self)?;
        }
        process::run(
            self.cargo()
                .args(["build", "--release", "--locked", "--package", "saltmark"]),
        )?;
        Ok(self.target("release/saltmark"))
    }
}

/// Writes a file, and says which one when that fails.
pub(crate) fn write(path: &Path, contents: &str) -> Result {
    fs::write(path, contents)
        .map_err(|error| format!("{} could not be written: {error}", path.display()).into())
}
