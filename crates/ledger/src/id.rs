//! Ids of entries, and hashes of contents.

use std::fmt;
use std::str::FromStr;

use jiff::Timestamp;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use sha2::{Digest, Sha256};
use uuid::{Builder, Uuid, Variant};

use crate::Error;

/// The id of an entry: a `UUIDv7` (RFC 9562 5.7), 48 bits of Unix time in milliseconds and 74 bits that no
/// other entry has. Ids sort by time.
///
/// It is never made up in here: the 74 bits come from the caller's random source, or from a hash of the
/// content, so that the same content written twice has one id.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EventId([u8; 16]);

/// The largest time that an id can hold: 48 bits of milliseconds.
const LATEST_MS: i64 = (1 << 48) - 1;

impl EventId {
    /// An id of this time. Times before 1970 count as 1970. Six of the 80 bits make room for the version and
    /// variant.
    pub fn new(at: Timestamp, random: [u8; 10]) -> Self {
        let ms = at.as_millisecond().clamp(0, LATEST_MS);
        Self(
            Builder::from_unix_timestamp_millis(ms.unsigned_abs(), &random)
                .into_uuid()
                .into_bytes(),
        )
    }

    /// The id of this content at this time: whoever writes the same down again gets the same id.
    ///
    /// The parts are told apart as in [`ContentHash::of_parts`].
    pub fn of_content<'a>(at: Timestamp, parts: impl IntoIterator<Item = &'a [u8]>) -> Self {
        Self::of_hash(at, ContentHash::of_parts(parts))
    }

    /// The id of the content of this hash at this time.
    pub fn of_hash(at: Timestamp, hash: ContentHash) -> Self {
        let mut random = [0; 10];
        random.copy_from_slice(&hash.as_bytes()[..10]);
        Self::new(at, random)
    }

    /// An id from its 16 bytes.
    ///
    /// # Errors
    /// [`Error::Id`] for anything but a UUID of version 7.
    pub fn from_bytes(bytes: [u8; 16]) -> Result<Self, Error> {
        let uuid = Uuid::from_bytes(bytes);
        if uuid.get_version_num() == 7 && uuid.get_variant() == Variant::RFC4122 {
            Ok(Self(bytes))
        } else {
            Err(Error::Id {
                read: uuid.to_string(),
            })
        }
    }

    /// Its 16 bytes, in the order in which ids sort.
    pub fn as_bytes(&self) -> &[u8; 16] {
        &self.0
    }

    /// The time in it, milliseconds since 1970 UTC.
    pub fn unix_ms(&self) -> u64 {
        let [a, b, c, d, e, f, ..] = self.0;
        u64::from_be_bytes([0, 0, a, b, c, d, e, f])
    }

    /// What is left of it without the time: the 74 bits, with version and variant.
    pub fn tail(&self) -> [u8; 10] {
        let mut tail = [0; 10];
        tail.copy_from_slice(&self.0[6..]);
        tail
    }
}

impl fmt::Display for EventId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Uuid::from_bytes(self.0).hyphenated().fmt(f)
    }
}

impl fmt::Debug for EventId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for EventId {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self, Error> {
        let uuid = Uuid::try_parse(text).map_err(|_| Error::Id {
            read: shortened(text),
        })?;
        Self::from_bytes(uuid.into_bytes())
    }
}

/// The SHA-256 of a file's or a photograph's bytes: what it is found by.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ContentHash([u8; 32]);

impl ContentHash {
    /// The hash of these bytes.
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    /// The hash of several parts, each with its length, so that `("ab", "c")` and `("a", "bc")` differ.
    pub fn of_parts<'a>(parts: impl IntoIterator<Item = &'a [u8]>) -> Self {
        let mut hash = Sha256::new();
        for part in parts {
            hash.update((part.len() as u64).to_be_bytes());
            hash.update(part);
        }
        Self(hash.finalize().into())
    }

    /// A hash that was computed before.
    pub fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// Its 32 bytes.
    pub fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

impl fmt::Display for ContentHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for ContentHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl FromStr for ContentHash {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self, Error> {
        let wrong = || Error::Hash {
            read: shortened(text),
        };
        if text.len() != 64 || !text.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return Err(wrong());
        }
        let mut bytes = [0; 32];
        for (byte, start) in bytes.iter_mut().zip((0..64).step_by(2)) {
            let digits = text.get(start..start + 2).ok_or_else(wrong)?;
            *byte = u8::from_str_radix(digits, 16).map_err(|_| wrong())?;
        }
        Ok(Self(bytes))
    }
}

fn shortened(text: &str) -> String {
    text.chars().take(80).collect()
}

macro_rules! as_text {
    ($($type:ty),*) => {$(
        impl Serialize for $type {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }
        impl<'de> Deserialize<'de> for $type {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = std::borrow::Cow::<'de, str>::deserialize(deserializer)?;
                text.parse().map_err(de::Error::custom)
            }
        }
    )*};
}
as_text!(EventId, ContentHash);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn val_the_layout_is_rfc_9562() {
        // RFC 9562, appendix A.6: the example UUIDv7 of 2022-02-22 14:22:22 -05:00, whose random bits are
        // rand_a = 0xCC3 and rand_b = 0b01, 0x8C4DC0C0C07398F.
        let at: Timestamp = "2022-02-22T19:22:22Z".parse().unwrap();
        let id = EventId::new(at, [0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f]);
        assert_eq!(id.to_string(), "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
        assert_eq!(id.unix_ms(), 0x017F_22E2_79B0);
        assert_eq!("017f22e2-79b0-7cc3-98c4-dc0c0c07398f".parse(), Ok(id));
    }

    #[test]
    fn val_contents_are_hashed_by_sha_256() {
        // FIPS 180-4 example: SHA-256("abc").
        let hash = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(ContentHash::of(b"abc").to_string(), hash);
        assert_eq!(hash.parse(), Ok(ContentHash::of(b"abc")));
    }

    #[test]
    fn regress_other_uuids_are_refused() {
        let v4 = "919108f7-52d1-4320-9bac-f847db4148a8";
        assert_eq!(v4.parse::<EventId>(), Err(Error::Id { read: v4.to_owned() }));
        assert!("".parse::<EventId>().is_err());
        assert!("é".repeat(32).parse::<ContentHash>().is_err());
    }

    #[test]
    fn regress_times_beyond_an_ids_range_are_clamped() {
        assert_eq!(EventId::new(Timestamp::MIN, [0; 10]).unix_ms(), 0);
        assert!(EventId::new(Timestamp::MAX, [0; 10]).unix_ms() > 0);
    }

    #[test]
    fn regress_parts_are_told_apart() {
        let id = |parts: &[&[u8]]| EventId::of_content(Timestamp::UNIX_EPOCH, parts.iter().copied());
        assert_ne!(id(&[b"ab", b"c"]), id(&[b"a", b"bc"]));
        assert_eq!(id(&[b"ab", b"c"]), id(&[b"ab", b"c"]));
    }
}
