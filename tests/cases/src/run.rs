//! Reads a document and checks it, as the program does.

use std::fmt;

use restrand_check::rulebook::{
    BookError, BuiltIn, Source, built_in_force, in_force, name_for_code,
};
use restrand_check::{LocatedFinding, Report, check, unreadable};
use restrand_csv::Csv;
use restrand_finding::{Correction, Fact, FactValue, Outcomes, fill_in};
use restrand_intake::{Reading, read};
use restrand_json::Json;
use restrand_kit::{Budget, Bytes, Parts, Plugin};
use restrand_model::quantity::System;
use restrand_model::reading::Place;
use restrand_model::reflect::Date;
use restrand_model::route::{Names, Route};
use restrand_model::schedule::Schedule;
use restrand_model::value::Value;
use restrand_rules::{Context, Rulebook, corrections};

/// What a check said.
pub(crate) struct Said {
    pub(crate) findings: Vec<LocatedFinding>,
    pub(crate) outcomes: Outcomes,
    pub(crate) offers: Vec<Offer>,
}

/// A correction that a rule offers, with its routes as people read them.
pub(crate) struct Offer {
    pub(crate) correction: Correction,
    pub(crate) edits: Vec<(String, Option<Value>)>,
    pub(crate) rests_on: Vec<String>,
}

impl Offer {
    /// Whether this rule offers it.
    pub(crate) fn is_of(&self, rule: &str) -> bool {
        self.correction.rule == rule
    }
}

impl fmt::Display for Offer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Correction { class, reason, facts, .. } = &self.correction;
        let (edits, rests_on) = (&self.edits, &self.rests_on);
        let reason = fill_in(reason, facts, System::Si);
        write!(f, "{} {edits:?} on {rests_on:?}: {reason} [{}]", class.word(), listed(facts))
    }
}

/// The day that counts as today where a case states none.
pub(crate) fn today() -> Date {
    Date::new(2031, 5, 7).expect("the calendar has it")
}

/// Checks a document, or a CSV file, with the rulebook asked for, or that of the design code it declares.
pub(crate) fn run(
    part: &str,
    bytes: Vec<u8>,
    rulebook: Option<&str>,
    as_of: Date,
) -> Result<Said, String> {
    let bytes = Bytes::new(part, bytes);
    let plugin: &dyn Plugin = if part.ends_with(".csv") { &Csv } else { &Json };
    match read(plugin, Parts(&[&bytes]), Budget::default()) {
        Ok(reading) => {
            let book = book(rulebook, &reading.schedule)?;
            let Report { findings, outcomes, .. } = check(&reading, &book, as_of);
            Ok(Said { findings, outcomes, offers: offers(&reading, &book, as_of) })
        }
        Err(error) => {
            let findings = vec![unreadable(part, &error)];
            Ok(Said { findings, outcomes: Outcomes::default(), offers: Vec::new() })
        }
    }
}

/// What the rules offer to correct.
fn offers(reading: &Reading, book: &Rulebook, as_of: Date) -> Vec<Offer> {
    let Reading { schedule, problems, questions, provenance, .. } = reading;
    let context = Context::new(schedule, problems, questions, book, as_of).with_texts(provenance);
    let names = Names::of(schedule);
    let offer = |correction: Correction| {
        let shown = |route: &Route| names.show(route, schedule);
        let edits = correction.edits.iter().map(|edit| (shown(&edit.route), edit.after.clone()));
        let (edits, rests_on) = (edits.collect(), correction.basis.iter().map(shown).collect());
        Offer { correction, edits, rests_on }
    };
    corrections(&context).into_iter().map(offer).collect()
}

/// The rulebook of this name, or that of the design code that the schedule declares.
///
/// Besides those of the program there is an owner's among the fixtures, which is that of its own code.
fn book(name: Option<&str>, schedule: &Schedule) -> Result<Rulebook, String> {
    const OWNER: &str = include_str!("../../../fixtures/rulebooks/owner.toml");
    let said = |error: BookError| format!("rulebook {}: {}", error.book, error.message);
    let owner = || {
        let source = Source { name: "owner".to_owned(), text: OWNER.to_owned() };
        in_force(source, &BuiltIn).map_err(said)
    };
    let declared = schedule.project.as_deref().and_then(|project| {
        Some((project.design_code.as_deref()?, project.design_code_edition.as_deref()?))
    });
    match (name, declared) {
        (Some("owner"), _) => owner(),
        (Some(name), _) => built_in_force(name).map_err(said),
        (None, Some((code, edition))) => match name_for_code(code, edition) {
            Some(name) => built_in_force(name).map_err(said),
            None => owner().and_then(|book| {
                if book.is_for(code, edition) {
                    Ok(book)
                } else {
                    built_in_force("base").map_err(said)
                }
            }),
        },
        (None, None) => built_in_force("base").map_err(said),
    }
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
    format!(
        "{} {} {} at {at}: {} [{}]",
        finding.rule,
        finding.severity,
        finding.kind,
        fill_in(&finding.message, &finding.facts, System::Si),
        listed(&finding.facts)
    )
}

/// Facts in one line.
fn listed(facts: &[Fact]) -> String {
    let facts = facts.iter().map(|fact| match &fact.value {
        FactValue::Number(number) => format!("{} = {number}", fact.name),
        FactValue::Text(text) => format!("{} = \"{text}\"", fact.name),
    });
    facts.collect::<Vec<_>>().join(", ")
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
        Place::Line { part, line, column, .. } => match column {
            Some(column) => format!("{part}:{} column {}", line + 1, column + 1),
            None => format!("{part}:{}", line + 1),
        },
        Place::Text { part, path, .. } if path.is_empty() => part.clone(),
        Place::Text { path, .. } => path.join("."),
    }
}
