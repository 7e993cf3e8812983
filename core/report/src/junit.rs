//! Findings as JUnit's XML, in the form that build servers read: a suite for each input, a case for each rule.
//!
//! A case fails if the rule has a finding at or above the threshold of the run; what lies below is its output.
//! A rule that looked at something and could evaluate nothing is skipped, with what is absent.

use std::collections::BTreeMap;
use std::io::{self, Write};

use restrand_check::LocatedFinding;
use restrand_finding::{Severity, Tally, fill_in};

use crate::checked::Checked;
use crate::json::{Lookup, at};
use crate::plain::{counted, plain};
use crate::spot;
use crate::xml::Xml;

/// A document that takes one input after the other.
pub struct Document {
    threshold: Severity,
    as_of: String,
    suites: Vec<Suite>,
}

struct Suite {
    name: String,
    cases: Vec<Case>,
}

struct Case {
    rule: &'static str,
    outcome: Outcome,
    /// What was found below the threshold.
    below: Vec<String>,
}

enum Outcome {
    Passed,
    /// What was found.
    Failed {
        message: String,
        found: Vec<String>,
    },
    /// Why nothing could be said.
    Skipped(String),
    /// The input could not be read.
    Unread(String),
}

impl Document {
    /// Begins a document: from the threshold on findings are failures; the day, as `2031-05-07`, is the date of all
    /// suites.
    #[must_use]
    pub fn begin(threshold: Severity, as_of: &str) -> Self {
        Self { threshold, as_of: as_of.to_owned(), suites: Vec::new() }
    }

    /// Adds an input.
    pub fn input(&mut self, checked: &Checked<'_>) {
        let lookup = Lookup::of(checked);
        let mut by_rule: BTreeMap<&'static str, Vec<&LocatedFinding>> = BTreeMap::new();
        for rule in checked.report.outcomes.tallies.keys() {
            by_rule.insert(rule, Vec::new());
        }
        for found in &checked.report.findings {
            by_rule.entry(found.finding.rule).or_default().push(found);
        }
        let cases = by_rule
            .into_iter()
            .map(|(rule, findings)| self.case(rule, &findings, checked, &lookup))
            .collect();
        self.suites.push(Suite { name: plain(checked.file), cases });
    }

    fn case(
        &self,
        rule: &'static str,
        findings: &[&LocatedFinding],
        checked: &Checked<'_>,
        lookup: &Lookup<'_>,
    ) -> Case {
        let line = |found: &&LocatedFinding| {
            let place = at(&found.place, found.record, &found.path, checked, lookup);
            let finding = &found.finding;
            let message = plain(&fill_in(&finding.message, &finding.facts, checked.system));
            format!("{}: {}: {message}", finding.severity, spot::in_full(&place))
        };
        let is_failure = |found: &&&LocatedFinding| found.finding.severity >= self.threshold;
        let found: Vec<_> = findings.iter().filter(is_failure).map(line).collect();
        let below = findings.iter().filter(|found| !is_failure(found)).map(line).collect();
        let tally = checked.report.outcomes.tallies.get(rule).copied().unwrap_or_default();
        let outcome = match (checked.reading.is_some(), found.is_empty()) {
            (false, _) => Outcome::Unread(findings.iter().map(line).collect::<Vec<_>>().join("\n")),
            (true, false) => Outcome::Failed { message: counted(found.len(), "finding"), found },
            (true, true) if is_skipped(tally) => Outcome::Skipped(why_skipped(rule, checked)),
            (true, true) => Outcome::Passed,
        };
        Case { rule, outcome, below }
    }

    /// Writes the document.
    ///
    /// # Errors
    /// The writer fails.
    pub fn end(self, out: &mut dyn Write) -> io::Result<()> {
        let mut xml = Xml::begin()?;
        let all = || self.suites.iter().flat_map(|suite| &suite.cases);
        let [tests, failures, errors, _] = counts(all());
        xml.open(
            "testsuites",
            &[
                ("name", "restrand"),
                ("tests", &tests),
                ("failures", &failures),
                ("errors", &errors),
            ],
        )?;
        for suite in &self.suites {
            let [tests, failures, errors, skipped] = counts(suite.cases.iter());
            xml.open(
                "testsuite",
                &[
                    ("name", &suite.name),
                    ("tests", &tests),
                    ("failures", &failures),
                    ("errors", &errors),
                    ("skipped", &skipped),
                    ("timestamp", &format!("{}T00:00:00", self.as_of)),
                ],
            )?;
            for case in &suite.cases {
                write_case(&mut xml, case, &suite.name)?;
            }
            xml.close("testsuite")?;
        }
        xml.close("testsuites")?;
        out.write_all(&xml.end())
    }
}

const fn is_skipped(tally: Tally) -> bool {
    tally.not_evaluated > 0 && tally.pass == 0 && tally.found == 0
}

fn why_skipped(rule: &str, checked: &Checked<'_>) -> String {
    let groups = &checked.report.outcomes.not_evaluated;
    let absent: Vec<_> = groups
        .iter()
        .filter(|(group, _)| group.rule == rule)
        .map(|(group, count)| format!("{} {count}", group.reason))
        .collect();
    format!("not evaluated: {}", absent.join(", "))
}

fn counts<'c>(cases: impl Iterator<Item = &'c Case>) -> [String; 4] {
    let mut counts = [0_usize; 4];
    for case in cases {
        counts[0] += 1;
        match case.outcome {
            Outcome::Passed => {}
            Outcome::Failed { .. } => counts[1] += 1,
            Outcome::Unread(_) => counts[2] += 1,
            Outcome::Skipped(_) => counts[3] += 1,
        }
    }
    counts.map(|count| count.to_string())
}

fn write_case(xml: &mut Xml, case: &Case, class: &str) -> io::Result<()> {
    let attributes = [("name", case.rule), ("classname", class)];
    if matches!(case.outcome, Outcome::Passed) && case.below.is_empty() {
        return xml.empty("testcase", &attributes);
    }
    xml.open("testcase", &attributes)?;
    match &case.outcome {
        Outcome::Passed => {}
        Outcome::Failed { message, found } => {
            let attributes = [("type", case.rule), ("message", message.as_str())];
            xml.text("failure", &attributes, &found.join("\n"))?;
        }
        Outcome::Skipped(why) => xml.text("skipped", &[], why)?,
        Outcome::Unread(why) => xml.text("error", &[("type", case.rule)], why)?,
    }
    if !case.below.is_empty() && !matches!(case.outcome, Outcome::Unread(_)) {
        xml.text("system-out", &[], &case.below.join("\n"))?;
    }
    xml.close("testcase")
}
