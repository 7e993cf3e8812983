//! What was checked, what each rule did, and the rulebook in force.

use std::collections::BTreeMap;
use std::io::{self, Write};

use restrand_finding::Group;
use restrand_rules::limit_keys;

use super::markup::{escaped, table, terms};
use crate::checked::{Checked, UNCONFIRMED};
use crate::coverage;
use crate::rulebook::limit_value;

/// What was checked, read and lost.
pub(super) fn covered(out: &mut dyn Write, checked: &Checked<'_>) -> io::Result<()> {
    let waivers: Vec<_> = coverage::waivers(checked)
        .iter()
        .map(|waiver| format!("<li>{}</li>", escaped(waiver)))
        .collect();
    let waivers = match waivers.is_empty() {
        true => String::new(),
        false => format!("<ul>{}</ul>", waivers.concat()),
    };
    writeln!(
        out,
        "<section aria-labelledby=\"covered\">\n<h2 id=\"covered\">What was checked</h2>\n{}</section>",
        terms(&[
            ("Found", escaped(&coverage::by_severity(checked.report))),
            ("Coverage", escaped(&coverage::rules(checked))),
            ("Read", escaped(&coverage::read(checked).unwrap_or_default())),
            ("Rulebook", escaped(&coverage::rulebook(checked).unwrap_or_default())),
            ("Waivers", waivers),
        ])
    )
}

/// A row for each rule with its counts, and why subjects were left.
pub(super) fn outcomes(out: &mut dyn Write, checked: &Checked<'_>) -> io::Result<()> {
    let outcomes = &checked.report.outcomes;
    writeln!(
        out,
        "<section aria-labelledby=\"outcomes\">\n<h2 id=\"outcomes\">What each rule did</h2>"
    )?;
    let rows: Vec<Vec<String>> = outcomes
        .tallies
        .iter()
        .map(|(rule, tally)| {
            vec![
                format!("<code>{}</code>", escaped(rule)),
                tally.pass.to_string(),
                tally.found.to_string(),
                with_reasons(tally.not_applicable, &outcomes.not_applicable, rule),
                with_reasons(tally.not_evaluated, &outcomes.not_evaluated, rule),
            ]
        })
        .collect();
    let heads =
        ["Rule", "Passed", "Found", "Not applicable, and why", "Not evaluated, and what is absent"];
    let caption = "Subjects of each rule; those found count findings that follow from others too";
    writeln!(
        out,
        "<div class=\"wide dense\">{}</div></section>",
        table(caption, &heads.map(str::to_owned), &rows)
    )
}

/// A count with its reasons: `18: the end is not stressed`; of several reasons each with its own count.
fn with_reasons(count: usize, groups: &BTreeMap<Group, usize>, rule: &str) -> String {
    let reasons: Vec<_> = groups.iter().filter(|(group, _)| group.rule == rule).collect();
    match reasons.as_slice() {
        [] => count.to_string(),
        [(group, of)] if **of == count => escaped(&format!("{count}: {}", group.reason)),
        _ => {
            let reasons: Vec<_> =
                reasons.iter().map(|(group, of)| format!("{} {of}", group.reason)).collect();
            escaped(&format!("{count}: {}", reasons.join("; ")))
        }
    }
}

/// The limits in force, each with its evidence and source.
pub(super) fn rulebook(out: &mut dyn Write, checked: &Checked<'_>) -> io::Result<()> {
    writeln!(
        out,
        "<section aria-labelledby=\"rulebook\">\n<h2 id=\"rulebook\">Rulebook in force</h2>"
    )?;
    let Some(in_force) = checked.rulebook else {
        return writeln!(out, "<p>No rulebook came into force.</p></section>");
    };
    writeln!(out, "<p>{}, {}.</p>", escaped(&in_force.shown()), escaped(in_force.why))?;
    if in_force.has_unconfirmed_limits() {
        writeln!(out, "<p class=\"beware\">Note: {UNCONFIRMED}.</p>")?;
    }
    let limits: Vec<_> =
        limit_keys().iter().filter_map(|key| Some((*key, in_force.book.limit(*key)?))).collect();
    // The book that sets most of them is told once.
    let mut books: BTreeMap<&str, usize> = BTreeMap::new();
    for (_, limit) in &limits {
        *books.entry(&limit.book).or_default() += 1;
    }
    let most = books.iter().max_by_key(|(_, count)| **count).map(|(book, _)| *book);
    let rows: Vec<Vec<String>> = limits
        .iter()
        .map(|(key, limit)| {
            let book = match most == Some(&limit.book) {
                true => String::new(),
                false => format!("; set in {}", limit.book),
            };
            let origin = format!("{}: {}{book}", limit.citation.evidence, limit.citation.source);
            vec![
                format!("{} <code>{}</code>", escaped(key.meaning), escaped(key.name)),
                escaped(&limit_value(*key, limit.value, &limit.citation, checked.system)),
                escaped(&origin),
            ]
        })
        .collect();
    let caption =
        format!("Limits, set in {} where no other book is named", most.unwrap_or_default());
    let heads = ["Limit, with its name", "Value", "Evidence and source"].map(str::to_owned);
    writeln!(out, "<div class=\"wide dense\">{}</div></section>", table(&caption, &heads, &rows))
}
