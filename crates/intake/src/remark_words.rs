//! The words of remarks: one spelling for each, and what it means.

use std::collections::HashMap;
use std::sync::LazyLock;

use reading::EventKind;
use unit::Unit;

use crate::words::fold;

/// What a word does in a remark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Word {
    /// It was done.
    Did(EventKind),
    /// "New", "neu": done where a part follows.
    New,
    /// "Change", "Wechsel", "cambio" as a noun: done where it stands beside the part and nothing speaks of later.
    Noun(EventKind),
    /// Takes the clause out: not, next, should, asks, since ...
    Not,
    Part(Part),
    /// What is on or about a part and not the part: housing, seal, gauge, battery.
    Thing,
    /// Since, after, before, last: takes the clause out where a deed or a part follows.
    LookBack,
    And,
    Number(usize),
    Plural,
    /// Articles and the like.
    Small,
    Other,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    Sediment,
    Carbon,
    Membrane,
    Membranes,
    /// "Filter": which, if there are several?
    Filter,
    /// "Filters", "both filters".
    Filters,
    Softener,
    Resin,
    Lamp,
    Remineraliser,
    PostCarbon,
    Pump,
}

/// Folds a remark, with what takes two words, or an accent to tell apart, in one spelling.
pub(crate) fn one_spelling(remark: &str) -> String {
    // "Cambió" was done; "cambio" is a noun. "Changé" was done; "change" is an order.
    const ACCENTED: [(&str, &str); 6] = [
        ("cambió", "cambiado"),
        ("limpió", "limpiado"),
        ("lavó", "lavado"),
        ("reemplazó", "reemplazado"),
        ("enjuagó", "enjuagado"),
        ("changé", "changed"),
    ];
    const SPELLINGS: [(&str, &str); 32] = [
        ("pre-filter", "prefilter"),
        ("pre filter", "prefilter"),
        ("post-filter", "postfilter"),
        ("post filter", "postfilter"),
        ("post-carbon", "postcarbon"),
        ("post carbon", "postcarbon"),
        ("o ring", "oring"),
        ("mixed bed", "mixedbed"),
        ("mixed-bed", "mixedbed"),
        ("5 micron", "5micron"),
        ("se cambio", "cambiado"),
        ("se limpio", "limpiado"),
        ("put in", "installed"),
        ("to be", "not"),
        ("to change", "not"),
        ("to replace", "not"),
        ("to clean", "not"),
        ("to swap", "not"),
        ("to renew", "not"),
        ("hay que", "not"),
        ("last week", "ago"),
        ("last month", "ago"),
        ("last year", "ago"),
        ("last visit", "ago"),
        ("last time", "ago"),
        ("letzte woche", "ago"),
        ("letzten monat", "ago"),
        ("letztes mal", "ago"),
        ("letztes jahr", "ago"),
        ("semana pasada", "ago"),
        ("mes pasado", "ago"),
        ("vez pasada", "ago"),
    ];
    let mut text = remark.to_lowercase();
    for (from, to) in ACCENTED {
        text = text.replace(from, to);
    }
    text = fold(&text)
        .replace("no. ", "no ")
        .replace("nr. ", "nr ")
        .replace(". ", "\n");
    for (from, to) in SPELLINGS {
        if text.contains(from) {
            text = text.replace(from, to);
        }
    }
    text
}

/// "Sediment filter", "filtro de sedimentos": the general word beside the particular one says nothing more.
pub(crate) fn merge(mut words: Vec<Word>) -> Vec<Word> {
    let general = |word: &Word| matches!(word, Word::Part(Part::Filter | Part::Filters));
    let particular = |word: Option<&Word>| matches!(word, Some(Word::Part(part)) if !matches!(part, Part::Filter | Part::Filters));
    let beside = |words: &[Word], at: usize| {
        let small = |index: Option<usize>| index.and_then(|index| words.get(index)) == Some(&Word::Small);
        particular(at.checked_sub(1).and_then(|before| words.get(before)))
            || particular(words.get(at + 1))
            || small(at.checked_add(1)) && particular(words.get(at + 2))
            || small(at.checked_add(1)) && small(at.checked_add(2)) && particular(words.get(at + 3))
    };
    for at in 0..words.len() {
        if words.get(at).is_some_and(general)
            && beside(&words, at)
            && let Some(word) = words.get_mut(at)
        {
            *word = Word::Small;
        }
    }
    words
}

/// Marks the unit's own names of parts (`carbon-2`) so that they stay one word.
pub(crate) fn with_ids(folded: &str, unit: &Unit) -> String {
    let mut text = folded.to_owned();
    // An id that is a plain word (`carbon`) is left to the vocabulary.
    for id in unit
        .part_ids()
        .filter(|id| id.contains(|c: char| !c.is_ascii_alphabetic()))
    {
        let lower = fold(id);
        for spelling in [
            lower.clone(),
            lower.replace(['-', '_'], " "),
            lower.replace(['-', '_'], ""),
        ] {
            // `membrane-1` must not be found in `membrane-12`.
            if let Some(at) = text.find(&spelling)
                && !text
                    .get(at + spelling.len()..)
                    .is_some_and(|rest| rest.starts_with(|c: char| c.is_alphanumeric()))
                && !text
                    .get(..at)
                    .is_some_and(|head| head.ends_with(|c: char| c.is_alphanumeric()))
            {
                text.replace_range(at..at + spelling.len(), &marked(id));
                break;
            }
        }
    }
    text
}

