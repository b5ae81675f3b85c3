//! What is printed, read back by poppler's `pdftotext` and `pdftoppm` (freedesktop.org) and by the QR decoder `rqrr`: none of
//! them shares code with the writer. `cargo xtask test` installs poppler.

use std::path::{Path, PathBuf};
use std::process::Command;

use casefile::{Document, Faults, Table};
use report::{About, HousingLabel, LabelSheet, Labels, Paper, ReportError, UnitLabel};
use service::{Expected, JobCard, Language, Site, Work, customer_card, housing_notes, job_card};
use unit::Unit;

const ADDRESS: &str = "http://127.0.0.1:7380/units/fern-house";

fn unit() -> Unit {
    let file = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../examples/quillmere-fern-house.toml");
    let bytes = std::fs::read(&file).expect("the example");
    let document = Document::read("quillmere-fern-house.toml", &bytes).expect("TOML");
    let faults = Faults::new();
    let top = Table::new(&document.tree, "", &faults);
    let unit = top.required_table("unit", "a unit").and_then(casefile::unit_plan);
    faults.settle("", unit).expect("a unit")
}

fn changed(parts: &[&str]) -> Vec<Work> {
    let change = |part: &&str| Work::Change {
        part: (*part).to_owned(),
    };
    parts.iter().map(change).collect()
}

fn card(unit: &Unit) -> JobCard {
    let site = Site {
        expected: vec![Expected {
            field: "permeate_flow".to_owned(),
            expected: 31.4,
            low: 26.2,
            high: 37.7,
        }],
        ..Site::default()
    };
    let card = job_card(unit, &changed(&["sediment", "carbon", "membrane-1"]), &site).expect("a card");
    card.expecting(&site.expected)
}

fn about(paper: Paper) -> About<'static> {
    About {
        paper,
        language: Language::English,
        name: Some("Fern house (Gärtnerei Müßig)"),
        site: Some("Quillmere, 4 °C in the cellar, hardness ≤ 300 µS/cm"),
        date: Some("2026-11-26"),
        address: Some(ADDRESS),
    }
}

/// Writes a document into a folder of this test's own; kept in `SALTMARK_PRINTED` where that is set, to be looked at.
fn written(name: &str, bytes: &[u8]) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join(name);
    std::fs::write(&file, bytes).expect("written");
    if let Some(keep) = std::env::var_os("SALTMARK_PRINTED") {
        std::fs::write(Path::new(&keep).join(name), bytes).expect("kept");
    }
    (folder, file)
}

fn poppler(program: &str, arguments: &[&str]) -> Vec<u8> {
    let output = Command::new(program).args(arguments).output();
    let output = output.unwrap_or_else(|error| panic!("{program} (Debian: poppler-utils): {error}"));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{program}: {said}");
    // pdfinfo before version 23 takes a boolean there for an error, which the standard (ISO 32000-1, table 321) asks for.
    let said = said.replace("Syntax Error: Suspects object is wrong type (boolean)", "");
    assert!(!said.contains("Error"), "{program}: {said}");
    output.stdout
}

