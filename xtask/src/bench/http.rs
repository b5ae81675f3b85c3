//! As much of HTTP as a timing needs: one request, one answer, the connection closed.

use std::io::{Read, Write};
use std::net::TcpStream;

use crate::process::Result;

/// What came back.
pub(super) struct Answer {
    pub(super) status: u16,
    pub(super) body: Vec<u8>,
}

impl Answer {
    pub(super) fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }
}

/// Asks a server at `http://host:port` for a path. `gzip` asks for it compressed.
pub(super) fn get(address: &str, path: &str, gzip: bool) -> Result<Answer> {
    let host = address.trim_start_matches("http://");
    let failed = |error: std::io::Error| format!("{address}{path}: {error}");
    let mut stream = TcpStream::connect(host).map_err(failed)?;
    let accepted = if gzip { "Accept-Encoding: gzip\r\n" } else { "" };
    // Of version 1.0 an answer comes whole, without lengths between.
    let request = format!("GET {path} HTTP/1.0\r\nHost: {host}\r\nAccept-Language: en\r\n{accepted}\r\n");
    stream.write_all(request.as_bytes()).map_err(failed)?;
    let mut bytes = Vec::new();
    stream.read_to_end(&mut bytes).map_err(failed)?;
    let end = bytes
        .windows(4)
        .position(|four| four == b"\r\n\r\n")
        .ok_or_else(|| format!("{address}{path}: an answer without an end of its head"))?;
    let head = String::from_utf8_lossy(&bytes[..end]).into_owned();
    let status = head.split(' ').nth(1).and_then(|status| status.parse().ok());
    Ok(Answer {
        status: status.ok_or_else(|| format!("{address}{path}: answered {head:?}"))?,
        body: bytes.split_off(end + 4),
    })
}

/// The addresses that a page loads with it: style sheets, scripts, pictures.
pub(super) fn loaded_with(page: &str) -> Vec<String> {
    let mut found = Vec::new();
    for tag in page.split('<').skip(1) {
        let tag = tag.split('>').next().unwrap_or_default();
        let attribute = match tag.split_whitespace().next() {
            Some("link") if tag.contains("rel=\"stylesheet\"") => "href=\"",
            Some("script" | "img") => "src=\"",
            _ => continue,
        };
        let value = tag
            .split_once(attribute)
            .and_then(|(_, rest)| rest.split_once('"'))
            .map(|(value, _)| value.replace("&amp;", "&"));
        found.extend(value.filter(|value| value.starts_with('/')));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::loaded_with;

    #[test]
    fn what_a_page_loads_is_found() {
        let page = r#"<link rel="stylesheet" href="/a.css"><link rel="manifest" href="/m"><script src="/b.js" defer></script><img alt="" src="/c.svg?a=1&amp;b=2"><a href="/d">"#;
        assert_eq!(loaded_with(page), ["/a.css", "/b.js", "/c.svg?a=1&b=2"]);
    }
}
