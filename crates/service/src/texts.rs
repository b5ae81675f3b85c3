//! The wording of cautions and steps, read from the data files beside the code.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use crate::error::CardError;

/// The language of a card's texts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub enum Language {
    /// English.
    #[default]
    English,
    /// German.
    German,
}

/// One caution.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct Caution {
    /// Its name.
    pub id: String,
    /// Where it stands: `card`, before the steps, or `step`, where the hand meets it.
    pub at: String,
    /// What it says.
    pub text: String,
    /// Where it comes from, or `common practice, no source`.
    pub source: String,
}

/// The wording of one kind of step.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub(crate) struct Wording {
    pub(crate) text: String,
    pub(crate) why: String,
    pub(crate) check: Option<String>,
}

#[derive(Deserialize)]
struct CautionFile {
    caution: Vec<Caution>,
}

#[derive(Deserialize)]
struct StepFile {
    step: BTreeMap<String, Wording>,
    tool: BTreeMap<String, String>,
    part: BTreeMap<String, String>,
}

#[derive(Deserialize)]
struct WordFile {
    look: BTreeMap<String, String>,
    plain: BTreeMap<String, String>,
    note: BTreeMap<String, String>,
    reach: BTreeMap<String, String>,
    word: BTreeMap<String, String>,
}

/// Everything that is said on a card.
pub(crate) struct Texts {
    cautions: Vec<Caution>,
    steps: BTreeMap<String, Wording>,
    tools: BTreeMap<String, String>,
    parts: BTreeMap<String, String>,
    words: WordFile,
}

static ENGLISH: LazyLock<Result<Texts, String>> = LazyLock::new(|| {
    Texts::parse(
        include_str!("../data/cautions.toml"),
        include_str!("../data/steps.toml"),
        include_str!("../data/words.toml"),
    )
});

static GERMAN: LazyLock<Result<Texts, String>> = LazyLock::new(|| {
    let mut texts = Texts::parse(
        include_str!("../data/cautions.toml"),
        include_str!("../data/steps.de.toml"),
        include_str!("../data/words.de.toml"),
    )?;
    let german: BTreeMap<String, String> = toml::from_str(include_str!("../data/cautions.de.toml"))
        .map_err(|error| format!("German cautions: {error}"))?;
    for caution in &mut texts.cautions {
        // Where it stands and where it comes from is the same in every language.
        let text = german
            .get(&caution.id)
            .ok_or_else(|| format!("no German caution {}", caution.id))?;
        caution.text.clone_from(text);
    }
    Ok(texts)
});

fn texts(language: Language) -> &'static Result<Texts, String> {
    match language {
        Language::English => &ENGLISH,
        Language::German => &GERMAN,
    }
}

/// Every caution a card can carry, with its source.
pub fn cautions() -> &'static [Caution] {
    cautions_in(Language::English)
}

/// What cards say word for word as it stands here, nothing filled in: cautions and tools.
pub fn fixed_texts(language: Language) -> Vec<&'static str> {
    let Ok(texts) = texts(language) else {
        return Vec::new();
    };
    let cautions = texts.cautions.iter().map(|caution| &caution.text);
    cautions
        .chain(texts.tools.values())
        .map(String::as_str)
        .filter(|text| !text.contains('{'))
        .collect()
}

fn cautions_in(language: Language) -> &'static [Caution] {
    texts(language).as_ref().map_or(&[], |texts| &texts.cautions)
}

impl Texts {
    fn parse(cautions: &str, steps: &str, words: &str) -> Result<Self, String> {
        let cautions: CautionFile = toml::from_str(cautions).map_err(|error| format!("cautions: {error}"))?;
        let steps: StepFile = toml::from_str(steps).map_err(|error| format!("steps: {error}"))?;
        let words: WordFile = toml::from_str(words).map_err(|error| format!("words: {error}"))?;
        Ok(Self {
            cautions: cautions.caution,
            steps: steps.step,
            tools: steps.tool,
            parts: steps.part,
            words,
        })
    }

