//! Any request at the pages: an answer, whatever it is, and what it asks to be kept can be kept and read again.
#![no_main]

use std::sync::LazyLock;

use jiff::Timestamp;
use ledger::{Entry, State};
use libfuzzer_sys::fuzz_target;
use pages::{Circumstances, Memo, Method, Place, Request};

/// The invented valley, as of a fixed day.
static LEDGER: LazyLock<(State, Memo)> = LazyLock::new(|| {
    let mut state = State::new();
    let now: Timestamp = "2026-10-20T09:00:00Z".parse().expect("a time");
    state.extend(demo::entries(demo::SEED, now).expect("the demonstration"));
    (state, Memo::new())
});

const OWN_ORIGIN: &str = "http://127.0.0.1:7380";

fuzz_target!(|input: (bool, bool, String, String, String, Vec<u8>, String, i64, [u8; 16])| {
    let (is_post, in_field, path, query, content_type, body, person, seconds, random) = input;
    let (state, memo) = &*LEDGER;
    let request = Request {
        method: if is_post { Method::Post } else { Method::Get },
        path: &path,
        query: &query,
        content_type: &content_type,
        body: &body,
        origin: Some(OWN_ORIGIN),
        own_origin: OWN_ORIGIN,
        accept_language: &query,
    };
    let circumstances = Circumstances {
        now: Timestamp::from_second(seconds).unwrap_or(Timestamp::UNIX_EPOCH),
        person: &person,
        device: "fuzz",
        random,
        place: if in_field { Place::Field { waiting: 3 } } else { Place::Server },
    };
    let response = pages::respond(state, memo, &request, &circumstances);
    assert!((200..600).contains(&response.status));
    assert!(is_post || response.entries.is_empty(), "reading changes nothing");
    for entry in &response.entries {
        assert_eq!(Entry::from_json(&entry.to_json()).as_ref(), Ok(entry));
    }
    let refused = pages::not_kept(&request, pages::NotKept::Full);
    assert_eq!(refused.status, 507);
});
