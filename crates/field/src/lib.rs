//! The pages in the browser: what the service worker (`worker.js`) calls.
//!
//! The worker keeps entries in the browser's database and hands them over as lines; it decides nothing of the
//! trade, and nothing here knows a database. Randomness and the time are arguments, as everywhere.
//!
//! Architecture invariant: the state changes only by [`Field::apply`], with entries that are stored.
#![expect(
    clippy::needless_pass_by_value,
    reason = "what comes over the border from JavaScript is owned"
)]

mod answer;
mod asked;
mod sync;

use ledger::{Entry, State};
use pages::{Circumstances, Memo, NotKept, Place};
use wasm_bindgen::prelude::wasm_bindgen;

pub use answer::Reply;
pub use asked::Asked;
pub use sync::{Settlement, offer, settle};

/// The pages with the state that they stand on.
#[wasm_bindgen]
#[derive(Debug, Default)]
pub struct Field {
    state: State,
    memo: Memo,
}

#[wasm_bindgen]
impl Field {
    /// Nothing yet.
    #[wasm_bindgen(constructor)]
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds stored entries, one line of JSON each. Adding them again changes nothing.
    ///
    /// # Errors
    /// The line that is no entry, by its number: what is stored was read before, so the database is damaged.
    pub fn apply(&mut self, lines: Vec<String>) -> Result<(), String> {
        for (number, line) in lines.iter().enumerate() {
            let entry = Entry::from_json(line)
                .map_err(|error| format!("stored entry {number} was not read: {error}"))?;
            self.state.insert(entry);
        }
        Ok(())
    }

    /// Evaluates one unit beforehand, and says how many are left: for when nothing else is to be done.
    pub fn warm(&self, now_ms: f64) -> usize {
        self.memo.warm(&self.state, asked::time(now_ms))
    }

    /// Answers a request. The caller keeps the entries of the reply durably before it sends the reply.
    pub fn respond(&self, asked: &Asked) -> Reply {
        let circumstances = Circumstances {
            now: asked.now(),
            person: &asked.person,
            device: &asked.device,
            random: asked.random(),
            place: Place::Field {
                waiting: asked.waiting,
            },
        };
        Reply::new(pages::respond(
            &self.state,
            &self.memo,
            &asked.request(),
            &circumstances,
        ))
    }
}

/// The page that says that nothing was kept, with what was typed. `full`: because the storage is full.
#[wasm_bindgen]
pub fn not_kept(asked: &Asked, full: bool) -> Reply {
    let why = if full { NotKept::Full } else { NotKept::Failed };
    Reply::new(pages::not_kept(&asked.request(), why))
}

/// The media type to answer with for a content that was kept.
#[wasm_bindgen]
pub fn media_type(content: &[u8]) -> String {
    let kind = pages::ContentKind::of(content);
    kind.map_or("application/octet-stream", pages::ContentKind::media_type)
        .to_owned()
}

/// Whether this content may be kept.
#[wasm_bindgen]
pub fn is_kept(content: &[u8]) -> bool {
    pages::ContentKind::of(content).is_some()
}
