//! Corrections made in a reading: the values, and what is known of how they were given.

use std::collections::{HashMap, HashSet};

use restrand_finding::Correction;
use restrand_intake::Reading;
use restrand_model::reading::{Place, Problem, ProblemKind};
use restrand_model::route::Route;

/// Makes corrections together; the reading is then of no use where one fails.
///
/// # Errors
/// What the field needs that does not take the value.
pub(super) fn make(group: &[Correction], reading: &mut Reading) -> Result<(), &'static str> {
    let mut stated = HashSet::new();
    for edit in group.iter().flat_map(|one| &one.edits) {
        // A loss beside a value that was read is another one's: of a member that stands twice.
        if edit.after.is_some() && edit.route.view(&reading.schedule).is_absent() {
            stated.extend(source(&edit.route, reading));
        }
        edit.route
            .set(&mut reading.schedule, edit.after.clone())
            .map_err(|misfit| misfit.needed)?;
        forget_text(&edit.route, reading);
    }
    let before = reading.problems.len();
    reading.problems.retain(|problem| loss(problem).is_none_or(|at| !stated.contains(&at)));
    reading.counts.values_lost -= before - reading.problems.len();
    Ok(())
}

/// Whether a value, or how it is written, is another one after a correction.
pub(super) fn changes_anything(one: &Correction, reading: &Reading) -> bool {
    one.edits.iter().any(|edit| {
        edit.route.view(&reading.schedule).to_value() != edit.after
            || text(&edit.route, reading).is_some()
    })
}

/// A value in the file: the record that holds it, and the way from there, as problems name it.
type Source = ((u32, u32), String);

fn source(route: &Route, reading: &Reading) -> Option<Source> {
    let (record, path) = route.source(&reading.schedule);
    Some((record.get()?, path.join(".")))
}

/// The value that a problem says is lost.
fn loss(problem: &Problem) -> Option<Source> {
    let is_lost = problem.kind == ProblemKind::ValueLost;
    is_lost.then(|| Some((problem.record.get()?, problem.path()?))).flatten()
}

/// The texts of values that could not be read.
pub(super) struct Losses<'a>(HashMap<Source, &'a str>);

impl<'a> Losses<'a> {
    pub(super) fn of(reading: &'a Reading) -> Self {
        let given = |problem: &'a Problem| Some((loss(problem)?, problem.given.as_deref()?));
        Self(reading.problems.iter().filter_map(given).collect())
    }

    /// The text of the file for a value, where it reads differently, or could not be read.
    pub(super) fn given(&self, route: &Route, reading: &Reading) -> Option<String> {
        if let Some(text) = text(route, reading) {
            return Some(text.to_owned());
        }
        let is_absent = route.view(&reading.schedule).is_absent();
        let lost = is_absent.then(|| self.0.get(&source(route, reading)?)).flatten();
        lost.map(|text| (*text).to_owned())
    }
}

fn text<'r>(route: &Route, reading: &'r Reading) -> Option<&'r str> {
    let (record, path) = route.source(&reading.schedule);
    let Some(Place::Cell { column: Some(column), .. }) = reading.provenance.place(record, &path)
    else {
        return None;
    };
    reading.provenance.text(record, column)
}

fn forget_text(route: &Route, reading: &mut Reading) {
    let (record, path) = route.source(&reading.schedule);
    reading.provenance.forget_text(record, &path);
}
