//! The texts of values that could not be read, so that a new file holds them where their values would stand.
//!
//! A kept text whose value is absent is such a text, whatever the file. Those of cells are kept as the cells come; those
//! of documents are kept here, once all records are at their places.

use std::collections::{HashMap, HashSet};

use restrand_model::Record;
use restrand_model::reading::{Place, Problem, ProblemKind};
use restrand_model::reflect::View;
use restrand_model::schedule::Schedule;

use crate::Reading;

/// Texts that are longer than a message shows, by the position of their problem.
#[derive(Default)]
pub(crate) struct LongTexts(HashMap<usize, Box<str>>);

impl LongTexts {
    /// Remembers the text of the problem that comes to this position.
    pub(crate) fn remember(&mut self, position: usize, problem: &Problem, text: &str) {
        if is_of_document(problem) {
            self.0.insert(position, text.into());
        }
    }
}

/// Keeps the texts of the values of documents that problems say are lost.
pub(crate) fn keep(reading: &mut Reading, long: &LongTexts) {
    if !reading.problems.iter().any(is_of_document) {
        return;
    }
    let Reading { schedule, problems, provenance, .. } = reading;
    lost_values(schedule, problems, &mut |position, record, path| {
        let problem = &problems[position];
        let origin = record.origin();
        let now = provenance.way_in_file(origin, path);
        let text = long.0.get(&position).map(AsRef::as_ref).or(problem.given.as_deref());
        if let Some(text) = text
            && is_of_document(problem)
            && lacks(record, &now)
            && provenance.given(origin, &now).is_none()
        {
            let path: Vec<&str> = path.iter().map(String::as_str).collect();
            provenance.keep_text_at(origin, &path, text.into());
        }
    });
}

/// What could not be read and is not in the reading either: sheets, records, and values of which no text is kept.
#[must_use]
pub fn not_kept(reading: &Reading) -> Vec<&Problem> {
    use ProblemKind::{OwnerMissing, RecordLost, SheetLost, ValueLost};
    let Reading { schedule, problems, provenance, .. } = reading;
    let mut kept = HashSet::new();
    lost_values(schedule, problems, &mut |position, record, path| {
        let now = provenance.way_in_file(record.origin(), path);
        if lacks(record, &now) && provenance.given(record.origin(), &now).is_some() {
            kept.insert(position);
        }
    });
    let is_kept = |position: usize, problem: &Problem| {
        // The values below a header that is not understood are kept under it.
        let is_header = problem.record.get().is_none()
            && matches!(
                problem.place,
                Place::Cell { column: Some(_), .. } | Place::Line { column: Some(_), .. }
            );
        is_header || kept.contains(&position)
    };
    let of_problem = |(position, problem): (usize, &'_ Problem)| match problem.kind {
        ValueLost => !is_kept(position, problem),
        RecordLost | OwnerMissing | SheetLost => true,
        _ => false,
    };
    problems.iter().enumerate().filter(|one| of_problem(*one)).map(|(_, problem)| problem).collect()
}

/// Takes the position of a problem, the record from which its subject leads, and the way.
type Told<'a> = dyn FnMut(usize, &dyn Record, &[String]) + 'a;

/// Tells of each problem that says that a value of a record is lost.
fn lost_values(schedule: &Schedule, problems: &[Problem], tell: &mut Told<'_>) {
    let mut lost: HashMap<(u32, u32), Vec<(usize, String)>> = HashMap::new();
    for (position, problem) in problems.iter().enumerate() {
        if problem.kind == ProblemKind::ValueLost
            && let (Some(record), Some(path)) = (problem.record.get(), problem.path())
        {
            lost.entry(record).or_default().push((position, path));
        }
    }
    if lost.is_empty() {
        return;
    }
    visit(schedule, &mut |record| {
        let Some(values) = record.origin().get().and_then(|origin| lost.remove(&origin)) else {
            return;
        };
        // Behind an item that was left out the others moved up, so that positions in its list say nothing.
        let left_out: HashSet<String> = values
            .iter()
            .filter_map(|(_, path)| path.rsplit_once('.'))
            .filter(|(_, item)| item.parse::<usize>().is_ok())
            .map(|(list, _)| format!("{list}."))
            .collect();
        for (position, path) in values {
            if !left_out.iter().any(|list| path.starts_with(list.as_str())) {
                let steps: Vec<String> = path.split('.').map(str::to_owned).collect();
                tell(position, record, &steps);
            }
        }
    });
}

fn is_of_document(problem: &Problem) -> bool {
    problem.kind == ProblemKind::ValueLost
        && problem.record.get().is_some()
        && matches!(problem.place, Place::Text { .. })
}

/// Whether a path leads to a field of a record, or of one in it, and nothing is stated there.
fn lacks(record: &dyn Record, path: &[String]) -> bool {
    let Some((name, rest)) = path.split_first() else { return false };
    let Some(index) = record.info().index_of(name) else { return false };
    match (record.field(index).view(), rest) {
        (View::Absent, _) => true,
        (View::Record(inner), rest) => lacks(inner, rest),
        (View::List(list), [item, rest @ ..]) => {
            item.parse().ok().filter(|item| *item < list.len()).is_some_and(|item| {
                match list.item(item) {
                    View::Record(inner) => lacks(inner, rest),
                    _ => false,
                }
            })
        }
        (view, []) => view.is_absent(),
        _ => false,
    }
}

/// Visits a record and every record in it, the outer ones first.
fn visit(record: &dyn Record, see: &mut dyn FnMut(&dyn Record)) {
    see(record);
    for index in 0..record.info().fields.len() {
        match record.field(index).view() {
            View::Record(inner) => visit(inner, see),
            View::List(list) => {
                for item in 0..list.len() {
                    if let View::Record(inner) = list.item(item) {
                        visit(inner, see);
                    }
                }
            }
            _ => {}
        }
    }
}
