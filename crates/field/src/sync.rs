//! What is said to the server, and what is done with its answer.

use std::collections::BTreeSet;

use ledger::sync::{Answer, Offer};
use ledger::{Entry, EventId};
use wasm_bindgen::prelude::wasm_bindgen;

/// What to do with an answer, in one transaction.
#[wasm_bindgen]
#[derive(Debug)]
pub struct Settlement {
    add: Vec<String>,
    forget: Vec<String>,
    log: String,
    cursor: f64,
    offer_all: bool,
    stranger: bool,
}

#[wasm_bindgen]
impl Settlement {
    /// Id and line of each entry to add, in turn.
    #[wasm_bindgen(getter)]
    pub fn add(&self) -> Vec<String> {
        self.add.clone()
    }

    /// Ids to take out of the outbox.
    #[wasm_bindgen(getter)]
    pub fn forget(&self) -> Vec<String> {
        self.forget.clone()
    }

    /// The log to remember.
    #[wasm_bindgen(getter)]
    pub fn log(&self) -> String {
        self.log.clone()
    }

    /// The cursor to remember.
    #[wasm_bindgen(getter)]
    pub fn cursor(&self) -> f64 {
        self.cursor
    }

    /// Whether everything here goes into the outbox, as the log was restored from a backup.
    #[wasm_bindgen(getter)]
    pub fn offer_all(&self) -> bool {
        self.offer_all
    }

    /// Whether the log is another ledger altogether, with not one entry that is here: nothing may be sent to it,
    /// and nothing of it be mixed with what is here.
    #[wasm_bindgen(getter)]
    pub fn stranger(&self) -> bool {
        self.stranger
    }
}

/// What is said to the server: the log that was read and up to where (an empty text and 0 for none yet), and the
/// lines of the outbox.
///
/// # Errors
/// What is stored was read before: where it cannot be read now, the database is damaged.
#[wasm_bindgen]
pub fn offer(log: &str, cursor: f64, lines: Vec<String>) -> Result<String, String> {
    let entries = lines.iter().map(|line| Entry::from_json(line));
    let offer = Offer {
        log: log_of(log)?,
        cursor: cursor_of(cursor),
        entries: entries
            .collect::<Result<_, _>>()
            .map_err(|error| error.to_string())?,
    };
    Ok(offer.to_json())
}

/// What to do with an answer. `here` are the ids of all entries here, and only needed where `log` is not the log
/// that answered; `outbox` the ids of those that wait.
///
/// # Errors
/// What is wrong with the answer; then nothing of it is taken.
#[wasm_bindgen]
pub fn settle(
    log: &str,
    cursor: f64,
    outbox: Vec<String>,
    here: Vec<String>,
    answer: &str,
) -> Result<Settlement, String> {
    let answer = Answer::from_json(answer).map_err(|error| error.to_string())?;
    let outbox: Vec<EventId> = outbox.iter().filter_map(|id| id.parse().ok()).collect();
    let log = log_of(log)?;

    let is_other = log.is_some_and(|log| log != answer.log);
    let here: BTreeSet<EventId> = here.iter().filter_map(|id| id.parse().ok()).collect();
    let shares = answer.entries.iter().any(|entry| here.contains(&entry.id));
    let stranger = is_other && !here.is_empty() && !shares;

    let settled = ledger::sync::settle(&outbox, log, cursor_of(cursor), answer);
    let add = settled.add.iter();
    #[expect(clippy::cast_precision_loss, reason = "a log of 2^53 entries is out of reach")]
    Ok(Settlement {
        add: add
            .flat_map(|entry| [entry.id.to_string(), entry.to_json()])
            .collect(),
        forget: settled.forget.iter().map(ToString::to_string).collect(),
        log: settled.log.map(|log| log.to_string()).unwrap_or_default(),
        cursor: settled.cursor as f64,
        offer_all: settled.offer_all,
        stranger,
    })
}

fn log_of(text: &str) -> Result<Option<EventId>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    text.parse()
        .map(Some)
        .map_err(|error: ledger::Error| error.to_string())
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a cast saturates, and a cursor that is none reads the log from the beginning"
)]
fn cursor_of(cursor: f64) -> u64 {
    cursor as u64
}
