//! What every source file of this crate promises: documented functions, and no files, environment, clock or printing.

#![allow(clippy::unwrap_used)]

use std::fs;
use std::path::Path;

/// All source files with their paths.
fn sources() -> Vec<(String, String)> {
    fn walk(folder: &Path, into: &mut Vec<(String, String)>) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(&path, into);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                into.push((path.display().to_string(), fs::read_to_string(&path).unwrap()));
            }
        }
    }
    let mut found = Vec::new();
    walk(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut found);
    found.sort();
    found
}

/// The name, signature and documentation of every public function in a source text.
fn public_functions(source: &str) -> Vec<(String, String, String)> {
    let lines: Vec<&str> = source.lines().collect();
    let mut found = Vec::new();
    for (number, line) in lines.iter().enumerate() {
        let start = line.trim_start();
        let Some(rest) =
            start.strip_prefix("pub fn ").or_else(|| start.strip_prefix("pub const fn "))
        else {
            continue;
        };
        let name = rest.split(['(', '<']).next().unwrap().to_owned();
        let signature: String = lines[number..]
            .iter()
            .take_while(|line| !line.trim_end().ends_with('}'))
            .scan(false, |ended, line| {
                let go_on = !*ended;
                *ended = line.trim_end().ends_with('{');
                go_on.then_some(*line)
            })
            .collect();
        let documentation: Vec<&str> = lines[..number]
            .iter()
            .rev()
            .map(|line| line.trim_start())
            .take_while(|line| line.starts_with("///") || line.starts_with("#["))
            .collect();
        found.push((name, signature, documentation.join("\n")));
    }
    found
}

/// What a function's documentation lacks.
fn missing(signature: &str, documentation: &str) -> Vec<&'static str> {
    let mut asked =
        vec!["/// # Formula", "/// # Symbols", "/// # Validity", "/// # Source", "/// ```"];
    if signature.contains("Result<") {
        asked.push("/// # Errors");
    }
    asked.retain(|heading| !documentation.lines().any(|line| line.trim() == *heading));
    asked
}

#[test]
fn every_public_function_states_formula_symbols_validity_source_and_an_example() {
    let mut count = 0;
    for (path, source) in sources() {
        for (name, signature, documentation) in public_functions(&source) {
            let missing = missing(&signature, &documentation);
            assert!(missing.is_empty(), "{path}: {name} lacks {missing:?}");
            count += 1;
        }
    }
    assert!(count >= 15, "only {count} public functions were seen");
}

#[test]
fn a_bare_public_function_would_be_noticed() {
    let bare = "/// Returns one.\n///\n/// # Formula\n/// `1`\npub fn one(\n    x: f64,\n) -> Result<f64, Misfit> {\n    Ok(1.0)\n}\n";
    let found = public_functions(bare);
    assert_eq!(found.len(), 1);
    let (name, signature, documentation) = &found[0];
    assert_eq!(name, "one");
    assert_eq!(
        missing(signature, documentation),
        ["/// # Symbols", "/// # Validity", "/// # Source", "/// ```", "/// # Errors"]
    );
}

#[test]
fn no_source_touches_files_environment_clock_or_terminal() {
    for (path, source) in sources() {
        for word in ["std::fs", "std::env", "std::time", "std::io", "println!", "print!", "dbg!"] {
            assert!(!source.contains(word), "{path} has {word}");
        }
        assert!(source.starts_with("//!"), "{path} does not say what it is for");
    }
}
