//! Remarks that plainly say that a part was changed, cleaned or rinsed.
//!
//! Only what is said to have been done counts. "Not changed", "change next time", "should change", "customer asks
//! to change", "since the new membranes" say something else and make no event.

use std::collections::HashMap;
use std::sync::LazyLock;

use reading::EventKind;
use unit::{PolishKind, StageKind, Unit};

use crate::words::fold;

/// What a remark says was done.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Done {
    /// Event and part, in the order in which they are named.
    pub(crate) events: Vec<(EventKind, String)>,
    /// Why something that was plainly done makes no event: which of several parts is not said.
    pub(crate) unclear: Option<String>,
}

/// What a word does in a remark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Word {
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
enum Part {
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

/// What a remark says was done to the parts of this unit.
pub(crate) fn events(remark: &str, unit: &Unit) -> Done {
    let mut done = Done::default();
    if remark.len() > 2000 {
        return done;
    }
    let folded = with_ids(&one_spelling(remark), unit);
    let mut carried: Option<EventKind> = None;
    for sentence in sentences(&folded) {
        for clause in clauses(sentence) {
            let words: Vec<Word> = merge(tokens(clause).map(word).collect());
            let ids: Vec<&str> = unit
                .part_ids()
                .filter(|id| clause.contains(&marked(id)))
                .collect();
            carried = read_clause(&words, &ids, carried, unit, &mut done);
        }
        carried = None;
    }
    done
}

/// Folds a remark, with what takes two words, or an accent to tell apart, in one spelling.
fn one_spelling(remark: &str) -> String {
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
fn merge(mut words: Vec<Word>) -> Vec<Word> {
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
fn with_ids(folded: &str, unit: &Unit) -> String {
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

fn marked(id: &str) -> String {
    format!("\u{1}{id}\u{2}")
}

/// Cut at semicolons, line ends, exclamation marks. A question is dropped.
fn sentences(text: &str) -> impl Iterator<Item = &str> {
    text.split_inclusive([';', '\n', '!', '?', '\r'])
        .filter(|sentence| !sentence.trim_end().ends_with('?'))
        .map(|sentence| sentence.trim_end_matches([';', '\n', '!', '\r']))
}

/// Cut at commas and at words that turn a sentence.
fn clauses(sentence: &str) -> Vec<&str> {
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

fn tokens(clause: &str) -> impl Iterator<Item = &str> {
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

/// Reads one clause; what was done in it is carried to the next, which may only list more parts.
fn read_clause(
    words: &[Word],
    ids: &[&str],
    carried: Option<EventKind>,
    unit: &Unit,
    done: &mut Done,
) -> Option<EventKind> {
    let negated = words.iter().enumerate().any(|(at, word)| {
        let rest = words.get(at + 1..).unwrap_or(&[]);
        match word {
            // "No 2" and "no. 2" count; "no" without a number denies.
            Word::Not => !matches!(rest.first(), Some(Word::Number(_))),
            // "Since the new membranes", "after the change"; but "changed after the reading" was done.
            Word::LookBack => {
                let said_before = words
                    .get(..at)
                    .unwrap_or(&[])
                    .iter()
                    .any(|word| matches!(word, Word::Did(_)));
                let next = rest.iter().find(|word| **word != Word::Small);
                !said_before
                    && matches!(
                        next,
                        Some(Word::Did(_) | Word::New | Word::Noun(_) | Word::Part(_) | Word::Plural)
                    )
            }
            _ => false,
        }
    });
    if negated {
        return None;
    }
    let did = words.iter().find_map(|word| match word {
        Word::Did(kind) => Some(*kind),
        _ => None,
    });
    let has_part = !ids.is_empty() || words.iter().any(|word| matches!(word, Word::Part(_)));
    let new = words
        .iter()
        .enumerate()
        .any(|(at, word)| *word == Word::New && new_part(words, at))
        || words.contains(&Word::New) && !ids.is_empty();
    let noun = words.iter().enumerate().find_map(|(at, word)| match word {
        Word::Noun(kind) if beside_part(words, at) => Some(*kind),
        _ => None,
    });
    // A clause with other words in it says something of its own and is no list that goes on.
    let only_list = words
        .iter()
        .all(|word| !matches!(word, Word::Other | Word::Thing | Word::New));
    let kind = did
        .or(new.then_some(EventKind::Changed))
        .or(noun)
        .or(carried.filter(|_| only_list))?;
    if !has_part {
        // "Changed: sediment, carbon" - the parts follow.
        return did.filter(|_| !words.contains(&Word::Thing));
    }
    // "Carbon changed, membranes rinsed" within one clause: each part goes with the nearest deed.
    for (at, word) in words.iter().enumerate() {
        let Word::Part(part) = word else { continue };
        if is_about(words, at) {
            continue;
        }
        let kind = nearest(words, at).unwrap_or(kind);
        let numbers = numbers_near(words, at);
        // "Membrane change", "Filterwechsel": the singular before the noun says nothing of how many.
        let neutral = matches!(next_but_small(words, at), Some(Word::Noun(_)));
        let plural = neutral
            || words.get(at + 1) == Some(&Word::Plural)
            || words.get(at.wrapping_sub(1)) == Some(&Word::Plural);
        add(*part, &numbers, plural, kind, unit, done);
    }
    if !words.contains(&Word::Thing) || words.contains(&Word::And) {
        for id in ids {
            push(done, kind, id);
        }
    }
    Some(kind)
}

/// "New" and then, before anything else, a part that is not only the part's housing.
fn new_part(words: &[Word], at: usize) -> bool {
    let after = words.get(at + 1..).unwrap_or(&[]);
    for (offset, word) in after.iter().enumerate() {
        match word {
            Word::Part(_) => return !matches!(words.get(at + 2 + offset), Some(Word::Thing)),
            Word::Thing | Word::Did(_) | Word::Not => break,
            Word::Other if offset > 1 => break,
            _ => {}
        }
    }
    // "Filtro nuevo", "membranas nuevas", "Filter neu": the part directly before.
    matches!(
        words.get(at.wrapping_sub(1)),
        Some(Word::Part(_) | Word::Number(_))
    )
}

/// "Filter change", "cambio de filtro": part and noun side by side, one small word between at most.
fn beside_part(words: &[Word], at: usize) -> bool {
    let near = |offset: usize| {
        at.checked_sub(offset)
            .and_then(|index| words.get(index))
            .is_some_and(|word| matches!(word, Word::Part(_)))
    };
    let after = |offset: usize| {
        words
            .get(at + offset)
            .is_some_and(|word| matches!(word, Word::Part(_)))
    };
    near(1)
        || near(2) && words.get(at.wrapping_sub(1)) == Some(&Word::Small)
        || after(2) && words.get(at + 1) == Some(&Word::Small)
        || after(3) && words.get(at + 1) == Some(&Word::Small) && words.get(at + 2) == Some(&Word::Small)
        || after(1) && alone(words, at)
}

/// The next word that is no article or the like.
fn next_but_small(words: &[Word], at: usize) -> Option<&Word> {
    words.get(at + 1..)?.iter().find(|word| **word != Word::Small)
}

/// A noun before its part without a small word between ("Wechsel Sedimentfilter") is a note of what was done only
/// where nothing else stands in the clause.
fn alone(words: &[Word], at: usize) -> bool {
    at == 0 && words.iter().all(|word| !matches!(word, Word::Other))
}

/// Whether a part is only named to say whose housing, seal or gauge is meant.
fn is_about(words: &[Word], at: usize) -> bool {
    if words.get(at + 1) == Some(&Word::Thing) {
        return true;
    }
    // "Changed o-ring of the carbon housing": a thing before the part with no "and" between.
    let before = words.get(..at).unwrap_or(&[]);
    for word in before.iter().rev() {
        match word {
            Word::Thing => return true,
            Word::And | Word::Did(_) | Word::New | Word::Part(_) => return false,
            _ => {}
        }
    }
    false
}

/// The deed nearest to a part: the last before it, else the first after it.
fn nearest(words: &[Word], at: usize) -> Option<EventKind> {
    let kind = |word: &Word| match word {
        Word::Did(kind) | Word::Noun(kind) => Some(*kind),
        Word::New => Some(EventKind::Changed),
        _ => None,
    };
    let before = words.get(..at).unwrap_or(&[]).iter().rev().find_map(kind);
    let after = words.get(at + 1..).unwrap_or(&[]).iter().find_map(kind);
    // "Sediment changed and carbon rinsed": where a deed stands first the parts follow their deeds, else they precede.
    let first_deed = words.iter().position(|word| kind(word).is_some());
    let first_part = words.iter().position(|word| matches!(word, Word::Part(_)));
    if first_deed < first_part {
        before.or(after)
    } else {
        after.or(before)
    }
}

/// Numbers that go with a part: which ("membrane 2", "membranes 1 and 3", "2nd membrane"), or how many
/// ("2 membranes").
#[derive(Clone, Debug, PartialEq)]
enum Numbers {
    None,
    Which(Vec<usize>),
    Count(usize),
}

fn numbers_near(words: &[Word], at: usize) -> Numbers {
    let mut which = Vec::new();
    for word in words.get(at + 1..).unwrap_or(&[]) {
        match word {
            Word::Number(number) => which.push(*number),
            Word::And | Word::Small => {}
            // "No 2".
            Word::Not if which.is_empty() => {}
            _ => break,
        }
    }
    if !which.is_empty() {
        return Numbers::Which(which);
    }
    match at.checked_sub(1).and_then(|before| words.get(before)) {
        Some(Word::Number(number))
            if matches!(words.get(at), Some(Word::Part(Part::Membranes | Part::Filters))) =>
        {
            Numbers::Count(*number)
        }
        Some(Word::Number(number)) => Numbers::Which(vec![*number]),
        _ => Numbers::None,
    }
}

fn push(done: &mut Done, kind: EventKind, id: &str) {
    if !done
        .events
        .iter()
        .any(|(known, part)| *known == kind && part == id)
    {
        done.events.push((kind, id.to_owned()));
    }
}

/// Adds the events of one part named in a remark.
fn add(part: Part, numbers: &Numbers, plural: bool, kind: EventKind, unit: &Unit, done: &mut Done) {
    let candidates: Vec<&str> = match part {
        Part::Membrane | Part::Membranes => unit
            .membranes
            .elements
            .iter()
            .map(|element| element.id.as_str())
            .collect(),
        Part::Resin | Part::Lamp | Part::Remineraliser | Part::PostCarbon => {
            let wanted = match part {
                Part::Resin => PolishKind::MixedBed,
                Part::Lamp => PolishKind::Uv,
                Part::Remineraliser => PolishKind::Remineraliser,
                _ => PolishKind::Carbon,
            };
            let items = unit.permeate.polish.iter().filter(|item| item.kind == wanted);
            items.map(|item| item.id.as_str()).collect()
        }
        _ => unit
            .stages
            .iter()
            .filter(|stage| is_kind(&stage.kind, part))
            .map(|stage| stage.id.as_str())
            .collect(),
    };
    let mut several = plural || matches!(part, Part::Membranes | Part::Filters);
    match numbers {
        Numbers::Which(which) if candidates.len() > 1 => {
            let named: Vec<&str> = which
                .iter()
                .filter_map(|number| candidates.get(number.checked_sub(1)?).copied())
                .collect();
            if named.len() == which.len() {
                for id in named {
                    push(done, kind, id);
                }
                return;
            }
        }
        Numbers::Count(count) if *count != candidates.len() => several = false,
        _ => {}
    }
    match candidates.as_slice() {
        [] => {}
        [only] => push(done, kind, only),
        all if several => {
            for id in all {
                push(done, kind, id);
            }
        }
        all => {
            done.unclear.get_or_insert_with(|| {
                format!("which of {} was {} is not said", all.join(", "), kind.name())
            });
        }
    }
}

fn is_kind(kind: &StageKind, part: Part) -> bool {
    match part {
        Part::Sediment => matches!(kind, StageKind::Sediment { .. }),
        Part::Carbon => matches!(kind, StageKind::Carbon { .. }),
        Part::Filter | Part::Filters => matches!(kind, StageKind::Sediment { .. } | StageKind::Carbon { .. }),
        Part::Softener => matches!(kind, StageKind::Softener { .. }),
        Part::Pump => matches!(kind, StageKind::Pump { .. }),
        _ => false,
    }
}

static VOCABULARY: LazyLock<HashMap<&'static str, Word>> = LazyLock::new(|| {
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

fn word(token: &str) -> Word {
    // A part's own name, marked by `with_ids`, is looked for apart.
    if token.starts_with('\u{1}') {
        return Word::Small;
    }
    VOCABULARY.get(token).copied().unwrap_or_else(|| long_word(token))
}

/// German compounds, and numbers.
fn long_word(token: &str) -> Word {
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
