//! The list of rules.

use std::io::{self, Write};

use restrand_finding::Kind;
use restrand_rules::{Rule, Rulebook};

/// Writes a few lines for each rule: what it compares, what it can say and how severely under this book, and
/// what that rests on.
///
/// # Errors
/// The writer fails.
pub fn list(out: &mut dyn Write, rules: &[&Rule], book: &Rulebook) -> io::Result<()> {
    for rule in rules {
        writeln!(out, "{}", rule.id)?;
        if !rule.summary.is_empty() {
            writeln!(out, "  {}", rule.summary)?;
        }
        let kinds: Vec<_> = rule.kinds.iter().map(|kind| graded(rule, *kind, book)).collect();
        writeln!(out, "  kinds: {}; correction: {}", kinds.join(", "), rule.correction.words())?;
        if !rule.limits.is_empty() {
            let limits: Vec<_> = rule.limits.iter().map(|limit| limit.name).collect();
            writeln!(out, "  limits: {}", limits.join(", "))?;
        }
        for source in rule.sources {
            writeln!(out, "  source: {source}")?;
        }
    }
    writeln!(
        out,
        "\nSeverities are those of the kind; the page of a rule (restrand explain RULE) says where it fixes its own."
    )
}

/// A kind of finding with the severities that it can have.
fn graded(rule: &Rule, kind: Kind, book: &Rulebook) -> String {
    if let Some(severity) = book.severities.get(rule.id) {
        return format!("{kind} ({severity}, as the rulebook says)");
    }
    let mut firm = rule
        .limits
        .iter()
        .filter_map(|key| book.limit(*key))
        .map(|limit| limit.citation.evidence.is_firm());
    let severity = match kind {
        Kind::Physical => "error",
        Kind::Margin => match (firm.clone().all(|firm| firm), firm.any(|firm| firm)) {
            (true, _) => "error",
            (false, true) => "error or warning, by how surely the limit is known",
            (false, false) => "warning, for the limit is unconfirmed",
        },
        // What contradicts itself does so without a limit too.
        Kind::Inconsistent if firm.all(|firm| firm) => "error",
        Kind::Inconsistent => "error, or warning where it rests on an unconfirmed limit",
        Kind::Missing => "error where the stage requires it, else note",
        Kind::Reading => "error if a value is lost, warning if it is in doubt, else note",
        Kind::Note => "note",
    };
    format!("{kind} ({severity})")
}
