//! What was typed after `cargo xtask`: too little to be worth a library.

use std::collections::VecDeque;

use crate::process::Result;

/// The words of the command line that no one has taken yet.
pub(crate) struct Arguments(VecDeque<String>);

impl Arguments {
    pub(crate) fn new(words: impl IntoIterator<Item = String>) -> Self {
        Self(words.into_iter().collect())
    }

    /// Takes the first word, whatever it is.
    pub(crate) fn positional(&mut self) -> Option<String> {
        self.0.pop_front()
    }

    /// Takes the value of this option, where it is given: `--name VALUE` or `--name=VALUE`.
    pub(crate) fn option(&mut self, name: &str) -> Result<Option<String>> {
        let is_option = |word: &String| word.split('=').next() == Some(name);
        let Some(place) = self.0.iter().position(is_option) else {
            return Ok(None);
        };
        let word = self.0.remove(place).unwrap_or_default();
        if let Some((_, value)) = word.split_once('=') {
            return Ok(Some(value.to_owned()));
        }
        match self.0.remove(place) {
            Some(value) if !value.starts_with("--") => Ok(Some(value)),
            _ => Err(format!("{name} needs a value").into()),
        }
    }

    /// Takes every value of an option that may be repeated.
    pub(crate) fn options(&mut self, name: &str) -> Result<Vec<String>> {
        let mut values = Vec::new();
        while let Some(value) = self.option(name)? {
            values.push(value);
        }
        Ok(values)
    }

    /// Takes an option without a value, and says whether it was given.
    pub(crate) fn flag(&mut self, name: &str) -> bool {
        let place = self.0.iter().position(|word| word == name);
        place.and_then(|place| self.0.remove(place)).is_some()
    }

    /// Takes what is left as plain words.
    ///
    /// # Errors
    /// Names an option that the task does not know.
    pub(crate) fn rest(self) -> Result<Vec<String>> {
        match self.0.iter().find(|word| word.starts_with('-')) {
            Some(unknown) => Err(format!("this task does not know the option {unknown:?}").into()),
            None => Ok(self.0.into()),
        }
    }

    /// Makes sure that nothing is left.
    pub(crate) fn finish(self) -> Result {
        match self.rest()?.first() {
            Some(word) => Err(format!("this task does not know what to do with {word:?}").into()),
            None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Arguments;

    fn typed(words: &str) -> Arguments {
        Arguments::new(words.split_whitespace().map(str::to_owned))
    }

    #[test]
    fn options_are_taken_in_either_form_and_any_place() {
        let mut arguments = typed("quantity --seconds 5 --once --only=a --only b intake");
        assert!(arguments.flag("--once") && !arguments.flag("--once"));
        assert_eq!(arguments.option("--seconds").unwrap().as_deref(), Some("5"));
        assert_eq!(arguments.options("--only").unwrap(), ["a", "b"]);
        assert_eq!(arguments.rest().unwrap(), ["quantity", "intake"]);
    }

    #[test]
    fn what_is_unknown_or_incomplete_is_named() {
        assert!(typed("--only").option("--only").is_err());
        assert!(typed("--only --date 2026-01-01").option("--only").is_err());
        let unknown = typed("--onyl tests").finish().unwrap_err().to_string();
        assert!(unknown.contains("--onyl"), "{unknown}");
        let left_over = typed("tests").finish().unwrap_err().to_string();
        assert!(left_over.contains("tests"), "{left_over}");
    }
}