/// The words of a document, all white space as one blank.
fn text(file: &Path) -> String {
    let found = poppler("pdftotext", &["-raw", file.to_str().expect("a name"), "-"]);
    let found = String::from_utf8(found).expect("UTF-8");
    found.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What the QR codes of the first page say, as a camera sees them at 150 dots per inch.
fn codes(file: &Path) -> Vec<String> {
    let picture = poppler(
        "pdftoppm",
        &[
            "-r",
            "150",
            "-gray",
            "-f",
            "1",
            "-l",
            "1",
            file.to_str().expect("a name"),
        ],
    );
    // Portable grey map (netpbm): "P5", width, height, 255, one byte per pixel.
    let mut fields = picture.splitn(4, u8::is_ascii_whitespace);
    let mut number = || -> usize {
        let field = fields.next().expect("a header");
        String::from_utf8_lossy(field)
            .trim_start_matches('P')
            .parse()
            .expect("a number")
    };
    assert_eq!(number(), 5);
    let (width, height) = (number(), number());
    let pixels = fields
        .next()
        .and_then(|rest| rest.strip_prefix(b"255\n"))
        .expect("pixels");
    assert_eq!(pixels.len(), width * height);
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(width, height, |x, y| pixels[y * width + x]);
    let grids = image.detect_grids();
    grids
        .iter()
        .map(|grid| grid.decode().expect("a code").1)
        .collect()
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_card_is_read_back_whole_and_in_order() {
    let unit = unit();
    let card = card(&unit);
    for paper in [Paper::A4, Paper::Letter] {
        let bytes = report::job_card(&card, &about(paper)).expect("a document");
        let (_folder, file) = written(&format!("card-{}.pdf", paper.name()), &bytes);
        let read = text(&file);
        let mut at = 0;
        let steps = card.steps.iter().map(|step| &step.text);
        for sentence in card.cautions.iter().chain(&card.tools).chain(steps) {
            // A page's foot may stand between two sentences, never in one.
            let found = read[at..].find(&one_line(sentence));
            at += found.unwrap_or_else(|| panic!("{sentence:?} is not read after {:?}", &read[..at]));
        }
        for step in &card.steps {
            let told = [Some(&step.why), step.check.as_ref(), step.caution.as_ref()];
            for sentence in told.into_iter().flatten() {
                assert!(read.contains(&one_line(sentence)), "{sentence:?}");
            }
        }
        assert!(read.contains("Fern house (Gärtnerei Müßig)"), "{read}");
        assert!(
            read.contains("4 °C in the cellar, hardness ≤ 300 µS/cm"),
            "{read}"
        );
        assert!(read.contains("Permeate flow") && read.contains("31.4"), "{read}");
        assert_eq!(codes(&file), [ADDRESS]);
        let again = report::job_card(&card, &about(paper)).expect("a document");
        assert!(bytes == again, "the same card gives other bytes");
    }
}

#[test]
fn a_german_card_is_german_to_its_foot() {
    let unit = unit();
    let site = Site {
        language: Language::German,
        ..Site::default()
    };
    let card = job_card(&unit, &changed(&["sediment", "carbon", "membrane-1"]), &site).expect("a card");
    let about = About {
        language: Language::German,
        site: Some("Quillmere, Keller"),
        ..about(Paper::A4)
    };
    let bytes = report::job_card(&card, &about).expect("a document");
    let (_folder, file) = written("card-de.pdf", &bytes);
    let read = text(&file);
    for step in &card.steps {
        for sentence in [&step.text, &step.why] {
            assert!(read.contains(&one_line(sentence)), "{sentence:?}");
        }
    }
    for said in [
        "Arbeitskarte",
        "Bevor Sie beginnen",
        "Bereitlegen",
        "Absperren",
        "Unterschriften",
        "Seite 1 von",
    ] {
        assert!(read.contains(said), "{said:?} is not in {read}");
    }
    for english in [
        "Why", "See:", "Caution", "Before", "Date", "expected", "page", "Customer", " the ",
    ] {
        assert!(!read.contains(english), "{english:?} is in {read}");
    }
}

#[test]
fn papers_have_the_sizes_of_their_standards() {
    let unit = unit();
    for (paper, size) in [
        (Paper::A4, "595.276 x 841.89 pts (A4)"),
        (Paper::Letter, "612 x 792 pts (letter)"),
    ] {
        let bytes = report::job_card(&card(&unit), &about(paper)).expect("a document");
        let (_folder, file) = written("size.pdf", &bytes);
        let said = poppler("pdfinfo", &[file.to_str().expect("a name")]);
        let said = String::from_utf8_lossy(&said).into_owned();
        assert!(said.contains(size), "{said}");
        assert!(said.contains("Tagged:          yes"), "{said}");
    }
}

#[test]
fn a_customer_gets_the_plain_card() {
    let mut unit = unit();
    unit.stages
        .retain(|stage| !matches!(stage.kind, unit::StageKind::Pump { .. }));
    let card = customer_card(&unit, &changed(&["sediment", "carbon"]), &Site::default()).expect("a card");
    let bytes = report::customer_card(&card, &about(Paper::A4)).expect("a document");
    let (_folder, file) = written("customer.pdf", &bytes);
    let read = text(&file);
    for sentence in card
        .cautions
        .iter()
        .chain([&card.call])
        .chain(card.steps.iter().map(|step| &step.text))
    {
        assert!(read.contains(&one_line(sentence)), "{sentence:?}");
    }
    assert_eq!(codes(&file), [ADDRESS]);
}

fn labels(sheet: LabelSheet) -> Labels {
    let unit = unit();
    let notes = housing_notes(&unit, &[], &Site::default()).expect("notes");
    Labels {
        language: Language::English,
        sheet,
        skip: 0,
        edges: true,
        unit: Some(UnitLabel {
            name: "Fern house".to_owned(),
            id: unit.id.clone(),
            site: Some("Quillmere valley".to_owned()),
            contact: None,
            address: ADDRESS.to_owned(),
        }),
        housings: notes
            .into_iter()
            .map(|note| HousingLabel {
                unit: "Fern house".to_owned(),
                part: note.part,
                what: note.what,
                before: note.before,
                after: note.after,
                since: Some("2026-11-26".to_owned()),
                due: None,
            })
            .collect(),
    }
}

#[test]
fn labels_say_all_or_are_refused() {
    let mut fitted = 0;
    for sheet in LabelSheet::ALL {
        let asked = labels(sheet);
        let bytes = match report::labels(&asked) {
            Ok(bytes) => bytes,
            Err(ReportError::NoRoom { label, .. }) => {
                assert_eq!(label, sheet.name);
                continue;
            }
            Err(error) => panic!("{error}"),
        };
        fitted += 1;
        let (_folder, file) = written(&format!("labels-{}.pdf", sheet.name), &bytes);
        let read = text(&file);
        for label in &asked.housings {
            for sentence in label.before.iter().chain(&label.after).chain([&label.what]) {
                assert!(
                    read.contains(&one_line(sentence)),
                    "{}: {sentence:?} in {read}",
                    sheet.name
                );
            }
        }
        assert!(
            read.contains("until clear: nothing of it may reach a membrane"),
            "{read}"
        );
        assert_eq!(codes(&file), [ADDRESS]);
    }
    assert!(
        fitted >= 3,
        "{fitted} sheets have room for the labels of a usual unit"
    );
    let mut asked = labels(LabelSheet::ALL[0]);
    asked.skip = 8;
    assert!(matches!(
        report::labels(&asked),
        Err(ReportError::Skip { count: 8, .. })
    ));
}

#[test]
fn an_address_that_no_phone_would_read_is_refused() {
    let long = format!("http://127.0.0.1/{}", "a".repeat(300));
    let mut about = about(Paper::A4);
    about.address = Some(&long);
    let refused = report::job_card(&card(&unit()), &about);
    assert!(matches!(refused, Err(ReportError::Address { length: 317, .. })));
}
