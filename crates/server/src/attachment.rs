//! Photographs, papers and logs by the hash of their content: what a worker hands over before the entries that
//! name them, and what a page links to.

use axum::body::Body;
use axum::http::{HeaderValue, Method, Response, StatusCode, header};
use ledger::ContentHash;
use pages::ContentKind;

use crate::Error;
use crate::answer::{Asked, plain};
use crate::kept::Kept;

/// What a content may do that is opened by itself: nothing.
const CONTENT_POLICY: &str = "default-src 'none'; sandbox; frame-ancestors 'none'";

/// `POST /attachment` keeps a body, and says its hash; `GET /attachment/HASH` gives it back.
pub(crate) fn answer(kept: &Kept, asked: &Asked, rest: &str) -> Result<Response<Body>, Error> {
    if asked.method == Method::POST {
        if !rest.is_empty() {
            return Ok(plain(StatusCode::NOT_FOUND));
        }
        if asked.body.len() > pages::LARGEST_CONTENT {
            return Ok(plain(StatusCode::PAYLOAD_TOO_LARGE));
        }
        if ContentKind::of(&asked.body).is_none() {
            return Ok(plain(StatusCode::UNSUPPORTED_MEDIA_TYPE));
        }
        let hash = kept.write()?.attach(&asked.body)?;
        let mut response = plain(StatusCode::OK);
        *response.body_mut() = Body::from(hash.to_string());
        return Ok(response);
    }

    let Ok(hash) = rest.parse::<ContentHash>() else {
        return Ok(plain(StatusCode::NOT_FOUND));
    };
    let Some(bytes) = kept.content(hash)? else {
        return Ok(plain(StatusCode::NOT_FOUND));
    };
    let kind = ContentKind::of(&bytes);
    let mut response = Response::new(Body::from(bytes));
    let media_type = kind.map_or("application/octet-stream", ContentKind::media_type);
    let place = if kind.is_some_and(ContentKind::is_shown) {
        "inline"
    } else {
        "attachment"
    };
    let headers = response.headers_mut();
    for (name, value) in [
        (header::CONTENT_TYPE, media_type),
        (header::CONTENT_DISPOSITION, place),
        (header::CONTENT_SECURITY_POLICY, CONTENT_POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        // Under its hash it is always the same; it is the customer's, so no one else's cache keeps it.
        (header::CACHE_CONTROL, "private, max-age=31536000, immutable"),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    Ok(response)
}
