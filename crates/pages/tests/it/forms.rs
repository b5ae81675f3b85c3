//! What is written down, what is refused, and what is not written twice.

use ledger::{Kind, Payload, Subject};
use reading::Field;

use crate::html;
use crate::site::{Site, now, text};

const READ: &str = "at=2026-11-20T09:30&feed_temperature=9&inlet_pressure=4%20bar&feed_conductivity=700\
    &permeate_flow=500+mL+in+71+s&permeate_conductivity=30&running_for=20";

fn form(id: u8, rest: &str) -> String {
    let id = ledger::EventId::new(now(), [id; 10]);
    format!("form={id}&{rest}")
}

#[test]
fn regress_units_readings_new_keeps_a_reading_as_it_was_typed() {
    let mut site = Site::quillmere();
    site.person = "Nobody";
    let response = site.send("/units/fern-house/readings/new", &form(1, READ));
    assert_eq!(response.status, 303, "{}", text(&response));
    let [reading] = response.entries.as_slice() else {
        panic!("{:?}", response.entries);
    };
    let Ok(Payload::Reading(taken)) = reading.payload.decode() else {
        panic!()
    };
    // 500 mL in 71 s is 25.352 L/h (0.5 L x 3600/71), to the rounding of a double; 4 bar is 400 kPa exactly.
    let flow = taken.reading.get(Field::PermeateFlow).unwrap();
    assert!((flow - 0.5 * 3600.0 / 71.0).abs() < 1e-9);
    assert_eq!(taken.reading.get(Field::InletPressure), Some(400.0));
    assert_eq!(taken.as_written["permeate_flow"], "500 mL in 71 s");
    assert_eq!(&*reading.by, "Nobody");
    let then = site.keep("/units/fern-house/readings/new", &form(1, READ));
    let page = site.get(&then);
    assert_eq!(page.status, 200);
    html::check(&then, &text(&page));
    assert!(text(&page).contains("Verdict"));
}

#[test]
fn regress_a_form_sent_twice_is_written_once_and_an_edited_one_anew() {
    let mut site = Site::quillmere();
    let before = site.state.len();
    site.keep("/units/fern-house/readings/new", &form(1, READ));
    site.keep("/units/fern-house/readings/new", &form(1, READ));
    assert_eq!(site.state.len(), before + 1, "the same form again");
    let edited = READ.replace("71", "72");
    site.keep("/units/fern-house/readings/new", &form(1, &edited));
    assert_eq!(site.state.len(), before + 2, "back, edit, save");
    site.keep("/units/fern-house/readings/new", &form(2, READ));
    assert_eq!(site.state.len(), before + 3, "another form with the same content");
}

#[test]
fn regress_wrong_values_stand_beside_their_fields_and_are_kept() {
    let site = Site::quillmere();
    let wrong = READ
        .replace("4%20bar", "4%20bananas")
        .replace("feed_temperature=9", "feed_temperature=1,234");
    let response = site.send("/units/fern-house/readings/new", &form(1, &wrong));
    assert_eq!(response.status, 422);
    assert!(response.entries.is_empty());
    let page = text(&response);
    html::check("/units/fern-house/readings/new", &page);
    assert!(page.contains("value=\"4 bananas\""), "what was typed is kept");
    assert!(page.contains("id=\"f-inlet_pressure-error\"") && page.contains("aria-invalid=\"true\""));
    assert!(
        page.contains("href=\"#f-inlet_pressure\""),
        "the list above links to the field"
    );
    assert!(page.contains("2 fields need another look"), "{page}");
    assert!(
        page.contains("value=\"500 mL in 71 s\""),
        "what was right is kept too"
    );
    for nothing in [
        "at=2026-11-20T09:30",
        "at=&feed_temperature=9",
        "at=2031-01-01T00:00&feed_temperature=9",
    ] {
        assert_eq!(
            site.send("/units/fern-house/readings/new", nothing).status,
            422,
            "{nothing}"
        );
    }
}

