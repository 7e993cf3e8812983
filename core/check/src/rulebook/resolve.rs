//! The rulebook in force: a book over those it extends, each value with its origin.

use restrand_rules::{CATALOGUE, Rulebook};

use super::books::{Books, BuiltIn, Source, file_of};
use super::entry::Book;
use super::file::{BookError, BookFile};
use super::{filler, limit, required, required_part, role, severity, waiver};

/// The version of rulebook files that this release reads.
pub(super) const VERSION: u32 = 1;

/// Takes a book into force, over those that it extends.
///
/// # Errors
/// The book, or one it extends, says what no rulebook can say; the place is given.
pub fn in_force(source: Source, books: &dyn Books) -> Result<Rulebook, BookError> {
    let outermost = source.name.clone();
    let chain = chain(source, books)?;
    let mut in_force = Rulebook {
        name: chain.first().map(|(_, file)| file.name.clone()).unwrap_or_default(),
        title: chain.first().map(|(_, file)| file.title.clone()).unwrap_or_default(),
        chain: chain.iter().map(|(_, file)| file.name.clone()).collect(),
        ..Rulebook::default()
    };
    for (file_name, file) in chain.into_iter().rev() {
        lay_over(&mut in_force, &file_name, file)?;
    }
    for rule in CATALOGUE {
        for key in rule.limits {
            if in_force.limit(*key).is_none() {
                return Err(BookError {
                    book: outermost,
                    message: format!(
                        "the limit {} of {} is set nowhere; extend \"base\"",
                        key.name, rule.id
                    ),
                    span: None,
                });
            }
        }
    }
    Ok(in_force)
}

/// Takes a book that comes with the program into force.
///
/// # Errors
/// No book of this name comes with it.
pub fn built_in_force(name: &str) -> Result<Rulebook, BookError> {
    let nobody = Source { name: name.to_owned(), text: String::new() };
    let source = BuiltIn.find(name, &nobody).map_err(|message| BookError {
        book: name.to_owned(),
        message,
        span: None,
    })?;
    in_force(source, &BuiltIn)
}

/// The book and those it extends, the outermost first.
fn chain(source: Source, books: &dyn Books) -> Result<Vec<(String, BookFile)>, BookError> {
    let mut chain: Vec<(String, BookFile)> = Vec::new();
    let mut next = Some(source);
    while let Some(source) = next {
        let file = file_of(&source)?;
        let book = Book { file: &source.name, name: &file.name };
        if file.rulebook.get_ref() != &VERSION {
            return Err(book.error(
                file.rulebook.span(),
                format!(
                    "version {} of rulebooks is not known; this release reads {VERSION}",
                    file.rulebook.get_ref()
                ),
            ));
        }
        next = match &file.extends {
            None => None,
            Some(called) => {
                let at = |message| book.error(called.span(), message);
                let found = books.find(called.get_ref(), &source).map_err(at)?;
                let mut known = chain.iter().map(|(name, _)| name).chain([&source.name]);
                if known.any(|name| *name == found.name) {
                    return Err(at(format!(
                        "the rulebooks extend one another in a circle: {} is reached again; let one of \
                         them extend a built-in book",
                        found.name
                    )));
                }
                Some(found)
            }
        };
        chain.push((source.name, file));
    }
    Ok(chain)
}

fn lay_over(in_force: &mut Rulebook, file_name: &str, file: BookFile) -> Result<(), BookError> {
    let book = Book { file: file_name, name: &file.name };
    in_force.codes.extend(file.codes.into_iter().map(|known| (known.code, known.edition)));
    for (key, entry) in file.limits {
        limit::lay(in_force, book, key, entry)?;
    }
    if let Some(roles) = file.roles {
        role::lay(in_force, book, roles)?;
    }
    if let Some(fillers) = file.fillers {
        filler::lay(in_force, book, fillers)?;
    }
    for entry in file.required {
        required::lay(in_force, book, entry)?;
    }
    for entry in file.required_parts {
        required_part::lay(in_force, book, entry)?;
    }
    for (rule, word) in file.severities {
        severity::lay(in_force, book, rule, &word)?;
    }
    for entry in file.waivers {
        waiver::lay(in_force, book, entry)?;
    }
    Ok(())
}
