//! A browser's outbox comes in, what is new goes out.

use axum::body::Body;
use axum::http::{HeaderName, HeaderValue, Response, StatusCode, header};
use ledger::sync::{self, Offer};

use crate::Error;
use crate::answer::{Asked, plain, remember};
use crate::identity::{self, DEVICE, PERSON};
use crate::kept::Kept;

/// Keeps what is offered durably, then says what was kept and what is new.
///
/// A browser that has read another log is answered without taking anything from it: it has to find out first
/// whether this one is the same ledger, restored from a backup, or a stranger.
pub(crate) fn answer(kept: &Kept, asked: &Asked) -> Result<Response<Body>, Error> {
    let Ok(text) = std::str::from_utf8(&asked.body) else {
        return Ok(plain(StatusCode::BAD_REQUEST));
    };
    let Ok(mut offer) = Offer::from_json(text) else {
        return Ok(plain(StatusCode::BAD_REQUEST));
    };
    let mut writing = kept.write()?;
    let log = writing.identity();
    if offer.log.is_some_and(|read| read != log) {
        offer.entries.clear();
    }
    let read_from = offer.read_from(log);
    writing.append(offer.entries.clone())?;
    let (since, cursor) = writing.since(read_from)?;
    drop(writing);
    let answer = sync::answer(log, &offer, since, cursor);

    let mut response = Response::new(Body::from(answer.to_json()));
    let headers = response.headers_mut();
    for (name, value) in [
        (header::CONTENT_TYPE, "application/json"),
        (header::CACHE_CONTROL, "no-store"),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    // Who is at the device: a worker cannot read the cookies, so it says and hears it in headers.
    let said = asked.headers.get(PERSON).and_then(|name| name.to_str().ok());
    let said = said.and_then(identity::decoded);
    remember(headers, &asked.identity, said.as_deref());
    let person = said.as_deref().unwrap_or(&asked.identity.person);
    for (name, value) in [(PERSON, person), (DEVICE, asked.identity.device.as_str())] {
        if let Ok(value) = HeaderValue::try_from(identity::encoded(value)) {
            headers.insert(HeaderName::from_static(name), value);
        }
    }
    Ok(response)
}
