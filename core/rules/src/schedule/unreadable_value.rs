//! A value or a record could not be read, or only with doubt.

mod restate;

use std::collections::{BTreeMap, HashMap, HashSet};

use restrand_finding::{Citation, Class, Evidence, Fact, Finding, Kind, Outcomes, Severity, Where};
use restrand_model::reading::{Place, Problem, ProblemKind, Question, subject_path};
use restrand_model::reflect::{RecordInfo, Shape, View};
use restrand_model::schedule::{Schedule, Stage};
use restrand_model::{Record, schema};

use super::walk::{call, walk};
use crate::context::Context;
use crate::rule::{Check, Corrects, Rule};

pub(crate) const RULE: Rule = Rule {
    id: "schedule/unreadable-value",
    summary: "each value as given against what its field needs: type, unit, range, words, date",
    kinds: &[Kind::Reading],
    limits: &[],
    sources: &[Citation::new("JSON Schema of the schedule", Evidence::Derived)],
    correction: Corrects::Offers(&[Class::Restate], restate::offer),
    implied_by: &[],
    page: include_str!("unreadable_value.md"),
    check: Check::Schedule(check),
};

/// The records of which something was not read, by where they stand.
type Records<'a> = HashMap<(u32, u32), Held<'a>>;

struct Held<'a> {
    record: &'a dyn Record,
    /// The stage that holds for it.
    stage: Stage,
    /// What a person calls it.
    called: String,
}

fn check(context: &Context<'_>, outcomes: &mut Outcomes) {
    let told: Vec<_> = context
        .problems
        .iter()
        .filter(|problem| {
            use ProblemKind::{Assumed, RecordLost, ValueDoubtful, ValueLost};
            matches!(problem.kind, ValueLost | ValueDoubtful | Assumed | RecordLost)
        })
        .collect();
    if told.is_empty() && context.questions.is_empty() {
        return outcomes.pass();
    }
    let origins: HashSet<_> = told.iter().filter_map(|problem| problem.record.get()).collect();
    let mut records = Records::new();
    walk(context.schedule, &mut |at| {
        if let Some(origin) = at.record.origin().get()
            && origins.contains(&origin)
        {
            let stage = at.tendon.map_or_else(|| context.stage(), |t| context.stage_of(t));
            let called = call(context.schedule, at.steps);
            records.entry(origin).or_insert(Held { record: at.record, stage, called });
        }
    });
    let types = schema::records();
    for alike in columns(told) {
        let severity = |problem: &&Problem| severity(context, problem, &records, &types);
        let gravest = alike.iter().map(severity).max().unwrap_or(Severity::Warning);
        outcomes.found(of_all(&alike, gravest, &records));
    }
    for question in context.questions {
        outcomes.found(asked(context, question, &types));
    }
}

/// Problems that are told together: the values of one column that were lost in the same way, where they are many; any
/// other problem is told by itself.
fn columns(told: Vec<&Problem>) -> Vec<Vec<&Problem>> {
    /// Fewer are slips in single cells rather than a column that is filled otherwise than it should be.
    const MANY: usize = 5;
    let mut columns: BTreeMap<_, Vec<&Problem>> = BTreeMap::new();
    let mut single = Vec::new();
    for problem in told {
        if problem.kind == ProblemKind::ValueLost && problem.given.is_some() {
            columns.entry(column_and_fault(problem)).or_default().push(problem);
        } else {
            single.push(problem);
        }
    }
    let (many, few): (Vec<_>, Vec<_>) =
        columns.into_values().partition(|column| column.len() >= MANY);
    single.extend(few.into_iter().flatten());
    single.into_iter().map(|problem| vec![problem]).chain(many).collect()
}

/// What a value lost in the same way has in common with others of its column.
fn column_and_fault(problem: &Problem) -> (String, Option<(String, String, u32)>, String) {
    let column = match &problem.place {
        Place::Cell { part, sheet, column: Some(column), .. }
        | Place::Line { part, sheet, column: Some(column), .. } => {
            Some((part.clone(), sheet.clone(), *column))
        }
        _ => None,
    };
    let is_name = |step: &&str| step.parse::<usize>().is_err();
    let path = subject_path(&problem.subject);
    let path: Vec<_> = path.split('.').filter(is_name).collect();
    (path.join("."), column, problem.help.clone())
}

