//! Arrows between the crates run one way, and what must stay pure touches nothing outside.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::{fs, io};

use restrand_dev::generate::top;
use serde_json::Value;

struct Package {
    /// Its folder below the top of the workspace.
    folder: String,
    /// Folders of the workspace's packages that it needs to be built; what its tests need is its own affair.
    needs: BTreeSet<String>,
}

/// The workspace's packages, as cargo sees them.
fn packages() -> Vec<Package> {
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--offline", "--no-deps"])
        .current_dir(top())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let metadata: Value = serde_json::from_slice(&output.stdout).unwrap();
    let top = fs::canonicalize(top()).unwrap();
    let folder = |path: &Path| {
        let path = fs::canonicalize(path).unwrap();
        path.strip_prefix(&top).unwrap().to_str().unwrap().replace('\\', "/")
    };
    metadata["packages"]
        .as_array()
        .unwrap()
        .iter()
        .map(|package| Package {
            folder: folder(Path::new(package["manifest_path"].as_str().unwrap()).parent().unwrap()),
            needs: package["dependencies"]
                .as_array()
                .unwrap()
                .iter()
                .filter(|dependency| dependency["kind"] != "dev")
                .filter_map(|dependency| dependency["path"].as_str())
                .map(|path| folder(Path::new(path)))
                .collect(),
        })
        .collect()
}

/// What a package of this folder may need; none if it may need anything.
fn allowed(folder: &str, all: &BTreeSet<String>) -> Option<BTreeSet<String>> {
    let core = |names: &[&str]| names.iter().map(|name| format!("core/{name}")).collect();
    Some(match folder {
        "core/memory" | "core/model" | "core/mechanics" | "core/plugin/abi" => BTreeSet::new(),
        "core/finding" => core(&["model"]),
        "core/plugin/kit" => core(&["model", "plugin/abi"]),
        "core/plugin/host" => core(&["model", "plugin/abi", "plugin/kit"]),
        "core/plugin/conformance" => core(&["model", "plugin/kit", "intake"]),
        "core/rules" => core(&["model", "mechanics", "finding"]),
        "core/intake" => core(&["model", "plugin/kit"]),
        "core/check" => core(&["model", "mechanics", "finding", "rules", "intake", "plugin/kit"]),
        "core/plan" => core(&["model", "mechanics", "finding", "rules"]),
        "core/report" => {
            core(&["model", "finding", "rules", "plan", "check", "intake", "plugin/kit"])
        }
        "core/cli" => all
            .iter()
            .filter(|other| *other != "core/dev" && !other.ends_with("/cdylib"))
            .cloned()
            .collect(),
        "core/dev" => return None,
        plugin if plugin.starts_with("plugins/") => {
            let mut needs: BTreeSet<_> = core(&["model", "plugin/kit"]);
            // A library of its own needs the plugin that it exports.
            needs.extend(plugin.strip_suffix("/cdylib").map(str::to_owned));
            // The two ways of writing IFC say the same things.
            if matches!(plugin, "plugins/ifcspf" | "plugins/ifcxml") {
                needs.insert("plugins/ifc".to_owned());
            }
            needs
        }
        tests if tests.starts_with("tests/") => return None,
        other => panic!("{other} is new: say here what it may need"),
    })
}

#[test]
fn arrows_run_one_way() {
    let packages = packages();
    let all: BTreeSet<String> = packages.iter().map(|package| package.folder.clone()).collect();
    let mut wrong = BTreeMap::new();
    for package in &packages {
        if let Some(allowed) = allowed(&package.folder, &all) {
            let beyond: Vec<_> = package.needs.difference(&allowed).cloned().collect();
            if !beyond.is_empty() {
                wrong.insert(package.folder.clone(), beyond);
            }
        }
    }
    assert!(wrong.is_empty(), "these need what they may not know: {wrong:?}");
}

