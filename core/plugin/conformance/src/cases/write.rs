//! Writing.

use restrand_kit::{Budget, Loss, Parts, WriteError};
use restrand_model::ifc::GLOBAL_ID;
use restrand_model::reading::ProblemKind;
use restrand_model::schedule::Schedule;
use restrand_model::value::Value;
use restrand_model::{Record, View};

use super::parts;
use crate::sample::{Written, endings, schedule, written};
use crate::{Outcome, Subject, Verdict, fail, skip};

/// Reads parts into a schedule.
pub(super) fn read(subject: &Subject<'_>, output: &Written) -> Result<Schedule, Outcome> {
    let input = output.parts();
    match restrand_intake::read(subject.plugin, Parts(&parts(&input)), Budget::default()) {
        // What no field takes is kept, and said.
        Ok(reading) => match reading.problems.iter().find(|problem| {
            !matches!(
                problem.kind,
                ProblemKind::Unknown | ProblemKind::Misnamed | ProblemKind::SheetUnknown
            )
        }) {
            None => Ok(reading.schedule),
            Some(problem) => fail(format!(
                "it finds fault with what it wrote itself: {}: {}",
                problem.subject, problem.why
            )),
        },
        Err(restrand_kit::LoadError::Plugin(failure)) => Err(failure.into()),
        Err(error) => fail(format!("it does not read what it wrote itself: {error}")),
    }
}

/// Every single value of a schedule by its route, with names of records where they have one.
pub(super) fn values(schedule: &Schedule) -> Vec<(String, Value)> {
    let mut found = Vec::new();
    let root: &dyn Record = schedule;
    walk(View::Record(root), String::new(), &mut found);
    found
}

fn walk(view: View<'_>, route: String, found: &mut Vec<(String, Value)>) {
    match view {
        View::Record(record) => {
            for (index, field) in record.info().fields.iter().enumerate() {
                let dot = if route.is_empty() { "" } else { "." };
                let inner = format!("{route}{dot}{}", field.name);
                // The version is the format's own matter.
                if inner != "restrand" {
                    walk(record.field(index).view(), inner, found);
                }
            }
            for (name, value) in record.extra() {
                found.push((format!("{route}.extra.{name}"), value.clone()));
            }
        }
        View::List(list) => {
            for index in 0..list.len() {
                let item = list.item(index);
                let key = match item {
                    View::Record(record) => record.key().map(str::to_owned),
                    _ => None,
                };
                let name = key.unwrap_or_else(|| format!("#{}", index + 1));
                walk(item, format!("{route}[{name}]"), found);
            }
        }
        view => found.extend(view.to_value().map(|value| (route, value))),
    }
}

/// The first value that is not the same in both, and not among the losses.
pub(super) fn difference(before: &Schedule, after: &Schedule, losses: &[Loss]) -> Option<String> {
    let (before, after) = (values(before), values(after));
    let is_lost = |route: &str| {
        losses.iter().any(|loss| {
            loss.route.starts_with(route)
                || (!loss.route.is_empty() && route.starts_with(&loss.route))
        })
    };
    let missing = before.iter().find(|value| !after.contains(value) && !is_lost(&value.0));
    if let Some((route, value)) = missing {
        return Some(format!("{route} was {value}, and is not any more"));
    }
    // An id that a format gives each record is the format's own matter.
    let is_id = |route: &str| route.ends_with(&format!(".extra.{GLOBAL_ID}"));
    let new = after
        .iter()
        .find(|value| !before.contains(value) && !is_lost(&value.0) && !is_id(&value.0));
    new.map(|(route, value)| format!("{route} is {value}, and was not"))
}

pub(super) fn identity(subject: &Subject<'_>) -> Verdict {
    let description = subject.plugin.describe();
    let schedule = schedule();
    let mut is_tried = false;
    for ending in endings(subject)? {
        if !description.reads.contains(ending) {
            continue;
        }
        is_tried = true;
        let (output, losses) = written(subject, &schedule, Some(ending))?;
        let back = read(subject, &output)?;
        if let Some(why) = difference(&schedule, &back, &losses) {
            return fail(format!("written as .{ending} and read back, {why}"));
        }
    }
    if is_tried { Ok(()) } else { skip("it does not read what it writes") }
}

pub(super) fn again(subject: &Subject<'_>) -> Verdict {
    for ending in endings(subject)? {
        let once = written(subject, &schedule(), Some(ending))?;
        if written(subject, &schedule(), Some(ending))? != once {
            return fail(format!("written twice as .{ending}, it is not the same"));
        }
    }
    Ok(())
}

pub(super) fn blank(subject: &Subject<'_>) -> Verdict {
    for ending in endings(subject)? {
        written(subject, &Schedule::default(), Some(ending))?;
    }
    Ok(())
}

pub(super) fn ending(subject: &Subject<'_>) -> Verdict {
    endings(subject)?;
    let (schedule, provenance) = (schedule(), restrand_model::Provenance::default());
    let content = restrand_kit::Content::new(&schedule, &provenance);
    let options = restrand_kit::WriteOptions { ending: Some("nosuch"), ..Default::default() };
    match subject.plugin.write(&content, options, &mut Written::default()) {
        Err(WriteError::Unsupported(why)) if !why.is_empty() => Ok(()),
        Err(WriteError::Plugin(failure)) => Err(failure.into()),
        Err(error) => fail(format!("it does not say that it cannot: {error}")),
        Ok(_) => fail("it writes a file whose ending it does not name"),
    }
}
