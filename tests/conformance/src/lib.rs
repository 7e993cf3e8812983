//! The conformance suite on every plugin, linked in and as a library of its own; and what becomes of plugins that
//! do what they must not.
//!
//! Libraries are built by the tests themselves, with cargo and with the C compiler, into the folder of the tests.

#![expect(clippy::missing_errors_doc, reason = "every error here is the text of a failed test")]

pub mod build;
pub mod same;
pub mod subject;

use std::path::PathBuf;

/// The top of the workspace.
#[must_use]
pub fn top() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..")
}
