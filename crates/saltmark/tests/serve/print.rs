//! Cards and labels by a link of the pages: a PDF, in the reader's language, or the page that says why there is none.

use std::process::Command;

use crate::browser::{Server, program};

/// The words of a PDF, all white space as one blank.
fn words(bytes: &[u8]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("printed.pdf");
    std::fs::write(&file, bytes).unwrap();
    let output = Command::new("pdftotext").arg("-raw").arg(&file).arg("-").output();
    let output = output.expect("pdftotext (Debian: poppler-utils)");
    assert!(output.status.success());
    let text = String::from_utf8(output.stdout).unwrap();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

struct Yard {
    server: Server,
    _folder: tempfile::TempDir,
}

impl Yard {
    /// A server over the demonstration ledger (simulated).
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let ledger = folder.path().join("demo.db");
        let made = program()
            .args(["demo", "--ledger"])
            .arg(&ledger)
            .output()
            .unwrap();
        assert!(made.status.success());
        Self {
            server: Server::start(&ledger),
            _folder: folder,
        }
    }

    fn get(&self, address: &str, language: &str) -> (u16, String, Vec<u8>) {
        let request = format!("GET {address}\naccept-language: {language}");
        self.server.ask(&request, b"").unwrap()
    }

    fn pdf(&self, address: &str, language: &str) -> String {
        let (status, head, body) = self.get(address, language);
        assert_eq!(status, 200, "{address}: {}", String::from_utf8_lossy(&body));
        assert!(head.contains("content-type: application/pdf"), "{head}");
        assert!(head.contains(".pdf\""), "{head}");
        words(&body)
    }

    fn page(&self, address: &str, status: u16) -> String {
        let (found, head, body) = self.get(address, "en");
        let body = String::from_utf8(body).unwrap();
        assert_eq!(found, status, "{address}: {body}");
        assert!(head.contains("content-type: text/html"), "{head}");
        body
    }
}

#[test]
fn regress_what_a_page_links_to_is_printed() {
    let yard = Yard::new();
    let card = yard.pdf("/print/card/fern-house?w=change%3Acarbon&paper=a4", "en");
    for said in [
        "Job card",
        "Fern house",
        "Before you begin",
        "Close the inlet valve.",
        "Permeate flow",
        "units/fern-house",
    ] {
        assert!(card.contains(said), "{said:?} is not in {card}");
    }
    let german = yard.pdf("/print/card/fern-house?w=change%3Acarbon&paper=letter", "de");
    for said in [
        "Arbeitskarte",
        "Bevor Sie beginnen",
        "Warum:",
        "Permeatstrom",
        "Seite 1 von",
    ] {
        assert!(german.contains(said), "{said:?} is not in {german}");
    }
    for said in ["Why:", "Before", "Caution", "page 1"] {
        assert!(!german.contains(said), "{said:?} is in {german}");
    }
    // What the pages offer is what the printer has: every sheet on the page of labels, for the unit's own label.
    let labels = yard.page("/units/fern-house/labels", 200);
    let mut sheets = 0;
    for (paper, form) in ["a4", "letter"].into_iter().zip(labels.split("<form").skip(1)) {
        assert!(form.contains(&format!("value=\"{paper}\"")), "{form}");
        for size in form.split("name=\"size\" value=\"").skip(1) {
            let size = size.split('"').next().unwrap();
            let own = format!("/print/labels/fern-house?paper={paper}&size={size}&own=yes");
            assert!(yard.pdf(&own, "en").contains("Fern house"), "{own}");
            sheets += 1;
        }
    }
    assert_eq!(sheets, 6);
    let all =
        "/print/labels/fern-house?paper=a4&size=99x68&own=yes&part=carbon&part=membrane-1&skip=2&edges=yes";
    let printed = yard.pdf(all, "en");
    assert!(
        printed.contains("until clear") && printed.contains("In since"),
        "{printed}"
    );
    assert!(yard.pdf(all, "de").contains("Vor dem Öffnen:"));
}

#[test]
fn regress_what_cannot_be_printed_says_why() {
    let yard = Yard::new();
    let small = "/print/labels/fern-house?paper=a4&size=63x38&part=membrane-1";
    let said = yard.page(small, 422);
    assert!(
        said.contains("no room") && said.contains("99 \u{d7} 68 a4"),
        "{said}"
    );
    for wrong in ["paper=a3", "size=10x10", "size=99x68&skip=8"] {
        let said = yard.page(&format!("/print/labels/fern-house?own=yes&{wrong}"), 422);
        assert!(said.contains("no such paper or sheet"), "{said}");
    }
    // A unit with a pump is not for a customer, and membranes are not either.
    let said = yard.page("/print/customer/fern-house?w=change%3Amembrane-1", 422);
    assert!(said.contains("membrane-1") && said.contains("booster"), "{said}");
    yard.page("/print/card/fern-house?w=change%3Anothing", 422);
    yard.page("/print/card/nowhere?w=change%3Acarbon", 404);
    yard.page("/print/poster/fern-house", 404);
}
