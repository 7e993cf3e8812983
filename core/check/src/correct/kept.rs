//! Values that could not be read go into the new file too: as further values of their record, under a name that
//! says so.

use std::collections::{HashMap, HashSet};

use restrand_intake::Reading;
use restrand_model::Record;
use restrand_model::reading::{Place, Problem, ProblemKind};
use restrand_model::reflect::View;
use restrand_model::value::{Name, Value};

/// Keeps the texts of values that could not be read, and gives what no record could keep.
///
/// What [`correct`](super::correct) gives has been through this.
pub fn keep_unread(reading: &mut Reading) -> Vec<Problem> {
    let mut texts: HashMap<(u32, u32), Vec<(String, String)>> = HashMap::new();
    let mut lost = Vec::new();
    for problem in &reading.problems {
        use ProblemKind::{OwnerMissing, RecordLost, SheetLost, ValueLost};
        match (problem.kind, problem.record.get(), text(problem, reading)) {
            (ValueLost, Some(record), Some(text)) => {
                let path = problem.subject.split_once('.').map_or("", |(_, path)| path);
                texts.entry(record).or_default().push((format!("not read: {path}"), text));
            }
            (ValueLost | RecordLost | OwnerMissing | SheetLost, ..) => lost.push(problem.clone()),
            _ => {}
        }
    }
    if !texts.is_empty() {
        let mut kept = HashSet::new();
        visit(&mut reading.schedule, &mut |record| {
            if let Some(origin) = record.origin().get()
                && let Some(texts) = texts.get(&origin)
                && kept.insert(origin)
            {
                for (name, text) in texts {
                    if record.extra().get(name).is_none() {
                        let text = Value::Text(text.as_str().into());
                        record.extra_mut().push(Name::from(name.as_str()), text);
                    }
                }
            }
        });
        let of_none = |problem: &&Problem| {
            problem.kind == ProblemKind::ValueLost
                && problem
                    .record
                    .get()
                    .is_some_and(|record| texts.contains_key(&record) && !kept.contains(&record))
        };
        lost.extend(reading.problems.iter().filter(of_none).cloned());
    }
    lost
}

/// The text of a value that could not be read, in full where the reading kept it.
fn text(problem: &Problem, reading: &Reading) -> Option<String> {
    let cell = match &problem.place {
        Place::Cell { column: Some(column), .. } => {
            reading.provenance.text(problem.record, *column)
        }
        _ => None,
    };
    cell.or(problem.given.as_deref()).map(str::to_owned)
}

/// Visits a record and every record in it.
fn visit(record: &mut dyn Record, see: &mut dyn FnMut(&mut dyn Record)) {
    see(record);
    for index in 0..record.info().fields.len() {
        let count = match record.field(index).view() {
            View::Record(_) => None,
            View::List(list) => Some(list.len()),
            _ => continue,
        };
        let node = record.field_mut(index);
        match count {
            None => {
                if let Some(inner) = node.record_mut() {
                    visit(inner, see);
                }
            }
            Some(count) => {
                for item in 0..count {
                    if let Some(inner) = node.item_mut(item) {
                        visit(inner, see);
                    }
                }
            }
        }
    }
}
