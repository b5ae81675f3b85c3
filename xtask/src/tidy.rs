//! `cargo xtask tidy`: the house rules that no compiler checks.
//!
//! Each rule gives one line per breach; all of them are shown.

mod crates;
mod data;
mod rust;
mod text;

use std::fs;
use std::path::Path;
use std::process::ExitCode;

use crate::arguments::Arguments;
use crate::process::Result;
use crate::repo::Repo;

/// Folders that hold nothing of ours.
const FOREIGN_FOLDERS: [&str; 5] = ["target", "node_modules", "corpus", "artifacts", "__pycache__"];

/// The folders with a leading dot that are part of the repository.
const DOT_FOLDERS: [&str; 4] = [".cargo", ".ci", ".config", ".github"];

/// A text file of the repository.
struct TextFile {
    /// Its path from the root, with `/`.
    path: String,
    text: String,
}

impl TextFile {
    fn is_rust(&self) -> bool {
        self.has_extension("rs")
    }

    fn has_extension(&self, extension: &str) -> bool {
        Path::new(&self.path)
            .extension()
            .is_some_and(|found| found == extension)
    }
}

pub(crate) fn run(repo: &Repo, arguments: Arguments) -> Result<ExitCode> {
    arguments.finish()?;
    check(repo)?;
    println!("tidy");
    Ok(ExitCode::SUCCESS)
}

/// Checks every rule.
///
/// # Errors
/// All breaches, one line each.
pub(crate) fn check(repo: &Repo) -> Result {
    let mut files = Vec::new();
    read_folder(repo.root(), "", &mut files)?;
    let crates = crates::of_workspace(repo)?;

    let mut breaches = Vec::new();
    for file in &files {
        breaches.extend(text::breaches(file));
        breaches.extend(data::breaches(file));
        if file.is_rust() {
            breaches.extend(rust::breaches(file));
        }
    }
    for one in &crates {
        breaches.extend(crates::breaches(one, &files));
        if one.is_pure() {
            breaches.extend(rust::purity_breaches(&one.folder, &files));
        }
    }
    if breaches.is_empty() {
        Ok(())
    } else {
        Err(format!("not tidy:\n{}", breaches.join("\n")).into())
    }
}

/// Reads the text files of a folder and of those in it. Walks the folders rather than asking git, which a machine
/// that only builds may lack.
fn read_folder(folder: &Path, prefix: &str, files: &mut Vec<TextFile>) -> Result {
    let failure = |path: &Path, error: std::io::Error| format!("{}: {error}", path.display());
    let mut entries = Vec::new();
    for entry in fs::read_dir(folder).map_err(|error| failure(folder, error))? {
        entries.push(entry.map_err(|error| failure(folder, error))?);
    }
    entries.sort_by_key(fs::DirEntry::file_name);
    for entry in entries {
        let name = entry.file_name().to_string_lossy().into_owned();
        let path = format!("{prefix}{name}");
        let kind = entry.file_type().map_err(|error| failure(&entry.path(), error))?;
        if kind.is_dir() {
            let is_hidden = name.starts_with('.') && !DOT_FOLDERS.contains(&name.as_str());
            if !is_hidden && !FOREIGN_FOLDERS.contains(&name.as_str()) {
                read_folder(&entry.path(), &format!("{path}/"), files)?;
            }
        } else if kind.is_file() && name != ".git" {
            let bytes = fs::read(entry.path()).map_err(|error| failure(&entry.path(), error))?;
            // A picture or a workbook is no text, and a log kept in an old encoding is not ours to tidy.
            if let Ok(text) = String::from_utf8(bytes)
                && !text.contains('\0')
            {
                files.push(TextFile { path, text });
            }
        }
    }
    Ok(())
}
