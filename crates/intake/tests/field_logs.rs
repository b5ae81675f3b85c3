//! The three logs of `reference/field-logs`: every row, value, event and line that is in them. The tables below were
//! taken from the files by another program (Python's csv and zipfile modules), conversions are NIST SP 811's.

mod common;

use common::{GPD, PSI, columns, potting_shed, salt_barn, weir_cafe};
use intake::{Clock, Log, Options, Order};
use quantity::Decimal;
use reading::{EventKind, Field};
use unit::Unit;

/// The order of operations may round a value once or twice otherwise.
const ROUNDING: f64 = 1e-14;

fn log(bytes: &[u8], unit: &Unit) -> Log {
    match intake::read(bytes, &Options::new(unit)) {
        Ok(log) => log,
        Err(error) => panic!("{error}"),
    }
}

#[track_caller]
fn same(log: &Log, line: u32, field: Field, expected: Option<f64>) {
    let reading = log.readings.iter().find(|reading| reading.line == Some(line));
    let got = reading.and_then(|reading| reading.get(field));
    let alike = match (got, expected) {
        (Some(got), Some(expected)) => (got - expected).abs() <= ROUNDING * expected.abs(),
        (None, None) => true,
        _ => false,
    };
    assert!(
        alike,
        "line {line}, {}: {got:?} instead of {expected:?}",
        field.name()
    );
}

fn events(log: &Log) -> Vec<(u32, EventKind, &str)> {
    log.events
        .iter()
        .map(|event| {
            (
                event.line.unwrap_or(0),
                event.kind,
                event.part.as_deref().unwrap_or(""),
            )
        })
        .collect()
}

fn fields(log: &Log) -> Vec<String> {
    columns(log)
        .into_iter()
        .map(|(_, field, unit)| format!("{field} {unit}").trim().to_owned())
        .collect()
}

