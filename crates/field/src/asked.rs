//! A request, with all that the worker knows about it.

use jiff::Timestamp;
use pages::{Method, Request};
use wasm_bindgen::prelude::wasm_bindgen;

/// A request as the worker hands it over. Everything in it is outside input.
#[wasm_bindgen]
#[derive(Clone, Debug, Default)]
pub struct Asked {
    is_post: bool,
    path: String,
    query: String,
    content_type: String,
    body: Vec<u8>,
    origin: Option<String>,
    own_origin: String,
    accept_language: String,
    pub(crate) person: String,
    pub(crate) device: String,
    now_ms: f64,
    random: Vec<u8>,
    pub(crate) waiting: usize,
}

#[wasm_bindgen]
impl Asked {
    /// What is asked: a path, its query without the question mark, and where.
    #[wasm_bindgen(constructor)]
    #[must_use]
    pub fn new(path: String, query: String, own_origin: String, accept_language: String) -> Self {
        Self {
            path,
            query,
            own_origin,
            accept_language,
            ..Self::default()
        }
    }

    /// Something is written down by it.
    pub fn post(&mut self, content_type: String, body: Vec<u8>, origin: Option<String>) {
        self.is_post = true;
        self.content_type = content_type;
        self.body = body;
        self.origin = origin;
    }

    /// Who asks, on which device, at which time (milliseconds since 1970), with how many entries waiting to be
    /// sent, and 16 random bytes.
    pub fn circumstances(
        &mut self,
        person: String,
        device: String,
        now_ms: f64,
        random: Vec<u8>,
        waiting: usize,
    ) {
        self.person = person;
        self.device = device;
        self.now_ms = now_ms;
        self.random = random;
        self.waiting = waiting;
    }
}

impl Asked {
    pub(crate) fn request(&self) -> Request<'_> {
        Request {
            method: if self.is_post { Method::Post } else { Method::Get },
            path: &self.path,
            query: &self.query,
            content_type: &self.content_type,
            body: &self.body,
            origin: self.origin.as_deref(),
            own_origin: &self.own_origin,
            accept_language: &self.accept_language,
        }
    }

    pub(crate) fn now(&self) -> Timestamp {
        time(self.now_ms)
    }

    /// What is missing of the 16 bytes is 0.
    pub(crate) fn random(&self) -> [u8; 16] {
        let mut random = [0; 16];
        for (to, from) in random.iter_mut().zip(&self.random) {
            *to = *from;
        }
        random
    }
}

/// A browser's time, milliseconds since 1970; 1970 where it is out of all range.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a cast saturates, and what is out of range is no time"
)]
pub(crate) fn time(ms: f64) -> Timestamp {
    Timestamp::from_millisecond(ms as i64).unwrap_or_default()
}
