//! `import`: a reading log, or entries that were exported, into the ledger.

use std::path::Path;

use casefile::{Faults, Invalid, Table};
use intake::Mapping;
use jiff::Timestamp;
use ledger::import::{LogFile, Planner, Preview, Writer, log_file_by};
use ledger::payload::{Payload, UnitDescribed, WaterAnalysed, water_document};
use ledger::{Entry, State, Subject};
use serde_json::{Map, Value, json};
use store::{SqliteStore, Store, append_alongside, on_two_threads};
use unit::Unit;

use super::{begin_with, known_unit, new_id, open, open_or_begin, path, state};
use crate::args::Import;
use crate::failure::Failure;
use crate::input;
use crate::output::{Answer, print};
use crate::present::{Columns, counted, progress, wrapped};

pub(crate) fn run(args: &Import) -> Result<(), Failure> {
    match (&args.entries, &args.log) {
        (Some(file), _) => entries(args, file),
        (None, Some(log)) => reading_log(args, log),
        (None, None) => Err(Failure::field(
            "the command line",
            "--log",
            "nothing",
            "a reading log",
        )),
    }
}

/// The ledger; none where there is none yet and nothing is to be written.
fn ledger(args: &Import) -> Result<Option<SqliteStore>, Failure> {
    if args.dry_run {
        if path(&args.place)?.symlink_metadata().is_err() {
            return Ok(None);
        }
        return open(&args.place).map(Some);
    }
    open_or_begin(&args.place).map(Some)
}

/// The unit's id and the unit, with what is to be written down of it first.
struct Subjected {
    unit: Unit,
    first: Vec<(Timestamp, Payload)>,
}

fn reading_log(args: &Import, log: &Path) -> Result<(), Failure> {
    // All input is read and found right before a ledger is begun.
    let described = args.unit.as_deref().map(described).transpose()?;
    let mapping = args.mapping.as_deref().map(mapping).transpose()?;
    let (name, bytes) = input::bytes(Some(log))?;
    let now = Timestamp::now();
    let known = |state: &State, file: &str| match &described {
        Some((unit, document, water)) => Ok(put_in(state, unit, document, water.as_ref(), now)),
        None => {
            let id = args.unit_id.as_deref().unwrap_or_default();
            known_unit(state, file, id)?;
            let unit = state.unit(id).and_then(|history| history.unit()).cloned();
            let unknown = || Failure::field(file, "--unit-id", format!("{id:?}"), "a unit of the ledger");
            unit.map(|unit| Subjected {
                unit,
                first: Vec::new(),
            })
            .ok_or_else(unknown)
        }
    };
    let bar = progress("rows");
    // A ledger that is not there yet is begun last.
    let place = path(&args.place)?;
    let there = place.symlink_metadata().is_ok();
    let (before, mut store) = if there {
        let store = ledger(args)?;
        (store.as_ref().map(state).transpose()?.unwrap_or_default(), store)
    } else {
        (State::new(), None)
    };
    let subject = known(&before, &place.display().to_string())?;
    let file = read_log(&name, &bytes, &subject.unit, mapping)?;
    let writer = Writer {
        now,
        by: by(args).into(),
        device: device().into(),
    };
    let mut planner = Planner::new(&before, &subject.unit.id, &file, new_id(now)?, &writer);
    let mut counter = 0_u64;
    let mut step = |_: &Entry| {
        counter += 1;
        if counter.is_multiple_of(4096) {
            bar.inc(4096);
        }
    };
    if args.dry_run {
        planner.by_ref().for_each(|entry| step(&entry));
    } else {
        let mut first = Vec::new();
        for (at, payload) in &subject.first {
            first.push(Entry::new(
                new_id(now)?,
                *at,
                now,
                writer.by.clone(),
                writer.device.clone(),
                payload,
            ));
        }
        let mut all = first.into_iter().chain(planner.by_ref().inspect(step));
        match &mut store {
            Some(store) => {
                append_alongside(store, &mut all)?;
            }
            // Begun with all that is in the log, or not at all.
            None => begin_with(&args.place, &mut all)?,
        }
    }
    bar.finish_and_clear();
    let preview = planner.into_preview();
    let done = Done {
        args,
        place: place.display().to_string(),
        unit: &subject.unit,
        installed: !subject.first.is_empty(),
        file: &file,
        preview: &preview,
    };
    let answer = Answer {
        json: done.json(),
        text: done.text(),
        warnings: Vec::new(),
    };
    print(&answer, args.json)
}

fn mapping(file: &Path) -> Result<Mapping, Failure> {
    let (name, bytes) = input::bytes(Some(file))?;
    Mapping::parse(&String::from_utf8_lossy(&bytes))
        .map_err(|error| Failure::field(&name, "", error.to_string(), "a mapping of headings to fields"))
}

