//! How fast logs of 10 000 and of 1 000 000 rows are read: `cargo bench -p intake`.
//!
//! Rows are simulated: the same week over and over, in the habit of a log with buckets and a 12-hour clock.

#[path = "../tests/common/mod.rs"]
mod common;

use std::fmt::Write as _;
use std::time::Instant;

fn log(rows: u32) -> String {
    let mut text = "Date,Time,Water temp (F),Inlet psi,After filters psi,Tap ppm,RO ppm,500 mL in (sec),Drain 1 L in (sec),Notes\n".to_owned();
    for row in 0..rows {
        let (day, month, year) = (1 + row % 28, 1 + row / 28 % 12, 1990 + row / 336 % 40);
        let note = if row % 500 == 0 {
            "changed sediment filter"
        } else {
            ""
        };
        // Writing to a text cannot fail.
        let _ = writeln!(
            text,
            "{month:02}/{day:02}/{year},{}:{:02} AM,{},58,{}.5,{},12,{}.2,74,{note}",
            1 + row % 11,
            row % 60,
            45 + row % 20,
            54 + row % 4,
            260 + row % 30,
            40 + row % 30,
        );
    }
    text
}

#[expect(clippy::print_stdout, reason = "a benchmark prints what it measures")]
fn main() {
    let unit = common::potting_shed();
    for rows in [10_000, 1_000_000] {
        let text = log(rows);
        let start = Instant::now();
        let read = intake::read(text.as_bytes(), &intake::Options::new(&unit));
        let seconds = start.elapsed().as_secs_f64();
        let found = read.as_ref().map_or(0, |log| log.readings.len());
        println!(
            "{rows} rows ({} MB): {found} readings in {seconds:.3} s",
            text.len() / 1_000_000
        );
    }
}
