//! One heading taken apart: what its words say, the unit in it, the bucket in it.

use quantity::{Kind, find_unit};

use crate::words::{Notions, fold, of_word};

/// What one heading says, without regard to the others.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Heading {
    /// As it stands in the file.
    pub(crate) text: String,
    pub(crate) notions: Notions,
    /// The unit in it, as written.
    pub(crate) unit: Option<String>,
    /// What that unit measures; a `ppm` or `mg/L` counts as [`Kind::Concentration`].
    pub(crate) unit_kind: Option<Kind>,
    /// `500 mL` in the heading, litres.
    pub(crate) volume_l: Option<f64>,
    /// `30 s` in the heading, seconds.
    pub(crate) time_s: Option<f64>,
    /// A small number: which membrane, which filter.
    pub(crate) number: Option<usize>,
    /// `dd/mm/yyyy` in the heading.
    pub(crate) date_order: Option<crate::date_order::Order>,
    /// A word of which nothing is known; such a heading is followed less readily.
    pub(crate) unknown_words: usize,
    /// An "in" before a unit: "EC in uS/cm" is a place or only leads to the unit.
    pub(crate) leading_in: bool,
}

/// Spellings that are units in a value but words or signs in a heading.
const NO_UNITS: &[&str] = &[
    "#", "lb", "lbs", "kg", "kilos", "pound", "pounds", "cl", "cf", "tds", "mb", "mhead", "e", "a", "y", "w",
    "g", "gr", "k", "english", "german", "french", "grain", "grains", "in", "cum", "std", "us", "eq", "meg",
    "mm", "mo", "an", "mes", "dia", "day", "tag", "days", "jour", "d", "m", "gh", "kh", "ms", "sales",
    "hours", "deg", "lit", "minute", "week", "month", "hora", "heure", "month", "year", "percent", "'", "\"",
];

/// Takes a heading apart.
pub(crate) fn analyse(text: &str) -> Heading {
    let mut heading = Heading {
        text: text.trim().to_owned(),
        ..Heading::default()
    };
    heading.date_order = date_order(&fold(text));
    let spaced = text
        .replace(" / ", "/")
        .replace(" /", "/")
        .replace("/ ", "/")
        .replace(" per ", "/")
        .replace(" pro ", "/")
        .replace(['\u{394}', '\u{2206}'], " delta ")
        .replace('%', " percent ")
        .replace(['²', '³', '¹', '⁻'], " ");
    // Superscripts matter in units only: `m³/h`, `kg/cm²` keep theirs.
    let spaced = if text.contains(['²', '³']) {
        text.replace('²', "2").replace('³', "3").replace('%', " percent ")
    } else {
        spaced
    };
    let bracketed = |at: usize| {
        let before = spaced.get(..at).unwrap_or("");
        before.matches(['(', '[']).count() > before.matches([')', ']']).count()
    };
    let mut tokens: Vec<(&str, bool)> = Vec::new();
    let mut start = None;
    let separator = |c: char| {
        c.is_whitespace()
            || matches!(
                c,
                '(' | ')' | '[' | ']' | ',' | ';' | ':' | '=' | '|' | '?' | '!' | '{' | '}' | '"'
            )
    };
    for (at, c) in spaced.char_indices().chain([(spaced.len(), ' ')]) {
        if !separator(c) {
            start.get_or_insert(at);
        } else if let Some(from) = start.take() {
            tokens.push((spaced.get(from..at).unwrap_or(""), bracketed(from)));
        }
    }
    let last = tokens.len().saturating_sub(1);
    let mut index = 0;
    while let Some(&(token, in_brackets)) = tokens.get(index) {
        let next = tokens.get(index + 1).map(|&(next, _)| next);
        let used = heading.take(token, next, in_brackets || index == last);
        index += if used { 2 } else { 1 };
    }
    let places = [
        Notions::FEED,
        Notions::LINE,
        Notions::PERMEATE,
        Notions::RO,
        Notions::CONCENTRATE,
        Notions::MEMBRANE,
        Notions::OUT,
        Notions::AFTER,
        Notions::BEFORE,
        Notions::FILTER,
        Notions::PUMP,
        Notions::CHLORINE,
        Notions::TEMPERATURE,
    ];
    if heading.leading_in && !places.into_iter().any(|place| heading.notions.has(place)) {
        heading.add(Notions::IN);
    }
    heading
}

