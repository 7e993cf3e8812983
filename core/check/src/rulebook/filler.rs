//! Which fillers may be used.

use restrand_model::reflect::Choice;
use restrand_model::schedule::Filler;
use restrand_rules::{FillerRow, Rulebook};

use super::entry::Book;
use super::file::{BookError, Fillers};

/// Sets which fillers may be used.
pub(super) fn lay(
    in_force: &mut Rulebook,
    book: Book<'_>,
    fillers: Fillers,
) -> Result<(), BookError> {
    let citation = book.citation(&fillers.evidence, fillers.citation)?;
    for word in &fillers.forbidden {
        if fillers.allowed.iter().any(|other| other.get_ref() == word.get_ref()) {
            return Err(book.error(
                word.span(),
                format!(
                    "{} is both allowed and forbidden; take it out of one list",
                    word.get_ref()
                ),
            ));
        }
    }
    let lists = [(fillers.allowed, true), (fillers.forbidden, false)];
    for (words, allowed) in lists {
        for word in words {
            let Some(filler) = Filler::of_word(word.get_ref()) else {
                return Err(book.unknown(
                    "filler",
                    &word,
                    Filler::WORDS.iter().map(|word| word.name),
                ));
            };
            let row = FillerRow { allowed, citation: citation.clone(), book: book.name.to_owned() };
            in_force.fillers.insert(filler.word(), row);
        }
    }
    Ok(())
}
