//! What the README shows is what the program prints.

use std::path::Path;
use std::process::Command;

#[test]
fn the_readme_shows_real_output() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let readme = std::fs::read_to_string(root.join("README.md")).expect("the README is there");
    let command = block(&readme, "```sh\ncargo run --release --locked -- ");
    let arguments: Vec<_> = command.split_whitespace().collect();
    assert!(!arguments.is_empty(), "the README has a command for the demo");
    let output = Command::new(env!("CARGO_BIN_EXE_restrand"))
        .args(&arguments)
        .current_dir(&root)
        .env_remove("NO_COLOR")
        .output()
        .expect("the program runs");
    assert_eq!(output.status.code(), Some(1));
    let printed = String::from_utf8(output.stdout).expect("text");
    let shown = block(&readme, "```text\n");
    for stretch in shown.split("\n…\n") {
        assert!(printed.contains(stretch), "the program does not print\n{stretch}\nbut\n{printed}");
    }
}

/// The text between a beginning and the end of its fenced block.
fn block<'a>(text: &'a str, beginning: &str) -> &'a str {
    let start = text.find(beginning).expect(beginning) + beginning.len();
    let rest = &text[start..];
    rest[..rest.find("\n```").expect("the block ends")].trim_end()
}
