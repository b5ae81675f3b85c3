//! What was typed.

mod ledger;
mod print;

use std::path::PathBuf;

pub(crate) use ledger::{Backtest, Backup, Demo, Export, Format, Import, Place, Restore};
pub(crate) use print::{Jobcard, Labels};

use clap::{ArgGroup, Args as ClapArgs, Parser, Subcommand, ValueHint};

/// Is it the water or the unit, and when must I come back?
#[derive(Debug, Parser)]
#[command(
    name = "saltmark",
    version,
    about = "Computing and record-keeping for small reverse-osmosis water units.",
    long_about = "Computing and record-keeping for small reverse-osmosis water units.\n\n\
        FILE is TOML or JSON; - or no FILE is standard input. Without --json the answer is for a person.\n\
        Exit codes: 0 done, 1 could not be done, 2 the input is wrong.\n\n\
        Saltmark is no substitute for local plumbing and electrical codes or licensed practice.",
    after_help = "Example:\n  saltmark check --unit unit.toml --log readings.csv",
    disable_help_subcommand = true,
    max_term_width = 100
)]
pub(crate) struct Args {
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// The whole verdict on one unit from its reading log.
    #[command(
        after_help = "Example:\n  saltmark check --unit unit.toml --log readings.csv --plot history.svg"
    )]
    Check(Check),
    /// Each reading corrected to the reference conditions.
    #[command(after_help = "Example:\n  saltmark standardise case.toml --json")]
    Standardise(OnCase),
    /// Where the litres went: the change between two readings, split into causes.
    #[command(
        after_help = "Example:\n  saltmark explain case.toml --from 2024-01-08 --to 2025-11-15T15:55:00Z"
    )]
    Explain(Explain),
    /// When each part will be due, with its uncertainty.
    #[command(after_help = "Example:\n  saltmark forecast case.json --as-of 2026-03-01")]
    Forecast(Forecast),
    /// Chemistry of a water, and of its concentrate.
    #[command(after_help = "Example:\n  saltmark water bore.toml --recovery 0.6 --plot saturation.svg")]
    Water(Water),
    /// The ordered safe procedure for the named work on a unit.
    #[command(after_help = "Examples:\n  saltmark jobcard work.toml\n  \
            saltmark jobcard work.toml --pdf card.pdf --address http://127.0.0.1:7380/units/north --date 2026-11-26\n\n\
            work.toml holds the unit and `work = [\"carbon\"]`.")]
    Jobcard(Jobcard),
    /// Labels for a unit and its housings, as PDF sheets.
    #[command(
        after_help = "Examples:\n  saltmark labels --unit-id north-house --base http://127.0.0.1:7380 --pdf labels.pdf\n  \
            saltmark labels --unit north.toml --base http://127.0.0.1:7380 --paper letter --edges --pdf labels.pdf"
    )]
    Labels(Labels),
    /// What this unit should make now, in its present state.
    #[command(
        after_help = "Examples:\n  saltmark predict north.toml --water bore.toml --temperature 6C --inlet-pressure \"50 psi\"\n  \
            saltmark predict north.toml --water bore.toml --inlet-pressure 350 --sweep temperature=4..28 --plot sweep.svg"
    )]
    Predict(Predict),
    /// Ranked causes of an unsatisfactory reading, and the next test to make.
    #[command(
        after_help = "Examples:\n  saltmark diagnose case.json --json\n  saltmark diagnose --ask case.toml"
    )]
    Diagnose(Diagnose),
    /// Reads a reading log into the ledger; twice adds nothing.
    #[command(
        after_help = "Examples:\n  saltmark import --unit north.toml --log readings.csv --dry-run\n  \
            saltmark import --unit-id north-house --log readings.xlsx\n  saltmark import --entries ledger.jsonl"
    )]
    Import(Import),
    /// Writes records of the ledger into a file for other programs.
    #[command(
        after_help = "Examples:\n  saltmark export --unit-id north-house --table readings > readings.csv\n  \
            saltmark export --out ledger.xlsx\n  saltmark export --out ledger.jsonl"
    )]
    Export(Export),
    /// What was forecast before each real change, against what happened.
    #[command(after_help = "Example:\n  saltmark backtest --ledger quillmere.db")]
    Backtest(Backtest),
    /// Writes a backup of the ledger, one file, while it goes on being used.
    #[command(after_help = "Example:\n  saltmark backup ledger-2026-11.db")]
    Backup(Backup),
    /// Puts a backup in the ledger's place; the ledger that was there is kept beside it.
    #[command(after_help = "Example:\n  saltmark restore ledger-2026-11.db")]
    Restore(Restore),
    /// Writes the invented demonstration ledger: fourteen units in the Quillmere valley.
    #[command(after_help = "Example:\n  saltmark demo --ledger quillmere.db")]
    Demo(Demo),
    /// The web application, on this machine only.
    #[command(after_help = "Example:\n  saltmark serve --ledger quillmere.db --listen 127.0.0.1:7380")]
    Serve(Serve),
    /// Writes man pages or shell completions into a folder.
    #[command(hide = true)]
    Generate(Generate),
}

/// A case file and how it is answered.
#[derive(Debug, ClapArgs)]
pub(crate) struct OnCase {
    /// Case file in TOML or JSON; - or nothing is standard input.
    #[arg(value_hint = ValueHint::FilePath)]
    pub(crate) file: Option<PathBuf>,
    /// Answer with one JSON document.
    #[arg(long)]
    pub(crate) json: bool,
    /// Each line of the input is a JSON document, each line of the output its answer, in the same order.
    #[arg(long)]
    pub(crate) lines: bool,
    /// Threads for --lines; all cores where it is not given.
    #[arg(long, value_name = "N", requires = "lines", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub(crate) jobs: Option<u16>,
}

