//! Text: escaping, an upper estimate of its width, wrapping and cutting.
//!
//! The reader's font is not known, so widths follow a wide common sans-serif; in a narrower font a label only
//! has more room than it needs.

/// Appends text to XML content or to a quoted attribute. What XML 1.0 (section 2.2) cannot hold becomes
/// U+FFFD; a break of line becomes a space.
pub(crate) fn escape(out: &mut String, text: &str) {
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\t' | '\n' | '\r' => out.push(' '),
            '\u{0}'..='\u{1f}' | '\u{7f}'..='\u{9f}' | '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            // A label's own direction marks must not reorder what stands beside it.
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {}
            other => out.push(other),
        }
    }
}

/// What is left of a name when only letters, digits, `-` and `_` of ASCII are kept, beginning with a letter.
pub(crate) fn xml_name(name: &str, otherwise: &str) -> String {
    let kept: String = name
        .chars()
        .filter(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_'))
        .skip_while(|c| !c.is_ascii_alphabetic())
        .collect();
    if kept.is_empty() {
        otherwise.to_owned()
    } else {
        kept
    }
}

/// Width of a character in parts of the font size (measured on wide sans-serif fonts, rounded up).
fn character(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '\'' | '|' | '.' | ',' | ':' | ';' | '!' | ' ' | '\u{a0}' | '\u{202f}' => 0.34,
        'f' | 't' | 'r' | '(' | ')' | '[' | ']' | '/' | '-' | '\u{b7}' | '"' => 0.43,
        'm' | 'w' | 'M' | 'W' | '%' | '@' | '\u{2026}' | '\u{2014}' => 1.0,
        'A'..='Z' => 0.76,
        '\u{300}'..='\u{36f}' | '\u{200b}'..='\u{200f}' => 0.0,
        '\u{20}'..='\u{7e}' | '\u{a0}'..='\u{2fff}' => 0.65,
        _ => 1.05,
    }
}

/// Upper estimate of the width of a text, in the unit of the font size.
pub(crate) fn width(text: &str, size: f64, bold: bool) -> f64 {
    let ems: f64 = text.chars().map(character).sum();
    ems * size * if bold { 1.12 } else { 1.0 }
}

/// The text, or as much of it as fits with an ellipsis; empty where not even that fits.
pub(crate) fn fit(text: &str, size: f64, bold: bool, room: f64) -> String {
    if width(text, size, bold) <= room {
        return text.to_owned();
    }
    let mut kept = String::new();
    let mut used = width("\u{2026}", size, bold);
    if used > room {
        return String::new();
    }
    for c in text.chars() {
        let mut bytes = [0; 4];
        used += width(c.encode_utf8(&mut bytes), size, bold);
        if used > room {
            break;
        }
        kept.push(c);
    }
    kept.truncate(kept.trim_end().len());
    kept.push('\u{2026}');
    kept
}

/// The text in lines that fit, at most `most` of them; what is too long ends in an ellipsis.
pub(crate) fn wrap(text: &str, size: f64, bold: bool, room: f64, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    // A no-break space keeps a date or a number with its unit on one line.
    let breaks = |c: char| c.is_whitespace() && !matches!(c, '\u{a0}' | '\u{202f}');
    let mut words = text.split(breaks).filter(|word| !word.is_empty());
    while let Some(word) = words.next() {
        let longer = if line.is_empty() {
            word.to_owned()
        } else {
            format!("{line} {word}")
        };
        if width(&longer, size, bold) <= room || line.is_empty() {
            line = longer;
        } else if lines.len() + 1 >= most {
            line = longer;
            for rest in words.by_ref() {
                line.push(' ');
                line.push_str(rest);
                if width(&line, size, bold) > room {
                    break;
                }
            }
        } else {
            lines.push(fit(&line, size, bold, room));
            word.clone_into(&mut line);
        }
    }
    if !line.is_empty() {
        lines.push(fit(&line, size, bold, room));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::{escape, fit, width, wrap, xml_name};

    #[test]
    fn regress_escaping_keeps_text_and_drops_what_xml_cannot_hold() {
        let mut out = String::new();
        escape(&mut out, "a<b> & \"c\"\n\u{0}\u{202e}é");
        assert_eq!(out, "a&lt;b&gt; &amp; &quot;c&quot; \u{fffd}é");
    }

    #[test]
    fn regress_wrapping_fits_and_says_when_it_cut() {
        let lines = wrap(
            "a sentence that is far too long for its two lines",
            10.0,
            false,
            90.0,
            2,
        );
        assert_eq!(lines.len(), 2);
        assert!(lines.iter().all(|line| width(line, 10.0, false) <= 90.0));
        assert!(lines[1].ends_with('\u{2026}'));
        assert_eq!(wrap("short", 10.0, false, 90.0, 2), ["short"]);
        assert!(wrap("  ", 10.0, false, 90.0, 2).is_empty());
        assert_eq!(fit("abc", 10.0, false, 1.0), "");
    }

    #[test]
    fn regress_an_id_is_always_an_xml_name() {
        assert_eq!(xml_name("7 up\"/>", "chart"), "up");
        assert_eq!(xml_name("\u{e9}", "chart"), "chart");
    }
}