/// One finding for problems that are told together.
fn of_all(alike: &[&Problem], severity: Severity, records: &Records<'_>) -> Finding {
    let [first, others @ ..] = alike else {
        unreachable!("problems that are told together are at least one");
    };
    if others.is_empty() {
        return finding(first, severity, records);
    }
    let (subject, ..) = column_and_fault(first);
    let message = format!(
        "{{values}} values of {{subject}} are not read; the first, \"{{given}}\": {}",
        first.why
    );
    let mut finding =
        Finding::new(RULE.id, Kind::Reading, Where::File(first.place.clone()), message)
            .severity(severity)
            .help(format!("{}; they may all have the same cause", first.help))
            .fact(Fact::text("subject", subject))
            .fact(Fact::text("given", first.given.clone().unwrap_or_default()));
    for other in others {
        let given = other.given.as_deref().unwrap_or_default();
        finding =
            finding.related(Where::File(other.place.clone()), format!("\"{given}\", as well"));
    }
    #[expect(clippy::cast_precision_loss, reason = "no file has so many values")]
    let values = alike.len() as f64;
    finding.fact(Fact::computed("values", values, 0))
}

/// One finding for a column whose values can mean two things.
fn asked(context: &Context<'_>, question: &Question, types: &[&'static RecordInfo]) -> Finding {
    let required = question.subject.split_once('.').is_none_or(|(name, path)| {
        types.iter().find(|info| info.name == name).is_none_or(|info| {
            let steps: Vec<_> = path.split('.').collect();
            is_required(context, info, None, &steps, context.stage())
        })
    });
    let message = match question.records.len() {
        0 | 1 => format!("{{subject}} \"{{given}}\" is not read: {}", question.why),
        _ => format!(
            "{{values}} values of the column \"{{header}}\", the first of them \"{{given}}\", are not read: {}",
            question.why
        ),
    };
    let place = Where::File(question.place.clone());
    #[expect(clippy::cast_precision_loss, reason = "no file has so many values")]
    let values = question.records.len() as f64;
    Finding::new(RULE.id, Kind::Reading, place, message)
        .severity(if required { Severity::Error } else { Severity::Warning })
        .help(question.help.clone())
        .fact(Fact::text("subject", question.subject.clone()))
        .fact(Fact::text("header", question.header.clone()))
        .fact(Fact::text("given", question.given.clone()))
        .fact(Fact::text("readings", question.readings.join(" | ")))
        .fact(Fact::computed("values", values, 0))
}

fn finding(problem: &Problem, severity: Severity, records: &Records<'_>) -> Finding {
    // A mark or an id that was lost names nothing, and a record that was lost stands nowhere.
    let held = problem.record.get().and_then(|origin| records.get(&origin));
    let record = held.map(|held| held.called.as_str()).filter(|called| !called.is_empty());
    let subject = match &problem.given {
        // Of a header, the subject says the text already.
        Some(given) if problem.subject.ends_with(given.as_str()) => "{subject}",
        Some(_) if record.is_some() => "{subject} \"{given}\" of {record}",
        Some(_) => "{subject} \"{given}\"",
        None if record.is_some() => "{subject} of {record}",
        None => "{subject}",
    };
    let verb = match problem.kind {
        ProblemKind::ValueDoubtful => "is read with doubt",
        ProblemKind::RecordLost => "is not read, and nothing of it is checked",
        _ => "is not read",
    };
    let message = match problem.kind {
        ProblemKind::Assumed if record.is_some() => {
            format!("{{subject}} of {{record}} {}", problem.why)
        }
        ProblemKind::Assumed => format!("{{subject}} {}", problem.why),
        _ => format!("{subject} {verb}: {}", problem.why),
    };
    let place = Where::File(problem.place.clone());
    let finding = Finding::new(RULE.id, Kind::Reading, place, message)
        .severity(severity)
        .help(problem.help.clone())
        .fact(Fact::text("subject", problem.subject.clone()));
    let facts = [("record", record), ("given", problem.given.as_deref())];
    facts
        .into_iter()
        .filter_map(|(name, text)| Some((name, text?)))
        .fold(finding, |finding, (name, text)| finding.fact(Fact::text(name, text.to_owned())))
}

