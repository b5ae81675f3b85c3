//! Remarks that plainly say that a part was changed, cleaned or rinsed.
//!
//! Only what is said to have been done counts. "Not changed", "change next time", "should change", "customer asks
//! to change", "since the new membranes" say something else and make no event.

use reading::EventKind;
use unit::{PolishKind, StageKind, Unit};

use crate::Told;
use crate::remark_words::{
    Part, Word, clauses, marked, merge, one_spelling, sentences, tokens, with_ids, word,
};

/// What a remark says was done.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Done {
    /// Event and part, in the order in which they are named.
    pub(crate) events: Vec<(EventKind, String)>,
    /// Why something that was plainly done makes no event: which of several parts is not said.
    pub(crate) unclear: Option<Told>,
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
            done.unclear.get_or_insert_with(|| Told::WhichPart {
                parts: all.iter().map(|id| (*id).to_owned()).collect(),
                done: kind,
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
