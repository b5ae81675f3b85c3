//! What tests of the pages' insides stand on: the demo's ledger (simulated) and a plain request.

use ledger::State;

use crate::frame::ask::Ask;
use crate::{Circumstances, Memo, Method, Place, Request};

/// Hands a person at a desk, reading this language, what `then` looks at.
pub(crate) fn with_quillmere<T>(language: &str, then: impl FnOnce(&Ask<'_>) -> T) -> T {
    let now = "2026-11-20T10:00:00Z".parse().unwrap();
    let mut state = State::new();
    state.extend(demo::entries(demo::SEED, now).unwrap());
    let memo = Memo::new();
    let request = Request {
        method: Method::Get,
        path: "/",
        query: "",
        content_type: "",
        body: &[],
        origin: None,
        own_origin: "",
        accept_language: language,
    };
    let circumstances = Circumstances {
        now,
        person: "",
        device: "desk",
        random: [7; 16],
        place: Place::Server,
    };
    then(&Ask::new(&state, &memo, &request, &circumstances))
}
