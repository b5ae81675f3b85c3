//! What the bytes are: a workbook, text in some encoding, or no table at all.

use std::borrow::Cow;

use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

use crate::Error;

/// What was found.
pub(crate) enum Content<'a> {
    /// To be opened as a workbook.
    Workbook,
    /// Text.
    Text {
        text: Cow<'a, str>,
        encoding: &'static str,
    },
}

/// Beginnings of files that people rename or attach by mistake (formats' own specifications; from memory).
const NO_TABLES: &[(&[u8], &str)] = &[
    (b"\x89PNG", "a picture (PNG)"),
    (b"\xff\xd8\xff", "a picture (JPEG)"),
    (b"GIF8", "a picture (GIF)"),
    (b"II*\0", "a picture (TIFF)"),
    (b"MM\0*", "a picture (TIFF)"),
    (b"BM", "a picture (BMP)"),
    (b"RIFF", "a picture or a sound (RIFF)"),
    (b"%PDF", "a PDF document"),
    (b"{\\rtf", "a text document (RTF)"),
    (b"\x1f\x8b", "a compressed file (gzip)"),
    (b"7z\xbc\xaf", "an archive (7z)"),
    (b"Rar!", "an archive (RAR)"),
    (b"\x7fELF", "a program"),
    (b"MZ", "a program"),
    (b"SQLite format 3", "a database"),
];

pub(crate) fn sniff(bytes: &[u8]) -> Result<Content<'_>, Error> {
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(Error::Empty);
    }
    // Zip (XLSX, XLSB, ODS) and the compound file of XLS.
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1") {
        return Ok(Content::Workbook);
    }
    for (magic, what) in NO_TABLES {
        // Two letters begin many a text; a text has no zero bytes.
        if bytes.starts_with(magic) && (magic.len() > 2 || has_control(bytes).is_some()) {
            return Err(Error::NotATable { what });
        }
    }
    if bytes.get(4..8) == Some(b"ftyp") {
        return Err(Error::NotATable {
            what: "a picture or a film (HEIC, MP4)",
        });
    }
    let (text, encoding) = decode(bytes)?;
    if text.trim().is_empty() {
        return Err(Error::Empty);
    }
    let head: String = text
        .trim_start()
        .chars()
        .take(200)
        .collect::<String>()
        .to_lowercase();
    if head.starts_with("<!doctype")
        || head.starts_with("<html")
        || head.starts_with("<?xml")
        || head.starts_with("<table")
    {
        return Err(Error::NotATable {
            what: "a web page or XML; save it as a workbook or as CSV",
        });
    }
    Ok(Content::Text { text, encoding })
}

/// The first control character that no text has.
fn has_control(bytes: &[u8]) -> Option<usize> {
    bytes
        .iter()
        .position(|&b| b < 0x20 && !matches!(b, b'\t' | b'\n' | b'\r' | 0x0c | 0x1a | 0x0b))
}

fn decode(bytes: &[u8]) -> Result<(Cow<'_, str>, &'static str), Error> {
    if let Some((encoding, _)) = Encoding::for_bom(bytes) {
        let (text, _) = encoding.decode_with_bom_removal(bytes);
        return Ok((text, encoding.name()));
    }
    if let Some(encoding) = utf_16_without_mark(bytes) {
        let (text, _) = encoding.decode_without_bom_handling(bytes);
        return Ok((text, encoding.name()));
    }
    if let Some(at) = has_control(bytes) {
        return Err(Error::Binary { at });
    }
    if let Ok(text) = std::str::from_utf8(bytes) {
        let encoding = if bytes.is_ascii() { "ASCII" } else { UTF_8.name() };
        return Ok((Cow::Borrowed(text), encoding));
    }
    let encoding = legacy(bytes);
    let (text, _) = encoding.decode_without_bom_handling(bytes);
    let name = if encoding == WINDOWS_1252 {
        "Latin-1 (Windows-1252)"
    } else {
        encoding.name()
    };
    Ok((text, name))
}

/// In UTF-16 of a Western text every second byte is zero.
fn utf_16_without_mark(bytes: &[u8]) -> Option<&'static Encoding> {
    let sample = bytes.get(..bytes.len().min(4096) & !1)?;
    let pairs = sample.len() / 2;
    let zeros = |offset: usize| sample.iter().skip(offset).step_by(2).filter(|&&b| b == 0).count();
    let (first, second) = (zeros(0), zeros(1));
    if pairs >= 4 && second * 10 >= pairs * 7 && first * 20 <= pairs {
        Some(UTF_16LE)
    } else if pairs >= 4 && first * 10 >= pairs * 7 && second * 20 <= pairs {
        Some(UTF_16BE)
    } else {
        None
    }
}

/// One byte per character. A log has few characters beyond ASCII, too few for statistics: Windows-1252
/// where all of them are letters and signs that Western logs use, else the detector's guess.
fn legacy(bytes: &[u8]) -> &'static Encoding {
    // In Windows-1252: no-break space, degree, plus-minus, superscripts, micro, middle dot, halves, all accented
    // letters, typographic quotes, dashes, bullet, euro, per mille.
    let western = |b: u8| {
        matches!(b, 0xa0 | 0xa1 | 0xb0..=0xb3 | 0xb5 | 0xb7 | 0xba | 0xbc..=0xbf | 0xc0..=0xff)
            || matches!(b, 0x80 | 0x89 | 0x91..=0x97 | 0x85)
    };
    if bytes.iter().filter(|b| !b.is_ascii()).all(|&b| western(b)) {
        return WINDOWS_1252;
    }
    let mut detector = chardetng::EncodingDetector::new(chardetng::Iso2022JpDetection::Deny);
    detector.feed(bytes, true);
    detector.guess(None, chardetng::Utf8Detection::Deny)
}
