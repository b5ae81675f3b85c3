//! Whatever the bytes, there is a log or an error.

mod common;

use common::potting_shed;
use intake::{Mapping, Options};
use proptest::prelude::*;

/// Pieces of logs: headings, values, marks, odd characters.
fn pieces() -> impl Strategy<Value = String> {
    let pieces = [
        "Date",
        "Time",
        "Inlet psi",
        "Feed ppm",
        "RO ppm",
        "500 mL in (sec)",
        "Notes",
        "Temp",
        "Datum",
        "Presión bar",
        "Cl2 out",
        "Membrane 2 uS",
        "Total gal",
        ",",
        ";",
        "\t",
        "|",
        "\n",
        "\r\n",
        "\r",
        "\"",
        "'",
        "1/8/2024",
        "08.01.24",
        "2024-01-08T09:30",
        "45299.4",
        "8:00 AM",
        "58",
        "5,2",
        "1.099",
        "1,234",
        "6.8",
        "?",
        "-",
        "<0,05",
        "58 psi",
        "1:11",
        "changed sediment filter",
        "Membranwechsel",
        "not",
        " ",
        "\u{a0}",
        "\u{2009}",
        "\u{feff}",
        "µ",
        "°",
        "²",
        "é",
        "\u{301}",
        "=",
        "sep=;",
        "Average",
        "\0",
        "\u{1}",
        "ẞ",
        "İ",
        "𝟙",
        "％",
        "99999999999999999999",
        "1e308",
        "-0",
        "31/31/3131",
        "{",
        "[",
        "(",
        "9999-99-99",
        "24:60",
    ];
    proptest::collection::vec(proptest::sample::select(pieces.to_vec()), 0..80)
        .prop_map(|parts| parts.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn prop_any_bytes_are_a_log_or_an_error(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let unit = potting_shed();
        if let Err(error) = intake::read(&bytes, &Options::new(&unit)) {
            prop_assert!(!error.to_string().is_empty());
        }
    }

    #[test]
    fn prop_every_row_is_read_or_set_aside(body in pieces()) {
        let unit = potting_shed();
        let text = format!("Date,Inlet psi,Tap ppm,RO ppm,500 mL in (sec),Notes\n2024-01-08,58,287,12,57,\n{body}");
        if let Ok(log) = intake::read(text.as_bytes(), &Options::new(&unit)) {
            for reading in &log.readings {
                for field in reading::Field::ALL {
                    prop_assert!(reading.get(*field).is_none_or(f64::is_finite));
                }
            }
            let mut lines: Vec<u32> = log.readings.iter().filter_map(|reading| reading.line).collect();
            lines.extend(log.set_aside.iter().map(|row| row.line));
            lines.sort_unstable();
            let all = lines.len();
            lines.dedup();
            prop_assert_eq!(all, lines.len(), "no row is both");
        }
    }

    #[test]
    fn prop_pieces_of_logs_never_panic(text in pieces(), utf16 in any::<bool>()) {
        let unit = potting_shed();
        let bytes: Vec<u8> =
            if utf16 { text.encode_utf16().flat_map(u16::to_le_bytes).collect() } else { text.into_bytes() };
        let _ = intake::read(&bytes, &Options::new(&unit));
    }

    #[test]
    fn prop_any_mapping_is_one_or_an_error(text in ".{0,120}", table in pieces()) {
        let _ = Mapping::parse(&text);
        let _ = Mapping::parse(&format!("[columns]\n\"A\" = \"{table}\""));
    }

    #[test]
    fn prop_a_damaged_workbook_is_a_log_or_an_error(at in 0..6322_usize, byte in any::<u8>(), other in 0..6322_usize) {
        let unit = potting_shed();
        let mut bytes = include_bytes!("../../../reference/field-logs/c-salt-barn.xlsx").to_vec();
        for place in [at, other] {
            if let Some(slot) = bytes.get_mut(place) {
                *slot = byte;
            }
        }
        let _ = intake::read(&bytes, &Options::new(&unit));
    }
}
