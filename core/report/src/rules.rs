//! The list of rules.

use std::io::{self, Write};

use restrand_rules::Rule;

/// Writes a few lines for each rule: what it compares, what it can say, and what that rests on.
///
/// # Errors
/// The writer fails.
pub fn list(out: &mut dyn Write, rules: &[&Rule]) -> io::Result<()> {
    for rule in rules {
        writeln!(out, "{}", rule.id)?;
        if !rule.summary.is_empty() {
            writeln!(out, "  {}", rule.summary)?;
        }
        let kinds: Vec<_> = rule.kinds.iter().map(|kind| kind.word()).collect();
        writeln!(out, "  kinds: {}; correction: {}", kinds.join(", "), rule.correction.words())?;
        if !rule.limits.is_empty() {
            let limits: Vec<_> = rule.limits.iter().map(|limit| limit.name).collect();
            writeln!(out, "  limits: {}", limits.join(", "))?;
        }
        for source in rule.sources {
            writeln!(out, "  source: {source}")?;
        }
    }
    Ok(())
}
