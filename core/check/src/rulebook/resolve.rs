//! The rulebook in force: a book over those it extends, each value with its origin.

use std::ops::Range;

use restrand_finding::{Citation, Evidence, Severity};
use restrand_model::near::nearest;
use restrand_model::quantity::{self, of_field};
use restrand_model::reflect::{Choice, RecordInfo, Shape};
use restrand_model::schedule::{Role, Stage};
use restrand_model::{schema, sheet};
use restrand_rules::{Allowed, CATALOGUE, Limit, Required, RolePermanence, Rulebook, find};

use super::file::{BookError, BookFile, Conditions, Roles};

/// The books that come with the program: name and text.
pub static BUILT_IN: &[(&str, &str)] = &[
    ("base", include_str!("../../../rules/rulebooks/base.toml")),
    ("lrfd-2020", include_str!("../../../rules/rulebooks/lrfd-2020.toml")),
];

/// The text of a book that comes with the program.
#[must_use]
pub fn built_in(name: &str) -> Option<&'static str> {
    BUILT_IN.iter().find(|(known, _)| *known == name).map(|(_, text)| *text)
}

/// The built-in book for a declared design code and edition.
#[must_use]
pub fn name_for_code(code: &str, edition: &str) -> Option<&'static str> {
    BUILT_IN.iter().find_map(|(name, text)| {
        let book = BookFile::read(name, text).ok()?;
        book.codes
            .iter()
            .any(|known| {
                sheet::plain(&known.code) == sheet::plain(code) && known.edition == edition
            })
            .then_some(*name)
    })
}

/// Takes a book into force: `name` is shown in messages, `text` is the file.
///
/// # Errors
/// The book, or one it extends, says what no rulebook can say; the place is given.
pub fn in_force(name: &str, text: &str) -> Result<Rulebook, BookError> {
    let mut chain = Vec::new();
    let mut next = Some((name.to_owned(), text.to_owned()));
    while let Some((name, text)) = next {
        if chain.iter().any(|(known, _): &(String, BookFile)| *known == name) {
            return Err(error(&name, None, format!("the rulebook {name} extends itself")));
        }
        let file = BookFile::read(&name, &text)?;
        if file.rulebook != 1 {
            return Err(error(
                &name,
                None,
                format!(
                    "version {} of rulebooks is not known; this release reads 1",
                    file.rulebook
                ),
            ));
        }
        next = match &file.extends {
            None => None,
            Some(base) => match built_in(base) {
                Some(text) => Some((base.clone(), text.to_owned())),
                None => {
                    return Err(error(
                        &name,
                        None,
                        format!("no rulebook is called \"{base}\"; built in are {}", names()),
                    ));
                }
            },
        };
        chain.push((name, file));
    }
    let mut book = Rulebook {
        name: chain.first().map(|(_, file)| file.name.clone()).unwrap_or_default(),
        chain: chain.iter().map(|(_, file)| file.name.clone()).collect(),
        ..Rulebook::default()
    };
    for (name, file) in chain.into_iter().rev() {
        lay_over(&mut book, &name, file)?;
    }
    for rule in CATALOGUE {
        for key in rule.limits {
            if book.limit(*key).is_none() {
                return Err(error(
                    name,
                    None,
                    format!(
                        "the limit {} of {} is set nowhere; extend \"base\"",
                        key.name, rule.id
                    ),
                ));
            }
        }
    }
    Ok(book)
}

fn names() -> String {
    BUILT_IN.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(", ")
}

fn error(book: &str, span: Option<Range<usize>>, message: String) -> BookError {
    BookError { book: book.to_owned(), message, span }
}

