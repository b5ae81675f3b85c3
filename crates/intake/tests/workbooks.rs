//! Workbooks with what people put into them: titles over merged cells, formulas, times typed as minutes and seconds,
//! several sheets. Invented, and written here by another library than the one that reads them.

mod common;

use common::{GPD, PSI, field_of, potting_shed};
use intake::{Error, Log, Options};
use reading::{EventKind, Field};
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook, Worksheet, XlsxError};

/// The order of operations may round a value once or twice otherwise.
const ROUNDING: f64 = 1e-14;

#[track_caller]
fn value(log: &Log, line: u32, field: Field, expected: f64) {
    let reading = log.readings.iter().find(|reading| reading.line == Some(line));
    let got = reading.and_then(|reading| reading.get(field));
    assert!(
        got.is_some_and(|got| (got - expected).abs() <= ROUNDING * expected.abs()),
        "row {line}, {}: {got:?} instead of {expected}",
        field.name()
    );
}

fn headings(sheet: &mut Worksheet, row: u32, headings: &[&str]) -> Result<(), XlsxError> {
    for (column, heading) in (0..).zip(headings) {
        sheet.write(row, column, *heading)?;
    }
    Ok(())
}

fn date(text: &str) -> Result<ExcelDateTime, XlsxError> {
    ExcelDateTime::parse_from_str(text)
}

/// A sheet with a merged title, groups over merged cells, a date for two rows, formulas and bucket times.
fn untidy(sheet: &mut Worksheet) -> Result<(), XlsxError> {
    let plain = Format::new();
    let day = Format::new().set_num_format("dd/mm/yyyy");
    let clock = Format::new().set_num_format("hh:mm");
    sheet.merge_range(0, 0, 0, 9, "North glasshouse - RO readings", &plain)?;
    sheet.merge_range(1, 0, 1, 9, "change sediment filter when drop > 10 psi", &plain)?;
    sheet.merge_range(3, 2, 3, 3, "Pressure (psi)", &plain)?;
    sheet.merge_range(3, 4, 3, 5, "TDS (ppm)", &plain)?;
    headings(
        sheet,
        4,
        &[
            "Date",
            "Time",
            "In",
            "Membrane",
            "Feed",
            "Permeate",
            "Permeate gpd",
            "1 L drain in (min:sec)",
            "Rejection %",
            "Remarks",
        ],
    )?;
    sheet.merge_range_with_date(5, 0, 6, 0)?;
    sheet.write_with_format(5, 0, &date("2024-01-08")?, &day)?;
    for (row, time) in [(5, "09:30"), (6, "14:00"), (7, "10:15")] {
        sheet.write_with_format(row, 1, &date(time)?, &clock)?;
        sheet.write(row, 2, 58)?;
        sheet.write_formula(row, 3, Formula::new("=C6-2").set_result("56"))?;
        sheet.write(row, 4, 287)?;
        sheet.write(row, 5, 12)?;
        sheet.write(row, 6, 150.5)?;
        sheet.write_with_format(row, 7, &date("1:14")?, &clock)?;
        sheet.write_formula(row, 8, Formula::new("=100*(1-F6/E6)").set_result("95.8"))?;
    }
    sheet.write_with_format(7, 0, &date("2024-02-05")?, &day)?;
    sheet.write_formula(7, 4, Formula::new("=1/0").set_result("#DIV/0!"))?;
    sheet.write(7, 9, "changed sediment filter")?;
    sheet.merge_range(8, 3, 8, 9, "away two weeks", &plain)?;
    sheet.write(9, 0, "Average")?;
    sheet.write_formula(9, 2, Formula::new("=AVERAGE(C6:C8)").set_result("58"))?;
    Ok(())
}

trait MergeDate {
    fn merge_range_with_date(
        &mut self,
        top: u32,
        left: u16,
        bottom: u32,
        right: u16,
    ) -> Result<(), XlsxError>;
}

impl MergeDate for Worksheet {
    fn merge_range_with_date(
        &mut self,
        top: u32,
        left: u16,
        bottom: u32,
        right: u16,
    ) -> Result<(), XlsxError> {
        self.merge_range(top, left, bottom, right, "", &Format::new())
            .map(|_| ())
    }
}

type Fill = fn(&mut Worksheet) -> Result<(), XlsxError>;

fn workbook(sheets: &[(&str, Fill)]) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    for (name, write) in sheets {
        let sheet = book.add_worksheet();
        sheet.set_name(*name)?;
        write(sheet)?;
    }
    book.save_to_buffer()
}

fn prices(sheet: &mut Worksheet) -> Result<(), XlsxError> {
    headings(sheet, 0, &["Part", "Price", "Supplier"])?;
    headings(sheet, 1, &["sediment filter", "4.20", "-"])
}

fn short(sheet: &mut Worksheet) -> Result<(), XlsxError> {
    headings(
        sheet,
        0,
        &[
            "Date",
            "Inlet psi",
            "Tap ppm",
            "RO ppm",
            "Product gpd",
            "Reject gpd",
        ],
    )?;
    sheet.write(1, 0, 45_299.395_833_333_34)?;
    sheet.write(2, 0, "15/01/2024 9:30")?;
    for row in [1, 2] {
        for (column, number) in (1..).zip([58, 287, 12, 150, 300]) {
            sheet.write(row, column, number)?;
        }
    }
    Ok(())
}

