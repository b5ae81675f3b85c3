//! How long pages take: over HTTP with many clients at once, and saving a reading in the browser's worker.

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};

use super::http;
use super::measure::Measure;
use crate::process::{self, Result};
use crate::repo::Repo;
use crate::{browser, tools};

/// What `--only` calls these.
pub(super) const NAME: &str = "pages";

/// Clients at once, and for how long.
const CLIENTS: &str = "50";
const DURATION: &str = "5s";

/// The longest that 99 of 100 requests may take, in milliseconds.
const TARGET_P99_MS: f64 = 15.0;

/// Every page that shows what the ledger holds; `*` stands for the unit.
const PAGES: [&str; 23] = [
    "/",
    "/units/*",
    "/units/*/log",
    "/units/*/water",
    "/units/*/readings/new",
    "/units/*/events/new",
    "/units/*/notes/new",
    "/units/*/trouble",
    "/units/*/work",
    "/units/*/import",
    "/units/*/limits",
    "/units/*/plan",
    "/units/*/how/change",
    "/units/*/history.svg",
    "/units/*/saturation.svg",
    "/units/new",
    "/settings",
    "/who",
    "/sites",
    "/sites/new",
    "/customers",
    "/customers/new",
    "/?q=house",
];

/// The most that the first view of a unit's page may load, without the worker, compressed, in kB.
const TARGET_FIRST_VIEW_KB: f64 = 100.0;

/// The unit whose pages are asked for.
const UNIT: &str = "fern-house";

/// A server that is ended with the bench.
pub(super) struct Served {
    child: Child,
    address: String,
}

impl Served {
    /// `http://host:port`.
    pub(super) fn address(&self) -> &str {
        &self.address
    }

    /// The number of its process.
    pub(super) fn id(&self) -> u32 {
        self.child.id()
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        // It may have ended already; then there is nothing left to do.
        let _killed = self.child.kill();
        let _ended = self.child.wait();
    }
}

pub(super) fn measure(repo: &Repo) -> Result<Vec<Measure>> {
    eprintln!("== {NAME}");
    if process::quietly(Command::new("wrk").arg("--version")).is_err() {
        tools::install_debian_packages(&["wrk"]).map_err(|failure| format!("wrk is missing: {failure}"))?;
    }
    let modules = browser::set_up(repo)?;
    let binary = repo.release_binary()?;
    let folder = repo.emptied_target_folder("bench-pages")?;
    let ledger = folder.join("demo.db");
    process::run(
        repo.command(&binary)
            .args(["demo", "--ledger"])
            .arg(&ledger)
            .stdout(Stdio::null()),
    )?;

    let mut measures = Vec::new();
    let served = serve(repo, &binary, &ledger)?;
    for path in PAGES {
        measures.push(p99(repo, &served.address, &path.replace('*', UNIT))?);
    }
    measures.push(first_view(&served.address)?);
    drop(served);

    let mut node = repo.command("node");
    node.arg("browser/bench.mjs")
        .env("SALTMARK_BINARY", &binary)
        .env("SALTMARK_MODULES", &modules)
        .env("SALTMARK_SCREENS", &folder)
        .env_remove("SALTMARK_LEDGER");
    for line in process::stdout_of(&mut node)?.lines() {
        measures.push(Measure::from_line(line)?);
    }
    Ok(measures)
}

pub(super) fn serve(repo: &Repo, binary: &std::path::Path, ledger: &std::path::Path) -> Result<Served> {
    let mut command = repo.command(binary);
    command
        .args(["serve", "--listen", "127.0.0.1:0", "--ledger"])
        .arg(ledger)
        .stdout(Stdio::piped())
        .stderr(Stdio::null());
    let mut child = command
        .spawn()
        .map_err(|error| format!("`{}` could not be started: {error}", process::shown(&command)))?;
    let mut said = String::new();
    if let Some(stdout) = child.stdout.take() {
        BufReader::new(stdout)
            .read_line(&mut said)
            .map_err(|error| format!("what the server said could not be read: {error}"))?;
    }
    let address = said
        .split_once(" at ")
        .map(|(_, address)| address.trim().trim_end_matches('/').to_owned());
    let served = Served {
        child,
        address: address.unwrap_or_default(),
    };
    if served.address.is_empty() {
        return Err(format!("the server said {said:?}").into());
    }
    Ok(served)
}

/// The 99th percentile of one page, once units were evaluated by asking for it.
fn p99(repo: &Repo, address: &str, path: &str) -> Result<Measure> {
    let url = format!("{address}{path}");
    let warm = ["-t2", "-c4", "-d2s", url.as_str()];
    process::quietly(repo.command("wrk").args(warm))?;
    let report = process::stdout_of(repo.command("wrk").args([
        "-t2",
        "-c",
        CLIENTS,
        "-d",
        DURATION,
        "--latency",
        &url,
    ]))?;
    if report.contains("Non-2xx") || report.contains("Socket errors") {
        return Err(format!("{path} was not answered every time:\n{report}").into());
    }
    let line = report.lines().find_map(|line| line.trim().strip_prefix("99%"));
    let value = line
        .and_then(milliseconds)
        .ok_or_else(|| format!("wrk gave no 99th percentile:\n{report}"))?;
    Ok(Measure {
        name: format!("page {path}, 99th percentile with {CLIENTS} clients"),
        value,
        unit: "ms".to_owned(),
        target: Some(TARGET_P99_MS),
        ..Measure::default()
    })
}

/// What a browser loads to show a unit's page for the first time: the page, and the style sheets, scripts and pictures
/// it names. The worker is fetched later, and is measured by itself.
fn first_view(address: &str) -> Result<Measure> {
    let path = format!("/units/{UNIT}");
    let page = http::get(address, &path, false)?;
    let mut bytes = 0;
    for path in [path].into_iter().chain(http::loaded_with(&page.text())) {
        let loaded = http::get(address, &path, true)?;
        if loaded.status != 200 {
            return Err(format!("{path} answered {}", loaded.status).into());
        }
        bytes += loaded.body.len();
    }
    Ok(Measure {
        name: "first view of a unit's page, compressed, without the worker".to_owned(),
        value: bytes as f64 / 1e3,
        unit: "kB".to_owned(),
        target: Some(TARGET_FIRST_VIEW_KB),
        ..Measure::default()
    })
}

/// A duration as wrk writes it: `870.00us`, `3.21ms`, `1.05s`.
fn milliseconds(text: &str) -> Option<f64> {
    let text = text.trim();
    let (number, factor) = if let Some(number) = text.strip_suffix("us") {
        (number, 1e-3)
    } else if let Some(number) = text.strip_suffix("ms") {
        (number, 1.0)
    } else {
        (text.strip_suffix('s')?, 1e3)
    };
    Some(number.parse::<f64>().ok()? * factor)
}

#[cfg(test)]
mod tests {
    use super::milliseconds;

    #[test]
    fn durations_are_read_in_each_unit() {
        for (text, expected) in [("  870.00us", 0.87), ("3.25ms", 3.25), ("1.50s", 1500.0)] {
            let read = milliseconds(text).unwrap();
            // The last bit of a product of two decimals.
            assert!((read - expected).abs() < 1e-9, "{text}: {read}");
        }
        assert_eq!(milliseconds("1.0m"), None);
    }
}
