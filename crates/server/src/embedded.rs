//! Files that are part of the binary: the worker with the pages as WebAssembly, and what a browser needs to install
//! the application.

use axum::body::Body;
use axum::http::{HeaderValue, Response, header};

/// What `cargo xtask` has built, by file name; nothing where it was not built. See `build.rs`.
static BUILT: &[(&str, &[u8])] = include!(concat!(env!("OUT_DIR"), "/field_files.rs"));

const REGISTER: &str = include_str!("../../field/web/register.js");
const MANIFEST: &str = include_str!("../../field/web/manifest.webmanifest");
const ICON: &str = include_str!("../../field/web/icon.svg");

const JAVASCRIPT: &str = "text/javascript; charset=utf-8";

/// What the worker's script may do: run the pages, and ask this server.
const WORKER_POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'";

/// Whether the pages can be used without a signal.
pub(crate) fn has_worker() -> bool {
    built("worker.js").is_some()
}

fn built(name: &str) -> Option<&'static [u8]> {
    BUILT
        .iter()
        .find(|(built, _)| *built == name)
        .map(|(_, bytes)| *bytes)
}

/// The file at this path, if it is one of these.
pub(crate) fn file(path: &str) -> Option<Response<Body>> {
    let no_cache = "no-cache";
    match path {
        "/worker.js" => {
            let mut response = respond(built("worker.js")?, JAVASCRIPT, no_cache);
            let policy = HeaderValue::from_static(WORKER_POLICY);
            response
                .headers_mut()
                .insert(header::CONTENT_SECURITY_POLICY, policy);
            Some(response)
        }
        "/register.js" if has_worker() => Some(respond(REGISTER.as_bytes(), JAVASCRIPT, no_cache)),
        // Without a worker there is nothing to register.
        "/register.js" => Some(respond(b"", JAVASCRIPT, no_cache)),
        "/manifest.webmanifest" => Some(respond(
            MANIFEST.as_bytes(),
            "application/manifest+json",
            no_cache,
        )),
        "/icon.svg" => Some(respond(ICON.as_bytes(), "image/svg+xml", no_cache)),
        _ => {
            // Named by its hash, and kept compressed: every browser that runs WebAssembly takes gzip.
            let name = path.strip_prefix("/field/")?;
            let bytes = built(&format!("{name}.gz"))?;
            let mut response = respond(bytes, "application/wasm", "public, max-age=31536000, immutable");
            let gzip = HeaderValue::from_static("gzip");
            response.headers_mut().insert(header::CONTENT_ENCODING, gzip);
            Some(response)
        }
    }
}

fn respond(bytes: &'static [u8], media_type: &'static str, caching: &'static str) -> Response<Body> {
    let mut response = Response::new(Body::from(bytes));
    let headers = response.headers_mut();
    for (name, value) in [
        (header::CONTENT_TYPE, media_type),
        (header::CACHE_CONTROL, caching),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    response
}
