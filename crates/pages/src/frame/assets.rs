//! The few files that pages name: kept for good under an address that changes with their content.

use std::sync::LazyLock;

use crate::Response;

/// A file with its address.
pub(crate) struct Asset {
    /// Address.
    pub(crate) path: String,
    content_type: &'static str,
    bytes: &'static [u8],
}

static STYLE: LazyLock<Asset> = LazyLock::new(|| {
    asset(
        "style",
        "css",
        "text/css; charset=utf-8",
        include_bytes!("../../assets/style.css"),
    )
});
static STOPWATCH: LazyLock<Asset> = LazyLock::new(|| {
    let bytes = include_bytes!("../../assets/stopwatch.js");
    asset("stopwatch", "js", "text/javascript; charset=utf-8", bytes)
});

static TIMER: LazyLock<Asset> = LazyLock::new(|| {
    let bytes = include_bytes!("../../assets/timer.js");
    asset("timer", "js", "text/javascript; charset=utf-8", bytes)
});

static KEPT: LazyLock<Asset> = LazyLock::new(|| {
    let bytes = include_bytes!("../../assets/kept.js");
    asset("kept", "js", "text/javascript; charset=utf-8", bytes)
});

fn asset(name: &str, extension: &str, content_type: &'static str, bytes: &'static [u8]) -> Asset {
    let hash = ledger::ContentHash::of(bytes).to_string();
    let short = hash.get(..16).unwrap_or_default();
    Asset {
        path: format!("/{name}-{short}.{extension}"),
        content_type,
        bytes,
    }
}

/// The style of all pages.
pub(crate) fn style() -> &'static Asset {
    &STYLE
}

/// The stopwatch for a bucket.
pub(crate) fn stopwatch() -> &'static Asset {
    &STOPWATCH
}

/// The timer of a step that takes time.
pub(crate) fn timer() -> &'static Asset {
    &TIMER
}

/// What keeps a form's fields while the page is loaded anew.
pub(crate) fn kept() -> &'static Asset {
    &KEPT
}

/// The addresses of all files that pages name, for a shell that fills a cache beforehand.
pub fn asset_paths() -> Vec<String> {
    [style(), stopwatch(), timer(), kept()]
        .map(|asset| asset.path.clone())
        .to_vec()
}

/// The file at an address.
pub(crate) fn find(path: &str) -> Option<Response> {
    let asset = [style(), stopwatch(), timer(), kept()]
        .into_iter()
        .find(|asset| asset.path == path)?;
    Some(Response {
        status: 200,
        headers: vec![
            ("content-type", asset.content_type.to_owned()),
            ("cache-control", "public, max-age=31536000, immutable".to_owned()),
        ],
        body: asset.bytes.to_vec(),
        ..Response::default()
    })
}
