//! Rules for Rust sources: module docs, files of a readable length, and cores that neither panic nor look at a clock.

use super::TextFile;

/// No file under `crates/` has more lines than this.
const LONGEST_FILE: usize = 600;

/// What the code of a pure crate does not contain outside its tests.
const IMPURE: [&str; 8] = [
    ".unwrap()",
    ".expect(",
    "panic!(",
    "todo!(",
    "unimplemented!(",
    "unreachable!(",
    "SystemTime::now",
    "Instant::now",
];

/// What the root of a pure crate says, so that the compiler checks the calls listed in `clippy.toml`.
const PURE_ATTRIBUTE: &str = "#![deny(clippy::disallowed_methods)]";

/// The rules for any Rust file.
pub(super) fn breaches(file: &TextFile) -> Vec<String> {
    let mut breaches = Vec::new();
    if !file.text.starts_with("//!") {
        breaches.push(format!(
            "{}:1: does not start with a module comment (//!)",
            file.path
        ));
    }
    let lines = file.text.lines().count();
    if file.path.starts_with("crates/") && lines > LONGEST_FILE {
        breaches.push(format!(
            "{}: has {lines} lines; more than {LONGEST_FILE} are too many",
            file.path
        ));
    }
    breaches
}

/// The rules for the sources of a pure crate in this folder.
pub(super) fn purity_breaches(folder: &str, files: &[TextFile]) -> Vec<String> {
    let source = format!("{folder}src/");
    let sources: Vec<&TextFile> = files
        .iter()
        .filter(|file| file.is_rust() && file.path.starts_with(&source))
        .collect();
    let codes: Vec<Code> = sources.iter().map(|file| Code::of(&file.text)).collect();
    let test_paths: Vec<String> = sources
        .iter()
        .zip(&codes)
        .flat_map(|(file, code)| code.test_modules.iter().map(|name| module_path(&file.path, name)))
        .collect();

    let mut breaches = Vec::new();
    for (file, code) in sources.iter().zip(&codes) {
        if file.path == format!("{source}lib.rs") && !file.text.contains(PURE_ATTRIBUTE) {
            breaches.push(format!("{}: {PURE_ATTRIBUTE} is missing", file.path));
        }
        let is_test = test_paths.iter().any(|module| {
            file.path == format!("{module}.rs") || file.path.starts_with(&format!("{module}/"))
        });
        if is_test {
            continue;
        }
        for (line, number) in code.text.lines().zip(1..) {
            for word in IMPURE.iter().filter(|word| line.contains(*word)) {
                breaches.push(format!("{}:{number}: {word} in a pure crate", file.path));
            }
        }
    }
    breaches
}

/// Where a module declared in this file lives, without `.rs` or `/mod.rs`.
fn module_path(file: &str, module: &str) -> String {
    let (folder, name) = file.rsplit_once('/').unwrap_or(("", file));
    match name {
        "lib.rs" | "main.rs" | "mod.rs" => format!("{folder}/{module}"),
        _ => format!("{folder}/{}/{module}", name.trim_end_matches(".rs")),
    }
}

/// A source with everything but the shipped code blanked out: comments, literals and tests.
struct Code {
    text: String,
    /// The modules declared as `#[cfg(test)] mod name;`.
    test_modules: Vec<String>,
}

impl Code {
    fn of(source: &str) -> Self {
        let mut text = without_literals(source);
        let mut test_modules = Vec::new();
        let mut from = 0;
        while let Some(found) = text[from..].find("#[cfg(test)]") {
            let start = from + found;
            let item = start + "#[cfg(test)]".len();
            let Some(length) = text[item..].find(['{', ';']) else {
                break;
            };
            let head_end = item + length;
            let end = if text[head_end..].starts_with(';') {
                let name = text[item..head_end].rsplit(' ').next().unwrap_or_default();
                test_modules.push(name.to_owned());
                head_end + 1
            } else {
                end_of_block(&text, head_end)
            };
            let blank: String = text[start..end]
                .chars()
                .map(|c| if c == '\n' { '\n' } else { ' ' })
                .collect();
            text.replace_range(start..end, &blank);
            from = start + blank.len();
        }
        Self { text, test_modules }
    }
}

/// The byte after the brace that closes the one at `open`.
fn end_of_block(text: &str, open: usize) -> usize {
    let mut depth = 0_usize;
    for (offset, c) in text[open..].char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth == 1 => return open + offset + 1,
            '}' => depth -= 1,
            _ => {}
        }
    }
    text.len()
}

/// Blanks out comments, strings and characters; lines stay where they are.
fn without_literals(source: &str) -> String {
    let mut code = String::with_capacity(source.len());
    let mut rest = source;
    while let Some(first) = rest.chars().next() {
        let length = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if rest.starts_with("/*") {
            block_comment(rest)
        } else if first == '"' {
            match raw_hashes(&code) {
                Some(hashes) => raw_string(rest, hashes),
                None => string(rest),
            }
        } else if first == '\'' {
            character(rest)
        } else {
            code.push(first);
            rest = &rest[first.len_utf8()..];
            continue;
        };
        let (literal, after) = rest.split_at(length);
        code.extend(literal.chars().map(|c| if c == '\n' { '\n' } else { ' ' }));
        rest = after;
    }
    code
}

