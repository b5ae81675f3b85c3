//! Reading logs become entries: once, whatever is read in again.

use crate::common::{id, reading_of, time, unit_document};
use jiff::Timestamp;
use ledger::import::{LogFile, LogRow, Unread, Writer, log_file, plan_import};
use ledger::payload::*;
use ledger::state::read_unit;
use ledger::{ContentHash, Entry, Error, EventId, Payload, State};
use reading::{Event, EventKind, Field, Reading};
use serde_json::json;

fn row(line: u32, cells: &[&str], at: Option<Timestamp>) -> LogRow {
    let flow = cells.get(1).and_then(|cell| cell.parse().ok());
    let reading = at
        .zip(flow)
        .map(|(at, flow)| Reading::new(at).with(Field::PermeateFlow, flow));
    let changed = cells
        .last()
        .is_some_and(|remark| *remark == "changed sediment filter");
    let event = at
        .filter(|_| changed)
        .map(|at| Event::new(at, EventKind::Changed, Some("sediment")));
    LogRow {
        line,
        hash: ContentHash::of_parts(cells.iter().map(|cell| cell.as_bytes())),
        reading,
        as_written: std::collections::BTreeMap::new(),
        events: event.into_iter().collect(),
        set_aside: at.is_none().then(|| Unread {
            cells: cells.iter().map(|cell| (*cell).to_owned()).collect(),
            reason: "no date".to_owned(),
        }),
    }
}

fn rows() -> Vec<LogRow> {
    vec![
        row(2, &["01/08", "40", ""], Some(time(1))),
        row(3, &["01/11", "41", "changed sediment filter"], Some(time(2))),
        row(4, &["", "", "away two weeks"], None),
        row(5, &["01/20", "", "changed sediment filter"], Some(time(3))),
        row(6, &["", "", "away two weeks"], None),
    ]
}

fn file(rows: Vec<LogRow>) -> LogFile {
    let hash = ContentHash::of(format!("{rows:?}").as_bytes());
    LogFile {
        name: "log.csv".to_owned(),
        hash,
        size: 99,
        habit: json!({}),
        rows,
    }
}

fn writer(hours: i64, by: &str) -> Writer {
    Writer {
        now: time(hours),
        by: by.into(),
        device: "desk".into(),
    }
}

fn ledger() -> State {
    let document = unit_document("a", 1);
    let unit = UnitDescribed {
        unit: "a".to_owned(),
        site: None,
        installed: true,
        document,
    };
    let mut state = State::new();
    state.insert(Entry::new(
        id(0),
        time(0),
        time(0),
        "ada",
        "desk",
        &Payload::Unit(unit),
    ));
    state
}

fn import(state: &mut State, file: &LogFile, n: u8) -> ledger::import::Preview {
    let plan = plan_import(
        state,
        "a",
        file,
        &mut [id(n)].into_iter(),
        &writer(90 + i64::from(n), "ada"),
    )
    .unwrap();
    state.extend(plan.entries);
    plan.preview
}

#[test]
fn regress_a_log_becomes_readings_events_and_rows_kept() {
    let mut state = ledger();
    let preview = import(&mut state, &file(rows()), 1);
    assert_eq!(
        preview.new,
        RowCounts {
            readings: 2,
            events: 2,
            set_aside: 2
        }
    );
    assert_eq!(
        preview.set_aside,
        [(4, "no date".to_owned()), (6, "no date".to_owned())]
    );
    assert_eq!(preview.span, Some((time(1), time(3))));
    let history = state.unit("a").unwrap();
    assert_eq!(history.readings().len(), 2);
    assert_eq!(history.readings()[1].line, Some(3));
    assert_eq!(
        history.readings()[1].by,
        "",
        "who reads a log in did not take its readings"
    );
    assert_eq!(history.events().len(), 2);
    // Two equal rows are two rows.
    let kept: Vec<_> = history
        .set_aside
        .iter()
        .map(|row| row.what.from.unwrap().line)
        .collect();
    assert_eq!(kept, [4, 6]);
    assert_eq!(history.imports[0].what.rows, preview.new);
    assert_eq!(history.unreadable().count(), 0);
}

#[test]
fn regress_the_same_file_twice_adds_nothing() {
    let mut state = ledger();
    import(&mut state, &file(rows()), 1);
    let before = state.clone();
    let preview = import(&mut state, &file(rows()), 2);
    assert_eq!(state, before);
    assert_eq!((preview.already_there, preview.new), (6, RowCounts::default()));
}

#[test]
fn regress_a_log_that_grew_adds_its_new_rows() {
    let mut state = ledger();
    import(&mut state, &file(rows()), 1);
    let mut grown = rows();
    // A row is put in above, so that all lines move on.
    grown.insert(0, row(2, &["01/07", "39", ""], Some(time(0))));
    grown.iter_mut().zip(2..).for_each(|(row, line)| row.line = line);
    grown.push(row(8, &["01/30", "38", ""], Some(time(9))));
    let preview = import(&mut state, &file(grown), 2);
    assert_eq!(
        preview.new,
        RowCounts {
            readings: 2,
            events: 0,
            set_aside: 0
        }
    );
    assert_eq!(state.unit("a").unwrap().readings().len(), 4);
}

