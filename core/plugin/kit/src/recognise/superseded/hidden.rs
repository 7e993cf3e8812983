//! Hidden sheets that state again what a shown one does, or otherwise of the same tendons.

use std::collections::{BTreeMap, BTreeSet};

use restrand_model::reading::Question;

use super::super::assign::Assigned;
use super::super::find::Found;
use super::super::grid::Sheet;
use super::super::vocabulary::Target;
use super::super::{Looked, Mapping};
use super::lines::Lines;
use super::versions::question;
use super::{Superseded, give_way};

/// What a table states of which tendons.
struct States {
    list: &'static str,
    fields: BTreeSet<String>,
    marks: BTreeSet<String>,
}

/// The hidden sheets that repeat marks and fields of a shown table of the same kind, taken out of the others.
pub(super) fn repeated(looked: &mut Vec<Looked>, mapping: &Mapping) -> Vec<Superseded> {
    let states = |one: &Looked| -> Vec<States> {
        one.found.iter().filter_map(|found| states(&one.sheet, found)).collect()
    };
    let shown: Vec<(String, Vec<States>)> = looked
        .iter()
        .filter(|one| !one.sheet.hidden)
        .map(|one| (one.sheet.name.clone(), states(one)))
        .collect();
    let mut why: BTreeMap<(String, String), String> = BTreeMap::new();
    for one in looked.iter().filter(|one| one.sheet.hidden && !mapping.names(&one.sheet.name)) {
        let repeats = |other: &[States]| {
            states(one).iter().any(|own| other.iter().any(|other| own.repeats(other)))
        };
        if let Some((name, _)) = shown.iter().find(|(_, other)| repeats(other)) {
            let key = (one.sheet.part.clone(), one.sheet.name.clone());
            why.insert(
                key,
                format!("it is hidden, and repeats tendons of \"{name}\", which is shown"),
            );
        }
    }
    let mut superseded = Vec::new();
    for one in std::mem::take(looked) {
        match why.get(&(one.sheet.part.clone(), one.sheet.name.clone())) {
            Some(why) => superseded.push(Superseded {
                sheet: one.sheet,
                rows: BTreeSet::new(),
                why: why.clone(),
                what: "sheet",
            }),
            None => looked.push(one),
        }
    }
    superseded
}

impl States {
    /// Whether all of its tendons stand in the other with all of its fields, so that nothing is lost with it.
    fn repeats(&self, other: &Self) -> bool {
        self.list == other.list
            && self.marks.is_subset(&other.marks)
            && self.fields.is_subset(&other.fields)
    }
}

/// What a table states, if it names its tendons.
fn states(sheet: &Sheet, found: &Found) -> Option<States> {
    let columns = &found.assignment.columns;
    let named = |column: &Assigned| column.target.map(Target::name);
    let mark = columns.iter().find(|one| named(one).as_deref() == Some("tendon.mark"))?;
    let rows = &sheet.rows[found.body.clone()];
    let marks: BTreeSet<String> = rows
        .iter()
        .filter_map(|row| row.cells.get(&mark.index))
        .filter(|cell| !cell.cell.is_blank())
        .map(|cell| cell.cell.name().trim().to_lowercase())
        .collect();
    let of_value = columns.iter().filter(|one| one.index != mark.index);
    let fields = of_value.filter_map(named).collect();
    (!marks.is_empty()).then_some(States { list: found.assignment.list, fields, marks })
}

/// The rows of hidden sheets that state otherwise of tendons of shown ones, out of which they are taken, and the
/// questions which holds. What stands in a hidden sheet alone is read.
pub(super) fn restated(looked: &mut [Looked]) -> (Vec<Superseded>, Vec<Question>) {
    let shown: Vec<(String, Lines)> = looked
        .iter()
        .filter(|one| !one.sheet.hidden)
        .map(|one| (one.sheet.name.clone(), Lines::of(one)))
        .collect();
    let mut superseded = Vec::new();
    let mut questions = Vec::new();
    for one in looked.iter_mut() {
        if !one.sheet.hidden {
            continue;
        }
        for found in one.found.iter_mut().filter(|found| found.only.is_none()) {
            for (name, of_shown) in &shown {
                let mut lines = Lines::default();
                lines.add(&one.sheet, found);
                let rows: BTreeSet<u32> = lines.against(of_shown).map(|(row, _)| row).collect();
                if rows.is_empty() {
                    continue;
                }
                let marks = lines.contradicted(of_shown);
                let others = [(one.sheet.name.as_str(), lines.alone(of_shown))];
                questions.push(question(&one.sheet.part, name, &others, &marks));
                let why = format!(
                    "the sheet is hidden, and states tendons otherwise than \"{name}\", which is shown"
                );
                superseded.push(give_way(&mut one.sheet, found, rows, of_shown, why));
            }
        }
    }
    (superseded, questions)
}
