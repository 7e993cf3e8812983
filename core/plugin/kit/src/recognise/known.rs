//! What the tables of a file tell each other: listed strands, the tendons there are, what is stated once for all.

use std::collections::{BTreeSet, HashMap};

use restrand_model::quantity::{Dimension, Unit, read, strands};
use restrand_model::value::{Fields, Value};

use super::Looked;
use super::alike::Alike;
use super::assign::Assigned;
use super::facts::{self, Fact};
use super::falling::Course;
use super::find::Found;
use super::grid::Sheet;
use super::groups::Marks;
use super::pairs::Said;
use super::plan::Of;
use super::scope::Scope;
use super::table::Slot;
use crate::sheet::Cell;

/// Two diameters of strand that differ by less are the same.
const SAME_MM: f64 = 0.06;

/// A tendon that has been read.
#[derive(Debug)]
pub(super) struct Tendon {
    pub(super) mark: String,
    pub(super) strand_count: Option<f64>,
    pub(super) spans: Vec<String>,
}

/// What is known of all tables of a file.
#[derive(Debug, Default)]
pub(super) struct Known {
    /// Kinds of strand and duct that have been handed over, by their names.
    pub(super) kinds: HashMap<(Slot, String), Fields>,
    /// The places that tables of their own list, in small letters.
    places: BTreeSet<String>,
    /// Strands that are listed in tables of their own, with their diameters.
    strands: Vec<(String, f64)>,
    /// The names of all of them.
    strand_names: Vec<String>,
    /// The tendons that have been read, in order, each once.
    pub(super) tendons: Vec<Tendon>,
    /// Where each of them stands among them, by its mark.
    met: HashMap<String, usize>,
    /// What is stated once for all tendons.
    pub(super) facts: Vec<Fact>,
    /// Where points and ends of tendons lie, by the tendons' marks.
    pub(super) courses: HashMap<String, Course>,
    /// Tables whose marks need more to be told apart from those of others.
    pub(super) alike: Alike,
    /// What notes say of two values in one cell.
    pub(super) halves: Vec<Said>,
    /// The marks of the tendons that tables name.
    pub(super) marks: Marks,
}

impl Known {
    /// Looks at what a sheet lists and states for all, before its tables are read; of the rows in `headed` a heading
    /// says that they speak of fewer.
    pub(super) fn look(&mut self, one: &mut Looked, headed: &BTreeSet<u32>) {
        for found in one.found.iter().filter(|found| found.assignment.list == "Strands") {
            self.strands.extend(listed(&one.sheet, found));
            self.strand_names.extend(names(&one.sheet, found));
        }
        for found in one.found.iter().filter(|found| found.assignment.list == "Places") {
            let names = |column: &&Assigned| {
                column.target.is_some_and(|target| target.name() == "place.id")
            };
            let Some(name) = found.assignment.columns.iter().find(names) else { continue };
            let rows = one.sheet.rows[found.body.clone()].iter();
            self.places.extend(rows.filter_map(|row| Some(row.text(name.index)?.to_lowercase())));
        }
        self.facts.extend(facts::take(one, headed));
    }

    /// Whether a table of strands lists one by this name.
    pub(super) fn lists_strand(&self, name: &str) -> bool {
        self.strand_names.iter().any(|listed| listed == name)
    }

    /// The one strand of this diameter that is listed.
    pub(super) fn strand_of(&self, diameter_mm: f64) -> Option<&str> {
        let mut same =
            self.strands.iter().filter(|(_, listed)| (listed - diameter_mm).abs() < SAME_MM);
        match (same.next(), same.next()) {
            (Some((name, _)), None) => Some(name),
            _ => None,
        }
    }

    /// Whether a table of places lists one that is called so.
    pub(super) fn lists_place(&self, name: &str) -> bool {
        self.places.contains(&name.trim().to_lowercase())
    }

    /// Whether anything is stated once for an end of all tendons.
    pub(super) fn states_ends(&self) -> bool {
        self.facts.iter().any(|fact| matches!(fact.of, Of::End(Scope::A | Scope::B)))
    }

    /// The marks of the tendons that have been read.
    pub(super) fn marks(&self) -> Vec<&str> {
        self.tendons.iter().map(|one| one.mark.as_str()).collect()
    }

    /// Notes a tendon that has been read: one, in however many tables and rows it stands.
    pub(super) fn meet(&mut self, mark: &str, fields: &Fields) {
        let spans = match fields.get("spans") {
            Some(Value::List(spans)) => {
                spans.iter().filter_map(Value::as_text).map(str::to_owned).collect()
            }
            _ => Vec::new(),
        };
        let strand_count = fields.get("strand_count").and_then(Value::as_number);
        if let Some(met) = self.met.get(mark).and_then(|at| self.tendons.get_mut(*at)) {
            met.strand_count = met.strand_count.or(strand_count);
            for span in spans {
                if !met.spans.contains(&span) {
                    met.spans.push(span);
                }
            }
            return;
        }
        self.met.insert(mark.to_owned(), self.tendons.len());
        self.tendons.push(Tendon { mark: mark.to_owned(), strand_count, spans });
    }
}

/// The names of the strands of a table that lists them.
fn names(sheet: &Sheet, found: &Found) -> Vec<String> {
    let columns = &found.assignment.columns;
    let is_name = |name: String| name == "strand.id";
    let name = columns.iter().find(|one| one.target.is_some_and(|one| is_name(one.name())));
    let rows = sheet.rows[found.body.clone()].iter();
    name.map_or_else(Vec::new, |name| {
        rows.filter_map(|row| Some(row.cells.get(&name.index)?.cell.name())).collect()
    })
}

/// The strands of a table that lists them, each with its diameter.
fn listed(sheet: &Sheet, found: &Found) -> Vec<(String, f64)> {
    let column = |wanted: &str| {
        let columns = &found.assignment.columns;
        columns.iter().find(|one| one.target.is_some_and(|target| target.name() == wanted))
    };
    let Some(name) = column("strand.id") else { return Vec::new() };
    let diameter = column("strand.diameter_mm");
    let rows = &sheet.rows[found.body.clone()];
    rows.iter()
        .filter_map(|row| {
            let id = row.cells.get(&name.index)?.cell.name();
            let stated = diameter.and_then(|one| millimetres(&row.cells.get(&one.index)?.cell));
            Some((id.clone(), stated.or_else(|| of_name(&id))?))
        })
        .collect()
}

/// A diameter of strand in millimetres; a bare one below 1 can only be inches.
fn millimetres(cell: &Cell<'_>) -> Option<f64> {
    let mm = Unit::find("mm", Dimension::Length)?;
    let number = match cell {
        Cell::Number(number) => *number,
        Cell::Text(text) => match text.trim().parse() {
            Ok(number) => number,
            Err(_) => read(text, Some(mm), Some(mm)).ok()?,
        },
        _ => return None,
    };
    Some(if number < 1.0 { number * 25.4 } else { number })
}

/// The diameter with which the name of a strand ends, as `Y1860S7-15.7`.
fn of_name(name: &str) -> Option<f64> {
    let (_, size) = name.rsplit_once('-')?;
    strands(&format!("1x{}", size.trim()))?.diameter_mm
}
