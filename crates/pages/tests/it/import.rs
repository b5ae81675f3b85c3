//! Records brought in: looked over, kept once, columns chosen.

use crate::html;
use crate::messages::messages;
use crate::site::{Site, text};

const ADDRESS: &str = "/units/fern-house/import";

/// A log as someone keeps it (invented): semicolons, decimal comma, day first, one row that cannot be read.
const LOG: &str = "Datum;Zulauf Temp (C);Eingangsdruck bar;Permeat L/h;Permeat uS/cm;Notiz\r\n\
    03.11.2026;9,5;3,6;31,5;22;\r\n\
    10.11.2026;9,0;3,6;31,0;23;Sedimentfilter gewechselt\r\n\
    irgendwann;8,8;3,6;30,8;23;\r\n\
    17.11.2026;8,5;3,5;30,1;24;\r\n";

/// A form with these fields and this file, as a browser sends it (RFC 7578).
fn multipart(fields: &[(String, String)], file: Option<(&str, &[u8])>) -> (String, Vec<u8>) {
    let mut body = Vec::new();
    for (name, value) in fields {
        let part = format!("--mark\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n");
        body.extend_from_slice(part.as_bytes());
    }
    if let Some((name, bytes)) = file {
        let head = format!(
            "--mark\r\nContent-Disposition: form-data; name=\"log\"; filename=\"{name}\"\r\nContent-Type: text/csv\r\n\r\n"
        );
        body.extend_from_slice(head.as_bytes());
        body.extend_from_slice(bytes);
        body.extend_from_slice(b"\r\n");
    }
    body.extend_from_slice(b"--mark--\r\n");
    ("multipart/form-data; boundary=mark".to_owned(), body)
}

fn pair(name: &str, value: &str) -> (String, String) {
    (name.to_owned(), value.to_owned())
}

fn send(site: &Site, fields: &[(String, String)], file: Option<(&str, &[u8])>) -> pages::Response {
    let (content_type, body) = multipart(fields, file);
    site.post(ADDRESS, &content_type, &body)
}

#[test]
fn regress_a_log_is_looked_over_kept_and_not_kept_twice() {
    let mut site = Site::quillmere();
    let looked = send(
        &site,
        &[pair("do", "look")],
        Some(("a/b\\november.csv", LOG.as_bytes())),
    );
    let page = text(&looked);
    assert_eq!(looked.status, 200, "{page}");
    assert!(looked.entries.is_empty(), "looking over writes nothing");
    html::check(ADDRESS, &page);
    assert!(
        page.contains("3 readings and one event would be added; one row would be kept as it stands"),
        "{page}"
    );
    assert!(
        page.contains("<h2>november.csv</h2>") && page.contains("Line 4:"),
        "{page}"
    );

    // The page itself carries the log on: without script, and without choosing the file again.
    let mut fields = html::fields(&page);
    fields.push(pair("do", "keep"));
    let before = site.state.len();
    let kept = send(&site, &fields, None);
    assert_eq!(kept.status, 303, "{}", text(&kept));
    site.state.extend(kept.entries);
    // Three readings, one event, one row set aside, the import itself.
    assert_eq!(site.state.len(), before + 6);

    let again = send(
        &site,
        &[pair("do", "keep")],
        Some(("other-name.csv", LOG.as_bytes())),
    );
    assert_eq!(again.status, 303);
    assert!(
        again.entries.is_empty(),
        "the same log adds nothing: {:?}",
        again.entries
    );
    let page = text(&send(
        &site,
        &[pair("do", "look")],
        Some(("n.csv", LOG.as_bytes())),
    ));
    assert!(
        page.contains("There is nothing new in it") && !page.contains("value=\"keep\""),
        "{page}"
    );
}