#[test]
fn regress_two_devices_that_read_in_one_file_have_its_rows_once() {
    let base = ledger();
    let plan = |n, by: &str| {
        plan_import(
            &base,
            "a",
            &file(rows()),
            &mut [id(n)].into_iter(),
            &writer(90 + i64::from(n), by),
        )
        .unwrap()
    };
    let (ada, ben) = (plan(1, "ada").entries, plan(2, "ben").entries);
    let mut one = base.clone();
    one.extend(ada.iter().chain(&ben).cloned());
    let mut other = base;
    other.extend(ben.into_iter().chain(ada));
    assert_eq!(one, other);
    let history = one.unit("a").unwrap();
    assert_eq!(
        (
            history.readings().len(),
            history.events().len(),
            history.set_aside.len()
        ),
        (2, 2, 2)
    );
    assert_eq!(history.imports.len(), 2, "both imports are told of");
    let first = one.entry(history.reading_origins()[0].entry).unwrap();
    assert_eq!(&*first.by, "ada", "the first written stands");
}

#[test]
fn regress_a_row_that_is_read_better_later_is_repaired() {
    let mut state = ledger();
    import(&mut state, &file(rows()), 1);
    let mut better = rows();
    better[2] = LogRow {
        reading: Some(Reading::new(time(2)).with(Field::FeedTemperature, 9.0)),
        ..better[2].clone()
    };
    let preview = import(&mut state, &file(better.clone()), 2);
    assert_eq!(preview.read_again.len(), 1);
    let history = state.unit("a").unwrap();
    assert_eq!((history.readings().len(), history.set_aside.len()), (3, 1));
    let before = state.clone();
    import(&mut state, &file(better), 3);
    assert_eq!(state, before, "and only once");
    // The older reader, on another device, does not undo it.
    let preview = import(&mut state, &file(rows()), 4);
    assert_eq!(state, before);
    assert_eq!(preview.left_as_corrected.len(), 1);
}

#[test]
fn regress_days_read_in_another_order_are_corrected_not_doubled() {
    let mut state = ledger();
    import(&mut state, &file(rows()), 1);
    let mut other = rows();
    other[0].reading = Some(Reading::new(time(700)).with(Field::PermeateFlow, 40.0));
    import(&mut state, &file(other), 2);
    let times: Vec<_> = state
        .unit("a")
        .unwrap()
        .readings()
        .iter()
        .map(|reading| reading.at)
        .collect();
    assert_eq!(times, [time(2), time(700)]);
}

#[test]
fn regress_what_was_corrected_by_hand_is_left() {
    let mut state = ledger();
    import(&mut state, &file(rows()), 1);
    let reading = state.unit("a").unwrap().reading_origins()[0].entry;
    let replacement = Replacement {
        happened_at: None,
        payload: reading_of("a", 44.0).encode(),
    };
    let correction = Correction {
        corrects: reading,
        replacement: Some(replacement),
        reason: String::new(),
    };
    state.insert(Entry::new(
        id(9),
        time(9),
        time(9),
        "ada",
        "desk",
        &Payload::Correction(correction),
    ));
    let before = state.clone();
    let preview = import(&mut state, &file(rows()), 2);
    assert_eq!(preview.left_as_corrected, [(2, reading)]);
    assert_eq!(state, before);
}

#[test]
fn regress_what_was_taken_back_stays_so() {
    let mut state = ledger();
    import(&mut state, &file(rows()), 1);
    for (origin, n) in state
        .unit("a")
        .unwrap()
        .reading_origins()
        .to_vec()
        .iter()
        .zip(9..)
    {
        let correction = Correction {
            corrects: origin.entry,
            replacement: None,
            reason: String::new(),
        };
        state.insert(Entry::new(
            id(n),
            time(9),
            time(9),
            "ada",
            "desk",
            &Payload::Correction(correction),
        ));
    }
    import(&mut state, &file(rows()), 2);
    assert_eq!(state.unit("a").unwrap().readings(), []);
}

#[test]
fn regress_the_same_values_in_another_form_are_known_again() {
    let mut state = ledger();
    import(&mut state, &file(rows()), 1);
    // Gallons a day in a workbook: the last digits differ.
    let other = vec![
        LogRow {
            reading: Some(Reading::new(time(1)).with(Field::PermeateFlow, 40.000_000_004)),
            ..row(9, &["x", "y"], None)
        },
        LogRow {
            reading: Some(Reading::new(time(2)).with(Field::PermeateFlow, 40.5)),
            ..row(10, &["x", "z"], None)
        },
    ];
    let preview = import(&mut state, &file(other), 2);
    assert_eq!((preview.same_as.len(), preview.differs_from.len()), (1, 1));
    assert_eq!(
        preview.new.readings, 1,
        "one that differs is added: a person decides"
    );
}