/// `check`.
#[derive(Debug, ClapArgs)]
#[command(group = ArgGroup::new("which").required(true).args(["unit", "unit_id"]))]
pub(crate) struct Check {
    /// The unit, in TOML or JSON.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath, requires = "log")]
    pub(crate) unit: Option<PathBuf>,
    /// Its reading log: CSV, TSV or a workbook; - is standard input.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath, requires = "unit")]
    pub(crate) log: Option<PathBuf>,
    /// The unit of the ledger with this id, by the readings in the ledger; with --as-of by those until then.
    #[arg(long, value_name = "ID", conflicts_with_all = ["water", "mapping"])]
    pub(crate) unit_id: Option<String>,
    #[command(flatten)]
    pub(crate) place: Place,
    /// Its feed, in TOML or JSON.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub(crate) water: Option<PathBuf>,
    /// Which column is what, in TOML or JSON, where the headings don't say.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub(crate) mapping: Option<PathBuf>,
    /// The time that counts as now.
    #[arg(long, value_name = "TIME")]
    pub(crate) as_of: Option<String>,
    /// Draws the standardised history into this file.
    #[arg(long, value_name = "FILE.svg", value_hint = ValueHint::FilePath)]
    pub(crate) plot: Option<PathBuf>,
    /// Answer with one JSON document.
    #[arg(long)]
    pub(crate) json: bool,
}

/// `explain`.
#[derive(Debug, ClapArgs)]
pub(crate) struct Explain {
    #[command(flatten)]
    pub(crate) case: OnCase,
    /// Time of the earlier reading; the file's `from`, else the baseline.
    #[arg(long, value_name = "TIME")]
    pub(crate) from: Option<String>,
    /// Time of the later reading; the file's `to`, else the last usable one.
    #[arg(long, value_name = "TIME")]
    pub(crate) to: Option<String>,
}

/// `forecast`.
#[derive(Debug, ClapArgs)]
pub(crate) struct Forecast {
    #[command(flatten)]
    pub(crate) case: OnCase,
    /// The time that counts as now.
    #[arg(long, value_name = "TIME")]
    pub(crate) as_of: Option<String>,
}

/// `water`.
#[derive(Debug, ClapArgs)]
pub(crate) struct Water {
    #[command(flatten)]
    pub(crate) case: OnCase,
    /// Recovery of the concentrate to answer for, 0 to 0.95.
    #[arg(long, value_name = "R")]
    pub(crate) recovery: Option<f64>,
    /// Salt passage at that recovery; 0 where it is not given.
    #[arg(long, value_name = "S", requires = "recovery")]
    pub(crate) salt_passage: Option<f64>,
    /// Draws the saturation of each mineral against recovery into this file.
    #[arg(long, value_name = "FILE.svg", conflicts_with = "lines", value_hint = ValueHint::FilePath)]
    pub(crate) plot: Option<PathBuf>,
}

/// `predict`.
#[derive(Debug, ClapArgs)]
pub(crate) struct Predict {
    #[command(flatten)]
    pub(crate) case: OnCase,
    /// The feed, in TOML or JSON, in place of the file's.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub(crate) water: Option<PathBuf>,
    /// Feed temperature, in place of the file's: 6C, "43 F".
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    pub(crate) temperature: Option<String>,
    /// Pressure before the first stage, in place of the file's: "50 psi".
    #[arg(long, value_name = "P", allow_hyphen_values = true)]
    pub(crate) inlet_pressure: Option<String>,
    /// Pressure of the permeate at the tank, in place of the file's.
    #[arg(long, value_name = "P", allow_hyphen_values = true)]
    pub(crate) permeate_pressure: Option<String>,
    /// A table over a range of one condition, such as temperature=4..28: thirteen points, or one every STEP.
    #[arg(long, value_name = "CONDITION=FROM..TO[/STEP]")]
    pub(crate) sweep: Option<String>,
    /// The hours between which the day's permeate is drawn from the tank, such as 7..19; all day where not given.
    #[arg(long, value_name = "FROM..TO", conflicts_with = "sweep")]
    pub(crate) day: Option<String>,
    /// Draws the sweep into this file, with the need marked.
    #[arg(long, value_name = "FILE.svg", requires = "sweep", conflicts_with = "lines", value_hint = ValueHint::FilePath)]
    pub(crate) plot: Option<PathBuf>,
}

/// `diagnose`.
#[derive(Debug, ClapArgs)]
pub(crate) struct Diagnose {
    #[command(flatten)]
    pub(crate) case: OnCase,
    /// Asks one thing at a time, the most telling first, and takes the answers from standard input. The file may be without a
    /// reading then.
    #[arg(long, conflicts_with = "lines")]
    pub(crate) ask: bool,
}

/// `serve`.
#[derive(Debug, ClapArgs)]
pub(crate) struct Serve {
    #[command(flatten)]
    pub(crate) place: Place,
    /// Begins an empty ledger where there is none.
    #[arg(long)]
    pub(crate) new: bool,
    /// Address and port on this machine; port 0 is any free one.
    #[arg(long, value_name = "ADDRESS", default_value = server::DEFAULT_ADDRESS)]
    pub(crate) listen: String,
}

/// `generate`.
#[derive(Debug, ClapArgs)]
#[command(group = ArgGroup::new("what").required(true).multiple(true))]
pub(crate) struct Generate {
    /// Folder for man pages.
    #[arg(long, value_name = "DIR", group = "what")]
    pub(crate) man: Option<PathBuf>,
    /// Folder for shell completions.
    #[arg(long, value_name = "DIR", group = "what")]
    pub(crate) completions: Option<PathBuf>,
}
