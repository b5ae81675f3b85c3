//! German pages show no sentence of the domain crates, whose own words are English.

use std::collections::BTreeSet;

use water::{Analysis, Treatment, Water, report};

use crate::site::{Site, now, text};

/// Words of English that are none of German, none of a name and none of a unit.
const ENGLISH: [&str; 15] = [
    "the", "of", "is", "and", "not", "were", "with", "from", "given", "taken", "water", "its", "for",
    "without", "reading",
];

/// What people read of a page: its texts without tags, `&amp;` and the like left as they are.
fn readable(page: &str) -> String {
    let (_, main) = page.split_once("<main").unwrap_or(("", page));
    let texts = main
        .split('<')
        .map(|piece| piece.split_once('>').map_or("", |(_, text)| text));
    texts.collect::<Vec<_>>().join(" ")
}

fn english_words(page: &str) -> BTreeSet<String> {
    let text = readable(page);
    let words = text.split(|c: char| !c.is_alphanumeric());
    words
        .filter(|word| ENGLISH.contains(word))
        .map(str::to_owned)
        .collect()
}

#[test]
fn regress_german_pages_of_the_demonstration_show_no_english_sentence() {
    let mut site = Site::quillmere();
    site.language = "de";
    let ids: Vec<String> = site.state.unit_ids().map(str::to_owned).collect();
    for id in &ids {
        let unit = text(&site.get_shared(&format!("/units/{id}")));
        let verdict = site.digest_shared(id).unwrap().verdict.clone();
        for sentence in verdict.advice.iter().chain([&verdict.sentence]) {
            assert!(!unit.contains(sentence.as_str()), "{id}: {sentence}");
        }
        let address = format!("/units/{id}/water");
        let page = text(&site.get_shared(&address));
        if let Some(analysis) = site.state.water_at(id, now()) {
            let water = Water::complete(analysis).unwrap();
            let report = report(&water, None, 0.0, &Treatment::default()).unwrap();
            let said = report
                .sentences
                .iter()
                .chain(&report.warnings)
                .chain(water.assumed());
            for said in said {
                assert!(!page.contains(&said.to_string()), "{address}: {said}");
            }
        }
        // Nothing that people wrote stands on this page.
        assert_eq!(english_words(&page), BTreeSet::new(), "{address}");
    }
}

#[test]
fn regress_the_check_of_the_german_pages_finds_english() {
    let site = Site::quillmere();
    let page = text(&site.get_shared("/units/fern-house/water"));
    assert!(english_words(&page).len() > 5, "an English page is full of them");
}

#[test]
fn regress_what_is_said_of_odd_waters_is_said_in_german_too() {
    // Each makes other remarks: contradictions, threats, what is filled in, what cannot be.
    let forms = [
        "conductivity=650",
        "conductivity=650&ph=7.5",
        "tds=400&conductivity=4000",
        "calcium=88&magnesium=19&hardness=900&alkalinity=200&conductivity=650",
        "hardness=250&calcium=60&alkalinity=200&conductivity=600&ph=7.5&temperature=12+C",
        "hardness=250&magnesium=20&alkalinity=200&tds=500&ph=7.5",
        "calcium=88&magnesium=19&sodium=36&alkalinity=225&chloride=470&sulfate=62&ph=7.5&conductivity=300",
        "calcium=88&magnesium=19&sodium=900&alkalinity=225&chloride=47&sulfate=62&ph=7.5&tds=300",
        "hardness=400&conductivity=2500&free_chlorine=1&chloramine=3&turbidity=3&sdi=6&iron=0.4&manganese=0.2&silica=40",
        "sodium=9000&chloride=15000&alkalinity=200&ph=7.8",
        "alkalinity=200&conductivity=380&ph=7.2",
        "calcium=80&conductivity=600",
        "magnesium=20&conductivity=600",
        "calcium=80&magnesium=20&sulfate=10&chloride=400&conductivity=900&ph=4",
        "alkalinity=1&ph=11",
        "alkalinity=4000&ph=4",
        "ph=30&hardness=-3",
        "name=nothing",
        "temperature=12+C",
    ];
    let mut site = Site::quillmere();
    let (mut kept, mut refused) = (0, 0);
    for (second, form) in forms.into_iter().enumerate() {
        for language in ["en", "de"] {
            site.language = language;
            let form = format!("at=2026-11-20T09:{second:02}&{form}");
            let response = site.send("/units/fern-house/water", &form);
            let page = if response.status == 303 {
                let mut with = Site::of(site.state.clone());
                with.language = language;
                with.state.extend(response.entries);
                kept += 1;
                text(&with.get("/units/fern-house/water"))
            } else {
                assert_eq!(response.status, 422, "{form}");
                refused += 1;
                text(&response)
            };
            assert!(
                !page.contains("water-said-") && !page.contains("water-wrong-"),
                "{form}: {page}"
            );
            if language == "de" {
                assert_eq!(
                    english_words(&page),
                    BTreeSet::new(),
                    "{form}: {}",
                    readable(&page)
                );
            } else {
                assert!(!english_words(&page).is_empty(), "{form}");
            }
        }
    }
    assert!(kept > 10 && refused > 4, "{kept} kept, {refused} refused");
}

#[test]
fn regress_every_fault_of_an_analysis_names_its_field_in_german() {
    let errors = Water::complete(&Analysis::default()).unwrap_err();
    assert_eq!(errors, [water::Error::NothingGiven]);
    let mut site = Site::quillmere();
    site.language = "de";
    let page = text(&site.send(
        "/units/fern-house/water",
        "at=2026-11-20T09:00&alkalinity=1&ph=11",
    ));
    assert!(page.contains("ist zu wenig für pH 11"), "{}", readable(&page));
}
