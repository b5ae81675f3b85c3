//! Rules for the crates of the workspace: shared lints, and cores that depend on nothing that acts.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use super::TextFile;
use crate::process::{self, Result};
use crate::repo::Repo;

/// The crates that meet the world: sockets, files, databases, arguments. Every other crate under `crates/` is pure.
const SHELL: [&str; 5] = ["field", "fleet", "saltmark", "server", "store"];

/// What a pure crate does not depend on, directly or through others, outside its tests.
const ACTING: [&str; 15] = [
    "anstream",
    "axum",
    "clap",
    "datafusion",
    "hyper",
    "indicatif",
    "rayon",
    "reqwest",
    "rusqlite",
    "rustls",
    "sqlx",
    "tokio",
    "tokio-postgres",
    "tracing-subscriber",
    "ureq",
];

/// A crate of the workspace.
pub(super) struct Crate {
    name: String,
    /// Its folder from the root, with `/`.
    pub(super) folder: String,
    /// All that it is built from, by name, with the crate of the workspace's tree that asked for it.
    dependencies: BTreeMap<String, String>,
}

impl Crate {
    pub(super) fn is_pure(&self) -> bool {
        self.folder.starts_with("crates/") && !SHELL.contains(&self.name.as_str())
    }
}

/// Asks cargo for the crates and what each is built from.
pub(super) fn of_workspace(repo: &Repo) -> Result<Vec<Crate>> {
    let text =
        process::stdout_of(
            repo.cargo()
                .args(["metadata", "--format-version", "1", "--locked", "--quiet"]),
        )?;
    let metadata: Value =
        serde_json::from_str(&text).map_err(|error| format!("cargo metadata gave no JSON: {error}"))?;
    let root = repo.root().to_string_lossy().into_owned();

    let list = |value: &'_ Value| value.as_array().cloned().unwrap_or_default();
    let word = |value: &'_ Value| value.as_str().unwrap_or_default().to_owned();
    let packages: BTreeMap<String, Value> = list(&metadata["packages"])
        .into_iter()
        .map(|package| (word(&package["id"]), package))
        .collect();
    let mut edges: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for node in list(&metadata["resolve"]["nodes"]) {
        let built_from = list(&node["deps"])
            .into_iter()
            .filter(|dependency| {
                list(&dependency["dep_kinds"])
                    .iter()
                    .any(|kind| kind["kind"] != "dev")
            })
            .map(|dependency| word(&dependency["pkg"]));
        edges.insert(word(&node["id"]), built_from.collect());
    }

    let members = list(&metadata["workspace_members"]);
    let crates = members.iter().map(|member| {
        let id = word(member);
        let name_of = |id: &str| {
            packages
                .get(id)
                .map_or_else(String::new, |package| word(&package["name"]))
        };
        let manifest = packages
            .get(&id)
            .map_or_else(String::new, |package| word(&package["manifest_path"]));
        let folder = manifest
            .trim_start_matches(&root)
            .trim_start_matches('/')
            .trim_end_matches("Cargo.toml");

        let mut dependencies = BTreeMap::new();
        let mut seen = BTreeSet::from([id.clone()]);
        let mut open = vec![id.clone()];
        while let Some(from) = open.pop() {
            for to in edges.get(&from).into_iter().flatten() {
                if seen.insert(to.clone()) {
                    dependencies.insert(name_of(to), name_of(&from));
                    open.push(to.clone());
                }
            }
        }
        Crate {
            name: name_of(&id),
            folder: folder.to_owned(),
            dependencies,
        }
    });
    Ok(crates.collect())
}

pub(super) fn breaches(one: &Crate, files: &[TextFile]) -> Vec<String> {
    let mut breaches = Vec::new();
    let manifest = format!("{}Cargo.toml", one.folder);
    let text = files
        .iter()
        .find(|file| file.path == manifest)
        .map_or("", |file| file.text.as_str());
    if !inherits_lints(text) {
        breaches.push(format!("{manifest}: [lints] workspace = true is missing"));
    }
    if one.is_pure() {
        for (dependency, through) in &one.dependencies {
            if ACTING.contains(&dependency.as_str()) {
                breaches.push(format!(
                    "{manifest}: {} is pure, but depends on {dependency} (through {through}); a crate that may do \
                     that is named in xtask/src/tidy/crates.rs",
                    one.name
                ));
            }
        }
    }
    breaches
}

fn inherits_lints(manifest: &str) -> bool {
    let Ok(table) = manifest.parse::<toml::Table>() else {
        return false;
    };
    table
        .get("lints")
        .and_then(|lints| lints.get("workspace"))
        .and_then(toml::Value::as_bool)
        == Some(true)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::{Crate, breaches, inherits_lints};
    use crate::tidy::TextFile;

    fn with_tokio(name: &str) -> usize {
        let one = Crate {
            name: name.to_owned(),
            folder: format!("crates/{name}/"),
            dependencies: BTreeMap::from([("tokio".to_owned(), "runner".to_owned())]),
        };
        let manifest = TextFile {
            path: format!("crates/{name}/Cargo.toml"),
            text: "[lints]\nworkspace = true\n".to_owned(),
        };
        breaches(&one, &[manifest]).len()
    }

    #[test]
    fn only_the_shell_may_act() {
        assert_eq!(with_tokio("water"), 1);
        assert_eq!(with_tokio("server"), 0);
    }

    #[test]
    fn a_manifest_inherits_the_lints_or_does_not() {
        assert!(inherits_lints("[lints]\nworkspace = true\n"));
        assert!(!inherits_lints("[lints.rust]\nmissing_docs = \"warn\"\n"));
        assert!(!inherits_lints(""));
    }
}
