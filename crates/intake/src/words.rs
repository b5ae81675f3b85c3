//! The words of headings, in English, German, Spanish and French, and what each says.

use std::collections::HashMap;
use std::sync::LazyLock;

/// A set of notions that a heading's words carry.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Notions(u64);

macro_rules! notions {
    ($($(#[$doc:meta])* $name:ident $text:literal = $bit:literal;)*) => {
        impl Notions {
            $($(#[$doc])* pub(crate) const $name: Self = Self(1 << $bit);)*

            fn from_name(name: &str) -> Option<Self> {
                match name {
                    $($text => Some(Self(1 << $bit)),)*
                    _ => None,
                }
            }
        }
    };
}

notions! {
    /// Water before the unit.
    FEED "feed" = 0;
    PERMEATE "permeate" = 1;
    /// "RO" alone: the permeate, unless another place is named.
    RO "ro" = 2;
    CONCENTRATE "concentrate" = 3;
    MEMBRANE "membrane" = 4;
    /// The supply's own pressure: line, mains, street.
    LINE "line" = 5;
    BEFORE "before" = 6;
    AFTER "after" = 7;
    IN "in" = 8;
    OUT "out" = 9;
    FILTER "filter" = 10;
    SEDIMENT "sediment" = 11;
    CARBON "carbon" = 12;
    SOFTENER "softener" = 13;
    RESIN "resin" = 14;
    PUMP "pump" = 15;
    TANK "tank" = 16;
    TEMPERATURE "temperature" = 17;
    PRESSURE "pressure" = 18;
    FLOW "flow" = 19;
    CONDUCTIVITY "conductivity" = 20;
    TDS "tds" = 21;
    TOTAL "total" = 22;
    CHLORINE "chlorine" = 23;
    FREE "free" = 24;
    HOURS "hours" = 25;
    HARDNESS "hardness" = 26;
    RUNNING "running" = 27;
    DATE "date" = 28;
    TIME "time" = 29;
    NOTE "note" = 30;
    BY "by" = 31;
    /// Something no field is for.
    OTHER "other" = 32;
    /// Computed from other columns: rejection, recovery, differences, averages, normalised values.
    DERIVED "derived" = 33;
    /// Air, room: not the water.
    AIR "air" = 34;
    /// Filling, timing, a bucket.
    TIMED "timed" = 35;
    /// Pressure of the running system: working, operating.
    WORKING "working" = 36;
    WATER "water" = 37;
    /// Words in a language other than English.
    FOREIGN "foreign" = 38;
}

impl Notions {
    pub(crate) const NONE: Self = Self(0);

    pub(crate) fn has(self, other: Self) -> bool {
        self.0 & other.0 != 0
    }

    pub(crate) fn with(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    pub(crate) fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Whether it says anything beside the language.
    pub(crate) fn is_empty(self) -> bool {
        self.0 & !Self::FOREIGN.0 == 0
    }
}

/// Lower case without accents: `Härte` -> `harte`, `presión` -> `presion`.
pub(crate) fn fold(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars().flat_map(char::to_lowercase) {
        match c {
            'á' | 'à' | 'â' | 'ä' | 'ã' | 'å' => out.push('a'),
            'é' | 'è' | 'ê' | 'ë' => out.push('e'),
            'í' | 'ì' | 'î' | 'ï' => out.push('i'),
            'ó' | 'ò' | 'ô' | 'ö' | 'õ' => out.push('o'),
            'ú' | 'ù' | 'û' | 'ü' | 'μ' | 'µ' => out.push('u'),
            'ñ' => out.push('n'),
            'ç' => out.push('c'),
            'ß' => out.push_str("ss"),
            'œ' => out.push_str("oe"),
            // A decomposed accent.
            '\u{300}'..='\u{36f}' => {}
            c => out.push(c),
        }
    }
    out
}

/// The vocabulary, from its data file.
struct Vocabulary {
    words: HashMap<&'static str, Notions>,
    stems: Vec<(&'static str, Notions)>,
    prefixes: Vec<(&'static str, Notions)>,
}

static VOCABULARY: LazyLock<Vocabulary> = LazyLock::new(|| {
    let mut vocabulary = Vocabulary {
        words: HashMap::new(),
        stems: Vec::new(),
        prefixes: Vec::new(),
    };
    for line in include_str!("words.txt").lines() {
        let mut words = line.split_whitespace();
        let (Some(class), Some(names)) = (words.next(), words.next()) else {
            continue;
        };
        if class.starts_with('#') {
            continue;
        }
        let mut notions = names
            .split('+')
            .filter_map(Notions::from_name)
            .fold(Notions::NONE, Notions::with);
        if class.ends_with('*') || matches!(class, "de" | "es" | "fr") {
            notions = notions.with(Notions::FOREIGN);
        }
        for word in words {
            match class.trim_end_matches('*') {
                "stem" => vocabulary.stems.push((word, notions)),
                "prefix" => vocabulary.prefixes.push((word, notions)),
                // A word of two languages is the first one's.
                _ => {
                    vocabulary.words.entry(word).or_insert(notions);
                }
            }
        }
    }
    vocabulary
});

/// What one folded word says; nothing where it is not known.
pub(crate) fn of_word(word: &str) -> Notions {
    if let Some(&notions) = VOCABULARY.words.get(word) {
        return notions;
    }
    let mut notions = Notions::NONE;
    if word.len() < 6 {
        return notions;
    }
    // German writes `Speisewasserdruck`, and everyone misspells the ends of long words.
    for (stem, notion) in &VOCABULARY.stems {
        if word.contains(stem) {
            notions = notions.with(*notion);
        }
    }
    for (prefix, notion) in &VOCABULARY.prefixes {
        if word.starts_with(prefix) && !notions.is_empty() {
            notions = notions.with(*notion);
        }
    }
    notions
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_of_the_vocabulary_names_known_notions() {
        for line in include_str!("words.txt")
            .lines()
            .filter(|line| !line.starts_with('#') && !line.is_empty())
        {
            let fields: Vec<&str> = line.split_whitespace().collect();
            assert!(fields.len() >= 3, "{line}");
            for name in fields[1].split('+') {
                assert!(Notions::from_name(name).is_some(), "{name} in `{line}`");
            }
            for word in &fields[2..] {
                assert_eq!(&fold(word), word, "words are folded");
            }
        }
    }
}
