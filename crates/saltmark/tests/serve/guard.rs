//! Who may ask for what, and what is written down about it.

use ledger::sync::{Answer, Offer};

use crate::browser::{Server, entry};

fn served() -> (tempfile::TempDir, Server) {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(&folder.path().join("a.db"));
    (folder, server)
}

#[test]
fn regress_foreign_hosts_and_forms_are_refused() {
    let (_folder, server) = served();
    let status = |request: &str, body: &[u8]| server.ask(request, body).unwrap().0;
    assert_eq!(status("GET /\nhost: shop.example", b""), 421);
    assert_eq!(status("GET /\nhost: localhost", b""), 200);
    let offer = Offer::default().to_json();
    for origin in ["null", "http://shop.example", "http://127.0.0.1:1"] {
        assert_eq!(
            status(&format!("POST /sync\norigin: {origin}"), offer.as_bytes()),
            403
        );
        assert_eq!(status(&format!("POST /who\norigin: {origin}"), b"name=x"), 403);
    }
    assert_eq!(
        status("POST /sync\nsec-fetch-site: cross-site", offer.as_bytes()),
        403
    );
    let own = format!("POST /sync\norigin: http://{}", server.host);
    assert_eq!(status(&own, offer.as_bytes()), 200);
    assert_eq!(status("DELETE /", b""), 405);
    assert_eq!(status(&own, b"no offer"), 400);
    assert_eq!(status(&own, b"\xff\xfe"), 400);
}

#[test]
fn regress_headers_keep_pages_out_of_caches_and_frames() {
    let (_folder, server) = served();
    let (_, head, _) = server.ask("GET /", b"").unwrap();
    for header in [
        "cache-control: no-store",
        "x-content-type-options: nosniff",
        "referrer-policy: same-origin",
        "httponly; samesite=strict",
    ] {
        assert!(head.contains(header), "{header} is missing in {head}");
    }
    let (status, head, body) = server.ask("GET /\naccept-encoding: gzip", b"").unwrap();
    assert_eq!(status, 200);
    assert!(head.contains("content-encoding: gzip"), "{head}");
    // RFC 1952 2.3.1: a gzip member begins with these two bytes (chunked: after the first chunk's length).
    assert!(body.windows(2).any(|bytes| bytes == [0x1f, 0x8b]));
    for path in ["/register.js", "/manifest.webmanifest", "/icon.svg"] {
        let (status, head, _) = server.ask(&format!("GET {path}"), b"").unwrap();
        assert_eq!(status, 200, "{path}");
        assert!(head.contains("cache-control: no-cache"), "{head}");
    }
}

#[test]
fn regress_contents_are_looked_at() {
    let (_folder, server) = served();
    let own = format!("POST /attachment\norigin: http://{}", server.host);
    let (status, ..) = server.ask(&own, b"\x7fELF\x02\x01\x01\0\0\0").unwrap();
    assert_eq!(status, 415);
    let declared = format!("{own}\ncontent-length: 900000000");
    let (status, ..) = server.ask(&declared, b"").unwrap();
    assert_eq!(status, 413);
    let (status, _, hash) = server.ask(&own, b"<script>alert(1)</script>").unwrap();
    assert_eq!(status, 200);
    let hash = String::from_utf8(hash).unwrap();
    let (status, head, body) = server.ask(&format!("GET /attachment/{hash}"), b"").unwrap();
    assert_eq!(
        (status, body.as_slice()),
        (200, b"<script>alert(1)</script>".as_slice())
    );
    assert!(
        head.contains("content-disposition: attachment") && head.contains("sandbox"),
        "{head}"
    );
    let (status, ..) = server
        .ask(&format!("GET /attachment/{}", "0".repeat(64)), b"")
        .unwrap();
    assert_eq!(status, 404);
}

#[test]
fn regress_what_is_offered_is_kept_once() {
    let (_folder, server) = served();
    let own = format!("POST /sync\norigin: http://{}", server.host);
    let say = |offer: &Offer| {
        let (status, _, body) = server.ask(&own, offer.to_json().as_bytes()).unwrap();
        assert_eq!(status, 200);
        Answer::from_json(std::str::from_utf8(&body).unwrap()).unwrap()
    };
    let offer = Offer {
        entries: (0..3).map(entry).collect(),
        ..Offer::default()
    };
    let first = say(&offer);
    assert_eq!(first.received.len(), 3);
    assert_eq!(say(&offer).received.len(), 3);
    let everything = say(&Offer::default());
    assert_eq!(everything.entries, offer.entries);
    let nothing = say(&Offer {
        log: Some(everything.log),
        cursor: everything.cursor,
        entries: Vec::new(),
    });
    assert!(nothing.entries.is_empty());
    // A browser that comes from another ledger is told about this one, and nothing is taken from it.
    let stranger = say(&Offer {
        log: Some(entry(9).id),
        cursor: 7,
        entries: vec![entry(10)],
    });
    assert_eq!((stranger.entries.len(), stranger.received.len()), (3, 0));
}

#[test]
fn regress_nothing_of_the_ledger_is_written_down() {
    let (_folder, server) = served();
    let own = format!("\norigin: http://{}\ncookie: saltmark-person=Marrow", server.host);
    let offer = Offer {
        entries: vec![entry(1)],
        ..Offer::default()
    };
    for (request, body) in [
        ("GET /units/marrow-house?search=marrow", ""),
        ("POST /sync", offer.to_json().as_str()),
        ("POST /who", "name=Marrow"),
        ("MARROW /marrow", ""),
        ("POST /sync", "marrow"),
    ] {
        server.ask(&format!("{request}{own}"), body.as_bytes()).unwrap();
    }
    let log = server.end();
    assert!(log.contains("status=") && log.contains("ms="), "{log}");
    for word in ["marrow", "customer", "zoë", "van", "/units", "/sync", "search"] {
        assert!(!log.to_lowercase().contains(word), "{word} is in the log:\n{log}");
    }
}
