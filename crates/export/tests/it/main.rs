//! Exports read back by other programs: pandas and openpyxl, named by `SALTMARK_PYTHON`.

use std::collections::BTreeMap;
use std::process::Command;

use jiff::Timestamp;
use ledger::payload::{
    Correction, PartEvent, ReadingTaken, Replacement, RowSetAside, SiteDescribed, UnitDescribed,
    WaterAnalysed, event_document,
};
use ledger::{Entry, EventId, Payload, State, Subject};
use reading::{Event, EventKind, Field, Observed, Reading};
use serde_json::{Map, Value, json};

use export::{LineFault, Table, csv, json_lines, read_json_lines, workbook};

fn time(hours: i64) -> Timestamp {
    Timestamp::from_second(1_736_800_000 + 3_600 * hours).unwrap()
}

fn entry(n: u8, hours: i64, payload: &Payload) -> Entry {
    Entry::new(
        EventId::new(time(hours), [n; 10]),
        time(hours),
        time(hours),
        "ada",
        "desk",
        payload,
    )
}

fn object(value: &Value) -> Map<String, Value> {
    value.as_object().cloned().unwrap()
}

fn unit(id: &str) -> Payload {
    let document = object(&json!({
        "id": id, "name": format!("Unit {id}"), "time_zone": "Europe/Lisbon", "commissioned": "2024-03-02",
        "stages": [{"id": "sediment", "kind": "sediment"}],
        "membranes": {"elements": [{"id": "membrane-1", "size": "2012",
            "rated": {"flow": "180 gpd", "rejection": 0.97, "pressure": "65 psi", "tds": 500}}]},
        "concentrate": {"restrictor": {"flow": "900 mL/min", "at": "60 psi"}},
    }));
    let site = Some("glasshouses".to_owned());
    Payload::Unit(UnitDescribed {
        unit: id.to_owned(),
        site,
        installed: true,
        document,
    })
}

fn reading(flow: f64, note: &str) -> Reading {
    let mut reading = Reading::new(Timestamp::UNIX_EPOCH)
        .with(Field::PermeateFlow, flow)
        .with(Field::InletPressure, 393.001_165_7);
    reading.pressure_after_kpa.insert("sediment".to_owned(), 386.1);
    reading.observed = vec![Observed::Leak];
    reading.note.push_str(note);
    reading
}

fn taken(unit: &str, reading: Reading) -> Payload {
    let (unit, as_written) = (unit.to_owned(), BTreeMap::new());
    Payload::Reading(Box::new(ReadingTaken {
        unit,
        reading,
        as_written,
        from: None,
    }))
}

/// Two units, with all that breaks a careless writer of tables.
fn ledger() -> State {
    let correction = |n, payload: &Payload| {
        let replacement = Some(Replacement {
            happened_at: None,
            payload: payload.encode(),
        });
        let corrects = EventId::new(time(i64::from(n)), [n; 10]);
        Payload::Correction(Correction {
            corrects,
            replacement,
            reason: "a slip".to_owned(),
        })
    };
    let mut changed = Event::new(Timestamp::UNIX_EPOCH, EventKind::Changed, Some("sediment"));
    changed.note.push_str("torn; \"brown\", wet");
    let water = object(&json!({"name": "mains", "conductivity": 750, "calcium": 88.5}));
    let site = SiteDescribed {
        site: "glasshouses".to_owned(),
        customer: Some("growers".to_owned()),
        ..SiteDescribed::default()
    };
    let row = RowSetAside {
        unit: "a".to_owned(),
        cells: vec![String::new(), "away".to_owned()],
        reason: "no date".to_owned(),
        from: None,
    };
    let mut state = State::new();
    state.extend([
        entry(0, 0, &unit("a")),
        entry(
            1,
            1,
            &taken(
                "a",
                reading(0.1 + 0.2, "=1+1, \"quoted\"\r\nsecond line \u{1F4A7}"),
            ),
        ),
        entry(2, 2, &taken("a", reading(6.8, ""))),
        entry(3, 3, &correction(2, &taken("a", reading(68.0, "")))),
        entry(
            4,
            4,
            &Payload::Event(PartEvent {
                unit: "a".to_owned(),
                document: event_document(&changed),
                from: None,
            }),
        ),
        entry(
            5,
            5,
            &Payload::Water(WaterAnalysed {
                of: Subject::site("glasshouses"),
                document: water,
            }),
        ),
        entry(6, 6, &Payload::Site(site)),
        entry(7, 7, &Payload::SetAside(row)),
        entry(8, 8, &unit("b")),
        entry(9, 9, &taken("b", reading(1.0 / 3.0, ""))),
    ]);
    state
}

