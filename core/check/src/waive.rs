//! Findings that somebody answers for, and waivers that hold no more.

use restrand_model::reflect::Date;
use restrand_rules::{Rulebook, Waiver};

use crate::locate::LocatedFinding;

/// A waiver of the rulebook in force, and what came of it.
#[derive(Debug, Clone)]
pub struct Waived {
    /// The waiver.
    pub waiver: Waiver,
    /// Whether its last day is over: it then waives nothing.
    pub expired: bool,
    /// The findings it waives; or would waive, if it is expired.
    pub findings: Vec<LocatedFinding>,
}

impl Waived {
    /// The word for what came of it.
    #[must_use]
    pub fn state(&self) -> &'static str {
        match (self.expired, self.findings.is_empty()) {
            (true, _) => "expired",
            (false, true) => "unused",
            (false, false) => "used",
        }
    }
}

/// Takes out the findings that a waiver covers on this day; the first that covers a finding takes it.
pub(crate) fn waive(
    findings: Vec<LocatedFinding>,
    book: &Rulebook,
    as_of: Date,
) -> (Vec<LocatedFinding>, Vec<Waived>) {
    let mut waivers: Vec<_> = book
        .waivers
        .iter()
        .map(|waiver| Waived {
            waiver: waiver.clone(),
            expired: waiver.until < as_of,
            findings: Vec::new(),
        })
        .collect();
    if waivers.is_empty() {
        return (findings, waivers);
    }
    let mut kept = Vec::with_capacity(findings.len());
    for found in findings {
        let covers = |waived: &&mut Waived| {
            waived.waiver.rule == found.finding.rule
                && found.route.as_deref().is_some_and(|route| waived.waiver.covers(route))
        };
        // One that holds goes before one that is over.
        let holding = waivers.iter_mut().filter(|waived| !waived.expired).find(covers);
        match holding {
            Some(waived) => waived.findings.push(found),
            None => {
                if let Some(expired) = waivers.iter_mut().find(covers) {
                    expired.findings.push(found.clone());
                }
                kept.push(found);
            }
        }
    }
    (kept, waivers)
}
