//! The fields of a query or of a form as it was sent.

use super::link::decoded;

/// More fields than any form of ours has.
const MOST_FIELDS: usize = 400;

/// A file that came with a form.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Upload {
    /// Field.
    pub(crate) field: String,
    /// Its name as given.
    pub(crate) name: String,
    /// Its bytes.
    pub(crate) bytes: Vec<u8>,
}

/// Names and values in the order in which they were sent.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Fields {
    pairs: Vec<(String, String)>,
    /// Files.
    pub(crate) uploads: Vec<Upload>,
}

impl Fields {
    /// Of a query, or of a body of `application/x-www-form-urlencoded`.
    pub(crate) fn urlencoded(text: &str) -> Self {
        let pairs = text
            .split('&')
            .filter(|pair| !pair.is_empty())
            .take(MOST_FIELDS)
            .map(|pair| {
                let (name, value) = pair.split_once('=').unwrap_or((pair, ""));
                (decoded(name, true), decoded(value, true))
            })
            .collect();
        Self {
            pairs,
            uploads: Vec::new(),
        }
    }

    /// Of a body, by its content type; none where it is no form.
    pub(crate) fn of_body(content_type: &str, body: &[u8]) -> Option<Self> {
        let (kind, parameters) = content_type.split_once(';').unwrap_or((content_type, ""));
        match kind.trim().to_ascii_lowercase().as_str() {
            "application/x-www-form-urlencoded" => Some(Self::urlencoded(&String::from_utf8_lossy(body))),
            "multipart/form-data" => {
                let boundary = parameters
                    .split(';')
                    .find_map(|parameter| parameter.trim().strip_prefix("boundary="))?;
                Self::multipart(boundary.trim_matches('"'), body)
            }
            _ => None,
        }
    }

    /// `multipart/form-data` (RFC 7578).
    fn multipart(boundary: &str, body: &[u8]) -> Option<Self> {
        // RFC 2046 5.1.1: 1 to 70 characters.
        if boundary.is_empty() || boundary.len() > 70 {
            return None;
        }
        let mark = format!("--{boundary}").into_bytes();
        let mut fields = Self::default();
        let mut rest = body.get(find(body, &mark)? + mark.len()..)?;
        while let Some(part) = rest.strip_prefix(b"\r\n") {
            if fields.pairs.len() + fields.uploads.len() >= MOST_FIELDS {
                return None;
            }
            let mut end = b"\r\n".to_vec();
            end.extend_from_slice(&mark);
            let length = find(part, &end)?;
            let (part, after) = part.split_at_checked(length)?;
            rest = after.get(end.len()..)?;
            let head_length = find(part, b"\r\n\r\n")?;
            let (head, content) = part.split_at_checked(head_length)?;
            let content = content.get(4..)?;
            let head = String::from_utf8_lossy(head);
            let disposition = head
                .lines()
                .find(|line| line.to_ascii_lowercase().starts_with("content-disposition:"))?;
            let name = parameter(disposition, "name")?;
            match parameter(disposition, "filename") {
                // A field for a file that none was chosen in (HTML Standard, 4.10.22.4).
                Some(file) if file.is_empty() && content.is_empty() => {}
                Some(file) => fields.uploads.push(Upload {
                    field: name,
                    name: file,
                    bytes: content.to_vec(),
                }),
                None => fields
                    .pairs
                    .push((name, String::from_utf8_lossy(content).into_owned())),
            }
        }
        Some(fields)
    }

    /// The first value of a name, without space around it; empty where there is none.
    pub(crate) fn get(&self, name: &str) -> &str {
        self.all(name).next().unwrap_or_default()
    }

    /// All values of a name.
    pub(crate) fn all(&self, name: &str) -> impl Iterator<Item = &str> {
        self.pairs
            .iter()
            .filter(move |(other, _)| other == name)
            .map(|(_, value)| value.trim())
    }

    /// Names and values.
    pub(crate) fn iter(&self) -> impl Iterator<Item = (&str, &str)> {
        self.pairs
            .iter()
            .map(|(name, value)| (name.as_str(), value.trim()))
    }

    /// Names and values with the space around them, for a text in which it counts.
    pub(crate) fn iter_whole(&self) -> impl Iterator<Item = (&str, &str)> {
        self.pairs
            .iter()
            .map(|(name, value)| (name.as_str(), value.as_str()))
    }

    /// Adds a value beside others of its name.
    pub(crate) fn push(&mut self, name: &str, value: impl Into<String>) {
        self.pairs.push((name.to_owned(), value.into()));
    }

    /// Puts a value, for a form that is shown with values in it.
    pub(crate) fn set(&mut self, name: &str, value: impl Into<String>) {
        self.pairs.retain(|(other, _)| other != name);
        self.pairs.push((name.to_owned(), value.into()));
    }
}

fn find(bytes: &[u8], what: &[u8]) -> Option<usize> {
    bytes.windows(what.len()).position(|window| window == what)
}

/// A quoted parameter of a header; browsers write quotes in it as `%22` (HTML, multipart/form-data encoding).
fn parameter(header: &str, name: &str) -> Option<String> {
    header.split(';').find_map(|part| {
        let value = part.trim().strip_prefix(name)?.strip_prefix('=')?;
        Some(value.trim_matches('"').replace("%22", "\""))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_urlencoded_as_browsers_send_it() {
        // The URL Standard, application/x-www-form-urlencoded parsing: plus is a space, percent pairs are bytes.
        let fields = Fields::urlencoded("name=S%C3%BCd+house&rate=50%25&odd=%zz&flag");
        assert_eq!(fields.get("name"), "Süd house");
        assert_eq!(fields.get("rate"), "50%");
        assert_eq!(fields.get("odd"), "%zz");
        assert_eq!(fields.get("flag"), "");
    }

    #[test]
    fn val_multipart_as_in_rfc_7578() {
        let body = b"--AaB03x\r\ncontent-disposition: form-data; name=\"field1\"\r\n\r\nJoe owes \xe2\x82\xac100.\r\n--AaB03x\r\n\
            Content-Disposition: form-data; name=\"log\"; filename=\"a.csv\"\r\nContent-Type: text/csv\r\n\r\na,b\r\n1,2\r\n--AaB03x--\r\n";
        let fields = Fields::of_body("multipart/form-data; boundary=AaB03x", body).unwrap();
        assert_eq!(fields.get("field1"), "Joe owes €100.");
        assert_eq!(fields.uploads[0].name, "a.csv");
        assert_eq!(fields.uploads[0].bytes, b"a,b\r\n1,2");
        assert_eq!(fields.uploads[0].field, "log");
        assert!(Fields::of_body("text/plain", b"a=b").is_none());
        assert!(Fields::of_body("multipart/form-data; boundary=x", b"--x\r\nno end").is_none());
    }
}
