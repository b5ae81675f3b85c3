//! The server is killed at random moments while outboxes are being sent: what it said it had kept is there, once.
//!
//! `SALTMARK_KILL_ROUNDS` sets how many kills there are in all (default 200, a fifth of them here: the rest is the
//! store's own test).

use std::collections::BTreeSet;
use std::sync::Mutex;
use std::time::Duration;

use ledger::sync::{Answer, Offer};
use ledger::{Entry, EventId};
use store::{Cursor, Options, SqliteStore, Store};

use crate::browser::{Server, entry};

fn rounds() -> u32 {
    let named = std::env::var("SALTMARK_KILL_ROUNDS").ok();
    named
        .and_then(|text| text.parse().ok())
        .unwrap_or(200_u32)
        .div_ceil(5)
}

#[test]
fn prop_what_was_received_survives_a_kill() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.db");
    let received: Mutex<BTreeSet<EventId>> = Mutex::default();
    let mut random = 0x9e37_79b9_7f4a_7c15_u64;
    let mut killed_while_sending = 0;
    for round in 0..rounds() {
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
        killed_while_sending > 0,
        "no kill came while an outbox was being sent"
    );
}
