//! What is answered, and what is to be kept before it is.

use ledger::Entry;

/// A response, and the new entries to make durable before it is sent.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Response {
    /// HTTP status.
    pub status: u16,
    /// Headers, names in lower case. The content-security policy and the rest of the usual safety headers are
    /// among them, so that the server and the worker send the same.
    pub headers: Vec<(&'static str, String)>,
    /// Body.
    pub body: Vec<u8>,
    /// Entries to append: all of them, durably, before the response is sent, or none and
    /// [`crate::respond`] is asked for the page that says so.
    pub entries: Vec<Entry>,
    /// Contents (photographs, papers, logs) to keep by their hash together with the entries.
    pub attachments: Vec<Vec<u8>>,
    /// Who is at this device from now on, where the request said so; the shell keeps it.
    pub person: Option<String>,
}

impl Response {
    /// A page.
    pub fn page(status: u16, html: String) -> Self {
        Self {
            status,
            headers: vec![("content-type", "text/html; charset=utf-8".to_owned())],
            body: html.into_bytes(),
            ..Self::default()
        }
    }
}