fn csv_of(state: &State, units: &[&str], table: Table) -> String {
    let mut bytes = Vec::new();
    csv(state, units, table, &mut bytes).unwrap();
    String::from_utf8(bytes).unwrap()
}

/// Runs a script with two files' paths, and gives back the JSON that it prints.
fn python(script: &str, files: &[(&str, &[u8])]) -> Value {
    let python = std::env::var("SALTMARK_PYTHON").expect(
        "SALTMARK_PYTHON names a Python with pandas and openpyxl: run the tests by `cargo xtask test`",
    );
    let folder = tempfile::tempdir().unwrap();
    let mut command = Command::new(python);
    command.args(["-c", script]);
    for (name, bytes) in files {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        command.arg(path);
    }
    let output = command.output().unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn val_pandas_reads_the_csv() {
    let state = ledger();
    let readings = csv_of(&state, &["a", "b"], Table::Readings);
    // pandas reads a float to the last bit only with its "round_trip" parser.
    let script = "
import sys, json, pandas
table = pandas.read_csv(sys.argv[1], float_precision='round_trip', keep_default_na=False, na_values=[''])
at = pandas.to_datetime(table['at'], utc=True)
print(json.dumps({
    'flows': [value.hex() for value in table['permeate_flow_l_h']],
    'inlet': table['inlet_pressure_kpa'].tolist(),
    'after': table['pressure_after.sediment_kpa'].tolist(),
    'seconds': [int(value.timestamp()) for value in at],
    'local': table['local_time'].tolist(),
    'units': table['unit'].tolist(),
    'note': table['note'][0],
    'corrected': table['corrected'].fillna('').tolist(),
    'empty': int(table['feed_temperature_c'].isna().sum()),
}))";
    let found = python(script, &[("readings.csv", readings.as_bytes())]);
    // Python's hexadecimal floats: 0.1 + 0.2, 68 and 1/3 to the last bit.
    let flows = json!([
        "0x1.3333333333334p-2",
        "0x1.1000000000000p+6",
        "0x1.5555555555555p-2"
    ]);
    assert_eq!(found["flows"], flows);
    assert_eq!(
        found["inlet"],
        json!([393.001_165_7, 393.001_165_7, 393.001_165_7])
    );
    assert_eq!(found["after"], json!([386.1, 386.1, 386.1]));
    assert_eq!(
        found["seconds"],
        json!([time(1).as_second(), time(2).as_second(), time(9).as_second()])
    );
    // 1 736 803 600 s is 2025-01-13 21:26:40 UTC, and Lisbon keeps UTC in winter.
    assert_eq!(found["local"][0], "2025-01-13 21:26:40");
    assert_eq!(found["units"], json!(["a", "a", "b"]));
    assert_eq!(found["note"], "=1+1, \"quoted\"\r\nsecond line \u{1F4A7}");
    assert_eq!(found["corrected"], json!(["", "corrected", ""]));
    assert_eq!(found["empty"], 3);
}

#[test]
fn val_openpyxl_and_pandas_read_the_workbook() {
    let mut bytes = Vec::new();
    workbook(&ledger(), &["a", "b"], time(10), &mut bytes).unwrap();
    let script = "
import sys, json, openpyxl, pandas
book = openpyxl.load_workbook(sys.argv[1])
rows = lambda name: [[cell.value for cell in row] for row in book[name].iter_rows()]
readings = rows('readings')
column = {name: at for at, name in enumerate(readings[0])}
first = book['readings'][2]
events, waters, aside, units, log = map(rows, ['events', 'waters', 'set_aside', 'units', 'log'])
pandas_flows = pandas.read_excel(sys.argv[1], sheet_name='readings')['permeate_flow_l_h']
print(json.dumps({
    'sheets': book.sheetnames,
    'flows': [row[column['permeate_flow_l_h']].hex() if isinstance(row[column['permeate_flow_l_h']], float)
        else float(row[column['permeate_flow_l_h']]).hex() for row in readings[1:]],
    'pandas': [float(value).hex() for value in pandas_flows],
    'local': first[column['local_time']].value.isoformat(),
    'is_date': first[column['local_time']].is_date,
    'at': first[column['at']].value,
    'note': first[column['note']].value,
    'note_type': first[column['note']].data_type,
    'event': events[1][3:6], 'water': dict(zip(waters[0], waters[1]))['calcium_mg_l'],
    'aside': aside[1][4:6], 'unit': units[1][:5], 'log': len(log) - 1,
    'created': book.properties.created.isoformat(),
}))";
    let found = python(script, &[("export.xlsx", &bytes)]);
    assert_eq!(
        found["sheets"],
        json!(["units", "readings", "events", "waters", "set_aside", "log"])
    );
    // A workbook's numbers are doubles, and the shortest text that gives one back keeps its last bit.
    assert_eq!(
        found["flows"],
        json!([
            "0x1.3333333333334p-2",
            "0x1.1000000000000p+6",
            "0x1.5555555555555p-2"
        ])
    );
    assert_eq!(found["pandas"], found["flows"]);
    assert_eq!(found["local"], "2025-01-13T21:26:40");
    assert_eq!(found["is_date"], true);
    assert_eq!(found["at"], "2025-01-13T21:26:40Z");
    // A text that begins like a formula stays a text; XML makes one line end of CR LF.
    assert_eq!(found["note_type"], "s");
    assert!(found["note"].as_str().unwrap().starts_with("=1+1, \"quoted\""));
    assert_eq!(
        found["event"],
        json!(["changed", "sediment", "torn; \"brown\", wet"])
    );
    assert_eq!(found["water"], 88.5);
    assert_eq!(found["aside"], json!(["no date", " | away"]));
    assert_eq!(
        found["unit"],
        json!(["a", "Unit a", "glasshouses", "growers", "2024-03-02"])
    );
    assert_eq!(found["log"], 10);
    assert_eq!(found["created"], "2025-01-14T06:26:40");
}

#[test]
fn regress_a_workbook_depends_on_nothing_but_its_input() {
    let make = || {
        let mut bytes = Vec::new();
        workbook(&ledger(), &["a"], time(10), &mut bytes).unwrap();
        bytes
    };
    assert!(make() == make());
}

#[test]
fn regress_what_a_cell_cannot_hold_is_cut_with_a_word() {
    let mut state = ledger();
    let long = "\u{1F4A7}".repeat(20_000);
    state.insert(entry(20, 20, &taken("a", reading(1.0, &long))));
    let mut bytes = Vec::new();
    workbook(&state, &["a"], time(30), &mut bytes).unwrap();
    let script = "
import sys, json, openpyxl
sheet = openpyxl.load_workbook(sys.argv[1])['readings']
column = [cell.value for cell in sheet[1]].index('note')
print(json.dumps(sheet[4][column].value))";
    let note = python(script, &[("export.xlsx", &bytes)]);
    assert!(
        note.as_str()
            .unwrap()
            .ends_with("\u{1F4A7} [cut off here; whole in the CSV]")
    );
    assert!(csv_of(&state, &["a"], Table::Readings).contains(&long));
}

#[test]
fn regress_json_lines_are_the_same_ledger() {
    let state = ledger();
    let mut bytes = Vec::new();
    json_lines(&state, None, &mut bytes).unwrap();
    let mut again = State::new();
    again.extend(read_json_lines(&bytes).unwrap());
    assert_eq!(again, state);
    assert_eq!(String::from_utf8(bytes).unwrap().lines().count(), state.len());
}

#[test]
fn regress_a_units_lines_hold_all_that_belongs_to_it() {
    let mut state = ledger();
    let corrects = EventId::new(time(1), [1; 10]);
    let taken_back = Correction {
        corrects,
        replacement: None,
        reason: String::new(),
    };
    state.insert(entry(30, 30, &Payload::Correction(taken_back)));
    let mut bytes = Vec::new();
    json_lines(&state, Some(&["a"]), &mut bytes).unwrap();
    let mut again = State::new();
    again.extend(read_json_lines(&bytes).unwrap());
    assert_eq!(
        (again.unit("a"), again.site("glasshouses")),
        (state.unit("a"), state.site("glasshouses"))
    );
    assert_eq!(again.unit("b"), None);
    assert!(again.contains(corrects), "what was taken back is part of the log");
    assert_eq!(again.waters("a"), state.waters("a"));
}

#[test]
fn regress_every_wrong_line_is_named() {
    let good = entry(0, 0, &unit("a")).to_json();
    let text = format!("\u{feff}{good}\r\n\n{{\"id\":1}}\nnot json\n");
    let faults = read_json_lines(text.as_bytes()).unwrap_err();
    let lines: Vec<usize> = faults.iter().map(|LineFault { line, .. }| *line).collect();
    assert_eq!(lines, [3, 4]);
    assert!(read_json_lines(b"\xff\xfe").is_err());
    assert_eq!(read_json_lines(format!("{good}\n").as_bytes()).unwrap().len(), 1);
}
