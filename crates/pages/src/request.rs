//! What is asked, who asks, when and where.

use jiff::Timestamp;

/// What a request wants.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// To read. Nothing is changed by it.
    Get,
    /// To write something down.
    Post,
}

/// A request as it came, its parts not looked at yet. Everything in it is outside input.
#[derive(Clone, Copy, Debug)]
pub struct Request<'a> {
    /// What it wants.
    pub method: Method,
    /// Path of the address, percent-encoded as it came, beginning with `/`.
    pub path: &'a str,
    /// Query of the address without the question mark; empty where there is none.
    pub query: &'a str,
    /// The `Content-Type` of the body; empty where there is none.
    pub content_type: &'a str,
    /// The body.
    pub body: &'a [u8],
    /// The `Origin` header, where there was one.
    pub origin: Option<&'a str>,
    /// The origin of this application as the browser sees it, such as `http://127.0.0.1:8080`.
    pub own_origin: &'a str,
    /// The `Accept-Language` header; empty where there is none.
    pub accept_language: &'a str,
}

/// Where the pages run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// On the server, beside the ledger.
    Server,
    /// In a service worker, beside what the browser keeps of the ledger.
    Field {
        /// Entries in the outbox, waiting to be sent.
        waiting: usize,
    },
}

/// Who asks, when and where: what the shell knows and the pages don't find out for themselves.
#[derive(Clone, Copy, Debug)]
pub struct Circumstances<'a> {
    /// Now.
    pub now: Timestamp,
    /// Who is at this device: the name kept by the shell; empty where nobody has said.
    pub person: &'a str,
    /// Which device this is.
    pub device: &'a str,
    /// Bytes that no other request has: from them come the ids of the forms that are handed out.
    pub random: [u8; 16],
    /// Where the pages run.
    pub place: Place,
}