#[test]
fn regress_a_slip_is_asked_about_and_corrected() {
    let mut site = Site::quillmere();
    let last = site
        .state
        .unit("fern-house")
        .unwrap()
        .readings()
        .last()
        .unwrap()
        .clone();
    // The last reading again with its flow ten times too high: a slip of the decimal point.
    let mut body = "at=2026-11-20T09:30".to_owned();
    for field in Field::ALL {
        if let Some(value) = last.get(*field) {
            let value = if *field == Field::PermeateFlow {
                10.0 * value
            } else {
                value
            };
            let unit = match field.dimension() {
                reading::Dimension::Flow => " L/h",
                reading::Dimension::Pressure => " kPa",
                reading::Dimension::Temperature => " C",
                _ => "",
            };
            body.push_str(&format!("&{}={value}{unit}", field.name()));
        }
    }
    let then = site.keep("/units/fern-house/readings/new", &form(1, &body));
    let page = text(&site.get(&then));
    assert!(
        page.contains("Is that right?") && page.contains("Permeate flow reads"),
        "{page}"
    );
    let proposed = page
        .split("href=\"/entries/")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    let form_page = text(&site.get(&format!("/entries/{}", proposed.replace("&amp;", "&"))));
    html::check("/entries", &form_page);
    let entry = proposed.split('?').next().unwrap();
    let value = proposed.split("permeate_flow=").nth(1).unwrap();
    let corrected = body
        .split('&')
        .filter(|pair| !pair.starts_with("permeate_flow="))
        .collect::<Vec<_>>()
        .join("&");
    let fix = form(
        2,
        &format!("{corrected}&do=correct&permeate_flow={value}&reason=slip"),
    );
    site.keep(&format!("/entries/{entry}"), &fix);
    let unit = site.state.unit("fern-house").unwrap();
    let flow = unit.readings().last().unwrap().get(Field::PermeateFlow).unwrap();
    let was = last.get(Field::PermeateFlow).unwrap();
    // The proposal is rounded to four digits in the person's unit.
    assert!((flow / was - 1.0).abs() < 0.05, "{flow} against {was}");
    let page = text(&site.get(&format!("/entries/{entry}")));
    assert!(page.contains("slip"), "the trail tells why");
    // Taken back, it is gone from the readings, and what it said can still be read.
    let readings = unit.readings().len();
    site.keep(&format!("/entries/{entry}"), &form(3, "do=take-back"));
    assert_eq!(
        site.state.unit("fern-house").unwrap().readings().len(),
        readings - 1
    );
    let page = text(&site.get(&format!("/entries/{entry}")));
    assert!(page.contains("Taken back") && page.contains("slip"));
    html::check("/entries", &page);
}

#[test]
fn regress_a_unit_of_measure_once_typed_is_remembered() {
    let mut site = Site::quillmere();
    site.person = "Vera";
    assert!(text(&site.get("/units/fern-house/readings/new")).contains("<span class=\"unit\">bar</span>"));
    let typed = READ.replace("4%20bar", "58%20psi");
    site.keep("/units/fern-house/readings/new", &form(1, &typed));
    assert!(text(&site.get("/units/fern-house/readings/new")).contains("<span class=\"unit\">psi</span>"));
    // A bare number is in that unit from now on: 58 psi is 399.9 kPa (1 psi = 6.894757 kPa, NIST SP 811), to its digits.
    let response = site.send(
        "/units/fern-house/readings/new",
        &form(2, &READ.replace("4%20bar", "58")),
    );
    let Ok(Payload::Reading(taken)) = response.entries[0].payload.decode() else {
        panic!()
    };
    assert!((taken.reading.get(Field::InletPressure).unwrap() - 58.0 * 6.894757).abs() < 1e-3);
}

#[test]
fn regress_units_events_new_starts_a_new_life() {
    let mut site = Site::quillmere();
    let then = site.keep(
        "/units/fern-house/events/new",
        &form(1, "at=2026-11-20T09:00&kind=changed&part=sediment&note=brown"),
    );
    assert_eq!(then, "/units/fern-house");
    let event = site.state.unit("fern-house").unwrap().events().last().unwrap();
    assert!(event.renews() && event.note == "brown");
    for wrong in [
        "at=2026-11-20T09:00&part=sediment",
        "at=2026-11-20T09:00&kind=changed",
        "at=2026-11-20T09:00&kind=changed&part=moon",
    ] {
        let response = site.send("/units/fern-house/events/new", &form(2, wrong));
        assert_eq!(response.status, 422, "{wrong}");
        html::check(wrong, &text(&response));
    }
}

#[test]
fn regress_units_water_takes_a_field_kit() {
    let mut site = Site::quillmere();
    let kit =
        "at=2026-11-20T09:00&name=kit&conductivity=700&hardness=17+gpg&alkalinity=220&ph=7.4&temperature=10";
    site.keep("/units/fern-house/water", &form(1, kit));
    let page = text(&site.get("/units/fern-house/water"));
    assert!(page.contains("Keep the recovery below"), "{page}");
    html::check("/units/fern-house/water", &page);
    let picture = site.get("/units/fern-house/saturation.svg");
    assert_eq!(picture.status, 200);
    roxmltree::Document::parse(&text(&picture)).unwrap();
    for wrong in [
        "at=2026-11-20T09:00",
        "at=2026-11-20T09:00&conductivity=wet",
        "at=2026-11-20T09:00&conductivity=700&ph=19",
    ] {
        let response = site.send("/units/fern-house/water", &form(2, wrong));
        assert_eq!(response.status, 422, "{wrong}");
        html::check(wrong, &text(&response));
    }
}

