//! Every figure on a page opens to how it was computed.
//!
//! What counts as a figure: a number with a unit of measure or a percent sign, and any number in a cell of numbers. Each
//! stands in a link to its account (`a.figure`), in a block that ends with one (`.opens`), or in what was read, typed or
//! described (`.said`, a form). What stands in the message files as it is was not computed. A page that shows one in no such place is found here.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use roxmltree::{Document, Node};

use crate::html::as_xml;
use crate::site::{Site, text};

/// What may follow a number and makes it a figure. Longer ones stand before those that they begin with.
const UNITS: [&str; 23] = [
    "%",
    "bits",
    "Bit",
    "times as",
    "-mal so",
    "bar",
    "psi",
    "kPa",
    "L/h",
    "L/min",
    "mL/min",
    "gph",
    "gpd",
    "gpm",
    "gal",
    "L",
    "\u{b0}C",
    "\u{b0}F",
    "mg/L",
    "\u{b5}S/cm",
    "uS/cm",
    "gpg",
    "m\u{b2}",
];

fn has_class(node: &Node<'_, '_>, class: &str) -> bool {
    let classes = node.attribute("class").unwrap_or_default();
    classes.split_whitespace().any(|one| one == class)
}

/// The first number with a unit in a text.
fn number_with_unit(text: &str) -> Option<&str> {
    let mut digit_before = false;
    for (at, c) in text.char_indices() {
        if digit_before && !c.is_ascii_digit() && !matches!(c, '.' | ',') {
            let rest = text[at..].trim_start_matches([' ', '\u{a0}', '\u{202f}']);
            let unit = UNITS.iter().find(|unit| {
                rest.strip_prefix(**unit)
                    .is_some_and(|after| !after.starts_with(char::is_alphabetic))
            });
            if unit.is_some() {
                return Some(text);
            }
        }
        digit_before = c.is_ascii_digit();
    }
    None
}

/// Whether what a summary opens holds its figure again, as a link: in the summary itself it would be a second control.
fn opens_within(summary: &Node<'_, '_>, text: &Node<'_, '_>) -> bool {
    let text = text.text().unwrap_or_default();
    let details = summary.parent_element();
    details.is_some_and(|details| {
        let mut links = details
            .descendants()
            .filter(|link| link.has_tag_name("a") && has_class(link, "figure"));
        links.any(|link| link.text().is_some_and(|shown| text.contains(shown)))
    })
}

/// Whether a page's own account, a form, or what somebody said holds a text.
fn is_excused(node: &Node<'_, '_>) -> bool {
    node.ancestors().any(|above| {
        let opens = |link: Node<'_, '_>| link.has_tag_name("a") && has_class(&link, "figure");
        has_class(&above, "figure")
            || has_class(&above, "said")
            || has_class(&above, "account")
            || (has_class(&above, "opens") && above.descendants().any(opens))
            || (above.has_tag_name("summary") && opens_within(&above, node))
            || ["form", "title"].iter().any(|name| above.has_tag_name(*name))
    })
}

/// Texts that stand on pages as they are: their numbers are examples.
static FIXED: LazyLock<BTreeSet<String>> = LazyLock::new(|| {
    let all = ["en", "de"].into_iter().flat_map(crate::messages::messages);
    let texts = all.map(|(_, text)| text.trim().to_owned());
    let languages = [service::Language::English, service::Language::German];
    let cards = languages.into_iter().flat_map(service::fixed_texts);
    texts
        .chain(cards.map(str::to_owned))
        .filter(|text| !text.contains('{'))
        .collect()
});

/// Addresses of the accounts that a page links to, and texts that hold a figure without one.
fn look(page: &str) -> (Vec<String>, Vec<String>) {
    let xml = as_xml(page);
    let tree = Document::parse(&xml).unwrap();
    let links = tree
        .descendants()
        .filter(|node| node.has_tag_name("a") && has_class(node, "figure"))
        .map(|node| node.attribute("href").unwrap().to_owned());
    let bare = tree
        .descendants()
        .filter(Node::is_text)
        .filter_map(|node| {
            let text = node.text()?;
            let in_cell = node
                .ancestors()
                .any(|above| above.has_tag_name("td") && has_class(&above, "number"));
            let figure =
                number_with_unit(text).is_some() || (in_cell && text.contains(|c: char| c.is_ascii_digit()));
            (figure && !is_excused(&node) && !FIXED.contains(text.trim())).then(|| text.to_owned())
        })
        .collect();
    (links.collect(), bare)
}

