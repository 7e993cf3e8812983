//! Reads a document and checks it, as the program does.

use restrand_check::rulebook::{built_in_force, name_for_code};
use restrand_check::{LocatedFinding, Report, check, unreadable};
use restrand_finding::{FactValue, Outcomes, fill_in};
use restrand_intake::read;
use restrand_json::Json;
use restrand_kit::{Budget, Bytes, Parts};
use restrand_model::quantity::System;
use restrand_model::reading::Place;
use restrand_model::reflect::Date;
use restrand_model::schedule::Schedule;

/// What a check said.
pub(crate) struct Said {
    pub(crate) findings: Vec<LocatedFinding>,
    pub(crate) outcomes: Outcomes,
}

/// The day that counts as today where a case states none.
pub(crate) fn today() -> Date {
    Date::new(2031, 5, 7).expect("the calendar has it")
}

/// Checks a JSON document with a built-in rulebook: the one asked for, or that of the design code it declares.
pub(crate) fn run(
    part: &str,
    bytes: Vec<u8>,
    rulebook: Option<&str>,
    as_of: Date,
) -> Result<Said, String> {
    let bytes = Bytes::new(part, bytes);
    match read(&Json, Parts(&[&bytes]), Budget::default()) {
        Ok(reading) => {
            let name = rulebook.or_else(|| declared(&reading.schedule)).unwrap_or("base");
            let book = built_in_force(name).map_err(|error| format!("rulebook {name}: {error}"))?;
            let Report { findings, outcomes, .. } = check(&reading, &book, as_of);
            Ok(Said { findings, outcomes })
        }
        Err(error) => {
            Ok(Said { findings: vec![unreadable(part, &error)], outcomes: Outcomes::default() })
        }
    }
}

/// The built-in rulebook of the design code that a schedule declares.
fn declared(schedule: &Schedule) -> Option<&'static str> {
    let project = schedule.project.as_deref()?;
    name_for_code(project.design_code.as_deref()?, project.design_code_edition.as_deref()?)
}

impl Said {
    /// The findings of a rule, in the order of the report.
    pub(crate) fn of(&self, rule: &str) -> Vec<&LocatedFinding> {
        self.findings.iter().filter(|found| found.finding.rule == rule).collect()
    }
}

/// A finding in one line, for the message of a failed test.
pub(crate) fn line(found: &LocatedFinding) -> String {
    let finding = &found.finding;
    let at = found.route.clone().unwrap_or_else(|| place(&found.place));
    let facts: Vec<_> = finding
        .facts
        .iter()
        .map(|fact| match &fact.value {
            FactValue::Number(number) => format!("{} = {number}", fact.name),
            FactValue::Text(text) => format!("{} = \"{text}\"", fact.name),
        })
        .collect();
    format!(
        "{} {} {} at {at}: {} [{}]",
        finding.rule,
        finding.severity,
        finding.kind,
        fill_in(&finding.message, &finding.facts, System::Si),
        facts.join(", ")
    )
}

/// A place of the file as `expect.toml` writes it.
pub(crate) fn place(place: &Place) -> String {
    match place {
        Place::Part { part } => part.clone(),
        Place::Sheet { sheet, .. } => sheet.clone(),
        Place::Cell { sheet, row, column, .. } => match column {
            Some(column) => format!("{sheet}!row {} column {}", row + 1, column + 1),
            None => format!("{sheet}!row {}", row + 1),
        },
        Place::Text { part, path, .. } if path.is_empty() => part.clone(),
        Place::Text { path, .. } => path.join("."),
    }
}
