//! Answers that are given again as they are: never a stale one.

use jiff::SignedDuration;
use ledger::{Entry, EventId};
use pages::{Circumstances, Memo, Method, Place, Request, respond};

use crate::site::{OWN, Site, text};

const UNIT: &str = "fern-house";

/// Pages that look at the entries, the day and who asks, and at nothing else.
const STEADY: [&str; 7] = [
    "/units/fern-house",
    "/units/fern-house/log",
    "/units/fern-house/history.svg",
    "/units/fern-house/how/change",
    "/sites",
    "/customers",
    "/units/reed-mill",
];

/// Each page is the same from a memo that has answered before and from one that never did.
fn holds(site: &Site, after: &str) {
    let fresh = Memo::new();
    for address in STEADY {
        let (first, again) = (site.get(address), site.get(address));
        assert!(
            first == again,
            "{address} after {after}: the second answer is another"
        );
        assert!(
            first == site.get_with(&fresh, address),
            "{address} after {after}: a stale page"
        );
    }
}

#[test]
fn regress_no_page_is_stale_after_an_entry_a_setting_a_day_or_in_another_language() {
    let mut site = Site::quillmere();
    holds(&site, "nothing");
    let unit = text(&site.get("/units/fern-house"));

    site.keep("/units/fern-house/notes/new", "note=The+stopcock+is+stiff");
    holds(&site, "a note");
    assert!(text(&site.get("/units/fern-house/log")).contains("The stopcock is stiff"));

    let name = format!("{UNIT}-renamed");
    let sites: Vec<String> = site.state.site_ids().map(str::to_owned).collect();
    site.keep(
        &format!("/sites/{}", sites[0]),
        &format!("name={name}&place=Quillmere"),
    );
    holds(&site, "a site's other name");
    assert!(text(&site.get("/sites")).contains(&name));

    site.language = "de";
    holds(&site, "another language");
    assert_ne!(text(&site.get("/units/fern-house")), unit);
    site.language = "en";
    site.person = "Nobody";
    holds(&site, "another person");
    site.keep("/settings", "units=us&language=en&unit_of_pressure=bar");
    holds(&site, "a setting");
    site.keep("/settings", "units=metric&language=de&unit_of_pressure=psi");
    holds(&site, "another setting");
    site.place = Place::Field { waiting: 0 };
    holds(&site, "another place");
    site.place = Place::Field { waiting: 1 };
    holds(&site, "something that waits");

    let before = text(&site.get("/units/fern-house"));
    site.now = site.now.checked_add(SignedDuration::from_hours(24)).unwrap();
    holds(&site, "a day");
    assert_ne!(text(&site.get("/units/fern-house")), before);
}

#[test]
fn regress_an_entry_that_takes_anothers_place_is_seen() {
    let mut site = Site::quillmere();
    site.keep("/units/fern-house/notes/new", "note=Second+thoughts");
    let note = site
        .state
        .entries()
        .find(|entry| entry.payload.json().contains("Second thoughts"));
    let note = note.unwrap().clone();
    assert!(text(&site.get("/units/fern-house/log")).contains("Second thoughts"));
    // The same id, written earlier on another device: that one stands.
    let line = note.to_json().replace("Second thoughts", "First thoughts");
    let mut first = Entry::from_json(&line).unwrap();
    first.written_at = note.written_at.checked_sub(SignedDuration::from_secs(1)).unwrap();
    let fingerprint = site.state.fingerprint();
    site.state.insert(first.clone());
    assert_ne!(site.state.fingerprint(), fingerprint);
    let page = text(&site.get("/units/fern-house/log"));
    assert!(page.contains("First thoughts") && !page.contains("Second thoughts"));
    // However they arrive the set is the same.
    let mut other = Site::quillmere().state;
    other.insert(first);
    other.insert(note);
    assert_eq!(other.fingerprint(), site.state.fingerprint());
}

#[test]
fn regress_the_first_page_follows_what_is_evaluated_and_what_comes_in() {
    let mut site = Site::quillmere();
    let first = text(&site.get("/"));
    assert!(first.contains("Not worked out yet"));
    site.memo.warm(&site.state, site.now);
    let second = text(&site.get("/"));
    assert_ne!(first, second, "one unit is evaluated now");
    assert_eq!(second, text(&site.get("/")));
    site.keep("/units/fern-house/notes/new", "note=The+stopcock+is+stiff");
    assert!(text(&site.get("/")).contains("The stopcock is stiff"));
    site.now = site.now.checked_add(SignedDuration::from_hours(24 * 9)).unwrap();
    assert!(
        !text(&site.get("/")).contains("The stopcock is stiff"),
        "no longer of this week"
    );
}

#[test]
fn regress_what_is_for_one_request_is_made_for_each() {
    let site = Site::quillmere();
    let ask = |random: u8, now, device: &str, address: &str| {
        let request = Request {
            method: Method::Get,
            path: address,
            query: "",
            content_type: "",
            body: &[],
            origin: None,
            own_origin: OWN,
            accept_language: "en",
        };
        let circumstances = Circumstances {
            now,
            person: "",
            device,
            random: [random; 16],
            place: Place::Server,
        };
        text(&respond(&site.state, &site.memo, &request, &circumstances))
    };
    let later = site.now.checked_add(SignedDuration::from_mins(1)).unwrap();
    let form_id = |page: &str| -> EventId {
        let (_, rest) = page.split_once("name=\"form\" value=\"").unwrap();
        rest.split('"').next().unwrap().parse().unwrap()
    };
    for address in [
        "/units/fern-house/notes/new",
        "/units/fern-house/readings/new",
        "/units/fern-house/water",
        "/units/fern-house/import",
        "/units/fern-house/work",
        "/units/new",
        "/customers/new",
        "/who",
    ] {
        let page = ask(1, site.now, "desk", address);
        if page.contains("name=\"form\"") {
            assert_ne!(
                form_id(&page),
                form_id(&ask(2, site.now, "desk", address)),
                "{address}"
            );
            assert_ne!(
                form_id(&page),
                form_id(&ask(1, later, "desk", address)),
                "{address}"
            );
        }
    }
    let reading = ask(1, site.now, "desk", "/units/fern-house/readings/new");
    assert!(
        reading.contains("10:00") || reading.contains("11:00"),
        "{reading}"
    );
    let minute = ask(1, later, "desk", "/units/fern-house/readings/new");
    assert!(minute.contains("10:01") || minute.contains("11:01"), "{minute}");
}
