//! A rulebook file as written.

use std::collections::BTreeMap;
use std::ops::Range;

use serde::Deserialize;

/// A rulebook cannot be taken into force.
#[derive(Debug, Clone, thiserror::Error)]
#[error("{message}")]
pub struct BookError {
    /// The name of the book.
    pub book: String,
    /// What is wrong, and what to do about it.
    pub message: String,
    /// The bytes of the file where it shows.
    pub span: Option<Range<usize>>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BookFile {
    pub(super) rulebook: toml::Spanned<u32>,
    pub(super) name: String,
    #[serde(default)]
    pub(super) title: String,
    pub(super) extends: Option<toml::Spanned<String>>,
    #[serde(default)]
    pub(super) codes: Vec<Code>,
    #[serde(default)]
    pub(super) limits: BTreeMap<toml::Spanned<String>, LimitEntry>,
    pub(super) roles: Option<Roles>,
    pub(super) fillers: Option<Fillers>,
    #[serde(default)]
    pub(super) required: Vec<RequiredEntry>,
    #[serde(default)]
    pub(super) required_parts: Vec<RequiredPartEntry>,
    #[serde(default)]
    pub(super) severities: BTreeMap<toml::Spanned<String>, toml::Spanned<String>>,
    #[serde(default)]
    pub(super) waivers: Vec<WaiverEntry>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Code {
    pub(super) code: String,
    pub(super) edition: String,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LimitEntry {
    pub(super) value: toml::Spanned<toml::Value>,
    pub(super) evidence: toml::Spanned<String>,
    pub(super) citation: String,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Roles {
    pub(super) evidence: toml::Spanned<String>,
    pub(super) citation: String,
    pub(super) expected: BTreeMap<toml::Spanned<String>, toml::Spanned<String>>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Fillers {
    pub(super) evidence: toml::Spanned<String>,
    pub(super) citation: String,
    #[serde(default)]
    pub(super) allowed: Vec<toml::Spanned<String>>,
    #[serde(default)]
    pub(super) forbidden: Vec<toml::Spanned<String>>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WaiverEntry {
    pub(super) rule: toml::Spanned<String>,
    pub(super) place: toml::Spanned<String>,
    pub(super) reason: toml::Spanned<String>,
    pub(super) by: toml::Spanned<String>,
    pub(super) until: toml::Spanned<toml::Value>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RequiredEntry {
    pub(super) stage: toml::Spanned<String>,
    pub(super) record: toml::Spanned<String>,
    pub(super) fields: Vec<toml::Spanned<String>>,
    #[serde(default)]
    pub(super) when: Conditions,
    #[serde(default)]
    pub(super) unless: Conditions,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RequiredPartEntry {
    pub(super) record: toml::Spanned<String>,
    pub(super) any_of: toml::Spanned<Vec<toml::Spanned<String>>>,
    pub(super) evidence: toml::Spanned<String>,
    pub(super) citation: String,
}

/// Words by field.
pub(super) type Conditions = BTreeMap<toml::Spanned<String>, Vec<String>>;

impl BookFile {
    pub(super) fn read(name: &str, text: &str) -> Result<Self, BookError> {
        toml::from_str(text).map_err(|error| BookError {
            book: name.to_owned(),
            message: error.message().to_owned(),
            span: error.span(),
        })
    }
}
