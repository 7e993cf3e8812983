//! Findings that say the same of several records are shown once, with the places of all.

use std::collections::HashMap;
use std::fmt::{self, Write};
use std::hash::{DefaultHasher, Hasher};

use restrand_check::LocatedFinding;
use restrand_finding::{Fact, FactValue};
use restrand_model::schema;

/// Findings that say the same, in the order of the file; at least one.
#[derive(Debug)]
pub(crate) struct Alike<'a> {
    pub(crate) first: &'a LocatedFinding,
    pub(crate) others: Vec<&'a LocatedFinding>,
}

impl Alike<'_> {
    /// How many findings they are.
    pub(crate) fn count(&self) -> usize {
        1 + self.others.len()
    }

    /// What they all say: the rule, its message with the facts that they share, and not whose they are.
    ///
    /// Unlike the number by which they were put together it is the same in every build.
    pub(crate) fn says(&self) -> String {
        let finding = &self.first.finding;
        let whose = whose();
        let mut says = format!("{} {} {}", finding.rule, finding.kind, finding.message);
        for fact in finding.facts.iter().filter(|fact| !is_name(fact, &whose)) {
            let value = match &fact.value {
                FactValue::Number(number) => number.to_string(),
                FactValue::Text(text) => text.clone(),
            };
            says.push_str(&format!(" {}={value}", fact.name));
        }
        says
    }
}

/// Fewest findings that are shown as one: of a pair, each reads better for itself.
const FEWEST: usize = 3;

/// All findings, with those that say the same put together at the first of them.
pub(crate) fn put_together(findings: &[LocatedFinding]) -> Vec<Alike<'_>> {
    let whose = whose();
    let mut counts: HashMap<u64, usize> = HashMap::new();
    let keys: Vec<_> = findings.iter().map(|found| what_it_says(found, &whose)).collect();
    for key in &keys {
        *counts.entry(*key).or_default() += 1;
    }
    let mut groups: Vec<Alike<'_>> = Vec::new();
    let mut begun: HashMap<u64, usize> = HashMap::new();
    for (found, key) in findings.iter().zip(keys) {
        if counts[&key] >= FEWEST {
            if let Some(group) = begun.get(&key) {
                groups[*group].others.push(found);
                continue;
            }
            begun.insert(key, groups.len());
        }
        groups.push(Alike { first: found, others: Vec::new() });
    }
    groups
}

/// The names of facts that say which record a finding is of.
fn whose() -> Vec<&'static str> {
    schema::records().into_iter().map(|info| info.name).collect()
}

fn is_name(fact: &Fact, whose: &[&str]) -> bool {
    matches!(fact.value, FactValue::Text(_))
        && (fact.name == "record" || whose.contains(&fact.name))
}

/// All of a finding but whose it is, which is its names of records and its places, as a number: of a million
/// findings the texts would not fit into memory twice.
fn what_it_says(found: &LocatedFinding, whose: &[&str]) -> u64 {
    let finding = &found.finding;
    let facts: Vec<_> = finding.facts.iter().filter(|fact| !is_name(fact, whose)).collect();
    let related: Vec<_> = finding.related.iter().map(|related| &related.text).collect();
    let said = (
        (finding.rule, finding.kind, finding.severity),
        (&finding.message, &finding.help),
        (&finding.remedies, facts, related),
    );
    let mut digest = Digest(DefaultHasher::new());
    match write!(digest, "{said:?}") {
        Ok(()) => digest.0.finish(),
        Err(fmt::Error) => unreachable!("a digest takes every text"),
    }
}

/// Takes a text piece by piece.
struct Digest(DefaultHasher);

impl Write for Digest {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        self.0.write(text.as_bytes());
        Ok(())
    }
}
