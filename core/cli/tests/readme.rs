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

#[test]
fn the_mapping_files_of_the_readme_lead_to_what_it_says() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let readme = std::fs::read_to_string(root.join("README.md")).expect("the README is there");
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("readme-mappings");
    let mut count = 0;
    for (at, _) in readme.match_indices("\n```csv\n") {
        let name = readme[..at].rsplit('`').nth(1).expect("the file is named before it");
        let folder = folder.join(name);
        std::fs::create_dir_all(&folder).expect("a folder for the files");
        let write = |name: &str, text: &str| {
            std::fs::write(folder.join(name), format!("{text}\n")).expect("it is written");
        };
        write(name, block(&readme[at..], "```csv\n"));
        write("restrand.toml", block(&readme[at..], "```toml\n"));
        let output = Command::new(env!("CARGO_BIN_EXE_restrand"))
            .args(["convert", name, "out.json"])
            .current_dir(&folder)
            .output()
            .expect("the program runs");
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{name}: {said}");
        let json = |text: &str| -> serde_json::Value { serde_json::from_str(text).expect(name) };
        let written = std::fs::read_to_string(folder.join("out.json")).expect("it is written");
        let shown = json(block(&readme[at..], "```json\n"));
        assert!(holds(&json(&written), &shown), "{name} leads to\n{written}\nand {said}");
        count += 1;
    }
    assert_eq!(
        count, 3,
        "the README has an example each of codes, of ends in rows, of further tables"
    );
}

/// Whether a document has all that is shown of it; lists are shown whole.
fn holds(written: &serde_json::Value, shown: &serde_json::Value) -> bool {
    use serde_json::Value;
    match (written, shown) {
        (Value::Object(written), Value::Object(shown)) => shown
            .iter()
            .all(|(name, shown)| written.get(name).is_some_and(|written| holds(written, shown))),
        (Value::Array(written), Value::Array(shown)) => {
            written.len() == shown.len()
                && written.iter().zip(shown).all(|(written, shown)| holds(written, shown))
        }
        (Value::Number(written), Value::Number(shown)) => written.as_f64() == shown.as_f64(),
        (written, shown) => written == shown,
    }
}

/// The text between a beginning and the end of its fenced block.
fn block<'a>(text: &'a str, beginning: &str) -> &'a str {
    let start = text.find(beginning).expect(beginning) + beginning.len();
    let rest = &text[start..];
    rest[..rest.find("\n```").expect("the block ends")].trim_end()
}
