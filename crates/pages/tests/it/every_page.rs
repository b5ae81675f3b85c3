//! Every page, in every language, in both places: well-formed, headings in order, fields labelled, headers strict.

use pages::Place;

use crate::html;
use crate::site::{Site, header, text};

/// The addresses of all pages; a new page is added here.
pub(crate) fn addresses(site: &Site) -> Vec<String> {
    let unit = site.state.unit("fern-house").unwrap();
    let reading = unit.reading_origins().last().unwrap().entry;
    let event = unit.event_origins().last().unwrap().entry;
    let mut addresses: Vec<String> = [
        "/",
        "/?q=lane",
        "/?q=%3Cb%3E",
        "/who",
        "/sites",
        "/sites/new",
        "/sites/water-lane",
        "/customers",
        "/customers/new",
        "/settings",
        "/settings?restored=41&saved=yes",
        "/units/new",
        "/units/new?site=water-lane",
        "/nothing/here",
        "/units/none",
    ]
    .map(str::to_owned)
    .to_vec();
    for id in ["fern-house", "orchid-house"] {
        for rest in [
            "",
            "/log",
            "/log?page=2",
            "/water",
            "/readings/new",
            "/events/new",
            "/notes/new",
            "/trouble",
            "/trouble?at=2026-11-20T10%3A00%3A00Z",
            "/trouble?at=2026-11-20T10%3A00%3A00Z&observed.tank_never_full=no&feed_temperature=9%20C&restrictor=skip&ask=restrictor",
            "/work",
            "/work?part=carbon",
            "/labels",
            "/plan",
            "/limits",
            "/import",
        ] {
            addresses.push(format!("/units/{id}{rest}"));
        }
        for work in ["change%3Acarbon", "sanitise"] {
            addresses.push(format!("/units/{id}/work/card?w={work}"));
        }
    }
    let customer = site.state.customer_ids().next().unwrap();
    addresses.push(format!("/customers/{customer}"));
    addresses.push(format!("/units/fern-house/readings/{reading}"));
    addresses.push(format!(
        "/units/fern-house/trouble?at=2026-11-20T10%3A00%3A00Z&from={reading}"
    ));
    addresses.push(format!("/entries/{reading}"));
    addresses.push(format!("/entries/{event}"));
    addresses.push(format!("/units/fern-house/how/relative-flow/{reading}"));
    addresses.push("/units/fern-house/how/due/carbon".to_owned());
    addresses.push("/units/fern-house/how/nothing".to_owned());
    // One entry of each kind.
    let mut seen = std::collections::BTreeSet::new();
    for entry in site.state.entries() {
        if seen.insert(entry.payload.kind()) {
            addresses.push(format!("/entries/{}", entry.id));
        }
    }
    addresses
}

#[test]
fn regress_every_page_is_sound_in_both_languages() {
    for language in ["en", "de-CH,de;q=0.9,en;q=0.5"] {
        let mut site = Site::quillmere();
        site.language = language;
        for address in addresses(&site) {
            let response = site.get_shared(&address);
            assert!(
                matches!(response.status, 200 | 404),
                "{address}: {}",
                response.status
            );
            html::check(&address, &text(&response));
            assert!(response.entries.is_empty(), "{address}: reading writes nothing");
        }
    }
}

#[test]
fn regress_every_unit_has_a_page_and_a_picture() {
    let site = Site::quillmere();
    for id in site.state.unit_ids() {
        let page = site.get_shared(&format!("/units/{id}"));
        assert_eq!(page.status, 200, "{id}");
        html::check(id, &text(&page));
        let picture = site.get_shared(&format!("/units/{id}/history.svg"));
        assert_eq!(picture.status, 200, "{id}");
        roxmltree::Document::parse(&text(&picture)).unwrap();
    }
}

#[test]
fn regress_in_the_field_pages_say_what_waits() {
    let mut site = Site::quillmere();
    site.place = Place::Field { waiting: 3 };
    let page = text(&site.get_shared("/who"));
    assert!(page.contains("3 entries are waiting to be sent"), "{page}");
    html::check("/who", &page);
}

#[test]
fn val_the_headers_are_strict() {
    // MDN and OWASP's secure-headers project name these; the policy's own words are issue 5's.
    let site = Site::quillmere();
    for address in ["/", "/units/fern-house", "/nothing"] {
        let response = site.get_shared(address);
        let policy = header(&response, "content-security-policy").unwrap();
        for rule in [
            "default-src 'none'",
            "style-src 'self'",
            "img-src 'self' data:",
            "form-action 'self'",
            "base-uri 'none'",
            "frame-ancestors 'none'",
            "script-src 'self'",
            "connect-src 'self'",
            "worker-src 'self'",
            "manifest-src 'self'",
        ] {
            assert!(policy.split("; ").any(|part| part == rule), "{rule} in {policy}");
        }
        assert!(!policy.contains("unsafe"), "{policy}");
        assert_eq!(header(&response, "referrer-policy"), Some("same-origin"));
        assert_eq!(header(&response, "x-content-type-options"), Some("nosniff"));
        assert_eq!(header(&response, "cache-control"), Some("no-store"));
    }
}

#[test]
fn regress_assets_are_kept_for_good_and_named_by_every_page() {
    let site = Site::quillmere();
    let page = text(&site.get_shared("/who"));
    for path in pages::asset_paths() {
        let asset = site.get(&path);
        assert_eq!(asset.status, 200, "{path}");
        assert!(header(&asset, "cache-control").unwrap().contains("immutable"));
        assert!(page.contains(&path), "{path}");
    }
}
