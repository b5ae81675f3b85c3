//! `export`: records for other programs.

use std::io::{BufWriter, Write};
use std::path::Path;

use export::Table;
use jiff::Timestamp;
use ledger::State;
use serde_json::json;

use super::{known_unit, open, state};
use crate::args::{Export, Format};
use crate::failure::Failure;
use crate::output::{Answer, print, settled};
use crate::present::{counted, progress};

pub(crate) fn run(args: &Export) -> Result<(), Failure> {
    let store = open(&args.place)?;
    let table = Table::from_name(&args.table).ok_or_else(|| {
        let names: Vec<&str> = Table::ALL.iter().map(|table| table.name()).collect();
        Failure::field(
            "the command line",
            "--table",
            format!("{:?}", args.table),
            names.join(", "),
        )
    })?;
    let bar = progress("entries");
    let state = state(&store)?;
    bar.inc(state.len() as u64);
    let ledger = store.path().display().to_string();
    for id in &args.unit_id {
        known_unit(&state, &ledger, id)?;
    }
    let units: Vec<&str> = if args.unit_id.is_empty() {
        state.unit_ids().collect()
    } else {
        args.unit_id.iter().map(String::as_str).collect()
    };
    let what = What {
        format: format(args)?,
        table,
        some: !args.unit_id.is_empty(),
        units,
    };
    let Some(file) = &args.out else {
        if what.format == Format::Xlsx {
            return Err(Failure::field(
                "the command line",
                "--out",
                "nothing",
                "a file for the workbook",
            ));
        }
        let mut out = BufWriter::new(std::io::stdout().lock());
        let written = what.write(&state, &mut out);
        bar.finish_and_clear();
        written.map_err(failure)?;
        return settled(out.flush());
    };
    let bytes = into_file(file, |out| what.write(&state, out))?;
    bar.finish_and_clear();
    let units = counted(what.units.len(), "unit", "units");
    let answer = Answer {
        json: json!({
            "ledger": ledger, "file": file.display().to_string(), "bytes": bytes, "units": what.units,
        }),
        text: format!("{units} in {}, {bytes} bytes.\n", file.display()),
        warnings: Vec::new(),
    };
    print(&answer, args.json)
}

fn format(args: &Export) -> Result<Format, Failure> {
    if let Some(format) = args.format {
        return Ok(format);
    }
    let Some(file) = &args.out else {
        return Ok(Format::Csv);
    };
    let extension = file
        .extension()
        .unwrap_or_default()
        .to_string_lossy()
        .to_lowercase();
    match extension.as_str() {
        "csv" => Ok(Format::Csv),
        "jsonl" | "ndjson" => Ok(Format::Jsonl),
        "xlsx" => Ok(Format::Xlsx),
        _ => Err(Failure::field(
            "the command line",
            "--out",
            file.display().to_string(),
            "a name that ends in .csv, .jsonl or .xlsx, or --format",
        )),
    }
}

struct What<'a> {
    format: Format,
    table: Table,
    units: Vec<&'a str>,
    /// Whether only some units were asked for.
    some: bool,
}

impl What<'_> {
    fn write(&self, state: &State, out: &mut dyn Write) -> Result<(), export::Error> {
        match self.format {
            Format::Csv => export::csv(state, &self.units, self.table, out),
            Format::Jsonl => export::json_lines(state, self.some.then_some(&*self.units), out),
            Format::Xlsx => export::workbook(state, &self.units, Timestamp::now(), out),
        }
    }
}

fn failure(error: export::Error) -> Failure {
    match error {
        export::Error::Write(error) => match settled(Err(error)) {
            Err(failure) => failure,
            Ok(()) => Failure::ReaderGone,
        },
        other => Failure::Impossible(other.to_string()),
    }
}

/// Writes beside the place first, so that nothing half-written ever stands there; says how many bytes.
fn into_file(
    file: &Path,
    write: impl FnOnce(&mut dyn Write) -> Result<(), export::Error>,
) -> Result<u64, Failure> {
    let failed = |error: &dyn std::fmt::Display| {
        Failure::Impossible(format!("{} could not be written: {error}", file.display()))
    };
    let folder = file
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let draft = tempfile::Builder::new()
        .prefix(".saltmark-export-")
        .tempfile_in(folder)
        .map_err(|error| failed(&error))?;
    let mut out = BufWriter::new(draft);
    match write(&mut out) {
        Ok(()) => {}
        Err(export::Error::Write(error)) => return Err(failed(&error)),
        Err(other) => return Err(Failure::Impossible(other.to_string())),
    }
    let draft = out.into_inner().map_err(|error| failed(&error))?;
    draft.as_file().sync_all().map_err(|error| failed(&error))?;
    let bytes = draft.as_file().metadata().map_err(|error| failed(&error))?.len();
    draft.persist(file).map_err(|error| failed(&error.error))?;
    Ok(bytes)
}
