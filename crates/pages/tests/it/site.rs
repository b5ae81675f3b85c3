//! A ledger and a browser in front of it.

use std::sync::LazyLock;

use jiff::Timestamp;
use ledger::State;
use pages::{Circumstances, Memo, Method, Place, Request, Response, respond};

/// Now, for all tests.
pub(crate) fn now() -> Timestamp {
    "2026-11-20T10:00:00Z".parse().unwrap()
}

static QUILLMERE: LazyLock<State> = LazyLock::new(|| {
    let mut state = State::new();
    state.extend(demo::entries(demo::SEED, now()).unwrap());
    state
});

static MEMO: LazyLock<Memo> = LazyLock::new(Memo::new);

/// The pages with a ledger behind them.
pub(crate) struct Site {
    pub(crate) state: State,
    pub(crate) memo: Memo,
    pub(crate) language: &'static str,
    pub(crate) person: &'static str,
    pub(crate) device: &'static str,
    pub(crate) place: Place,
    pub(crate) origin: Option<&'static str>,
    /// The time of its clock.
    pub(crate) now: Timestamp,
}

pub(crate) const OWN: &str = "http://127.0.0.1:8080";

impl Site {
    /// With the demonstration ledger (simulated).
    pub(crate) fn quillmere() -> Self {
        Self::of(QUILLMERE.clone())
    }

    /// With this ledger.
    pub(crate) fn of(state: State) -> Self {
        Self {
            state,
            memo: Memo::new(),
            language: "en",
            person: "",
            device: "desk",
            place: Place::Server,
            origin: Some(OWN),
            now: now(),
        }
    }

    fn ask(&self, memo: &Memo, method: Method, address: &str, content_type: &str, body: &[u8]) -> Response {
        let (path, query) = address.split_once('?').unwrap_or((address, ""));
        let request = Request {
            method,
            path,
            query,
            content_type,
            body,
            origin: self.origin,
            own_origin: OWN,
            accept_language: self.language,
        };
        let circumstances = Circumstances {
            now: self.now,
            person: self.person,
            device: self.device,
            random: [7; 16],
            place: self.place,
        };
        respond(&self.state, memo, &request, &circumstances)
    }

    /// Reads a page.
    pub(crate) fn get(&self, address: &str) -> Response {
        self.ask(&self.memo, Method::Get, address, "", &[])
    }

    /// What other tests evaluated of a unit of the demonstration ledger.
    pub(crate) fn digest_shared(&self, unit: &str) -> Option<std::sync::Arc<pages::Digest>> {
        MEMO.digest(&self.state, unit, self.now).map(|(digest, _)| digest)
    }

    /// Reads a page with what this memo holds.
    pub(crate) fn get_with(&self, memo: &Memo, address: &str) -> Response {
        self.ask(memo, Method::Get, address, "", &[])
    }

    /// Reads a page of the demonstration ledger as it stands, with what other tests evaluated before.
    pub(crate) fn get_shared(&self, address: &str) -> Response {
        self.ask(&MEMO, Method::Get, address, "", &[])
    }

    /// Sends a form, as it stands.
    pub(crate) fn send(&self, address: &str, body: &str) -> Response {
        self.ask(
            &self.memo,
            Method::Post,
            address,
            "application/x-www-form-urlencoded",
            body.as_bytes(),
        )
    }

    /// Sends anything.
    pub(crate) fn post(&self, address: &str, content_type: &str, body: &[u8]) -> Response {
        self.ask(&self.memo, Method::Post, address, content_type, body)
    }

    /// Sends a form and keeps what it makes, as a shell does; gives the address that it goes on to.
    pub(crate) fn keep(&mut self, address: &str, body: &str) -> String {
        let response = self.send(address, body);
        assert_eq!(response.status, 303, "{}", text(&response));
        self.state.extend(response.entries.iter().cloned());
        header(&response, "location").unwrap().to_owned()
    }
}

/// The body as text.
pub(crate) fn text(response: &Response) -> String {
    String::from_utf8(response.body.clone()).unwrap()
}

/// A header.
pub(crate) fn header<'a>(response: &'a Response, name: &str) -> Option<&'a str> {
    let found = response.headers.iter().find(|(other, _)| *other == name);
    found.map(|(_, value)| value.as_str())
}
