//! What the demo looks like under other rulebooks than the one it declares.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use restrand_check::check;
use restrand_check::rulebook::{BookError, BuiltIn, Source, built_in_force, in_force};
use restrand_finding::Severity;
use restrand_intake::read;
use restrand_json::Json;
use restrand_kit::{Budget, Bytes, LoadError, Parts};
use restrand_model::reflect::Date;
use restrand_rules::Rulebook;

const OWNER: &str = include_str!("../../../fixtures/rulebooks/owner.toml");

/// Why the clean demo has findings of a rule under a book that it was not made for.
const REASONS: &[(&str, &str, &str)] = &[
    (
        "en-1992-2005",
        "stressing/friction-unusual",
        "the demo states a friction coefficient of 0.14, and EN 1992-1-1, table 5.1 has 0.12 for strand on smooth polymer",
    ),
    (
        "owner",
        "filler/kind-not-allowed",
        "the owner allows wax and grease, and the demo is grouted but for one pair",
    ),
    ("owner", "filler/pressure-or-rate", "the owner's greatest pressure is below the demo's 1 MPa"),
    ("owner", "duct/wall-thin", "the owner asks for a thicker wall than that of the demo's duct"),
    (
        "base",
        "schedule/code-undeclared",
        "the book is not that of the declared code, and is taken all the same",
    ),
];

/// The page cannot be made.
#[derive(Debug, thiserror::Error)]
pub enum PageError {
    /// A rulebook is not one.
    #[error("rulebook {0}")]
    Book(String),
    /// The demo cannot be read.
    #[error("the demo cannot be read: {0}")]
    Demo(#[from] LoadError),
    /// The day of the demo is none.
    #[error("the calendar does not have the day of the demo")]
    Day,
    /// The clean demo has findings that nobody has given a reason for.
    #[error("under {book} the clean demo has findings of {rule}, and no reason is given")]
    NoReason {
        /// The book.
        book: String,
        /// The rule.
        rule: &'static str,
    },
}

impl From<BookError> for PageError {
    fn from(error: BookError) -> Self {
        Self::Book(format!("{}: {}", error.book, error.message))
    }
}

/// The page, from the clean and the faulty demo as documents.
///
/// # Errors
/// A rulebook or the demo is not what it should be, or a finding of the clean demo has no reason.
pub fn page(clean: &[u8], faulty: &[u8]) -> Result<String, PageError> {
    let mut text = String::from(
        "# The demo under other rulebooks\n\nGenerated. The demo declares the code of `lrfd-2020`; under that book the clean \
         schedule has no finding, and the faulty one exactly the planted ones.\nUnder each other book further findings come, as its \
         limits are other ones:\n",
    );
    let owner = Source { name: "owner".to_owned(), text: OWNER.to_owned() };
    let books = [
        built_in_force("lrfd-2020")?,
        built_in_force("base")?,
        built_in_force("en-1992-2005")?,
        in_force(owner, &BuiltIn)?,
    ];
    let own = (counts(clean, &books[0])?, counts(faulty, &books[0])?);
    for book in &books[1..] {
        let _ = write!(text, "\n## {}\n\n", book.name);
        let (clean, faulty) = (counts(clean, book)?, counts(faulty, book)?);
        text.push_str("| rule | severity | clean | faulty, beyond those planted | why |\n|---|---|---|---|---|\n");
        let keys = clean.keys().chain(faulty.keys()).collect::<std::collections::BTreeSet<_>>();
        for key in keys {
            let of = |counts: &Counts| counts.get(key).copied().unwrap_or(0);
            let in_clean = of(&clean) - of(&own.0).min(of(&clean));
            let in_faulty = of(&faulty) - of(&own.1).min(of(&faulty));
            if in_clean == 0 && in_faulty == 0 {
                continue;
            }
            let (rule, severity) = key;
            let reason = REASONS.iter().find(|(name, of, _)| *name == book.name && of == rule);
            let why = match reason {
                Some((.., why)) => *why,
                None if in_clean > 0 => {
                    return Err(PageError::NoReason { book: book.name.clone(), rule });
                }
                None => "the planted fault meets a tighter limit, or one that is held to be firm",
            };
            let _ = writeln!(text, "| {rule} | {severity} | {in_clean} | {in_faulty} | {why} |");
        }
    }
    Ok(text)
}

type Counts = BTreeMap<(&'static str, Severity), usize>;

/// How many findings there are, by rule and severity.
fn counts(document: &[u8], book: &Rulebook) -> Result<Counts, PageError> {
    let bytes = Bytes::new("quillmere.json", document.to_vec());
    let reading = read(&Json, Parts(&[&bytes]), Budget::default())?;
    let today = Date::new(2026, 11, 25).ok_or(PageError::Day)?;
    let mut counts = Counts::new();
    for found in check(&reading, book, today).findings {
        *counts.entry((found.finding.rule, found.finding.severity)).or_default() += 1;
    }
    Ok(counts)
}