fn read_log(name: &str, bytes: &[u8], unit: &Unit, mapping: Option<Mapping>) -> Result<LogFile, Failure> {
    let mut options = intake::Options::new(unit);
    options.mapping = mapping;
    options.both = on_two_threads;
    let log = intake::read(bytes, &options).map_err(|error| {
        Failure::field(
            name,
            "",
            error.to_string(),
            "a table of readings: CSV, TSV or a workbook",
        )
    })?;
    // The name that the file has, not the way to it: that is of one machine only.
    let short = Path::new(name)
        .file_name()
        .map_or_else(|| name.into(), |name| name.to_string_lossy());
    Ok(log_file_by(&short, bytes, log, on_two_threads))
}

type Described = (Unit, Map<String, Value>, Option<Map<String, Value>>);

/// A unit of a file, as its table stands there, and the water beside it.
fn described(file: &Path) -> Result<Described, Failure> {
    let document = input::document(Some(file))?;
    let faults = Faults::new();
    let top = Table::new(&document.tree, "", &faults);
    let unit = top
        .required_table("unit", "a table that describes the unit")
        .and_then(casefile::unit_plan);
    let _water = top.table("water").and_then(casefile::water_analysis);
    let unit = faults.settle(&document.file, unit)?;
    let table = |name: &str| document.tree.get(name).and_then(Value::as_object).cloned();
    Ok((unit, table("unit").unwrap_or_default(), table("water")))
}

/// What of a unit's file the ledger does not have yet.
fn put_in(
    state: &State,
    unit: &Unit,
    document: &Map<String, Value>,
    water: Option<&Map<String, Value>>,
    now: Timestamp,
) -> Subjected {
    let history = state.unit(&unit.id);
    let last = history.and_then(|history| history.descriptions.last());
    let zone = casefile::time_zone(unit);
    let since = unit
        .commissioned
        .and_then(|day| zone.to_timestamp(day.at(0, 0, 0, 0)).ok())
        .unwrap_or(now);
    let mut first = Vec::new();
    if last.is_none_or(|last| last.what.document != *document) {
        let installed = last.is_none();
        let payload = Payload::Unit(UnitDescribed {
            unit: unit.id.clone(),
            site: None,
            installed,
            document: document.clone(),
        });
        first.push((if installed { since } else { now }, payload));
    }
    let known = history
        .and_then(|history| history.waters.last())
        .map(|water| water_document(&water.what));
    let given = water.and_then(|water| {
        let faults = Faults::new();
        let analysis = casefile::water_analysis(Table::new(water, "water", &faults))?;
        Some(water_document(&analysis))
    });
    if let Some(water) = water.filter(|_| known != given) {
        let payload = Payload::Water(WaterAnalysed {
            of: Subject::unit(&unit.id),
            document: water.clone(),
        });
        first.push((if known.is_none() { since } else { now }, payload));
    }
    Subjected {
        unit: unit.clone(),
        first,
    }
}

/// Who writes: as asked for, else the user of the system.
fn by(args: &Import) -> String {
    let of_system = || {
        ["USER", "LOGNAME", "USERNAME"]
            .iter()
            .find_map(|name| std::env::var(name).ok())
    };
    args.hand
        .by
        .clone()
        .or_else(of_system)
        .unwrap_or_else(|| "unknown".to_owned())
}

/// The machine's name.
fn device() -> String {
    let of_system = || {
        ["HOSTNAME", "COMPUTERNAME"]
            .iter()
            .find_map(|name| std::env::var(name).ok())
    };
    let of_file = || std::fs::read_to_string("/etc/hostname").ok();
    let name = of_system().or_else(of_file).map(|name| name.trim().to_owned());
    name.filter(|name| !name.is_empty())
        .unwrap_or_else(|| "command line".to_owned())
}

/// Entries that another ledger exported.
fn entries(args: &Import, file: &Path) -> Result<(), Failure> {
    let (name, bytes) = input::bytes(Some(file))?;
    let entries = export::read_json_lines(&bytes).map_err(|faults| {
        let faults = faults.into_iter().map(|fault| casefile::Fault {
            path: format!("line {}", fault.line),
            read: fault.reason.into(),
            accepted: "an entry as `export` writes it".into(),
        });
        Failure::Input(Invalid {
            file: name.clone(),
            faults: faults.collect(),
        })
    })?;
    let number = entries.len();
    let place = path(&args.place)?.display().to_string();
    let (new, known) = match ledger(args)? {
        Some(store) if args.dry_run => {
            let mut known = 0;
            for entry in &entries {
                known += usize::from(store.entry(entry.id)?.is_some());
            }
            (number - known, known)
        }
        Some(mut store) => {
            let appended = store.append(&mut entries.into_iter())?;
            let new = usize::try_from(appended.new + appended.replaced).unwrap_or(usize::MAX);
            (new, number.saturating_sub(new))
        }
        None => (number, 0),
    };
    let would = if args.dry_run {
        "would be added"
    } else {
        "were added"
    };
    let answer = Answer {
        json: json!({"ledger": place, "file": name, "dry_run": args.dry_run, "new": new, "already_there": known}),
        text: format!(
            "{} {would} to {place}; {known} were there already.\n",
            counted(new, "entry", "entries")
        ),
        warnings: Vec::new(),
    };
    print(&answer, args.json)
}

