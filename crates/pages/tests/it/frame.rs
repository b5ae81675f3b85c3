//! Origin, language, units of measure, the memo.

use pages::Memo;

use crate::site::{Site, header, now, text};

#[test]
fn regress_a_form_from_elsewhere_is_refused_in_words() {
    let mut site = Site::quillmere();
    for origin in [
        None,
        Some("null"),
        Some("http://example.org"),
        Some("http://127.0.0.1:80"),
    ] {
        site.origin = origin;
        let response = site.send("/units/fern-house/notes/new", "note=hello");
        assert_eq!(response.status, 403, "{origin:?}");
        assert!(response.entries.is_empty());
        assert!(
            text(&response).contains("did not come from Saltmark"),
            "{origin:?}"
        );
    }
}

#[test]
fn regress_what_is_no_form_is_refused() {
    let site = Site::quillmere();
    assert_eq!(site.post("/who", "application/json", b"{}").status, 400);
    assert_eq!(site.send("/", "a=b").status, 405);
}

#[test]
fn regress_the_language_is_the_readers() {
    let mut site = Site::quillmere();
    assert!(text(&site.get_shared("/")).contains("<html lang=\"en\">"));
    site.language = "fr, de;q=0.8, en;q=0.7";
    let page = text(&site.get_shared("/"));
    assert!(page.contains("<html lang=\"de\">") && page.contains("Fällig"));
    // What a person chose goes before what the browser says: Ines chose English.
    site.person = "Ines";
    let known = site.state.person_ids().any(|id| id == "Ines");
    let page = text(&site.get_shared("/"));
    assert_eq!(page.contains("<html lang=\"en\">"), known);
}

#[test]
fn regress_a_name_said_is_handed_to_the_shell() {
    let site = Site::quillmere();
    let response = site.send("/who", "person=Ines");
    assert_eq!((response.status, response.person.as_deref()), (303, Some("Ines")));
    assert_eq!(site.send("/who", "person=").status, 422);
    assert_eq!(header(&response, "location"), Some("/"));
}

#[test]
fn regress_the_memo_forgets_what_changed_and_nothing_else() {
    let mut site = Site::quillmere();
    let memo = Memo::new();
    let first = memo.warm(&site.state, now());
    assert!(memo.digest(&site.state, "cafe-none", now()).is_none());
    let known = site
        .state
        .unit_ids()
        .find(|id| memo.digest(&site.state, id, now()).is_some());
    let known = known.unwrap().to_owned();
    assert!(memo.digest(&site.state, &known, now()).unwrap().1, "it holds");
    let tomorrow = "2026-11-21T10:00:00Z".parse().unwrap();
    assert!(
        !memo.digest(&site.state, &known, tomorrow).unwrap().1,
        "another day"
    );
    site.keep(&format!("/units/{known}/notes/new"), "note=rang");
    assert!(
        !memo.digest(&site.state, &known, now()).unwrap().1,
        "another entry"
    );
    assert_eq!(
        memo.warm(&site.state, now()),
        first,
        "only the changed one is evaluated anew"
    );
    assert!(memo.digest(&site.state, &known, now()).unwrap().1);
}

/// WCAG 2.2, "relative luminance" and "contrast ratio".
fn contrast(a: &str, b: &str) -> f64 {
    let luminance = |colour: &str| {
        let channel = |at: usize| {
            let c = f64::from(u8::from_str_radix(&colour[at..at + 2], 16).unwrap()) / 255.0;
            if c <= 0.04045 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn val_the_colours_keep_the_contrast_of_wcag_2_2() {
    let style = include_str!("../../assets/style.css");
    let themes: Vec<&str> = style.split(":root {").skip(1).take(2).collect();
    for theme in themes {
        let colour = |name: &str| {
            let rest = theme.split(&format!("--{name}: ")).nth(1).unwrap();
            &rest[..7]
        };
        for ground in ["paper", "sheet"] {
            // 1.4.3: text 4.5 to 1.
            for ink in ["ink", "faint", "link", "key", "wrong", "late", "well"] {
                let ratio = contrast(colour(ink), colour(ground));
                assert!(ratio >= 4.5, "{ink} on {ground}: {ratio:.2}");
            }
            // 1.4.11: what shows where a field is, 3 to 1.
            let ratio = contrast(colour("line"), colour(ground));
            assert!(ratio >= 3.0, "line on {ground}: {ratio:.2}");
        }
        assert!(contrast(colour("on-key"), colour("key")) >= 4.5);
    }
}
