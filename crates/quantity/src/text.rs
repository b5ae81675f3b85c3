//! One spelling for the many characters that people's keyboards make of the same sign.

use std::borrow::Cow;

/// Maps look-alike characters to one: every space to a plain one, minus signs to `-`, both micro signs
/// to `u`, superscripts to digits, the ohm signs to `ohm`, degree look-alikes to the degree sign. Trims.
pub(crate) fn clean(text: &str) -> Cow<'_, str> {
    if text.is_ascii() {
        return Cow::Borrowed(text.trim());
    }
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            // Zero-width characters and byte order marks carry nothing.
            '\u{200b}'..='\u{200f}' | '\u{feff}' | '\u{2060}' => {}
            '\u{207b}' | '\u{2212}' | '\u{2010}'..='\u{2015}' | '\u{fe63}' | '\u{ff0d}' => out.push('-'),
            '\u{b5}' | '\u{3bc}' => out.push('u'),
            '\u{b2}' => out.push('2'),
            '\u{b3}' => out.push('3'),
            '\u{b9}' => out.push('1'),
            '\u{3a9}' | '\u{2126}' => out.push_str("ohm"),
            '\u{ba}' | '\u{2da}' | '\u{b0}' => out.push('\u{b0}'),
            '\u{2103}' => out.push_str("\u{b0}C"),
            '\u{2109}' => out.push_str("\u{b0}F"),
            '\u{2019}' | '\u{2032}' | '\u{b4}' => out.push('\''),
            '\u{2033}' | '\u{201d}' => out.push('"'),
            '\u{b7}' | '\u{22c5}' | '\u{d7}' => out.push(' '),
            '\u{2044}' | '\u{2215}' => out.push('/'),
            c if c.is_whitespace() || ('\u{2000}'..='\u{200a}').contains(&c) => out.push(' '),
            c => out.push(c),
        }
    }
    Cow::Owned(out.trim().to_owned())
}

/// The key by which a unit is looked up: lower case, without spaces, points, carets, brackets and
/// degree signs (unless nothing else is there), `per` and `-1` written as `/`.
///
/// Case carries nothing: no one meters in megasiemens, millipascal or megalitres a minute.
pub(crate) fn unit_key(text: &str) -> String {
    let cleaned = clean(text);
    let lower = cleaned.to_lowercase();
    let mut words = String::with_capacity(lower.len());
    for word in lower.split_whitespace() {
        match word {
            "per" | "pro" | "por" | "je" | "par" => words.push('/'),
            _ => words.extend(
                word.chars()
                    .filter(|c| !matches!(c, '.' | '^' | '*' | '(' | ')' | '[' | ']' | '\u{b0}')),
            ),
        }
    }
    if words.is_empty() && lower.contains('\u{b0}') {
        return "\u{b0}".to_owned();
    }
    // `mg l-1`, `l h-1`.
    if let Some(stem) = words.strip_suffix("-1") {
        for last in ["min", "cm", "l", "h", "d", "s", "m"] {
            if let Some(first) = stem.strip_suffix(last)
                && !first.is_empty()
            {
                return format!("{first}/{last}");
            }
        }
    }
    words
}
