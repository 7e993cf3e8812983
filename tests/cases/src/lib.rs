//! Holds the catalogue of rules against its cases, its pages and its policy.
//!
//! # Cases
//! `fixtures/cases/<family>/<rule>/<case>/` holds `input.json` and `expect.toml`, and nothing else.
//! A case's name begins with `failing-`, `passing-` or `not-evaluated-`.
//! Findings of the rule are compared both ways: a missing one fails the case, and so does an extra one.
//! See [`Expectation`] for what `expect.toml` says.
//!
//! # Pages
//! Every page has the same headings in the same order, and its two examples are run.
//!
//! # Policy
//! Every rule has a page, a citation and cases; file, folder, page and catalogue say the same.

#![expect(clippy::missing_errors_doc, reason = "every error here is the text of a failed test")]

mod case;
mod expectation;
mod page;
mod policy;
mod run;

use std::path::{Path, PathBuf};

pub use case::cases;
pub use expectation::Expectation;
pub use page::pages;
pub use policy::policies;

/// A named test; an error is what went wrong.
pub struct Named {
    /// The name, as `parts/cannot-pass/failing-cone`.
    pub name: String,
    /// The test.
    pub test: Box<dyn FnOnce() -> Result<(), String> + Send>,
}

impl Named {
    fn new(
        name: impl Into<String>,
        test: impl FnOnce() -> Result<(), String> + Send + 'static,
    ) -> Self {
        Self { name: name.into(), test: Box::new(test) }
    }
}

/// The top of the workspace.
fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// The entries of a folder, in order of their names; none if there is no such folder.
fn entries(folder: &Path) -> Result<Vec<PathBuf>, String> {
    if !folder.is_dir() {
        return Ok(Vec::new());
    }
    let listing =
        std::fs::read_dir(folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    let mut entries = listing
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<Result<Vec<_>, _>>()
        .map_err(|error| format!("{}: {error}", folder.display()))?;
    entries.sort();
    Ok(entries)
}

/// The last name of a path.
fn name(path: &Path) -> String {
    path.file_name().unwrap_or_default().to_string_lossy().into_owned()
}

/// The text of a file.
fn text(path: &Path) -> Result<String, String> {
    std::fs::read_to_string(path).map_err(|error| format!("{}: {error}", path.display()))
}
