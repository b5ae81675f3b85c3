//! The pages: a request, the ledger's state and the time in; a response and new entries out.
//!
//! One program in two places. On the server a shell around an HTTP library calls [`respond`]; on a phone the
//! same crate, compiled to WebAssembly, is called by a service worker and answers the same addresses from the
//! entries that the browser keeps. Whoever calls it makes the new entries durable first, applies them to its
//! state, and only then sends the response: a response that says "kept" is sent when it is kept.
//!
//! Architecture invariant: synchronous and pure. No clock, no random source, no socket, no file, no browser;
//! the state changes only by applying stored entries, never inside the handling of a request.
//! Architecture invariant: no panic, whatever the request.
#![deny(clippy::disallowed_methods)]

mod content;
mod not_kept;
mod request;
mod response;

pub use content::{ContentKind, LARGEST_CONTENT};
pub use not_kept::{NotKept, not_kept};
mod memo;
pub use memo::{Digest, Memo};
pub use request::{Circumstances, Method, Place, Request};
pub use response::Response;

use ledger::State;
use maud::{DOCTYPE, html};

/// Answers a request.
///
/// What is asked is in `request`; who asks, when and where in `circumstances`. `memo` holds what was evaluated before; it
/// makes pages fast and changes nothing in them.
pub fn respond(
    state: &State,
    memo: &Memo,
    request: &Request<'_>,
    circumstances: &Circumstances<'_>,
) -> Response {
    let _ = (memo, circumstances);
    match (request.method, request.path) {
        (Method::Get, "/") => {
            let page = html! { (DOCTYPE) html lang="en" { head { title { "Saltmark" } } body { main { h1 { "Due" } p { (state.unit_ids().count()) " units" } } } } };
            Response::page(200, page.into_string())
        }
        _ => Response::page(404, String::new()),
    }
}
