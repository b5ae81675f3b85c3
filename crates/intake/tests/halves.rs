//! A long log is read in two halves: what stands in it is what rows one by one would give. The logs are simulated.

mod common;

use std::fmt::Write as _;

use intake::{Log, Options};
use quantity::Kind;
use reading::Field;

const ROWS: u32 = 24_000;
const HEADINGS: &str = "Date,Inlet psi,RO ppm,Tap ppm,Water temp (F),Notes";

/// Every third row repeats the day of the row above.
fn rows() -> impl Iterator<Item = String> {
    (0..ROWS).map(|row| {
        let (year, month, day) = (1990 + row / 360, 1 + row / 30 % 12, 1 + row % 28);
        let date = match row % 3 {
            2 => "do.".to_owned(),
            _ => format!("{year}-{month:02}-{day:02} 08:{:02}", row % 60),
        };
        format!("{date},{},{},260,55,", 40 + row % 20, 10 + row % 7)
    })
}

fn read(text: &str, threads: bool) -> Log {
    let unit = common::potting_shed();
    let mut options = Options::new(&unit);
    if threads {
        options.both = |first, second| {
            std::thread::scope(|scope| {
                scope.spawn(second);
                first();
            });
        };
    }
    intake::read(text.as_bytes(), &options).unwrap()
}

#[test]
fn regress_two_halves_are_the_rows_one_by_one() {
    let mut text = format!("{HEADINGS}\n");
    for row in rows() {
        // Writing to a text cannot fail.
        let _ = writeln!(text, "{row}");
    }
    for threads in [false, true] {
        let mut readings = read(&text, threads).readings;
        readings.sort_by_key(|reading| reading.line);
        assert_eq!(readings.len(), ROWS as usize);
        let mut day = None;
        for (row, reading) in (0..ROWS).zip(&readings) {
            assert_eq!(reading.line, Some(row + 2));
            let psi = format!("{} psi", 40 + row % 20);
            let pressure = quantity::parse(Kind::Pressure, &psi, &quantity::Context::default()).unwrap();
            assert_eq!(reading.get(Field::InletPressure), Some(pressure.value));
            if row % 3 == 2 {
                assert_eq!(Some(reading.at), day, "line {}", row + 2);
            }
            day = Some(reading.at);
        }
    }
}

#[test]
fn regress_what_is_another_tables_in_the_upper_half_is_so_in_the_lower() {
    let mut text = format!("{HEADINGS}\n");
    for (place, row) in rows().enumerate() {
        if place == 3 {
            // Headings of a table that names no date: its rows cannot be read.
            let _ = writeln!(
                text,
                "Outlet,Inlet psi,RO ppm,Tap ppm,Water temp (F),Feed flow (L/h),Permeate flow (L/h),Notes"
            );
        }
        let _ = writeln!(text, "{row}");
    }
    for threads in [false, true] {
        let log = read(&text, threads);
        assert_eq!(log.readings.len(), 3);
        assert_eq!(log.set_aside.len(), ROWS as usize - 3 + 1);
        let last = log.set_aside.last().unwrap();
        assert_eq!(last.line, ROWS + 2);
        assert_eq!(last.reason, intake::Told::OfAnotherTable { line: 5 });
    }
}
