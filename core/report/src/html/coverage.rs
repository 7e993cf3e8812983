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
    let number = |count: usize| count.to_string();
    let rows: Vec<Vec<String>> = outcomes
        .tallies
        .iter()
        .map(|(rule, tally)| {
            vec![
                format!("<code>{}</code>", escaped(rule)),
                number(tally.pass),
                number(tally.found),
                number(tally.not_applicable),
                reasons(&outcomes.not_applicable, rule),
                number(tally.not_evaluated),
                reasons(&outcomes.not_evaluated, rule),
            ]
        })
        .collect();
    let heads = ["Rule", "Passed", "Found", "Not applicable", "Why", "Not evaluated", "Absent"];
    let caption = "Subjects of each rule; those found count findings that follow from others too";
    writeln!(
        out,
        "<div class=\"wide\">{}</div></section>",
        table(caption, &heads.map(str::to_owned), &rows)
    )
}

fn reasons(groups: &BTreeMap<Group, usize>, rule: &str) -> String {
    let reasons: Vec<_> = groups
        .iter()
        .filter(|(group, _)| group.rule == rule)
        .map(|(group, count)| escaped(&format!("{} {count}", group.reason)))
        .collect();
    reasons.join("; ")
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
    let rows: Vec<Vec<String>> = limit_keys()
        .iter()
        .filter_map(|&key| {
            let limit = in_force.book.limit(key)?;
            Some(vec![
                escaped(key.meaning),
                escaped(&limit_value(key, limit.value, &limit.citation, checked.system)),
                limit.citation.evidence.to_string(),
                escaped(&limit.citation.source),
                escaped(&limit.book),
                format!("<code>{}</code>", escaped(key.name)),
            ])
        })
        .collect();
    let heads = ["Limit", "Value", "Evidence", "Source", "Set in", "Name"].map(str::to_owned);
    writeln!(out, "<div class=\"wide\">{}</div></section>", table("Limits", &heads, &rows))
}
