//! What the README shows is what the program prints.

use crate::run::{repository, saltmark};

/// Runs every command that the README names in a `<!-- run: ... -->` comment and compares what stands in the
/// block after it. With `SALTMARK_UPDATE_README=1` the blocks are written anew instead.
#[test]
fn the_readme_shows_what_the_program_prints() {
    let file = repository("README.md");
    let text = std::fs::read_to_string(&file).expect("the README");
    let mut fresh = String::new();
    let mut rest = text.as_str();
    let mut blocks = 0;
    while let Some((before, after)) = rest.split_once("<!-- run: ") {
        let (command, after) = after
            .split_once(" -->\n```text\n")
            .expect("a block after the comment");
        let (_, after) = after.split_once("```").expect("the block ends");
        let root = repository("");
        let words: Vec<String> = command
            .split_whitespace()
            .map(|word| {
                let path = root.join(word);
                if word.contains('/') {
                    path.to_string_lossy().into_owned()
                } else {
                    word.to_owned()
                }
            })
            .collect();
        let arguments: Vec<&str> = words.iter().map(String::as_str).collect();
        let output = saltmark(&arguments, b"");
        assert_eq!(
            output.status.code(),
            Some(0),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        let printed = String::from_utf8(output.stdout).expect("UTF-8");
        fresh.push_str(&format!("{before}<!-- run: {command} -->\n```text\n{printed}```"));
        rest = after;
        blocks += 1;
    }
    fresh.push_str(rest);
    assert!(blocks > 0, "the README shows nothing");
    if std::env::var_os("SALTMARK_UPDATE_README").is_some() {
        std::fs::write(&file, fresh).expect("the README is written");
        return;
    }
    assert_eq!(
        fresh, text,
        "run this test with SALTMARK_UPDATE_README=1 and read what changed"
    );
}
