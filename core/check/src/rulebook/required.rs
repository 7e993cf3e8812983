//! What each record must state, from which stage on.

use restrand_model::reflect::{Choice, RecordInfo, Shape};
use restrand_model::schedule::Stage;
use restrand_model::schema;
use restrand_rules::{Required, Rulebook};

use super::entry::Book;
use super::file::{BookError, Conditions, RequiredEntry};

/// Adds a requirement.
pub(super) fn lay(
    in_force: &mut Rulebook,
    book: Book<'_>,
    entry: RequiredEntry,
) -> Result<(), BookError> {
    let Some(stage) = Stage::of_word(entry.stage.get_ref()) else {
        let words = Stage::WORDS.iter().map(|word| word.name);
        return Err(book.unknown("stage", &entry.stage, words));
    };
    let records = schema::records();
    let Some(info) = records.iter().find(|info| info.name == entry.record.get_ref()) else {
        let names = records.iter().map(|info| info.name);
        return Err(book.unknown("record", &entry.record, names));
    };
    for field in entry.fields.iter().chain(entry.when.keys()).chain(entry.unless.keys()) {
        if !leads_to_a_field(info, field.get_ref()) {
            return Err(book.unknown("field", field, info.fields.iter().map(|f| f.name)));
        }
    }
    in_force.required.push(Required {
        stage,
        record: entry.record.into_inner(),
        fields: entry.fields.into_iter().map(toml::Spanned::into_inner).collect(),
        when: conditions(entry.when),
        unless: conditions(entry.unless),
    });
    Ok(())
}

fn conditions(stated: Conditions) -> Vec<(String, Vec<String>)> {
    stated.into_iter().map(|(field, words)| (field.into_inner(), words)).collect()
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
