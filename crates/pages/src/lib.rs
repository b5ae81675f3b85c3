//! The pages: a request, the ledger's state and the time in; a response and new entries out.
//!
//! One program in two places. On the server a shell around an HTTP library calls [`respond`]; on a phone the
//! same crate, compiled to WebAssembly, is called by a service worker and answers the same addresses from the
//! entries that the browser keeps. Whoever calls it makes the new entries durable first, applies them to its
//! state, and only then sends the response: a response that says "kept" is sent when it is kept.
//!
//! # How a page is added
//! 1. A function in a module of `show`, `fn(&Ask, &[String]) -> Response`: it looks at `ask.state`, takes evaluations from
//!    `ask.memo`, and ends with `Page::new(title, section, body).answer(ask)`. The body is `maud`; every word in it comes
//!    from `ask.say.say("key")` or `ask.say.with("key", ...)`, every value from `ask.measures.show(kind, value)`.
//!    A value that was computed goes through `frame::figure::figure(unit, name, of, text)`, which opens it to how it was
//!    computed; one that was read, typed or described through `said`, or stands in an element of class `said`; in a sentence
//!    both are put by `ask.say.rich("key", vec![("name", markup.into())])`. A new kind of figure is a constant `Equation`
//!    and a function that gives its `Account`s, both beside the function that computes it, a name in `show/how/find.rs`, and
//!    its words in the message files (`how-NAME`, `how-NAME-words`, `symbol-NAME`). `tests/it/figures.rs` finds a number
//!    with a unit that opens to nothing.
//! 2. A line for its address in `frame/router.rs`.
//! 3. The keys in `messages/en.ftl` and `messages/de.ftl`; a test finds what is missing, unused, or written into a template.
//! 4. Where it writes: `form::hidden_id` in the form, `ask.entry(which, happened_at, &payload)` for each entry, and
//!    `ask.keep(entries, address)` at the end, which goes on to a page by a 303. Wrong fields go into `form::Faults`, and the
//!    form is shown again with status 422 and `ask.sent` in it.
//! 5. A line in `tests/it/every_page.rs`: it is then checked for well-formed HTML, headings, labels and escaping.
//!
//! Architecture invariant: synchronous and pure. No clock, no random source, no socket, no file, no browser;
//! the state changes only by applying stored entries, never inside the handling of a request.
//! An answer that looks only at the entries, the day and who asks is given again as it is until one of them changes
//! (`kept.rs`); what calls `ask.now()`, `ask.device()` or makes a form's id is made anew each time.
//!
//! Architecture invariant: no panic, whatever the request.
#![deny(clippy::disallowed_methods)]

mod chemistry;
mod content;
mod expected;
#[cfg(test)]
mod fixture;
mod frame;
mod kept;
mod memo;
mod not_kept;
mod request;
mod response;
mod show;
mod told;

pub use content::{ContentKind, LARGEST_CONTENT};
pub use frame::assets::asset_paths;
pub use memo::{Digest, Memo};
pub use not_kept::{NotKept, not_kept};
pub use request::{Circumstances, Method, Place, Request};
pub use response::Response;
pub use show::settings::NotRestored;
pub use show::work::print::{NotPrinted, Printable, ToPrint};

use ledger::State;

/// The page that says why a backup did not take the ledger's place, in answer to the form that sent it.
///
/// The shell calls it for the one request that it answers itself; the ledger is as it was.
pub fn not_restored(
    state: &State,
    memo: &Memo,
    request: &Request<'_>,
    circumstances: &Circumstances<'_>,
    why: NotRestored,
) -> Response {
    // The body is a whole ledger: it is not looked at as a form.
    let asked = Request {
        body: &[],
        ..*request
    };
    let ask = frame::ask::Ask::new(state, memo, &asked, circumstances);
    frame::layout::finish(show::settings::not_restored(&ask, why))
}

/// What `GET /print/WHAT/UNIT` asks to print, or the page that says why it is not; none for any other address.
///
/// Only the server asks: the writer of PDF does not go to the browser.
pub fn to_print(
    state: &State,
    memo: &Memo,
    request: &Request<'_>,
    circumstances: &Circumstances<'_>,
) -> Option<Result<ToPrint, Box<Response>>> {
    let (what, unit) = request.path.strip_prefix("/print/")?.split_once('/')?;
    let ask = frame::ask::Ask::new(state, memo, request, circumstances);
    let asked = show::work::print::asked(&ask, what, &frame::link::decoded(unit, false));
    Some(asked.map_err(|response| Box::new(frame::layout::finish(response))))
}

/// The page that says why nothing was printed.
pub fn not_printed(
    state: &State,
    memo: &Memo,
    request: &Request<'_>,
    circumstances: &Circumstances<'_>,
    why: &NotPrinted,
) -> Response {
    let ask = frame::ask::Ask::new(state, memo, request, circumstances);
    frame::layout::finish(show::work::print::not_printed(&ask, why))
}

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
    let ground = || kept::Ground::new(state, memo.digests(), circumstances);
    let (before, key) = (ground(), kept::Key::new(request, circumstances));
    if let Some(key) = &key
        && let Some(found) = memo.answers.find(before, key)
    {
        return Response::clone(&found);
    }
    let ask = frame::ask::Ask::new(state, memo, request, circumstances);
    let response = frame::layout::finish(frame::router::answer(&ask));
    // Where another evaluation came in meanwhile the page may be made from both.
    if let Some(key) = key
        && response.status == 200
        && !ask.is_for_once()
        && ground() == before
    {
        memo.answers.keep(before, key, &response);
    }
    response
}
