//! `POST /restore`: a backup comes in and takes the ledger's place.

use std::io::{Read, Seek, SeekFrom, Write};
use std::pin::Pin;
use std::sync::Arc;
use std::time::Duration;

use axum::body::{Body, HttpBody};
use axum::http::{HeaderMap, Request, Response, StatusCode, header};
use jiff::Timestamp;
use pages::NotRestored;
use tempfile::NamedTempFile;

use crate::answer::{Asked, begun, declared, kind, plain, sent};
use crate::kept::Kept;
use crate::{Error, new_id};

/// The address.
pub(crate) const PATH: &str = "/restore";

/// The largest backup that is taken, bytes; a larger one is restored at the machine itself.
const MOST: u64 = 2_000_000_000;

/// How long it may take to arrive.
const ARRIVAL: Duration = Duration::from_mins(10);

/// The most that stands before the file in a form, bytes: the boundary and a few headers.
const LONGEST_HEAD: usize = 8 * 1024;

/// Takes the backup in, puts it in the ledger's place, and says what became of it.
pub(crate) async fn answer(kept: Arc<Kept>, request: Request<Body>) -> Response<Body> {
    let (head, body) = request.into_parts();
    let asked = match begun(head) {
        Ok(asked) => asked,
        Err(status) => return plain(status),
    };
    let received = match declared(&asked.headers) {
        Some(length) if length > MOST => Err(NotRestored::TooLarge { most: MOST }),
        _ => match tokio::time::timeout(ARRIVAL, received(&asked.headers, body)).await {
            Ok(received) => received,
            Err(_) => return plain(StatusCode::REQUEST_TIMEOUT),
        },
    };
    let answered = tokio::task::spawn_blocking(move || {
        let restored = received.and_then(|backup| {
            let identity = new_id(Timestamp::now()).map_err(|_| NotRestored::Failed)?;
            kept.restore(backup.path(), identity)
                .map_err(|error| because(&Error::from(error)))
        });
        page(&kept, &asked, restored)
    });
    match answered.await {
        Ok(Ok(response)) => response,
        _ => plain(StatusCode::INTERNAL_SERVER_ERROR),
    }
}

fn page(kept: &Kept, asked: &Asked, restored: Result<u64, NotRestored>) -> Result<Response<Body>, Error> {
    let response = match restored {
        Ok(entries) => pages::Response {
            status: 303,
            headers: vec![("location", format!("/settings?restored={entries}"))],
            ..pages::Response::default()
        },
        Err(why) => {
            let look = kept.look()?;
            let circumstances = asked.circumstances()?;
            pages::not_restored(look.state(), kept.memo(), &asked.request(), &circumstances, why)
        }
    };
    Ok(sent(response, &asked.identity))
}

fn because(error: &Error) -> NotRestored {
    tracing::error!(kind = kind(error), "a backup was not restored");
    match error {
        Error::Store(store::Error::NotALedger { .. }) => NotRestored::NotALedger,
        Error::Store(store::Error::Newer { found, ours, .. }) => NotRestored::Newer {
            found: *found,
            ours: *ours,
        },
        Error::Store(store::Error::Truncated { found, expected, .. }) => NotRestored::CutOff {
            found: *found,
            expected: *expected,
        },
        Error::Store(store::Error::Damaged { .. }) => NotRestored::Damaged,
        Error::Store(store::Error::Busy { .. }) => NotRestored::Busy,
        Error::Store(store::Error::Full { .. }) => NotRestored::Full,
        _ => NotRestored::Failed,
    }
}

fn boundary(headers: &HeaderMap) -> Option<String> {
    let content_type = headers.get(header::CONTENT_TYPE)?.to_str().ok()?;
    let (kind, parameters) = content_type.split_once(';')?;
    let found = parameters
        .split(';')
        .find_map(|parameter| parameter.trim().strip_prefix("boundary="))?;
    let found = found.trim_matches('"');
    // RFC 2046 5.1.1: 1 to 70 characters.
    let fits = kind.trim().eq_ignore_ascii_case("multipart/form-data") && (1..=70).contains(&found.len());
    fits.then(|| found.to_owned())
}

/// The one file of a form (RFC 7578), written down as it comes: it may be larger than there is memory.
async fn received(headers: &HeaderMap, mut body: Body) -> Result<NamedTempFile, NotRestored> {
    let boundary = boundary(headers).ok_or(NotRestored::Nothing)?;
    let failed = |error: std::io::Error| match error.kind() {
        std::io::ErrorKind::StorageFull | std::io::ErrorKind::QuotaExceeded => NotRestored::Full,
        _ => NotRestored::Failed,
    };
    let mut file = tempfile::Builder::new()
        .prefix("saltmark-restore-")
        .tempfile()
        .map_err(failed)?;
    let mut head = Vec::new();
    let mut in_head = true;
    let mut written = 0_u64;
    while let Some(frame) = std::future::poll_fn(|context| Pin::new(&mut body).poll_frame(context)).await {
        let Ok(data) = frame.map_err(|_| NotRestored::Failed)?.into_data() else {
            continue;
        };
        let mut write = |bytes: &[u8]| -> Result<(), NotRestored> {
            written += bytes.len() as u64;
            if written > MOST {
                return Err(NotRestored::TooLarge { most: MOST });
            }
            file.write_all(bytes).map_err(failed)
        };
        if !in_head {
            write(&data)?;
            continue;
        }
        head.extend_from_slice(&data);
        if let Some(end) = head.windows(4).position(|four| four == b"\r\n\r\n") {
            in_head = false;
            write(head.get(end + 4..).unwrap_or_default())?;
            head.truncate(end);
        } else if head.len() > LONGEST_HEAD {
            return Err(NotRestored::Nothing);
        }
    }
    if in_head || !head.starts_with(format!("--{boundary}\r\n").as_bytes()) {
        return Err(NotRestored::Nothing);
    }
    let length = without_end(file.as_file_mut(), written, &boundary).map_err(failed)?;
    let length = length.ok_or(NotRestored::Failed)?;
    if length == 0 {
        return Err(NotRestored::Nothing);
    }
    file.as_file().set_len(length).map_err(failed)?;
    Ok(file)
}

/// The length without the boundary that ends a form; none where it is not there: the form did not come whole.
fn without_end(file: &mut std::fs::File, written: u64, boundary: &str) -> std::io::Result<Option<u64>> {
    let end = format!("\r\n--{boundary}--");
    let longest = end.len() as u64 + 2;
    let from = written.saturating_sub(longest);
    file.seek(SeekFrom::Start(from))?;
    let mut tail = Vec::new();
    file.read_to_end(&mut tail)?;
    let tail = tail.strip_suffix(b"\r\n").unwrap_or(&tail);
    let rest = tail.strip_suffix(end.as_bytes());
    Ok(rest.map(|rest| from + rest.len() as u64))
}
