//! What the rows of lists of general data state: of the strand and the ducts, of tendons, of the project.

use restrand_model::quantity::of_field;
use restrand_model::reading::{Origin, Problem, ProblemKind, Remark, Understood};
use restrand_model::reflect::{FieldInfo, Shape};
use restrand_model::value::Value;

use super::super::facts;
use super::super::further::cell_name;
use super::super::grid::GridRow;
use super::super::header::HeaderText;
use super::super::project::Title;
use super::super::stated::{self, Given, Note, Told, Whose};
use super::super::unit::is_plausible;
use super::super::vocabulary::Target;
use super::super::{Looked, habits, reading::report_of};
use super::{Entry, List, Named, Subject};
use crate::frame::{Frame, Frames, Stopped};
use crate::sheet::Cell;

/// What the lists of a file state of kinds and tendons, as notes do; `told` is what is known round each part.
pub(in super::super) fn notes(looked: &[Looked], told: &[Told<'_>]) -> Vec<Note> {
    let mut notes = Vec::new();
    for (one, told) in looked.iter().zip(told) {
        for list in &one.general {
            let of = of_list(one, list, told);
            for entry in list.entries.iter().filter(|entry| entry.named.is_some()) {
                let note = note(one, list, entry, &of, told);
                if !(note.given.is_empty() && note.of_some.is_empty() && note.left.is_empty()) {
                    notes.push(note);
                }
            }
        }
    }
    leave_what_differs(&mut notes);
    notes
}

/// Of which tendons a list is, as its heading and the name of its sheet say; or why that cannot be told.
fn of_list(one: &Looked, list: &List, told: &Told<'_>) -> Result<Whose, String> {
    // What stands on a sheet of some tendons is of those in it.
    let of_sheet = match stated::whose(&one.sheet.name, told) {
        Ok(Whose::All) => Whose::All,
        other => match told.of_own_sheet() {
            Whose::All => other?,
            own => own,
        },
    };
    match list.heading.as_deref().map(|heading| stated::whose(heading, told)) {
        None | Some(Ok(Whose::All)) => Ok(of_sheet),
        Some(of_heading) => of_heading,
    }
}

/// What a row states, as a note.
fn note(
    one: &Looked,
    list: &List,
    entry: &Entry,
    of_list: &Result<Whose, String>,
    told: &Told<'_>,
) -> Note {
    let sheet = &one.sheet;
    let mut note = Note {
        part: sheet.part.clone(),
        sheet: sheet.name.clone(),
        grid: sheet.grid,
        row: entry.row,
        column: entry.value.0,
        cell: cell_name(sheet, entry.row, entry.label.0),
        place: sheet.place(entry.row, Some(entry.value.0)),
        text: format!("{}: {}", entry.label.1.trim_end_matches([':', ' ']), entry.shown()),
        subject: None,
        list: list.entries.first().map(|first| first.row),
        given: Vec::new(),
        of_some: Vec::new(),
        open: Vec::new(),
        asked: Vec::new(),
        left: Vec::new(),
    };
    if habits::is_pending(&entry.value.1.cell) {
        return note;
    }
    let given = match entry.given(told) {
        Ok(given) => given,
        Err(why) => {
            note.left.push(why);
            return note;
        }
    };
    let of_remarks = entry.remarks.iter().map(|(_, text)| stated::whose(text, told));
    let mut whose = of_list.clone();
    for of_remark in of_remarks {
        match of_remark {
            Ok(Whose::All) => {}
            other => whose = other,
        }
    }
    for one in given {
        match &whose {
            Ok(Whose::All) => note.given.push(one),
            Ok(some) if one.list == "Tendons" => note.of_some.push((some.clone(), one)),
            Ok(some) => {
                note.left.push(format!("it speaks of {} alone", some.shown()));
                note.open.push(one);
            }
            Err(why) => {
                if !note.left.contains(why) {
                    note.left.push(why.clone());
                }
                note.open.push(one);
            }
        }
    }
    note
}

/// Takes nothing of what lists of general data state differently: of tendons in the whole file, of a kind in one list.
fn leave_what_differs(notes: &mut [Note]) {
    let all: Vec<((String, Option<u32>), Given)> = notes
        .iter()
        .flat_map(|note| {
            note.given.iter().map(|one| ((note.sheet.clone(), note.list), one.clone()))
        })
        .collect();
    for note in notes {
        let own = (note.sheet.clone(), note.list);
        let other = |one: &Given| {
            let mut others = all.iter().filter(|(of, other)| {
                (one.list == "Tendons" || *of == own) && other.is_otherwise(one)
            });
            others.next().map(|(_, other)| other.shown.clone())
        };
        let (kept, left): (Vec<Given>, Vec<Given>) =
            std::mem::take(&mut note.given).into_iter().partition(|one| other(one).is_none());
        for one in left {
            let shown = other(&one).unwrap_or_default();
            note.left.push(format!("lists state both {} and {shown} of {}", one.shown, one.name()));
            note.open.push(one);
        }
        note.given = kept;
    }
}

/// What the lists of a sheet state of the project.
pub(in super::super) fn titles(one: &Looked) -> Vec<Title> {
    let entries = one.general.iter().flat_map(|list| &list.entries);
    entries
        .filter_map(|entry| {
            let Some(Named::Field(target)) = entry.named else { return None };
            let is_taken = target.list() == Some("Project")
                && !habits::is_pending(&entry.value.1.cell)
                && entry.read(target).is_ok();
            is_taken.then(|| Title {
                target,
                row: entry.row,
                column: entry.value.0,
                label: entry.label.1.clone(),
                labelled_at: (entry.row, entry.label.0),
                cell: Cell::Text(entry.shown_with_unit().into()),
            })
        })
        .collect()
}

/// Keeps the rows of lists that nothing takes, and says which rows are read as lists.
pub(in super::super) fn tell(
    one: &Looked,
    further: &mut Vec<(String, String)>,
    frames: &mut dyn Frames,
) -> Result<Understood, Stopped> {
    let mut report = report_of(one);
    let sheet = &one.sheet;
    for list in &one.general {
        let (Some(first), Some(last)) = (list.entries.first(), list.entries.last()) else {
            continue;
        };
        report.remarks.push(Remark {
            row: list.headers.or(Some(first.row)),
            what: format!(
                "Rows {} to {} are a list of general data: each states one thing.",
                u64::from(first.row) + 1,
                u64::from(last.row) + 1
            ),
        });
        for entry in &list.entries {
            let is_taken = one.taken.contains(&(entry.row, entry.label.0));
            let is_of_project = matches!(entry.named, Some(Named::Field(target)) if target.list() == Some("Project"));
            let why = match entry.named {
                Some(Named::Field(target)) if is_of_project => entry.read(target).err(),
                Some(_) => None,
                None if is_taken => None,
                None => Some(
                    "no field of what holds for all tendons, their strand and ducts, or the project is called so"
                        .to_owned(),
                ),
            };
            let label = entry.label.1.trim_end_matches([':', ' ']);
            if let Some(why) = why {
                let why = format!("{why}; it is kept as a further value");
                report.remarks.push(Remark {
                    row: Some(entry.row),
                    what: format!("\"{label}: {}\": {why}.", entry.shown()),
                });
                frames.take(Frame::Problem(Problem {
                    kind: ProblemKind::Unknown,
                    place: sheet.place(entry.row, Some(entry.label.0)),
                    record: Origin::default(),
                    subject: format!("{}: {label}", sheet.name),
                    given: Some(entry.shown()),
                    why,
                    help: "give it a column of its table, or say it in a mapping file as a constant of all rows"
                        .to_owned(),
                }))?;
            }
            if is_taken && entry.named.is_none() {
                continue;
            }
            let row = sheet.row(entry.row).into_iter().flat_map(GridRow::own);
            for (column, cell) in row {
                // What is taken is kept no second time.
                if !one.taken.contains(&(entry.row, column)) {
                    further.push((cell_name(sheet, entry.row, column), cell.cell.shown()));
                }
            }
        }
    }
    Ok(report)
}

impl Entry {
    /// Its value as it is written, with its unit.
    fn shown(&self) -> String {
        let value = self.value.1.cell.shown();
        match &self.unit {
            Some((_, unit))
                if unit.trim().chars().any(char::is_alphanumeric) || unit.trim() == "%" =>
            {
                format!("{value} {}", unit.trim())
            }
            _ => value,
        }
    }

    /// The same, with the unit in the brackets of its label where none stands beside it.
    fn shown_with_unit(&self) -> String {
        let units = HeaderText::read(&[&self.label.1]).units;
        match (units.as_slice(), &self.unit) {
            ([unit], None) if !self.shown().contains(char::is_alphabetic) => {
                format!("{} {unit}", self.shown())
            }
            _ => self.shown(),
        }
    }

    /// What it states of kinds and tendons, or why nothing can be taken.
    fn given(&self, told: &Told<'_>) -> Result<Vec<Given>, String> {
        let name = match self.subject {
            Subject::Strand => "Strand",
            Subject::Duct => "Duct",
            Subject::Other => "",
        };
        let of_kind = |text: &str| stated::of_all(&format!("{name}: {text}"), told);
        let mut given = match self.named {
            Some(Named::Field(target)) if target.list() == Some("Project") => Vec::new(),
            Some(Named::Field(target)) => self.of_field(target, told)?,
            Some(Named::Kind(_)) => {
                let given = of_kind(&self.shown());
                if given.is_empty() {
                    return Err("nothing of it is understood".to_owned());
                }
                given
            }
            None => Vec::new(),
        };
        // What is said beside it of the same: `prEN 10138-3, Y1860S7`, `SDR 17`; and `HDPE` before it.
        let mut beside = Vec::new();
        if self.subject != Subject::Other {
            let remarks = self.remarks.iter().map(|(_, text)| text.as_str());
            beside.extend(remarks.flat_map(of_kind));
            beside.extend(stated::of_all(&self.label.1, told));
        }
        const BESIDE: [&str; 4] = ["grade", "standard", "dimension_ratio", "material"];
        for one in beside {
            let is_new = !given.iter().any(|other: &Given| other.is_of_same(&one));
            if one.list != "Tendons" && BESIDE.contains(&one.path[0]) && is_new {
                given.push(one);
            }
        }
        Ok(given)
    }

    /// What it states of one field.
    fn of_field(&self, target: Target, told: &Told<'_>) -> Result<Vec<Given>, String> {
        let Some((list, (path, _))) = target.list().zip(facts::field(target)) else {
            return Ok(Vec::new());
        };
        match self.read(target) {
            Ok(value) => Ok(vec![Given { list, path, value, end: None, shown: self.shown() }]),
            Err(why) => {
                // `Wax, hot injected` says in words what the list has.
                let text = format!("{}: {}", self.label.1.trim_end_matches(':'), self.shown());
                let mut said = stated::of_all(&text, told);
                said.retain(|one| {
                    one.list == list && one.path == path && one.value.as_text().is_some()
                });
                if said.is_empty() { Err(why) } else { Ok(said) }
            }
        }
    }

    /// Its value for a field, or why it is none.
    fn read(&self, target: Target) -> Result<Value, String> {
        let Some((_, field)) = facts::field(target) else { return Err(String::new()) };
        let label = self.label.1.trim_end_matches([':', ' ']);
        let header = HeaderText::read(&[label]);
        let below =
            self.unit.as_ref().map(|(_, unit)| unit.trim().trim_matches(['(', ')', '[', ']']));
        let below = below.filter(|unit| !unit.is_empty() && !matches!(*unit, "-" | "–" | "—"));
        let text = self.value.1.cell.shown();
        // Bare numbers may have it in their format.
        let is_text = matches!(self.value.1.cell, Cell::Text(_));
        let says = |c: char| c.is_alphabetic() || matches!(c, '"' | '″' | '%' | '°');
        let is_bare = header.units.is_empty() && below.is_none() && !text.contains(says);
        let unstated = || "its unit is not stated".to_owned();
        if has_unit(field) && is_bare && is_text {
            return Err(unstated());
        }
        let no_value = || match has_unit(field) && is_bare {
            true => unstated(),
            false => format!("\"{}\" is no value of it", self.shown()),
        };
        let value = facts::read(target, &header, below, &self.value.1, &Default::default())
            .ok_or_else(no_value)?;
        match value.as_number() {
            Some(number) if is_plausible(field, number) == Some(false) => {
                Err(format!("\"{}\" is none that it can have", self.shown()))
            }
            _ => Ok(value),
        }
    }
}

/// Whether the numbers of a field have a unit.
fn has_unit(field: &FieldInfo) -> bool {
    matches!(field.shape, Shape::Number) && of_field(field.name).1.is_some()
}
