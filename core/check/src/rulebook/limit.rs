//! Limits: numbers in the unit of their name.

use std::ops::RangeInclusive;

use restrand_finding::Evidence;
use restrand_model::quantity::{self, Dimension, of_field, shortest};
use restrand_rules::{Limit, Rulebook, limit_keys};

use super::entry::Book;
use super::file::{BookError, LimitEntry};

/// Sets a limit.
pub(super) fn lay(
    in_force: &mut Rulebook,
    book: Book<'_>,
    key: toml::Spanned<String>,
    entry: LimitEntry,
) -> Result<(), BookError> {
    let keys = limit_keys();
    if !keys.iter().any(|known| known.name == key.get_ref()) {
        return Err(book.unknown("limit", &key, keys.iter().map(|key| key.name)));
    }
    let value = value(key.get_ref(), entry.value.get_ref())
        .map_err(|why| book.error(entry.value.span(), format!("{}: {why}", key.get_ref())))?;
    let citation = book.citation(&entry.evidence, entry.citation)?;
    let set = Limit { value, citation, book: book.name.to_owned() };
    let held = match in_force.limits.remove(key.get_ref()) {
        // A restated value keeps the firmer of the two citations.
        #[expect(clippy::float_cmp, reason = "a restated value is the same number")]
        Some(old) if old.value == set.value && !is_firmer(&set, &old) => old,
        _ => set,
    };
    in_force.limits.insert(key.into_inner(), held);
    Ok(())
}

/// The value in the unit of the name: a bare number is in it, a text states its own.
fn value(name: &str, given: &toml::Value) -> Result<f64, String> {
    let (_, unit) = of_field(name);
    let value = match given {
        toml::Value::Float(value) => *value,
        #[expect(clippy::cast_precision_loss, reason = "limits are small numbers")]
        toml::Value::Integer(value) => *value as f64,
        toml::Value::String(text) => quantity::read(text, None, unit).map_err(|misread| {
            match (misread, unit) {
                (quantity::Misread::NoUnit, Some(unit)) => format!(
                    "the text states no unit; write it as \"{text} {}\", or as a number without quotes, \
                     which is in {}",
                    unit.symbol, unit.symbol
                ),
                (misread, _) => misread.to_string(),
            }
        })?,
        _ => return Err("it is not a number".to_owned()),
    };
    let sense = sense(name);
    if sense.contains(&value) {
        return Ok(value);
    }
    let symbol = unit.map(|unit| format!(" {}", unit.symbol)).unwrap_or_default();
    Err(format!(
        "{}{symbol} is outside what such a limit can be, {} to {}{symbol}; check the value and its unit",
        shortest(value),
        shortest(*sense.start()),
        shortest(*sense.end()),
    ))
}

/// What a limit of this name can be at all: wide enough for every bridge, and too narrow for a slip of the unit.
pub(super) fn sense(name: &str) -> RangeInclusive<f64> {
    let (plain, unit) = of_field(name);
    let most = match unit {
        None if plain.ends_with("_share") => 1.0,
        None if plain.ends_with("_days") => 36_525.0,
        None => 1000.0,
        Some(unit) => match (unit.dimension, unit.symbol) {
            (Dimension::Length, "mm") => 100_000.0,
            (Dimension::Length, _) => 10_000.0,
            (Dimension::Angle, _) => std::f64::consts::PI,
            (Dimension::Stress, _) => 1_000_000.0,
            (Dimension::PerLength | Dimension::AnglePerLength, _) => 1.0,
            (Dimension::Temperature, _) => 400.0,
            // Steel is the heaviest of this trade.
            (Dimension::Density, _) => 8000.0,
            _ => 1e9,
        },
    };
    0.0..=most
}

fn is_firmer(one: &Limit, other: &Limit) -> bool {
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
