//! Starting, serving, ending.

use std::io::{self, ErrorKind};
use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::{Duration, Instant};

use axum::Router;
use axum::body::Body;
use axum::http::{Method, Request, Response};
use axum::middleware::{self, Next};
use jiff::Timestamp;
use store::{Options, SqliteStore};
use tokio::net::TcpListener;
use tokio::signal::unix::{SignalKind, signal};
use tower_http::CompressionLevel;
use tower_http::compression::CompressionLayer;

use crate::answer::answer;
use crate::kept::Kept;
use crate::{Error, embedded, new_id};

/// How long requests that are under way may take when the server is told to end.
const FAREWELL: Duration = Duration::from_secs(5);

/// How long reading the whole ledger may keep the first page waiting.
const PATIENCE: Duration = Duration::from_millis(40);
/// More entries than are read in that time on any machine of today; for a larger ledger nothing waits.
const READ_AT_ONCE: u64 = 20_000;

/// How often is looked whether there is something to evaluate beforehand.
const LOOK_AGAIN: Duration = Duration::from_secs(1);

/// What is served where.
#[derive(Clone, Debug)]
pub struct Serving {
    /// The ledger's file.
    pub ledger: PathBuf,
    /// Whether to begin an empty ledger where there is none.
    pub begin: bool,
    /// From [`crate::listen_address`].
    pub listen: SocketAddr,
}

/// What there is to say once it serves.
#[derive(Clone, Debug)]
pub struct Announcement {
    /// Where it is reached, such as `http://127.0.0.1:7380/`.
    pub address: String,
    /// Whether the pages can be used without a signal: whether the binary holds the worker.
    pub works_offline: bool,
}

/// Serves until it is interrupted or told to end. `announce` is called once, when it can be reached.
///
/// # Errors
/// A ledger that cannot be opened (it is left untouched), an address that cannot be listened on.
pub fn serve(serving: &Serving, announce: impl FnOnce(&Announcement)) -> Result<(), Error> {
    // A second call in one process keeps the first one's log.
    let _first = tracing_subscriber::fmt()
        .with_writer(io::stderr)
        .with_ansi(false)
        .with_target(false)
        .with_max_level(tracing::Level::INFO)
        .try_init();

    let store = open(serving)?;
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_io()
        .enable_time()
        .build()?;
    let served = runtime.block_on(async {
        let listener = listen(serving.listen).await?;
        let address = listener.local_addr()?;
        let kept = Arc::new(Kept::outline(store)?);
        let whole = tokio::task::spawn_blocking({
            let kept = Arc::clone(&kept);
            move || {
                kept.load()
                    .inspect_err(|_| tracing::error!("the ledger could not be read to its end"))
            }
        });
        // All but the largest ledgers are read in this time, and have their first page whole.
        if kept.most_entries() <= READ_AT_ONCE
            && let Ok(loaded) = tokio::time::timeout(PATIENCE, whole).await
        {
            loaded.map_err(io::Error::other)??;
        }
        announce(&Announcement {
            address: format!("http://{address}/"),
            works_offline: embedded::has_worker(),
        });
        tokio::spawn(keep_warm(Arc::clone(&kept)));
        until_told(listener, kept).await
    });
    // A form that is being kept is kept to the end; what merely waits is let go.
    runtime.shutdown_timeout(FAREWELL);
    served
}

fn open(serving: &Serving) -> Result<SqliteStore, Error> {
    let path = &serving.ledger;
    let opened = if serving.begin {
        SqliteStore::open_or_create(path, new_id(Timestamp::now())?, Options::default())
    } else {
        SqliteStore::open(path, Options::default())
    };
    opened.map_err(|error| match error {
        store::Error::Missing { path } if !serving.begin => Error::NoLedger { path },
        other => Error::Store(other),
    })
}

async fn listen(address: SocketAddr) -> Result<TcpListener, Error> {
    TcpListener::bind(address).await.map_err(|why| match why.kind() {
        ErrorKind::AddrInUse => Error::InUse { address },
        _ => Error::NotListening { address, why },
    })
}

async fn until_told(listener: TcpListener, kept: Arc<Kept>) -> Result<(), Error> {
    let router = Router::new()
        .fallback(answer)
        .layer(CompressionLayer::new().quality(CompressionLevel::Fastest))
        .layer(middleware::from_fn(logged))
        .with_state(kept);
    let mut interrupt = signal(SignalKind::interrupt())?;
    let mut terminate = signal(SignalKind::terminate())?;
    let (told, mut was_told) = tokio::sync::watch::channel(false);
    let served = axum::serve(listener, router).with_graceful_shutdown(async move {
        tokio::select! {
            _ = interrupt.recv() => {}
            _ = terminate.recv() => {}
        }
        told.send_replace(true);
    });
    let too_long = async move {
        let _ended = was_told.wait_for(|told| *told).await;
        tokio::time::sleep(FAREWELL).await;
    };
    tokio::select! {
        served = served.into_future() => served.map_err(Error::from),
        () = too_long => Ok(()),
    }
}

/// Evaluates units before anyone asks, after each change and on each new day.
async fn keep_warm(kept: Arc<Kept>) {
    let mut done = None;
    while !kept.is_whole() {
        tokio::time::sleep(PATIENCE).await;
    }
    loop {
        let now = Timestamp::now();
        let due = (kept.changes(), now.as_second().div_euclid(86_400));
        let mut left = 0;
        if done != Some(due) {
            let kept = Arc::clone(&kept);
            // Where an evaluation was broken off there is no use in trying it again at once.
            left = tokio::task::spawn_blocking(move || kept.warm(now))
                .await
                .unwrap_or(0);
            if left == 0 {
                done = Some(due);
            }
        }
        if left == 0 {
            tokio::time::sleep(LOOK_AGAIN).await;
        }
    }
}

/// Writes down that a request was answered, and nothing that says what it was about.
async fn logged(request: Request<Body>, next: Next) -> Response<Body> {
    let method = match *request.method() {
        Method::GET => "GET",
        Method::HEAD => "HEAD",
        Method::POST => "POST",
        _ => "other",
    };
    let start = Instant::now();
    let response = next.run(request).await;
    let ms = start.elapsed().as_secs_f64() * 1e3;
    tracing::info!(
        method,
        status = response.status().as_u16(),
        ms = format_args!("{ms:.1}")
    );
    response
}
