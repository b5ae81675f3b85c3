//! What a person chooses, and what a unit is read with and worn at.

use ledger::Payload;
use pages::Place;

use crate::html;
use crate::site::{Site, text};

#[test]
fn regress_settings_are_a_persons_own_and_can_be_taken_back() {
    let mut site = Site::quillmere();
    assert_eq!(
        site.send("/settings", "units=us").status,
        303,
        "nobody is here: it goes on to who is"
    );
    assert!(site.send("/settings", "units=us").entries.is_empty());
    site.person = "Nobody";
    site.keep("/settings", "units=us&language=de&unit_of_pressure=bar");
    let page = text(&site.get("/settings"));
    html::check("/settings", &page);
    assert!(
        page.contains("lang=\"de\"") && page.contains("Einstellungen"),
        "{page}"
    );
    let reading = text(&site.get("/units/fern-house/readings/new"));
    assert!(reading.contains("°F") && reading.contains(">bar<"), "{reading}");
    // Empty is taken back; what did not change is not written again.
    let response = site.send("/settings", "units=us&language=&unit_of_pressure=bar");
    let [entry] = response.entries.as_slice() else {
        panic!("{:?}", response.entries)
    };
    let Ok(Payload::Settings(chosen)) = entry.payload.decode() else {
        panic!("{entry:?}")
    };
    assert_eq!(chosen.set.len(), 1, "{:?}", chosen.set);
    site.state.extend(response.entries);
    assert!(text(&site.get("/settings")).contains("lang=\"en\""));
    for wrong in [
        "units=ells",
        "language=fr",
        "unit_of_flow=psi",
        "unit_of_pressure=%3Cb%3E",
    ] {
        let response = site.send("/settings", wrong);
        assert_eq!((response.status, response.entries.len()), (422, 0), "{wrong}");
        html::check(wrong, &text(&response));
    }
}

#[test]
fn regress_limits_and_instruments_are_set_and_the_instruments_everywhere() {
    let mut site = Site::quillmere();
    let address = "/units/fern-house/limits";
    let form = "how=altered&at=2026-11-20T09:30&limits.permeate_flow_drop=15&instruments.gauges.error=0.5+psi\
        &instruments.permeate_meter.scale=NaCl&instruments.permeate_meter.checked=2026-11-01&limits.saturation.calcite=0.8\
        &stages.0.limit.age=200+d&everywhere=yes";
    site.keep(address, form);
    let unit = site.state.unit("fern-house").unwrap().unit().unwrap();
    assert!((unit.limits.permeate_flow_drop - 0.15).abs() < 1e-12);
    assert!((unit.limits.saturation["calcite"] - 0.8).abs() < 1e-12);
    assert_eq!(unit.stages[0].limit.age_d, Some(200.0));
    // 1 psi is 6.894757 kPa (NIST SP 811, appendix B).
    assert!((unit.instruments.gauge_error_kpa - 0.5 * 6.894_757).abs() < 1e-5);
    let orchid = site.state.unit("orchid-house").unwrap().unit().unwrap();
    assert_eq!(
        orchid.instruments, unit.instruments,
        "the same instruments at the others"
    );
    assert!(
        (orchid.limits.permeate_flow_drop - 0.15).abs() > 0.01,
        "and not the limits"
    );
    let page = text(&site.get(address));
    html::check(address, &page);
    assert!(
        page.contains("value=\"15 %\"") && page.contains("value=\"0.5 psi\""),
        "{page}"
    );
    for (wrong, field) in [
        ("limits.permeate_flow_drop=200", "limits_permeate_flow_drop"),
        ("instruments.gauges.error=tall", "instruments_gauges_error"),
        ("stages.0.limit.age=-3", "stages_0_limit_age"),
        ("limits.saturation.calcite=99", "limits_saturation_calcite"),
    ] {
        let response = site.send(address, &format!("how=altered&at=2026-11-20T09:30&{wrong}"));
        let page = text(&response);
        assert_eq!((response.status, response.entries.len()), (422, 0), "{wrong}");
        assert!(
            page.contains(&format!("id=\"f-{field}-error\"")),
            "{wrong}: {page}"
        );
        html::check(wrong, &page);
    }
}

#[test]
fn regress_in_the_field_what_needs_the_server_says_so() {
    let mut site = Site::quillmere();
    site.place = Place::Field { waiting: 0 };
    for address in ["/backup", "/export/ledger.xlsx"] {
        let response = site.get(address);
        assert_eq!(response.status, 503, "{address}");
        html::check(address, &text(&response));
        assert!(text(&response).contains("needs the network"));
    }
    assert!(text(&site.get("/settings")).contains("Without a signal they have to wait"));
}
