//! The log that was sent: a file, a text pasted in, or what was sent and looked over before.

use crate::content::{ContentKind, LARGEST_CONTENT};
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::Faults;

/// The largest log that a page carries along while it is looked over, bytes; a larger one is chosen a second time.
const CARRIED: usize = 1_000_000;

/// A log as bytes, with what it is called.
pub(super) struct Sent {
    pub(super) name: String,
    pub(super) bytes: Vec<u8>,
}

impl Sent {
    /// The field that holds it in the page, where it is small enough: two digits for a byte, so that no encoding of
    /// characters, no line end and no null is ever touched.
    pub(super) fn carried(&self) -> Option<String> {
        const DIGITS: [char; 16] = [
            '0', '1', '2', '3', '4', '5', '6', '7', '8', '9', 'a', 'b', 'c', 'd', 'e', 'f',
        ];
        if self.bytes.len() > CARRIED {
            return None;
        }
        let mut text = String::with_capacity(2 * self.bytes.len());
        for byte in &self.bytes {
            for digit in [byte >> 4, byte & 15] {
                text.extend(DIGITS.get(usize::from(digit)));
            }
        }
        Some(text)
    }
}

/// Back to bytes; none where it is not what a page of ours carries.
fn bytes_of(text: &str) -> Option<Vec<u8>> {
    if text.len() > 2 * CARRIED {
        return None;
    }
    let digits: Option<Vec<u8>> = text
        .chars()
        .map(|digit| digit.to_digit(16).and_then(|value| u8::try_from(value).ok()))
        .collect();
    let digits = digits?;
    let pairs = digits.chunks_exact(2);
    if !pairs.remainder().is_empty() {
        return None;
    }
    pairs
        .map(|pair| match pair {
            [high, low] => Some(high * 16 + low),
            _ => None,
        })
        .collect()
}

/// The log of a form; a file goes before a text pasted in, and both before what was carried along.
pub(super) fn log(ask: &Ask<'_>, faults: &mut Faults) -> Option<Sent> {
    let sent: &Fields = &ask.sent;
    let file = sent
        .uploads
        .iter()
        .find(|upload| upload.field == "log" && !(upload.name.is_empty() && upload.bytes.is_empty()));
    // `get` takes the space around a text away; in a log a tab at the end of a line is an empty cell.
    let pasted = sent
        .iter_whole()
        .find_map(|(name, value)| (name == "pasted").then_some(value))
        .unwrap_or_default();
    let found = match file {
        Some(file) => Sent {
            name: short(&file.name),
            bytes: file.bytes.clone(),
        },
        None if !pasted.trim().is_empty() => Sent {
            name: ask.say.say("import-pasted-name"),
            bytes: pasted.as_bytes().to_vec(),
        },
        None => Sent {
            name: short(sent.get("carried_name")),
            bytes: bytes_of(sent.get("carried")).unwrap_or_default(),
        },
    };
    if found.bytes.is_empty() {
        faults.add("log", ask.say.say("import-nothing"));
        return None;
    }
    if found.bytes.len() > LARGEST_CONTENT {
        faults.add("log", ask.say.say("import-too-large"));
        return None;
    }
    match ContentKind::of(&found.bytes) {
        Some(ContentKind::Text | ContentKind::Workbook) => Some(found),
        _ => {
            let name = [("name", found.name.into())];
            faults.add("log", ask.say.with("import-no-table", &name));
            None
        }
    }
}

/// The name that a file has, not the way to it: that is of one machine only.
fn short(name: &str) -> String {
    let name = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let name: String = name.chars().filter(|c| !c.is_control()).take(120).collect();
    if name.trim().is_empty() {
        "log".to_owned()
    } else {
        name
    }
}

#[cfg(test)]
mod tests {
    use super::{CARRIED, Sent, bytes_of, short};

    #[test]
    fn regress_what_is_carried_comes_back_byte_for_byte() {
        let bytes: Vec<u8> = (0..=255).chain([0, 13, 10, 255]).collect();
        let name = "a.csv".to_owned();
        let sent = Sent {
            name,
            bytes: bytes.clone(),
        };
        assert_eq!(bytes_of(&sent.carried().unwrap()), Some(bytes));
        assert_eq!(bytes_of("0g"), None);
        assert_eq!(bytes_of("0a1"), None);
        let large = Sent {
            name: String::new(),
            bytes: vec![1; CARRIED + 1],
        };
        assert_eq!(large.carried(), None);
    }

    #[test]
    fn regress_a_name_is_not_a_way() {
        assert_eq!(short("C:\\logs\\2024.xlsx"), "2024.xlsx");
        assert_eq!(short("../../etc/\u{7}passwd"), "passwd");
        assert_eq!(short("  "), "log");
    }
}
