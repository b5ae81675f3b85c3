//! The browser's side of the tests: Chromium and node, the two libraries that `browser/package-lock.json` pins, and
//! node's own test runner.

use std::fs;
use std::path::PathBuf;
use std::process::Command;

use crate::process::{self, Result};
use crate::repo::Repo;
use crate::tools;

/// What the tests run in, with the package of Debian that has it.
const PROGRAMS: [(&str, &str); 3] = [("chromium", "chromium"), ("node", "nodejs"), ("npm", "npm")];

/// Makes sure that all of it is there, and gives the folder with the libraries.
pub(crate) fn set_up(repo: &Repo) -> Result<PathBuf> {
    let is_there = |program: &str| {
        process::quietly(Command::new(program).arg("--version")).is_ok_and(|output| output.status.success())
    };
    let missing: Vec<&str> = PROGRAMS
        .iter()
        .filter(|(program, _)| !is_there(program))
        .map(|(_, package)| *package)
        .collect();
    if !missing.is_empty() {
        tools::install_debian_packages(&missing)
            .map_err(|failure| format!("the browser tests need {}: {failure}", missing.join(", ")))?;
    }

    let folder = repo.target("browser");
    let pinned = ["package.json", "package-lock.json"];
    let is_same = pinned.iter().all(|name| {
        let there = fs::read(folder.join(name)).ok();
        there.is_some() && there == fs::read(repo.path("browser").join(name)).ok()
    });
    if is_same && folder.join("node_modules/.package-lock.json").is_file() {
        return Ok(folder);
    }
    let lock = fs::read_to_string(repo.path("browser/package-lock.json"))
        .map_err(|error| format!("browser/package-lock.json: {error}"))?;
    if lock.contains("\"resolved\"") {
        return Err("browser/package-lock.json names addresses: take its \"resolved\" lines out".into());
    }
    println!(
        "installing browser/package-lock.json into {}",
        repo.relative(&folder).display()
    );
    fs::create_dir_all(&folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    for name in pinned {
        let (from, to) = (repo.path("browser").join(name), folder.join(name));
        fs::copy(&from, &to).map_err(|error| format!("{}: {error}", from.display()))?;
    }
    let mut npm = repo.command("npm");
    npm.current_dir(&folder)
        .args(["ci", "--ignore-scripts", "--no-audit", "--no-fund", "--silent"]);
    process::run(&mut npm)
        .map_err(|failure| format!("{failure}\nThe packages of browser/package-lock.json are missing."))?;
    Ok(folder)
}

/// What node's runner counted.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Counts {
    pub(crate) passed: usize,
    pub(crate) failed: usize,
    pub(crate) skipped: usize,
}

impl Counts {
    /// Adds a closing line of the runner's report, such as `# pass 12`; others count nothing.
    fn add(&mut self, line: &str) {
        let mut words = line.strip_prefix("# ").unwrap_or_default().split(' ');
        let (Some(what), Some(Ok(number)), None) =
            (words.next(), words.next().map(str::parse::<usize>), words.next())
        else {
            return;
        };
        match what {
            "pass" => self.passed += number,
            "fail" | "cancelled" => self.failed += number,
            "skipped" | "todo" => self.skipped += number,
            _ => {}
        }
    }
}

/// Runs `browser/*.test.mjs` with the release binary.
pub(crate) fn test(repo: &Repo) -> Result<(Counts, Result)> {
    let modules = set_up(repo)?;
    let binary = repo.release_binary()?;
    // A workbook to bring in is written by its own library, and a backup looked through by SQLite's own.
    let python = tools::python(repo)?;
    let screens = repo.path("docs/screens");
    let folder = repo.path("browser");
    let mut files: Vec<PathBuf> = fs::read_dir(&folder)
        .map_err(|error| format!("{}: {error}", folder.display()))?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.to_string_lossy().ends_with(".test.mjs"))
        .collect();
    files.sort();
    let mut node = repo.command("node");
    // The time limit is there so that a page that never answers fails its test instead of holding up the run. It holds for
    // each file as a whole too, with all of its tests.
    node.args([
        "--test",
        "--test-concurrency=1",
        "--test-reporter=tap",
        "--test-timeout=600000",
    ])
    .args(&files)
    .env("SALTMARK_BINARY", &binary)
    .env("SALTMARK_MODULES", &modules)
    .env("SALTMARK_PYTHON", &python)
    .env("SALTMARK_SCREENS", &screens)
    .env_remove("SALTMARK_LEDGER");
    let mut counts = Counts::default();
    let status = process::each_line(&mut node, |line| {
        counts.add(line);
        println!("{line}");
    })?;
    let mut ended = process::succeeded(&node, status);
    if ended.is_ok() && counts.skipped > 0 {
        ended = Err(format!("{} browser tests were skipped", counts.skipped).into());
    }
    if ended.is_ok() && counts.passed == 0 {
        ended = Err("no browser test ran".into());
    }
    Ok((counts, ended))
}

#[cfg(test)]
mod tests {
    use super::Counts;

    #[test]
    fn closing_lines_of_the_runner_add_up() {
        let mut counts = Counts::default();
        for line in [
            "# tests 5",
            "# pass 3",
            "# fail 1",
            "# cancelled 1",
            "# skipped 2",
            "# pass the salt",
            "ok 1 - # pass 9",
        ] {
            counts.add(line);
        }
        assert_eq!((counts.passed, counts.failed, counts.skipped), (3, 2, 2));
    }
}
