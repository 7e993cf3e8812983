//! The rulebook in force, every value with its origin.

use std::io::{self, Write};

use restrand_finding::{Citation, Fact};
use restrand_model::System;
use restrand_model::reflect::Choice;
use restrand_rules::{Allowed, LimitKey, Rulebook, limit_keys};

use crate::checked::{InForce, UNCONFIRMED};
use crate::plain::plain;

/// Writes the book: limits, roles, fillers, requirements, severities, waivers.
///
/// # Errors
/// The writer fails.
pub fn show(out: &mut dyn Write, book: &Rulebook, system: System) -> io::Result<()> {
    let in_force = InForce { book, why: "" };
    writeln!(out, "rulebook {}", plain(&in_force.shown()))?;
    if !book.title.trim().is_empty() {
        writeln!(out, "{}", plain(&book.title))?;
    }
    if in_force.has_unconfirmed_limits() {
        writeln!(out, "Note: {UNCONFIRMED}.")?;
    }
    if !book.codes.is_empty() {
        writeln!(out, "\nDesign codes")?;
        for (code, edition) in &book.codes {
            writeln!(out, "  {}, {}", plain(code), plain(edition))?;
        }
    }
    writeln!(out, "\nLimits")?;
    for &key in limit_keys() {
        if let Some(limit) = book.limit(key) {
            let value = limit_value(key, limit.value, &limit.citation, system);
            writeln!(out, "  {}: {value}", key.name)?;
            writeln!(out, "    {}", key.meaning)?;
            origin(out, "    ", &limit.citation, &limit.book)?;
        }
    }
    writeln!(out, "\nParts")?;
    for (role, row) in &book.roles {
        let expected = match row.allowed {
            Allowed::Replaceable => "replaceable",
            Allowed::Permanent => "permanent",
            Allowed::Either => "either, as recorded",
        };
        writeln!(out, "  {}: {expected} (set in {})", role.replace('_', " "), plain(&row.book))?;
    }
    if !book.fillers.is_empty() {
        writeln!(out, "\nFillers")?;
        for (filler, row) in &book.fillers {
            let may = if row.allowed { "allowed" } else { "forbidden" };
            writeln!(out, "  {}: {may}", filler.replace('_', " "))?;
            origin(out, "    ", &row.citation, &row.book)?;
        }
    }
    writeln!(out, "\nRequired")?;
    for required in &book.required {
        let conditions: Vec<_> = required
            .when
            .iter()
            .map(|(field, words)| format!("where {field} is {}", words.join(" or ")))
            .chain(
                required
                    .unless
                    .iter()
                    .map(|(field, words)| format!("unless {field} is {}", words.join(" or "))),
            )
            .collect();
        let conditions = match conditions.is_empty() {
            true => String::new(),
            false => format!(" ({})", conditions.join("; ")),
        };
        writeln!(
            out,
            "  {} from {} on: {}{}",
            required.record,
            required.stage.word().replace('_', " "),
            required.fields.join(", "),
            plain(&conditions)
        )?;
    }
    for required in &book.required_parts {
        let any_of: Vec<_> = required.any_of.iter().map(ToString::to_string).collect();
        writeln!(out, "  parts of {}: {}", required.record, any_of.join(" or "))?;
        origin(out, "    ", &required.citation, &required.book)?;
    }
    if !book.severities.is_empty() {
        writeln!(out, "\nSeverities")?;
        for (rule, severity) in &book.severities {
            writeln!(out, "  {rule}: {severity}")?;
        }
    }
    if !book.waivers.is_empty() {
        writeln!(out, "\nWaivers")?;
        for waiver in &book.waivers {
            writeln!(
                out,
                "  {} at {} until {}: {} ({}; set in {})",
                waiver.rule,
                plain(&waiver.place),
                waiver.until,
                plain(&waiver.reason),
                plain(&waiver.by),
                plain(&waiver.book)
            )?;
        }
    }
    Ok(())
}

fn origin(out: &mut dyn Write, indent: &str, citation: &Citation, book: &str) -> io::Result<()> {
    writeln!(
        out,
        "{indent}{}: {}; set in {}",
        citation.evidence,
        plain(&citation.source),
        plain(book)
    )
}

/// The value in both systems, with as many digits as it has; the other one rounded as drawings are.
pub(crate) fn limit_value(
    key: LimitKey,
    value: f64,
    citation: &Citation,
    system: System,
) -> String {
    /// Decimals that a limit can have.
    const MOST: u8 = 6;
    let digits = (0..=MOST)
        .find(|digits| {
            let scale = 10f64.powi(i32::from(*digits));
            ((value * scale).round() / scale - value).abs() <= value.abs() * 1e-9
        })
        .unwrap_or(MOST);
    Fact::limit(key.name, value, digits, citation.clone()).shown(system)
}