/// What was done, or would be.
struct Done<'a> {
    args: &'a Import,
    place: String,
    unit: &'a Unit,
    installed: bool,
    file: &'a LogFile,
    preview: &'a Preview,
}

impl Done<'_> {
    fn json(&self) -> Value {
        let preview = self.preview;
        let pairs = |pairs: &[(u32, ledger::EventId)]| -> Vec<Value> {
            pairs
                .iter()
                .map(|(line, entry)| json!({"line": line, "entry": entry.to_string()}))
                .collect()
        };
        let set_aside: Vec<Value> = preview
            .set_aside
            .iter()
            .map(|(line, reason)| json!({"line": line, "reason": reason}))
            .collect();
        json!({
            "ledger": self.place, "unit": self.unit.id, "file": self.file.name, "dry_run": self.args.dry_run,
            "unit_described": self.installed,
            "new": {
                "readings": preview.new.readings, "events": preview.new.events, "set_aside": preview.new.set_aside,
            },
            "set_aside": set_aside,
            "already_there": preview.already_there,
            "same_as": pairs(&preview.same_as),
            "repeated": preview.repeated,
            "read_again": pairs(&preview.read_again),
            "left_as_corrected": pairs(&preview.left_as_corrected),
            "differs_from": pairs(&preview.differs_from),
            "from": preview.span.map(|(from, _)| from.to_string()),
            "to": preview.span.map(|(_, to)| to.to_string()),
            "habit": self.file.habit,
        })
    }

    fn text(&self) -> String {
        let preview = self.preview;
        let new = preview.new;
        let number = |count: u64| usize::try_from(count).unwrap_or(usize::MAX);
        let verb = if self.args.dry_run {
            "would be added"
        } else {
            "were added"
        };
        let mut text = wrapped(
            &format!(
                "{} and {} {verb} to {}; {} kept as they stand, {} there before.",
                counted(number(new.readings), "reading", "readings"),
                counted(number(new.events), "event", "events"),
                self.unit.name,
                counted(number(new.set_aside), "row is", "rows are"),
                counted(preview.already_there, "was", "were"),
            ),
            "",
        );
        if self.installed {
            text.push_str(&wrapped("The unit is described anew by its file.", "- "));
        }
        let lists = [
            (
                preview.same_as.len(),
                "says what the ledger has from elsewhere",
                "say what the ledger has from elsewhere",
            ),
            (
                preview.repeated.len(),
                "repeats a line above it",
                "repeat a line above them",
            ),
            (
                preview.read_again.len(),
                "is read better than before",
                "are read better than before",
            ),
            (
                preview.left_as_corrected.len(),
                "stays as corrected by hand",
                "stay as corrected by hand",
            ),
            (
                preview.differs_from.len(),
                "differs from a reading of the same time; both stay",
                "differ from readings of the same times; both stay",
            ),
        ];
        for (count, one, many) in lists.into_iter().filter(|(count, ..)| *count > 0) {
            text.push_str(&wrapped(
                &counted(count, &format!("line {one}"), &format!("lines {many}")),
                "- ",
            ));
        }
        for (line, reason) in &preview.set_aside {
            text.push_str(&wrapped(
                &format!("Line {line} kept as it stands: {reason}"),
                "- ",
            ));
        }
        let list = |name: &str| {
            self.file
                .habit
                .get(name)
                .and_then(Value::as_array)
                .cloned()
                .unwrap_or_default()
        };
        let word = |value: &Value, name: &str| value[name].as_str().unwrap_or_default().to_owned();
        let mut columns = Columns::new(&["heading", "read as", "in"]);
        for column in list("columns") {
            columns.row(
                ["heading", "field", "unit"]
                    .map(|name| word(&column, name))
                    .to_vec(),
            );
        }
        text.push('\n');
        text.push_str(&columns.text());
        for column in list("ignored") {
            let (heading, reason) = (word(&column, "heading"), word(&column, "reason"));
            text.push_str(&wrapped(&format!("Column {heading:?} not used: {reason}"), "- "));
        }
        for sentence in list("assumed") {
            text.push_str(&wrapped(
                &format!("Assumed: {}", sentence.as_str().unwrap_or_default()),
                "- ",
            ));
        }
        text
    }
}