/// Line, time, F, inlet psi, psi after the filters, tap ppm, RO ppm, seconds for 500 mL, seconds for 1 L.
type RowA = (u32, &'static str, Option<f64>, [f64; 6]);

#[rustfmt::skip]
const A: &[RowA] = &[
    (2, "2024-01-08T08:00:00Z", Some(47.0), [58.0, 56.0, 287.0, 12.0, 57.0, 74.0]),
    (3, "2024-01-11T09:07:00Z", Some(46.0), [58.0, 57.0, 279.0, 11.0, 59.0, 74.0]),
    (4, "2024-02-02T10:14:00Z", Some(43.0), [58.0, 57.0, 265.0, 10.0, 61.0, 73.0]),
    (5, "2024-02-20T11:21:00Z", Some(45.0), [59.0, 58.0, 278.0, 11.0, 60.0, 73.0]),
    (6, "2024-03-21T12:28:00Z", Some(47.0), [57.0, 56.0, 263.0, 12.0, 57.0, 73.0]),
    (7, "2024-04-11T13:35:00Z", Some(52.0), [54.0, 54.0, 275.0, 12.0, 56.0, 75.0]),
    (8, "2024-05-26T14:42:00Z", Some(62.0), [59.0, 58.0, 273.0, 12.0, 47.0, 70.0]),
    (9, "2024-07-07T15:49:00Z", Some(68.0), [59.0, 59.0, 267.0, 13.0, 41.0, 68.0]),
    (10, "2024-08-20T16:56:00Z", Some(71.0), [57.0, 56.0, 282.0, 14.0, 42.0, 69.0]),
    (11, "2024-09-27T08:03:00Z", Some(65.0), [58.0, 56.0, 266.0, 13.0, 47.0, 71.0]),
    (12, "2024-10-24T09:10:00Z", Some(61.0), [60.0, 59.0, 271.0, 13.0, 47.0, 66.0]),
    (13, "2024-11-13T10:17:00Z", Some(55.0), [57.0, 56.0, 267.0, 12.0, 55.0, 74.0]),
    (15, "2024-12-28T11:24:00Z", Some(48.0), [60.0, 59.0, 260.0, 12.0, 60.0, 73.0]),
    (16, "2025-01-12T12:31:00Z", Some(45.0), [56.0, 54.0, 268.0, 13.0, 6.8, 75.0]),
    (17, "2025-02-19T13:38:00Z", Some(46.0), [58.0, 57.0, 293.0, 15.0, 68.0, 74.0]),
    (18, "2025-04-01T14:45:00Z", Some(50.0), [58.0, 57.0, 254.0, 13.0, 61.0, 72.0]),
    (19, "2025-04-15T15:52:00Z", None, [58.0, 55.0, 264.0, 14.0, 63.0, 72.0]),
    (20, "2025-05-27T16:59:00Z", Some(61.0), [56.0, 55.0, 272.0, 15.0, 54.0, 74.0]),
    (21, "2025-06-27T08:06:00Z", Some(67.0), [54.0, 55.0, 278.0, 16.0, 50.0, 72.0]),
    (22, "2025-07-25T09:13:00Z", Some(69.0), [58.0, 56.0, 280.0, 16.0, 47.0, 68.0]),
    (23, "2025-08-14T10:20:00Z", Some(21.0), [56.0, 56.0, 262.0, 16.0, 48.0, 73.0]),
    (24, "2025-09-17T11:27:00Z", Some(67.0), [61.0, 58.0, 270.0, 15.0, 47.0, 69.0]),
    (25, "2025-10-02T12:34:00Z", Some(64.0), [55.0, 55.0, 270.0, 17.0, 55.0, 72.0]),
    (26, "2025-10-17T13:41:00Z", Some(63.0), [58.0, 56.0, 274.0, 17.0, 55.0, 71.0]),
    (27, "2025-11-01T14:48:00Z", Some(57.0), [60.0, 58.0, 261.0, 16.0, 57.0, 72.0]),
    (28, "2025-11-15T15:55:00Z", Some(55.0), [59.0, 57.0, 273.0, 15.0, 60.0, 71.0]),
];

/// Line, time (noon: none is named), C, bar (inlet, membrane, concentrate), uS/cm (feed, permeate), L/h (permeate, concentrate).
type RowB = (u32, &'static str, [Option<f64>; 8]);

#[rustfmt::skip]
const B: &[RowB] = &[
    (4, "2024-01-08T12:00:00Z", [Some(8.7), Some(5.2), Some(5.1), Some(5.0), Some(1099.0), Some(54.6), Some(33.3), Some(86.2)]),
    (5, "2024-01-11T12:00:00Z", [Some(8.4), Some(5.2), Some(5.2), Some(5.2), Some(988.0), Some(47.1), Some(35.3), Some(89.2)]),
    (6, "2024-03-01T12:00:00Z", [Some(8.1), Some(5.1), Some(5.0), Some(4.9), Some(1066.0), Some(51.6), Some(33.5), Some(84.9)]),
    (7, "2024-04-17T12:00:00Z", [Some(10.6), Some(5.0), Some(4.8), Some(4.8), Some(1043.0), Some(56.0), Some(35.3), Some(88.0)]),
    (8, "2024-06-06T12:00:00Z", [Some(13.9), Some(5.2), Some(5.1), Some(5.2), Some(1099.0), Some(56.6), Some(39.2), Some(92.3)]),
    (9, "2024-07-23T12:00:00Z", [Some(16.4), Some(5.5), Some(5.4), Some(5.3), Some(1087.0), Some(55.9), Some(42.5), Some(94.9)]),
    (10, "2024-08-13T12:00:00Z", [Some(15.3), Some(5.2), Some(5.1), Some(5.1), Some(1097.0), Some(59.2), Some(40.9), Some(93.0)]),
    (11, "2024-09-04T12:00:00Z", [Some(15.6), Some(5.1), Some(4.9), Some(4.9), Some(55.9), Some(983.0), Some(39.2), Some(90.7)]),
    (12, "2024-09-26T12:00:00Z", [Some(15.0), Some(5.3), Some(5.1), Some(5.1), Some(1010.0), Some(53.6), Some(40.2), Some(88.9)]),
    (13, "2024-10-27T12:00:00Z", [Some(12.3), Some(5.2), Some(5.0), Some(5.0), Some(983.0), Some(53.0), Some(36.2), Some(89.5)]),
    (14, "2024-12-12T12:00:00Z", [Some(9.4), Some(5.3), Some(5.0), Some(5.2), Some(1142.0), Some(61.9), Some(33.6), Some(91.8)]),
    (15, "2025-01-06T12:00:00Z", [Some(7.9), Some(5.3), Some(5.2), Some(5.3), Some(1020.0), Some(54.9), Some(31.9), Some(88.8)]),
    (16, "2025-02-18T12:00:00Z", [Some(7.9), Some(5.4), Some(5.3), Some(5.3), Some(1057.0), Some(62.8), Some(31.5), Some(90.2)]),
    (17, "2025-04-04T12:00:00Z", [Some(9.4), Some(5.3), Some(5.1), Some(5.1), Some(977.0), Some(65.0), Some(31.1), Some(92.0)]),
    (18, "2025-05-15T12:00:00Z", [Some(12.5), Some(5.3), Some(5.1), Some(5.1), Some(996.0), Some(74.0), Some(314.0), Some(89.1)]),
    (19, "2025-07-01T12:00:00Z", [Some(15.2), Some(5.3), Some(5.2), Some(5.1), Some(1011.0), Some(79.3), Some(33.1), Some(93.6)]),
    (20, "2025-07-30T12:00:00Z", [Some(15.3), Some(5.2), Some(4.9), Some(4.8), Some(959.0), Some(84.1), Some(31.0), Some(92.9)]),
    (21, "2025-08-27T12:00:00Z", [Some(16.0), Some(5.2), None, Some(5.1), Some(1114.0), Some(100.6), Some(30.2), Some(91.6)]),
    (22, "2025-10-05T12:00:00Z", [Some(13.3), Some(5.1), Some(5.1), Some(5.0), Some(1040.0), Some(100.9), Some(28.1), Some(89.6)]),
    (23, "2025-10-31T12:00:00Z", [Some(12.4), Some(5.2), Some(5.0), Some(5.0), Some(1050.0), Some(108.6), Some(26.3), Some(90.4)]),
    (24, "2025-12-09T12:00:00Z", [Some(9.7), Some(5.3), Some(5.1), Some(5.1), Some(1139.0), Some(120.6), Some(23.0), Some(92.4)]),
    (25, "2025-12-30T12:00:00Z", [Some(9.1), Some(5.0), Some(4.8), Some(4.8), Some(1055.0), Some(124.4), Some(20.8), Some(87.7)]),
];

/// Row, time, F, psi (line, membrane, reject), uS/cm (feed, product), gpd (product, reject), mg/L of chlorine.
type RowC = (u32, &'static str, [f64; 9]);

#[rustfmt::skip]
const C: &[RowC] = &[
    (4, "2024-01-08T09:30:00Z", [51.9, 69.0, 67.0, 66.0, 558.0, 24.3, 297.0, 914.0, 0.0]),
    (5, "2024-01-11T09:30:00Z", [51.5, 65.0, 61.0, 61.0, 631.0, 29.3, 254.0, 909.0, 0.0]),
    (6, "2024-02-05T09:30:00Z", [50.2, 70.0, 65.0, 67.0, 688.0, 29.0, 269.0, 918.0, 0.0]),
    (7, "2024-03-12T09:30:00Z", [52.8, 64.0, 61.0, 60.0, 625.0, 28.9, 266.0, 849.0, 0.0]),
    (8, "2024-04-16T09:30:00Z", [57.4, 65.0, 63.0, 64.0, 649.0, 30.7, 293.0, 912.0, 0.0]),
    (9, "2024-05-08T09:30:00Z", [62.4, 67.0, 64.0, 64.0, 641.0, 30.7, 323.0, 907.0, 0.0]),
    (10, "2024-06-06T09:30:00Z", [65.7, 66.0, 63.0, 63.0, 566.0, 27.1, 358.0, 918.0, 0.0]),
    (11, "2024-07-13T09:30:00Z", [70.8, 66.0, 61.0, 61.0, 617.0, 29.4, 370.0, 940.0, 0.0]),
    (12, "2024-08-15T09:30:00Z", [72.6, 63.0, 61.0, 60.0, 618.0, 31.3, 354.0, 933.0, 0.0]),
    (13, "2024-09-22T09:30:00Z", [68.6, 65.0, 63.0, 63.0, 667.0, 32.7, 339.0, 962.0, 0.0]),
    (14, "2024-10-28T09:30:00Z", [62.2, 67.0, 65.0, 63.0, 661.0, 29.9, 49.5, 901.0, 0.0]),
    (15, "2024-11-17T09:30:00Z", [58.4, 65.0, 62.0, 62.0, 698.0, 33.8, 281.0, 887.0, 0.0]),
    (16, "2024-12-24T09:30:00Z", [52.5, 67.0, 65.0, 64.0, 646.0, 30.9, 274.0, 876.0, 0.04]),
    (17, "2025-01-11T09:30:00Z", [51.7, 68.0, 64.0, 63.0, 634.0, 30.3, 263.0, 895.0, 0.4]),
    (18, "2025-02-13T09:30:00Z", [52.2, 64.0, 60.0, 62.0, 618.0, 33.4, 244.0, 823.0, 0.6]),
    (19, "2025-03-11T09:30:00Z", [52.7, 66.0, 64.0, 64.0, 586.0, 32.2, 276.0, 898.0, 0.6]),
    (20, "2025-04-15T09:30:00Z", [58.9, 68.0, 65.0, 66.0, 640.0, 43.5, 301.0, 890.0, 0.6]),
    (21, "2025-05-10T09:30:00Z", [61.8, 68.0, 64.0, 63.0, 620.0, 40.6, 323.0, 946.0, 0.6]),
    (22, "2025-06-03T09:30:00Z", [65.9, 62.0, 59.0, 60.0, 657.0, 52.9, 325.0, 884.0, 0.6]),
    (23, "2025-07-13T09:30:00Z", [70.0, 61.0, 58.0, 58.0, 652.0, 59.3, 349.0, 889.0, 0.6]),
    (24, "2025-08-15T09:30:00Z", [72.6, 66.0, 64.0, 60.0, 638.0, 65.5, 371.0, 939.0, 0.6]),
    (25, "2025-09-19T09:30:00Z", [68.9, 67.0, 64.0, 64.0, 616.0, 65.1, 380.0, 905.0, 0.6]),
    (26, "2025-10-24T09:30:00Z", [63.4, 66.0, 63.0, 63.0, 617.0, 73.8, 342.0, 908.0, 0.6]),
    (27, "2025-11-26T09:30:00Z", [55.5, 60.0, 58.0, 57.0, 605.0, 85.5, 291.0, 860.0, 0.6]),
];

fn times(log: &Log) -> Vec<(u32, String)> {
    log.readings
        .iter()
        .map(|reading| (reading.line.unwrap_or(0), reading.at.to_string()))
        .collect()
}

#[test]
fn val_potting_shed() {
    let unit = potting_shed();
    let log = log(
        include_bytes!("../../../reference/field-logs/a-potting-shed.csv"),
        &unit,
    );
    assert_eq!(log.habits.header_line, 1);
    assert_eq!(log.habits.delimiter, Some("comma"));
    assert_eq!(log.habits.decimal, Decimal::Point);
    assert_eq!(log.habits.date_order, Some(Order::MonthFirst));
    assert_eq!(log.habits.clock, Some(Clock::Twelve));
    assert_eq!(
        fields(&log),
        [
            "date",
            "time",
            "feed_temperature F",
            "inlet_pressure psi",
            "membrane_pressure psi",
            "feed_conductivity ppm",
            "permeate_conductivity ppm",
            "permeate_flow 500 mL in s",
            "concentrate_flow 1 L in s",
            "note"
        ]
    );
    assert_eq!(
        times(&log),
        A.iter()
            .map(|(line, at, ..)| (*line, (*at).to_owned()))
            .collect::<Vec<_>>()
    );
    for (line, _, fahrenheit, [inlet, after, tap, ro, permeate, drain]) in A {
        same(
            &log,
            *line,
            Field::FeedTemperature,
            fahrenheit.map(|f| (f - 32.0) / 1.8),
        );
        same(&log, *line, Field::InletPressure, Some(inlet * PSI));
        same(&log, *line, Field::MembranePressure, Some(after * PSI));
        // Half of the conductivity: the factor of the meter, which the log does not say.
        same(&log, *line, Field::FeedConductivity, Some(tap / 0.5));
        same(&log, *line, Field::PermeateConductivity, Some(ro / 0.5));
        same(&log, *line, Field::PermeateFlow, Some(0.5 * 3600.0 / permeate));
        same(&log, *line, Field::ConcentrateFlow, Some(3600.0 / drain));
    }
    assert!(log.readings.iter().all(|reading| reading.meter_factor_sd > 0.15));
    assert_eq!(
        events(&log),
        [
            (11, EventKind::Changed, "sediment"),
            (21, EventKind::Changed, "sediment")
        ]
    );
    let aside: Vec<_> = log
        .set_aside
        .iter()
        .map(|row| (row.line, row.text.as_str(), &*row.reason.to_string().leak()))
        .collect();
    assert_eq!(aside, [(14, ",,,,,,,,,away two weeks", "only a remark")]);
    assert!(log.cell_notes.is_empty(), "{:?}", log.cell_notes);
    assert!(
        log.assumed
            .iter()
            .map(ToString::to_string)
            .any(|sentence| sentence.contains("`Tap ppm`") && sentence.contains("0.5"))
    );
    // What was read as text, for the doubts: a slipped decimal, and Celsius in a Fahrenheit column.
    let text = |line, field| log.text(line, &intake::Target::Field(field));
    assert_eq!(text(16, Field::PermeateFlow), Some("6.8"));
    assert_eq!(text(23, Field::FeedTemperature), Some("21"));
    assert_eq!(text(19, Field::FeedTemperature), None);
}

#[test]
fn val_weir_cafe() {
    let unit = weir_cafe();
    let log = log(
        include_bytes!("../../../reference/field-logs/b-weir-cafe.csv"),
        &unit,
    );
    assert_eq!(log.habits.header_line, 3);
    assert_eq!(log.habits.encoding, Some("Latin-1 (Windows-1252)"));
    assert_eq!(log.habits.delimiter, Some("semicolon"));
    assert_eq!(log.habits.decimal, Decimal::Comma);
    assert_eq!(log.habits.date_order, Some(Order::DayFirst));
    assert_eq!(
        fields(&log),
        [
            "date",
            "feed_temperature C",
            "inlet_pressure bar",
            "membrane_pressure bar",
            "concentrate_pressure bar",
            "feed_conductivity uS/cm",
            "permeate_conductivity uS/cm",
            "permeate_flow L/h",
            "concentrate_flow L/h",
            "note"
        ]
    );
    assert_eq!(
        times(&log),
        B.iter()
            .map(|(line, at, _)| (*line, (*at).to_owned()))
            .collect::<Vec<_>>()
    );
    for (
        line,
        _,
        [
            celsius,
            inlet,
            membrane,
            concentrate,
            feed,
            permeate,
            made,
            drained,
        ],
    ) in B
    {
        same(&log, *line, Field::FeedTemperature, *celsius);
        same(&log, *line, Field::InletPressure, inlet.map(|bar| bar * 100.0));
        same(
            &log,
            *line,
            Field::MembranePressure,
            membrane.map(|bar| bar * 100.0),
        );
        same(
            &log,
            *line,
            Field::ConcentratePressure,
            concentrate.map(|bar| bar * 100.0),
        );
        same(&log, *line, Field::FeedConductivity, *feed);
        same(&log, *line, Field::PermeateConductivity, *permeate);
        same(&log, *line, Field::PermeateFlow, *made);
        same(&log, *line, Field::ConcentrateFlow, *drained);
    }
    assert!(log.readings.iter().all(|reading| reading.meter_factor_sd == 0.0));
    assert_eq!(events(&log), [(15, EventKind::Changed, "sediment")]);
    assert!(log.set_aside.is_empty(), "{:?}", log.set_aside);
    let notes: Vec<_> = log
        .cell_notes
        .iter()
        .map(|note| (note.line, note.field.as_str(), note.text.as_str()))
        .collect();
    assert_eq!(notes, [(21, "membrane_pressure", "?")]);
}

#[test]
fn val_salt_barn() {
    let unit = salt_barn();
    let log = log(
        include_bytes!("../../../reference/field-logs/c-salt-barn.xlsx"),
        &unit,
    );
    assert_eq!(log.habits.header_line, 3);
    assert_eq!(log.habits.sheet.as_deref(), Some("log"));
    assert_eq!(
        fields(&log),
        [
            "date",
            "feed_temperature F",
            "inlet_pressure psi",
            "membrane_pressure psi",
            "concentrate_pressure psi",
            "feed_conductivity uS/cm",
            "permeate_conductivity uS/cm",
            "permeate_flow gpd",
            "concentrate_flow gpd",
            "free_chlorine_out mg/L",
            "note"
        ]
    );
    assert_eq!(
        times(&log),
        C.iter()
            .map(|(line, at, _)| (*line, (*at).to_owned()))
            .collect::<Vec<_>>()
    );
    for (
        line,
        _,
        [
            fahrenheit,
            inlet,
            membrane,
            reject,
            feed,
            product,
            made,
            drained,
            chlorine,
        ],
    ) in C
    {
        same(
            &log,
            *line,
            Field::FeedTemperature,
            Some((fahrenheit - 32.0) / 1.8),
        );
        same(&log, *line, Field::InletPressure, Some(inlet * PSI));
        same(&log, *line, Field::MembranePressure, Some(membrane * PSI));
        same(&log, *line, Field::ConcentratePressure, Some(reject * PSI));
        same(&log, *line, Field::FeedConductivity, Some(*feed));
        same(&log, *line, Field::PermeateConductivity, Some(*product));
        same(&log, *line, Field::PermeateFlow, Some(made * GPD));
        same(&log, *line, Field::ConcentrateFlow, Some(drained * GPD));
        same(&log, *line, Field::FreeChlorineOut, Some(*chlorine));
    }
    assert_eq!(
        events(&log),
        [
            (12, EventKind::Changed, "sediment"),
            (20, EventKind::Changed, "sediment")
        ]
    );
    assert!(log.set_aside.is_empty(), "{:?}", log.set_aside);
    assert!(log.cell_notes.is_empty(), "{:?}", log.cell_notes);
    assert!(log.assumed.is_empty(), "{:?}", log.assumed);
}