    pub(crate) fn load(language: Language) -> Result<&'static Self, CardError> {
        texts(language)
            .as_ref()
            .map_err(|error| CardError::Texts(error.clone()))
    }

    pub(crate) fn caution(&self, id: &str) -> Result<String, CardError> {
        let found = self.cautions.iter().find(|caution| caution.id == id);
        found
            .map(|caution| caution.text.clone())
            .ok_or_else(|| CardError::Texts(format!("no caution {id}")))
    }

    pub(crate) fn step(&self, key: &str, values: &[(&str, &str)]) -> Result<Wording, CardError> {
        let found = self
            .steps
            .get(key)
            .ok_or_else(|| CardError::Texts(format!("no step {key}")))?;
        Ok(Wording {
            text: fill(&found.text, values),
            why: fill(&found.why, values),
            check: found.check.as_ref().map(|check| fill(check, values)),
        })
    }

    pub(crate) fn tool(&self, key: &str) -> Result<String, CardError> {
        self.tools
            .get(key)
            .cloned()
            .ok_or_else(|| CardError::Texts(format!("no tool {key}")))
    }

    pub(crate) fn part(&self, key: &str, values: &[(&str, &str)]) -> Result<String, CardError> {
        let found = self
            .parts
            .get(key)
            .ok_or_else(|| CardError::Texts(format!("no part {key}")))?;
        Ok(fill(found, values))
    }

    /// What to look at where a reading does not pass.
    pub(crate) fn look(&self, key: &str, values: &[(&str, &str)]) -> Result<String, CardError> {
        word(&self.words.look, key, values)
    }

    /// A step in plain words for a customer.
    /// What to do at the end of a safe way.
    pub(crate) fn reach(&self, key: &str) -> Result<String, CardError> {
        word(&self.words.reach, key, &[])
    }

    pub(crate) fn plain(&self, key: &str, values: &[(&str, &str)]) -> Result<String, CardError> {
        word(&self.words.plain, key, values)
    }

    /// A word or a phrase that goes into other texts.
    pub(crate) fn word(&self, key: &str) -> Result<&str, CardError> {
        self.words
            .word
            .get(key)
            .map(String::as_str)
            .ok_or_else(|| CardError::Texts(format!("no word {key}")))
    }

    /// A phrase with its values put in.
    pub(crate) fn filled(&self, key: &str, values: &[(&str, &str)]) -> Result<String, CardError> {
        word(&self.words.word, key, values)
    }

    /// A valve in the words of the trade, by its name in the contract.
    pub(crate) fn valve(&self, name: &str) -> Result<String, CardError> {
        match name {
            "inlet_valve" | "flush_valve" | "tank_valve" => Ok(self.word(name)?.to_owned()),
            other => self.filled("stage_valve", &[("id", other.trim_end_matches(".inlet_valve"))]),
        }
    }

    /// A tube `A>B` of the contract as the hand finds it: "from carbon to membrane-1".
    pub(crate) fn tube(&self, name: &str) -> Result<String, CardError> {
        let (near, far) = name.split_once('>').unwrap_or((name, ""));
        self.filled("tube_way", &[("near", self.end(near)?), ("far", self.end(far)?)])
    }

    /// Where a tube `A>B` leads to.
    pub(crate) fn far_end(&self, name: &str) -> Result<String, CardError> {
        let far = name.split_once('>').map_or("", |(_, far)| far);
        Ok(self.end(far)?.to_owned())
    }

    /// An end of a tube: a part by its id, or what the contract has a name for.
    fn end<'a>(&'a self, name: &'a str) -> Result<&'a str, CardError> {
        match name {
            "inlet" | "membranes" | "restrictor" | "drain" | "tank" => self.word(&format!("end_{name}")),
            part => Ok(part),
        }
    }

    /// What the next hand must know of a housing.
    pub(crate) fn note(&self, key: &str, values: &[(&str, &str)]) -> Result<String, CardError> {
        word(&self.words.note, key, values)
    }
}

fn word(words: &BTreeMap<String, String>, key: &str, values: &[(&str, &str)]) -> Result<String, CardError> {
    let found = words
        .get(key)
        .ok_or_else(|| CardError::Texts(format!("no wording {key}")))?;
    Ok(fill(found, values))
}

/// Puts the values in for `{name}`.
fn fill(template: &str, values: &[(&str, &str)]) -> String {
    values.iter().fold(template.to_owned(), |text, (name, value)| {
        text.replace(&format!("{{{name}}}"), value)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_caution_has_a_text_a_place_and_a_source() {
        let texts = Texts::load(Language::English).unwrap_or_else(|error| panic!("{error}"));
        assert!(texts.cautions.len() > 20);
        for caution in &texts.cautions {
            assert!(
                !caution.text.is_empty() && !caution.source.is_empty(),
                "{}",
                caution.id
            );
            assert!(matches!(caution.at.as_str(), "card" | "step"), "{}", caution.id);
            assert_eq!(
                texts
                    .cautions
                    .iter()
                    .filter(|other| other.id == caution.id)
                    .count(),
                1
            );
        }
    }
    /// The values of a text: `{name}`.
    fn values(text: &str) -> std::collections::BTreeSet<&str> {
        text.split('{')
            .skip(1)
            .filter_map(|rest| rest.split('}').next())
            .collect()
    }

    fn same(name: &str, one: &BTreeMap<String, String>, other: &BTreeMap<String, String>) {
        let keys = |texts: &BTreeMap<String, String>| texts.keys().cloned().collect::<Vec<_>>();
        assert_eq!(keys(one), keys(other), "{name}");
        for (key, text) in one {
            assert_eq!(values(text), values(&other[key]), "{name} {key}");
        }
    }

    #[test]
    fn every_language_has_every_text_with_the_same_values() {
        let load = |language| Texts::load(language).unwrap_or_else(|error| panic!("{error}"));
        let (english, german) = (load(Language::English), load(Language::German));
        same("tool", &english.tools, &german.tools);
        same("part", &english.parts, &german.parts);
        same("look", &english.words.look, &german.words.look);
        same("plain", &english.words.plain, &german.words.plain);
        same("note", &english.words.note, &german.words.note);
        same("reach", &english.words.reach, &german.words.reach);
        same("word", &english.words.word, &german.words.word);
        let keys = |texts: &Texts| texts.steps.keys().cloned().collect::<Vec<_>>();
        assert_eq!(keys(english), keys(german));
        for (key, step) in &english.steps {
            let other = &german.steps[key];
            assert_eq!(values(&step.text), values(&other.text), "{key}");
            assert_eq!(values(&step.why), values(&other.why), "{key}");
            assert_eq!(
                step.check.as_deref().map(values),
                other.check.as_deref().map(values),
                "{key}"
            );
        }
        for (english, german) in english.cautions.iter().zip(&german.cautions) {
            assert_ne!(english.text, german.text, "{}", english.id);
        }
    }
}