#[test]
fn merged_cells_formulas_and_minutes() -> Result<(), XlsxError> {
    let bytes = workbook(&[("prices", prices), ("readings", untidy)])?;
    let unit = potting_shed();
    let log = intake::read(&bytes, &Options::new(&unit)).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(log.habits.sheet.as_deref(), Some("readings"));
    assert_eq!(log.habits.header_line, 5);
    assert_eq!(field_of(&log, "Pressure (psi) Membrane"), "membrane_pressure");
    assert_eq!(field_of(&log, "TDS (ppm) Permeate"), "permeate_conductivity");
    assert_eq!(field_of(&log, "Rejection %"), "");
    let times: Vec<_> = log
        .readings
        .iter()
        .map(|reading| (reading.line, reading.at.to_string()))
        .collect();
    assert_eq!(
        times,
        [
            (Some(6), "2024-01-08T09:30:00Z".to_owned()),
            (Some(7), "2024-01-08T14:00:00Z".to_owned()),
            (Some(8), "2024-02-05T10:15:00Z".to_owned()),
        ]
    );
    value(&log, 7, Field::InletPressure, 58.0 * PSI);
    // The formula's stored result.
    value(&log, 7, Field::MembranePressure, 56.0 * PSI);
    value(&log, 7, Field::PermeateFlow, 150.5 * GPD);
    value(&log, 7, Field::ConcentrateFlow, 3600.0 / 74.0);
    assert!(
        log.assumed
            .iter()
            .map(ToString::to_string)
            .any(|sentence| sentence.contains("minutes and seconds")),
        "{:?}",
        log.assumed
    );
    let notes: Vec<_> = log
        .cell_notes
        .iter()
        .map(|n| (n.line, n.field.as_str(), n.text.as_str()))
        .collect();
    assert_eq!(notes, [(8, "feed_conductivity", "#DIV/0!")]);
    let events: Vec<_> = log
        .events
        .iter()
        .map(|event| (event.line, event.kind, event.part.as_deref()))
        .collect();
    assert_eq!(events, [(Some(8), EventKind::Changed, Some("sediment"))]);
    let aside: Vec<_> = log
        .set_aside
        .iter()
        .map(|row| (row.line, &*row.reason.to_string().leak()))
        .collect();
    assert_eq!(
        aside,
        [
            (9, "only a remark"),
            (10, "a summary of other rows, not a reading")
        ]
    );
    Ok(())
}

#[test]
fn serial_numbers_and_text_dates() -> Result<(), XlsxError> {
    let bytes = workbook(&[("log", short)])?;
    let unit = potting_shed();
    let log = intake::read(&bytes, &Options::new(&unit)).unwrap_or_else(|error| panic!("{error}"));
    let times: Vec<_> = log
        .readings
        .iter()
        .map(|reading| reading.at.to_string())
        .collect();
    assert_eq!(times, ["2024-01-08T09:30:00Z", "2024-01-15T09:30:00Z"]);
    Ok(())
}

#[test]
fn the_sheet_can_be_named() -> Result<(), XlsxError> {
    let bytes = workbook(&[("2023", short), ("2024", untidy), ("prices", prices)])?;
    let unit = potting_shed();
    let log = intake::read(&bytes, &Options::new(&unit)).unwrap_or_else(|error| panic!("{error}"));
    assert!(
        log.assumed
            .iter()
            .map(ToString::to_string)
            .any(|sentence| sentence.contains("look like logs too")),
        "{:?}",
        log.assumed
    );
    let named = |name: &str| {
        intake::read(
            &bytes,
            &Options {
                sheet: Some(name.to_owned()),
                ..Options::new(&unit)
            },
        )
    };
    assert_eq!(named("2023").map(|log| log.readings.len()), Ok(2));
    assert_eq!(
        named("2022").err(),
        Some(Error::NoSheet {
            wanted: "2022".to_owned(),
            found: vec!["2023".to_owned(), "2024".to_owned(), "prices".to_owned()]
        })
    );
    assert!(matches!(named("prices").err(), Some(Error::NoHeadings { .. })));
    Ok(())
}

#[test]
fn a_cell_in_the_last_corner_costs_nothing() -> Result<(), XlsxError> {
    let bytes = workbook(&[("log", |sheet| {
        short(sheet)?;
        sheet.write(1_048_575, 16_383, "stray")?;
        sheet.write(1_048_575, 3, "stray")?;
        Ok(())
    })])?;
    let unit = potting_shed();
    let log = intake::read(&bytes, &Options::new(&unit)).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(log.readings.len(), 2);
    Ok(())
}

#[test]
fn a_cut_workbook_is_an_error() -> Result<(), XlsxError> {
    let bytes = workbook(&[("log", untidy)])?;
    let unit = potting_shed();
    for keep in (0..bytes.len()).step_by(97) {
        let cut = bytes.get(..keep).unwrap_or(&[]);
        assert!(intake::read(cut, &Options::new(&unit)).is_err(), "{keep} bytes");
    }
    Ok(())
}