#[test]
fn regress_a_column_is_chosen_where_its_heading_does_not_say() {
    let site = Site::quillmere();
    let log = "When,A,B\n2026-11-03,33,20\n2026-11-10,32,21\n2026-11-17,31,22\n";
    let first = send(&site, &[pair("pasted", log), pair("do", "look")], None);
    let page = text(&first);
    html::check(ADDRESS, &page);
    let mut fields = html::fields(&page);
    let place = |heading: &str| {
        let found = fields
            .iter()
            .find(|(name, value)| name.starts_with("heading.") && value == heading);
        found
            .unwrap_or_else(|| panic!("{heading}: {page}"))
            .0
            .replace("heading.", "")
    };
    let (when, a, b) = (place("When"), place("A"), place("B"));
    for (name, value) in [
        (format!("column.{when}"), "date"),
        (format!("column.{a}"), "permeate_flow"),
        (format!("unit.{a}"), "L/h"),
        (format!("column.{b}"), "permeate_conductivity"),
    ] {
        fields.retain(|(other, _)| *other != name);
        fields.push((name, value.to_owned()));
    }
    fields.push(pair("do", "look"));
    let second = send(&site, &fields, None);
    let page = text(&second);
    assert_eq!(second.status, 200, "{page}");
    html::check(ADDRESS, &page);
    assert!(page.contains("3 readings"), "{page}");
    let mut fields = html::fields(&page);
    fields.push(pair("do", "keep"));
    let kept = send(&site, &fields, None);
    assert_eq!(kept.status, 303, "the choice is still there: {}", text(&kept));
    assert_eq!(kept.entries.len(), 4);
}

#[test]
fn regress_what_is_no_log_is_refused_beside_the_field() {
    let site = Site::quillmere();
    let large = vec![b'a'; pages::LARGEST_CONTENT + 1];
    let wrong: [(&str, &[u8]); 5] = [
        ("photo.jpg", b"\xFF\xD8\xFF\xE0 no table"),
        ("empty.csv", b""),
        ("program", b"\x7FELF\0\0"),
        ("letter.txt", b"Dear all, the water is fine."),
        ("large.csv", &large),
    ];
    for (name, bytes) in wrong {
        let response = send(&site, &[pair("do", "keep")], Some((name, bytes)));
        let page = text(&response);
        assert_eq!(response.status, 422, "{name}");
        assert!(response.entries.is_empty());
        assert!(page.contains("id=\"f-log-error\""), "{name}: {page}");
        html::check(name, &page);
    }
}

/// A log in which much has to be taken for granted and much cannot be read.
const UNTIDY: &str = "When,Pressure,TDS,Temp F,500 mL in (sec),Frobs,Notes\n\
    03/11/2026,58,12,50,sixty,1,\n\
    ,,,,,,changed the filter\n\
    no day,57,12,51,71,2,\n\
    04/11/2026,fifty,13,52,72,3,changed a filter\n\
    Average,57,12,51,71,2,\n\
    05/11/2026,,,,,,\n\
    06/11/2026,57 furlongs,12,51,71,2,\n";

#[test]
fn regress_a_german_page_tells_of_a_log_in_german() {
    let mut site = Site::quillmere();
    let looked = |site: &Site| {
        text(&send(
            site,
            &[pair("do", "look")],
            Some(("untidy.csv", UNTIDY.as_bytes())),
        ))
    };
    let english = looked(&site);
    site.language = "de";
    let german = looked(&site);
    let (from, to) = (messages("en"), messages("de"));
    // The words of a message around what is put into it.
    let parts = |text: &str| -> Vec<String> {
        let outside = text.split(['{', '}']).step_by(2);
        let words = outside.map(|words| words.trim().to_owned());
        words.filter(|words| words.len() > 8).collect()
    };
    let mut told = 0;
    for key in from.keys().filter(|key| key.starts_with("told-")) {
        let (in_english, in_german) = (parts(&from[key]), parts(&to[key]));
        let says =
            |page: &str, parts: &[String]| !parts.is_empty() && parts.iter().all(|part| page.contains(part));
        if says(&english, &in_english) {
            told += 1;
            assert!(says(&german, &in_german), "{key}: {german}");
        }
        assert!(!says(&german, &in_english), "{key} is English: {german}");
    }
    assert!(told >= 8, "{told} things are told: {english}");
    assert!(!german.contains("lang=\"en\""), "{german}");
}
