//! A unit put in from its label, and described anew.

use std::fmt::Write as _;

use ledger::Payload;

use crate::html;
use crate::site::{Site, now, text};

/// A small unit as one sees it: what is on the label, two filters, a pump, an open tank.
const SEEN: &str = "name=Lime+kiln&site_name=Kiln+yard&site_place=Behind+the+bridge&customer_name=Ada+Moor\
    &commissioned=2026-11-02&time_zone=UTC&count=2&membranes.elements.size=2012\
    &membranes.elements.rated.flow=100+gpd&membranes.elements.rated.rejection=97&membranes.elements.rated.pressure=65+psi\
    &membranes.elements.rated.tds=500&inlet.valve=yes&stages.0=spun&stages.1=catalytic&stages.2=pump\
    &permeate.tank.kind=open&permeate.tank.volume=200+L&need.permeate_per_day=300+L&need.coldest_feed=5+C\
    &need.warmest_feed=18+C&water.conductivity=480&water.hardness=190&water.alkalinity=165&water.ph=7.5";

fn form(id: u8, rest: &str) -> String {
    let id = ledger::EventId::new(now(), [id; 10]);
    format!("form={id}&{rest}")
}

#[test]
fn regress_units_new_is_looked_over_before_it_is_written() {
    let site = Site::quillmere();
    let response = site.send("/units/new", &form(1, &format!("{SEEN}&do=look")));
    let page = text(&response);
    assert_eq!(response.status, 200, "{page}");
    assert!(response.entries.is_empty(), "looking over writes nothing");
    html::check("/units/new", &page);
    // A quarter of the feed becomes permeate: 2 x 100 gpd is 31.54 L/h, three times that goes to drain (94.6 L/h).
    assert!(
        page.contains("94.6") && page.contains("common practice, no source"),
        "{page}"
    );
    assert!(page.contains("value=\"100 gpd\""), "what was typed is kept");
    assert!(page.contains("value=\"keep\""));
}

#[test]
fn regress_a_unit_is_put_in_with_its_site_its_customer_and_its_water_once() {
    let mut site = Site::quillmere();
    let body = form(1, &format!("{SEEN}&do=keep"));
    let before = site.state.len();
    assert_eq!(site.keep("/units/new", &body), "/units/lime-kiln");
    // Customer, site, unit, water, and the remark on what was filled in.
    assert_eq!(site.state.len(), before + 5);
    assert_eq!(
        site.keep("/units/new", &body),
        "/units/lime-kiln",
        "the same form again"
    );
    assert_eq!(site.state.len(), before + 5);
    let known = site.state.unit("lime-kiln").unwrap();
    let unit = known.unit().unwrap();
    assert_eq!(known.site.as_deref(), Some("kiln-yard"));
    let described = site.state.site("kiln-yard").unwrap().described.as_ref().unwrap();
    assert_eq!(described.what.customer.as_deref(), Some("ada-moor"));
    let ids: Vec<&str> = unit.part_ids().collect();
    assert_eq!(ids, ["sediment", "carbon", "booster", "membrane-1", "membrane-2"]);
    // 1 US gallon is 3.785411784 L (contract section 2): 100 gpd in L/h.
    let flow = unit.membranes.elements[1].rated.flow_l_h;
    assert!((flow - 100.0 * 3.785_411_784 / 24.0).abs() < 1e-9, "{flow}");
    assert!((unit.membranes.elements[0].rated.rejection - 0.97).abs() < 1e-12);
    assert!(
        unit.inlet_valve && !unit.concentrate.flush_valve,
        "what is not seen is not there"
    );
    let water = site.state.water_at("lime-kiln", now()).unwrap();
    assert_eq!(water.alkalinity_mg_l_caco3, Some(165.0));
    assert!(
        known
            .papers
            .notes
            .iter()
            .any(|note| note.what.contains("not seen"))
    );
    for address in [
        "/units/lime-kiln",
        "/units/lime-kiln/water",
        "/units/lime-kiln/plan",
    ] {
        let response = site.get(address);
        assert_eq!(response.status, 200, "{address}");
        html::check(address, &text(&response));
    }
}

#[test]
fn regress_a_label_that_no_membrane_can_meet_is_refused_beside_its_field() {
    let site = Site::quillmere();
    // Sea water at 65 psi: ASTM D4516's relation gives it an osmotic pressure of some 28 bar, six times as much.
    let salty = SEEN.replace("rated.tds=500", "rated.tds=35000");
    let response = site.send("/units/new", &form(1, &format!("{salty}&do=keep")));
    let page = text(&response);
    assert_eq!(response.status, 422, "{page}");
    assert!(response.entries.is_empty());
    html::check("/units/new", &page);
    assert!(
        page.contains("id=\"f-membranes_elements_rated_flow-error\""),
        "{page}"
    );
    assert!(page.contains("No membrane can do that"), "{page}");
}

#[test]
fn regress_what_a_document_refuses_is_said_in_the_readers_language() {
    let mut site = Site::quillmere();
    site.language = "de";
    for (good, bad, wanted) in [
        (
            "need.coldest_feed=5",
            "need.coldest_feed=25",
            "kann nicht wärmer sein als das wärmste",
        ),
        (
            "water.ph=7.5",
            "water.ph=75",
            "Hier steht 75. Möglich: eine bloße Zahl; 0 bis 14.",
        ),
        ("time_zone=UTC", "time_zone=Nowhere", "der Name einer Zeitzone"),
        ("rejection=97", "rejection=many", "Hier steht many"),
        (
            "rated.tds=500",
            "rated.tds=-500",
            "0\u{a0}mg/L bis 50000\u{a0}mg/L",
        ),
    ] {
        assert!(SEEN.contains(good), "{good}");
        let sent = format!("{}&do=keep", SEEN.replace(good, bad));
        let response = site.send("/units/new", &form(1, &sent));
        let page = text(&response);
        assert_eq!(response.status, 422, "{bad}");
        assert!(page.contains(wanted), "{bad}: {page}");
        for english in ["accepted", " at most ", "above 0", "nothing", "a plain number"] {
            assert!(!page.contains(english), "{bad}: {english}");
        }
    }
}