/// All pages that show something: those of the list, and each unit's own.
fn pages(site: &Site) -> BTreeSet<String> {
    let mut all: BTreeSet<String> = crate::every_page::addresses(site).into_iter().collect();
    // An interview with answers, on every kind of unit: chances, what conditions explain, and what each reason weighs.
    for id in site.state.unit_ids() {
        let begun = format!("/units/{id}/trouble?at=2026-11-20T10%3A00%3A00Z");
        let known = site.state.unit(id).unwrap();
        let last = known.reading_origins().last();
        all.extend(last.map(|last| format!("{begun}&from={}", last.entry)));
        all.insert(format!("{begun}&restrictor=no"));
    }
    for id in site.state.unit_ids() {
        all.insert(format!("/units/{id}"));
        all.insert(format!("/units/{id}/water"));
        let last = site.state.unit(id).unwrap().reading_origins().last();
        all.extend(last.map(|origin| format!("/units/{id}/readings/{}", origin.entry)));
    }
    all
}

#[test]
fn regress_no_figure_stands_on_a_page_without_its_account() {
    let mut found: Vec<String> = Vec::new();
    let mut accounts: BTreeMap<String, String> = BTreeMap::new();
    for language in ["en", "de"] {
        let mut site = Site::quillmere();
        site.language = language;
        for address in pages(&site) {
            let (links, bare) = look(&text(&site.get_shared(&address)));
            found.extend(
                bare.into_iter()
                    .map(|text| format!("{language} {address}: {text}")),
            );
            accounts.extend(links.into_iter().map(|link| (link, address.clone())));
        }
    }
    assert!(found.is_empty(), "{found:#?}");
    // The pages do show figures, of every kind.
    for name in [
        "relative-flow",
        "relative-salt",
        "change",
        "cause",
        "standing",
        "due",
        "used",
        "load",
        "expected",
        "saturation",
        "allowed",
        "keep-below",
        "suggestion",
        "dose",
        "rinse",
        "chance",
        "chance-rest",
        "made",
        "condition",
        "weight",
        "to-expect",
        "tells",
        "test-shows",
    ] {
        assert!(
            accounts.keys().any(|link| link.contains(&format!("/how/{name}"))),
            "{name}"
        );
    }
    assert!(accounts.len() > 500, "{}", accounts.len());
    let site = Site::quillmere();
    for (link, from) in &accounts {
        let page = site.get_shared(link);
        assert_eq!(page.status, 200, "{link} on {from}");
        let page = text(&page);
        let xml = as_xml(&page);
        let tree = Document::parse(&xml).unwrap();
        let sections: Vec<_> = tree
            .descendants()
            .filter(|node| has_class(node, "account"))
            .collect();
        assert!(!sections.is_empty(), "{link} on {from}");
        for section in sections {
            let within = |name: &str| {
                section
                    .descendants()
                    .filter(|node| node.has_tag_name(name))
                    .count()
            };
            assert!(within("math") >= 1, "{link}: no equation");
            assert!(within("tr") >= 2, "{link}: nothing went in");
            let source = section
                .descendants()
                .find(|node| has_class(node, "small"))
                .unwrap();
            let source: String = source.descendants().filter_map(|node| node.text()).collect();
            assert!(source.len() > "Source: ".len() + 5, "{link}: no source");
        }
        assert!(
            !page.contains("how-") && !page.contains("symbol-"),
            "{link}: a text is missing"
        );
        // A step that another stands on is on the same page.
        for anchor in tree.descendants().filter_map(|node| node.attribute("href")) {
            if let Some(id) = anchor.strip_prefix('#').filter(|id| *id != "main") {
                assert!(
                    tree.descendants().any(|node| node.attribute("id") == Some(id)),
                    "{link}: {anchor}"
                );
            }
        }
    }
}

#[test]
fn regress_the_rule_finds_a_bare_figure() {
    let page = |body: &str| format!("<!DOCTYPE html><html lang=\"en\"><main>{body}</main></html>");
    let bare = |body: &str| look(&page(body)).1.len();
    assert_eq!(bare("<p>It made 12 % less.</p>"), 1);
    assert_eq!(bare("<p>4.1\u{a0}bar expected</p>"), 1);
    assert_eq!(bare("<table><tr><td class=\"number\">+0.42</td></tr></table>"), 1);
    assert_eq!(bare("<p>Out since 3 May 2026, 12 readings.</p>"), 0);
    assert_eq!(
        bare("<p><a class=\"figure\" href=\"/units/a/how/change\">12 %</a></p>"),
        0
    );
    assert_eq!(bare("<p><span class=\"said\">4.1 bar</span></p>"), 0);
    assert_eq!(bare("<div class=\"opens\"><p>12 %</p></div>"), 1);
}
