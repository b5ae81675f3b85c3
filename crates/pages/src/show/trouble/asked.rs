//! What the address of an interview holds: when it began, the reading that it began with, and every answer as it was typed.
//!
//! The address is the whole state, so that back, reload and another device go on where it stood, with or without a server. It
//! has one form only: what comes in another (a bare number, an answer given twice) is led on to that.

use fault::interview::{Answer, AnswerError, Expects, Given, Question, parse_answer};
use jiff::Timestamp;
use ledger::EventId;
use maud::{Markup, html};
use quantity::Kind;
use unit::Unit;

use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::Faults;
use crate::frame::link;
use crate::frame::quantities;

/// The page below a unit's.
pub(crate) const PAGE: &str = "trouble";
/// Names in the address that are no question's.
pub(super) const AT: &str = "at";
pub(super) const FROM: &str = "from";
pub(super) const AGAIN: &str = "ask";

/// What passes a question over.
pub(super) const SKIP: &str = "skip";

/// An answer.
pub(super) struct Said {
    /// The question's key.
    pub(super) key: String,
    /// As it was typed; a bare number with the unit that it was meant in.
    pub(super) text: String,
    /// As it counts.
    pub(super) given: Given,
}

/// An interview as its address has it.
pub(super) struct Asked {
    /// When it began; none where it has not.
    pub(super) at: Option<Timestamp>,
    /// The reading that it begins with.
    pub(super) from: Option<EventId>,
    /// In the order in which they were given.
    pub(super) said: Vec<Said>,
    /// The question that is put again.
    pub(super) again: Option<String>,
    /// What is wrong with an answer, and what was typed.
    pub(super) faults: Faults,
    /// What was typed where it is wrong.
    pub(super) typed: Fields,
    /// Names in the address that this unit has no question for.
    pub(super) strange: Vec<String>,
}

impl Asked {
    /// Reads an address, or the form that keeps what was read.
    pub(super) fn read(ask: &Ask<'_>, unit: &Unit, fields: &Fields) -> Self {
        let at = fields.get(AT).parse::<Timestamp>().ok();
        // A clock that is wrong by a day, or a zone that is, is no reason to lose anything.
        let at = at.filter(|at| (-36_500.0..=1.5).contains(&wear::lives::days(ask.now(), *at)));
        let known = |id: &EventId| {
            let unit = ask.state.unit(&unit.id);
            unit.is_some_and(|unit| unit.reading_origins().iter().any(|one| one.entry == *id))
        };
        let mut asked = Self {
            at,
            from: fields.get(FROM).parse().ok().filter(known),
            said: Vec::new(),
            again: None,
            faults: Faults::default(),
            typed: Fields::default(),
            strange: Vec::new(),
        };
        for (key, text) in fields.iter() {
            if matches!(key, AT | FROM | AGAIN | "form") {
                continue;
            }
            asked.take(ask, unit, key, text);
        }
        // Something was answered: it has begun.
        if asked.at.is_none() && (!asked.said.is_empty() || !asked.faults.is_empty()) {
            asked.at = Some(now(ask));
        }
        let again = fields.get(AGAIN);
        if Question::by_key(unit, again).is_ok() {
            asked.again = Some(again.to_owned());
        }
        asked
    }

    fn take(&mut self, ask: &Ask<'_>, unit: &Unit, key: &str, text: &str) {
        let Ok(question) = Question::by_key(unit, key) else {
            self.strange.push(key.chars().take(60).collect());
            return;
        };
        let text = match question.expects {
            Expects::Quantity { kind, .. } if !is_skipped(text) => ask.measures.with_unit(kind, text),
            _ => text.trim().to_lowercase(),
        };
        match parse_answer(unit, key, &text) {
            Ok(Answer { given, .. }) => {
                let text = if given == Given::Skipped {
                    SKIP.to_owned()
                } else {
                    text
                };
                let said = Said {
                    key: key.to_owned(),
                    text,
                    given,
                };
                match self.said.iter_mut().find(|one| one.key == key) {
                    Some(earlier) => *earlier = said,
                    None => self.said.push(said),
                }
            }
            Err(error) => {
                self.said.retain(|one| one.key != key);
                self.faults.add(key, wrong(ask, &question, &text, &error));
                self.typed.set(key, text);
            }
        }
    }

    /// The answers as they count.
    pub(super) fn answers(&self) -> Vec<Answer> {
        let answer = |one: &Said| Answer {
            key: one.key.clone(),
            given: one.given,
        };
        self.said.iter().map(answer).collect()
    }

    /// Names and values in the address, without the question that is put again.
    pub(super) fn pairs(&self) -> Vec<(String, String)> {
        let at = self.at.map(|at| (AT.to_owned(), at.to_string()));
        let from = self.from.map(|from| (FROM.to_owned(), from.to_string()));
        let said = self.said.iter().map(|one| (one.key.clone(), one.text.clone()));
        at.into_iter().chain(from).chain(said).collect()
    }

    /// The address of this standing, with the question that is put again where there is one.
    pub(super) fn address(&self, unit: &Unit, again: Option<&str>) -> String {
        let mut pairs = self.pairs();
        pairs.extend(again.map(|key| (AGAIN.to_owned(), key.to_owned())));
        format!("{}?{}", link::below_unit(&unit.id, PAGE), query(&pairs))
    }

    /// A figure of this standing: a link to how it was computed, which has all answers in its address too.
    pub(super) fn figure(&self, unit: &Unit, name: &str, of: &str, text: impl AsRef<str>) -> Markup {
        let address = link::how(&unit.id, name, of);
        html! { a.figure href={ (address) "?" (query(&self.pairs())) } { (text.as_ref()) } }
    }

    /// Whether an address is in its one form.
    pub(super) fn is_settled(&self, fields: &Fields) -> bool {
        let mut pairs = self.pairs();
        pairs.extend(self.again.clone().map(|key| (AGAIN.to_owned(), key)));
        fields
            .iter()
            .eq(pairs.iter().map(|(name, value)| (name.as_str(), value.as_str())))
    }
}

fn query(pairs: &[(String, String)]) -> String {
    let pairs = pairs.iter();
    let encoded = pairs.map(|(name, value)| format!("{}={}", link::encoded(name), link::encoded(value)));
    encoded.collect::<Vec<_>>().join("&")
}

/// Now, to the second.
pub(super) fn now(ask: &Ask<'_>) -> Timestamp {
    Timestamp::from_second(ask.now().as_second()).unwrap_or(ask.now())
}

fn is_skipped(text: &str) -> bool {
    let text = text.trim();
    text.is_empty() || text.eq_ignore_ascii_case(SKIP)
}

/// What is wrong with an answer, in the reader's words.
fn wrong(ask: &Ask<'_>, question: &Question, text: &str, error: &AnswerError) -> String {
    let accepted = match (error, question.expects) {
        (AnswerError::Quantity { error, .. }, _) => return quantities::wrong(ask, text, error),
        (
            _,
            Expects::Quantity {
                kind,
                lowest,
                highest,
            },
        ) => {
            let show = |value: f64| ask.measures.show(kind, value);
            ask.say.with(
                "accepted-range",
                &[("lowest", show(lowest).into()), ("highest", show(highest).into())],
            )
        }
        _ => ask.say.say("accepted-yes-or-no"),
    };
    ask.say
        .with("wrong", &[("read", text.into()), ("accepted", accepted.into())])
}

/// The unit of measure that a value of this kind is shown in.
pub(super) fn sign(ask: &Ask<'_>, kind: Kind) -> &'static str {
    ask.measures.sign(kind)
}