#[test]
fn regress_sites_and_customers_are_added_once_and_described_anew() {
    let mut site = Site::quillmere();
    let customer = site.keep("/customers/new", &form(1, "name=Mill+%26+Sons&phone=1"));
    assert_eq!(customer, "/customers/mill-sons");
    assert_eq!(
        site.keep("/customers/new", &form(1, "name=Mill+%26+Sons&phone=1")),
        customer,
        "sent twice"
    );
    assert_ne!(
        site.keep("/customers/new", &form(2, "name=Mill+%26+Sons&phone=2")),
        customer,
        "another of the name"
    );
    let place = site.keep(
        "/sites/new",
        &form(3, "name=Old+mill&place=Weir&customer=mill-sons"),
    );
    site.keep(&place, &form(4, "name=Old+mill&place=Weir+2&customer=mill-sons"));
    let page = text(&site.get(&place));
    assert!(
        page.contains("Weir 2") && page.contains("Mill &amp; Sons"),
        "{page}"
    );
    html::check(&place, &page);
    assert_eq!(
        site.send("/sites/new", &form(5, "name=&customer=none")).status,
        422
    );
}

#[test]
fn regress_what_people_write_is_never_markup() {
    let mut site = Site::quillmere();
    let nasty = "%3Cscript%3Ealert(1)%3C%2Fscript%3E%22%27%3E";
    site.keep("/units/fern-house/notes/new", &form(1, &format!("note={nasty}")));
    let place = site.keep(
        "/sites/new",
        &form(2, &format!("name={nasty}&place={nasty}&access={nasty}")),
    );
    let wrong = site.send(
        "/units/fern-house/readings/new",
        &form(3, &format!("at={nasty}&feed_temperature={nasty}")),
    );
    let pages = [
        text(&site.get("/units/fern-house/log")),
        text(&site.get("/")),
        text(&site.get(&place)),
        text(&site.get("/sites")),
        text(&wrong),
        text(&site.get(&format!("/?q={nasty}"))),
    ];
    for page in pages {
        assert!(!page.contains("<script>alert"), "{page}");
        html::check("markup", &page);
    }
}

#[test]
fn regress_a_row_set_aside_is_repaired() {
    let mut site = Site::quillmere();
    let aside = site.state.entries().find(|entry| {
        entry.payload.kind() == Kind::SetAside
            && site
                .state
                .effective(entry.id)
                .is_some_and(|one| one.correction.is_none())
    });
    let aside = aside
        .expect("the demonstration has a row that could not be read")
        .clone();
    let Some(Subject::Unit(unit)) = aside.payload.subject().cloned() else {
        panic!()
    };
    let address = format!("/entries/{}", aside.id);
    html::check(&address, &text(&site.get(&address)));
    let before = site.state.unit(&unit).unwrap().readings().len();
    site.keep(
        &address,
        &form(1, "at=2026-01-05T09:00&feed_temperature=9+C&do=correct"),
    );
    assert_eq!(site.state.unit(&unit).unwrap().readings().len(), before + 1);
}

#[test]
fn regress_a_reading_saved_again_as_it_stands_says_the_same() {
    // Whatever unit it was typed in or whatever column it came from, the form gives each value back.
    let site = Site::quillmere();
    for unit in ["fern-house", "orchid-house", "bakehouse"] {
        let Some(known) = site.state.unit(unit) else {
            continue;
        };
        for (origin, before) in known
            .reading_origins()
            .iter()
            .zip(known.readings())
            .rev()
            .take(12)
        {
            let address = format!("/entries/{}", origin.entry);
            let page = text(&site.get_shared(&address));
            let mut body = form(1, "do=correct");
            for input in page
                .split("<input id=\"f-")
                .skip(1)
                .map(|rest| rest.split('>').next().unwrap())
            {
                let value = |name: &str| input.split(&format!(" {name}=\"")).nth(1)?.split('"').next();
                if let (Some(name), Some(value)) = (value("name"), value("value")) {
                    body.push_str(&format!(
                        "&{name}={}",
                        value.replace('%', "%25").replace('+', "%2B")
                    ));
                }
            }
            let response = site.send(&address, &body);
            assert_eq!(response.status, 303, "{}", text(&response));
            let Ok(Payload::Correction(said)) = response.entries[0].payload.decode() else {
                panic!()
            };
            let replacement = said.replacement.unwrap();
            assert_eq!(replacement.happened_at, None, "the time was not touched");
            let Ok(Payload::Reading(after)) = replacement.payload.decode() else {
                panic!()
            };
            for field in Field::ALL {
                let (old, new) = (before.get(*field), after.reading.get(*field));
                assert_eq!(old.is_some(), new.is_some(), "{unit} {}", field.name());
                if let (Some(old), Some(new)) = (old, new) {
                    // A value that was not typed with its unit is shown with four digits.
                    assert!(
                        (old - new).abs() <= 6e-4 * old.abs().max(1.0),
                        "{unit} {}: {old} {new}",
                        field.name()
                    );
                }
            }
        }
    }
}