impl Heading {
    /// Takes one word; whether it took the next one too.
    fn take(&mut self, token: &str, next: Option<&str>, may_be_letter: bool) -> bool {
        if token.is_empty() {
            return false;
        }
        // `in psi`, `en bar`: the word only leads to the unit.
        if matches!(fold(token).as_str(), "in" | "en")
            && next.is_some_and(|next| unit_kind(next, true).is_some_and(|kind| kind != Kind::Minutes))
        {
            self.leading_in = true;
            return false;
        }
        if token.starts_with(|c: char| c.is_ascii_digit()) {
            return self.take_amount(token, next);
        }
        if let Some(kind) = unit_kind(token, may_be_letter) {
            self.take_unit(token, kind);
            return false;
        }
        let folded = fold(token);
        let word = folded.trim_matches(|c: char| !c.is_alphanumeric());
        let whole = of_word(word);
        if !whole.is_empty() && !token.contains(['/', '-', '_', '&', '+']) {
            self.add(whole);
            return false;
        }
        let parts = split_word(token);
        if parts.len() > 1 {
            let mut parts = parts.into_iter().peekable();
            while let Some(part) = parts.next() {
                // The number at the end of a word goes with the word behind it: `ml/30 sec`.
                let following = parts.peek().copied();
                if self.take(part, following.or(next), may_be_letter) {
                    if following.is_none() {
                        return true;
                    }
                    parts.next();
                }
            }
        } else if !whole.is_empty() {
            self.add(whole);
        } else if word.len() > 2 && !is_filler(word) {
            self.unknown_words += 1;
        }
        false
    }

    fn add(&mut self, notions: Notions) {
        self.notions = self.notions.with(notions);
    }

    fn take_unit(&mut self, token: &str, kind: Kind) {
        // `TempF`: the word and its unit in one.
        let token = match token.len().checked_sub(1) {
            Some(last) if fold(token).starts_with("temp") => {
                self.add(Notions::TEMPERATURE);
                token.get(last..).unwrap_or(token)
            }
            _ => token,
        };
        if kind == Kind::Hours {
            self.add(Notions::HOURS);
        }
        // The first unit is meant; seconds beside a volume are the bucket's.
        if self.unit.is_none() || self.unit_kind == Some(Kind::Volume) && kind == Kind::Minutes {
            self.unit = Some(token.trim_matches('.').to_owned());
            self.unit_kind = Some(kind);
        }
    }

    /// `500 mL`, `1L`, `30 sec`, or a bare number.
    fn take_amount(&mut self, token: &str, next: Option<&str>) -> bool {
        let end = token
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
            .unwrap_or(token.len());
        let (digits, suffix) = token.split_at_checked(end).unwrap_or((token, ""));
        let Some(value) =
            quantity::parse_number(digits.trim_end_matches(['.', ',']), quantity::Decimal::Comma)
                .filter(|value| *value > 0.0)
        else {
            return false;
        };
        let (unit, used) = if suffix.is_empty() {
            (next.unwrap_or(""), true)
        } else {
            (suffix, false)
        };
        let mut words = unit.splitn(2, '/');
        let (unit, rest) = (words.next().unwrap_or(""), words.next());
        let context = quantity::Context::default();
        let base = |kind: Kind| find_unit(kind, unit).and_then(|unit| unit.to_base(value, &context).ok());
        let letters = unit.chars().any(char::is_alphabetic);
        if let Some(litres) = base(Kind::Volume).filter(|_| letters) {
            self.volume_l = Some(litres);
        } else if let Some(minutes) = base(Kind::Minutes).filter(|_| letters) {
            self.time_s = Some(minutes * 60.0);
        } else {
            if value.fract() == 0.0 && (1.0..=20.0).contains(&value) {
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "between 1 and 20"
                )]
                let number = value as usize;
                self.number = Some(number);
            }
            return false;
        }
        if let Some(rest) = rest {
            self.take(rest, None, true);
        }
        used
    }
}

