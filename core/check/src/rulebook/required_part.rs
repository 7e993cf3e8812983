//! Which parts a composed anchorage or form cannot do without.

use restrand_model::reflect::Choice;
use restrand_model::schedule::{Anchorage, Form, Role};
use restrand_rules::{RequiredPart, Rulebook};

use super::entry::Book;
use super::file::{BookError, RequiredPartEntry};

/// The record types that are composed of parts.
pub(super) const RECORDS: [&str; 2] = [Anchorage::INFO.name, Form::INFO.name];

/// Adds a part that is required.
pub(super) fn lay(
    in_force: &mut Rulebook,
    book: Book<'_>,
    entry: RequiredPartEntry,
) -> Result<(), BookError> {
    let citation = book.citation(&entry.evidence, entry.citation)?;
    if !RECORDS.contains(&entry.record.get_ref().as_str()) {
        return Err(book.unknown("record type with parts", &entry.record, RECORDS.into_iter()));
    }
    if entry.any_of.get_ref().is_empty() {
        return Err(book.error(
            entry.any_of.span(),
            "any_of names no role, so that no part could be enough; name one, or leave the row out"
                .to_owned(),
        ));
    }
    let any_of = entry
        .any_of
        .get_ref()
        .iter()
        .map(|role| {
            Role::of_word(role.get_ref())
                .ok_or_else(|| book.unknown("role", role, Role::WORDS.iter().map(|word| word.name)))
        })
        .collect::<Result<_, _>>()?;
    in_force.required_parts.push(RequiredPart {
        record: entry.record.into_inner(),
        any_of,
        citation,
        book: book.name.to_owned(),
    });
    Ok(())
}
