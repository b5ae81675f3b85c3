//! One request: guarded, read, answered by the pages, kept, sent.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::time::Duration;

use axum::body::{Body, to_bytes};
use axum::extract::State as Shared;
use axum::http::request::Parts;
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, Request, Response, StatusCode, header};
use jiff::Timestamp;
use pages::{Circumstances, ContentKind, LARGEST_CONTENT, NotKept, Place, not_kept};

use crate::identity::{self, DEVICE, Identity, PERSON};
use crate::kept::{Kept, LONGEST_LOAD};
use crate::{Error, attachment, download, embedded, guard, print, random, restore, sync};

/// The largest body: a content, and the form around it.
const LARGEST_BODY: usize = LARGEST_CONTENT + 1_000_000;

/// How long a body may take to arrive.
const ARRIVAL: Duration = Duration::from_secs(30);

/// A request with its body, and what is known of who sent it.
pub(crate) struct Asked {
    pub(crate) method: Method,
    pub(crate) path: String,
    query: String,
    pub(crate) headers: HeaderMap,
    pub(crate) body: Vec<u8>,
    own_origin: String,
    pub(crate) identity: Identity,
}

impl Asked {
    /// Whether it can be answered before all of the ledger is read: the first page, and files of the program.
    fn is_early(&self) -> bool {
        self.method != Method::POST && (self.path == "/" || embedded::file(&self.path).is_some())
    }

    /// Whether it only reads what is in memory, and is answered at once.
    fn is_page(&self) -> bool {
        let takes_time = ["/attachment", "/backup", "/export/", print::PATH];
        self.method != Method::POST && !takes_time.iter().any(|path| self.path.starts_with(path))
    }
}

/// Answers a request, whatever it is.
pub(crate) async fn answer(Shared(kept): Shared<Arc<Kept>>, request: Request<Body>) -> Response<Body> {
    if request.method() == Method::POST && request.uri().path() == restore::PATH {
        return restore::answer(kept, request).await;
    }
    let asked = match received(request).await {
        Ok(asked) => asked,
        Err(status) => return plain(status),
    };
    // A page is answered from memory in less time than it takes to hand it to another thread. What may wait for the
    // disk gets a thread that may wait.
    let is_ready = kept.is_whole() || asked.is_early();
    let answered = if asked.is_page() && is_ready {
        // What a request reads is whole whatever becomes of the request: locks and the memo see to that.
        catch_unwind(AssertUnwindSafe(|| answered(&kept, &asked))).map_err(|_| ())
    } else {
        let answered = tokio::task::spawn_blocking(move || {
            if is_ready || kept.wait(LONGEST_LOAD) {
                answered(&kept, &asked)
            } else {
                tracing::error!("the ledger could not be read to its end");
                Ok(plain(StatusCode::SERVICE_UNAVAILABLE))
            }
        });
        answered.await.map_err(|_| ())
    };
    match answered {
        Ok(Ok(response)) => response,
        Ok(Err(error)) => {
            tracing::error!(kind = kind(&error), "a request could not be answered");
            plain(StatusCode::INTERNAL_SERVER_ERROR)
        }
        Err(()) => {
            tracing::error!("a request was broken off by a fault of the program");
            plain(StatusCode::INTERNAL_SERVER_ERROR)
        }
    }
}

/// What kind of failure it was; its own words name files.
pub(crate) fn kind(error: &Error) -> &'static str {
    match error {
        Error::Store(store::Error::Full { .. }) => "storage full",
        Error::Store(store::Error::Busy { .. }) => "ledger busy",
        Error::Store(store::Error::Damaged { .. }) => "ledger damaged",
        Error::Store(_) => "ledger",
        Error::NoRandomness(_) => "no randomness",
        _ => "system",
    }
}

/// A request whose body has not come yet, looked at: whether it may ask this at all, and who asks.
pub(crate) fn begun(head: Parts) -> Result<Asked, StatusCode> {
    let own_origin = guard::own_origin(&head.headers)?;
    if !matches!(head.method, Method::GET | Method::HEAD | Method::POST) {
        return Err(StatusCode::METHOD_NOT_ALLOWED);
    }
    guard::may_change(&head.method, &head.headers, &own_origin)?;
    let identity = Identity::of(&head.headers).map_err(|_| StatusCode::INTERNAL_SERVER_ERROR)?;
    Ok(Asked {
        method: head.method,
        path: head.uri.path().to_owned(),
        query: head.uri.query().unwrap_or_default().to_owned(),
        headers: head.headers,
        body: Vec::new(),
        own_origin,
        identity,
    })
}

/// How long a request says that its body is.
pub(crate) fn declared(headers: &HeaderMap) -> Option<u64> {
    headers.get(header::CONTENT_LENGTH)?.to_str().ok()?.parse().ok()
}