/// What a word of a heading measures as a unit; none where it is no unit. A single letter is one only where
/// it stands in brackets or last.
pub(crate) fn unit_kind(token: &str, may_be_letter: bool) -> Option<Kind> {
    let folded = fold(token);
    let key: String = folded
        .chars()
        .filter(|c| !matches!(c, '.' | '°' | 'º' | '^'))
        .collect();
    if key.is_empty() || key.len() > 24 {
        return None;
    }
    match key.as_str() {
        "c" | "f" if may_be_letter || folded.starts_with(['°', 'º']) => return Some(Kind::Temperature),
        "l" if may_be_letter => return Some(Kind::Volume),
        "h" if may_be_letter => return Some(Kind::Hours),
        "s" if may_be_letter => return Some(Kind::Minutes),
        "c" | "f" | "l" | "h" | "s" | "h:mm" | "hh:mm" => return None,
        "us" | "ms" => return Some(Kind::Conductivity),
        "degc" | "degf" | "tempc" | "tempf" => return Some(Kind::Temperature),
        "ppm" | "ppb" | "mg/l" | "ug/l" | "g/l" | "mgl" | "mg/lt" | "mg/dm3" => {
            return Some(Kind::Concentration);
        }
        "dh" | "fh" | "gpg" | "clark" | "mg/lcaco3" => return Some(Kind::AsCaco3),
        key if NO_UNITS.contains(&key) => return None,
        _ => {}
    }
    for kind in [
        Kind::Flow,
        Kind::Pressure,
        Kind::Conductivity,
        Kind::Temperature,
        Kind::Volume,
        Kind::Hours,
    ] {
        if let Some(unit) = find_unit(kind, &key) {
            if kind == Kind::Hours {
                return match unit.symbol {
                    "h" => Some(Kind::Hours),
                    "min" | "s" => Some(Kind::Minutes),
                    _ => None,
                };
            }
            return Some(kind);
        }
    }
    None
}

/// Words that say nothing of their own.
fn is_filler(word: &str) -> bool {
    matches!(
        word,
        "the"
            | "and"
            | "for"
            | "from"
            | "reading"
            | "readings"
            | "value"
            | "meter"
            | "measured"
            | "of"
            | "und"
            | "der"
            | "die"
            | "das"
            | "des"
            | "del"
            | "los"
            | "las"
            | "con"
            | "para"
            | "zum"
            | "zur"
            | "bei"
            | "wert"
            | "messwert"
            | "lectura"
            | "valor"
            | "est"
            | "approx"
            | "actual"
            | "at"
            | "gpd"
            | "side"
            | "quality"
            | "pct"
    )
}

/// Splits `Druck/bar`, `EC-in`, `FeedTDS`, `Membrane1` into their parts.
fn split_word(token: &str) -> Vec<&str> {
    let mut parts = Vec::new();
    let mut start = 0;
    let mut previous: Option<char> = None;
    for (at, c) in token.char_indices() {
        let cut_here = matches!(c, '/' | '-' | '_' | '.' | '&' | '+');
        let boundary = previous.is_some_and(|p| {
            (p.is_lowercase() && c.is_uppercase()) || (p.is_alphabetic() && c.is_ascii_digit())
        });
        if cut_here || boundary {
            parts.push(token.get(start..at).unwrap_or(""));
            start = if cut_here { at + c.len_utf8() } else { at };
        }
        previous = Some(c);
    }
    parts.push(token.get(start..).unwrap_or(""));
    parts.retain(|part| !part.is_empty());
    parts
}

/// `dd/mm/yyyy`, `MM-DD-YY`, `tt.mm.jjjj`, `yyyy-mm-dd` in a heading.
fn date_order(folded: &str) -> Option<crate::date_order::Order> {
    use crate::date_order::Order;
    let letters: String = folded
        .chars()
        .filter(|c| c.is_ascii_alphabetic() || matches!(c, '/' | '.' | '-'))
        .collect();
    let has = |pattern: &str| {
        ["/", ".", "-"]
            .iter()
            .any(|sign| letters.contains(&pattern.replace('_', sign)))
    };
    if has("yyyy_mm") || has("jjjj_mm") || has("aaaa_mm") {
        Some(Order::YearFirst)
    } else if has("dd_mm") || has("tt_mm") || has("jj_mm") || has("d_m_y") {
        Some(Order::DayFirst)
    } else if has("mm_dd") || has("m_d_y") {
        Some(Order::MonthFirst)
    } else {
        None
    }
}
