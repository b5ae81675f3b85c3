//! Whatever is asked, an answer comes.

use std::sync::LazyLock;

use ledger::State;
use proptest::prelude::*;

use crate::site::{Site, now};

/// A small ledger: one unit of the demonstration (simulated), so that a case takes little time.
static SMALL: LazyLock<State> = LazyLock::new(|| {
    let mut state = State::new();
    let entries = demo::entries(demo::SEED, now()).unwrap();
    state.extend(entries.into_iter().filter(
        |entry| !matches!(entry.payload.subject(), Some(ledger::Subject::Unit(id)) if &**id != "fern-house"),
    ));
    state
});

fn segment() -> impl Strategy<Value = String> {
    prop_oneof![
        8 => prop::sample::select(vec![
            "units", "fern-house", "log", "water", "readings", "new", "entries", "sites", "customers", "who", "events",
            "notes", "plan", "limits", "import", "settings", "work", "card", "history.svg", "saturation.svg", "water-lane", "", "%00", "%ff", "..", "new%2f",
        ]).prop_map(str::to_owned),
        1 => "\\PC{0,12}",
        1 => prop::sample::select(SMALL.entries().map(|entry| entry.id.to_string()).collect::<Vec<_>>()),
    ]
}

fn value() -> impl Strategy<Value = String> {
    prop_oneof![
        prop::sample::select(vec![
            "58 psi",
            "500 mL in 71 s",
            "1e999",
            "-1",
            "NaN",
            "2025-01-14T09:20",
            "9999-12-31T23:59",
            "changed",
            "sediment",
            "correct",
            "take-back",
            "0",
            "1,234",
            "inf kPa",
            "350 ppm",
            "",
            "-9999-01-01T00:00",
            "18446744073709551616",
            "altered",
            "wrong",
            "look",
            "keep",
            "photo",
            "100 gpd",
            "97 %",
            "2012",
            "spun",
            "pump",
            "open",
            "permeate_flow",
            "446174652c4120676e640a323032342d30312d30322c330a",
            "Date,Permeate flow L/h\n2024-01-02,30\n2024-01-09,",
        ])
        .prop_map(str::to_owned),
        "\\PC{0,20}",
    ]
}

fn pair() -> impl Strategy<Value = String> {
    let names = prop::sample::select(vec![
        "at",
        "form",
        "note",
        "kind",
        "part",
        "do",
        "corrects",
        "reason",
        "page",
        "q",
        "wide",
        "name",
        "person",
        "observed",
        "feed_temperature",
        "inlet_pressure",
        "permeate_flow",
        "pressure_after.sediment",
        "feed_conductivity",
        "ph",
        "conductivity",
        "hardness",
        "calcium",
        "customer",
        "running_for",
        "how",
        "count",
        "commissioned",
        "time_zone",
        "membranes.elements.size",
        "membranes.elements.rated.flow",
        "membranes.elements.rated.rejection",
        "membranes.elements.rated.pressure",
        "membranes.elements.rated.tds",
        "stages.0",
        "stages.open_flow",
        "permeate.tank.kind",
        "concentrate.restrictor.flow",
        "water.ph",
        "site_name",
        "instruments.gauges.error",
        "limits.permeate_flow_drop",
        "everywhere",
        "pasted",
        "carried",
        "column.0",
        "heading.0",
        "units",
        "language",
    ]);
    (names, value()).prop_map(|(name, value)| format!("{name}={}", value.replace(['&', '#'], "%26")))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]
    #[test]
    fn prop_no_request_panics_and_reading_writes_nothing(
        path in prop::collection::vec(segment(), 0..5),
        query in prop::collection::vec(pair(), 0..4),
        body in prop::collection::vec(pair(), 0..9),
        raw in prop::collection::vec(any::<u8>(), 0..60),
        kind in prop::sample::select(vec!["application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "multipart/form-data", "", "text/plain"]),
        post in any::<bool>(),
    ) {
        static SITE: LazyLock<Site> = LazyLock::new(|| Site::of(SMALL.clone()));
        let site = &*SITE;
        let address = format!("/{}?{}", path.join("/"), query.join("&"));
        let response = if post {
            let body = if kind.contains("urlencoded") { body.join("&").into_bytes() } else { raw };
            site.post(&address, kind, &body)
        } else {
            site.get(&address)
        };
        prop_assert!((200..600).contains(&response.status));
        prop_assert!(response.status < 500);
        if !post {
            prop_assert!(response.entries.is_empty());
        }
        // What was refused is not written down.
        if response.status >= 400 {
            prop_assert!(response.entries.is_empty());
        }
        for entry in &response.entries {
            prop_assert!(entry.payload.decode().is_ok());
        }
    }
}