async fn received(request: Request<Body>) -> Result<Asked, StatusCode> {
    let (head, body) = request.into_parts();
    let asked = begun(head)?;
    if declared(&asked.headers).is_some_and(|length| length > LARGEST_BODY as u64) {
        return Err(StatusCode::PAYLOAD_TOO_LARGE);
    }
    let body = tokio::time::timeout(ARRIVAL, to_bytes(body, LARGEST_BODY))
        .await
        .map_err(|_| StatusCode::REQUEST_TIMEOUT)?
        .map_err(|_| StatusCode::PAYLOAD_TOO_LARGE)?;
    Ok(Asked {
        body: body.into(),
        ..asked
    })
}

fn answered(kept: &Kept, asked: &Asked) -> Result<Response<Body>, Error> {
    let is_post = asked.method == Method::POST;
    if !is_post && let Some(file) = embedded::file(&asked.path) {
        return Ok(file);
    }
    if asked.path == "/sync" && is_post {
        return sync::answer(kept, asked);
    }
    if let Some(rest) = asked.path.strip_prefix("/attachment") {
        return attachment::answer(kept, asked, rest.trim_start_matches('/'));
    }
    if let Some(answer) = download::answer(kept, asked).or_else(|| print::answer(kept, asked)) {
        return answer;
    }
    page(kept, asked)
}

impl Asked {
    /// As the pages take it.
    pub(crate) fn request(&self) -> pages::Request<'_> {
        let header = |name| {
            self.headers
                .get(name)
                .and_then(|value: &HeaderValue| value.to_str().ok())
        };
        pages::Request {
            method: if self.method == Method::POST {
                pages::Method::Post
            } else {
                pages::Method::Get
            },
            path: &self.path,
            query: &self.query,
            content_type: header(header::CONTENT_TYPE).unwrap_or_default(),
            body: &self.body,
            origin: header(header::ORIGIN),
            own_origin: &self.own_origin,
            accept_language: header(header::ACCEPT_LANGUAGE).unwrap_or_default(),
        }
    }

    /// Who asks, when and where.
    pub(crate) fn circumstances(&self) -> Result<Circumstances<'_>, Error> {
        Ok(Circumstances {
            now: Timestamp::now(),
            person: &self.identity.person,
            device: &self.identity.device,
            random: random::bytes()?,
            place: Place::Server,
        })
    }
}

fn page(kept: &Kept, asked: &Asked) -> Result<Response<Body>, Error> {
    let request = asked.request();
    let circumstances = asked.circumstances()?;
    if request.method == pages::Method::Get {
        let look = kept.look()?;
        let response = pages::respond(look.state(), kept.memo(), &request, &circumstances);
        drop(look);
        return Ok(sent(response, &asked.identity));
    }

    // One writer at a time: what a form is answered by is what the ledger holds when it is kept.
    let mut writing = kept.write()?;
    let mut response = pages::respond(writing.look().state(), kept.memo(), &request, &circumstances);
    if response
        .attachments
        .iter()
        .any(|content| ContentKind::of(content).is_none())
    {
        return Ok(plain(StatusCode::UNSUPPORTED_MEDIA_TYPE));
    }
    if let Err(error) = writing.keep(&mut response) {
        let error = Error::from(error);
        tracing::error!(kind = kind(&error), "a form was not kept");
        let why = match error {
            Error::Store(store::Error::Full { .. }) => NotKept::Full,
            _ => NotKept::Failed,
        };
        return Ok(sent(not_kept(&request, why), &asked.identity));
    }
    Ok(sent(response, &asked.identity))
}

/// A response of the pages as HTTP sends it.
pub(crate) fn sent(response: pages::Response, identity: &Identity) -> Response<Body> {
    let mut sent = Response::new(Body::from(response.body));
    *sent.status_mut() = StatusCode::from_u16(response.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
    let headers = sent.headers_mut();
    for (name, value) in response.headers {
        if let (Ok(name), Ok(value)) = (
            HeaderName::from_bytes(name.as_bytes()),
            HeaderValue::try_from(value),
        ) {
            headers.append(name, value);
        }
    }
    // What the pages did not say. A page is never kept by a browser: the next one may say something else.
    for (name, value) in [
        (header::CACHE_CONTROL, "no-store"),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "same-origin"),
    ] {
        headers.entry(name).or_insert(HeaderValue::from_static(value));
    }
    remember(headers, identity, response.person.as_deref());
    sent
}

/// Lets the browser keep who is at it, where that has changed.
pub(crate) fn remember(headers: &mut HeaderMap, identity: &Identity, person: Option<&str>) {
    let device = identity.is_new.then_some((DEVICE, identity.device.as_str()));
    let person = person.and_then(identity::name);
    let person = person.as_deref().map(|person| (PERSON, person));
    for (cookie, name) in device.into_iter().chain(person) {
        if let Some(kept) = identity::kept(cookie, name) {
            headers.append(header::SET_COOKIE, kept);
        }
    }
}

/// One sentence, where there is no page.
pub(crate) fn plain(status: StatusCode) -> Response<Body> {
    let mut response = Response::new(Body::from(guard::sentence(status)));
    *response.status_mut() = status;
    let headers = response.headers_mut();
    for (name, value) in [
        (header::CONTENT_TYPE, "text/plain; charset=utf-8"),
        (header::CACHE_CONTROL, "no-store"),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    response
}
