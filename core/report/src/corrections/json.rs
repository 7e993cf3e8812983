//! Corrections for programs, as versioned JSON.
//!
//! `schemas/corrections-1.schema.json` says the same as the types below.
//! Members are added, never renamed or taken away, as long as `restrand_corrections` is 1.

use std::io;

use restrand_check::{Change, Offered, Report};
use restrand_finding::Severity;
use restrand_model::quantity::of_field;
use restrand_model::route::{Names, Route};
use restrand_model::value::Value;
use serde::Serialize;

use super::text::{HELD, LEFT};
use super::{Corrections, after, before, reason, unmade};
use crate::checked::Checked;
use crate::json::{
    At, Book, Document, Found, Lookup, Value as Fact, at, book, one as found_as, units, value,
};

/// The version of the form.
pub const VERSION: u32 = 1;
/// The member that says the version.
pub(crate) const MEMBER: &str = "restrand_corrections";

#[derive(Serialize)]
struct Input<'a> {
    file: &'a str,
    format: Option<&'a str>,
    read: bool,
    output: Option<&'a str>,
    units: &'static str,
    rulebook: Option<Book<'a>>,
    formulas: Option<usize>,
    before: Counts,
    after: Counts,
    values_lost: usize,
    records_lost: usize,
    made: Vec<One<'a>>,
    withdrawn: Vec<One<'a>>,
    held: Vec<One<'a>>,
    left: Vec<One<'a>>,
    proposed: Vec<One<'a>>,
    not_carried: Vec<Lost<'a>>,
}

#[derive(Serialize)]
struct Counts {
    error: usize,
    warning: usize,
    note: usize,
}

impl Counts {
    fn of(report: &Report) -> Self {
        Self {
            error: report.count(Severity::Error),
            warning: report.count(Severity::Warning),
            note: report.count(Severity::Note),
        }
    }
}

#[derive(Serialize)]
struct One<'a> {
    rule: &'static str,
    class: &'static str,
    reason: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    why_not: Option<String>,
    changes: Vec<Changed<'a>>,
    facts: Vec<Fact<'a>>,
    rests_on: Vec<String>,
}

#[derive(Serialize)]
struct Changed<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<At<'a>>,
    route: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    unit: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    given: Option<&'a str>,
    before: Option<&'a Value>,
    after: Option<&'a Value>,
    before_shown: String,
    after_shown: String,
}

#[derive(Serialize)]
struct Lost<'a> {
    route: &'a str,
    value: &'a str,
    why: &'a str,
}

/// Adds the corrections of an input to a document of them.
///
/// # Errors
/// The writer fails.
pub fn input(document: &mut Document<'_>, corrections: &Corrections<'_>) -> io::Result<()> {
    let Corrections { checked, corrected, output, losses, formulas } = *corrections;
    let withdrawn: Vec<_> = corrected.withdrawn.iter().map(|one| &one.offered).collect();
    let all = [&corrected.made, &corrected.held, &corrected.left, &corrected.proposed];
    let places: Vec<_> = all
        .into_iter()
        .flatten()
        .chain(withdrawn)
        .flat_map(|offered| &offered.changes)
        .filter_map(|change| Some((change.place.as_ref()?, change.record)))
        .collect();
    let lookup = Lookup::of_places(&checked, &places);
    let names = checked.reading.map(|reading| Names::of(&reading.schedule));
    let pen = Pen { corrections, lookup, names };
    document.add(&Input {
        file: checked.file,
        format: checked.format,
        read: true,
        output,
        units: units(checked.system),
        rulebook: checked.rulebook.map(book),
        formulas,
        before: Counts::of(&corrected.before),
        after: Counts::of(&corrected.after),
        values_lost: corrected.reading.counts.values_lost,
        records_lost: corrected.reading.counts.records_lost,
        made: pen.list(&corrected.made, None),
        withdrawn: corrected
            .withdrawn
            .iter()
            .map(|withdrawn| pen.one(&withdrawn.offered, Some(unmade(&withdrawn.why))))
            .collect(),
        held: pen.list(&corrected.held, Some(HELD)),
        left: pen.list(&corrected.left, Some(LEFT)),
        proposed: pen.list(&corrected.proposed, None),
        not_carried: losses
            .iter()
            .map(|loss| Lost { route: &loss.route, value: &loss.value, why: &loss.why })
            .collect(),
    })
}

#[derive(Serialize)]
struct Unread<'a> {
    file: &'a str,
    format: Option<&'a str>,
    read: bool,
    findings: Vec<Found<'a>>,
}

/// Adds an input that could not be read, or has no tendon, and so is not corrected: what is found of it.
///
/// # Errors
/// The writer fails.
pub fn unread(document: &mut Document<'_>, checked: &Checked<'_>) -> io::Result<()> {
    let lookup = Lookup::of(checked);
    let findings = &checked.report.findings;
    document.add(&Unread {
        file: checked.file,
        format: checked.format,
        read: checked.reading.is_some(),
        findings: findings.iter().map(|found| found_as(found, checked, &lookup)).collect(),
    })
}

/// What every correction is told with.
struct Pen<'c, 'a> {
    corrections: &'c Corrections<'a>,
    lookup: Lookup<'a>,
    names: Option<Names>,
}

impl<'a> Pen<'_, 'a> {
    fn list(&self, offered: &'a [Offered], why_not: Option<&str>) -> Vec<One<'a>> {
        offered.iter().map(|offered| self.one(offered, why_not.map(str::to_owned))).collect()
    }

    fn one(&self, offered: &'a Offered, why_not: Option<String>) -> One<'a> {
        let checked = &self.corrections.checked;
        let correction = &offered.correction;
        let named =
            |route: &Route| Some(self.names.as_ref()?.show(route, &checked.reading?.schedule));
        One {
            rule: correction.rule,
            class: correction.class.word(),
            reason: reason(correction, checked.system),
            why_not,
            changes: offered.changes.iter().map(|change| self.changed(change)).collect(),
            facts: correction.facts.iter().map(|fact| value(fact, checked.system)).collect(),
            rests_on: correction.basis.iter().filter_map(named).collect(),
        }
    }

    fn changed(&self, change: &'a Change) -> Changed<'a> {
        let checked = &self.corrections.checked;
        let is_number = [&change.before, &change.after]
            .iter()
            .any(|value| matches!(value, Some(Value::Number(_))));
        let unit = change.route.declared().and_then(|field| of_field(field.name).1);
        Changed {
            place: change
                .place
                .as_ref()
                .map(|place| at(place, change.record, &change.path, checked, &self.lookup)),
            route: &change.name,
            unit: unit.filter(|_| is_number).map(|unit| unit.symbol),
            given: change.given.as_deref(),
            before: change.before.as_ref(),
            after: change.after.as_ref(),
            before_shown: before(change, checked.system),
            after_shown: after(change, checked.system),
        }
    }
}
