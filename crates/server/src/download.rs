//! What is taken out of the ledger as a file: a backup, tables, the log.

use std::fs::File;
use std::io::Read;
use std::pin::Pin;
use std::task::{Context, Poll};

use axum::body::{Body, Bytes};
use axum::http::{HeaderValue, Method, Response, StatusCode, header};
use export::Table;
use http_body::{Frame, SizeHint};
use jiff::Timestamp;
use store::{Options, SqliteStore, Store};
use tempfile::TempDir;

use crate::Error;
use crate::answer::{Asked, plain};
use crate::kept::Kept;

/// Bytes that are sent at once.
const PIECE: usize = 64 * 1024;

/// `GET /backup`, and `GET /export/NAME`; none for any other address.
pub(crate) fn answer(kept: &Kept, asked: &Asked) -> Option<Result<Response<Body>, Error>> {
    if asked.method == Method::POST {
        return None;
    }
    if asked.path == "/backup" {
        return Some(backup(kept));
    }
    asked
        .path
        .strip_prefix("/export/")
        .map(|name| exported(kept, name))
}

/// The ledger as another reader sees it: pages and forms go on being answered meanwhile.
fn reader(kept: &Kept) -> Result<SqliteStore, Error> {
    Ok(SqliteStore::open(kept.path(), Options::default())?)
}

fn day() -> jiff::civil::Date {
    jiff::tz::TimeZone::UTC.to_datetime(Timestamp::now()).date()
}

fn backup(kept: &Kept) -> Result<Response<Body>, Error> {
    let folder = tempfile::Builder::new().prefix("saltmark-backup-").tempdir()?;
    let path = folder.path().join("backup.db");
    reader(kept)?.back_up(&path, &mut |_| {})?;
    let file = File::open(&path)?;
    let left = file.metadata()?.len();
    let body = Body::new(FileBody {
        file,
        left,
        _folder: folder,
    });
    Ok(as_file(
        body,
        "application/vnd.sqlite3",
        &format!("saltmark-{}.db", day()),
    ))
}

fn exported(kept: &Kept, name: &str) -> Result<Response<Body>, Error> {
    let table = name.strip_suffix(".csv").and_then(Table::from_name);
    if table.is_none() && !matches!(name, "ledger.xlsx" | "ledger.jsonl") {
        return Ok(plain(StatusCode::NOT_FOUND));
    }
    let (state, _) = store::load(&reader(kept)?)?;
    let units: Vec<&str> = state.unit_ids().collect();
    let mut bytes = Vec::new();
    let (written, media_type) = match (table, name) {
        (Some(table), _) => (
            export::csv(&state, &units, table, &mut bytes),
            "text/csv; charset=utf-8",
        ),
        (None, "ledger.xlsx") => (
            export::workbook(&state, &units, Timestamp::now(), &mut bytes),
            "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        ),
        (None, _) => (
            export::json_lines(&state, None, &mut bytes),
            "application/jsonl; charset=utf-8",
        ),
    };
    written.map_err(|error| Error::System(std::io::Error::other(error)))?;
    let called = match name.strip_prefix("ledger.") {
        Some(extension) => format!("saltmark-{}.{extension}", day()),
        None => format!("saltmark-{}-{name}", day()),
    };
    Ok(as_file(Body::from(bytes), media_type, &called))
}

/// Saved by a browser under this name, and kept by no cache.
pub(crate) fn as_file(body: Body, media_type: &'static str, name: &str) -> Response<Body> {
    let mut response = Response::new(body);
    let headers = response.headers_mut();
    for (header, value) in [
        (header::CONTENT_TYPE, media_type),
        (header::CACHE_CONTROL, "no-store"),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (
            header::CONTENT_SECURITY_POLICY,
            "default-src 'none'; sandbox; frame-ancestors 'none'",
        ),
    ] {
        headers.insert(header, HeaderValue::from_static(value));
    }
    // Names are plain letters.
    if let Ok(value) = HeaderValue::try_from(format!("attachment; filename=\"{name}\"")) {
        headers.insert(header::CONTENT_DISPOSITION, value);
    }
    response
}

/// A file that is sent piece by piece, so that a ledger of any size takes no memory; it goes away with its folder when it
/// was sent, or when nobody wants it any more.
struct FileBody {
    file: File,
    left: u64,
    _folder: TempDir,
}

impl http_body::Body for FileBody {
    type Data = Bytes;
    type Error = std::io::Error;

    fn poll_frame(
        mut self: Pin<&mut Self>,
        _: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, std::io::Error>>> {
        if self.left == 0 {
            return Poll::Ready(None);
        }
        // A file just written comes from the system's memory: reading it holds no thread up for long.
        let mut piece = vec![0; PIECE];
        let read = match self.file.read(&mut piece) {
            Ok(0) => Err(std::io::ErrorKind::UnexpectedEof.into()),
            other => other,
        };
        Poll::Ready(Some(read.map(|read| {
            piece.truncate(read);
            self.left = self.left.saturating_sub(read as u64);
            Frame::data(Bytes::from(piece))
        })))
    }

    fn is_end_stream(&self) -> bool {
        self.left == 0
    }

    fn size_hint(&self) -> SizeHint {
        SizeHint::with_exact(self.left)
    }
}
