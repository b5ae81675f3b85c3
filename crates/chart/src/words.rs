//! The words that a picture puts in by itself, in the reader's language.

use std::fmt::Write as _;

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use crate::number;

/// Declares the texts: each with its name in a message file and its English, `%1` to `%5` where something goes in.
macro_rules! texts {
    ($($key:ident $name:literal $english:literal)*) => {
        /// A text that a picture puts in by itself.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        #[expect(missing_docs, reason = "each is said by its English text")]
        pub enum Word { $($key),* }

        impl Word {
            /// All of them, in order.
            pub const ALL: &[Self] = &[$(Self::$key),*];

            /// Its name in a message file.
            pub fn name(self) -> &'static str {
                match self { $(Self::$key => $name),* }
            }

            /// Its English, `%1` to `%5` where something goes in.
            pub fn english(self) -> &'static str {
                match self { $(Self::$key => $english),* }
            }
        }
    };
}

texts! {
    Months "months" "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec"
    Day "day" "%1\u{a0}%2\u{a0}%3"
    DayOfMonth "day-of-month" "%1 %2"
    Decimal "decimal" "."
    NoNumber "no-number" "no number"
    AsOf "as-of" "as of %1"
    OneReading "one-reading" "%1 reading"
    Readings "readings" "%1 readings"
    OneDoubt "one-doubt" "%1 doubt"
    Doubts "doubts" "%1 doubts"
    OneChange "one-change" "%1 change"
    Changes "changes" "%1 changes"
    OnePanel "one-panel" "%1 panel"
    Panels "panels" "%1 panels"
    OneLine "one-line" "%1 line"
    Lines "lines" "%1 lines"
    Reading "reading" "reading"
    ReadingWithBar "reading-with-bar" "reading (bar: 8 in 10)"
    Doubt "doubt" "doubt"
    DoubtOf "doubt-of" "doubt: %1"
    Baseline "baseline" "baseline"
    Limit "the-limit" "limit"
    Forecast "forecast" "forecast"
    ForecastKey "forecast-key" "forecast (shading: 8 in 10)"
    BandKey "band-key" "shading along a line: 8 in 10"
    Due "is-due" "due"
    DueKey "due-key" "due (8 in 10; diamond: most likely)"
    Change "change" "change"
    NoReadings "no-readings" "no readings yet"
    Nothing "nothing" "Nothing to show yet."
    LineNumber "line-number" "line %1"
    DueRange "due-range" "%1 \u{2013} %2, most likely %3"
    DueFrom "due-from" "from %1, most likely %2"
    DueLongAfter "due-long-after" "from %1, most likely long after"
    UprightLines "upright-lines" "Upright lines without a word: %1."
    AndMore "and-more" "%1; and %2 more"
    OutsideDates "outside-dates" "%1 outside these dates."
    LeftOutNoNumber "left-out-no-number" "%1 left out: no number."
    LeftOutLogarithm "left-out-logarithm" "%1 left out: zero or below has no place on a logarithmic scale."
    InColumns "in-columns" "%1 in %2 columns of the picture; each shows its least and its greatest."
    DoubtsInColumns "doubts-in-columns" "%1; each column of the picture shows its least and its greatest."
    BeyondOne "beyond-one" "%1 beyond the scale, at its edge with its arrow."
    Beyond "beyond" "%1 beyond the scale, at its edge with their arrow."
    LimitNotShown "limit-not-shown" "%1 is not in the picture: no number that the scale can show."
    DashedLine "dashed-line" "dashed line: %1"
    DashedLineOf "dashed-line-of" "Dashed line: %1"
    UprightLine "upright-line" "Upright line: %1"
    Outside "outside" "Outside the picture: %1"
    Shaded "shaded" "Shaded: %1"
    OneLeftOut "one-left-out" "1 value is left out where there is no number that the axes can show."
    LeftOut "left-out" "%1 values are left out where there is no number that the axes can show."
    OverTime "over-time" "%1 over time, %2 to %3, as of %4."
    ToldChanges "told-changes" "Changes: %1."
    ToldRange "told-range" "from %1 to %2"
    ToldLatest "told-latest" "the latest %1 on %2"
    ToldBaseline "told-baseline" "Baseline %1 from %2 to %3."
    ToldLimit "told-limit" "Limit %1: %2."
    ToldForecast "told-forecast" "Forecast for %1: %2, eight in ten between %3 and %4."
    ToldDue "told-due" "%1: eight in ten between %2 and %3, most likely %4."
    BeyondForecast "beyond-forecast" "beyond the forecast"
    Against "against" "%1 against %2, %3."
    ToldNothing "told-nothing" "%1: nothing to show."
    ToldPoint "told-point" "%1: %2 at %3."
    ToldLine "told-line" "%1: from %2 at %3 to %4 at %5."
    ToldMark "told-mark" "At %1: %2."
    ToldShaded "told-shaded" "Shaded, %1: %2."
    SideBetween "side-between" "%1 %2 to %3"
    SideFrom "side-from" "%1 from %2"
    SideUpTo "side-up-to" "%1 up to %2"
}

