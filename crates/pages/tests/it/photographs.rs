//! Photographs: attached to what is written down, kept by their content, shown with it.

use ledger::{ContentHash, Payload};

use crate::html;
use crate::site::{Site, text};

/// The beginning of a JPEG picture (ITU-T T.81 B.2), and something after it.
const JPEG: &[u8] = b"\xFF\xD8\xFF\xE0 a gauge\r\n--mark seen from near";

fn multipart(fields: &[(&str, &str)], files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut body = Vec::new();
    for (name, value) in fields {
        let part = format!("--mark\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n");
        body.extend_from_slice(part.as_bytes());
    }
    for (name, bytes) in files {
        let head =
            format!("--mark\r\nContent-Disposition: form-data; name=\"photo\"; filename=\"{name}\"\r\n\r\n");
        body.extend_from_slice(head.as_bytes());
        body.extend_from_slice(bytes);
        body.extend_from_slice(b"\r\n");
    }
    body.extend_from_slice(b"--mark--\r\n");
    body
}

fn send(site: &Site, address: &str, fields: &[(&str, &str)], files: &[(&str, &[u8])]) -> pages::Response {
    let body = multipart(fields, files);
    site.post(address, "multipart/form-data; boundary=mark", &body)
}

const READING: [(&str, &str); 2] = [("at", "2026-11-20T09:30"), ("permeate_flow", "30 L/h")];

#[test]
fn regress_a_photograph_is_kept_with_its_reading_and_shown_there() {
    let mut site = Site::quillmere();
    let photo = JPEG.to_vec();
    let plain = &photo
        .iter()
        .copied()
        .filter(|byte| *byte != b'\r')
        .collect::<Vec<_>>();
    let response = send(
        &site,
        "/units/fern-house/readings/new",
        &READING,
        &[("IMG 1.jpg", plain)],
    );
    assert_eq!(response.status, 303, "{}", text(&response));
    assert_eq!(response.attachments, vec![plain.clone()]);
    let [reading, paper] = response.entries.as_slice() else {
        panic!("{:?}", response.entries)
    };
    let Ok(Payload::Attachment(about)) = paper.payload.decode() else {
        panic!("{paper:?}")
    };
    assert_eq!(about.entry, Some(reading.id));
    assert_eq!(about.hash, ContentHash::of(plain));
    assert_eq!(
        (about.media_type.as_str(), about.size),
        ("image/jpeg", plain.len() as u64)
    );
    let again = send(
        &site,
        "/units/fern-house/readings/new",
        &READING,
        &[("IMG 1.jpg", plain)],
    );
    assert_eq!(
        again.entries[1].id, paper.id,
        "the same form again is the same entry"
    );
    let other = send(
        &site,
        "/units/fern-house/readings/new",
        &READING,
        &[("IMG 1.jpg", b"\xFF\xD8\xFF\xE1")],
    );
    assert_ne!(
        other.entries[0].id, reading.id,
        "with another photograph it is another form"
    );

    let (reading, address) = (reading.id, format!("/attachment/{}", about.hash));
    site.state.extend(response.entries);
    for page in [format!("/entries/{reading}"), "/units/fern-house/log".to_owned()] {
        let shown = text(&site.get(&page));
        html::check(&page, &shown);
        assert!(
            shown.contains(&format!("<img src=\"{address}\"")),
            "{page}: {shown}"
        );
    }
    // One more, added to the entry later; and it can be taken back.
    let entry = format!("/entries/{reading}");
    let added = send(
        &site,
        &entry,
        &[("do", "photo")],
        &[("label.png", b"\x89PNG\r\n\x1A\n label")],
    );
    assert_eq!(added.status, 303, "{}", text(&added));
    let id = added.entries[0].id;
    site.state.extend(added.entries);
    assert_eq!(
        text(&site.get(&entry)).matches("<img src=\"/attachment/").count(),
        2
    );
    site.keep(&format!("/entries/{id}"), "do=take-back");
    assert_eq!(
        text(&site.get(&entry)).matches("<img src=\"/attachment/").count(),
        1
    );
}

#[test]
fn regress_a_photograph_may_speak_for_itself_but_nothing_may_not() {
    let site = Site::quillmere();
    let alone = send(
        &site,
        "/units/fern-house/notes/new",
        &[("note", "")],
        &[("a.jpg", b"\xFF\xD8\xFF\xE0")],
    );
    assert_eq!((alone.status, alone.entries.len()), (303, 1));
    let nothing = send(
        &site,
        "/units/fern-house/notes/new",
        &[("note", "")],
        &[("", b"")],
    );
    assert_eq!(nothing.status, 422);
    let event = [
        ("kind", "changed"),
        ("part", "sediment"),
        ("at", "2026-11-20T09:30"),
    ];
    let event = send(
        &site,
        "/units/fern-house/events/new",
        &event,
        &[("a.pdf", b"%PDF-1.7 bill")],
    );
    assert_eq!((event.status, event.entries.len()), (303, 2));
}

#[test]
fn regress_what_is_no_picture_is_refused_beside_the_field() {
    let site = Site::quillmere();
    let large = [b"\xFF\xD8\xFF\xE0".as_slice(), &vec![0; pages::LARGEST_CONTENT]].concat();
    let wrong: [(&str, &[u8]); 4] = [
        (
            "photo.jpg",
            b"<svg xmlns='http://www.w3.org/2000/svg' onload='x()'/>",
        ),
        ("photo.jpg", b"\x7FELF\0"),
        ("log.csv", b"a,b"),
        ("photo.jpg", &large),
    ];
    for (name, bytes) in wrong {
        let response = send(
            &site,
            "/units/fern-house/readings/new",
            &READING,
            &[(name, bytes)],
        );
        let page = text(&response);
        assert_eq!(response.status, 422, "{name}");
        assert!(response.entries.is_empty() && response.attachments.is_empty());
        html::check(name, &page);
        assert!(
            page.contains("id=\"f-photo-error\"") && page.contains("value=\"30 L/h\""),
            "{page}"
        );
        assert!(page.contains("Choose the photograph once more"));
    }
}