/// The length of a block comment, which may hold others.
fn block_comment(rest: &str) -> usize {
    let mut depth = 0_usize;
    let mut place = 0;
    while place < rest.len() {
        if rest[place..].starts_with("/*") {
            depth += 1;
            place += 2;
        } else if rest[place..].starts_with("*/") {
            depth -= 1;
            place += 2;
            if depth == 0 {
                return place;
            }
        } else {
            place += rest[place..].chars().next().map_or(1, char::len_utf8);
        }
    }
    rest.len()
}

/// The number of hashes of the raw string that this code leads into, if it leads into one.
fn raw_hashes(code: &str) -> Option<usize> {
    let head = code.trim_end_matches('#');
    let before = head.strip_suffix('r')?;
    let before = before.strip_suffix(['b', 'c']).unwrap_or(before);
    let is_name = before.ends_with(|c: char| c.is_alphanumeric() || c == '_');
    (!is_name).then_some(code.len() - head.len())
}

/// The length of a raw string from its opening quote to its last hash.
fn raw_string(rest: &str, hashes: usize) -> usize {
    let close = format!("\"{}", "#".repeat(hashes));
    rest[1..]
        .find(&close)
        .map_or(rest.len(), |found| 1 + found + close.len())
}

/// The length of a string with escapes.
fn string(rest: &str) -> usize {
    let mut is_escaped = false;
    for (offset, c) in rest.char_indices().skip(1) {
        match c {
            _ if is_escaped => is_escaped = false,
            '\\' => is_escaped = true,
            '"' => return offset + 1,
            _ => {}
        }
    }
    rest.len()
}

/// The length of a character, or of the quote alone where it starts a lifetime.
fn character(rest: &str) -> usize {
    let mut inside = rest.char_indices().skip(1);
    match (inside.next(), inside.next()) {
        (Some((_, '\\')), Some((escaped, c))) => {
            let after = escaped + c.len_utf8();
            rest[after..]
                .find('\'')
                .map_or(rest.len(), |found| after + found + 1)
        }
        (Some(_), Some((close, '\''))) => close + 1,
        _ => 1,
    }
}

#[cfg(test)]
mod tests {
    use super::{Code, breaches, module_path, purity_breaches, without_literals};
    use crate::tidy::TextFile;

    fn file(path: &str, text: &str) -> TextFile {
        TextFile {
            path: path.to_owned(),
            text: text.to_owned(),
        }
    }

    #[test]
    fn literals_and_comments_are_blanked_and_lines_kept() {
        for (source, kept) in [
            ("a // .unwrap()\nb", "a\nb"),
            ("a /* x /* y */ z\n */ b", "a\nb"),
            (r#"a("x \" y", 'z', '\'', '\u{1f}', b'"')b"#, "a(,,,,b)b"),
            (r##"a(r#"x " y"#, r"\", br"z")b"##, "a(r#,r,br)b"),
            ("fn f<'a>(x: &'a str) {}", "fnf<a>(x:&astr){}"),
            ("for \"x", "for"),
            ("'\u{b5}' m", "m"),
        ] {
            let code = without_literals(source);
            assert_eq!(
                code.matches('\n').count(),
                source.matches('\n').count(),
                "{source}"
            );
            assert_eq!(code.replace(' ', "").trim_start_matches('\n'), kept, "{source}");
        }
    }

    #[test]
    fn tests_are_no_shipped_code() {
        let source = "f();\n#[cfg(test)]\n#[expect(x, reason = \"a; b\")]\nmod tests {\n  fn g() { h() }\n}\nk();\n#[cfg(test)]\nmod more;\n";
        let code = Code::of(source);
        assert_eq!(code.text.split_whitespace().collect::<Vec<_>>(), ["f();", "k();"]);
        assert_eq!(code.test_modules, ["more"]);
        assert_eq!(code.text.lines().count(), source.lines().count());
    }

    #[test]
    fn a_pure_crate_is_read_without_its_test_files() {
        let root = "//! A.\n#![deny(clippy::disallowed_methods)]\nmod b;\nfn f() { g().expect(1); h.unwrap_or(0) }\n";
        let files = [
            file("crates/a/src/lib.rs", root),
            file(
                "crates/a/src/b.rs",
                "//! B.\n#[cfg(test)]\nmod checks;\n// .unwrap()\n",
            ),
            file("crates/a/src/b/checks.rs", "//! C.\nfn f() { x.unwrap() }\n"),
            file("crates/a/tests/whole.rs", "//! D.\nfn f() { x.unwrap() }\n"),
        ];
        assert_eq!(
            purity_breaches("crates/a/", &files),
            ["crates/a/src/lib.rs:4: .expect( in a pure crate"]
        );
        let bare = [file("crates/a/src/lib.rs", "//! A.\n")];
        assert_eq!(purity_breaches("crates/a/", &bare).len(), 1);
    }

    #[test]
    fn a_declared_module_is_found_beside_or_below() {
        assert_eq!(module_path("crates/a/src/lib.rs", "m"), "crates/a/src/m");
        assert_eq!(module_path("crates/a/src/b/mod.rs", "m"), "crates/a/src/b/m");
        assert_eq!(module_path("crates/a/src/b.rs", "m"), "crates/a/src/b/m");
    }

    #[test]
    fn a_file_without_a_comment_or_too_long_is_found() {
        assert_eq!(breaches(&file("crates/a/src/lib.rs", "mod x;\n")).len(), 1);
        assert_eq!(
            breaches(&file("crates/a/src/lib.rs", &"//! x\n".repeat(601))).len(),
            1
        );
        assert!(breaches(&file("crates/a/src/lib.rs", "//! x\n")).is_empty());
    }
}