#[test]
fn regress_a_row_repeated_in_the_file_is_one_reading() {
    let mut state = ledger();
    let mut twice = rows();
    twice.push(LogRow {
        line: 7,
        ..twice[0].clone()
    });
    let preview = import(&mut state, &file(twice.clone()), 1);
    assert_eq!(
        (preview.repeated.as_slice(), preview.new.readings),
        ([7].as_slice(), 2)
    );
    let before = state.clone();
    import(&mut state, &file(twice), 2);
    assert_eq!(state, before);
}

#[test]
fn regress_without_a_new_id_nothing_is_planned() {
    let plan = plan_import(
        &ledger(),
        "a",
        &file(rows()),
        &mut std::iter::empty::<EventId>(),
        &writer(9, "ada"),
    );
    assert_eq!(plan, Err(Error::NoId));
}

/// The field logs of the reference (simulated): whatever their habit, the ledger gives back what was read.
#[test]
fn regress_field_logs_come_back_as_they_were_read() {
    for (name, log, unit) in [
        (
            "a-potting-shed.csv",
            include_bytes!("../../../../reference/field-logs/a-potting-shed.csv").as_slice(),
            include_bytes!("../../../../reference/field-logs/a-potting-shed.toml").as_slice(),
        ),
        (
            "b-weir-cafe.csv",
            include_bytes!("../../../../reference/field-logs/b-weir-cafe.csv"),
            include_bytes!("../../../../reference/field-logs/b-weir-cafe.toml"),
        ),
        (
            "c-salt-barn.xlsx",
            include_bytes!("../../../../reference/field-logs/c-salt-barn.xlsx"),
            include_bytes!("../../../../reference/field-logs/c-salt-barn.toml"),
        ),
    ] {
        let document = casefile::Document::read("unit.toml", unit).unwrap().tree["unit"].clone();
        let document = document.as_object().cloned().unwrap();
        let plan = read_unit(&document).unwrap();
        let id_of_unit = plan.id.clone();
        let read = intake::read(log, &intake::Options::new(&plan)).unwrap();
        let described = UnitDescribed {
            unit: id_of_unit.clone(),
            site: None,
            installed: true,
            document,
        };
        let mut state = State::new();
        state.insert(Entry::new(
            id(0),
            time(0),
            time(0),
            "ada",
            "desk",
            &Payload::Unit(described),
        ));
        let file = log_file(name, log, read.clone());
        let plan = plan_import(
            &state,
            &id_of_unit,
            &file,
            &mut [id(1)].into_iter(),
            &writer(1, "ada"),
        )
        .unwrap();
        state.extend(plan.entries);
        let history = state.unit(&id_of_unit).unwrap();
        assert_eq!(history.readings(), read.readings, "{name}");
        assert_eq!(history.events(), read.events, "{name}");
        let kept: Vec<_> = history
            .set_aside
            .iter()
            .map(|row| (row.what.from.unwrap().line, row.what.reason.clone()))
            .collect();
        let expected: Vec<_> = read
            .set_aside
            .iter()
            .map(|row| (row.line, row.reason.to_string()))
            .collect();
        assert_eq!(kept, expected, "{name}");
        assert_eq!(history.unreadable().count(), 0);
        let before = state.clone();
        let again = plan_import(
            &state,
            &id_of_unit,
            &file,
            &mut [id(2)].into_iter(),
            &writer(2, "ben"),
        )
        .unwrap();
        assert_eq!(again.entries, []);
        assert_eq!(state, before);
    }
}

#[test]
fn regress_what_stood_in_the_cells_is_kept_with_its_unit() {
    let unit = read_unit(&unit_document("a", 1)).unwrap();
    let log = b"Date,Water temp (F),Inlet kPa,Tap uS/cm\n2024-01-08,47,400,287\n2024-01-11,?,401,1.1 mS/cm\n";
    let read = intake::read(log, &intake::Options::new(&unit)).unwrap();
    let file = log_file("log.csv", log, read);
    let written: Vec<Vec<_>> = file
        .rows
        .iter()
        .map(|row| row.as_written.iter().collect())
        .collect();
    let text = |name: &str, text: &str| (name.to_owned(), text.to_owned());
    let expected = [
        vec![text("feed_temperature", "47 F")],
        vec![
            text("feed_conductivity", "1.1 mS/cm"),
            text("feed_temperature", "?"),
        ],
    ];
    for (found, expected) in written.iter().zip(&expected) {
        assert!(
            found
                .iter()
                .copied()
                .eq(expected.iter().map(|(name, text)| (name, text))),
            "{found:?}"
        );
    }
}
