//! Rules for every text file: no trailing white space, and nothing that only makes sense on one machine.

use super::TextFile;

/// Kept byte for byte as it was found.
const AS_FOUND: &str = "reference/";

/// What no file of ours mentions. Written in halves, so that this file does not either.
const UNMENTIONABLE: [(&str, &str); 8] = [
    (concat!("/wo", "rk/"), "a path of one machine"),
    (concat!("/ho", "me/"), "a path of one machine"),
    (concat!("/ro", "ot/"), "a path of one machine"),
    (concat!("/Us", "ers/"), "a path of one machine"),
    (concat!("crates", ".io"), "the host of a package registry"),
    (concat!("pypi", ".org"), "the host of a package registry"),
    (concat!("pythonhosted", ".org"), "the host of a package registry"),
    (concat!("npmjs", "."), "the host of a package registry"),
];

/// Written by package managers, which do name their registries.
const LOCK_FILES: [&str; 2] = ["Cargo.lock", "package-lock.json"];

pub(super) fn breaches(file: &TextFile) -> Vec<String> {
    let mut breaches = Vec::new();
    let is_as_found = file.path.starts_with(AS_FOUND);
    let is_lock_file = LOCK_FILES
        .iter()
        .any(|name| file.path.rsplit('/').next() == Some(name));
    for (line, number) in file.text.lines().zip(1..) {
        if !is_as_found && line.ends_with([' ', '\t', '\r']) {
            breaches.push(format!(
                "{}:{number}: white space at the end of the line",
                file.path
            ));
        }
        if is_lock_file {
            continue;
        }
        for (word, what) in UNMENTIONABLE {
            if begins(line, word) {
                breaches.push(format!("{}:{number}: {word} is {what}", file.path));
            }
        }
    }
    breaches
}

/// Whether a line holds the word; a path only where it begins there: an address of ours may have the same name further down.
fn begins(line: &str, word: &str) -> bool {
    line.match_indices(word).any(|(at, _)| {
        let before = line.get(..at).and_then(|before| before.chars().next_back());
        let goes_on = |c: char| c.is_alphanumeric() || matches!(c, '*' | '}' | '-' | '_' | '.');
        !word.starts_with('/') || !before.is_some_and(goes_on)
    })
}

#[cfg(test)]
mod tests {
    use super::breaches;
    use crate::tidy::TextFile;

    fn count(path: &str, text: &str) -> usize {
        breaches(&TextFile {
            path: path.to_owned(),
            text: text.to_owned(),
        })
        .len()
    }

    #[test]
    fn trailing_white_space_is_found_but_not_in_what_is_kept_as_found() {
        assert_eq!(count("a.md", "one \ntwo\nthree\t\n"), 2);
        assert_eq!(count("reference/field-logs/a.csv", "one \n"), 0);
    }

    #[test]
    fn paths_of_one_machine_and_registries_are_found_but_not_in_lock_files() {
        let text = concat!("see /ho", "me/me/x\nfrom pypi", ".org\n");
        assert_eq!(count("docs/a.md", text), 2);
        let ours = concat!("to /units/*/wo", "rk/card, {unit}/wo", "rk/card");
        assert_eq!(count("docs/a.md", ours), 0);
        assert_eq!(count("docs/a.md", concat!("\"/wo", "rk/main\"")), 1);
        assert_eq!(count("fuzz/Cargo.lock", text), 0);
    }
}
