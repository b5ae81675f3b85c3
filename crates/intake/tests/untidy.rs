//! Untidy logs of many habits. Invented.

mod common;

use common::{GPD, PSI, columns, field_of, potting_shed, read, weir_cafe};
use intake::{Clock, Error, Log, Mapping, Options, Order, Target};
use quantity::Decimal;
use reading::{EventKind, Field};

/// The order of operations may round a value once or twice otherwise.
const ROUNDING: f64 = 1e-14;

#[track_caller]
fn value(log: &Log, line: u32, field: Field, expected: f64) {
    let reading = log.readings.iter().find(|reading| reading.line == Some(line));
    let got = reading.and_then(|reading| reading.get(field));
    assert!(
        got.is_some_and(|got| (got - expected).abs() <= ROUNDING * expected.abs()),
        "line {line}, {}: {got:?} instead of {expected}",
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

fn aside(log: &Log) -> Vec<(u32, &str)> {
    log.set_aside
        .iter()
        .map(|row| (row.line, &*row.reason.to_string().leak()))
        .collect()
}

fn assumed(log: &Log, words: &str) -> bool {
    log.assumed
        .iter()
        .map(ToString::to_string)
        .any(|sentence| sentence.contains(words))
}

const SPANISH: &str = "Registro de mantenimiento - Invernadero Norte;;;;;;;;;
Equipo: OI;;;;;;;;;
;;;;;;;;;
Fecha;Hora;Temp. agua (°C);Presión entrada (kg/cm²);Presión membrana (kg/cm²);C.E. entrada (mS/cm);C.E. permeado (µS/cm);Caudal permeado (L/min);Rechazo 1 L en (seg);Observaciones
05/03/24;9:30;12,5;4,1;3,9;0,75;22;0,95;42;
19/03/24;10:15;13,0;4,0;3,8;0,76;23;0,94;42;se cambió el filtro de sedimentos
02/04/24;;13,5;4,0;3,8;0,74;23;0,93;43;pendiente cambiar carbón
16/04/24;9:05;14,0;4,1;;0,75;24;0,96;41;cambio de filtros
30/04/24;9:05;14,5;4,1;3,8;s/d;24;0,97;1:11;limpieza de membranas
Promedio;;13,5;4,06;3,82;0,75;23;0,95;42;
";

#[test]
fn spanish_two_digit_years_and_an_average() {
    let unit = potting_shed();
    let log = read(SPANISH, &unit);
    assert_eq!(log.habits.header_line, 4);
    assert_eq!(log.habits.decimal, Decimal::Comma);
    assert_eq!(log.habits.date_order, Some(Order::DayFirst));
    assert_eq!(log.readings.len(), 5);
    assert_eq!(log.readings[0].at.to_string(), "2024-03-05T09:30:00Z");
    assert_eq!(log.readings[2].at.to_string(), "2024-04-02T12:00:00Z");
    assert!(assumed(&log, "one row names no time of day"));
    // kg/cm2 is 98.0665 kPa (NIST SP 811).
    value(&log, 5, Field::InletPressure, 4.1 * 98.0665);
    value(&log, 5, Field::FeedConductivity, 750.0);
    value(&log, 5, Field::PermeateFlow, 57.0);
    value(&log, 9, Field::ConcentrateFlow, 3600.0 / 71.0);
    assert_eq!(
        log.readings[4].get(Field::FeedConductivity),
        None,
        "s/d: sin dato"
    );
    assert_eq!(
        events(&log),
        [
            (6, EventKind::Changed, "sediment"),
            (8, EventKind::Changed, "sediment"),
            (8, EventKind::Changed, "carbon"),
            (9, EventKind::Cleaned, "membrane-1"),
            (9, EventKind::Cleaned, "membrane-2"),
        ]
    );
    assert_eq!(aside(&log), [(10, "a summary of other rows, not a reading")]);
    assert!(log.cell_notes.is_empty(), "{:?}", log.cell_notes);
}

#[test]
fn the_same_in_every_encoding() {
    let unit = potting_shed();
    let expected = read(SPANISH, &unit);
    let little: Vec<u8> = SPANISH.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let big: Vec<u8> = SPANISH.encode_utf16().flat_map(u16::to_be_bytes).collect();
    let latin: Vec<u8> = SPANISH
        .chars()
        .map(|c| u8::try_from(u32::from(c)).unwrap_or(b'?'))
        .collect();
    let with = |mark: &[u8], bytes: &[u8]| [mark, bytes].concat();
    for (bytes, name) in [
        (with(b"\xef\xbb\xbf", SPANISH.as_bytes()), "UTF-8"),
        (with(b"\xff\xfe", &little), "UTF-16LE"),
        (with(b"\xfe\xff", &big), "UTF-16BE"),
        (little.clone(), "UTF-16LE"),
        (big.clone(), "UTF-16BE"),
        (latin, "Latin-1 (Windows-1252)"),
        (SPANISH.replace('\n', "\r\n").into_bytes(), "UTF-8"),
        (SPANISH.replace('\n', "\r").into_bytes(), "UTF-8"),
    ] {
        let log =
            intake::read(&bytes, &Options::new(&unit)).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert_eq!(log.habits.encoding, Some(name));
        assert_eq!(log.readings, expected.readings, "{name}");
        assert_eq!(log.events, expected.events, "{name}");
        assert_eq!(columns(&log), columns(&expected), "{name}");
    }
}

#[test]
fn tabs_iso_dates_and_a_row_of_units() {
    let text = "date_time\tfeed_temp\tP_in\tP_mem\tP_conc\tEC in\tEC out\tpermeate\treject\tcomment
\t°C\tkPa\tkPa\tkPa\tµS/cm\tµS/cm\tL/h\tL/h\t
2024-01-08T09:30:00\t8.7\t400\t380\t378\t600\t18\t40.2\t60.1\t
2024-02-08T09:30\t8.1\t402\t380\t378\t601\t18\t39.0\t60.1\tall ok
2024-03-08T09:30:00+02:00\t8.1\t402\t380\t378\t601\t18\t39.0\t60.1\tnew membranes
";
    let log = read(text, &potting_shed());
    assert_eq!(log.habits.header_line, 1);
    assert_eq!(log.habits.delimiter, Some("tab"));
    assert_eq!(log.readings.len(), 3);
    assert_eq!(log.readings[2].at.to_string(), "2024-03-08T07:30:00Z");
    assert_eq!(field_of(&log, "EC in (µS/cm)"), "feed_conductivity");
    assert_eq!(field_of(&log, "permeate (L/h)"), "permeate_flow");
    value(&log, 3, Field::ConcentratePressure, 378.0);
    assert_eq!(log.events.len(), 2);
}

const WELL: &str = "North well RO,,,,,,,,,,
Tech: J,,,,,,,,,,
,,,,,,,,,,
Date/Time,Feed TDS (ppm),Permeate TDS (ppm),Perm. Flow GPD,Rej. LPM,Pre-membrane PSI,Inlet PSI,Water Temp °F,Totalizer gal,Hour meter,Comments
3/5/2024 2:20 PM,310,12,\"180\",0.9,58,62,52,\"12,040\",310,
3/19/2024 9:05 AM,305,12,178,0.9,57,62,53,\"14,480\",352,
4/2/2024 10:00 AM,300,13,176,0.9,57,61,55,\"16,995\",398,Changed pre-filter & carbon
Date/Time,Feed TDS (ppm),Permeate TDS (ppm),Perm. Flow GPD,Rej. LPM,Pre-membrane PSI,Inlet PSI,Water Temp °F,Totalizer gal,Hour meter,Comments
4/16/2024 10:00 AM,302,13,179,0.9,59,61,57,\"19,300\",440,customer asks to change membranes next time
AVERAGE,304,12.5,178,0.9,57.75,61.5,54.25,,,
";

#[test]
fn gallons_a_day_headings_again_and_a_footer() {
    let mut unit = potting_shed();
    let log = read(WELL, &unit);
    assert_eq!(log.habits.clock, Some(Clock::Twelve));
    assert_eq!(log.readings.len(), 4);
    assert_eq!(log.readings[0].at.to_string(), "2024-03-05T14:20:00Z");
    value(&log, 5, Field::PermeateFlow, 180.0 * GPD);
    value(&log, 5, Field::ConcentrateFlow, 54.0);
    // US gallon 3.785411784 L (NIST SP 811).
    value(&log, 5, Field::PermeateTotal, 12_040.0 * 3.785_411_784);
    value(&log, 9, Field::RunningHours, 440.0);
    value(&log, 5, Field::FeedConductivity, 620.0);
    assert_eq!(
        events(&log),
        [
            (7, EventKind::Changed, "sediment"),
            (7, EventKind::Changed, "carbon")
        ]
    );
    assert_eq!(
        aside(&log),
        [
            (8, "the headings again"),
            (10, "a summary of other rows, not a reading")
        ]
    );
    // A meter whose factor the unit states.
    unit.instruments.feed_meter.factor = Some(0.7);
    unit.instruments.permeate_meter.factor = Some(0.5);
    let log = read(WELL, &unit);
    value(&log, 5, Field::FeedConductivity, 310.0 / 0.7);
    value(&log, 5, Field::PermeateConductivity, 24.0);
    assert!(log.readings.iter().all(|reading| reading.meter_factor_sd == 0.0));
    assert!(!assumed(&log, "factor"));
}

#[test]
fn times_are_in_the_zone_of_the_unit() {
    let mut unit = potting_shed();
    unit.time_zone = "Europe/Madrid".to_owned();
    let log = read(SPANISH, &unit);
    // Winter time is one hour ahead of UTC, summer time (from 31 March) two.
    assert_eq!(log.readings[0].at.to_string(), "2024-03-05T08:30:00Z");
    assert_eq!(log.readings[3].at.to_string(), "2024-04-16T07:05:00Z");
}

#[test]
fn groups_of_headings_above() {
    let text = "RO log,,,,,,,,
,Pressure (psi),,,TDS (ppm),,Flow (gpm),,
Date,In,Membrane,Reject,Feed,Permeate,Permeate,Reject,Notes
Jan 8 2024,58,56,55,287,12,0.14,0.25,
22 January 2024,58,56,55,287,12,0.14,0.25,
\"Monday, February 5th, 2024\",58,56,55,287,12,0.14,0.25,flushed membranes
";
    let log = read(text, &potting_shed());
    assert_eq!(log.habits.header_line, 3);
    assert_eq!(log.readings.len(), 3);
    assert_eq!(field_of(&log, "Pressure (psi) Reject"), "concentrate_pressure");
    assert_eq!(field_of(&log, "Notes"), "note");
    value(&log, 4, Field::ConcentrateFlow, 0.25 * 60.0 * 3.785_411_784);
    assert_eq!(log.readings[2].at.to_string(), "2024-02-05T12:00:00Z");
    assert_eq!(log.events.len(), 2);
}

#[test]
fn units_in_the_cells() {
    let text = "Date,Temp,Inlet,Membrane,Feed,RO,Permeate,Drain,Remarks
8 Jan 2024,47 F,58 psi,56 psi,574 uS,24 uS,500 mL in 57 s,1 L in 74 s,
22-Jan-24,46F,58psi,56psi,287 ppm @0.5,12 ppm @0.5,500 mL in 58 s,1 L in 74 s,washed prefilter
5 Feb 2024,8.5 C,4.0 bar,3.9 bar,0.570 mS,24uS,500 mL in 0:58,1 L in 1:14,
";
    let log = read(text, &potting_shed());
    assert_eq!(log.readings.len(), 3);
    value(&log, 2, Field::FeedTemperature, 15.0 / 1.8);
    value(&log, 4, Field::FeedTemperature, 8.5);
    value(&log, 2, Field::InletPressure, 58.0 * PSI);
    value(&log, 4, Field::InletPressure, 400.0);
    value(&log, 3, Field::FeedConductivity, 574.0);
    value(&log, 4, Field::FeedConductivity, 570.0);
    value(&log, 4, Field::PermeateFlow, 0.5 * 3600.0 / 58.0);
    value(&log, 4, Field::ConcentrateFlow, 3600.0 / 74.0);
    assert_eq!(events(&log), [(3, EventKind::Cleaned, "sediment")]);
}

#[test]
fn missing_units_are_told_where_only_one_is_plausible() {
    let text =
        "Date,Temp,Inlet pressure,Membrane pressure,Feed TDS,Permeate TDS,Permeate flow,Reject flow,Notes
2024-01-08,47,58,56,287,12,31.6,48.6,
2024-01-22,46,58,56,287,12,31.6,48.6,
2024-02-05,45,58,56,287,12,31.6,48.6,membranes not changed yet
";
    let log = read(text, &potting_shed());
    assert_eq!(
        columns(&log)
            .into_iter()
            .map(|(_, _, unit)| unit)
            .collect::<Vec<_>>(),
        ["", "F", "psi", "psi", "ppm", "ppm", "L/h", "L/h", ""]
    );
    for heading in ["`Temp`", "`Inlet pressure`", "`Feed TDS`", "`Permeate flow`"] {
        assert!(assumed(&log, heading), "{heading} in {:?}", log.assumed);
    }
    // 12 can be bar or psi: nothing is guessed.
    let log = read(
        "Date,Pressure in,Tap ppm,RO ppm\n2024-01-08,14,200,10\n2024-01-18,15,200,10\n",
        &potting_shed(),
    );
    assert_eq!(field_of(&log, "Pressure in"), "");
    assert!(
        log.ignored
            .iter()
            .any(|column| column.heading == "Pressure in" && column.reason.to_string().contains("no unit"))
    );
}

#[test]
fn one_quantity_in_two_units_is_read_once() {
    let text = "Date,Temp C,Temp F,Inlet psi,Inlet bar,Permeate gpd,Permeate L/h,Feed uS,Feed ppm,Product uS,Product ppm,Rejection %
1/8/2024,8.3,47,58,4.0,200,31.5,574,287,24,12,95.8
1/28/2024,8.3,47,58,4.0,200,31.5,574,287,24,12,95.8
";
    let log = read(text, &potting_shed());
    let read: Vec<String> = columns(&log).into_iter().map(|(heading, ..)| heading).collect();
    assert_eq!(
        read,
        [
            "Date",
            "Temp C",
            "Inlet psi",
            "Permeate gpd",
            "Feed uS",
            "Product uS"
        ]
    );
    assert_eq!(log.ignored.len(), 6, "{:?}", log.ignored);
    assert!(log.readings.iter().all(|reading| reading.meter_factor_sd == 0.0));
}

#[test]
fn feed_beside_the_line_is_the_membranes() {
    let text = "Date,Line psi,Feed psi,Tap ppm,RO ppm\n1/28/2024,62,58,200,10\n";
    let log = read(text, &potting_shed());
    value(&log, 2, Field::InletPressure, 62.0 * PSI);
    value(&log, 2, Field::MembranePressure, 58.0 * PSI);
    assert!(assumed(&log, "`Feed psi` is read as membrane_pressure"));
    let alone = read(
        "Date,Feed psi,Tap ppm,RO ppm\n1/28/2024,62,200,10\n",
        &potting_shed(),
    );
    value(&alone, 2, Field::InletPressure, 62.0 * PSI);
}

#[test]
fn columns_without_headings_and_empty_ones() {
    let text = ",,Feed psi,,Feed TDS,Product TDS,Product ml/min,Waste ml/min,temp f,
,8-Jan-24,58,,287,12,526,810,47,new unit
,22-Jan-24,58,,287,12,526,810,47,

,5-Feb-24,58,,287,12,526,810,47,replaced carbon block
";
    let log = read(text, &potting_shed());
    assert_eq!(log.readings.len(), 3);
    assert!(assumed(&log, "column 2 holds the dates"));
    assert_eq!(events(&log), [(5, EventKind::Changed, "carbon")]);
    value(&log, 5, Field::PermeateFlow, 31.56);
}

#[test]
fn remarks_between_the_rows() {
    let text = "Date,Inlet psi,Tap ppm,RO ppm,Notes
2024-01-08,58,287,12,
away two weeks,,,,
2024-02-08,58,287,12,
,,,,changed carbon filter
changed sediment filter,,,,
2024-03-08,58,?,12*,
2024-03-10,,,,new membranes
2024-03-12,,,,rang the customer
2024-03-14,,,,
,58,287,12,
soon,58,287,12,
14/2024,58,287,12,
\",58,287,13,
";
    let log = read(text, &potting_shed());
    // The last row repeats the day above by a ditto mark.
    assert_eq!(log.readings.len(), 4);
    assert_eq!(log.readings[3].at.to_string(), "2024-03-14T12:00:00Z");
    assert_eq!(
        events(&log),
        [
            (5, EventKind::Changed, "carbon"),
            (6, EventKind::Changed, "sediment"),
            (8, EventKind::Changed, "membrane-1"),
            (8, EventKind::Changed, "membrane-2"),
        ]
    );
    assert_eq!(log.events[0].at.to_string(), "2024-02-08T12:00:01Z");
    assert!(assumed(&log, "line 5 (`changed carbon filter`) has no date"));
    assert_eq!(
        aside(&log),
        [
            (3, "only a remark"),
            (9, "only a remark"),
            (10, "only a date"),
            (11, "no date"),
            (12, "the date `soon` cannot be read"),
            (13, "the date `14/2024` cannot be read"),
        ]
    );
    let notes: Vec<_> = log
        .cell_notes
        .iter()
        .map(|n| (n.line, n.field.as_str(), n.text.as_str()))
        .collect();
    assert_eq!(
        notes,
        [(7, "feed_conductivity", "?"), (7, "permeate_conductivity", "12*")]
    );
}

#[test]
fn german_with_limits_of_detection() {
    let text = "\"Datum/Uhrzeit\";\"Wassertemp. [°C]\";\"Vordruck [bar]\";\"Druck nach Filter [bar]\";\"Konzentratdruck [bar]\";\"LF Rohwasser [µS/cm]\";\"LF Permeat [µS/cm]\";\"Permeatleistung [l/Tag]\";\"Konzentratmenge [ml/min]\";\"Chlor nach Kohle [mg/l]\";\"Techniker\";\"Bemerkungen\"
\"08.01.2024 09:15\";\"8,7\";\"5,2\";\"5,1\";\"5,0\";\"1.099\";\"54,6\";\"800\";\"1436\";\"<0,05\";\"KM\";\"\"
\"01.02.2024 10:00\";\"8,4\";\"5,2\";\"5,2\";\"5,2\";\"988\";\"47,1\";\"840\";\"1480\";\"n.n.\";\"KM\";\"Vorfilter und Aktivkohle gewechselt\"
\"Mittelwert\";\"8,5\";\"5,2\";\"5,2\";\"5,2\";\"1.010\";\"49\";\"830\";\"1470\";\"\";\"\";\"\"
";
    let log = read(text, &weir_cafe());
    value(&log, 2, Field::FeedConductivity, 1099.0);
    value(&log, 2, Field::PermeateFlow, 800.0 / 24.0);
    value(&log, 2, Field::FreeChlorineOut, 0.025);
    value(&log, 3, Field::FreeChlorineOut, 0.0);
    assert!(assumed(&log, "`<0,05`"));
    assert_eq!(log.readings[0].by, "KM");
    assert_eq!(log.readings[0].at.to_string(), "2024-01-08T09:15:00Z");
    assert_eq!(log.events.len(), 2);
}

#[test]
fn newest_first_pipes_and_a_stated_separator() {
    let text = "sep=|
Date|Water °C|Line bar|RO bar|Drain bar|in µS|out µS|Pure l/h|Waste l/h|What was done
5.3.2024|9|5,2|5,0|4,9|700|22|33|60|
4.2.2024|8|5,2|5,0|4,9|700|22|33|60|Membran 1 erneuert
8.1.2024|8|5,2|5,0|4,9|700|22|33|60|
";
    let log = read(text, &potting_shed());
    assert_eq!(log.habits.delimiter, Some("pipe"));
    assert_eq!(
        log.readings
            .iter()
            .map(|reading| reading.line)
            .collect::<Vec<_>>(),
        [Some(5), Some(4), Some(3)]
    );
    value(&log, 3, Field::FeedConductivity, 700.0);
    assert_eq!(events(&log), [(4, EventKind::Changed, "membrane-1")]);
}

#[test]
fn a_quotation_mark_that_is_never_closed() {
    let mut text = "Date,Inlet psi,Feed ppm,RO ppm,Notes\n1/8/2024,58,287,12,\"new 10 housing\n".to_owned();
    for day in 10..28 {
        text += &["1/", &day.to_string(), "/2024,58,287,12,ok\n"].concat();
    }
    let log = read(&text, &potting_shed());
    assert_eq!(log.readings.len(), 19);
    assert_eq!(log.readings[18].line, Some(20));
    assert!(assumed(&log, "quotation mark"));
}

#[test]
fn the_order_of_dates() {
    let order = |dates: &[&str]| {
        let rows: String = dates.iter().flat_map(|date| [*date, ",58,287,12\n"]).collect();
        read(&format!("Date,Inlet psi,Tap ppm,RO ppm\n{rows}"), &potting_shed())
            .habits
            .date_order
    };
    assert_eq!(order(&["1/2/2024", "1/13/2024"]), Some(Order::MonthFirst));
    assert_eq!(order(&["1/2/2024", "13/2/2024"]), Some(Order::DayFirst));
    // Only month first do these follow each other.
    assert_eq!(
        order(&["1/8/2024", "2/6/2024", "3/4/2024", "4/1/2024"]),
        Some(Order::MonthFirst)
    );
    assert_eq!(
        order(&["8/1/2024", "6/2/2024", "4/3/2024", "1/4/2024"]),
        Some(Order::DayFirst)
    );
    assert_eq!(
        order(&["24/01/08", "24/01/22", "24/02/05"]),
        Some(Order::YearFirst)
    );
    assert_eq!(order(&["2024-01-08", "2024-02-08"]), Some(Order::YearFirst));
    // Nothing tells but the units: psi.
    assert_eq!(order(&["3/4/2024"]), Some(Order::MonthFirst));
    let log = read(
        "Date (dd/mm/yyyy),Inlet psi,Tap ppm,RO ppm\n3/4/2024,58,287,12\n",
        &potting_shed(),
    );
    assert_eq!(log.readings[0].at.to_string(), "2024-04-03T12:00:00Z");
}

#[test]
fn a_slip_in_the_year_is_named_and_not_mended() {
    let rows: String = (1..=12)
        .flat_map(|month| {
            [
                if month == 7 { "2023" } else { "2024" },
                "-",
                &format!("{month:02}"),
                "-08,58,287,12\n",
            ]
            .map(str::to_owned)
        })
        .collect();
    let log = read(&format!("Date,Inlet psi,Tap ppm,RO ppm\n{rows}"), &potting_shed());
    assert_eq!(log.readings.len(), 12);
    let notes: Vec<_> = log
        .cell_notes
        .iter()
        .map(|n| (n.line, n.field.as_str(), n.text.as_str()))
        .collect();
    assert_eq!(notes, [(8, "date", "2023-07-08")]);
}

#[test]
fn two_columns_for_one_field_and_a_mapping_that_says_which() {
    let text = "Date,Inlet 1 psi,Inlet 2 psi,Permeate gpd,Feed ppm,RO ppm\n1/8/2024,58,56,150,200,10\n1/18/2024,58,55,150,200,10\n";
    let unit = potting_shed();
    let error = intake::read(text.as_bytes(), &Options::new(&unit)).err();
    assert!(
        matches!(&error, Some(Error::TwoColumns { first, second, field, .. }) if first == "Inlet 1 psi" && second == "Inlet 2 psi" && field == "inlet_pressure"),
        "{error:?}"
    );
    for mapping in [
        "[columns]\n\"inlet 2 PSI\" = \"pressure_after.sediment\"\n",
        "{\"columns\": {\"Inlet 2 psi\": {\"field\": \"pressure_after.sediment\", \"unit\": \"psi\"}}}",
    ] {
        let options = Options {
            mapping: Mapping::parse(mapping).ok(),
            ..Options::new(&unit)
        };
        let log = intake::read(text.as_bytes(), &options).unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(field_of(&log, "Inlet 2 psi"), "pressure_after.sediment");
        let after = log.readings[1].pressure_after_kpa.get("sediment").copied();
        assert_eq!(after, Some(55.0 * PSI));
        assert_eq!(
            log.text(3, &Target::PressureAfter("sediment".to_owned())),
            Some("55")
        );
    }
}

#[test]
fn a_mapping_for_headings_that_say_nothing() {
    let text = "Log of unit 4\nWhen;A;B;C;D;E\n5-3-24;4,1;12;71;22;x\n19-3-24;4,0;13;72;22;Sedimentfilter gewechselt\n";
    let mapping = "
[columns]
When = 'date'
A = {field = 'inlet_pressure', unit = 'bar'}
B = {field = 'feed_temperature', unit = 'C'}
C = {field = 'permeate_flow', unit = '500 mL in s'}
D = {field = 'permeate_conductivity', unit = 'uS/cm'}
E = 'note'
[table]
header_line = 2
date_order = 'day first'
decimal = ','
delimiter = ';'
";
    let unit = weir_cafe();
    let options = Options {
        mapping: Some(Mapping::parse(mapping).unwrap_or_default()),
        ..Options::new(&unit)
    };
    let log = intake::read(text.as_bytes(), &options).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(log.readings.len(), 2);
    value(&log, 3, Field::InletPressure, 4.1 * 100.0);
    value(&log, 3, Field::PermeateFlow, 0.5 * 3600.0 / 71.0);
    assert_eq!(events(&log), [(4, EventKind::Changed, "sediment")]);
}

#[test]
fn mappings_that_cannot_be_followed() {
    let unit = weir_cafe();
    let text = "Date,Inlet bar,Tap ppm,RO ppm\n2024-01-08,4,287,12\n";
    let error = |mapping: &str| match Mapping::parse(mapping) {
        Err(error) => error.to_string(),
        Ok(mapping) => {
            let options = Options {
                mapping: Some(mapping),
                ..Options::new(&unit)
            };
            intake::read(text.as_bytes(), &options)
                .err()
                .map(|error| error.to_string())
                .unwrap_or_default()
        }
    };
    for (mapping, words) in [
        ("columns = 3", "cannot be read"),
        ("{\"columns\": ", "cannot be read"),
        (
            "[columns]\n\"Tap ppm\" = \"salt\"",
            "`salt`, which is no field; accepted are date",
        ),
        (
            "[columns]\n\"Tap ppm\" = \"pressure_after.pump\"",
            "pressure_after.sediment",
        ),
        (
            "[columns]\n\"Tap ppm\" = {field = \"inlet_pressure\", unit = \"ppm\"}",
            "the unit `ppm` is not known for inlet_pressure",
        ),
        (
            "[columns]\n\"Tab ppm\" = \"feed_tds\"",
            "no heading `Tab ppm`; its headings are Date, Inlet bar",
        ),
        (
            "[columns]\n\"Tap ppm\" = \"feed_tds\"\n\"RO ppm\" = \"feed_tds\"",
            "both mapped to feed_tds",
        ),
        ("[table]\ndecimal = \"x\"", "accepted is \".\" or \",\""),
        ("[table]\ncolour = \"x\"", "colour"),
    ] {
        let got = error(mapping);
        assert!(got.contains(words), "`{mapping}`: `{got}` does not say `{words}`");
    }
}

#[test]
fn what_is_no_log_is_named() {
    let unit = potting_shed();
    let error = |bytes: &[u8]| match intake::read(bytes, &Options::new(&unit)) {
        Ok(log) => format!("{} readings", log.readings.len()),
        Err(error) => error.to_string(),
    };
    for (bytes, words) in [
        (&b""[..], "the log is empty"),
        (b" \r\n\t\n", "the log is empty"),
        (b"\xef\xbb\xbf\n", "the log is empty"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "a picture (PNG), not a table"),
        (b"\xff\xd8\xff\xe0\0\x10JFIF", "a picture (JPEG)"),
        (b"%PDF-1.7\n", "a PDF"),
        (b"<html><body><table>", "a web page"),
        (
            b"\x01\x02\x03\0\xc8\xff\x01\x02\x03\0\xc8\xff",
            "no text (first at byte 0)",
        ),
        (b"PK\x03\x04 nothing else", "the workbook cannot be opened"),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 nothing else",
            "the workbook cannot be opened",
        ),
        (b"2024-01-08,58,287\n2024-01-09,58,287\n", "there are no headings"),
        (
            b"apples,pears,plums\n1,2,3\n",
            "no heading is recognised; the fullest line (1) reads: apples | pears | plums",
        ),
        (
            b"Inlet psi,Feed TDS,Product TDS\n58,287,12\n",
            "no column of dates among the headings in line 1",
        ),
        (b"Date,Inlet psi,Feed TDS\n", "there is nothing below them"),
        (
            b"Date,Inlet psi,Feed TDS\nsoon,58,287\n",
            "no row below them could be read; the first: line 2",
        ),
    ] {
        let got = error(bytes);
        assert!(got.contains(words), "`{got}` does not say `{words}`");
    }
}

#[test]
fn ticks_under_a_heading_that_says_what_was_done() {
    let text = "Date,Inlet psi,Tap ppm,RO ppm,Sediment changed,Carbon changed (y/n),Membranes rinsed
2024-01-08,58,287,12,,n,
2024-02-08,58,287,12,x,n,
2024-03-08,58,287,12,,y,x
2024-04-08,58,287,12,-,no,next time
";
    let log = read(text, &potting_shed());
    assert_eq!(log.readings.len(), 4);
    assert_eq!(
        events(&log),
        [
            (3, EventKind::Changed, "sediment"),
            (4, EventKind::Changed, "carbon"),
            (4, EventKind::Rinsed, "membrane-1"),
            (4, EventKind::Rinsed, "membrane-2"),
        ]
    );
}

#[test]
fn headings_that_change_in_the_middle() {
    let text = "Date,Inlet psi,Tap ppm,RO ppm,Product gpd
2024-01-08,58,287,12,150
2024-02-08,57,287,12,150
Date,Tap uS,RO uS,Product L/h,Inlet bar
2024-03-08,574,24,31.5,4.1
2024-04-08,575,25,31.5,?
";
    let log = read(text, &potting_shed());
    assert_eq!(log.readings.len(), 4);
    assert!(assumed(&log, "line 4 holds new headings"), "{:?}", log.assumed);
    value(&log, 3, Field::InletPressure, 57.0 * PSI);
    value(&log, 5, Field::InletPressure, 4.1 * 100.0);
    value(&log, 5, Field::PermeateFlow, 31.5);
    value(&log, 6, Field::PermeateConductivity, 25.0);
    assert_eq!(log.text(5, &Target::Field(Field::InletPressure)), Some("4.1"));
    assert_eq!(log.text(3, &Target::Field(Field::InletPressure)), Some("57"));
    assert!(log.set_aside.is_empty(), "{:?}", log.set_aside);
    assert_eq!(log.cell_notes.len(), 1);
}

#[test]
fn a_day_written_once_for_two_visits() {
    let text = "Fecha\tHora\tP red (bar)\tP filtros (bar)\tCond. red (µS/cm)\tCond. perm. (µS/cm)\tQ perm. (L/h)\tQ rech. (L/h)\tNotas
8-ene-24\t09:00\t4,1\t3,9\t600\t18\t40,2\t60,1\t
\t16:30\t4,0\t3,9\t600\t18\t40,2\t60,1\t
12 mar 2024\t9h15\t4,0\t3,9\t600\t18\t40,2\t60,1\tFiltro de sedimentos lavado
";
    let log = read(text, &potting_shed());
    let times: Vec<_> = log
        .readings
        .iter()
        .map(|reading| reading.at.to_string())
        .collect();
    assert_eq!(
        times,
        [
            "2024-01-08T09:00:00Z",
            "2024-01-08T16:30:00Z",
            "2024-03-12T09:15:00Z"
        ]
    );
    assert!(assumed(&log, "one row names a time but no day"));
    let fields: Vec<String> = columns(&log).into_iter().map(|(_, field, _)| field).collect();
    assert_eq!(
        fields,
        [
            "date",
            "time",
            "inlet_pressure",
            "membrane_pressure",
            "feed_conductivity",
            "permeate_conductivity",
            "permeate_flow",
            "concentrate_flow",
            "note"
        ]
    );
    assert_eq!(events(&log), [(4, EventKind::Cleaned, "sediment")]);
}

#[test]
fn a_ppm_in_a_cell_counts_with_the_factor_of_the_meter() {
    let text = "Date,Inlet,Feed,RO
2024-01-08,58 psi,574 uS,24 uS
2024-02-08,58 psi,570 uS,24 uS
2024-03-08,58 psi,287 ppm,12 ppm @0.5
";
    let log = read(text, &potting_shed());
    value(&log, 4, Field::FeedConductivity, 574.0);
    value(&log, 4, Field::PermeateConductivity, 24.0);
    assert_eq!(log.readings[0].meter_factor_sd.to_bits(), 0.0_f64.to_bits());
    assert!(log.readings[2].meter_factor_sd > 0.15);
    assert!(
        assumed(&log, "`Feed` is a salt meter's ppm without its factor"),
        "{:?}",
        log.assumed
    );
    assert!(!assumed(&log, "`RO`"));
}