pub(crate) fn marked(id: &str) -> String {
    format!("\u{1}{id}\u{2}")
}

/// Cut at semicolons, line ends, exclamation marks. A question is dropped.
pub(crate) fn sentences(text: &str) -> impl Iterator<Item = &str> {
    text.split_inclusive([';', '\n', '!', '?', '\r'])
        .filter(|sentence| !sentence.trim_end().ends_with('?'))
        .map(|sentence| sentence.trim_end_matches([';', '\n', '!', '\r']))
}

/// Cut at commas and at words that turn a sentence.
pub(crate) fn clauses(sentence: &str) -> Vec<&str> {
    let mut clauses = vec![sentence];
    for word in [
        ",", " but ", " aber ", " pero ", " mais ", " then ", " dann ", " - ", " (", ": ",
    ] {
        clauses = clauses
            .into_iter()
            .flat_map(|clause| clause.split(word))
            .collect();
    }
    clauses
}

pub(crate) fn tokens(clause: &str) -> impl Iterator<Item = &str> {
    clause
        .split(|c: char| c.is_whitespace() || matches!(c, '/' | '(' | ')' | '"' | ':' | '#' | '*' | '='))
        .flat_map(|token| {
            let plus = token.split_inclusive(['+', '&']);
            plus.flat_map(|piece| match piece.strip_suffix(['+', '&']) {
                Some(stem) => [stem, "+"],
                None => [piece, ""],
            })
        })
        .map(|token| {
            token.trim_matches(|c: char| !(c.is_alphanumeric() || matches!(c, '+' | '\u{1}' | '\u{2}')))
        })
        .flat_map(|token| {
            // `Membranwechsel` is a membrane and a change.
            let noun = ["austausch", "wechsel", "tausch", "reinigung", "spulung"]
                .into_iter()
                .find_map(|noun| {
                    token
                        .strip_suffix(noun)
                        .filter(|stem| stem.len() > 3)
                        .map(|stem| (stem, noun))
                });
            match noun {
                Some((stem, noun)) => [stem.trim_end_matches(['s', '-']), noun],
                None => [token, ""],
            }
        })
        .filter(|token| !token.is_empty())
}

pub(crate) static VOCABULARY: LazyLock<HashMap<&'static str, Word>> = LazyLock::new(|| {
    let mut words = HashMap::new();
    for line in include_str!("remark.txt")
        .lines()
        .filter(|line| !line.starts_with('#'))
    {
        let mut fields = line.split_whitespace();
        if let Some(meaning) = fields.next().and_then(Word::from_name) {
            words.extend(fields.map(|word| (word, meaning)));
        }
    }
    words
});

impl Word {
    fn from_name(name: &str) -> Option<Self> {
        let (class, rest) = name.split_once('.').unwrap_or((name, ""));
        Some(match class {
            "did" => Self::Did(EventKind::from_name(rest)?),
            "noun" => Self::Noun(EventKind::from_name(rest)?),
            "new" => Self::New,
            "not" => Self::Not,
            "lookback" => Self::LookBack,
            "thing" => Self::Thing,
            "and" => Self::And,
            "plural" => Self::Plural,
            "small" => Self::Small,
            "number" => Self::Number(rest.parse().ok()?),
            "part" => Self::Part(match rest {
                "sediment" => Part::Sediment,
                "carbon" => Part::Carbon,
                "membrane" => Part::Membrane,
                "membranes" => Part::Membranes,
                "filter" => Part::Filter,
                "filters" => Part::Filters,
                "softener" => Part::Softener,
                "resin" => Part::Resin,
                "lamp" => Part::Lamp,
                "remineraliser" => Part::Remineraliser,
                "postcarbon" => Part::PostCarbon,
                "pump" => Part::Pump,
                _ => return None,
            }),
            _ => return None,
        })
    }
}

pub(crate) fn word(token: &str) -> Word {
    // A part's own name, marked by `with_ids`, is looked for apart.
    if token.starts_with('\u{1}') {
        return Word::Small;
    }
    VOCABULARY.get(token).copied().unwrap_or_else(|| long_word(token))
}

/// German compounds, and numbers.
pub(crate) fn long_word(token: &str) -> Word {
    if let Ok(number) = token.trim_end_matches("er").parse::<usize>() {
        return if (1..=20).contains(&number) {
            Word::Number(number)
        } else {
            Word::Other
        };
    }
    if token.len() < 7 {
        return Word::Other;
    }
    let has = |stem: &str| token.contains(stem);
    if has("gehause") || has("dichtung") || has("housing") {
        Word::Thing
    } else if has("sediment") {
        Word::Part(Part::Sediment)
    } else if has("kohle") {
        Word::Part(Part::Carbon)
    } else if token.starts_with("membran") {
        Word::Part(if token.ends_with("en") || token.ends_with('s') {
            Part::Membranes
        } else {
            Part::Membrane
        })
    } else {
        Word::Other
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_of_the_vocabulary_has_a_known_meaning() {
        for line in include_str!("remark.txt")
            .lines()
            .filter(|line| !line.starts_with('#'))
        {
            let mut fields = line.split_whitespace();
            let meaning = fields.next().and_then(Word::from_name);
            assert!(meaning.is_some(), "{line}");
            for word in fields {
                assert_eq!(fold(word), word, "words are folded");
            }
        }
    }
}