fn lay_over(book: &mut Rulebook, name: &str, file: BookFile) -> Result<(), BookError> {
    let _ = file.title;
    for (key, entry) in file.limits {
        let known =
            CATALOGUE.iter().any(|rule| rule.limits.iter().any(|k| k.name == key.get_ref()));
        if !known {
            let all = CATALOGUE.iter().flat_map(|rule| rule.limits).map(|k| k.name);
            return Err(unknown(name, "limit", &key, all));
        }
        let (_, unit) = of_field(key.get_ref());
        let value = match entry.value.get_ref() {
            toml::Value::Float(value) => Ok(*value),
            #[expect(clippy::cast_precision_loss, reason = "limits are small numbers")]
            toml::Value::Integer(value) => Ok(*value as f64),
            toml::Value::String(text) => {
                quantity::read(text, unit, unit).map_err(|e| e.to_string())
            }
            _ => Err("it is not a number".to_owned()),
        };
        let value = value.and_then(|value| {
            if value.is_finite() && value >= 0.0 {
                Ok(value)
            } else {
                Err("it is not a finite number, zero or more".to_owned())
            }
        });
        let value = value.map_err(|why| {
            error(name, Some(entry.value.span()), format!("{}: {why}", key.get_ref()))
        })?;
        let citation = citation(name, &entry.evidence, entry.citation)?;
        let set = Limit { value, citation, book: file.name.clone() };
        let held = match book.limits.remove(key.get_ref()) {
            // A restated value keeps the firmer of the two citations.
            #[expect(clippy::float_cmp, reason = "a restated value is the same number")]
            Some(old) if old.value == set.value && !firmer(&set, &old) => old,
            _ => set,
        };
        book.limits.insert(key.into_inner(), held);
    }
    if let Some(roles) = file.roles {
        lay_roles(book, name, &file.name, roles)?;
    }
    for entry in file.required {
        let Some(stage) = Stage::of_word(entry.stage.get_ref()) else {
            let words = Stage::WORDS.iter().map(|word| word.name);
            return Err(unknown(name, "stage", &entry.stage, words));
        };
        let records = schema::records();
        let Some(info) = records.iter().find(|info| info.name == entry.record.get_ref()) else {
            return Err(unknown(
                name,
                "record",
                &entry.record,
                records.iter().map(|info| info.name),
            ));
        };
        for field in entry.fields.iter().chain(entry.when.keys()).chain(entry.unless.keys()) {
            if !leads_to_a_field(info, field.get_ref()) {
                return Err(unknown(name, "field", field, info.fields.iter().map(|f| f.name)));
            }
        }
        book.required.push(Required {
            stage,
            record: entry.record.into_inner(),
            fields: entry.fields.into_iter().map(toml::Spanned::into_inner).collect(),
            when: conditions(entry.when),
            unless: conditions(entry.unless),
        });
    }
    for (rule, word) in file.severities {
        if find(rule.get_ref()).is_none() {
            return Err(unknown(name, "rule", &rule, CATALOGUE.iter().map(|rule| rule.id)));
        }
        let severity = [Severity::Error, Severity::Warning, Severity::Note]
            .into_iter()
            .find(|severity| severity.word() == word)
            .ok_or_else(|| {
                error(
                    name,
                    Some(rule.span()),
                    format!("\"{word}\" is no severity: error, warning, note"),
                )
            })?;
        book.severities.insert(rule.into_inner(), severity);
    }
    Ok(())
}

fn conditions(stated: Conditions) -> Vec<(String, Vec<String>)> {
    stated.into_iter().map(|(field, words)| (field.into_inner(), words)).collect()
}

fn lay_roles(book: &mut Rulebook, file: &str, name: &str, roles: Roles) -> Result<(), BookError> {
    let citation = citation(file, &roles.evidence, roles.citation)?;
    for (role, word) in roles.expected {
        let Some(known) = Role::of_word(role.get_ref()) else {
            return Err(unknown(file, "role", &role, Role::WORDS.iter().map(|word| word.name)));
        };
        let allowed = match word.get_ref().as_str() {
            "replaceable" => Allowed::Replaceable,
            "permanent" => Allowed::Permanent,
            "either" => Allowed::Either,
            _ => {
                let words = ["replaceable", "permanent", "either"];
                return Err(unknown(file, "permanence", &word, words.into_iter()));
            }
        };
        let row = RolePermanence { allowed, citation: citation.clone(), book: name.to_owned() };
        book.roles.insert(known.word(), row);
    }
    Ok(())
}

/// Whether names joined with points lead from a record type to a field.
fn leads_to_a_field(info: &'static RecordInfo, path: &str) -> bool {
    let mut info = info;
    let mut names = path.split('.').peekable();
    while let Some(name) = names.next() {
        let Some(field) = info.field(name) else {
            return false;
        };
        if names.peek().is_none() {
            return true;
        }
        match field.shape {
            Shape::Record(inner) => info = inner(),
            _ => return false,
        }
    }
    false
}

fn firmer(one: &Limit, other: &Limit) -> bool {
    rank(one.citation.evidence) < rank(other.citation.evidence)
}

/// The firmer the evidence, the smaller.
const fn rank(evidence: Evidence) -> u8 {
    match evidence {
        Evidence::Owner => 0,
        Evidence::Stated => 1,
        Evidence::Read => 2,
        Evidence::Secondary => 3,
        Evidence::Memory => 4,
        Evidence::Derived => 5,
    }
}

fn citation(
    book: &str,
    evidence: &toml::Spanned<String>,
    source: String,
) -> Result<Citation, BookError> {
    if source.trim().is_empty() {
        return Err(error(book, Some(evidence.span()), "a value needs a citation".to_owned()));
    }
    match Evidence::of_word(evidence.get_ref()) {
        Some(evidence) => Ok(Citation { source: source.into(), evidence }),
        None => {
            let words = ["read", "owner", "secondary", "memory", "derived"];
            Err(unknown(book, "evidence", evidence, words.into_iter()))
        }
    }
}

fn unknown<'a>(
    book: &str,
    what: &str,
    given: &toml::Spanned<String>,
    known: impl Iterator<Item = &'a str> + Clone,
) -> BookError {
    let text = given.get_ref();
    let hint = match nearest(text, known.clone()) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => format!("known are: {}", known.collect::<Vec<_>>().join(", ")),
    };
    error(book, Some(given.span()), format!("no {what} is called \"{text}\"; {hint}"))
}
