//! The server is killed at random moments while outboxes are being sent: what it said it had kept is there, once.
//!
//! `SALTMARK_KILL_ROUNDS` sets how many kills there are (default 200); the store has as many of its own while it imports.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::Mutex;
use std::time::Duration;

use ledger::sync::{Answer, Offer};
use ledger::{Entry, EventId};
use store::{Cursor, Options, SqliteStore, Store};

use crate::browser::{Server, entry};

fn rounds() -> u32 {
    let named = std::env::var("SALTMARK_KILL_ROUNDS").ok();
    named.and_then(|text| text.parse().ok()).unwrap_or(200)
}

/// Kills of one ledger: the next one begins anew, so that looking through it stays quick.
const OF_ONE_LEDGER: u32 = 20;

#[test]
fn prop_what_was_received_survives_a_kill() {
    let folder = tempfile::tempdir().unwrap();
    let mut path = PathBuf::new();
    let received: Mutex<BTreeSet<EventId>> = Mutex::default();
    let mut random = 0x9e37_79b9_7f4a_7c15_u64;
    let mut killed_while_sending = 0;
    for round in 0..rounds() {
        if round.is_multiple_of(OF_ONE_LEDGER) {
            path = folder.path().join(format!("{round}.db"));
            received.lock().unwrap().clear();
        }
        // Marsaglia's xorshift64, Journal of Statistical Software 8 (2003) 14.
        random ^= random << 13;
        random ^= random >> 7;
        random ^= random << 17;
        let mut server = Server::start(&path);
        let host = server.host.clone();
        std::thread::scope(|scope| {
            let sender = Server {
                child: std::process::Command::new("true").spawn().unwrap(),
                host,
            };
            let received = &received;
            let sending = scope.spawn(move || {
                let own = format!("POST /sync\norigin: http://{}", sender.host);
                for part in 0..400 {
                    // Each offer repeats half of the one before, as a browser does that heard no answer.
                    let first = round * 10_000 + part * 10;
                    let offer = Offer {
                        entries: (first..first + 20).map(entry).collect(),
                        ..Offer::default()
                    };
                    let Some((200, _, body)) = sender.ask(&own, offer.to_json().as_bytes()) else {
                        return true;
                    };
                    let Ok(answer) = Answer::from_json(&String::from_utf8_lossy(&body)) else {
                        return true;
                    };
                    received.lock().unwrap().extend(answer.received);
                }
                false
            });
            std::thread::sleep(Duration::from_micros(random % 60_000));
            server.child.kill().unwrap();
            server.child.wait().unwrap();
            killed_while_sending += u32::from(sending.join().unwrap());
        });

        let store = SqliteStore::open(&path, Options::default()).unwrap();
        assert_eq!(store.check().unwrap(), Vec::<String>::new(), "round {round}");
        let mut entries: Vec<Entry> = Vec::new();
        store
            .read(Cursor(0), usize::MAX, &mut |entry| entries.push(entry))
            .unwrap();
        let there: BTreeSet<EventId> = entries.iter().map(|entry| entry.id).collect();
        assert_eq!(
            there.len(),
            entries.len(),
            "round {round}: an entry is there twice"
        );
        let received = received.lock().unwrap();
        assert!(
            received.is_subset(&there),
            "round {round}: an entry that was received is gone"
        );
    }
    assert!(
        killed_while_sending > rounds() / 2,
        "only {killed_while_sending} kills came while an outbox was being sent"
    );
}
