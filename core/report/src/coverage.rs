//! What was checked and what was not, in words; every output says it.

use std::collections::BTreeMap;

use restrand_check::{Report, Waived};
use restrand_finding::{Group, Severity};

use crate::checked::{Checked, UNCONFIRMED};
use crate::plain::counted;

/// What every report ends with.
pub(crate) const CLOSING: &str = "Findings show what the stated data do and do not support. They do not \
                                  replace the judgement of the engineer in charge.";

/// How many findings of a report there are of each severity.
pub(crate) fn by_severity(report: &Report) -> String {
    let count = |severity: Severity| counted(report.count(severity), severity.word());
    format!("{}, {}, {}", count(Severity::Error), count(Severity::Warning), count(Severity::Note))
}

/// What the rules did.
pub(crate) fn rules(checked: &Checked<'_>) -> String {
    if checked.reading.is_none() {
        return "nothing was checked, for the file could not be read".to_owned();
    }
    let coverage = checked.report.coverage;
    let mut sums = restrand_finding::Tally::default();
    for tally in checked.report.outcomes.tallies.values() {
        sums.pass += tally.pass;
        sums.not_applicable += tally.not_applicable;
        sums.not_evaluated += tally.not_evaluated;
    }
    let tendons = match coverage.tendons {
        0 => "no tendon".to_owned(),
        tendons => counted(tendons, "tendon"),
    };
    let implied = match coverage.implied {
        0 => String::new(),
        1 => " (and 1 that follows from another, not shown)".to_owned(),
        more => format!(" (and {more} that follow from others, not shown)"),
    };
    format!(
        "{tendons} checked by {}; {} passed, {}{implied}, {} not applicable, {} not evaluated{}",
        counted(coverage.rules, "rule"),
        counted(sums.pass, "evaluation"),
        counted(checked.report.findings.len(), "finding"),
        sums.not_applicable,
        sums.not_evaluated,
        fields(&checked.report.outcomes.not_evaluated),
    )
}

/// The absent fields for which rules could not be evaluated, the most frequent first.
fn fields(groups: &BTreeMap<Group, usize>) -> String {
    /// Fields that are named; the others are counted.
    const NAMED: usize = 12;
    let mut by_field: BTreeMap<&str, usize> = BTreeMap::new();
    for (group, count) in groups {
        *by_field.entry(group.reason).or_default() += count;
    }
    if by_field.is_empty() {
        return String::new();
    }
    let mut fields: Vec<_> = by_field.into_iter().collect();
    fields.sort_by(|(one, a), (other, b)| b.cmp(a).then(one.cmp(other)));
    let more = fields.len().saturating_sub(NAMED);
    let mut named: Vec<_> =
        fields.iter().take(NAMED).map(|(field, count)| format!("{field} {count}")).collect();
    if more > 0 {
        named.push(format!("and {more} more"));
    }
    format!(" ({})", named.join(", "))
}

/// What was read and lost.
pub(crate) fn read(checked: &Checked<'_>) -> Option<String> {
    checked.reading?;
    let read = checked.report.coverage.read;
    let lost = if read.any_lost() {
        let sheets = match read.sheets_lost {
            0 => String::new(),
            sheets => format!("{} with all that they hold, ", counted(sheets, "sheet")),
        };
        format!(
            "lost: {sheets}{}, {}; what was lost is not checked, so the input does not pass",
            counted(read.records_lost, "record"),
            counted(read.values_lost, "value")
        )
    } else {
        "none lost".to_owned()
    };
    let form = checked.format.map(|format| format!(" as {format}")).unwrap_or_default();
    Some(format!("{}{form}; {lost}", counted(read.records, "record")))
}

/// Which rulebook was in force, why, and how far it can be relied on.
pub(crate) fn rulebook(checked: &Checked<'_>) -> Option<String> {
    let in_force = checked.rulebook?;
    let banner =
        if in_force.has_unconfirmed_limits() { format!("; {UNCONFIRMED}") } else { String::new() };
    Some(format!("{}, {}{banner}", in_force.shown(), in_force.why))
}

/// Each waiver of the rulebook, and what came of it.
pub(crate) fn waivers(checked: &Checked<'_>) -> Vec<String> {
    let told = |waived: &Waived| {
        let Waived { waiver, expired, findings } = waived;
        let findings = counted(findings.len(), "finding");
        let what = match (expired, waived.findings.is_empty()) {
            (true, false) => {
                format!("expired on {}; {findings} would have been waived", waiver.until)
            }
            (true, true) => format!("expired on {}, and covers nothing; take it out", waiver.until),
            (false, true) => "covers nothing; check its place, or take it out".to_owned(),
            (false, false) => format!("{findings} waived until {}", waiver.until),
        };
        format!("{} at {}: {what} ({}; {})", waiver.rule, waiver.place, waiver.by, waiver.reason)
    };
    checked.report.waivers.iter().map(told).collect()
}
