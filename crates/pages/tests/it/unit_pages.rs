//! What stands on the pages of the demonstration ledger (simulated).

use crate::site::{Site, now, text};

#[test]
fn regress_due_names_every_unit_once_all_are_evaluated() {
    let site = Site::quillmere();
    let page = text(&site.get("/"));
    assert!(
        page.contains("Not worked out yet"),
        "nothing is evaluated while a page waits"
    );
    while site.memo.warm(&site.state, now()) > 0 {}
    let page = text(&site.get("/"));
    assert!(!page.contains("Not worked out yet"), "{page}");
    for id in site.state.unit_ids() {
        assert!(page.contains(&format!("href=\"/units/{id}\"")), "{id}");
    }
    // Soonest first: the parts of the list stand in this order.
    let at = |words: &str| page.find(words).unwrap_or(usize::MAX);
    assert!(at("<h2>Due now</h2>") < at("<h2>Later</h2>"));
}

#[test]
fn regress_search_finds_by_name_and_by_place() {
    let site = Site::quillmere();
    let unit = site.state.unit("fern-house").unwrap().unit().unwrap();
    let word = unit.name.split_whitespace().next().unwrap().to_uppercase();
    assert!(text(&site.get(&format!("/?q={word}"))).contains("/units/fern-house"));
    assert!(text(&site.get("/?q=water+lane")).contains("/units/fern-house"));
    assert!(!text(&site.get("/?q=zzzz")).contains("/units/"));
}

#[test]
fn regress_a_units_page_says_it_all_in_order() {
    let site = Site::quillmere();
    let page = text(&site.get_shared("/units/fern-house"));
    let headings: Vec<&str> = page
        .split("<h2>")
        .skip(1)
        .map(|rest| rest.split('<').next().unwrap())
        .collect();
    assert_eq!(
        headings,
        [
            "What to know and to do",
            "When each part is due",
            "The unit as built",
            "History",
            "Where the litres went"
        ]
    );
    assert!(
        page.contains("expected"),
        "what the model says stands at each point"
    );
    assert!(page.contains("of its life used"));
}

#[test]
fn regress_no_page_shows_a_key_for_a_text() {
    let site = Site::quillmere();
    for address in [
        "/",
        "/units/fern-house",
        "/units/fern-house/water",
        "/units/fern-house/readings/new",
    ] {
        let page = text(&site.get_shared(address));
        for piece in page.split('>').filter_map(|rest| rest.split('<').next()) {
            let key = piece.contains('-')
                && piece.len() > 3
                && piece.chars().all(|c| c.is_ascii_lowercase() || c == '-');
            assert!(!key || piece == "fern-house", "{address}: {piece}");
        }
    }
}
