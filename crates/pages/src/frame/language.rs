//! What stands on the pages, in the reader's language.
//!
//! The text is in `messages/`, one Fluent file for each language; here are only keys. A number is put into a text as it is
//! to be read, so that it is rounded once, where its meaning is known.

use std::sync::LazyLock;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};
use unic_langid::LanguageIdentifier;

type Bundle = FluentBundle<FluentResource>;

/// The English messages.
pub(crate) const ENGLISH: &str = include_str!("../../messages/en.ftl");
/// The German messages.
pub(crate) const GERMAN: &str = include_str!("../../messages/de.ftl");

static EN: LazyLock<Bundle> = LazyLock::new(|| bundle("en", ENGLISH));
static DE: LazyLock<Bundle> = LazyLock::new(|| bundle("de", GERMAN));

fn bundle(tag: &str, text: &str) -> Bundle {
    let language: LanguageIdentifier = tag.parse().unwrap_or_default();
    let mut bundle = Bundle::new_concurrent(vec![language]);
    // The marks that keep directions apart would stand in every copied number; both languages run one way.
    bundle.set_use_isolating(false);
    // What could be read of a faulty file is used; a test finds the faults.
    let resource = match FluentResource::try_new(text.to_owned()) {
        Ok(resource) | Err((resource, _)) => resource,
    };
    // A key that stands twice keeps its first text; a test finds it.
    let _twice = bundle.add_resource(resource);
    bundle
}

/// A language of the pages.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Language {
    /// English.
    English,
    /// German.
    German,
}

impl Language {
    /// All of them.
    pub(crate) const ALL: [Self; 2] = [Self::English, Self::German];

    /// Its tag (BCP 47).
    pub(crate) fn tag(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
        }
    }

    /// The language of a tag.
    pub(crate) fn of_tag(tag: &str) -> Option<Self> {
        let primary = tag.split(['-', '_']).next()?.trim();
        Self::ALL
            .into_iter()
            .find(|language| primary.eq_ignore_ascii_case(language.tag()))
    }

    /// The first language of an `Accept-Language` header that we have, by its weights; English where there is none.
    pub(crate) fn accepted(header: &str) -> Self {
        let mut best = (0.0, Self::English);
        for item in header.split(',').take(20) {
            let (tag, weight) = item.split_once(";q=").unwrap_or((item, "1"));
            let weight: f64 = weight.trim().parse().unwrap_or(0.0);
            if let Some(language) = Self::of_tag(tag)
                && weight > best.0
            {
                best = (weight, language);
            }
        }
        best.1
    }

    fn bundle(self) -> &'static Bundle {
        match self {
            Self::English => &EN,
            Self::German => &DE,
        }
    }

    /// A text.
    pub(crate) fn say(self, key: &str) -> String {
        self.with(key, &[])
    }

    /// A text with something put into it. A key that has no text stands for itself; a test finds it.
    pub(crate) fn with(self, key: &str, values: &[(&str, FluentValue<'_>)]) -> String {
        let bundle = self.bundle();
        let Some(pattern) = bundle.get_message(key).and_then(|message| message.value()) else {
            return key.to_owned();
        };
        let arguments: FluentArgs<'_> = values
            .iter()
            .map(|(name, value)| (*name, value.clone()))
            .collect();
        let mut errors = Vec::new();
        bundle
            .format_pattern(pattern, Some(&arguments), &mut errors)
            .into_owned()
    }

    /// A number as it is written in this language.
    pub(crate) fn number(self, text: &str) -> String {
        match self {
            Self::English => text.to_owned(),
            Self::German => text.replace('.', ","),
        }
    }

    /// A whole number of percent.
    pub(crate) fn percent(self, fraction: f64) -> String {
        self.with("percent", &[("n", format!("{:.0}", 100.0 * fraction).into())])
    }

    /// "a, b and c".
    pub(crate) fn list(self, items: &[String]) -> String {
        match items {
            [] => String::new(),
            [one] => one.clone(),
            [first @ .., last] => self.with(
                "list",
                &[("first", first.join(", ").into()), ("last", last.as_str().into())],
            ),
        }
    }
}
