//! A column, member, sheet or property set that nothing takes.

use std::collections::HashMap;

use restrand_finding::{Citation, Evidence, Fact, Finding, Kind, Outcomes, Severity, Where};
use restrand_model::reading::{PROPERTY_SET, Place, Problem, ProblemKind, subject_path};
use restrand_model::schema;

use super::unreadable_value;
use crate::context::{Context, column_of};
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "schedule/unknown-column",
    summary: "columns, members and sheets of the file against those that the schedule has",
    kinds: &[Kind::Reading],
    limits: &[],
    sources: &[Citation::new(
        "JSON Schema of the schedule, and the layout of its sheets",
        Evidence::Derived,
    )],
    correction: Corrects::Nothing,
    implied_by: &[],
    page: include_str!("unknown_column.md"),
    check: Check::Schedule(check),
};

/// Problems that say the same of several records.
struct Alike<'a> {
    first: &'a Problem,
    count: u32,
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    // A document repeats a member in each of its records; a column has one header.
    let mut alike: Vec<Alike<'_>> = Vec::new();
    let mut seen: HashMap<(&str, String), usize> = HashMap::new();
    for problem in context.problems {
        use ProblemKind::{Misnamed, SheetLost, SheetUnknown, Unknown};
        if !matches!(problem.kind, Unknown | Misnamed | SheetUnknown | SheetLost) {
            continue;
        }
        let position = match problem.place {
            Place::Text { .. } => {
                let steps = subject_path(&problem.subject);
                let name = steps.split('.').filter(|step| step.parse::<usize>().is_err());
                let name = name.collect::<Vec<_>>().join(".");
                *seen.entry((problem.place.part(), name)).or_insert(alike.len())
            }
            _ => alike.len(),
        };
        match alike.get_mut(position) {
            Some(alike) => alike.count += 1,
            None => alike.push(Alike { first: problem, count: 1 }),
        }
    }
    if alike.is_empty() {
        outcomes.pass();
    }
    for alike in alike {
        outcomes.found(finding(context, &alike));
    }
}

/// Whether the field that a header means is required; the rows below it lack it all.
fn is_required(context: &Context<'_>, problem: &Problem) -> bool {
    column_of(&problem.subject).is_some_and(|(record, path)| {
        let steps: Vec<_> = path.split('.').collect();
        schema::records()
            .into_iter()
            .filter(|info| info.name == record)
            .any(|info| unreadable_value::is_required(context, info, None, &steps, context.stage()))
    })
}

fn finding(context: &Context<'_>, alike: &Alike<'_>) -> Finding {
    let Alike { first: problem, count } = alike;
    let is_sheet = matches!(problem.kind, ProblemKind::SheetUnknown | ProblemKind::SheetLost);
    let message = if problem.kind == ProblemKind::Misnamed {
        format!("the column \"{{given}}\" is not checked: {}", problem.why)
    } else if is_sheet {
        let what = if problem.subject.starts_with(PROPERTY_SET) { "the" } else { "the sheet" };
        format!("{what} {{subject}} is not read: {}", problem.why)
    } else if *count > 1 {
        format!("{{subject}} is not checked, nor are {{others}} more of its name: {}", problem.why)
    } else {
        format!("{{subject}} is not checked: {}", problem.why)
    };
    let severity = match problem.kind {
        ProblemKind::SheetLost => Severity::Error,
        ProblemKind::Misnamed if is_required(context, problem) => Severity::Error,
        ProblemKind::Misnamed => Severity::Warning,
        _ => Severity::Note,
    };
    let place = Where::File(problem.place.clone());
    let mut finding = Finding::new(RULE.id, Kind::Reading, place, message)
        .severity(severity)
        .help(problem.help.clone())
        .fact(Fact::text("subject", problem.subject.clone()));
    if let Some(given) = &problem.given {
        finding = finding.fact(Fact::text("given", given.clone()));
    }
    if *count > 1 {
        finding = finding.fact(Fact::computed("others", f64::from(count - 1), 0));
    }
    finding
}