/// The texts of one language.
#[derive(Clone, Debug, PartialEq)]
pub struct Words {
    texts: Vec<String>,
}

impl Default for Words {
    /// English.
    fn default() -> Self {
        Self::of(|word| word.english().to_owned())
    }
}

impl Words {
    /// From each text.
    pub fn of(text: impl Fn(Word) -> String) -> Self {
        Self {
            texts: Word::ALL.iter().map(|word| text(*word)).collect(),
        }
    }

    fn text(&self, word: Word) -> &str {
        let own = self.texts.get(word as usize);
        own.map_or_else(|| word.english(), String::as_str)
    }

    /// A text in which nothing goes.
    pub(crate) fn plain(&self, word: Word) -> String {
        self.text(word).to_owned()
    }

    /// A text with what goes into it.
    pub(crate) fn say(&self, word: Word, values: &[&str]) -> String {
        let mut pieces = self.text(word).split('%');
        let mut said = pieces.next().unwrap_or_default().to_owned();
        for piece in pieces {
            let place = piece.chars().next().and_then(|digit| digit.to_digit(10));
            let place = place.and_then(|place| usize::try_from(place).ok()?.checked_sub(1));
            if let Some((value, rest)) = place.and_then(|place| values.get(place)).zip(piece.get(1..)) {
                let _never_fails = write!(said, "{value}{rest}");
            } else {
                let _never_fails = write!(said, "%{piece}");
            }
        }
        said
    }

    /// `1 reading`, `2 readings`.
    pub(crate) fn count(&self, n: usize, one: Word, many: Word) -> String {
        self.say(if n == 1 { one } else { many }, &[&n.to_string()])
    }

    /// A number with three significant digits.
    pub(crate) fn number(&self, value: f64) -> String {
        if !value.is_finite() {
            return self.plain(Word::NoNumber);
        }
        self.marked(&number::short(value))
    }

    /// A number that was written with a point, with the language's own mark.
    pub(crate) fn marked(&self, number: &str) -> String {
        number.replace('.', self.text(Word::Decimal))
    }

    pub(crate) fn month(&self, date: Date) -> &str {
        let index = usize::try_from(date.month() - 1).unwrap_or(0);
        self.text(Word::Months).split(' ').nth(index).unwrap_or_default()
    }

    /// A day as people write it, `3 May 2025`, with spaces at which no line breaks.
    pub(crate) fn day(&self, at: Timestamp, zone: &TimeZone) -> String {
        let date = zone.to_datetime(at).date();
        let (day, year) = (date.day().to_string(), date.year().to_string());
        self.say(Word::Day, &[&day, self.month(date), &year])
    }
}

#[cfg(test)]
mod tests {
    use super::{Word, Words};

    #[test]
    fn regress_what_goes_into_a_text_stands_where_it_says() {
        let words = Words::of(|word| match word {
            Word::SideBetween => "%3 % 100 %9 %1%2".to_owned(),
            Word::Decimal => ",".to_owned(),
            word => word.english().to_owned(),
        });
        assert_eq!(words.say(Word::SideBetween, &["a", "%2", "c"]), "c % 100 %9 a%2");
        assert_eq!(words.count(1, Word::OneReading, Word::Readings), "1 reading");
        assert_eq!(words.count(0, Word::OneReading, Word::Readings), "0 readings");
        assert_eq!(words.number(0.125), "0,125");
        assert_eq!(words.number(f64::NAN), "no number");
    }
}
