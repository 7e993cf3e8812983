//! Waivers: findings that somebody answers for, until a day.

use restrand_model::reflect::Date;
use restrand_rules::{CATALOGUE, Rulebook, Waiver, find};

use super::entry::Book;
use super::file::{BookError, WaiverEntry};

/// Adds a waiver.
pub(super) fn lay(
    in_force: &mut Rulebook,
    book: Book<'_>,
    entry: WaiverEntry,
) -> Result<(), BookError> {
    let Some(rule) = find(entry.rule.get_ref()) else {
        return Err(book.unknown("rule", &entry.rule, CATALOGUE.iter().map(|rule| rule.id)));
    };
    let until: Result<Date, _> = match entry.until.get_ref() {
        toml::Value::String(text) => text.parse(),
        toml::Value::Datetime(day) => day.to_string().parse(),
        other => other.to_string().parse(),
    };
    let Ok(until) = until else {
        return Err(book
            .error(entry.until.span(), "it is not a day of the calendar; write it as 2031-05-07"));
    };
    in_force.waivers.push(Waiver {
        rule: rule.id,
        place: book.said("the place", entry.place)?,
        reason: book.said("the reason", entry.reason)?,
        by: book.said("who answers for it", entry.by)?,
        until,
        book: book.name.to_owned(),
    });
    Ok(())
}
