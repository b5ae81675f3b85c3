//! Addresses.

/// A path of these segments, each encoded.
pub(crate) fn path(segments: &[&str]) -> String {
    let mut path = String::new();
    for segment in segments {
        path.push('/');
        path.push_str(&encoded(segment));
    }
    path
}

/// The address of a unit.
pub(crate) fn unit(id: &str) -> String {
    path(&["units", id])
}

/// A page below a unit's.
pub(crate) fn below_unit(id: &str, rest: &str) -> String {
    format!("{}/{rest}", unit(id))
}

/// Where it stands how a figure of a unit was computed: the name of a kind of figure (see `show::how`), and of what.
pub(crate) fn how(unit: &str, name: &str, of: &str) -> String {
    if of.is_empty() {
        path(&["units", unit, "how", name])
    } else {
        path(&["units", unit, "how", name, of])
    }
}

/// The address of an entry.
pub(crate) fn entry(id: ledger::EventId) -> String {
    format!("/entries/{id}")
}

/// Percent-encoded but for the unreserved characters (RFC 3986 2.3).
pub(crate) fn encoded(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'.' | b'~') {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}

/// Decoded; `plus` where a plus stands for a space. What is no encoding stays as it is, what is no text is replaced.
pub(crate) fn decoded(text: &str, plus: bool) -> String {
    let mut out = Vec::with_capacity(text.len());
    let mut bytes = text.bytes();
    while let Some(byte) = bytes.next() {
        match byte {
            b'+' if plus => out.push(b' '),
            b'%' => {
                let mut ahead = bytes.clone();
                let digit = |byte: Option<u8>| byte.and_then(|byte| char::from(byte).to_digit(16));
                let pair = digit(ahead.next()).zip(digit(ahead.next()));
                match pair.and_then(|(high, low)| u8::try_from(high * 16 + low).ok()) {
                    Some(value) => {
                        out.push(value);
                        bytes = ahead;
                    }
                    None => out.push(b'%'),
                }
            }
            other => out.push(other),
        }
    }
    String::from_utf8_lossy(&out).into_owned()
}
