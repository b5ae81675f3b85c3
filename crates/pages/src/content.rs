//! What a content (a photograph, a paper, a log) is, by its own bytes: names and declared types are anyone's say.

/// The largest content that is kept, in bytes: a phone's photograph has 3 to 12 million.
pub const LARGEST_CONTENT: usize = 20_000_000;

/// What a content is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ContentKind {
    /// A JPEG picture.
    Jpeg,
    /// A PNG picture.
    Png,
    /// A WebP picture.
    Webp,
    /// A PDF document.
    Pdf,
    /// A workbook: a ZIP archive or an older compound file.
    Workbook,
    /// Text, such as a reading log; in any encoding without NUL bytes, or in UTF-16 with its mark.
    Text,
}

impl ContentKind {
    /// What these bytes are; none for what is not kept: anything else, nothing at all, or too much.
    pub fn of(bytes: &[u8]) -> Option<Self> {
        if bytes.is_empty() || bytes.len() > LARGEST_CONTENT {
            return None;
        }
        let starts: [(&[u8], Self); 6] = [
            (b"\xFF\xD8\xFF", Self::Jpeg),
            (b"\x89PNG\r\n\x1A\n", Self::Png),
            (b"%PDF-", Self::Pdf),
            (b"PK\x03\x04", Self::Workbook),
            (b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", Self::Workbook),
            (b"\xFF\xFE", Self::Text),
        ];
        if let Some((_, kind)) = starts.iter().find(|(start, _)| bytes.starts_with(start)) {
            return Some(*kind);
        }
        if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
            return Some(Self::Webp);
        }
        if bytes.starts_with(b"\xFE\xFF") || !bytes.contains(&0) {
            return Some(Self::Text);
        }
        None
    }

    /// The media type to send it with. What a browser could run, or take for a page, is sent as plain bytes.
    pub fn media_type(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
            Self::Webp => "image/webp",
            Self::Pdf => "application/pdf",
            Self::Workbook | Self::Text => "application/octet-stream",
        }
    }

    /// Whether a browser may show it in place; others are saved as a file.
    pub fn is_shown(self) -> bool {
        matches!(self, Self::Jpeg | Self::Png | Self::Webp)
    }
}

#[cfg(test)]
mod tests {
    use super::{ContentKind, LARGEST_CONTENT};

    #[test]
    fn val_kinds_are_told_by_their_first_bytes() {
        // ITU-T T.81 B.2 (SOI and a marker), ISO/IEC 15948 5.2, RFC 9649 2.4, ISO 32000-1 7.5.2,
        // the ZIP application note 4.3.7, the compound file's header signature.
        let kinds: [(&[u8], Option<ContentKind>); 8] = [
            (b"\xFF\xD8\xFF\xE0", Some(ContentKind::Jpeg)),
            (b"\x89PNG\r\n\x1A\n\0", Some(ContentKind::Png)),
            (b"RIFF\x10\0\0\0WEBPVP8 ", Some(ContentKind::Webp)),
            (b"%PDF-1.7\n", Some(ContentKind::Pdf)),
            (b"PK\x03\x04\x14\0", Some(ContentKind::Workbook)),
            (b"Date;Flow\n2.3.2024;41,5", Some(ContentKind::Text)),
            (b"\x7FELF\x02\x01\x01\0", None),
            (b"", None),
        ];
        for (bytes, kind) in kinds {
            assert_eq!(ContentKind::of(bytes), kind, "{bytes:?}");
        }
        assert_eq!(ContentKind::of(&vec![b'a'; LARGEST_CONTENT + 1]), None);
    }

    #[test]
    fn regress_nothing_that_runs_is_sent_as_what_runs() {
        let script = ContentKind::of(b"<svg xmlns='http://www.w3.org/2000/svg' onload='x()'/>").unwrap();
        assert_eq!(script.media_type(), "application/octet-stream");
        assert!(!script.is_shown());
    }
}