#[test]
fn regress_what_is_wrong_stands_beside_its_field_and_what_was_typed_stays() {
    let site = Site::quillmere();
    for (good, bad, field) in [
        (
            "rejection=97",
            "rejection=many",
            "membranes_elements_rated_rejection",
        ),
        (
            "membranes.elements.size=2012",
            "membranes.elements.size=",
            "membranes_elements_size",
        ),
        ("count=2", "count=9", "count"),
        ("need.coldest_feed=5", "need.coldest_feed=25", "need_coldest_feed"),
        ("water.ph=7.5", "water.ph=75", "water_ph"),
        ("time_zone=UTC", "time_zone=Nowhere", "time_zone"),
        (
            "commissioned=2026-11-02",
            "commissioned=2031-01-01",
            "commissioned",
        ),
        ("commissioned=2026-11-02", "commissioned=", "commissioned"),
        (
            "permeate.tank.kind=open",
            "permeate.tank.kind=",
            "permeate_tank_kind",
        ),
        ("stages.2=pump", "stages.2=regulator", "stages_set_pressure"),
        ("site_name=Kiln+yard", "site_name=", "site_name"),
        ("name=Lime+kiln", "name=", "name"),
    ] {
        assert!(SEEN.contains(good), "{good}");
        let body = form(1, &format!("{}&do=keep", SEEN.replacen(good, bad, 1)));
        let response = site.send("/units/new", &body);
        let page = text(&response);
        assert_eq!(response.status, 422, "{bad}: {page}");
        assert!(page.contains(&format!("id=\"f-{field}-error\"")), "{bad}: {page}");
        assert!(
            page.contains("value=\"200 L\"") && response.entries.is_empty(),
            "{bad}"
        );
        html::check(bad, &page);
    }
}

/// The form of a unit as it stands, as a browser sends it back.
fn as_it_stands(page: &str) -> Vec<(String, String)> {
    html::fields(page)
}

fn encoded(fields: &[(String, String)]) -> String {
    let pair = |(name, value): &(String, String)| {
        let value = value.bytes().fold(String::new(), |mut out, byte| {
            write!(out, "%{byte:02X}").unwrap();
            out
        });
        format!("{name}={value}")
    };
    fields.iter().map(pair).collect::<Vec<_>>().join("&")
}

#[test]
fn regress_a_unit_described_anew_as_it_stands_is_the_same_unit() {
    let site = Site::quillmere();
    for id in site.state.unit_ids() {
        let address = format!("/units/{id}/plan");
        let mut fields = as_it_stands(&text(&site.get(&address)));
        fields.push(("do".to_owned(), "keep".to_owned()));
        let response = site.send(&address, &encoded(&fields));
        assert_eq!(response.status, 303, "{id}: {}", text(&response));
        let before = site.state.unit(id).unwrap().unit().unwrap();
        for entry in &response.entries {
            let Ok(Payload::Unit(described)) = entry.payload.decode() else {
                continue;
            };
            let after = ledger::state::read_unit(&described.document).unwrap();
            let mut same = after.clone();
            // What the readers take for granted may now be said.
            same.permeate.shutoff = before.permeate.shutoff;
            assert_eq!(&same, before, "{id}");
        }
    }
}

#[test]
fn regress_a_unit_is_altered_from_a_day_on_or_corrected_from_the_start() {
    let mut site = Site::quillmere();
    let address = "/units/fern-house/plan";
    let mut fields = as_it_stands(&text(&site.get(address)));
    let put = |fields: &mut Vec<(String, String)>, name: &str, value: &str| {
        fields.retain(|(other, _)| other != name);
        fields.push((name.to_owned(), value.to_owned()));
    };
    put(&mut fields, "concentrate.restrictor.flow", "700 mL/min");
    put(&mut fields, "do", "keep");
    let body = encoded(&fields);
    site.keep(address, &body);
    let known = site.state.unit("fern-house").unwrap();
    assert_eq!(known.descriptions.len(), 2);
    // 700 mL/min is 42 L/h.
    assert!((known.unit().unwrap().concentrate.restrictor.flow_l_h - 42.0).abs() < 1e-9);
    let first = known.descriptions[0].at;
    assert!(known.unit_at(first).unwrap().concentrate.restrictor.flow_l_h > 42.0);

    let mut fields = as_it_stands(&text(&site.get(address)));
    put(&mut fields, "how", "wrong");
    put(&mut fields, "concentrate.restrictor.flow", "650 mL/min");
    put(&mut fields, "do", "keep");
    site.keep(address, &encoded(&fields));
    let known = site.state.unit("fern-house").unwrap();
    assert_eq!(
        known.descriptions.len(),
        2,
        "a correction stands in the place of what it corrects"
    );
    assert!((known.unit().unwrap().concentrate.restrictor.flow_l_h - 39.0).abs() < 1e-9);

    put(&mut fields, "how", "altered");
    put(&mut fields, "at", "2020-01-01T00:00");
    let response = site.send(address, &encoded(&fields));
    assert_eq!(response.status, 422);
    assert!(text(&response).contains("id=\"f-at-error\""));
}
