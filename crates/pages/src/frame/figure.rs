//! Figures on pages: each that was computed opens to how it was computed.
//!
//! A value that Saltmark computed is put on a page by [`figure`], with the address of its account; one that somebody read,
//! typed or described by [`said`]. A test walks every page and finds a number with a unit that is neither. In a sentence
//! both are put by [`Language::rich`], which takes pieces of markup where [`Language::with`] takes text.

use maud::{Markup, PreEscaped, html};

use super::language::Language;
use super::link;

/// A computed value: a link to how it was computed. `name` and `of` are as in [`link::how`].
pub(crate) fn figure(unit: &str, name: &str, of: &str, text: impl AsRef<str>) -> Markup {
    html! { a.figure href=(link::how(unit, name, of)) { (text.as_ref()) } }
}

/// A value as it was read, typed or described.
pub(crate) fn said(text: impl AsRef<str>) -> Markup {
    html! { span.said { (text.as_ref()) } }
}

/// What is put into a text.
pub(crate) enum Piece {
    /// Words.
    Text(String),
    /// Markup: a figure, or a sentence with figures in it.
    Markup(Markup),
}

impl From<String> for Piece {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<&str> for Piece {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<Markup> for Piece {
    fn from(markup: Markup) -> Self {
        Self::Markup(markup)
    }
}

/// Where the first piece of markup goes while the text is put together; the others follow it. They are private to
/// whoever uses them (Unicode 23.5), so no text of ours holds them, and out of text of others they are taken.
const FIRST: u32 = 0xE000;
const MOST: u32 = 0x100;

fn place_of(c: char) -> Option<usize> {
    let place = u32::from(c).checked_sub(FIRST)?;
    (place < MOST).then(|| usize::try_from(place).ok()).flatten()
}

impl Language {
    /// A text with markup put into it.
    pub(crate) fn rich(self, key: &str, values: Vec<(&str, Piece)>) -> Markup {
        let mut pieces: Vec<Markup> = Vec::new();
        let mut plain = Vec::with_capacity(values.len());
        for (name, piece) in values {
            let text = match piece {
                Piece::Text(text) => text.chars().filter(|c| place_of(*c).is_none()).collect(),
                Piece::Markup(markup) => {
                    let place = FIRST + u32::try_from(pieces.len()).unwrap_or(MOST).min(MOST - 1);
                    pieces.push(markup);
                    char::from_u32(place).map(String::from).unwrap_or_default()
                }
            };
            plain.push((name, text.into()));
        }
        let text = self.with(key, &plain);
        let mut out = html! {};
        let mut words = String::new();
        for c in text.chars() {
            match place_of(c).and_then(|place| pieces.get(place)) {
                Some(markup) => {
                    out = html! { (out) (words) (markup) };
                    words.clear();
                }
                None => words.push(c),
            }
        }
        html! { (out) (words) }
    }

    /// "a, b and c", of markup.
    pub(crate) fn rich_list(self, items: Vec<Markup>) -> Markup {
        let mut items = items;
        let Some(last) = items.pop() else {
            return PreEscaped(String::new());
        };
        if items.is_empty() {
            return last;
        }
        let first = html! { @for (at, item) in items.iter().enumerate() { @if at > 0 { ", " } (item) } };
        self.rich("list", vec![("first", first.into()), ("last", last.into())])
    }
}

#[cfg(test)]
mod tests {
    use super::{Language, Piece, figure};

    #[test]
    fn regress_markup_goes_where_its_place_is_and_words_are_escaped() {
        let link = figure("north", "change", "", "8 %");
        let sentence = Language::English.rich(
            "cause-less",
            vec![("cause", "a \u{E000}<b>".into()), ("percent", link.into())],
        );
        let wanted = "a &lt;b&gt; <a class=\"figure\" href=\"/units/north/how/change\">8 %</a> less";
        assert_eq!(sentence.into_string(), wanted);
    }

    #[test]
    fn regress_a_list_of_markup_reads_as_one_of_words() {
        let of = |n: usize| {
            let items = (0..n).map(|i| maud::html! { i { (i) } }).collect();
            Language::English.rich_list(items).into_string()
        };
        assert_eq!(of(0), "");
        assert_eq!(of(1), "<i>0</i>");
        assert_eq!(of(3), "<i>0</i>, <i>1</i> and <i>2</i>");
        assert!(matches!(Piece::from("x"), Piece::Text(_)));
    }
}