/// All Rust sources below a folder, without what is built.
fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return found,
        Err(error) => panic!("{}: {error}", folder.display()),
    };
    for entry in entries {
        let path = entry.unwrap().path();
        if path.is_dir() {
            if path.file_name().is_some_and(|name| name != "target") {
                found.extend(sources(&path));
            }
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// The code of a source without comments, texts and the items under `#[cfg(test)]`.
fn code(source: &str) -> String {
    without_tests(&without_words(source))
}

/// Blanks out comments, strings and characters, so that what is left is code only.
fn without_words(source: &str) -> String {
    let bytes: Vec<char> = source.chars().collect();
    let mut out = String::with_capacity(source.len());
    let mut at = 0;
    let starts = |at: usize, text: &str| {
        text.chars().enumerate().all(|(i, c)| bytes.get(at + i) == Some(&c))
    };
    while at < bytes.len() {
        if starts(at, "//") {
            while at < bytes.len() && bytes[at] != '\n' {
                at += 1;
            }
        } else if starts(at, "/*") {
            let mut depth = 0;
            loop {
                if starts(at, "/*") {
                    depth += 1;
                    at += 2;
                } else if starts(at, "*/") {
                    depth -= 1;
                    at += 2;
                } else {
                    at += 1;
                }
                if depth == 0 || at >= bytes.len() {
                    break;
                }
            }
        } else if let Some(hashes) = raw_string(&bytes, at) {
            let end: String =
                std::iter::once('"').chain(std::iter::repeat_n('#', hashes)).collect();
            at += hashes + 2;
            while at < bytes.len() && !starts(at, &end) {
                at += 1;
            }
            at += end.len();
        } else if bytes[at] == '"' {
            at += 1;
            while at < bytes.len() && bytes[at] != '"' {
                at += if bytes[at] == '\\' { 2 } else { 1 };
            }
            at += 1;
            out.push_str("\"\"");
        } else if bytes[at] == '\'' && bytes.get(at + 1) == Some(&'\\') {
            at += 3;
            while at < bytes.len() && bytes[at] != '\'' {
                at += 1;
            }
            at += 1;
        } else if bytes[at] == '\'' && bytes.get(at + 2) == Some(&'\'') {
            at += 3;
        } else {
            out.push(bytes[at]);
            at += 1;
        }
    }
    out
}

/// The number of hashes, if a raw string begins here.
fn raw_string(bytes: &[char], at: usize) -> Option<usize> {
    let begins =
        bytes[at] == 'r' && (at == 0 || !bytes[at - 1].is_alphanumeric() || bytes[at - 1] == 'b');
    if !begins {
        return None;
    }
    let hashes = bytes[at + 1..].iter().take_while(|c| **c == '#').count();
    (bytes.get(at + 1 + hashes) == Some(&'"')).then_some(hashes)
}

/// Leaves out each item under `#[cfg(test)]`, up to its closing brace or its semicolon.
fn without_tests(code: &str) -> String {
    let mut left = String::new();
    let mut rest = code;
    while let Some(at) = rest.find("#[cfg(test)]") {
        left.push_str(&rest[..at]);
        let item = &rest[at..];
        let mut depth = 0_u32;
        let mut end = item.len();
        for (index, letter) in item.char_indices() {
            match letter {
                '{' => depth += 1,
                '}' => depth = depth.saturating_sub(1),
                _ => {}
            }
            if depth == 0 && matches!(letter, '}' | ';') {
                end = index + 1;
                break;
            }
        }
        rest = &item[end..];
    }
    left.push_str(rest);
    left
}

/// What the pure crates must not name.
const OUTSIDE: [&str; 11] = [
    "std::fs",
    "std::env",
    "std::time",
    "std::process",
    "std::net",
    "println!",
    "print!",
    "eprintln!",
    "eprint!",
    "dbg!",
    "env!",
];

/// Members of `std` that a grouped `use` must not bring in.
const MODULES: [&str; 5] = ["fs", "env", "time", "process", "net"];

/// The first thing of the outside that a source names.
fn outside(source: &str) -> Option<String> {
    let code = code(source);
    let plain: String = code.chars().filter(|c| !c.is_whitespace()).collect();
    for name in OUTSIDE {
        let named = plain.match_indices(name).any(|(at, _)| {
            // Spaces are gone, so what stands before is no help.
            let after = plain[at + name.len()..].chars().next();
            name.ends_with('!') || !after.is_some_and(|c| c.is_alphanumeric() || c == '_')
        });
        if named {
            return Some(name.to_owned());
        }
    }
    for (at, _) in plain.match_indices("std::{") {
        let group = &plain[at + "std::{".len()..];
        let group = &group[..group.find(';').unwrap_or(group.len())];
        for part in group.split([',', '{', '}']) {
            let first = part.split("::").next().unwrap_or_default();
            if MODULES.contains(&first) {
                return Some(format!("std::{first}"));
            }
        }
    }
    None
}

#[test]
fn pure_crates_touch_nothing_outside() {
    let mut found = Vec::new();
    for name in ["model", "mechanics", "finding", "rules", "plan"] {
        for path in sources(&top().join("core").join(name).join("src")) {
            if let Some(name) = outside(&fs::read_to_string(&path).unwrap()) {
                found.push(format!("{} names {name}", path.display()));
            }
        }
    }
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn the_scan_sees_what_it_must_and_no_more() {
    for seen in [
        "use std::fs;",
        "use std::{fmt, env::var};",
        "use std::{\n    io,\n    time::Instant,\n};",
        "fn f() { println!(\"x\"); }",
        "fn f() { let t = std::time::Instant::now(); }",
        "mod a { const C: char = '\"'; } fn f() { eprintln!(\"x\"); }",
        "#[cfg(test)] mod tests { } use std::env;",
    ] {
        assert!(outside(seen).is_some(), "{seen}");
    }
    for unseen in [
        "// std::fs is not used",
        "/// ```\n/// println!(\"x\");\n/// ```",
        "const T: &str = \"std::env println!\";",
        "const T: &str = r#\"std::env \" println!\"#;",
        "#[cfg(test)] mod tests { use std::fs; fn f() { println!(\"}\"); } }",
        "#[cfg(test)] use std::fs;",
        "use std::{fmt, sync::Arc};",
        "fn printing(fs: u8) { write!(f, \"\"); }",
    ] {
        assert_eq!(outside(unseen), None, "{unseen}");
    }
}

/// Where code may be unsafe: at the boundary to libraries, and to the allocator.
const UNSAFE: [&str; 3] =
    ["core/memory/src/lib.rs", "core/plugin/kit/src/export/", "core/plugin/host/src/library.rs"];

/// Whether code is written as unsafe; a type of a function at the boundary is no such code.
fn is_unchecked(source: &str) -> bool {
    let code = without_words(source);
    let words: Vec<_> = code.split_whitespace().collect();
    words.windows(2).any(|pair| pair[0].ends_with("unsafe") && !pair[1].starts_with("extern"))
        || code.contains("unsafe(")
        || code.contains("unsafe{")
}

#[test]
fn unsafe_code_is_at_the_boundary_only() {
    let mut found = Vec::new();
    for folder in ["core", "plugins", "tests"] {
        for path in sources(&top().join(folder)) {
            let below = path.strip_prefix(top()).unwrap().to_str().unwrap().replace('\\', "/");
            let is_allowed = UNSAFE.iter().any(|place| below.starts_with(place));
            if !is_allowed && is_unchecked(&fs::read_to_string(&path).unwrap()) {
                found.push(below);
            }
        }
    }
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn the_scan_for_unsafe_code_sees_it() {
    for seen in
        ["fn f() { unsafe { g() } }", "unsafe fn f() {}", "#[unsafe(no_mangle)]", "unsafe{}"]
    {
        assert!(is_unchecked(seen), "{seen}");
    }
    for unseen in ["// unsafe { }", "type F = unsafe extern \"C\" fn();", "let s = \"unsafe { }\";"]
    {
        assert!(!is_unchecked(unseen), "{unseen}");
    }
}

#[test]
fn every_source_says_what_it_is() {
    let mut silent = Vec::new();
    for folder in ["core", "plugins", "tests"] {
        for path in sources(&top().join(folder)) {
            if !fs::read_to_string(&path).unwrap().starts_with("//!") {
                silent.push(path);
            }
        }
    }
    assert!(silent.is_empty(), "these need a `//!` at their head: {silent:#?}");
}
