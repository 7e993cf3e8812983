//! Which permanence is expected of which part.

use restrand_model::reflect::Choice;
use restrand_model::schedule::Role;
use restrand_rules::{Allowed, RolePermanence, Rulebook};

use super::entry::Book;
use super::file::{BookError, Roles};

/// The words for what is expected.
pub(super) const WORDS: &[(&str, Allowed)] = &[
    ("replaceable", Allowed::Replaceable),
    ("permanent", Allowed::Permanent),
    ("either", Allowed::Either),
];

/// Sets what is expected of roles.
pub(super) fn lay(in_force: &mut Rulebook, book: Book<'_>, roles: Roles) -> Result<(), BookError> {
    let citation = book.citation(&roles.evidence, roles.citation)?;
    for (role, word) in roles.expected {
        let Some(known) = Role::of_word(role.get_ref()) else {
            return Err(book.unknown("role", &role, Role::WORDS.iter().map(|word| word.name)));
        };
        let Some((_, allowed)) = WORDS.iter().find(|(known, _)| known == word.get_ref()) else {
            return Err(book.unknown("permanence", &word, WORDS.iter().map(|(word, _)| *word)));
        };
        let row = RolePermanence {
            allowed: *allowed,
            citation: citation.clone(),
            book: book.name.to_owned(),
        };
        in_force.roles.insert(known.word(), row);
    }
    Ok(())
}
