//! Severities that a book fixes for rules.

use restrand_finding::Severity;
use restrand_rules::{CATALOGUE, Rulebook, find};

use super::entry::Book;
use super::file::BookError;

/// The severities by their words.
pub(super) const ALL: [Severity; 3] = [Severity::Error, Severity::Warning, Severity::Note];

/// Fixes the severity of a rule's findings.
pub(super) fn lay(
    in_force: &mut Rulebook,
    book: Book<'_>,
    rule: toml::Spanned<String>,
    word: &toml::Spanned<String>,
) -> Result<(), BookError> {
    if find(rule.get_ref()).is_none() {
        return Err(book.unknown("rule", &rule, CATALOGUE.iter().map(|rule| rule.id)));
    }
    let severity = ALL
        .into_iter()
        .find(|severity| severity.word() == word.get_ref())
        .ok_or_else(|| book.unknown("severity", word, ALL.iter().map(|known| known.word())))?;
    in_force.severities.insert(rule.into_inner(), severity);
    Ok(())
}
