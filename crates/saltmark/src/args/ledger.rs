//! What was typed for the commands on a ledger.

use std::path::PathBuf;

use clap::{ArgGroup, Args as ClapArgs, ValueEnum, ValueHint};

/// Which ledger.
#[derive(Clone, Debug, ClapArgs)]
pub(crate) struct Place {
    /// The ledger; where not given that of the environment's `SALTMARK_LEDGER`, else saltmark.db in the user's data folder.
    #[arg(long, value_name = "PATH", value_hint = ValueHint::FilePath)]
    pub(crate) ledger: Option<PathBuf>,
}

/// Who writes.
#[derive(Clone, Debug, ClapArgs)]
pub(crate) struct Hand {
    /// Who writes this down; the user's name where it is not given.
    #[arg(long, value_name = "NAME")]
    pub(crate) by: Option<String>,
}

/// `import`.
#[derive(Debug, ClapArgs)]
#[command(group = ArgGroup::new("what").required(true).args(["log", "entries"]))]
pub(crate) struct Import {
    #[command(flatten)]
    pub(crate) place: Place,
    /// The unit whose log it is.
    #[arg(long, value_name = "ID", required_unless_present_any = ["unit", "entries"])]
    pub(crate) unit_id: Option<String>,
    /// A unit that is not in the ledger yet, in TOML or JSON: it is put in first, with the file's water.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath, conflicts_with = "unit_id")]
    pub(crate) unit: Option<PathBuf>,
    /// The reading log: CSV, TSV or a workbook; - is standard input.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub(crate) log: Option<PathBuf>,
    /// Entries that were exported as JSON lines, in place of a log; - is standard input.
    #[arg(long, value_name = "FILE.jsonl", value_hint = ValueHint::FilePath, conflicts_with_all = ["unit", "unit_id", "mapping"])]
    pub(crate) entries: Option<PathBuf>,
    /// Which column is what, in TOML or JSON, where the headings don't say.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub(crate) mapping: Option<PathBuf>,
    /// Only says what would be done.
    #[arg(long)]
    pub(crate) dry_run: bool,
    #[command(flatten)]
    pub(crate) hand: Hand,
    /// Answer with one JSON document.
    #[arg(long)]
    pub(crate) json: bool,
}

/// How an export is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    /// One table, comma-separated.
    Csv,
    /// The entries themselves, a JSON document each.
    Jsonl,
    /// A workbook with a sheet for each table.
    Xlsx,
}

/// `export`.
#[derive(Debug, ClapArgs)]
pub(crate) struct Export {
    #[command(flatten)]
    pub(crate) place: Place,
    /// Only this unit; may be given several times. All units where it is not.
    #[arg(long, value_name = "ID")]
    pub(crate) unit_id: Vec<String>,
    /// Where to; standard output where it is not given. A file of this name is replaced.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub(crate) out: Option<PathBuf>,
    /// How; by the file's name where it is not given, else csv.
    #[arg(long, value_enum)]
    pub(crate) format: Option<Format>,
    /// The table of a CSV file: units, readings, events, waters, `set_aside` or log.
    #[arg(long, value_name = "TABLE", default_value = "readings")]
    pub(crate) table: String,
    /// Answer with one JSON document that says what was written.
    #[arg(long, requires = "out")]
    pub(crate) json: bool,
}

/// `backtest`.
#[derive(Debug, ClapArgs)]
pub(crate) struct Backtest {
    #[command(flatten)]
    pub(crate) place: Place,
    /// Only this unit; may be given several times. All units where it is not.
    #[arg(long, value_name = "ID")]
    pub(crate) unit_id: Vec<String>,
    /// Answer with one JSON document.
    #[arg(long)]
    pub(crate) json: bool,
}

/// `backup`.
#[derive(Debug, ClapArgs)]
pub(crate) struct Backup {
    /// The file to write; one that is there is left alone.
    #[arg(value_hint = ValueHint::FilePath)]
    pub(crate) file: PathBuf,
    #[command(flatten)]
    pub(crate) place: Place,
    /// Answer with one JSON document.
    #[arg(long)]
    pub(crate) json: bool,
}

/// `restore`.
#[derive(Debug, ClapArgs)]
pub(crate) struct Restore {
    /// The backup.
    #[arg(value_hint = ValueHint::FilePath)]
    pub(crate) file: PathBuf,
    #[command(flatten)]
    pub(crate) place: Place,
    /// Answer with one JSON document.
    #[arg(long)]
    pub(crate) json: bool,
}

/// `demo`.
#[derive(Debug, ClapArgs)]
pub(crate) struct Demo {
    #[command(flatten)]
    pub(crate) place: Place,
    /// The time that counts as now; the demonstration ends on the day before.
    #[arg(long, value_name = "TIME")]
    pub(crate) as_of: Option<String>,
    /// Another seed makes another history of the same units.
    #[arg(long, value_name = "N", default_value_t = demo::SEED)]
    pub(crate) seed: u64,
    /// Takes the place of a ledger that has entries; that one is kept beside it.
    #[arg(long)]
    pub(crate) replace: bool,
    /// Answer with one JSON document.
    #[arg(long)]
    pub(crate) json: bool,
}