fn severity(
    context: &Context<'_>,
    problem: &Problem,
    records: &Records<'_>,
    types: &[&'static RecordInfo],
) -> Severity {
    match problem.kind {
        ProblemKind::RecordLost => Severity::Error,
        ProblemKind::Assumed => Severity::Note,
        ProblemKind::ValueLost if is_asked(context, problem, records, types) => Severity::Error,
        _ => Severity::Warning,
    }
}

/// Whether what was lost is required where it stood, or may have been.
fn is_asked(
    context: &Context<'_>,
    problem: &Problem,
    records: &Records<'_>,
    types: &[&'static RecordInfo],
) -> bool {
    let Some((name, path)) = problem.subject.split_once('.') else {
        return true;
    };
    let Some(origin) = problem.record.get() else {
        // A column, or a list of the document, concerns every record; a member that nothing takes, none.
        return name != Schedule::INFO.name || Schedule::INFO.field(path).is_some();
    };
    let Some(info) = types.iter().find(|info| info.name == name).copied() else {
        return true;
    };
    let (record, stage) = match records.get(&origin) {
        Some(held) if held.record.info().name == name => (Some(held.record), held.stage),
        _ => (None, context.stage()),
    };
    let path = subject_path(path);
    let steps: Vec<_> = path.split('.').collect();
    is_required(context, info, record, &steps, stage)
}

/// Whether a requirement names the value, a part of it, or what holds it.
///
/// A condition on a record that is not known counts as met.
pub(super) fn is_required(
    context: &Context<'_>,
    info: &'static RecordInfo,
    record: Option<&dyn Record>,
    steps: &[&str],
    stage: Stage,
) -> bool {
    let names: Vec<_> =
        steps.iter().copied().filter(|step| step.parse::<usize>().is_err()).collect();
    let path = names.join(".");
    let leads_to = |field: &String| {
        field.strip_prefix(&path).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    let holds =
        |required: &&crate::book::Required| record.is_none_or(|record| required.holds_for(record));
    let mut required = context.required(info.name, stage).filter(holds);
    let Some((first, rest)) = steps.split_first() else {
        // The record as a whole was lost, with whatever it must state.
        return required.next().is_some();
    };
    if required.any(|required| required.fields.iter().any(leads_to)) {
        return true;
    }
    let Some(Shape::Record(inner) | Shape::Records(inner)) =
        info.field(first).map(|field| field.shape)
    else {
        return false;
    };
    let item = rest.first().and_then(|step| step.parse::<usize>().ok());
    let rest = if item.is_some() { &rest[1..] } else { rest };
    let within = record.and_then(|record| match (record.get(first), item) {
        (View::Record(inner), None) => Some(inner),
        (View::List(list), Some(item)) if item < list.len() => match list.item(item) {
            View::Record(inner) => Some(inner),
            _ => None,
        },
        _ => None,
    });
    is_required(context, inner(), within, rest, stage)
}

#[cfg(test)]
mod tests {
    use restrand_model::reading::{Origin, Place};

    use super::*;

    #[test]
    fn a_header_is_not_quoted_beside_itself() {
        let said = |subject: &str, given: &str| {
            let problem = Problem {
                kind: ProblemKind::ValueLost,
                place: Place::Part { part: String::new() },
                record: Origin::default(),
                subject: subject.to_owned(),
                given: Some(given.to_owned()),
                why: "so".to_owned(),
                help: String::new(),
            };
            finding(&problem, Severity::Error, &Records::new()).message
        };
        assert_eq!(said("Ends: Behind [kN]", "Behind [kN]"), "{subject} is not read: so");
        assert_eq!(said("Ends: Behind", "1900"), "{subject} \"{given}\" is not read: so");
    }
}
